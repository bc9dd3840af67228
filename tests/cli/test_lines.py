"""Whatever a command prints fits a terminal of 80 columns, errors too, however long the names are."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook

from blockbook.cli import main
from tests.intake.small_block import SMALL_BLOCK, TOP, clean_file, clean_inputs, find

LONG = "Maximiliana-Alexandrine Featherstonehaugh-Wolfeschlegelstein"
TITLE = "Preparation for the championships of the northern counties"
CHANGES = (("name: Robin Sample", f"name: {LONG}"), ("title: Small block", f"title: {TITLE}"))


@pytest.fixture(scope="module", name="files")
def _files(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("files")
    text = SMALL_BLOCK
    for old, new in CHANGES:
        text = text.replace(old, new)
    (folder / "block.yaml").write_text(text, "utf-8")
    (folder / "faulty.yaml").write_text(text.replace("bar: 20", "barre: twenty").replace("rpe: 8", "rpe: 88"), "utf-8")
    (folder / "season.yaml").write_text("from: 2027-01-04\nmeets: [2027-06-05]\nblocks: []\n", "utf-8")
    returned = clean_file(folder, *CHANGES).rename(folder / "returned.xlsx")
    book = load_workbook(returned)
    for name in [name for name in clean_inputs() if name.endswith("/load")][3:]:
        find(book, name).value = "heavy, but I would say it was all right"
    find(book, f"{TOP}/note").value = "my left knee hurts when I go down"
    book.save(folder / "odd.xlsx")
    return folder


@pytest.fixture(autouse=True)
def _there(files: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(files)


def run(*arguments: str) -> Result:
    """A command as it is printed; an exception that would show a traceback is let through."""
    result = CliRunner().invoke(main, arguments)
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def lines_of(*arguments: str) -> Iterator[str]:
    result = run(*arguments)
    yield from f"{result.stdout}\n{result.stderr}".splitlines()


def too_long(*arguments: str) -> list[str]:
    """Lines over 80 columns but for a single word: a path, an option or a command in quotes is not torn."""
    long = [line for line in lines_of(*arguments) if len(line) > 80]
    return [line for line in long if len(re.sub("`[^`]+`", "quoted", line.removeprefix("blockbook: ")).split()) > 1]


@pytest.mark.parametrize("name", main.commands)
def test_the_help_of_every_command_fits(name: str) -> None:
    assert too_long(name, "--help") == []


@pytest.mark.parametrize(
    "command",
    [
        "",
        "--help",
        "help",
        "lift",
        "templates",
        "templates --exercises",
        "templates --loud",
        "new",
        "new nothing --out new.yaml",
        "new strength --out new.yaml --start 4.1.2027",
        "build faulty.yaml block.yaml returned.xlsx nobody.yaml --out built",
        "build block.yaml",
        "build block.yaml --carry odd.xlsx --out carried",
        "read returned.xlsx",
        "read odd.xlsx",
        "read block.yaml season.yaml nobody.xlsx faulty.yaml",
        "review returned.xlsx odd.xlsx --out review.xlsx",
        "next odd.xlsx --out next.yaml",
        "next returned.xlsx --out next2.yaml --season season.yaml",
        "next returned.xlsx --out block.yaml",
        "next returned.xlsx --review block.yaml --out next3.yaml",
        "rehearse block.yaml --lifters 10",
        "season --meet 2027-06-05 --from 2027-01-04 --away 2027-03-01..2027-03-09 --out made.yaml",
        "season --out empty.yaml",
        "meet block.yaml --out meet.xlsx --start late",
        "convert block.yaml other.yaml",
        "demo --out demo",
        "overview",
        "mail",
    ],
)
def test_what_a_command_says_fits(command: str) -> None:
    assert too_long(*command.split()) == []


def test_what_is_said_of_a_practice_fits() -> None:
    commands = [
        ("init", "practice", "--coach", LONG),
        ("init", "practice"),
        ("new", "strength", "--lifter", LONG, "--practice", "practice"),
        ("new", "strength", "--lifter", LONG, "--practice", "practice"),
        ("new", "strength", "--lifter", "???", "--practice", "practice"),
        ("mail", "--practice", "practice"),
        ("collect", "returned.xlsx", "odd.xlsx", "block.yaml", "--practice", "practice", "--verbose"),
        ("mail", LONG, "--send", "--practice", "practice"),
        ("read", "--practice", "practice"),
        ("review", "--practice", "practice"),
        ("overview", "--practice", "practice", "--out", "practice/overview.xlsx"),
        ("next", "--practice", "practice"),
        ("next", LONG, "--practice", "practice"),
        ("build", "--practice", "practice"),
        ("build", "nobody of this name", "--practice", "practice"),
    ]
    for command in commands:
        assert too_long(*command) == [], command


def test_blockbook_alone_shows_the_way() -> None:
    result = run()
    assert (result.exit_code, result.stderr) == (0, "")
    assert "blockbook new strength --out block.yaml" in result.stdout
    for line in result.stdout.splitlines():
        words = line.split()
        if words[:1] == ["blockbook"] and line.startswith("  "):
            assert words[1] in main.commands
