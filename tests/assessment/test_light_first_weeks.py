"""A deload in week 1, from block to block: what it asks for, and that one put in front is there for once."""

from __future__ import annotations

from pathlib import Path

import pytest

import blockbook
from blockbook.assessment.next_block import Override, next_block
from blockbook.spec.loading import parse_spec
from blockbook.spec.models import Specification
from tests.intake.small_block import followed, log_of

KEYS = ("lower.back-squat", "lower.leg-press", "upper.bench-press")


def block(more: str = "", squat: str = "8") -> Specification:
    return parse_spec(
        f"block: {{title: Base block, start: 2027-01-04, weeks: 4{more}}}\n"
        "lifter: {name: Invented Lifter, body_weight: 80, bests: {back squat: 150, bench press: 100}}\n"
        "equipment:\n"
        "  bar: 20\n"
        "  plates: {25: 4, 20: 1, 15: 1, 10: 1, 5: 1, 2.5: 1, 1.25: 1}\n"
        "  stack: {lightest: 5, heaviest: 300, step: 5}\n"
        "sessions:\n"
        f"  - {{name: Lower, slots: [{{exercise: back squat, sets: 3, reps: 5, rpe: {squat}}},"
        " {exercise: leg press, sets: 3, reps: 10, rpe: 8}]}\n"
        "  - {name: Upper, slots: [{exercise: bench press, sets: 3, reps: 5, rpe: [7, 7.5, 8, 8.5]}]}\n"
    )


def alone(spec: Specification) -> Specification:
    """The block without the first loads that were decided for it: its sheet works them out."""
    anew: dict[str, object] = {"loads": {}, "from_last_block": None, "extra_from_last_block": None}
    sessions = tuple(
        session.model_copy(update={"slots": tuple(slot.model_copy(update=anew) for slot in session.slots)})
        for session in spec.sessions
    )
    return spec.model_copy(update={"sessions": sessions})


def first_loads(spec: Specification) -> list[float | None]:
    targets = blockbook.targets(spec, {})
    return [targets[f"w1.{key}.1"] for key in KEYS]


@pytest.mark.parametrize("squat", ["8", "[7, 8, 8, 8.5]"], ids=["written once", "week by week"])
def test_a_block_that_begins_with_a_deload_begins_as_light_as_its_sheet_would(tmp_path: Path, squat: str) -> None:
    spec = block(", deload_week: 1", squat)
    made = next_block(log_of(tmp_path, spec, followed(spec))).spec
    assert made.block.deload_week == 1
    assert first_loads(made) == first_loads(alone(made))


def test_a_deload_put_in_front_is_left_out_of_the_block_after_it(tmp_path: Path) -> None:
    spec = block()
    before = log_of(tmp_path, spec, followed(spec))
    light = next_block(before, own_deload="yes")
    assert (light.spec.block.weeks, light.spec.block.deload_week, light.spec.block.deload_added) == (5, 1, True)
    assert "5 weeks in all, and the block after this one has 4 again." in light.to_yaml()
    (tmp_path / "light").mkdir()
    after = next_block(log_of(tmp_path / "light", light.spec, followed(light.spec)), earlier=[before])
    block_3 = after.spec.block
    assert (block_3.weeks, block_3.deload_week, block_3.deload_added) == (4, None, False)
    assert block_3.start == light.spec.block.end
    assert after.spec.sessions[1].slots[0].rpe == (7, 7.5, 8, 8.5)
    assert first_loads(after.spec) == first_loads(alone(after.spec))
    assert "left out again: 4 weeks in all" in after.to_yaml()


def test_a_second_deload_in_front_takes_the_place_of_the_first(tmp_path: Path) -> None:
    spec = block()
    light = next_block(log_of(tmp_path, spec, followed(spec)), own_deload="yes").spec
    (tmp_path / "light").mkdir()
    again = next_block(log_of(tmp_path / "light", light, followed(light)), own_deload="yes").spec
    assert (again.block.weeks, again.block.deload_week) == (5, 1)
    assert again.sessions[1].slots[0].rpe == (6, 7, 7.5, 8, 8.5)


def test_an_exercise_without_sets_in_any_week_can_come_back(tmp_path: Path) -> None:
    spec = block()
    made = next_block(log_of(tmp_path, spec, followed(spec)), {KEYS[1]: Override(sets=0)}).spec
    (tmp_path / "without").mkdir()
    after = next_block(log_of(tmp_path / "without", made, followed(made)))
    assert after.decisions[1].sets == 0
    back = next_block(log_of(tmp_path / "without", made, followed(made)), {KEYS[1]: Override(sets=3)}).spec
    assert back.sessions[0].slots[1].sets == (3,)


@pytest.mark.parametrize("sets", [0, 1])
def test_a_test_goes_where_too_few_sets_are_left_for_it(tmp_path: Path, sets: int) -> None:
    spec = block()
    tested = spec.sessions[0].slots[1].model_copy(update={"test_weeks": (3,)})
    lower = spec.sessions[0].model_copy(update={"slots": (spec.sessions[0].slots[0], tested)})
    spec = spec.model_copy(update={"sessions": (lower, spec.sessions[1])})
    made = next_block(log_of(tmp_path, spec, followed(spec)), {KEYS[1]: Override(sets=sets)}).spec
    assert made.sessions[0].slots[1].test_weeks == ()
