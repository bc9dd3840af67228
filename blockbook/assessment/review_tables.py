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
from blockbook.spec.answers import OFFERED
from blockbook.spec.models import Block
from blockbook.training import volume
from blockbook.workbook.layout import spoken

TRENDS, LOG = "Trends", "Log"
_HIDDEN = 6.5
"""Width up to which a column holds numbers or a hidden key: no text of its own to give room to."""

_MOST_LINES = 6

_NO_TREND = "one week"
"""Stands where a change would: one week shows no trend."""


def add_findings(book: Book, logs: Sequence[BlockLog]) -> None:
    rows = [
        (log.spec.lifter.name, found.severity, found.code, found.sheet, found.cell, found.value, found.message,
         _likely(found, log.spec.block), "", found.hint, correction(log, found))
        for log in logs
        for found in log.findings
    ]  # fmt: skip
    headings = (
        ("Lifter", 16), ("Severity", 10), ("Code", 19), ("Sheet", 10), ("Cell", 7), ("As typed", 14),
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
        (log.spec.lifter.name, s.week, s.session, _lifted(s), s.kind, s.set, s.target_reps, s.target_rpe,
         s.target_load, s.load, s.reps, s.rpe, s.one_rep_max, s.note, ", ".join(s.raw.values()))
        for log in logs
        for s in log.sets
    ]  # fmt: skip
    headings = (
        ("Lifter", 16), ("Week", 6), ("Session", 16), ("Exercise", 24), ("Kind", 10), ("Set", 5), ("Target reps", 7),
        ("Target effort", 7), ("Target load", 8), ("Load", 8), ("Reps", 6), ("Effort", 7), ("Est. 1RM", 9),
        ("Note", 30), ("Typed, not plain", 18),
    )  # fmt: skip
    _table(book.add(LOG), "Log: every set", headings, rows, "No sets.")


def _lifted(logged: LoggedSet) -> str:
    return f"{logged.instead}, instead of {logged.exercise}" if logged.instead else logged.exercise


def _table(
    sheet: Sheet, title: str, headings: tuple[tuple[str, float], ...], rows: Sequence[tuple[Any, ...]], empty: str
) -> None:
    sheet.title(title, len(headings) - 1)
    sheet.landscape = True
    sheet.frozen = (2, 0)
    sheet.repeat_rows = (0, 1)
    for column, (heading, width) in enumerate(headings):
        sheet.put(1, column, heading, "heading")
        sheet.widths[column] = width
    for row, values in enumerate(rows, start=2):
        for column, value in enumerate(values):
            style = "one place" if headings[column][0] == "Est. 1RM" else "set" if isinstance(value, str) else "number"
            wraps = style == "set" and _lines(value, headings[column][1]) > 1
            sheet.put(row, column, value, "wrapped" if wraps or headings[column][1] > 40 else style)
        lines = max(
            (_lines(value, width) for value, (_, width) in zip(values, headings, strict=True) if width > _HIDDEN)
        )
        sheet.heights[row] = min(400, 15.5 * lines)
    if not rows:
        sheet.put(2, 0, empty, "text")


def _lines(value: Any, width: float) -> int:
    """Lines that a text needs in a column of this width."""
    return 1 + int(len(value) // (1.1 * width)) if isinstance(value, str) else 1


def add_trends(book: Book, logs: Sequence[BlockLog]) -> None:
    sheet = book.add(TRENDS)
    weeks = max(log.spec.block.weeks for log in logs)
    sheet.widths = {0: 18.0, 1: 26.0} | dict.fromkeys(range(2, weeks + 4), 9.0)
    sheet.title("Trends: best estimated 1RM by week", weeks + 2)
    row = 2
    for log in logs:
        row = _trend_of(sheet, row, log)


def _trend_of(sheet: Sheet, row: int, log: BlockLog) -> int:
    spec = log.spec
    weeks = spec.block.weeks
    heading_row = row
    sheet.put(row, 0, spec.lifter.name, "heading left")
    sheet.put(row, 1, f"Est. 1RM, {spec.block.unit}", "heading left")
    for week in range(1, weeks + 1):
        sheet.put(row, 1 + week, f"Week {week}", "heading")
    sheet.put(row, 2 + weeks, "Change", "heading")
    series: list[Series] = []
    for history in histories(log):
        row += 1
        sheet.put(row, 0, log.session_name(history.line.session_id), "set")
        sheet.put(row, 1, history.line.exercise.name, "set")
        for each in history.weeks:
            sheet.put(row, 1 + each.week, each.best, "one place")
        working = [week.week for week in history.judged_weeks]
        if len(working) > 1:
            ends: dict[str, Reference] = {
                "first": Cell(TRENDS, row, 1 + working[0]), "last": Cell(TRENDS, row, 1 + working[-1]),
            }  # fmt: skip
            sheet.formula(row, 2 + weeks, volume.change, ends, "percent")
        else:
            sheet.put(row, 2 + weeks, _NO_TREND if working else None, "number")
        if history.bests and len(series) < _MOST_LINES:
            name = f"{history.line.exercise.name}, {log.session_name(history.line.session_id)}"
            series.append(
                Series(name, (TRENDS, heading_row, 2, heading_row, 1 + weeks), (TRENDS, row, 2, row, 1 + weeks))
            )
    if series:
        title = f"Best estimated 1RM · {spec.lifter.name}"
        description = f"Line chart: best estimated one-rep maximum of {spec.lifter.name} in each week."
        chart = Chart("line", title, description, spec.block.unit, tuple(series), row + 2, 0, 760, 320)
        sheet.charts.append(chart)
        row += 18
        sheet.kept_together.append([(heading_row, chart.row - 1), (chart.row, row)])
    return row + 2
