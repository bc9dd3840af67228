"""Dates, minutes and body weights of sessions that cannot be right, or only hardly."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from statistics import median

from blockbook.formula.functions import day_number
from blockbook.intake.believable.candidates import written_otherwise
from blockbook.intake.believable.strength import by_session
from blockbook.intake.findings import Finding, finding
from blockbook.intake.log import BlockLog, LoggedSession
from blockbook.languages import day_text
from blockbook.workbook.layout import session_input_key

DAYS_BEFORE = 7
"""So many days before its start nobody trains a block. Common practice, no source."""

DAYS_AFTER = 28
"""So many days after its last planned day a block is over, even with weeks missed. Common practice, no source."""

DAYS_AHEAD = 1
"""So many days after ours it may be where the lifter lives."""

NEAR_DAY = 7
"""A corrected date is likely if it comes so near, in days, to where the other sessions let expect it."""

LEAST_MINUTES = 0.75
"""Minutes that a set takes at least, the way to the bar and a short rest included. Common practice, no source."""

MOST_MINUTES = 15.0
"""Minutes that a set takes at most, warm-ups and long rests included. Common practice, no source."""

LONG_SESSION = 180.0
"""Minutes up to which a session is never called too long, however few its sets."""

WEIGHT_JUMP = 0.04
"""Share by which body weight is off that of the sessions around it. Common practice: 1-2 % a day, no source."""

AROUND = 2
"""Sessions before and after that body weight is compared with, each."""


def dates_inside_block(log: BlockLog) -> Iterator[Finding]:
    """A date lies between a week before the block's start and four weeks after its last planned day."""
    for session in log.sessions:
        if session.date and not _inside(log, session.date):
            message = f"Week {session.week}, {session.name}: {day_text(session.date)} is outside the block."
            yield _of_date(log, session, "date-outside-block", message)


def dates_not_to_come(log: BlockLog) -> Iterator[Finding]:
    """No session was done after the day on which the log is read; where all were, that is told once."""
    inside = [(each, each.date) for each in log.sessions if each.date and _inside(log, each.date)]
    ahead = [(session, day) for session, day in inside if not _has_come(log, day)]
    if not ahead or log.read_on is None:
        return
    today = f"today is {day_text(log.read_on)}"
    if len(ahead) == len(inside) > 1:
        message = f"All dates lie ahead: the first is {day_text(min(day for _, day in ahead))}, and {today}."
        yield finding("date-to-come", f"{message} Is the clock of this computer right?", ahead[0][0].sheet)
        return
    for session, day in ahead:
        message = f"Week {session.week}, {session.name}: {day_text(day)} lies ahead: {today}."
        yield _of_date(log, session, "date-to-come", message)


def dates_in_order(log: BlockLog) -> Iterator[Finding]:
    """No session was done before one of an earlier week; the date that clashes with most others is told."""
    left = _dated(log)
    while clashes := {s.key: sum(_clash(s, other) for other in left) for s in left}:
        usual = _usual_delay(left)
        worst = max(left, key=lambda s: (clashes[s.key], abs(_delay(s) - usual)))
        if not clashes[worst.key]:
            return
        assert worst.date
        message = (
            f"Week {worst.week}, {worst.name}: {day_text(worst.date)} is not in order with "
            f"{clashes[worst.key]} session{'s' if clashes[worst.key] > 1 else ''} of other weeks."
        )
        yield _of_date(log, worst, "date-out-of-order", message)
        left = [session for session in left if session.key != worst.key]


def one_session_a_day(log: BlockLog) -> Iterator[Finding]:
    """Two sessions of different planned days do not have the same date."""
    seen: dict[date, LoggedSession] = {}
    for session in _dated(log):
        assert session.date
        first = seen.setdefault(session.date, session)
        if first is not session and first.planned_date != session.planned_date:
            message = (
                f"Week {session.week}, {session.name}: done on {day_text(session.date)}, as was "
                f"week {first.week}, {first.name}."
            )
            yield _of_date(log, session, "sessions-same-day", message)


def minutes_possible(log: BlockLog) -> Iterator[Finding]:
    """A set takes three quarters of a minute at least, and 15 minutes at most in sessions above three hours."""
    sessions = by_session(log.sets)
    for session in log.sessions:
        done = sum(logged.done for logged in sessions.get(session.key, ()))
        minutes = session.minutes
        if minutes is None or not 1 <= minutes <= 600 or not done:
            continue
        least, most = LEAST_MINUTES * done, max(LONG_SESSION, MOST_MINUTES * done)
        if least <= minutes <= most:
            continue
        message = f"Week {session.week}, {session.name}: {minutes:g} minutes for {done} sets."
        hours = 60 * minutes
        likely = {session_input_key(session.key, "minutes"): hours} if minutes <= 3 and least <= hours <= most else {}
        cell = session.cells.get("minutes", "")
        yield finding("minutes-impossible", message, session.sheet, cell, f"{minutes:.15g}", likely)


def body_weight_jumps(log: BlockLog) -> Iterator[Finding]:
    """Body weight within 4 % of the median of the two sessions before and after."""
    known = log.spec.lifter.body_weight
    weighed = [(s, s.body_weight) for s in log.sessions if s.body_weight and 0.8 <= s.body_weight / known <= 1.2]
    for i, (session, weight) in enumerate(weighed):
        around = [other for _, other in (*weighed[max(0, i - AROUND) : i], *weighed[i + 1 : i + 1 + AROUND])]
        if len(around) < AROUND:
            continue
        usual = median(around)
        if abs(weight / usual - 1) <= WEIGHT_JUMP:
            continue
        message = (
            f"Week {session.week}, {session.name}: body weight {weight:g} {log.spec.block.unit}, "
            f"about {usual:g} in the sessions around it."
        )
        meant = [value for value in written_otherwise(weight) if abs(value / usual - 1) <= WEIGHT_JUMP / 2]
        likely = {session_input_key(session.key, "body_weight"): meant[0]} if len(meant) == 1 else {}
        cell = session.cells.get("body_weight", "")
        yield finding("body-weight-jumps", message, session.sheet, cell, f"{weight:.15g}", likely)


def _inside(log: BlockLog, day: date) -> bool:
    last = max(session.planned_date for session in log.sessions)
    return log.spec.block.start - timedelta(DAYS_BEFORE) <= day <= last + timedelta(DAYS_AFTER)


def _has_come(log: BlockLog, day: date) -> bool:
    return log.read_on is None or day <= log.read_on + timedelta(DAYS_AHEAD)


def _possible(log: BlockLog, day: date) -> bool:
    return _inside(log, day) and _has_come(log, day)


def _dated(log: BlockLog) -> list[LoggedSession]:
    """Sessions with a date that may be right, as they were planned."""
    possible = [session for session in log.sessions if session.date and _possible(log, session.date)]
    return sorted(possible, key=lambda session: (session.week, session.planned_date))


def _clash(one: LoggedSession, other: LoggedSession) -> bool:
    assert one.date
    assert other.date
    return (one.week < other.week and one.date > other.date) or (one.week > other.week and one.date < other.date)


def _delay(session: LoggedSession) -> int:
    assert session.date
    return (session.date - session.planned_date).days


def _usual_delay(sessions: Sequence[LoggedSession]) -> float:
    return median([_delay(session) for session in sessions]) if sessions else 0


def _of_date(log: BlockLog, session: LoggedSession, code: str, message: str) -> Finding:
    assert session.date
    others = [other for other in _dated(log) if other.key != session.key]
    expected = session.planned_date + timedelta(_usual_delay(others))
    meant = [
        day
        for day in _dates_meant(session.date)
        if abs((day - expected).days) <= NEAR_DAY and _has_come(log, day) and all(day != other.date for other in others)
    ]
    nearest = min(meant, key=lambda day: abs(day - expected), default=None)
    likely: dict[str, float | None] = {}
    if nearest:
        likely[session_input_key(session.key, "date")] = day_number(nearest)
        message += f" Perhaps {day_text(nearest)}?"
    return finding(code, message, session.sheet, session.cells.get("date", ""), session.date.isoformat(), likely)


def _dates_meant(day: date) -> Iterator[date]:
    """Day and month turned round, another month or another year."""
    turned = [(day.year, day.day, day.month)]
    months = [(day.year, month, day.day) for month in (day.month - 1, day.month + 1)]
    years = [(day.year + years, day.month, day.day) for years in (-1, 1)]
    for year, month, number in (*turned, *months, *years):
        try:
            yield date(year, month, number)
        except ValueError:  # no 13th month, no 31 April
            continue
