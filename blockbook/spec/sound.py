"""What can be said of the sound parts of a specification while others are wrong."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, NamedTuple, TypeVar

from pydantic import BaseModel, Field, ValidationError

from blockbook.spec import catalogue
from blockbook.spec.catalogue import Exercise
from blockbook.spec.documents import Location
from blockbook.spec.mistakes import (
    AS_WRITTEN,
    best_mistakes,
    block_mistakes,
    equipment_mistakes,
    id_mistakes,
    implement_mistakes,
    related_mistakes,
    slot_mistakes,
    unlikely,
    within,
)
from blockbook.spec.models import MOST_WEEKS, Block, Equipment, Lifter, Slot, Unit
from blockbook.spec.values import ExerciseName

Model = TypeVar("Model", bound=BaseModel)


def sound(model: type[Model], data: Any) -> Model | None:
    """A part of a specification by itself; None where it is wrong."""
    try:
        return model.model_validate(data, context=AS_WRITTEN)
    except ValidationError:
        return None


class _Length(BaseModel):
    weeks: Annotated[int, Field(ge=1, le=MOST_WEEKS)]


class _Counted(BaseModel):
    unit: Unit = "kg"


class _Bests(BaseModel):
    bests: dict[ExerciseName, Any] = {}


class _Named(BaseModel):
    name: str
    id: str | None = None


class _Slots(BaseModel):
    slots: list[Any] = []


class _Own(BaseModel):
    exercises: list[Any] = []


class _Sessions(BaseModel):
    sessions: list[Any] = []


def mistakes_beside(data: Any) -> Iterator[tuple[Location, str]]:
    """Mistakes of what is sound in itself, with where each stands: a coach hears of all in one go."""
    own = sound(_Own, data)
    written = [_sound_fields(Exercise, each, _IN_PLACE_OF_OWN).part for each in own.exercises] if own else []
    exercises = {**catalogue.shipped(), **catalogue.by_name(each for each in written if each)}
    yield from _apart(data, exercises)
    if own and (bests := sound(_Bests, data.get("lifter"))):
        yield from best_mistakes(bests.bests, exercises)
    for number, exercise in enumerate(written):
        if exercise:
            yield from within(("exercises", number), related_mistakes(exercise, exercises))
    yield from _of_sessions(data, exercises, frozenset() if own else _NAMES)


def _apart(data: Mapping[str, Any], exercises: Mapping[str, Exercise]) -> Iterator[tuple[Location, str]]:
    """Mistakes of block, equipment and lifter."""
    block, wrong = _sound_fields(Block, data.get("block"), _IN_PLACE_OF_BLOCK)
    if block:
        found = block_mistakes(block)
        yield from ((at, said) for at, said in found if not wrong & {str(at[1]), *_BLOCK_RESTS_ON[str(at[1])]})
    if equipment := sound(Equipment, data.get("equipment")):
        yield from equipment_mistakes(equipment)
    lifter, counted = sound(Lifter, data.get("lifter")), sound(_Counted, data.get("block"))
    if lifter and counted:
        yield from unlikely(lifter, counted.unit, exercises)


def _of_sessions(
    data: Mapping[str, Any], exercises: Mapping[str, Exercise], unsure: frozenset[str]
) -> Iterator[tuple[Location, str]]:
    """Mistakes of ids and slots. unsure: fields of a slot of which nothing can be said."""
    held = sound(_Sessions, data)
    sessions = held.sessions if held else []
    named = [each for session in sessions if (each := sound(_Named, session))]
    if len(named) == len(sessions):
        yield from within(("sessions",), id_mistakes([each.id for each in named], [each.name for each in named]))
    length, equipment = sound(_Length, data.get("block")), sound(Equipment, data.get("equipment"))
    for number, session in enumerate(sessions):
        place, holds = ("sessions", number, "slots"), sound(_Slots, session)
        slots = [_sound_fields(Slot, each, _IN_PLACE_OF_SLOT) for each in (holds.slots if holds else ())]
        if not any({"exercise", "id"} & wrong for _, wrong in slots):
            yield from within(place, id_mistakes([slot.id for slot, _ in slots], [slot.exercise for slot, _ in slots]))
        for position, (slot, wrong) in enumerate(slots):
            found = list(slot_mistakes(slot, length.weeks if length else None, exercises)) if slot else []
            found += implement_mistakes(slot, equipment, exercises) if slot and equipment else ()
            sure = [(field, said) for field, said in found if not _rests_on(field) & (wrong | unsure)]
            yield from within((*place, position), sure)


_NAMES = frozenset({"exercise", "stand_ins", "held_for"})
_PRESCRIPTION = frozenset({"rpe", "back_off", "percent", "load", "reserve"})
_RESTS_ON = {"rpe": _PRESCRIPTION, "test_weeks": _PRESCRIPTION | {"test_weeks", "sets", "reps"}}
"""Field of a slot -> all that a mistake told of it is taken from, where that is more than the field."""


def _rests_on(field: Location) -> frozenset[str]:
    return _RESTS_ON.get(str(field[0]), frozenset({str(field[0])}))


class _Sound(NamedTuple):
    """A part of a specification without what is wrong in it. wrong: names of those fields."""

    part: Any
    wrong: frozenset[str]


_BLOCK_RESTS_ON = {"deload_week": {"weeks"}, "deload_added": {"weeks", "deload_week"}, "meet": {"start"}}
"""Field of the block -> the others that a mistake told of it is taken from."""

_IN_PLACE_OF_BLOCK = {"title": "?", "start": "2027-01-04", "weeks": 1}
_IN_PLACE_OF_OWN = {"implement": "bodyweight", "direct": ["chest"]}
_IN_PLACE_OF_SLOT = {"exercise": "?", "reps": 1}
"""Stand for fields that are needed and wrong. Nothing is said of them."""


def _sound_fields(model: type[BaseModel], data: Any, in_place: Mapping[str, Any]) -> _Sound:
    """What is sound in a part; all of it is wrong where that is not enough."""
    try:
        return _Sound(model.model_validate(data, context=AS_WRITTEN), frozenset())
    except ValidationError as error:
        details = error.errors()
    everything = frozenset(model.model_fields)
    if not isinstance(data, dict):
        return _Sound(None, everything)
    wrong = frozenset(str(detail["loc"][0]) for detail in details)
    if any(detail["type"] == "extra_forbidden" for detail in details):
        # A name that no field has may be meant for any that is left out.
        wrong |= everything - data.keys()
    kept = {name: content for name, content in data.items() if name not in wrong}
    part = sound(model, {**{name: content for name, content in in_place.items() if name in wrong}, **kept})
    return _Sound(part, wrong if part else everything)
