"""Every formula cell of a workbook in another language is the same in a program of that region."""

from __future__ import annotations

from pathlib import Path

import pytest

from blockbook.sheet.calculation import Calculation
from blockbook.spec.models import Specification
from blockbook.workbook.assemble import assemble
from blockbook.workbook.write import block_bytes
from tests.oracles.programs import cell_values, gnumeric, libreoffice
from tests.oracles.test_parity import equal, stored
from tests.samples import template_spec, typed


def in_language(language: str, template: str) -> Specification:
    spec = template_spec(template)
    return spec.model_copy(update={"lifter": spec.lifter.model_copy(update={"language": language})})


@pytest.mark.parametrize(
    ("language", "region", "template"),
    [("de", "de-DE", "strength"), ("es", "es-ES", "general"), ("es-MX", "es-MX", "peak")],
)
def test_every_formula_cell_is_the_same(tmp_path: Path, language: str, region: str, template: str) -> None:
    spec, inputs = in_language(language, template), typed(template, "kg", "filled")
    path = tmp_path / "returned.xlsx"
    path.write_bytes(block_bytes(spec, inputs))
    (theirs,) = libreoffice([path], tmp_path / "libreoffice", region=region)
    book = assemble(spec).book
    calculation = Calculation(book, inputs)
    for file in (path, theirs):
        grids = cell_values(file)
        for cell, _ in book.formulas():
            here, there = calculation.value(cell), stored(grids[book.tabs[cell.sheet]], cell)
            assert equal(here, there), (file, cell, here, there)


def test_numbers_are_the_same_in_gnumeric(tmp_path: Path) -> None:
    """Which runs here in no region, so that it writes numbers within texts with a point."""
    spec, inputs = in_language("de", "general"), typed("general", "kg", "filled")
    path = tmp_path / "returned.xlsx"
    path.write_bytes(block_bytes(spec, inputs))
    (theirs,) = gnumeric([path], tmp_path / "gnumeric")
    book, grids = assemble(spec).book, cell_values(theirs)
    calculation = Calculation(book, inputs)
    for cell, _ in book.formulas():
        here, there = calculation.value(cell), stored(grids[book.tabs[cell.sheet]], cell)
        if isinstance(here, str) and isinstance(there, str):
            here, there = here.replace(",", "."), there.replace(",", ".")
        assert equal(here, there), (cell, here, there)
