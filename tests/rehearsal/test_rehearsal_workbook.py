"""The rehearsal's workbook opens elsewhere, holds the rehearsal's own numbers, and is written whole or not at all."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook

import blockbook
from blockbook import BlockbookError
from blockbook.rehearsal.rehearsal_workbook import CHARTS, EFFORT, LOADS, VOLUME, WARNINGS
from blockbook.rehearsal.report import Rehearsal
from tests.rehearsal.test_rehearsal import HEAVY, LIFTERS, LIGHT
from tests.samples import WITHOUT_BESTS, template_spec

pytestmark = pytest.mark.xdist_group("rehearsal workbook")


@pytest.fixture(name="written", scope="module")
def _written(tmp_path_factory: pytest.TempPathFactory) -> tuple[Rehearsal, Workbook]:
    out = tmp_path_factory.mktemp("rehearsal") / "rehearsal.xlsx"
    rehearsal = blockbook.rehearse(template_spec("strength"), LIFTERS, out=out)
    return rehearsal, load_workbook(out)


def rows(workbook: Workbook, sheet: str) -> list[tuple[Any, ...]]:
    return list(workbook[sheet].iter_rows(values_only=True))


def test_there_is_a_sheet_a_topic(written: tuple[Rehearsal, Workbook]) -> None:
    assert written[1].sheetnames == [WARNINGS, CHARTS, LOADS, EFFORT, VOLUME]


def test_loads_are_those_of_the_rehearsal(written: tuple[Rehearsal, Workbook]) -> None:
    rehearsal, workbook = written
    table = rows(workbook, LOADS)
    assert table[2] == ("Session", "Exercise", "Runs", *(f"Week {week}" for week in range(1, 6)))
    found = {(session, name, runs): loads for session, name, runs, *loads in table[3:]}
    known = [line for line in rehearsal.lines if line.load]
    assert len(found) == 3 * len({line.slot_key for line in known})
    for line in known:
        assert line.load
        shown = [found[line.session, line.name, runs][line.week - 1] for runs in ("10 %", "median", "90 %")]
        assert shown == [line.load.low, line.load.median, line.load.high]


def test_efforts_and_shares_are_those_of_the_rehearsal(written: tuple[Rehearsal, Workbook]) -> None:
    rehearsal, workbook = written
    table = rows(workbook, EFFORT)[3:]
    assert len(table) == len(rehearsal.lines)
    for row, line in zip(table, rehearsal.lines, strict=True):
        assert row[:3] == (line.week, line.session, line.name)
        assert row[9] == ("–" if line.missed is None else pytest.approx(line.missed))
        assert (row[10] == "unlikely") == bool(line.warning)
        effort = line.effort
        if effort is None:
            assert row[5:9] == ("–",) * 4
        else:
            assert row[5:9] == pytest.approx((effort.mean, effort.likely.low, effort.likely.high, effort.overshoots))


def test_volume_is_that_of_the_rehearsal(written: tuple[Rehearsal, Workbook]) -> None:
    rehearsal, workbook = written
    table = rows(workbook, VOLUME)
    width = 1 + rehearsal.weeks
    (chest, planned) = (row[1:width] for row in table if row[0] == "Chest")
    assert chest == pytest.approx([week.hard_sets["chest"] for week in rehearsal.volume])
    assert planned == pytest.approx([week.planned_sets["chest"] for week in rehearsal.volume])
    assert table[-1][1:width] == pytest.approx([week.tonnage for week in rehearsal.volume])


def test_warnings_stand_first_and_worst_first(written: tuple[Rehearsal, Workbook]) -> None:
    rehearsal, workbook = written
    table = rows(workbook, WARNINGS)
    heading = next(number for number, row in enumerate(table) if row[0] == "Week")
    found = table[heading + 1 :]
    assert [(row[0], row[2]) for row in found] == [(line.week, line.name) for line in rehearsal.unlikely]
    assert [row[3] for row in found] == pytest.approx([line.missed for line in rehearsal.unlikely])
    assert [row[4] for row in found] == pytest.approx([line.overshoots for line in rehearsal.unlikely])


def test_there_is_a_chart_a_main_lift_and_one_of_the_hard_sets(written: tuple[Rehearsal, Workbook]) -> None:
    charts = written[1][CHARTS]._charts  # type: ignore[attr-defined]
    assert [len(chart.series) for chart in charts] == [3, 3, 3, 3, 6]


def test_nothing_in_the_workbook_is_an_error_or_a_formula(written: tuple[Rehearsal, Workbook]) -> None:
    texts = [value for name in written[1].sheetnames for row in rows(written[1], name) for value in row]
    assert not [text for text in texts if isinstance(text, str) and text.startswith(("#", "="))]


@pytest.mark.parametrize("name", ["light", "without bests"])
def test_a_block_without_warnings_or_without_loads_has_its_workbook_too(tmp_path: Path, name: str) -> None:
    spec = LIGHT if name == "light" else template_spec("general" + WITHOUT_BESTS)
    rehearsal = blockbook.rehearse(spec, 10, out=tmp_path / "rehearsal.xlsx")
    workbook = load_workbook(tmp_path / "rehearsal.xlsx")
    nothing = [row[0] for row in rows(workbook, WARNINGS) if str(row[0]).startswith("Nothing")]
    assert bool(nothing) == (not rehearsal.warnings)
    assert len(rows(workbook, LOADS)) == (9 if name == "light" else 3)


def test_same_rehearsal_same_bytes(tmp_path: Path) -> None:
    for name in ("one.xlsx", "two.xlsx"):
        blockbook.rehearse(HEAVY, 10, out=tmp_path / name)
    assert (tmp_path / "one.xlsx").read_bytes() == (tmp_path / "two.xlsx").read_bytes()


def test_a_workbook_that_is_there_is_kept_before_anything_is_played(tmp_path: Path) -> None:
    out = tmp_path / "rehearsal.xlsx"
    out.write_bytes(b"mine")
    weeks: list[int] = []
    with pytest.raises(BlockbookError, match="is there already"):
        blockbook.rehearse(HEAVY, 10, out=out, after_week=weeks.append)
    assert (weeks, out.read_bytes()) == ([], b"mine")
    blockbook.rehearse(HEAVY, 10, out=out, force=True)
    assert out.read_bytes().startswith(b"PK")
