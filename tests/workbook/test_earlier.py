"""The sheet Earlier log: there only when it is needed, in its place, locked, printable, and its texts stay texts."""

from __future__ import annotations

import io
from datetime import date, timedelta
from typing import Any

import pytest
from openpyxl import load_workbook

from blockbook.workbook import looks
from blockbook.workbook.earlier import EARLIER_COLUMNS, TypedRow
from blockbook.workbook.layout import AFTER_SESSION, EARLIER
from blockbook.workbook.write import block_bytes
from tests.intake.small_block import spec_from

DAY = date(2027, 1, 4)
ROWS = (
    TypedRow("w1.lower.leg-press.1", "Lower", DAY, "leg press", "1", 120.0, "8-9", 8.0, "left knee felt it"),
    TypedRow("w1.lower.leg-press.2", "Lower", DAY, "leg press", "2", "=1+1", date(2026, 9, 8), None, "+20 " * 40),
    TypedRow("w1.lower.minutes", "Lower", DAY, AFTER_SESSION, "Minutes", timedelta(minutes=75)),
    TypedRow("w1.lower.where", "Lower", DAY, AFTER_SESSION, "Where does it hurt?", "left knee, on the way down"),
)


@pytest.fixture(name="book", scope="module")
def _book() -> Any:
    return load_workbook(io.BytesIO(block_bytes(spec_from(), earlier=ROWS)))


def test_it_stands_behind_the_summary_and_only_when_there_are_rows(book: Any) -> None:
    plain = load_workbook(io.BytesIO(block_bytes(spec_from()))).sheetnames
    assert EARLIER not in plain
    names = book.sheetnames
    assert names[names.index("Summary") + 1] == EARLIER
    assert [name for name in names if name != EARLIER] == plain


def test_each_row_says_when_what_and_how_much(book: Any) -> None:
    rows = list(book[EARLIER].iter_rows(min_row=3, min_col=2, values_only=True))
    assert rows[0] == tuple(column.heading for column in EARLIER_COLUMNS[1:])
    session, day, *first = rows[1][1:]
    assert (session, day.date(), first) == (
        "Lower", DAY, ["leg press", "1", 120, "8-9", 8, "left knee felt it"],
    )  # fmt: skip
    assert rows[4][3:6] == (AFTER_SESSION, "Where does it hurt?", "left knee, on the way down")
    assert len(rows) == 1 + len(ROWS)


def test_nothing_on_it_is_a_formula_or_open_to_typing(book: Any) -> None:
    sheet = book[EARLIER]
    cells = [cell for row in sheet.iter_rows() for cell in row]
    assert sheet["G5"].value == "=1+1"
    assert not [cell.coordinate for cell in cells if cell.data_type == "f" or not cell.protection.locked]
    assert sheet.protection.sheet
    assert not sheet.protection.password


def test_it_prints_one_page_wide_with_its_headings_on_every_page(book: Any) -> None:
    sheet = book[EARLIER]
    assert (sheet.page_setup.orientation, sheet.page_setup.fitToHeight) == ("landscape", 0)
    assert sheet.page_setup.paperSize == looks.PAPER_SIZE["A4"]
    assert sheet.print_title_rows == "$1:$3"
    assert sheet.freeze_panes == "A4"
    assert sheet.column_dimensions["A"].hidden


def test_a_row_is_as_high_as_its_longest_text_needs(book: Any) -> None:
    heights = [book[EARLIER].row_dimensions[row].height for row in range(4, 8)]
    assert heights == [18, 78, 18, 48]


def test_days_and_durations_look_like_what_they_are(book: Any) -> None:
    sheet = book[EARLIER]
    assert (sheet["H5"].value.date(), sheet["H5"].number_format) == (date(2026, 9, 8), "d mmm")
    assert (sheet["G6"].value, sheet["G6"].number_format) == (timedelta(minutes=75), "[h]:mm")
