"""A season by example and by rule: for meets on every weekday, near and far, with and without days away."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blockbook.spec.season import DateRange, Season, SeasonBlock
from blockbook.training.season import count_back, names
from blockbook.training.season_calendar import given_up, key_days, longest_work, most_work_out, spans, weeks_begin

DAY, WEEK = timedelta(days=1), timedelta(weeks=1)
SATURDAY = date(2027, 6, 5)
MEETS = [SATURDAY + days * DAY for days in range(7)]
"""A meet on every weekday."""


def plan(season: Season) -> list[str]:
    """ "volume 5 (5)": kind, weeks and deload week of each block."""
    return [
        f"{block.kind} {block.weeks}" + (f" ({block.deload_week})" if block.deload_week else "")
        for block in season.blocks
    ]


def from_weeks_before(weeks: int, *away: tuple[int, int], meet: date = SATURDAY) -> Season:
    """So many weeks to the meet. away: weeks out of the first and the last week away."""
    ranges = [DateRange(first=meet - out * WEEK, last=meet - (last - 1) * WEEK - DAY) for out, last in away]
    return count_back([meet], meet - weeks * WEEK, ranges)


# By example


@pytest.mark.parametrize(
    ("weeks", "blocks"),
    [
        (1, ["peak 1"]),
        (3, ["peak 3"]),
        (5, ["peak 5"]),
        (6, ["strength 2", "peak 4"]),
        (9, ["strength 5 (5)", "peak 4"]),
        (11, ["volume 5 (5)", "strength 2", "peak 4"]),
        (16, ["general 5 (5)", "volume 5 (5)", "strength 2", "peak 4"]),
        (20, ["general 4 (4)", "strength 5 (5)", "volume 5 (5)", "strength 2", "peak 4"]),
    ],
)
def test_the_blocks_follow_from_the_weeks_there_are(weeks: int, blocks: list[str]) -> None:
    assert plan(from_weeks_before(weeks)) == blocks


def test_a_last_heavy_day_that_is_away_moves_to_the_last_day_at_home_or_is_given_up() -> None:
    """Of a meet on Sunday 14 March, the squat is due a week before it, the bench press on Tuesday 9 March."""

    def days_and_lacks(first: str, last: str) -> tuple[dict[str, str], list[str]]:
        away = DateRange(first=date.fromisoformat(first), last=date.fromisoformat(last))
        season = count_back([date(2027, 3, 14)], date(2026, 12, 11), [away])
        return {day.title: f"{day.first}" for day in key_days(season)}, given_up(season)

    days, lacks = days_and_lacks("2027-03-06", "2027-03-07")
    assert days["Last heavy squat"] == "2027-03-05"
    assert "Meet on 14 March 2027: last heavy squat on 5 March, since 7 March is away." in lacks
    days, lacks = days_and_lacks("2027-02-26", "2027-03-09")
    assert not {"Last heavy squat", "Last heavy bench press"} & days.keys()
    assert "Meet on 14 March 2027: no last heavy squat (away on 7 March)." in lacks


def test_a_week_away_stands_for_the_deload_of_the_block_before_it() -> None:
    assert plan(from_weeks_before(11, (7, 7))) == ["volume 4", "strength 2", "peak 4"]


def test_away_before_the_meet_there_is_no_peak_block() -> None:
    season = from_weeks_before(9, (1, 1))
    assert plan(season) == ["strength 5 (5)", "strength 3"]
    assert any("no peak block ends in it" in text for text in given_up(season))


def test_a_few_days_away_move_sessions_and_no_block() -> None:
    days = DateRange(first=SATURDAY - 5 * WEEK, last=SATURDAY - 5 * WEEK + 2 * DAY)
    season = count_back([SATURDAY], SATURDAY - 11 * WEEK, [days])
    assert season.blocks == from_weeks_before(11).blocks
    assert ["3 days away fall into it" in span.why for span in spans(season)] == [False, True, False, False]


def test_a_meet_too_near_says_what_is_given_up() -> None:
    assert given_up(from_weeks_before(3)) == [
        "Meet on 5 June 2027: the peak block has 3 weeks instead of 4; its first weeks are given up.",
        "Meet on 5 June 2027: no volume and no strength block (too near).",
    ]
    assert given_up(from_weeks_before(11)) == []
    (none,) = given_up(count_back([SATURDAY], SATURDAY - 3 * DAY))
    assert "no block fits" in none


def test_after_a_meet_come_easy_days_and_then_the_way_to_the_next() -> None:
    season = count_back([SATURDAY, SATURDAY + 12 * WEEK + DAY], SATURDAY - 4 * WEEK)
    assert [span.title for span in spans(season)] == [
        "Peak, 4 weeks", "Meet", "Recovery", "Volume, 5 weeks, deload week 5", "Strength, 2 weeks", "Peak, 4 weeks",
        "Meet",
    ]  # fmt: skip
    assert (spans(season)[2].first, spans(season)[2].last) == (SATURDAY + DAY, SATURDAY + 7 * DAY)


def test_a_monday_start_loses_no_week_to_a_weekend_meet() -> None:
    season = count_back([SATURDAY], date(2027, 3, 22))
    assert season.blocks[0].start == date(2027, 3, 20)
    assert weeks_begin(season) == (
        "Weeks begin on Saturday, the weekday of the meet. Week 1 is counted from Sat 20 March; what falls before "
        "Mon 22 March is trained then or later."
    )


def test_on_which_day_weeks_begin_is_said_where_it_is_no_monday() -> None:
    assert weeks_begin(count_back([SATURDAY + 2 * DAY], SATURDAY - 12 * WEEK + 2 * DAY)) == ""
    assert weeks_begin(count_back([SATURDAY], SATURDAY - 12 * WEEK)) == (
        "Weeks begin on Saturday, the weekday of the meet."
    )
    assert weeks_begin(count_back([SATURDAY, SATURDAY + 12 * WEEK + DAY], SATURDAY - 4 * WEEK)) == (
        "Weeks begin on the weekday of the meet they lead up to."
    )
    edited = SeasonBlock(kind="general", start=SATURDAY + 4 * DAY, weeks=2)
    behind = Season(first=SATURDAY - 4 * WEEK, meets=(SATURDAY,), blocks=(edited,))
    assert weeks_begin(behind) == "Weeks begin on Wednesday."


def test_a_block_keeps_its_name_when_the_meet_moves() -> None:
    before, after = names(from_weeks_before(20)), names(from_weeks_before(20, meet=SATURDAY + WEEK))
    assert before.keys() == after.keys()
    assert all(after[name].start == block.start + WEEK for name, block in before.items())


def test_too_long_without_a_deload_is_said_of_an_edited_season() -> None:
    blocks = tuple(SeasonBlock(kind="strength", start=SATURDAY - out * WEEK, weeks=4) for out in (12, 8, 4))
    season = Season(first=SATURDAY - 12 * WEEK, meets=(SATURDAY,), blocks=blocks)
    assert longest_work(season) == 12
    assert any("12 weeks of work without a deload" in text for text in given_up(season))


# By rule


@pytest.mark.parametrize("meet", MEETS, ids=lambda meet: f"{meet:%a}")
@pytest.mark.parametrize("weeks", range(3, 41))
def test_without_days_off_a_season_keeps_every_rule(weeks: int, meet: date) -> None:
    season = count_back([meet], meet - weeks * WEEK)
    assert sum(block.weeks for block in season.blocks) == weeks
    assert (season.blocks[-1].kind, season.blocks[-1].end) == ("peak", meet)
    volume = [block for block in season.blocks if block.kind == "volume"]
    assert bool(volume) == (weeks >= 10)
    assert all(5 <= most_work_out(block, meet) <= 8 for block in volume[-1:])
    keeps_the_rules(season)


@st.composite
def seasons(draw: st.DrawFn) -> Season:
    first = draw(st.dates(date(2026, 1, 1), date(2026, 12, 31)))
    meets = {first + draw(st.integers(1, 400)) * DAY for _ in range(draw(st.integers(1, 3)))}
    away = []
    for _ in range(draw(st.integers(0, 4))):
        begin = first + draw(st.integers(0, 400)) * DAY
        away.append(DateRange(first=begin, last=begin + draw(st.integers(0, 20)) * DAY))
    return count_back(sorted(meets), first, away)


@settings(max_examples=200, deadline=None)
@given(seasons())
def test_whatever_the_dates_a_season_keeps_the_rules(season: Season) -> None:
    keeps_the_rules(season)


def test_a_short_block_before_a_long_one_that_ends_in_days_off_gets_its_deload() -> None:
    away = DateRange(first=date(2026, 2, 21), last=date(2026, 2, 27))
    season = count_back([date(2026, 3, 31)], date(2026, 1, 1), [away])
    keeps_the_rules(season)
    assert [(block.kind, block.weeks, block.deload_week) for block in season.blocks] == [
        ("general", 2, 2), ("volume", 6, None), ("peak", 4, None),
    ]  # fmt: skip


def keeps_the_rules(season: Season) -> None:
    """Every day covered once and with a reason, enough deloads, no week of training away."""
    every = spans(season)
    days = [span.first + n * DAY for span in every for n in range((span.last - span.first).days + 1)]
    begin = min([season.first, *(block.start for block in season.blocks)])
    assert days == [begin + n * DAY for n in range((season.meets[-1] - begin).days + 1)]
    assert all(span.why for span in every if span.kind != "meet")
    assert "free" not in {span.kind for span in every}
    assert longest_work(season) <= 7
    assert begin >= season.first - 2 * DAY
    for block in season.blocks:
        away = [
            season.days_away(start, start + WEEK - DAY) for start in map(block.week_start, range(1, block.weeks + 1))
        ]
        assert max(away) < 4
        assert block.end in season.meets or block.kind != "peak"
    assert all(day.first >= season.first for day in key_days(season) if day.title == "Deload week")
    in_peaks = {
        block.start + n * DAY for block in season.blocks if block.kind == "peak" for n in range(block.weeks * 7)
    }
    assert all(day.first in in_peaks for day in key_days(season) if day.title.startswith("Last"))
