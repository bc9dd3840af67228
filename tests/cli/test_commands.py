"""The command line by example: what each command prints, writes and refuses, and how it ends."""

from __future__ import annotations

import csv
import errno
import json
import os
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any, NamedTuple

import click
import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook

from blockbook.cli import main
from blockbook.clock import as_of
from blockbook.demonstration import MEET, NAMES
from blockbook.intake.report import SHOWN
from blockbook.plan.reading import read_plan
from blockbook.spec.loading import load_spec
from blockbook.spec.schemas import SEASON, SPECIFICATION
from blockbook.workbook.write import block_bytes
from tests.intake.small_block import (
    SMALL_BLOCK,
    TOP,
    clean_file,
    clean_inputs,
    followed,
    log_of,
    retyped,
    spec_from,
    worn_out,
)
from tests.said import told, unwrapped

pytestmark = pytest.mark.usefixtures("soon_after")

BUILT = "robin-sample-small-block-2027-01-04.xlsx"


def run(*arguments: str | Path) -> Result:
    """What a command prints and how it ends; an exception that would show a traceback is let through."""
    result = CliRunner().invoke(main, [str(argument) for argument in arguments])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return told(result)


def succeeded(*arguments: str | Path) -> str:
    result = run(*arguments)
    assert (result.exit_code, result.stderr) == (0, "")
    return result.stdout


def refused(*arguments: str | Path) -> str:
    result = run(*arguments)
    assert (result.exit_code, result.stdout) == (2, "")
    assert all(line.startswith("blockbook: ") for line in result.stderr.splitlines())
    assert result.stderr
    return result.stderr


def contents(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, hidden ones too."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.fixture(name="spec_file")
def _spec_file(tmp_path: Path) -> Path:
    path = tmp_path / "block.yaml"
    path.write_text(SMALL_BLOCK, "utf-8")
    return path


@pytest.fixture(name="odd_file")
def _odd_file(tmp_path: Path) -> Path:
    """A returned workbook with a word where a load should be."""
    return retyped(clean_file(tmp_path), {f"{TOP}/load": "heavy"})


# Help


@pytest.mark.parametrize("name", main.commands)
def test_every_command_explains_itself_and_its_options(name: str) -> None:
    command = main.commands[name]
    shown = succeeded(name, "--help")
    assert shown.startswith("Usage: ")
    assert str(command.help).splitlines()[0] in shown
    assert succeeded(name, "-h") == shown
    for option in command.params:
        if isinstance(option, click.Option):
            assert option.help
            assert option.opts[-1] in shown


def test_the_first_help_shows_the_loop_and_the_exit_codes() -> None:
    shown = succeeded("--help")
    assert all(f"\n  {name} " in shown for name in main.commands)
    assert "0 fine, 1 a log holds findings" in " ".join(shown.split())
    assert succeeded("--version").startswith("blockbook ")


@pytest.mark.parametrize(
    "arguments",
    [["lift"], ["build"], ["build", "block.yaml"], ["new", "--out", "x.yaml"], ["templates", "--loud"],
     ["new", "volume", "--out", "x.yaml", "--unit", "stone"], ["new", "volume", "--out", "x.yaml", "--start", "soon"]],
)  # fmt: skip
def test_a_command_typed_wrongly_is_explained(arguments: list[str]) -> None:
    result = run(*arguments)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "Error: " in result.stderr


@pytest.mark.parametrize(
    ("typed", "example"),
    [
        ("read", "blockbook read returned.xlsx"),
        ("review returned.xlsx", "blockbook review returned.xlsx --out review.xlsx"),
        ("next", "blockbook next returned.xlsx --review review.xlsx --out next.yaml"),
        ("convert block.yaml", "blockbook convert block.yaml plan.xlsx"),
        ("demo", "blockbook demo --out demo"),
    ],
)
def test_what_is_left_out_is_answered_with_an_example(typed: str, example: str) -> None:
    assert run(*typed.split()).stderr.endswith(f"Such as: {example}\n")


# Templates, new, schema


def test_templates_are_listed_one_a_line() -> None:
    names = [line.split(maxsplit=1)[0] for line in succeeded("templates").splitlines()]
    assert names == ["general", "peak", "strength", "volume"]


def test_new_writes_a_specification_and_the_schema_that_it_names(tmp_path: Path) -> None:
    path = tmp_path / "robin" / "block.yaml"
    shown = succeeded("new", "volume", "--unit", "lb", "--start", "2027-01-04", "--out", path)
    assert shown.startswith(f"{path}:")
    assert f"    blockbook build {path} --out sent\n" in shown
    block = load_spec(path).block
    assert (block.unit, block.start) == ("lb", date(2027, 1, 4))
    assert SPECIFICATION in path.read_text("utf-8").splitlines()[0]
    assert json.loads((path.parent / SPECIFICATION).read_text("utf-8")) == json.loads(succeeded("schema"))


def test_new_starts_next_monday_unless_told(tmp_path: Path) -> None:
    for day in range(3, 11):  # Sunday to Sunday
        with as_of(date(2027, 1, day)):
            succeeded("new", "general", "--out", tmp_path / "block.yaml", "--force")
        start = load_spec(tmp_path / "block.yaml").block.start
        assert start == date(2027, 1, 4 if day == 3 else 11)


def test_new_of_an_unknown_template_names_the_known_ones(tmp_path: Path) -> None:
    assert "general, peak, strength, volume" in refused("new", "bulk", "--out", tmp_path / "block.yaml")
    assert contents(tmp_path) == {}


# Plan workbooks


def test_a_plan_workbook_goes_through_the_commands_like_yaml(tmp_path: Path, spec_file: Path) -> None:
    plan, again = tmp_path / "plan.xlsx", tmp_path / "again.yaml"
    assert succeeded("convert", spec_file, plan) == f"{plan}\n"
    assert succeeded("convert", plan, again) == f"{again}\n"
    assert load_spec(again) == load_spec(spec_file)
    built = succeeded("build", plan, "--out", tmp_path / "sent").strip()
    assert "Rehearsed on 10 invented lifters" in succeeded("rehearse", plan, "--lifters", "10")
    following = tmp_path / "next.xlsx"
    succeeded("next", built, "--spec", plan, "--out", following)
    assert succeeded("build", following, "--out", tmp_path / "sent").strip().endswith(".xlsx")
    assert "is there already" in refused("convert", spec_file, plan)
    assert "has the same form" in refused("convert", plan, following, "--force")


def test_a_workbook_that_came_back_is_no_plan(tmp_path: Path) -> None:
    returned = clean_file(tmp_path)
    assert "`blockbook read`, `review` and `next` take it once it came back" in refused(
        "build", returned, "--out", tmp_path / "sent"
    )


def test_a_mistake_in_a_plan_names_its_cell(tmp_path: Path) -> None:
    plan = tmp_path / "plan.xlsx"
    succeeded("new", "peak", "--out", plan)
    book = load_workbook(plan)
    book["Block"]["C7"] = 40
    book.save(plan)
    said = refused("build", plan, "--out", tmp_path / "sent")
    assert f'{plan}: Block!C7 (Weeks): should be less than or equal to 16 (it says "40").' in said


@pytest.mark.parametrize(
    ("command", "more"),
    [
        ("build", ("--out", "sent")), ("convert", ("block.yaml",)), ("rehearse", ("--lifters", "10")),
        ("next", ("--out", "next.yaml")),
    ],
)  # fmt: skip
def test_what_is_made_of_a_plan_says_where_a_range_had_become_a_date(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: str, more: tuple[str, ...]
) -> None:
    monkeypatch.chdir(tmp_path)
    plan = tmp_path / "plan.xlsx"
    succeeded("new", "general", "--out", plan)
    book = load_workbook(plan)
    book["Plan"]["O11"] = date(2026, 12, 8)
    book.save(plan)
    of_the_block: tuple[str | Path, ...] = (plan,)
    if command == "next":
        spec = read_plan(plan)
        returned = tmp_path / "returned.xlsx"
        returned.write_bytes(block_bytes(spec, followed(spec)))
        of_the_block = (returned, "--spec", plan)
    result = run(command, *of_the_block, *more)
    said = "Look: Plan!O11 (Reps or range, week 1): a program made a date of it, 8 Dec 2026: taken as"
    assert (result.exit_code, result.stderr.strip()) == (0, f"{said} 8-12.")


# Build


def test_build_writes_a_workbook_a_specification_and_prints_its_path(tmp_path: Path, spec_file: Path) -> None:
    other = tmp_path / "other.yaml"
    other.write_text(SMALL_BLOCK.replace("Robin Sample", "Kim Muster"), "utf-8")
    out = tmp_path / "sent"
    shown = succeeded("build", spec_file, other, "--out", out)
    assert shown.splitlines() == [str(out / BUILT), str(out / BUILT.replace("robin-sample", "kim-muster"))]
    assert all((out / line).read_bytes().startswith(b"PK") for line in shown.splitlines())
    assert len(contents(out)) == 2


def test_build_takes_no_file_for_its_folder(tmp_path: Path, spec_file: Path) -> None:
    assert "out is the folder for workbooks" in refused("build", spec_file, "--out", tmp_path / "sent.xlsx")
    assert not contents(tmp_path / "sent.xlsx")


@pytest.mark.parametrize("position", [0, 1, 2, 5])
def test_a_broken_specification_does_not_keep_the_others_from_being_built(tmp_path: Path, position: int) -> None:
    specs = []
    for number in range(6):
        path = tmp_path / f"{number}.yaml"
        text = SMALL_BLOCK.replace("Robin Sample", f"Robin {number}")
        path.write_text(text.replace("bar: 20", "bar: twenty") if number == position else text, "utf-8")
        specs.append(path)
    result = run("build", *specs, "--out", tmp_path / "sent")
    assert result.exit_code == 2
    assert f"blockbook: {specs[position]}: line 13: equipment.bar" in result.stderr
    assert len(result.stdout.splitlines()) == len(contents(tmp_path / "sent")) == 5


def disk_full(*_: Any) -> None:
    raise OSError(errno.ENOSPC, "No space left on device")


def interrupted(*_: Any) -> None:
    raise KeyboardInterrupt


@pytest.mark.parametrize("failure", [disk_full, interrupted])
@pytest.mark.parametrize("before", [{}, {BUILT: b"sent last week"}], ids=["new", "there already"])
def test_a_build_that_fails_leaves_the_folder_as_it_was(
    tmp_path: Path,
    spec_file: Path,
    monkeypatch: pytest.MonkeyPatch,
    failure: Callable[..., None],
    before: dict[str, bytes],
) -> None:
    out = tmp_path / "sent"
    out.mkdir()
    for name, content in before.items():
        (out / name).write_bytes(content)
    monkeypatch.setattr(os, "replace", failure)
    result = run("build", spec_file, "--out", out, "--force")
    assert result.exit_code != 0
    assert result.stderr
    assert contents(out) == before


def test_a_build_that_fails_says_why(tmp_path: Path, spec_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "replace", disk_full)
    shown = refused("build", spec_file, "--out", tmp_path / "sent")
    assert f"{tmp_path / 'sent' / BUILT}: cannot be written (No space left on device)" in shown


def test_a_file_in_place_of_the_folder_is_left_alone(tmp_path: Path, spec_file: Path) -> None:
    before = contents(tmp_path)
    assert "cannot be written" in refused("build", spec_file, "--out", spec_file, "--force")
    assert contents(tmp_path) == before


def test_a_folder_in_place_of_the_workbook_is_left_alone(tmp_path: Path, spec_file: Path) -> None:
    (tmp_path / "sent" / BUILT).mkdir(parents=True)
    before = contents(tmp_path)
    assert "cannot be written" in refused("build", spec_file, "--out", tmp_path / "sent", "--force")
    assert contents(tmp_path) == before


# Rehearse


def test_rehearse_shows_what_is_likely_and_writes_only_what_is_asked_for(tmp_path: Path, spec_file: Path) -> None:
    shown = succeeded("rehearse", spec_file, "--lifters", "10")
    assert shown.startswith("Robin Sample · Small block · 2 weeks from 4 Jan 2027\n")
    assert max(len(line) for line in shown.splitlines()) < 80
    assert list(contents(tmp_path)) == ["block.yaml"]
    out = tmp_path / "rehearsal.xlsx"
    assert succeeded("rehearse", spec_file, "--lifters", "10", "--out", out) == f"{shown}\n{out}\n"
    assert out.read_bytes().startswith(b"PK")


def test_rehearse_follows_its_seed(spec_file: Path) -> None:
    first, again, other = (succeeded("rehearse", spec_file, "--lifters", "10", "--seed", n) for n in ("3", "3", "4"))
    assert first == again
    assert first.splitlines()[3:] != other.splitlines()[3:]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("overview", "--force"), "--force goes with --out"),
        (("read", "a.xlsx", "--force"), "--force goes with --csv"),
        (("rehearse", "a.yaml", "--force"), "--force goes with --out"),
        (("new", "strength", "--lifter", "Robin", "--force"), "--force goes with --out"),
        (("review", "a.xlsx", "--out", "r.xlsx", "--practice", "."), "--practice goes with LIFTERs"),
        (("next", "a.xlsx", "--out", "n.yaml", "--overview", "o.xlsx"), "--overview goes with LIFTERs"),
    ],
)
def test_an_option_that_would_go_unheard_is_refused(arguments: tuple[str, ...], said: str) -> None:
    result = run(*arguments)
    assert result.exit_code == 2
    assert said in unwrapped(result.stderr)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--lifters", "9"], "lifters: 9 should be a whole number from 10 to 5000"),
        (["--lifters", "5001"], "lifters: 5001 should be"),
        (["--seed", "-1"], "seed: -1 should be"),
    ],
)
def test_rehearse_refuses_numbers_that_cannot_be(
    tmp_path: Path, spec_file: Path, arguments: list[str], said: str
) -> None:
    before = contents(tmp_path)
    assert said in refused("rehearse", spec_file, *arguments, "--out", tmp_path / "rehearsal.xlsx")
    assert contents(tmp_path) == before


def test_rehearse_of_a_number_in_words_is_explained(spec_file: Path) -> None:
    result = run("rehearse", spec_file, "--lifters", "many")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "Error: " in result.stderr


def test_rehearse_of_a_faulty_or_missing_specification_says_where(tmp_path: Path, spec_file: Path) -> None:
    spec_file.write_text(SMALL_BLOCK.replace("bar: 20", "bar: twenty"), "utf-8")
    assert "line 13: equipment.bar" in refused("rehearse", spec_file)
    assert "nobody.yaml" in refused("rehearse", tmp_path / "nobody.yaml")
    assert "robin.xlsx" in refused("rehearse", clean_file(tmp_path))


# Read

SET_KEYS = [
    "key", "week", "session", "slot", "set", "kind", "exercise", "instead", "target_reps", "target_rpe", "target_load",
    "load", "reps", "rpe", "note", "one_rep_max", "sheet", "cell",
]  # fmt: skip
FINDING_KEYS = ["code", "severity", "sheet", "cell", "value", "message", "hint"]


def second_block(folder: Path) -> Path:
    """The workbook of another block of the same lifter."""
    (folder / "second").mkdir()
    return clean_file(folder / "second", ("title: Small block", "title: Second block"))


def test_read_shows_a_page_for_each_block(tmp_path: Path) -> None:
    page = succeeded("read", clean_file(tmp_path))
    assert page.startswith("Robin Sample · Small block · 2 weeks from 4 Jan 2027\nrobin.xlsx\n")
    assert "No findings" in page
    assert max(len(line) for line in page.splitlines()) < 80
    other = second_block(tmp_path)
    assert succeeded("read", clean_file(tmp_path), other) == f"{page}\n{succeeded('read', other)}"


def test_copies_of_a_block_are_one_page(tmp_path: Path) -> None:
    path = clean_file(tmp_path)
    page = succeeded("read", path, retyped(path, {f"{TOP}/load": None}))
    assert page.startswith("Robin Sample · Small block · 2 weeks from 4 Jan 2027\nrobin.xlsx, changed.xlsx\n")
    assert "No findings" in page


def test_a_finding_of_severity_error_ends_with_1(odd_file: Path) -> None:
    result = run("read", odd_file)
    assert (result.exit_code, result.stderr) == (1, "")
    assert '"heavy" is not a number' in result.stdout


def test_a_warning_alone_ends_with_0(tmp_path: Path) -> None:
    shown = succeeded("read", retyped(clean_file(tmp_path), {f"{TOP}/rpe": None}))
    assert "warning: Week 1 " in shown


def no_file(folder: Path) -> Path:
    return folder / "nobody.xlsx"


def a_specification(folder: Path) -> Path:
    path = folder / "block.yaml"
    path.write_text(SMALL_BLOCK, "utf-8")
    return path


def a_broken_workbook(folder: Path) -> Path:
    path = clean_file(folder)
    path.write_bytes(path.read_bytes()[:3000])
    return path


@pytest.mark.parametrize("make", [no_file, a_specification, a_broken_workbook])
@pytest.mark.parametrize("command", ["read", "review", "next"])
def test_what_cannot_be_read_ends_with_2(tmp_path: Path, command: str, make: Callable[[Path], Path]) -> None:
    path = make(tmp_path)
    before = contents(tmp_path)
    out: list[str | Path] = [] if command == "read" else ["--out", tmp_path / "out.xlsx"]
    assert str(path) in refused(command, path, *out)
    assert contents(tmp_path) == before


def test_json_of_one_file_is_an_object(tmp_path: Path) -> None:
    log = json.loads(succeeded("read", clean_file(tmp_path), "--json"))
    assert list(log) == ["block", "lifter", "sets", "sessions", "findings"]
    assert log["lifter"] == {"name": "Robin Sample", "sex": None, "body_weight": 70, "birth_year": None}
    assert log["block"]["file"] == "robin.xlsx"
    assert len(log["sets"]) == len(clean_inputs_of("reps"))
    assert all(list(logged) == SET_KEYS for logged in log["sets"])
    assert log["findings"] == []


def clean_inputs_of(column: str) -> list[str]:
    return [name for name in clean_inputs() if name.endswith(f"/{column}")]


def test_json_of_two_blocks_is_a_list_and_of_copies_one_object(tmp_path: Path) -> None:
    path, other = clean_file(tmp_path), second_block(tmp_path)
    one, two = (json.loads(succeeded("read", each, "--json")) for each in (path, other))
    assert json.loads(succeeded("read", path, other, "--json")) == [one, two]
    assert json.loads(succeeded("read", path, path, "--json")) == one


def test_json_keeps_what_was_not_typed_plainly_as_it_was(odd_file: Path) -> None:
    result = run("read", odd_file, "--json")
    assert result.exit_code == 1
    log = json.loads(result.stdout)
    odd = [logged for logged in log["sets"] if list(logged) != SET_KEYS]
    assert [(logged["key"], logged["load"], logged["raw"]) for logged in odd] == [(TOP, None, {"load": "heavy"})]
    assert list(odd[0]) == [*SET_KEYS, "raw"]
    assert all(list(found) == FINDING_KEYS for found in log["findings"])
    assert ("not-a-number", "error", "heavy") in [
        (found["code"], found["severity"], found["value"]) for found in log["findings"]
    ]
    assert odd[0]["cell"] in [found["cell"] for found in log["findings"]]


# CSV


def table(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_csv_writes_three_tables_of_all_files(tmp_path: Path, odd_file: Path) -> None:
    out = tmp_path / "tables"
    result = run("read", second_block(tmp_path), odd_file, "--csv", out)
    assert result.exit_code == 1
    assert sorted(contents(out)) == ["findings.csv", "sessions.csv", "sets.csv"]
    sets, sessions, findings = (table(out / f"{name}.csv") for name in ("sets", "sessions", "findings"))
    assert list(sets[0]) == ["lifter", "block", "file", *SET_KEYS, "raw"]
    assert len(sets) == 2 * len(clean_inputs_of("reps"))
    assert [row["raw"] for row in sets if row["raw"]] == ["load: heavy"]
    assert [row["planned_date"] for row in sessions] == ["2027-01-04", "2027-01-07", "2027-01-11", "2027-01-14"] * 2
    assert {row["file"] for row in findings} == {"changed.xlsx"}


def test_csv_without_findings_still_names_the_columns(tmp_path: Path) -> None:
    succeeded("read", clean_file(tmp_path), "--csv", tmp_path / "tables")
    header = (tmp_path / "tables" / "findings.csv").read_text("utf-8").splitlines()
    assert header == [",".join(["lifter", "block", "file", *FINDING_KEYS, "likely"])]


@pytest.mark.parametrize("text", ["=1+1", "+1+1", "-1+1", "@SUM(1)", '=HYPERLINK("http://example.invalid")'])
def test_text_from_people_is_no_formula_in_a_csv(tmp_path: Path, text: str) -> None:
    spec = spec_from(("Robin Sample", json.dumps(text)), ("Small block", json.dumps(text)))
    typed = {
        **clean_inputs(), f"{TOP}/note": text, f"{TOP}/load": text, "w1.upper.where": text, "w1.upper.minutes": text,
        "w1.upper.pain": text,
    }  # fmt: skip
    log_of(tmp_path, spec, typed)
    assert run("read", tmp_path / "returned.xlsx", "--csv", tmp_path / "tables").exit_code == 1
    tables = [table(tmp_path / "tables" / f"{name}.csv") for name in ("sets", "sessions", "findings")]
    assert all(row["lifter"] == row["block"] == f"'{text}" for rows in tables for row in rows)
    values = [value for rows in tables for row in rows for value in row.values()]
    assert not [value for value in values if value.startswith(("=", "+", "-", "@"))]
    sets, sessions, findings = tables
    assert [row["note"] for row in sets if row["note"]] == [f"'{text}"]
    assert [row["where"] for row in sessions if row["where"]] == [f"'{text}"]
    assert f"'{text}" in [row["value"] for row in findings]


def test_numbers_stay_numbers_in_a_csv(tmp_path: Path) -> None:
    path = retyped(clean_file(tmp_path), {f"{TOP}/load": -100})
    run("read", path, "--csv", tmp_path / "tables")
    assert [float(row["load"]) for row in table(tmp_path / "tables" / "sets.csv") if row["key"] == TOP] == [-100]


# Review and next


def test_review_and_next_lead_to_a_block_that_can_be_built(tmp_path: Path, spec_file: Path) -> None:
    returned, review, following = clean_file(tmp_path), tmp_path / "review.xlsx", tmp_path / "next.yaml"
    assert succeeded("review", returned, "--out", review) == f"{review}\n"
    assert review.read_bytes().startswith(b"PK")
    shown = succeeded("next", returned, "--review", review, "--spec", spec_file, "--out", following)
    assert unwrapped(shown).startswith(f"{following}: check it")
    spec = load_spec(following)
    assert spec.lifter.name == "Robin Sample"
    assert spec.block.start > date(2027, 1, 4)
    assert spec.sessions[0].slots[0].private_note == "Watch the left knee cave in."
    assert (tmp_path / SPECIFICATION).exists()
    assert succeeded("build", following, "--out", tmp_path / "sent").strip().endswith(".xlsx")


def test_next_says_first_where_something_hurts(tmp_path: Path) -> None:
    path = retyped(clean_file(tmp_path), {"w2.upper.pain": "A"})
    shown = succeeded("next", path, "--out", tmp_path / "next.yaml")
    assert shown.startswith("First: bench press (Upper). Pain was reported: ask the lifter first.")


def test_next_says_what_comes_first_in_lines_that_fit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    log_of(tmp_path, spec_from(), {**worn_out(), "w2.lower.pain": "Z"})
    monkeypatch.chdir(tmp_path)
    succeeded("season", "--meet", "2027-06-05", "--from", "2027-01-04", "--out", "season.yaml")
    shown = succeeded("next", "returned.xlsx", "--season", "season.yaml", "--out", "next.yaml")
    assert shown.startswith("First: back squat (Lower). Pain was reported")
    assert "Deload first (week 1): 2 of 4 signs agree" in shown
    assert "the pain names no exercise" in " ".join(shown.split())
    assert "By the season: " in shown
    assert all(len(line) < 80 for line in shown.splitlines())


def test_next_takes_several_blocks_of_a_lifter(tmp_path: Path) -> None:
    log_of(tmp_path, spec_from(("title: Small block", "title: Before"), ("2027-01-04", "2026-12-21")), clean_inputs())
    succeeded("next", clean_file(tmp_path), tmp_path / "returned.xlsx", "--out", tmp_path / "next.yaml")
    assert "Decided from 2 blocks:" in (tmp_path / "next.yaml").read_text("utf-8")


def test_a_review_of_two_files_is_one_workbook(tmp_path: Path) -> None:
    log_of(tmp_path, spec_from(("Robin Sample", "Kim Muster")), clean_inputs())
    review = tmp_path / "review.xlsx"
    assert succeeded("review", clean_file(tmp_path), tmp_path / "returned.xlsx", "--out", review) == f"{review}\n"


def test_who_watches_is_told_what_comes_next_and_a_script_gets_the_path_alone(
    tmp_path: Path, spec_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    clean_file(tmp_path)
    monkeypatch.setattr("blockbook.console.is_watched", lambda: True)
    reviewed, built = run("review", "robin.xlsx", "--out", "review.xlsx"), run("build", spec_file, "--out", "sent")
    assert reviewed.stdout == "review.xlsx\n"
    asked = "blockbook next robin.xlsx --review review.xlsx --out next.yaml"
    assert reviewed.stderr == f"Say your word in it, save, then: {asked}\n"
    assert built.stderr == "Mail it, and when it came back, then: blockbook read returned.xlsx\n"


def test_a_review_workbook_is_no_returned_one(tmp_path: Path) -> None:
    review = tmp_path / "review.xlsx"
    succeeded("review", clean_file(tmp_path), "--out", review)
    said = refused("read", review)
    assert f"{review}: this is a review workbook" in said
    assert "blockbook next RETURNED --review" in said


@pytest.mark.parametrize("command", ["review", "meet", "rehearse"])
def test_a_workbook_is_written_as_xlsx_only(tmp_path: Path, spec_file: Path, command: str) -> None:
    file = clean_file(tmp_path) if command == "review" else spec_file
    assert "Name it day.xlsx." in refused(command, file, "--out", tmp_path / "day.xls")
    assert not (tmp_path / "day.xls").exists()


def test_findings_alike_are_gathered_in_the_text_and_kept_apart_in_json(tmp_path: Path) -> None:
    efforts = [name for name in clean_inputs() if name.endswith("/rpe")]
    file = retyped(clean_file(tmp_path), dict.fromkeys(efforts, "hard"))
    told = [found for found in json.loads(run("read", file, "--json").stdout)["findings"] if found["value"] == "hard"]
    assert len(told) == len(efforts)
    shown = " ".join(run("read", file).stdout.split())
    assert f"and {len(efforts) - SHOWN} more like it: {told[SHOWN]['sheet']} {told[SHOWN]['cell']}, " in shown
    assert shown.count('"hard" is') == SHOWN


def test_a_review_that_is_none_is_refused(tmp_path: Path) -> None:
    returned = clean_file(tmp_path)
    shown = refused("next", returned, "--review", tmp_path / "nobody.xlsx", "--out", tmp_path / "next.yaml")
    assert "nobody.xlsx" in shown
    assert not (tmp_path / "next.yaml").exists()


# Nothing is replaced without being told to


@pytest.mark.parametrize(
    ("arguments", "written"),
    [
        (["new", "volume", "--out", "block.yaml"], "block.yaml"),
        (["build", "small.yaml", "--out", "sent"], f"sent/{BUILT}"),
        (["read", "robin.xlsx", "--csv", "tables"], "tables/sets.csv"),
        (["read", "robin.xlsx", "--csv", "tables"], "tables/findings.csv"),
        (["rehearse", "small.yaml", "--lifters", "10", "--out", "rehearsal.xlsx"], "rehearsal.xlsx"),
        (["review", "robin.xlsx", "--out", "review.xlsx"], "review.xlsx"),
        (["next", "robin.xlsx", "--out", "next.yaml"], "next.yaml"),
    ],
    ids=lambda value: value if isinstance(value, str) else value[0],
)
def test_a_file_that_is_there_is_replaced_only_by_force(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: list[str], written: str
) -> None:
    monkeypatch.chdir(tmp_path)
    clean_file(tmp_path)
    (tmp_path / "small.yaml").write_text(SMALL_BLOCK, "utf-8")
    there = tmp_path / written
    there.parent.mkdir(exist_ok=True)
    there.write_bytes(b"not to be lost")
    assert f"{Path(written)}: is there already" in refused(*arguments)
    assert there.read_bytes() == b"not to be lost"
    succeeded(*arguments, "--force")
    assert there.read_bytes() != b"not to be lost"


# The demonstration


class Played(NamedTuple):
    folder: Path
    shown: str


@pytest.fixture(name="played", scope="module")
def _played(tmp_path_factory: pytest.TempPathFactory) -> Played:
    folder = tmp_path_factory.mktemp("demo") / "files"
    return Played(folder, succeeded("demo", "--out", folder))


def test_the_demonstration_leaves_every_file_of_a_season_and_says_where(played: Played) -> None:
    assert sorted(contents(played.folder)) == sorted([*NAMES, SPECIFICATION, SEASON])
    assert all(f"    {played.folder / name}\n" in played.shown for name in NAMES)
    assert "3 weeks of strength, then 4 weeks of peak" in unwrapped(played.shown)
    assert "a deload first" in played.shown
    assert "invented" in played.shown


def test_the_files_of_the_demonstration_can_be_used(played: Played, tmp_path: Path) -> None:
    log = json.loads(succeeded("read", played.folder / "04-returned.xlsx", "--json"))
    assert log == json.loads((played.folder / "05-log.json").read_text("utf-8"))
    assert {"number-understood", "pain-reported"} <= {found["code"] for found in log["findings"]}
    assert succeeded("build", played.folder / "07-next.yaml", "--out", tmp_path)
    assert list(contents(tmp_path).values()) == [(played.folder / "08-sent.xlsx").read_bytes()]


def test_the_demonstration_raises_nothing_that_hurts_and_ends_in_its_meet(played: Played) -> None:
    following = (played.folder / "07-next.yaml").read_text("utf-8")
    assert "# Deload first (week 1): " in following
    hurts = next(line for line in following.splitlines() if "close-grip bench press:" in line)
    assert "Pain was reported: ask the lifter first. Nothing is raised" in hurts
    spec = load_spec(played.folder / "07-next.yaml")
    assert (spec.block.deload_week, spec.block.meet) == (1, MEET)
    assert spec.block.start + timedelta(weeks=spec.block.weeks) == MEET


def test_a_second_demonstration_replaces_nothing(played: Played) -> None:
    before = contents(played.folder)
    assert "is there already" in refused("demo", "--out", played.folder)
    assert contents(played.folder) == before


# What nobody expects


def broken(*_: Any) -> None:
    raise RuntimeError("no such thing")


def test_an_unexpected_error_is_one_line_and_ends_with_2(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("blockbook.spec.templates.templates", broken)
    monkeypatch.delenv("BLOCKBOOK_DEBUG", raising=False)
    shown = refused("templates")
    assert "RuntimeError: no such thing" in shown
    assert len(shown.splitlines()) == 1


def test_an_unexpected_error_shows_where_it_happened_if_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("blockbook.spec.templates.templates", broken)
    monkeypatch.setenv("BLOCKBOOK_DEBUG", "1")
    with pytest.raises(RuntimeError, match="no such thing"):
        run("templates")


def test_stopping_a_command_by_hand_is_not_taken_for_findings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("blockbook.api.read_each", interrupted)
    result = run("read", clean_file(tmp_path))
    assert result.exit_code not in (0, 1)
