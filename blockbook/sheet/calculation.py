"""Calculate a book: each formula's value from the same definition that writes its text."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from blockbook.formula.functions import Scalar, Value
from blockbook.sheet.book import Book, Cell, Formula, Input, Reference, Run


class Calculation:
    """The values of a book's cells once its inputs are filled in. Computed on demand, kept.

    inputs: input name -> what was typed; a missing name is an empty cell.
    """

    def __init__(self, book: Book, inputs: Mapping[str, Scalar]) -> None:
        self._contents = {name: sheet.contents for name, sheet in book.sheets.items()}
        self._inputs = inputs
        self._values: dict[Cell, Scalar] = {}

    def value(self, cell: Cell) -> Scalar:
        values = self._values
        if cell not in values:
            self._fill(cell)
        return values[cell]

    def number(self, cell: Cell) -> float | None:
        """The cell's value if it is a number."""
        value = self.value(cell)
        return value if isinstance(value, (int, float)) else None

    def text(self, cell: Cell) -> str:
        value = self.value(cell)
        return value if isinstance(value, str) else ""

    def _fill(self, wanted: Cell) -> None:
        """Depth first without recursion: long blocks chain far."""
        stack = [wanted]
        values = self._values
        while stack:
            cell = stack[-1]
            if cell in values:
                stack.pop()
                continue
            content: Any = self._contents[cell.sheet].get((cell.row, cell.column))
            if isinstance(content, Formula):
                missing = [other for other in _precedents(content) if other not in values]
                if missing:
                    stack.extend(missing)
                    continue
                values[cell] = self._compute(content)
            else:
                values[cell] = self._inputs.get(content.name) if isinstance(content, Input) else content
            stack.pop()

    def _compute(self, formula: Formula) -> Scalar:
        references = formula.references
        return formula.definition.compute(*[self._resolve(references[name]) for name in formula.definition.names])

    def _resolve(self, reference: Reference) -> Value:
        values = self._values
        if isinstance(reference, Cell):
            return values[reference]
        if isinstance(reference, Run):
            return tuple([values[cell] for cell in reference.cells()])
        if isinstance(reference, tuple):
            return tuple([values[cell] for cell in reference])
        return reference


def _precedents(formula: Formula) -> list[Cell]:
    found: list[Cell] = []
    for reference in formula.references.values():
        if isinstance(reference, Cell):
            found.append(reference)
        elif isinstance(reference, Run):
            found.extend(reference.cells())
        elif isinstance(reference, tuple):
            found.extend(reference)
    return found
