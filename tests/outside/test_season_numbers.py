"""The season's numbers, and the blocks that come out of them, against published surveys of lifters and coaches.

Sources stand in published_values.csv. Surveys say what people do, not what is best.
"""

from __future__ import annotations

import re
from datetime import date, timedelta
from itertools import pairwise

import pytest

from blockbook.planning.season_text import iso_weeks
from blockbook.planning.starting import season_starter
from blockbook.spec.loading import parse_spec
from blockbook.spec.models import Specification
from blockbook.training.prescription import Line, planned_sets, weeks
from blockbook.training.season import count_back
from blockbook.training.season_calendar import key_days, most_work_out
from tests.outside.published import Published, each, published

SATURDAY = date(2027, 6, 5)
MEETS = [SATURDAY + timedelta(days=days) for days in range(7)]
"""A meet on every weekday."""
LIFTS = {"squat": "back squat", "bench": "bench press", "deadlift": "deadlift"}


def bounds(row: Published) -> tuple[float, float]:
    """ "7..10", "5.6 +- 2.3" or "<7" as lowest and highest."""
    numbers = [float(number) for number in re.findall(r"\d+(?:\.\d+)?", row.expected)]
    if "+-" in row.expected:
        return numbers[0] - numbers[1], numbers[0] + numbers[1]
    return (0, numbers[0] - 1) if row.expected.startswith("<") else (numbers[0], numbers[-1])


def about(quantity: str, source: str = "", **given: str) -> tuple[float, float]:
    """Lowest and highest of all that was published on it."""
    rows = [
        row
        for row in published("taper_deload")
        if row.given == {**given, "quantity": quantity} and row.source.startswith(source)
    ]
    assert rows
    lows, highs = zip(*map(bounds, rows), strict=True)
    return min(lows), max(highs)


def within(value: float, limits: tuple[float, float]) -> bool:
    return limits[0] <= value <= limits[1]


def peak_before(meet: date) -> Specification:
    """The peak block that `new --season` writes for a meet eleven weeks away."""
    season = count_back([meet], meet - timedelta(weeks=11))
    return parse_spec(season_starter(season, season.blocks[-1]))


def sets_of_week(spec: Specification, week: int) -> int:
    return sum(session.week == week and planned.kind != "feeler" for session, _, planned in planned_sets(spec))


def is_heavy(line: Line) -> bool:
    """Over 85 % of the maximum (as Travis et al. 2021 have it): few reps at an effort of 7 or more."""
    if line.percent is not None:
        return bool(line.work_sets) and line.percent > 85
    return bool(line.work_sets) and line.reps.high <= 3 and line.rpe >= 7


@pytest.mark.parametrize("meet", MEETS, ids=lambda meet: f"{meet:%a}")
@pytest.mark.parametrize("lift", LIFTS)
def test_the_last_heavy_day_of_each_lift(lift: str, meet: date) -> None:
    """In the block that is written, on the day that the calendar names, as far from the meet as published."""
    heavy = [
        session.day
        for week in weeks(peak_before(meet))
        for session in week
        for line in session.lines
        if line.exercise.name == LIFTS[lift] and is_heavy(line)
    ]
    named = next(
        day.first
        for day in key_days(count_back([meet], meet - timedelta(weeks=11)))
        if day.title.startswith(f"Last heavy {lift}")
    )
    assert max(heavy) == named
    assert within((meet - named).days, about("last_heavy_before_meet", lift=lift))


@pytest.mark.parametrize("meet", MEETS, ids=lambda meet: f"{meet:%a}")
def test_the_last_session(meet: date) -> None:
    spec = peak_before(meet)
    days = [session.day for week in weeks(spec) for session in week]
    assert days == sorted(days)
    assert within((meet - days[-1]).days, about("last_session_before_meet"))


def test_the_taper_cuts_sets_by_as_much_as_published() -> None:
    """Against the week before; the two surveys differ, and the cut lies between their ends."""
    spec = peak_before(SATURDAY)
    cut = 100 * (1 - sets_of_week(spec, 4) / sets_of_week(spec, 3))
    assert within(cut, about("volume_cut"))


def test_the_taper_lasts_as_long_as_published() -> None:
    (taper,) = [day for day in key_days(count_back([SATURDAY], SATURDAY - timedelta(weeks=5))) if day.title == "Taper"]
    assert within((SATURDAY - taper.first).days, about("taper_length"))


@pytest.mark.parametrize("out", range(11, 41))
def test_the_week_with_most_work_and_the_heaviest_week(out: int) -> None:
    season = count_back([SATURDAY], SATURDAY - timedelta(weeks=out))
    volume = [block for block in season.blocks if block.kind == "volume"][-1]
    assert within(most_work_out(volume, SATURDAY), about("highest_volume_before_meet"))
    heaviest = season.blocks[-1].week_start(season.blocks[-1].weeks - 1)
    for quantity in ("highest_intensity_before_meet", "intensity_peak_before_meet"):
        assert within((SATURDAY - heaviest).days / 7, about(quantity))


def test_most_sets_fall_in_that_week_of_the_volume_block() -> None:
    season = count_back([SATURDAY], SATURDAY - timedelta(weeks=11))
    spec = parse_spec(season_starter(season, season.blocks[0]))
    squats = [
        sum(
            planned.kind != "feeler" and line.exercise.name == "back squat" and session.week == week
            for session, line, planned in planned_sets(spec)
        )
        for week in range(1, 6)
    ]
    assert max(squats) == squats[3]


def test_a_deload_is_a_week_and_comes_as_often_as_published() -> None:
    for out in range(15, 41):
        season = count_back([SATURDAY], SATURDAY - timedelta(weeks=out))
        lighter = [day for day in key_days(season) if day.title == "Deload week"]
        assert all(within((day.last - day.first).days + 1, about("deload_length")) for day in lighter)
        deloads = [day.first for day in lighter]
        apart = [(later - earlier).days / 7 for earlier, later in pairwise(deloads)]
        assert all(within(weeks_apart, about("deload_interval")) for weeks_apart in apart)


@each("iso_week")
def test_iso_weeks(row: Published) -> None:
    day = date.fromisoformat(row.given["date"])
    assert iso_weeks(day, day) == row.expected.split("-")[1]
