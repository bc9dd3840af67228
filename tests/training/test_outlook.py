"""Looking ahead: how large a step is, and whether one a week is more than the plan."""

from __future__ import annotations

import pytest

from blockbook.training.outlook import remark, rise


@pytest.mark.parametrize(
    ("start", "end", "body_load", "expected"),
    [
        (135, 150, 0, 0.1111),  # 5 lb a week, three weeks
        (0, 3.75, 75, 0.05),  # a pull-up with nothing added: the body is lifted along
        (0, 3.75, 0, ""),
        ("", 3.75, 75, ""),
    ],
)
def test_the_rise_counts_all_that_is_lifted(start: float | str, end: float, body_load: float, expected: object) -> None:
    assert rise.value(start, end, body_load) == (expected if expected == "" else pytest.approx(expected, abs=1e-4))


@pytest.mark.parametrize(
    ("end", "said"),
    [
        (141, "more than the plan"),
        (150, "about the plan"),
        (160, "less than the plan"),
    ],
)
def test_a_step_a_week_is_judged_by_the_plan(end: float, said: str) -> None:
    assert remark.value(135, 150, end, 3, 0) == said


def test_where_nothing_is_known_yet_that_is_said() -> None:
    assert remark.value("", "", "", 3, 0) == "said once it is logged"


def test_pain_that_holds_the_lift_is_said_in_place_of_a_judgement() -> None:
    assert remark.value(135, 150, 135, 3, 2) == "held: pain or the like was noted"
