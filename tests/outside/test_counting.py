"""Session load, sets per muscle, pounds, plates and weeks against their definitions."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Final

import pytest

from blockbook.spec.models import DAYS, Equipment, Specification, Steps
from blockbook.training import loading, prescription, session_load, volume
from blockbook.workbook.start import WORDS

from .blocks import block
from .published import Published, each, published

STEPS: Final = Steps(lightest=2, heaviest=50, step=2)

COMPETITION: Final = Equipment(
    bar=20,
    collars=5,
    plates={25: 8, 20: 1, 15: 1, 10: 1, 5: 1, 2.5: 1, 1.25: 1, 0.5: 1, 0.25: 1},
    dumbbells=STEPS,
    stack=STEPS,
    added_weight=STEPS,
)
"""IPF Technical Rules, from memory: bar 20 kg, collars 2.5 kg each, discs of 25 to 1.25 kg; 0.5 and 0.25 for
records."""


# Session load ------------------------------------------------------------------------------


@each("session_load")
def test_session_load_is_effort_times_minutes(row: Published) -> None:
    # Foster et al. 2001, J Strength Cond Res 15(1):109-115, computed from the formula.
    assert session_load.session_load.value(row.number("rpe"), row.number("minutes")) == row.result


@each("weekly_load")
def test_weekly_load_is_the_sum_of_the_days(row: Published) -> None:
    # Foster et al. 2001, computed; a day off is 0.
    assert volume.summed.value(row.series) == row.result


@each("monotony")
def test_monotony_is_the_daily_mean_over_its_spread(row: Published) -> None:
    # Foster 1998, Med Sci Sports Exerc 30(7):1164-1168, computed. The paper does not say which standard
    # deviation it means: ours is the population's. Seven equal days have none, so no monotony.
    expected = "" if row.expected == "undefined" else pytest.approx(row.result, abs=0.0001)
    assert session_load.monotony.value(row.series) == expected


@each("strain")
def test_strain_is_weekly_load_times_monotony(row: Published) -> None:
    # Foster 1998, computed from the unrounded monotony.
    monotony = session_load.monotony.value(row.series)
    assert session_load.strain.value(row.series, monotony) == pytest.approx(row.result, abs=0.01)


def test_the_lifters_sheet_cites_the_paper_that_has_monotony_and_strain() -> None:
    # Foster 1998; the session's effort x minutes is Foster et al. 2001.
    (said,) = (words for words in WORDS if "Monotony" in words)
    assert "(Foster 1998)" in said


def test_strain_of_seven_equal_days_is_undefined() -> None:
    # Foster 1998: load x monotony, and there is no monotony.
    assert session_load.strain.value((300,) * 7, "") == ""


# Sets per muscle -----------------------------------------------------------------------------


@each("indirect_set")
def test_an_indirect_set_counts_half(row: Published) -> None:
    # Pelland et al. 2024, SportRxiv preprint: fractional method.
    assert volume.muscle_sets.value((), (1,)) == row.result == volume.INDIRECT_SET


@each("fractional_sets")
def test_sets_per_muscle_are_counted_fractionally(row: Published) -> None:
    # Pelland et al. 2024, computed: direct sets 1, indirect ones 0.5.
    assert volume.muscle_sets.value((row.number("direct"),), (row.number("indirect"),)) == row.result


def test_sets_per_muscle_add_up_over_a_week() -> None:
    # Pelland et al. 2024, computed: two exercises of three direct sets and two of four indirect ones.
    assert volume.muscle_sets.value((3, 3), (4, 4)) == 10


# Pounds ------------------------------------------------------------------------------------


@each("pound")
def test_pounds_are_exact(row: Published) -> None:
    # International pound of 1959: 0.45359237 kg, exact; the rest computed from it to four places.
    if row.unit == "kg":
        assert round(loading.to_kg(row.number("lb")), 8 if row.input.startswith("lb=1;") else 4) == row.result
    else:
        assert round(loading.to_lb(row.number("kg")), 4) == row.result


@pytest.mark.parametrize("load", [2.5, 45, 137.5, 1000])
def test_pounds_to_kilograms_and_back_is_no_change(load: float) -> None:
    # Computed from the exact pound.
    assert loading.to_lb(loading.to_kg(load)) == pytest.approx(load, rel=1e-14)


# Plates ------------------------------------------------------------------------------------


@each("bar_and_collars")
def test_empty_competition_bar_weighs_25_kilograms_with_collars(row: Published) -> None:
    # IPF Technical Rules, from memory: bar 20 kg, two collars of 2.5 kg.
    lightest = loading.ladder("barbell", COMPETITION)[0]
    assert (lightest.load, lightest.per_side) == (row.result, ())


@each("plates")
def test_competition_bar_is_loaded_heaviest_disc_first(row: Published) -> None:
    # IPF Technical Rules (discs from memory), computed. 100.5 and 101 kg need the discs for records.
    made = {rung.load: rung.per_side for rung in loading.ladder("barbell", COMPETITION)}
    discs = () if row.expected == "none" else tuple(float(disc) for disc in row.expected.split("|"))
    assert made[row.number("total_kg")] == discs


def test_every_attempt_can_be_loaded() -> None:
    # IPF Technical Rules, from memory: attempts are multiples of 2.5 kg, and 25 kg is the lightest.
    made = {rung.load for rung in loading.ladder("barbell", COMPETITION)}
    assert {25 + 2.5 * i for i in range(160)} <= made


# Weeks -------------------------------------------------------------------------------------


def starting(day: date, weeks: int = 4, weekday: str = "mon") -> Specification:
    slots = "exercise: bench press, sets: 1, reps: 5, rpe: 8"
    return block(slots, "bench press: 100", weeks, start=f"{day}", weekday=weekday)


def test_block_weeks_are_iso_weeks_across_the_53rd() -> None:
    # ISO 8601: 2026 has 53 weeks, as it begins on a Thursday; week 1 of 2027 begins on 4 January.
    spec = starting(date(2026, 12, 14), weeks=5)
    starts = [prescription.week_start(spec, week) for week in range(1, 6)]
    assert [start.isocalendar()[:] for start in starts] == [
        (2026, 51, 1), (2026, 52, 1), (2026, 53, 1), (2027, 1, 1), (2027, 2, 1),
    ]  # fmt: skip


@each("iso_week")
def test_session_falls_on_the_day_its_iso_week_says(row: Published) -> None:
    # ISO 8601, computed: weeks begin on Monday, week 1 holds 4 January. The session is in the second week.
    year, week, weekday = row.expected.split("-")
    monday = date.fromisocalendar(int(year), int(week[1:]), 1)
    spec = starting(monday - timedelta(weeks=1), weekday=DAYS[int(weekday) - 1])
    session = prescription.weeks(spec)[1][0]
    assert session.day == date.fromisoformat(row.given["date"])
    assert session.day.isocalendar()[:] == (int(year), int(week[1:]), int(weekday))
    assert prescription.week_start(spec, 2) == monday


@each("iso_year")
def test_week_after_a_years_last_is_week_one(row: Published) -> None:
    # ISO 8601, computed: years that begin on a Thursday, or leap years on a Wednesday, have 53 weeks.
    year, last = int(row.given["iso_year"]), int(row.result)
    spec = starting(date.fromisocalendar(year, last, 1))
    assert prescription.week_start(spec, 2).isocalendar()[:] == (year + 1, 1, 1)


def test_every_published_day_is_given_once() -> None:
    rows = published("iso_week")
    assert len({row.given["date"] for row in rows}) == len(rows)
