"""What the plan workbook works out as the coach types: checks, hard sets a muscle, minutes a session."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest

from blockbook.assessment.next_block import next_block
from blockbook.assessment.weekly_sets import hard_sets_done
from blockbook.errors import BlockbookError
from blockbook.formula.expression import Constant
from blockbook.plan.columns import DECIDED, PLAN, PLAN_COLUMNS, ROW_SESSION, TOTALS
from blockbook.plan.last_block import last_block
from blockbook.plan.plan_workbook import plan_book
from blockbook.plan.reading import plan_in
from blockbook.sheet.book import Book, Cell
from blockbook.sheet.calculation import Calculation
from blockbook.spec.models import KIND_WORDS, Specification
from blockbook.spec.policy import Policy
from blockbook.training import plan_checks
from blockbook.training.doubts import doubts
from blockbook.training.prescription import planned_sets
from tests.intake.small_block import clean_inputs, log_of, spec_from, worn_out
from tests.plan.small_plan import (
    BENCH,
    FACE_PULL,
    PULL_UP,
    SLED,
    SQUAT,
    Typed,
    place_of,
    small_plan,
    small_sheets,
    typed_in,
    typed_into,
)
from tests.samples import TEMPLATES, template_spec


def shown(book: Book, cell: Cell) -> Any:
    return Calculation(book, {}).value(cell)


def check(cells: Typed, row: int) -> Any:
    return shown(typed_into(cells), place_of("live.check", row))


def totals(book: Book) -> dict[str, list[Any]]:
    """Muscle -> what its row of the sheet Week totals shows."""
    calculation, sheet = Calculation(book, {}), book.sheets[TOTALS]
    return {
        str(name): [calculation.value(Cell(TOTALS, row, other)) for r, other in sheet.contents if r == row and other]
        for (row, column), name in sheet.contents.items() if column == 0 and row > 3
    }  # fmt: skip


def test_a_length_that_is_no_number_is_no_fault_of_the_rows() -> None:
    """The reader of the plan says of the cell itself what to write."""
    book = typed_into({"block.weeks": "4 weeks"})
    assert [shown(book, place_of("live.check", row)) for row in (SQUAT, BENCH, SLED)] == ["ok"] * 3


def test_what_stands_above_the_plan_goes_by_what_the_coach_has_written() -> None:
    invented = "All is invented."
    name, best = place_of("lifter.name"), place_of("best.load", 0)
    for cell, typed, said in ((name, small_plan().lifter.name, invented), (name, "Kim", ""), (best, 133, "")):
        book = plan_book(small_plan(), [invented])
        book.sheets[cell.sheet].contents[cell.row, cell.column] = typed
        places = sorted(place for place in book.sheets[PLAN].contents if place[1] == 0)
        head = [shown(book, Cell(PLAN, *place)) for place in places]
        assert ([text for text in head if text == invented] == [invented]) == bool(said)
        assert str(head[0]).endswith("Kim") == (typed == "Kim")


def test_weeks_after_the_block_are_no_fault_of_the_rows() -> None:
    book = typed_into({"block.weeks": 3})
    assert [shown(book, place_of("live.check", row)) for row in (SQUAT, BENCH, SLED)] == ["ok"] * 3


@pytest.mark.parametrize(
    ("key", "row", "typed", "said"),
    [
        ("slot.cue", SQUAT, "Brace", "ok"),
        ("slot.exercise", SLED, "sledge push", "! Not listed: see Exercises"),
        ("slot.exercise", SLED, "Back Squat", "ok"),
        ("slot.exercise", SLED, "Back Squat ", "ok"),
        ("slot.exercise", SLED, "back squat\u00a0", "ok"),
        ("slot.exercise", SLED, "back\u202f\u00a0squat", "ok"),
        ("slot.rpe.1", SLED, "7,5\u00a0", "ok"),
        ("slot.kind", SLED, "rep\u00a0range", "ok"),
        ("slot.stand_ins", SQUAT, "leg\u00a0press", "ok"),
        ("slot.exercise", SLED, None, "! Which exercise?"),
        ("slot.sets.1", SLED, None, "! Sets missing (1 is taken)"),
        ("slot.reps.1", SLED, None, "! Reps missing"),
        ("slot.rpe.1", SLED, None, "! Effort missing"),
        ("slot.rpe.4", SQUAT, None, "! Fill week 1, or every week"),
        ("slot.sets.2", SLED, 3, "! Fill week 1, or every week"),
        ("slot.percent.1", SQUAT, 70, "! Back-off, percent, or load?"),
        ("slot.back_off.drop", SQUAT, None, "! Back-off: sets, reps, off?"),
        ("slot.back_off.reps.1", SQUAT, None, "! Back-off: sets, reps, off?"),
        ("slot.kind", SLED, "top set", "! Back-off: sets, reps, off?"),
        ("slot.kind", SLED, "percent", "! Percent missing"),
        ("slot.kind", SLED, "fixed load", "! Fixed load missing"),
        ("slot.kind", SLED, "max reps", "! Max reps: how many left?"),
        ("slot.rpe.1", SLED, 12, "! Effort: 5 to 10 in halves"),
        ("slot.rpe.3", SQUAT, 4, "! Effort: 5 to 10 in halves"),
        ("slot.rpe.1", SLED, 8.25, "! Effort: 5 to 10 in halves"),
        ("slot.rpe.1", SLED, 8.5, "ok"),
        ("slot.rpe.2", SLED, "hard", "! Effort: 5 to 10 in halves"),
        ("slot.back_off.rpe.1", SQUAT, 7.7, "! Effort: 5 to 10 in halves"),
        ("slot.sets.1", SLED, 25, "! Sets: whole number, 0 to 20"),
        ("slot.sets.1", SLED, "three", "! Sets: whole number, 0 to 20"),
        ("slot.sets.1", BENCH, "four", "! Sets: whole number, 0 to 20"),
        ("slot.back_off.sets.1", SQUAT, 2.5, "! Sets: whole number, 0 to 20"),
        ("slot.reps.1", SQUAT, 60, "! Reps: 1 to 50, or 8-12"),
        ("slot.reps.1", SLED, 5.5, "! Reps: 1 to 50, or 8-12"),
        ("slot.reps.1", SLED, "8-60", "! Reps: 1 to 50, or 8-12"),
        ("slot.reps.1", SLED, "12-8", "! Reps: 1 to 50, or 8-12"),
        ("slot.reps.1", SLED, "8-", "! Reps: 1 to 50, or 8-12"),
        ("slot.reps.1", SLED, "8-10-12", "! Reps: 1 to 50, or 8-12"),
        ("slot.reps.1", SLED, "twelve", "! Reps: 1 to 50, or 8-12"),
        ("slot.reps.1", SLED, "8 – 12 ", "ok"),
        ("slot.reps.1", SLED, "8 to 12", "ok"),
        ("slot.reps.1", FACE_PULL, "8 to 12", "! Kind says otherwise"),
        ("slot.reps.1", SLED, "12", "! Kind says otherwise"),
        ("slot.reps.1", FACE_PULL, "12", "ok"),
        ("slot.back_off.reps.1", SQUAT, "six", "! Reps: 1 to 50, or 8-12"),
        ("slot.reps.1", SLED, 46364, "! Reps: a date. A range?"),  # as a program holds 8 December
        ("slot.percent.1", BENCH, 0.75, "! Percent: 20 to 110"),
        ("slot.loads.2", SLED, -5, "! Load: 0 to 2000"),
        ("slot.loads.2", SLED, "100 kg", "! Load: 0 to 2000"),
        ("slot.back_off.drop", SQUAT, 60, "! Percent off: 1 to 50"),
        ("slot.reserve", PULL_UP, 6, "! Leave: 0 to 5"),
        ("slot.stand_ins", SQUAT, "leg press", "ok"),
        ("slot.stand_ins", SQUAT, "Leg press; goblet squat,sled push ", "ok"),
        ("slot.stand_ins", SQUAT, "leg press\nhack squat", "ok"),
        ("slot.stand_ins", SQUAT, "leg press; hack squad", "! Stand-in: see Exercises"),
        ("slot.stand_ins", SQUAT, '["leg press", "hack squat"]', "ok"),
        ("slot.kind", SLED, "rep range", "ok"),
        ("slot.kind", FACE_PULL, "rep range", "! Kind says otherwise"),
        ("slot.kind", SQUAT, "straight sets", "! Kind says otherwise"),
        ("slot.kind", SQUAT, "top set ", "ok"),
        ("slot.kind", SLED, "straight sets", "! Kind says otherwise"),
        ("slot.kind", FACE_PULL, "pyramid", "! Kind: one of the list"),
        ("slot.exercise", SLED + 1, " ", ""),
        ("slot.exercise", SLED + 1, None, ""),
    ],
)
def test_a_row_says_what_it_lacks(key: str, row: int, typed: Any, said: str) -> None:
    assert check({(key, row): typed}, row) == said


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        ({}, "ok"),
        ({"own.implement": None}, "! What is loaded?"),
        ({"own.implement": "sled"}, "! Loaded: one of the list"),
        ({"own.direct.1": None, "own.direct.2": None}, "! Which muscles?"),
        ({"own.direct.2": "legs"}, "! Muscle: one of the list"),
        ({"own.indirect.1": "Calves "}, "ok"),
        ({"own.direct.2": "upper\u00a0back\u00a0"}, "ok"),
        ({"own.indirect.4": "shins"}, "! Muscle: one of the list"),
        ({"own.related": "sledge"}, "! Related lift: see Lists"),
        ({"own.related": "leg press"}, "ok"),
        ({"own.name": None}, "! Name missing"),
    ],
)
def test_an_exercise_of_the_coachs_own_says_what_it_lacks(cells: Typed, said: str) -> None:
    book = typed_into({(key, 0): value for key, value in cells.items()})
    made = small_sheets().own
    assert shown(book, made.cell("live.own", made.first)) == said
    assert shown(book, made.cell("live.own", made.first + 1)) == ""


def test_a_back_off_row_without_effort_is_asked_for_it() -> None:
    cells = {(f"slot.rpe.{week}", SQUAT): None for week in range(1, 5)}
    assert check(cells, SQUAT) == "! Effort of the top set?"


@pytest.mark.parametrize("name", TEMPLATES)
def test_every_row_of_a_template_is_fine(name: str) -> None:
    book = plan_book(template_spec(name))
    calculation, contents = Calculation(book, {}), book.sheets[PLAN].contents
    ((top, column),) = (place for place, text in contents.items() if text == "Check")
    said = {calculation.value(Cell(PLAN, row, at)) for row, at in contents if at == column and row > top + 1}
    assert said == {"ok", ""}


def hard_sets(spec: Specification) -> dict[str, list[float]]:
    """Hard sets of each muscle in each week, counted set by set from the block as it is laid out."""
    found: defaultdict[str, list[float]] = defaultdict(lambda: [0.0] * spec.block.weeks)
    for _, line, planned in planned_sets(spec):
        hard = planned.rpe is None or planned.rpe >= spec.policy.hard_set_rpe
        if planned.number and hard:
            for muscle in line.exercise.direct:
                found[muscle][line.week - 1] += 1
            for muscle in line.exercise.indirect:
                found[muscle][line.week - 1] += 0.5
    return found


def stricter(spec: Specification) -> Specification:
    """The same block where only hard efforts count, and the deload week is lighter."""
    return spec.model_copy(update={"policy": Policy(hard_set_rpe=7, deload_rpe=5.5, deload_sets=0.5)})


@pytest.mark.parametrize(
    "spec",
    [*map(template_spec, TEMPLATES), small_plan(), stricter(small_plan()), stricter(template_spec("volume"))],
    ids=[*TEMPLATES, "small", "small, stricter", "volume, stricter"],
)
def test_hard_sets_a_week_are_those_of_the_block(spec: Specification) -> None:
    counted, there = hard_sets(spec), totals(plan_book(spec))
    for muscle, weekly in counted.items():
        assert there[muscle][: spec.block.weeks] == weekly
        assert not any(there[muscle][spec.block.weeks : -1])
        assert there[muscle][-1] == max(weekly)


def test_only_weeks_of_the_block_have_totals() -> None:
    """As its length is typed; columns of the others stay, for a block that grows."""

    def headings(weeks: Any) -> list[Any]:
        book = typed_into({"block.weeks": weeks})
        return [shown(book, Cell(TOTALS, 3, column)) for column in range(1, 7)]

    assert headings(4) == ["Week 1", "Week 2", "Week 3", "Week 4", "", ""]
    assert headings(6)[3:] == ["Week 4", "Week 5", "Week 6"]
    assert totals(typed_into({}))["chest"][4:] == ["", "", 5]
    assert totals(typed_into({}))["All sets"][4:] == ["", ""]
    assert totals(typed_into({"block.weeks": 5}))["lats"][3:] == [1, 2, "", 2]


@pytest.mark.parametrize(("emptied", "row", "said"), [("session.name", BENCH, BENCH), ("*", BENCH, PULL_UP)])
def test_a_row_that_may_be_of_another_session_says_so(emptied: str, row: int, said: int) -> None:
    columns = [key for key in small_sheets().plan.columns if not key.startswith(("live.", "row."))]
    spares = {("slot.exercise", each): "leg curl" for each in (SLED + 1, SLED + 2)}
    gone = {(key, row): None for key in columns if emptied in (key, "*")}
    assert check(gone, said) == "! Which session?"  # below empty rows
    assert check({**gone, **spares}, said) == "! Which session?"
    assert check({**gone, **spares, ("session.name", said): "Lower"}, said) == "ok"
    assert check(spares, said) == "ok"


@pytest.mark.parametrize("kind", list(KIND_WORDS.values()))
@pytest.mark.parametrize("row", [SQUAT, SLED, BENCH, PULL_UP, FACE_PULL])
@pytest.mark.parametrize(
    "reps", [[8], ["8-12"], ["8-8"], ["8", "8-12", "8-12", "8-12"], [8, 8, 8, "8–12"], ["8 to 12"], [8, 9, 10, "11"]]
)
def test_the_check_and_who_reads_agree_on_a_kind(kind: str, row: int, reps: list[Any]) -> None:
    typed: Typed = {("slot.kind", row): kind} | {(f"slot.reps.{week}", row): said for week, said in enumerate(reps, 1)}
    try:
        plan_in(typed_in(typed), "plan.xlsx")
    except BlockbookError:
        assert check(typed, row).startswith("! ")
    else:
        assert check(typed, row) == "ok"


def checks_said() -> set[str]:
    """Every text beginning with "!" that a check is made of."""
    found: set[str] = set()

    def look(part: Any) -> None:
        if isinstance(part, Constant) and str(part.value).startswith("! "):
            found.add(str(part.value))
        for deeper in getattr(part, "arguments", [getattr(part, side, None) for side in ("left", "right")]):
            if deeper is not None:
                look(deeper)

    for each in (plan_checks.row_lacks, plan_checks.odd_field, plan_checks.kind_lacks):
        look(each.expression)
    return found - {"! Below: "}


def test_every_check_can_be_read_beside_the_row() -> None:
    """Also above the row that it is of, where that was put in; what is longer is cut by the cell beside."""
    width = next(column.width for column in PLAN_COLUMNS if column.key == "live.check")
    longest = max(checks_said(), key=len)
    below = str(plan_checks.check_said.value("ok", longest))
    assert len(checks_said()) > 20
    assert below.endswith(longest.removeprefix("!").strip())
    assert len(below) <= width, below


@pytest.mark.parametrize(("row", "said"), [(SQUAT, "ok"), (PULL_UP, "ok"), (SLED, "! Sets missing (1 is taken)"),
                                           (BENCH, "! Sets missing (1 is taken)")])  # fmt: skip
def test_sets_are_missed_where_building_says_so_too(row: int, said: str) -> None:
    """A top set is one, and so is a set of max reps."""
    typed: Typed = {(f"slot.sets.{week}", row): None for week in range(1, 5)}
    assert check(typed, row) == said
    spec = plan_in(typed_in(typed), "plan.xlsx").spec
    assert any("says nothing of sets" in doubt.said for doubt in doubts(spec)) == (said != "ok")


NUMBERS_AS_TEXT = ["4", " 4 ", "4.0", "07", "7,5", "7.50", "70", "70,5", "1,000", "+1,000", "0,125", "-3", "+5", "5.",
                   ".", "5%", "8-12", "2:30", "4 kg", "five"]  # fmt: skip


@pytest.mark.parametrize("typed", NUMBERS_AS_TEXT)
@pytest.mark.parametrize(
    ("key", "row"),
    [("slot.sets.1", SLED), ("slot.rpe.1", SLED), ("slot.reps.1", FACE_PULL), ("slot.percent.1", BENCH),
     ("slot.loads.2", SLED), ("slot.back_off.drop", SQUAT), ("slot.back_off.sets.1", SQUAT),
     ("slot.reserve", PULL_UP)],
)  # fmt: skip
def test_a_number_that_stands_as_text_is_one_to_the_check_if_it_is_to_who_reads(key: str, row: int, typed: str) -> None:
    try:
        plan_in(typed_in({(key, row): typed}), "plan.xlsx")
    except BlockbookError:
        assert check({(key, row): typed}, row).startswith("! ")
    else:
        assert check({(key, row): typed}, row) == "ok"


def test_numbers_that_stand_as_text_are_counted() -> None:
    assert totals(typed_into({("slot.sets.2", BENCH): "6"}))["chest"][1] == 6
    assert totals(typed_into({"block.weeks": "5"}))["lats"][3:] == [1, 2, "", 2]
    assert totals(typed_into({"policy.hard_set_rpe": "9,0"}))["glutes"][:3] == [2, 2, 2]


def put_in(row: int, **cells: Any) -> dict[Any, Any]:
    """What stands in a row that a coach has put in: it was written for no session, and has no check beside it."""
    return {(ROW_SESSION, row): None} | {(f"slot.{key}", row): value for key, value in cells.items()}


FINE = {"exercise": "leg curl", "sets.1": 3, "reps.1": 10, "rpe.1": 8}


def test_what_a_row_lacks_that_was_put_in_stands_above_it() -> None:
    first, second = SLED + 1, SLED + 2
    assert check(put_in(first, **FINE), SLED) == "ok"
    assert check(put_in(first, **{**FINE, "rpe.1": None}), SLED) == "! Below: Effort missing"
    assert check(put_in(first, **FINE) | put_in(second, **{**FINE, "rpe.1": 11}), SLED) == (
        "! Below: Effort: 5 to 10 in halves"
    )
    own = {("slot.rpe.1", SLED): 4}
    assert check(put_in(first, exercise="leg curl") | own, SLED) == "! Effort: 5 to 10 in halves"
    assert totals(typed_into(put_in(first, **FINE)))["hamstrings"][0] == 3
    # One that was there from the beginning has a check of its own.
    assert check({("slot.exercise", first): "leg curl"}, SLED) == "ok"


def test_totals_follow_what_is_typed() -> None:
    assert totals(typed_into({}))["chest"][:4] == [4, 4, 5, 2]
    assert totals(typed_into({("slot.exercise", BENCH): "sled push"}))["calves"][:4] == [3.5, 3.5, 4, 2]
    assert totals(typed_into({("slot.rpe.1", FACE_PULL): 6}))["rear shoulders"][0] == 2
    assert totals(typed_into({"policy.hard_set_rpe": 9}))["glutes"][:3] == [2, 2, 2]  # back-off sets without effort
    assert totals(typed_into({"block.deload_week": None}))["lats"][3] == 2


def test_the_row_shows_its_muscle_and_the_whole_plans_sets_of_it() -> None:
    book = typed_into({})
    assert shown(book, place_of("live.muscle", SLED)) == "glutes"
    assert shown(book, place_of("live.sets", SLED)) == 6  # 1 top set, 2 back-off sets, 3 sets of sled push
    assert shown(book, place_of("live.muscle", SLED + 1)) == ""


def test_minutes_stand_in_the_first_row_of_a_session() -> None:
    book = typed_into({})
    # 10 to warm up; 3 sets with 3 minutes of rest and 3 with the usual 2, 0.75 a set: 29.5.
    assert shown(book, place_of("live.minutes", SQUAT)) == 30
    assert shown(book, place_of("live.minutes", SLED)) == ""
    # 10 and 5 x 2.75 in the fullest week, two of a pair 2 x 1.25 each: 28.75.
    assert shown(book, place_of("live.minutes", BENCH)) == 30
    longer = typed_into({("slot.rest", BENCH): "5 min"})
    assert shown(longer, place_of("live.minutes", BENCH)) == 45
    felt_out = typed_into({("slot.feeler", SQUAT): "Yes", ("slot.feeler", SLED): "no"})
    assert shown(felt_out, place_of("live.minutes", SQUAT)) == 35  # a set more with its 3 minutes: 33.25
    split = typed_into({("session.name", PULL_UP): "Arms"})
    assert shown(split, place_of("live.minutes", PULL_UP)) == 15


def test_the_last_block_stands_beside_the_next(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), clean_inputs())
    made = next_block(log)
    last = last_block(made)
    book = plan_book(made.spec, last=last)
    sheet = book.sheets[PLAN]
    (column,) = (at for (_, at), text in sheet.contents.items() if str(text).startswith("Last block:"))
    said = [text for (_, at), text in sorted(sheet.contents.items()) if at == column and text]
    assert said[1:3] == ["55 min, 6 of 6 sets, 102.5 kg, effort on target", "4 of 4 sets, 95 kg, effort on target"]
    assert last.minutes["lower"] == 55 == log.sessions[0].minutes
    assert totals(book)["chest"][-1] == last.muscles["chest"]
    decided = book.sheets[DECIDED].contents.values()
    assert any("back squat" in str(text) for text in decided)


@pytest.mark.parametrize("own_deload", ["", "no"])
def test_the_plan_says_of_each_exercise_what_the_specification_says(tmp_path: Path, own_deload: str) -> None:
    """Also where the coach answers to a deload; and counts sets as the review does."""
    log = log_of(tmp_path, spec_from(), {**worn_out(), "w1.lower.squat.1/rpe": 9})
    made = next_block(log, own_deload=own_deload)
    last, text = last_block(made), made.to_yaml()
    for decision in made.decisions:
        assert made.why(decision) in text
        assert any(made.why(decision) in said for _, said, _ in last.decided)
    assert last.muscles == {muscle: round(sets, 1) for muscle, sets in hard_sets_done(log).items()}
