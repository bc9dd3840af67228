"""Weekly sets per muscle: which way, how far, within which limits."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from blockbook.assessment.outlook import Suggestion
from blockbook.assessment.suggestions import suggest
from blockbook.assessment.weekly_sets import hard_sets_done, weekly_sets
from blockbook.spec.models import Specification
from blockbook.spec.next_policy import NextPolicy
from blockbook.training.prescription import PlannedSet
from blockbook.workbook.assemble import assemble
from blockbook.workbook.layout import LinePlace
from tests.intake.small_block import Effort, clean_inputs, followed, log_of, spec_from

BENCH = "upper.bench-press"
FIVE = ("sets: 3\n        reps: 5", "sets: 5\n        reps: 5")
THREE_WEEKS = ("weeks: 2", "weeks: 3"), ("rpe: [7.5, 8]", "rpe: [7.5, 8, 8]")


def limits(text: str) -> tuple[str, str]:
    return ("sessions:\n", f"next_block: {{{text}}}\nsessions:\n")


def over_on_bench(amount: float) -> Effort:
    return lambda place, _planned: amount if place.line.slot_key == BENCH else 0


def bench_after(folder: Path, spec: Specification, typed: dict[str, Any]) -> Suggestion:
    return next(made for made in suggest(log_of(folder, spec, typed)).suggestions if made.key == BENCH)


def standing_still(spec: Specification) -> dict[str, Any]:
    """Everything as asked, the bench press in every week as in the first."""
    typed = followed(spec)
    first = {name: value for name, value in typed.items() if name.startswith(f"w1.{BENCH}.")}
    later = range(2, spec.block.weeks + 1)
    return typed | {name.replace("w1.", f"w{week}.", 1): value for week in later for name, value in first.items()}


def test_a_set_counts_one_directly_and_a_half_indirectly() -> None:
    spec = spec_from()
    found = weekly_sets([(spec.exercise("bench press"), 4), (spec.exercise("close-grip bench press"), 2)])
    assert found == {"chest": 6, "triceps": 4, "front shoulders": 3}


def test_no_response_at_target_effort_adds_a_set_and_says_why(tmp_path: Path) -> None:
    spec = spec_from(FIVE, *THREE_WEEKS)
    bench = bench_after(tmp_path, spec, standing_still(spec))
    assert (bench.sets, bench.next_sets) == (5, 6)
    said = "What trains chest gained 0.0 % a week, and this block came in at target effort. One set more a session."
    assert said in bench.reason


def test_what_hurt_in_the_block_gets_no_set_more_though_it_was_answered(tmp_path: Path) -> None:
    spec = spec_from(FIVE, *THREE_WEEKS)
    typed = {**standing_still(spec), "w1.upper.pain": "A", "w2.upper.pain": "none"}
    bench = bench_after(tmp_path, spec, typed)
    assert (bench.pain, bench.next_sets) == (False, bench.sets)


def test_two_weeks_are_noise_and_add_no_set(tmp_path: Path) -> None:
    spec = spec_from(FIVE)
    assert bench_after(tmp_path, spec, standing_still(spec)).next_sets == 5


def test_effort_over_target_takes_a_set_and_says_why(tmp_path: Path) -> None:
    spec = spec_from(FIVE)
    bench = bench_after(tmp_path, spec, followed(spec, over_on_bench(0.9)))
    assert (bench.action, bench.sets, bench.next_sets) == ("raise", 5, 4)
    assert bench.reason.endswith(
        "Chest came in 0.9 over target. Fewer sets let the higher load come in at its effort. One set fewer a session."
    )


def test_a_set_is_taken_from_what_came_in_over_target_and_not_from_what_goes_up(tmp_path: Path) -> None:
    """The bench press on target, the dumbbell bench press far over it: the chest came in over target in all."""
    spec = spec_from(FIVE, ("exercise: pull-up\n        sets: 2", "exercise: dumbbell bench press\n        sets: 5"))

    def hard(place: LinePlace, _planned: PlannedSet) -> float:
        return 2 if place.line.slot_key == "upper.dumbbell-bench-press" else 0

    *_, bench, dumbbell = suggest(log_of(tmp_path, spec, followed(spec, hard))).suggestions
    assert (bench.action, bench.next_sets) == ("raise", 5)
    assert (dumbbell.action, dumbbell.next_sets) == ("reset", 4)


def test_a_week_far_easier_than_asked_is_no_sign_that_sets_are_lacking(tmp_path: Path) -> None:
    """Lifted at 60 % at effort 5 in the last week: that says "at least", and of a loss nothing."""
    spec = spec_from(FIVE)
    typed = followed(spec)
    light = {f"w2.{BENCH}.{number}/load": 40 for number in range(1, 6)}
    light |= {f"w2.{BENCH}.{number}/rpe": 5 for number in range(1, 6)}
    bench = bench_after(tmp_path, spec, typed | light)
    assert (bench.change, bench.trend, bench.next_sets) == (None, None, 5)
    assert "lost" not in bench.reason


def test_one_week_of_several_moves_none_save_where_it_hurts(tmp_path: Path) -> None:
    spec = spec_from(FIVE)
    one_week = {name: value for name, value in followed(spec, over_on_bench(0.9)).items() if name.startswith("w1.")}
    assert bench_after(tmp_path, spec, one_week).next_sets == 5
    label = next(place.line.label for place in assemble(spec).weeks[0][1].lines if place.line.slot_key == BENCH)
    hurt = bench_after(tmp_path, spec, {**one_week, "w1.upper.pain": label})
    assert (hurt.next_sets, hurt.reason.endswith("Less work where it hurts. One set fewer a session.")) == (4, True)


@pytest.mark.parametrize(
    ("left_out", "sets", "why"),
    [
        ("w2.upper.", 5, ""),  # the session was missed: that says nothing of the exercise
        (f"w2.{BENCH}.", 4, "50% of its sets were done where its session was trained. One set fewer a session."),
    ],
)
def test_sets_left_out_take_a_set_and_a_missed_session_none(tmp_path: Path, left_out: str, sets: int, why: str) -> None:
    spec = spec_from(FIVE)
    typed = {name: value for name, value in followed(spec).items() if not name.startswith(left_out)}
    bench = bench_after(tmp_path, spec, typed)
    assert (bench.next_sets, bench.reason.endswith(why)) == (sets, True)


def test_poor_recovery_adds_nothing(tmp_path: Path) -> None:
    spec = spec_from(FIVE)
    worn = {name: {"sleep": 5, "soreness": 8}.get(name.rpartition(".")[2], value)
            for name, value in standing_still(spec).items()}  # fmt: skip
    assert bench_after(tmp_path, spec, worn).next_sets == 5


@pytest.mark.parametrize(
    ("text", "sets"),
    [("muscle_sets: {chest: 3-5}", 5), ("muscle_sets: {chest: 3-6}", 6), ("most_sets: 5", 5),
     ("muscle_sets: {triceps: 0-2}", 5)],
)  # fmt: skip
def test_sets_grow_within_the_coachs_limits_only(tmp_path: Path, text: str, sets: int) -> None:
    spec = spec_from(FIVE, *THREE_WEEKS, limits(text))
    assert bench_after(tmp_path, spec, standing_still(spec)).next_sets == sets


@pytest.mark.parametrize(("text", "sets"), [("muscle_sets: {chest: 0-4}", 4), ("muscle_sets: {chest: 7-12}", 6)])
def test_a_muscle_outside_the_limits_moves_toward_them(tmp_path: Path, text: str, sets: int) -> None:
    spec = spec_from(FIVE, limits(text))
    bench = bench_after(tmp_path, spec, followed(spec))
    assert bench.next_sets == sets
    assert "Chest has 5 sets a week, your limit is" in bench.reason


@pytest.mark.parametrize("text", ["8", "a-b", "16-8", "-3-8", 8, [8, 16]])
def test_limits_that_are_none_are_refused(text: object) -> None:
    with pytest.raises(ValueError, match=r"8-16|should"):
        NextPolicy.model_validate({"muscle_sets": {"chest": text}})


def test_limits_are_written_as_they_are_read() -> None:
    policy = NextPolicy.model_validate({"muscle_sets": {"chest": "8-16"}})
    assert policy.model_dump(exclude_defaults=True) == {"muscle_sets": {"chest": "8-16"}}


def test_hard_sets_done_are_the_mean_of_the_weeks_begun(tmp_path: Path) -> None:
    typed = clean_inputs() | {f"w2.{BENCH}.{number}/rpe": 5 for number in (1, 2, 3)}
    assert hard_sets_done(log_of(tmp_path, spec_from(), typed))["chest"] == 1.5
    assert hard_sets_done(log_of(tmp_path, spec_from(), {})) == {}


def test_a_session_that_takes_too_long_loses_a_set_of_its_last_exercise(tmp_path: Path) -> None:
    spec = spec_from(("sets: 2\n        reps: 6", "sets: 4\n        reps: 6"), limits("session_minutes: 50"))
    made = suggest(log_of(tmp_path, spec, followed(spec))).suggestions[-1]
    assert (made.exercise, made.sets, made.next_sets) == ("pull-up", 4, 4)  # lats: 4 sets, a fifth is less than one
    more = spec_from(("sets: 2\n        reps: 6", "sets: 5\n        reps: 6"), limits("session_minutes: 50"))
    made = suggest(log_of(tmp_path, more, followed(more))).suggestions[-1]
    assert made.next_sets == 4
    assert "Its session took 55 minutes of 50. One set fewer a session." in made.reason
