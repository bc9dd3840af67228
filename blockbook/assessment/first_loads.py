"""Where a block's sheet starts exercises that are put in the place of others."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from blockbook.assessment import wording
from blockbook.sheet.calculation import Calculation
from blockbook.spec.models import Slot, Specification, session_ids, slot_ids
from blockbook.training.prescription import Line
from blockbook.workbook.assemble import decision_alone

WORKED_UP = "asks to work up to its first load"


class FirstLoad(NamedTuple):
    """An exercise in a block's first week, and the load that its sheet asks for then; None for none."""

    line: Line
    load: float | None


class Start(NamedTuple):
    """Where a block's sheet starts an exercise: the load, None for none, and what the sheet does in words."""

    load: float | None
    said: str


def first_loads(spec: Specification, before: Specification, names: Mapping[str, str]) -> dict[str, Start]:
    """Where the first week's sheet of a block starts exercises in the places with these keys, as `before` has them."""
    found = {}
    for key, (line, load) in in_first_week(spec, before, names).items():
        if key in names and load is not None:
            found[key] = Start(load, f"starts it at {wording.load_said(load, line.exercise, spec)}")
        elif key in names and line.decided:
            found[key] = Start(None, WORKED_UP)
    return found


def in_first_week(
    spec: Specification, before: Specification, names: Mapping[str, str] | None = None
) -> dict[str, FirstLoad]:
    """Every exercise of a block's first week, by the keys that `before` has. names: exercises in places of others."""
    keys = iter(slot_keys(before))
    sessions = tuple(
        session.model_copy(
            update={"slots": tuple(_with(slot, (names or {}).get(next(keys))) for slot in session.slots)}
        )
        for session in spec.sessions
    )
    block = spec.block.model_copy(update={"weeks": 1, "deload_week": 1 if spec.block.deload_week == 1 else None})
    one_week = spec.model_copy(update={"block": block, "sessions": sessions})
    workbook = decision_alone(one_week)
    calculation = Calculation(workbook.book, {})
    key_of = dict(zip(slot_keys(one_week), slot_keys(before), strict=True))
    return {
        key_of[line.slot_key]: FirstLoad(line, calculation.number(workbook.workings.cell(line, "planned")))
        for line in (place.line for session in workbook.weeks[0] for place in session.lines)
    }


def _with(slot: Slot, exercise: str | None) -> Slot:
    """The slot without what was asked for week by week, with another exercise if one is named."""
    update: dict[str, object] = {"test_weeks": (), "back_off": None, "stand_ins": (), "loads": {}}
    return slot.model_copy(update=update if exercise is None else {**update, "exercise": exercise})


def slot_keys(spec: Specification) -> list[str]:
    """Keys of the exercises of a block, in order."""
    sessions = zip(session_ids(spec), spec.sessions, strict=True)
    return [f"{session_id}.{slot_id}" for session_id, session in sessions for slot_id in slot_ids(session)]
