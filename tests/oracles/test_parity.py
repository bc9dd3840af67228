"""Every formula cell gives the same in our calculation, in the file, in LibreOffice and in Gnumeric."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from blockbook.intake.reading import read_workbook
from blockbook.sheet.book import Cell, formula_text
from blockbook.sheet.calculation import Calculation
from blockbook.spec.models import Unit
from blockbook.workbook.assemble import BlockBook, assemble
from blockbook.workbook.week_words import WORK_UP
from blockbook.workbook.write import block_bytes
from tests.oracles.programs import cell_values, gnumeric, libreoffice
from tests.samples import IN_RESERVE, STAND_INS, TEMPLATES, WITHOUT_BESTS, template_spec, typed

CASES: dict[str, tuple[tuple[Unit, str], ...]] = {
    "strength": (("kg", "half filled"), ("lb", "filled")),
    "volume": (("kg", "filled"),),
    "general": (("kg", "empty"), ("lb", "half filled")),
    "peak": (("kg", "filled"),),
    f"general{WITHOUT_BESTS}": (("lb", "half filled"), ("kg", "filled")),
    f"strength{IN_RESERVE}": (("kg", "filled"),),
    f"general{STAND_INS}": (("lb", "filled"),),
}
"""Every template, unit and fill, not all of them with each other: each workbook costs ten seconds."""
TOLERANCE = 1e-6


@dataclass(frozen=True)
class Sample:
    """A workbook written by us, and as the two programs recalculated and saved it."""

    workbook: BlockBook
    calculation: Calculation
    ours: Path
    libreoffice: Path
    gnumeric: Path


@pytest.fixture(scope="module", params=[pytest.param(name, marks=pytest.mark.xdist_group(name)) for name in CASES])
def samples(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> list[Sample]:
    folder = tmp_path_factory.mktemp(request.param)
    made = []
    for unit, fill in CASES[request.param]:
        spec = template_spec(request.param, unit)
        inputs = typed(request.param, unit, fill)
        path = folder / f"{request.param} {unit} {fill}.xlsx"
        path.write_bytes(block_bytes(spec, inputs))
        workbook = assemble(spec)
        made.append((workbook, Calculation(workbook.book, inputs), path))
    paths = [path for _, _, path in made]
    recalculated = libreoffice(paths, folder / "libreoffice"), gnumeric(paths, folder / "gnumeric")
    return [Sample(*first, *others) for first, *others in zip(made, *recalculated, strict=True)]


def differences(sample: Sample, path: Path) -> Iterator[str]:
    """One line for each formula cell whose value in the file is not the calculated one."""
    grids = cell_values(path)
    for cell, formula in sample.workbook.book.formulas():
        ours, theirs = sample.calculation.value(cell), stored(grids[cell.sheet], cell)
        if not equal(ours, theirs):
            text = formula_text(formula, cell.sheet)
            yield f"{path.name} {cell.sheet}!{cell.address}: {ours!r} here, {theirs!r} there, {text[:200]}"


def stored(grid: list[list[object]], cell: Cell) -> object:
    if cell.row < len(grid) and cell.column < len(grid[cell.row]):
        return grid[cell.row][cell.column]
    return ""


def equal(ours: object, theirs: object) -> bool:
    if isinstance(ours, (int, float)) and isinstance(theirs, (int, float)):
        return abs(ours - theirs) <= TOLERANCE * max(1, abs(ours))
    return ours == theirs


@pytest.mark.parametrize("program", ["ours", "libreoffice", "gnumeric"])
def test_every_formula_cell_is_the_same(samples: list[Sample], program: str) -> None:
    found = [line for sample in samples for line in differences(sample, getattr(sample, program))]
    assert not found, "\n".join(found[:20])


def test_no_program_finds_an_error_in_a_formula(samples: list[Sample]) -> None:
    for sample in samples:
        for path in (sample.libreoffice, sample.gnumeric):
            texts = {v for grid in cell_values(path).values() for row in grid for v in row if isinstance(v, str)}
            assert not {text for text in texts if text.startswith("#") or text.startswith("Err:")}


def test_reading_gives_the_targets_that_libreoffice_shows(samples: list[Sample]) -> None:
    for sample in samples:
        grids = cell_values(sample.libreoffice)
        log = read_workbook(sample.libreoffice)
        shown = {
            planned.key: stored(grids[place.sheet], place.cell("target", planned.number))
            for week in sample.workbook.weeks
            for session in week
            for place in session.lines
            for planned in place.line.sets
        }
        for logged in log.sets:
            there = shown[logged.key]
            assert equal(logged.target_load, None if there in ("", WORK_UP) else there), logged


def test_every_template_is_compared() -> None:
    assert set(TEMPLATES) <= set(CASES)


def test_there_is_something_to_compare(samples: list[Sample]) -> None:
    for sample in samples:
        assert sum(1 for _ in sample.workbook.book.formulas()) > 2000
        numbers = sum(isinstance(sample.calculation.value(cell), float) for cell, _ in sample.workbook.book.formulas())
        assert numbers > 500
