"""What is built all the same, and looks like a slip: said in a sentence."""

from __future__ import annotations

import pytest

from blockbook.spec.documents import dump_yaml
from blockbook.spec.doubts import doubts
from blockbook.spec.loading import parse_spec
from blockbook.spec.templates import templates
from tests.plan.small_plan import SMALL_PLAN
from tests.samples import template_spec


def said(*changes: tuple[str, str]) -> list[str]:
    text = SMALL_PLAN
    for before, after in changes:
        assert before in text
        text = text.replace(before, after, 1)
    return list(doubts(parse_spec(text)))


SLED = "      - {exercise: sled push, sets: 3, reps: 8-12, rpe: 8}\n"
ROWS = "".join(f"      - {{exercise: {name}, sets: 2, reps: 8, rpe: 8}}\n" for name in (
    "bench press", "pull-up", "face pull", "leg press", "leg curl", "lat pulldown", "cable row",
))  # fmt: skip


@pytest.mark.parametrize("name", [template.name for template in templates()])
@pytest.mark.parametrize("unit", ["kg", "lb"])
def test_a_template_leaves_no_doubt(name: str, unit: str) -> None:
    assert list(doubts(template_spec(name, unit))) == []


def test_the_small_plan_leaves_no_doubt() -> None:
    assert said() == []


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ((SLED, SLED * 2), "Lower: sled push stands there 2 times, asked for alike. Is one a copy?"),
        ((SLED, SLED.replace("sets: 3, ", "")), "Lower: sled push says nothing of sets, so it is one."),
        (
            ("rpe: 8}\n  - name", "rpe: 8, pair: b}\n  - name"),
            "Lower: sled push is in the pair b, and nothing beside it is.",
        ),
        (("  - name: Upper\n", "  - name: Upper\n    day: mon\n"), "Lower and Upper are on one day, mon."),
        (("  bar: 20", "  bar: 45"), "A bar of 45 kg: are the loads in lb? Then write the unit, too."),
        (
            ("weeks: 4,", "weeks: 4, unit: lb,"),
            "A bar of 20 lb and plates of 20: are the loads in kg? Then write the unit, too.",
        ),
    ],
)
def test_what_looks_like_a_slip_is_said(change: tuple[str, str], sentence: str) -> None:
    assert said(change) == [sentence]


def test_one_set_that_was_written_stays_written() -> None:
    spec = parse_spec(SMALL_PLAN.replace("sled push, sets: 3", "sled push, sets: 1"))
    assert list(doubts(spec)) == []
    assert list(doubts(parse_spec(dump_yaml(spec.to_data())))) == []


def test_a_session_left_with_one_exercise_is_asked_about() -> None:
    assert said((SLED, ""), ("exercises:\n", ROWS + "exercises:\n")) == [
        "Lower has one exercise, Upper has 10. Did rows move from one to the other?"
    ]
