"""The exercise catalogue that ships, and a coach's own additions to it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from importlib.resources import files
from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from blockbook.languages import say
from blockbook.spec.documents import parse_yaml
from blockbook.spec.values import ExerciseName

Implement = Literal["barbell", "dumbbell", "stack", "bodyweight", "band"]
Muscle = Literal[
    "quadriceps", "hamstrings", "glutes", "adductors", "calves", "lower back", "upper back", "lats", "chest",
    "front shoulders", "side shoulders", "rear shoulders", "triceps", "biceps", "forearms", "abdominals",
]  # fmt: skip


_MOST_OF_A_SHARE = 2


def _share(value: object) -> object:
    """A share of 1, which is easily written in percent."""
    in_percent = value.rstrip().endswith("%") if isinstance(value, str) else False
    if in_percent or (isinstance(value, (int, float)) and value > _MOST_OF_A_SHARE):
        raise ValueError("should be a share: 0.9, say, for 90 %")
    return value


class Exercise(BaseModel):
    """One exercise.

    ratio: usual 1RM as a share of the related lift's 1RM (common practice, no source); for
    bodyweight exercises of body weight and added load together, for dumbbells per hand.
    body_share: share of the body weight that is lifted along (0 for anything but bodyweight work).
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: ExerciseName = Field(min_length=1, max_length=60, description="Name as the lifter reads it")
    implement: Implement = Field(description="What is loaded: decides which loads can be made")
    direct: tuple[Muscle, ...] = Field(min_length=1, description="Muscles a set counts 1 for")
    indirect: tuple[Muscle, ...] = Field((), description="Muscles a set counts 0.5 for")
    related: ExerciseName | None = Field(None, description="Related lift a first load is guessed from")
    ratio: Annotated[float | None, BeforeValidator(_share)] = Field(
        None, gt=0, le=_MOST_OF_A_SHARE, description="Usual 1RM, share of the related lift's 1RM"
    )
    both_hands: bool = Field(False, description="One dumbbell held in both hands")
    body_share: Annotated[float, BeforeValidator(_share)] = Field(
        0, ge=0, le=1, description="Share of body weight lifted along"
    )
    technical: bool = Field(False, description="Has to be learned first: never put in for another by itself")

    @property
    def is_per_hand(self) -> bool:
        """Whether a load is that of one dumbbell of two."""
        return self.implement == "dumbbell" and not self.both_hands


@cache
def shipped() -> Mapping[str, Exercise]:
    """The catalogue that ships: exercise name in lower case -> exercise."""
    source = files("blockbook.spec") / "exercises.yaml"
    return by_name(Exercise.model_validate(entry) for entry in parse_yaml(source.read_text("utf-8")))


def shown_name(exercise: Exercise) -> str:
    """The name as the lifter reads it: one of ours in the language spoken, a coach's own as it was typed."""
    return say(exercise.name) if shipped().get(exercise.name.casefold()) == exercise else exercise.name


def by_name(exercises: Iterable[Exercise]) -> dict[str, Exercise]:
    return {exercise.name.casefold(): exercise for exercise in exercises}
