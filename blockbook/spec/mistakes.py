"""Mistakes of a specification that only show when its parts are seen together, and where each stands."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
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
)
from blockbook.spec.values import BACK_OFF_WEEKLY_FIELDS, WEEKLY_FIELDS, in_week, slug

if TYPE_CHECKING:
    from blockbook.spec.models import Slot, Specification

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


def _id_lists(spec: Specification) -> Iterator[tuple[Location, list[str | None], list[str]]]:
    """Each list that needs ids of its own: where it is, the coach's ids, and the names behind the others."""
    sessions = spec.sessions
    yield ("sessions",), [session.id for session in sessions], [session.name for session in sessions]
    for number, session in enumerate(sessions):
        slots = session.slots
        yield ("sessions", number, "slots"), [slot.id for slot in slots], [slot.exercise for slot in slots]


def _ids_taken(given: list[str | None], names: list[str]) -> Iterator[tuple[int, str]]:
    """Ids that the coach wrote and that another of the same list has too."""
    ids = [own or slug(name) for own, name in zip(given, names, strict=True)]
    for position, own in enumerate(given):
        if own and (own in ids[:position] or (own in ids[position + 1 :] and own not in given[position + 1 :])):
            yield position, own


def _block_mistakes(spec: Specification) -> Iterator[tuple[Location, str]]:
    weeks = spec.block.weeks
    if spec.block.deload_week and spec.block.deload_week > weeks:
        yield (
            ("block", "deload_week"),
            f"the block has {weeks} weeks, so week {spec.block.deload_week} is not in it.",
        )
    if spec.block.meet and spec.block.meet < spec.block.start:
        yield ("block", "meet"), f"the meet lies before the block's start, {spec.block.start}."
    if not any(pairs for pairs in spec.equipment.plates.values()):
        yield ("equipment", "plates"), "at least one pair of plates is needed."


def mistakes(spec: Specification) -> Iterator[tuple[Location, str]]:
    """What no workbook can be made from: where it stands, and a sentence on it."""
    weeks = spec.block.weeks
    yield from _block_mistakes(spec)
    yield from _equipment_mistakes(spec)
    yield from best_mistakes(spec.lifter.bests, spec.catalogue)
    for position, exercise in enumerate(spec.exercises):
        if exercise.related and exercise.related.casefold() not in spec.catalogue:
            yield ("exercises", position, "related"), unknown_exercise(exercise.related, spec.catalogue)
    for place, given, names in _id_lists(spec):
        for position, taken in _ids_taken(given, names):
            yield (*place, position, "id"), f'the id "{taken}" is taken. Choose another.'
    for number, session in enumerate(spec.sessions):
        for position, slot in enumerate(session.slots):
            for field, message in slot_mistakes(slot, weeks, spec.catalogue):
                yield ("sessions", number, "slots", position, *field), message


def best_mistakes(names: Iterable[str], exercises: Mapping[str, Exercise]) -> Iterator[tuple[Location, str]]:
    """Bests of exercises that there are not, and of one exercise twice."""
    seen: set[str] = set()
    for name in names:
        if name.casefold() in seen:
            yield ("lifter", "bests", name), f'"{name}" stands here twice. Keep one.'
        seen.add(name.casefold())
        if name.casefold() not in exercises:
            yield ("lifter", "bests", name), unknown_exercise(name, exercises)


def unlikely(spec: Specification) -> Iterator[tuple[Location, str]]:
    """Bests that nobody can lift: a slip of a digit, or another unit."""
    body_weight, unit = spec.lifter.body_weight, spec.block.unit
    for name, best in spec.lifter.bests.items():
        exercise = spec.catalogue.get(name.casefold())
        free = exercise is not None and exercise.implement in ("barbell", "dumbbell")
        if free and best.load > MOST_TIMES_BODY_WEIGHT * body_weight:
            times = f"{best.load:g} {unit} is {best.load / body_weight:.0f} times the body weight"
            said = "{times}, more than anybody lifts. Check the digits, the unit and {body_weight}."
            yield ("lifter", "bests", name), Message(said, times=times)


def _equipment_mistakes(spec: Specification) -> Iterator[tuple[Location, str]]:
    for number, session in enumerate(spec.sessions):
        for position, slot in enumerate(session.slots):
            found = spec.catalogue.get(slot.exercise.casefold())
            if found and not spec.equipment.has(found.implement):
                missing = FieldName("dumbbells" if found.implement == "dumbbell" else found.implement)
                message = Message(NO_EQUIPMENT, exercise=found.name, implement=missing)
                yield ("sessions", number, "slots", position, "exercise"), message


def slot_mistakes(
    slot: Slot, weeks: int, exercises: Mapping[str, Exercise]
) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Mistakes of one exercise slot in a block of so many weeks: the path to the field in it, and a sentence."""
    if slot.exercise.casefold() not in exercises:
        yield ("exercise",), unknown_exercise(slot.exercise, exercises)
    yield from _weekly_mistakes(slot, weeks)
    for week in slot.loads:
        if week > weeks:
            yield ("loads", week), f"the block has {weeks} weeks, so week {week} is not in it."
    yield from _test_mistakes(slot, weeks)
    yield from _stand_in_mistakes(slot, exercises)
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


def _weekly_mistakes(slot: Slot, weeks: int) -> Iterator[tuple[tuple[str | int, ...], str]]:
    weekly: dict[tuple[str, ...], tuple[object, ...] | None] = {}
    weekly |= {(name,): getattr(slot, name) for name in WEEKLY_FIELDS}
    if slot.back_off:
        weekly |= {("back_off", name): getattr(slot.back_off, name) for name in BACK_OFF_WEEKLY_FIELDS}
    for path, values in weekly.items():
        if values is not None and len(values) > max(1, weeks):
            few = f"the block has {weeks} weeks, so there is no week {weeks + 1}. Leave its value out."
            yield (*path, weeks), few
        elif values is not None and len(values) not in (1, weeks):
            yield path, Message(UNEVEN_WEEKS, count=str(len(values)), weeks=str(weeks))


def _test_mistakes(slot: Slot, weeks: int) -> Iterator[tuple[tuple[str | int, ...], str]]:
    for position, week in enumerate(slot.test_weeks):
        if week > weeks:
            yield ("test_weeks", position), f"the block has {weeks} weeks, so week {week} is not in it."
        elif len(slot.sets) in (1, weeks) and in_week(slot.sets, week) < 2:
            yield (
                ("test_weeks", position),
                "a test needs two sets or more: the first are judged, the last goes all out.",
            )
    if slot.test_weeks and slot.kind not in ("effort", "range"):
        yield ("test_weeks",), "a test goes with work sets at a target effort only."


def _stand_in_mistakes(slot: Slot, exercises: Mapping[str, Exercise]) -> Iterator[tuple[tuple[str | int, ...], str]]:
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
