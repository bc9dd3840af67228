"""Options that nothing would come of are refused: nobody is to believe that they were followed. All is invented."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from blockbook.cli import main
from tests.intake.small_block import SMALL_BLOCK, clean_file
from tests.practice.small_practice import small_practice
from tests.said import unwrapped


@pytest.fixture(autouse=True)
def _in_a_practice(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Beside it a returned workbook and a specification."""
    small_practice(tmp_path / "practice", ("Robin Sample", "Jo Beispiel"))
    clean_file(tmp_path)
    (tmp_path / "block.yaml").write_text(SMALL_BLOCK, "utf-8")
    monkeypatch.chdir(tmp_path)


UNHEARD = {
    "overview --practice practice --force": "--force goes with --out",
    "read --practice practice --force": "--force goes with --csv",
    "rehearse block.yaml --force": "--force goes with --out",
    "mail --practice practice --yes": "--yes goes with --send",
    "collect robin.xlsx --practice practice --quiet --verbose": "Leave one of them out",
    "read robin.xlsx --practice practice": "--practice goes with LIFTERs, and robin.xlsx is a file",
    "review robin.xlsx --practice practice": "--practice goes with LIFTERs, and robin.xlsx is a file",
    "review robin.xlsx --practice practice --out review.xlsx": "--practice goes with LIFTERs",
    "next robin.xlsx --practice practice": "--practice goes with LIFTERs, and robin.xlsx is a file",
    "next robin.xlsx --practice practice --out next.yaml": "--practice goes with LIFTERs",
    "next robin.xlsx --overview overview.xlsx --out next.yaml": "--overview goes with LIFTERs",
    "next robin-sample --practice practice --overview overview.xlsx": "Leave one of them out",
    "build block.yaml --practice practice": "--practice goes with LIFTERs, and block.yaml is a file",
    "build block.yaml --practice practice --out sent": "--practice goes with LIFTERs",
    "read --practice practice --prefer robin.xlsx": "--prefer is of one lifter's block",
    "read --practice practice --spec block.yaml": "--spec is of one lifter's block",
    "read robin.xlsx --prefer block.yaml": "cannot be preferred",
    "review --practice practice --season season.yaml": "--season goes with FILEs and --out",
    "next --practice practice --review review.xlsx": "--review goes with FILEs and --out",
    "new strength --out b.yaml --workbook": "--workbook go with --lifter",
    "new strength --out b.yaml --mail robin@example.org": "--mail, --practice and --workbook go with --lifter",
    "new strength --lifter Kim --practice practice --force": "--force goes with --out",
    "meet block.yaml --out meet.xlsx --prefer robin.xlsx": "go with a returned workbook",
}


@pytest.mark.parametrize("line", UNHEARD)
def test_an_option_that_would_go_unheard_is_refused(line: str) -> None:
    before = sorted(Path().rglob("*"))
    result = CliRunner().invoke(main, line.split())
    assert (result.exit_code, UNHEARD[line] in unwrapped(result.stderr)) == (2, True), result.output
    assert sorted(Path().rglob("*")) == before
