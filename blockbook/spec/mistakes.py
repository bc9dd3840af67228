"""Mistakes of a specification that only show when its parts are seen together, and where each stands."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from difflib import get_close_matches
from typing import TYPE_CHECKING

from blockbook.spec.catalogue import Exercise
from blockbook.spec.documents import Location
from blockbook.spec.messages import (
    MISSING_EFFORT,
    NO_EQUIPMENT,
    UNEVEN_WEEKS,
    UNKNOWN_EXERCISE,
    FieldName,
    Message,
    NoSuchWeek,
)
from blockbook.spec.values import BACK_OFF_WEEKLY_FIELDS, WEEKLY_FIELDS, in_week, slug

if TYPE_CHECKING:
    from blockbook.spec.models import Block, Equipment, Lifter, Slot, Specification

AS_WRITTEN = {"as": "written"}
"""Context of validation for what a coach writes. What a workbook carries must load whatever was let pass before."""

MOST_TIMES_BODY_WEIGHT = 6.5
"""No best with a barbell or dumbbells is so heavy; the heaviest lifts ever are some five times (from memory)."""


class SpecMistakes(ValueError):
    """Mistakes that only show when parts of a specification are seen together.

    One that names other fields is a `Message`, since each source calls them its own way.
    """

    def __init__(self, mistakes: list[tuple[Location, str]]) -> None:
        super().__init__("; ".join(message for _, message in mistakes))
        self.mistakes = mistakes


def id_mistakes(given: Sequence[str | None], names: Sequence[str]) -> Iterator[tuple[Location, str]]:
    """Ids that the coach wrote and that another of the same list has too: position and field, and a sentence.

    names: what the ids that the coach did not write are made from.
    """
    ids = [own or slug(name) for own, name in zip(given, names, strict=True)]
    for position, own in enumerate(given):
        if own and (own in ids[:position] or (own in ids[position + 1 :] and own not in given[position + 1 :])):
            yield (position, "id"), f'the id "{own}" is taken. Choose another.'


def block_mistakes(block: Block) -> Iterator[tuple[Location, str]]:
    if block.deload_week and block.deload_week > block.weeks:
        yield (
            ("block", "deload_week"),
            f"the block has {block.weeks} weeks, so week {block.deload_week} is not in it.",
        )
    if block.deload_added and (block.deload_week != 1 or block.weeks < 2):
        yield (
            ("block", "deload_added"),
            "this says that week 1 is a deload put in front of the others: write deload_week: 1, or leave this out.",
        )
    if block.meet and block.meet < block.start:
        yield ("block", "meet"), f"the meet lies before the block's start, {block.start}."


def equipment_mistakes(equipment: Equipment) -> Iterator[tuple[Location, str]]:
    if not any(pairs for pairs in equipment.plates.values()):
        yield ("equipment", "plates"), "at least one pair of plates is needed."


def mistakes(spec: Specification) -> Iterator[tuple[Location, str]]:
    """What no workbook can be made from: where it stands, and a sentence on it."""
    yield from block_mistakes(spec.block)
    yield from equipment_mistakes(spec.equipment)
    yield from best_mistakes(spec.lifter.bests, spec.catalogue)
    for position, exercise in enumerate(spec.exercises):
        yield from within(("exercises", position), related_mistakes(exercise, spec.catalogue))
    sessions = spec.sessions
    yield from within(("sessions",), id_mistakes([each.id for each in sessions], [each.name for each in sessions]))
    for number, session in enumerate(sessions):
        place, slots = ("sessions", number, "slots"), session.slots
        yield from within(place, id_mistakes([each.id for each in slots], [each.exercise for each in slots]))
        for position, slot in enumerate(slots):
            yield from within((*place, position), implement_mistakes(slot, spec.equipment, spec.catalogue))
            yield from within((*place, position), slot_mistakes(slot, spec.block.weeks, spec.catalogue))


def within(part: Location, found: Iterable[tuple[Location, str]]) -> Iterator[tuple[Location, str]]:
    """Mistakes of a part, with where they stand in the whole."""
    return (((*part, *field), message) for field, message in found)


def related_mistakes(exercise: Exercise, exercises: Mapping[str, Exercise]) -> Iterator[tuple[Location, str]]:
    """One of the coach's own whose related lift there is not."""
    if exercise.related and exercise.related.casefold() not in exercises:
        yield ("related",), unknown_exercise(exercise.related, exercises)


def best_mistakes(names: Iterable[str], exercises: Mapping[str, Exercise]) -> Iterator[tuple[Location, str]]:
    """Bests of exercises that there are not, and of one exercise twice."""
    seen: set[str] = set()
    for name in names:
        if name.casefold() in seen:
            yield ("lifter", "bests", name), f'"{name}" stands here twice. Keep one.'
        seen.add(name.casefold())
        if name.casefold() not in exercises:
            yield ("lifter", "bests", name), unknown_exercise(name, exercises)


def unlikely(lifter: Lifter, unit: str, exercises: Mapping[str, Exercise]) -> Iterator[tuple[Location, str]]:
    """Bests that nobody can lift: a slip of a digit, or another unit; or that are none, as only the body is lifted."""
    for name, best in lifter.bests.items():
        exercise = exercises.get(name.casefold())
        if exercise is not None and not best.load and not exercise.body_share:
            yield ("lifter", "bests", name), "a load of 0 goes with exercises that lift the body. Write the load."
        free = exercise is not None and exercise.implement in ("barbell", "dumbbell")
        if free and best.load > MOST_TIMES_BODY_WEIGHT * lifter.body_weight:
            times = f"{best.load:g} {unit} is {best.load / lifter.body_weight:.0f} times the body weight"
            said = "{times}, more than anybody lifts. Check the digits, the unit and {body_weight}."
            yield ("lifter", "bests", name), Message(said, times=times)


def implement_mistakes(
    slot: Slot, equipment: Equipment, exercises: Mapping[str, Exercise]
) -> Iterator[tuple[Location, str]]:
    """An exercise that is done with what the gym has not."""
    found = exercises.get(slot.exercise.casefold())
    if found and not equipment.has(found.implement):
        missing = FieldName("dumbbells" if found.implement == "dumbbell" else found.implement)
        yield ("exercise",), Message(NO_EQUIPMENT, exercise=found.name, implement=missing)


def slot_mistakes(slot: Slot, weeks: int | None, exercises: Mapping[str, Exercise]) -> Iterator[tuple[Location, str]]:
    """Mistakes of one exercise slot in a block of so many weeks: the path to the field in it, and a sentence.

    weeks: None where they are not known, and nothing is said of them.
    """
    if slot.exercise.casefold() not in exercises:
        yield ("exercise",), unknown_exercise(slot.exercise, exercises)
    if weeks is not None:
        yield from _weekly_mistakes(slot, weeks)
        yield from _test_mistakes(slot, weeks)
    yield from _stand_in_mistakes(slot, exercises)
    if slot.held_for and slot.held_for.casefold() not in exercises:
        yield ("held_for",), unknown_exercise(slot.held_for, exercises)
    ways = [name for name in ("back_off", "percent", "load", "reserve") if getattr(slot, name) is not None]
    if len(ways) > 1:
        yield (ways[1],), Message(f"{{{ways[0]}}} and {{{ways[1]}}} are different prescriptions. Keep one.")
    exercise = exercises.get(slot.exercise.casefold())
    if exercise and exercise.implement == "band" and (slot.feeler or slot.loads or ways not in ([], ["reserve"])):
        said = "a band has no load: leave out {load}, {loads}, {percent}, {back_off} and {feeler}."
        yield ("exercise",), Message(said)
    if (not ways and slot.rpe is None) or (ways == ["back_off"] and slot.rpe is None):
        yield ("rpe",), Message(MISSING_EFFORT)
    if ways == ["reserve"] and slot.rpe is not None:
        yield ("rpe",), Message("leave it out: the target effort follows from {reserve}, as 10 less that.")
    if slot.back_off and any(reps.low < reps.high for reps in slot.back_off.reps):
        yield ("back_off", "reps"), "a range does not go with back-off sets. Write one number."
    if ways and any(reps.low < reps.high for reps in slot.reps):
        said = f"a range goes with a target effort only, not with {{{ways[0]}}}. Write one number."
        yield ("reps",), Message(said)


def _weekly_mistakes(slot: Slot, weeks: int) -> Iterator[tuple[Location, str]]:
    weekly: dict[tuple[str, ...], tuple[object, ...] | None] = {}
    weekly |= {(name,): getattr(slot, name) for name in WEEKLY_FIELDS}
    if slot.back_off:
        weekly |= {("back_off", name): getattr(slot.back_off, name) for name in BACK_OFF_WEEKLY_FIELDS}
    for path, values in weekly.items():
        if values is not None and len(values) > max(1, weeks):
            few = f"the block has {weeks} weeks, so there is no week {weeks + 1}. Leave its value out."
            yield (*path, weeks), NoSuchWeek(few)
        elif values is not None and len(values) not in (1, weeks):
            yield path, Message(UNEVEN_WEEKS, count=str(len(values)), weeks=str(weeks))
    for week in slot.loads:
        if week > weeks:
            yield ("loads", week), NoSuchWeek(f"the block has {weeks} weeks, so week {week} is not in it.")


def _test_mistakes(slot: Slot, weeks: int) -> Iterator[tuple[Location, str]]:
    for position, week in enumerate(slot.test_weeks):
        if week > weeks:
            yield ("test_weeks", position), NoSuchWeek(f"the block has {weeks} weeks, so week {week} is not in it.")
        elif len(slot.sets) in (1, weeks) and in_week(slot.sets, week) < 2:
            yield (
                ("test_weeks", position),
                "a test needs two sets or more: the first are judged, the last goes all out.",
            )
    if slot.test_weeks and slot.kind not in ("effort", "range"):
        yield ("test_weeks",), "a test goes with work sets at a target effort only."


def _stand_in_mistakes(slot: Slot, exercises: Mapping[str, Exercise]) -> Iterator[tuple[Location, str]]:
    taken = {slot.exercise.casefold()}
    for position, name in enumerate(slot.stand_ins):
        if name.casefold() not in exercises:
            yield ("stand_ins", position), unknown_exercise(name, exercises)
        elif name.casefold() in taken:
            yield ("stand_ins", position), f'"{name}" is the exercise itself, or stands here twice. Choose another.'
        taken.add(name.casefold())


def unknown_exercise(name: str, exercises: Mapping[str, Exercise]) -> str:
    """A sentence on a name that no exercise has, with those that were perhaps meant."""
    known = [exercise.name for exercise in exercises.values()]
    words = set(name.casefold().replace("-", " ").split())
    holding = [other for other in known if words <= set(other.casefold().replace("-", " ").split())]
    folded = {other.casefold(): other for other in known}
    close = [folded[found] for found in get_close_matches(name.casefold(), folded, n=3, cutoff=0.65)]
    likely = list(dict.fromkeys([*close, *holding]))[:4]
    guess = f" Did you mean {' or '.join(likely)}?" if likely else ""
    return Message(UNKNOWN_EXERCISE, name=name, guess=guess)
