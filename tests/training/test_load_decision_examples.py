"""The load decision by example: what is typed in one week does to the loads that follow."""

from __future__ import annotations

import math
from datetime import date
from typing import Any

import pytest

from blockbook import targets
from blockbook.sheet.book import Cell
from blockbook.sheet.calculation import Calculation
from blockbook.spec.loading import parse_spec
from blockbook.spec.models import Specification
from blockbook.spec.policy import Policy
from blockbook.training.belief import ABOVE_ELSEWHERE
from blockbook.training.loading import NO_CEILING, Loadable, looked_up
from blockbook.training.progression import (
    LOGISTIC_SCALE,
    careful,
    cheapest,
    expected_cost,
    rung_over,
    rung_under,
)
from blockbook.training.reasons import BACK_OFF_FAILED, ELSEWHERE_FIRST, ELSEWHERE_SINCE, NONE_COUNTED_FIRST
from blockbook.workbook.assemble import BlockBook, assemble
from blockbook.workbook.layout import COLUMN, LinePlace, input_name, session_input_key, week_sheet

EQUIPMENT = """
equipment:
  bar: 20
  plates: {25: 4, 20: 1, 15: 1, 10: 1, 5: 1, 2.5: 1, 1.25: 1}
  dumbbells: {lightest: 2, heaviest: 50, step: 2}
  stack: {lightest: 5, heaviest: 200, step: 5}
  added_weight: {lightest: 0, heaviest: 60, step: 2.5}
"""
BESTS = "{back squat: 150, bench press: 100, deadlift: 180}"
Log = dict[str, tuple[float | None, float | None, float | None]]
SQUATS = "{exercise: back squat, sets: 3, reps: 5, rpe: 8}"
THREE_LIFTS = (
    f"{SQUATS}, {{exercise: bench press, sets: 3, reps: 5, rpe: 8}}, {{exercise: deadlift, sets: 3, reps: 5, rpe: 8}}"
)
CURLS = "{exercise: leg curl, sets: 1, reps: 10, rpe: 8}"


def block(slots: str, bests: str = BESTS, more: str = "", policy: str = "{}", lifter: str = "") -> Specification:
    return parse_spec(
        f"block: {{title: Examples, start: 2027-01-04, weeks: 4{more}}}\n"
        f"lifter: {{name: Invented Lifter, body_weight: 80, bests: {bests}{lifter}}}\n"
        f"policy: {policy}\n"
        f"{EQUIPMENT}sessions:\n  - name: Day\n    slots: [{slots}]\n"
    )


def sets(week: int, slot: str, load: float, reps: float, *efforts: float | None) -> Log:
    """Sets of an exercise in a week, one for each effort."""
    return {f"w{week}.day.{slot}.{n}": (load, reps, effort) for n, effort in enumerate(efforts, start=1)}


def first_set(spec: Specification, logged: Log) -> list[float]:
    """Target of the first set of the first exercise, week by week."""
    made = targets(spec, logged)
    slot = next(key for key in made if key.endswith(".1")).split(".")[2]
    return [made[f"w{week}.day.{slot}.1"] or 0 for week in range(1, 5)]


def calculated(
    spec: Specification, logged: Log, dates: dict[int, date] | None = None, pain: str = ""
) -> tuple[BlockBook, Calculation]:
    """The workbook with a log typed in, the dates of sessions by week, and the pain of week 1."""
    workbook = assemble(spec)
    inputs: dict[str, float | int | str | date | None] = {
        input_name(key, name): value
        for key, values in logged.items()
        for name, value in zip(("load", "reps", "rpe"), values, strict=True)
    }
    inputs |= {session_input_key(f"w{week}.day", "date"): day for week, day in (dates or {}).items()}
    inputs |= {session_input_key("w1.day", "pain"): pain} if pain else {}
    return workbook, Calculation(workbook.book, inputs)  # type: ignore[arg-type]


def worked_out(spec: Specification, logged: Log, name: str, week: int = 1) -> float:
    """A step of the decision, of the first exercise."""
    workbook, calculation = calculated(spec, logged)
    line = workbook.weeks[week - 1][0].session.lines[0]
    return calculation.number(workbook.workings.cell(line, name)) or 0


def asked_reps(spec: Specification, logged: Log) -> list[float | None]:
    """Target reps of the first set, week by week."""
    workbook, calculation = calculated(spec, logged)
    return [calculation.number(week[0].lines[0].cell("target_reps", 1)) for week in workbook.weeks]


def reason(calculation: Calculation, place: LinePlace) -> str:
    """The sentence under an exercise."""
    return str(calculation.value(Cell(week_sheet(place.line.week), place.reason_row, COLUMN["label"])))


# The load of least expected cost ---------------------------------------------------------------


@pytest.mark.parametrize(("sure", "load"), [(0.01, 125), (0.05, 122.5), (0.15, 120)])
def test_the_surer_the_best_the_nearer_the_first_load_to_the_aim(sure: float, load: float) -> None:
    """150 gives five at effort 8 with 125: 37 - 7 = 30 thirty-sixths. Unsure, too heavy is worse than too light."""
    assert first_set(block(SQUATS, policy=f"{{known_sd: {sure}}}"), {})[0] == load


def test_a_maximum_guessed_from_another_lift_starts_lower_than_the_same_one_stated() -> None:
    slot = "{exercise: romanian deadlift, sets: 2, reps: 5, rpe: 8}"
    guess = worked_out(block(slot), {}, "prior")
    stated = first_set(block(slot, f"{{romanian deadlift: {guess:.2f}}}", policy="{known_sd: 0.01}"), {})[0]
    assert first_set(block(slot), {})[0] < stated <= worked_out(block(slot), {}, "aim") + 1.25


@pytest.mark.parametrize(
    ("bests", "load"),
    [("{bench press: 100}", 0), ("{bench press: 100, pull-up: 30}", 2.5), ("{pull-up: {load: 0, reps: 8}}", 0)],
)
def test_no_guess_hangs_weight_on_a_lifter(bests: str, load: float) -> None:
    spec = block("{exercise: pull-up, sets: 3, reps: 8, reserve: 2}", bests)
    assert targets(spec, {})["w1.day.pull-up.1"] == load


def cost(load: float, aim: float, spread: float, body_load: float, over_cost: float) -> float:
    value = expected_cost.value(load, aim, spread, body_load, over_cost)
    assert isinstance(value, float)
    return value


@pytest.mark.parametrize("aim", [60.5, 62, 63, 64.5])
@pytest.mark.parametrize("spread", [0.01, 0.04, 0.12])
@pytest.mark.parametrize("over_cost", [1.0, 1.6, 4.0])
def test_no_load_on_the_ladder_costs_less_than_the_chosen_one(aim: float, spread: float, over_cost: float) -> None:
    loads = tuple(20 + 2.5 * step for step in range(40))
    best = careful.value(aim, spread, 0, over_cost)
    rungs = looked_up([Loadable(load) for load in loads])
    lower, upper = rung_under.value(best, rungs), rung_over.value(best, rungs)
    chosen = cheapest.value(lower, upper, aim, spread, 0, over_cost, NO_CEILING, 0)
    assert chosen == min(loads, key=lambda load: cost(load, aim, spread, 0, over_cost))


@pytest.mark.parametrize("load", [90.0, 100.0, 104.0])
def test_expected_cost_is_that_of_the_belief(load: float) -> None:
    """Summed over the logistic distribution of the right load, in steps of a hundred-thousandth."""
    spread, over_cost, steps = 0.05, 1.6, 100_000
    scale, summed = LOGISTIC_SCALE * spread, 0.0
    for step in range(steps):
        share = (step + 0.5) / steps
        right = math.log(100) + scale * math.log(share / (1 - share))
        over = math.log(load) - right
        summed += (over_cost * over if over > 0 else -over) / steps
    assert cost(load, 100, spread, 0, over_cost) == pytest.approx(summed / scale, rel=1e-3)


@pytest.mark.parametrize("over_cost", [1.0, 1.6, 4.0])
def test_a_hair_more_or_less_than_the_careful_load_costs_more(over_cost: float) -> None:
    best = careful.value(100, 0.05, 20, over_cost)
    assert isinstance(best, float)
    costs = [cost(load, 100, 0.05, 20, over_cost) for load in (best, best - 0.1, best + 0.1)]
    assert costs[0] == min(costs)
    assert best == pytest.approx(100) if over_cost == 1 else best < 100


# From session to session -----------------------------------------------------------------------


def test_a_session_on_target_is_followed_by_a_small_step() -> None:
    """What was only believed is now seen, so less is left off for being unsure."""
    first, second, *_ = first_set(block(SQUATS), sets(1, "back-squat", 122.5, 5, 8, 8, 8))
    assert first == 122.5
    assert 122.5 < second <= 1.05 * 122.5


def test_the_easier_a_session_the_larger_the_step() -> None:
    followed = [first_set(block(SQUATS), sets(1, "back-squat", 122.5, 5, *[rpe] * 3))[1] for rpe in (8.5, 8, 7, 6)]
    assert followed == sorted(followed)
    assert followed[-1] > followed[0]


def test_a_load_rises_by_a_tenth_at_most() -> None:
    """A lifter who took 100 for fear climbs back in steps, although 150 was stated."""
    assert 100 < first_set(block(SQUATS), sets(1, "back-squat", 100, 5, 6, 6, 6))[1] <= 110


def test_an_overshot_session_holds() -> None:
    assert first_set(block(SQUATS), sets(1, "back-squat", 122.5, 5, 9))[1] == 122.5


def test_one_over_on_the_first_set_is_no_reason_to_rise_however_easy_the_rest_was() -> None:
    first, second, *_ = first_set(block(SQUATS), sets(1, "back-squat", 115, 5, 9, 6, 6))
    assert second <= 115 < first


def test_sets_that_come_in_over_on_average_do_not_rise_after_an_easy_first_one() -> None:
    first, second, *_ = first_set(block(SQUATS), sets(1, "back-squat", 115, 5, 7, 10, 10))
    assert second <= 115 < first


def test_missed_reps_count_as_overshoot() -> None:
    """Four of five at effort 8 are one over: the load does not rise. A rep failed at effort 10 brings it down."""
    assert 0.9 * 125 <= first_set(block(SQUATS), sets(1, "back-squat", 125, 4, 8))[1] <= 125
    assert 0.9 * 125 <= first_set(block(SQUATS), sets(1, "back-squat", 125, 4, 10))[1] < 125


def test_a_load_that_failed_two_over_target_is_not_asked_for_again() -> None:
    """Bench press 4 x 6 @8: one good set, then a rep missed in each: a step less next time."""
    spec = block("{exercise: bench press, sets: 4, reps: 6, rpe: 8}", bests="{bench press: {load: 104, spread: 0.01}}")
    failed = {f"w1.day.bench-press.{n}": (82.5, 5, 10) for n in (2, 3, 4)}
    assert first_set(spec, {"w1.day.bench-press.1": (82.5, 6, 9), **failed})[1] == 80
    as_hard = {f"w1.day.bench-press.{n}": (82.5, 6, 10) for n in (2, 3, 4)}
    assert first_set(spec, {"w1.day.bench-press.1": (82.5, 6, 9), **as_hard})[1] == 82.5


def test_after_a_failure_with_the_lightest_load_there_is_a_rep_less_is_asked() -> None:
    """Leg raises of 8 to 12: eleven were asked for, and the last did not come."""
    spec = block("{exercise: hanging leg raise, sets: 3, reps: 8-12, rpe: 8}")
    spec = spec.model_copy(update={"equipment": spec.equipment.model_copy(update={"added_weight": None})})
    first = asked_reps(spec, sets(1, "hanging-leg-raise", 0, 10, 8, 8, 8))[1] or 0
    done = sets(1, "hanging-leg-raise", 0, 10, 8, 8, 8) | sets(2, "hanging-leg-raise", 0, first - 1, 10, 10, 10)
    assert (asked_reps(spec, done)[2] or 0) < first


def test_missed_reps_are_no_matter_of_judging_effort() -> None:
    """Tests have shown that this lifter leaves two reps unreported; a rep that was not done was not left."""
    spec = block(SQUATS, lifter=", effort_bias: 2, effort_tests: 4")
    missed = sets(1, "back-squat", 115, 5, 8, 7, 7) | {"w1.day.back-squat.1": (115, 4, None)}
    assert first_set(spec, missed)[1] <= 115


def test_without_effort_the_load_does_not_rise() -> None:
    assert first_set(block(SQUATS), sets(1, "back-squat", 115, 5, None, None, None))[1] == 115


def test_a_load_held_on_purpose_stays() -> None:
    spec = block("{exercise: back squat, sets: 3, reps: 5, rpe: 8, progress: hold}")
    logged: Log = {}
    for week in (1, 2, 3):
        logged |= sets(week, "back-squat", 122.5, 5, 7.5, 7.5, 7.5)
    assert first_set(spec, logged) == [122.5] * 4


@pytest.mark.parametrize("slip", [(1250, 5, 8), (225, 5, 8), (12.5, 5, 8), (5, 125, 8)])
def test_a_slip_of_the_keyboard_moves_nothing(slip: tuple[float, float, float]) -> None:
    assert first_set(block(SQUATS), {"w1.day.back-squat.1": slip}) == first_set(block(SQUATS), {})


def test_a_failed_try_above_the_target_is_no_new_last_load() -> None:
    first, second, *_ = first_set(block(SQUATS), sets(1, "back-squat", 160, 0, 10))
    assert second <= first


def test_a_deload_is_lighter_and_no_yardstick_for_the_week_after() -> None:
    spec = block(SQUATS, more=", deload_week: 3")
    logged = sets(1, "back-squat", 122.5, 5, 8, 8, 8) | sets(2, "back-squat", 125, 5, 8, 8, 8)
    before, after = (first_set(spec, logged | sets(3, "back-squat", load, 5, 5)) for load in (100, 80))
    believed = worked_out(spec, logged, "prior", week=3)
    assert before[2] <= believed * (37 - 5 - 4) / 36 < 125  # five at effort 6 leave four
    assert before[3] == after[3] >= 125


# Gaps ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("effort", [6, 8])
def test_back_after_two_weeks_the_load_holds_and_says_so(effort: float) -> None:
    logged = sets(1, "back-squat", 115, 5, effort, effort, effort)
    workbook, late = calculated(block(SQUATS), logged, {2: date(2027, 1, 18)})
    _, in_time = calculated(block(SQUATS), logged)
    place = workbook.weeks[1][0].lines[0]
    for column in ("planned", "target"):
        assert (late.number(place.cell(column, 1)) or 0) <= 115 < (in_time.number(place.cell(column, 1)) or 0)
    assert reason(late, place) == "Same load: 14 days since it was last logged, so no increase yet."


def test_after_a_week_left_out_the_load_holds_and_says_so() -> None:
    workbook, calculation = calculated(block(SQUATS), sets(1, "back-squat", 115, 5, 7, 7, 7))
    place = workbook.weeks[2][0].lines[0]
    assert calculation.number(place.cell("target", 1)) == 115
    assert "14 days since it was last logged" in reason(calculation, place)


def test_an_exercise_that_was_trained_in_another_session_was_not_left_out() -> None:
    """The heavy session of week 2 was left out, its squats were done in the light one: four days ago, not fourteen."""
    heavy, light = f"[{SQUATS}]", "[{exercise: back squat, id: light, sets: 3, reps: 5, percent: 70}]"
    spec = parse_spec(
        f"block: {{title: Examples, start: 2027-01-04, weeks: 4}}\n"
        f"lifter: {{name: Invented Lifter, body_weight: 80, bests: {BESTS}}}\n"
        f"{EQUIPMENT}sessions: [{{name: Heavy, slots: {heavy}}}, {{name: Light, slots: {light}}}]\n"
    )
    first: Log = {f"w1.heavy.back-squat.{n}": (115, 5, 7) for n in (1, 2, 3)}
    second: Log = {f"w2.light.light.{n}": (105, 5, 6) for n in (1, 2, 3)}
    for logged, gap in ((first, True), (first | second, False)):
        workbook, calculation = calculated(spec, logged)
        place = workbook.weeks[2][0].lines[0]
        assert ("since it was last logged" in reason(calculation, place)) == gap
        assert calculation.number(workbook.workings.cell(place.line, "days")) == (14 if gap else 4)


PRESSED_TWICE = parse_spec(
    f"block: {{title: Examples, start: 2027-01-04, weeks: 4}}\n"
    f"lifter: {{name: Invented Lifter, body_weight: 80, bests: {BESTS}}}\n"
    f"{EQUIPMENT}sessions:\n"
    "  - {name: Long, day: Mon, slots: [{exercise: bench press, sets: 3, reps: 8, rpe: 8}]}\n"
    "  - {name: Short, day: Fri, slots: [{exercise: bench press, sets: 3, reps: 5, rpe: 7.5}]}\n"
)
FAR_SHORT: Log = {f"w1.long.bench-press.{n}": (load, 4, 10) for n, load in enumerate((72.5, 65, 60), start=1)}


def test_what_failed_on_monday_is_not_asked_for_on_friday() -> None:
    """Four of eight reps: Friday's fives are no heavier than that allows by 3 %, and say why."""
    workbook, calculation = calculated(PRESSED_TWICE, FAR_SHORT)
    monday, friday = (session.lines[0] for session in workbook.weeks[0])
    believed = calculation.number(workbook.workings.cell(monday.line, "capacity")) or 0
    planned_from = calculation.number(workbook.workings.cell(friday.line, "to_plan_from")) or 0
    assert planned_from == pytest.approx(believed * math.exp(ABOVE_ELSEWHERE))
    assert reason(calculation, friday).startswith(ELSEWHERE_FIRST)
    usual = targets(PRESSED_TWICE, {})["w1.short.bench-press.1"] or 0
    assert (calculation.number(friday.cell("planned", 1)) or 0) < 0.9 * usual


def test_a_good_monday_raises_no_friday() -> None:
    easy: Log = {f"w1.long.bench-press.{n}": (72.5, 8, 6) for n in (1, 2, 3)}
    assert (
        targets(PRESSED_TWICE, easy)["w1.short.bench-press.1"] == targets(PRESSED_TWICE, {})["w1.short.bench-press.1"]
    )


def test_a_friday_that_failed_lowers_the_monday_after_it() -> None:
    monday: Log = {f"w1.long.bench-press.{n}": (72.5, 8, 8) for n in (1, 2, 3)}
    friday: Log = {f"w1.short.bench-press.{n}": (77.5, 2, 10) for n in (1, 2, 3)}
    workbook, calculation = calculated(PRESSED_TWICE, monday | friday)
    place = workbook.weeks[1][0].lines[0]
    assert (calculation.number(place.cell("planned", 1)) or 0) < 72.5
    assert reason(calculation, place).endswith(ELSEWHERE_SINCE)


TWICE_A_WEEK = parse_spec(
    f"block: {{title: Examples, start: 2027-01-04, weeks: 4}}\n"
    f"lifter: {{name: Invented Lifter, body_weight: 80, bests: {BESTS}}}\n"
    f"{EQUIPMENT}sessions:\n  - {{name: Heavy, day: Mon, slots: [{SQUATS}]}}\n"
    "  - {name: Light, day: Thu, slots: [{exercise: back squat, id: light, sets: 3, reps: 5, percent: 70}]}\n"
)


@pytest.mark.parametrize(("light", "days"), [(date(2027, 1, 7), 21), (date(2027, 2, 7), 24)])
def test_a_slip_in_the_date_of_another_session_hides_no_gap(light: date, days: int) -> None:
    """7 February typed for 7 January, before a heavy session on the 28th: what is left is its own of the 4th."""
    typed: dict[str, float | int | str | date | None] = {
        input_name(f"w1.{key}.{n}", name): value
        for key in ("heavy.back-squat", "light.light")
        for n in (1, 2, 3)
        for name, value in (("load", 105), ("reps", 5), ("rpe", 7))
    }
    typed |= {session_input_key("w1.light", "date"): light, session_input_key("w2.heavy", "date"): date(2027, 1, 28)}
    workbook = assemble(TWICE_A_WEEK)
    calculation = Calculation(workbook.book, typed)  # type: ignore[arg-type]
    assert calculation.value(workbook.workings.cell(workbook.weeks[1][0].lines[0].line, "days")) == days


def test_a_slip_in_the_date_of_the_week_before_hides_no_gap() -> None:
    """4 February typed for 4 January: the day planned stands for it."""
    logged = sets(1, "back-squat", 115, 5, 7, 7, 7)
    workbook, calculation = calculated(block(SQUATS), logged, {1: date(2027, 2, 4), 2: date(2027, 1, 28)})
    assert reason(calculation, workbook.weeks[1][0].lines[0]).startswith("Same load: 24 days since")


def test_a_session_a_few_days_late_is_no_gap() -> None:
    logged = sets(1, "back-squat", 115, 5, 7, 7, 7)
    workbook, calculation = calculated(block(SQUATS), logged, {2: date(2027, 1, 13)})
    place = workbook.weeks[1][0].lines[0]
    assert (calculation.number(place.cell("target", 1)) or 0) > 115
    assert "since it was last logged" not in reason(calculation, place)


def test_a_year_typed_wrong_is_no_gap() -> None:
    logged = sets(1, "back-squat", 115, 5, 7, 7, 7)
    workbook, calculation = calculated(block(SQUATS), logged, {2: date(2028, 1, 11)})
    assert (calculation.number(workbook.weeks[1][0].lines[0].cell("target", 1)) or 0) > 115


# Within a session --------------------------------------------------------------------------------


def test_a_set_far_over_target_lightens_the_sets_after_it() -> None:
    made = targets(block(SQUATS), {"w1.day.back-squat.1": (122.5, 5, 10)})
    assert (made["w1.day.back-squat.2"] or 0) < 122.5
    assert targets(block(SQUATS), {"w1.day.back-squat.1": (122.5, 5, 8.5)})["w1.day.back-squat.2"] == 122.5


def test_a_hard_set_above_its_target_does_not_raise_the_sets_after_it() -> None:
    """Who took 140 for 122.5 and found it two over is not sent to more than 122.5."""
    made = targets(block(SQUATS), {"w1.day.back-squat.1": (140, 5, 10)})
    assert (made["w1.day.back-squat.2"] or 0) <= 122.5


def test_back_off_sets_follow_what_the_top_set_was() -> None:
    """A tenth off 122.5 is 110.25, off 120 it is 108: the nearest that can be made."""
    spec = block("{exercise: back squat, reps: 5, rpe: 8, back_off: {sets: 2, reps: 5, drop: 10}}")
    assert targets(spec, {})["w1.day.back-squat.1"] == 122.5
    assert targets(spec, {})["w1.day.back-squat.2"] == 110
    assert targets(spec, {"w1.day.back-squat.1": (120, 5, 8)})["w1.day.back-squat.3"] == 107.5


BACK_OFFS = "{exercise: back squat, reps: 5, rpe: 8, back_off: {sets: 3, reps: 8, drop: 10}}"


@pytest.mark.parametrize("more", ["", ", deload_week: 2"])
def test_back_off_sets_that_came_in_over_are_lighter_the_next_time(more: str) -> None:
    """The top set is judged by itself; what was too heavy behind it is not asked for again."""
    top: Log = {"w1.day.back-squat.1": (122.5, 5, 8)}
    missed: Log = {f"w1.day.back-squat.{n}": (load, 5, 10) for n, load in ((2, 110), (3, 95), (4, 90))}
    done: Log = {f"w1.day.back-squat.{n}": (110, 8, None) for n in (2, 3, 4)}
    for logged, lighter in ((missed, True), (done, False)):
        workbook, calculation = calculated(block(BACK_OFFS, more=more), top | logged)
        for week in workbook.weeks[2:]:  # kept until some are done again; a deload says nothing of them
            place = week[0].lines[0]
            behind, ahead = (calculation.number(place.cell("target", number)) or 0 for number in (2, 1))
            assert (behind <= 90) == lighter
            assert (behind < 0.85 * ahead) == lighter
            assert (BACK_OFF_FAILED in reason(calculation, place)) == lighter


@pytest.mark.parametrize(
    ("behind", "asked"),
    [
        (((115, 5, 7), (115, 5, 7), (115, 4, 10)), 112.5),
        (((115, 5, 7), (115, 5, 7), (115, 4, None)), 112.5),  # nobody need say how hard that was
        (((117.5, 5, 7), (115, 4, 10), (112.5, 5, 8)), 112.5),  # the lightest that failed
        (((115, 5, 7), (115, 5, 7), (115, 5, 10)), 117.5),  # all reps done
        (((115, 5, 7), (115, 5, 7), (115, 4, 8)), 117.5),  # a rep left out
    ],
)
def test_a_back_off_set_that_failed_is_not_asked_for_again(
    behind: tuple[tuple[float, int, float | None], ...], asked: float
) -> None:
    """The top set was easy and goes up or stays: behind it 117.5, though the last of three sets failed with 115."""
    spec = block("{exercise: back squat, reps: 5, rpe: 8, back_off: {sets: 3, reps: 5, drop: 5}}")
    logged: Log = {f"w1.day.back-squat.{n}": done for n, done in enumerate(((122.5, 7, 6), *behind), start=1)}
    workbook, calculation = calculated(spec, logged)
    assert first_targets(workbook, calculation, 2)[1:] == [asked] * 3
    assert (BACK_OFF_FAILED in reason(calculation, workbook.weeks[1][0].lines[0])) == (asked < 115)


@pytest.mark.parametrize(
    ("top", "load"),
    [
        ((122.5, 5, 9), 110),  # 1 over: no matter
        ((130, 5, 9), 110),  # heavier than asked and 1 over: of what was asked
        ((130, 5, 8), 117.5),
        ((122.5, 5, 10), 102.5),  # a maximum of 138, so 115 for 5 reps with 2 left
        ((122.5, 3, 10), 97.5),
        ((122.5, 0, 10), 90),  # a maximum under 122.5
        ((140, 5, 10), 110),  # heavier than asked and two over: of what was asked
    ],
)
def test_back_off_sets_are_lighter_after_a_top_set_far_over_its_target(
    top: tuple[float, int, float], load: float
) -> None:
    """Planned are 110; the sentence says by how much they move today, since the top set's load does not."""
    spec = block("{exercise: back squat, reps: 5, rpe: 8, back_off: {sets: 2, reps: 5, drop: 10}}")
    logged: Log = {"w1.day.back-squat.1": top}
    assert targets(spec, logged)["w1.day.back-squat.2"] == load
    workbook, calculation = calculated(spec, logged)
    moves = {110: "", 117.5: " Back-off sets today 7.5 kg heavier."}
    told = moves.get(load, f" Back-off sets today {110 - load:g} kg lighter.")
    assert reason(calculation, workbook.weeks[0][0].lines[0]).endswith(f"give or take 4%.{told}")


def test_back_off_sets_that_move_as_the_top_set_does_are_not_told_apart() -> None:
    """A bad bench press before them lightens both by 7.5 kg."""
    squat = "{exercise: back squat, reps: 5, rpe: 8, back_off: {sets: 2, reps: 5, drop: 10}}"
    spec = block(f"{{exercise: bench press, sets: 3, reps: 5, rpe: 8}}, {squat}")
    workbook, calculation = calculated(spec, sets(1, "bench-press", 82.5, 5, 10, 10, 10))
    told = reason(calculation, workbook.weeks[0][0].lines[1])
    assert "lighter, by the sets done so far." in told
    assert "Back-off" not in told


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ((122.5, 0, 10), 102.5),  # a maximum of 122.5 at most
        ((122.5, 0, None), 102.5),  # and nobody need say how hard that was
        ((60, 0, None), 50),
        ((1225, 5, 10), 122.5),  # a slip says nothing
        ((12.25, 5, 10), 122.5),
        ((122.5, 4, None), 122.5),
    ],
)
def test_a_set_of_no_rep_lightens_the_sets_after_it(first: tuple[float, int, float | None], second: float) -> None:
    assert targets(block(SQUATS), {"w1.day.back-squat.1": first})["w1.day.back-squat.2"] == second


@pytest.mark.parametrize(
    ("back_off", "load"),
    [
        ((110, 5, 8), 110),
        ((110, 4, 10), 110),  # a rep short: no matter
        ((110, 2, 10), 95),  # three short: a maximum of 117, so 95 for 5 reps with 2 left, tired
        ((110, 0, None), 92.5),  # a maximum of 110 at most
        ((1100, 5, 10), 110),  # a slip says nothing
    ],
)
def test_a_back_off_set_far_short_lightens_the_one_after_it(
    back_off: tuple[float, int, float | None], load: float
) -> None:
    spec = block("{exercise: back squat, reps: 5, rpe: 8, back_off: {sets: 2, reps: 5, drop: 10}}")
    made = targets(spec, {"w1.day.back-squat.1": (122.5, 5, 8), "w1.day.back-squat.2": back_off})
    assert made["w1.day.back-squat.3"] == load


@pytest.mark.parametrize(
    ("logged", "most"),
    [
        (sets(1, "back-squat", 65, 5, 9, 9, 9), 65),  # the second set bears the first one out: a light day
        (sets(1, "back-squat", 65, 5, 9), 65),  # one set, and then no more: nothing says that it was no slip
        (sets(1, "back-squat", 65, 5, 7, 7, 7), 71.5),  # easy: the next load rises from there
        (sets(1, "back-squat", 12.25, 5, 8, 8, 8), 127.5),  # a point lost is no light day
    ],
)
def test_after_a_day_far_too_light_the_load_rises_from_there(logged: Log, most: float) -> None:
    """Who was ill or hurt is not to be sent back to the old loads: 122.5 was asked for."""
    spec = block(SQUATS)
    assert most - 5 <= first_set(spec, logged)[1] <= most


def test_after_a_set_far_lighter_than_asked_the_next_is_no_heavier() -> None:
    assert targets(block(SQUATS), sets(1, "back-squat", 65, 5, 9))["w1.day.back-squat.2"] == 65


def test_a_light_day_is_told_once_and_then_believed() -> None:
    workbook, calculation = calculated(block(SQUATS), sets(1, "back-squat", 65, 5, 9, 9, 9))
    squat = workbook.weeks[0][0].lines[0]
    assert [calculation.value(squat.cell("verdict", n)) for n in (1, 2, 3)] == [
        "check load and reps",
        "1 over",
        "1 over",
    ]
    assert worked_out(block(SQUATS), sets(1, "back-squat", 65, 5, 9, 9, 9), "prior", week=2) < 110


@pytest.mark.parametrize("reps", [0, 1])
def test_a_load_of_which_no_rep_went_up_comes_down_as_after_one_rep(reps: int) -> None:
    spec = block(SQUATS)
    assert first_set(spec, sets(1, "back-squat", 122.5, reps, 10, 10, 10))[1] <= 112.5
    too_heavy: Log = {"w1.day.back-squat.1": (155, 0, 10)}  # heavier than anybody believed: nothing was learned
    assert worked_out(spec, too_heavy, "capacity") == worked_out(spec, {}, "capacity")


@pytest.mark.parametrize("effort", [1, 2, 3])
def test_reps_left_typed_for_effort_make_no_leap_and_are_asked_about(effort: float) -> None:
    logged = sets(1, "back-squat", 122.5, 5, *[effort] * 3)
    workbook, calculation = calculated(block(SQUATS), logged)
    squat = workbook.weeks[0][0].lines[0]
    assert calculation.value(squat.cell("verdict", 1)) == "effort or reps left?"
    assert 122.5 <= first_set(block(SQUATS), logged)[1] <= 125


def test_reps_beyond_those_asked_were_reps_still_left() -> None:
    workbook, calculation = calculated(block(SQUATS), sets(1, "back-squat", 122.5, 8, 8, 8, 8))
    assert "easier than asked, by 3" in reason(calculation, workbook.weeks[1][0].lines[0])


def test_more_reps_than_anybody_does_are_a_slip() -> None:
    """A program makes 46179 of 6/6."""
    logged = sets(1, "back-squat", 122.5, 46179, 8, 8, 8)
    assert first_set(block(SQUATS), logged) == first_set(block(SQUATS), {})
    assert worked_out(block(SQUATS), logged, "tonnage") == 0


def test_fewer_reps_than_none_are_a_slip() -> None:
    squats = block(SQUATS)
    negative = sets(1, "back-squat", 122.5, -3, 8)
    assert worked_out(squats, negative, "capacity") == worked_out(squats, {}, "capacity")


@pytest.mark.parametrize(
    ("load", "verdict"), [(80, "check load and reps"), (75, "check load and reps"), (25, "heavier, 1 over")]
)
def test_the_body_weight_itself_is_no_load_that_was_hung_on(load: float, verdict: str) -> None:
    workbook, calculation = calculated(
        block("{exercise: pull-up, sets: 2, reps: 6, rpe: 8}"), sets(1, "pull-up", load, 6, 9)
    )
    assert calculation.value(workbook.weeks[0][0].lines[0].cell("verdict", 1)) == verdict


def test_as_many_reps_as_possible_are_short_where_far_fewer_went_than_planned() -> None:
    """The load decision counts those as missed, and the lifter reads so; two are within a guess."""
    spec = block("{exercise: push-up, sets: 2, reps: 15, reserve: 2}")
    workbook, calculation = calculated(spec, sets(1, "push-up", 0, 13, 8) | sets(2, "push-up", 0, 15, 8, 8))
    assert calculation.value(workbook.weeks[0][0].lines[0].cell("verdict", 1)) == "on target"
    assert verdicts(spec, sets(1, "push-up", 0, 11, 8))[0] == "4 reps short"
    assert "rep" not in reason(calculation, workbook.weeks[2][0].lines[0]).partition(":")[0]


def test_a_light_load_that_the_sheet_asks_for_again_is_no_slip() -> None:
    light = sets(1, "back-squat", 65, 5, 9, 9, 9) | sets(2, "back-squat", 65, 5, 8, 8, 8)
    workbook, calculation = calculated(block(SQUATS), light)
    squat = workbook.weeks[1][0].lines[0]
    assert [calculation.value(squat.cell("verdict", n)) for n in (1, 2, 3)] == ["on target"] * 3


def test_after_loads_that_did_not_go_up_the_next_follows_what_did() -> None:
    """120 was no maximum, 85 for 5 with one left means 105: far under nine tenths of 122.5."""
    failed: Log = {"w1.day.back-squat.1": (122.5, 0, 10)}
    logged = failed | {f"w1.day.back-squat.{n}": (85, 5, 9) for n in (2, 3)}
    assert first_set(block(SQUATS), logged)[1] <= 107.5


def test_back_off_efforts_are_asked_about_by_the_effort_of_their_exercise() -> None:
    spec = block("{exercise: back squat, reps: 5, rpe: 8, back_off: {sets: 2, reps: 5, drop: 10}}")
    workbook, calculation = calculated(spec, {"w1.day.back-squat.1": (122.5, 5, 2), "w1.day.back-squat.2": (110, 5, 3)})
    squat = workbook.weeks[0][0].lines[0]
    assert [calculation.value(squat.cell("verdict", n)) for n in (1, 2)] == ["effort or reps left?"] * 2
    assert worked_out(spec, {"w1.day.back-squat.2": (110, 5, 3)}, "capacity") == worked_out(spec, {}, "capacity")


def test_without_a_belief_the_last_load_is_asked_for_again() -> None:
    spec = block("{exercise: lateral raise, sets: 3, reps: 10, rpe: 8, progress: load}", bests="{}")
    assert first_set(spec, sets(1, "lateral-raise", 10, 10, None, None, None))[1] == 10


@pytest.mark.parametrize(
    ("load", "effort", "verdict"),
    [
        ("122,5", 8, "load: a number like 82.5"),
        ("122.5kg", 8, "load: a number like 82.5"),
        ("same", 8, "load: numbers only"),
        ("Skipped", None, "left out"),
        ("-", None, "left out"),
        (122.5, "7,5", "effort: a number like 7.5"),
        (122.5, "RPE 8", "effort: numbers only"),
        (122.5, 8, "on target"),
        (140, 10, "heavier, 2 over"),
    ],
)
def test_the_verdict_says_what_a_cell_lacks(load: float | str, effort: float | str | None, verdict: str) -> None:
    key = "w1.day.back-squat.1"
    typed = {f"{key}/load": load, f"{key}/reps": 5, f"{key}/rpe": effort}
    workbook = assemble(block(SQUATS))
    cell = workbook.weeks[0][0].lines[0].cell("verdict", 1)
    assert Calculation(workbook.book, typed).value(cell) == verdict


@pytest.mark.parametrize(("load", "effort", "verdict"), [(122.5, 8, "3 under"), (122.5, 10, "to failure")])
def test_the_verdict_counts_reps_beyond_those_asked(load: float, effort: float, verdict: str) -> None:
    workbook, calculation = calculated(block(SQUATS), sets(1, "back-squat", load, 8, effort))
    assert calculation.value(workbook.weeks[0][0].lines[0].cell("verdict", 1)) == verdict


@pytest.mark.parametrize(
    ("said", "held"), [(None, True), ("A", True), ("B", True), ("none", False), ("-", False), ("0", False)]
)
def test_pain_is_held_until_it_is_said_to_be_gone(said: str | None, held: bool) -> None:
    """An empty cell says nothing: most lifters leave it so."""
    logged = sets(1, "back-squat", 122.5, 5, 7, 7, 7) | sets(2, "back-squat", 122.5, 5, 7, 7, 7)
    workbook = assemble(block(f"{SQUATS}, {CURLS}"))
    typed = {input_name(key, name): value for key, values in logged.items()
             for name, value in zip(("load", "reps", "rpe"), values, strict=True)}  # fmt: skip
    pain = {session_input_key("w1.day", "pain"): "A", session_input_key("w2.day", "pain"): said}
    calculation = Calculation(workbook.book, {**typed, **pain})
    third = workbook.weeks[2][0].lines[0]
    assert ((calculation.number(third.cell("planned", 1)) or 0) <= 122.5) == held
    assert reason(calculation, third).startswith("Pain was reported: no increase this time.") == held
    place = workbook.weeks[1][0]
    beside = calculation.value(Cell(place.sheet, place.input_rows["pain"], COLUMN["reps"]))
    assert (beside == "gone? type none; else the letter") == (said is None)


def test_pain_that_is_gone_in_a_deload_is_gone_after_it() -> None:
    workbook = assemble(block(SQUATS, more=", deload_week: 3"))
    pain = {session_input_key("w2.day", "pain"): "A", session_input_key("w3.day", "pain"): "none"}
    squat = workbook.weeks[3][0].lines[0].line
    for said, held in ((pain, False), ({**pain, session_input_key("w3.day", "pain"): None}, True)):
        assert bool(Calculation(workbook.book, said).number(workbook.workings.cell(squat, "last_pain"))) == held


def test_a_set_that_ended_where_it_hurts_is_no_test_of_effort() -> None:
    workbook = assemble(block(TESTED))
    typed = {input_name(key, name): value for key, values in to_failure(10).items()
             for name, value in zip(("load", "reps", "rpe"), values, strict=True)}  # fmt: skip
    squat = workbook.weeks[0][0].lines[0].line
    for pain, is_test in ((None, True), ("A", False)):
        calculation = Calculation(workbook.book, {**typed, session_input_key("w1.day", "pain"): pain})
        assert (calculation.number(workbook.workings.cell(squat, "test_gap")) is not None) == is_test


def test_one_exercise_alone_is_no_bad_day_of_a_whole_session() -> None:
    workbook, calculation = calculated(block(THREE_LIFTS), sets(1, "back-squat", 115, 5, 9.5, 9.5, 9.5))
    assert "bad day" not in reason(calculation, workbook.weeks[1][0].lines[0])


def test_pain_before_a_set_was_logged_holds_the_next_week_at_the_plan() -> None:
    """Who stops at the warm-up has lifted nothing, and yet is not sent to more."""
    spec = block("{exercise: back squat, sets: 3, reps: [5, 3, 2, 1], rpe: [7, 8, 9, 9.5]}")
    workbook = assemble(spec)
    hurts = Calculation(workbook.book, {session_input_key("w1.day", "pain"): "A"})
    fine = Calculation(workbook.book, {})
    now, later, last = (workbook.weeks[week][0].lines[0].cell("planned", 1) for week in (0, 1, 2))
    assert (fine.number(later) or 0) > (fine.number(now) or 0)
    assert hurts.number(now) == fine.number(now)
    assert (hurts.number(now) or 0) >= (hurts.number(later) or 0) >= (hurts.number(last) or 0) > 0


def test_pain_before_a_set_was_logged_asks_for_no_more_reps_either() -> None:
    workbook = assemble(block("{exercise: front squat, sets: 3, reps: 8-12, rpe: [6, 8, 9, 9]}"))
    hurts = Calculation(workbook.book, {session_input_key("w1.day", "pain"): "A"})
    reps = [hurts.number(week[0].lines[0].cell("target_reps", 1)) or 0 for week in workbook.weeks]
    assert max(reps[1:]) <= reps[0]


def test_pain_is_named_at_once_where_it_was_noted() -> None:
    workbook = assemble(block("{exercise: back squat, reps: 5, rpe: 8}, {exercise: leg curl, reps: 10, rpe: 8}"))
    noted = Calculation(workbook.book, {session_input_key("w1.day", "pain"): "A"})
    squat, curl = workbook.weeks[0][0].lines
    alone = "Pain was reported for this exercise this week: ask your coach before you lift it again."
    assert str(reason(noted, squat)).strip() == alone
    assert "Pain" not in reason(noted, curl)


NEARBY = "Pain was reported for back squat:"
HEAVY_AND_LIGHT = (
    f"block: {{title: Examples, start: 2027-01-04, weeks: 4}}\n"
    f"lifter: {{name: Invented Lifter, body_weight: 80, bests: {BESTS}}}\n"
    f"{EQUIPMENT}sessions:\n"
    f"  - {{name: Heavy, slots: [{SQUATS}, {CURLS}]}}\n"
    "  - {name: Light, slots: [{exercise: front squat, sets: 3, reps: 5, rpe: 8},"
    " {exercise: back squat, id: light, sets: 3, reps: 5, percent: 70},"
    " {exercise: bench press, sets: 3, reps: 5, rpe: 8}]}\n"
)


def easy(week: int, key: str, load: float) -> dict[str, float]:
    """Three sets of five, easier than asked, as they are typed."""
    return {
        input_name(f"w{week}.{key}.{n}", name): value
        for n in (1, 2, 3)
        for name, value in (("load", load), ("reps", 5), ("rpe", 7))
    }


def test_a_relative_of_what_hurts_begins_a_tenth_lighter_and_no_good_day_raises_it() -> None:
    workbook = assemble(parse_spec(HEAVY_AND_LIGHT))
    good_day = {f"w1.light.front-squat.feeler/{name}": value for name, value in (("load", 95), ("reps", 5), ("rpe", 5))}
    fine, sore = (Calculation(workbook.book, {**good_day, "w1.heavy.pain": pain}) for pain in ("none", "A"))
    front = workbook.weeks[0][1].lines[0]
    usual, lighter = (calculation.number(front.cell("planned", 1)) or 0 for calculation in (fine, sore))
    assert 0.87 * usual <= lighter <= 0.93 * usual
    assert (fine.number(front.cell("target", 1)) or 0) > usual
    assert sore.number(front.cell("target", 1)) == lighter
    assert reason(sore, front).startswith(f"{NEARBY} a tenth lighter here than usual")


@pytest.mark.parametrize(
    ("pain", "held"),
    [
        ({}, False),
        ({"w1.heavy.pain": "A"}, True),
        ({"w2.heavy.pain": "A"}, True),
        ({"w1.heavy.pain": "A", "w2.heavy.pain": "none"}, False),
        ({"w1.heavy.pain": "B"}, False),
        ({"w2.light.pain": "C"}, False),
    ],
)
def test_pain_holds_close_relatives_from_the_next_session_on(pain: dict[str, str], held: bool) -> None:
    """A knee that hurts in the back squat is the same knee in the front squat."""
    workbook = assemble(parse_spec(HEAVY_AND_LIGHT))
    typed = easy(1, "heavy.back-squat", 122.5) | easy(1, "light.front-squat", 90) | easy(1, "light.bench-press", 80)
    calculation = Calculation(workbook.book, {**typed, **pain})
    front, light, bench = workbook.weeks[1][1].lines
    assert ((calculation.number(front.cell("planned", 1)) or 0) <= 90) == held
    assert reason(calculation, front).startswith(NEARBY) == held
    assert reason(calculation, light).startswith(f"{NEARBY} ask your coach") == held
    assert (calculation.number(bench.cell("planned", 1)) or 0) > 80


def test_once_pain_is_gone_the_load_takes_half_the_usual_rise_for_a_week() -> None:
    workbook = assemble(block(f"{SQUATS}, {CURLS}", "{back squat: 250}"))
    typed = easy(1, "day.back-squat", 122.5) | easy(2, "day.back-squat", 100)
    said = {session_input_key("w1.day", "pain"): "A", session_input_key("w2.day", "pain"): "none"}
    third = workbook.weeks[2][0].lines[0].line
    for pain, most in ((said, 105), ({}, 110)):
        ceiling = Calculation(workbook.book, {**typed, **pain}).number(workbook.workings.cell(third, "ceiling"))
        assert ceiling == pytest.approx(most)


PERCENT = "{exercise: back squat, sets: 3, reps: 4, percent: [70, 72.5, 75, 77.5]}"


@pytest.mark.parametrize(
    ("done", "more", "said"),
    [
        ((105, 4, 8), {}, ""),
        ((105, 2, 10), {}, " Held at the last load: it was harder than asked."),
        ((105, 0, 10), {}, " Lighter: last time not one rep went up."),
        ((105, 4, 8), {"w1.day.pain": "A"}, " Held at the last load."),
        ((105, 4, 8), {"w2.day.date": date(2027, 1, 16)}, " Held at the last load: 12 days since it was last logged."),
    ],
)
def test_a_load_in_percent_does_not_rise_where_no_load_may(
    done: tuple[float, int, float], more: dict[str, Any], said: str
) -> None:
    workbook = assemble(block(PERCENT))
    typed = {input_name(f"w1.day.back-squat.{n}", name): value
             for n in (1, 2, 3) for name, value in zip(("load", "reps", "rpe"), done, strict=True)}  # fmt: skip
    calculation = Calculation(workbook.book, {**typed, **more})
    place = workbook.weeks[1][0].lines[0]
    loads = {"": 107.5, " Lighter: last time not one rep went up.": 75}
    assert calculation.number(place.cell("planned", 1)) == loads.get(said, 105)
    assert reason(calculation, place).endswith(f"72.5 % of your one-rep maximum.{said}")


def percent_after(
    pains: dict[int, str], *weeks: tuple[float, int, float], last: float | None = None
) -> tuple[float, str]:
    """Load and sentence of a squat in percent after three sets as given each week, the last one of the last week with
    another load."""
    typed: dict[str, Any] = {session_input_key(f"w{week}.day", "pain"): said for week, said in pains.items()}
    for week, done in enumerate(weeks, start=1):
        for n in (1, 2, 3):
            typed |= {input_name(f"w{week}.day.back-squat.{n}", name): value
                      for name, value in zip(("load", "reps", "rpe"), done, strict=True)}  # fmt: skip
    if last is not None:
        typed[input_name(f"w{len(weeks)}.day.back-squat.3", "load")] = last
    workbook = assemble(block(PERCENT))
    calculation, place = Calculation(workbook.book, typed), workbook.weeks[len(weeks)][0].lines[0]
    return calculation.number(place.cell("planned", 1)) or 0, reason(calculation, place).partition("maximum.")[2]


def test_a_load_in_percent_takes_a_small_step_after_pain_and_says_so() -> None:
    """Week 2 was easy, so nothing was harder than asked; 75 % were 112.5, half of the usual rise from 102.5 is less."""
    once_gone = percent_after({1: "A", 2: "none"}, (102.5, 4, 7), (102.5, 4, 6))
    assert once_gone == (107.5, " A small step, after what was noted before.")


def test_one_heavier_set_does_not_raise_a_load_in_percent_that_hurts() -> None:
    """105 were asked three times, and the last set was done with 107.5: without pain the next time is 107.5, too."""
    assert percent_after({}, (105, 4, 8), last=107.5) == (107.5, "")
    assert percent_after({1: "A"}, (105, 4, 8)) == (105, " Held at the last load.")
    assert percent_after({1: "A"}, (105, 4, 8), last=107.5) == (105, " No more than was planned last time.")
    assert percent_after({1: "A"}, (105, 2, 10))[1] == " Lighter: last time was harder than asked."


def test_pain_is_named_where_the_same_exercise_comes_again_that_week() -> None:
    slots = "[{exercise: back squat, sets: 3, reps: 5, rpe: 8}, {exercise: leg curl, sets: 2, reps: 10, rpe: 8}]"
    light = "[{exercise: back squat, id: light, sets: 3, reps: 5, percent: 70}]"
    spec = parse_spec(
        f"block: {{title: Examples, start: 2027-01-04, weeks: 4}}\n"
        f"lifter: {{name: Invented Lifter, body_weight: 80, bests: {BESTS}}}\n"
        f"{EQUIPMENT}sessions: [{{name: Heavy, slots: {slots}}}, {{name: Light, slots: {light}}}]\n"
    )
    workbook = assemble(spec)
    again = workbook.weeks[0][1].lines[0]
    pain = {session_input_key("w1.heavy", "pain"): "A"}
    said = [reason(Calculation(workbook.book, typed), again) for typed in ({}, pain)]
    assert said[0] == "70 % of your one-rep maximum."
    assert said[1] == f"{NEARBY} ask your coach before you lift this. {said[0]}"
    other = {session_input_key("w1.heavy", "pain"): "B"}
    assert reason(Calculation(workbook.book, other), again) == said[0]


def test_the_day_lowers_what_comes_after_a_hard_first_exercise() -> None:
    spec = block(f"{SQUATS}, {{exercise: bench press, sets: 1, reps: 5, rpe: 8}}")
    plain = sets(1, "back-squat", 125, 5, 8) | sets(1, "bench-press", 82.5, 5, 8)
    usual = targets(spec, plain)["w2.day.bench-press.1"]
    hard = targets(spec, plain | sets(2, "back-squat", 127.5, 4, 10, 10, 10))
    assert (hard["w2.day.bench-press.1"] or 0) < (usual or 0)


def test_steering_by_the_day_can_be_switched_off() -> None:
    spec = block(f"{SQUATS}, {{exercise: bench press, sets: 1, reps: 5, rpe: 8}}", more=", steer_by_day: false")
    plain = sets(1, "back-squat", 125, 5, 8) | sets(1, "bench-press", 82.5, 5, 8)
    hard = plain | sets(2, "back-squat", 127.5, 4, 10, 10, 10)
    assert targets(spec, hard)["w2.day.bench-press.1"] == targets(spec, plain)["w2.day.bench-press.1"]


def test_a_bad_day_of_every_lift_is_named_and_nobody_is_blamed() -> None:
    spec = block(THREE_LIFTS, more=", steer_by_day: false")
    bad = {"back-squat": 125, "bench-press": 85, "deadlift": 147.5}
    logged: Log = {}
    for slot, load in bad.items():
        logged |= sets(1, slot, load, 5, 8, 8, 8) | sets(2, slot, load, 5, 9.5, 9.5, 9.5)
    workbook, calculation = calculated(spec, logged)
    for place in workbook.weeks[2][0].lines:
        assert calculation.number(place.cell("target", 1)) == bad[place.line.slot_key.split(".")[1]]
        assert "bad day for the whole session" in reason(calculation, place)


def test_a_second_bad_day_running_is_no_single_one() -> None:
    """Good, then bad twice: the load holds, and what is said sends the lifter to the coach."""
    spec = block(THREE_LIFTS, more=", steer_by_day: false")
    logged: Log = {}
    for slot, load in {"back-squat": 125, "bench-press": 85, "deadlift": 147.5}.items():
        for week, effort in ((1, 8), (2, 9.5), (3, 9.5)):
            logged |= sets(week, slot, load, 5, *[effort] * 3)
    workbook, calculation = calculated(spec, logged)
    for place in workbook.weeks[3][0].lines:
        assert "the whole session went badly twice running" in reason(calculation, place)


def test_one_bad_lift_among_good_ones_is_no_bad_day() -> None:
    spec = block(THREE_LIFTS, more=", steer_by_day: false")
    logged: Log = {}
    for slot, load, effort in (("back-squat", 125, 8), ("bench-press", 85, 9.5), ("deadlift", 147.5, 8)):
        logged |= sets(1, slot, load, 5, 8, 8, 8) | sets(2, slot, load, 5, *[effort] * 3)
    workbook, calculation = calculated(spec, logged)
    bench = workbook.weeks[2][0].lines[1]
    assert (calculation.number(bench.cell("target", 1)) or 0) <= 85
    assert "harder than asked, by 1.5" in reason(calculation, bench)


# Feelers ------------------------------------------------------------------------------------------


def test_an_unsure_maximum_gets_a_feeler_in_week_1_alone() -> None:
    assert [key for key in targets(block(SQUATS), {}) if key.endswith("feeler")] == ["w1.day.back-squat.feeler"]
    assert not any(key.endswith("feeler") for key in targets(block(SQUATS, policy="{known_sd: 0.02}"), {}))


def test_a_feeler_moves_its_own_exercise_both_ways_within_its_limit() -> None:
    """115 for five would leave 4 with a maximum of 150: effort 9.5 says less, effort 5 says more."""
    hard, easy = (first_set(block(SQUATS), {"w1.day.back-squat.feeler": (115, 5, rpe)})[0] for rpe in (9.5, 5))
    assert hard < 122.5 < easy
    limit = math.exp(Policy().feeler_limit)
    assert 125 / limit - 2.5 <= hard
    assert easy <= 125 * limit


def test_far_from_failure_says_at_least_not_at_most() -> None:
    """A light set reported as effort 5 does not lower what is believed."""
    spec = block("{exercise: bench press, sets: 1, reps: 4, rpe: 7}")
    logs: list[Log] = [{"w1.day.bench-press.1": (60, 4, 5)}, {}]
    believed = [worked_out(spec, log, "capacity") for log in logs]
    assert believed[0] == pytest.approx(believed[1])


# How well effort is judged ---------------------------------------------------------------------------


TESTED = "{exercise: back squat, sets: 3, reps: 5, rpe: 8, test_weeks: [1]}"


def to_failure(reps: float) -> Log:
    """Two sets that were said to leave two reps, then one to failure."""
    return sets(1, "back-squat", 120, 5, 8, 8) | {"w1.day.back-squat.3": (120, reps, 10)}


def test_a_test_that_shows_three_unreported_reps_raises_later_loads() -> None:
    """Two were reported left, five were there."""
    usual = sets(1, "back-squat", 120, 5, 8, 8, 8)
    untested, unreported = (first_set(block(TESTED), log) for log in (usual, to_failure(10)))
    assert unreported[1] > untested[1]
    assert worked_out(block(TESTED), to_failure(10), "bias", week=2) > Policy().effort_bias + 1


def test_a_test_that_shows_what_was_reported_raises_nothing() -> None:
    """Two were reported left and two were there: five and two are seven."""
    usual = sets(1, "back-squat", 120, 5, 8, 8, 8)
    untested, shown = (first_set(block(TESTED), log) for log in (usual, to_failure(7)))
    assert shown == untested


def test_a_test_of_one_exercise_tells_how_effort_is_judged_in_others() -> None:
    spec = block(f"{TESTED}, {{exercise: bench press, sets: 2, reps: 5, rpe: 8}}")
    bench = sets(1, "bench-press", 77.5, 5, 8, 8) | sets(2, "bench-press", 77.5, 5, 8, 8)
    shown, unreported = (targets(spec, to_failure(reps) | bench)["w3.day.bench-press.1"] or 0 for reps in (7, 10))
    assert unreported > shown


TWO_DAYS = f"""
block: {{title: Examples, start: 2027-01-04, weeks: 4}}
lifter: {{name: Invented Lifter, body_weight: 80, bests: {BESTS}}}
{EQUIPMENT}
sessions:
  - {{name: Day, slots: [SQUAT]}}
  - {{name: Later, slots: [{{exercise: bench press, sets: 2, reps: 5, rpe: 8}}]}}
"""


@pytest.mark.parametrize(
    ("squat", "later_learns"), [(TESTED, True), (TESTED.replace("[1]", "[2]"), False)], ids=["planned", "by chance"]
)
def test_a_planned_test_teaches_every_session_and_a_failure_by_chance_its_own(squat: str, later_learns: bool) -> None:
    """Three reps asked for were missed after two sets that were said to leave two."""
    workbook, calculation = calculated(parse_spec(TWO_DAYS.replace("SQUAT", squat)), to_failure(2))
    lines = [place.session.lines[0] for place in (*workbook.weeks[0], *workbook.weeks[1])]
    tests = [calculation.number(workbook.workings.cell(line, "tests")) for line in lines]
    assert tests == [0, int(later_learns), 1, int(later_learns)]


@pytest.mark.parametrize(("load", "counts"), [(120, 1), (12, 0)])
def test_a_set_a_digit_off_is_no_test(load: float, counts: int) -> None:
    log = to_failure(10) | {"w1.day.back-squat.3": (load, 10, 10)}
    assert worked_out(block(TESTED), log, "tests", week=2) == counts


# Where steps are coarse ---------------------------------------------------------------------------


def test_reps_written_week_by_week_are_not_changed() -> None:
    spec = block("{exercise: overhead press, sets: 1, reps: [6, 5, 4, 6], rpe: 8}", "{overhead press: 40}")
    log: Log = {f"w{week}.day.overhead-press.1": (27.5, reps, 6) for week, reps in ((1, 6), (2, 5), (3, 4))}
    assert asked_reps(spec, log) == [6, 5, 4, 6]


def test_where_steps_are_coarse_reps_grow_and_then_the_load_steps_with_reps_back_near_the_base() -> None:
    spec = block(CURLS, "{leg curl: 85}")
    logged: Log = {}
    loads, reps = [], []
    for week in range(1, 5):
        loads.append(first_set(spec, logged)[week - 1])
        reps.append(asked_reps(spec, logged)[week - 1] or 0)
        logged |= sets(week, "leg-curl", loads[-1], reps[-1], 8)
    assert loads == [60, 60, 65, 65]
    assert reps[0] == 10
    assert reps[1] > 10
    assert abs(reps[2] - 10) <= 1
    assert reps[3] >= reps[2]


def test_what_a_coarse_stack_asks_for_in_week_1_fits_the_maximum() -> None:
    """26 gives ten at effort 8 with 18.6. The stack has 15 and 20: 20 for some reps fewer, near effort 8 still."""
    spec = block(CURLS, "{leg curl: 26}")
    assert first_set(spec, {})[0] == 20
    to_failure = 37 - 36 * 20 / 26
    assert asked_reps(spec, {})[0] == pytest.approx(to_failure - 2, abs=1)


def test_without_effort_neither_load_nor_reps_grow_on_a_coarse_stack() -> None:
    spec, logged = block(CURLS, "{leg curl: 85}"), sets(1, "leg-curl", 60, 10, None)
    assert (first_set(spec, logged)[1], asked_reps(spec, logged)[1]) == (60, 10)


def test_without_effort_a_range_left_far_behind_holds_too() -> None:
    spec = block("{exercise: leg curl, sets: 1, reps: 8-10, rpe: 8}", "{leg curl: 120}")
    assert first_set(spec, {"w1.day.leg-curl.1": (50, 10, None)})[1] == 50


@pytest.mark.parametrize(
    ("third", "most"),
    [
        ((122.5, 5, 7), 130),  # as the two before it
        ((140, 2, 10), 122.5),  # heavier than asked, and short of its reps
        ((147.5, 5, 8), 135),  # one set a fifth heavier: once is more often a slip
        ((132.5, 5, 8), 130),  # a step heavier, and done
    ],
)
def test_a_set_heavier_than_asked_counts_as_far_as_it_was_asked_for(
    third: tuple[float, int, float], most: float
) -> None:
    """Failing heavier must not be followed by more than doing what was asked."""
    logged = sets(1, "back-squat", 122.5, 5, 7, 7) | {"w1.day.back-squat.3": third}
    assert first_set(block(SQUATS), logged)[1] <= most


def test_loads_far_heavier_than_asked_are_believed_where_all_sets_are() -> None:
    light = block(SQUATS, "{back squat: {load: 100, reps: 5, rpe: 8}}")
    all_alike = sets(1, "back-squat", 130, 5, 8, 8, 8)
    one = sets(1, "back-squat", 80, 5, 7, 7, 7) | sets(1, "back-squat", 130, 5, 8)
    assert worked_out(light, one, "last_load", week=2) < worked_out(light, all_alike, "last_load", week=2) == 130


@pytest.mark.parametrize(("reps", "rpe"), [(0, 10), (0, None)])
def test_after_a_load_of_which_no_rep_went_up_nothing_near_it_is_asked(reps: int, rpe: float | None) -> None:
    spec = block("{exercise: deadlift, reps: 3, rpe: 8.5, back_off: {sets: 2, reps: 3, drop: 10}}", "{deadlift: 180}")
    workbook, calculation = calculated(spec, {"w1.day.deadlift.1": (150, reps, rpe)})
    place = workbook.weeks[1][0].lines[0]
    assert worked_out(spec, {"w1.day.deadlift.1": (150, reps, rpe)}, "capacity") <= 150
    assert (calculation.number(place.cell("planned", 1)) or 0) <= 0.9 * 150
    assert ": last time not one rep went up." in reason(calculation, place)


@pytest.mark.parametrize(("effort", "pain", "load"), [(5, {}, 100), (8, {}, 87.5), (5, {"w2.day.pain": "A"}, 80)])
def test_after_a_light_and_easy_day_the_load_goes_half_of_the_way_back(
    effort: float, pain: dict[str, str], load: float
) -> None:
    """Who slept three hours and took it easy has lost nothing; who found the light load hard is followed."""
    workbook = assemble(block(SQUATS))
    logged = sets(1, "back-squat", 122.5, 5, 8, 8, 8) | sets(2, "back-squat", 80, 5, effort, effort, effort)
    typed = {input_name(key, name): value for key, values in logged.items()
             for name, value in zip(("load", "reps", "rpe"), values, strict=True)}  # fmt: skip
    third = workbook.weeks[2][0].lines[0].cell("planned", 1)
    assert Calculation(workbook.book, {**typed, **pain}).number(third) == pytest.approx(load, abs=2.5)


def test_the_set_to_failure_asks_for_as_many_reps_as_the_sets_above_it() -> None:
    spec = block("{exercise: leg curl, sets: 3, reps: 8-12, rpe: 8, test_weeks: [2]}", "{leg curl: 60}")
    logged = sets(1, "leg-curl", 40, 10, 7, 7, 7)
    workbook, calculation = calculated(spec, logged)
    place = workbook.weeks[1][0].lines[0]
    asked = [calculation.number(place.cell("target_reps", number)) for number in (1, 2, 3)]
    assert asked[0] == asked[1] == asked[2] != 8


@pytest.mark.parametrize(("typed", "hurt"), [("B", "23"), ("B1", "2"), ("A", "1"), ("b2", "3")])
def test_the_letter_of_a_superset_names_both_of_its_exercises(typed: str, hurt: str) -> None:
    pair = ", ".join(f"{{exercise: {name}, sets: 2, reps: 10, rpe: 8, pair: a}}" for name in ("cable row", "leg curl"))
    workbook = assemble(block(f"{SQUATS}, {pair}"))
    calculation = Calculation(workbook.book, {"w1.day.pain": typed})
    pains = [calculation.number(workbook.workings.cell(place.line, "pain")) for place in workbook.weeks[0][0].lines]
    assert [number for number, pain in enumerate(pains, start=1) if pain] == [int(number) for number in hurt]


@pytest.mark.parametrize("bests", ["{bench press: 100}", "{dumbbell bench press: 42}"])
def test_dumbbells_added_up_are_asked_about_and_not_believed(bests: str) -> None:
    spec = block("{exercise: dumbbell bench press, sets: 3, reps: 8, rpe: 8}", bests)
    load = targets(spec, {})["w1.day.dumbbell-bench-press.1"] or 0
    one, both = (sets(1, "dumbbell-bench-press", n * load, 8, 8, 8, 8) for n in (1, 2))
    workbook, calculation = calculated(spec, both)
    verdicts = [calculation.value(workbook.weeks[0][0].lines[0].cell("verdict", n)) for n in (1, 2, 3)]
    assert verdicts == ["load of one hand?"] * 3
    assert first_set(spec, both)[1] <= first_set(spec, one)[1]


GUESSED = "{back squat: 120}"
LEG_PRESS = "{exercise: leg press, sets: 3, reps: 8, rpe: 8}"


def verdicts(spec: Specification, logged: Log, week: int = 1) -> list[object]:
    """What stands beside the working sets of the first exercise."""
    workbook, calculation = calculated(spec, logged)
    place = workbook.weeks[week - 1][0].lines[0]
    return [calculation.value(place.cell("verdict", planned.number)) for planned in place.line.work_sets]


def test_a_step_is_not_put_on_top_of_one_set_that_was_far_heavier_than_the_others() -> None:
    """It counts for a tenth more than those, a slip as it may be: a tenth on top would be a fifth in a week."""
    spec = block("{exercise: romanian deadlift, sets: 3, reps: 8, rpe: 7.5}", "{romanian deadlift: 120}")
    asked = first_set(spec, {})[0]
    one_slip = sets(1, "romanian-deadlift", asked, 8, 5, 6, 6.5)
    one_slip["w1.day.romanian-deadlift.2"] = (round(1.6 * asked), 8, 6)
    assert first_set(spec, one_slip)[1] <= 1.1 * asked


IN_LB = ", unit: lb"


@pytest.mark.parametrize(
    ("more", "factor", "step"), [("", 2.2046, 5), (IN_LB, 1 / 2.2046, 2)], ids=["pounds for kg", "kg for pounds"]
)
@pytest.mark.parametrize(
    ("exercise", "bests"),
    [
        ("leg press", GUESSED),
        ("romanian deadlift", "{deadlift: 140}"),
        ("back squat", "{back squat: 120}"),
        ("dumbbell bench press", "{bench press: 110}"),
    ],
)
def test_the_load_asked_for_in_the_other_unit_is_asked_about_and_not_believed(
    exercise: str, bests: str, more: str, factor: float, step: float
) -> None:
    """In all sets of an exercise: nothing of them is asked for next week, nor stands in the Summary."""
    spec = block(f"{{exercise: {exercise}, sets: 3, reps: 8, rpe: 8}}", bests, more)
    slot = exercise.replace(" ", "-")
    asked = first_set(spec, {})
    slipped = sets(1, slot, step * round(asked[0] * factor / step), 8, 8, 8, 8)
    assert verdicts(spec, slipped) == ["kg or lb?"] * 3
    assert first_set(spec, slipped) == asked
    assert [worked_out(spec, slipped, name) for name in ("best", "heaviest", "tonnage")] == [0, 0, 0]


def test_one_set_in_the_other_unit_after_a_failed_one_raises_nothing() -> None:
    """95, 95 for 7 with none left, then 210: the lighter load that the sheet asked for by then was not taken."""
    spec = block(LEG_PRESS, GUESSED)
    honest: Log = {"w1.day.leg-press.1": (95, 8, 8), "w1.day.leg-press.2": (95, 7, 10)}
    slipped = honest | {"w1.day.leg-press.3": (210, 8, 8)}
    assert verdicts(spec, slipped) == ["on target", "1 rep short", "kg or lb?"]
    assert first_set(spec, slipped)[1] == first_set(spec, honest)[1]


def test_a_feeler_in_the_other_unit_moves_nothing_today() -> None:
    spec = block(LEG_PRESS, GUESSED)
    feeler = targets(spec, {})["w1.day.leg-press.feeler"] or 0
    slipped: Log = {"w1.day.leg-press.feeler": (round(feeler * 2.2046 / 5) * 5, 8, 7)}
    assert targets(spec, slipped) == targets(spec, {})


@pytest.mark.parametrize(("more", "factor"), [(IN_LB, 2.2046), ("", 1 / 2.2046)], ids=["lb", "kg"])
def test_nobody_types_more_kilograms_than_pounds(more: str, factor: float) -> None:
    """Nor fewer pounds than kilograms: a light load in a kg block was light."""
    slipped = sets(1, "back-squat", 2.5 * round(122.5 * factor / 2.5), 5, 8, 8, 8)
    assert "kg or lb?" not in verdicts(block(SQUATS, more=more), slipped)


def test_a_light_load_that_failed_in_a_block_in_kg_makes_the_next_ones_lighter() -> None:
    """55 of the 122.5 asked for, failed in every set: who is so weak that day is not asked for 122.5 again."""
    failed: Log = {
        "w1.day.back-squat.1": (55, 3, 10),
        "w1.day.back-squat.2": (55, 2, 10),
        "w1.day.back-squat.3": (55, 2, 10),
    }
    made = targets(block(SQUATS), failed)
    assert [made[f"w1.day.back-squat.{n}"] for n in (2, 3)] == [55, 47.5]
    assert made["w2.day.back-squat.1"] == 50


def test_a_light_load_lifted_where_it_hurts_is_where_the_next_one_goes_on() -> None:
    workbook, hurt = calculated(block(SQUATS), sets(1, "back-squat", 55, 5, 8, 8, 8), pain="A")
    assert hurt.number(workbook.weeks[1][0].lines[0].cell("planned", 1)) == 55


def test_the_set_below_one_in_the_other_unit_keeps_its_load() -> None:
    """55 for 122.5 as hard as asked is no day so bad that the next set has to be as light."""
    made = targets(block(SQUATS, more=IN_LB), {"w1.day.back-squat.1": (55, 5, 9)})
    assert made["w1.day.back-squat.2"] == 122.5


def test_after_a_set_in_the_other_unit_the_right_load_is_right() -> None:
    slipped = sets(1, "back-squat", 55, 5, 8, 8, 8)
    right = sets(2, "back-squat", 122.5, 5, 8, 8, 8)
    assert verdicts(block(SQUATS, more=IN_LB), slipped | right, 2) == ["on target"] * 3


@pytest.mark.parametrize(
    ("reps", "efforts"), [(5, (5, 5, 5)), (5, (6.5, 6.5, 6.5)), (3, (9, 9, 9)), (5, (9.5, 9.5, 9.5)), (5, (None,) * 3)]
)
def test_a_light_load_that_was_easy_or_failed_was_chosen(reps: int, efforts: tuple[float | None, ...]) -> None:
    """55 lb of the 122.5 asked for, as kilograms typed for pounds would be: nobody fails with those."""
    light, spec = sets(1, "back-squat", 55, reps, *efforts), block(SQUATS, more=IN_LB)
    assert "kg or lb?" not in verdicts(spec, light)
    assert first_set(spec, light)[1] <= 60


@pytest.mark.parametrize(("pain", "asked"), [("A", False), ("none", True)])
def test_a_light_load_where_it_hurts_was_chosen(pain: str, asked: bool) -> None:
    workbook, hurt = calculated(block(SQUATS, more=IN_LB), sets(1, "back-squat", 55, 5, 8, 8, 8), pain=pain)
    assert (hurt.value(workbook.weeks[0][0].lines[0].cell("verdict", 1)) == "kg or lb?") == asked


def test_a_light_load_lifted_again_the_week_after_was_meant() -> None:
    spec = block(SQUATS, more=IN_LB)
    weak = {**sets(1, "back-squat", 55, 5, 8, 8, 8), **sets(2, "back-squat", 55, 5, 8, 8, 8)}
    assert "kg or lb?" in verdicts(spec, weak)
    assert "kg or lb?" not in verdicts(spec, weak, 2)
    assert first_set(spec, weak)[2] <= 65


def test_who_comes_back_to_the_old_load_after_a_light_week_is_believed() -> None:
    """55 of 127.5 in week 2, so 55 is asked for in week 3: what was lifted in week 1 says that 122.5 is right."""
    weeks = [sets(week, "back-squat", 122.5, 5, 8, 8, 8) for week in (1, 3)]
    back = weeks[0] | sets(2, "back-squat", 55, 5, None, None, None) | weeks[1]
    assert first_set(block(SQUATS), back)[2:] == [55, 127.5]
    assert verdicts(block(SQUATS), back, 3) == ["heavier than asked"] * 3


def test_who_does_far_more_than_a_light_percentage_asks_is_believed() -> None:
    light = "{exercise: back squat, sets: 3, reps: 3, percent: 35}"
    assert verdicts(block(light), sets(1, "back-squat", 115, 3, 6, 6, 6)) == ["heavier than asked"] * 3


def test_a_top_set_far_below_the_back_off_sets_is_a_slip_and_no_light_day() -> None:
    """65 typed for 125: asked for 75 the next week, the lifter would wonder; with light back-off sets that is right."""
    squats = block("{exercise: back squat, reps: 5, rpe: 8, back_off: {sets: 2, reps: 5, drop: 10}}")
    asked = first_set(squats, {})[0]
    slip: Log = {"w1.day.back-squat.1": (round(asked / 2), 5, 8)}
    as_planned, as_light = ({f"w1.day.back-squat.{n}": (load, 5, 8) for n in (2, 3)} for load in (0.9 * asked, 50))
    assert first_set(squats, slip | as_planned)[1] > 0.9 * asked
    assert first_set(squats, slip | as_light)[1] < 0.7 * asked
    workbook, calculation = calculated(squats, slip | as_planned)
    assert reason(calculation, workbook.weeks[1][0].lines[0]) == NONE_COUNTED_FIRST


def test_reps_with_nothing_on_the_bar_hold_no_load() -> None:
    """Six pull-ups typed in the rows of twelve pulldowns miss no reps of those."""
    pulldowns = block("{exercise: lat pulldown, sets: 3, reps: 12, rpe: 8}", "{lat pulldown: 60}")
    workbook, calculation = calculated(pulldowns, sets(1, "lat-pulldown", 0, 6, 8.5, 8.5, 9))
    place = workbook.weeks[0][0].lines[0]
    assert [calculation.value(place.cell("overshoot", number)) for number in (1, 2, 3)] == ["", "", ""]


def test_after_a_set_that_failed_the_next_is_no_heavier_than_it_showed_to_be_right() -> None:
    """However far below last week's load that is: 90 was the least that could be asked for, and has just failed."""
    press = block("{exercise: leg press, sets: 3, reps: 8, rpe: 8}", "{leg press: 140}")
    bad = sets(1, "leg-press", 100, 8, 8, 8, 8) | {
        "w2.day.leg-press.1": (100, 4, 10),
        "w2.day.leg-press.2": (90, 4, 10),
    }
    made = targets(press, bad)
    assert (made["w2.day.leg-press.2"] or 0) < 90
    assert (made["w2.day.leg-press.3"] or 0) < 85


def test_a_load_far_from_the_one_asked_for_is_told_however_it_felt() -> None:
    """65 for 95 may be a slip of a digit, or meant: "on target" would say neither. 92.5 is no such thing."""
    squats = block(SQUATS)
    asked = first_set(squats, {})[0]
    loads = enumerate((asked - 30, asked - 2.5, asked + 10), start=1)
    mixed: Log = {f"w1.day.back-squat.{number}": (load, 5, 8) for number, load in loads}
    assert verdicts(squats, mixed) == ["lighter than asked", "on target", "heavier than asked"]


def test_a_lifter_so_much_stronger_than_a_guess_is_believed_the_second_week() -> None:
    spec = block(LEG_PRESS, "{back squat: 90}")
    strong = {**sets(1, "leg-press", 155, 8, 8, 8, 8), **sets(2, "leg-press", 155, 8, 8, 8, 8)}
    assert first_set(spec, {})[0] == 70
    assert verdicts(spec, strong) == ["kg or lb?"] * 3
    assert "kg or lb?" not in verdicts(spec, strong, 2)
    assert first_set(spec, strong)[2] >= 140


def test_a_little_weight_hung_on_a_strong_body_may_be_chosen() -> None:
    """11 kg for the 5 asked are 7 % more of all that is lifted."""
    spec = block("{exercise: pull-up, sets: 2, reps: 6, rpe: 8}", "{pull-up: 27}")
    asked = targets(spec, {})["w1.day.pull-up.1"] or 0
    assert asked == 5
    assert "kg or lb?" not in verdicts(spec, sets(1, "pull-up", 11.25, 6, 9, 9))


def test_a_set_that_was_skipped_can_be_said_to_be() -> None:
    workbook = assemble(block(SQUATS))
    place = workbook.weeks[0][0].lines[0]
    calculation = Calculation(workbook.book, {input_name("w1.day.back-squat.2", "load"): "skip"})
    assert calculation.value(place.cell("verdict", 2)) == "left out"


def test_a_slip_beside_a_load_that_did_not_go_up_is_no_lighter_load() -> None:
    logged = sets(1, "back-squat", 125, 0, 10) | {"w1.day.back-squat.2": (12.5, 0, 10)}
    assert first_set(block(SQUATS), logged)[1] >= 90


@pytest.mark.parametrize(("slot", "counts"), [("reps: 8, reserve: 1", True), ("sets: 2, reps: 8, rpe: 8", False)])
def test_as_many_reps_as_possible_may_be_many(slot: str, counts: bool) -> None:
    workbook, calculation = calculated(block(f"{{exercise: push-up, {slot}}}"), {"w1.day.push-up.1": (0, 35, 9)})
    assert (calculation.number(workbook.weeks[0][0].lines[0].cell("plausible", 1)) == 1) == counts


def test_a_lifter_twice_as_strong_as_a_guess_is_believed_the_second_week() -> None:
    spec = block("{exercise: dumbbell bench press, sets: 3, reps: 8, rpe: 8}", "{bench press: 90}")
    load = 2 * (targets(spec, {})["w1.day.dumbbell-bench-press.1"] or 0)
    weeks = [sets(week, "dumbbell-bench-press", load, 8, 8, 8, 8) for week in (1, 2)]
    planned = first_set(spec, weeks[0] | weeks[1])
    assert planned[1] < 0.6 * load
    assert planned[2] > 0.9 * load


def test_both_dumbbells_added_up_are_never_believed_where_no_dumbbell_is_so_heavy() -> None:
    spec = block("{exercise: dumbbell bench press, sets: 3, reps: 8, rpe: 8}", "{bench press: 100}")
    load = 2 * (targets(spec, {})["w1.day.dumbbell-bench-press.1"] or 0)
    assert load > 50
    weeks = [sets(week, "dumbbell-bench-press", load, 8, 8, 8, 8) for week in (1, 2)]
    assert max(first_set(spec, weeks[0] | weeks[1])) < 0.6 * load


def test_after_a_set_that_failed_lighter_than_asked_no_more_is_asked_than_it_had() -> None:
    logged = sets(1, "back-squat", 122.5, 5, 8, 8, 8) | {"w2.day.back-squat.1": (105, 3, 10)}
    assert (targets(block(SQUATS), logged)["w2.day.back-squat.2"] or 0) <= 105


def test_a_percent_lift_is_lighter_after_a_set_short_of_its_reps() -> None:
    spec = block("{exercise: bench press, sets: 4, reps: 5, percent: 75}")
    made = targets(spec, {"w1.day.bench-press.1": (75, 5, 9), "w1.day.bench-press.2": (75, 3, 10)})
    assert made["w1.day.bench-press.2"] == 75
    assert (made["w1.day.bench-press.3"] or 0) < 75


# What a careful coach would ask ----------------------------------------------------------------


def with_pain(logged: Log, pains: dict[int, str], more: str = "", slots: str = SQUATS) -> tuple[BlockBook, Calculation]:
    """A block with pain typed by week."""
    workbook, _ = calculated(block(slots, more=more), logged)
    typed: dict[str, Any] = {
        input_name(key, name): value
        for key, values in logged.items()
        for name, value in zip(("load", "reps", "rpe"), values, strict=True)
    }
    typed |= {session_input_key(f"w{week}.day", "pain"): said for week, said in pains.items()}
    return workbook, Calculation(workbook.book, typed)


def first_targets(workbook: BlockBook, calculation: Calculation, week: int) -> list[float]:
    place = workbook.weeks[week - 1][0].lines[0]
    return [calculation.number(place.cell("target", planned.number)) or 0 for planned in place.line.work_sets]


@pytest.mark.parametrize(("done", "load"), [((122.5, 5, 8), 122.5), ((122.5, 2, 8), 110), ((122.5, 4, 10), 110)])
def test_what_hurt_and_was_too_hard_is_asked_for_a_tenth_lighter(done: tuple[float, int, float], load: float) -> None:
    """Held where the session was as asked; nobody is sent back under a load that was stopped for pain."""
    workbook, calculation = with_pain({"w1.day.back-squat.1": done}, {1: "A"})
    assert first_targets(workbook, calculation, 2)[0] == load


def test_while_it_hurts_back_off_sets_ask_for_no_more_either() -> None:
    """They follow the top set, but not above what was lifted behind the last one."""
    logged: Log = {"w1.day.back-squat.1": (122.5, 5, 8), "w2.day.back-squat.1": (122.5, 5, 6)}
    logged |= {f"w{week}.day.back-squat.{n}": (90, 8, 6) for week in (1, 2) for n in (2, 3, 4)}
    for pains, most in (({1: "A", 2: "A"}, 90), ({1: "A", 2: "none"}, 90 * 1.05), ({}, 120)):
        workbook, calculation = with_pain(logged, pains, slots=BACK_OFFS)
        top, *behind = first_targets(workbook, calculation, 3)
        assert 0.85 * most < max(behind) <= most
        assert max(behind) < top


def test_a_heavier_set_of_fewer_reps_is_judged_by_what_it_was() -> None:
    """45 for 12 at effort 8 asked, 50 for 10 at 8 done: as hard, and not two reps short."""
    spec = block("{exercise: leg curl, sets: 1, reps: 12, rpe: 8}", "{leg curl: {load: 60, reps: 5, rpe: 8}}")
    asked = first_set(spec, {})[0]
    heavier, reps = asked + 5, (asked_reps(spec, {})[0] or 0) - 2
    workbook, calculation = calculated(spec, {"w1.day.leg-curl.1": (heavier, reps, 8)})
    place = workbook.weeks[0][0].lines[0]
    assert calculation.value(place.cell("verdict", 1)) == "heavier, 2 reps fewer"
    assert (calculation.number(place.cell("overshoot", 1)) or 0) < 1
    failed = calculated(spec, {"w1.day.leg-curl.1": (heavier, reps, 10)})[1]
    assert failed.number(place.cell("overshoot", 1)) == 4


def test_reps_left_out_at_effort_nine_are_no_failure() -> None:
    """One was left: it says nothing of how effort is judged."""
    for effort, failed in ((9, 0), (9.5, 1), (10, 1), (None, 1)):
        workbook, calculation = calculated(block(SQUATS), {"w1.day.back-squat.1": (122.5, 3, effort)})
        assert calculation.value(workbook.weeks[0][0].lines[0].cell("all_out", 1)) == failed


def test_zeros_for_a_set_that_was_not_done_say_nothing() -> None:
    logged: Log = {"w1.day.back-squat.1": (122.5, 5, 8), "w1.day.back-squat.2": (0, 0, 0)}
    workbook, calculation = calculated(block(SQUATS), logged)
    place = workbook.weeks[0][0].lines[0]
    assert calculation.value(place.cell("verdict", 2)) == "left out"
    assert calculation.value(place.cell("target", 3)) == 122.5
    assert calculation.value(place.cell("overshoot", 2)) == ""


def test_reps_beyond_those_of_a_back_off_set_were_still_left() -> None:
    logged: Log = {"w1.day.back-squat.1": (122.5, 5, 8), "w1.day.back-squat.2": (110, 10, 8)}
    with_effort = BACK_OFFS.replace("drop: 10", "drop: 10, rpe: 8")
    workbook, calculation = calculated(block(with_effort), logged)
    assert calculation.value(workbook.weeks[0][0].lines[0].cell("verdict", 2)) == "2 under"


def test_a_first_bad_day_after_one_as_asked_is_no_second() -> None:
    """A careful first load done as asked lies under what is believed, and was no bad day."""
    spec = block(THREE_LIFTS, more=", steer_by_day: false")
    asked = targets(spec, {})
    logged: Log = {}
    for slot in ("back-squat", "bench-press", "deadlift"):
        load = asked[f"w1.day.{slot}.1"] or 0
        logged |= sets(1, slot, load, 5, 8, 8, 8) | sets(2, slot, load, 5, 9, 9, 9)
    workbook, calculation = calculated(spec, logged)
    assert not any("twice running" in reason(calculation, place) for place in workbook.weeks[2][0].lines)


def test_many_reps_and_then_few_are_not_too_hard_at_the_lightest_load() -> None:
    spec = block("{exercise: pull-up, sets: 2, reps: 8, rpe: 8}", "{pull-up: {load: 2.5, reps: 8, rpe: 9}}")
    workbook, calculation = calculated(spec, {"w1.day.pull-up.1": (0, 15, 8), "w1.day.pull-up.2": (0, 4, 10)})
    assert "too hard" not in reason(calculation, workbook.weeks[1][0].lines[0])


def test_reps_that_the_day_changes_are_told_where_the_load_stays() -> None:
    """Else who read the row before the squats would do ten of eight, and be told that two more were left."""
    spec = block(f"{SQUATS}, {{exercise: leg curl, sets: 2, reps: 10, rpe: 8}}", "{back squat: 150, leg curl: 60}")
    planned, bad_day = calculated(spec, {}), calculated(spec, sets(1, "back-squat", 95, 5, 9.5, 9.5, 9.5))
    place = planned[0].weeks[0][0].lines[1]
    load, reps = (place.cell(name, 1) for name in ("target", "target_reps"))
    assert [calculation.number(load) for _, calculation in (planned, bad_day)] == [40, 40]
    assert [calculation.number(reps) for _, calculation in (planned, bad_day)] == [12, 8]
    told = " Today 8 reps, by the sets done so far."
    assert [reason(calculation, place).endswith(told) for _, calculation in (planned, bad_day)] == [False, True]


def test_a_days_change_names_the_reps_it_asks_for() -> None:
    """Where coarse steps move the reps with the load, who remembers the old ones is told."""
    spec = block(
        f"{SQUATS}, {{exercise: leg press, sets: 2, reps: 8, rpe: 8, progress: load}}", BESTS[:-1] + ", leg press: 150}"
    )
    logged: Log = {"w1.day.back-squat.1": (122.5, 2, 10)}
    workbook, calculation = calculated(spec, logged)
    place = workbook.weeks[0][0].lines[1]
    said, reps = reason(calculation, place), calculation.number(place.cell("target_reps", 1))
    assert said.endswith("by the sets done so far.")
    assert (f" and {reps:g} reps, by" in said) == (reps != 8)


@pytest.mark.parametrize(
    ("typed", "held"),
    [
        ("A", (1, 0, 0)),
        ("a", (1, 0, 0)),
        ("A and C", (1, 0, 1)),
        ("a, c", (1, 0, 1)),
        ("B+C", (0, 1, 1)),
        ("A B C", (1, 1, 1)),
        ("B, lower back", (1, 1, 1)),
        ("a bit sore", (1, 1, 1)),
        ("gone", (0, 0, 0)),
        ("none, but B hurts", (1, 1, 1)),
        ("B And C", (0, 1, 1)),
    ],
)
def test_several_letters_name_several_exercises(typed: str, held: tuple[int, ...]) -> None:
    """Letters alone; where there is more to read, every exercise is held."""
    workbook, calculation = with_pain({}, {1: typed}, slots=THREE_LIFTS)
    lines = [place.line for place in workbook.weeks[0][0].lines]
    assert tuple(calculation.number(workbook.workings.cell(line, "pain")) or 0 for line in lines) == held


@pytest.mark.parametrize(("effort", "more"), [(8, 2), (8.5, 2), (6, 4)])
def test_reps_grow_step_by_step_unless_it_was_easy(effort: float, more: int) -> None:
    """A light first load, done as asked: what is believed would allow more reps at once."""
    spec = block(
        "{exercise: dumbbell curl, sets: 3, reps: 8-12, rpe: 8}", "{dumbbell curl: {load: 20, reps: 10, rpe: 8}}"
    )
    load = first_set(spec, {})[0]
    reps = asked_reps(spec, sets(1, "dumbbell-curl", load, asked_reps(spec, {})[0] or 0, *[effort] * 3))
    assert 0 <= (reps[1] or 0) - (reps[0] or 0) <= more


def test_a_load_without_any_effort_has_its_reason() -> None:
    """Nothing in it may be counted with a text: a program shows an error then."""
    workbook, calculation = calculated(block(SQUATS), sets(1, "back-squat", 100, 5, None, None, None))
    assert reason(calculation, workbook.weeks[1][0].lines[0]) == "Same load: no effort was logged last time."
    pull_ups = block("{exercise: pull-up, sets: 2, reps: 8, rpe: 8}", "{pull-up: {load: 2.5, reps: 8, rpe: 9}}")
    workbook, calculation = calculated(pull_ups, sets(1, "pull-up", 0, 8, None, None))
    assert "no effort was logged" in reason(calculation, workbook.weeks[1][0].lines[0])


def test_where_it_hurt_reps_do_not_rise_either() -> None:
    curls = "{exercise: dumbbell bench press, sets: 3, reps: 8-12, rpe: 8}"
    spec = block(curls, "{dumbbell bench press: {load: 20, reps: 8, rpe: 8}}")
    asked = asked_reps(spec, {})[0] or 0
    logged = sets(1, "dumbbell-bench-press", 14, asked, 9, 9, 9)
    workbook = assemble(spec)
    typed = {
        input_name(k, n): v
        for k, values in logged.items()
        for n, v in zip(("load", "reps", "rpe"), values, strict=True)
    }
    calculation = Calculation(workbook.book, typed | {session_input_key("w1.day", "pain"): "A"})
    assert (calculation.number(workbook.weeks[1][0].lines[0].cell("target_reps", 1)) or 0) <= asked


def test_a_load_held_on_purpose_yields_to_pain() -> None:
    held = SQUATS.replace("rpe: 8", "rpe: 8, progress: hold")
    for lowest in (0.9, 1):
        spec = block(held, policy=f"{{lowest_step: {lowest}}}")
        workbook = assemble(spec)
        logged = sets(1, "back-squat", 120, 5, 9.5, 9.5, 9.5)
        typed = {
            input_name(k, n): v
            for k, values in logged.items()
            for n, v in zip(("load", "reps", "rpe"), values, strict=True)
        }
        calculation = Calculation(workbook.book, typed | {session_input_key("w1.day", "pain"): "A"})
        assert (calculation.number(workbook.weeks[1][0].lines[0].cell("target", 1)) or 0) <= 0.9 * 120


def test_where_it_hurt_more_reps_come_with_less_load() -> None:
    """Held is what was asked, load and reps together."""
    spec = block("{exercise: back squat, sets: 1, reps: [8, 12, 8, 8], rpe: 8}")
    logged: Log = {"w1.day.back-squat.1": (110, 8, 8)}
    workbook = assemble(spec)
    typed = {
        input_name(k, n): v
        for k, values in logged.items()
        for n, v in zip(("load", "reps", "rpe"), values, strict=True)
    }
    calculation = Calculation(workbook.book, typed | {session_input_key("w1.day", "pain"): "A"})
    assert (
        calculation.number(workbook.weeks[1][0].lines[0].cell("target", 1)) or 0
    ) <= 100  # 12 reps with 2 left, as hard as 110 for 8


def test_a_deload_is_as_light_as_what_was_lifted_lately() -> None:
    """What is believed falls slowly; after a lift came down the easy week comes down with it."""
    spec = block(SQUATS, more=", deload_week: 3")
    logged = sets(1, "back-squat", 122.5, 5, 8, 8, 8) | {"w2.day.back-squat.1": (95, 5, 10)}
    deload = first_set(spec, logged)[2]
    assert deload <= 80  # five at effort 6 of a maximum of 107 are 83
    easy = sets(1, "back-squat", 122.5, 5, 8, 8, 8) | sets(2, "back-squat", 122.5, 5, 5, 5, 5)
    assert first_set(spec, easy)[2] < 122.5


@pytest.mark.parametrize(
    ("note", "typed", "pain"),
    [
        ("sharp pain in the left knee", None, 1),
        ("sharp pain in the left knee", "none", 0),
        ("sharp pain in the left knee", "C", 1),  # the pain of the deadlift answers nothing here
        ("no pain", None, 0),
        ("moved well", None, 0),
    ],
)
def test_a_note_of_pain_counts_for_its_exercise_until_it_is_answered(note: str, typed: str | None, pain: int) -> None:
    workbook, _ = calculated(block(THREE_LIFTS), {})
    values = {input_name("w1.day.bench-press.2", "note"): note, session_input_key("w1.day", "pain"): typed}
    lines = [place.line for place in workbook.weeks[0][0].lines]
    held = [Calculation(workbook.book, values).number(workbook.workings.cell(line, "pain")) or 0 for line in lines]
    assert held == [0, pain, int(typed == "C")]


FAILED_TOP = "{exercise: back squat, reps: [5, 4, 4, 3], rpe: [7.5, 8, 8, 9], back_off: {sets: 2, reps: 5, drop: 10}}"


def test_after_a_top_set_that_failed_far_short_little_more_is_asked_than_it_showed() -> None:
    """122.5 went up three times and not a fourth: four with two left are not asked at about that load."""
    spec = block(FAILED_TOP)
    failed = {"w1.day.back-squat.1": (122.5, 3, 10)}
    backed_off = {f"w1.day.back-squat.{n}": (97.5, 5, 8) for n in (2, 3)}
    showed = 122.5 * (1 + 3 / 30)  # by the chart of Epley, from memory
    for logged in (failed, failed | backed_off):
        following = targets(spec, logged)["w2.day.back-squat.1"] or 0
        assert following * (1 + 6 / 30) <= 1.05 * showed


def test_a_set_that_missed_few_of_many_reps_leaves_the_load() -> None:
    spec = block("{exercise: dumbbell curl, sets: 2, reps: 16, rpe: 8}", "{dumbbell curl: 16}")
    asked = targets(spec, {})["w1.day.dumbbell-curl.1"] or 0
    missed = sets(1, "dumbbell-curl", asked, 13, 10, 10)
    assert targets(spec, missed)["w2.day.dumbbell-curl.1"] == asked


def test_a_heavier_top_set_at_the_limit_makes_the_back_off_sets_no_heavier() -> None:
    spec = block(FAILED_TOP)
    plan = targets(spec, {})["w1.day.back-squat.2"] or 0
    assert (targets(spec, {"w1.day.back-squat.1": (140, 5, 10)})["w1.day.back-squat.2"] or 0) <= plan


def test_reps_grow_by_little_more_than_a_session_was_easy_by() -> None:
    """14 with none left where 11 were asked with two left are one more than asked, not four."""
    spec = block("{exercise: cable crunch, sets: 3, reps: 10-18, rpe: 8, loads: {1: 30}}", "{cable crunch: 47}")
    workbook = assemble(spec)
    first, second = (week[0].lines[0] for week in workbook.weeks[:2])
    asked = Calculation(workbook.book, {}).number(first.cell("target_reps", 1)) or 0
    names = [input_name(f"w1.day.cable-crunch.{n}", name) for n in (1, 2, 3) for name in ("load", "reps", "rpe")]
    typed = dict(zip(names, (30, asked + 3, 10) * 3, strict=True))
    more = (Calculation(workbook.book, typed).number(second.cell("target_reps", 1)) or 0) - asked
    assert 0 < more <= 2


@pytest.mark.parametrize(("reps", "felt"), [(8, 8), (4, 4), (3, 1), (2, 1)])
def test_before_a_heavy_double_or_triple_the_feeler_is_a_single(reps: int, felt: int) -> None:
    spec = block(f"{{exercise: back squat, sets: 3, reps: {reps}, rpe: 8, feeler: true}}")
    (feeler, *_) = assemble(spec).weeks[0][0].lines[0].line.sets
    assert (feeler.kind, feeler.reps) == ("feeler", felt)


def test_lifting_over_a_load_that_is_held_for_pain_does_not_raise_it() -> None:
    pain = {session_input_key("w1.day", "pain"): "A"}
    workbook = assemble(block(SQUATS))
    typed: dict[str, Any] = {
        input_name(key, name): value
        for key, values in (sets(1, "back-squat", 122.5, 5, 8, 8, 8) | sets(2, "back-squat", 140, 5, 8, 8, 8)).items()
        for name, value in zip(("load", "reps", "rpe"), values, strict=True)
    }
    calculation = Calculation(workbook.book, typed | pain)
    held, then = (calculation.number(week[0].lines[0].cell("planned", 1)) for week in workbook.weeks[1:3])
    assert held == then == 122.5
