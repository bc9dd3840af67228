"""The coach's review workbook: who needs what and why, with room to decide otherwise."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from blockbook.assessment.coach_word import (
    ACCEPT,
    CORRECTION,
    FINDINGS,
    KEY,
    REVIEW,
    YOUR_LOAD,
    YOUR_SETS,
    correction,
)
from blockbook.assessment.history import LineHistory, histories
from blockbook.assessment.next_block import decided
from blockbook.assessment.suggestions import Outlook, Suggestion, suggest
from blockbook.intake.findings import Finding
from blockbook.intake.log import BlockLog
from blockbook.intake.report import unfinished
from blockbook.intake.understanding import shown
from blockbook.sheet.book import Book, Cell, Chart, Reference, Series, Sheet, Validation
from blockbook.training import volume
from blockbook.workbook.layout import spoken

TRENDS, LOG = "Trends", "Log"
_HIDDEN = 6.5
"""Width up to which a column holds numbers or a hidden key: no text of its own to give room to."""

_MOST_LINES = 6


@dataclass(frozen=True)
class Reviewed:
    """A log with what was made of it."""

    log: BlockLog
    outlook: Outlook
    histories: tuple[LineHistory, ...]


def reviewed(log: BlockLog) -> Reviewed:
    return Reviewed(log, suggest(log), histories(log))


def review_book(every: Sequence[Reviewed]) -> Book:
    """The review workbook of one or more returned blocks, as data."""
    book = Book()
    _review_sheet(book, every)
    _findings_sheet(book, every)
    _trends_sheet(book, every)
    _log_sheet(book, every)
    return book


# Review ---------------------------------------------------------------------------------------

_COLUMNS: tuple[tuple[str, str, float], ...] = (
    ("key", KEY, 6),
    ("lifter", "Lifter", 16),
    ("session", "Session", 16),
    ("exercise", "Exercise", 24),
    ("action", "What to do", 21),
    ("suggested", "Week 1 load", 9),
    ("accept", ACCEPT, 8),
    ("own", YOUR_LOAD, 9),
    ("used", "Load used", 9),
    ("sets", "Sets", 6),
    ("own_sets", YOUR_SETS, 7),
    ("sets_used", "Sets used", 7),
    ("reason", "Why", 56),
    ("start", "This block, week 1", 9),
    ("last", "Last load", 8),
    ("believed", "Est. 1RM", 9),
    ("spread", "±", 6),
    ("change", "Change", 8),
    ("over", "Over target", 8),
    ("done", "Sets done", 8),
)
_AT = {name: position for position, (name, _, _) in enumerate(_COLUMNS)}


def _review_sheet(book: Book, every: Sequence[Reviewed]) -> None:
    sheet = book.add(REVIEW)
    for name, _, width in _COLUMNS:
        sheet.widths[_AT[name]] = width
    sheet.hidden_columns = (_AT["key"],)
    sheet.landscape = True
    sheet.title("Review: what was done, and what to do next", len(_COLUMNS) - 1)
    row = 1
    for item in sorted(every, key=_need, reverse=True):
        for style, text in _headlines(item):
            sheet.across(row, 1, _AT["reason"], text, style)
            sheet.heights[row] = 17 * (1 + len(text) // 160)
            row += 1
    text = f"{ACCEPT} yes or empty takes the suggestion, no keeps this block's load. A number of yours wins over both."
    sheet.put(row, 1, text, "hint")
    row += 1
    for name, heading, _ in _COLUMNS:
        sheet.put(row, _AT[name], heading, "heading")
    sheet.heights[row] = 30
    row += 1
    first_row = row
    for item in sorted(every, key=_need, reverse=True):
        for suggestion in sorted(item.outlook.suggestions, key=lambda s: not s.pain):
            _suggestion_row(book, sheet, row, item, suggestion)
            row += 1
    accepts = tuple(Cell(REVIEW, r, _AT["accept"]) for r in range(first_row, row))
    sheet.validations.append(
        Validation(accepts, {"validate": "list", "source": ["yes", "no"], "error_title": ACCEPT,
                             "error_message": "yes or no. Keep it anyway?"})
    )  # fmt: skip


def _need(item: Reviewed) -> tuple[int, int, int]:
    """How much a lifter needs the coach: pain, deload signs, errors."""
    findings = item.log.findings
    return (
        sum(found.code == "pain-reported" for found in findings),
        bool(item.outlook.deload_reason),
        sum(found.severity == "error" for found in findings),
    )


def _headlines(item: Reviewed) -> Iterator[tuple[str, str]]:
    log, spec = item.log, item.log.spec
    block = spec.block
    yield "section", f"{spec.lifter.name} · {block.title} · {block.weeks} weeks from {block.start:%d %b %Y}"
    for found in log.findings:
        if found.code == "pain-reported":
            yield "alert", f"First: {found.message} Talk to the lifter."
    if item.outlook.deload_reason:
        yield "alert", f"Deload first: {item.outlook.deload_reason}"
    done = sum(1 for logged in log.sets if logged.done and logged.set)
    planned = sum(1 for logged in log.sets if logged.set)
    counts = {severity: sum(f.severity == severity for f in log.findings) for severity in ("error", "warning")}
    actions = [suggestion.action for suggestion in item.outlook.suggestions]
    summary = ", ".join(f"{actions.count(action)} {action}" for action in dict.fromkeys(actions))
    odd = " and ".join(_count(number, severity) for severity, number in counts.items())
    yield (
        "text",
        f"{done} of {planned} sets done{unfinished(log)}. {odd} in the log (sheet {FINDINGS}). Exercises: {summary}.",
    )


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def _suggestion_row(book: Book, sheet: Sheet, row: int, item: Reviewed, made: Suggestion) -> None:
    key = f"{item.log.digest}/{made.key}"
    sheet.put(row, _AT["key"], key, "key")
    sheet.put(row, _AT["lifter"], item.log.spec.lifter.name, "set")
    sheet.put(row, _AT["session"], made.session, "set")
    sheet.put(row, _AT["exercise"], made.exercise, "set")
    sheet.put(row, _AT["action"], f"{made.action} (pain)" if made.pain else made.action, "bold")
    suggested = sheet.put(row, _AT["suggested"], _or_dash(made.first_load), "number")
    accept = book.put_input(sheet, row, _AT["accept"], f"{key}/accept", "typed text")
    own = book.put_input(sheet, row, _AT["own"], f"{key}/own", "typed number")
    start = sheet.put(row, _AT["start"], _or_dash(made.start_load), "number")
    names: dict[str, Reference] = {"accept": accept, "own": own, "suggested": suggested, "kept": start}
    sheet.formula(row, _AT["used"], decided, names, "target")
    sets = sheet.put(row, _AT["sets"], made.next_sets, "number")
    own_sets = book.put_input(sheet, row, _AT["own_sets"], f"{key}/own_sets", "typed number")
    names = {"accept": accept, "own": own_sets, "suggested": sets, "kept": made.sets}
    sheet.formula(row, _AT["sets_used"], decided, names, "number")
    sheet.put(row, _AT["reason"], made.reason, "wrapped")
    sheet.heights[row] = 15.5 * (1 + len(made.reason) // 58)
    for name, value, style in (
        ("last", made.last_load, "number"),
        ("believed", made.believed_max, "one place"),
        ("spread", made.spread, "one place"),
        ("change", made.change, "percent"),
        ("over", made.mean_over, "signed"),
        ("done", made.share_done, "share"),
    ):
        sheet.put(row, _AT[name], _or_dash(value), style)


def _or_dash(value: float | None) -> float | str:
    return "–" if value is None else value


# Findings, trends, log ------------------------------------------------------------------------


def _findings_sheet(book: Book, every: Sequence[Reviewed]) -> None:
    rows = [
        (item.log.spec.lifter.name, found.severity, found.code, found.sheet, found.cell, found.value, found.message,
         _likely(found), "", found.hint, correction(item.log, found))
        for item in every
        for found in item.log.findings
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
        Validation(accepts, {"validate": "list", "source": ["yes", "no"], "input_title": ACCEPT,
                             "input_message": "yes uses what was likely meant", "error_title": ACCEPT,
                             "error_message": "yes or no. Keep it anyway?"})
    )  # fmt: skip


def _likely(found: Finding) -> str:
    """What was likely meant, in words: "load 107.5"; of many cells the first few."""
    words = []
    for name, value in found.likely.items():
        column = name.partition("/")[2] or name.rpartition(".")[2]
        said = "empty" if value is None else shown(name, value)
        words.append(f"{spoken(column)} {said}")
    return ", ".join(words[:3]) + (f" and {len(words) - 3} more" if len(words) > 3 else "")


def _log_sheet(book: Book, every: Sequence[Reviewed]) -> None:
    rows = [
        (item.log.spec.lifter.name, s.week, s.session, s.exercise, s.kind, s.set, s.target_reps, s.target_rpe,
         s.target_load, s.load, s.reps, s.rpe, s.one_rep_max, s.note, ", ".join(s.raw.values()))
        for item in every
        for s in item.log.sets
    ]  # fmt: skip
    headings = (
        ("Lifter", 16), ("Week", 6), ("Session", 16), ("Exercise", 24), ("Kind", 10), ("Set", 5), ("Target reps", 7),
        ("Target effort", 7), ("Target load", 8), ("Load", 8), ("Reps", 6), ("Effort", 7), ("Est. 1RM", 9),
        ("Note", 30), ("Typed, not plain", 18),
    )  # fmt: skip
    _table(book.add(LOG), "Log: every set", headings, rows, "No sets.")


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


def _trends_sheet(book: Book, every: Sequence[Reviewed]) -> None:
    sheet = book.add(TRENDS)
    weeks = max(item.log.spec.block.weeks for item in every)
    sheet.widths = {0: 18.0, 1: 26.0} | dict.fromkeys(range(2, weeks + 4), 9.0)
    sheet.title("Trends: best estimated 1RM by week", weeks + 2)
    row = 2
    for item in every:
        row = _trend_of(sheet, row, item)


def _trend_of(sheet: Sheet, row: int, item: Reviewed) -> int:
    spec = item.log.spec
    weeks = spec.block.weeks
    heading_row = row
    sheet.put(row, 0, spec.lifter.name, "heading left")
    sheet.put(row, 1, f"Est. 1RM, {spec.block.unit}", "heading left")
    for week in range(1, weeks + 1):
        sheet.put(row, 1 + week, f"Week {week}", "heading")
    sheet.put(row, 2 + weeks, "Change", "heading")
    series: list[Series] = []
    for history in item.histories:
        row += 1
        sheet.put(row, 0, item.log.session_name(history.line.session_id), "set")
        sheet.put(row, 1, history.line.exercise.name, "set")
        for each in history.weeks:
            sheet.put(row, 1 + each.week, each.best, "one place")
        working = [week.week for week in history.working_weeks if week.best is not None] or [1]
        ends: dict[str, Reference] = {
            "first": Cell(TRENDS, row, 1 + working[0]) if history.bests else "",
            "last": Cell(TRENDS, row, 1 + working[-1]) if history.bests else "",
        }
        sheet.formula(row, 2 + weeks, volume.change, ends, "percent")
        if history.bests and len(series) < _MOST_LINES:
            name = f"{history.line.exercise.name}, {item.log.session_name(history.line.session_id)}"
            series.append(
                Series(name, (TRENDS, heading_row, 2, heading_row, 1 + weeks), (TRENDS, row, 2, row, 1 + weeks))
            )
    if series:
        title = f"Best estimated 1RM · {spec.lifter.name}"
        description = f"Line chart: best estimated one-rep maximum of {spec.lifter.name} in each week."
        chart = Chart("line", title, description, spec.block.unit, tuple(series), row + 2, 0, 760, 320)
        sheet.charts.append(chart)
        row += 18
    return row + 2
