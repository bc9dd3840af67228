"""What is built all the same, and looks like a slip: said in a sentence."""

from __future__ import annotations

from datetime import date

import pytest

from blockbook import clock
from blockbook.spec.documents import dump_yaml
from blockbook.spec.loading import parse_spec
from blockbook.spec.templates import templates
from blockbook.training.doubts import doubts
from tests.plan.small_plan import SMALL_PLAN
from tests.samples import template_spec

pytestmark = pytest.mark.usefixtures("soon_after")


def said(*changes: tuple[str, str]) -> list[str]:
    text = SMALL_PLAN
    for before, after in changes:
        assert before in text
        text = text.replace(before, after, 1)
    return [doubt.said for doubt in doubts(parse_spec(text))]


def meeting(day: str) -> tuple[str, str]:
    return "deload_week: 4}", f"deload_week: 4, meet: {day}}}"


BOTH_DAYS = ("  - name: Upper\n", "  - name: Upper\n    day: thu\n")
"""Lower is on Mondays, Upper on Thursdays; week 4 is from 25 to 31 January."""


@pytest.mark.parametrize(
    ("meet", "sentence"),
    [
        (
            "2027-01-14",
            "The meet on Thu 14 January falls in week 2 of 4: nothing tapers towards it. "
            "`blockbook season --meet 2027-01-14 --out season.yaml` counts back from it.",
        ),
        (
            "2027-01-28",
            "The meet is on Thu 28 January, and training stands beside it: Upper on the day itself. "
            "Give these 0 sets in week 4, or another day.",
        ),
        (
            "2027-01-26",
            "The meet is on Tue 26 January, and training stands beside it: Lower the day before, Upper after it. "
            "Give these 0 sets in week 4, or another day.",
        ),
    ],
)
def test_a_meet_that_the_block_does_not_lead_up_to_is_asked_about(meet: str, sentence: str) -> None:
    assert said(BOTH_DAYS, meeting(meet)) == [sentence]


@pytest.mark.parametrize("meet", ["2027-01-30", "2027-01-31", "2027-02-06", "2027-03-20"])
def test_a_meet_two_days_after_the_last_session_or_later_is_not(meet: str) -> None:
    assert said(BOTH_DAYS, meeting(meet)) == []


@pytest.mark.parametrize(
    ("today", "sentences"),
    [
        (date(2027, 3, 1), []),
        (date(2027, 12, 5), ["The block begins on Mon 4 January 2027, 335 days ago. Is another year meant?"]),
    ],
)
def test_a_block_that_is_long_over_is_of_another_year_perhaps(today: date, sentences: list[str]) -> None:
    with clock.as_of(today):
        assert said() == sentences


def test_a_long_block_that_still_runs_is_not() -> None:
    with clock.as_of(date(2027, 3, 27)):
        assert said(("weeks: 4", "weeks: 12"), ("[7, 8, 8, 6]", "8"), ("[4, 4, 5, 2]", "4")) == []


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


def test_an_exercise_of_no_sets_in_any_week_is_asked_about() -> None:
    none = "Lower: sled push: 0 sets in every week, so it stands there and is never asked for. Is that meant?"
    assert said((SLED, SLED.replace("sets: 3", "sets: 0"))) == [none]
    assert said((SLED, SLED.replace("sets: 3", "sets: [0, 3, 3, 3]"))) == []


@pytest.mark.parametrize(
    ("start", "today", "sentence"),
    [
        ("2027-04-01", date(2026, 11, 27), "Thu 1 April 2027. Are day and month turned round, Mon 4 January 2027?"),
        (
            "2026-09-11",
            date(2026, 11, 27),
            "Fri 11 September 2026. Are day and month turned round, Mon 9 November 2026?",
        ),
        ("2027-04-01", date(2027, 3, 27), ""),
        ("2027-01-08", date(2026, 12, 20), ""),
        ("2027-04-05", date(2026, 11, 27), ""),
    ],
)
def test_a_start_with_day_and_month_turned_round_is_asked_about(start: str, today: date, sentence: str) -> None:
    with clock.as_of(today):
        assert said(("2027-01-04", start)) == ([f"The block begins on {sentence}"] if sentence else [])


def test_the_best_that_goes_with_none_of_the_others_is_the_one_that_is_asked_about() -> None:
    """Bench press and deadlift agree, so the squat is the odd one, whichever stands first in the sentence."""
    bests = "bests: {back squat: 75, bench press: {load: 102, reps: 5, rpe: 9}, deadlift: 184}"
    spec = parse_spec(SMALL_PLAN.replace(BESTS, bests))
    (doubt,) = (each for each in doubts(spec) if "do not go together" in each.said)
    assert doubt.at == ("lifter", "bests", "back squat")


def test_a_bar_in_kg_beside_plates_in_lb_is_asked_about() -> None:
    in_lb = ("weeks: 4,", "weeks: 4, unit: lb,"), ("body_weight: 70", "body_weight: 154")
    plates = ("plates: {25: 3, 20: 1,", "plates: {45: 3, 25: 1,")
    assert said(*in_lb, plates) == ["A bar of 20 lb beside plates of 45: is the bar in kg?"]
    assert said(*in_lb, plates, ("bar: 20", "bar: 45")) == []


SQUAT = "{exercise: back squat, reps: 5, rpe: [7, 8, 8, 6], back_off: {sets: 2, reps: 6, drop: 10}, rest: 3 min}"
BENCH = "sets: [4, 4, 5, 2], reps: 5, percent: 75, rest: 2 min"
BESTS = "bests: {back squat: 120, bench press: {load: 80, reps: 3, rpe: 9}}"
GUESSED = (SQUAT, "{exercise: front squat, sets: 3, reps: 3, rpe: 7, loads: {1: 120}}")
"""A front squat is guessed to be 0.77 of the back squat: 92.4 kg."""

EXAMPLE = "back squat: 90, bench press: 45, deadlift: 100, overhead press: {load: 60, reps: 5, rpe: 8}"


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (
            (SQUAT, "{exercise: back squat, sets: 3, reps: 5, load: [100, 1025, 1050, 100]}"),
            "Lower: back squat, week 2: 1025 kg, and the one-rep maximum is 120. Was 102.5 meant?",
        ),
        (
            (SQUAT, "{exercise: back squat, sets: 3, reps: 5, load: 130}"),
            "Lower: back squat, week 1: 130 kg, and the one-rep maximum is 120.",
        ),
        (
            (SQUAT, SQUAT.replace("rest:", "loads: {3: 975}, rest:")),
            "Lower: back squat, week 3: 975 kg, and the one-rep maximum is 120. Was 97.5 meant?",
        ),
        (
            (SQUAT, "{exercise: back squat, sets: 3, reps: 5, rpe: 7, loads: {2: 110}}"),
            "Lower: back squat, week 2: 5 reps with 110 kg at effort 7, and the one-rep maximum is 120.",
        ),
        (
            (SQUAT, "{exercise: back squat, sets: 3, reps: 5, load: 118}"),
            "Lower: back squat, week 1: 5 reps with 118 kg, and the one-rep maximum is 120.",
        ),
        (
            (SQUAT, "{exercise: leg press, sets: 3, reps: 25, rpe: 5, loads: {1: 1000}}"),
            "Lower: leg press, week 1: 1000 kg, and the one-rep maximum is guessed to be 132. Was 100 meant?",
        ),
        (
            GUESSED,
            "Lower: front squat, week 1: 120 kg, and the one-rep maximum is guessed to be 92.4.",
        ),
        (
            (SQUAT, "{exercise: back squat, sets: 3, reps: 5, load: 1300}"),
            "Lower: back squat, week 1: 1300 kg, and the one-rep maximum is 120.",
        ),
        (
            ("percent: 75", "percent: [75, 80, 105, 60]"),
            "Upper: bench press, week 3: 5 reps at 105 %, more than one goes with.",
        ),
        (
            (BESTS, "bests: {back squat: 450, deadlift: 45}"),
            "The bests deadlift 45 kg and back squat 450 kg do not go together. Is one mistyped?",
        ),
        (
            (BESTS, "bests: {bench press: 80, incline bench press: 400}"),
            "The bests incline bench press 400 kg and bench press 80 kg do not go together. Is one mistyped?",
        ),
        (
            (BESTS, "bests: {bench press: 150, overhead press: {load: 225, reps: 5, rpe: 8}}"),
            "The bests overhead press 225 kg x 5 and bench press 150 kg do not go together. Is one mistyped?",
        ),
        (
            (BESTS, "bests: {back squat: 120, bench press: 190}"),
            "The bests bench press 190 kg and back squat 120 kg do not go together. Is one mistyped?",
        ),
        (("reps: 8-12, rpe: 8", "reps: 35-40, rpe: 8"), "Lower: sled push: 40 reps in a set. Is that meant?"),
        (("drop: 10", "drop: 45"), "Lower: back squat: back-off sets 45 % lighter. Is that meant?"),
        (
            ("sets: 3, reps: 8-12, rpe: 8", "sets: 3, reps: 15, rpe: [8, 10, 10, 7]"),
            "Lower: sled push, week 2: 3 sets of 15 reps with nothing left (effort 10). Is that meant?",
        ),
        (("rest: 2 min", 'rest: "90"'), "Upper: bench press: a rest of 90. Minutes or seconds? Write 90 s, say."),
        (("rest: 2 min", 'rest: "2"'), "Upper: bench press: a rest of 2. Minutes or seconds? Write 2 min, say."),
    ],
)
def test_absurd_numbers_are_asked_about(change: tuple[str, str], sentence: str) -> None:
    assert said(change) == [sentence]


@pytest.mark.parametrize(
    "change",
    [
        ("percent: 75", "percent: 100"),
        ("reps: 5, percent: 75", "reps: 1, percent: 105"),
        (SQUAT, "{exercise: back squat, sets: 3, reps: 1, load: 120}"),
        (SQUAT, "{exercise: front squat, sets: 3, reps: 3, load: 110}"),
        (SQUAT, "{exercise: back squat, sets: 3, reps: 5, rpe: 8, loads: {1: 100}}"),
        (SQUAT, "{exercise: back squat, sets: 3, reps: 5, rpe: 8, loads: {1: 125}, from_last_block: 125}"),
        (SQUAT, "{exercise: leg press, sets: 3, reps: 5, rpe: 8, loads: {1: 190}}"),
        (BESTS, "bests: {back squat: 90, bench press: 40, deadlift: 125, pull-up: 5, leg curl: 20}"),
        ("drop: 10", "drop: 40"),
        ("sets: 3, reps: 8-12, rpe: 8", "sets: 1, reps: 15, rpe: 10"),
        ("rest: 2 min", "rest: 90 s"),
    ],
)
def test_what_may_well_be_meant_is_not(change: tuple[str, str]) -> None:
    """A front squat above its guess from the back squat, say: a guess is no maximum."""
    assert said(change) == []


def test_a_best_that_is_still_the_examples_beside_others_that_are_not_is_asked_about() -> None:
    assert said((BESTS, f"bests: {{{EXAMPLE}}}"), ("bench press: 45", "bench press: 80")) == [
        "Still as in the example: overhead press 60 kg x 5. Is that this lifter's, too?"
    ]
    several = ("bench press: 45", "bench press: 110"), ("deadlift: 100", "deadlift: 180")
    assert said((BESTS, f"bests: {{{EXAMPLE}}}"), *several, ("back squat: 90", "back squat: 130")) == [
        "Still as in the example: bench press 110 kg, deadlift 180 kg, overhead press 60 kg x 5. "
        "Is that this lifter's, too?"
    ]


ALL_OF_THE_EXAMPLE = "back squat: 150, bench press: 110, deadlift: 180, overhead press: {load: 60, reps: 5, rpe: 8}"


@pytest.mark.parametrize("weight", ["70", "82.5"])
def test_all_bests_of_the_example_are_no_lifters(weight: str) -> None:
    assert said((BESTS, f"bests: {{{ALL_OF_THE_EXAMPLE}}}"), ("body_weight: 70", f"body_weight: {weight}")) == [
        "All bests are still the example's: every load is for an invented lifter."
    ]


IN_LB = (BESTS, "bests: {back squat: 275, bench press: {load: 185, reps: 5, rpe: 9}}")
"""What somebody typed who squats 125 kg."""


@pytest.mark.parametrize(
    ("body", "sentence"),
    [
        (
            "sex: male\n  body_weight: 75",
            "back squat 275 kg and bench press 185 kg x 5 at a body weight of 75 kg: few are so strong. Is one of "
            "these in lb?",
        ),
        (
            "sex: female\n  body_weight: 60",
            "back squat 275 kg and bench press 185 kg x 5 at a body weight of 60 kg: few are so strong. Is one of "
            "these in lb?",
        ),
    ],
)
def test_bests_that_few_of_that_body_weight_have_may_be_in_another_unit(body: str, sentence: str) -> None:
    assert said(IN_LB, ("body_weight: 70", body))[0] == sentence


@pytest.mark.parametrize(
    ("bests", "body"),
    [
        ("back squat: 200, bench press: 135, deadlift: 240", "body_weight: 75"),
        ("back squat: 120, bench press: 65, deadlift: 140", "sex: female\n  body_weight: 60"),
        ("back squat: {load: 260, spread: 0.03, on: 2027-01-02}", "body_weight: 75"),
    ],
)
def test_strong_lifters_and_what_was_learned_from_logs_are_not_asked_about(bests: str, body: str) -> None:
    assert not any(
        "few are so strong" in each for each in said((BESTS, f"bests: {{{bests}}}"), ("body_weight: 70", body))
    )


@pytest.mark.parametrize(
    ("unit", "weight", "sentence"),
    [
        ("lb", "75", "A body weight of 75 lb. Is that in kg?"),
        ("kg", "190", "A body weight of 190 kg. Is that in lb?"),
        ("lb", "190", ""),
        ("kg", "86", ""),
        ("kg", "39", ""),
        ("lb", "360", ""),
    ],
)
def test_a_body_weight_may_be_in_another_unit(unit: str, weight: str, sentence: str) -> None:
    edits = ("weeks: 4,", f"weeks: 4, unit: {unit},"), ("body_weight: 70", f"body_weight: {weight}")
    found = [each for each in said(*edits, ("bar: 20", f"bar: {20 if unit == 'kg' else 45}")) if "body weight" in each]
    assert found == ([sentence] if sentence else [])


@pytest.mark.parametrize(("start", "told"), [("2027-02-01", False), ("2027-02-22", True)])
def test_first_loads_of_a_block_that_was_moved_far_from_the_last_one_are_asked_about(start: str, told: bool) -> None:
    learned = "{load: 160, spread: 0.02, on: 2027-01-25}"
    spec = parse_spec(
        f"block: {{title: Moved, start: {start}, weeks: 4}}\n"
        f"lifter: {{name: Invented Lifter, body_weight: 80, bests: {{back squat: {learned}}}}}\n"
        "equipment: {bar: 20, plates: {20: 4, 10: 2, 5: 1, 2.5: 1}}\n"
        "sessions: [{name: Day, slots: [{exercise: back squat, sets: 3, reps: 5, rpe: 8, loads: {1: 130},"
        " from_last_block: 130}]}]\n"
    )
    said = "trained until Mon 25 January, 28 days before this one begins"
    assert any(said in doubt.said for doubt in doubts(spec)) == told
    with clock.as_of(date(2027, 1, 27)):
        assert not any("last block" in doubt.said for doubt in doubts(spec))


def test_one_set_that_was_written_stays_written() -> None:
    spec = parse_spec(SMALL_PLAN.replace("sled push, sets: 3", "sled push, sets: 1"))
    assert list(doubts(spec)) == []
    assert list(doubts(parse_spec(dump_yaml(spec.to_data())))) == []


def test_a_session_left_with_one_exercise_is_asked_about() -> None:
    assert said((SLED, ""), ("exercises:\n", ROWS + "exercises:\n")) == [
        "Lower has one exercise, Upper has 10. Did rows move from one to the other?"
    ]
