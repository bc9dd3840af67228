"""What in a specification may be meant, and is more often a slip: said, and built all the same."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations

from blockbook.spec.models import Session, Slot, Specification

MANY_EXERCISES = 8
"""A session with so many beside one with a single exercise: rows may have moved from one to the other."""

_HEAVIEST_BAR_IN_KG, _BARS_IN_KG = 33, (15, 20)


def doubts(spec: Specification) -> Iterator[str]:
    """Sentences, each with the session and exercise it is about. Common practice, no source."""
    yield from _unit(spec)
    for session in spec.sessions:
        yield from _of_session(session)
    for one, other in combinations(spec.sessions, 2):
        if one.day and one.day == other.day:
            yield f"{one.name} and {other.name} are on one day, {one.day}."
    fullest = max(spec.sessions, key=lambda session: len(session.slots))
    for session in spec.sessions:
        if len(session.slots) == 1 and len(fullest.slots) >= MANY_EXERCISES:
            many = f"{fullest.name} has {len(fullest.slots)}"
            yield f"{session.name} has one exercise, {many}. Did rows move from one to the other?"


def _unit(spec: Specification) -> Iterator[str]:
    equipment, unit = spec.equipment, spec.block.unit
    if unit == "kg" and equipment.bar >= _HEAVIEST_BAR_IN_KG:
        yield f"A bar of {equipment.bar:g} kg: are the loads in lb? Then write the unit, too."
    if unit == "lb" and equipment.bar in _BARS_IN_KG and 20 in equipment.plates:
        yield f"A bar of {equipment.bar:g} lb and plates of 20: are the loads in kg? Then write the unit, too."


def _of_session(session: Session) -> Iterator[str]:
    asked = Counter(map(_asked, session.slots))
    for slot in {_asked(slot): slot for slot in session.slots}.values():
        if (times := asked[_asked(slot)]) > 1:
            yield f"{session.name}: {slot.exercise} stands there {times} times, asked for alike. Is one a copy?"
    for position, slot in enumerate(session.slots):
        beside = (*session.slots[max(0, position - 1) : position], *session.slots[position + 1 : position + 2])
        if slot.pair and slot.pair not in [other.pair for other in beside]:
            yield f"{session.name}: {slot.exercise} is in the pair {slot.pair}, and nothing beside it is."
        if "sets" not in slot.model_fields_set and slot.kind not in ("top_set", "max_reps"):
            yield f"{session.name}: {slot.exercise} says nothing of sets, so it is one."


def _asked(slot: Slot) -> tuple[object, ...]:
    """What a slot asks for."""
    ways = (slot.back_off, slot.percent, slot.load, slot.reserve)
    return slot.exercise.casefold(), slot.sets, slot.reps, slot.rpe, *ways, slot.tempo
