"""The Earlier log sheet: what was logged for exercises, sets and sessions that a changed block no longer has."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta
from typing import Any

from blockbook.languages import say
from blockbook.sheet.book import Book, Sheet
from blockbook.spec.models import Block
from blockbook.workbook.layout import EARLIER, Column, heading_of
from blockbook.workbook.row_key import is_of_meet, is_set, week_of

EARLIER_COLUMNS: tuple[Column, ...] = (
    Column("key", "Key", 4, "hidden"),
    Column("week", "Week", 6, "shown"),
    Column("session", "Session", 16, "shown"),
    Column("date", "Date done", 15, "shown"),
    Column("exercise", "Exercise", 24, "shown"),
    Column("set", "Set", 20, "shown"),
    Column("load", "Load", 9, "shown"),
    Column("reps", "Reps done", 7, "shown"),
    Column("rpe", "Effort felt", 7, "shown"),
    Column("note", "Note", 34, "shown"),
)
EARLIER_FIELDS = tuple(column.name for column in EARLIER_COLUMNS)
_COLUMN = {column.name: position for position, column in enumerate(EARLIER_COLUMNS)}
_LAST = len(EARLIER_COLUMNS) - 1
_OURS = ("session", "exercise", "set")
"""Columns whose words are ours; but a session's name is the coach's."""

_HIGHEST_ROW = 409
"""More a spreadsheet program does not show."""

KEY_BEGINS = "earlier "
"""Stands before each key, so that a row here is never taken for one of a week sheet."""

_WHAT_IT_IS = (
    "What you logged before your coach changed the block, for exercises, sets and sessions it no longer has. Kept as "
    "you typed it. Nothing to fill in here."
)


@dataclass(frozen=True)
class TypedRow:
    """A row as it was typed: each of load, reps, rpe, note and date a number, text or date as it stood, or None.

    key: the row's key on its week sheet. What is noted once a session has the exercise AFTER_SESSION, its
    name as the set, and its value as the load, where it is typed; what is typed on the Meet sheet has the
    session "Meet", no week, and its value as the load.
    """

    key: str
    session: str
    date: Any
    exercise: str
    set: str
    load: Any = None
    reps: Any = None
    rpe: Any = None
    note: Any = None

    @property
    def week(self) -> int:
        return week_of(self.key)

    @property
    def is_of_session(self) -> bool:
        """Whether it is what is noted once a session, and no set."""
        return not is_set(self.key) and not self.is_of_meet

    @property
    def is_of_meet(self) -> bool:
        return is_of_meet(self.key)

    @property
    def is_about_pain(self) -> bool:
        return self.is_of_session and self.key.endswith((".pain", ".where"))

    def to_data(self) -> dict[str, Any]:
        """For other programs: dates as 2027-01-04, durations as 1:15:00."""
        return {name: _plain(getattr(self, name)) for name in EARLIER_FIELDS}


def add_earlier(book: Book, rows: Sequence[TypedRow], block: Block) -> None:
    sheet = book.add(EARLIER)
    sheet.across(0, 1, _LAST, say(EARLIER), "title")
    sheet.across(1, 1, _LAST, say(_WHAT_IT_IS), "wrapped")
    sheet.heights |= {0: 26, 1: 32, 2: 30}
    for position, column in enumerate(EARLIER_COLUMNS):
        sheet.widths[position] = column.width
        heading = heading_of("rpe", block) if column.name == "rpe" else column.heading
        sheet.put(2, position, say(heading), "heading left" if _is_text(column.name) else "heading")
    sheet.hidden_columns = (_COLUMN["key"],)
    sheet.frozen = (3, 0)
    sheet.repeat_rows = (0, 2)
    sheet.landscape = True
    for row, typed in enumerate(rows, start=3):
        _put_row(sheet, row, typed)


def _put_row(sheet: Sheet, row: int, typed: TypedRow) -> None:
    sheet.put(row, _COLUMN["key"], KEY_BEGINS + typed.key, "key")
    lines = 1
    for column in EARLIER_COLUMNS[1:]:
        value = None if column.name == "week" and typed.is_of_meet else getattr(typed, column.name)
        if column.name in _OURS and (typed.is_of_meet or column.name != "session"):
            value = ", ".join(map(say, str(value).split(", ")))
        needed = math.ceil(len(value) / column.width) if isinstance(value, str) else 1
        sheet.put(row, _COLUMN[column.name], value, _style(column.name, value, needed))
        lines = max(lines, needed)
    sheet.heights[row] = min(3 + 15 * lines, _HIGHEST_ROW)


def _style(column: str, value: Any, lines: int) -> str:
    if isinstance(value, (time, timedelta)):
        return "clock" if isinstance(value, time) else "duration"
    if isinstance(value, date):
        return "date" if column == "date" else "day"
    return "set wrapped" if _is_text(column) or lines > 1 else "number"


def _is_text(column: str) -> bool:
    return column in ("session", "date", "exercise", "set", "note")


def _plain(value: Any) -> Any:
    return str(value) if isinstance(value, (date, time, timedelta)) else value
