"""Every command that is given a plan workbook says, once, what had to be understood in it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from blockbook.cli import main
from blockbook.plan.reading import read_plan
from blockbook.workbook.write import block_bytes
from tests.plan.small_plan import SLED, place_of, written


@pytest.fixture
def _files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """plan.xlsx, where a range became a date, and returned.xlsx, a block of it."""
    monkeypatch.chdir(tmp_path)
    best = {("best.exercise", 2): "deadlift", ("best.load", 2): 150}
    plan = written(Path(), {("slot.reps.1", SLED): date(2026, 12, 8), **best})
    Path("returned.xlsx").write_bytes(block_bytes(read_plan(plan)))


@pytest.mark.usefixtures("_files")
@pytest.mark.parametrize(
    "command",
    [
        "build plan.xlsx --out sent",
        "build plan.xlsx --carry returned.xlsx --out sent",
        "convert plan.xlsx block.yaml",
        "rehearse plan.xlsx --lifters 10",
        "meet plan.xlsx --out meet.xlsx",
        "meet returned.xlsx --spec plan.xlsx --out meet.xlsx",
        "read returned.xlsx --spec plan.xlsx",
        "read returned.xlsx --spec plan.xlsx --json",
        "review returned.xlsx --spec plan.xlsx --out review.xlsx",
        "next returned.xlsx --spec plan.xlsx --out next.yaml",
    ],
)
def test_a_date_that_was_a_range_is_told_once(command: str) -> None:
    result = CliRunner().invoke(main, command.split())
    assert result.exit_code == 0, result.output
    said = " ".join(result.stderr.split())
    cell = place_of("slot.reps.1", SLED).address
    assert said.count(f"Look: Plan!{cell} (Reps or range, week 1): a program made a date of it") == 1
