"""What a log shows, exercise by exercise, and the rep curve it gives the lifter."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from blockbook.assessment.curve import fitted_curve
from blockbook.assessment.history import LineHistory, histories, taper_week
from blockbook.assessment.readiness import deload_reason, deload_signs
from blockbook.assessment.suggestions import suggest
from blockbook.intake.log import BlockLog
from blockbook.training.effort import percent_of_max
from tests.intake.small_block import TOP, clean_inputs, log_of, spec_from
from tests.samples import template_spec, typed

DELOAD = ("  unit: kg\n", "  unit: kg\n  deload_week: 2\n")
FREE_CURVE = ("sessions:\n", "policy: {curve_prior: 0}\nsessions:\n")


HARD, LIGHT = (70, 8.5), (45, 5.5)
"""Load and effort of five reps."""


def history_of(log: BlockLog, key: str) -> LineHistory:
    return next(history for history in histories(log) if history.key == key)


def test_every_exercise_has_its_history_in_the_coachs_order(tmp_path: Path) -> None:
    every = histories(log_of(tmp_path, spec_from(), clean_inputs()))
    assert [history.key for history in every] == [
        "lower.squat", "lower.leg-press", "lower.band-pull-apart", "upper.bench-press", "upper.pull-up",
    ]  # fmt: skip
    assert all([week.week for week in history.weeks] == [1, 2] for history in every)


def test_a_block_done_as_asked_is_done_in_full_and_on_target(tmp_path: Path) -> None:
    for history in histories(log_of(tmp_path, spec_from(), clean_inputs())):
        assert history.share_done == 1
        assert history.mean_over == (None if history.key == "lower.band-pull-apart" else 0)


def test_the_taper_of_a_peak_tells_nothing_of_strength(tmp_path: Path) -> None:
    log = log_of(tmp_path, template_spec("peak"), typed("peak", "kg", "filled"))
    assert taper_week(log) == 4
    assert all(week.week < 4 for history in histories(log) for week in history.working_weeks)
    assert deload_reason(log, deload_signs(log, histories(log))) == ""


def test_a_block_of_equal_weeks_has_no_taper(tmp_path: Path) -> None:
    assert taper_week(log_of(tmp_path, spec_from(), clean_inputs())) is None


def test_feelers_do_not_count_as_sets(tmp_path: Path) -> None:
    bench = history_of(log_of(tmp_path, spec_from(), clean_inputs()), "upper.bench-press")
    assert [(week.planned_sets, week.done_sets) for week in bench.weeks] == [(3, 3), (3, 3)]


def test_strength_effort_and_loads_come_from_the_log(tmp_path: Path) -> None:
    typed = clean_inputs()
    typed |= {name: 60 for name in typed if ".squat." in name and name.endswith("/load")}
    typed |= {f"{TOP}/load": 100, f"{TOP}/reps": 5, f"{TOP}/rpe": 10}
    second = TOP.replace("w1", "w2")
    typed |= {f"{second}/load": 102.5, f"{second}/reps": 5, f"{second}/rpe": 10}
    squat = history_of(log_of(tmp_path, spec_from(), typed), "lower.squat")
    five = (37 - 5) / 36  # Brzycki's share for five reps to failure
    assert squat.bests == pytest.approx([100 / five, 102.5 / five])
    assert squat.change == pytest.approx(0.025)
    assert (squat.first_load, squat.last_load) == (100, 102.5)
    assert squat.weeks[0].worst_over == 2
    assert squat.weeks[0].over == pytest.approx(2 / 3)  # one top set 2 over, two back-off sets on target


def test_what_was_not_logged_is_unknown_not_zero(tmp_path: Path) -> None:
    squat = history_of(log_of(tmp_path, spec_from(), {}), "lower.squat")
    assert squat.share_done is None
    assert (squat.mean_over, squat.change, squat.first_load, squat.last_load) == (None,) * 4
    assert squat.working_weeks == []


def test_left_out_sets_lower_the_share_done(tmp_path: Path) -> None:
    typed = {name: value for name, value in clean_inputs().items() if not name.startswith("w2.lower.leg-press.2/")}
    assert history_of(log_of(tmp_path, spec_from(), typed), "lower.leg-press").share_done == 0.75


def test_a_deload_week_is_no_working_week(tmp_path: Path) -> None:
    spec = spec_from(DELOAD)
    squat = history_of(log_of(tmp_path, spec, clean_inputs(DELOAD)), "lower.squat")
    assert [week.deload for week in squat.weeks] == [False, True]
    assert [week.week for week in squat.working_weeks] == [1]
    assert squat.last_load == squat.first_load


@pytest.mark.parametrize(
    ("left_out", "said"),
    [
        ("w2.upper.", "not told from a part of week 2: Upper not trained"),
        ("w2.upper.minutes", "not told from a part of week 2: effort or minutes of Upper not logged"),
        ("w2", "monotony 0.6"),  # the week before, whole
    ],
)
def test_monotony_that_is_not_known_says_which_session_it_lacks(tmp_path: Path, left_out: str, said: str) -> None:
    inputs = {name: value for name, value in clean_inputs().items() if not name.startswith(left_out)}
    log = log_of(tmp_path, spec_from(), inputs)
    assert deload_signs(log, histories(log))[2].value == said


@pytest.mark.parametrize(
    ("answer", "hurt"),
    [("A", {"squat"}), ("b", {"leg-press"}), ("yes", {"squat", "leg-press", "band-pull-apart"}), ("none", set())],
)
def test_pain_belongs_to_the_exercise_it_names_else_to_all_of_the_session(
    tmp_path: Path, answer: str, hurt: set[str]
) -> None:
    log = log_of(tmp_path, spec_from(), {**clean_inputs(), "w2.lower.pain": answer})
    assert {made.key.split(".")[1] for made in suggest(log).suggestions if made.pain} == hurt


@pytest.mark.parametrize(
    ("done", "judged"),
    [((HARD, HARD), [1, 2]), ((HARD, LIGHT), [1]), ((LIGHT, HARD), [2]), ((LIGHT, LIGHT), [])],
    ids=["hard", "then light", "light first", "all light"],
)
def test_sets_far_from_hard_are_no_sign_of_a_loss(
    tmp_path: Path, done: tuple[tuple[float, float], ...], judged: list[int]
) -> None:
    """Light sets in percent, which ask for no effort: from them the maximum seems to have plunged."""
    percent = ("rpe: [7.5, 8]", "percent: 60")
    typed = clean_inputs(percent)
    for week, (load, effort) in enumerate(done, start=1):
        for number in (1, 2, 3):
            typed |= {f"w{week}.upper.bench-press.{number}/{what}": value
                      for what, value in (("load", load), ("rpe", effort))}  # fmt: skip
    bench = history_of(log_of(tmp_path, spec_from(percent), typed), "upper.bench-press")
    assert [week.week for week in bench.judged_weeks] == judged


# The lifter's own rep curve -------------------------------------------------------------------


def sets_on_curve(curve: float, reps: tuple[int, ...]) -> dict[str, Any]:
    """Squat sets to failure of a lifter with this curve and a maximum of 150 kg, reps taken in turn."""
    typed: dict[str, Any] = {}
    keys = [f"w{week}.lower.squat.{number}" for week in (1, 2) for number in (1, 2, 3)]
    for position, key in enumerate(keys):
        done = reps[position % len(reps)]
        share = percent_of_max.value(done, curve)
        assert isinstance(share, float)
        typed |= {f"{key}/load": 150 * share, f"{key}/reps": done, f"{key}/rpe": 10}
    return typed


@pytest.mark.parametrize("curve", [0.85, 1.15])
def test_the_fitted_curve_leans_toward_the_lifters_own(tmp_path: Path, curve: float) -> None:
    fitted = fitted_curve(log_of(tmp_path, spec_from(), sets_on_curve(curve, (2, 5, 12))))
    assert min(1, curve) < fitted < max(1, curve)
    assert abs(fitted - 1) >= 0.02


@pytest.mark.parametrize("curve", [0.85, 1, 1.15])
def test_without_shrinking_the_curve_is_found_again(tmp_path: Path, curve: float) -> None:
    fitted = fitted_curve(log_of(tmp_path, spec_from(FREE_CURVE), sets_on_curve(curve, (2, 5, 12))))
    assert fitted == pytest.approx(curve, abs=0.001)


@pytest.mark.parametrize(("curve", "limit"), [(0.3, 0.7), (2.5, 1.4)])
def test_the_fitted_curve_stays_within_limits(tmp_path: Path, curve: float, limit: float) -> None:
    log = log_of(tmp_path, spec_from(FREE_CURVE), sets_on_curve(curve, (2, 5, 12)))
    assert fitted_curve(log) == limit


@pytest.mark.parametrize("changes", [(), (FREE_CURVE,)], ids=["shrunk", "free"])
def test_sets_of_one_rep_count_leave_the_curve_at_1(tmp_path: Path, changes: tuple[tuple[str, str], ...]) -> None:
    assert fitted_curve(log_of(tmp_path, spec_from(*changes), sets_on_curve(1.15, (5,)))) == 1


def test_an_empty_log_leaves_the_curve_at_1(tmp_path: Path) -> None:
    assert fitted_curve(log_of(tmp_path, spec_from(), {})) == 1


def test_sets_that_say_nothing_do_not_bend_the_curve(tmp_path: Path) -> None:
    sound = sets_on_curve(1.15, (2, 5, 12))
    odd = {"w1.lower.leg-press.1/load": 100, "w1.lower.leg-press.1/reps": 8, "w1.lower.leg-press.1/rpe": 80}
    odd |= {"w1.lower.leg-press.2/load": 100, "w1.lower.leg-press.2/reps": 40, "w1.lower.leg-press.2/rpe": 9}
    alone = fitted_curve(log_of(tmp_path, spec_from(), sound))
    assert fitted_curve(log_of(tmp_path, spec_from(), {**sound, **odd})) == alone
