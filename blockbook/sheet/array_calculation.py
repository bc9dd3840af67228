"""Calculate a book for many simulated lifters at once."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from blockbook.formula.arrays import Many, Numbers, Together, as_number, read_over_arrays
from blockbook.sheet.book import Book, Cell, Formula
from blockbook.sheet.calculation import Calculation


class ArrayCalculation(Calculation):
    """Like Calculation, but every typed cell holds an array: one value a lifter, NaN for nothing."""

    def __init__(self, book: Book, inputs: Mapping[str, Numbers], lifters: int) -> None:
        super().__init__(book, inputs)  # type: ignore[arg-type]
        self._lifters = lifters

    def numbers(self, cell: Cell) -> Numbers:
        """The cell's value for each lifter, NaN where it is no number."""
        value: Many = self.value(cell)  # type: ignore[assignment]
        return np.broadcast_to(np.nan if isinstance(value, str) else value, self._lifters)

    @staticmethod
    def _computed(formula: Formula, arguments: list[Any]) -> Any:
        with np.errstate(all="ignore"):
            return _number_or_text(read_over_arrays(formula.definition)(*arguments))

    @staticmethod
    def _plain(content: Any) -> Any:
        return _number_or_text(Calculation._plain(content))

    @staticmethod
    def _together(values: list[Any]) -> Any:
        return Together(values)


def _number_or_text(value: Any) -> Any:
    """Plain numbers as floats, nothing as NaN; what holds one value a lifter stays as it is."""
    return as_number(value) if value is None or isinstance(value, (int, float, str)) else value
