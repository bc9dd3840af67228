"""The review workbook gives the same in our calculation, in the file and in LibreOffice, whatever the coach typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from blockbook.assessment.coach_word import REVIEW, read_word
from blockbook.assessment.next_block import Override, next_block
from blockbook.intake.log import BlockLog
from blockbook.sheet.book import Cell
from blockbook.sheet.calculation import Calculation
from blockbook.workbook.write import workbook_bytes
from tests.assessment.live_review import book_of, column, overrides, rows, typed
from tests.intake.small_block import clean_inputs, log_of, spec_from
from tests.oracles.programs import cell_values, gnumeric, libreoffice
from tests.oracles.test_parity import equal, stored

CASES = ("nothing", "exercises", "exercise with a load", "deload, refused", "all at once")

pytestmark = pytest.mark.xdist_group("review parity")


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> BlockLog:
    inputs = {**clean_inputs(), "w2.lower.pain": "B"}
    return log_of(tmp_path_factory.mktemp("log"), spec_from(), inputs)


@pytest.fixture(scope="module")
def saved(log: BlockLog, tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Path]]:
    folder = tmp_path_factory.mktemp("review")
    ours = []
    for word in CASES:
        ours.append(folder / f"{word}.xlsx")
        ours[-1].write_bytes(workbook_bytes(book_of(log), typed(log, word), "kg", "Review", log.spec.block.start))
    return {
        "ours": ours,
        "libreoffice": libreoffice(ours, folder / "libreoffice"),
        "gnumeric": gnumeric(ours, folder / "gnumeric"),
    }


@pytest.mark.parametrize("program", ["ours", "libreoffice", "gnumeric"])
def test_every_formula_cell_is_the_same(log: BlockLog, saved: dict[str, list[Path]], program: str) -> None:
    different, compared = [], 0
    book = book_of(log)
    for word, path in zip(CASES, saved[program], strict=True):
        calculation, grids = Calculation(book, typed(log, word)), cell_values(path)
        for cell, _ in book.formulas():
            here, there = calculation.value(cell), stored(grids[cell.sheet], cell)
            compared += 1
            if not equal(here, there):
                different.append(f"{path.name} {cell.sheet}!{cell.address}: {here!r} here, {there!r} there")
    assert compared > 500
    assert not different, "\n".join(different[:20])


def test_next_writes_the_numbers_that_libreoffice_shows(log: BlockLog, saved: dict[str, list[Path]]) -> None:
    book = book_of(log)
    for word, path in zip(CASES, saved["libreoffice"], strict=True):
        grid = cell_values(path)[REVIEW]
        said = read_word(path, log.digest, "kg")
        expected, own_deload = overrides(word)
        assert {key: each for key, each in said.overrides.items() if each != Override()} == expected
        assert said.deload == own_deload
        made = next_block(log, said.overrides, own_deload=said.deload)
        for decision in made.decisions:
            row = rows(book)[decision.suggestion.key]
            load, sets, exercise = (
                stored(grid, Cell(REVIEW, row, column(book, heading)))
                for heading in ("Load used", "Sets used", "Exercise used")
            )
            assert sets == decision.sets
            if decision.load is not None or decision.exercise == decision.suggestion.exercise:
                assert (load if load != "–" else None) == decision.load
            assert str(exercise).casefold() == decision.exercise.casefold()
