"""The Tables sheet: policy numbers, the rep curve, and every load the lifter can make."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blockbook.languages import say
from blockbook.sheet.book import Book, Cell, Run, Sheet, Table
from blockbook.spec.catalogue import Implement
from blockbook.spec.models import Specification
from blockbook.spec.policy import Policy
from blockbook.training.effort import percent_of_max
from blockbook.training.loading import ladder, looked_up
from blockbook.workbook.layout import TABLES

_IMPLEMENT_HEADINGS: dict[Implement, str] = {
    "barbell": "Bar and plates",
    "dumbbell": "Dumbbell, per hand",
    "stack": "Stack",
    "bodyweight": "Added weight",
}
CURVE_REPS = 20
EFFORTS = (1, 2, 3, 4, *(5 + half / 2 for half in range(11)))


@dataclass(frozen=True)
class Tables:
    """Where the numbers stand that formulas on other sheets point to."""

    policy: dict[str, Cell]
    curve: Cell
    efforts: Run
    ladders: dict[Implement, Table]
    """Each implement's loads, as `loading.looked_up` has them; the plates per side for the bar only."""


def add_tables(book: Book, spec: Specification) -> Tables:
    sheet = book.add(TABLES)
    sheet.title(say("Tables: the numbers behind the loads"), 6)
    sheet.widths = {0: 78, 1: 9, 2: 3, 3: 8, 4: 9, 5: 3, 6: 8, 7: 3}
    sheet.put(1, 0, say("Load decision (common practice unless a source is named)"), "heading left")
    sheet.put(1, 1, say("Number"), "heading")
    policy: dict[str, Cell] = {}
    row = 2
    for name, field in Policy.model_fields.items():
        sheet.put(row, 0, say(field.description or name), "set")
        policy[name] = sheet.put(row, 1, getattr(spec.policy, name), "number")
        row += 1
    text = "The lifter's rep curve: 1 is the standard one (Brzycki up to 10 reps, Epley beyond)"
    sheet.put(row, 0, say(text), "set")
    curve = sheet.put(row, 1, spec.lifter.curve, "number")

    sheet.put(1, 3, say("Reps to failure"), "heading")
    sheet.put(1, 4, say("Share of 1RM"), "heading")
    for reps in range(1, CURVE_REPS + 1):
        cell = sheet.put(1 + reps, 3, reps, "number")
        sheet.formula(1 + reps, 4, percent_of_max, {"reps": cell, "curve": curve}, "percent")

    typed_as = "Reps left" if spec.block.in_reserve else "Effort"
    sheet.put(1, 6, say(typed_as), "heading")
    for position, typed in enumerate(sorted(spec.block.as_typed(effort) for effort in EFFORTS)):
        sheet.put(2 + position, 6, typed, "number")
    efforts = Run(TABLES, 2, 1 + len(EFFORTS), 6)
    sheet.frozen = (2, 0)
    sheet.heights[1] = 30
    sheet.printed_to = (row, 6)  # the loads that can be made are on the sheet Plates as well
    return Tables(policy, curve, efforts, _add_ladders(book, spec, 8))


def _add_ladders(book: Book, spec: Specification, column: int) -> dict[Implement, Table]:
    sheet = book.sheets[TABLES]
    ladders: dict[Implement, Table] = {}
    for implement, heading in _IMPLEMENT_HEADINGS.items():
        rungs = ladder(implement, spec.equipment)
        if not rungs:
            continue
        *numbers, sides = looked_up(rungs)
        first, last_row = column, 1 + len(sides)
        for title, values in zip(("From", heading, "Next above"), numbers, strict=True):
            column = _add_column(sheet, column, title, values, "from number", 10)
        if implement == "barbell":
            column = _add_column(sheet, column, "On each side", sides, "set", 26)
        ladders[implement] = Table(TABLES, 2, last_row, first, column - 1)
    return ladders


def _add_column(
    sheet: Sheet, column: int, heading: str, values: Sequence[float | str], style: str, width: float
) -> int:
    """Write a column; the one after it."""
    sheet.put(1, column, say(heading), "heading")
    for row, value in enumerate(values, start=2):
        sheet.put(row, column, value, style)
    sheet.widths[column] = width
    return column + 1
