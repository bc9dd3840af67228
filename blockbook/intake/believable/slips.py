"""Slips that change what a log says of strength: of the whole log, of a session, of one set; the widest first.

Loads in the other unit are told in `other_unit`, save in one set.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import replace
from statistics import fmean, median

from blockbook.intake.believable.candidates import (
    LEAST_SURE_LOAD,
    Candidates,
    other_digits,
    other_unit,
    plainly_swapped,
    reserve,
    swapped,
)
from blockbook.intake.believable.strength import (
    NEARLY_ALL,
    SOME_SETS,
    USUAL_EFFORT,
    Likely,
    Strength,
    Values,
    by_session,
    how_far,
    loads_made,
    of_session,
    session_of,
    typed,
    what_follows,
)
from blockbook.intake.findings import Finding, finding
from blockbook.intake.log import BlockLog, LoggedSet, at_set
from blockbook.workbook.layout import input_name, spoken

LOST_POINT = 0.7
"""By so much a lost point is likelier than another slip that fits as well. Common practice, no source."""

FAR_FROM_PLAN = 0.1
"""In logs, how far another lifter's loads at least are from what this lifter was asked. Tuned."""

FAR_FROM_START = 0.1
"""And their estimates from the maxima that the block started from. Tuned."""

SOMEWHAT_FROM_START = 0.03
"""Or by this much by the median, where nearly all loads are too heavy or nearly all too light. Tuned."""

MISPLACED = 0.6
"""In logs, how far a session with its sets in the wrong rows is off at least, all sets together. Tuned."""

MOST_OFF = 0.5
"""In logs, what one set adds to that at most."""

RESERVE_AT_MOST = 4.5
"""A session's efforts are at most this, by their median, where they are reserves. Tuned."""

CLOSER_EFFORT = 1.0
"""And read as reserves they are closer to the efforts asked for by this much, on average. Tuned."""

OFF = 0.12
"""In logs, how far off a single set is at least before a slip is looked for. Tuned."""

OFF_GUESS = 0.3
"""The same where fewer than two other sets of the exercise say anything. Tuned."""

FITS = 0.1
"""In logs, how near what was meant comes to what is expected; twice that after a slip of a half and more. Tuned."""

FITS_BETTER = 1 / 3
"""And at most this share of how far off the typed values are. Tuned."""

CLOSE_EFFORT = 2.0
"""A reserve in one set, read as effort, comes this near the efforts beside it, at most. Tuned."""

FAR_EFFORT = 3.0
"""And as it was typed it is at least so far under it. Tuned."""

BETTER_BY = 0.04
"""And the set's estimate comes nearer to what is expected by this much, in logs. Tuned."""

AS_EASY = 2.0
"""Points of effort within which a set beside it is as easy. Tuned."""

BETTER_BY_OF_EASY = 0.15
"""Then the estimate has to come nearer by this much: loads may just be light. Tuned."""

PLAIN_RESERVE = 4.0
"""Points of effort under all equal sets beside it where a reserve is plain, whatever the estimates say. Tuned."""

OFF_BESIDE = 0.12
"""In logs, how far a set with a small slip is off the sets beside it, too: a bad day shows in all of them. Tuned."""

PLAIN_SLIP = 0.4
"""In logs, off by so much nobody's day is that bad, whatever stands beside. Tuned."""


def wrong_lifter(log: BlockLog) -> Iterator[Finding]:
    """Nearly all first loads are far from those asked for, and what was lifted from what the lifter was known for.

    The second in nearly all exercises, or, where the loads are far to one side, to that side by the median.
    """
    strength = Strength(log)
    far, plan_ratios, start_ratios = [], [], []
    for exercise, points in strength.points.items():
        first = points[0].logged
        if exercise not in strength.start or not first.load or not first.target_load:
            continue
        body_load = strength.body_load(exercise)
        from_plan = math.log((first.load + body_load) / (first.target_load + body_load))
        from_start = median([p.estimate for p in points if p.logged.week == first.week]) - strength.start[exercise]
        far.append(abs(from_plan) > FAR_FROM_PLAN and abs(from_start) > FAR_FROM_START)
        plan_ratios.append(from_plan)
        start_ratios.append(from_start)
    if len(far) < SOME_SETS:
        return
    side = math.copysign(1, median(plan_ratios))
    to_one_side = [side * ratio > FAR_FROM_PLAN for ratio in plan_ratios]
    if side * median(start_ratios) > SOMEWHAT_FROM_START and sum(to_one_side) > sum(far):
        far = to_one_side
    if sum(far) >= NEARLY_ALL * len(far):
        lifter = log.spec.lifter.name
        message = (
            f"In {sum(far)} of {len(far)} exercises the first loads are far from what was asked of {lifter} "
            f"(mostly about {math.exp(median(plan_ratios)):.0%} of it). Another lifter's block may be in this file."
        )
        yield finding("wrong-lifter", message)


def rows_shifted(log: BlockLog) -> Iterator[Finding]:
    """A session whose sets fit far better when all are read one row up or one row down."""
    strength = Strength(log)
    for key, sets in by_session(log.sets).items():
        as_typed = [typed(logged) for logged in sets]
        nothing = Values(None, None, None)
        if as_typed[0] == nothing:
            meant = [*as_typed[1:], nothing]
        elif as_typed[-1] == nothing:
            meant = [nothing, *as_typed[:-1]]
        else:
            continue
        now, then = (_misfit(strength, sets, values, key) for values in (as_typed, meant))
        if now < MISPLACED or then > now / 2:
            continue
        likely: Likely = {
            input_name(logged.key, column): value
            for logged, values in zip(sets, meant, strict=True)
            for column, value in zip(Values._fields, values, strict=True)
        }
        direction = "down" if as_typed[0] == nothing else "up"
        message = (
            f"Week {sets[0].week}, {log.session_name(sets[0].session)}: all rows seem one row too far {direction}. "
            f"As they stand they are off by {now / len(sets):.0%} a set, moved back by {then / len(sets):.0%}."
        )
        yield at_set(sets[0], "load", "rows-shifted", message, likely)


def _misfit(strength: Strength, sets: Sequence[LoggedSet], rows: Sequence[Values], key: str) -> float:
    """How far a session is off in all, in logs, if `rows` stood in it; a load at a band is as far off as can be."""
    total = 0.0
    for logged, values in zip(sets, rows, strict=True):
        if strength.log.spec.exercise(logged.exercise).implement == "band":
            total += MOST_OFF if values.load is not None else 0.0
            continue
        off = strength.off(logged, values, of_session(key))
        total += min(MOST_OFF, abs(off)) if off is not None else MOST_OFF * (values.reps is not None)
    return total


def reserves_for_efforts(log: BlockLog) -> Iterator[Finding]:
    """All efforts of a session are small and, read as reps in reserve, near those asked for; or those of the log."""
    found = {key: sets for key, sets in by_session(log.sets).items() if _are_reserves(sets)}
    begun = {session_of(logged) for logged in log.sets if logged.rpe is not None}
    if len(found) > 1 and len(found) >= NEARLY_ALL * len(begun):
        sets = [logged for logged in log.sets if session_of(logged) in begun]
        code, *_ = _mistaken(log)
        message = f"All {_told(log, sets)}"
        yield finding(code, message, likely=_as_efforts(sets))
        return
    for sets in found.values():
        code, *_ = _mistaken(log)
        message = f"Week {sets[0].week}, {log.session_name(sets[0].session)}: all {_told(log, sets)}"
        first = next(logged for logged in sets if logged.rpe is not None)
        yield at_set(first, "rpe", code, message, _as_efforts(sets))


def _are_reserves(sets: Sequence[LoggedSet]) -> bool:
    judged = [(s.rpe, s.target_rpe) for s in sets if s.rpe is not None and s.target_rpe is not None and s.rpe <= 10]
    if len(judged) < SOME_SETS or median(effort for effort, _ in judged) > RESERVE_AT_MOST:
        return False
    as_effort = fmean(abs(effort - asked) for effort, asked in judged)
    as_reserve = fmean(abs(10 - effort - asked) for effort, asked in judged)
    return as_effort - as_reserve >= CLOSER_EFFORT


def _mistaken(log: BlockLog) -> tuple[str, str, str]:
    """Code of the finding, what all numbers look like, and what they may be.

    Where reps left are asked, an effort typed instead is the same slip seen in a mirror: 8 for 2 left is read as
    effort 2. So one rule finds both, as often and as rarely.
    """
    if log.spec.block.in_reserve:
        return "effort-for-reserve", "reps left are many", "effort, where reps left were asked"
    return "reserve-for-effort", "efforts are small", "reps in reserve, where effort was asked"


def _told(log: BlockLog, sets: Sequence[LoggedSet]) -> str:
    _, look, may_be = _mistaken(log)
    return f"{look} (about {median(logged.felt for logged in sets if logged.felt is not None):g}): {may_be}?"


def _as_efforts(sets: Sequence[LoggedSet]) -> Likely:
    return {input_name(s.key, "rpe"): 10 - s.rpe for s in sets if s.rpe is not None and 0 <= s.rpe <= 9}


SINGLE: tuple[tuple[str, Candidates, str], ...] = (
    ("digit-slip", other_digits, "a slip of a digit"),
    ("load-reps-swapped", swapped, "load and reps swapped"),
    ("unit-mixed-up", other_unit, "the other unit"),
)


def plain_swaps(log: BlockLog) -> Iterator[Finding]:
    """Load and reps in each other's cell, whatever the other sets say: they may be wrong, too."""
    for logged in log.sets:
        others = [each for each in log.sets if each.exercise == logged.exercise and each.key != logged.key]
        loads = [each.load for each in others if each.load and each.load > LEAST_SURE_LOAD]
        if plainly_swapped(logged, [*loads, *([logged.target_load] if logged.target_load else [])]):
            load, reps = logged.reps, logged.load
            message = (
                f"{logged.called}: {load:g} reps with {reps:g} {log.spec.block.unit}. Perhaps load and reps swapped: "
                f"load {load:g} and reps {reps:g}?"
            )
            likely: Likely = {input_name(logged.key, "load"): load, input_name(logged.key, "reps"): reps}
            yield at_set(logged, "load", "load-reps-swapped", message, likely)


def single_slips(log: BlockLog) -> Iterator[Finding]:
    """A set far off what the others of its exercise say, which one known slip explains.

    The farthest of an exercise first, and the others without it: of three sets one slip would else accuse the two.
    """
    made, told = loads_made(log.spec), []
    for exercise in dict.fromkeys(logged.exercise for logged in log.sets):
        loads = made.get(log.spec.exercise(exercise).implement, set())
        left = replace(log, sets=tuple(each for each in log.sets if each.exercise == exercise))
        while (slip := _farthest_slip(left, loads)) is not None:
            told.append(slip)
            left = replace(left, sets=tuple(each for each in left.sets if each.key != slip[0].key))
    order = {logged.key: place for place, logged in enumerate(log.sets)}
    yield from (found for _, found in sorted(told, key=lambda slip: order[slip[0].key]))


def _farthest_slip(log: BlockLog, loads: Collection[float]) -> tuple[LoggedSet, Finding] | None:
    """Of one exercise's sets the one farthest off that one known slip explains."""
    strength = Strength(log)
    offs = [(logged, strength.off(logged, typed(logged), _itself(logged))) for logged in log.sets]
    far = [(logged, off) for logged, off in offs if off is not None and _is_off(strength, logged, off)]
    for logged, off in sorted(far, key=lambda each: -abs(each[1])):
        explained = [
            (_unlikeliness(strength, logged, values), code, values, words)
            for code, candidates, words in SINGLE
            for values in candidates(logged, loads)
            if not (code == "unit-mixed-up" and (_wrong_way(log, logged, values) or _nearer_to_asked(logged, values)))
        ]
        left, code, values, words = min(explained, key=lambda each: each[0], default=_NOTHING_EXPLAINS)
        if left <= min(FITS if abs(off) < 0.5 else 2 * FITS, FITS_BETTER * abs(off)):
            return logged, _meant(log, logged, off, code, values, words)
    return None


def _wrong_way(log: BlockLog, logged: LoggedSet, meant: Values) -> bool:
    """Whether fewer pounds than kilograms would have been typed, or more kilograms than pounds: that is no slip."""
    return ((logged.load or 0) > (meant.load or 0)) != (log.spec.block.unit == "kg")


def _nearer_to_asked(logged: LoggedSet, meant: Values) -> bool:
    """Whether a load as it was typed is nearer to the one asked for than what may have been meant: that is no slip."""
    asked = logged.target_load
    if not (asked and logged.load and meant.load):
        return False
    return abs(math.log(logged.load / asked)) < abs(math.log(meant.load / asked))


_NOTHING_EXPLAINS = (math.inf, "", Values(None, None, None), "")


def _is_off(strength: Strength, logged: LoggedSet, off: float) -> bool:
    """Whether a set is so far off that a slip is looked for."""
    if abs(off) <= (OFF if strength.others(logged) >= 2 else OFF_GUESS):
        return False
    return abs(off) > PLAIN_SLIP or not _like_those_beside(strength, logged)


def _like_those_beside(strength: Strength, logged: LoggedSet) -> bool:
    """Whether a set is near the others of its exercise and session, or one of them is the same: no slip of one set."""
    beside = strength.off_beside(logged)
    same = any((each.load, each.reps) == (logged.load, logged.reps) for each, _ in strength.beside(logged))
    return same or (beside is not None and abs(beside) <= OFF_BESIDE)


def single_reserves(log: BlockLog) -> Iterator[Finding]:
    """An effort far under those beside it which, read as reps in reserve, is near them and fits the other sets."""
    strength = Strength(log)
    for logged in log.sets:
        for values in reserve(logged, ()):
            if not any(_reserve_beside(logged, effort) for effort in _efforts_beside(log, logged)):
                continue
            now, then = (strength.off(logged, each, _itself(logged)) for each in (typed(logged), values))
            if now is not None and then is not None and abs(now) - abs(then) >= _better_by(log, logged):
                code, _, words = _mistaken(log)
                yield _meant(log, logged, now, code, values, words)


def _efforts_beside(log: BlockLog, logged: LoggedSet) -> list[float]:
    """The effort asked for, and the median effort of the other sets of the exercise in the session."""
    others = [each.rpe for each in _others_beside(log, logged) if each.rpe]
    asked = [logged.target_rpe] if logged.target_rpe else []
    return [*asked, *([median(others)] if others else [])] or [USUAL_EFFORT]


def _others_beside(log: BlockLog, logged: LoggedSet) -> list[LoggedSet]:
    here = (logged.week, logged.session, logged.slot)
    return [s for s in log.sets if (s.week, s.session, s.slot) == here and s.key != logged.key]


def _better_by(log: BlockLog, logged: LoggedSet) -> float:
    """How much nearer, in logs, a suspected reserve has to bring the estimate, by the efforts beside it."""
    others = [(s, s.rpe - (logged.rpe or 0)) for s in _others_beside(log, logged) if s.rpe]
    if any(harder <= AS_EASY for _, harder in others):
        return BETTER_BY_OF_EASY
    equal = [harder for s, harder in others if s.load == logged.load and s.reps == logged.reps]
    return -math.inf if equal and min(equal) >= PLAIN_RESERVE else BETTER_BY


def _reserve_beside(logged: LoggedSet, effort: float) -> bool:
    """Whether the set's effort is far under `effort`, and near it if it is a reserve."""
    typed_effort = logged.rpe or 0
    return effort - typed_effort >= FAR_EFFORT and abs(10 - typed_effort - effort) <= CLOSE_EFFORT


def _itself(logged: LoggedSet) -> Callable[[LoggedSet], bool]:
    return lambda other: other.key == logged.key


def _unlikeliness(strength: Strength, logged: LoggedSet, values: Values) -> float:
    """How far off, in logs, what may have been meant still is.

    What was asked for, or done in a set beside it, is taken before others; so is a point that was lost.
    """
    off = strength.off(logged, values, _itself(logged))
    if off is None:
        return math.inf
    beside = {point.logged.load for point in strength.beside(logged)}
    asked = (values.load != logged.load and values.load == logged.target_load) or (
        values.reps != logged.reps and values.reps == logged.target_reps
    )
    known = asked or (values.load != logged.load and values.load in beside)
    lost_point = values.load is not None and values.load * 10 == logged.load
    return abs(off) * (0.5 if known else 1) * (LOST_POINT if lost_point else 1)


def _meant(log: BlockLog, logged: LoggedSet, off: float, code: str, values: Values, words: str) -> Finding:
    changed = {name: value for name, value in values._asdict().items() if value != getattr(logged, name)}
    block = log.spec.block

    def said(name: str, value: float) -> str:
        return f"{spoken(name, block)} {block.as_typed(value) if name == 'rpe' else value:g}"

    meant = " and ".join(said(name, value) for name, value in changed.items())
    column = next(iter(changed))
    message = (
        f"{logged.called}: with {said(column, getattr(logged, column))} it is {how_far(off)} the other sets. "
        f"Perhaps {words}: {meant}?"
    )
    if not logged.plausible:
        message += f" {what_follows(log, logged)}"
    return at_set(logged, column, code, message, {input_name(logged.key, n): v for n, v in changed.items()})
