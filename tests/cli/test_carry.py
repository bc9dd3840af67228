"""`blockbook build SPEC --carry RETURNED`: what it prints, writes and refuses."""

from __future__ import annotations

from pathlib import Path

import pytest

import blockbook
from tests.cli.test_commands import BUILT, refused, run, succeeded
from tests.intake.small_block import SMALL_BLOCK, clean_inputs, log_of, spec_from
from tests.said import unwrapped

pytestmark = pytest.mark.usefixtures("soon_after")

CHANGED = SMALL_BLOCK.replace("exercise: leg press", "exercise: hip thrust")


@pytest.fixture(name="files")
def _files(tmp_path: Path) -> tuple[Path, Path]:
    """A changed specification, and the block's workbook as it came back after week 1."""
    path = tmp_path / "block.yaml"
    path.write_text(CHANGED, "utf-8")
    log_of(tmp_path, spec_from(), {name: value for name, value in clean_inputs().items() if name.startswith("w1.")})
    return path, tmp_path / "returned.xlsx"


def test_a_changed_block_is_built_with_its_log_and_the_report_says_what_moved(
    tmp_path: Path, files: tuple[Path, Path]
) -> None:
    spec, returned = files
    shown = succeeded("build", spec, "--carry", returned, "--out", tmp_path / "sent")
    assert unwrapped(shown).splitlines() == [
        str(tmp_path / "sent" / BUILT),
        "10 sets, 2 feelers and 14 session entries carried, 2 sets and 1 feeler to the sheet Earlier log:",
        "  Week 1 Lower: leg press, 2 sets and 1 feeler (no longer in the block)",
    ]
    log, before = blockbook.read(tmp_path / "sent" / BUILT), blockbook.read(returned)
    assert log.logged == {key: typed for key, typed in before.logged.items() if "leg-press" not in key}
    assert [(row.exercise, row.load) for row in log.earlier] == [
        (one.exercise, one.load) for one in before.sets if "w1.lower.leg-press." in one.key
    ]


def test_the_returned_workbook_itself_is_never_replaced(tmp_path: Path, files: tuple[Path, Path]) -> None:
    spec, returned = files
    copy = returned.rename(tmp_path / BUILT)
    before = copy.read_bytes()
    assert "is the returned workbook itself" in refused("build", spec, "--carry", copy, "--out", tmp_path, "--force")
    assert copy.read_bytes() == before


def test_with_carry_one_specification_is_named(tmp_path: Path, files: tuple[Path, Path]) -> None:
    spec, returned = files
    result = run("build", spec, "--carry", returned, returned, "--out", tmp_path / "sent")
    assert result.exit_code == 2
    assert "With --carry, name one SPEC" in result.stderr
    assert not (tmp_path / "sent").exists()


def test_another_unit_is_refused_in_one_sentence_and_nothing_is_written(
    tmp_path: Path, files: tuple[Path, Path]
) -> None:
    spec, returned = files
    spec.write_text(CHANGED.replace("unit: kg", "unit: lb"), "utf-8")
    said = refused("build", spec, "--carry", returned, "--out", tmp_path / "sent")
    assert said.count("\n") == 1
    assert "Keep the unit kg until the block is over" in said
    assert not (tmp_path / "sent").exists()


def test_python_takes_several_copies_and_gives_what_was_carried(tmp_path: Path, files: tuple[Path, Path]) -> None:
    spec, returned = files
    made = blockbook.rebuild(spec, [returned, returned], tmp_path / "sent")
    assert made.path == tmp_path / "sent" / BUILT
    assert made.carried.remarks == ()
    assert {row.exercise for row in made.carried.earlier} == {"leg press"}


def test_what_looks_like_a_slip_in_the_changed_block_is_said_as_build_says_it(
    tmp_path: Path, files: tuple[Path, Path]
) -> None:
    spec, returned = files
    spec.write_text(CHANGED.replace("bar: 20", "bar: 45"), "utf-8")
    plain = run("build", spec, "--out", tmp_path / "plain").stderr
    assert plain.startswith("  Look: A bar of 45 kg")
    assert run("build", spec, "--carry", returned, "--out", tmp_path / "sent").stderr == plain
