"""Calculate a book: each formula's value from the same definition that writes its text."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, time, timedelta
from typing import Any

from blockbook.formula.functions import Scalar, moment_number
from blockbook.sheet.book import Book, Cell, Content, Formula, Input, Reference, Run, Table


class Calculation:
    """The values of a book's cells once its inputs are filled in. Computed on demand, kept.

    inputs: input name -> what was typed; a missing name is an empty cell.
    """

    def __init__(self, book: Book, inputs: Mapping[str, Scalar]) -> None:
        contents = {name: sheet.contents for name, sheet in book.sheets.items()}
        self._values = _Values(contents, inputs, self._plain, self._together)

    def value(self, cell: Cell) -> Scalar:
        if cell not in self._values:
            self._fill(cell)
        value: Scalar = self._values[cell]
        return value

    def number(self, cell: Cell) -> float | None:
        """The cell's value if it is a number."""
        value = self.value(cell)
        return value if isinstance(value, (int, float)) else None

    def _fill(self, wanted: Cell) -> None:
        """Depth first without recursion: long blocks chain far. What a formula waits for comes to lie upon it."""
        values = self._values
        stack = values.awaited
        stack.clear()
        values[wanted]
        while stack:
            height = len(stack)
            cell, formula = stack[-1]
            if cell not in values:
                arguments = [values[reference] for reference in formula.references]
                if len(stack) > height:
                    continue
                values[cell] = self._computed(formula, arguments)
            stack.pop()

    def _computed(self, formula: Formula, arguments: list[Any]) -> Any:
        return formula.definition.compute(*arguments)

    @staticmethod
    def _plain(content: Any) -> Any:
        """The value of a constant or of a cell that holds no formula."""
        return moment_number(content) if isinstance(content, (date, time, timedelta)) else content

    @staticmethod
    def _together(values: list[Any]) -> Any:
        """The value of a run or of several cells."""
        return tuple(values)


class _Values(dict[Any, Any]):
    """What each reference stands for, as far as it is known. Asked for another, it finds it out.

    Formulas are left to the calculation: they are put on the stack of the awaited, and whatever needs
    them is of no use as yet.
    """

    def __init__(
        self,
        contents: Mapping[str, Mapping[tuple[int, int], Content]],
        inputs: Mapping[str, Scalar],
        plain: Callable[[Any], Any],
        together: Callable[[list[Any]], Any],
    ) -> None:
        self._contents, self._inputs, self._plain, self._together = contents, inputs, plain, together
        self.awaited: list[tuple[Cell, Formula]] = []

    def __missing__(self, reference: Reference) -> Any:
        if isinstance(reference, Cell):
            sheet, row, column = reference
            content = self._contents[sheet].get((row, column))
            if isinstance(content, Formula):
                self.awaited.append((reference, content))
                return None
            value = self._plain(self._inputs.get(content.name) if isinstance(content, Input) else content)
        elif isinstance(reference, tuple):
            height = len(self.awaited)
            if isinstance(reference, Table):
                value = tuple([self[run] for run in reference.columns])
            else:
                cells = reference.cells() if isinstance(reference, Run) else reference
                value = self._together([self[cell] for cell in cells])
            if len(self.awaited) > height:
                return None
        else:
            return self._plain(reference)
        self[reference] = value
        return value
