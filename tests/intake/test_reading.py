"""A returned workbook gives back what was typed, however a program rearranged its sheets."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook

import blockbook
from blockbook.intake.log import BlockLog
from blockbook.intake.reading import read_workbook
from blockbook.workbook.layout import input_name
from tests.intake.small_block import (
    BACK_OFF,
    BAND,
    BENCH,
    FEELER,
    PULL_UP,
    SESSION,
    TOP,
    WEEKS,
    clean_file,
    clean_inputs,
    edited,
    find,
    log_of,
    retyped,
    set_of,
    spec_from,
)


def what_was_typed(log: BlockLog) -> dict[str, Any]:
    """Input name -> value, of everything that is not empty."""
    typed: dict[str, Any] = {}
    for logged in log.sets:
        for column in ("load", "reps", "rpe", "note"):
            value = getattr(logged, column)
            if value not in (None, ""):
                typed[input_name(logged.key, column)] = value
    for session in log.sessions:
        typed[f"{session.key}.date"] = session.date
        typed |= {f"{session.key}.{name}": getattr(session, name) for name in SESSION}
    return typed


def contents(log: BlockLog) -> BlockLog:
    """A log without where its cells stood, for comparing files whose rows were moved."""
    sets = tuple(replace(logged, sheet="", cell="", cells={}) for logged in log.sets)
    sessions = tuple(replace(session, sheet="", cells={}) for session in log.sessions)
    return replace(log, file="", sets=sets, sessions=sessions, workbook=None, calculation=None)  # type: ignore[arg-type]


def test_a_clean_workbook_gives_back_what_was_typed_and_no_findings(tmp_path: Path) -> None:
    log = read_workbook(clean_file(tmp_path))
    assert log.findings == ()
    assert what_was_typed(log) == clean_inputs()
    assert log.file == "robin.xlsx"
    assert log.spec == spec_from().for_lifter()


def test_an_empty_workbook_reads_as_an_empty_log(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), {})
    assert log.findings == ()
    assert log.logged == {}
    assert not any(logged.started for logged in log.sets)


def test_values_typed_in_another_program_read_the_same(tmp_path: Path) -> None:
    (empty,) = blockbook.build(spec_from(), tmp_path)
    log = read_workbook(retyped(empty, clean_inputs()))
    assert log.findings == ()
    assert what_was_typed(log) == clean_inputs()


def test_notes_and_where_it_hurts_come_back_word_for_word(tmp_path: Path) -> None:
    words = {f"{TOP}/note": "last rep slow, – 3½ s", "w1.upper.where": "left elbow", "w1.upper.pain": "A"}
    log = read_workbook(retyped(clean_file(tmp_path), words))
    assert set_of(log, TOP).note == "last rep slow, – 3½ s"
    upper = next(session for session in log.sessions if session.key == "w1.upper")
    assert (upper.pain, upper.where, upper.hurts) == ("A", "left elbow", True)


ODD_LOGS: dict[str, dict[str, Any]] = {
    "as asked": {},
    "nothing in week 2": {name: None for name in clean_inputs() if name.startswith("w2.")},
    "harder than asked": {f"{TOP}/rpe": 9.5, f"{BENCH}/rpe": 9.5},
    "an off day": {f"{TOP}/load": 92.5, f"{FEELER}/rpe": 8},
    "an effort off the scale": {f"{TOP}/rpe": 85},
    "a set half filled": {f"{TOP}/reps": None},
    "text for a load": {f"{TOP}/load": "abc"},
    "a load in pounds": {f"{TOP}/load": "230 lb"},
    "an added load left out": {f"{PULL_UP}/load": None},
}


@pytest.mark.parametrize("changes", ODD_LOGS.values(), ids=ODD_LOGS)
def test_read_recomputes_the_targets_that_targets_gives(tmp_path: Path, changes: dict[str, Any]) -> None:
    log = read_workbook(retyped(clean_file(tmp_path), changes))
    expected = blockbook.targets(spec_from(), log.logged)
    assert {logged.key: logged.target_load for logged in log.sets} == expected
    assert sum(target is not None for target in expected.values()) > len(expected) / 2


def test_targets_follow_what_was_typed_not_what_the_file_remembers(tmp_path: Path) -> None:
    """openpyxl keeps no calculated values, so the targets can only come from the typed numbers."""
    path = retyped(clean_file(tmp_path), {f"{TOP}/load": 80, f"{TOP}/rpe": 9})
    assert find(load_workbook(path, data_only=True), f"{BACK_OFF}/load").offset(column=-1).value is None
    log = read_workbook(path)
    back_off = next(logged for logged in log.sets if logged.key == BACK_OFF)
    assert back_off.target_load is not None
    assert math.isclose(back_off.target_load, 80 * 0.9, abs_tol=1.25)


def test_bands_have_neither_load_nor_target(tmp_path: Path) -> None:
    band = next(logged for logged in read_workbook(clean_file(tmp_path)).sets if logged.key == BAND)
    assert (band.load, band.target_load, band.reps) == (None, None, 15)


# Rearranged by a person or a program ----------------------------------------------------------


def rename_sheets(book: Any) -> None:
    for number, name in enumerate(book.sheetnames):
        book[name].title = f"Blatt {number}"


def reverse_sheets(book: Any) -> None:
    book.move_sheet("Week 2", -20)
    book.move_sheet("blockbook", -20)


def show_hidden_sheets(book: Any) -> None:
    for sheet in book:
        sheet.sheet_state = "visible"


def insert_columns_in_front(book: Any) -> None:
    for name in (*WEEKS, "blockbook"):
        book[name].insert_cols(1, 2)


def insert_a_column_between(book: Any) -> None:
    for name in WEEKS:
        book[name].insert_cols(8)


def insert_rows_on_top(book: Any) -> None:
    for name in (*WEEKS, "blockbook"):
        book[name].insert_rows(1, 3)


def delete_everything_but_weeks(book: Any) -> None:
    for name in ("Start", "Summary", "Plates", "Tables", "Workings"):
        del book[name]


def scribble_over_the_workings(book: Any) -> None:
    for row in book["Workings"]["D3:M8"]:
        for cell in row:
            cell.value = 1000


REARRANGED: list[Callable[[Any], None]] = [
    rename_sheets,
    reverse_sheets,
    show_hidden_sheets,
    insert_columns_in_front,
    insert_a_column_between,
    insert_rows_on_top,
    delete_everything_but_weeks,
    scribble_over_the_workings,
]


@pytest.mark.parametrize("rearrange", REARRANGED, ids=lambda function: function.__name__)
def test_a_rearranged_workbook_reads_the_same(tmp_path: Path, rearrange: Callable[[Any], None]) -> None:
    path = clean_file(tmp_path)
    assert contents(read_workbook(edited(path, rearrange))) == contents(read_workbook(path))


@pytest.mark.parametrize("order", ["upside down", "by their first cells"])
def test_sorted_rows_read_the_same(tmp_path: Path, order: str) -> None:
    path = clean_file(tmp_path)
    assert contents(read_workbook(with_sorted_rows(path, order))) == contents(read_workbook(path))


def with_sorted_rows(path: Path, order: str) -> Path:
    """The plain values of the file, each week's rows in another order."""
    book, plain = load_workbook(path, data_only=True), Workbook()
    for sheet in book.worksheets:
        rows = [list(row) for row in sheet.iter_rows(values_only=True)]
        if sheet.title in WEEKS:
            rows = rows[::-1] if order == "upside down" else sorted(rows, key=lambda row: str(row[:2]))
        copy = plain.create_sheet(sheet.title)
        for row in rows:
            copy.append(row)
    changed = path.with_name("sorted.xlsx")
    plain.save(changed)
    return changed


def test_cells_say_where_each_value_stands_now(tmp_path: Path) -> None:
    path = edited(clean_file(tmp_path), insert_columns_in_front)
    top = read_workbook(path).sets[0]
    sheet = load_workbook(path)[top.sheet]
    assert [sheet[top.cells[name]].value for name in ("load", "reps", "rpe")] == [top.load, top.reps, top.rpe]


def test_the_log_as_data_holds_dates_as_text_and_keys_of_every_set(tmp_path: Path) -> None:
    data = read_workbook(clean_file(tmp_path)).to_data()
    assert data["sessions"][0]["date"] == date(2027, 1, 4).isoformat()
    assert data["block"]["start"] == "2027-01-04"
    assert {row["key"] for row in data["sets"]} == {name.split("/")[0] for name in clean_inputs() if "/" in name}
