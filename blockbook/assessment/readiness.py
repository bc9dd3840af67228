"""The signs for a deload, taken from a log."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from statistics import fmean

from blockbook.assessment.history import LineHistory, taper_week
from blockbook.formula.functions import Scalar
from blockbook.intake.log import BlockLog, LoggedSession, LoggedSet
from blockbook.training import readiness
from blockbook.training.readiness import Sign
from blockbook.training.session_load import monotony, strain
from blockbook.workbook.layout import SESSION_INPUTS


def deload_signs(log: BlockLog, every: Sequence[LineHistory]) -> tuple[Sign, ...]:
    """The four signs of the block's working weeks. every: what the log shows, line by line."""
    policy = log.spec.next_block
    weeks = sorted({week.week for history in every for week in history.working_weeks})
    last = [session for session in log.sessions if weeks and session.week == weeks[-1]]
    loads = [_week_load(log, week) for week in weeks]
    return (
        readiness.effort_sign(weekly_over(every), log.spec.policy.on_target),
        readiness.strength_sign([h.change for h in every if h.change is not None], log.spec.policy.stall_gain, policy),
        readiness.load_sign([each for each, _ in loads], [each for _, each in loads], policy, _lacking(log, last)),
        readiness.recovery_sign(_on_scale(last, "soreness"), _on_scale(last, "sleep"), policy),
    )


def _on_scale(sessions: Sequence[LoggedSession], name: str) -> list[float]:
    """What was noted in sessions, without what no lifter can mean: 80 hours of sleep."""
    (asked,) = (asked for asked in SESSION_INPUTS if asked.name == name)
    noted = [number for session in sessions if (number := getattr(session, name)) is not None]
    return [number for number in noted if asked.can_be(number)]


def deload_reason(log: BlockLog, signs: Sequence[Sign]) -> str:
    """Why a deload comes first; "" if not, or where the block ended light."""
    if ended_light(log):
        return ""
    return readiness.deload_reason(signs, log.spec.next_block)


def ended_light(log: BlockLog) -> bool:
    """Whether the block ended with a deload or a taper: all weeks before it were begun, so the lifter came to rest."""
    weeks = log.spec.block.weeks
    return weeks in (log.spec.block.deload_week, taper_week(log)) and log.begun_weeks >= weeks - 1


def rest_said(log: BlockLog) -> str:
    """How a block that `ended_light` came to rest, in a sentence: by what was trained, or by what its plan has."""
    weeks = log.spec.block.weeks
    rest = "a deload" if weeks == log.spec.block.deload_week else "the taper"
    if log.begun_weeks == weeks:
        return f"This block ended with {rest}."
    return f"Its last week, not logged, is {rest}: it counts as rest, so none is suggested."


def weekly_over(every: Sequence[LineHistory]) -> list[float]:
    """Mean effort over target of each working week, over all exercises."""
    by_week: dict[int, list[float]] = {}
    for history in every:
        for week in history.working_weeks:
            if week.over is not None:
                by_week.setdefault(week.week, []).append(week.over)
    return [fmean(by_week[week]) for week in sorted(by_week)]


def _week_load(log: BlockLog, week: int) -> tuple[float | None, float | None]:
    """Monotony and strain of a week; None unless every session says effort and minutes."""
    sessions = [session for session in log.sessions if session.week == week]
    if any(session.load is None for session in sessions):
        return None, None
    first = log.spec.block.week_start(week)
    days = [0.0] * 7
    for session in sessions:
        days[_day(session, first)] += session.load or 0
    uniform = monotony.value(tuple(days))
    strained = strain.value(tuple(days), uniform)
    return _number(uniform), _number(strained)


def _lacking(log: BlockLog, week: Sequence[LoggedSession]) -> str:
    """What of the sessions of a week its load cannot be told without; "" where nothing is missing, or all of it."""
    trained = {each.key for each in week if any(_is_of(each, logged) for logged in log.sets)}
    said = {each.key for each in week if each.load is not None}
    missed = [each.name for each in week if each.key not in trained | said]
    unsaid = [each.name for each in week if each.key in trained - said]
    if not said:
        return ""
    pieces = [f"{' and '.join(missed)} not trained"] if missed else []
    pieces += [f"effort or minutes of {' and '.join(unsaid)} not logged"] if unsaid else []
    return f"not told from a part of week {week[0].week}: {', '.join(pieces)}"


def _is_of(session: LoggedSession, logged: LoggedSet) -> bool:
    return logged.started and (logged.week, logged.session) == (session.week, session.session)


def _number(value: Scalar) -> float | None:
    return value if isinstance(value, (int, float)) else None


def _day(session: LoggedSession, first: date) -> int:
    """Which day of the week it was, 0 to 6; a session moved out of its week counts on its planned day."""
    for day in (session.date, session.planned_date):
        if day is not None and 0 <= (day - first).days < 7:
            return (day - first).days
    return 0
