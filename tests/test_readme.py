"""What the README shows works as it stands."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook

from blockbook.cli import main
from blockbook.spec.loading import parse_spec
from blockbook.workbook.assemble import assemble

README = (Path(__file__).resolve().parent.parent / "README.md").read_text("utf-8")


def blocks(kind: str) -> list[str]:
    return re.findall(rf"^```{kind}\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)


def test_the_specification_to_copy_builds() -> None:
    (text,) = blocks("yaml")
    spec = parse_spec(text, "README")
    keys = [
        planned.key for week in assemble(spec).weeks for s in week for line in s.lines for planned in line.line.sets
    ]
    (named,) = re.findall(r'targets\("block.yaml", {"([^"]+)"', README)
    assert named in keys


def test_every_command_is_documented_and_every_documented_one_exists() -> None:
    documented = set(re.findall(r"^\| `blockbook (\w+)", README, re.MULTILINE))
    assert documented == set(main.commands)


def test_every_documented_option_exists() -> None:
    for name, line in re.findall(r"^\| `blockbook (\w+)([^|]*)\|", README, re.MULTILINE):
        shown = CliRunner().invoke(main, [name, "--help"]).output
        for option in re.findall(r"--[a-z]+", line):
            assert option in shown


def test_the_loop_in_six_lines_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    loop = next(block for block in blocks("") if block.startswith("blockbook new"))
    commands = [line.split("#")[0].split()[1:] for line in loop.strip().splitlines()]
    assert len(commands) == 6
    monkeypatch.chdir(tmp_path)
    for arguments in commands:
        if arguments[0] == "read":
            next(Path("sent").glob("*.xlsx")).rename("returned.xlsx")
        result = CliRunner().invoke(main, arguments)
        assert result.exit_code == 0, result.output
    assert len(list(Path("sent").glob("*.xlsx"))) == 1


def test_the_mistake_in_a_plan_workbook_is_told_as_shown(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert CliRunner().invoke(main, ["new", "strength", "--out", "plan.xlsx"]).exit_code == 0
    book = load_workbook("plan.xlsx")
    book["Plan"]["I9"] = "three"
    book.save("plan.xlsx")
    result = CliRunner().invoke(main, ["build", "plan.xlsx", "--out", "sent"])
    assert result.exit_code == 2
    assert f"```\n{result.stderr}```" in README


def test_the_first_paragraph_states_the_job() -> None:
    paragraph = README.split("\n\n")[1]
    assert all(word in paragraph for word in ("coach", "lifter", "workbook", "next block"))


def test_the_cautions_are_there() -> None:
    assert all(word in README.lower() for word in ("spotters", "pain", "under 18", "making weight", "federation"))
