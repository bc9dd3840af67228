"""Files that are no returned workbook of ours are refused in a sentence that says what to do."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook

from blockbook.errors import BlockbookError
from blockbook.intake.opening import open_grids
from blockbook.intake.reading import one_block, read_workbook
from blockbook.workbook.layout import LAYOUT_VERSION, MANIFEST
from tests.intake.small_block import clean_file, edited, spec_from


def missing(folder: Path) -> Path:
    return folder / "nobody.xlsx"


def a_folder(folder: Path) -> Path:
    path = folder / "returned.xlsx"
    path.mkdir()
    return path


def empty(folder: Path) -> Path:
    path = folder / "empty.xlsx"
    path.touch()
    return path


def text(folder: Path) -> Path:
    path = folder / "notes.xlsx"
    path.write_text("squat 100 kg, felt fine", "utf-8")
    return path


def pdf(folder: Path) -> Path:
    path = folder / "week.pdf"
    path.write_bytes(b"%PDF-1.7\n%%EOF\n")
    return path


def zip_of_texts(folder: Path) -> Path:
    path = folder / "photos.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("readme.txt", "no sheets in here")
    return path


def not_ours(folder: Path) -> Path:
    path = folder / "shopping.xlsx"
    book: Any = Workbook()
    book.active.append(["eggs", 12])
    book.save(path)
    return path


def cut_short(folder: Path) -> Path:
    path = clean_file(folder)
    path.write_bytes(path.read_bytes()[:20_000])
    return path


REFUSED: list[tuple[Callable[[Path], Path], str]] = [
    (missing, "Check name and folder"),
    (a_folder, "Name the returned workbook itself"),
    (empty, "send it again"),
    (text, "save it again as .xlsx"),
    (pdf, "Ask for the spreadsheet itself"),
    (zip_of_texts, "save it again as .xlsx"),
    (not_ours, "Check that it is the file you mailed"),
    (cut_short, "ask for the file once more"),
]


@pytest.mark.parametrize(("make", "what_to_do"), REFUSED, ids=[make.__name__ for make, _ in REFUSED])
def test_what_is_no_returned_workbook_is_refused(tmp_path: Path, make: Callable[[Path], Path], what_to_do: str) -> None:
    path = make(tmp_path)
    with pytest.raises(BlockbookError) as refused:
        read_workbook(path)
    said = " ".join(str(refused.value).split())
    assert said.startswith(f"{path}: ")
    assert what_to_do in said


def is_read_or_refused(path: Path) -> bool:
    """Whether the file opens, or is refused by name; anything else is raised."""
    try:
        return "Week 1" in open_grids(path)
    except BlockbookError as refused:
        return str(refused).startswith(f"{path}: ")


@pytest.mark.parametrize("position", [0.1, 0.5, 0.9, 0.97, 0.99, 0.995])
@pytest.mark.parametrize("noise", [b"\x00" * 24, b"PK\x05\x06" * 6, b"\xff" * 24], ids=["zeros", "marks", "ones"])
def test_a_damaged_file_is_refused_or_read_never_a_crash(tmp_path: Path, position: float, noise: bytes) -> None:
    path = clean_file(tmp_path)
    content = bytearray(path.read_bytes())
    start = int(len(content) * position)
    content[start : start + len(noise)] = noise
    path.write_bytes(content)
    assert is_read_or_refused(path)


@pytest.mark.parametrize("offset", range(0, 46, 3))
def test_a_damaged_table_of_contents_is_refused_or_read(tmp_path: Path, offset: int) -> None:
    """One byte of the first entry of the archive's table of contents is changed."""
    path = clean_file(tmp_path)
    content = bytearray(path.read_bytes())
    content[content.index(b"PK\x01\x02") + offset] ^= 0xFF
    path.write_bytes(content)
    assert is_read_or_refused(path)


# The hidden manifest --------------------------------------------------------------------------


def drop_manifest(book: Any) -> None:
    del book[MANIFEST]


def change_digest(book: Any) -> None:
    cell = book[MANIFEST]["A3"]
    cell.value = cell.value[:-1] + ("0" if cell.value[-1] != "0" else "1")


def change_payload(book: Any) -> None:
    cell = book[MANIFEST]["A4"]
    cell.value = cell.value[:50] + ("A" if cell.value[50] != "A" else "B") + cell.value[51:]


def shorten_payload(book: Any) -> None:
    cell = book[MANIFEST]["A4"]
    cell.value = cell.value[: len(cell.value) // 2]


def empty_payload(book: Any) -> None:
    book[MANIFEST]["A4"].value = None


def newer_layout(book: Any) -> None:
    book[MANIFEST]["A2"].value = str(LAYOUT_VERSION + 1)


def unknown_layout(book: Any) -> None:
    book[MANIFEST]["A2"].value = "²"


DAMAGE: list[tuple[Callable[[Any], None], str]] = [
    (drop_manifest, "ask for the file as .xlsx"),
    (change_digest, "Ask for the file again"),
    (change_payload, "Ask for the file again"),
    (shorten_payload, "Ask for the file again"),
    (empty_payload, "Ask for the file again"),
    (newer_layout, "Update blockbook"),
    (unknown_layout, "Update blockbook"),
]


@pytest.mark.parametrize(("damage", "what_to_do"), DAMAGE, ids=[damage.__name__ for damage, _ in DAMAGE])
def test_a_damaged_manifest_is_refused(tmp_path: Path, damage: Callable[[Any], None], what_to_do: str) -> None:
    path = edited(clean_file(tmp_path), damage)
    with pytest.raises(BlockbookError) as refused:
        read_workbook(path)
    assert str(refused.value).startswith(f"{path}: ")
    assert what_to_do in str(refused.value)


def test_another_layout_is_refused_whatever_block_is_named(tmp_path: Path) -> None:
    """Its cells would be taken for others."""

    def older(book: Any) -> None:
        book[MANIFEST]["A2"].value = str(LAYOUT_VERSION - 1)

    with pytest.raises(BlockbookError, match="built by an older blockbook"):
        one_block([edited(clean_file(tmp_path), older)], spec_from())


def test_a_layout_number_stored_as_a_number_is_known(tmp_path: Path) -> None:
    def store_as_number(book: Any) -> None:
        book[MANIFEST]["A2"].value = LAYOUT_VERSION

    assert read_workbook(edited(clean_file(tmp_path), store_as_number)).findings == ()
