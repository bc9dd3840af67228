"""The Meet sheet, alone and in a block, gives the same in our calculation, in the file and in two programs."""

from __future__ import annotations

from datetime import datetime, time
from pathlib import Path

import pytest

from blockbook.sheet.calculation import Calculation
from blockbook.workbook.meet_cells import MEET, MEET_TABLES
from tests.oracles.programs import cell_values, gnumeric, libreoffice
from tests.oracles.test_parity import equal, stored
from tests.samples import UNITS
from tests.workbook.meet_day import FILLS, block_with_a_meet, meet_book, meet_bytes

CASES = [(unit, fill) for unit in UNITS for fill in FILLS]

pytestmark = pytest.mark.xdist_group("meet parity")


@pytest.fixture(scope="module")
def saved(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Path]]:
    folder = tmp_path_factory.mktemp("meet")
    ours = []
    for unit, fill in CASES:
        ours.append(folder / f"{unit} {fill}.xlsx")
        ours[-1].write_bytes(meet_bytes(unit, fill))
    ours.append(folder / "block.xlsx")
    ours[-1].write_bytes(block_with_a_meet()[2])
    return {
        "ours": ours,
        "libreoffice": libreoffice(ours, folder / "libreoffice"),
        "gnumeric": gnumeric(ours, folder / "gnumeric"),
    }


@pytest.mark.parametrize("program", ["ours", "libreoffice", "gnumeric"])
def test_every_formula_cell_is_the_same(saved: dict[str, list[Path]], program: str) -> None:
    different, compared = [], 0
    books = [*(meet_book(unit, fill) for unit, fill in CASES), block_with_a_meet()[:2]]
    for (book, typed), path in zip(books, saved[program], strict=True):
        calculation, grids = Calculation(book, typed), cell_values(path)
        for cell in (cell for cell, _ in book.formulas() if cell.sheet in (MEET, MEET_TABLES)):
            here, there = calculation.value(cell), stored(grids[cell.sheet], cell)
            compared += 1
            if not equal(here, _as_number(there)):
                different.append(f"{path.name} {cell.sheet}!{cell.address}: {here!r} here, {there!r} there")
    assert compared > 1_000
    assert not different, "\n".join(different[:20])


def _as_number(value: object) -> object:
    """Clock times come back as times; both programs keep parts of a day."""
    if isinstance(value, (time, datetime)):
        return (value.hour * 3600 + value.minute * 60 + value.second + value.microsecond / 1e6) / 86400
    return value
