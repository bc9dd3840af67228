"""The Meet sheet inside a block that ends in a meet: its attempts follow what the log says so far."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain

from blockbook.errors import BlockbookError
from blockbook.formula.functions import Scalar
from blockbook.sheet.book import Book, Cell
from blockbook.spec.catalogue import Exercise
from blockbook.spec.models import Specification
from blockbook.spec.values import KG_PER_LB
from blockbook.training.meet_day import believed_fresh
from blockbook.training.meet_numbers import LIFTS, believed, plans_of
from blockbook.training.pain import close_relatives
from blockbook.training.prescription import Line, exercises_above
from blockbook.workbook.layout import SessionPlace
from blockbook.workbook.meet import Live, Pain, add_meet
from blockbook.workbook.steps import Workings
from blockbook.workbook.tables import Tables


def has_meet_sheet(spec: Specification) -> bool:
    """Whether the block ends in a meet whose attempts can be planned: in its last week, or within a week after it.

    A lift that nothing is known of, or so little that no opener is sure enough, leaves the sheet out.
    """
    if not spec.block.ends_in_meet:
        return False
    try:
        plans_of(believed(spec))
    except BlockbookError:
        return False
    return True


def add_meet_to_block(
    book: Book,
    spec: Specification,
    weeks: Sequence[Sequence[SessionPlace]],
    workings: Workings,
    tables: Tables,
) -> dict[str, Scalar]:
    """Add the sheets, live; returns what is typed in already (input name -> value)."""
    to_kg = KG_PER_LB if spec.block.unit == "lb" else 1
    lines = list(chain.from_iterable(place.session.lines for place in weeks[-1]))
    live = {}
    for lift, name in LIFTS.items():
        if (line := _line_of(lines, name)) is not None:
            live[lift] = Live(believed_fresh, {
                "capacity": workings.cell(line, "capacity"), "exercises_above": exercises_above(line),
                "depth_loss": tables.policy["depth_loss"], "to_kg": to_kg,
            })  # fmt: skip
    alarm = workings.cell(lines[-1], "alarm_open")
    pains = {lift: _pain(spec.exercise(name), lines, workings, alarm) for lift, name in LIFTS.items()}
    return add_meet(book, spec, live=live, pains=pains)


def _pain(lift: Exercise, lines: Sequence[Line], workings: Workings, alarm: Cell) -> Pain:
    """What was last heard of a lift and its close relatives, each in its row of the last week.

    alarm: what was last heard that asks for a physician.
    """
    own = [line for line in lines if line.exercise.name == lift.name]
    near = [line for line in lines if line not in own and close_relatives(lift, line.exercise)]
    heard = [tuple(workings.cell(line, "pain_after") for line in found) for found in (own, near)]
    held = tuple(workings.cell(line, "held_after") for line in own if line.slot.held_for)
    return Pain(heard[0] or 0, (*heard[1], *held) or 0, alarm)


def _line_of(lines: Sequence[Line], exercise: str) -> Line | None:
    """Where a lift is best known in the last week: where its loads are decided, else where it comes first."""
    of_lift = [line for line in lines if line.exercise.name == exercise]
    return next((line for line in of_lift if line.decided), of_lift[0] if of_lift else None)
