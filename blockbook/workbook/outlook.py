"""A table on the Summary sheet: looking ahead to the block's last week, exercise by exercise."""

from __future__ import annotations

from collections import Counter

from blockbook.languages import say
from blockbook.sheet.book import Cell, Reference, Sheet
from blockbook.spec.catalogue import shown_name
from blockbook.spec.models import Specification
from blockbook.training import outlook
from blockbook.training.prescription import Line
from blockbook.workbook.layout import SessionPlace
from blockbook.workbook.steps import Workings
from blockbook.workbook.tables import Tables

_START, _LIKELY, _STEPPED, _JUDGED, _END = 1, 2, 4, 6, 8
"""What is likely stands where a phone shows it without scrolling. Behind it and a step a week stands the rise."""


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
    pairs = [
        (first, then, end.session.name)
        for begin, end in zip(weeks[0], weeks[last - 1], strict=True)
        for first, then in zip(begin.session.lines, end.session.lines, strict=True)
        if first.decided and then.decided and not then.deload
    ]
    if last < 2 or not pairs:
        return row
    title = say("Looking ahead to week {week}, {unit}", week=last, unit=spec.block.unit)
    sheet.put(row, 0, title, "heading left")
    likely = say("Week {week}, likely", week=last)
    headings = (say("Week {week}", week=1), likely, say("Rise"), say("A step a week"), say("Rise"))
    for column, heading in enumerate(headings, start=_START):
        sheet.put(row, column, heading, "heading")
    sheet.across(row, _JUDGED, _END, say("A step every week is"), "heading left")
    sheet.heights[row] = 30
    often = Counter(first.exercise.name for first, _, _ in pairs)
    for first, then, session in pairs:
        row += 1
        name = shown_name(first.exercise)
        name = name[0].upper() + name[1:]
        sheet.put(row, 0, f"{name}, {session}" if often[first.exercise.name] > 1 else name, "set")
        _fill(sheet, row, first, then, last, workings, tables)
    return row + 2


def _fill(sheet: Sheet, row: int, first: Line, then: Line, last: int, workings: Workings, tables: Tables) -> None:
    start, stepped, likely = (Cell(sheet.name, row, column) for column in (_START, _STEPPED, _LIKELY))
    loads = tables.ladders[first.exercise.implement]
    begun: dict[str, Reference] = {name: workings.cell(first, column)
                                   for name, column in (("logged", "logged_load"), ("planned", "planned"))}  # fmt: skip
    sheet.formula(row, _START, outlook.begun_with, begun, "number")
    sheet.formula(row, _STEPPED, outlook.step_a_week, {"start": start, "steps": last - 1, "loads": loads}, "number")
    risen: dict[str, Reference] = {"start": start, "body_load": workings.cell(first, "body_load")}
    sheet.formula(row, _STEPPED + 1, outlook.rise, {**risen, "end": stepped}, "percent")
    names: dict[str, Reference] = {
        **tables.policy, "curve": tables.curve, "loads": loads, "weeks_before": last - 1,
        **{name: workings.cell(then, name) for name in ("prior", "exposures", "reps", "rpe", "body_load")},
    }  # fmt: skip
    sheet.formula(
        row, _LIKELY, outlook.likely_load, {name: names[name] for name in outlook.likely_load.names}, "number"
    )
    sheet.formula(row, _LIKELY + 1, outlook.rise, {**risen, "end": likely}, "percent")
    judged: dict[str, Reference] = {"start": start, "stepped": stepped, "likely": likely, "steps": last - 1}
    sheet.across(row, _JUDGED, _END, None, "set")
    sheet.formula(row, _JUDGED, outlook.remark, judged, "set")
