"""One sheet saved as CSV: comma, semicolon or tab between cells, in the encodings programs use.

RFC 4180 says how cells are quoted. It does not say which sign stands between them, nor which
stands in a decimal number: both follow from what is in the file.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections import Counter
from datetime import date
from itertools import islice
from typing import Any

from blockbook.intake.limits import AREA_LIMIT, COLUMN_LIMIT, ROW_LIMIT, TEXT_LIMIT
from blockbook.intake.returned import Grid, NoSpreadsheet, Place, damaged, too_large

_SEPARATORS = (",", ";", "\t")
_LOOKED_AT = 200
_MARKS = ((codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"))
_WHOLE = re.compile(r"-?(?:0|[1-9][0-9]{0,14})")
_WITH_POINT = re.compile(r"-?(?:0|[1-9][0-9]{0,14})(?:\.[0-9]{1,15})?")
_WITH_COMMA = re.compile(r"-?(?:0|[1-9][0-9]{0,14})(?:,[0-9]{1,15})?")
_ISO_DATE = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})(?:[T ]00:00(?::00(?:\.0+)?)?)?")
_BINARY = re.compile("[\x00-\x08\x0e-\x1f]")


def read_csv(content: bytes) -> tuple[Grid, Place | None]:
    """The grid of a CSV file, and the first place with something in it that was left out.

    What is plainly a number or an ISO date becomes one; all else stays as typed. Raises
    BlockbookError for a file that is no text or holds too much.
    """
    text = decoded(content)
    separator, text = _separator(text)
    grid, cut = _rows(text, separator)
    decimal = _WITH_COMMA if separator != "," and _has_decimal_comma(grid) else _WITH_POINT
    return [[_understood(cell, decimal) for cell in row] for row in grid], cut


def looks_like_a_table(text: str) -> bool:
    """Whether text without a telling name is a CSV: three cells or more in most of its lines."""
    separator, text = _separator(text)
    width, share = _regularity(text, separator)
    return width >= 3 and share > 0.5 and text.count("\n") >= 2


def decoded(content: bytes) -> str:
    """Text in UTF-8 or UTF-16, with or without a mark, else Windows-1252; NoSpreadsheet for what is no text."""
    for mark, encoding in _MARKS:
        if content.startswith(mark):
            return _no_binary(content[len(mark) :].decode(encoding, "replace"))
    start = content[:2_000]
    if start.count(0) * 3 > len(start):
        return _no_binary(content.decode("utf-16-le" if start[1::2].count(0) >= start[::2].count(0) else "utf-16-be",
                                         "replace"))  # fmt: skip
    try:
        return _no_binary(content.decode("utf-8"))
    except UnicodeDecodeError:
        return _no_binary(content.decode("cp1252" if _is_cp1252(content) else "latin-1"))


def _is_cp1252(content: bytes) -> bool:
    return not any(unused in content for unused in (b"\x81", b"\x8d", b"\x8f", b"\x90", b"\x9d"))


def _no_binary(text: str) -> str:
    if _BINARY.search(text):
        raise NoSpreadsheet(
            "is neither text nor a spreadsheet. Open it in the program it comes from and save it as .xlsx."
        )
    return text


def _separator(text: str) -> tuple[str, str]:
    """The sign between cells, and the text without a first line that only names it ("sep=;")."""
    named = re.match(r"sep=([,;\t])\r?\n", text)
    if named:
        return named[1], text[named.end() :]
    best = max(_SEPARATORS, key=lambda sign: _order(*_regularity(text, sign)))
    return best, text


def _order(width: int, share: float) -> tuple[bool, float, int]:
    return width > 1, round(share, 1), width


def _regularity(text: str, separator: str) -> tuple[int, float]:
    """Cells in most lines if the sign separates them, and the share of lines that have as many."""
    lines = text[:200_000].splitlines()[: _LOOKED_AT * 5]
    try:
        rows = islice(csv.reader(lines, delimiter=separator), _LOOKED_AT)
        widths = Counter(len(row) for row in rows if row)
    except csv.Error:
        return 1, 0.0
    if not widths:
        return 1, 0.0
    width, lines_so_wide = widths.most_common(1)[0]
    return width, lines_so_wide / widths.total()


def _rows(text: str, separator: str) -> tuple[list[list[str]], Place | None]:
    """Rows of text as far as they are kept, all as long as the longest."""
    if len(text) > TEXT_LIMIT:
        raise too_large(f"it holds {len(text):,} characters")
    grid: list[list[str]] = []
    cut: Place | None = None
    try:
        for number, row in enumerate(csv.reader(io.StringIO(text, newline=""), delimiter=separator)):
            kept = COLUMN_LIMIT if number < ROW_LIMIT else 0
            if cut is None and any(row[kept:]):
                cut = number, next(column for column in range(kept, len(row)) if row[column])
            if kept:
                grid.append(row[:kept])
    except csv.Error as error:
        raise damaged(error) from None
    while grid and not any(grid[-1]):
        grid.pop()
    width = max(map(len, grid), default=0)
    if width * len(grid) > AREA_LIMIT:
        raise too_large("its cells stand too far apart")
    return [row + [""] * (width - len(row)) for row in grid], cut


def _has_decimal_comma(grid: list[list[str]]) -> bool:
    return any("," in cell and _WITH_COMMA.fullmatch(cell) for row in grid for cell in row)


def _understood(cell: str, decimal: re.Pattern[str]) -> Any:
    if not cell or cell[0] not in "-0123456789":
        return cell
    if _WHOLE.fullmatch(cell) or decimal.fullmatch(cell):
        return float(cell.replace(",", "."))
    found = _ISO_DATE.fullmatch(cell)
    if found:
        try:
            return date.fromisoformat(found[1])
        except ValueError:
            return cell
    return cell
