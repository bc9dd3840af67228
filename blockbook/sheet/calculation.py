"""Calculate a book: each formula's value from the same definition that writes its text."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, time, timedelta
from typing import Any

from blockbook.formula.functions import Scalar, moment_number
from blockbook.sheet.book import Book, Cell, Content, Formula, Input, Reference, Run, Table

_DEEPEST = 50
"""Formulas that wait for one another before the calculation begins again from the last of them."""


class Calculation:
    """The values of a book's cells once its inputs are filled in. Computed on demand, kept.

    inputs: input name -> what was typed; a missing name is an empty cell.
    """

    def __init__(self, book: Book, inputs: Mapping[str, Scalar]) -> None:
        contents = {name: sheet.contents for name, sheet in book.sheets.items()}
        self._values = _Values(contents, inputs, self._plain, self._together, self._computed)

    def value(self, cell: Cell) -> Scalar:
        if cell not in self._values:
            self._values.find_out(cell)
        value: Scalar = self._values[cell]
        return value

    def number(self, cell: Cell) -> float | None:
        """The cell's value if it is a number."""
        value = self.value(cell)
        return value if isinstance(value, (int, float)) else None

    @staticmethod
    def _computed(formula: Formula, arguments: list[Any]) -> Any:
        return formula.definition.compute(*arguments)

    @staticmethod
    def _plain(content: Any) -> Any:
        """The value of a constant or of a cell that holds no formula."""
        return moment_number(content) if isinstance(content, (date, time, timedelta)) else content

    @staticmethod
    def _together(values: list[Any]) -> Any:
        """The value of a run or of several cells."""
        return tuple(values)


class _TooDeep(Exception):
    """A formula so far down that what needs it is left until its value is known."""

    def __init__(self, cell: Cell) -> None:
        self.cell = cell


class _Values(dict[Any, Any]):
    """What each reference stands for, as far as it is known. Asked for another, it finds it out.

    Depth first, and not too deep, for long blocks chain far: at a formula further down all that waits for it is left at
    once and begun again later. To go on with its other references would take each way down there is, and they double
    wherever two cells hang on the same two.
    """

    def __init__(
        self,
        contents: Mapping[str, Mapping[tuple[int, int], Content]],
        inputs: Mapping[str, Scalar],
        plain: Callable[[Any], Any],
        together: Callable[[list[Any]], Any],
        computed: Callable[[Formula, list[Any]], Any],
    ) -> None:
        self._contents, self._inputs = contents, inputs
        self._plain, self._together, self._computed = plain, together, computed
        self._depth = 0

    def find_out(self, wanted: Cell) -> None:
        """See to it that a cell's value is known."""
        awaited = [wanted]
        while awaited:
            self._depth = 0
            try:
                self[awaited[-1]]
            except _TooDeep as deeper:
                awaited.append(deeper.cell)
            else:
                awaited.pop()

    def __missing__(self, reference: Reference) -> Any:
        if isinstance(reference, Cell):
            sheet, row, column = reference
            content = self._contents[sheet].get((row, column))
            if isinstance(content, Formula):
                value = self._of_formula(reference, content)
            else:
                value = self._plain(self._inputs.get(content.name) if isinstance(content, Input) else content)
        elif isinstance(reference, Table):
            value = tuple(map(self.__getitem__, reference.columns))
        elif isinstance(reference, tuple):
            cells = reference.cells() if isinstance(reference, Run) else reference
            value = self._together(list(map(self.__getitem__, cells)))
        else:
            value = self._plain(reference)
        self[reference] = value
        return value

    def _of_formula(self, cell: Cell, formula: Formula) -> Any:
        if self._depth == _DEEPEST:
            raise _TooDeep(cell)
        self._depth += 1
        arguments = list(map(self.__getitem__, formula.references))
        self._depth -= 1
        return self._computed(formula, arguments)
