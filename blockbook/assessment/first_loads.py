"""Where a block's sheet starts exercises that are put in the place of others."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from blockbook.assessment import wording
from blockbook.sheet.calculation import Calculation
from blockbook.spec.models import Slot, Specification, session_ids, slot_ids
from blockbook.spec.values import WEEKLY_FIELDS
from blockbook.workbook.assemble import assemble

WORKED_UP = "asks to work up to its first load"


def first_loads(spec: Specification, before: Specification, names: Mapping[str, str]) -> dict[str, str]:
    """What the first week's sheet of a block says of exercises in the places with these keys, as `before` has them."""
    keys = iter(_keys(before))
    sessions = tuple(
        session.model_copy(update={"slots": tuple(_with(slot, names.get(next(keys))) for slot in session.slots)})
        for session in spec.sessions
    )
    block = spec.block.model_copy(update={"weeks": 1, "deload_week": 1 if spec.block.deload_week == 1 else None})
    one_week = spec.model_copy(update={"block": block, "sessions": sessions})
    workbook = assemble(one_week)
    calculation = Calculation(workbook.book, {})
    key_of = dict(zip(_keys(one_week), _keys(before), strict=True))
    said = {}
    for line in (place.line for session in workbook.weeks[0] for place in session.lines):
        key = key_of[line.slot_key]
        load = calculation.number(workbook.workings.cell(line, "planned"))
        if key in names and load is not None:
            said[key] = f"starts it at {wording.load_said(load, line.exercise, spec)}"
        elif key in names and line.decided:
            said[key] = WORKED_UP
    return said


def _with(slot: Slot, exercise: str | None) -> Slot:
    """The slot in its first week, with another exercise."""
    first: dict[str, Any] = {name: value[:1] if (value := getattr(slot, name)) else value for name in WEEKLY_FIELDS}
    first |= {"test_weeks": (), "back_off": None, "stand_ins": ()}
    if exercise is not None:
        first |= {"exercise": exercise, "loads": {}}
    return slot.model_copy(update=first)


def _keys(spec: Specification) -> list[str]:
    """Keys of the exercises, in order."""
    sessions = zip(session_ids(spec), spec.sessions, strict=True)
    return [f"{session_id}.{slot_id}" for session_id, session in sessions for slot_id in slot_ids(session)]
