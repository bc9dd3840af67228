"""A table on the Summary sheet: the block's end in sight, exercise by exercise."""

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

_COLUMNS = ("Week {week}", "Step a week", "Rise", "Likely", "Rise")


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
    sheet.put(row, 0, say("The block's end in sight: week {week}", week=last), "heading left")
    for column, heading in enumerate(_COLUMNS, start=1):
        sheet.put(row, column, say(heading, week=1), "heading")
    often = Counter(first.exercise.name for first, _, _ in pairs)
    for first, then, session in pairs:
        row += 1
        name = shown_name(first.exercise)
        name = name[0].upper() + name[1:]
        sheet.put(row, 0, f"{name}, {session}" if often[first.exercise.name] > 1 else name, "set")
        _fill(sheet, row, first, then, last, workings, tables)
    return row + 2


def _fill(sheet: Sheet, row: int, first: Line, then: Line, last: int, workings: Workings, tables: Tables) -> None:
    start, stepped, likely = (Cell(sheet.name, row, column) for column in (1, 2, 4))
    loads = tables.ladders[first.exercise.implement]
    begun: dict[str, Reference] = {name: workings.cell(first, column)
                                   for name, column in (("logged", "logged_load"), ("planned", "planned"))}  # fmt: skip
    sheet.formula(row, 1, outlook.begun_with, begun, "number")
    sheet.formula(row, 2, outlook.step_a_week, {"start": start, "steps": last - 1, "loads": loads}, "number")
    risen: dict[str, Reference] = {"start": start, "body_load": workings.cell(first, "body_load")}
    sheet.formula(row, 3, outlook.rise, {**risen, "end": stepped}, "percent")
    names: dict[str, Reference] = {
        **tables.policy, "curve": tables.curve, "loads": loads, "weeks_before": last - 1,
        **{name: workings.cell(then, name) for name in ("prior", "exposures", "reps", "rpe", "body_load")},
    }  # fmt: skip
    sheet.formula(row, 4, outlook.likely_load, {name: names[name] for name in outlook.likely_load.names}, "number")
    sheet.formula(row, 5, outlook.rise, {**risen, "end": likely}, "percent")
    judged: dict[str, Reference] = {"start": start, "stepped": stepped, "likely": likely, "steps": last - 1}
    sheet.formula(row, 6, outlook.remark, judged, "set")
