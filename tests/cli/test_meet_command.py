"""The meet command on what came back: copies, a lost manifest, the coach's word."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook

import blockbook
from blockbook.assessment.coach_word import ACCEPT, FINDINGS
from blockbook.cli import main
from blockbook.workbook.layout import MANIFEST
from blockbook.workbook.meet_cells import MEET
from tests.intake.small_block import plain_bytes
from tests.said import unwrapped
from tests.samples import template_spec, typed

HEAVY_SINGLE = "w3.squat.back-squat.1/load"
OPENERS = {"squat": "C5", "bench": "C10", "deadlift": "C15"}


@cache
def workbook_with(load: float | None = None) -> bytes:
    """A peak block filled in, the heaviest squat with another load if one is given."""
    inputs = typed("peak", "kg", "filled")
    return plain_bytes(template_spec("peak"), inputs if load is None else {**inputs, HEAVY_SINGLE: load})


def returned(name: str, load: float | None = None) -> Path:
    path = Path(name)
    path.write_bytes(workbook_with(load))
    return path


def run(*arguments: str | Path) -> Result:
    result = CliRunner().invoke(main, ["meet", *map(str, arguments), "--out", "meet.xlsx", "--force"])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def opener(*arguments: str | Path, lift: str = "squat") -> Any:
    result = run(*arguments)
    assert (result.exit_code, result.stdout) == (0, "meet.xlsx\n"), result.output
    return load_workbook("meet.xlsx", data_only=True)[MEET][OPENERS[lift]].value


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def heavier() -> float:
    return round(1.2 * float(typed("peak", "kg", "filled")[HEAVY_SINGLE]) / 2.5) * 2.5


def test_of_several_copies_the_preferred_one_counts() -> None:
    first, second = returned("a.xlsx"), returned("b.xlsx", heavier())
    assert opener(first) < opener(second)
    assert opener(first, second, "--prefer", first) == opener(first)
    assert opener(first, second, "--prefer", second) == opener(second)


def test_a_file_that_lost_its_manifest_is_read_with_the_specification_named() -> None:
    book = load_workbook(returned("returned.xlsx"))
    del book[MANIFEST]
    book.save("bare.xlsx")
    without = run("bare.xlsx")
    assert without.exit_code == 2
    assert "--spec block.yaml" in without.stderr
    blockbook.new("peak", "block.yaml", start=template_spec("peak").block.start)
    assert opener("bare.xlsx", "--spec", "block.yaml") == opener("returned.xlsx")


def test_a_correction_that_was_accepted_in_the_review_counts() -> None:
    slip = returned("slip.xlsx", 10 * heavier())
    (likely,) = [found.likely[HEAVY_SINGLE] for found in blockbook.read(slip).findings if found.code == "digit-slip"]
    blockbook.review(slip, "review.xlsx")
    as_typed = opener(slip, "--review", "review.xlsx")
    book = load_workbook("review.xlsx")
    sheet = book[FINDINGS]
    names = [cell.value for cell in sheet[2]]
    (row,) = [row for row in sheet.iter_rows(min_row=3) if row[names.index("Kind")].value == "digit slip"]
    row[names.index(ACCEPT)].value = "yes"
    book.save("review.xlsx")
    corrected = opener(slip, "--review", "review.xlsx")
    assert corrected == opener(returned("clean.xlsx", likely))
    assert corrected != as_typed
    decided = CliRunner().invoke(main, ["next", str(slip), "--review", "review.xlsx", "--out", "next.yaml"])
    assert "as accepted in the review." in unwrapped(decided.stdout.partition("Used: ")[2])


def test_what_does_not_go_together_is_said() -> None:
    blockbook.new("peak", "block.yaml")
    file = returned("returned.xlsx")
    for arguments, said in (
        (("block.yaml", file), "stands alone"),
        (("block.yaml", "--prefer", file), "go with a returned workbook"),
    ):
        result = run(*arguments)
        assert (result.exit_code, result.stdout) == (2, "")
        assert said in " ".join(result.stderr.split())
