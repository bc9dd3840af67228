"""The overview as a workbook, with a mark to accept the next block."""

from __future__ import annotations

import io
import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NamedTuple

import xlsxwriter
from xlsxwriter.utility import xl_range_abs
from xlsxwriter.worksheet import Worksheet

from blockbook.errors import BlockbookError
from blockbook.languages import day_text
from blockbook.practice.folder import Practice
from blockbook.practice.marks import ACCEPT, KEY, ROUTINE, ROUTINE_ONE, SHEET, next_by, read_marks
from blockbook.practice.standing import KINDS, Standing
from blockbook.sheet.fitting import height
from blockbook.spec.answers import OFFERED
from blockbook.workbook import looks
from blockbook.workbook.paging import MARGINS

_COLUMNS = (
    ("Lifter", 24), ("Block", 20), ("Log", 15), (ACCEPT, 8), (ROUTINE_ONE, 8), ("First", 11), ("Why", 56),
    ("Effort against target", 13), ("Est. 1RM", 13), ("Change", 8), ("Sets done", 8), ("Meet", 12), ("Review", 8),
    (KEY, 8),
)  # fmt: skip
_WRAPPED = ("Lifter", "Block", "Log", "Why")
_AT = {name: position for position, (name, _) in enumerate(_COLUMNS)}
_HEAD_ROW = 3
_TRENDS = "Trends"
_MOST_WEEKS = 16
_STARTS = (1, 1 + _MOST_WEEKS)
"""Where on the sheet Trends a lifter's effort and strength begin."""


class _Trend(NamedTuple):
    """Column in which it is drawn, style of its numbers, the largest bar, colours above and below nothing."""

    name: str
    style: str
    most: float
    above: str
    below: str


_LOOKS = (
    _Trend("Effort against target", "signed", 2, "#9B2C2C", looks.LINE),
    _Trend("Est. 1RM", "percent", 0.1, looks.ACCENT, "#B5651D"),
)

_LONGEST_LINK = 250
"""Characters that a text in a formula may have, less a few."""

_YES_NO = {"validate": "list", "source": list(OFFERED), "error_type": "warning"}


def overview_bytes(every: Sequence[Standing], practice: Practice, out: Path) -> bytes:
    """The workbook's content. out: where it will be, since its links to the reviews are relative."""
    buffer = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    book = xlsxwriter.Workbook(buffer, options)
    styles = {name: book.add_format(properties) for name, properties in looks.styles().items()}
    sheet, trends = book.add_worksheet(SHEET), book.add_worksheet(_TRENDS)
    for position, (_, width) in enumerate(_COLUMNS):
        sheet.set_column(position, position, width, None, {"hidden": position == _AT[KEY]})
    sheet.set_row(0, 26)
    sheet.merge_range(0, 0, 0, _AT["Review"], "Overview: who needs you, the most first", styles["title"])
    sheet.write_string(1, 0, ROUTINE, styles["bold"])
    sheet.write_blank(1, _AT[ACCEPT], None, styles["typed text"])
    sheet.data_validation(1, _AT[ACCEPT], 1, _AT[ACCEPT], _YES_NO)
    hint = (
        "yes: blockbook next writes the next block, by your word in the review if you typed one. Pain is never routine."
    )
    sheet.write_string(2, 0, hint, styles["hint"])
    sheet.set_row(_HEAD_ROW, 30)
    for position, (name, _) in enumerate(_COLUMNS):
        sheet.write_string(_HEAD_ROW, position, name, styles["heading left" if name in _WRAPPED else "heading"])
    for start, look in zip(_STARTS, _LOOKS, strict=True):
        trends.write_string(0, start, f"{look.name}, week by week", styles["bold"])
    trends.hide()  # it only holds what the small charts show
    for number, each in enumerate(every):
        _row(sheet, trends, _HEAD_ROW + 1 + number, number + 1, each, styles, practice.root, out)
    last = _HEAD_ROW + max(1, len(every))
    sheet.autofilter(_HEAD_ROW, 0, last, _AT["Review"])
    sheet.freeze_panes(_HEAD_ROW + 1, 1)
    sheet.repeat_rows(_HEAD_ROW)
    sheet.set_landscape()
    sheet.set_paper(looks.paper_number(practice.settings.unit))
    sheet.fit_to_pages(1, 0)
    sheet.set_margins(**MARGINS)
    sheet.set_footer("&L&F&C&A&RPage &P of &N")
    sheet.hide_gridlines(2)
    book.close()
    return buffer.getvalue()


def _row(
    sheet: Worksheet, trends: Worksheet, row: int, trend_row: int, each: Standing, styles: Any, root: Path, out: Path
) -> None:
    first = next((kind for kind in KINDS if any(need.kind == kind for need in each.open_needs)), "fine")
    texts = {
        "Lifter": each.name, "Block": each.title, "Log": each.progress, ROUTINE_ONE: OFFERED[not each.routine],
        "First": first, "Why": "\n".join(each.said), KEY: f"{each.lifter.name}/{each.state}",
        "Meet": day_text(each.meet) if each.meet else "",
    }  # fmt: skip
    for name, text in texts.items():
        sheet.write_string(row, _AT[name], text, styles["set wrapped" if name in _WRAPPED else "number"])
    sheet.set_row(row, height([(texts[name], _COLUMNS[_AT[name]][1]) for name in _WRAPPED]))
    sheet.write_blank(row, _AT[ACCEPT], None, styles["typed text"])
    sheet.data_validation(row, _AT[ACCEPT], row, _AT[ACCEPT], _YES_NO)
    change = each.strength[-1] if len(each.strength) > 1 else None
    for name, number, style in (("Change", change, "percent"), ("Sets done", each.share, "share")):
        if number is None:
            sheet.write_string(row, _AT[name], "–", styles[style])
        else:
            sheet.write_number(row, _AT[name], number, styles[style])
    for start, (look, values) in zip(_STARTS, zip(_LOOKS, (each.over, each.strength), strict=True), strict=True):
        sheet.write_blank(row, _AT[look.name], None, styles["set"])
        if values:
            trends.write_string(trend_row, 0, each.name)
            trends.write_row(trend_row, start, values, styles[look.style])
            _sparkline(sheet, row, _AT[look.name], look, (trend_row, start, start + len(values) - 1))
    _link(sheet, row, _AT["Review"], each.review and os.path.relpath(root / each.review, out.resolve().parent), styles)


def _link(sheet: Worksheet, row: int, column: int, path: str, styles: Any) -> None:
    """A formula, since its slashes stay as they are: every program follows those."""
    link = path.replace(os.sep, "/").replace('"', '""')
    if link and len(link) <= _LONGEST_LINK:
        sheet.write_formula(row, column, f'=HYPERLINK("{link}","open")', styles["set"], "open")
    else:
        sheet.write_string(row, column, path, styles["set"])


def _sparkline(sheet: Worksheet, row: int, column: int, look: _Trend, place: tuple[int, int, int]) -> None:
    """Bars above and below nothing, on the same scale for all lifters: lines are not drawn by every program."""
    options = {
        "range": f"{_TRENDS}!{xl_range_abs(place[0], place[1], place[0], place[2])}",
        "type": "column",
        "axis": True,
        "min": -look.most,
        "max": look.most,
        "series_color": look.above,
        "negative_points": True,
        "negative_color": look.below,
    }
    sheet.add_sparkline(row, column, options)


def refuse_open_marks(practice: Practice, path: Path, now: Sequence[Standing], force: bool) -> None:
    """Raise BlockbookError where writing a new overview would lose a mark that `next` has not followed yet.

    now: those in the new one. Any mark of others counts, since it would be gone.
    """
    if force or not path.exists():
        return
    try:
        marks = read_marks(path)
        if marks.mistakes:
            raise BlockbookError("\n".join(marks.mistakes))
    except BlockbookError as error:
        raise BlockbookError(f"{error} It was left alone. Use --force to replace it.") from None
    shown = {each.lifter.name: each for each in now}
    waiting = [
        shown[name].name if name in shown else name
        for name, state in marks.accepted.items()
        if name not in shown or (state == shown[name].state and not shown[name].next_waits)
    ]
    if waiting:
        names = ", ".join(waiting[:5])
        raise BlockbookError(
            f"{path}: holds marks that were not followed yet ({names}) and was left alone. Run "
            f"`{next_by(practice, path)}` first, or use --force to replace it."
        )
