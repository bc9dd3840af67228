"""The Meet sheet: the same numbers as Python, live, on one page."""

from __future__ import annotations

import io
from datetime import time
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook

import blockbook
from blockbook import BlockbookError
from blockbook.cli import main
from blockbook.sheet.book import Book, Cell, Input
from blockbook.sheet.calculation import Calculation
from blockbook.spec.models import Unit
from blockbook.training.attempt_tables import attempt_plan, next_attempt
from blockbook.training.attempts import PLANS
from blockbook.training.meet_numbers import believed
from blockbook.training.meet_warm_up import MINUTES, start_of_lift, time_of_day
from blockbook.training.warm_up import REPS
from blockbook.workbook.meet import CAUTIONS, add_meet, part_of_day
from blockbook.workbook.meet_cells import MEET
from blockbook.workbook.write import block_bytes
from tests.samples import template_spec, typed
from tests.workbook.meet_day import MORNING, meet_book, meet_bytes, spec


def shown(address: str, **inputs: Any) -> Any:
    """What a cell of the Meet sheet shows once these are typed; "squat_2_mark" for "meet.squat.2.mark"."""
    book, known = meet_book()
    names = {name.removeprefix("meet.").replace(".", "_"): name for name in book.inputs}
    given = {names[name]: value for name, value in inputs.items()}
    calculation = Calculation(book, {**known, **given})
    (cell,) = [found for found in _cells(book) if found.address == address]
    return calculation.value(cell)


def _cells(book: Book) -> list[Cell]:
    return [Cell(MEET, row, column) for row, column in book.sheets[MEET].contents]


def test_the_three_plans_are_those_of_python() -> None:
    for position, lift in enumerate(("squat", "bench", "deadlift")):
        mean, sd = believed(spec())[lift]
        for column, plan in zip("BCD", PLANS, strict=True):
            on_sheet = tuple(shown(f"{column}{5 * position + row}") for row in (5, 6, 7))
            assert on_sheet == attempt_plan(mean, sd, plan)


@pytest.mark.parametrize("marks", [("good ", "miss"), ("miss", "good"), ("m", "m"), ("G", "good")])
@pytest.mark.parametrize("weights", [(125.0, 140.0), (126.5, 150.0)])
def test_the_next_attempts_follow_what_was_lifted(marks: tuple[str, str], weights: tuple[float, float]) -> None:
    mean, sd = believed(spec())["squat"]
    results = [(weight, mark.strip() in ("good", "G")) for weight, mark in zip(weights, marks, strict=True)]
    first = {"squat_1_weight": weights[0], "squat_1_mark": marks[0]}
    both = {**first, "squat_2_weight": weights[1], "squat_2_mark": marks[1]}
    for column, plan in zip("BCD", PLANS, strict=True):
        assert shown(f"{column}6", **first) == next_attempt(mean, sd, results[:1], plan=plan)
        assert shown(f"{column}7", **both) == next_attempt(mean, sd, results, plan=plan)


def test_totals_next_attempt_and_goals_change_with_what_is_typed() -> None:
    assert shown("A22") == "Next: squat, first: 125 kg (275.6 lb)."
    squats = {"squat_1_mark": "good", "squat_2_mark": "miss", "squat_3_mark": "miss"}
    assert shown("A22", **squats).startswith("Next: bench, first: ")
    assert shown("E21", **squats) == 125
    assert shown("C24", **squats, goal_wanted=400) == 400 - 125 - shown("C13")
    assert shown("D24", **squats, goal_wanted=400) < shown("D24", goal_wanted=400)


def test_what_cannot_be_read_is_asked_back_where_it_stands() -> None:
    assert shown("A22", squat_1_mark="perhaps") == "Squat, first: mark it good or miss."
    assert shown("F8", squat_1_weight="125 kg", squat_1_mark="good") == "number?"
    assert shown("F8", squat_1_weight=125.0) == "so far"
    assert shown("L8", start_squat="9h30") == "no time: 9:30, say"
    assert shown("F8", squat_1_weight=275.6) == "in kg?"
    assert shown("C6", squat_1_weight=275.6, squat_1_mark="good") == shown("C6", squat_1_mark="good")


@pytest.mark.parametrize("mark", [None, "good", "miss"])
@pytest.mark.parametrize("weight", [1250, "92,5", "125 kg"])
def test_a_weight_that_is_not_counted_is_asked_about_before_the_next_attempt(weight: Any, mark: str | None) -> None:
    asked = shown("A22", squat_1_weight=weight, squat_1_mark=mark)
    assert asked == "Squat, first: check the weight typed. 125 kg is counted."
    assert shown("A22", squat_1_weight=130, squat_1_mark="good").startswith("Next: squat, second")


def test_a_weight_between_steps_is_said_until_the_attempt_was_made() -> None:
    odd = {"squat_1_weight": 112}
    assert shown("A22", **odd) == ("Next: squat, first: 112 kg (246.9 lb). Weights go up in steps of 2.5 kg: check it.")
    assert shown("F8", **odd) == "step?"
    assert "steps" not in shown("A22", **odd, squat_1_mark="good")
    for even in (112.5, 107.5):
        assert shown("F8", squat_1_weight=even) == "so far"


def test_an_attempt_filled_in_out_of_turn_is_asked_about() -> None:
    asked = "Squat, first: mark it good or miss."
    assert shown("A22", squat_2_weight=140, squat_2_mark="miss") == asked
    assert shown("A22", squat_1_weight=125, squat_2_weight=140, squat_2_mark="no") == asked
    assert shown("A22", squat_1_weight=125, squat_2_weight=140).startswith("Next: squat, first: ")


@pytest.mark.parametrize("weight", [95, 160])
def test_a_weight_far_from_the_plan_counts_and_is_asked_about(weight: float) -> None:
    typed = {"squat_1_weight": weight, "squat_1_mark": "good"}
    assert shown("A22", **typed).endswith(" A weight typed is far from the plan: check it.")
    assert shown("F8", **typed) == "far off?"
    assert shown("E21", **typed) == weight


@pytest.mark.parametrize("typed", [{"squat_2_mark": "pass"}, {"squat_2_weight": "pass"}, {"squat_2_mark": "skipped"}])
def test_an_attempt_may_be_left_out(typed: dict[str, str]) -> None:
    """It is no good lift, so the weight stays; it is asked about nowhere."""
    done = {"squat_1_mark": "good", **typed}
    assert shown("A22", **done).startswith("Next: squat, third: ")
    assert shown("F8", **done) == "so far"
    assert shown("C7", **done) == shown("C7", squat_1_mark="good", squat_2_mark="miss")


@pytest.mark.parametrize(("hurting", "said"), [
    ("back squat", "in the squat"), ("leg press", "in an exercise like the squat"),
])  # fmt: skip
def test_what_hurt_before_is_said_of_its_lift(hurting: str, said: str) -> None:
    known = spec()
    session = known.sessions[0]
    slot = session.slots[0].model_copy(update={"exercise": hurting, "hurts": True})
    sore = known.model_copy(update={"sessions": (session.model_copy(update={"slots": (slot,)}),)})
    book = Book()
    calculation = Calculation(book, add_meet(book, sore, MORNING, 4))
    by_address = {cell.address: cell for cell in _cells(book)}
    asked = f" Pain was noted {said}: ask your coach before you lift it."
    assert str(calculation.value(by_address["A22"])).endswith(asked)
    assert [calculation.value(by_address[each]) for each in ("F8", "F13")] == ["pain?", "so far"]


@pytest.mark.parametrize("mark", [None, "good", "miss"])
def test_a_bar_that_goes_down_is_said_beside_the_lift_until_it_is_put_right(mark: str | None) -> None:
    """Above the lifts it is said until the attempt was made: then the next one counts."""
    first = {"squat_1_weight": 130, "squat_1_mark": "miss", "squat_2_weight": 125, "squat_2_mark": mark}
    told = "Squat, second: the bar never goes down. Check it."
    assert shown("A22", **first) == told if mark is None else shown("A22", **first).startswith("Next: squat, third")
    assert shown("F8", **first) == "lighter?"
    third = {"deadlift_2_weight": 180, "deadlift_2_mark": "good", "deadlift_3_weight": 177.5, "deadlift_3_mark": mark}
    assert shown("F18", **third) == "lighter?"
    assert shown("F8", **(first | {"squat_2_weight": 130})) == "so far"


@pytest.mark.parametrize(("typed", "said"), [
    (830, "in kg? 82.5 expected"), (8.3, "in kg? 82.5 expected"), (182, "in kg? 82.5 expected"), ("83 kg", "number?"),
    (74.2, ""), (None, ""),
])  # fmt: skip
def test_a_body_weight_that_cannot_be_meant_is_asked_back_and_brings_no_points(typed: Any, said: str) -> None:
    done = {"body_weight": typed, "sex": "male", "squat_1_mark": "good"}
    assert shown("D29", **done) == said
    points = shown("B31", **done), shown("C31", **done)
    assert all(isinstance(each, float) for each in points) if typed == 74.2 else points == ("", "")


def test_a_body_weight_in_kg_where_the_block_is_in_lb_is_as_asked() -> None:
    book, known = meet_book("lb")
    (cell,) = [found for found in _cells(book) if found.address == "D29"]
    for weight, said in ((82.5, ""), (182, "in kg? 82.6 expected")):
        assert Calculation(book, {**known, "meet.body_weight": weight}).value(cell) == said


@pytest.mark.parametrize(("limit", "said"), [(83, "0.5 kg to spare"), (82, "0.5 kg over"), (183, "class in kg?"),
                                             ("84+", ""), (None, "")])  # fmt: skip
def test_a_class_is_compared_with_the_body_weight(limit: Any, said: str) -> None:
    assert shown("D29", body_weight=82.5, **{"class": limit}) == said


def _way_up(unit: Unit = "kg", **inputs: Any) -> list[tuple[Any, ...]]:
    """Time, minutes before, load, reps and plates of the warm-up for the bench, and of its opener."""
    book, known = meet_book(unit)
    calculation = Calculation(book, {**known, **{f"meet.{name}": value for name, value in inputs.items()}})
    return [tuple(calculation.value(Cell(MEET, row, column)) for column in range(7, 12)) for row in range(20, 27)]


def test_the_warm_up_room_has_kg_plates_unless_it_is_said_that_they_are_in_lb() -> None:
    in_kg, in_lb = _way_up("lb"), _way_up("lb", plates="lb")
    loads = [[row[2] for row in rows] for rows in (in_kg, in_lb)]
    assert loads == [["", 20, 45, 60, 72.5, 82.5, 92.5], ["", 45, 100, 135, 160, 180, 203.9]]
    assert [rows[4][4] for rows in (in_kg, in_lb)] == ["25 + 1.25", "45 + 10 + 2.5"]
    assert in_kg[-1][4] == in_lb[-1][4] == "the opener, 92.5 kg"
    assert [shown("L11", plates=typed) for typed in ("kg", None, "lb", "LBS ")] == [
        "empty bar 20 kg", "empty bar 20 kg", "empty bar 45 lb", "empty bar 45 lb"
    ]  # fmt: skip
    assert [shown("J12", plates=typed) for typed in ("kg", None, "lb")] == ["kg", "kg", "lb"]


def test_a_lifter_in_kg_warms_up_with_the_plates_of_the_block() -> None:
    made = spec()
    equipment = made.equipment.model_copy(update={"bar": 15.0, "plates": {10.0: 5, 5.0: 1}})
    book = Book()
    known = add_meet(book, made.model_copy(update={"equipment": equipment}), MORNING, 4)
    calculation = Calculation(book, known)
    assert calculation.value(Cell(MEET, 10, 11)) == "empty bar 15 kg"
    loads = [calculation.value(Cell(MEET, row, 9)) for row in range(20, 26)]
    assert loads == [15, 35, 45, 55, 65, 75]


@pytest.mark.parametrize(("opener", "loads"), [
    (22.5, [20]), (30, [20, 25]), (40, [20, 27.5, 35]), (60, [20, 35, 45, 52.5]), (90, [20, 45, 60, 70, 80]),
    (130, [20, 50, 70, 90, 102.5, 115]),
])  # fmt: skip
def test_a_light_opener_takes_fewer_steps_which_are_the_last_ones(opener: float, loads: list[float]) -> None:
    rows = _way_up("kg", **{"bench.1.weight": opener})
    blank, steps = rows[: 6 - len(loads)], rows[6 - len(loads) : 6]
    assert [row[2] for row in steps] == loads
    assert [row[3] for row in steps] == list(REPS[: len(loads)])
    assert [row[1] for row in steps] == [f"{minutes} min" for minutes in MINUTES[6 - len(loads) :]]
    assert all(row == (*("",) * 4, "no step needed here") for row in blank)
    assert rows[-1][2:4] == (opener, 1)


def test_three_misses_are_no_total() -> None:
    missed = {f"bench_{n}_mark": "miss" for n in (1, 2, 3)}
    squats = {f"squat_{n}_mark": "good" for n in (1, 2, 3)}
    assert shown("A22", **squats, **missed) == "Three misses in the bench: no total."
    assert shown("C21", **squats, **missed) == 0


def test_where_only_the_bench_is_lifted_it_is_the_total() -> None:
    book, known = meet_book()
    done: dict[str, Any] = {
        "meet.event": "bench",
        "meet.sex": "male",
        "meet.bench.1.mark": "good",
        "meet.bench.1.weight": 100.0,
    }
    calculation = Calculation(book, {**known, **done, "meet.body_weight": 82.5})
    by_address = {cell.address: cell for cell in _cells(book)}
    assert calculation.value(by_address["E21"]) == 100
    assert calculation.value(by_address["A22"]).startswith("Next: bench, second")  # type: ignore[union-attr]
    assert calculation.value(by_address["B31"]) == blockbook.points("ipf_gl", "male", 82.5, 100, bench_only=True)
    assert calculation.value(by_address["C31"]) == blockbook.points("dots", "male", 82.5, 100)


def test_one_page_and_only_what_is_typed_is_unlocked() -> None:
    sheet = load_workbook(io.BytesIO(meet_bytes()))[MEET]
    fitted = sheet.sheet_properties.pageSetUpPr
    assert fitted is not None
    assert fitted.fitToPage
    assert {sheet.page_setup.fitToHeight, sheet.page_setup.fitToWidth} <= {None, 1}  # left out means 1
    book, _ = meet_book()
    unlocked = {cell.coordinate for row in sheet.iter_rows() for cell in row if not cell.protection.locked}
    inputs = {cell.address for cell in _cells(book)
              if isinstance(book.sheets[MEET].contents[cell.row, cell.column], Input)}  # fmt: skip
    assert unlocked == inputs


def test_the_cautions_and_the_rule_book_are_there() -> None:
    sheet = load_workbook(io.BytesIO(meet_bytes()))[MEET]
    texts = " ".join(str(cell.value) for row in sheet.iter_rows() for cell in row if cell.value)
    assert all(caution in texts for caution in CAUTIONS)
    words = ("Spotters", "safeties", "pain", "Under 18: never", "physician", "current rule book", "Disc colours")
    assert all(word in texts for word in words)


def test_a_lift_nobody_knows_of_is_said() -> None:
    known = template_spec("peak")
    unknown = known.model_copy(update={"lifter": known.lifter.model_copy(update={"bests": {"deadlift": 1}})})
    with pytest.raises(BlockbookError, match="nothing is known of the back squat"):
        add_meet(Book(), unknown)


def test_a_returned_workbook_brings_what_its_log_says(tmp_path: Path) -> None:
    returned = tmp_path / "returned.xlsx"
    returned.write_bytes(block_bytes(template_spec("peak"), typed("peak", "kg", "filled")))
    out = blockbook.meet(returned, tmp_path / "meet.xlsx", start="09:30", place=3)
    learned = blockbook.next_block(returned, tmp_path / "next.yaml").spec
    opener = load_workbook(out, data_only=True)[MEET]["C5"].value
    assert opener == blockbook.attempts(*believed(learned)["squat"])[0]


def test_a_place_far_back_is_of_a_flight_that_has_it() -> None:
    for place, lifters in ((None, 10), (4, 10), (25, 25)):
        assert add_meet(Book(), spec(), place=place)["meet.lifters"] == lifters


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ({"start": "half nine"}, "such as 09:30"),
        ({"start": "24:30"}, "such as 09:30"),
        ({"start": "9.60"}, "such as 09:30"),
        ({"place": 0}, "place 0 should be 1 to 100"),
        ({"increment": 0}, "increment 0"),
    ],
)
def test_what_is_wrong_is_said(tmp_path: Path, arguments: dict[str, Any], said: str) -> None:
    with pytest.raises(BlockbookError, match=said):
        blockbook.meet(template_spec("peak"), tmp_path / "meet.xlsx", **arguments)


@pytest.mark.parametrize(
    ("typed", "start"),
    [
        (9, 9), (9.3, 9.5), (9.05, 9 + 5 / 60), (930, 9.5), (950, 9 + 50 / 60), (0.4, 9.6),
        (46000.4, 9.6), (2359, 23 + 59 / 60), (9.5, None), (23.5, None), (9.75, None), (1299, None), (2530, None),
        (99, None), (-1, None), ("9h30", None),
    ],
)  # fmt: skip
def test_a_time_is_one_of_the_day_or_none(typed: Any, start: float | None) -> None:
    value = time_of_day.value(typed)
    assert value == "" if start is None else value == pytest.approx(start / 24)


def test_half_past_nine_and_ten_to_ten_are_asked_about() -> None:
    assert start_of_lift.value(9.5, "", 10, 1) == "9:30 or 9:50?"
    assert start_of_lift.value(9.3, "", 10, 1) == pytest.approx(9.5 / 24)


def test_a_start_is_shown_as_it_is_typed() -> None:
    """Shown as a time, 9.5 would be noon; one that the coach gave is a time."""
    for start, style in ((None, "typed number"), (MORNING, "typed clock")):
        book = Book()
        add_meet(book, spec(), start)
        cell = book.inputs["meet.start.squat"]
        assert book.sheets[MEET].styles[cell.row, cell.column] == style


@pytest.mark.parametrize("clock", ["09:30", "9:30", "9.30", "930", "0930 "])
def test_a_time_is_read_as_people_write_it(clock: str) -> None:
    assert part_of_day(clock) == pytest.approx(9.5 / 24)


def test_the_command(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    blockbook.new("peak", "block.yaml")
    command = ["meet", "block.yaml", "--out", "meet.xlsx", "--start", "09:30", "--place", "4"]
    first, again = (CliRunner().invoke(main, command) for _ in range(2))
    assert (first.exit_code, first.output) == (0, "meet.xlsx\n")
    assert again.exit_code == 2
    assert "is there already" in again.output
    assert load_workbook("meet.xlsx", data_only=True)[MEET]["L8"].value == time(9, 30)
