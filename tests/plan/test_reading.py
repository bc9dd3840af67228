"""What a coach types into a plan workbook: what is understood, and what is said of mistakes."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

import blockbook
from blockbook.errors import BlockbookError
from blockbook.intake.opening import Grid
from blockbook.plan.columns import PLAN_COLUMNS, ROW_SESSION
from blockbook.plan.plan_workbook import typed_sheets
from blockbook.plan.reading import open_plan, plan_in, read_plan
from blockbook.spec.models import Slot, Specification
from blockbook.spec.values import Reps
from blockbook.training.doubts import doubts
from tests.plan.small_plan import (
    BENCH,
    FACE_PULL,
    PULL_UP,
    SLED,
    SQUAT,
    Typed,
    grids_of,
    place_of,
    small_plan,
    small_sheets,
    typed_in,
    written,
)

pytestmark = pytest.mark.usefixtures("soon_after")


def slots(spec: Specification) -> list[Slot]:
    return [slot for session in spec.sessions for slot in session.slots]


def plan_with(cells: Typed) -> Specification:
    return plan_in(typed_in(cells), "plan.xlsx").spec


def mistakes(cells: Typed) -> list[str]:
    with pytest.raises(BlockbookError) as caught:
        plan_with(cells)
    return str(caught.value).splitlines()


def refused(path: Path) -> str:
    with pytest.raises(BlockbookError) as caught:
        read_plan(path)
    return str(caught.value)


# What is understood


def test_a_plan_that_nobody_touched_is_the_specification(tmp_path: Path) -> None:
    assert read_plan(written(tmp_path)) == small_plan()


@pytest.mark.parametrize(
    ("key", "row", "typed", "field", "value"),
    [
        ("slot.sets.1", SLED, "4", "sets", (4,)),
        ("slot.sets.1", SLED, None, "sets", (1,)),
        ("slot.reps.1", SLED, 8, "reps", (Reps(8, 8),)),
        ("slot.reps.1", SLED, "6 - 9", "reps", (Reps(6, 9),)),
        ("slot.reps.1", SLED, "8 to 10", "reps", (Reps(8, 10),)),
        ("slot.reps.1", SLED, date(2027, 12, 8), "reps", (Reps(8, 12),)),
        ("slot.reps.1", SLED, datetime(2027, 8, 12), "reps", (Reps(8, 12),)),
        ("slot.rpe.1", SLED, "7,5", "rpe", (7.5,)),
        ("slot.loads.2", SLED, 62.5, "loads", {2: 62.5}),
        ("slot.test_weeks", SLED, "3, 1", "test_weeks", (3, 1)),
        ("slot.test_weeks", SLED, "3+1", "test_weeks", (3, 1)),
        ("slot.test_weeks", SLED, 2, "test_weeks", (2,)),
        ("slot.feeler", SLED, "No", "feeler", False),
        ("slot.progress", SLED, "Hold", "progress", "hold"),
        ("slot.rest", SLED, 90, "rest", "90"),
        ("slot.cue", SLED, '"Drive"', "cue", '"Drive"'),
    ],
)  # fmt: skip
def test_a_cell_is_read_as_people_type_it(key: str, row: int, typed: Any, field: str, value: Any) -> None:
    spec = plan_with({(key, row): typed, ("slot.kind", row): None})
    assert getattr(slots(spec)[1], field) == value


@pytest.mark.parametrize("key", [("slot.reps.1", SLED), "next_block.muscle_sets.lats"])
@pytest.mark.parametrize(("day", "shown"), [(date(2026, 12, 8), "8 Dec 2026"), (datetime(2026, 8, 12), "12 Aug 2026")])
def test_a_range_that_a_program_took_for_a_date_is_read_with_a_word(key: Any, day: date, shown: str) -> None:
    cell = place_of(key) if isinstance(key, str) else place_of(*key)
    (remark,) = plan_in(typed_in({key: day}), "plan.xlsx").remarks
    assert remark.startswith(f"{cell.sheet}!{cell.address} (")
    assert remark.endswith(f"): a program made a date of it, {shown}: taken as 8-12.")


def test_reps_with_a_comma_are_quoted_as_typed() -> None:
    (said,) = mistakes({("slot.reps.1", SLED): "5,8"})
    assert said.endswith('should be a whole number such as 5, or a range such as 8-12 (it says "5,8").')


def test_a_month_may_be_another_range_and_is_asked_about() -> None:
    """12-15 becomes December 2015 where days stand before months, and not the range from 1 to 12."""
    (said,) = mistakes({("slot.reps.1", SLED): date(2015, 12, 1)})
    assert "the program made a date of what was typed, 1 Dec 2015. Format the cell as text, then type it" in said


def test_a_falling_range_in_a_row_of_another_kind_is_told_with_the_kind() -> None:
    kind, reps = mistakes({("slot.kind", FACE_PULL): "straight sets", ("slot.reps.1", FACE_PULL): "5-3"})
    assert "says straight sets, but what is filled in makes it rep range" in kind
    assert "a range from low to high" in reps


@pytest.mark.parametrize("typed", ["Fri.", "fri", "FRIDAY", "Fr", " friday "])
def test_a_day_is_read_as_people_cut_it_short(typed: str) -> None:
    assert plan_with({("session.day", SQUAT): typed}).sessions[0].day == "fri"


def test_a_new_row_goes_to_the_session_above_it() -> None:
    typed = {("slot.exercise", SLED + 1): "leg curl", ("slot.reps.1", SLED + 1): 10, ("slot.rpe.1", SLED + 1): 8}
    spec = plan_with(typed)
    assert [slot.exercise for slot in spec.sessions[0].slots] == ["back squat", "sled push", "leg curl"]


def test_an_exercise_below_the_spare_rows_is_asked_for_its_session() -> None:
    """As where the first row of a session was deleted: its others would go to the session above without a word."""
    nothing = {(column.key, BENCH): None for column in PLAN_COLUMNS if not column.live and not column.spread}
    weekly = {(f"{column.key}.{week}", BENCH): None for column in PLAN_COLUMNS if column.spread for week in range(1, 5)}
    (said,) = mistakes({**nothing, **weekly})
    assert "is empty below empty rows. Write the name of the session" in said
    assert "Plan!A" in said


SPARES_FILLED = {
    (key, row): value
    for row in (SLED + 1, SLED + 2)
    for key, value in (("slot.exercise", "leg curl"), ("slot.reps.1", 10), ("slot.rpe.1", 8), ("slot.sets.1", row))
}
"""Exercises in the rows between the two sessions."""


def with_spares_filled_and_without(*rows: int) -> dict[str, Grid]:
    """The small plan with exercises in the rows between its sessions, after rows of the Plan were deleted."""
    grids = typed_in(SPARES_FILLED)
    gone = {small_sheets().plan.first + row for row in rows}
    grids["Plan"] = [values for row, values in enumerate(grids["Plan"]) if row not in gone]
    return grids


def test_a_session_whose_first_row_was_deleted_is_missed_where_no_row_is_empty() -> None:
    cell = place_of("session.name", BENCH)
    with pytest.raises(BlockbookError) as caught:
        plan_in(with_spares_filled_and_without(BENCH), "plan.xlsx")
    (said,) = str(caught.value).splitlines()
    assert said.startswith(f"plan.xlsx: Plan!{cell.address} (Session): is empty, and the row that named the session")
    assert '("upper") is gone. Write here the name of the session' in said


@pytest.mark.parametrize("emptied", ["session.name", "*"])
def test_a_session_whose_first_row_was_emptied_is_missed(emptied: str) -> None:
    keys = [key for key in small_sheets().plan.columns if emptied in (key, "*") and not key.startswith(("live", "row"))]
    (said,) = mistakes({**SPARES_FILLED, **{(key, BENCH): None for key in keys}})
    told_at = place_of("session.name", BENCH if emptied == "session.name" else PULL_UP)
    assert said.startswith(f"plan.xlsx: Plan!{told_at.address} (Session): is empty, and the row that named")


@pytest.mark.parametrize(("name", "sessions"), [("Lower", [4 + 3]), ("Upper", [4, 3]), ("Arms", [4, 3])])
def test_the_name_that_is_asked_for_says_where_the_rows_belong(name: str, sessions: list[int]) -> None:
    spec = plan_with({**SPARES_FILLED, ("session.name", BENCH): name})
    assert [len(session.slots) for session in spec.sessions] == sessions


def test_a_row_without_its_exercise_keeps_its_session() -> None:
    slots_gone = [key for key in small_sheets().plan.columns if key.startswith("slot.")]
    spec = plan_with({**SPARES_FILLED, **{(key, BENCH): None for key in slots_gone}})
    assert [(session.name, len(session.slots)) for session in spec.sessions] == [("Lower", 4), ("Upper", 2)]
    assert "is missing" in mistakes({**SPARES_FILLED, ("slot.exercise", BENCH): None})[0]


def test_a_row_that_was_moved_or_copied_to_another_session_is_of_that() -> None:
    """With its hidden cell, as whole rows are cut and pasted."""
    grids = typed_in({})
    top, plan = small_sheets().plan.first, grids["Plan"]
    plan[top + SLED + 1], plan[top + FACE_PULL] = plan[top + FACE_PULL], plan[top + SLED + 1]
    read = plan_in(grids, "plan.xlsx")
    assert [slot.exercise for slot in read.spec.sessions[0].slots] == ["back squat", "sled push", "face pull"]
    cell = place_of("session.name", SLED + 1).address
    said = f'Plan!{cell} (Session): this row was written for the session "upper", now in Lower.'
    assert read.remarks == (said,)


@pytest.mark.parametrize("name", ["Lower", "Lower ", "lower", "Lower\u00a0"])
def test_a_session_is_named_alike_whatever_its_blanks_and_capitals(name: str) -> None:
    assert [len(session.slots) for session in plan_with({("session.name", SLED): name}).sessions] == [2, 3]


@pytest.mark.parametrize(("row", "is_asked"), [(FACE_PULL + 3, False), (FACE_PULL + 4, True)])
def test_below_an_empty_row_at_the_end_an_exercise_is_asked_for_its_session(row: int, is_asked: bool) -> None:
    rows = [FACE_PULL + 1, *([FACE_PULL + 2] if not is_asked else []), row]
    cells = {(key, each): value for each in rows for (key, at), value in SPARES_FILLED.items() if at == SLED + 1}
    if is_asked:
        assert "is empty below empty rows" in mistakes(cells)[0]
    else:
        assert len(plan_with(cells).sessions[1].slots) == 3 + len(rows)


def test_blanks_that_do_not_break_a_line_are_blanks() -> None:
    assert slots(plan_with({("slot.exercise", SQUAT): "back\u00a0squat"}))[0].exercise == "back squat"


def test_a_formula_that_shows_nothing_is_taken_for_empty_with_a_word(tmp_path: Path) -> None:
    path = written(tmp_path, {("slot.sets.1", SLED): "=1/0"})
    read = open_plan(path)
    cell = place_of("slot.sets.1", SLED).address
    assert slots(read.spec)[1].sets == (1,)
    assert read.remarks == (f"Plan!{cell} (Sets, week 1): a formula here shows nothing, or an error: taken as empty.",)


def test_sessions_of_one_name_stay_two_where_no_row_is_empty() -> None:
    data = small_plan().to_data()
    data["sessions"][1]["name"] = "Lower"
    grids = grids_of(typed_sheets(Specification.model_validate(data)))
    gone = {small_sheets().plan.first + row for row in (SLED + 1, SLED + 2)}
    grids["Plan"] = [values for row, values in enumerate(grids["Plan"]) if row not in gone]
    assert [len(session.slots) for session in plan_in(grids, "plan.xlsx").spec.sessions] == [2, 3]


def test_a_name_begins_a_session_and_may_stand_in_every_row() -> None:
    typed = {("session.name", SLED): "Lower", ("session.name", FACE_PULL): "Arms", ("session.day", FACE_PULL): "sat"}
    spec = plan_with(typed)
    assert [(session.name, len(session.slots)) for session in spec.sessions] == [
        ("Lower", 2),
        ("Upper", 2),
        ("Arms", 1),
    ]
    assert spec.sessions[2].day == "sat"


def test_lists_and_numbers_are_read() -> None:
    spec = plan_with({"policy.most_rise": 0.05, ("best.load", 0): 125, ("plate.pairs", 0): 4,
                                        "lifter.sex": "Female", ("own.related", 0): "leg press"})  # fmt: skip
    assert spec.policy.most_rise == 0.05
    assert spec.lifter.bests["back squat"].load == 125
    assert spec.equipment.plates[25] == 4
    assert (spec.lifter.sex, spec.exercises[0].related) == ("female", "leg press")


def test_columns_of_the_coachs_own_and_moved_ones_do_not_matter(tmp_path: Path) -> None:
    path = written(tmp_path)
    book = load_workbook(path)
    book["Plan"].insert_cols(4, 2)
    book["Plan"]["D8"] = "ask for a video"
    book.move_sheet("Lifter", -3)
    book["Block"].title = "The block"
    book.save(path)
    assert read_plan(path) == small_plan()


@pytest.mark.parametrize(
    ("key", "row", "typed", "said"),
    [
        ("slot.sets.1", SLED, None, "Lower: sled push says nothing of sets, so it is one."),
        ("slot.loads.3", SQUAT, 975, "Lower: back squat, week 3: 975 kg, and the one-rep maximum is 120. Was 97.5 mea"),
        ("slot.rest", BENCH, "90", "Upper: bench press: a rest of 90. Minutes or seconds? Write 90 s, say."),
        ("slot.back_off.drop", SQUAT, 45, "Lower: back squat: back-off sets 45 % lighter. Is that meant?"),
        ("slot.pair", SLED, "b", "Lower: sled push is in the pair b, and nothing beside it is."),
        ("session.day", BENCH, "mon", "Lower and Upper are on one day, mon."),
        ("best.load", 0, 900, "The bests "),
        ("equipment.bar", None, 45, "A bar of 45 kg: are the loads in lb? Then write the unit, too."),
    ],
)  # fmt: skip
def test_what_looks_like_a_slip_is_told_with_its_cell(key: str, row: int | None, typed: Any, said: str) -> None:
    if key == "best.load":
        cells: Typed = {(key, 0): 400, ("best.exercise", 1): "deadlift", ("best.load", 1): 100}
    else:
        cells = {key if row is None else (key, row): typed}
    cell = place_of(key) if row is None else place_of(key, row)
    plan = plan_in(typed_in(cells), "plan.xlsx")
    (doubt,) = doubts(plan.spec)
    assert said in (told := plan.told(*doubt))
    assert told.startswith(f"{cell.sheet}!")
    assert key == "best.load" or told.startswith(f"{cell.sheet}!{cell.address} (")


def test_which_session_a_row_was_written_for_is_hidden_and_read_all_the_same(tmp_path: Path) -> None:
    columns = [key for key in small_sheets().plan.columns if not key.startswith(("live.", "row."))]
    path = written(tmp_path, {**SPARES_FILLED, **{(key, BENCH): None for key in columns}})
    hidden = load_workbook(path)["Plan"].column_dimensions[get_column_letter(place_of(ROW_SESSION).column + 1)]
    assert hidden.hidden
    assert 'the row that named the session of this exercise ("upper") is gone' in refused(path)


def test_what_stands_in_weeks_after_the_block_is_left_out_and_told() -> None:
    """As in a template that a coach makes shorter."""
    plan = plan_in(typed_in({("slot.rpe.5", SQUAT): 6}), "plan.xlsx")
    cell = place_of("slot.rpe.5", SQUAT)
    assert plan.spec == small_plan()
    assert plan.remarks == (
        f"{cell.sheet}!{cell.address} (Effort (RPE 5 to 10), week 5): stands in week 5, and the block has 4 weeks: "
        "left out. Right? Else correct Weeks (sheet Block).",
    )
    shorter = plan_in(typed_in({"block.weeks": 3}), "plan.xlsx")
    assert (shorter.spec.block.weeks, len(slots(shorter.spec)[0].rpe or ())) == (3, 3)
    assert shorter.spec.block.deload_week is None
    values, deload = shorter.remarks
    assert ": the block has 3 weeks, so there is no deload then: left out." in deload
    assert ": stands in week 4, and the block has 3 weeks: left out, as are " in values


# What is said of mistakes

PLACES = [*((key, row) for key in small_sheets().plan.columns for row in (SQUAT, SLED)
            if not key.startswith(("live.", "row."))),
          *(("best.exercise", row) for row in range(3)), *(("best.load", row) for row in range(3)), ("plate.weight", 0),
          ("plate.pairs", 0), ("own.name", 0), ("own.direct.2", 0), ("own.ratio", 0), "block.start", "block.weeks",
          "block.title", "block.steer_by_day", "lifter.name", "lifter.body_weight", "equipment.bar",
          "policy.hold_band"]  # fmt: skip
"""Cells of every kind."""


@pytest.mark.parametrize(
    ("key", "row", "typed", "message"),
    [
        ("slot.exercise", SLED, "sledge push", 'no exercise is called "sledge push". Did you mean sled push'),
        ("slot.reps.1", SLED, None, "is missing"),
        ("slot.reps.1", SLED, "many", "should be a whole number such as 5, or a range"),
        ("slot.sets.1", SLED, "three", 'should be a whole number (it says "three")'),
        ("slot.rpe.1", SLED, 11, 'should be less than or equal to 10 (it says "11")'),
        ("slot.rpe.1", SLED, None, "the target effort is missing"),
        ("slot.sets.3", SLED, 3, "is empty, and a later week is not"),
        ("slot.rpe.4", SQUAT, None, "or 4, one a week. Is a week's cell empty, or its column gone?"),
        ("slot.tempo", SLED, date(2027, 3, 1), "made a date or time of what was typed"),
        ("slot.rpe.1", SLED, date(2027, 3, 1), "made a date of what was typed"),
        ("slot.feeler", SLED, "maybe", 'should be yes or no (it says "maybe")'),
        ("slot.kind", SLED, "percent", "says percent, but what is filled in makes it rep range"),
        ("slot.kind", SLED, "pyramid", '"pyramid" is none of straight sets'),
        ("slot.percent.1", SQUAT, 70,  '"Back-off sets" and "Percent of 1RM" are different prescriptions. Keep one.'),
        ("session.day", SLED, "fri", "differs from the session's first row"),
        ("session.day", SQUAT, "someday", "should be 'mon', 'tue'"),
        ("best.exercise", 0, "back squad", 'no exercise is called "back squad"'),
        ("best.exercise", 0, "bench press", '"bench press" stands here twice. Keep one.'),
        ("best.load", 0, -5, "should be greater than or equal to 0"),
        ("best.load", 0, None, "is empty. Fill it in, or empty the row."),
        ("plate.pairs", 0, 2.5, "should be a whole number"),
        ("plate.weight", 0, "big", "should be a number"),
        ("own.ratio", 0, 90, 'should be a share: 0.9, say, for 90 % (it says "90")'),
        ("own.ratio", 0, "90 %", 'should be a share: 0.9, say, for 90 % (it says "90 %")'),
        ("own.direct.1", 0, "legs", "should be 'quadriceps', 'hamstrings'"),
        ("own.related", 0, "sledge", 'no exercise is called "sledge"'),
    ],
)  # fmt: skip
def test_a_mistake_is_told_with_its_cell(key: str, row: int, typed: Any, message: str) -> None:
    # A list with too many or too few values is told at its first cell, a repeated name at the second one.
    told_at = {"slot.rpe.4": "slot.rpe.1", "slot.sets.3": "slot.sets.2"}.get(key, key)
    cell = place_of(told_at, 1 if "twice" in message else row)
    (said,) = mistakes({(key, row): typed})
    assert said.startswith(f"plan.xlsx: {cell.sheet}!{cell.address} (")
    assert message in said


@pytest.mark.parametrize(
    ("key", "typed", "message"),
    [
        ("block.weeks", 40, "should be less than or equal to 16"),
        ("block.weeks", None, "is missing"),
        ("block.start", "soon", 'should be a date such as 2027-01-04 (it says "soon")'),
        ("block.deload_week", 9, "the block has 4 weeks, so week 9 is not in it"),
        ("block.unit", "stone", "should be 'kg' or 'lb'"),
        ("block.title", None, "is missing"),
        ("lifter.body_weight", "70 kg", 'should be the number alone, 70 (it says "70 kg")'),
        (
            "lifter.body_weight",
            "154 lb",
            'should be the number alone, 70: the block counts in kg (it says "154 lb")',
        ),
        ("lifter.body_weight", "1,000", 'may be a thousand or a decimal (it says "1,000"). Write it without a comma.'),
        ("lifter.body_weight", "+1,000", 'may be a thousand or a decimal (it says "+1,000")'),
        ("lifter.body_weight", "heavy", 'should be a number such as 7.5 (it says "heavy")'),
        ("equipment.dumbbells.heaviest", 1, "heaviest should not be below lightest"),
        ("equipment.bar", 0, "should be greater than 0"),
        ("policy.most_rise", 2, "should be less than or equal to 0.1"),
    ],
)  # fmt: skip
def test_a_mistake_in_a_list_of_fields_is_told_with_its_cell(key: str, typed: Any, message: str) -> None:
    cell = place_of("equipment.dumbbells.lightest" if "heaviest" in message else key)
    (said,) = mistakes({key: typed})
    assert said.startswith(f"plan.xlsx: {cell.sheet}!{cell.address} (")
    assert message in said


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        ({("slot.percent.1", BENCH): 0.75},
         "Percent of 1RM, week 1): should be in percent, without the sign: 75 (it says 75 %, or 0.75)."),
        ({("slot.percent.1", BENCH): 0.1},
         "Percent of 1RM, week 1): should be in percent, without the sign: 20 or more (it says 10 %, or 0.1)."),
        ({("slot.back_off.drop", SQUAT): 0.1},
         "Back-off: percent off): should be in percent, without the sign: 10 (it says 10 %, or 0.1)."),
        ({("slot.rpe.1", SLED): 0.8}, "week 1): should be in steps of 0.5 (it says 80 %, or 0.8)."),
        ({("slot.percent.1", BENCH): 1}, "should be in percent, without the sign: 100 (it says \"1\")."),
        ({("slot.reserve", SLED): 1, ("slot.kind", SLED): None, ("slot.reps.1", SLED): 8},
         '(Effort (RPE 5 to 10), week 1): leave it out: the target effort follows from "Max reps: leave", as 10 less'),
        ({("slot.reps.1", BENCH): "5-8"}, 'a range goes with a target effort only, not with "Percent of 1RM".'),
        ({("slot.exercise", BENCH): "band pull-apart"}, 'a band has no load: leave out "Fixed load", "Your own load in '
         'a week", "Percent of 1RM", "Back-off sets" and "Feeler".'),
        ({("slot.exercise", SLED): "sledge"}, "The sheet Lists has all; add your own on the sheet Exercises."),
        ({("slot.exercise", SLED): "{load} press"}, 'no exercise is called "{load} press".'),
        ({("slot.percent.1", BENCH): "75 %"}, 'should be the number alone, 75 (it says "75 %").'),
        ({("slot.rpe.1", SLED): "80 %"}, 'should be a number such as 7.5 (it says "80 %").'),
        ({"policy.most_rise": "10 %"}, 'should be a number such as 7.5 (it says "10 %").'),
        ({("slot.sets.1", SQUAT): 1, ("slot.sets.2", SQUAT): 1}, "has 2 values; write one for every week alike, or 4, "
         "one a week. Is a week's cell empty, or its column gone?"),
        ({f"equipment.dumbbells.{end}": None for end in ("lightest", "heaviest", "step")}
         | {("slot.exercise", FACE_PULL): "dumbbell curl"},
         'dumbbell curl needs "Dumbbells". Write its loads on the sheet Equipment, or choose another exercise.'),
        ({"equipment.stack.step": None},
         "(Machines and cables: step): is missing. Fill it in, or empty all three of Machines and cables."),
        ({("best.load", 0): 1200}, 'Check the digits, the unit and "Body weight".'),
        ({("slot.back_off.drop", SQUAT): None}, "is missing, and other back-off columns are filled in. Fill it in, or"),
        ({("slot.stand_ins", SLED): "a;b;c;d;e;f"}, "(Stand-ins): should be 5 at most, not 6."),
        ({("slot.rest", SLED): "x" * 21}, "(Rest): should be no longer than 20 characters, not 21"),
        ({("slot.cue", SLED): "x" * 201}, f'no longer than 200 characters, not 201 (it says "{"x" * 60}...").'),
        ({("session.name", SQUAT): None}, "(Session): is missing. Fill it in; a row that is not wanted has to be"),
        ({"lifter.name": None}, "(Name): is missing. Fill it in."),
        ({(f"plate.{key}", row): None for key in ("weight", "pairs") for row in range(6)},
         "(Plate): should not be empty: one at least is needed."),
        ({"policy.most_rise": 2}, "(Most that a load rises from one session to the next ...): should be less"),
        ({"next_block.muscle_sets.lats": "16-8"}, "(Weekly sets of lats, least and most, such as 8-16): should go"),
        ({"block.deload_week": 9}, "(Deload week): the block has 4 weeks, so week 9 is not in it."),
    ],
)  # fmt: skip
def test_a_mistake_is_told_in_the_words_of_the_sheet(cells: Typed, said: str) -> None:
    (line,) = mistakes(cells)
    assert said in line
    assert not re.search(r"[a-z]_[a-z]|\]|\brpe\b", line)  # names of fields and places in YAML


def test_mistakes_of_every_kind_are_told_in_one_go() -> None:
    said = mistakes({
        ("slot.exercise", SLED): "sledge push",  # a name that there is not
        ("slot.kind", SQUAT): "percent",  # a kind that is not what is filled in
        ("slot.rpe.2", FACE_PULL): date(2027, 3, 1),  # a cell that says nothing, in a row of which no more is told
        ("slot.reps.1", BENCH): "many",  # a value of another type
        ("best.exercise", 0): "back squad",
        "lifter.body_weight": None,  # one that is missing
    })  # fmt: skip
    parts = ["says percent", "no exercise is called", "should be a whole number", "made a date", "is missing", "squad"]
    assert [part for part, line in zip(parts, said, strict=True) if part not in line] == []


def test_a_wrong_exercise_of_the_coachs_own_hides_no_mistake_of_the_plan() -> None:
    own = {("own.direct.1", 0): "quads", ("own.indirect.1", 0): "obliques"}
    plan = {("slot.exercise", BENCH): "bench pres", ("slot.rpe.1", FACE_PULL): None, ("slot.sets.1", SQUAT): "three"}
    said = mistakes({**own, **plan, ("slot.stand_ins", SQUAT): "leg pres", "block.deload_week": 9})
    parts = ['(it says "three")', '"leg pres"', 'Did you mean bench press', "the target effort is missing",
             "week 9 is not in it", "should be quadriceps, perhaps", '(it says "obliques")']  # fmt: skip
    assert [part for part, line in zip(parts, said, strict=True) if part not in line] == []


def test_a_column_of_the_row_that_is_wrong_raises_no_others() -> None:
    """A percent as a share of 1 is a prescription all the same: no effort is missed beside it."""
    assert len(mistakes({(f"slot.percent.{week}", BENCH): 0.75 for week in range(1, 5)})) == 4


def test_the_muscles_are_listed_once() -> None:
    said = mistakes({("own.direct.1", 0): "legs", ("own.direct.2", 0): "shins", ("own.indirect.1", 0): "obliques"})
    assert ["'quadriceps', 'hamstrings'" in line for line in said] == [True, False, False]
    assert all('should be one of the same words (it says "' in line for line in said[1:])


def test_all_mistakes_are_told_in_the_order_of_the_sheets() -> None:
    said = mistakes({"lifter.body_weight": "?", ("slot.rpe.1", SLED): 3, ("slot.sets.1", BENCH): 99})
    assert [line.split(": ")[1].split("!")[0] for line in said] == ["Plan", "Plan", "Lifter"]


CONTENTS = st.one_of(
    st.none(), st.booleans(), st.text(max_size=8), st.integers(-3, 30), st.dates(), st.times(), st.datetimes(),
    st.floats(allow_nan=False, allow_infinity=False), st.timedeltas(),
    st.sampled_from([1e300, "nan", "inf", "1e999", "=1", "a"]),
)  # fmt: skip


@settings(deadline=None, max_examples=60)
@given(st.dictionaries(st.sampled_from(PLACES), CONTENTS, min_size=1, max_size=4))
def test_whatever_stands_in_the_cells_is_read_or_refused_with_a_place(cells: Typed) -> None:
    try:
        assert plan_with(cells).block.weeks
    except BlockbookError as error:
        said = str(error).splitlines()
        if not all(line.startswith("plan.xlsx: ") for line in said):
            raise


def with_columns(folder: Path, cells: Typed, change: Callable[[Worksheet], None], *sheets: str) -> Path:
    """The small plan after columns of sheets were put in, deleted or copied."""
    path = written(folder, cells)
    book = load_workbook(path)
    for sheet in sheets:
        for merged in list(book[sheet].merged_cells.ranges):
            book[sheet].unmerge_cells(str(merged))
        change(book[sheet])
    book.save(path)
    return path


@pytest.mark.parametrize("before", [1, 2, 3, 4])
def test_columns_of_the_coachs_own_among_fields_do_not_matter(before: int, tmp_path: Path) -> None:
    typed = {"block.note": "Welcome", "lifter.curve": 0.9, "equipment.collars": 1, "policy.most_rise": 0.05}
    sheets = ("Block", "Lifter", "Equipment", "Numbers")
    path = with_columns(tmp_path, typed, lambda there: there.insert_cols(before, 2), *sheets)
    assert read_plan(path) == plan_with(typed)


def test_numbers_without_their_hidden_keys_are_missed(tmp_path: Path) -> None:
    path = with_columns(tmp_path, {"policy.most_rise": 0.05}, lambda there: there.delete_cols(1), "Numbers")
    assert "Numbers!C4 (Value): the hidden keys of this sheet, in a column left of the names, are gone" in refused(path)


def test_loads_of_some_weeks_keep_their_weeks_where_a_column_was_deleted(tmp_path: Path) -> None:
    second = place_of("slot.loads.2").column + 1
    path = with_columns(tmp_path, {("slot.loads.3", SLED): 60}, lambda there: there.delete_cols(second), "Plan")
    assert slots(read_plan(path))[1].loads == {3: 60}


@pytest.mark.parametrize("week", [1, 2])
def test_a_week_whose_column_was_deleted_is_missed(week: int, tmp_path: Path) -> None:
    """Also where the block got shorter by as many, so that the others would pass for all of it."""
    column = place_of(f"slot.rpe.{week}").column + 1
    typed = {"block.weeks": 3, "block.deload_week": 3, ("slot.sets.4", BENCH): None}
    path = with_columns(tmp_path, typed, lambda there: there.delete_cols(column), "Plan")
    assert f"the column of week {week}, or its hidden key, is gone. Put it back" in refused(path)


def test_a_column_that_was_copied_with_its_key_is_told(tmp_path: Path) -> None:
    place = place_of("slot.sets.1")

    def copy(sheet: Worksheet) -> None:
        sheet.insert_cols(1)
        for row in range(1, sheet.max_row + 1):
            sheet.cell(row, 1).value = sheet.cell(row, place.column + 2).value

    said = refused(with_columns(tmp_path, {}, copy, "Plan"))
    assert "Plan!J7 (Sets): stands here and in Plan!A7 (Sets), hidden key and all: which one counts?" in said


@pytest.mark.parametrize("sheet", ["Plan", "Block", "Exercises"])
def test_a_sheet_that_was_copied_is_told_once(sheet: str, tmp_path: Path) -> None:
    """Else sessions would stand in the block twice."""
    path = written(tmp_path)
    book = load_workbook(path)
    book.copy_worksheet(book[sheet])
    book.save(path)
    (said,) = refused(path).splitlines()
    assert f": '{sheet} Copy'!" in said
    assert "hidden key and all: which one counts? Delete one of the two." in said


@pytest.mark.parametrize(
    ("key", "heading"),
    [
        ("block.weeks", "Weeks"),
        ("equipment.bar", "Bar"),
        ("lifter.body_weight", "Body weight"),
        ("plate.weight", "Plates"),
    ],
)
def test_a_field_whose_row_was_deleted_is_told_by_its_name(key: str, heading: str) -> None:
    """And not as a mistake of the field beside it."""
    grids, cell = typed_in({}), place_of(key)
    del grids[cell.sheet][cell.row - (key == "plate.weight")]
    with pytest.raises(BlockbookError) as caught:
        plan_in(grids, "plan.xlsx")
    assert str(caught.value).startswith(f"plan.xlsx: {cell.sheet} ({heading}): is missing, and so is its place: a row")


def test_a_column_that_was_deleted_is_told_once() -> None:
    columns = [place_of(f"slot.reps.{week}").column for week in range(1, 7)]
    grids = typed_in({})
    grids["Plan"] = [[each for n, each in enumerate(row) if n not in columns] for row in grids["Plan"]]
    with pytest.raises(BlockbookError, match=r"^plan.xlsx: Plan \(Reps or range\): is missing[^\n]*$"):
        plan_in(grids, "plan.xlsx")


def test_a_field_whose_row_was_copied_is_told() -> None:
    grids = typed_in({})
    grids["Block"].append(grids["Block"][place_of("block.unit").row])
    with pytest.raises(BlockbookError, match=r"Block!A\d+ \(Unit\): stands here and in Block!A\d+ \(Unit\), hidden"):
        plan_in(grids, "plan.xlsx")


def test_a_sheet_that_is_gone_is_missed() -> None:
    grids = {name: grid for name, grid in typed_in({}).items() if name != "Block"}
    with pytest.raises(BlockbookError, match=r"^plan.xlsx: Block: is missing\. The sheet, or the hidden keys on it,"):
        plan_in(grids, "plan.xlsx")


def test_a_plan_without_the_column_of_its_sessions_says_so() -> None:
    grids = {name: [row[1:] for row in grid] if name == "Plan" else grid for name, grid in typed_in({}).items()}
    with pytest.raises(
        BlockbookError, match=r"^plan.xlsx: Plan!A\d+ \(Session\): the column Session, or its hidden key"
    ):
        plan_in(grids, "plan.xlsx")


@pytest.mark.parametrize("typed", ["hack squat; leg press", "hack squat, leg press", "hack squat\nleg press"])
def test_names_are_parted_as_people_part_them(typed: str) -> None:
    assert slots(plan_with({("slot.stand_ins", SQUAT): typed}))[0].stand_ins == ("hack squat", "leg press")


def test_other_workbooks_are_no_plan(tmp_path: Path) -> None:
    path = tmp_path / "other.xlsx"
    Workbook().save(path)
    assert "this is no plan workbook" in refused(path)
    assert "blockbook new TEMPLATE --out plan.xlsx" in refused(path)
    path.write_bytes(b"no workbook")
    assert refused(path).startswith(f"{path}: ")


def test_a_pull_up_keeps_its_reserve() -> None:
    assert slots(plan_with({("slot.reserve", PULL_UP): 3}))[3].reserve == 3


# The commands


def test_a_plan_workbook_is_told_from_one_that_came_back(tmp_path: Path) -> None:
    plan = written(tmp_path, {("best.exercise", 2): "deadlift", ("best.load", 2): 150})
    (built,) = blockbook.build(plan, tmp_path / "sent")
    for file in (plan, built):
        blockbook.meet(file, tmp_path / "meet.xlsx", force=True)
    assert blockbook.read(built, spec=plan).spec.lifter.bests["deadlift"].load == 150


def test_the_form_to_write_follows_the_name(tmp_path: Path) -> None:
    plan = blockbook.new("peak", tmp_path / "plan.XLSX")
    assert blockbook.load_spec(plan).block.title
    assert not (tmp_path / "blockbook.schema.json").exists()
    with pytest.raises(BlockbookError, match=r"plan\.ods: a plan workbook is written as \.xlsx"):
        blockbook.new("peak", tmp_path / "plan.ods")
    with pytest.raises(BlockbookError, match="has the same form as"):
        blockbook.convert(plan, tmp_path / "again.xlsx")
    with pytest.raises(BlockbookError, match="is there already"):
        blockbook.new("peak", plan)
