"""A plan workbook that LibreOffice or Gnumeric has saved is the same plan, and shows the same checks."""

from __future__ import annotations

from pathlib import Path

import pytest

from blockbook.errors import BlockbookError
from blockbook.plan.columns import BLOCK, EXERCISES, NUMBERS, PLAN, TOTALS
from blockbook.plan.live import MOST_PUT_IN, NOT_CHECKED
from blockbook.plan.plan_workbook import plan_book, plan_bytes
from blockbook.plan.reading import read_plan
from blockbook.sheet.book import Cell
from blockbook.sheet.calculation import Calculation
from blockbook.spec.models import Specification
from blockbook.training.plan_cells import mark_of_decimals
from tests.oracles.programs import cell_values, gnumeric, libreoffice
from tests.oracles.test_parity import equal, stored
from tests.plan.small_plan import (
    BENCH,
    FACE_PULL,
    PULL_UP,
    SLED,
    SQUAT,
    Typed,
    odd_plan,
    place_of,
    small_plan,
    small_sheets,
    typed_into,
    written,
)
from tests.programs.jobs import LIBREOFFICE, Job, Step, carry_out
from tests.samples import template_spec

PLANS = {"strength": template_spec("strength", "lb"), "odd": odd_plan()}

pytestmark = pytest.mark.xdist_group("plan parity")


@pytest.fixture(scope="module")
def saved(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Path]]:
    folder = tmp_path_factory.mktemp("plans")
    ours = []
    for name, spec in PLANS.items():
        ours.append(folder / f"{name}.xlsx")
        ours[-1].write_bytes(plan_bytes(spec, ["All of this is invented."]))
    return {
        "ours": ours,
        "libreoffice": libreoffice(ours, folder / "libreoffice"),
        "libreoffice, as .ods": libreoffice(ours, folder / "ods", "ods"),
        "gnumeric": gnumeric(ours, folder / "gnumeric"),
    }


@pytest.mark.parametrize("program", ["ours", "libreoffice", "libreoffice, as .ods", "gnumeric"])
def test_the_plan_is_the_same(saved: dict[str, list[Path]], program: str) -> None:
    for spec, path in zip(PLANS.values(), saved[program], strict=True):
        assert read_plan(path) == spec


@pytest.mark.parametrize("program", ["ours", "libreoffice", "gnumeric"])
def test_every_formula_cell_is_the_same(saved: dict[str, list[Path]], program: str) -> None:
    different, compared = [], 0
    for spec, path in zip(PLANS.values(), saved[program], strict=True):
        book = plan_book(spec, ["All of this is invented."])
        calculation, grids = Calculation(book, {}), cell_values(path)
        for cell, _ in book.formulas():
            here, there = calculation.value(cell), stored(grids[cell.sheet], cell)
            compared += 1
            if not equal(here, there):
                different.append(f"{path.name} {cell.sheet}!{cell.address}: {here!r} here, {there!r} there")
    assert compared > 1_000
    assert not different, "\n".join(different[:20])


NUMBERS_AS_TEXT = (("7.5", "7,5"), ("1.000", "1,000"), ("2.0", "0.125"), ("0,125", "5."), ("2000,5", "8-12"))
"""Two at a time, the second in other rows than the first."""


def test_every_formula_cell_is_the_same_where_decimals_take_a_comma(tmp_path: Path) -> None:
    """Numbers typed as text among them, in fields of every kind that a check looks at."""
    fields = [("slot.rpe.1", SLED), ("slot.sets.1", SLED), ("slot.loads.2", BENCH), ("slot.reserve", PULL_UP)]
    others = [("slot.rpe.1", FACE_PULL), ("slot.sets.1", FACE_PULL), ("slot.loads.2", SQUAT)]
    books, ours = [plan_book(PLANS["odd"])], [tmp_path / "plan0.xlsx"]
    ours[0].write_bytes(plan_bytes(PLANS["odd"]))
    for first, second in NUMBERS_AS_TEXT:
        numbers = {"policy.hard_set_rpe": first, "policy.most_rise": second}
        typed: Typed = {**dict.fromkeys(fields, first), **dict.fromkeys(others, second), **numbers}
        books.append(typed_into(typed))
        ours.append(written(tmp_path, typed).rename(tmp_path / f"plan{len(ours)}.xlsx"))
    different = []
    for book, path in zip(books, libreoffice(ours, tmp_path / "there", region="de-DE"), strict=True):
        calculation, grids = Calculation(book, {}), cell_values(path)
        for cell, formula in book.formulas():
            here = "," if formula.definition is mark_of_decimals else calculation.value(cell)
            there = stored(grids[cell.sheet], cell)
            if not equal(here, there):
                different.append(f"{path.name} {cell.sheet}!{cell.address}: {here!r} here, {there!r} there")
    assert not different, "\n".join(different[:20])


def test_what_is_worked_out_stays_right_where_rows_were_deleted(tmp_path: Path) -> None:
    """An exercise, the deload week on the sheet Block and one of the Numbers: the rows that coaches delete."""
    plan, saved_there = tmp_path / "plan.xlsx", tmp_path / "saved.xlsx"
    plan.write_bytes(plan_bytes(small_plan()))
    rows = [(PLAN, place_of("slot.exercise", SLED)), (BLOCK, place_of("block.deload_week"))]
    rows += [(NUMBERS, place_of("policy.hard_set_rpe"))]
    steps = tuple(("delete rows", sheet, cell.row, 1) for sheet, cell in rows)
    carry_out(LIBREOFFICE, [Job(str(plan), steps, "xlsx", str(saved_there))])

    data = small_plan().to_data()
    data["sessions"][0]["slots"] = data["sessions"][0]["slots"][:SLED]
    del data["block"]["deload_week"]
    left = Specification.model_validate(data)
    assert read_plan(saved_there) == left
    book, grids = plan_book(left), cell_values(saved_there)
    calculation = Calculation(book, {})
    shown = [cell for cell, _ in book.formulas() if cell.sheet in (PLAN, TOTALS)]
    different = [(cell.sheet, cell.address, calculation.value(cell), stored(grids[cell.sheet], cell)) for cell in shown
                 if not equal(calculation.value(cell), stored(grids[cell.sheet], cell))]  # fmt: skip
    assert not different


@pytest.mark.parametrize("kind", ["xlsx", "ods"])
def test_rows_that_were_put_in_are_checked_and_counted(tmp_path: Path, kind: str) -> None:
    """One above the first, two between others: what they lack stands above them, until the check is copied down."""
    plan, saved_there = tmp_path / "plan.xlsx", tmp_path / f"saved.{kind}"
    plan.write_bytes(plan_bytes(small_plan()))
    check = place_of("live.check").column
    typed = {"slot.exercise": "leg curl", "slot.sets.1": 3, "slot.reps.1": 10}
    headings = range(place_of("live.check", 0).row - 2, place_of("live.check", 0).row)
    first, sled = place_of("live.check", SQUAT).row, place_of("live.check", SLED).row
    steps: list[Step] = [("insert rows", PLAN, sled + 1, 2), ("insert rows", PLAN, first, 1)]
    steps += [("enter", PLAN, first, place_of("session.name").column, "Warm")]
    for row in (first, sled + 2, sled + 3):
        steps += [("enter", PLAN, row, place_of(key).column, value) for key, value in typed.items()]
    steps += [("enter", PLAN, first, place_of("slot.sets.1").column, None)]
    steps += [("copy down", PLAN, sled + 1, check), ("enter", PLAN, first, place_of("slot.rpe.1").column, 8)]
    carry_out(LIBREOFFICE, [Job(str(plan), tuple(steps), kind, str(saved_there))])

    grid = cell_values(saved_there)
    said = [stored(grid[PLAN], Cell(PLAN, row, check)) for row in range(first - 3, sled + 5) if row not in headings]
    assert said == [
        "! Below: Sets missing (1 is taken)",
        "",
        "ok",
        "! Below: Effort missing",
        "! Effort missing",
        "",
        "",
    ]
    (hamstrings,) = (row for row, values in enumerate(grid[TOTALS]) if values[0] == "hamstrings")
    assert stored(grid[TOTALS], Cell(TOTALS, hamstrings, 1)) == 1 + 3 + 3
    with pytest.raises(BlockbookError, match="the target effort is missing"):
        read_plan(saved_there)


def test_a_row_behind_more_than_can_be_put_in_says_that_it_is_not_checked(tmp_path: Path) -> None:
    plan, saved_there = tmp_path / "plan.xlsx", tmp_path / "saved.xlsx"
    plan.write_bytes(plan_bytes(small_plan()))
    table, sled = small_sheets().plan, place_of("live.check", SLED)
    put_in = table.last - place_of("live.check", FACE_PULL).row + MOST_PUT_IN + 1
    carry_out(LIBREOFFICE, [Job(str(plan), (("insert rows", PLAN, sled.row + 1, put_in),), "xlsx", str(saved_there))])
    grid = cell_values(saved_there)[PLAN]
    rows = [place_of("live.check", row).row + put_in for row in (PULL_UP, FACE_PULL)]
    assert [stored(grid, Cell(PLAN, row, sled.column)) for row in rows] == ["ok", NOT_CHECKED]
    assert read_plan(saved_there) == small_plan()


def test_an_exercise_of_the_coachs_own_in_a_row_that_was_put_in_is_known(tmp_path: Path) -> None:
    plan, saved_there = tmp_path / "plan.xlsx", tmp_path / "saved.xlsx"
    plan.write_bytes(plan_bytes(small_plan()))
    own = {"own.name": "prowler push", "own.implement": "stack", "own.direct.1": "calves"}
    steps: list[Step] = [("insert rows", EXERCISES, place_of("own.name").row, 1)]
    steps += [("enter", EXERCISES, *place_of(key)[1:], value) for key, value in own.items()]
    steps += [("enter", PLAN, *place_of("slot.exercise", SLED)[1:], "prowler push")]
    carry_out(LIBREOFFICE, [Job(str(plan), tuple(steps), "xlsx", str(saved_there))])
    assert read_plan(saved_there).sessions[0].slots[SLED].exercise == "prowler push"
    grid = cell_values(saved_there)[PLAN]
    said = [stored(grid, place_of(key, SLED)) for key in ("live.check", "live.muscle", "live.sets")]
    assert said == ["ok", "calves", 3]


def test_what_a_field_cannot_hold_is_told_there_too(tmp_path: Path) -> None:
    typed = {("slot.reps.1", SQUAT): "12-8", ("slot.reps.1", SLED): "8 – 12", ("slot.loads.2", BENCH): "100 kg"}
    typed |= {("slot.sets.1", SLED): "3", ("slot.rpe.1", SLED): "7,5", ("slot.reserve", PULL_UP): "1,000"}
    typed |= {("slot.rpe.1", FACE_PULL): "5-6", ("slot.exercise", SLED): "Sled\u00a0push\u202f"}
    ours = [written(tmp_path, typed)]
    said = ["! Reps: 1 to 50, or 8-12", "ok", "! Load: 0 to 2000", "! Leave: 0 to 5", "! Effort: 5 to 10 in halves"]
    for program in (libreoffice, gnumeric):
        (path,) = program(ours, tmp_path / program.__name__)
        grid = cell_values(path)[PLAN]
        assert [stored(grid, place_of("live.check", row)) for row in (SQUAT, SLED, BENCH, PULL_UP, FACE_PULL)] == said
