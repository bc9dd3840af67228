"""The workbook of a lifter who types reps left: what it shows, offers and says. Lifters and loads are invented."""

from __future__ import annotations

import io
from functools import cache
from typing import Any

import pytest
from openpyxl import load_workbook

from blockbook.sheet.book import Cell
from blockbook.sheet.calculation import Calculation
from blockbook.workbook.assemble import BlockBook, assemble
from blockbook.workbook.layout import COLUMN, PLATES, START, SUMMARY, TABLES, WEEK_COLUMNS, LinePlace
from blockbook.workbook.write import block_bytes
from tests.intake.mirrored import LEFT, mirrored
from tests.intake.small_block import BENCH, TOP, clean_inputs, spec_from


@cache
def workbook() -> BlockBook:
    return assemble(spec_from(LEFT))


def texts(sheet: str) -> set[str]:
    return {text for text in workbook().book.sheets[sheet].contents.values() if isinstance(text, str)}


def place_of(key: str) -> tuple[LinePlace, int]:
    return next((place, p.number) for each in workbook().sessions for place, p in each.sets if p.key == key)


def shown(key: str, column: str, typed: dict[str, Any]) -> Any:
    place, number = place_of(key)
    return Calculation(workbook().book, {**mirrored(clean_inputs()), **typed}).value(place.cell(column, number))


def reason(key: str, typed: dict[str, Any]) -> str:
    place, _ = place_of(key)
    cell = Cell(place.sheet, place.reason_row, COLUMN["label"])
    return str(Calculation(workbook().book, {**mirrored(clean_inputs()), **typed}).value(cell))


def test_headings_and_targets_are_reps_left() -> None:
    sheet = load_workbook(io.BytesIO(block_bytes(spec_from(LEFT))))["Week 1"]
    headings = [cell.value for cell in sheet[2]]
    assert headings[:9] == ["Key", "Set", "Reps", "Leave", "Plan", "Today", "Load, kg", "Reps done", "Reps left"]
    assert headings[-1] == "As effort"
    targets = {row[0].value: row[3].value for row in sheet.iter_rows()}
    assert (targets[TOP], targets["w1.lower.squat.2"], targets[BENCH]) == (2, 3, 2.5)


def test_a_block_in_effort_has_no_column_for_it() -> None:
    sheet = load_workbook(io.BytesIO(block_bytes(spec_from())))["Week 1"]
    assert sheet.max_column == len(WEEK_COLUMNS)


def test_the_list_offers_reps_left_from_0_to_9() -> None:
    (offered,) = [v for v in workbook().book.sheets["Week 1"].validations if v.options["error_title"] == "Reps left"]
    run = offered.options["source"]
    values = [workbook().book.sheets[TABLES].contents[cell.row, cell.column] for cell in run.cells()]
    assert values == [0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5, 6, 7, 8, 9]
    assert {cell.column for cell in offered.cells} == {COLUMN["rpe"]}


@pytest.mark.parametrize(
    ("left", "verdict"),
    [
        (2, "on target"), (1.5, "on target"), (1, "1 fewer left"), (0.5, "1.5 fewer left"), (0, "2 fewer left"),
        (3.5, "1.5 more left"), (9.5, "reps left: 0 to 9"), (-1, "reps left: 0 to 9"), (None, "type the reps left"),
        ("two", "reps left: numbers only"),
    ],
)  # fmt: skip
def test_verdicts_speak_of_reps_left(left: Any, verdict: str) -> None:
    assert shown(TOP, "verdict", {f"{TOP}/rpe": left}) == verdict


def test_reasons_speak_of_reps_left() -> None:
    bench = "w2.upper.bench-press.1"
    harder = {f"w1.upper.bench-press.{number}/rpe": 0.5 for number in (1, 2, 3)}
    assert reason(bench, harder).endswith(": last time was harder than asked, by 2 (reps and effort together).")
    forgotten = {f"w1.upper.bench-press.{number}/rpe": None for number in (1, 2, 3)}
    assert reason(bench, forgotten).endswith(": reps left were not logged last time.")
    easier = {f"w1.lower.squat.1/{column}": value for column, value in (("load", 90), ("rpe", 5))}
    said = reason("w2.lower.squat.1", easier)
    assert ": last time was easier than asked, by 1 (reps and effort together)." in said


def test_an_unknown_load_is_worked_up_to_with_reps_left() -> None:
    unknown = ("bests: {back squat: 120, bench press: 80, pull-up: 25}", "bests: {pull-up: 25}")
    made = assemble(spec_from(LEFT, unknown))
    place = next(iter(made.sessions)).lines[0]
    said = Calculation(made.book, {}).value(Cell(place.sheet, place.reason_row, COLUMN["label"]))
    assert said == "No load yet: work up in small steps to 5 reps with 2 left and type it in."


def test_a_band_is_chosen_by_reps_left() -> None:
    said = reason("w1.lower.band-pull-apart.1", {})
    assert said == "Choose the band or resistance that leaves you as many reps as planned."


def test_the_start_sheet_explains_reps_left() -> None:
    sheet = workbook().book.sheets[START].contents
    said = texts(START)
    assert any("load, reps done, reps left" in text for text in said)
    assert any("Reps left 0.5   ->   verdict: 1.5 fewer left" in text for text in said)
    assert not [text for text in said if "RPE" in text or "effort felt" in text.casefold()]
    scale = {words: sheet[row, 0] for (row, column), words in sheet.items() if column == 1 and (row, 0) in sheet}
    assert scale["maximum effort: no further rep, no more load"] == 0
    assert (scale["2 reps left"], scale["2 or 3 reps left"]) == (2, 2.5)


def test_the_calculator_takes_reps_left() -> None:
    assert {"Reps you had left", "Reps to leave"} <= texts(PLATES)
    typed = {"from.load": 100, "from.reps": 5, "from.rpe": 2, "to.reps": 3, "to.rpe": 1}
    ours, theirs = (
        Calculation(made.book, {**typed, **efforts})
        for made, efforts in ((workbook(), {}), (assemble(spec_from()), {"from.rpe": 8, "to.rpe": 9}))
    )
    for row in (13, 14, 15):
        assert ours.number(Cell(PLATES, row, 1)) == theirs.number(Cell(PLATES, row, 1))


def test_the_summary_says_how_many_fewer_were_left() -> None:
    assert {"Reps to leave, mean", "Fewer left than planned"} <= texts(SUMMARY)
    assert not [
        text for text in texts(SUMMARY) if "target effort" in text.casefold() or "over target" in text.casefold()
    ]
