"""The rows of a workbook's Earlier log sheet, as they were typed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from blockbook.intake.opening import Grid
from blockbook.workbook.earlier import EARLIER_COLUMNS, KEY_BEGINS, TypedRow
from blockbook.workbook.layout import RESERVE_COLUMNS
from blockbook.workbook.row_key import PATTERN

_KEY = re.compile(f"{KEY_BEGINS}({PATTERN})")
_HEADINGS = {column.heading.casefold(): column.name for column in EARLIER_COLUMNS} | {
    column.heading.casefold(): "rpe" for column in RESERVE_COLUMNS if column.name == "rpe"
}
_PLACES = {column.name: position for position, column in enumerate(EARLIER_COLUMNS)}
_WORDS = ("session", "exercise", "set")


def read_earlier(grids: Mapping[str, Grid]) -> tuple[TypedRow, ...]:
    """The earlier rows wherever their sheet now is, once each; none in a workbook that never carried any."""
    return tuple(dict.fromkeys(row for grid in grids.values() for row in _rows(grid)))


def holds_earlier(grid: Grid) -> bool:
    """Whether a sheet is the Earlier log, whose headings are like those of a week."""
    return any(isinstance(value, str) and _KEY.fullmatch(value.strip()) for row in grid[:40] for value in row[:6])


def _rows(grid: Grid) -> Iterator[TypedRow]:
    columns: dict[str, int] = {}
    for number, row in enumerate(grid):
        for position, value in enumerate(row):
            if isinstance(value, str) and KEY_BEGINS in value and (found := _KEY.fullmatch(value.strip())):
                columns = columns or _columns(grid[:number], position)
                values = {name: _typed(row, column) for name, column in columns.items() if name not in ("key", "week")}
                words = {name: _word(values.pop(name)) for name in _WORDS}
                yield TypedRow(key=found[1], **words, **values)
                break


def _columns(above: Grid, key_column: int) -> dict[str, int]:
    """Where each column stands: by the nearest headings above, else by distance from the keys."""
    by_heading: dict[str, int] = {}
    for row in above:
        named = {
            _HEADINGS[text]: column
            for column, value in enumerate(row)
            if isinstance(value, str) and (text := " ".join(value.split()).casefold()) in _HEADINGS
        }
        if len(named) >= len(by_heading):
            by_heading = named
    return {name: key_column + place for name, place in _PLACES.items()} | by_heading


def _typed(row: list[Any], column: int) -> Any:
    value = row[column] if column < len(row) else None
    return None if value == "" else value


def _word(value: Any) -> str:
    return f"{value:.15g}" if isinstance(value, float) else "" if value is None else str(value)
