"""How fast loads rise: the literature's range, and what coaches commonly do."""

from __future__ import annotations

from itertools import pairwise
from statistics import fmean
from typing import Final

import pytest
from pydantic import ValidationError

from blockbook.spec.models import Specification
from blockbook.spec.policy import Policy
from blockbook.training.rep_growth import EASY

from .blocks import Done, block, harder, over_target, rises, train
from .published import published

SESSION: Final = """
exercise: back squat, sets: 3, reps: {reps}, rpe: 8
exercise: bench press, sets: 3, reps: {reps}, rpe: 8
exercise: barbell row, sets: 3, reps: {reps}, rpe: 8
exercise: overhead press, sets: 3, reps: {reps}, rpe: 8
exercise: front squat, sets: 2, reps: {reps}, rpe: 8
exercise: hip thrust, sets: 2, reps: {reps}, rpe: 8
"""
FIRST, THIRD = "back squat", "barbell row"
FROM_THE_FOURTH: Final = ("overhead press", "front squat", "hip thrust")

BESTS: Final = {
    "kg": "back squat: 180, bench press: 130, barbell row: 120, overhead press: 85, front squat: 140, ",
    "lb": "back squat: 400, bench press: 285, barbell row: 265, overhead press: 185, front squat: 310, ",
}
HIP_THRUST: Final = {"kg": "hip thrust: 200", "lb": "hip thrust: 440"}


def session(reps: int | str, unit: str = "kg", weeks: int = 6, steer: bool = True) -> Specification:
    """Six barbell exercises, all sets of `reps` at effort 8."""
    return block(SESSION.format(reps=reps), BESTS[unit] + HIP_THRUST[unit], weeks, unit, steer=steer)


def acsm(quantity: str) -> float:
    """ACSM 2009, Med Sci Sports Exerc 41(3):687-708: raise a load by 2-10 % once a rep or two more go."""
    return next(row.result for row in published("acsm2009") if row.given["quantity"] == quantity) / 100


# ACSM 2009 ---------------------------------------------------------------------------------


def test_no_load_rises_by_more_than_ten_percent_and_no_coach_can_ask_for_it() -> None:
    # ACSM 2009: at most 10 %.
    most = acsm("load_increase_max")
    assert Policy().most_rise <= most
    with pytest.raises(ValidationError, match="most_rise"):
        Policy(most_rise=most + 0.001)


def test_loads_may_rise_by_at_least_two_percent() -> None:
    # ACSM 2009: at least 2 %.
    assert Policy().most_rise >= acsm("load_increase_min")


def check_rises(weeks: list[Done]) -> None:
    """Load and reps together never ask for more than 10 % more; nor does the load, unless for fewer reps."""
    most = acsm("load_increase_max") + 1e-9
    for (earlier, later), rise, more in zip(pairwise(weeks), rises(weeks), harder(weeks), strict=True):
        assert more <= most
        assert rise <= most or later.reps < earlier.reps


@pytest.mark.parametrize("unit", ["kg", "lb"])
@pytest.mark.parametrize("reps", [3, 5, 8, 12])
def test_a_lifter_always_one_rep_under_target_rises_by_at_most_ten_percent(reps: int, unit: str) -> None:
    # ACSM 2009: never more than 10 % at once; and a lifter with a rep to spare is never sent down.
    for exercise, weeks in train(session(reps, unit), over_target(-1)).items():
        check_rises(weeks)
        assert min(rises(weeks)) >= 0, exercise


@pytest.mark.parametrize("reps", [3, 5, 8, 12])
@pytest.mark.parametrize("under", [1.5, 3])
def test_a_load_far_too_easy_rises_by_at_most_ten_percent(reps: int, under: float) -> None:
    # ACSM 2009: never more than 10 % at once, however easy.
    for weeks in train(session(reps), over_target(-under)).values():
        check_rises(weeks)
        assert max(harder(weeks)) > 0


@pytest.mark.parametrize("unit", ["kg", "lb"])
@pytest.mark.parametrize("reps", ["3-5", "8-10", "10-12"])
def test_a_full_rep_range_raises_the_load_by_at_most_ten_percent(reps: str, unit: str) -> None:
    # ACSM 2009: never more than 10 % at once. Loads as planned: eight reps at the effort of ten reps before
    # them would be a bad day, and a day's form may lower the exercises further down.
    done = train(session(reps, unit, steer=False), over_target(-1))
    for exercise, weeks in done.items():
        check_rises(weeks)
        assert min(rises(weeks)) >= 0, exercise
        assert weeks[3].load > weeks[0].load, exercise


# Five pounds a week ----------------------------------------------------------------------------


def test_five_pounds_a_week_from_135_are_150_in_week_four() -> None:
    # Common practice, no source. Computed: 15 / 135 = 11.1 % in three weeks.
    slots = "exercise: back squat, sets: 3, reps: 8, load: [135, 140, 145, 150]"
    spec = block(slots, "back squat: 180", unit="lb")
    loads = [done.load for done in train(spec, over_target(0))["back squat"]]
    assert loads == [135, 140, 145, 150]
    assert round(100 * (loads[3] / loads[0] - 1), 1) == 11.1


def test_bar_lifter_a_rep_under_target_gets_five_pounds_a_week_or_ten() -> None:
    # Common practice, no source: +5 lb a week, the smallest step of a bar with 2.5 lb plates. Where a rep to
    # spare and the jump from the first to the second time come together, one step of 10 lb.
    slots = "exercise: back squat, sets: 3, reps: 8, rpe: 8"
    spec = block(slots, "back squat: 180", unit="lb")  # 135 is 75 % of it: ten reps to failure (Brzycki 1993)
    loads = [done.load for done in train(spec, over_target(-1))["back squat"]]
    assert 130 <= loads[0] <= 140
    steps = [later - earlier for earlier, later in pairwise(loads)]
    assert steps in ([5, 5, 5], [10, 5, 5])


# How much, by the exercise's place ---------------------------------------------------------------


@pytest.mark.parametrize("unit", ["kg", "lb"])
@pytest.mark.parametrize("reps", [8, 10, 12])
@pytest.mark.parametrize("under", [0.5, 1])
def test_sets_of_eight_and_more_rise_by_at_most_five_percent_on_the_first_exercise(
    reps: int, unit: str, under: float
) -> None:
    # Common practice, no source: about 5 % a week, unless last week was far too easy.
    risen = rises(train(session(reps, unit), over_target(-under))[FIRST])
    assert all(rise <= 0.05 + 1e-9 for rise in risen)
    assert max(risen) > 0


@pytest.mark.parametrize("unit", ["kg", "lb"])
@pytest.mark.parametrize("reps", [8, 10, 12])
@pytest.mark.parametrize("under", [0.5, 1])
def test_sets_of_eight_and_more_rise_by_about_four_percent_on_the_third_exercise(
    reps: int, unit: str, under: float
) -> None:
    # Common practice, no source: about 4 % a week. A week may take two steps of the bar for one, so on average,
    # to the nearest percent: a rep to spare is 2 to 4 % of the load (1 / (37 - reps), Brzycki 1993).
    risen = rises(train(session(reps, unit), over_target(-under))[THIRD])
    assert fmean(risen) > 0
    assert round(100 * fmean(risen)) <= 4


@pytest.mark.parametrize("over", [0, -0.5, -1])
def test_fourth_to_sixth_exercise_hold_the_load_and_gain_reps_until_they_are_full(over: float) -> None:
    # Common practice, no source: small exercises late in a session grow by reps at the same load. After a
    # session that was easy (EASY under its target or more) reps need not be climbed one by one.
    done = train(session(5, weeks=4), over_target(over))
    needed = 5 + (1 if over <= -EASY else Policy().extra_reps)
    for exercise in FROM_THE_FOURTH:
        weeks = done[exercise]
        assert weeks[1].load == weeks[0].load
        assert weeks[1].reps > weeks[0].reps
        for earlier, later in pairwise(weeks):
            assert later.load == earlier.load or earlier.reps >= needed, exercise


@pytest.mark.parametrize("reps", [5, 8, 12])
@pytest.mark.parametrize("over", [0, -0.5, -1])
def test_fourth_to_sixth_exercise_gain_reps_within_their_room(reps: int, over: float) -> None:
    # Common practice, no source: the same. Load and reps together stay within the ACSM's 10 %.
    done = train(session(reps, weeks=4), over_target(over))
    for exercise in FROM_THE_FOURTH:
        weeks = done[exercise]
        check_rises(weeks)
        assert max(week.reps for week in weeks) > reps
        assert all(reps <= week.reps <= reps + Policy().extra_reps for week in weeks), exercise


# After a set that was too hard ------------------------------------------------------------------


@pytest.mark.parametrize("unit", ["kg", "lb"])
@pytest.mark.parametrize("reps", [3, 5, 8, 12])
@pytest.mark.parametrize("over", [1, 1.5, 2])
def test_no_load_rises_after_a_set_a_point_or_more_over_target(reps: int, unit: str, over: float) -> None:
    # Common practice, no source: an overshot set is repeated or made lighter, never heavier.
    for exercise, weeks in train(session(reps, unit), over_target(over)).items():
        assert all(rise <= 0 for rise in rises(weeks)), exercise


@pytest.mark.parametrize("easy_before", [1, 2, 3])
def test_one_overshot_week_holds_after_easy_ones(easy_before: int) -> None:
    # Common practice, no source: the last session decides, however easy the ones before it were.
    spec = session(8)
    hard_week = easy_before + 1
    done = train(spec, lambda line, planned: 9 if line.week == hard_week else 7)
    for exercise, weeks in done.items():
        assert weeks[hard_week].load <= weeks[hard_week - 1].load, exercise
