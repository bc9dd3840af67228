"""The Meet sheet inside a block that ends in a meet: its attempts follow the log."""

from __future__ import annotations

import io
from collections.abc import Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

import blockbook
from blockbook.assessment.next_block import for_the_meet
from blockbook.formula.functions import Scalar
from blockbook.intake.reading import read_workbook
from blockbook.sheet.book import Cell, Reference
from blockbook.sheet.calculation import Calculation
from blockbook.spec.models import Specification, Unit
from blockbook.training.attempt_tables import attempt_plan, attempt_table
from blockbook.training.attempts import PLANS
from blockbook.training.meet_day import ALARMED, attempt_shift
from blockbook.training.meet_numbers import LIFTS, believed
from blockbook.workbook.assemble import BlockBook, assemble
from blockbook.workbook.layout import SUMMARY, TABLES, WORKINGS
from blockbook.workbook.meet import planned_cell
from blockbook.workbook.meet_cells import MEET, MEET_TABLES
from blockbook.workbook.meet_in_block import has_meet_sheet
from blockbook.workbook.write import block_bytes
from tests.intake.meet_block import MEET_DAY, logged, meet_spec
from tests.intake.small_block import spec_from
from tests.samples import template_spec

SUNDAY = date(2027, 1, 17)
"""The last day of the small block."""


def meeting(day: date | None, unit: Unit = "kg") -> Specification:
    spec = meet_spec() if unit == "kg" else template_spec("peak", "lb")
    return spec.model_copy(update={"block": spec.block.model_copy(update={"meet": day})})


@cache
def workbook() -> BlockBook:
    return assemble(meet_spec())


def openers(made: BlockBook, inputs: dict[str, Any]) -> dict[str, Scalar]:
    calculation = Calculation(made.book, {**made.typed, **inputs})
    return {lift: calculation.value(planned_cell(lift, 1)) for lift in LIFTS}


def now(made: BlockBook, inputs: dict[str, Any]) -> dict[str, tuple[float, float]]:
    """What is believed of each lift in kg, and what its table is moved by."""
    calculation = Calculation(made.book, {**made.typed, **inputs})
    sheet = made.book.sheets[MEET_TABLES]
    found = {}
    for lift in LIFTS:
        heading = f"{lift.capitalize()}, believed now; shift"
        column = next(column for (row, column), text in sheet.contents.items() if row == 1 and text == heading)
        maximum, shift = (calculation.number(Cell(MEET_TABLES, row, column)) for row in (2, 3))
        assert maximum is not None
        assert shift is not None
        found[lift] = maximum, shift
    return found


def harder(by: float, share: float = 1) -> dict[str, Any]:
    """The log with every effort of squat and bench so much higher, at a share of the loads."""
    changed = dict(logged())
    for name, value in logged().items():
        if any(lift in name for lift in (".squat.", ".bench-press.")):
            if name.endswith("/rpe"):
                changed[name] = min(10, value + by)
            elif name.endswith("/load"):
                changed[name] = value * share
    return changed


@pytest.mark.parametrize(
    ("day", "ends"),
    [
        (None, False),
        (date(2027, 1, 10), False),
        (date(2027, 1, 11), True),
        (date(2027, 1, 16), True),
        (SUNDAY, True),
        (date(2027, 1, 18), True),
        (date(2027, 1, 24), True),
        (date(2027, 1, 25), False),
    ],
)
def test_a_meet_in_the_last_week_or_within_a_week_after_it_ends_the_block(day: date | None, ends: bool) -> None:
    assert has_meet_sheet(meeting(day)) is ends


def test_it_stands_after_the_summary_and_its_tables_are_hidden() -> None:
    book = load_workbook(io.BytesIO(block_bytes(meet_spec())))
    names = book.sheetnames
    assert names[names.index(SUMMARY) + 1] == MEET
    assert names.index(TABLES) < names.index(MEET_TABLES) < names.index(WORKINGS)
    assert book[MEET_TABLES].sheet_state == "hidden"
    assert book[MEET]["B29"].value == 70  # the body weight of the specification
    assert "from your log" in book[MEET]["A2"].value


def test_a_lift_nobody_knows_of_leaves_the_sheet_out() -> None:
    no_deadlift = spec_from(MEET_DAY)
    assert not {MEET, MEET_TABLES} & set(load_workbook(io.BytesIO(block_bytes(no_deadlift))).sheetnames)


def test_before_anything_is_logged_the_plans_are_those_of_the_specification() -> None:
    made = workbook()
    calculation = Calculation(made.book, made.typed)
    for lift, (mean, sd) in believed(meet_spec()).items():
        for column, plan in enumerate(PLANS, start=1):
            cells = [planned_cell(lift, number)._replace(column=column) for number in (1, 2, 3)]
            assert tuple(calculation.value(cell) for cell in cells) == attempt_plan(mean, sd, plan)


def test_in_pounds_nothing_moves_either_before_anything_is_logged() -> None:
    made = assemble(meeting(date(2027, 1, 31), "lb"))
    assert {shift for _, shift in now(made, {}).values()} == {0}


def test_the_attempts_follow_the_log_and_a_lift_that_is_not_trained_keeps_its_own() -> None:
    made = workbook()
    before, easy, hard = openers(made, {}), openers(made, harder(-1)), openers(made, harder(2, 0.9))
    for lift in ("squat", "bench"):
        assert hard[lift] < before[lift] < easy[lift]  # type: ignore[operator]
    assert before["deadlift"] == easy["deadlift"] == hard["deadlift"]


@pytest.mark.parametrize(("by", "share"), [(-1, 1), (0, 1), (1, 1), (2, 0.95)])
def test_the_moved_opener_is_within_a_step_of_the_one_decided_anew(by: float, share: float) -> None:
    made, log = workbook(), harder(by, share)
    for lift, (maximum, shift) in now(made, log).items():
        mean, sd = believed(meet_spec())[lift]
        assert shift == pytest.approx(2.5 * ((maximum - mean + 0.02) // 2.5))
        assert abs(openers(made, log)[lift] - attempt_table(mean + shift, sd).opener) <= 2.5  # type: ignore[operator]


def test_what_is_believed_is_what_the_meet_command_believes_but_for_a_week_of_gain(tmp_path: Path) -> None:
    returned = tmp_path / "returned.xlsx"
    returned.write_bytes(block_bytes(meet_spec(), logged()))
    anew = believed(for_the_meet(read_workbook(returned)))
    for lift, (maximum, _) in now(workbook(), dict(logged())).items():
        assert maximum == pytest.approx(anew[lift].mean, rel=0.015)
        assert maximum <= anew[lift].mean * 1.001


def said_of_the_squat(inputs: Mapping[str, Any]) -> tuple[str, Scalar]:
    made = workbook()
    calculation = Calculation(made.book, {**made.typed, **logged(), **inputs})
    return str(calculation.value(Cell(MEET, 21, 0))), calculation.value(Cell(MEET, 7, 5))


@pytest.mark.parametrize(
    ("noted", "said"),
    [
        ({"w2.lower.pain": "A"}, "in the squat"),
        ({"w2.lower.where": "hip, sharp"}, "in the squat"),
        ({"w1.lower.pain": "A"}, "in the squat"),  # nothing was said of it since
        ({"w2.lower.pain": "B"}, "in an exercise like the squat"),
        ({"w1.lower.pain": "A", "w2.lower.pain": "none"}, ""),
        ({"w2.upper.pain": "A"}, ""),
        ({}, ""),
    ],
)
def test_pain_that_was_the_last_thing_heard_of_a_lift_is_said_before_it(noted: dict[str, str], said: str) -> None:
    quiet = {f"w{week}.{session}.{name}": None for week in (1, 2) for session in ("lower", "upper")
             for name in ("pain", "where")}  # fmt: skip
    ahead, beside = said_of_the_squat({**quiet, **noted})
    assert ahead.startswith("Next: squat, first: ")
    asked = f" Pain was noted {said}: ask your coach before you lift it."
    assert ahead.endswith(asked) if said else "Pain" not in ahead
    assert beside == ("pain?" if said else "so far")


@pytest.mark.parametrize(("answer", "alone"), [(None, True), ("none", False)])
def test_what_needs_a_physician_stands_in_place_of_an_attempt(answer: str | None, alone: bool) -> None:
    quiet = {f"w{week}.{session}.pain": None for week in (1, 2) for session in ("lower", "upper")}
    ahead, beside = said_of_the_squat({**quiet, "w1.upper.bench-press.1/note": "dizzy", "w2.upper.pain": answer})
    assert ahead == ALARMED.strip() if alone else ahead.startswith("Next: squat, first: ")
    assert beside == ("pain?" if alone else "so far")


def test_what_trains_the_same_as_a_lift_that_is_not_trained_is_said_of_it_too() -> None:
    made = workbook()
    done = {f"meet.{lift}.{n}.mark": "good" for lift in ("squat", "bench") for n in (1, 2, 3)}
    calculation = Calculation(made.book, {**made.typed, "w2.lower.pain": "A", **done})
    said = calculation.value(Cell(MEET, 21, 0))
    assert str(said).startswith("Next: deadlift, first: ")
    assert str(said).endswith(" Pain was noted in an exercise like the deadlift: ask your coach before you lift it.")


def _cells_in(reference: Reference) -> list[Cell]:
    parts = (reference,) if isinstance(reference, Cell) else reference if isinstance(reference, tuple) else ()
    return [part for part in parts if isinstance(part, Cell)]


def test_two_cells_a_lift_hang_on_the_workings() -> None:
    """What is believed of it, and whether it hurts."""
    of_meet = [(cell, formula) for cell, formula in workbook().book.formulas() if cell.sheet in (MEET, MEET_TABLES)]
    hanging = [
        cell
        for cell, formula in of_meet
        if any(cell.sheet == WORKINGS for each in formula.references for cell in _cells_in(each))
    ]
    assert len(hanging) == 5  # squat and bench are trained here; what hurts counts for the deadlift too


@pytest.mark.parametrize(
    ("believed_now", "moved"),
    [("", 0), (100.0, 0), (99.99, 0), (102.4, 0), (102.5, 2.5), (99.9, -2.5), (60.0, -40), (200.0, 15), (1.0, -85)],
)
def test_the_shift_is_whole_steps_at_or_below_what_is_believed(believed_now: float | str, moved: float) -> None:
    assert attempt_shift.value(believed_now, 100.0, 2.5, -85.0, 15.0) == moved


def test_the_sheet_that_stands_alone_moves_nothing(tmp_path: Path) -> None:
    out = blockbook.meet(meet_spec(), tmp_path / "meet.xlsx")
    book = load_workbook(out, data_only=True)
    assert book[MEET_TABLES].sheet_state == "hidden"
    assert [book[MEET][f"C{row}"].value for row in (5, 10, 15)] == [*openers(workbook(), {}).values()]
