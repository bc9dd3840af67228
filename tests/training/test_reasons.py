"""Why a load is what it is, in a sentence: each reason where it is the reason."""

from __future__ import annotations

from typing import Any

import pytest

from blockbook.spec.models import EffortAs
from blockbook.training.moves_said import moved
from blockbook.training.pain_said import PAIN_NEARBY_FIRST
from blockbook.training.reasons import plan_reason

AS_ASKED: dict[str, Any] = {
    "progress": "load", "planned": 102.5, "last_load": 100, "last_overshoot": 0, "last_none_up": "",
    "bias": 0, "effort_bias": 0, "doubtful_before": 0, "logged_before": 100, "lightest": 20,
    "last_pain": 0, "sore": "", "held": 0, "held_reason": "", "last_extra": 0,
    "last_shared": 0, "shared_before": 0, "overshoot_before": "", "last_harder": 0, "harder_before": 0,
    "pain_before": 0, "last_demand": 120,
    "body_load": 0, "curve": 1, "days": 7, "extra_plan": 0,
    "reps": 5, "rpe": 8,
    "exposures": 2, "first_jump": 0.03, "unit": "kg", "first_reason": "First time.",
    "last_shared_left": 0.0005, "last_precision": 100, "day_sd": 0.03,
    "hold_overshoot": 0.9, "gap_days": 12, "on_target": 0.5,
}  # fmt: skip
"""Loads of 100 and 102.5; 120 done fresh makes 5 reps with 2 left at exactly 100."""

OWN_PAIN_GONE = (
    "Once it is gone, type none under Pain: the next load goes on from here. Ask your coach before you lift this."
)
NEARBY_PAIN_GONE = (
    "Once it is gone, type none under Pain in the next session with Bench press. Ask your coach before you lift this."
)
BY_TESTS = "as sets to failure (of any exercise) show how you judge effort."
TOGETHER = "(reps and effort together)."


def reason(way: EffortAs = "rpe", **changed: Any) -> str:
    given = {**AS_ASKED, "last_heaviest": changed.get("last_load", 100), **changed}
    step = moved.value(**{name: given[name] for name in moved.names})
    of_the_plan = {name: given[name] for name in plan_reason(way, again=False).names if name != "step"}
    return str(plan_reason(way, again=False).value(step=step, **of_the_plan))


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"rpe": 9}, "Up 2.5 kg: this week asks for more effort or fewer reps."),
        ({"rpe": 8.2}, "Up 2.5 kg: last time was as hard as asked."),
        ({"exposures": 1}, "Up 2.5 kg: the second time an exercise usually goes better."),
        ({"exposures": 1, "first_jump": 0}, "Up 2.5 kg: last time was as hard as asked."),
        ({"exposures": 1, "last_overshoot": -3}, f"Up 2.5 kg: last time was easier than asked, by 3 {TOGETHER}"),
        ({"last_overshoot": -1.5}, f"Up 2.5 kg: last time was easier than asked, by 1.5 {TOGETHER}"),
        ({"last_heaviest": 110},
         "Up 2.5 kg (counted from 100 kg: your 110 kg, more than that day asked, counts in part): last time was as "
         "hard as asked."),
        ({"planned": 97.5, "rpe": 7}, "Down 2.5 kg: this week asks for less effort or more reps."),
        ({"planned": 97.5, "last_overshoot": 2}, f"Down 2.5 kg: last time was harder than asked, by 2 {TOGETHER}"),
        ({"planned": 100, "last_overshoot": 4}, "Same load: last time was far harder than asked."),
        ({"planned": 100, "extra_plan": 2}, "Same load, 7 reps: reps grow before the load does."),
        ({"last_pain": 1, "sore": "Bench press"}, f"Pain was reported: no increase this time. {OWN_PAIN_GONE}"),
        ({"last_pain": 1, "planned": 90}, f"Pain was reported: lighter than you lifted last time. {OWN_PAIN_GONE}"),
        ({"last_pain": 1, "last_load": ""}, f"Pain was reported: no increase this time. {OWN_PAIN_GONE}"),
        ({"sore": "Bench press"},
         f"Pain was reported for Bench press: no increase here this time. {NEARBY_PAIN_GONE}"),
        ({"sore": "Bench press", "planned": 90},
         f"Pain was reported for Bench press: lighter here than you lifted last time. {NEARBY_PAIN_GONE}"),
        ({"sore": "Bench press", "last_load": ""}, PAIN_NEARBY_FIRST.format(exercise="Bench press")),
        ({"held": 1, "held_reason": "Leg press hurt."}, "Leg press hurt."),
        ({"held": 1, "held_reason": "Leg press hurt.", "last_pain": 1, "sore": "Bench press"},
         f"Pain was reported: no increase this time. {OWN_PAIN_GONE}"),
        ({"last_overshoot": -2, "bias": 1.5}, f"Up 2.5 kg: last time was easier than asked, {BY_TESTS}"),
        ({"last_overshoot": 0.7, "bias": -1.5}, f"Up 2.5 kg: last time was harder than asked, {BY_TESTS}"),
        (
            {"planned": 20, "last_load": 20, "last_overshoot": 3},
            "Same load: too hard even at the lightest load. Ask your coach for another exercise.",
        ),
        ({"planned": 90, "last_none_up": 100}, "Down 10 kg: last time not one rep went up."),
    ],
)  # fmt: skip
def test_a_reason_names_what_decided(changed: dict[str, Any], said: str) -> None:
    assert reason(**changed) == said


def test_reps_are_told_as_they_are_asked_not_as_what_they_differ_by() -> None:
    """Who did ten where eight were asked is asked for nine: "1 rep more" than asked would be one less than was done."""
    assert reason(planned=100, last_extra=3, extra_plan=4).startswith("Same load, 9 reps: ")
    assert reason(planned=100, last_extra=2).startswith("Same load, 5 reps: ")
    assert reason(planned=105, last_extra=0, extra_plan=-4).startswith("Up 5 kg, 1 rep: ")


def test_reps_that_a_day_took_away_are_not_more_when_they_come_back() -> None:
    assert reason(planned=100, last_extra=-2) == "Same load: last time was as hard as asked."
    assert reason(planned=100, last_extra=-2, extra_plan=-3).startswith("Same load, 2 reps: ")


@pytest.mark.parametrize(
    ("harder", "before", "said"),
    [
        (1, 0, "Same load: last time was a bad day for the whole session, so this lift is not blamed."),
        (1, 1, "Same load: the whole session went badly twice running, so this lift is not blamed. Tell your coach."),
        (0, 0, f"Same load: last time was harder than asked, by 1.5 {TOGETHER}"),
        (0, 1, f"Same load: last time was harder than asked, by 1.5 {TOGETHER}"),
    ],
)
def test_a_session_was_a_bad_day_only_where_its_own_line_calls_it_harder(harder: int, before: int, said: str) -> None:
    """One lift that failed among others as asked may move what they share, and is no bad day of all."""
    week_before: dict[str, Any] = {"shared_before": -0.03, "overshoot_before": 1, "harder_before": before}
    given: dict[str, Any] = {"planned": 100, "last_overshoot": 1.5, "last_shared": -0.03, "last_harder": harder}
    assert reason(**given, **week_before) == said


def test_reps_left_are_spoken_of_where_they_are_typed() -> None:
    assert reason("reps in reserve", rpe=9) == "Up 2.5 kg: this week asks for fewer reps, or fewer left."
    assert reason("reps in reserve", last_overshoot="") == "Up 2.5 kg: reps left were not logged last time."
