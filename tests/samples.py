"""Specifications and logs that tests share. All lifters and loads are invented."""

from __future__ import annotations

from datetime import date
from functools import cache
from typing import Any

from blockbook.demonstration import fill_in
from blockbook.spec.loading import parse_spec
from blockbook.spec.models import Slot, Specification, Unit
from blockbook.spec.templates import starter, templates
from blockbook.spec.values import BACK_OFF_WEEKLY_FIELDS, WEEKLY_FIELDS
from blockbook.workbook.assemble import assemble

TEMPLATES = [template.name for template in templates()]
UNITS: tuple[Unit, ...] = ("kg", "lb")
START = date(2027, 1, 4)


WITHOUT_BESTS = " without bests"
IN_RESERVE = " in reserve"
STAND_INS = " with stand-ins"
OFFERED = ("leg press", "dumbbell bench press", "pull-up", "front squat", "band pull-apart")
"""One of each kind of implement."""


@cache
def template_spec(name: str, unit: Unit = "kg") -> Specification:
    """A template's starter; with WITHOUT_BESTS behind its name, of a lifter nothing is known of.

    With IN_RESERVE behind it, the same for a lifter who types reps left; with STAND_INS, any of OFFERED may be done
    in the place of each exercise. Those without bests and with stand-ins in three weeks.
    """
    if name.endswith(STAND_INS):
        return _with_stand_ins(_short(template_spec(name.removesuffix(STAND_INS), unit)))
    if name.endswith(IN_RESERVE):
        spec = template_spec(name.removesuffix(IN_RESERVE), unit)
        return spec.model_copy(update={"block": spec.block.model_copy(update={"effort_as": "reps in reserve"})})
    spec = parse_spec(starter(name.removesuffix(WITHOUT_BESTS), START, unit), name)
    if name.endswith(WITHOUT_BESTS):
        return _short(spec.model_copy(update={"lifter": spec.lifter.model_copy(update={"bests": {}})}))
    return spec


def _short(spec: Specification, weeks: int = 3) -> Specification:
    """Its first weeks: the others have formulas of the same kinds."""
    data = spec.to_data()
    data["block"] |= {"weeks": weeks, "deload_week": None}
    for part in (part for session in data["sessions"] for slot in session["slots"] for part in _parts(slot)):
        part |= {
            name: value[:weeks] for name, value in part.items() if isinstance(value, list | tuple) and name in _WEEKLY
        }
    return Specification.model_validate(data)


_WEEKLY = {*WEEKLY_FIELDS, *BACK_OFF_WEEKLY_FIELDS}


def _parts(slot: dict[str, Any]) -> list[dict[str, Any]]:
    return [slot, slot["back_off"]] if isinstance(slot.get("back_off"), dict) else [slot]


def _with_stand_ins(spec: Specification) -> Specification:
    sessions = [
        session.model_copy(
            update={"slots": [slot.model_copy(update={"stand_ins": _others(slot)}) for slot in session.slots]}
        )
        for session in spec.sessions
    ]
    return spec.model_copy(update={"sessions": sessions})


def _others(slot: Slot) -> tuple[str, ...]:
    return tuple(name for name in OFFERED if name != slot.exercise)


@cache
def _filled(name: str, unit: Unit) -> dict[str, Any]:
    workbook = assemble(template_spec(name, unit))
    filled = fill_in(workbook)
    for week in workbook.weeks:
        offered = [line for place in week for line in place.lines if line.instead_row is not None]
        for number, line in enumerate(offered):  # each exercise another stand-in, the same one every other week
            choices = (*line.line.slot.stand_ins, "something else")
            filled[line.instead_key] = choices[number % len(choices)] if line.line.week % 2 else None
    return filled


def typed(name: str, unit: Unit, how_much: str) -> dict[str, Any]:
    """What is typed into a template's workbook: "empty", "half filled" or "filled".

    Half filled stops in the middle of a session, with a set begun, pain, a note that speaks
    of it, an effort missing, and all of one exercise's.
    """
    if how_much == "empty":
        return {}
    everything = _filled(name, unit)
    if how_much == "filled":
        return dict(everything)
    names = list(everything)
    half = {name: everything[name] for name in names[: len(names) // 2]}
    half[next(name for name in half if name.endswith(".pain"))] = "A"
    half[[name for name in half if name.endswith("/rpe")][5]] = None
    last = [name for name in half if name.endswith("/load")][-1]
    without_effort = next(name for name in half if name.endswith("/rpe")).rsplit(".", 1)[0]
    half |= {name: None for name in half if name.startswith(f"{without_effort}.") and name.endswith("/rpe")}
    half[last.replace("/load", "/note")] = "The KNEE hurts"
    return half
