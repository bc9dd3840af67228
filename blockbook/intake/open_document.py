"""An .ods package, by whichever program: grids, formulas, comments and when it was saved.

OpenDocument 1.3, part 3 (OASIS), names the elements. Libraries read what one program writes; this
reads white space between cells, cells repeated a million times and comments inside cells as well.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from math import isfinite
from typing import Any
from xml.etree.ElementTree import Element

from blockbook.errors import BlockbookError
from blockbook.intake.excel_workbook import free_name, told_time
from blockbook.intake.limits import AREA_LIMIT, COLUMN_LIMIT, ROW_LIMIT, SHEETS_LIMIT, TEXT_LIMIT
from blockbook.intake.package import Package, attribute, elements, local, time_of
from blockbook.intake.returned import Grid, Place, Returned, beyond, damaged, too_large

_CONTENT = "content.xml"
_TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
_OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
_TEXT = "{urn:oasis:names:tc:opendocument:xmlns:text:1.0}"
_CELLS = (f"{_TABLE}table-cell", f"{_TABLE}covered-table-cell")
_ROW, _SHEET = f"{_TABLE}table-row", f"{_TABLE}table"
_NOTE = f"{_OFFICE}annotation"
_DURATION = re.compile(r"PT(\d{1,6})H(\d{1,6})M(\d{1,6})(?:[.,]\d+)?S")
_MACROS = ("Basic/", "Scripts/")


def read_ods(name: str, package: Package) -> Returned:
    """Raises BlockbookError for a package that is no whole document, is locked or holds too much."""
    if "encrypted-package" in package.names or _is_locked(package):
        raise BlockbookError("is locked with a password. Ask for a copy without one.")
    if _CONTENT not in package.entries:
        raise damaged("its contents are missing")
    reader = _Reader()
    reader.read(package.xml(_CONTENT))
    if sum(table.height * table.width for table in reader.sheets.values()) > AREA_LIMIT:
        raise too_large("its cells stand too far apart")
    macros = any(part.startswith(_MACROS) for part in package.names)
    return Returned(
        name,
        {sheet: table.grid() for sheet, table in reader.sheets.items()},
        _saved(package),
        {sheet: frozenset(table.formulas) for sheet, table in reader.sheets.items()},
        {sheet: table.comments for sheet, table in reader.sheets.items() if table.comments},
        (*(["Its macros were not looked at."] if macros else []),
         *(beyond(sheet, table.cut) for sheet, table in reader.sheets.items() if table.cut)),
    )  # fmt: skip


def _is_locked(package: Package) -> bool:
    manifest = package.tree("META-INF/manifest.xml")
    return manifest is not None and any(local(element) == "encryption-data" for element in manifest.iter())


def _saved(package: Package) -> datetime | None:
    meta = package.tree("meta.xml")
    told = {local(element): time_of(element.text) for element in meta.iter()} if meta is not None else {}
    return told_time(told.get("date"), told.get("creation-date")) or package.saved


@dataclass
class _Table:
    """A sheet as far as it is read. row: the next row's number, which may lie beyond what is kept."""

    rows: dict[int, list[Any]] = field(default_factory=dict)
    row: int = 0
    formulas: set[Place] = field(default_factory=set)
    comments: dict[Place, str] = field(default_factory=dict)
    cut: Place | None = None

    @property
    def height(self) -> int:
        return max(self.rows, default=-1) + 1

    @property
    def width(self) -> int:
        return max(map(len, self.rows.values()), default=0)

    def grid(self) -> Grid:
        """Every row from the first on, all as long as the longest."""
        width = self.width
        rows = (self.rows.get(number, []) for number in range(self.height))
        return [row + [""] * (width - len(row)) for row in rows]


@dataclass
class _Reader:
    sheets: dict[str, _Table] = field(default_factory=dict)
    area: int = 0
    letters: int = 0

    def read(self, xml: bytes) -> None:
        parents: list[Element] = []
        depth_of_cell = 0
        table: _Table | None = None
        cells: list[tuple[Element, int]] = []
        for event, element in elements(xml):
            tag = element.tag
            if event == "start":
                parents.append(element)
                if tag in _CELLS and not depth_of_cell:
                    depth_of_cell = len(parents)
                elif not depth_of_cell and tag == _SHEET:
                    table = self._new_table(attribute(element, "name"))
                elif not depth_of_cell and tag == _ROW:
                    cells = []
                continue
            if depth_of_cell and len(parents) > depth_of_cell:
                parents.pop()
                continue  # a table, drawing or comment inside a cell is looked at with its cell
            parents.pop()
            depth_of_cell = 0
            if tag in _CELLS:
                cells.append((element, _repeated(element, "number-columns-repeated")))
            elif tag == _ROW and table is not None:
                self._add_row(table, cells, _repeated(element, "number-rows-repeated"))
            elif tag == _SHEET:
                table = None
            if parents:
                parents[-1].remove(element)

    def _new_table(self, name: str) -> _Table:
        if len(self.sheets) >= SHEETS_LIMIT:
            raise too_large(f"it has over {SHEETS_LIMIT:,} sheets")
        table = _Table()
        self.sheets[free_name(name or "Sheet", self.sheets)] = table
        return table

    def _add_row(self, table: _Table, cells: list[tuple[Element, int]], times: int) -> None:
        row: list[Any] = []
        formulas: list[int] = []
        comments: dict[int, str] = {}
        column = 0
        for cell, repeated in cells:
            value = _value(cell)
            formula = cell.get(f"{_TABLE}formula") is not None
            comment = _comment(cell)
            if value != "" or formula or comment:
                if column + repeated > COLUMN_LIMIT or table.row + times > ROW_LIMIT:
                    outside = (max(table.row, ROW_LIMIT) if table.row + times > ROW_LIMIT else table.row,
                               max(column, COLUMN_LIMIT) if column + repeated > COLUMN_LIMIT else column)  # fmt: skip
                    table.cut = table.cut or outside
                kept = range(column, min(column + repeated, COLUMN_LIMIT))
                if kept:
                    row += [""] * (column - len(row)) + [value] * len(kept)
                    formulas += kept if formula else ()
                    comments |= dict.fromkeys(kept, comment) if comment else {}
            column += repeated
        if row:
            self._keep(table, row, formulas, comments, min(times, max(0, ROW_LIMIT - table.row)))
        table.row += times

    def _keep(self, table: _Table, row: list[Any], formulas: list[int], comments: dict[int, str], times: int) -> None:
        self.area += len(row) * times
        self.letters += times * sum(len(value) for value in row if isinstance(value, str))
        if self.area > AREA_LIMIT or self.letters > TEXT_LIMIT:
            raise too_large(f"it holds over {AREA_LIMIT:,} cells or {TEXT_LIMIT:,} characters")
        for number in range(table.row, table.row + times):
            table.rows[number] = row
            table.formulas |= {(number, column) for column in formulas}
            table.comments |= {(number, column): text for column, text in comments.items()}


def _repeated(element: Element, name: str) -> int:
    text = element.get(f"{_TABLE}{name}") or "1"
    if not (text.isascii() and text.isdigit() and len(text) < 12):
        raise damaged(f"something repeated {text} times")
    return max(1, int(text))


# One cell --------------------------------------------------------------------------------------


def _value(cell: Element) -> Any:
    """The cell's value as python-calamine would give it; "" if it is empty."""
    kind = cell.get(f"{_OFFICE}value-type")
    stored = cell.get(f"{_OFFICE}value") or ""
    value: Any = None
    if kind in ("float", "currency", "percentage"):
        value = _number(stored)
    elif kind == "date":
        value = _day(cell.get(f"{_OFFICE}date-value") or "")
    elif kind == "time":
        value = _clock(cell.get(f"{_OFFICE}time-value") or "")
    elif kind == "boolean":
        value = {"true": True, "false": False}.get(cell.get(f"{_OFFICE}boolean-value") or "")
    elif kind == "string":
        value = cell.get(f"{_OFFICE}string-value")
    return _paragraphs(cell) if value is None else value


def _number(text: str) -> float | None:
    try:
        number = float(text)
    except ValueError:
        return None
    return number if isfinite(number) else None


def _day(text: str) -> date | None:
    try:
        if len(text) == 10:
            return date.fromisoformat(text)
        moment = datetime.fromisoformat(text[:26].rstrip("Z"))
    except ValueError:
        return None
    return moment.replace(tzinfo=None)


def _clock(text: str) -> time | timedelta | None:
    found = _DURATION.fullmatch(text)
    if not found:
        return None
    hours, minutes, seconds = map(int, found.groups())
    if hours < 24 and minutes < 60 and seconds < 60:
        return time(hours, minutes, seconds)
    return timedelta(hours=hours, minutes=minutes, seconds=seconds)


def _comment(cell: Element) -> str:
    return "\n".join(_paragraphs(child) for child in cell if child.tag == _NOTE).strip()


def _paragraphs(element: Element) -> str:
    """The paragraphs of a cell or comment, a line each."""
    return "\n".join(_text(child) for child in element if child.tag == f"{_TEXT}p")


def _text(element: Element) -> str:
    """A paragraph's text; blanks in a row, tabs and line breaks are elements of their own."""
    pieces = [element.text or ""]
    for child in element:
        if child.tag == f"{_TEXT}s":
            count = child.get(f"{_TEXT}c") or "1"
            pieces.append(" " * (int(count) if re.fullmatch(r"[0-9]{1,3}", count) else 1))
        elif child.tag == f"{_TEXT}tab":
            pieces.append("\t")
        elif child.tag == f"{_TEXT}line-break":
            pieces.append("\n")
        elif child.tag != _NOTE:
            pieces.append(_text(child))
        pieces.append(child.tail or "")
    return "".join(pieces)
