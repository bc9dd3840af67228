"""Where a printed sheet turns the page, so that what belongs together stays together."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from blockbook.sheet.book import Sheet

MARGINS = {"left": 0.4, "right": 0.4, "top": 0.4, "bottom": 0.5}
"""In inches, of every sheet."""

_PAPER = {9: (595.3, 841.9), 1: (612.0, 792.0)}
"""Width and height of A4 (ISO 216) and Letter in points, by the number that spreadsheets have for them."""
_INCH = 72
_USUAL_HEIGHT = 15
_USED_HEIGHT, _USED_WIDTH = 0.97, 0.92
"""Shares of a page that are filled, since programs draw the same rows and columns some percent larger or smaller."""
_LEAST_PERCENT = 73
"""A sheet is not shrunk further to save pages: what stands in 11 points is printed in 8, reasons and hints in 6.6.

Eight points are the least that is read at arm's length in a gym (common practice, no source). A session of the
templates stands in up to 1,340 points, of which a page of A4 then holds 1,030: what does not fit is parted between
exercises or supersets; below the last one its end says which session it is.
"""


class Paging(NamedTuple):
    """How a sheet is printed: shrunk to so many percent; rows (from 0) that begin a page.

    torn: how many wholes lie on more than one page.
    """

    percent: int
    breaks: tuple[int, ...]
    torn: int


def paging(sheet: Sheet, paper: int) -> Paging:
    """The largest print, one page wide, in which no more is torn and no more pages are taken than in the smallest."""
    width, height = reversed(_PAPER[paper]) if sheet.landscape else _PAPER[paper]
    width -= _INCH * (MARGINS["left"] + MARGINS["right"])
    height -= _INCH * (MARGINS["top"] + MARGINS["bottom"])
    widest = min(100, int(100 * _USED_WIDTH * width / _width(sheet)))
    sizes = range(min(_LEAST_PERCENT, widest), widest + 1)
    every = (_paged(sheet, percent, _USED_HEIGHT * height * 100 / percent) for percent in sizes)
    return min(every, key=lambda made: (made.torn, len(made.breaks), -made.percent))


def _paged(sheet: Sheet, percent: int, page: float) -> Paging:
    """A whole stays on one page if it fits there, else its parts do. page: what one holds, in points of the sheet."""
    breaks: list[int] = []
    begins, torn = 0, 0
    for number, whole in enumerate(sheet.kept_together):
        head = _height(sheet, 0, whole[0][0] - 1) if number == 0 else _repeated(sheet)
        fits = head + _height(sheet, whole[0][0], whole[-1][1]) <= page
        torn += not fits
        parts = [(whole[0][0], whole[-1][1])] if fits else whole
        here, alone = _breaks(sheet, parts, begins, page), _breaks(sheet, parts, whole[0][0], page)
        if number and len([row for row in here if row > whole[0][0]]) > len(alone):
            here = [whole[0][0], *alone]  # begun on a page of its own it is on fewer
        breaks += here
        begins = here[-1] if here else begins
    return Paging(percent, tuple(breaks), torn)


def _breaks(sheet: Sheet, parts: Sequence[tuple[int, int]], begins: int, page: float) -> list[int]:
    """The rows that begin a page where parts are put on pages, the first of which begins with row `begins`."""
    breaks: list[int] = []
    top = sheet.kept_together[0][0][0]  # what stands above belongs to the first whole
    for first, last in parts:
        head = _repeated(sheet) if begins else 0
        if first > max(begins, top) and head + _height(sheet, begins, last) > page:
            breaks.append(first)
            begins = first
    return breaks


def _width(sheet: Sheet) -> float:
    """Of the columns that show, in points: a character is 7 pixels wide, 5 are air, a pixel is 3/4 of a point."""
    folded = {column for first, last in sheet.folded_columns for column in range(first, last + 1)}
    shown = set(sheet.widths) - folded - set(sheet.hidden_columns)
    return sum((7 * sheet.widths[column] + 5) * 0.75 for column in shown)


def _height(sheet: Sheet, first: int, last: int) -> float:
    return sum(sheet.heights.get(row, _USUAL_HEIGHT) for row in range(first, last + 1))


def _repeated(sheet: Sheet) -> float:
    return _height(sheet, *sheet.repeat_rows) if sheet.repeat_rows else 0
