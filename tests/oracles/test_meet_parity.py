"""The Meet sheet gives the same in our calculation, in the file, in LibreOffice and in Gnumeric."""

from __future__ import annotations

from datetime import datetime, time
from pathlib import Path

import pytest

from blockbook.sheet.calculation import Calculation
from tests.oracles.programs import cell_values, gnumeric, libreoffice
from tests.oracles.test_parity import _equal, _stored
from tests.samples import UNITS
from tests.workbook.meet_day import FILLS, meet_book, meet_bytes

CASES = [(unit, fill) for unit in UNITS for fill in FILLS]


@pytest.fixture(scope="module")
def saved(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Path]]:
    folder = tmp_path_factory.mktemp("meet")
    ours = []
    for unit, fill in CASES:
        ours.append(folder / f"{unit} {fill}.xlsx")
        ours[-1].write_bytes(meet_bytes(unit, fill))
    return {
        "ours": ours,
        "libreoffice": libreoffice(ours, folder / "libreoffice"),
        "gnumeric": gnumeric(ours, folder / "gnumeric"),
    }


@pytest.mark.parametrize("program", ["ours", "libreoffice", "gnumeric"])
def test_every_formula_cell_is_the_same(saved: dict[str, list[Path]], program: str) -> None:
    different, compared = [], 0
    for (unit, fill), path in zip(CASES, saved[program], strict=True):
        book, typed = meet_book(unit, fill)
        calculation, grids = Calculation(book, typed), cell_values(path)
        for cell, _ in book.formulas():
            here, there = calculation.value(cell), _stored(grids[cell.sheet], cell)
            compared += 1
            if not _equal(here, _as_number(there)):
                different.append(f"{path.name} {cell.sheet}!{cell.address}: {here!r} here, {there!r} there")
    assert compared > 1_000
    assert not different, "\n".join(different[:20])


def _as_number(value: object) -> object:
    """Clock times come back as times; both programs keep parts of a day."""
    if isinstance(value, (time, datetime)):
        return (value.hour * 3600 + value.minute * 60 + value.second + value.microsecond / 1e6) / 86400
    return value
