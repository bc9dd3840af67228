"""A block laid out week by week: labels, days, and what a deload week makes lighter."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from blockbook.spec.documents import parse_yaml
from blockbook.spec.models import Specification
from blockbook.spec.values import Reps
from blockbook.training.prescription import Line, labels, planned_sets, week_start, weeks, weeks_out
from tests.samples import TEMPLATES, template_spec

DELOAD = 3


def spec_of(slots: list[dict[str, Any]], sessions: int = 1, days: str = "", **block: Any) -> Specification:
    """A three-week block with a deload in week 3: the same exercises in every session."""
    named = [{"name": f"Day {number + 1}", "slots": slots} for number in range(sessions)]
    for session, day in zip(named, days.split(), strict=False):
        session["day"] = day
    return Specification.model_validate(
        {
            "block": {"title": "T", "start": "2027-01-04", "weeks": 3, "deload_week": DELOAD, **block},
            "lifter": {"name": "Robin Sample", "body_weight": 70},
            "equipment": parse_yaml(
                "{bar: 20, plates: {20: 3}, dumbbells: {lightest: 2, heaviest: 40, step: 2},"
                " stack: {lightest: 5, heaviest: 200, step: 5}, added_weight: {lightest: 0, heaviest: 60, step: 5}}"
            ),
            "sessions": named,
        }
    )


def squat(**fields: Any) -> dict[str, Any]:
    return {"exercise": "back squat", "reps": 5, **fields}


def line_in(week: int, **fields: Any) -> Line:
    return weeks(spec_of([squat(**fields)]))[week - 1][0].lines[0]


# Labels


@pytest.mark.parametrize(
    ("pairs", "expected"),
    [
        ([None, None, None], ["A", "B", "C"]),
        ([None, "a", "a"], ["A", "B1", "B2"]),
        (["a", "a", None, "b", "b", "b"], ["A1", "A2", "B", "C1", "C2", "C3"]),
        (["a", None, "a"], ["A", "B", "C"]),
        (["a", "a", "b", "b"], ["A1", "A2", "B1", "B2"]),
    ],
)
def test_supersets_share_a_letter(pairs: list[str | None], expected: list[str]) -> None:
    spec = spec_of([squat(rpe=8, pair=pair) for pair in pairs])
    assert labels(spec.sessions[0]) == expected
    assert [line.label for line in weeks(spec)[0][0].lines] == expected


# A deload week


@pytest.mark.parametrize(("usual", "deload"), [(1, 1), (2, 1), (3, 2), (4, 2), (5, 3), (10, 6), (0, 0)])
def test_a_deload_week_cuts_sets_written_once(usual: int, deload: int) -> None:
    assert len(line_in(1, sets=usual, rpe=8).sets) == usual
    assert len(line_in(DELOAD, sets=usual, rpe=8).sets) == deload


def test_a_deload_week_leaves_sets_written_for_each_week() -> None:
    assert [len(line_in(week, sets=[3, 4, 5], rpe=8).sets) for week in (1, 2, 3)] == [3, 4, 5]


@pytest.mark.parametrize(("rpe", "expected"), [(8, [8, 8, 6]), (5.5, [5.5, 5.5, 5.5]), ([7, 8, 9], [7, 8, 9])])
def test_a_deload_week_caps_effort_written_once(rpe: Any, expected: list[float]) -> None:
    assert [line_in(week, rpe=rpe).rpe for week in (1, 2, 3)] == expected
    assert [line_in(week, rpe=rpe).sets[0].rpe for week in (1, 2, 3)] == expected


def test_a_deload_week_caps_the_effort_that_follows_from_reserve() -> None:
    assert [line_in(week, reserve=1).rpe for week in (1, 2, 3)] == [9, 9, 6]


@pytest.mark.parametrize(("percent", "expected"), [(80, [80, 80, 72]), ([70, 80, 60], [70, 80, 60])])
def test_a_deload_week_takes_a_tenth_off_percent_written_once(percent: Any, expected: list[float]) -> None:
    assert [line_in(week, percent=percent).percent for week in (1, 2, 3)] == pytest.approx(expected)


@pytest.mark.parametrize(("load", "expected"), [(100, [100, 100, 90]), ([100, 105, 80], [100, 105, 80])])
def test_a_deload_week_takes_a_tenth_off_a_load_written_once(load: Any, expected: list[float]) -> None:
    lines = [line_in(week, load=load) for week in (1, 2, 3)]
    assert [line.lightened_load or line.coach_load for line in lines] == pytest.approx(expected)
    assert lines[2].coach_load == (None if isinstance(load, int) else 80)  # only the coach's own load is exact


def test_the_coachs_own_load_for_a_week_stands_even_in_a_deload_week() -> None:
    assert [line_in(week, rpe=8, loads={2: 100, DELOAD: 90}).coach_load for week in (1, 2, 3)] == [None, 100, 90]


def test_a_deload_week_cuts_back_off_sets_and_their_effort_too() -> None:
    once = {"sets": 3, "reps": 6, "drop": 10, "rpe": 7.5}
    kinds = [planned.kind for planned in line_in(DELOAD, rpe=8, back_off=once).sets]
    assert kinds == ["top", "back-off", "back-off"]
    assert [line_in(week, rpe=8, back_off=once).sets[-1].rpe for week in (1, 2, 3)] == [7.5, 7.5, 6]


def test_a_deload_week_leaves_back_off_values_written_for_each_week() -> None:
    each = {"sets": [3, 3, 2], "reps": [6, 6, 4], "drop": 10, "rpe": [7, 7.5, 6.5]}
    back_off = [planned for planned in line_in(DELOAD, rpe=8, back_off=each).sets if planned.kind == "back-off"]
    assert [(planned.reps, planned.rpe) for planned in back_off] == [(4, 6.5), (4, 6.5)]


def test_no_other_week_is_lighter() -> None:
    spec = spec_of([squat(sets=3, rpe=8)], deload_week=None)
    assert [(len(week[0].lines[0].sets), week[0].lines[0].rpe) for week in weeks(spec)] == [(3, 8)] * 3


def test_a_deload_can_be_set_by_the_policy() -> None:
    spec = spec_of([squat(sets=4, rpe=8)])
    lighter = spec.model_copy(update={"policy": spec.policy.model_copy(update={"deload_sets": 1, "deload_rpe": 7})})
    line = weeks(lighter)[DELOAD - 1][0].lines[0]
    assert (len(line.sets), line.rpe) == (4, 7)


# Sets


def test_a_feeler_comes_first_and_counts_as_no_set() -> None:
    sets = line_in(1, sets=2, rpe=8, feeler=True).sets
    assert [(planned.number, planned.kind, planned.rpe) for planned in sets] == [
        (0, "feeler", None), (1, "work", 8), (2, "work", 8),
    ]  # fmt: skip
    assert sets[0].key == "w1.day-1.back-squat.feeler"
    assert line_in(1, sets=0, rpe=8, feeler=True).sets == ()


def test_back_off_sets_are_numbered_on_and_do_not_decide_the_next_load() -> None:
    line = line_in(1, rpe=8, back_off={"sets": 2, "reps": 6, "drop": 10})
    assert [(planned.number, planned.kind, planned.reps) for planned in line.sets] == [
        (1, "top", 5), (2, "back-off", 6), (3, "back-off", 6),
    ]  # fmt: skip
    assert [planned.number for planned in line.top_sets] == [1]


def test_a_range_starts_at_its_low_end() -> None:
    line = line_in(1, reps="8-12", rpe=8)
    assert line.reps == Reps(8, 12)
    assert line.sets[0].reps == 8


@pytest.mark.parametrize(
    ("fields", "kind"),
    [
        ({"rpe": 8}, "effort"),
        ({"rpe": 8, "back_off": {"sets": 1, "reps": 5, "drop": 10}}, "top_set"),
        ({"percent": 70}, "percent"),
        ({"load": 80}, "fixed"),
        ({"rpe": 8, "reps": "8-12"}, "range"),
        ({"reserve": 2}, "max_reps"),
    ],
)
def test_what_is_filled_in_says_the_kind(fields: dict[str, Any], kind: str) -> None:
    assert line_in(1, **fields).kind == kind


def test_exercises_deep_in_the_session_and_ranges_progress_by_reps_unless_told() -> None:
    slots = [squat(rpe=8), squat(rpe=8, reps="8-12"), squat(rpe=8), squat(rpe=8), squat(rpe=8, progress="load")]
    lines = weeks(spec_of(slots))[0][0].lines
    assert [line.progress for line in lines] == ["load", "reps", "load", "reps", "load"]


@pytest.mark.parametrize("name", TEMPLATES)
def test_every_set_has_a_key_of_its_own(name: str) -> None:
    keys = [planned.key for _, _, planned in planned_sets(template_spec(name))]
    assert len(keys) > 100
    assert len(set(keys)) == len(keys)


# Days


@pytest.mark.parametrize(
    ("sessions", "days"),
    [
        (1, [4]),
        (2, [4, 7]),
        (3, [4, 6, 8]),
        (4, [4, 5, 7, 8]),
        (5, [4, 5, 6, 8, 9]),
        (6, [4, 5, 6, 7, 8, 9]),
        (7, [4, 5, 6, 7, 8, 9, 10]),
    ],
)
def test_sessions_without_a_day_are_spread_over_the_week(sessions: int, days: list[int]) -> None:
    first = weeks(spec_of([squat(rpe=8)], sessions))[0]
    assert [session.day for session in first] == [date(2027, 1, day) for day in days]


def test_the_coachs_weekday_is_kept_in_every_week() -> None:
    spec = spec_of([squat(rpe=8)], 2, "tue sat")
    assert [[session.day.day for session in week] for week in weeks(spec)] == [[5, 9], [12, 16], [19, 23]]


def test_a_block_may_start_on_any_day() -> None:
    spec = spec_of([squat(rpe=8)], 3, "mon wed fri", start="2027-01-06")
    assert [session.day for session in weeks(spec)[0]] == [date(2027, 1, 11), date(2027, 1, 6), date(2027, 1, 8)]
    assert week_start(spec, 3) == date(2027, 1, 20)


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        (date(2027, 1, 31), 0),
        (date(2027, 1, 25), 0),
        (date(2027, 1, 24), 1),
        (date(2027, 1, 4), 3),
        (date(2027, 2, 1), -1),
    ],
)
def test_weeks_out_are_whole_weeks_to_the_meet(day: date, expected: int) -> None:
    assert weeks_out(date(2027, 1, 31), day) == expected
