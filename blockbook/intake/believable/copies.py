"""Logs that were copied, not lifted."""

from __future__ import annotations

from collections.abc import Iterator

from blockbook.intake.believable.strength import by_session, session_of, typed
from blockbook.intake.findings import Finding, finding
from blockbook.intake.log import BlockLog, LoggedSet

COPIED_SETS = 30
"""So many sets exactly as asked, effort included, are nobody's log. Common practice, no source."""

COPIED_SESSIONS = 4
"""And they are of at least so many sessions."""

COPIED_SHARE = 0.9
"""Share of the sets with a target effort that are exactly as asked. A simulated lifter comes to a third. Tuned."""

REPEATED_SETS = 6
"""A session that repeats so many sets of the last week to the effort was copied. Tuned."""

ASKED_OTHERWISE = 0.25
"""And the sheet asked for something else in at least this share of them. Tuned."""


def copied_plan(log: BlockLog) -> Iterator[Finding]:
    """Load, reps and effort as asked in nearly every set, over several sessions: nobody is that exact."""
    judged = [s for s in log.sets if s.started and s.target_rpe is not None and s.kind != "feeler"]
    exact = [s for s in judged if _as_asked(s)]
    sessions = {session_of(logged) for logged in exact}
    if len(exact) >= COPIED_SETS and len(sessions) >= COPIED_SESSIONS and len(exact) >= COPIED_SHARE * len(judged):
        message = (
            f"{len(exact)} of {len(judged)} sets are exactly as asked, load, reps and effort. Nobody is that exact: "
            "was the plan copied?"
        )
        yield finding("plan-copied", message)


def _as_asked(logged: LoggedSet) -> bool:
    as_loaded = logged.target_load is None or logged.load == logged.target_load
    return as_loaded and logged.reps == logged.target_reps and logged.rpe == logged.target_rpe


def copied_last_week(log: BlockLog) -> Iterator[Finding]:
    """A session equal to the same session a week before, effort included, though other things were asked."""
    sessions = by_session(log.sets)
    for key, sets in sessions.items():
        before = {_place(s): s for s in sessions.get(f"w{sets[0].week - 1}.{sets[0].session}", ())}
        pairs = [(before[_place(s)], s) for s in sets if s.started and _place(s) in before]
        with_effort = [(old, new) for old, new in pairs if new.rpe is not None]
        if len(with_effort) < REPEATED_SETS or any(typed(old) != typed(new) for old, new in pairs):
            continue
        changed = sum(_asked(old) != _asked(new) for old, new in pairs)
        if changed >= ASKED_OTHERWISE * len(pairs):
            name = next((session.name for session in log.sessions if session.key == key), key)
            message = (
                f"Week {sets[0].week}, {name}: all {len(pairs)} sets are those of the week before, to the effort, "
                f"though {changed} were asked otherwise. Were they copied?"
            )
            first = pairs[0][1]
            yield finding("last-week-copied", message, first.sheet, first.cells.get("load", ""))


def _place(logged: LoggedSet) -> tuple[str, int]:
    return logged.slot, logged.set


def _asked(logged: LoggedSet) -> tuple[float | None, ...]:
    return logged.target_load, logged.target_reps, logged.target_rpe
