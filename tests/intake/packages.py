"""Workbooks put together part by part, as no program would write them or as only one does."""

from __future__ import annotations

import csv
import io
import struct
import zipfile
from collections.abc import Mapping
from datetime import date
from xml.sax.saxutils import escape

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_HEAD = '<?xml version="1.0" encoding="UTF-8"?>'


def zipped(parts: Mapping[str, str | bytes], how: int = zipfile.ZIP_DEFLATED) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", how) as archive:
        for name, content in parts.items():
            archive.writestr(zipfile.ZipInfo(name), content, how)
    return buffer.getvalue()


def relations(targets: Mapping[str, tuple[str, str]], more: str = "") -> str:
    """id -> (kind, target)."""
    lines = "".join(
        f'<Relationship Id="{name}" Type="{_OFFICE}/{kind}" Target="{target}"/>'
        for name, (kind, target) in targets.items()
    )
    return f'{_HEAD}<Relationships xmlns="{_PACKAGE}/relationships">{lines}{more}</Relationships>'


def sheet(cells: str, before: str = "") -> str:
    return f'{_HEAD}<worksheet xmlns="{MAIN}">{before}<sheetData>{cells}</sheetData></worksheet>'


def shared(*texts: str) -> str:
    return f'{_HEAD}<sst xmlns="{MAIN}">{"".join(f"<si><t>{text}</t></si>" for text in texts)}</sst>'


def xlsx_parts(cells: str = '<row r="1"><c r="A1"><v>5</v></c></row>') -> dict[str, str | bytes]:
    """The parts of a workbook with one sheet "Log"."""
    parts: dict[str, str | bytes] = {
        "[Content_Types].xml": f'{_HEAD}<Types xmlns="{_PACKAGE}/content-types">'
        '<Default Extension="xml" ContentType="application/xml"/></Types>',
        "_rels/.rels": relations({"r1": ("officeDocument", "xl/workbook.xml")}),
        "xl/workbook.xml": f'{_HEAD}<workbook xmlns="{MAIN}" xmlns:r="{_OFFICE}"><sheets>'
        '<sheet name="Log" sheetId="1" r:id="r1"/></sheets></workbook>',
        "xl/_rels/workbook.xml.rels": relations(
            {"r1": ("worksheet", "worksheets/sheet1.xml"), "r2": ("sharedStrings", "sharedStrings.xml")}
        ),
        "xl/worksheets/sheet1.xml": sheet(cells),
        "xl/sharedStrings.xml": shared("squat"),
    }
    return parts


_ODS = " ".join(
    f'xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"'
    for name in ("office", "table", "text", "meta", "manifest")
)


def ods_parts(rows: str) -> dict[str, str | bytes]:
    """The parts of an OpenDocument spreadsheet with one sheet "Log", as small libraries write it."""
    parts: dict[str, str | bytes] = {
        "mimetype": "application/vnd.oasis.opendocument.spreadsheet",
        "content.xml": f'{_HEAD}\n<office:document-content {_ODS} office:version="1.2">\n <office:body>\n'
        f'  <office:spreadsheet>\n   <table:table table:name="Log">\n{rows}\n   </table:table>\n'
        "  </office:spreadsheet>\n </office:body>\n</office:document-content>",
        "META-INF/manifest.xml": f"{_HEAD}<manifest:manifest {_ODS}/>",
    }
    return parts


def row_of(*cells: str, repeated: int = 1) -> str:
    return f'<table:table-row table:number-rows-repeated="{repeated}">\n  {"".join(cells)}\n</table:table-row>'


def number(value: str, more: str = "") -> str:
    return f'<table:table-cell office:value-type="float" office:value="{value}" {more}/>'


def words(inside: str, more: str = "") -> str:
    return f'<table:table-cell office:value-type="string" {more}>{inside}</table:table-cell>'


def ods_of(grids: Mapping[str, list[list[object]]]) -> bytes:
    """Grids of text and numbers as an OpenDocument spreadsheet."""
    tables = "".join(
        f'</table:table>\n<table:table table:name="{escape(name)}">'
        + "".join(row_of(*map(_ods_cell, row)) for row in grid)
        for name, grid in grids.items()
    )
    return zipped(ods_parts(tables))


def _ods_cell(value: object) -> str:
    if isinstance(value, float):
        return number(repr(value))
    if isinstance(value, date):
        return f'<table:table-cell office:value-type="date" office:date-value="{value.isoformat()[:10]}"/>'
    return words(f"<text:p>{escape(str(value))}</text:p>") if value != "" else "<table:table-cell/>"


def csv_of(grid: list[list[object]], separator: str = ",") -> str:
    """A grid as programs save it: in Europe with semicolons and decimal commas."""
    decimal = "." if separator == "," else ","
    text = io.StringIO(newline="")
    rows = ([f"{v:.15g}".replace(".", decimal) if isinstance(v, float) else v for v in row] for row in grid)
    csv.writer(text, delimiter=separator).writerows(rows)
    return text.getvalue()


def ole_of(streams: Mapping[str, bytes]) -> bytes:
    """An OLE container, the wrapping of old and of locked documents: [MS-CFB], version 3, sectors of 512."""
    chains: list[tuple[str, int, int]] = []
    sectors: list[bytes] = []
    table: list[int] = []
    for name, content in streams.items():
        padded = content.ljust(4096, b"\0")
        pieces = [padded[i : i + 512].ljust(512, b"\0") for i in range(0, len(padded), 512)]
        chains.append((name, len(sectors), len(padded)))
        table += [*range(len(sectors) + 1, len(sectors) + len(pieces)), 0xFFFFFFFE]
        sectors += pieces
    entries = [_ole_entry("Root Entry", 5, 0xFFFFFFFE, 0, 1)]
    for number, (name, start, size) in enumerate(chains, 1):
        entries.append(_ole_entry(name, 2, start, size, right=number + 1 if number < len(chains) else 0xFFFFFFFF))
    directory = b"".join(entries).ljust(-(-len(entries) // 4) * 512, b"\0")
    first = len(sectors)
    pieces = [directory[i : i + 512] for i in range(0, len(directory), 512)]
    table += [*range(first + 1, first + len(pieces)), 0xFFFFFFFE]
    sectors += pieces
    tables = (len(table) + 128) // 128
    table += [0xFFFFFFFD] * tables
    places = [len(sectors) + number for number in range(tables)]
    packed = struct.pack(f"<{len(table)}I", *table).ljust(tables * 512, b"\xff")
    head = struct.pack("<8s16x5H6x9I", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", 0x3E, 3, 0xFFFE, 9, 6, 0, tables, first, 0,
                       4096, 0xFFFFFFFE, 0, 0xFFFFFFFE, 0)  # fmt: skip
    return head + struct.pack("<109I", *(places + [0xFFFFFFFF] * (109 - tables))) + b"".join(sectors) + packed


def _ole_entry(name: str, kind: int, start: int, size: int, child: int = 0xFFFFFFFF, right: int = 0xFFFFFFFF) -> bytes:
    title = (name + "\0").encode("utf-16-le")
    return struct.pack("<64sHBB3I36xIQ", title, len(title), kind, 1, 0xFFFFFFFF, right, child, start, size)
