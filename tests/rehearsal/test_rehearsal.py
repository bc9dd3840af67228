"""A block tried out on invented lifters: what is likely, what is warned of, and that it can be trusted."""

from __future__ import annotations

from datetime import date
from functools import cache
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

import blockbook
from blockbook import BlockbookError
from blockbook.rehearsal.crowd import USUAL, Crowd, crowd, spread_over
from blockbook.rehearsal.playing import Playing, invited, play
from blockbook.rehearsal.report import MISSED_SHARE, OVER_SHARE, Likely, LineRehearsal, Rehearsal, rehearsal_of
from blockbook.rehearsal.report_text import text_report
from blockbook.spec.models import Specification
from blockbook.training.simulated import POPULATIONS
from blockbook.workbook.assemble import assemble
from tests.samples import WITHOUT_BESTS, template_spec

pytestmark = pytest.mark.xdist_group("rehearsal")
"""What is rehearsed once for many tests is kept on one worker."""

LIFTERS = 40


def block(
    *slots: dict[str, Any], weeks: int = 2, bests: dict[str, Any] | None = None, session: str = "Day"
) -> Specification:
    """An invented lifter with one session a week."""
    return Specification.model_validate(
        {
            "block": {"title": "Rehearsed", "start": date(2027, 1, 4), "weeks": weeks},
            "lifter": {
                "name": "Robin Sample",
                "body_weight": 80,
                "bests": {"back squat": 150, "bench press": 100} if bests is None else bests,
            },
            "equipment": {
                "bar": 20,
                "plates": {25: 6, 20: 2, 15: 1, 10: 2, 5: 2, 2.5: 2, 1.25: 2},
                "dumbbells": {"lightest": 2, "heaviest": 60, "step": 2},
                "stack": {"lightest": 5, "heaviest": 400, "step": 5},
                "added_weight": {"lightest": 0, "heaviest": 60, "step": 1.25},
            },
            "sessions": [{"name": session, "slots": list(slots)}],
        }
    )


LIGHT = block(
    {"exercise": "back squat", "sets": 2, "reps": 5, "rpe": 6},
    {"exercise": "bench press", "sets": 2, "reps": 5, "rpe": 6},
)
HEAVY = block({"exercise": "back squat", "sets": 3, "reps": 5, "load": 140})
HEAVY_JUDGED = block({"exercise": "back squat", "sets": 3, "reps": 5, "rpe": 10})


@cache
def strength() -> Rehearsal:
    return rehearsal_of(template_spec("strength"), LIFTERS)


def likely_of(rehearsal: Rehearsal) -> list[Likely]:
    loads = [line.load for line in rehearsal.lines if line.load]
    return loads + [line.effort.likely for line in rehearsal.lines if line.effort]


def test_the_same_seed_gives_the_same_numbers_and_another_seed_others() -> None:
    first, again, other = (rehearsal_of(HEAVY, LIFTERS, seed) for seed in (5, 5, 6))
    assert first == again
    assert text_report(first) == text_report(again)
    assert first.lines != other.lines


def test_percentiles_are_in_order() -> None:
    found = likely_of(strength())
    assert len(found) > 100
    assert all(likely.low <= likely.median <= likely.high for likely in found)
    assert any(likely.low < likely.high for likely in found)


def test_shares_are_shares() -> None:
    shares = [line.missed for line in strength().lines if line.missed is not None]
    shares += [line.effort.overshoots for line in strength().lines if line.effort]
    assert all(0 <= share <= 1 for share in shares)
    assert len(set(shares)) > 5


def test_every_exercise_is_there_in_every_week() -> None:
    spec = template_spec("strength")
    keys = [(line.week, line.slot_key) for line in strength().lines]
    slots = sum(len(session.slots) for session in spec.sessions)
    assert len(keys) == len(set(keys)) == slots * spec.block.weeks
    assert [volume.week for volume in strength().volume] == list(range(1, spec.block.weeks + 1))


def test_weeks_are_reported_as_they_are_played() -> None:
    weeks: list[int] = []
    rehearsal_of(LIGHT, 10, after_week=weeks.append)
    assert weeks == [1, 2]


# What is asked against what can be done


def test_five_reps_with_a_load_for_two_are_warned_of() -> None:
    rehearsal = rehearsal_of(HEAVY, LIFTERS)
    assert rehearsal.lines[0].load == Likely(140, 140, 140)
    assert (rehearsal.lines[0].missed or 0) > 0.9
    assert rehearsal.warnings[0].startswith("Week 1, Day, A back squat: ")
    assert rehearsal.warnings[0].endswith("% of runs miss reps")


def test_three_sets_to_failure_are_warned_of() -> None:
    warnings = rehearsal_of(HEAVY_JUDGED, LIFTERS).warnings
    assert len(warnings) == 2
    assert all("miss reps" in warning for warning in warnings)


def test_a_light_block_gives_no_warning() -> None:
    rehearsal = rehearsal_of(LIGHT, LIFTERS)
    assert rehearsal.warnings == ()
    assert "No warnings" in text_report(rehearsal)


def test_a_load_that_does_not_fit_its_target_effort_is_warned_of() -> None:
    spec = block({"exercise": "back squat", "sets": 1, "reps": 5, "load": 125, "rpe": 7})
    (first, *_) = rehearsal_of(spec, LIFTERS).lines
    assert first.effort is not None
    assert first.effort.mean > 1
    assert first.effort.overshoots >= OVER_SHARE
    assert "come in a rep or more over target" in first.warning


def test_more_load_is_more_often_over_target() -> None:
    loads = (110, 120, 130, 140)
    specs = [block({"exercise": "back squat", "sets": 2, "reps": 5, "load": load, "rpe": 8}) for load in loads]
    lines = [rehearsal_of(spec, LIFTERS).lines[0] for spec in specs]
    missed = [line.missed or 0 for line in lines]
    means = [line.effort.mean if line.effort else 0 for line in lines]
    assert missed == sorted(missed)
    assert all(lighter < heavier - 1 for lighter, heavier in pairwise(means))


def test_warnings_come_worst_first_and_only_from_their_thresholds_on() -> None:
    rehearsal = strength()
    severities = [line.severity for line in rehearsal.unlikely]
    assert severities == sorted(severities, reverse=True)
    assert rehearsal.warnings
    for line in rehearsal.lines:
        beyond = (line.missed or 0) >= MISSED_SHARE or line.overshoots >= OVER_SHARE
        assert bool(line.warning) == beyond == (line.severity >= 1)


def test_a_guessed_maximum_is_named_in_the_warning() -> None:
    spec = block({"exercise": "leg press", "sets": 4, "reps": 12, "rpe": 10}, bests={"back squat": 150})
    assert all(warning.endswith("(its 1RM is guessed)") for warning in rehearsal_of(spec, LIFTERS).warnings)
    assert rehearsal_of(spec, LIFTERS).warnings


# What is not known is not made up


def test_without_a_maximum_no_load_is_shown_and_the_exercise_is_named() -> None:
    rehearsal = rehearsal_of(template_spec("strength" + WITHOUT_BESTS), 10)
    assert all(line.load is None for line in rehearsal.lines)
    assert all(week.tonnage == 0 for week in rehearsal.volume)
    assert "back squat" in rehearsal.unknown
    assert "No maximum is known of back squat" in text_report(rehearsal)


def test_a_fixed_load_is_not_held_against_a_maximum_that_nobody_knows() -> None:
    spec = block({"exercise": "back squat", "sets": 3, "reps": 5, "load": 140}, bests={"bench press": 100})
    rehearsal = rehearsal_of(spec, 10)
    assert [(line.load, line.effort, line.missed) for line in rehearsal.lines] == [(None, None, None)] * 2
    assert rehearsal.warnings == ()


def test_body_weight_is_not_held_against_a_maximum_that_nobody_knows() -> None:
    rehearsal = rehearsal_of(block({"exercise": "hanging leg raise", "sets": 2, "reps": 8, "rpe": 8}), 10)
    assert [(line.load, line.effort, line.missed) for line in rehearsal.lines] == [(None, None, None)] * 2


def test_reps_left_to_the_lifter_cannot_be_missed() -> None:
    rehearsal = rehearsal_of(block({"exercise": "bench press", "sets": 2, "reps": 20, "reserve": 2}), 10)
    assert all(line.missed is None and line.effort is None for line in rehearsal.lines)
    assert all(line.load is not None for line in rehearsal.lines)


# The workbook's own numbers


@cache
def played() -> Playing:
    spec = template_spec("strength")
    *_, last = play(assemble(spec), crowd(spec, LIFTERS, 1))
    return last


def line_of(rehearsal: Rehearsal, week: int, slot_key: str) -> LineRehearsal:
    (found,) = (line for line in rehearsal.lines if (line.week, line.slot_key) == (week, slot_key))
    return found


def test_the_median_load_is_one_that_half_of_the_lifters_are_asked_for_or_less() -> None:
    (loads,) = (
        done.load
        for done in played().sets
        if (done.line.week, done.line.slot_key, done.planned.number) == (3, "bench.bench-press", 1)
    )
    there = loads[~np.isnan(loads)]
    load = line_of(strength(), 3, "bench.bench-press").load
    assert load is not None
    assert load.median in there
    assert np.mean(there <= load.median) >= 0.5
    assert np.mean(there < load.median) <= 0.5
    assert np.mean(there < load.low) <= 0.12
    assert np.mean(there > load.high) <= 0.12


def test_tonnage_is_what_all_lifters_logged() -> None:
    known = [
        done for done in played().sets if done.planned.number and done.line.exercise.name not in strength().unknown
    ]
    for week in strength().volume:
        lifted = sum(np.nansum(done.load * done.done) for done in known if done.line.week == week.week)
        assert week.tonnage == pytest.approx(lifted / LIFTERS)


def test_hard_sets_are_what_all_lifters_logged_as_hard() -> None:
    least = played().workbook.spec.policy.hard_set_rpe
    for week in strength().volume:
        hard = 0.0
        for done in played().sets:
            if done.line.week == week.week and done.planned.number:
                counts = (
                    1 if "triceps" in done.line.exercise.direct else 0.5 * ("triceps" in done.line.exercise.indirect)
                )
                rpe = played().typed[f"{done.planned.key}/rpe"]
                hard += counts * float(np.sum((done.done > 0) & (rpe >= least)))
        assert week.hard_sets["triceps"] == pytest.approx(hard / LIFTERS)
        assert 0 < week.hard_sets["triceps"] <= week.planned_sets["triceps"]


# The crowd


@pytest.mark.parametrize("lifters", [10, 19, 200, 5000])
def test_the_crowd_is_spread_with_most_weight_on_the_steady(lifters: int) -> None:
    spread = spread_over(lifters)
    assert list(spread) == [USUAL, *(name for name in POPULATIONS if name != USUAL)]
    assert sum(spread.values()) == lifters
    assert min(spread.values()) >= 1
    assert spread[USUAL] >= 0.4 * lifters


def test_a_lifter_in_the_crowd_trains_as_alone() -> None:
    spec = template_spec("peak")
    names = ("novice", "sloppy reporter")
    parts = [invited(spec, POPULATIONS[name], 6, 3) for name in names]
    *_, together = play(assemble(spec), Crowd(tuple(invited(spec, POPULATIONS[name], 6, 3) for name in names)))
    for position, part in enumerate(parts):
        *_, alone = play(assemble(spec), part)
        theirs = slice(6 * position, 6 * position + 6)
        for one, many in zip(alone.sets, together.sets, strict=True):
            for column in ("load", "target_reps", "done", "rpe", "over"):
                np.testing.assert_array_equal(getattr(one, column), getattr(many, column)[theirs])


# The text


@pytest.mark.parametrize("name", ["strength", "volume" + WITHOUT_BESTS])
def test_the_text_fits_80_columns(name: str) -> None:
    text = text_report(rehearsal_of(template_spec(name, "lb"), 10))
    assert max(len(line) for line in text.splitlines()) < 80


def test_long_names_and_many_weeks_fit_80_columns() -> None:
    slot = {"exercise": "back squat", "sets": 3, "reps": 5, "load": 1400}
    bests = {"back squat": {"load": 1000, "reps": 1}}
    spec = block(slot, weeks=12, bests=bests, session="A session with a name that goes on and on")
    text = text_report(rehearsal_of(spec, 10))
    assert max(len(line) for line in text.splitlines()) < 80
    assert "Week 12" in text


def test_the_text_says_who_was_invented_and_how_they_are_spread() -> None:
    text = " ".join(text_report(strength()).split())
    assert "40 invented lifters around these numbers (seed 1): 16 steady, 4 each novice, sloppy reporter" in text


def test_the_text_marks_each_line_that_is_warned_of() -> None:
    lines = text_report(strength()).splitlines()
    assert sum(line.endswith(" !") for line in lines) == len(strength().warnings)


# What cannot be


@pytest.mark.parametrize("lifters", [9, 5001, 0, -200, 20.5])
def test_a_number_of_lifters_that_cannot_be_is_refused(lifters: int) -> None:
    with pytest.raises(BlockbookError, match=r"lifters: .* from 10 to 5000"):
        blockbook.rehearse(LIGHT, lifters)


def test_a_seed_below_zero_is_refused() -> None:
    with pytest.raises(BlockbookError, match="seed: -1 should be"):
        blockbook.rehearse(LIGHT, seed=-1)


def test_an_exercise_without_sets_or_without_loads_has_no_row() -> None:
    spec = block(
        {"exercise": "back squat", "sets": [0, 2], "reps": 5, "rpe": 7},
        {"exercise": "band pull-apart", "sets": 2, "reps": 15, "rpe": 8},
    )
    rehearsal = rehearsal_of(spec, 10)
    assert [(line.week, line.exercise) for line in rehearsal.lines] == [(2, "back squat")]
