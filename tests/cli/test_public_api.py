"""The package from Python: what it offers, what importing it costs, and the module as a program."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import blockbook
from blockbook.cli import main
from blockbook.intake.log import BlockLog
from tests.intake.small_block import SMALL_BLOCK, clean_file, spec_from
from tests.said import unwrapped


def python(*arguments: str, stdin: str = "") -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, *arguments], input=stdin, capture_output=True, text=True, check=False)


@pytest.mark.parametrize("name", blockbook.__all__)
def test_every_public_name_is_there_and_explained(name: str) -> None:
    assert getattr(blockbook, name).__doc__


def test_next_is_next_block() -> None:
    assert blockbook.next is blockbook.next_block


def test_every_command_is_a_function_too() -> None:
    assert set(main.commands) - {"help"} < set(blockbook.__all__)


def test_another_name_is_missed_in_the_usual_way() -> None:
    assert not hasattr(blockbook, "lift")


LARGE = {
    "concurrent", "email", "filelock", "icalendar", "json", "multiprocessing", "numpy", "olefile", "openpyxl",
    "pydantic", "python_calamine", "rapidfuzz", "rich", "xlsxwriter", "yaml", "zipfile",
}  # fmt: skip


@pytest.mark.parametrize("statement", ["import blockbook", "import blockbook.cli"])
def test_importing_loads_none_of_the_large_libraries(statement: str) -> None:
    done = python("-c", f"{statement}; import sys; print(sorted({LARGE} & set(sys.modules)))")
    assert (done.stdout, done.stderr) == ("[]\n", "")


def test_the_commands_load_pathlib_only_once_they_are_given_a_path() -> None:
    done = python("-c", "import blockbook.cli; import sys; print('pathlib' in sys.modules)")
    assert (done.stdout, done.stderr) == ("False\n", "")


@pytest.mark.parametrize("asked", ["--help", "build --help", "templates"])
def test_help_and_templates_load_none_of_them_either(asked: str) -> None:
    run = f"import atexit, sys; atexit.register(lambda: print(sorted({LARGE} & set(sys.modules))))"
    done = python("-c", f"{run}; from blockbook.cli import main; main({asked.split()})")
    assert done.stdout.endswith("\n[]\n")


def test_the_module_is_the_command() -> None:
    done = python("-m", "blockbook", "--help")
    assert (done.returncode, done.stderr) == (0, "")
    assert "Usage: " in done.stdout
    assert "build" in done.stdout


def test_the_module_ends_with_the_exit_code_and_no_traceback(tmp_path: Path) -> None:
    done = python("-m", "blockbook", "read", str(tmp_path / "nobody.xlsx"))
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("blockbook: ")
    assert len(unwrapped(done.stderr).splitlines()) == 1


def test_a_reader_that_stops_early_is_no_error() -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "blockbook", "schema"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as started:
        assert started.stdout is not None
        assert started.stderr is not None
        started.stdout.close()
        said = started.stderr.read()
        assert (started.wait(), said) == (0, b"")


# Functions


def test_build_takes_a_path_a_specification_or_several(tmp_path: Path) -> None:
    spec, path = spec_from(), tmp_path / "block.yaml"
    path.write_text(SMALL_BLOCK, "utf-8")
    (one,) = blockbook.build(spec, tmp_path / "one")
    (two,) = blockbook.build(str(path), tmp_path / "two")
    (three,) = blockbook.build([path], tmp_path / "three")
    assert one.read_bytes() == two.read_bytes() == three.read_bytes()
    assert len({one.name, two.name, three.name}) == 1


def test_read_gives_a_log_for_a_file_and_a_list_for_a_list(tmp_path: Path) -> None:
    path = clean_file(tmp_path)
    log = blockbook.read(path)
    assert isinstance(log, BlockLog)
    assert [other.to_data() for other in blockbook.read([path])] == [log.to_data()]


def test_targets_are_the_loads_that_the_sheet_asks_for(tmp_path: Path) -> None:
    log = blockbook.read(clean_file(tmp_path))
    loads = blockbook.targets(spec_from(), log.logged)
    assert loads == {logged.key: logged.target_load for logged in log.sets}
    assert loads["w1.lower.squat.1"] is not None
    assert loads["w1.lower.band-pull-apart.1"] is None


def test_functions_print_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    returned = clean_file(tmp_path)
    blockbook.new("volume", tmp_path / "block.yaml")
    blockbook.build(tmp_path / "block.yaml", tmp_path / "sent")
    blockbook.rehearse(tmp_path / "block.yaml", 10, out=tmp_path / "rehearsal.xlsx")
    blockbook.review(returned, tmp_path / "review.xlsx")
    blockbook.next(returned, tmp_path / "next.yaml", review=tmp_path / "review.xlsx")
    assert len(list(tmp_path.glob("*.yaml"))) == 2
    assert capsys.readouterr() == ("", "")


def test_a_faulty_specification_raises_the_packages_own_error(tmp_path: Path) -> None:
    path = tmp_path / "block.yaml"
    path.write_text(SMALL_BLOCK.replace("bar: 20", "bar: twenty"), "utf-8")
    with pytest.raises(blockbook.BlockbookError, match=r"line 13: equipment\.bar"):
        blockbook.build(path, tmp_path / "sent")
    assert not (tmp_path / "sent").exists()
