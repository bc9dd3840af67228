"""Which exercises are kept, varied or replaced, and by what."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from blockbook.assessment.exercise_choice import is_main_lift
from blockbook.assessment.next_block import next_block
from blockbook.assessment.outlook import Choice
from blockbook.assessment.suggestions import suggest
from blockbook.intake.log import BlockLog
from blockbook.spec.catalogue import shipped
from blockbook.spec.models import Specification
from blockbook.training.pain import close_relatives
from tests.intake.small_block import clean_inputs, followed, log_of, spec_from

PRESS, PULL_UP = "lower.leg-press", "upper.pull-up"


def choices(log: BlockLog, *earlier: BlockLog) -> dict[str, Choice]:
    return {made.key: made.choice for made in suggest(log, earlier).suggestions}


def mostly_left_out(slot: str) -> dict[str, Any]:
    return {
        name: value
        for name, value in clean_inputs().items()
        if f".{slot}." not in name or name.startswith(f"w1.lower.{slot}.1/")
    }


def test_exercises_that_go_well_are_kept_and_others_are_on_offer(tmp_path: Path) -> None:
    for key, choice in choices(log_of(tmp_path, spec_from(), clean_inputs())).items():
        assert choice.kind == "kept"
        assert choice.options or key == "lower.band-pull-apart"


def test_what_was_mostly_left_out_is_replaced_by_the_same_muscles(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), mostly_left_out("leg-press"))
    choice = choices(log)[PRESS]
    assert (choice.kind, choice.why) == ("replaced", "It was mostly left out.")
    assert shipped()[choice.exercise].direct == ("quadriceps",)
    made = next_block(log).spec.sessions[0].slots[1]
    assert made.exercise == choice.exercise
    assert made.loads == {}


def test_one_week_is_too_little_to_call_an_exercise_left_out(tmp_path: Path) -> None:
    one_week = {name: value for name, value in mostly_left_out("leg-press").items() if name.startswith("w1.")}
    assert choices(log_of(tmp_path, spec_from(), one_week))[PRESS].kind == "kept"


def test_a_session_missed_and_one_cut_short_do_not_make_an_exercise_left_out(tmp_path: Path) -> None:
    """The leg press: in full in week 1, a week of flu, and the squats alone in week 3."""
    more = "exercise: leg press\n        sets: [2, 2, 4]"
    spec = spec_from(
        ("  weeks: 2\n", "  weeks: 3\n"), ("[7.5, 8]", "[7.5, 8, 8]"), ("exercise: leg press\n        sets: 2", more)
    )
    typed = {name: value for name, value in followed(spec).items() if not name.startswith(("w2.", "w3.lower.leg"))}
    assert choices(log_of(tmp_path, spec, typed))[PRESS].kind == "kept"
    twice = {name: value for name, value in typed.items() if not name.startswith("w1.lower.leg-press.2/")}
    assert choices(log_of(tmp_path, spec, twice))[PRESS].kind == "replaced"


def test_a_replacement_needs_an_implement_that_takes_the_load(tmp_path: Path) -> None:
    """With a stack that ends at 10 kg, nothing on the stack can stand for a leg press."""
    small = spec_from(("stack: {lightest: 5, heaviest: 200, step: 5}", "stack: {lightest: 5, heaviest: 10, step: 5}"))
    choice = choices(log_of(tmp_path, small, mostly_left_out("leg-press")))[PRESS]
    assert choice.exercise != "leg press"
    assert {shipped()[name].implement for name in choice.options} <= {"barbell", "dumbbell", "bodyweight"}


def test_what_has_to_be_learned_first_is_never_offered(tmp_path: Path) -> None:
    spec = spec_from(("exercise: leg press", "exercise: romanian deadlift"), ("bests: {", "bests: {deadlift: 150, "))
    options = choices(log_of(tmp_path, spec, followed(spec)))["lower.romanian-deadlift"].options
    assert options[0] == "dumbbell romanian deadlift"
    assert "stiff-leg deadlift" in options
    assert "power clean" not in options


def test_a_gym_without_dumbbells_is_offered_none(tmp_path: Path) -> None:
    gym = spec_from(("  dumbbells: {lightest: 2, heaviest: 40, step: 2}\n", ""))
    for choice in choices(log_of(tmp_path, gym, followed(gym))).values():
        assert "dumbbell" not in {shipped()[name].implement for name in choice.options}


def test_no_exercise_comes_twice(tmp_path: Path) -> None:
    spec = spec_from(("exercise: pull-up", "exercise: hack squat"))
    log = log_of(tmp_path, spec, {**mostly_left_out("leg-press")})
    assert choices(log)[PRESS].exercise != "hack squat"


def test_pain_in_one_block_is_for_the_coach_to_judge_and_options_are_told(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), {**clean_inputs(), "w2.lower.pain": "B"})
    press = next(made for made in suggest(log).suggestions if made.key == PRESS)
    assert press.choice.kind == "kept"
    one, other = press.choice.options[:2]
    assert press.reason.endswith(
        f"{one.capitalize()} or {other} would train the same muscles and may hurt as well: ask where it hurts."
    )


def test_pain_in_two_blocks_replaces_the_exercise(tmp_path: Path) -> None:
    typed = {**clean_inputs(), "w2.lower.pain": "B"}
    before = spec_from(("title: Small block", "title: Before"), ("start: 2027-01-04", "start: 2026-12-21"))
    log = log_of(tmp_path, spec_from(), typed)
    press = next(made for made in suggest(log, [log_of(tmp_path, before, typed)]).suggestions if made.key == PRESS)
    assert press.choice.kind == "replaced"
    assert shipped()[press.choice.exercise].implement != "stack"
    assert press.reason.startswith("Pain was reported: ask the lifter first.")
    assert "It hurt in this block and in the one before." in press.reason


def test_a_relative_of_what_hurts_that_was_left_out_says_both(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), {**mostly_left_out("leg-press"), "w1.lower.pain": "A", "w2.lower.pain": "A"})
    press = next(made for made in suggest(log).suggestions if made.key == PRESS)
    assert (press.action, press.near_pain) == ("hold", "back squat")
    assert "trains the same: nothing is raised here either" in press.reason
    assert "It was mostly left out." in press.reason


LAST_ROW = (
    ("exercise: pull-up", "exercise: barbell row"),
    ("sessions:\n", "next_block: {session_minutes: 50}\nsessions:\n"),
)  # fmt: skip


def test_a_session_that_takes_too_long_gets_a_quicker_last_exercise(tmp_path: Path) -> None:
    spec = spec_from(*LAST_ROW)
    log = log_of(tmp_path, spec, followed(spec))
    choice = choices(log)["upper.barbell-row"]
    assert choice.kind == "replaced"
    assert choice.why.startswith("The session took 55 minutes of 50")
    assert shipped()[choice.exercise].implement != "barbell"


@pytest.mark.parametrize("minutes", ["60", "null"])
def test_time_is_judged_only_where_the_coach_says_how_much_there_is(tmp_path: Path, minutes: str) -> None:
    spec = spec_from(LAST_ROW[0], ("sessions:\n", f"next_block: {{session_minutes: {minutes}}}\nsessions:\n"))
    assert choices(log_of(tmp_path, spec, followed(spec)))["upper.barbell-row"].kind == "kept"


@pytest.mark.parametrize(
    ("one", "other", "close"),
    [
        ("back squat", "leg press", True),
        ("back squat", "deadlift", True),
        ("bench press", "triceps pushdown", True),
        ("bench press", "cable crunch", False),
        ("bench press", "pull-up", False),
        ("pull-up", "dumbbell curl", True),
        ("deadlift", "barbell row", True),  # the lower back, directly and indirectly
        ("deadlift", "cable row", False),
        ("barbell row", "overhead press", False),
        ("back squat", "bench press", False),
    ],
)
def test_close_relatives_share_a_direct_muscle_the_lower_back_or_the_lift(one: str, other: str, close: bool) -> None:
    assert close_relatives(shipped()[one], shipped()[other]) == close
    assert close_relatives(shipped()[other], shipped()[one]) == close


def test_main_lifts_are_those_that_others_are_guessed_from() -> None:
    spec: Specification = spec_from()
    main = {exercise.name for exercise in spec.catalogue.values() if is_main_lift(spec, exercise)}
    assert main == {"back squat", "bench press", "deadlift", "overhead press"}
