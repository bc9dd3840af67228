"""Several copies of one block become one log; where they differ, both are said and the one kept is explained."""

from __future__ import annotations

import os
import zipfile
from datetime import date
from pathlib import Path
from typing import Any

import pytest

import blockbook
from blockbook.errors import BlockbookError
from blockbook.intake.findings import Finding
from blockbook.intake.log import BlockLog
from blockbook.spec.models import Specification
from tests.intake.small_block import BENCH, TOP, clean_inputs, plain_bytes, set_of, spec_from


def copy(path: Path, changes: dict[str, Any] | None = None, spec: Specification | None = None) -> Path:
    """A filled-in copy of the block, with other values in some of its cells."""
    path.write_bytes(plain_bytes(spec or spec_from(), {**clean_inputs(), **(changes or {})}))
    return path


def merged(*paths: Path, prefer: Path | None = None) -> BlockLog:
    logs: list[BlockLog] = blockbook.read(list(paths), prefer=prefer)
    (log,) = logs
    return log


def difference(log: BlockLog) -> Finding:
    (found,) = [found for found in log.findings if found.code == "copies-differ"]
    return found


def test_equal_copies_are_one_log_without_findings(tmp_path: Path) -> None:
    log = merged(copy(tmp_path / "a.xlsx"), copy(tmp_path / "b.xlsx"))
    assert log.findings == ()
    assert log.file == "a.xlsx, b.xlsx"
    assert set_of(log, TOP).load == clean_inputs()[f"{TOP}/load"]


def test_what_one_copy_leaves_empty_is_taken_from_the_other(tmp_path: Path) -> None:
    week_1 = {name: None for name in clean_inputs() if name.startswith("w2.")}
    week_2 = {name: None for name in clean_inputs() if name.startswith("w1.")}
    log = merged(copy(tmp_path / "a.xlsx", week_1), copy(tmp_path / "b.xlsx", week_2))
    assert log.findings == ()
    assert log.logged == merged(copy(tmp_path / "whole.xlsx")).logged


def test_the_same_number_typed_differently_is_the_same(tmp_path: Path) -> None:
    load = clean_inputs()[f"{TOP}/load"]
    log = merged(copy(tmp_path / "a.xlsx"), copy(tmp_path / "b.xlsx", {f"{TOP}/load": f"{load:g} kg"}))
    assert [found.code for found in log.findings] == []


@pytest.mark.parametrize(("later_by", "why"), [(60, "saved later"), (0, "named later")])
def test_of_different_values_the_later_copy_wins_and_both_are_said(tmp_path: Path, later_by: int, why: str) -> None:
    first, second = copy(tmp_path / "a.xlsx", {f"{TOP}/load": 95}), copy(tmp_path / "b.xlsx", {f"{TOP}/load": 97.5})
    os.utime(first, (1_800_000_000, 1_800_000_000))
    os.utime(second, (1_800_000_000 + later_by, 1_800_000_000 + later_by))
    log = merged(first, second)
    found = difference(log)
    assert set_of(log, TOP).load == 97.5
    assert (found.value, found.sheet) == ("95", "b.xlsx: Week 1")
    assert '"97.5" in b.xlsx: Week 1' in found.message
    assert why in found.message


def test_the_copy_whose_session_is_later_wins(tmp_path: Path) -> None:
    later = copy(tmp_path / "a.xlsx", {f"{TOP}/load": 95, "w1.lower.date": date(2027, 1, 5)})
    log = merged(later, copy(tmp_path / "b.xlsx", {f"{TOP}/load": 97.5}))
    assert set_of(log, TOP).load == 95
    assert any("later date" in found.message for found in log.findings)


def test_the_file_the_coach_prefers_wins_everywhere(tmp_path: Path) -> None:
    first = copy(tmp_path / "a.xlsx", {f"{TOP}/load": 95, f"{BENCH}/reps": 4})
    log = merged(first, copy(tmp_path / "b.xlsx", {f"{TOP}/load": 97.5}), prefer=first)
    assert (set_of(log, TOP).load, set_of(log, BENCH).reps) == (95, 4)
    told = [found for found in log.findings if found.code.startswith("copies-")]
    assert {(found.code, found.severity) for found in told} == {("copies-preferred", "note")}
    assert all("you prefer" in found.message for found in told)


def test_a_preferred_file_must_be_among_the_files(tmp_path: Path) -> None:
    with pytest.raises(BlockbookError, match=r"b\.xlsx: is not among the files"):
        blockbook.read([copy(tmp_path / "a.xlsx")], prefer=tmp_path / "b.xlsx")


def test_a_copy_in_an_archive_can_be_preferred_and_strays_are_passed_over(tmp_path: Path) -> None:
    copy(tmp_path / "a.xlsx", {f"{TOP}/load": 95})
    copy(tmp_path / "b.xlsx", {f"{TOP}/load": 97.5})
    with zipfile.ZipFile(tmp_path / "mail.zip", "w") as archive:
        for name in ("a.xlsx", "b.xlsx"):
            archive.write(tmp_path / name, name)
        archive.writestr("sets.csv", "week,set\n1,2\n")
    log = merged(tmp_path / "mail.zip", prefer=Path("a.xlsx"))
    assert set_of(log, TOP).load == 95
    (said,) = [found for found in log.findings if found.code == "left-aside"]
    assert "no workbook that blockbook built" in said.message


def test_the_specification_of_another_lifter_is_not_used_in_silence(tmp_path: Path) -> None:
    log: BlockLog = blockbook.read(copy(tmp_path / "a.xlsx"), spec=spec_from(("Robin Sample", "Kim Other")))
    assert log.spec.lifter.name == "Robin Sample"
    assert [found.code for found in log.findings] == ["spec-not-used"]


def test_copies_from_before_and_after_a_rebuild_merge_as_far_as_keys_agree(tmp_path: Path) -> None:
    """The squat's slot, which has an id of its own, now holds a front squat: the old log is not its log."""
    rebuilt = spec_from(("exercise: back squat\n        id: squat", "exercise: front squat\n        id: squat"))
    new_only = dict.fromkeys(clean_inputs())
    log = merged(copy(tmp_path / "a.xlsx"), copy(tmp_path / "b.xlsx", new_only, rebuilt))
    assert set_of(log, BENCH).load == clean_inputs()[f"{BENCH}/load"]
    assert (set_of(log, TOP).exercise, set_of(log, TOP).load) == ("front squat", None)
    kept = [kept.texts for kept in log.unplaced if kept.texts.get("exercise") == "back squat"]
    assert {"exercise": "back squat", "load": "102.5", "reps": "5", "rpe": "8"} in kept
    assert sum(found.code == "row-unplaced" for found in log.findings) == len(log.unplaced)


def test_another_lifters_block_is_another_log(tmp_path: Path) -> None:
    other = copy(tmp_path / "b.xlsx", spec=spec_from(("Robin Sample", "Kim Other")))
    logs = blockbook.read([copy(tmp_path / "a.xlsx"), other])
    assert [log.spec.lifter.name for log in logs] == ["Robin Sample", "Kim Other"]
