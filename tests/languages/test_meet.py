"""The Meet sheet in the lifter's language, and its words typed in any. All of it is invented."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

import blockbook
from blockbook.intake.reading import read_workbook
from blockbook.sheet.calculation import Calculation
from blockbook.workbook.assemble import assemble
from blockbook.workbook.meet import SO_FAR
from blockbook.workbook.meet_cells import MEET
from tests.intake.meet_block import meet_spec
from tests.intake.small_block import edited, plain_bytes

GERMAN = ("name: Robin Sample", "name: Robin Sample\n  language: de")
SPANISH = ("name: Robin Sample", "name: Robin Sample\n  language: es")


@pytest.mark.parametrize(
    ("changes", "good", "miss"),
    [((GERMAN,), "gültig", "ungültig"), ((SPANISH,), "válido", "nulo"), ((GERMAN,), "good", "miss")],
)  # fmt: skip
def test_marks_are_read_in_every_language(tmp_path: Path, changes: Any, good: str, miss: str) -> None:
    path = tmp_path / "returned.xlsx"
    typed = {"meet.squat.1.mark": good, "meet.squat.2.mark": miss, "meet.event": "banca"}
    path.write_bytes(plain_bytes(meet_spec(*changes), typed))
    log = read_workbook(path)
    assert log.meet is not None
    assert [attempt.good for attempt in log.meet.attempts] == [True, False]
    assert "mark-unclear" not in {found.code for found in log.findings}


@pytest.mark.parametrize(
    ("changes", "good", "bench"), [((GERMAN,), "gültig", "Bankdrücken"), ((SPANISH,), "válido", "banca")]
)
def test_the_sheet_itself_knows_its_own_words_and_english(changes: Any, good: str, bench: str) -> None:
    workbook = assemble(meet_spec(*changes))
    for word, event in ((good, bench), ("good", "bench")):
        typed = {**workbook.typed, "meet.bench.1.weight": 70.0, "meet.bench.1.mark": word, "meet.event": event}
        assert Calculation(workbook.book, typed).value(SO_FAR) == 70


def test_it_is_found_by_its_headings_whatever_its_tab_says(tmp_path: Path) -> None:
    path = tmp_path / "returned.xlsx"
    path.write_bytes(plain_bytes(meet_spec(GERMAN), {"meet.squat.1.weight": 100.0, "meet.squat.1.mark": "gültig"}))
    log = read_workbook(edited(path, lambda book: setattr(book["Wettkampf"], "title", "Samstag")))
    assert log.meet is not None
    assert log.meet.attempts[0].weight == 100


def test_the_sheet_for_the_day_alone_is_in_the_language_too(tmp_path: Path) -> None:
    blockbook.meet(meet_spec(GERMAN), tmp_path / "meet.xlsx")
    book = load_workbook(tmp_path / "meet.xlsx")
    assert MEET not in book
    assert book["Wettkampf"]["A1"].value == "Wettkampf · Robin Sample · Mo., 18. Jan. 2027"
