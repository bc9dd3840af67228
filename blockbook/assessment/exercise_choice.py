"""Which exercises stay, which are varied and which replaced, and by what (common practice, no source)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import fmean, median
from typing import NamedTuple

from blockbook.assessment.history import LineHistory
from blockbook.assessment.outlook import Ahead, Choice, Kept
from blockbook.assessment.trend import Trend
from blockbook.assessment.weekly_sets import muscle_share
from blockbook.intake.how_far import so_far
from blockbook.intake.log import BlockLog
from blockbook.spec.catalogue import Exercise
from blockbook.spec.models import Specification
from blockbook.training.effort import load_for
from blockbook.training.loading import ladder
from blockbook.training.maximum import start_maximum
from blockbook.training.pain import close_relatives
from blockbook.training.prescription import Line

MOST_OFFERED = 5
"""So many exercises are offered in the place of one at most."""

_VARIATION = 0.5
"""A variation trains at least this much of the same as what it stands for."""


_ENOUGH_SHORT = 2
"""Sessions in which sets of an exercise were left out, before it is said to be: one may have been cut short."""


@dataclass(frozen=True)
class Case:
    """All that speaks for or against one exercise. hurt_before: pain in the block before too."""

    history: LineHistory
    ahead: Ahead
    trend: Trend
    hurt_before: bool
    deload_first: bool
    painful: tuple[Exercise, ...]


class _Reason(NamedTuple):
    """Why an exercise would stay or go. quicker: what takes its place is set up quicker than a bar."""

    kind: Kept
    text: str = ""
    quicker: bool = False


def choose(log: BlockLog, case: Case, taken: Sequence[str]) -> Choice:
    """Kept, varied or replaced. taken: names in use by the next block so far, in lower case.

    A main lift, one that others are related to, is never changed by itself: a meet asks for it.
    """
    line = case.history.line
    exercise = line.exercise
    others = list(_candidates(log.spec, line, case, taken))
    options = tuple(other.name for other in others[:MOST_OFFERED])
    if case.ahead.alarm:
        return Choice("kept", exercise.name)
    kept = Choice("kept", exercise.name, "", options)
    reason = _reason(log, case)
    kind, why = reason.kind, reason.text
    if kind == "kept":
        return kept
    if is_main_lift(log.spec, exercise):
        return Choice("kept", exercise.name, f"{why} It is a main lift and stays.", options)
    fitting = others if case.ahead.hurts else _best_first(reason, others, line)
    if not fitting:
        return Choice("kept", exercise.name, f"{why} Nothing else fits, so it stays: choose one.", options)
    name = fitting[0].name
    return Choice(kind, name, why, tuple(dict.fromkeys((name, *options)))[:MOST_OFFERED])


def is_main_lift(spec: Specification, exercise: Exercise) -> bool:
    """Whether other exercises are guessed from it: back squat, bench press, deadlift, overhead press."""
    return any((other.related or "").casefold() == exercise.name.casefold() for other in spec.catalogue.values())


def overran(log: BlockLog, line: Line) -> float | None:
    """The session's usual minutes where they are over what it may take and this is its last exercise; else None."""
    most = log.spec.next_block.session_minutes
    minutes = [s.minutes for s in log.sessions if s.session == line.session_id and s.minutes is not None]
    asked = [place.line for session in log.workbook.sessions for place in session.lines]
    last = max((other.depth for other in asked if other.session_id == line.session_id), default=None)
    if most is None or not minutes or line.depth != last or median(minutes) <= most:
        return None
    return median(minutes)


def _reason(log: BlockLog, case: Case) -> _Reason:
    spec, history = log.spec, case.history
    line, start = history.line, history.first_load
    if case.ahead.hurts:
        if case.hurt_before:
            return _Reason("replaced", "It hurt in this block and in the one before.")
        return _Reason("kept")
    share = history.share_done_there
    poor = share is not None and 0 < share < spec.policy.poor_share_done
    if poor and history.sessions_short >= _ENOUGH_SHORT:
        return _Reason("replaced", f"It was mostly left out{so_far(log)}.")
    if history.sessions_without_a_rep >= _ENOUGH_SHORT and not history.done_itself:
        return _Reason("replaced", f"Not one rep of it went up{so_far(log)}.")
    rungs = ladder(line.exercise.implement, spec.equipment)
    if kept_over(history, spec) and case.ahead.planned is not None and start is not None and start <= rungs[0].load:
        return _Reason("replaced", "Even the lightest load kept coming in over target.")
    minutes = overran(log, line)
    if minutes is not None and line.exercise.implement == "barbell":
        most = spec.next_block.session_minutes
        said = f"The session took {minutes:g} minutes of {most}; another implement is quicker to set up."
        return _Reason("replaced", said, quicker=True)
    if case.trend.shows_no_progress(spec.next_block) and not case.deload_first:
        return _Reason("varied", f"No progress over {case.trend.blocks} blocks ({weekly_gain(case.trend)}).")
    return _Reason("kept")


def kept_over(history: LineHistory, spec: Specification) -> bool:
    """Whether effort kept coming in over target, to the last: in several working weeks, or clearly in two."""
    over, policy = history.too_hard, spec.next_block
    if len(over) < 2 or over[-1] < spec.policy.on_target:
        return False
    weeks = sum(each >= spec.policy.on_target for each in over)
    often = weeks >= policy.reset_sessions
    at_last = (history.working_weeks[-1].worst_over or 0) >= spec.policy.on_target
    return at_last and weeks > 1 and fmean(over) >= (spec.policy.reset_effort if often else policy.reset_clearly)


def weekly_gain(trend: Trend) -> str:
    """The slope with its interval in words: "-0.3 % a week, between -0.5 and -0.1"."""
    if trend.slope is None:
        return "too few weeks to tell"
    low, high = 100 * trend.slope.low, 100 * trend.slope.high
    return f"{100 * trend.slope.slope:+.1f} % a week, between {low:+.1f} and {high:+.1f}"


def _best_first(reason: _Reason, others: Sequence[Exercise], line: Line) -> list[Exercise]:
    """Those that fit the reason: a variation of the same lift; else rather another implement."""
    one = line.exercise
    if reason.kind == "varied":
        lift = one.related or one.name
        fitting = [other for other in others if other.related == lift and _alike(one, other) >= _VARIATION]
        return sorted(fitting, key=lambda other: other.implement != one.implement)
    if reason.quicker:
        return [other for other in others if other.implement != "barbell"]
    return sorted(others, key=lambda other: (-_alike(one, other), other.implement == one.implement))


def _candidates(spec: Specification, line: Line, case: Case, taken: Sequence[str]) -> Iterator[Exercise]:
    """Exercises for the same direct muscles that are not in the block and that the lifter can load, likest first."""
    one = line.exercise
    found = [
        other
        for name, other in spec.catalogue.items()
        if name not in taken
        and set(one.direct) & set(other.direct)
        and not other.technical
        and (other.implement == "band") == (one.implement == "band")
        and not is_main_lift(spec, other)
        and (case.ahead.hurts or not any(close_relatives(other, each) for each in case.painful))
        and _can_be_loaded(spec, line, other, case.ahead.curve)
    ]
    likest = sorted(found, key=lambda other: (-_alike(one, other), other.related != one.related))
    # Where it hurts, rather something else than the same lift done a little otherwise.
    yield from sorted(likest, key=lambda other: case.ahead.hurts and other.implement == one.implement)


def _alike(one: Exercise, other: Exercise) -> float:
    """How much of what two exercises train is the same, 0 to 1: muscles by what a set counts for them."""
    muscles = {*one.direct, *one.indirect, *other.direct, *other.indirect}
    shares = [(muscle_share(one, muscle), muscle_share(other, muscle)) for muscle in sorted(muscles)]
    return sum(map(min, shares)) / sum(map(max, shares))


def _can_be_loaded(spec: Specification, line: Line, other: Exercise, curve: float) -> bool:
    """Whether the lifter has an implement that takes about the load that is likely to be asked for."""
    if other.implement == "band" or not spec.equipment.has(other.implement):
        return other.implement == "band"
    maximum = start_maximum(spec, other)
    if maximum is None:
        return other.implement == line.exercise.implement
    load = load_for.value(maximum, line.reps.low, line.rpe, spec.body_load(other), curve)
    rungs = ladder(other.implement, spec.equipment)
    return isinstance(load, (int, float)) and rungs[0].load <= load <= rungs[-1].load
