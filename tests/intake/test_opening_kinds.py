"""Every way in: each kind of file by its content, and what is said of what cannot be read."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest

from blockbook.errors import BlockbookError
from blockbook.intake.opening import open_returned
from tests.intake.packages import number, ods_parts, ole_of, relations, row_of, words, xlsx_parts, zipped
from tests.intake.small_block import clean_file
from tests.oracles.programs import cell_values, libreoffice, need


@pytest.mark.parametrize(
    ("content", "row"),
    [
        (b"squat,85.5,\"85,5\"\n", ["squat", 85.5, "85,5"]),
        ("Kniebeuge;85,5;8\n".encode("cp1252"), ["Kniebeuge", 85.5, 8.0]),
        ("über\t85,5\t8.5\n".encode("cp1252"), ["über", 85.5, "8.5"]),
        ("squat;2027-01-05;85 kg\n".encode("utf-8-sig"), ["squat", date(2027, 1, 5), "85 kg"]),
        ("squat\t007\t٣\n".encode("utf-16"), ["squat", "007", "٣"]),
        ("squat,8-9,\n".encode("utf-16-le"), ["squat", "8-9", ""]),
        (b"sep=;\nsquat;1,5;2\n", ["squat", 1.5, 2.0]),
    ],
    ids=["comma", "semicolon", "tab", "mark", "utf-16", "utf-16 without mark", "sep"],
)  # fmt: skip
def test_csv_by_separator_and_encoding(tmp_path: Path, content: bytes, row: list[object]) -> None:
    path = tmp_path / "week.csv"
    path.write_bytes(content)
    (returned,) = open_returned(path)
    assert returned.grids == {"week": [row]}
    assert returned.formulas is None


def test_an_archive_holds_workbooks_and_sheets(tmp_path: Path) -> None:
    path = tmp_path / "mail.zip"
    book = clean_file(tmp_path).read_bytes()
    path.write_bytes(zipped({
        "robin.xlsx": book, "kim/Week 1.csv": "a,1\n", "kim/Week 2.csv": "b,2\n", "notes.pdf": "%PDF-1.7",
        "__MACOSX/._robin.xlsx": "x", "~$robin.xlsx": "x",
    }))  # fmt: skip
    workbook, tables = open_returned(path)
    assert workbook.name == "mail.zip: robin.xlsx"
    assert len(workbook.remarks) == 1
    assert "notes.pdf" in workbook.remarks[0]
    assert (tables.name, list(tables.grids)) == ("mail.zip: kim", ["Week 1", "Week 2"])


def test_our_workbook_tells_all_but_its_workings_and_not_its_fixed_date(tmp_path: Path) -> None:
    path = clean_file(tmp_path)
    (returned,) = open_returned(path)
    assert returned.formulas is not None
    assert returned.formulas["Week 1"]
    assert returned.saved == datetime.fromtimestamp(int(path.stat().st_mtime))
    assert dict(returned.grids) == {name: grid for name, grid in cell_values(path).items() if name != "Workings"}


def test_a_comment_and_macros_are_told(tmp_path: Path) -> None:
    comment = '<comments><commentList><comment ref="B2"><text><r><t>felt </t></r><r><t>heavy</t></r></text></comment>'
    path = tmp_path / "book.xlsm"
    path.write_bytes(zipped(xlsx_parts() | {
        "xl/worksheets/_rels/sheet1.xml.rels": relations({"r1": ("comments", "../comments1.xml")}),
        "xl/comments1.xml": f"{comment}</commentList></comments>", "xl/vbaProject.bin": b"x",
    }))  # fmt: skip
    (returned,) = open_returned(path)
    assert returned.comments == {"Log": {(1, 1): "felt heavy"}}
    assert returned.remarks == ("Its macros were not looked at.",)


def test_a_thread_of_comments_stands_for_the_note_that_repeats_it(tmp_path: Path) -> None:
    note = '<comments><commentList><comment ref="B2"><text><t>[Threaded comment] knee</t></text></comment>'
    thread = "".join(f'<threadedComment ref="B2"><text>{said}</text></threadedComment>' for said in ("knee", "better"))
    path = tmp_path / "book.xlsx"
    path.write_bytes(zipped(xlsx_parts() | {
        "xl/worksheets/_rels/sheet1.xml.rels": relations({
            "r1": ("comments", "../comments1.xml"), "r2": ("threadedComment", "../threads/thread1.xml"),
        }),
        "xl/comments1.xml": f"{note}</commentList></comments>",
        "xl/threads/thread1.xml": f"<ThreadedComments>{thread}</ThreadedComments>",
    }))  # fmt: skip
    (returned,) = open_returned(path)
    assert returned.comments == {"Log": {(1, 1): "knee\nbetter"}}


def test_an_open_document_with_blanks_between_its_cells(tmp_path: Path) -> None:
    note = "<office:annotation><text:p>sore</text:p></office:annotation>"
    cells = (
        number("85.5", 'table:formula="of:=1"'),
        words(f"{note}<text:p>a<text:s text:c='2'/>b</text:p><text:p>c</text:p>"),
        '<table:table-cell office:value-type="date" office:date-value="2027-01-05"/>',
        '<table:covered-table-cell table:number-columns-repeated="2"/>',
        number("0.5"),
    )
    path = tmp_path / "log.ods"
    path.write_bytes(zipped(ods_parts(row_of(*cells) + row_of("<table:table-cell/>", repeated=1_000_000))))
    (returned,) = open_returned(path)
    assert returned.grids == {"Log": [[85.5, "a  b\nc", date(2027, 1, 5), "", "", 0.5]]}
    assert returned.formulas == {"Log": frozenset({(0, 0)})}
    assert returned.comments == {"Log": {(0, 1): "sore"}}


def test_an_open_document_of_libreoffice_is_read_as_a_library_reads_it(tmp_path: Path) -> None:
    need("soffice")
    (saved,) = libreoffice([clean_file(tmp_path)], tmp_path / "out", "ods")
    (returned,) = open_returned(saved)
    assert filled(returned.grids) == filled(cell_values(saved))


def filled(grids: Mapping[str, list[list[Any]]]) -> dict[tuple[str, int, int], Any]:
    """Every cell with something in it: how far empty ones reach beyond them, libraries see differently."""
    return {
        (name, row, column): value
        for name, grid in grids.items()
        for row, values in enumerate(grid)
        for column, value in enumerate(values)
        if value != ""
    }


LOCKED_ODS = ods_parts("") | {
    "content.xml": b"\x8f\x1c locked",
    "META-INF/manifest.xml": '<m:manifest xmlns:m="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">'
    '<m:file-entry m:full-path="content.xml"><m:encryption-data/></m:file-entry></m:manifest>',
}

REFUSED: dict[str, tuple[str, bytes, str]] = {
    "picture": ("a.xlsx", b"\x89PNG\r\n", "picture"),
    "locked workbook": ("a.xlsx", ole_of({"EncryptionInfo": b"x", "EncryptedPackage": b"x"}), "without one"),
    "locked open document": ("a.ods", zipped(LOCKED_ODS), "without one"),
    "wholly locked open document": ("a.ods", zipped(ods_parts("") | {"encrypted-package": b"x"}), "without one"),
    "mail message": ("a.msg", ole_of({"__properties_version1.0": b"x"}), "attached"),
    "mail text": ("a.eml", b"From: a\nTo: b\nSubject: c\n\nhello\n", "attached"),
    "other program": ("a.numbers", b"PK\x03\x04", "save it as .xlsx"),
    "shortcut": ("a.gsheet", b'{"doc_id": "x"}', "download it as .xlsx"),
    "link": ("a.txt", b"[InternetShortcut]\nURL=http://192.0.2.1/\n", "download it as .xlsx"),
    "web page": ("a.xls", b"<html><table></table></html>", "save it as .xlsx"),
    "empty archive": ("a.zip", zipped({"a.txt": "hello"}), "Name the returned workbook itself"),
    "archive in archive": ("a.zip", zipped({"b.zip": zipped({"a.csv": "1,2\n"})}), "Unpack the outer one"),
    "cut short": ("a.xlsx", zipped(xlsx_parts())[:300], "once more"),
}


@pytest.mark.parametrize("what", REFUSED)
def test_what_cannot_be_read_says_what_to_do(tmp_path: Path, what: str) -> None:
    name, content, words_of_help = REFUSED[what]
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(BlockbookError) as refused:
        open_returned(path)
    assert str(refused.value).startswith(f"{path}: ")
    assert words_of_help in str(refused.value)
