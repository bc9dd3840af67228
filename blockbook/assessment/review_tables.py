"""The review's plain sheets: findings with corrections to accept, strength week by week, every set."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from blockbook.assessment.coach_word import ACCEPT, CORRECTION, FINDINGS, correction
from blockbook.assessment.history import histories
from blockbook.intake.findings import Finding
from blockbook.intake.log import BlockLog, LoggedSet
from blockbook.intake.understanding import shown
from blockbook.sheet.book import Book, Cell, Chart, Reference, Series, Sheet, Validation
from blockbook.sheet.fitting import height, pixels
from blockbook.spec.answers import OFFERED
from blockbook.spec.models import Block
from blockbook.training import volume
from blockbook.workbook.layout import spoken
from blockbook.workbook.week_words import capital

TRENDS, LOG = "Trends", "Log"
_HIDDEN = 6.5
"""Width up to which a column holds numbers or a hidden key: no text of its own to give room to."""

_OF_TEXT = 14
"""Width from which a column holds texts."""

_HIGHEST = 400
"""A spreadsheet's rows are no higher than 409 points."""

_MOST_LINES = 6
_CHART_ROWS = 17
"""Rows of the usual height that a chart covers."""

_NO_TREND = "one week"
"""Stands where a change would: one week shows no trend."""


def add_findings(book: Book, logs: Sequence[BlockLog]) -> None:
    rows = [
        (log.spec.lifter.name, found.severity, found.code.replace("-", " "), found.sheet, found.cell, found.value,
         found.message, _likely(found, log.spec.block), "", found.hint, correction(log, found))
        for log in logs
        for found in log.findings
    ]  # fmt: skip
    headings = (
        ("Lifter", 16), ("Severity", 10), ("Kind", 19), ("Sheet", 10), ("Cell", 7), ("As typed", 14),
        ("What it is", 62), ("Likely meant", 18), (ACCEPT, 9), ("What to do", 62), (CORRECTION, 6),
    )  # fmt: skip
    sheet = book.add(FINDINGS)
    empty = "Nothing to report: every cell was understood."
    _table(sheet, "Findings in the returned workbooks", headings, rows, empty)
    names = [heading for heading, _ in headings]
    accept, hidden = names.index(ACCEPT), names.index(CORRECTION)
    sheet.hidden_columns = (hidden,)
    offered = [row for row, values in enumerate(rows, start=2) if values[hidden]]
    accepts = tuple(book.put_input(sheet, row, accept, f"finding {row}", "typed text") for row in offered)
    sheet.validations.append(
        Validation(accepts, {"validate": "list", "source": list(OFFERED), "input_title": ACCEPT,
                             "input_message": "yes uses what was likely meant; what it moves, next says",
                             "error_title": ACCEPT,
                             "error_message": "yes or no. Keep it anyway?"})
    )  # fmt: skip


def _likely(found: Finding, block: Block) -> str:
    """What was likely meant, in words: "load 107.5"; of many cells the first few."""
    words = []
    for name, value in found.likely.items():
        column = name.partition("/")[2] or name.rpartition(".")[2]
        said = "empty" if value is None else shown(name, value, block)
        words.append(f"{spoken(column, block)} {said}")
    return ", ".join(words[:3]) + (f" and {len(words) - 3} more" if len(words) > 3 else "")


def add_log(book: Book, logs: Sequence[BlockLog]) -> None:
    rows = [
        (log.spec.lifter.name, s.week, log.session_name(s.session), _lifted(s), s.kind, s.set, s.target_reps,
         s.target_rpe, s.target_load, s.load, s.reps, s.rpe, s.one_rep_max, s.note, ", ".join(s.raw.values()))
        for log in logs
        if log.begun_weeks
        for s in log.sets
    ]  # fmt: skip
    headings = (
        ("Lifter", 16), ("Week", 6), ("Session", 16), ("Exercise", 24), ("Kind", 10), ("Set", 5), ("Target reps", 7),
        ("Target effort", 7), ("Target load", 8), ("Load", 8), ("Reps", 6), ("Effort", 7), ("Est. 1RM", 9),
        ("Note", 30), ("Typed, not plain", 18),
    )  # fmt: skip
    _table(book.add(LOG), "Log: every set", headings, rows, "Nothing is logged yet.")


def _lifted(logged: LoggedSet) -> str:
    planned = capital(logged.exercise)
    return f"{capital(logged.instead)}, instead of {planned}" if logged.instead else planned


def _table(
    sheet: Sheet, title: str, headings: tuple[tuple[str, float], ...], rows: Sequence[tuple[Any, ...]], empty: str
) -> None:
    sheet.title(title, len(headings) - 1)
    sheet.landscape = True
    sheet.frozen = (2, 0)
    sheet.repeat_rows = (0, 1)
    for column, (heading, width) in enumerate(headings):
        sheet.put(1, column, heading, "heading left" if width >= _OF_TEXT else "heading")
        sheet.widths[column] = width
    sheet.heights[1] = 30
    for row, values in enumerate(rows, start=2):
        for column, value in enumerate(values):
            numbers = "one place" if headings[column][0] == "Est. 1RM" else "number"
            sheet.put(row, column, value, "set wrapped" if isinstance(value, str) else numbers)
        texts = [(value, width) for value, (_, width) in zip(values, headings, strict=True) if width > _HIDDEN]
        sheet.heights[row] = min(_HIGHEST, height(texts))
    if not rows:
        sheet.put(2, 0, empty, "text")


def add_trends(book: Book, logs: Sequence[BlockLog]) -> None:
    sheet = book.add(TRENDS)
    weeks = max(log.spec.block.weeks for log in logs)
    sheet.widths = {0: 20.0, 1: 30.0} | dict.fromkeys(range(2, weeks + 3), 9.5)
    sheet.title("Trends: best estimated 1RM by week", weeks + 2)
    sheet.put(1, 0, "Of each week that tells of strength: no deload, no taper, no light set alone.", "hint")
    row = 3
    for log in logs:
        row = _trend_of(sheet, row, log, weeks + 2)


def _trend_of(sheet: Sheet, row: int, log: BlockLog, last: int) -> int:
    """A block's table and its chart; the row after. last: the sheet's last column."""
    spec, weeks, top = log.spec, log.spec.block.weeks, row
    sheet.across(row, 0, last, f"{spec.lifter.name} · {spec.short_title}", "section")
    judged = [(history, history.judged_weeks) for history in histories(log)]
    if not any(known for _, known in judged):
        sheet.put(row + 1, 0, "Nothing is logged yet." if log.begun_weeks == 0 else "No week tells of strength.")
        sheet.kept_together.append([(top, row + 1)])
        return row + 3
    heading_row = row = row + 1
    sheet.put(row, 0, "Session", "heading left")
    sheet.put(row, 1, f"Exercise, 1RM in {spec.block.unit}", "heading left")
    for week in range(1, weeks + 1):
        sheet.put(row, 1 + week, f"Week {week}", "heading")
    sheet.put(row, 2 + weeks, "Change, first to last", "heading")
    sheet.heights[row] = 30
    series: list[Series] = []
    for history, known in judged:
        row += 1
        session, name = log.session_name(history.line.session_id), capital(history.line.exercise.name)
        sheet.put(row, 0, session, "set wrapped")
        sheet.put(row, 1, name, "set wrapped")
        sheet.heights[row] = height([(session, sheet.widths[0]), (name, sheet.widths[1])])
        bests = {week.week: week.best for week in known}
        for week in range(1, weeks + 1):
            sheet.put(row, 1 + week, bests.get(week), "one place")
        if len(bests) > 1:
            ends: dict[str, Reference] = {
                "first": Cell(TRENDS, row, 1 + min(bests)), "last": Cell(TRENDS, row, 1 + max(bests)),
            }  # fmt: skip
            sheet.formula(row, 2 + weeks, volume.change, ends, "percent")
        else:
            sheet.put(row, 2 + weeks, _NO_TREND if bests else None, "number")
        if bests and len(series) < _MOST_LINES:
            series.append(
                Series(f"{name}, {session}", (TRENDS, heading_row, 2, heading_row, 1 + weeks),
                       (TRENDS, row, 2, row, 1 + weeks))
            )  # fmt: skip
    title = f"Best estimated 1RM · {spec.lifter.name}"
    description = f"Line chart: best estimated one-rep maximum of {spec.lifter.name} in each week."
    width = pixels([sheet.widths[column] for column in range(last + 1)])
    chart = Chart("line", title, description, spec.block.unit, tuple(series), row + 2, 0, width, 320, near_lowest=True)
    sheet.charts.append(chart)
    behind = chart.row + _CHART_ROWS
    sheet.kept_together.append([(top, chart.row - 1), (chart.row, behind)])
    return behind + 1
