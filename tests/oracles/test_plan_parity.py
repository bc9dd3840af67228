"""A plan workbook that LibreOffice or Gnumeric has saved is the same plan, and shows the same checks."""

from __future__ import annotations

from pathlib import Path

import pytest

from blockbook.plan.plan_workbook import plan_book, plan_bytes
from blockbook.plan.reading import read_plan
from blockbook.sheet.calculation import Calculation
from tests.oracles.programs import cell_values, gnumeric, libreoffice
from tests.oracles.test_parity import equal, stored
from tests.plan.small_plan import odd_plan
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
