"""Keys, headings, columns, the manifest lost: rows are found all the same, and what was guessed is said."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from openpyxl.comments import Comment

import blockbook
from blockbook.intake.findings import Finding
from blockbook.intake.log import BlockLog
from blockbook.intake.recovery import Candidate, ExpectedRow, recover
from blockbook.workbook.layout import COLUMN
from tests.intake.small_block import (
    BENCH,
    TOP,
    WEEKS,
    clean_file,
    clean_inputs,
    edited,
    find,
    row_of,
    set_of,
    spec_from,
)
from tests.intake.test_reading import what_was_typed


def read_edited(folder: Path, edit: Callable[[Any], None]) -> BlockLog:
    log: BlockLog = blockbook.read(edited(clean_file(folder), edit), spec=spec_from())
    return log


def found(log: BlockLog, code: str) -> list[Finding]:
    return [finding for finding in log.findings if finding.code == code]


# Keys ------------------------------------------------------------------------------------------


def delete_key_column(book: Any) -> None:
    for week in WEEKS:
        book[week].delete_cols(1)


def clear_keys(book: Any) -> None:
    for week in WEEKS:
        for row in range(1, book[week].max_row + 1):
            book[week].cell(row, 1).value = None


def clear_keys_and_rename(book: Any) -> None:
    clear_keys(book)
    for week in WEEKS:
        book[week].title = f"Tab{week[-1]}"


def clear_keys_and_headings(book: Any) -> None:
    clear_keys(book)
    for week in WEEKS:
        for column in range(1, 13):
            book[week].cell(2, column).value = None


@pytest.mark.parametrize("edit", [delete_key_column, clear_keys, clear_keys_and_rename, clear_keys_and_headings])
def test_rows_without_keys_are_surely_recognised(tmp_path: Path, edit: Callable[[Any], None]) -> None:
    log = read_edited(tmp_path, edit)
    assert what_was_typed(log) == clean_inputs()
    said = found(log, "rows-recovered")
    assert len(said) == len(WEEKS)
    assert all("surely right" in finding.message for finding in said)


def test_a_sheet_that_does_not_say_its_week_is_only_probably_right(tmp_path: Path) -> None:
    def edit(book: Any) -> None:
        clear_keys_and_rename(book)
        for week in WEEKS:
            book[f"Tab{week[-1]}"].cell(1, 2).value = None

    log = read_edited(tmp_path, edit)
    assert what_was_typed(log) == clean_inputs()
    assert all("probably right" in finding.message for finding in found(log, "rows-recovered"))


def test_rows_sorted_without_keys_are_kept_and_not_guessed_at(tmp_path: Path) -> None:
    def sort_by_load(book: Any) -> None:
        clear_keys(book)
        for week in WEEKS:
            sheet = book[week]
            for merged in list(sheet.merged_cells.ranges):
                sheet.unmerge_cells(str(merged))
            rows = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=3)]
            for number, values in enumerate(sorted(rows, key=lambda row: str(row[6])), start=3):
                for column, value in enumerate(values, start=1):
                    sheet.cell(number, column).value = value

    log = read_edited(tmp_path, sort_by_load)
    assert log.logged == {}
    kept = [kept.texts for kept in log.unplaced]
    assert {"load": "102.5", "reps": "5", "rpe": "8"} in kept
    assert len([texts for texts in kept if "reps" in texts]) == len([n for n in clean_inputs() if n.endswith("/reps")])


def test_rows_sorted_away_from_their_hidden_keys_are_not_read_by_them(tmp_path: Path) -> None:
    def turn_upside_down(book: Any) -> None:
        sheet = book["Week 1"]
        for merged in list(sheet.merged_cells.ranges):
            sheet.unmerge_cells(str(merged))
        rows = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=3, min_col=2)]
        for number, values in enumerate(reversed(rows), start=3):
            for column, value in enumerate(values, start=2):
                sheet.cell(number, column).value = value

    log = read_edited(tmp_path, turn_upside_down)
    assert all(logged.load is None for logged in log.sets if logged.week == 1)
    assert {"load": "102.5", "reps": "5", "rpe": "8"} in [kept.texts for kept in log.unplaced]
    assert len(found(log, "keys-moved")) == 1


def test_an_added_row_is_kept_though_it_belongs_to_no_set(tmp_path: Path) -> None:
    def add_a_set(book: Any) -> None:
        sheet, row = row_of(book, TOP)
        sheet.insert_rows(row + 1)
        for column, value in ((7, 80), (8, 5), (9, 8)):
            sheet.cell(row + 1, column).value = value

    log = read_edited(tmp_path, add_a_set)
    assert what_was_typed(log) == clean_inputs()
    (kept,) = log.unplaced
    assert kept.texts == {"load": "80", "reps": "5", "rpe": "8"}
    assert found(log, "row-unplaced")[0].cell == kept.cell


def test_rows_are_laid_beside_one_another_in_order() -> None:
    """A title was shortened, a set is gone, a row of the lifter's own was added."""
    expected = [
        ExpectedRow("title", "", "A  Back squat · rest 3 min", "back squat"),
        ExpectedRow("set", "squat.1", "1", asked=("5", "8")),
        ExpectedRow("set", "squat.2", "2", asked=("5", "8")),
        ExpectedRow("title", "", "B  Bench press", "bench press"),
        ExpectedRow("set", "bench.1", "1", asked=("8", "7")),
    ]
    labels = ["Squat, back squat", "2", "felt good", "B Bench press", "1"]
    asked = [("", ""), ("5", "8"), ("", ""), ("", ""), ("8", "7")]
    candidates = [Candidate(number, "", label, asked[number]) for number, label in enumerate(labels)]
    _, matches = recover(candidates, expected)
    assert {number: match.key for number, match in matches.items()} == {1: "squat.2", 4: "bench.1"}


# Columns ---------------------------------------------------------------------------------------


def test_retyped_headings_are_found_by_place_and_said(tmp_path: Path) -> None:
    def retype(book: Any) -> None:
        for week in WEEKS:
            for column, text in ((7, "Weight used"), (8, "Reps I did"), (9, "RPE")):
                book[week].cell(2, column).value = text

    log = read_edited(tmp_path, retype)
    assert what_was_typed(log) == clean_inputs()
    assert [finding.value for finding in found(log, "column-guessed")][:3] == ["Weight used", "Reps I did", "RPE"]


@pytest.mark.parametrize(("column", "heading"), [(7, "Load"), (8, "Reps done"), (9, "Effort felt"), (10, "Note")])
def test_a_deleted_column_is_missed_and_no_other_taken_for_it(tmp_path: Path, column: int, heading: str) -> None:
    def delete(book: Any) -> None:
        for week in WEEKS:
            book[week].delete_cols(column)

    log = read_edited(tmp_path, delete)
    gone = {7: "/load", 8: "/reps", 9: "/rpe", 10: "/note"}[column]
    sets = {name: value for name, value in clean_inputs().items() if "/" in name and not name.endswith(gone)}
    assert {name: value for name, value in what_was_typed(log).items() if "/" in name} == sets
    assert all(f'"{heading}"' in finding.message for finding in found(log, "column-missing"))


# The manifest and whose log it is ---------------------------------------------------------------


def test_without_a_manifest_the_coach_says_which_block_it_is(tmp_path: Path) -> None:
    log = read_edited(tmp_path, lambda book: book.remove(book["blockbook"]))
    assert what_was_typed(log) == clean_inputs()
    assert [finding.code for finding in log.findings] == ["manifest-missing"]


def test_what_is_passed_over_in_a_folder_is_said(tmp_path: Path) -> None:
    clean_file(tmp_path)
    (tmp_path / "remarks.pdf").write_bytes(b"%PDF-1.7 invented")
    log: BlockLog = blockbook.read(tmp_path)
    assert what_was_typed(log) == clean_inputs()
    (said,) = found(log, "left-aside")
    assert "remarks.pdf" in said.message


def test_another_name_on_the_start_sheet_is_said(tmp_path: Path) -> None:
    def rename(book: Any) -> None:
        cells = (cell for row in book["Start"].iter_rows() for cell in row)
        next(cell for cell in cells if cell.value == "Robin Sample").value = "Kim Other"

    (said,) = found(read_edited(tmp_path, rename), "lifter-differs")
    assert "Kim Other" in said.message


# Beside the cells to fill in ---------------------------------------------------------------------


def test_a_load_typed_over_the_target_is_taken_and_said(tmp_path: Path) -> None:
    def type_over(book: Any) -> None:
        sheet, row = row_of(book, TOP)
        sheet.cell(row, 6).value, sheet.cell(row, 7).value = 95, None

    log = read_edited(tmp_path, type_over)
    assert set_of(log, TOP).load == 95
    (said,) = found(log, "load-in-target")
    assert (said.value, said.cell[0]) == ("95", "F")


def test_words_over_a_formula_and_in_an_own_column_are_kept(tmp_path: Path) -> None:
    def write_beside(book: Any) -> None:
        sheet, row = row_of(book, TOP)
        sheet.cell(row, COLUMN["verdict"] + 1).value = "felt heavy"
        sheet.cell(row, 25).value = "0.42 m/s"

    log = read_edited(tmp_path, write_beside)
    assert set_of(log, TOP).raw == {"Plates, verdict": "felt heavy", "column Y": "0.42 m/s"}
    assert [finding.value for finding in found(log, "typed-beside")] == ["felt heavy", "0.42 m/s"]


def test_a_remark_beside_what_is_noted_once_a_session_is_kept_with_the_session(tmp_path: Path) -> None:
    def write_beside(book: Any) -> None:
        sheet, row = row_of(book, "w1.lower.sleep")
        sheet.cell(row, COLUMN["note"] + 1).value = "the neighbours had a party"

    log = read_edited(tmp_path, write_beside)
    lower = next(session for session in log.sessions if session.key == "w1.lower")
    assert lower.raw == {"sleep, Note": "the neighbours had a party"}
    assert [finding.code for finding in log.findings] == ["typed-beside"]


def test_a_workbook_with_the_note_before_the_verdict_is_read(tmp_path: Path) -> None:
    """As they were built before the note went behind all others."""

    def older(book: Any) -> None:
        find(book, f"{BENCH}/note").value = "slow"
        for sheet in (book[week] for week in WEEKS):
            for joined in list(sheet.merged_cells.ranges):
                sheet.unmerge_cells(str(joined))
            for row in range(2, sheet.max_row + 1):
                verdict, note = (sheet.cell(row, COLUMN[name] + 1) for name in ("verdict", "note"))
                verdict.value, note.value = note.value, verdict.value

    log = read_edited(tmp_path, older)
    assert set_of(log, BENCH).note == "slow"
    assert log.findings == ()


def test_a_comment_is_kept_behind_the_note(tmp_path: Path) -> None:
    def comment(book: Any) -> None:
        sheet, row = row_of(book, BENCH)
        sheet.cell(row, 7).comment = Comment("left shoulder pinched", "Robin")
        sheet.cell(row, COLUMN["note"] + 1).value = "slow"

    log = read_edited(tmp_path, comment)
    assert set_of(log, BENCH).note == "slow; left shoulder pinched"
    (said,) = found(log, "comment-on-cell")
    assert "left shoulder pinched" in said.message


@pytest.mark.parametrize("cell", ["N60", "N200", "AC5", "AF200"])
def test_words_typed_far_off_are_kept_and_told(tmp_path: Path, cell: str) -> None:
    def type_beside(book: Any) -> None:
        book["Week 1"][cell].value = "hello coach"

    log = read_edited(tmp_path, type_beside)
    (told,) = found(log, "row-unplaced")
    assert (told.cell, [*log.unplaced[0].texts.values()]) == (cell, ["hello coach"])
    assert '"hello coach"' in told.message
