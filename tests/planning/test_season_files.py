"""A season as text, as YAML that is edited, and as a calendar file."""

from __future__ import annotations

import re
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
import vobject
from hypothesis import given, settings

from blockbook.errors import BlockbookError
from blockbook.planning.calendar_file import calendar_bytes
from blockbook.planning.season_text import calendar, changes, season_yaml
from blockbook.spec.loading import load_season, parse_season
from blockbook.spec.season import DateRange, Season
from blockbook.spec.season_policy import SeasonPolicy
from blockbook.training.season import count_back
from blockbook.training.season_calendar import key_days, spans
from tests.training.test_season import seasons

MEET = date(2027, 6, 5)
SEASON = count_back(
    [MEET, date(2027, 10, 2)],
    date(2027, 1, 4),
    [
        DateRange(first=date(2027, 3, 27), last=date(2027, 4, 4)),
        DateRange(first=date(2027, 8, 2), last=date(2027, 8, 2)),
    ],
    lifter="Robin Sample",
)
TEXT = season_yaml(SEASON)


def moved(season: Season, days: int) -> Season:
    return count_back(
        [meet + timedelta(days=days) for meet in season.meets], season.first, season.away, None, season.lifter
    )


# As text


def test_the_calendar_shows_every_span_with_dates_and_weeks() -> None:
    lines = calendar(SEASON).splitlines()
    assert "Sat 08 May  Fri 04 Jun  W19-W22    4-1    Peak, 4 weeks" in lines
    assert "Sat 27 Mar  Fri 02 Apr  W13               Away" in lines
    assert "  Wed 26 May              Last heavy deadlift" in lines


def test_a_long_holiday_is_shown_with_its_own_days() -> None:
    """Weeks of the season begin on the meet's weekday, so whole weeks away begin and end on others."""
    away = DateRange(first=date(2027, 3, 8), last=date(2027, 3, 28))
    shown = " ".join(calendar(count_back([date(2027, 6, 5)], date(2027, 1, 4), [away])).split())
    assert "Away 8 - 28 March: rest, or what is at hand. It stands for a deload. After 21 days" in shown
    week = DateRange(first=date(2027, 3, 27), last=date(2027, 4, 2))
    shown = " ".join(calendar(count_back([date(2027, 6, 5)], date(2027, 1, 4), [week])).split())
    assert "27 March - 2 April: rest, or what is at hand. It stands for a deload. Sat" in shown


def test_one_week_is_said_to_be_one() -> None:
    before, after = (
        count_back([date(2027, 6, 5)], date(2027, 1, 4), [DateRange(first=first, last=date(2027, 5, 30))])
        for first in (date(2027, 5, 10), date(2027, 5, 29))
    )
    assert any("; 1 week, now 4" in said for said in changes(before, after))


@settings(max_examples=50, deadline=None)
@given(seasons())
def test_any_season_fits_80_columns_and_reads_back_as_written(season: Season) -> None:
    assert max(map(len, calendar(season).splitlines())) <= 80
    assert parse_season(season_yaml(season)) == season


def test_own_numbers_of_the_policy_are_kept_in_the_file() -> None:
    season = count_back([MEET], date(2027, 1, 4), policy=SeasonPolicy(recovery_days=10))
    assert "recovery_days: 10" in season_yaml(season)
    assert parse_season(season_yaml(season)) == season


def test_every_block_is_explained_above_its_line() -> None:
    lines = TEXT.splitlines()
    blocks = [number for number, line in enumerate(lines) if line.startswith("  - {kind")]
    assert len(blocks) == len(SEASON.blocks)
    assert all(lines[number - 1].startswith("  # ") for number in blocks)


# As the coach edits it


@pytest.mark.parametrize(
    ("old", "new", "place", "words"),
    [
        ("kind: peak", "kind: peek", "blocks[5].kind", "should be 'general', 'volume', 'strength' or 'peak'"),
        ("start: 2027-05-08", "start: 2027-05-01", "blocks[5].start", "before the end of the strength block above"),
        ("start: 2027-05-08", "start: 2027-05-15", "blocks[5].weeks", "to 2027-06-11, past the meet on 2027-06-05"),
        ("2027-04-04, ", "2027-03-01, ", "away[1]", "the last day lies before the first"),
        ("meets: [2027-06-05", "meets: [2027-06-5", "meets[1]", "should be a date"),
        ("meets: [2027-06-05", "meets: [2026-06-05", "meets[1]", "does not lie after the season's first day"),
        ("deload_week: 4", "deload_week: 6", "blocks[1].deload_week", "week 6 is not in it"),
        ("weeks: 4", "week: 4", "blocks[1].week", "did you mean weeks?"),
    ],
)  # fmt: skip
def test_a_mistake_is_named_with_file_line_and_field(
    old: str, new: str, place: str, words: str, tmp_path: Path
) -> None:
    path = tmp_path / "season.yaml"
    path.write_text(TEXT.replace(old, new, 1), "utf-8")
    line = next(number for number, text in enumerate(TEXT.splitlines(), start=1) if old in text)
    with pytest.raises(BlockbookError) as found:
        load_season(path)
    (said,) = [text for text in str(found.value).splitlines() if f": {place}: " in text]
    assert said.startswith(f"{path}: line {line}: ")
    assert words in said


@pytest.mark.parametrize("text", ["", "- 1", "hello"])
def test_what_is_no_season_says_what_one_needs(text: str) -> None:
    with pytest.raises(BlockbookError, match=r"line 1: this is not a season\. It needs from:, meets: and blocks:"):
        parse_season(text)


def test_changes_say_what_is_different_and_nothing_of_equal_seasons() -> None:
    assert changes(SEASON, SEASON) == []
    said = changes(SEASON, moved(SEASON, 7))
    assert said[0] == "Meets: 2027-06-05 2027-10-02, now 2027-06-12 2027-10-09."
    assert "Peak block before meet 1: 2027-05-08 is now 2027-05-15." in said


def test_the_day_on_which_weeks_begin_is_said_once_where_the_season_is_shown() -> None:
    season = count_back([date(2027, 2, 6)], date(2026, 11, 30))
    said = "Week 1 is counted from Sat 28 November; what falls before Mon 30 November is trained then or later."
    texts = (" ".join(calendar(season).split()), season_yaml(season).replace("\n# ", " "))
    assert [text.count(said) for text in texts] == [1, 1]
    assert said in str(calendar_bytes(season).replace(b"\r\n ", b""), "utf-8").replace("\\;", ";")


def test_blocks_of_one_kind_are_told_apart_by_their_number_and_others_need_none() -> None:
    before, after = (count_back([MEET], first) for first in (date(2027, 3, 15), date(2026, 10, 5)))
    said = " ".join(changes(before, after))
    volume = re.findall(r"((?:\w+ )?[Ll]ast) volume block before meet 1", said)
    assert sorted(volume) == ["2nd last", "3rd last", "Last"]
    assert "General block before meet 1, from 2026-10-03: new." in said


# As a calendar file


def events(content: bytes) -> dict[str, Any]:
    """Read with another library than wrote it."""
    return {event.uid.value: event for event in vobject.readOne(content.decode("utf-8")).vevent_list}


def test_another_library_reads_every_event_as_whole_days() -> None:
    read = [
        (event.dtstart.value, event.dtend.value - timedelta(days=1), event.summary.value)
        for event in events(calendar_bytes(SEASON)).values()
    ]
    written = [span[1:4] for span in spans(SEASON) if span.block] + [day[1:4] for day in key_days(SEASON)]
    assert sorted(read) == sorted((first, last, f"Robin Sample: {title}") for first, last, title in written)
    assert all(type(first) is type(last) is date for first, last, _ in read)


def test_lines_end_as_the_standard_asks_and_are_folded() -> None:
    content = calendar_bytes(SEASON)
    assert content.count(b"\r\n") == content.count(b"\n")
    assert max(map(len, content.split(b"\r\n"))) <= 75


def test_the_same_season_gives_the_same_bytes() -> None:
    assert calendar_bytes(SEASON) == calendar_bytes(parse_season(TEXT))


def test_a_moved_meet_keeps_the_identity_of_its_events() -> None:
    before, after = events(calendar_bytes(SEASON)), events(calendar_bytes(moved(SEASON, 1)))
    kept = {name: after[name].dtstart.value - event.dtstart.value for name, event in before.items() if name in after}
    assert kept["robin-sample-2027-meet-1@blockbook"] == timedelta(days=1)
    assert kept["robin-sample-2027-meet-1-squat@blockbook"] == timedelta(days=1)
    assert len(before) == len({name.casefold() for name in before})


@settings(max_examples=20, deadline=None)
@given(seasons())
def test_any_season_is_read_with_as_many_events(season: Season) -> None:
    number = len(key_days(season)) + len(season.blocks)
    assert len(events(calendar_bytes(season))) == number
