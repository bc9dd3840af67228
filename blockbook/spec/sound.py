"""What can be said of the sound parts of a specification while others are wrong."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any, TypeVar

from pydantic import BaseModel, Field, ValidationError

from blockbook.spec import catalogue
from blockbook.spec.catalogue import Exercise
from blockbook.spec.documents import Location
from blockbook.spec.mistakes import AS_WRITTEN, best_mistakes, slot_mistakes
from blockbook.spec.models import MOST_WEEKS, Slot
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


class _Bests(BaseModel):
    bests: dict[ExerciseName, Any] = {}


class _Slots(BaseModel):
    slots: list[Any] = []


class _Parts(BaseModel):
    """As much of a specification as its names and weeks can be checked by."""

    block: _Length
    lifter: _Bests = _Bests()
    sessions: list[_Slots] = []
    exercises: tuple[Exercise, ...] = ()


def mistakes_beside(data: Any) -> Iterator[tuple[Location, str]]:
    """Mistakes of what is sound in itself, with where each stands: a coach hears of all in one go."""
    parts = sound(_Parts, data)
    if parts is None:
        return
    exercises = {**catalogue.shipped(), **catalogue.by_name(parts.exercises)}
    yield from best_mistakes(parts.lifter.bests, exercises)
    for number, session in enumerate(parts.sessions):
        for position, written in enumerate(session.slots):
            slot = sound(Slot, written)
            for field, message in slot_mistakes(slot, parts.block.weeks, exercises) if slot else ():
                yield ("sessions", number, "slots", position, *field), message
