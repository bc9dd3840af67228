"""Calculate a book: each formula's value from the same definition that writes its text."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, time, timedelta
from typing import Any, TypeAlias, cast

from blockbook.formula.functions import Scalar, Value, moment_number
from blockbook.sheet.book import Book, Cell, Formula, Input, Reference, Run

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
                missing = self._missing(content)
                if missing:
                    stack.extend(missing)
                    continue
                arguments = [self._resolve(content.references[name]) for name in content.definition.names]
                values[cell] = self._computed(content, arguments)
            elif isinstance(content, Input):
                values[cell] = self._plain(self._inputs.get(content.name))
            else:
                values[cell] = self._plain(content)
            stack.pop()

    def _computed(self, formula: Formula, arguments: list[Any]) -> Any:
        return formula.definition.compute(*arguments)

    def _plain(self, content: Any) -> Any:
        """The value of a cell that holds no formula."""
        return moment_number(content) if isinstance(content, (date, time, timedelta)) else content

    def _missing(self, formula: Formula) -> list[Cell]:
        """The cells a formula needs whose values are not known yet."""
        values, found = self._values, []
        for reference in formula.references.values():
            if isinstance(reference, Cell):
                if reference not in values:
                    found.append(reference)
            elif isinstance(reference, Run):
                if reference not in self._runs:
                    found += [cell for cell in reference.cells() if cell not in values]
            elif isinstance(reference, tuple):
                found += [cell for cell in cast(Several, reference) if cell not in values]
        return found

    def _resolve(self, reference: Reference) -> Value:
        if isinstance(reference, Cell):
            return self._values[reference]
        if isinstance(reference, Run):
            if reference not in self._runs:
                self._runs[reference] = self._together(reference.cells())
            return self._runs[reference]
        if isinstance(reference, tuple):
            return self._together(cast(Several, reference))
        return reference

    def _together(self, cells: Several) -> tuple[Scalar, ...]:
        values = self._values
        return tuple([values[cell] for cell in cells])
