"""Whatever stands in a cell for reps left, number or text: every program makes the same effort and verdict of it."""

from __future__ import annotations

from itertools import cycle
from pathlib import Path

from blockbook.sheet.calculation import Calculation
from blockbook.workbook.assemble import assemble
from blockbook.workbook.write import block_bytes
from tests.intake.mirrored import LEFT
from tests.intake.small_block import clean_inputs, spec_from
from tests.oracles.programs import gnumeric, libreoffice
from tests.oracles.test_parity import Sample, differences

TYPED = ("two", "2 left", " ", "-1", 12, -1, 9.5, 10, "fail", None, "0", 0, 0.5, 2)


def test_words_and_numbers_off_the_scale(tmp_path: Path) -> None:
    spec, path = spec_from(LEFT), tmp_path / "words.xlsx"
    cells = [name for name in clean_inputs(LEFT) if name.endswith("/rpe")]
    inputs = {**clean_inputs(LEFT), **dict(zip(cells, cycle(TYPED), strict=False))}
    assert len(cells) > len(TYPED)
    path.write_bytes(block_bytes(spec, inputs))
    workbook = assemble(spec)
    calculation = Calculation(workbook.book, inputs)
    (recalculated,), (other,) = libreoffice([path], tmp_path / "libreoffice"), gnumeric([path], tmp_path / "gnumeric")
    sample = Sample(workbook, calculation, path, recalculated, other)
    assert [line for file in (path, recalculated, other) for line in differences(sample, file)] == []
