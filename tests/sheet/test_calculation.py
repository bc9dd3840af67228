"""A book of cells: references as formula text, values on demand."""

from __future__ import annotations

from typing import Any

from blockbook.formula import definition
from blockbook.formula.expression import Expression, total
from blockbook.sheet.book import Book, Cell, Content, Run, column_letters, formula_text, reference_text
from blockbook.sheet.calculation import Calculation


@definition
def doubled(value: Expression) -> Expression:
    return value * 2


@definition
def summed(values: Expression) -> Expression:
    return total(values)


def small_book() -> tuple[Book, Cell]:
    book = Book()
    first, second = book.add("First"), book.add("Second")
    typed = book.put_input(first, 0, 0, "typed", "text")
    twice = first.formula(1, 0, doubled, {"value": typed})
    both = second.formula(0, 0, summed, {"values": (typed, twice)})
    return book, both


def test_values_follow_the_inputs() -> None:
    book, both = small_book()
    assert Calculation(book, {"typed": 5}).value(both) == 15
    assert Calculation(book, {"typed": 7}).number(both) == 21


def test_references_name_other_sheets_only() -> None:
    book, both = small_book()
    content = book.sheets["Second"].contents[both.row, both.column]
    assert formula_text(content, "Second") == "=SUM('First'!A1,'First'!A2)"  # type: ignore[arg-type]
    assert formula_text(content, "First") == "=SUM(A1,A2)"  # type: ignore[arg-type]


def test_runs_constants_and_texts_as_references() -> None:
    assert reference_text(Run("Week 1", 2, 4, 6), "Week 1") == "G3:G5"
    assert reference_text(Run("Week 1", 2, 4, 6), "Summary") == "'Week 1'!G3:G5"
    assert reference_text(-0.5, "x") == "(-0.5)"
    assert reference_text('say "up"', "x") == '"say ""up"""'


def test_long_chains_need_no_recursion() -> None:
    book = Book()
    sheet = book.add("Long")
    cell = sheet.put(0, 0, 1)
    for row in range(1, 5000):
        cell = sheet.formula(row, 0, summed, {"values": (cell,)})
    assert Calculation(book, {}).value(cell) == 1


class Counted(dict[tuple[int, int], Content]):
    """A sheet's cells that can be asked for so many times."""

    left = 10_000

    def get(self, key: tuple[int, int], default: Any = None) -> Any:
        self.left -= 1
        assert self.left, "every way down is taken"
        return super().get(key, default)


def test_two_cells_on_the_same_two_do_not_double_the_work_all_the_way_down() -> None:
    """Two to the power of fifty ways lead from the last cells down to those that are looked at first."""
    book = Book()
    sheet = book.add("Ladder")
    pair = sheet.put(0, 0, 1), sheet.put(0, 1, 1)
    for row in range(1, 300):
        above = {"values": pair}
        pair = sheet.formula(row, 0, summed, above), sheet.formula(row, 1, summed, above)
    sheet.contents = Counted(sheet.contents)
    assert Calculation(book, {}).value(pair[0]) == 2**299


def test_column_letters() -> None:
    assert [column_letters(n) for n in (0, 25, 26, 51, 701, 702)] == ["A", "Z", "AA", "AZ", "ZZ", "AAA"]
