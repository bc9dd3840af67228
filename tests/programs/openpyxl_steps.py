"""What people do to a workbook, done with openpyxl. Rows and columns count from 0."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from openpyxl import load_workbook
from openpyxl.comments import Comment
from openpyxl.utils import get_column_letter


def carry_out(source: str, steps: Sequence[Sequence[Any]], result: str) -> None:
    """Open the file, do the steps, save it as .xlsx."""
    book = load_workbook(source)
    for do, *given in steps:
        STEPS[do](book, *given)
    book.save(result)


def rename(book: Any, sheet: str, to: str) -> None:
    book[sheet].title = to


def duplicate(book: Any, sheet: str, to: str) -> None:
    book.copy_worksheet(book[sheet]).title = to


def insert_rows(book: Any, sheet: str, row: int, count: int) -> None:
    book[sheet].insert_rows(row + 1, count)


def insert_columns(book: Any, sheet: str, column: int, count: int) -> None:
    book[sheet].insert_cols(column + 1, count)


def hide_columns(book: Any, sheet: str, column: int, count: int) -> None:
    for number in range(column, column + count):
        book[sheet].column_dimensions[get_column_letter(number + 1)].hidden = True


def enter(book: Any, sheet: str, row: int, column: int, value: Any) -> None:
    book[sheet].cell(row + 1, column + 1).value = value


def clear_column(book: Any, sheet: str, column: int) -> None:
    for row in range(1, book[sheet].max_row + 1):
        book[sheet].cell(row, column + 1).value = None


def merge(book: Any, sheet: str, first: tuple[int, int], last: tuple[int, int]) -> None:
    """Merge from one cell (row, column) to another; only what stands in the first is left."""
    book[sheet].merge_cells(
        start_row=first[0] + 1, start_column=first[1] + 1, end_row=last[0] + 1, end_column=last[1] + 1
    )


def comment(book: Any, sheet: str, row: int, column: int, text: str) -> None:
    book[sheet].cell(row + 1, column + 1).comment = Comment(text, "Robin")


STEPS: dict[str, Callable[..., None]] = {
    function.__name__.replace("_", " "): function
    for function in (rename, duplicate, insert_rows, insert_columns, hide_columns, enter, clear_column, merge, comment)
}
