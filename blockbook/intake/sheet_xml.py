"""One sheet of an .xlsx: where it has formulas, and its cells as a library can safely be given them.

A library that builds a grid trusts a cell's reference: one stray character in XFD1048576 would
ask for 17 thousand million cells. So references are looked at first.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from operator import itemgetter
from xml.etree.ElementTree import Element
from xml.sax.saxutils import escape, quoteattr

from blockbook.intake.limits import COLUMN_LIMIT, ROW_LIMIT
from blockbook.intake.package import attribute, elements, local, texts
from blockbook.intake.returned import Place, damaged
from blockbook.sheet.book import column_letters

_CELL = re.compile(rb'<c r="([A-Z]{1,2})([1-9][0-9]{0,3})"[^>]*>(\s*<f[\s>/])?')
_UNUSUAL_CELL = re.compile(rb'<c(?! r="[A-Z]{1,2}[1-9][0-9]{0,3}"[\s/>])[\s/>]')
_PREFIXED_CELL = re.compile(rb":c[\s/>]")
_HEAD = b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
_TAIL = b"</sheetData></worksheet>"
_DAYS = 2_958_466  # from 1900 to the end of 9999
_DIMENSION = re.compile(rb"<dimension [^>]*>")
_REFERENCE = re.compile(r"\$?([A-Za-z]{1,3})\$?([1-9][0-9]{0,6})")
_COLUMNS = {column_letters(column).encode(): column for column in range(26 * 27)}


@dataclass(frozen=True)
class SheetXml:
    """xml: the sheet's part, every cell within limits; cells, widest place and formulas in it; cut: the
    first place with something in it that was left out."""

    xml: bytes
    cells: int
    area: int
    formulas: frozenset[Place]
    cut: Place | None = None


def checked(xml: bytes) -> SheetXml:
    """The sheet as it is, if every cell is written as nearly all programs do; else written anew."""
    if not _is_unusual(xml):
        found = _CELL.findall(xml)
        rows = [int(row) for _, row, _ in found]
        deepest = max(rows, default=0)
        widest = max((_COLUMNS[letters] for letters in {letters for letters, _, _ in found}), default=-1) + 1
        if deepest <= ROW_LIMIT and widest <= COLUMN_LIMIT and rows == sorted(rows):
            places = zip(rows, found, strict=True)
            formulas = frozenset([(row - 1, _COLUMNS[letters]) for row, (letters, _, formula) in places if formula])
            return SheetXml(_DIMENSION.sub(b"", xml, count=1), len(found), deepest * widest, formulas)
    return rewritten(xml)


def _is_unusual(xml: bytes) -> bool:
    """Whether a cell may be hidden from `_CELL` or from whoever looks for its value."""
    if b"<![CDATA[" in xml or b"&#" in xml:
        return True
    return bool(_UNUSUAL_CELL.search(xml) or _PREFIXED_CELL.search(xml))


def rewritten(xml: bytes) -> SheetXml:
    """The sheet with nothing but its filled cells, each with its reference, those beyond the limits left out."""
    cells: list[tuple[Place, bytes]] = []
    formulas: set[Place] = set()
    cut: Place | None = None
    for (row, column), cell in _cells(xml):
        value = _value(cell)
        formula = any(local(child) == "f" for child in cell)
        if not value and not formula:
            continue
        if row >= ROW_LIMIT or column >= COLUMN_LIMIT:
            cut = cut or (row, column)
            continue
        if formula:
            formulas.add((row, column))
        looks = ("t",) if _is_no_day(value) else ("t", "s")
        kept = "".join(f" {name}={quoteattr(attribute(cell, name))}" for name in looks if attribute(cell, name))
        reference = f"{column_letters(column)}{row + 1}"
        written = f'<row r="{row + 1}"><c r="{reference}"{kept}>{value}</c></row>'
        cells.append(((row, column), written.encode()))
    cells.sort(key=itemgetter(0))
    area = (cells[-1][0][0] + 1) * (max(column for (_, column), _ in cells) + 1) if cells else 0
    body = b"".join(written for _, written in cells)
    return SheetXml(_HEAD + body + _TAIL, len(cells), area, frozenset(formulas), cut)


def place_of(reference: str) -> Place | None:
    """Row and column of "B12", from 0; None for what is no reference."""
    found = _REFERENCE.fullmatch(reference.strip())
    if not found:
        return None
    column = 0
    for letter in found[1].upper():
        column = column * 26 + ord(letter) - 64
    return int(found[2]) - 1, column - 1


def _cells(xml: bytes) -> Iterator[tuple[Place, Element]]:
    """Each cell with its place; one without a reference stands right of the one before it."""
    parents: list[Element] = []
    row, column = -1, -1
    for event, element in elements(xml):
        name = local(element)
        if event == "start":
            parents.append(element)
            if name == "row":
                row, column = _number(attribute(element, "r"), row + 2) - 1, -1
            continue
        parents.pop()
        if name == "c" and parents and local(parents[-1]) == "row":
            reference = attribute(element, "r")
            place = place_of(reference) if reference else (row, column + 1)
            if place is None:
                raise damaged(f"a cell that calls itself {reference}")
            row, column = place
            yield place, element
        if name in ("c", "row") and parents:
            parents[-1].remove(element)


def _number(text: str, otherwise: int) -> int:
    return int(text) if text.isascii() and text.isdigit() and 0 < len(text) < 8 else otherwise


def _value(cell: Element) -> str:
    """The cell's value or text as XML; "" if it has none."""
    for child in cell:
        if local(child) == "v" and child.text:
            return f"<v>{escape(child.text)}</v>"
        if local(child) == "is" and (text := texts(child, is_reading_aid)):
            return f'<is><t xml:space="preserve">{escape(text)}</t></is>'
    return ""


def _is_no_day(value: str) -> bool:
    """Whether a number cannot be a date, so that a cell's look for dates must not make it one."""
    try:
        return not 0 <= float(value.removeprefix("<v>").removesuffix("</v>")) < _DAYS
    except ValueError:
        return False


def is_reading_aid(element: Element) -> bool:
    """The small signs above East Asian text, which are not part of it."""
    return local(element) in ("rPh", "phoneticPr")
