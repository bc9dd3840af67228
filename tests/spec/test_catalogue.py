"""The exercises that ship: enough of them, each muscle trained directly, and related lifts that lead to a load."""

from __future__ import annotations

from importlib.resources import files
from typing import get_args

import pytest
from pydantic import ValidationError

from blockbook.spec.catalogue import Exercise, Implement, Muscle, shipped
from blockbook.spec.documents import parse_yaml
from tests.samples import TEMPLATES, template_spec

CATALOGUE = list(shipped().values())


def test_there_are_at_least_forty_exercises_each_named_once() -> None:
    written = parse_yaml((files("blockbook.spec") / "exercises.yaml").read_text("utf-8"))
    assert len(written) == len(CATALOGUE) >= 40


@pytest.mark.parametrize("muscle", get_args(Muscle))
def test_every_muscle_has_an_exercise_that_trains_it_directly(muscle: str) -> None:
    assert [exercise.name for exercise in CATALOGUE if muscle in exercise.direct]


@pytest.mark.parametrize("implement", get_args(Implement))
def test_every_implement_is_used(implement: str) -> None:
    assert [exercise.name for exercise in CATALOGUE if exercise.implement == implement]


@pytest.mark.parametrize("exercise", CATALOGUE, ids=lambda exercise: exercise.name)
def test_an_exercise_counts_a_muscle_once(exercise: Exercise) -> None:
    muscles = exercise.direct + exercise.indirect
    assert len(set(muscles)) == len(muscles)


@pytest.mark.parametrize(
    "exercise", [exercise for exercise in CATALOGUE if exercise.related], ids=lambda exercise: exercise.name
)
def test_a_related_lift_is_another_of_the_catalogue_with_a_careful_ratio(exercise: Exercise) -> None:
    related = shipped()[str(exercise.related).casefold()]
    assert related is not exercise
    assert exercise.ratio is not None
    assert 0.05 <= exercise.ratio <= 1.5
    assert exercise.implement != "band"


@pytest.mark.parametrize("exercise", CATALOGUE, ids=lambda exercise: exercise.name)
def test_a_ratio_says_of_what_and_only_bodyweight_work_lifts_the_body(exercise: Exercise) -> None:
    assert (exercise.ratio is None) == (exercise.related is None)
    assert (exercise.body_share > 0) <= (exercise.implement == "bodyweight")


def test_a_name_is_found_in_any_case() -> None:
    spec = template_spec("strength")
    assert spec.exercise("Back Squat") == spec.exercise("back squat") == shipped()["back squat"]


@pytest.mark.parametrize("name", TEMPLATES)
def test_a_template_begins_each_loaded_exercise_from_a_best(name: str) -> None:
    spec = template_spec(name)
    bests = {best.casefold() for best in spec.lifter.bests}
    used = {spec.exercise(slot.exercise) for session in spec.sessions for slot in session.slots}
    main = {exercise for exercise in used if exercise.implement == "barbell"}
    assert main
    for exercise in main:
        assert exercise.name in bests or (exercise.related in bests and exercise.ratio)


@pytest.mark.parametrize(
    "wrong",
    [
        {"direct": ["legs"]},
        {"direct": []},
        {"implement": "kettle"},
        {"ratio": 0},
        {"ratio": 2.5},
        {"body_share": 1.5},
        {"name": ""},
        {"muscles": ["glutes"]},
    ],
    ids=lambda wrong: next(iter(wrong)),
)
def test_an_exercise_that_cannot_be_is_refused(wrong: dict[str, object]) -> None:
    right: dict[str, object] = {"name": "belt squat", "implement": "stack", "direct": ["quadriceps"]}
    assert Exercise.model_validate(right).indirect == ()
    with pytest.raises(ValidationError):
        Exercise.model_validate({**right, **wrong})
