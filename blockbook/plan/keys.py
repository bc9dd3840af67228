"""What a hidden key stands for: a field of a list, or a column of a table."""

from __future__ import annotations

import re
from itertools import chain

from blockbook.plan.columns import FORMS, NUMBER_FIELDS, TABLES, Column, typed
from blockbook.spec.documents import Location

FIELDS = {column.key: column for column in chain(*FORMS, NUMBER_FIELDS)}
"""Of the lists of fields, by key."""

COLUMNS = {column.key: column for columns in TABLES for column in typed(columns)}
"""Of the tables."""

_SPREAD_KEY = re.compile(r"(.+)\.([1-9][0-9]{0,2})")


def column_of(key: str) -> Column | None:
    if key in COLUMNS:
        return COLUMNS[key]
    spread = _SPREAD_KEY.fullmatch(key)
    return COLUMNS.get(spread[1]) if spread else None


def position_of(key: str) -> int:
    """Which of its column's cells a key stands for, from 0."""
    spread = None if key in COLUMNS else _SPREAD_KEY.fullmatch(key)
    return int(spread[2]) - 1 if spread else 0


def heading_of(part: Location) -> str:
    """What people see of a field that has no cell."""
    names = [str(step) for step in part if not isinstance(step, int)]
    for inside, key in (("sessions.slots.", "slot."), ("sessions.", "session."), ("exercises.", "own.")):
        if (path := ".".join(names)).startswith(inside):
            names = [key + path.removeprefix(inside)]
    column = {**FIELDS, **COLUMNS}.get(".".join(names))
    return " ".join(column.heading.split()) if column else names[-1]
