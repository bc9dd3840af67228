"""What the README shows works as it stands."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook

from blockbook.cli import main
from blockbook.plan.files import load_spec
from blockbook.spec.loading import parse_spec
from blockbook.workbook.assemble import assemble
from blockbook.workbook.write import block_bytes
from tests.intake.small_block import followed
from tests.pictures import FOLDER, PICTURES

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


@pytest.mark.usefixtures("meanwhile")
def test_the_first_block_in_ten_minutes_is_as_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    section = README.split("## The first block in ten minutes")[1].split("\n## ")[0]
    to_build, to_review, to_go_on = re.findall(r"^```\n(.*?)^```$", section, re.MULTILINE | re.DOTALL)
    first, following = re.findall(r"`(sent/\S+\.xlsx)`", section)
    Path("block.yaml").write_text(blocks("yaml")[0], "utf-8")

    done(to_build)
    spec = load_spec("block.yaml")
    assert [str(path) for path in Path("sent").iterdir()] == [first]
    typed = {name: value for name, value in followed(spec).items() if name.startswith("w1.")}
    Path("returned.xlsx").write_bytes(block_bytes(spec, typed))
    done(to_review)
    for load, heading, exercise in re.findall(
        r"`(\d+)` under `(\w+ \w+)` in (?:the row|that) of the ([a-z ]+)[,:]", section
    ):
        type_into_the_review(heading, exercise, int(load))
    done(to_go_on)
    squat, _, press = load_spec("next.yaml").sessions[0].slots
    assert (squat.loads, press.sets) == ({1: 110}, (4,))
    assert Path(following).exists()


def done(commands: str) -> None:
    for line in commands.splitlines():
        result = CliRunner().invoke(main, line.split()[1:])
        assert (result.exit_code, result.stderr) == (0, ""), line


def type_into_the_review(heading: str, exercise: str, value: int) -> None:
    book = load_workbook("review.xlsx")
    sheet = book["Review"]
    rows = [[cell.value for cell in row] for row in sheet.iter_rows()]
    column = next(row for row in rows if row[0] == "Key").index(heading)
    row = next(number for number, row in enumerate(rows) if exercise.capitalize() in row)
    sheet.cell(row + 1, column + 1).value = value
    book.save("review.xlsx")


def test_the_pictures_are_those_that_one_command_makes() -> None:
    shown = re.findall(r"!\[[^\]]+\]\(\.pictures/(\w+)\.png\)", README)
    assert shown == list(PICTURES)
    assert all((FOLDER / f"{name}.png").read_bytes().startswith(b"\x89PNG") for name in shown)
    assert shown == [path.stem for path in sorted(FOLDER.iterdir(), key=lambda path: shown.index(path.stem))]


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
