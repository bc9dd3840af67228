"""What a hidden key stands for: a field of a list, or a column of a table."""

from __future__ import annotations

import re
from itertools import chain

from blockbook.plan.columns import (
    BLOCK,
    EQUIPMENT,
    EXERCISES,
    FORMS,
    LIFTER,
    NUMBER_FIELDS,
    NUMBERS,
    PLAN,
    STEPS,
    TABLES,
    WEEKLY,
    Column,
    typed,
)
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


def is_weekly(key: str) -> bool:
    """Whether a key stands for one of a field's weeks."""
    column = column_of(key)
    return column is not None and column.spread is WEEKLY


def position_of(key: str) -> int:
    """Which of its column's cells a key stands for, from 0."""
    spread = None if key in COLUMNS else _SPREAD_KEY.fullmatch(key)
    return int(spread[2]) - 1 if spread else 0


SHEET_OF = {"block": BLOCK, "lifter": LIFTER, "equipment": EQUIPMENT, "sessions": PLAN, "exercises": EXERCISES,
            "policy": NUMBERS, "next_block": NUMBERS}  # fmt: skip
"""Part of a specification -> the sheet that it stands on."""

_TABLE_TITLES = {"equipment.plates": "Plates", "lifter.bests": "Bests"}


def heading_of(part: Location) -> str:
    """What people see of a field that has no cell."""
    names = [str(step) for step in part if not isinstance(step, int)]
    for inside, key in (("sessions.slots.", "slot."), ("sessions.", "session."), ("exercises.", "own.")):
        if (path := ".".join(names)).startswith(inside):
            names = [key + path.removeprefix(inside)]
    key = ".".join(names)
    column = {**FIELDS, **COLUMNS}.get(key)
    return " ".join(column.heading.split()) if column else _TABLE_TITLES.get(key, names[-1])


def heading_for(name: str) -> str:
    """What people see of another field of the row, or of the lifter, by its name in YAML."""
    if name in STEPS:
        return STEPS[name]
    keys = (f"slot.{name}", f"slot.{name}.sets", f"lifter.{name}")
    return next(column.heading for key in keys if (column := {**FIELDS, **COLUMNS}.get(key)))
