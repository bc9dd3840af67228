"""Calculate a book: each formula's value from the same definition that writes its text."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, time, timedelta
from typing import Any, TypeAlias, cast

from blockbook.formula.functions import Scalar, moment_number
from blockbook.sheet.book import Book, Cell, Formula, Input, Run, Table

Several: TypeAlias = tuple[Cell, ...]


class Calculation:
    """The values of a book's cells once its inputs are filled in. Computed on demand, kept.

    inputs: input name -> what was typed; a missing name is an empty cell.
    """

    def __init__(self, book: Book, inputs: Mapping[str, Scalar]) -> None:
        self._contents = {name: sheet.contents for name, sheet in book.sheets.items()}
        self._inputs = inputs
        self._values: dict[Cell, Scalar] = {}
        self._runs: dict[Run, tuple[Scalar, ...]] = {}

    def value(self, cell: Cell) -> Scalar:
        if cell not in self._values:
            self._fill(cell)
        return self._values[cell]

    def number(self, cell: Cell) -> float | None:
        """The cell's value if it is a number."""
        value = self.value(cell)
        return value if isinstance(value, (int, float)) else None

    def _fill(self, wanted: Cell) -> None:
        """Depth first without recursion: long blocks chain far."""
        stack = [wanted]
        values = self._values
        while stack:
            cell = stack[-1]
            if cell in values:
                stack.pop()
                continue
            content = self._contents[cell.sheet].get((cell.row, cell.column))
            if isinstance(content, Formula):
                arguments, missing = self._arguments(content)
                if missing:
                    stack.extend(missing)
                    continue
                values[cell] = self._computed(content, arguments)
            elif isinstance(content, Input):
                values[cell] = self._plain(self._inputs.get(content.name))
            else:
                values[cell] = self._plain(content)
            stack.pop()

    def _computed(self, formula: Formula, arguments: list[Any]) -> Any:
        return formula.definition.compute(*arguments)

    def _plain(self, content: Any) -> Any:
        """The value of a constant or of a cell that holds no formula."""
        return moment_number(content) if isinstance(content, (date, time, timedelta)) else content

    def _arguments(self, formula: Formula) -> tuple[list[Any], list[Cell]]:
        """What a formula's names stand for, in their order; and the cells whose values are not known yet.

        Both in one pass, since this is most of a calculation. With cells missing, the arguments are no use.
        """
        values, references = self._values, formula.references
        arguments: list[Any] = []
        missing: list[Cell] = []
        for name in formula.definition.names:
            reference = references[name]
            if isinstance(reference, Cell):
                if reference in values:
                    arguments.append(values[reference])
                else:
                    missing.append(reference)
            elif isinstance(reference, Table):
                arguments.append(tuple([self._several(run, missing) for run in reference.columns]))
            elif isinstance(reference, (Run, tuple)):
                arguments.append(self._several(cast("Run | Several", reference), missing))
            else:
                arguments.append(self._plain(reference))
        return arguments, missing

    def _several(self, reference: Run | Several, missing: list[Cell]) -> tuple[Scalar, ...] | None:
        """The values of a run or of several cells; None, and what is not known yet added, while some are missing."""
        if not isinstance(reference, Run):
            unknown = [cell for cell in reference if cell not in self._values]
            missing += unknown
            return None if unknown else self._together(reference)
        if reference not in self._runs:
            unknown = [cell for cell in reference.cells() if cell not in self._values]
            missing += unknown
            if unknown:
                return None
            self._runs[reference] = self._together(reference.cells())
        return self._runs[reference]

    def _together(self, cells: Several) -> tuple[Scalar, ...]:
        values = self._values
        return tuple([values[cell] for cell in cells])
