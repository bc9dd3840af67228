"""A file of ours named where another is wanted: the message says what it is and which command takes it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

import blockbook
from blockbook.practice.overview_workbook import overview_bytes
from tests.intake.small_block import SMALL_BLOCK, clean_file
from tests.practice.small_practice import run, small_practice


@pytest.fixture(scope="module", name="files")
def _files(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("files")
    text = SMALL_BLOCK.replace("pull-up: 25}", "pull-up: 25, deadlift: 150}")
    (folder / "block.yaml").write_text(text, "utf-8")
    returned = clean_file(folder).rename(folder / "returned.xlsx")
    blockbook.convert(folder / "block.yaml", folder / "plan.xlsx")
    blockbook.review(returned, folder / "review.xlsx")
    blockbook.rehearse(folder / "block.yaml", 10, out=folder / "rehearsal.xlsx")
    blockbook.meet(folder / "block.yaml", folder / "meet.xlsx")
    blockbook.season([date(2027, 6, 5)], folder / "season.yaml", date(2027, 1, 4))
    practice = small_practice(folder / "practice", ["Robin Sample"])
    (folder / "overview.xlsx").write_bytes(overview_bytes([], practice, folder / "overview.xlsx"))
    return folder


@pytest.mark.parametrize(
    ("command", "said"),
    [
        ("read plan.xlsx", "this is a plan workbook, a block to be built: `blockbook build` takes it."),
        ("next plan.xlsx --out next.yaml", "this is a plan workbook"),
        ("review plan.xlsx --out new.xlsx", "this is a plan workbook"),
        ("build block.yaml --carry plan.xlsx --out sent", "this is a plan workbook"),
        ("read review.xlsx", "this is a review workbook: give it to `blockbook next RETURNED --review`"),
        ("meet review.xlsx --out new.xlsx", "this is a review workbook"),
        ("read overview.xlsx", "this is an overview. In its practice `blockbook next` follows the marks"),
        ("read rehearsal.xlsx", "this is a rehearsal: it is only to be looked at."),
        ("read meet.xlsx", "this is the sheet for a meet's day"),
        ("read season.yaml", "this is a season: give it as --season to `blockbook new`, `next` or `review`."),
        ("read block.yaml", "this is a block's specification: `blockbook build` takes it."),
        ("read practice/settings.yaml", "this holds a practice's settings"),
        (
            "build returned.xlsx --out sent",
            "this is a lifter's workbook. `blockbook read`, `review`",
        ),
        ("build review.xlsx --out sent", "this is a review workbook"),
        ("build season.yaml --out sent", "this is not a block specification."),
        ("build season.yaml --out sent", "It is a season: give it as --season"),
        ("new --season block.yaml --out new.yaml", "It is a block's specification: `blockbook build` takes it."),
        ("next returned.xlsx --review plan.xlsx --out next.yaml", "A review is wanted here: `blockbook review` writes"),
        ("next --practice practice --overview review.xlsx", "An overview is wanted here: `blockbook overview` writes"),
    ],
)
def test_a_file_of_ours_says_what_it_is(files: Path, command: str, said: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(files)
    result = run(*command.split())
    assert (result.exit_code, result.stdout) == (2, "")
    assert said in result.stderr


def test_a_meets_sheet_is_no_return_for_a_lifter(files: Path) -> None:
    with pytest.raises(blockbook.BlockbookError, match="Name the workbook that came back"):
        blockbook.read(files / "meet.xlsx")
