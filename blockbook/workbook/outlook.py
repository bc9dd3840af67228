"""A table on the Summary sheet: looking ahead to the block's last week, exercise by exercise."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from blockbook.formula.definition import Definition
from blockbook.languages import say
from blockbook.sheet.book import Cell, Reference, Sheet
from blockbook.spec.catalogue import shown_name
from blockbook.spec.models import Specification
from blockbook.training import outlook
from blockbook.training.prescription import Line
from blockbook.workbook.layout import LinePlace, SessionPlace
from blockbook.workbook.steps import Workings
from blockbook.workbook.tables import Tables
from blockbook.workbook.week_words import capital

_START, _THEN, _STEPPED, _JUDGED, _END = 1, 2, 4, 6, 8
"""The last week stands where a phone shows it without scrolling. Behind it and a step a week stands the rise."""

_WITHOUT_STEPS = {"reps": "its reps grow first", "tempo": "its tempo slows first", "hold": "held on purpose"}


def add_outlook(
    sheet: Sheet,
    row: int,
    spec: Specification,
    weeks: tuple[tuple[SessionPlace, ...], ...],
    workings: Workings,
    tables: Tables,
) -> int:
    """Write the table from a row on; the row after it. Only exercises whose loads are decided here."""
    last = len(weeks) - 1 if spec.block.deload_week == len(weeks) else len(weeks)
    ends = {place.line.slot_key: place for end in weeks[last - 1] for place in end.lines}
    pairs = [
        (first, ends[first.line.slot_key], begin.session.name)
        for begin in weeks[0]
        for first in begin.lines
        if first.line.slot_key in ends and all(_is_decided(place.line) for place in (first, ends[first.line.slot_key]))
    ]
    if last < 2 or not pairs:
        return row
    title = say("Looking ahead to week {week}, {unit}", week=last, unit=spec.block.unit)
    sheet.put(row, 0, title, "heading left")
    stands = say("Week {week}, as it stands", week=last)
    week_one = say("Week {week}", week=1)
    headings = (week_one, stands, say("Rise until then"), say("With one step a week"), say("Rise by steps"))
    for column, heading in enumerate(headings, start=_START):
        sheet.put(row, column, heading, "heading")
    sheet.across(row, _JUDGED, _END, say("One step every week comes to"), "heading left")
    sheet.heights[row] = 45
    often = Counter(first.line.exercise.name for first, _, _ in pairs)
    for first, then, session in pairs:
        row += 1
        exercise = first.line.exercise
        name = capital(shown_name(exercise))
        sheet.put(row, 0, f"{name}, {session}" if often[exercise.name] > 1 else name, "set name")
        _fill(sheet, row, first, then, last, workings, tables)
    sheet.across(row + 1, 0, _END, say("Rises are shares of week 1's load, with the body where it is lifted."), "hint")
    return row + 3


def _is_decided(line: Line) -> bool:
    return line.decided and not line.deload


def _fill(
    sheet: Sheet, row: int, first: LinePlace, then: LinePlace, last: int, workings: Workings, tables: Tables
) -> None:
    start, end, stepped = (Cell(sheet.name, row, column) for column in (_START, _THEN, _STEPPED))
    for place, cell in ((first, start), (then, end)):
        stands: dict[str, Reference] = {"planned": workings.cell(place.line, "planned")}
        stands["lifted"] = place.top_run("lifted") or ""
        sheet.formula(row, cell.column, outlook.as_it_stands, stands, "number")
    risen: dict[str, Reference] = {"start": start, "body_load": workings.cell(first.line, "body_load")}
    sheet.formula(row, _THEN + 1, outlook.rise, {**risen, "end": end}, "percent")
    judged: dict[str, Reference] = {"start": start, "end": end}
    judged["holding_pain"] = workings.cell(then.line, "holding_pain")
    if first.line.progress != "load":  # nobody takes a step a week there: what it would come to is no news
        for column in (_STEPPED, _STEPPED + 1):
            sheet.put(row, column, None, "number")
        _judge(sheet, row, outlook.without_steps, judged | {"instead": say(_WITHOUT_STEPS[first.line.progress])})
        return
    loads = tables.ladders[first.line.exercise.implement]
    sheet.formula(row, _STEPPED, outlook.step_a_week, {"start": start, "steps": last - 1, "loads": loads}, "number")
    sheet.formula(row, _STEPPED + 1, outlook.rise, {**risen, "end": stepped}, "percent")
    _judge(sheet, row, outlook.remark, judged | {"stepped": stepped, "steps": last - 1})


def _judge(sheet: Sheet, row: int, definition: Definition, names: Mapping[str, Reference]) -> None:
    sheet.across(row, _JUDGED, _END, None, "set")
    sheet.formula(row, _JUDGED, definition, names, "set")
