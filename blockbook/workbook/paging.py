"""Where a printed sheet turns the page, so that what belongs together stays together."""

from __future__ import annotations

from collections.abc import Iterator

from blockbook.sheet.book import Sheet

MARGINS = {"left": 0.4, "right": 0.4, "top": 0.5, "bottom": 0.6}
"""In inches, of every sheet."""

_PAPER = {9: (595.3, 841.9), 1: (612.0, 792.0)}
"""Width and height of A4 (ISO 216) and Letter in points, by the number that spreadsheets have for them."""
_INCH = 72
_USUAL_HEIGHT = 15
_USED = 0.93
"""Share of a page that is filled, since programs draw the same row some percent higher or lower."""


def page_breaks(sheet: Sheet, paper: int) -> Iterator[int]:
    """Rows (from 0) that begin a page of a sheet printed upright, one page wide.

    A whole stays on one page if it fits there, else its parts do.
    """
    page = _page_height(sheet, paper)
    begins, room = 0, page
    for whole in sheet.kept_together:
        fits = _height(sheet, whole[0][0], whole[-1][1]) <= page - _repeated(sheet)
        for first, last in [(whole[0][0], whole[-1][1])] if fits else whole:
            if first > begins and _height(sheet, begins, last) > room:
                yield first
                begins, room = first, page - _repeated(sheet)


def _page_height(sheet: Sheet, paper: int) -> float:
    """What a page holds, in points before it is shrunk to the page's width."""
    width, height = _PAPER[paper]
    width -= _INCH * (MARGINS["left"] + MARGINS["right"])
    height -= _INCH * (MARGINS["top"] + MARGINS["bottom"])
    return _USED * height * max(1, _width(sheet) / width)


def _width(sheet: Sheet) -> float:
    """Of the columns that show, in points: a character is 7 pixels wide, 5 are air, a pixel is 3/4 of a point."""
    folded = {column for first, last in sheet.folded_columns for column in range(first, last + 1)}
    shown = set(sheet.widths) - folded - set(sheet.hidden_columns)
    return sum((7 * sheet.widths[column] + 5) * 0.75 for column in shown)


def _height(sheet: Sheet, first: int, last: int) -> float:
    return sum(sheet.heights.get(row, _USUAL_HEIGHT) for row in range(first, last + 1))


def _repeated(sheet: Sheet) -> float:
    return _height(sheet, *sheet.repeat_rows) if sheet.repeat_rows else 0
