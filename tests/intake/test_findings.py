"""Every kind of finding, by an example of what lifters type and what happens to rows and sheets."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, time
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from blockbook.assessment.pain import unnamed
from blockbook.intake.cells import read_minutes
from blockbook.intake.findings import KINDS, Finding
from blockbook.intake.log import BlockLog
from blockbook.intake.reading import read_workbook
from blockbook.intake.report import csv_rows, csv_tables, text_report
from blockbook.workbook.assemble import assemble
from blockbook.workbook.layout import COLUMN
from tests.intake.small_block import (
    BACK_OFF,
    BAND,
    BENCH,
    PRESS,
    PULL_UP,
    TOP,
    clean_file,
    clean_inputs,
    edited,
    log_of,
    retyped,
    row_of,
    set_of,
    spec_from,
)

UPPER_1 = {name: None for name in clean_inputs() if name.startswith("w1.upper.")}


class Typed(NamedTuple):
    """What is typed over a clean workbook, what is found, and what the log holds then.

    at: the cell that the finding names; value: what the log takes from it.
    """

    code: str
    typed: dict[str, Any]
    at: str
    value: Any


TYPED: dict[str, Typed] = {
    "load missing": Typed("set-half-filled", {f"{TOP}/load": None}, f"{TOP}/load", None),
    "reps missing": Typed("set-half-filled", {f"{TOP}/reps": None}, f"{TOP}/reps", None),
    "effort missing": Typed("effort-missing", {f"{TOP}/rpe": None}, f"{TOP}/rpe", None),
    "effort 11": Typed("effort-off-scale", {f"{TOP}/rpe": 11}, f"{TOP}/rpe", 11),
    "effort 0": Typed("effort-off-scale", {f"{TOP}/rpe": 0}, f"{TOP}/rpe", 0),
    "effort as a date": Typed("date-for-number", {f"{TOP}/rpe": datetime(2027, 8, 7)}, f"{TOP}/rpe", 7.5),
    "any date for effort": Typed("date-for-number", {f"{TOP}/rpe": datetime(2027, 1, 31)}, f"{TOP}/rpe", None),
    "reps as a date": Typed("date-for-number", {f"{TOP}/reps": datetime(2027, 8, 5)}, f"{TOP}/reps", 5),
    "reps 5.5": Typed("reps-not-whole", {f"{TOP}/reps": 5.5}, f"{TOP}/reps", 5.5),
    "reps 850": Typed("number-out-of-range", {f"{TOP}/reps": 850}, f"{TOP}/reps", 850),
    "load below 0": Typed("number-out-of-range", {f"{TOP}/load": -100}, f"{TOP}/load", -100),
    "load 1075 for 107.5": Typed("digit-slip", {f"{TOP}/load": 1075}, f"{TOP}/load", 1075),
    "load 83.3": Typed("load-not-loadable", {f"{TOP}/load": 83.3}, f"{TOP}/load", 83.3),
    "stack load between steps": Typed("load-not-loadable", {f"{PRESS}/load": 97.5}, f"{PRESS}/load", 97.5),
    "text for load": Typed("not-a-number", {f"{TOP}/load": "abc"}, f"{TOP}/load", None),
    "text for minutes": Typed("not-a-number", {"w1.upper.minutes": "long"}, "w1.upper.minutes", None),
    "a sign for not done": Typed("not-done", {f"{TOP}/load": "-"}, f"{TOP}/load", None),
    "a tick": Typed("tick", {f"{TOP}/load": "✓"}, f"{TOP}/load", None),
    "decimal comma": Typed("number-understood", {f"{TOP}/load": "97,5"}, f"{TOP}/load", 97.5),
    "unit behind": Typed("number-understood", {f"{TOP}/load": "97.5 kg"}, f"{TOP}/load", 97.5),
    "sign in front of effort": Typed("number-understood", {f"{TOP}/rpe": "@8"}, f"{TOP}/rpe", 8),
    "pounds": Typed("unit-converted", {f"{TOP}/load": "185 lb"}, f"{TOP}/load", 83.91),
    "range of reps": Typed("range-for-number", {f"{TOP}/reps": "5-6"}, f"{TOP}/reps", 5),
    "range of effort": Typed("range-for-number", {f"{TOP}/rpe": "8-9"}, f"{TOP}/rpe", 8.5),
    "a date without its year": Typed("date-understood", {"w1.upper.date": "7.1."}, "w1.upper.date", date(2027, 1, 7)),
    "not a date": Typed("not-a-date", {"w1.upper.date": "Thursday"}, "w1.upper.date", None),
    "a session left out": Typed("session-skipped", UPPER_1, "w1.upper.date", None),
    "pain": Typed("pain-reported", {"w1.upper.pain": "yes"}, "w1.upper.pain", "yes"),
    "a date for reps, as plain number": Typed("date-for-number", {f"{TOP}/reps": 46179}, f"{TOP}/reps", 6),
    "sleep as a time": Typed("number-understood", {"w1.upper.sleep": 0.3125}, "w1.upper.sleep", 7.5),
    "sleep as text": Typed("number-understood", {"w1.upper.sleep": "7:30"}, "w1.upper.sleep", 7.5),
    "minutes as a time": Typed("number-understood", {"w1.upper.minutes": time(1, 10)}, "w1.upper.minutes", 70),
    "minutes as a share of a day": Typed("number-understood", {"w1.upper.minutes": 70 / 1440}, "w1.upper.minutes", 70),
    "minutes as text": Typed("number-understood", {"w1.upper.minutes": "1:10"}, "w1.upper.minutes", 70),
    "illness in a note": Typed("illness-in-note", {f"{TOP}/note": "was ill"}, f"{TOP}/note", "was ill"),
    "no rep": Typed("no-rep-done", {f"{TOP}/reps": 0, f"{TOP}/rpe": 10}, f"{TOP}/reps", 0),
    "a set in a note": Typed("set-in-note", {f"{TOP}/note": "one more 70x8 @9"}, f"{TOP}/note", "one more 70x8 @9"),
    "reps left where effort is asked": Typed("reserve-for-effort", {f"{TOP}/rpe": 2}, f"{TOP}/rpe", 2),
    "pain at an exercise": Typed("pain-reported", {"w1.upper.pain": "b"}, "w1.upper.pain", "b"),
}


@pytest.mark.parametrize("case", TYPED.values(), ids=TYPED)
def test_what_was_typed_is_found_and_placed(tmp_path: Path, case: Typed) -> None:
    log = read_workbook(retyped(clean_file(tmp_path), case.typed))
    found = only(log, case.code)
    column = case.at.partition("/")[2]
    sheet, row = row_of_input(case.at)
    assert found.sheet == sheet
    assert found.cell == f"{'ABCDEFGHIJKL'[COLUMN[column or 'load']]}{row}"
    assert found.severity == KINDS[case.code].severity
    assert value_of(log, case.at) == case.value


def row_of_input(name: str) -> tuple[str, int]:
    """Sheet and row of an input in the workbook as it was sent."""
    cell = assemble(spec_from()).book.inputs[name]
    return cell.sheet, cell.row + 1


def value_of(log: BlockLog, name: str) -> Any:
    key, _, column = name.partition("/")
    if column:
        return getattr(set_of(log, key), column)
    session_key, _, asked = key.rpartition(".")
    return getattr(next(session for session in log.sessions if session.key == session_key), asked)


def only(log: BlockLog, code: str) -> Finding:
    (found,) = [found for found in log.findings if found.code == code]
    return found


@pytest.mark.parametrize("text", ["abc", "185 stone", "heavy", "1,234", "ten and a half"])
def test_what_is_not_understood_is_an_error_and_kept_as_typed(tmp_path: Path, text: str) -> None:
    log = read_workbook(retyped(clean_file(tmp_path), {f"{TOP}/load": text}))
    found = only(log, "not-a-number")
    assert (found.severity, found.value) == ("error", text)
    assert text in found.message
    assert set_of(log, TOP).load is None
    assert set_of(log, TOP).raw == {"load": text}
    (written,) = [entry for entry in log.to_data()["sets"] if entry["key"] == TOP]
    assert written["raw"] == {"load": text}


def test_text_for_a_load_is_not_also_called_missing(tmp_path: Path) -> None:
    log = read_workbook(retyped(clean_file(tmp_path), {f"{TOP}/load": "abc"}))
    assert [found.code for found in log.findings] == ["not-a-number"]


def test_a_body_weight_in_the_other_unit_is_offered_in_the_blocks(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), {**clean_inputs(), "w1.upper.body_weight": 155})
    (found,) = log.findings
    assert found.message.endswith("Typed in the other unit? Then it is 70.3 kg.")
    assert found.likely == {"w1.upper.body_weight": 70.3}


@pytest.mark.parametrize("typed", [{"load": "skip"}, {"reps": "skip"}, {"load": "skip", "reps": "skip", "rpe": "-"}])
def test_a_set_that_was_skipped_is_said_once(tmp_path: Path, typed: dict[str, str]) -> None:
    inputs = {**clean_inputs(), **{f"{TOP}/{column}": typed.get(column) for column in ("load", "reps", "rpe")}}
    log = log_of(tmp_path, spec_from(), inputs)
    assert [found.code for found in log.findings] == ["not-done"]
    assert set_of(log, TOP).raw == typed


def test_a_number_beside_a_skip_is_looked_at(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), {**clean_inputs(), f"{TOP}/load": "skip", f"{TOP}/rpe": None})
    assert {found.code for found in log.findings} == {"not-done", "effort-missing"}


def test_understood_numbers_keep_what_was_typed(tmp_path: Path) -> None:
    log = read_workbook(retyped(clean_file(tmp_path), {f"{TOP}/load": "185 lb", f"{TOP}/rpe": "8-9"}))
    assert set_of(log, TOP).raw == {"load": "185 lb", "rpe": "8-9"}
    assert "converted from 185 lb" in only(log, "unit-converted").message.casefold()


def test_kilograms_in_a_pound_block_are_converted(tmp_path: Path) -> None:
    spec = spec_from(("unit: kg", "unit: lb"))
    log = log_of(tmp_path, spec, {f"{TOP}/load": "100 kg", f"{TOP}/reps": 5, f"{TOP}/rpe": 8})
    assert set_of(log, TOP).load == 220
    assert only(log, "unit-converted").value == "100 kg"
    assert only(log, "unit-converted").message.endswith("converted from 100 kg, taken as 220, the load that is made.")
    assert "load-not-loadable" not in [found.code for found in log.findings]


def test_a_converted_load_that_is_not_made_is_told_as_typed(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), {f"{TOP}/load": "185 lb", f"{TOP}/reps": 5, f"{TOP}/rpe": 8})
    assert set_of(log, TOP).load == 83.91
    assert only(log, "load-not-loadable").value == "185 lb"


def test_what_was_understood_alike_is_one_note_a_session(tmp_path: Path) -> None:
    typed = {f"{TOP}/rpe": "8,5", f"{BACK_OFF}/rpe": "8,5", f"{PRESS}/load": "7,5", f"{BENCH}/rpe": "7,5"}
    log = read_workbook(retyped(clean_file(tmp_path), typed))
    lower, upper = (found for found in log.findings if found.code == "number-understood")
    assert lower.message == (
        'back squat, set 1, effort (I10), back squat, set 2, effort (I11): read "8,5" as 8.5. '
        'leg press, set 1, load (G16): read "7,5" as 7.5.'
    )
    assert (lower.cell, lower.value) == ("I10", "8,5; 7,5")
    assert upper.message == 'bench press, set 1, effort: read "7,5" as 7.5.'


def test_a_date_understood_as_effort_is_said(tmp_path: Path) -> None:
    found = only(read_workbook(retyped(clean_file(tmp_path), TYPED["effort as a date"].typed)), "date-for-number")
    assert "7-8" in found.message


def test_an_unlikely_date_keeps_what_the_file_said(tmp_path: Path) -> None:
    log = read_workbook(retyped(clean_file(tmp_path), TYPED["any date for effort"].typed))
    assert "2027-01-31" in only(log, "date-for-number").value
    assert "2027-01-31" in set_of(log, TOP).raw["rpe"]


def test_a_text_that_is_no_date_is_kept(tmp_path: Path) -> None:
    log = read_workbook(retyped(clean_file(tmp_path), {"w1.upper.date": "Thursday"}))
    upper = next(session for session in log.sessions if session.key == "w1.upper")
    assert (upper.date, upper.raw) == (None, {"date": "Thursday"})


def test_pain_is_told_first_and_names_exercise_and_place(tmp_path: Path) -> None:
    typed = {"w1.upper.pain": "b", "w1.upper.where": "left elbow", f"{TOP}/load": "abc"}
    first = read_workbook(retyped(clean_file(tmp_path), typed)).findings[0]
    assert first.code == "pain-reported"
    assert "pull-up" in first.message
    assert "left elbow" in first.message


@pytest.mark.parametrize("answer", ["none", "None", "no", " NO ", 0, None])
def test_no_pain_is_no_finding(tmp_path: Path, answer: Any) -> None:
    assert read_workbook(retyped(clean_file(tmp_path), {"w1.upper.pain": answer})).findings == ()


@pytest.mark.parametrize(("then", "held"), [(None, True), ("none", False), ("b", True)])
def test_pain_that_was_answered_later_is_not_said_to_be_held(tmp_path: Path, then: str | None, held: bool) -> None:
    log = log_of(tmp_path, spec_from(), {**clean_inputs(), "w1.upper.pain": "b", "w2.upper.pain": then})
    first = next(found for found in log.findings if found.code == "pain-reported")
    assert ("held until" in first.hint, "by half steps" in first.hint) == (held, not held)


def test_where_it_hurts_alone_is_pain_too(tmp_path: Path) -> None:
    log = read_workbook(retyped(clean_file(tmp_path), {"w1.upper.where": "left elbow"}))
    assert "left elbow" in only(log, "pain-reported").message


def test_help_at_a_body_weight_exercise_is_said_not_to_count(tmp_path: Path) -> None:
    helped = {f"w{week}.upper.pull-up.{number}/load": "bw-20" for week in (1, 2) for number in (1, 2)}
    log = log_of(tmp_path, spec_from(), {**clean_inputs(), **helped})
    said = {found.message for found in log.findings if found.code == "number-out-of-range"}
    assert any("20 kg of help (a band, a machine) is not counted" in each for each in said)


def test_the_coach_reads_where_an_alarm_was_lifted_by_the_lifter(tmp_path: Path) -> None:
    unsaid = {key: None for key in clean_inputs() if key.endswith(".pain")}
    for number, answers in enumerate(({}, {"w2.lower.pain": "none"})):
        (folder := tmp_path / str(number)).mkdir()
        alarm = {**clean_inputs(), **unsaid, "w1.upper.bench-press.1/note": "dizzy", **answers}
        found = next(each for each in log_of(folder, spec_from(), alarm).findings if each.code == "alarm-noted")
        assert ("In week 2, Lower, Pain? says none, so the sheet goes on from there." in found.message) == bool(answers)


def test_training_on_after_an_alarm_without_an_answer_is_told(tmp_path: Path) -> None:
    unsaid = {key: None for key in clean_inputs() if key.endswith(".pain")}
    alarm = {**clean_inputs(), **unsaid, "w1.upper.bench-press.1/note": "dizzy", "w2.upper.pain": "none"}
    found = only(log := log_of(tmp_path, spec_from(), alarm), "alarm-ignored")
    assert (found.severity, found.message.endswith("no answer under Pain since: Lower (week 2).")) == ("error", True)
    assert only(log, "alarm-noted").severity == "warning"  # answered in the end


def test_an_alarm_where_the_sheet_does_not_look_is_told_so_and_stays_open(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), {**clean_inputs(), "w1.lower.squat.1/rpe": "9 dizzy"})
    assert only(log, "alarm-noted").hint.endswith("the next one strikes all loads out.")
    assert log.alarm_open


@pytest.mark.parametrize("answer", ["none", "none, chest fine, cleared by doctor"])
def test_none_under_pain_beside_a_note_of_alarm_is_no_pain_of_the_whole_session(answer: str, tmp_path: Path) -> None:
    alarm = {"w1.lower.squat.1/note": "chest pain", "w1.lower.pain": answer}
    log = log_of(tmp_path, spec_from(), {**clean_inputs(), **alarm})
    codes = [found.code for found in log.findings]
    assert (codes[0], "pain-reported" in codes) == ("alarm-noted", False)
    assert unnamed(log) == []


def test_none_beside_a_place_that_hurts_says_what_holds_the_load(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), {**clean_inputs(), "w1.upper.pain": "None", "w1.upper.where": "left elbow"})
    found = only(log, "pain-reported")
    assert found.message == 'Pain in week 1, Upper: Pain? says "None", and yet it says where it hurts: left elbow.'
    assert found.value == "left elbow"
    assert found.hint.endswith("if nothing hurts, empty it.")


def test_pain_is_carried_into_the_targets_of_the_next_week(tmp_path: Path) -> None:
    easy = {f"w1.upper.pull-up.{n}/rpe": 6 for n in (1, 2)}
    well = read_workbook(retyped(clean_file(tmp_path), easy))
    hurt = read_workbook(retyped(clean_file(tmp_path), {**easy, "w1.upper.pain": "B"}))
    key = PULL_UP.replace("w1", "w2")
    lifted = set_of(hurt, PULL_UP).load
    raised, held = set_of(well, key).target_load, set_of(hurt, key).target_load
    assert raised is not None
    assert held is not None
    assert lifted is not None
    assert held <= lifted < raised


def test_bands_need_no_load_but_reps_and_effort(tmp_path: Path) -> None:
    log = read_workbook(retyped(clean_file(tmp_path), {f"{BAND}/reps": None}))
    assert only(log, "set-half-filled").message.endswith("reps missing.")


def test_a_band_has_no_load_that_is_held_without_effort(tmp_path: Path) -> None:
    assert read_workbook(retyped(clean_file(tmp_path), {f"{BAND}/rpe": None})).findings == ()


def test_an_unfinished_block_has_no_skipped_session(tmp_path: Path) -> None:
    rest = {name: None for name in clean_inputs() if not name.startswith("w1.lower.")}
    assert read_workbook(retyped(clean_file(tmp_path), rest)).findings == ()


def test_sets_left_out_of_a_session_that_was_done_are_one_note(tmp_path: Path) -> None:
    keys = (f"{BENCH[:-1]}3", PULL_UP, f"{PULL_UP[:-1]}2")
    untouched = {f"{key}/{column}": None for key in keys for column in ("load", "reps", "rpe")}
    (found,) = read_workbook(retyped(clean_file(tmp_path), untouched)).findings
    assert (found.code, found.severity) == ("sets-left-out", "note")
    assert found.message == "Week 1, Upper: nothing typed for bench press (1 of 3 sets), pull-up (all 2 sets)."


def test_a_set_said_to_be_left_out_is_not_told_twice(tmp_path: Path) -> None:
    untouched = {f"{BENCH[:-1]}3/{column}": None for column in ("reps", "rpe")}
    log = read_workbook(retyped(clean_file(tmp_path), untouched | {f"{BENCH[:-1]}3/load": "-"}))
    assert [found.code for found in log.findings] == ["not-done"]


# Rows and sheets ------------------------------------------------------------------------------


def delete_a_row(book: Any) -> None:
    sheet, row = row_of(book, TOP)
    sheet.delete_rows(row)


def clear_a_key(book: Any) -> None:
    sheet, row = row_of(book, TOP)
    sheet.cell(row, 1).value = None


def delete_a_week(book: Any) -> None:
    del book["Week 2"]


def copy_a_row(book: Any) -> None:
    sheet, row = row_of(book, TOP)
    below = sheet.max_row + 2
    for column in range(1, COLUMN["note"] + 2):
        sheet.cell(below, column).value = sheet.cell(row, column).value


def misspell_a_key(book: Any) -> None:
    sheet, row = row_of(book, TOP)
    sheet.cell(row, 1).value = "w1.lower.squad.1"


ROWS: dict[str, tuple[str, str, Callable[[Any], None]]] = {
    "a set's row deleted": ("row-missing", TOP, delete_a_row),
    "a key cleared": ("rows-recovered", "", clear_a_key),
    "a week deleted": ("week-missing", "", delete_a_week),
    "a row copied": ("row-duplicate", TOP, copy_a_row),
    "a key misspelt": ("row-unknown", "w1.lower.squad.1", misspell_a_key),
}


@pytest.mark.parametrize(("code", "value", "edit"), ROWS.values(), ids=ROWS)
def test_what_happened_to_rows_is_found(tmp_path: Path, code: str, value: str, edit: Callable[[Any], None]) -> None:
    found = only(read_workbook(edited(clean_file(tmp_path), edit)), code)
    assert found.value == value
    assert found.severity == KINDS[code].severity
    assert found.sheet in ("Week 1", "Week 2")


def test_every_kind_of_finding_has_its_example() -> None:
    folders = (Path(__file__).parent, Path(__file__).parent.parent / "assessment")
    tests = "".join(path.read_text("utf-8") for folder in folders for path in folder.glob("test_*.py"))
    assert [code for code in KINDS if f'"{code}"' not in tests] == []


def test_a_deleted_row_leaves_the_others_in_place(tmp_path: Path) -> None:
    log = read_workbook(edited(clean_file(tmp_path), delete_a_row))
    others = {name: value for name, value in clean_inputs().items() if name.startswith("w1.upper.bench")}
    assert others == {name: value_of(log, name) for name in others}
    assert (set_of(log, TOP).load, set_of(log, TOP).reps) == (None, None)


def test_a_deleted_week_is_one_finding_not_one_a_row(tmp_path: Path) -> None:
    log = read_workbook(edited(clean_file(tmp_path), delete_a_week))
    assert [found.code for found in log.findings] == ["week-missing"]
    assert "week 2" in log.findings[0].message
    assert all(logged.done == (logged.week == 1) for logged in log.sets)


@pytest.mark.parametrize("name", ["pain", "effort", "date"])
def test_a_deleted_row_of_the_session_is_found_too(tmp_path: Path, name: str) -> None:
    """Without its row nobody can tell "no pain" from "the pain row is gone"."""

    def delete(book: Any) -> None:
        sheet, row = row_of(book, f"w1.upper.{name}")
        sheet.delete_rows(row)

    log = read_workbook(edited(clean_file(tmp_path), delete))
    assert only(log, "row-missing").value == f"w1.upper.{name}"


@pytest.mark.parametrize("fuller", ["first", "second"])
def test_of_a_duplicated_row_the_fuller_is_used(tmp_path: Path, fuller: str) -> None:
    def copy_and_change(book: Any) -> None:
        sheet, row = row_of(book, TOP)
        copy_a_row(book)
        other = row if fuller == "second" else sheet.max_row
        sheet.cell(other, COLUMN["load"] + 1).value = 60
        sheet.cell(other, COLUMN["rpe"] + 1).value = None

    log = read_workbook(edited(clean_file(tmp_path), copy_and_change))
    top = set_of(log, TOP)
    expected = [clean_inputs()[f"{TOP}/{column}"] for column in ("load", "reps", "rpe")]
    assert [top.load, top.reps, top.rpe] == expected
    assert TOP in only(log, "row-duplicate").message


def test_findings_come_errors_first(tmp_path: Path) -> None:
    typed = {f"{TOP}/load": "97,5", f"{TOP}/reps": 5.5, f"{BENCH}/load": "abc", "w1.lower.pain": "A"}
    findings = read_workbook(retyped(clean_file(tmp_path), typed)).findings
    assert [found.code for found in findings] == [
        "pain-reported",
        "not-a-number",
        "reps-not-whole",
        "number-understood",
    ]


# What people read -----------------------------------------------------------------------------


def test_the_report_fits_a_page_and_says_what_to_do(tmp_path: Path) -> None:
    text = text_report(read_workbook(retyped(clean_file(tmp_path), {f"{TOP}/load": "abc"})))
    assert "Robin Sample" in text
    assert " ".join(KINDS["not-a-number"].hint.split()) in " ".join(text.split())
    assert all(len(line) <= 79 for line in text.splitlines())


def test_the_report_of_a_clean_log_says_so(tmp_path: Path) -> None:
    assert "No findings" in text_report(read_workbook(clean_file(tmp_path)))


def test_an_effort_off_the_scale_is_not_in_the_mean_of_the_report(tmp_path: Path) -> None:
    """The finding says that it was not used."""
    text = text_report(read_workbook(retyped(clean_file(tmp_path), {f"{TOP}/rpe": 85})))
    (week_1,) = [line for line in text.splitlines() if line.startswith("1     ")]
    assert "on target" in week_1


@pytest.mark.parametrize("note", ["=1+1", '=HYPERLINK("http://example.invalid")', "+1", "-1 kg", "@here"])
def test_csv_keeps_a_note_from_becoming_a_formula(tmp_path: Path, note: str) -> None:
    log = log_of(tmp_path, spec_from(), {**clean_inputs(), f"{TOP}/note": note})
    (line,) = [row for row in csv_tables([csv_rows(log)])["sets.csv"].splitlines() if f",{TOP}," in row]
    quoted = note.replace('"', '""')
    assert f"'{quoted}" in line
    assert f",{quoted}" not in line
    assert set_of(log, TOP).note == note


def test_a_load_that_cannot_be_made_is_told_once_an_exercise_and_session(tmp_path: Path) -> None:
    sets = {f"{TOP[:-1]}{number}/load": 83.3 for number in (1, 2, 3)}
    log = log_of(tmp_path, spec_from(), {**clean_inputs(), **sets})
    assert only(log, "load-not-loadable").message.startswith("83.3 kg cannot be made")


@pytest.mark.parametrize(("typed", "minutes"), [("1h", 60), ("2 h", 120), ("1 Std", 60), ("1h15", 75)])
def test_hours_are_understood_as_minutes(typed: str, minutes: float) -> None:
    assert read_minutes(typed).value == minutes


def test_a_weeks_load_says_which_sessions_it_is_without(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), {**clean_inputs(), "w1.upper.minutes": "long", "w2.upper.minutes": 60})
    assert "Session load: without Upper of week 1, where effort or minutes are missing." in text_report(log)
