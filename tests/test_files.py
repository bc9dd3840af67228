"""Files that travel between Windows, macOS and Linux: names that all can hold, and text as each of them writes it."""

from __future__ import annotations

from pathlib import Path

import pytest

from blockbook.errors import BlockbookError
from blockbook.files import write_text
from blockbook.practice.folder import open_practice
from blockbook.practice.letters import letter
from blockbook.practice.starting import add_lifter
from blockbook.spec.loading import load_season, load_settings, load_spec
from tests.intake.small_block import SMALL_BLOCK, spec_from
from tests.practice.small_practice import run, small_practice

SEASON = "from: 2027-01-04\nmeets: [2027-06-05]\nblocks:\n- {kind: peak, start: 2027-05-08, weeks: 4}\n"


def as_saved_on_windows(text: str, byte_order_mark: bool) -> bytes:
    return text.replace("\n", "\r\n").encode("utf-8-sig" if byte_order_mark else "utf-8")


@pytest.mark.parametrize("byte_order_mark", [True, False])
def test_yaml_saved_on_windows_is_the_same(tmp_path: Path, byte_order_mark: bool) -> None:
    for name, text in (
        ("block.yaml", SMALL_BLOCK),
        ("season.yaml", SEASON),
        ("settings.yaml", "coach: Kim\nunit: lb\n"),
    ):
        (tmp_path / name).write_bytes(as_saved_on_windows(text, byte_order_mark))
    assert load_spec(tmp_path / "block.yaml") == spec_from()
    assert load_season(tmp_path / "season.yaml").blocks[0].weeks == 4
    assert load_settings(tmp_path / "settings.yaml").unit == "lb"


def test_a_mistake_in_yaml_saved_on_windows_is_told_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / "block.yaml"
    path.write_bytes(as_saved_on_windows(SMALL_BLOCK.replace("bar: 20", "bar: twenty"), True))
    with pytest.raises(BlockbookError, match="line 13: equipment"):
        load_spec(path)


def test_text_in_another_coding_is_asked_for_anew(tmp_path: Path) -> None:
    path = tmp_path / "block.yaml"
    path.write_bytes(SMALL_BLOCK.encode("utf-16"))
    with pytest.raises(BlockbookError, match="save it anew as UTF-8"):
        load_spec(path)


def test_a_letter_saved_on_windows_is_the_same(tmp_path: Path) -> None:
    practice = small_practice(tmp_path / "practice", ())
    path = practice.root / "letters" / "en.txt"
    path.write_bytes(as_saved_on_windows(path.read_text("utf-8"), True))
    subject, text = letter(practice, "en", spec_from(), "log.xlsx")
    assert subject == "Small block, from Monday 4 January 2027"
    assert "\r" not in text


@pytest.mark.parametrize("name", ["aux.yaml", "CON.yaml", "nul.tar.yaml", "Com1.yaml", "lpt9 .yaml"])
def test_a_name_that_windows_keeps_for_itself_is_refused_everywhere(
    tmp_path: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    result = run("new", "strength", "--out", name)
    assert (result.exit_code, list(tmp_path.iterdir())) == (2, [])
    assert "on Windows. Choose another name." in result.stderr


@pytest.mark.parametrize("name", ["block.yaml.", "block.yaml ", "block ."])
def test_a_name_that_ends_in_what_windows_drops_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(BlockbookError, match="ends in a blank or a dot"):
        write_text(tmp_path / name, "", force=False)


@pytest.mark.parametrize("name", ["auxiliary.yaml", "console.yaml", "con-strength.yaml", ".hidden"])
def test_other_names_are_taken(tmp_path: Path, name: str) -> None:
    assert write_text(tmp_path / name, "x", force=False).read_text("utf-8") == "x"


@pytest.mark.parametrize(("name", "folder"), [("NUL", "nul-x"), ("Aux.", "aux-x"), ("Robin... ", "robin")])
def test_a_lifters_folder_has_a_name_that_windows_can_hold(tmp_path: Path, name: str, folder: str) -> None:
    practice = small_practice(tmp_path / "practice", ())
    assert add_lifter(practice, name, "strength").name == folder


def test_folders_do_not_differ_by_case_alone(tmp_path: Path) -> None:
    practice = small_practice(tmp_path / "practice", ("Robin Sample",))
    (practice.root / "lifters" / "robin-sample").rename(practice.root / "lifters" / "Jo-Beispiel")
    assert add_lifter(open_practice(practice.root), "Jo Beispiel", "strength").name == "jo-beispiel-2"
    assert [lifter.name for lifter in open_practice(practice.root).named(["JO-BEISPIEL"])] == ["Jo-Beispiel"]


def test_workbooks_of_names_that_differ_by_case_alone_are_not_mixed_up(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for file, name in (("a.yaml", "robin sample"), ("b.yaml", "ROBIN SAMPLE")):
        Path(file).write_text(SMALL_BLOCK.replace("Robin Sample", name), "utf-8")
    result = run("build", "a.yaml", "b.yaml", "--out", "sent")
    assert (result.exit_code, len(list(Path("sent").iterdir()))) == (2, 1)
    assert "another specification of this run has the same lifter" in result.stderr
