"""A lifter who types reps left: the log, what follows from it and what is odd in it are those of the same effort."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest

import blockbook
from blockbook.demonstration import fill_in, slips, worn
from blockbook.intake.carrying import carry
from blockbook.intake.cells import read_effort
from blockbook.intake.checks import checked
from blockbook.intake.log import BlockLog
from blockbook.intake.reading import read_workbook
from blockbook.workbook.assemble import assemble
from blockbook.workbook.layout import COLUMN, week_columns
from blockbook.workbook.write import block_bytes
from tests.intake.mirrored import LEFT, mirrored
from tests.intake.small_block import (
    BENCH,
    FEELER,
    TOP,
    WEEKS,
    clean_inputs,
    edited,
    find,
    log_of,
    retyped,
    set_of,
    spec_from,
)
from tests.programs.jobs import LIBREOFFICE, OPENPYXL, Job, carry_out
from tests.samples import IN_RESERVE, template_spec
from tests.slips.logs import Group, play_group, read
from tests.slips.measure import KINDS, Kind, injected

UNEVEN = {f"{TOP}/rpe": 9.5, f"{BENCH}/rpe": 6.5, "w2.lower.leg-press.2/rpe": 10, f"{BENCH}/reps": 4}
"""Efforts over and under target, a set to failure, a missed rep: much that later loads follow."""


def told(log: BlockLog) -> list[tuple[str, str, str, dict[str, float | None]]]:
    """What the findings say of which cell, words apart; of both ways of typing the same.

    But for what is off the scale: 9.5 and 10 left were likely efforts, 0.5 and 0 say nothing more.
    """
    mirror = {"effort-for-reserve": "reserve-for-effort", "reserve-off-scale": "effort-off-scale"}
    said = [(mirror.get(found.code, found.code), found) for found in log.findings]
    return [(code, f.sheet, f.cell, {} if code == "effort-off-scale" else dict(f.likely)) for code, f in said]


def same(log: BlockLog, twin: BlockLog) -> bool:
    data, other = log.to_data(), twin.to_data()
    return (data["sets"], data["sessions"]) == (other["sets"], other["sessions"]) and told(log) == told(twin)


# What is typed and what comes of it


def test_a_simulated_lifter_types_what_the_block_asks_for() -> None:
    assert clean_inputs(LEFT) == mirrored(clean_inputs())
    typed = fill_in(assemble(template_spec("general")))
    assert fill_in(assemble(template_spec(f"general{IN_RESERVE}"))) == mirrored(typed)


@pytest.mark.parametrize("lifter", [slips, worn])
def test_so_do_those_of_the_demonstration(lifter: Callable[..., dict[str, Any]]) -> None:
    spec, twin = template_spec("general"), template_spec(f"general{IN_RESERVE}")
    typed, mirror = lifter(spec, fill_in(assemble(spec))), lifter(twin, fill_in(assemble(twin)))
    texts = {"7-8": "2-3"}
    assert mirror == {name: texts.get(value, value) if name.endswith("/rpe") and isinstance(value, str) else value
                      for name, value in mirrored(typed).items()}  # fmt: skip


@pytest.mark.parametrize("program", [OPENPYXL, LIBREOFFICE])
def test_a_filled_in_workbook_gives_the_log_of_the_same_efforts(tmp_path: Path, program: str) -> None:
    typed = {**clean_inputs(), **UNEVEN}
    sent = tmp_path / "sent.xlsx"
    sent.write_bytes(block_bytes(spec_from(LEFT)))
    places = assemble(spec_from(LEFT)).book.inputs
    steps = tuple(
        ("enter", places[name].sheet, places[name].row, places[name].column, value)
        for name, value in mirrored(typed).items()
        if isinstance(value, (int, float)) or (value and not isinstance(value, date))
    )
    carry_out(program, [Job(str(sent), steps, "xlsx", str(tmp_path / "back.xlsx"))])
    days = {name: None for name, value in typed.items() if isinstance(value, date)}
    log, twin = read_workbook(tmp_path / "back.xlsx"), log_of(tmp_path, spec_from(), typed | days)
    assert same(log, twin)
    assert (set_of(log, TOP).rpe, set_of(log, BENCH).rpe) == (9.5, 6.5)


def test_targets_follow_from_effort_in_either_block() -> None:
    logged = {TOP: (102.5, 5, 9.5), BENCH: (60, 5, None), FEELER: (55, 5, 6.0)}
    assert blockbook.targets(spec_from(LEFT), logged) == blockbook.targets(spec_from(), logged)


@pytest.mark.parametrize(
    ("raw", "effort"),
    [
        (2, 8), (0, 10), (1.5, 8.5), ("1,5", 8.5), ("2 left", 8), ("2 RIR", 8), ("rir: 2", 8), ("2 reps left", 8),
        ("2 in the tank", 8), ("1-2", 8.5), ("1 to 2 left", 8.5), ("0-1", 9.5), ("fail", 10), ("nothing left", 10),
        ("2 (grinder)", 8), ("8 (grinder)", 2), ("@8", 8), ("RPE 8.5", 8.5), ("8/10", 8), ("2/3", 7.5),
        (date(2027, 3, 2), 7.5), (date(2027, 5, 4), 5.5),
    ],
)  # fmt: skip
def test_words_for_reps_left(raw: Any, effort: float) -> None:
    reading = read_effort(raw, in_reserve=True)
    assert reading.value == effort
    assert reading.remark or raw in (2, 0, 1.5)


@pytest.mark.parametrize("raw", ["1/2", "easy", "10-12", "left", "x", date(2027, 2, 1), date(2027, 5, 3)])
def test_what_may_mean_two_stays_as_typed(raw: Any) -> None:
    """1/2 may be a half or 1-2; 3 May may have been 3.5 or 3-5."""
    reading = read_effort(raw, in_reserve=True)
    assert (reading.value, reading.raw) == (None, str(raw))


def test_words_are_understood_and_kept_and_count(tmp_path: Path) -> None:
    typed = mirrored(clean_inputs()) | {f"{TOP}/rpe": "2 left", f"{BENCH}/rpe": "fail"}
    log = log_of(tmp_path, spec_from(LEFT), typed)
    assert log.to_data()["block"]["effort_as"] == "reps in reserve"
    assert (set_of(log, TOP).rpe, set_of(log, TOP).raw) == (8, {"rpe": "2 left"})
    assert (set_of(log, BENCH).rpe, set_of(log, BENCH).raw) == (10, {"rpe": "fail"})
    assert 'back squat, set 1, reps left: read "2 left" as 2.' in [found.message for found in log.findings]
    twin = log_of(tmp_path, spec_from(), clean_inputs() | {f"{BENCH}/rpe": 10})
    assert [logged.target_load for logged in log.sets] == [logged.target_load for logged in twin.sets]


def test_copies_that_say_the_same_in_other_words_are_one(tmp_path: Path) -> None:
    path = tmp_path / "first.xlsx"
    path.write_bytes(block_bytes(spec_from(LEFT), mirrored(clean_inputs())))
    again = retyped(path, {f"{TOP}/rpe": "2 RIR"})
    (log,) = blockbook.read([path, again])
    assert set_of(log, TOP).rpe == 8
    assert "copies-differ" not in [found.code for found in log.findings]


# What was lost or moved


def returned(folder: Path) -> Path:
    path = folder / "robin.xlsx"
    path.write_bytes(block_bytes(spec_from(LEFT), mirrored(clean_inputs())))
    return path


def efforts(log: BlockLog) -> dict[str, Any]:
    return {f"{logged.key}/rpe": logged.rpe for logged in log.sets if logged.rpe is not None}


EFFORTS = {name: value for name, value in clean_inputs().items() if name.endswith("/rpe")}


def test_without_keys_and_manifest_rows_are_told_by_what_is_asked(tmp_path: Path) -> None:
    def lose(book: Any) -> None:
        del book["blockbook"]
        for week in WEEKS:
            book[week].delete_cols(1)

    log: BlockLog = blockbook.read(edited(returned(tmp_path), lose), spec=spec_from(LEFT))
    assert efforts(log) == EFFORTS
    said = [found.message for found in log.findings if found.code == "rows-recovered"]
    assert len(said) == len(WEEKS)
    assert all("surely right" in message for message in said)


def test_a_specification_that_asks_the_other_way_is_not_believed_in_silence(tmp_path: Path) -> None:
    def lose(book: Any) -> None:
        del book["blockbook"]

    log: BlockLog = blockbook.read(edited(returned(tmp_path), lose), spec=spec_from())
    said = [found.message for found in log.findings if found.code == "column-guessed"]
    assert len(said) == len(WEEKS)
    assert all('"Reps left", was taken for "Effort felt" by its place' in message for message in said)
    assert "reserve-for-effort" in [found.code for found in log.findings]


def test_a_moved_column_is_known_by_its_heading(tmp_path: Path) -> None:
    def note_first(book: Any) -> None:
        for week in WEEKS:
            for row in range(2, book[week].max_row + 1):
                left, note = book[week].cell(row, 9), book[week].cell(row, COLUMN["note"] + 1)
                if type(left).__name__ == type(note).__name__ == "Cell":
                    left.value, note.value = note.value, left.value

    log = read_workbook(edited(returned(tmp_path), note_first))
    assert efforts(log) == EFFORTS


def test_a_column_of_the_lifters_own_is_not_taken_for_the_effort(tmp_path: Path) -> None:
    """In a block that asks for effort "Reps left" is no heading of ours."""

    def add_column(book: Any) -> None:
        for week in WEEKS:
            book[week].cell(2, 24).value = "Reps left"
            book[week].cell(5, 24).value = 4

    path = tmp_path / "robin.xlsx"
    path.write_bytes(block_bytes(spec_from(), clean_inputs()))
    assert efforts(read_workbook(edited(path, add_column))) == EFFORTS


def test_csv_files_are_read_by_the_heading(tmp_path: Path) -> None:
    path = returned(tmp_path)
    carry_out(LIBREOFFICE, [Job(str(path), (), "csv", str(tmp_path / "csv"))])
    assert any("Reps left" in file.read_text() for file in (tmp_path / "csv").iterdir())
    log: BlockLog = blockbook.read(tmp_path / "csv")
    assert efforts(log) == EFFORTS


# A block that was changed half-way


@pytest.mark.parametrize("back", [False, True])
def test_a_log_is_carried_into_a_block_that_asks_the_other_way(tmp_path: Path, back: bool) -> None:
    asks = [spec_from(), spec_from(LEFT)]
    typed = [clean_inputs() | {f"{TOP}/rpe": "8 (grinder)"}, mirrored(clean_inputs()) | {f"{TOP}/rpe": "2 (grinder)"}]
    old, new = reversed(asks) if back else asks
    carried = carry([log_of(tmp_path, old, typed[back])], new)
    path = tmp_path / "rebuilt.xlsx"
    path.write_bytes(block_bytes(new, carried.typed, carried.earlier))
    assert efforts(read_workbook(path)) == EFFORTS
    assert any("Effort was typed as" in remark for remark in carried.remarks)


def test_the_earlier_log_keeps_reps_left_under_their_heading(tmp_path: Path) -> None:
    gone = ("      - exercise: pull-up\n", "      - exercise: cable row\n")
    log = log_of(tmp_path, spec_from(LEFT), mirrored(clean_inputs()))
    carried = carry([log], spec_from(LEFT, gone))
    path = tmp_path / "rebuilt.xlsx"
    path.write_bytes(block_bytes(spec_from(LEFT, gone), carried.typed, carried.earlier))
    kept = read_workbook(path).earlier
    assert [row.rpe for row in kept] == [2] * 4
    assert {row.rpe for row in carry([read_workbook(path)], spec_from(gone)).earlier} == {8}


# Slips


def doubts(typed: dict[str, Any]) -> BlockLog:
    (log,) = read(assemble(spec_from(LEFT)), [mirrored(clean_inputs()) | typed])
    return replace(log, findings=tuple(checked(log)))


def test_an_effort_typed_for_reps_left_is_named(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(LEFT), mirrored(clean_inputs()) | {f"{TOP}/rpe": 8})
    (found,) = [found for found in log.findings if found.severity != "note"]
    assert (found.code, found.value, dict(found.likely)) == ("effort-for-reserve", "8", {f"{TOP}/rpe": 8})
    assert "with reps left 8 it is" in found.message
    assert found.message.endswith("Perhaps effort, where reps left were asked: reps left 2?")


def test_a_log_of_efforts_is_one_finding() -> None:
    (found,) = [found for found in doubts(clean_inputs()).findings if found.severity != "note"]
    assert found.code == "effort-for-reserve"
    assert found.message == "All reps left are many (about 8): effort, where reps left were asked?"
    assert dict(found.likely) == EFFORTS


@pytest.mark.parametrize(("left", "likely"), [(9.5, 9.5), (10, 10), (15, 8.5), (-1, None), (12, None)])
def test_reps_left_off_the_scale(left: float, likely: float | None) -> None:
    (found,) = [found for found in doubts({f"{TOP}/rpe": left}).findings if found.code == "reserve-off-scale"]
    assert dict(found.likely) == ({} if likely is None else {f"{TOP}/rpe": likely})
    assert found.message == f"{left:g} reps left are not on the scale of 0 to 9."


def test_what_the_coach_accepts_is_used(tmp_path: Path) -> None:
    """The review offers 2 left for the 8 that was typed; accepted, the log is the clean one."""
    path = tmp_path / "returned.xlsx"
    path.write_bytes(block_bytes(spec_from(LEFT), mirrored(clean_inputs()) | {f"{TOP}/rpe": 8}))
    review = blockbook.review(path, tmp_path / "review.xlsx")

    def accept(book: Any) -> None:
        sheet = book["Findings"]
        headings = {cell.value: cell.column for cell in sheet[2]}
        row = next(
            r for r in range(3, sheet.max_row + 1) if sheet.cell(r, headings["Kind"]).value == "effort for reserve"
        )
        assert sheet.cell(row, headings["Likely meant"]).value == "reps left 2"
        sheet.cell(row, headings["Accept?"]).value = "yes"

    made = blockbook.next_block(path, tmp_path / "next.yaml", edited(review, accept))
    clean = tmp_path / "clean.xlsx"
    clean.write_bytes(block_bytes(spec_from(LEFT), mirrored(clean_inputs())))
    assert made.spec == blockbook.next_block(clean, tmp_path / "other.yaml").spec
    assert made.spec.block.effort_as == "reps in reserve"


@cache
def groups() -> tuple[Group, Group]:
    """One invented lifter of each population, two sessions a week; and the same logs typed as reps left."""
    spec = template_spec("general")
    short = {"sessions": spec.sessions[:2]}
    honest = play_group(spec.model_copy(update=short), 1, 5)
    twin = assemble(template_spec(f"general{IN_RESERVE}").model_copy(update=short))
    return honest, replace(honest, workbook=twin, logs=tuple(mirrored(typed) for typed in honest.logs))


def findings(group: Group) -> list[list[tuple[str, str, str, dict[str, float | None]]]]:
    logs = read(group.workbook, group.logs)
    return [told(replace(log, findings=tuple(checked(log)))) for log in logs]


def test_honest_logs_are_doubted_no_more_than_in_effort() -> None:
    honest, twins = groups()
    assert findings(twins) == findings(honest)


RESERVES = [kind for kind in KINDS if kind.code == "reserve-for-effort"]


@pytest.mark.parametrize("kind", RESERVES, ids=lambda kind: kind.name)
def test_efforts_for_reps_left_are_found_as_reserves_for_effort_are(kind: Kind) -> None:
    honest, twins = groups()
    slipped = [{**each.honest, **each.changed} for each in injected(honest, [kind], 5)]
    found = findings(replace(twins, logs=tuple(mirrored(typed) for typed in slipped)))
    assert found == findings(replace(honest, logs=tuple(slipped)))
    assert sum(kind.code in [code for code, *_ in one] for one in found) >= len(slipped) - 1


def test_the_row_of_a_cell_is_where_the_lifter_types(tmp_path: Path) -> None:
    """Column I is typed in, as in every block; the effort that follows from it stands behind all others."""

    def look(book: Any) -> None:
        cell = find(book, f"{TOP}/rpe")
        assert (cell.column_letter, cell.value) == ("I", 2)
        last = cell.parent.cell(cell.row, len(week_columns(spec_from(LEFT).block)))
        assert str(last.value).startswith(f"=IF(ISNUMBER(I{cell.row}),10-I{cell.row}")

    edited(returned(tmp_path), look)
