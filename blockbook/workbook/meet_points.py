"""The part of the Meet sheet for the weigh-in: body weight and class, points, kg and lb."""

from __future__ import annotations

from blockbook.languages import say
from blockbook.sheet.book import Cell, Reference
from blockbook.training import meet_day
from blockbook.training.points import DOTS, IPF_GL, columns, dots, dots_row, ipf_gl, ipf_gl_row
from blockbook.workbook.meet_cells import LEFT_END, MeetCells


def add_weigh_in(cells: MeetCells, row: int, expected: float, so_far: Cell, planned: Cell) -> None:
    """Body weight and class, points of the totals so far and as planned, and kg in lb and back: seven rows.

    expected: the body weight that the block was planned with, in kg.
    """
    sheet = cells.sheet
    cells.heads(row, 0, ("Weigh-in", "Body", "Class", "", "", ""))
    sheet.put(row + 1, 0, "kg", "set label")
    body = cells.typed(row + 1, 1, "meet.body_weight", "typed number")
    limit = cells.typed(row + 1, 2, "meet.class", "typed number")
    sheet.across(row + 1, 3, LEFT_END, None, "set")
    names: dict[str, Reference] = {"typed": body, "planned": expected}
    meant = cells.worked("Body weight", [(meet_day.body_weight_meant, names)]).cells()[0]
    sheet.formula(row + 1, 3, meet_day.weigh_in_said, {**names, "meant": meant, "limit": limit}, "set")
    cells.heads(row + 2, 0, ("Points", "IPF GL", "DOTS", "Sex", "Gear", "Event"))
    choices = {"sex": ("female", "male"), "equipment": ("classic", "equipped"), "event": ("full", "bench")}
    asked = {}
    for column, (name, options) in enumerate(choices.items(), start=3):
        asked[name] = cells.typed(row + 3, column, f"meet.{name}", "typed word of a list")
        cells.offer((asked[name],), tuple(map(say, options)))
        sheet.put(row + 4, column, None, "set")
    rows: dict[str, Reference] = {
        "gl": cells.worked("IPF GL row", [(ipf_gl_row, dict(asked))]).cells()[0],
        "dots": cells.worked("DOTS row", [(dots_row, {"sex": asked["sex"]})]).cells()[0],
    }
    gl = {name: cells.column(f"IPF GL {name}", values) for name, values in columns(IPF_GL).items()}
    dot = {name: cells.column(f"DOTS {name}", values) for name, values in columns(DOTS).items()}
    for offset, (label, total) in enumerate((("So far", so_far), ("Planned", planned)), start=3):
        sheet.put(row + offset, 0, say(label), "set label")
        same: dict[str, Reference] = {"body_weight": meant, "total": total}
        sheet.formula(row + offset, 1, ipf_gl, {**same, "row": rows["gl"], **gl}, "two places")
        sheet.formula(row + offset, 2, dots, {**same, "row": rows["dots"], **dot}, "two places")
    cells.heads(row + 5, 0, ("kg and lb", "kg", "in lb", "", "lb", "in kg"))
    for column, name, made in ((1, "kg", meet_day.in_pounds), (4, "lb", meet_day.in_kilograms)):
        typed = cells.typed(row + 6, column, f"meet.convert.{name}", "typed number")
        sheet.formula(row + 6, column + 1, made, {made.names[0]: typed}, "one place")
