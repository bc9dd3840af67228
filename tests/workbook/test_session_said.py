"""What stands below a session once it is logged: how it went, and the next step of its first exercises."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from blockbook.sheet.book import Cell
from blockbook.sheet.calculation import Calculation
from blockbook.training.alarm import CLEARED, NEXT_WEEK_WAITS, STILL_ALARMED
from blockbook.training.pain_words import GET_HELP
from blockbook.training.reasons import NONE_COUNTED_FIRST
from blockbook.training.session_said import BEFORE_THE_MEET, DELOAD_AHEAD, EFFORT_APART, LAST_SESSION, OTHER_SCALE
from blockbook.workbook.assemble import assemble
from blockbook.workbook.layout import COLUMN, SessionPlace
from tests.intake.meet_block import logged, meet_spec
from tests.intake.small_block import clean_inputs, spec_from
from tests.samples import template_spec, typed

SMALL = assemble(spec_from())


def said(typed: dict[str, Any], place: SessionPlace) -> Any:
    return Calculation(SMALL.book, typed).value(Cell(place.sheet, place.said_row, COLUMN["label"]))


def first_session(**changed: Any) -> dict[str, Any]:
    """All of the first session as asked, but for what is changed."""
    return {**{key: value for key, value in clean_inputs().items() if key.startswith("w1.lower")}, **changed}


def test_nothing_is_said_of_a_session_that_has_not_begun() -> None:
    assert said({}, SMALL.weeks[0][0]) == ""


def test_a_session_under_way_says_how_far_it_is() -> None:
    one_set = {key: value for key, value in first_session().items() if key.startswith("w1.lower.squat.1/")}
    assert said(one_set, SMALL.weeks[0][0]) == "1 of 7 sets logged."


def test_a_session_that_is_over_says_how_it_went_and_what_comes() -> None:
    assert said(first_session(), SMALL.weeks[0][0]).startswith(
        "Done: as hard as asked, on the whole. Next week · Back squat: "
    )


def test_a_hard_session_says_by_how_much() -> None:
    harder = {key: 9.5 for key, value in first_session().items() if key.endswith("/rpe")}
    assert "Done: harder than asked, by 1." in said(first_session(**harder), SMALL.weeks[0][0])


@pytest.mark.parametrize(
    ("efforts", "harder", "line"),
    [
        ((9.5, 9.5, 9.5), 1, "Done: harder than asked"),
        ((8.5, 7.5, 8), 0, "Done: as hard as asked, on the whole, but at least one exercise harder"),
        ((10, 7, 7), 0, "Done: some harder than asked"),
        ((8, 8, 8), 0, "Done: as hard as asked, on the whole."),
    ],
)
def test_a_session_counts_as_harder_where_its_line_says_so(efforts: tuple[float, ...], harder: int, line: str) -> None:
    """Next week's sentences speak of a bad day by the same cell."""
    place = SMALL.weeks[0][0]
    logged = first_session()
    for each, effort in zip(place.lines, efforts, strict=False):
        keys = [planned.key for planned in each.line.work_sets]
        logged |= {f"{key}/rpe": effort for key in keys if f"{key}/rpe" in logged}
    assert str(said(logged, place)).startswith(line)
    assert Calculation(SMALL.book, logged).value(SMALL.workings.cell(place.session.lines[0], "harder")) == harder


def test_pain_comes_at_once_and_first() -> None:
    assert said({"w1.lower.pain": "A"}, SMALL.weeks[0][0]) == "Pain was noted: no increase there. Tell your coach."
    hurts = said(first_session(**{"w1.lower.pain": "A"}), SMALL.weeks[0][0])
    assert hurts.startswith("Pain was noted: no increase there. Tell your coach. Done: ")
    assert "Back squat: Up" not in hurts


def test_pain_gives_no_go_ahead_for_next_week() -> None:
    """Nor where a close relative hurts."""
    text = said(first_session(**{"w1.lower.pain": "A"}), SMALL.weeks[0][0])
    assert "Next week · Back squat: ask your coach first" in text
    assert "Same load" not in text.partition("Back squat")[2].partition("·")[0]


def test_the_name_of_an_exercise_is_as_good_as_its_letter() -> None:
    by_name, by_letter = (
        Calculation(SMALL.book, first_session(**{"w1.lower.pain": typed})) for typed in ("back squat", "A")
    )
    for place in SMALL.weeks[0][0].lines:
        cell = SMALL.workings.cell(place.line, "pain")
        assert by_name.value(cell) == by_letter.value(cell)


def test_pain_of_an_earlier_week_is_asked_about_until_it_is_answered() -> None:
    open_still = (
        "Pain of an earlier week is still open. Type under Pain: none if gone (loads may rise), the letter if not "
        "(held). Done: "
    )
    first_week = first_session(**{"w1.lower.pain": "A"})
    second = {key.replace("w1.", "w2."): value for key, value in first_session(**{"w1.lower.pain": None}).items()}
    place = SMALL.weeks[1][0]
    assert said(first_week, place) == ""
    assert said({**first_week, **second}, place).startswith(open_still)
    assert said({**first_week, **second, "w2.lower.pain": "none"}, place).startswith("Done: ")


@pytest.mark.parametrize(
    "typed",
    [
        {"w1.lower.squat.2/note": "chest felt tight"},
        {"w1.lower.squat.2/note": "dizzy", "w1.lower.pain": "none"},
        {"w1.lower.pain": "chest pain"},
        {"w1.lower.pain": "A", "w1.lower.where": "chest"},
    ],
)
def test_what_needs_a_physician_is_said_alone(typed: dict[str, Any]) -> None:
    assert said(first_session(**typed), SMALL.weeks[0][0]) == GET_HELP
    squat = SMALL.weeks[0][0].lines[0].line
    assert Calculation(SMALL.book, first_session(**typed)).value(SMALL.workings.cell(squat, "pain")) == 1


def test_none_after_an_alarm_ends_the_hold_of_every_exercise_by_half_steps() -> None:
    """It was of no exercise; one that was named beside it goes on holding until its own session says none."""
    easy = {f"w1.lower.leg-press.{number}/rpe": 6 for number in (1, 2)}
    for noted, held in (
        ({"w1.lower.squat.2/note": "chest pain"}, []),
        ({"w1.lower.pain": "B", "w1.lower.where": "chest"}, ["B"]),
    ):
        typed = first_session(**{"w1.lower.pain": None, **easy, **noted})
        place = SMALL.weeks[1][0]
        open_then, answered = (Calculation(SMALL.book, {**typed, "w1.upper.pain": answer}) for answer in (None, "none"))
        cells = {line.line.label: SMALL.workings.row(line.line) for line in place.lines}
        assert all(open_then.number(row["holding_pain"]) for row in cells.values())
        sore = [label for label, row in cells.items() if answered.number(row["last_pain"])]
        assert sore == held
        assert all(answered.number(row["pain_before"]) for row in cells.values())


@pytest.mark.parametrize("typed", [{"w1.lower.squat.2/note": "dizzy"}, {"w1.upper.where": "chest"}])
def test_what_needs_a_physician_stands_in_every_session_until_it_is_answered(typed: dict[str, Any]) -> None:
    """Beside every exercise, too, whose loads are struck out; one more word of alarm starts it again."""
    first, then = SMALL.weeks[1]
    for place, answers, text in (
        (first, {}, STILL_ALARMED),
        (then, {}, STILL_ALARMED),
        (then, {"w2.lower.pain": "A"}, STILL_ALARMED),
        (then, {"w2.lower.pain": "none"}, ""),
        (then, {"w2.lower.pain": "none, B"}, ""),
        (then, {"w2.lower.pain": "none yet, doctor tomorrow"}, STILL_ALARMED),
        (then, {"w2.lower.pain": "none", "w2.upper.bench-press.1/note": "dizzy again"}, GET_HELP),
    ):
        logged = {**typed, **answers}
        calculation = Calculation(SMALL.book, logged)
        assert said(logged, place) == text
        reasons = [calculation.value(Cell(place.sheet, line.reason_row, COLUMN["label"])) for line in place.lines]
        assert text == "" or set(reasons) == {text}
        struck = [mark.when for mark in SMALL.book.sheets[place.sheet].marks if mark.style == "not to be lifted"]
        of_the_session = {cell for cell in struck if cell.row == place.title_row}
        assert [bool(calculation.number(cell)) for cell in of_the_session] == [text != ""]


def test_an_alarm_that_is_answered_is_no_exercise_s_pain() -> None:
    """The loads of that session are held all the same; what hurts beside it is named behind the answer."""
    place = SMALL.weeks[1][0]
    for answer, hurts in (("none", []), ("none, B", ["B"]), ("None, b", ["B"])):
        calculation = Calculation(SMALL.book, {"w1.lower.squat.2/note": "chest pain", "w2.lower.pain": answer})
        reasons = [str(calculation.value(Cell(place.sheet, line.reason_row, COLUMN["label"]))) for line in place.lines]
        assert all(reason.startswith(CLEARED) for reason in reasons)
        named = [
            line.line.label for line, reason in zip(place.lines, reasons, strict=True) if "this exercise" in reason
        ]
        assert named == hurts
        assert not any("reported for Back squat" in reason for reason in reasons)
        rows = {line.line.label: SMALL.workings.row(line.line) for line in place.lines}
        assert all(calculation.number(row["holding_pain"]) for row in rows.values())
        assert [label for label, row in rows.items() if calculation.number(row["pain_after"])] == hurts


def test_after_an_alarm_every_exercise_goes_on_by_half_steps() -> None:
    """One of a session that came neither between the alarm and its answer, too."""
    three = spec_from(
        (
            "  - name: Upper\n",
            "  - {name: Middle, day: wed, slots: [{exercise: deadlift, reps: 5, rpe: 8}]}\n  - name: Upper\n",
        )
    )
    made = assemble(three)
    middle = made.weeks[1][1].lines[0].line
    for noted, half in ((None, 0), ("chest pain", 1)):
        typed = {"w1.upper.bench-press.1/note": noted, "w2.lower.pain": "none"}
        assert Calculation(made.book, typed).number(made.workings.cell(middle, "pain_before")) == half


def test_the_session_before_an_alarm_sends_nobody_to_the_coach_for_next_week() -> None:
    later = first_session(**{"w1.upper.where": "chest"})
    assert said(later, SMALL.weeks[0][0]).endswith(NEXT_WEEK_WAITS)


def test_sets_that_do_not_count_are_told_where_the_session_is_done_and_a_week_later() -> None:
    as_text = {f"w1.lower.squat.{number}/load": "102,5 kg" for number in range(1, 5)}
    typed = first_session(**as_text, **{"w1.lower.effort": 8})
    text = said(typed, SMALL.weeks[0][0])
    assert " sets do not count yet: see what stands beside them." in text
    place = SMALL.weeks[1][0]
    reason = Calculation(SMALL.book, typed).value(Cell(place.sheet, place.lines[0].reason_row, COLUMN["label"]))
    assert reason == NONE_COUNTED_FIRST


def test_a_sentence_on_pain_stands_out_and_no_other() -> None:
    place = SMALL.weeks[0][0]
    marks = [mark for mark in SMALL.book.sheets[place.sheet].marks if mark.style == "hurts"]
    calculation = Calculation(SMALL.book, first_session(**{"w1.lower.pain": "A"}))
    marked = {mark.row for mark in marks if (calculation.number(mark.when) or 0) > 0}
    squat, _, band = place.lines
    assert {squat.reason_row, place.said_row} <= marked
    assert band.reason_row not in marked


def test_efforts_on_the_other_scale_are_asked_about_before_any_step() -> None:
    left = {key: 2 for key, value in first_session().items() if key.endswith("/rpe") and value is not None}
    assert said(first_session(**left), SMALL.weeks[0][0]) == OTHER_SCALE["rpe"]
    (one, *_) = left
    assert said(first_session(**{one: 2}), SMALL.weeks[0][0]).startswith("Done: as hard as asked")


def test_a_session_that_contradicts_its_sets_is_asked_about() -> None:
    easy = {key: 5 for key, value in first_session().items() if key.endswith("/rpe") and value is not None}
    text = said(first_session(**easy, **{"w1.lower.effort": 10}), SMALL.weeks[0][0])
    assert text == EFFORT_APART


def test_a_session_to_failure_was_not_easier() -> None:
    """Three reps more than asked and none left are no reps that were left."""
    every = {key: 10 for key, value in first_session().items() if key.endswith("/rpe") and value is not None}
    more = {
        key: value + 3 for key, value in first_session().items() if key.startswith("w1.lower.leg") and "reps" in key
    }
    text = said(first_session(**every, **more, **{"w1.lower.effort": 9}), SMALL.weeks[0][0])
    assert "easier" not in text


@pytest.mark.parametrize(
    ("changed", "text"),
    [
        ({"load": None}, "0 of 7 sets logged, 1 to look at."),
        ({"load": "102,5 kg"}, "0 of 7 sets logged, 1 to look at."),
        ({"load": 0, "reps": 0, "rpe": None}, "1 of 7 sets logged."),
    ],
)
def test_a_set_that_no_load_follows_from_is_told(changed: dict[str, Any], text: str) -> None:
    one_set = {key: value for key, value in first_session().items() if key.startswith("w1.lower.squat.1/")}
    typed = {**one_set, **{f"w1.lower.squat.1/{column}": value for column, value in changed.items()}}
    assert said(typed, SMALL.weeks[0][0]) == text


def test_a_session_ended_early_is_told_by_its_effort() -> None:
    one_set = {key: value for key, value in first_session().items() if key.startswith("w1.lower.squat.1/")}
    assert said({**one_set, "w1.lower.effort": 6}, SMALL.weeks[0][0]).startswith("Done: as hard as asked")


def test_the_last_week_and_the_one_before_a_deload_say_so() -> None:
    made = assemble(template_spec("strength"))
    calculation = Calculation(made.book, typed("strength", "kg", "filled"))

    def said_of(place: SessionPlace) -> str:
        return str(calculation.value(Cell(place.sheet, place.said_row, COLUMN["label"])))

    def ends(week: int) -> set[str]:
        return {text.partition(".")[2] or text for text in map(said_of, made.weeks[week - 1])}

    assert all(text.endswith(DELOAD_AHEAD) for text in ends(4))
    *others, last = (said_of(place) for place in made.weeks[4] if place.lines)
    assert last.endswith(LAST_SESSION)
    assert not any(LAST_SESSION in text for text in others)


@pytest.mark.parametrize(
    ("name", "typed", "beside"),
    [
        ("minutes", None, "first warm-up to last set"),
        ("minutes", 70, "first warm-up to last set"),
        ("minutes", "70 min", "numbers only"),
        ("effort", "6,5", "numbers only"),
        ("effort", 11, "0 to 10 only"),
        ("sleep", "7h", "numbers only"),
        ("body_weight", 70, ""),
        ("body_weight", 180, "56 to 84 only"),
        ("date", date(2027, 1, 4), "day and month, before you start"),
        ("date", date(2026, 1, 4), "another month or year?"),
        ("date", "Monday", "type it as 4 Jan"),
        ("pain", None, "none, all, or the exercise's letter"),
        ("pain", "none", "none, all, or the exercise's letter"),
        ("pain", "A", "none, all, or the exercise's letter"),
        ("pain", "A ", "none, all, or the exercise's letter"),
        ("pain", "none ", "none, all, or the exercise's letter"),
        ("pain", "ok", "none, all, or the exercise's letter"),
        ("pain", "A, B", "none, all, or the exercise's letter"),
        ("pain", "A, lower back", "counts for all; letters for some, none for no pain"),
        ("pain", "all", "counts for all; letters for some, none for no pain"),
        ("pain", "Q", "counts for all; letters for some, none for no pain"),
        ("pain", "A?", "none, all, or the exercise's letter"),
        ("pain", "Back squat", "none, all, or the exercise's letter"),
        ("pain", "no pain", "none, all, or the exercise's letter"),
    ],
)
def test_what_cannot_be_counted_is_told_beside_its_cell(name: str, typed: Any, beside: str) -> None:
    place = SMALL.weeks[0][0]
    hint = Cell(place.sheet, place.input_rows[name], COLUMN["reps"])
    assert Calculation(SMALL.book, {f"w1.lower.{name}": typed}).value(hint) == beside


def test_one_hard_exercise_is_not_lost_in_the_mean() -> None:
    harder = {key: 9 for key in first_session() if key.startswith("w1.lower.leg") and key.endswith("/rpe")}
    text = said(first_session(**harder), SMALL.weeks[0][0])
    assert text.startswith(
        "Done: as hard as asked, on the whole, but at least one exercise harder, by up to 1 a set (reps and "
        "effort together)."
    )


@pytest.mark.parametrize(
    ("meet", "last"),
    [(date(2027, 1, 18), BEFORE_THE_MEET), (date(2027, 1, 16), BEFORE_THE_MEET), (date(2027, 1, 13), LAST_SESSION)],
)
def test_the_last_session_points_to_the_sheet_of_a_meet_that_is_still_to_come(meet: date, last: str) -> None:
    """It is on Thursday 14 January."""
    spec = meet_spec()
    made = assemble(spec.model_copy(update={"block": spec.block.model_copy(update={"meet": meet})}))
    text = Calculation(made.book, dict(logged())).value(Cell("Week 2", made.weeks[1][-1].said_row, COLUMN["label"]))
    assert str(text).endswith(last)


def test_a_date_left_out_is_asked_for_once_sets_are_logged() -> None:
    place = SMALL.weeks[0][0]
    beside = Cell(place.sheet, place.input_rows["date"], COLUMN["reps"])
    without = {key: value for key, value in first_session().items() if not key.endswith(".date")}
    assert Calculation(SMALL.book, without).value(beside) == "type it: loads hang on it"


def test_opposites_are_told_apart() -> None:
    """A squat two over and rows two under are no session that went as asked."""
    squat = {key: 10 for key in first_session() if key.startswith("w1.lower.squat.") and key.endswith("/rpe")}
    others = {
        key: 5
        for key, value in first_session().items()
        if key.endswith("/rpe") and key not in squat and value is not None
    }
    text = said(first_session(**squat, **others), SMALL.weeks[0][0])
    assert text.startswith("Done: some harder than asked, by up to ")


@pytest.mark.parametrize(
    ("note", "pain", "asked"),
    [
        ("knee hurts a bit", None, True),
        ("PAIN in the left elbow", None, True),
        ("knee hurts a bit", "none", False),
        ("moved well", None, False),
        ("no pain at all", None, False),
        ("felt great, painless", None, False),
        ("painted the bar", None, False),
        ("no pain in the knee, but the hip hurts", None, True),
    ],
)
def test_a_note_that_speaks_of_pain_is_asked_about(note: str, pain: str | None, asked: bool) -> None:
    text = said(first_session(**{"w1.lower.squat.2/note": note, "w1.lower.pain": pain}), SMALL.weeks[0][0])
    assert (
        text.startswith(
            "Does it hurt, as a note says? Type under Pain: none if not (loads may rise), the letter if so (held). "
        )
        == asked
    )


@pytest.mark.parametrize(
    ("language", "beside"), [("en", "type it as 4 Jan"), ("de", "so eintippen: 4.1."), ("es", "escríbela así: 4/1")]
)
def test_the_example_of_a_date_is_the_day_planned(language: str, beside: str) -> None:
    """A day in March would read as an order on a session in January."""
    spec = spec_from()
    made = assemble(spec.model_copy(update={"lifter": spec.lifter.model_copy(update={"language": language})}))
    place = made.weeks[0][0]
    hint = Cell(place.sheet, place.input_rows["date"], COLUMN["reps"])
    assert Calculation(made.book, {"w1.lower.date": "Monday"}).value(hint) == beside


def test_none_in_the_next_session_lets_the_one_after_it_rise_again() -> None:
    """As the sentence says: typed in the week after the pain, not over what was reported."""

    longer = assemble(spec_from(("weeks: 2", "weeks: 3"), ("rpe: [7.5, 8]", "rpe: [7.5, 8, 8]")))

    def reason(week: int, typed: dict[str, Any]) -> str:
        line = longer.weeks[week - 1][0].lines[0].line
        return str(Calculation(longer.book, typed).value(longer.workings.cell(line, "plan_reason")))

    hurt = first_session(**{"w1.lower.pain": "A"})
    second = {key.replace("w1.", "w2."): value for key, value in first_session(**{"w1.lower.pain": "none"}).items()}
    assert "type none under Pain: the next load goes on from here" in reason(2, hurt | second)
    assert "under Pain" not in reason(3, hurt | second)
