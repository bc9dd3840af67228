"""What in a specification may be meant, and is more often a slip: said, and built all the same."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import NamedTuple

from blockbook.spec.documents import Location
from blockbook.spec.models import Session, Slot, Specification
from blockbook.spec.values import MOST_EFFORT, in_week
from blockbook.training.doubts_on_bests import doubts_on_bests, doubts_on_body_weight, too_heavy
from blockbook.training.doubts_on_dates import doubts_on_dates
from blockbook.training.plan_checks import one_set_is_meant

MANY_EXERCISES = 8
"""A session with so many beside one with a single exercise: rows may have moved from one to the other."""

MANY_REPS, HARD_REPS = 30, 15
"""More reps than the first are asked in no set; as many as the second to failure in no several sets."""

DEEP_DROP = 40
"""Back-off sets are by no more than this, in percent, lighter."""

FEW_SECONDS = 15
"""A rest of so much without its unit is more likely in seconds."""

_HEAVIEST_BAR_IN_KG, _BARS_IN_KG = 33, (15, 20)


class Doubt(NamedTuple):
    """A sentence with the session and exercise that it is about, and the part of the specification that it is on."""

    at: Location
    said: str


def doubts(spec: Specification) -> Iterator[Doubt]:
    """What may be a slip. Common practice, no source."""
    yield from (Doubt(*found) for found in doubts_on_dates(spec))
    of_unit = tuple(_unit(spec)) or [Doubt(*found) for found in doubts_on_body_weight(spec)]
    yield from of_unit
    yield from (Doubt(*found) for found in doubts_on_bests(spec))
    for number, session in enumerate(spec.sessions):
        for position, field, said in _of_session(session):
            yield Doubt(("sessions", number, "slots", position, field), f"{session.name}: {said}")
        for position, slot in enumerate(session.slots):
            for fields, said in _of_slot(spec, slot):
                yield Doubt(("sessions", number, "slots", position, *fields), f"{session.name}: {slot.exercise}{said}")
    yield from _of_sessions(spec.sessions)


def _of_sessions(sessions: Sequence[Session]) -> Iterator[Doubt]:
    for (_, one), (number, other) in combinations(enumerate(sessions), 2):
        if one.day and one.day == other.day:
            yield Doubt(("sessions", number, "day"), f"{one.name} and {other.name} are on one day, {one.day}.")
    fullest = max(sessions, key=lambda session: len(session.slots))
    for number, session in enumerate(sessions):
        if len(session.slots) == 1 and len(fullest.slots) >= MANY_EXERCISES:
            many = f"{session.name} has one exercise, {fullest.name} has {len(fullest.slots)}"
            yield Doubt(("sessions", number, "name"), f"{many}. Did rows move from one to the other?")


def _unit(spec: Specification) -> Iterator[Doubt]:
    equipment, unit, at = spec.equipment, spec.block.unit, ("equipment", "bar")
    if unit == "kg" and equipment.bar >= _HEAVIEST_BAR_IN_KG:
        yield Doubt(at, f"A bar of {equipment.bar:g} kg: are the loads in lb? Then write the unit, too.")
    if unit == "lb" and equipment.bar in _BARS_IN_KG and 45 in equipment.plates:
        yield Doubt(at, f"A bar of {equipment.bar:g} lb beside plates of 45: is the bar in kg?")
    elif unit == "lb" and equipment.bar in _BARS_IN_KG and 20 in equipment.plates:
        said = f"A bar of {equipment.bar:g} lb and plates of 20: are the loads in kg? Then write the unit, too."
        yield Doubt(at, said)


def _of_session(session: Session) -> Iterator[tuple[int, str, str]]:
    """Position of an exercise, its field, and what is odd about it beside the others."""
    asked = [_asked(slot) for slot in session.slots]
    for position, slot in enumerate(session.slots):
        beside = (*session.slots[max(0, position - 1) : position], *session.slots[position + 1 : position + 2])
        if (times := asked.count(asked[position])) > 1 and asked.index(asked[position]) == position:
            second = asked.index(asked[position], position + 1)
            yield second, "exercise", f"{slot.exercise} stands there {times} times, asked for alike. Is one a copy?"
        if slot.pair and slot.pair not in [other.pair for other in beside]:
            yield position, "pair", f"{slot.exercise} is in the pair {slot.pair}, and nothing beside it is."
        drop = slot.back_off.drop if slot.back_off else None
        if "sets" not in slot.model_fields_set and not one_set_is_meant.value(drop, slot.reserve):
            yield position, "sets", f"{slot.exercise} says nothing of sets, so it is one."


def _of_slot(spec: Specification, slot: Slot) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """What is absurd about one exercise's numbers, to follow its name; each kind once, in the first such week."""
    weeks = range(1, spec.block.weeks + 1)
    for field, each in (("load", too_heavy), ("percent", _too_much_percent), ("rpe", _many_to_failure)):
        if first := next(((week, said) for week in weeks for said in each(spec, slot, week)), None):
            of_week = ("loads", first[0]) if field == "load" and first[0] in slot.loads else (field,)
            yield of_week, f", week {first[0]}: {first[1]}"
    if not any(slot.sets):
        yield ("sets",), ": 0 sets in every week, so it stands there and is never asked for. Is that meant?"
    most = max(reps.high for reps in (*slot.reps, *(slot.back_off.reps if slot.back_off else ())))
    if most > MANY_REPS:
        in_back_off = all(reps.high < most for reps in slot.reps)
        yield ("back_off", "reps") if in_back_off else ("reps",), f": {most} reps in a set. Is that meant?"
    if slot.back_off and slot.back_off.drop > DEEP_DROP:
        yield ("back_off", "drop"), f": back-off sets {slot.back_off.drop:g} % lighter. Is that meant?"
    if slot.rest and (found := re.fullmatch(r"(\d+)([.,]\d+)?(\s*-\s*\d+)?", slot.rest)):
        unit = "s" if int(found[1]) >= FEW_SECONDS else "min"
        yield ("rest",), f": a rest of {slot.rest}. Minutes or seconds? Write {slot.rest} {unit}, say."


def _too_much_percent(spec: Specification, slot: Slot, week: int) -> Iterator[str]:
    reps = in_week(slot.reps, week).low
    if slot.percent and (percent := in_week(slot.percent, week)) > 100 and reps > 1:
        yield f"{reps} reps at {percent:g} %, more than one goes with."


def _many_to_failure(spec: Specification, slot: Slot, week: int) -> Iterator[str]:
    reps, sets = in_week(slot.reps, week).low, in_week(slot.sets, week)
    if slot.rpe and in_week(slot.rpe, week) == MOST_EFFORT and sets > 1 and reps >= HARD_REPS:
        yield f"{sets} sets of {reps} reps with nothing left (effort {MOST_EFFORT}). Is that meant?"


def _asked(slot: Slot) -> tuple[object, ...]:
    """What a slot asks for."""
    ways = (slot.back_off, slot.percent, slot.load, slot.reserve)
    return slot.exercise.casefold(), slot.sets, slot.reps, slot.rpe, *ways, slot.tempo
