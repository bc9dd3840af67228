"""A block changed half-way: what is carried over, what goes to the sheet Earlier log, and what is refused."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import pytest

import blockbook
from blockbook.errors import BlockbookError
from blockbook.intake.carry_report import carry_report
from blockbook.intake.carrying import Carried, carry, typed_rows
from blockbook.intake.log import BlockLog
from blockbook.intake.reading import read_workbook
from blockbook.intake.report import csv_rows, csv_tables, text_report
from blockbook.workbook.layout import TYPED
from blockbook.workbook.write import block_bytes
from tests.intake.small_block import (
    SMALL_BLOCK,
    TOP,
    clean_file,
    clean_inputs,
    edited,
    log_of,
    row_of,
    set_of,
    spec_from,
)
from tests.oracles.programs import libreoffice

Change = tuple[str, str]

SWAPPED = ("exercise: leg press", "exercise: hip thrust")
SWAPPED_BY_ID = ("exercise: back squat\n        id: squat", "exercise: front squat\n        id: squat")
FEWER_SETS = ("exercise: pull-up\n        sets: 2", "exercise: pull-up\n        sets: 1")
LOWER, UPPER = SMALL_BLOCK[SMALL_BLOCK.index("  - name: Lower") :].split("  - name: Upper")
PRESS, BAND = LOWER.split("      - exercise: ")[2:]
SESSIONS_TURNED = (f"{LOWER}  - name: Upper{UPPER}", f"  - name: Upper{UPPER}{LOWER}")
SLOTS_TURNED = (f"{PRESS}      - exercise: {BAND}", f"{BAND}      - exercise: {PRESS}")


ODD = (
    "85kg", "82,5", "85", "8-9", " bw+20 ", "=1+1", '=HYPERLINK("http://example.invalid")', "+20", "-", "@8", "{=1}",
    "'85", "\ttwo\nlines", "_x0041_", "x" * 32_767, 0.1, 1e308, date(2026, 9, 8), datetime(1900, 3, 24, 12),
    time(2, 24), timedelta(hours=30), True, False,
)  # fmt: skip


def first_week(**also: Any) -> dict[str, Any]:
    """Week 1 of the small block done as asked; `also`: session inputs of Lower."""
    week = {name: value for name, value in clean_inputs().items() if name.startswith("w1.")}
    return week | {f"w1.lower.{name}": value for name, value in also.items()}


@pytest.fixture(name="log", scope="module")
def _log(tmp_path_factory: pytest.TempPathFactory) -> BlockLog:
    """The small block come back after week 1."""
    return log_of(tmp_path_factory.mktemp("returned"), spec_from(), first_week())


@pytest.fixture(name="painful", scope="module")
def _painful(tmp_path_factory: pytest.TempPathFactory) -> BlockLog:
    """The same with pain at the leg press, exercise B of its session."""
    typed = first_week(pain="b", where="left knee")
    return log_of(tmp_path_factory.mktemp("painful"), spec_from(), typed)


def rebuilt(folder: Path, log: BlockLog, *changes: Change) -> tuple[Carried, BlockLog]:
    """What is carried from a log into the changed small block, and that block's workbook read back."""
    spec = spec_from(*changes)
    carried = carry([log], spec)
    path = folder / "rebuilt.xlsx"
    path.write_bytes(block_bytes(spec, carried.typed, carried.earlier))
    return carried, read_workbook(path)


def filled(log: BlockLog, but: str = "nothing") -> dict[str, Any]:
    """What was typed, by input name, but for names that begin as said."""
    return {name: value for name, value in log.typed.items() if value != "" and not name.startswith(but)}


def left(carried: Carried) -> dict[str, str]:
    """Key of each row that goes to the sheet Earlier log -> why."""
    return {row.key: why for row, why in carried.left}


def cells(keys: str) -> list[str]:
    return [f"{key}/{column}" for key in keys.split() for column in TYPED]


def exactly(values: Mapping[str, Any]) -> dict[str, str]:
    """Equal only if the kind of value is the same too: 1.0 is not True, and "85" is not 85."""
    return {name: repr(float(value) if type(value) is int else value) for name, value in values.items()}


# What keeps its place


def test_an_unchanged_block_is_built_as_it_came_back(tmp_path: Path) -> None:
    typed = {name: float(value) if isinstance(value, int) else value for name, value in first_week().items()}
    (path := tmp_path / "returned.xlsx").write_bytes(block_bytes(spec_from(), typed))
    assert block_bytes(spec_from(), carry([read_workbook(path)], spec_from()).typed) == path.read_bytes()


def test_what_was_typed_is_carried_exactly_as_it_stood_wherever_it_goes(tmp_path: Path) -> None:
    kept = cells(
        "w1.lower.squat.1 w1.lower.squat.2 w1.lower.squat.3 w2.lower.squat.1 w2.lower.squat.2 w2.lower.squat.3"
    )
    gone = cells("w1.lower.leg-press.1 w1.lower.leg-press.2 w2.lower.leg-press.1 w2.lower.leg-press.2 "
                 "w1.upper.pull-up.2 w2.upper.pull-up.2")  # fmt: skip
    assert len(ODD) <= len(kept) == len(gone)
    carried_on = {**dict(zip(kept, ODD, strict=False)), "w1.lower.minutes": "55 min", "w1.lower.where": "=1+1"}
    left_over = dict(zip(gone, ODD, strict=False))
    log = log_of(tmp_path, spec_from(), carried_on | left_over)
    carried, again = rebuilt(tmp_path, log, SWAPPED, FEWER_SETS)
    shown = {f"{row.key}/{column}": getattr(row, column) for row in again.earlier for column in TYPED}
    assert exactly(filled(again)) == exactly(carried_on)
    assert exactly({name: value for name, value in shown.items() if value is not None}) == exactly(left_over)
    assert again.earlier == carried.earlier


@pytest.mark.parametrize("change", [SESSIONS_TURNED, SLOTS_TURNED], ids=["sessions", "slots"])
def test_another_order_of_sessions_or_exercises_keeps_the_log_right(
    tmp_path: Path, log: BlockLog, change: Change
) -> None:
    carried, again = rebuilt(tmp_path, log, change)
    assert (filled(again), carried.left) == (filled(log), ())
    logged = {one.key: (one.exercise, one.load, one.reps, one.rpe, one.note) for one in log.sets}
    assert {one.key: (one.exercise, one.load, one.reps, one.rpe, one.note) for one in again.sets} == logged


def test_loads_of_the_coming_week_follow_what_was_carried(tmp_path: Path) -> None:
    strong = first_week() | {"w1.lower.squat.1/load": 100, "w1.lower.squat.1/reps": 9}
    log = log_of(tmp_path, spec_from(), strong)
    _, again = rebuilt(tmp_path, log, FEWER_SETS)
    squat = set_of(again, "w2.lower.squat.1").target_load
    assert squat == set_of(log, "w2.lower.squat.1").target_load
    assert squat != blockbook.targets(spec_from(), {})["w2.lower.squat.1"]


def test_a_swapped_exercise_starts_as_new(tmp_path: Path, log: BlockLog) -> None:
    _, again = rebuilt(tmp_path, log, SWAPPED_BY_ID)
    kept = {key: typed for key, typed in log.logged.items() if ".squat." not in key}
    assert again.logged == kept
    fresh = blockbook.targets(spec_from(SWAPPED_BY_ID), kept)["w2.lower.squat.1"]
    assert set_of(again, "w2.lower.squat.1").target_load == fresh


# What goes to the sheet Earlier log


@pytest.mark.parametrize(
    ("change", "gone", "why"),
    [
        (SWAPPED, "w1.lower.leg-press.", "no longer in the block"),
        (SWAPPED_BY_ID, "w1.lower.squat.", "now front squat"),
        (FEWER_SETS, "w1.upper.pull-up.2", "fewer sets now"),
        (("        feeler: true\n", "        feeler: false\n"), "w1.upper.bench-press.feeler", "no feeler now"),
        (("- name: Upper\n", "- name: Pull\n    id: pull\n"), "w1.upper.", "the session is no longer in the block"),
    ],
    ids=["exercise", "exercise with an id", "set", "feeler", "session"],
)
def test_what_has_no_place_any_more_goes_there(log: BlockLog, change: Change, gone: str, why: str) -> None:
    carried = carry([log], spec_from(change))
    assert left(carried) == {row.key: why for row in typed_rows(log) if row.key.startswith(gone)}
    assert carried.typed == filled(log, but=gone)


def test_an_exercise_that_moved_to_another_session_is_a_new_one_there(log: BlockLog) -> None:
    moved = ("      - exercise: pull-up", f"      - exercise: {PRESS}      - exercise: pull-up")
    carried = carry([log], spec_from((f"      - exercise: {PRESS}", ""), moved))
    assert set(left(carried).values()) == {"no longer in this session"}


def test_an_exercise_with_another_id_goes_there_and_its_old_id_is_named(log: BlockLog) -> None:
    carried = carry([log], spec_from(("exercise: leg press", "exercise: leg press\n        id: press")))
    assert set(left(carried).values()) == {"nothing in this session has the id leg-press any more"}


def test_a_renamed_session_is_told_the_id_that_keeps_its_log(log: BlockLog) -> None:
    carried = carry([log], spec_from(("- name: Upper", "- name: Push and pull")))
    assert carried.remarks == (
        "Session Upper is gone and Push and pull is new. If it is the same under a new name, give it id: upper "
        "(in a plan workbook upper under Session id, far right on the Plan) and build again.",
    )
    assert carry([log], spec_from(("- name: Upper", "- name: Push and pull\n    id: upper"))).typed == filled(log)


def test_weeks_cut_off_go_there_and_it_is_said(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), clean_inputs())
    carried = carry([log], spec_from(("weeks: 2", "weeks: 1"), ("rpe: [7.5, 8]", "rpe: 7.5")))
    assert left(carried) == {row.key: "the block is 1 week now" for row in typed_rows(log) if row.week == 2}
    assert carried.remarks == ("The block was 2 weeks long and is 1 week now.",)


def test_a_start_that_moved_keeps_weeks_and_dates(log: BlockLog) -> None:
    carried = carry([log], spec_from(("start: 2027-01-04", "start: 2027-01-11")))
    assert carried.typed == filled(log)
    assert carried.remarks[0].startswith("The start moved from 2027-01-04 to 2027-01-11: ")


def test_it_is_there_after_a_second_change_and_goes_back_when_its_place_returns(tmp_path: Path, log: BlockLog) -> None:
    once, changed = rebuilt(tmp_path, log, SWAPPED, FEWER_SETS)
    twice, again = rebuilt(tmp_path, changed, SWAPPED)
    assert {row.exercise for row in once.earlier} == {"leg press", "pull-up"}
    assert {(row.exercise, why) for row, why in twice.left} == {("leg press", "on it before")}
    assert again.earlier == twice.earlier == tuple(row for row in once.earlier if row.exercise == "leg press")
    assert carry([again], spec_from()).typed == filled(log)


def test_a_place_filled_in_anew_does_not_swallow_the_earlier_row(tmp_path: Path, log: BlockLog) -> None:
    once = carry([log], spec_from(FEWER_SETS))
    name = "w1.upper.pull-up.2/load"
    path = tmp_path / "anew.xlsx"
    path.write_bytes(block_bytes(spec_from(), {**once.typed, name: 99}, once.earlier))
    carried = carry([read_workbook(path)], spec_from())
    assert carried.typed[name] == 99
    assert carried.earlier == once.earlier


# Pain names an exercise by its letter


def test_pain_follows_its_exercise_to_another_letter(painful: BlockLog) -> None:
    carried = carry([painful], spec_from(SLOTS_TURNED))
    assert carried.typed["w1.lower.pain"] == "C"
    assert carried.remarks == ('Week 1 Lower: pain "b" is now "C", as leg press moved.',)


def test_pain_of_a_swapped_exercise_holds_its_session(tmp_path: Path, painful: BlockLog) -> None:
    """What trains the same may hurt as well: the hold does not leave with the exercise."""
    carried, again = rebuilt(tmp_path, painful, SWAPPED)
    assert carried.typed["w1.lower.pain"] == "leg press (before the change)"
    assert carried.typed["w1.lower.where"] == "left knee"
    squat = again.workbook.weeks[1][0].lines[0]
    assert again.calculation.number(again.workbook.workings.cell(squat.line, "last_pain"))
    assert 'pain "b" is now "leg press (before the change)"' in " ".join(carried.remarks)


def test_pain_whose_session_is_gone_is_told(painful: BlockLog) -> None:
    carried = carry([painful], spec_from((LOWER, ""), ("back squat: 120, ", "")))
    assert "has no session any more and holds no load" in " ".join(carried.remarks)


def test_pain_of_letters_that_changed_counts_for_every_exercise_and_is_pointed_out(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), first_week(pain="B and C"))
    carried = carry([log], spec_from(SLOTS_TURNED))
    said = "B and C (before the change)"
    assert carried.typed["w1.lower.pain"] == said
    assert carried.remarks == (f'Week 1 Lower: the letters changed, so pain "B and C" is now "{said}".',)


# Several copies


def test_of_two_copies_the_later_one_wins_cell_by_cell_and_it_is_said(tmp_path: Path) -> None:
    row = "w1.lower.squat.1"
    one = log_of(tmp_path, spec_from(), {f"{row}/load": 100, f"{row}/reps": 5, "w1.lower.minutes": 50})
    two = log_of(tmp_path, spec_from(SWAPPED), {f"{row}/load": 102.5, f"{row}/rpe": 8})
    carried = carry([one, two], spec_from(SWAPPED))
    assert carried.typed == {f"{row}/load": 102.5, f"{row}/reps": 5, f"{row}/rpe": 8, "w1.lower.minutes": 50}
    assert carried.remarks == (
        "Week 1 Lower, back squat, Top: load differs between the files, 100.0 and 102.5; the later named file is used.",
    )


# What is refused


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ([("unit: kg", "unit: lb")], "its loads were typed in kg, the specification is in lb"),
        ([("name: Robin Sample", "name: Alex Example")], "this is Robin Sample's workbook, the specification is Alex"),
        ([("title: Small block", "title: Small block 2"), ("start: 2027-01-04", "start: 2027-01-18")],
         'this is another block, "Small block" from 2027-01-04'),
    ],
    ids=["unit", "lifter", "block"],
)  # fmt: skip
def test_what_does_not_belong_is_refused(log: BlockLog, changes: list[Change], sentence: str) -> None:
    with pytest.raises(BlockbookError) as refused:
        carry([log], spec_from(*changes))
    assert str(refused.value).startswith(f"returned.xlsx: {sentence}")


# Namesakes: two exercises of a session, or two sessions, of one name and without an id

LIGHT = "{exercise: leg press, sets: 4, reps: 6, rpe: 7}"
TWICE = ("      - exercise: leg press", f"      - {LIGHT}\n      - exercise: leg press")
TWICE_TURNED = (f"      - exercise: {PRESS}", f"      - exercise: {PRESS}      - {LIGHT}\n")
TURNED_WITH_IDS = (
    f"      - exercise: {PRESS}",
    f"      - exercise: {PRESS}        id: leg-press-2\n      - {LIGHT[:-1]}, id: leg-press}}\n",
)


@pytest.fixture(name="namesakes", scope="module")
def _namesakes(tmp_path_factory: pytest.TempPathFactory) -> BlockLog:
    typed = {"w1.lower.leg-press.1/load": 80, "w1.lower.leg-press-2.1/load": 120}
    return log_of(tmp_path_factory.mktemp("namesakes"), spec_from(TWICE), typed)


def test_namesakes_in_the_same_order_keep_their_logs_even_if_one_is_changed(namesakes: BlockLog) -> None:
    changed = (TWICE[0], TWICE[1].replace("reps: 6", "reps: 5"))
    assert carry([namesakes], spec_from(changed)).typed == filled(namesakes)


@pytest.mark.parametrize("changes", [[TWICE_TURNED], []], ids=["turned", "the first one deleted"])
def test_namesakes_that_changed_places_are_refused_with_the_ids_to_give(
    namesakes: BlockLog, changes: list[Change]
) -> None:
    with pytest.raises(BlockbookError) as refused:
        carry([namesakes], spec_from(*changes))
    assert "the exercise leg press more than once" in str(refused.value)
    assert "id: leg-press and id: leg-press-2" in str(refused.value)


def test_namesakes_with_those_ids_keep_their_logs_in_any_order(namesakes: BlockLog) -> None:
    assert carry([namesakes], spec_from(TURNED_WITH_IDS)).typed == filled(namesakes)


def test_sessions_of_one_name_that_changed_places_are_refused_too(tmp_path: Path) -> None:
    both = ("- name: Upper", "- name: Lower")
    log = log_of(tmp_path, spec_from(both), {"w1.lower.squat.1/load": 100})
    turned = (f"{LOWER}  - name: Lower{UPPER}", f"  - name: Lower{UPPER}{LOWER}")
    with pytest.raises(BlockbookError) as refused:
        carry([log], spec_from(both, turned))
    assert "the session Lower more than once" in str(refused.value)
    assert "id: lower and id: lower-2" in str(refused.value)
    assert carry([log], spec_from(both, SWAPPED)).typed == filled(log)


# What is said, and where it shows


def test_the_report_says_what_moved_and_why(painful: BlockLog) -> None:
    assert carry_report(carry([painful], spec_from(SWAPPED, FEWER_SETS))).splitlines() == [
        "9 sets, 2 feelers and 15 session entries carried, 3 sets and 1 feeler to the sheet Earlier log:",
        "  Week 1 Lower: leg press, 2 sets and 1 feeler (no longer in the block)",
        "  Week 1 Upper: pull-up, 1 set (fewer sets now)",
        'Week 1 Lower: pain "b" is now "leg press (before the change)", as that exercise is gone: it counts for every '
        "exercise of the session until none is typed.",
    ]


def test_an_empty_workbook_carries_nothing(tmp_path: Path) -> None:
    carried = carry([log_of(tmp_path, spec_from(), {})], spec_from(SWAPPED))
    assert (carried.typed, carried.left) == ({}, ())
    assert carry_report(carried) == "Nothing was logged yet, so nothing was carried."


def test_earlier_rows_are_in_data_tables_and_report_only_where_there_are_any(tmp_path: Path, log: BlockLog) -> None:
    with_note = log_of(tmp_path, spec_from(), {"w1.lower.leg-press.1/note": "=1+1", "w1.lower.date": date(2027, 1, 4)})
    _, again = rebuilt(tmp_path, with_note, SWAPPED)
    assert "earlier" not in log.to_data()
    assert "earlier.csv" not in csv_tables([csv_rows(log)])
    (row,) = again.to_data()["earlier"]
    assert (row["key"], row["week"], row["date"]) == ("w1.lower.leg-press.1", 1, "2027-01-04")
    head, told = csv_tables(map(csv_rows, [log, again]))["earlier.csv"].splitlines()
    assert head == "lifter,block,file,key,week,session,date,exercise,set,load,reps,rpe,note"
    assert told.endswith(",'=1+1")
    assert "Earlier log: 1 row from before the block was changed" in text_report(again)


def test_libreoffice_saves_a_carried_workbook_without_losing_anything(tmp_path: Path) -> None:
    odd = {"load": "85kg", "reps": date(2026, 9, 8), "rpe": 8, "note": "=1+1"}
    log = log_of(tmp_path, spec_from(), first_week() | {
        f"{key}/{column}": value for key in (TOP, "w1.lower.leg-press.1") for column, value in odd.items()
    })  # fmt: skip
    _, again = rebuilt(tmp_path, log, SWAPPED)
    (saved,) = libreoffice([tmp_path / "rebuilt.xlsx"], tmp_path / "saved")
    back = read_workbook(saved)
    assert (filled(back), back.earlier, back.logged) == (filled(again), again.earlier, again.logged)
    assert {row.load for row in back.earlier if row.key == "w1.lower.leg-press.1"} == {"85kg"}


def test_what_only_an_older_version_had_is_carried_from_several_copies(tmp_path: Path) -> None:
    """The second copy was built without the leg press; what the first says of it is not lost."""
    gone = ("      - exercise: leg press\n        sets: 2\n        reps: 8-10\n        rpe: 8\n", "")
    (tmp_path / "old.xlsx").write_bytes(block_bytes(spec_from(), clean_inputs()))
    (tmp_path / "middle.xlsx").write_bytes(block_bytes(spec_from(gone), {}))
    rebuilt = blockbook.rebuild(spec_from(gone), [tmp_path / "old.xlsx", tmp_path / "middle.xlsx"], tmp_path / "sent")
    log = blockbook.read(rebuilt.path)
    assert {row.exercise for row in log.earlier} == {"leg press"}
    assert len(log.earlier) == len([name for name in clean_inputs() if "leg-press" in name and name.endswith("/reps")])


def test_a_load_typed_over_the_target_is_carried(tmp_path: Path) -> None:
    def type_over(book: Any) -> None:
        sheet, row = row_of(book, TOP)
        sheet.cell(row, 6).value, sheet.cell(row, 7).value = 95, None

    rebuilt = blockbook.rebuild(spec_from(), edited(clean_file(tmp_path), type_over), tmp_path / "sent")
    assert set_of(blockbook.read(rebuilt.path), TOP).load == 95
