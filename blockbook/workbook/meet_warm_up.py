"""The right half of the Meet sheet: when each lift begins, and the warm-up for its opener."""

from __future__ import annotations

from collections.abc import Mapping

from blockbook.languages import say
from blockbook.sheet.book import Cell, Reference
from blockbook.spec.models import Specification
from blockbook.spec.values import KG_PER_LB
from blockbook.training import meet_day
from blockbook.training.loading import ladder, plates_for
from blockbook.workbook.meet_cells import MEET, RIGHT_END, RIGHT_HALF, MeetCells


def add_warm_up(cells: MeetCells, row: int, spec: Specification, openers: Mapping[str, Cell]) -> None:
    """When each lift begins, and the way up to its opener. openers: lift -> its opener as typed, else as planned."""
    sheet = cells.sheet
    cells.heads(row, RIGHT_HALF, ("Times", "", "", "Typed", "Used; a guess if not typed"))
    asked = {}
    for offset, (name, label) in enumerate((("lifters", "Lifters in the flight"), ("place", "Your place in order"),
                                            ("minutes", "Minutes an attempt")), start=1):  # fmt: skip
        sheet.across(row + offset, RIGHT_HALF, RIGHT_HALF + 2, say(label), "set")
        asked[name] = cells.typed(row + offset, RIGHT_HALF + 3, f"meet.{name}", "typed number")
        sheet.put(row + offset, RIGHT_END, None, "set")
    before: Reference = ""
    loads = cells.loads(ladder("barbell", spec.equipment))
    per_kg = 1 / KG_PER_LB if spec.block.unit == "lb" else 1
    for offset, (lift, opener) in enumerate(openers.items(), start=4):
        begins = say("{lift}: first lifter's opener", lift=say(lift.capitalize()))
        sheet.across(row + offset, RIGHT_HALF, RIGHT_HALF + 2, begins, "set")
        typed = cells.typed(row + offset, RIGHT_HALF + 3, f"meet.start.{lift}", "typed clock")
        starts = sheet.formula(row + offset, RIGHT_END, meet_day.start_of_lift, {
            "typed": typed, "before": before, "lifters": asked["lifters"], "minutes": asked["minutes"],
        }, "clock")  # fmt: skip
        before = starts
        top = row + 8 + 8 * (offset - 4)
        heads = (lift.capitalize(), "Before", spec.block.unit, "Reps", "Warm-up: each side")
        cells.heads(top, RIGHT_HALF, heads)
        for step, (share, reps, minutes) in enumerate((*meet_day.WARM_UP, (None, None, 0)), start=1):
            at = top + step
            sheet.formula(at, RIGHT_HALF, meet_day.clock, {
                "start": starts, "place": asked["place"], "minutes": asked["minutes"], "before": minutes,
            }, "clock")  # fmt: skip
            sheet.put(at, RIGHT_HALF + 1, say("{minutes} min", minutes=minutes) if minutes else "", "number")
            if share is None:
                shown: dict[str, Reference] = {"opener": opener, "per_kg": per_kg}
                sheet.formula(at, RIGHT_HALF + 2, meet_day.opener_load, shown, "target")
                sheet.put(at, RIGHT_HALF + 3, 1, "number")
                sheet.formula(at, RIGHT_END, meet_day.opener_said, {"opener": opener}, "set")
                continue
            load = sheet.formula(at, RIGHT_HALF + 2, meet_day.warm_up_load, {
                "opener": opener, "share": share, "per_kg": per_kg, "loads": loads,
            }, "number")  # fmt: skip
            sheet.put(at, RIGHT_HALF + 3, reps, "number")
            sheet.formula(at, RIGHT_END, plates_for, {"load": load, "loads": loads}, "set")
    first = Cell(MEET, row + 4, RIGHT_END)
    for column, (label, hours) in enumerate((("Weigh-in from", 2.0), ("to", 0.5))):
        sheet.put(1 + column, RIGHT_HALF, say(label), "soft")
        sheet.formula(1 + column, RIGHT_HALF + 1, meet_day.hours_before, {"start": first, "hours": hours}, "clock")
    sheet.across(1, RIGHT_HALF + 2, RIGHT_END, say("usual: two hours to half an hour before the start;"), "hint")
    sheet.across(2, RIGHT_HALF + 2, RIGHT_END, say("the meet's own time-table decides"), "hint")
