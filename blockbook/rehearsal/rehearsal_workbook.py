"""The rehearsal as a workbook: a table sheet a topic, and charts of the main lifts and the weekly volume."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import count, groupby
from typing import Any

from blockbook.intake.other_workbooks import REHEARSAL
from blockbook.rehearsal.report import HIGH, LOW, LineRehearsal, Rehearsal
from blockbook.rehearsal.report_text import headlines, limits, volume_heading
from blockbook.sheet.book import Book, Chart, Series, Sheet
from blockbook.sheet.fitting import height
from blockbook.spec.catalogue import Muscle
from blockbook.workbook.week_words import capital
from blockbook.workbook.write import workbook_bytes

WARNINGS, CHARTS, LOADS, EFFORT, VOLUME = "Warnings", "Charts", "Loads", "Effort", "Volume"
_HEADING_ROW = 2
_LOADS_WEEK_1, _VOLUME_WEEK_1 = 3, 1
_MOST_MUSCLES = 6
_CHART_ROWS, _CHART_COLUMNS, _CHARTS_ACROSS = 16, 8, 2
_CHART_WIDTH, _WIDE_CHART, _CHART_HEIGHT = 480, 992, 300
_WEEKS_UPRIGHT = 6
_DASH = "–"
_WIDE = 30.0
"""Width of a column that has none of its own."""


def rehearsal_bytes(rehearsal: Rehearsal) -> bytes:
    """The workbook as a file's content."""
    block = rehearsal.spec.block
    return workbook_bytes(rehearsal_book(rehearsal), {}, block.unit, "Rehearsal", block.start)


def rehearsal_book(rehearsal: Rehearsal) -> Book:
    """The workbook as data."""
    book = Book()
    _warnings_sheet(book.add(WARNINGS), rehearsal)
    charts = book.add(CHARTS)
    load_rows = _loads_sheet(book.add(LOADS), rehearsal)
    _effort_sheet(book.add(EFFORT), rehearsal)
    volume_rows = _volume_sheet(book.add(VOLUME), rehearsal)
    _charts_sheet(charts, rehearsal, load_rows, volume_rows)
    return book


# Warnings -------------------------------------------------------------------------------------


def _warnings_sheet(sheet: Sheet, rehearsal: Rehearsal) -> None:
    headings = (
        ("Week", 7), ("Session", 18), ("Exercise", 30), ("Miss reps", 10), ("A rep or more over", 12),
        ("Over target, mean reps", 12), ("1RM is", 11),
    )  # fmt: skip
    last = len(headings) - 1
    sheet.landscape = True
    sheet.title(f"{REHEARSAL} that is unlikely, worst first", last)
    rows = count(1)
    for text in headlines(rehearsal, 115):
        sheet.across(next(rows), 0, last, text, "text")
    hint = f"Listed {limits()}. Shares of the runs that came to the session."
    sheet.across(next(rows), 0, last, hint, "hint")
    _headings(sheet, next(rows), headings)
    for line in rehearsal.unlikely:
        effort = line.effort
        _put(sheet, next(rows), (
            (line.week, "number"), (line.session, "set"), (line.name, "set"), (line.missed, "share"),
            (effort and effort.overshoots, "share"), (effort and effort.mean, "signed"), (line.maximum, "set"),
        ))  # fmt: skip
    if not rehearsal.unlikely:
        sheet.across(next(rows), 0, last, "Nothing: the plan asks for nothing unlikely.", "text")


# Loads and effort -----------------------------------------------------------------------------


def _loads_sheet(sheet: Sheet, rehearsal: Rehearsal) -> dict[str, int]:
    """Three rows an exercise; slot key -> its first row."""
    _over_weeks(sheet, rehearsal, (("Session", 18), ("Exercise", 30), ("Runs", 10)))
    _as_long_table(sheet)
    sheet.title(f"Likely load of the first work set, {rehearsal.spec.block.unit}", _loads_column(rehearsal.weeks))
    hint = f"{LOW} %: so many runs are at or below this load; nine in ten at or below the load at {HIGH} %."
    sheet.put(1, 0, hint, "hint")
    rows: dict[str, int] = {}
    free = _HEADING_ROW + 1
    for key, lines in _by_slot(rehearsal).items():
        known = [(line.week, line.load) for line in lines if line.load]
        if not known:
            continue
        rows[key] = free
        for row, percentile in enumerate((f"{LOW} %", "median", f"{HIGH} %"), start=free):
            names = (lines[0].session, lines[0].name, percentile)
            _put(sheet, row, [(name, "set") for name in names])
        for week, load in known:
            for row, value in enumerate((load.low, load.median, load.high), start=free):
                sheet.put(row, _loads_column(week), value, "number")
        sheet.kept_together.append([(free, free + 2)])
        free += 3
    return rows


def _loads_column(week: int) -> int:
    return _LOADS_WEEK_1 - 1 + week


def _effort_sheet(sheet: Sheet, rehearsal: Rehearsal) -> None:
    headings = (
        ("Week", 7), ("Session", 18), ("Exercise", 30), ("Reps", 8), ("Target effort", 8), ("Over, mean", 9),
        (f"Over, {LOW} %", 9), (f"Over, {HIGH} %", 9), ("A rep or more over", 10), ("Miss reps", 9), ("Warning", 10),
    )  # fmt: skip
    sheet.title("Effort of the first work set against its target, and missed reps in any set", len(headings) - 1)
    hint = "Over: reps by which the set truly came in over its target effort; below zero there were reps to spare."
    sheet.put(1, 0, hint, "hint")
    _headings(sheet, _HEADING_ROW, headings)
    _as_long_table(sheet)
    sheet.landscape = True
    for row, line in enumerate(rehearsal.lines, start=_HEADING_ROW + 1):
        effort = line.effort
        reps = int(line.reps) if line.reps.isdigit() else line.reps
        _put(sheet, row, (
            (line.week, "number"), (line.session, "set"), (line.name, "set"), (reps, "number"), (line.rpe, "number"),
            (effort and effort.mean, "signed"), (effort and effort.likely.low, "signed"),
            (effort and effort.likely.high, "signed"), (effort and effort.overshoots, "share"),
            (line.missed, "share"), ("unlikely" if line.warning else "", "set"),
        ))  # fmt: skip
    first = _HEADING_ROW + 1
    for _, of_week in groupby(rehearsal.lines, key=lambda line: line.week):
        behind = first + len(list(of_week))
        sheet.kept_together.append([(first, behind - 1)])
        first = behind


# Volume ---------------------------------------------------------------------------------------


def _volume_sheet(sheet: Sheet, rehearsal: Rehearsal) -> dict[Muscle, int]:
    """Hard sets, planned sets and tonnage; muscle -> its row of hard sets."""
    weeks = rehearsal.volume
    muscles = sorted({muscle for week in weeks for muscle in week.planned_sets})
    unit = rehearsal.spec.block.unit
    _over_weeks(sheet, rehearsal, (("Hard sets, mean", 24),))
    sheet.title("Weekly volume", max(8, rehearsal.weeks))
    sheet.put(1, 0, f"{volume_heading(rehearsal)}. A missed session counts as not done.", "hint")
    rows = count(_HEADING_ROW + 1)
    found = {}
    for muscle in muscles:
        found[muscle] = next(rows)
        done = [(week.hard_sets.get(muscle, 0), "one place") for week in weeks]
        _put(sheet, found[muscle], [(capital(muscle), "set"), *done])
    next(rows)
    _put(sheet, next(rows), [("Sets as planned", "heading left"), *_weeks_of(rehearsal)])
    for muscle in muscles:
        planned = [(week.planned_sets.get(muscle, 0), "one place") for week in weeks]
        _put(sheet, next(rows), [(capital(muscle), "set"), *planned])
    next(rows)
    _put(sheet, next(rows), [(f"Tonnage, {unit}, mean", "heading left"), *_weeks_of(rehearsal)])
    _put(sheet, next(rows), [("All with a known 1RM", "set"), *((week.tonnage, "whole") for week in weeks)])
    return found


def _weeks_of(rehearsal: Rehearsal) -> list[tuple[str, str]]:
    return [(f"Week {week.week}", "heading") for week in rehearsal.volume]


# Charts ---------------------------------------------------------------------------------------


def _charts_sheet(
    sheet: Sheet, rehearsal: Rehearsal, load_rows: dict[str, int], volume_rows: dict[Muscle, int]
) -> None:
    """The first lift of each session, and the muscles with the most hard sets."""
    sheet.title("Likely loads of the first lift of each session, and the weekly volume", 2 * _CHART_COLUMNS - 1)
    first_lifts = [
        line for line in rehearsal.lines if line.week == 1 and line.depth == 1 and line.slot_key in load_rows
    ]
    for place, line in enumerate(first_lifts):
        down, across = divmod(place, _CHARTS_ACROSS)
        at = 2 + _CHART_ROWS * down, _CHART_COLUMNS * across
        sheet.charts.append(_load_chart(rehearsal, line, load_rows[line.slot_key], *at))
    below = 2 + _CHART_ROWS * -(-len(first_lifts) // _CHARTS_ACROSS)
    sheet.charts.append(_volume_chart(rehearsal, volume_rows, below))


def _load_chart(rehearsal: Rehearsal, line: LineRehearsal, first_row: int, row: int, column: int) -> Chart:
    names = ((f"{LOW} %", first_row), ("median", first_row + 1), (f"{HIGH} %", first_row + 2))
    return Chart(
        kind="line",
        title=f"{capital(line.exercise)} · {line.session}",
        description=f"Line chart: likely load of the first work set of {line.exercise}, {line.session}, in each week.",
        y_title=rehearsal.spec.block.unit,
        series=tuple(_series(name, LOADS, of, _LOADS_WEEK_1, rehearsal) for name, of in names),
        row=row,
        column=column,
        width=_CHART_WIDTH,
        height=_CHART_HEIGHT,
        near_lowest=True,
    )


def _volume_chart(rehearsal: Rehearsal, rows: dict[Muscle, int], row: int) -> Chart:
    def sets(muscle: Muscle) -> float:
        return sum(week.hard_sets.get(muscle, 0) for week in rehearsal.volume)

    most = sorted(rows, key=sets, reverse=True)[:_MOST_MUSCLES]
    return Chart(
        kind="column",
        title="Hard sets a week, the muscles that get most",
        description=f"Column chart: mean hard sets in each week of {', '.join(most)}.",
        y_title="sets",
        series=tuple(_series(capital(muscle), VOLUME, rows[muscle], _VOLUME_WEEK_1, rehearsal) for muscle in most),
        row=row,
        column=0,
        width=_WIDE_CHART,
        height=_CHART_HEIGHT,
    )


def _series(name: str, sheet: str, row: int, first: int, rehearsal: Rehearsal) -> Series:
    last = first - 1 + rehearsal.weeks
    return Series(name, (sheet, _HEADING_ROW, first, _HEADING_ROW, last), (sheet, row, first, row, last))


# Parts of a table -----------------------------------------------------------------------------


def _by_slot(rehearsal: Rehearsal) -> dict[str, list[LineRehearsal]]:
    """The weeks of each exercise, in the order of the sessions."""
    found: dict[str, list[LineRehearsal]] = {}
    for line in rehearsal.lines:
        found.setdefault(line.slot_key, []).append(line)
    return found


def _over_weeks(sheet: Sheet, rehearsal: Rehearsal, names: tuple[tuple[str, float], ...]) -> None:
    """A table with a column a week."""
    weeks = tuple((f"Week {week}", 9.5) for week in range(1, rehearsal.weeks + 1))
    _headings(sheet, _HEADING_ROW, (*names, *weeks))
    sheet.landscape = rehearsal.weeks > _WEEKS_UPRIGHT


def _headings(sheet: Sheet, row: int, headings: tuple[tuple[str, float], ...]) -> None:
    sheet.heights[row] = 30
    for column, (heading, width) in enumerate(headings):
        sheet.put(row, column, heading, "heading" if width < 14 else "heading left")
        sheet.widths[column] = width


def _as_long_table(sheet: Sheet) -> None:
    sheet.frozen = (_HEADING_ROW + 1, 0)
    sheet.repeat_rows = (_HEADING_ROW, _HEADING_ROW)


def _put(sheet: Sheet, row: int, cells: Iterable[tuple[Any, str]]) -> None:
    """Values with their styles from the first column on, in a row as high as they need; a dash for what is unknown."""
    texts = []
    for column, (value, style) in enumerate(cells):
        sheet.put(row, column, _DASH if value is None else value, "set wrapped" if style == "set" else style)
        texts.append((value, sheet.widths.get(column, _WIDE)))
    sheet.heights[row] = height(texts)
