"""A plan workbook that LibreOffice or Gnumeric has saved is the same plan, and shows the same checks."""

from __future__ import annotations

from pathlib import Path

import pytest

from blockbook.plan.columns import BLOCK, NUMBERS, PLAN, TOTALS
from blockbook.plan.plan_workbook import plan_book, plan_bytes
from blockbook.plan.reading import read_plan
from blockbook.sheet.calculation import Calculation
from blockbook.spec.models import Specification
from tests.oracles.programs import cell_values, gnumeric, libreoffice
from tests.oracles.test_parity import equal, stored
from tests.plan.small_plan import BENCH, SLED, SQUAT, odd_plan, place_of, small_plan, written
from tests.programs.jobs import LIBREOFFICE, Job, carry_out
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


def test_what_a_field_cannot_hold_is_told_there_too(tmp_path: Path) -> None:
    typed = {("slot.reps.1", SQUAT): "12-8", ("slot.reps.1", SLED): "8 – 12", ("slot.loads.2", BENCH): "100 kg"}
    ours = [written(tmp_path, typed)]
    said = ["! Reps: 1 to 50, or 8-12", "ok", "! Load: 0 to 2000"]
    for program in (libreoffice, gnumeric):
        (path,) = program(ours, tmp_path / program.__name__)
        grid = cell_values(path)[PLAN]
        assert [stored(grid, place_of("live.check", row)) for row in (SQUAT, SLED, BENCH)] == said
