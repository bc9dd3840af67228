"""The workbooks of ours that are no block that came back: what each is, and which command takes it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from blockbook.intake.found import as_text
from blockbook.intake.meet_sheet import is_meet_sheet
from blockbook.intake.opening import Grid
from blockbook.intake.sent import is_review, manifest_column
from blockbook.languages import LANGUAGE_NAMES, speaking

PLAN_KEY = "slot.exercise"
"""The hidden key above the exercises of a plan."""

OVERVIEW_HEADINGS = ("Accept?", "Routine", "Key")
REHEARSAL = "Rehearsal: what the plan asks for"
"""How the first title of a rehearsal begins."""

Grids = Mapping[str, Grid]


def is_plan(grids: Grids) -> bool:
    """Whether a workbook is one of ours with a plan in it."""
    return any(PLAN_KEY in row for grid in grids.values() for row in grid[:40])


def _is_overview(grids: Grids) -> bool:
    return any(set(OVERVIEW_HEADINGS) <= set(map(as_text, row)) for grid in grids.values() for row in grid[:50])


def _is_rehearsal(grids: Grids) -> bool:
    return any(as_text(row[0]).startswith(REHEARSAL) for grid in grids.values() for row in grid[:1] if row)


def _is_meet(grids: Grids) -> bool:
    for language in LANGUAGE_NAMES:
        with speaking(language):
            if any(map(is_meet_sheet, grids.values())):
                return True
    return False


_KINDS: tuple[tuple[Callable[[Grids], bool], str], ...] = (
    (
        lambda grids: manifest_column(grids) is not None,
        "this is a lifter's workbook. `blockbook read`, `review` and `next` take it once it came back.",
    ),
    (
        is_review,
        "this is a review workbook: give it to `blockbook next RETURNED --review`, beside the workbook it reviews.",
    ),
    (
        is_plan,
        "this is a plan workbook, a block to be built: `blockbook build` takes it.",
    ),
    (_is_overview, "this is an overview. In its practice `blockbook next` follows the marks in it."),
    (_is_rehearsal, "this is a rehearsal: it is only to be looked at."),
    (
        _is_meet,
        "this is the sheet for a meet's day, written by `blockbook meet`: it is not read.",
    ),
)


def what_it_is(grids: Grids) -> str:
    """What a workbook of ours is and which command takes it, in a sentence or two; "" for any other workbook."""
    return next((said for is_it, said in _KINDS if is_it(grids)), "")
