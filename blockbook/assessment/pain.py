"""Where something hurts, and what trains the same: nothing is raised there."""

from __future__ import annotations

from collections.abc import Sequence

from blockbook.intake.log import BlockLog
from blockbook.spec.catalogue import Exercise
from blockbook.training.pain import close_relatives, of_its_own
from blockbook.training.prescription import Line


def near(exercise: Exercise, painful: Sequence[Exercise]) -> str:
    """Name of a painful exercise that this one is, elsewhere in the week, or is a close relative of; "" for none."""
    return next((each.name for each in painful if close_relatives(exercise, each)), "")


def noted(log: BlockLog, line: Line) -> bool:
    """Whether pain was noted of an exercise in its session, by its letter or of the session as a whole.

    What asks for a physician is no exercise's own pain.
    """
    cells = log.workbook.workings.row(line)
    return of_its_own.value(*(log.calculation.value(cells[name]) for name in of_its_own.names)) == 1


def named(log: BlockLog, line: Line) -> bool:
    """Whether the letters of a session's pain name an exercise."""
    return bool(log.calculation.number(log.workbook.workings.cell(line, "named")))


def in_its_place(log: BlockLog) -> dict[str, tuple[str, ...]]:
    """What was done in place of an exercise on days on which pain was noted of it: names, by the slot's key."""
    instead = {(s.week, f"{s.session}.{s.slot}"): s.instead for s in log.sets if s.instead}
    found: dict[str, tuple[str, ...]] = {}
    for line in (place.line for session in log.workbook.sessions for place in session.lines):
        name = instead.get((line.week, line.slot_key))
        if name and noted(log, line):
            found[line.slot_key] = tuple(dict.fromkeys((*found.get(line.slot_key, ()), name)))
    return found


def unnamed(log: BlockLog) -> list[str]:
    """Sessions whose pain names no exercise, so that all their exercises are held: "Lower, week 2"."""
    lines = {place.session.key: [line.line for line in place.lines] for place in log.workbook.sessions}
    return [
        f"{session.name}, week {session.week}"
        for session in log.sessions
        if session.reports_pain
        and not any(named(log, line) for line in lines[session.key])
        and any(noted(log, line) for line in lines[session.key])
    ]
