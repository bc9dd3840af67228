"""What came back of a lifter's block, whatever was changed meanwhile: nothing of it is lost or passed over silently."""

from __future__ import annotations

import json
import os
import re
from pathlib import Path

import pytest

import blockbook
from blockbook.practice import drafting
from blockbook.practice.folder import LifterFolder, Practice, block_folder
from blockbook.practice.returns import returns_of
from blockbook.practice.standing import overview
from tests.intake.small_block import TOP, clean_inputs
from tests.practice.small_practice import AFTER, build_noted, returned, run, small_practice, spec_of, succeeded
from tests.said import unwrapped

ROBIN, TITLE = "Robin Sample", "title: Small block"


@pytest.fixture(name="practice")
def _practice(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Practice:
    practice = small_practice(tmp_path / "p", (ROBIN,))
    monkeypatch.chdir(practice.root)
    return practice


def only(practice: Practice) -> LifterFolder:
    (lifter,) = practice.lifters
    return lifter


def file_in(lifter: LifterFolder, name: str, content: bytes, saved: int = 0) -> Path:
    """A file filed under the small block. saved: days after it was made that a program saved it."""
    folder = lifter.returned / block_folder(spec_of(ROBIN))
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / name
    path.write_bytes(content)
    os.utime(path, (1_800_000_000 + 86_400 * saved,) * 2)
    return path


def change(lifter: LifterFolder, old: str, new: str) -> None:
    text = lifter.block.read_text("utf-8")
    assert old in text
    lifter.block.write_text(text.replace(old, new), "utf-8")


@pytest.mark.parametrize("newer", ["a.xlsx", "b.xlsx"])
def test_the_copy_saved_last_counts_in_a_changed_block_whatever_its_name(practice: Practice, newer: str) -> None:
    lifter = only(practice)
    build_noted(practice, lifter)
    for name in ("a.xlsx", "b.xlsx"):
        load, saved = (105, 2) if name == newer else (100, 1)
        file_in(lifter, name, returned(ROBIN, {f"{TOP}/load": load}), saved)
    change(lifter, "reps: 8-10", "reps: 10-12")
    assert blockbook.read(build_noted(practice, lifter).path).logged[TOP][0] == 105


@pytest.mark.parametrize(("old", "new"), [(TITLE, "title: Another name"), ("start: 2027-01-04", "start: 2027-01-11")])
def test_a_block_that_was_renamed_or_moved_keeps_its_log(practice: Practice, old: str, new: str) -> None:
    lifter = only(practice)
    file_in(lifter, "half.xlsx", returned(ROBIN, {f"{TOP}/load": 97.5}))
    change(lifter, old, new)
    built = build_noted(practice, lifter)
    assert blockbook.read(built.path).logged[TOP][0] == 97.5
    assert built.remarks[0].endswith("carried")


def test_the_next_block_of_the_same_title_is_another(practice: Practice) -> None:
    lifter = only(practice)
    file_in(lifter, "done.xlsx", returned(ROBIN))
    change(lifter, "start: 2027-01-04", "start: 2027-01-18")
    assert returns_of(lifter, practice.spec_of(lifter.block)).files == ()
    assert not build_noted(practice, lifter).carried


def test_what_cannot_be_read_is_said_when_a_changed_block_is_built(practice: Practice) -> None:
    lifter = only(practice)
    file_in(lifter, "torn.xlsx", returned(ROBIN)[:2000])
    file_in(lifter, "whole.xlsx", returned(ROBIN))
    change(lifter, "reps: 8-10", "reps: 10-12")
    said = " ".join(succeeded("build").split())
    assert "Not carried, since it cannot be read: lifters/robin-sample/returned/" in said
    assert "carried" in said.partition("torn.xlsx")[2]


def test_review_and_next_both_refuse_what_they_would_pass_over(practice: Practice) -> None:
    lifter = only(practice)
    file_in(lifter, "whole.xlsx", returned(ROBIN))
    file_in(lifter, "torn.xlsx", returned(ROBIN)[:2000])
    for command in ("review", "next"):
        refused = run(command, "robin-sample")
        assert (refused.exit_code, "torn.xlsx" in refused.stderr) == (2, True), command


def test_a_lifter_without_a_log_is_no_part_of_the_json(practice: Practice) -> None:
    result = run("read", "--json")
    assert (result.stdout, "nothing came back yet" in result.stderr) == ("", True)
    file_in(only(practice), "whole.xlsx", returned(ROBIN))
    assert json.loads(run("read", "--json").stdout)["block"]["title"] == "Small block"


def test_one_lifter_with_whom_something_unforeseen_is_wrong_stops_nobody(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    practice = small_practice(tmp_path / "p", ("Jo Beispiel", ROBIN))
    monkeypatch.chdir(practice.root)
    as_usual = drafting.draft

    def draft(practice: Practice, again: bool, named: bool, lifter: LifterFolder) -> drafting.Draft:
        if lifter.name == "jo-beispiel":
            raise ZeroDivisionError("nobody thought of this")
        return as_usual(practice, again, named, lifter)

    monkeypatch.setattr(drafting, "draft", draft)
    result = run("mail")
    assert (result.exit_code, result.stdout.startswith("drafts/robin-sample-")) == (2, True)
    said = " ".join(result.stderr.split())
    assert "lifters/jo-beispiel: something unexpected went wrong (ZeroDivisionError: nobody thought" in said
    assert '"drafted"' in (practice.root / "sent-log.jsonl").read_text("utf-8")


LATE = (TITLE, "title: Part 0"), ("start: 2027-01-04", "start: 2026-12-07")


def test_an_earlier_block_that_comes_late_is_said_and_only_history(practice: Practice, tmp_path: Path) -> None:
    lifter = only(practice)
    file_in(lifter, "done.xlsx", returned(ROBIN))
    dated = {name: None for name in clean_inputs() if name.endswith(".date")}
    (tmp_path / "late.xlsx").write_bytes(returned(ROBIN, dated | {"w2.lower.pain": "A"}, *LATE))
    before = overview(practice.root, AFTER)[0]
    shown = unwrapped(succeeded("collect", tmp_path / "late.xlsx", "--quiet"))
    assert shown == (
        "robin-sample: Part 0 (late.xlsx): an earlier block, the current one is Small block from 2027-01-04. Kept as "
        "history: no next block follows from it. Look: `blockbook read "
        "lifters/robin-sample/returned/part-0-2026-12-07`\n"
    )
    assert "week 2, Lower" in run("read", "lifters/robin-sample/returned/part-0-2026-12-07").stdout
    now = overview(practice.root, AFTER)[0]
    assert (now.title, now.needs, now.routine) == (before.title, (), True)
    assert now.state != before.state, "what next takes as history was not there when the coach looked"
    assert "robin-sample: Small block 2, 2 weeks from 2027-01-18" in succeeded("next", "robin-sample")


def test_a_copy_that_comes_once_the_next_block_waits_is_said(practice: Practice, tmp_path: Path) -> None:
    file_in(only(practice), "done.xlsx", returned(ROBIN))
    succeeded("next", "robin-sample")
    (tmp_path / "again.xlsx").write_bytes(returned(ROBIN, {f"{TOP}/load": 97.5}))
    assert unwrapped(succeeded("collect", tmp_path / "again.xlsx", "--quiet")) == (
        "robin-sample: Small block (again.xlsx): the next block waits already and knows nothing of this. "
        "`blockbook next robin-sample --force` writes it anew, without your changes to it.\n"
    )


def test_a_review_from_before_an_earlier_block_came_is_made_anew(practice: Practice, tmp_path: Path) -> None:
    file_in(only(practice), "done.xlsx", returned(ROBIN))
    succeeded("review")
    (tmp_path / "late.xlsx").write_bytes(returned(ROBIN, None, *LATE))
    succeeded("collect", tmp_path / "late.xlsx")
    assert "or make the review anew and type your word again" in run("next", "robin-sample").stderr
    succeeded("review")
    succeeded("next", "robin-sample")


def test_a_block_that_is_neither_current_nor_earlier_is_said_to_be_kept_unread(
    practice: Practice, tmp_path: Path
) -> None:
    (tmp_path / "early.xlsx").write_bytes(returned(ROBIN, None, ("start: 2027-01-04", "start: 2027-03-01")))
    shown = unwrapped(succeeded("collect", tmp_path / "early.xlsx"))
    assert "another block, the current one is Small block from 2027-01-04. Kept, but not read." in shown


def test_read_names_a_file_as_it_came(practice: Practice, tmp_path: Path) -> None:
    (tmp_path / "Mein Plan, Woche 2.xlsx").write_bytes(returned(ROBIN))
    succeeded("collect", tmp_path / "Mein Plan, Woche 2.xlsx")
    head, file, *_ = succeeded("read").splitlines()
    assert head.startswith("Robin Sample · Small block · 2 weeks from 4 Jan 2027")
    assert re.fullmatch(r"mein-plan-woche-2-[0-9a-f]{12}\.xlsx", file)
