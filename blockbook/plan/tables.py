"""Lists of fields and tables of rows on a sheet, written as `columns` states them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from blockbook.plan.columns import FIELD_VALUE, Column, typed
from blockbook.sheet.book import Cell, Run, Sheet, Validation
from blockbook.sheet.fitting import height

_LONGEST_MESSAGE, _LONGEST_TITLE = 255, 32
"""Characters that programs take in the hint of a cell."""

_LONG = 3
"""Lines at least for a long text."""

_LIST_OF = {"slot.exercise": "exercises", "best.exercise": "exercises", "own.related": "exercises",
            "slot.rest": "rests"}  # fmt: skip
"""Columns whose drop-down stands on the sheet Lists."""


@dataclass(frozen=True)
class TablePlace:
    """Where a table stands. columns: key of a cell -> its column; rows from first to last."""

    sheet: str
    columns: Mapping[str, int]
    first: int
    last: int

    @property
    def rows(self) -> range:
        return range(self.first, self.last + 1)

    def cell(self, key: str, row: int) -> Cell:
        return Cell(self.sheet, row, self.columns[key])

    def spread(self, key: str, row: int) -> tuple[Cell, ...]:
        """The cells of a column that takes several, in order."""
        found: list[Cell] = []
        while (name := f"{key}.{len(found) + 1}") in self.columns:
            found.append(self.cell(name, row))
        return tuple(found)

    def run(self, key: str) -> Run:
        return Run(self.sheet, self.first, self.last, self.columns[key])


def put_table(
    sheet: Sheet,
    row: int,
    column: int,
    columns: Sequence[Column],
    rows: Sequence[Mapping[str, Any]],
    cells_there: Mapping[str, int],
    lists: Mapping[str, Run],
) -> TablePlace:
    """A table from a cell on: a row of groups, one of headings, a hidden one of keys, then the rows.

    rows: for each the part behind each first word of a key; one without parts stays empty, to type in.
    cells_there: key of a column that takes several cells -> how many.
    """
    first = row + 3
    last = first + len(rows) - 1
    places: dict[str, int] = {}
    for each in columns:
        there = cells_there.get(each.key, 1)
        keys = each.keys(there)
        spread = range(column, column + len(keys))
        _put_headings(sheet, row, spread, each)
        for place, key in zip(spread, keys, strict=True):
            places[key] = place
            sheet.put(row + 2, place, None if each.live else key, "key")
            if each.width:
                sheet.widths[place] = each.width
        if not each.live:
            _put_rows(sheet, first, spread, each, rows)
        _offer(sheet, [Cell(sheet.name, r, c) for r in range(first, last + 1) for c in spread], each, lists)
        column += len(keys)
    sheet.heights[row + 2] = 0
    return TablePlace(sheet.name, places, first, last)


def _put_headings(sheet: Sheet, row: int, spread: range, column: Column) -> None:
    if not column.spread:
        sheet.put(row, spread[0], None, "group")
        sheet.put(row + 1, spread[0], column.heading, "heading")
        return
    if len(spread) > 1:
        sheet.across(row, spread[0], spread[-1], column.heading, "group")
    else:
        sheet.put(row, spread[0], column.heading, "group")
    for number, place in enumerate(spread, start=1):
        sheet.put(row + 1, place, number, "heading")


def _put_rows(sheet: Sheet, first: int, spread: range, column: Column, rows: Sequence[Mapping[str, Any]]) -> None:
    part = column.key.split(".", maxsplit=1)[0]
    style = "typed session" if column.key == "session.name" else column.form.style
    for number, parts in enumerate(rows, start=first):
        contents = column.contents(parts[part], len(spread)) if part in parts else [None] * len(spread)
        for place, content in zip(spread, contents, strict=True):
            sheet.put(number, place, content, style)


def put_fields(
    sheet: Sheet, row: int, fields: Iterable[Column], part: Any, lists: Mapping[str, Run], last: int
) -> dict[str, Cell]:
    """A list of fields: hidden key, name, value, meaning (up to the column `last`); the values' cells by key.

    A hidden row above says which column holds the values.
    """
    places = {}
    put_value_key(sheet, row, 2)
    row += 1
    for field in typed(tuple(fields)):
        (content,) = field.contents(part, 1)
        sheet.put(row, 0, field.key, "key")
        sheet.put(row, 1, field.heading, "label")
        places[field.key] = sheet.put(row, 2, content, field.form.style)
        sheet.across(row, 3, last, field.meaning, "cue")
        meaning = (field.meaning, sum(sheet.widths[column] for column in range(3, last + 1)))
        own = (content, sheet.widths[2])
        # Joined cells have no height of their own.
        sheet.heights[row] = height([meaning, own], _LONG) if field.form.style == "typed long" else height([meaning])
        _offer(sheet, [places[field.key]], field, lists)
        row += 1
    return places


def put_value_key(sheet: Sheet, row: int, column: int) -> None:
    """The hidden row above a list of fields that says which column holds their values."""
    sheet.put(row, column, FIELD_VALUE, "key")
    sheet.heights[row] = 0


def _offer(sheet: Sheet, cells: Sequence[Cell], column: Column, lists: Mapping[str, Run]) -> None:
    """A drop-down where there is a list, and what goes into the cell as its hint."""
    options: dict[str, Any] = {"validate": "any"}
    if column.form.offers:
        options = {"validate": "list", "source": list(column.form.offers)}
    elif column.key in _LIST_OF:
        options = {"validate": "list", "source": lists[_LIST_OF[column.key]]}
    if column.meaning:
        options |= {
            "input_title": column.heading[:_LONGEST_TITLE],
            "input_message": column.meaning[:_LONGEST_MESSAGE],
        }
    if len(options) > 1:
        sheet.validations.append(Validation(tuple(cells), options))
