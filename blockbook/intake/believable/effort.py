"""Efforts that cannot be what was felt. All of it soft: a reason to ask, no proof."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from statistics import fmean, median

from blockbook.intake.believable.strength import (
    JUDGED_EFFORT,
    Strength,
    Values,
    by_session,
    session_of,
    typed,
)
from blockbook.intake.findings import Finding, finding
from blockbook.intake.log import BlockLog, LoggedSet, at_set
from blockbook.training.logged_set import on_other_scale
from blockbook.training.session_checks import ENOUGH_EFFORTS, SESSION_APART
from blockbook.workbook.layout import input_name

MANY_EFFORTS = 24
"""Efforts that a log needs before one that never changes is told. Common practice, no source."""

CONSTANT_SHARE = 0.9
"""Share of them that is the same number. Tuned."""

NOT_ASKED_SHARE = 0.2
"""And at least this share was asked otherwise: a plan of one effort, met, is no doubt. Tuned."""

EASIER_ON_AVERAGE = 1.0
"""Points of effort by which a session's equal sets get easier from first to last, on average. Tuned."""

EASIER_LINES = 2
"""Exercises of the session that this is an average of, at least; tiredness makes later sets harder."""

MUCH_EASIER = 2.5
"""Points of effort by which one exercise alone gets easier over three equal sets or more. Tuned."""

LOW_EFFORT = 8.0
"""Reps missed below this effort were not missed for lack of strength: at 8 two more were in it."""

HARD_EFFORT = 9.0
"""From this effort on reps were missed because no more were in it."""

SEVERAL_MISSED = 2
"""So many sets of an exercise in a session with missed reps are told, or reps missed in one; one rep happens."""

USUALLY_ABOVE = 5.0
"""Median effort of a session's other exercises above which they are no reps left. Common practice, no source."""

SURE_GAIN = 0.1
"""In logs, a gain that the noise of the estimates alone can show. Tuned."""

WEEKLY_GAIN = 0.04
"""In logs, the largest weekly gain of an exercise that is believed: a novice's. Tuned."""


def effort_constant(log: BlockLog) -> Iterator[Finding]:
    """The same effort in nearly every set, whatever was asked and however many sets came before."""
    judged = [s for s in log.sets if s.rpe is not None and s.done and s.kind != "feeler"]
    if len(judged) < MANY_EFFORTS:
        return
    (effort, count), *_ = Counter(s.rpe for s in judged).most_common(1)
    otherwise = [s for s in judged if s.target_rpe is not None and s.target_rpe != effort]
    if count >= CONSTANT_SHARE * len(judged) and len(otherwise) >= NOT_ASKED_SHARE * len(judged):
        message = (
            f"Effort {effort:g} in {count} of {len(judged)} sets, though {len(otherwise)} were to be easier or harder. "
            "Is effort judged at all?"
        )
        yield finding("effort-constant", message)


def effort_falls(log: BlockLog) -> Iterator[Finding]:
    """Sets of the same load and reps that get easier, in several exercises of a session or much so in one."""
    for key, sets in by_session(log.sets).items():
        drops: dict[str, tuple[float, list[LoggedSet]]] = {}
        for equal in _equal_sets(sets):
            drops[equal[-1].key] = (equal[0].rpe or 0) - (equal[-1].rpe or 0), equal
        together = fmean([drop for drop, _ in drops.values()]) if drops else 0.0
        if len(drops) >= EASIER_LINES and together >= EASIER_ON_AVERAGE:
            last = max(drops.values(), key=lambda each: each[0])[1][-1]
            name = next((session.name for session in log.sessions if session.key == key), key)
            message = (
                f"Week {last.week}, {name}: equal sets get easier from first to last, by {together:.1f} on average "
                f"of {len(drops)} exercises."
            )
            yield at_set(last, "rpe", "effort-falls", message)
            continue
        for drop, equal in drops.values():
            if len(equal) >= 3 and drop >= MUCH_EASIER:
                efforts = ", ".join(f"{logged.rpe:g}" for logged in equal)
                message = f"{equal[-1].exercise}: equal sets get easier, efforts {efforts}."
                yield at_set(equal[-1], "rpe", "effort-falls", message)


def _equal_sets(sets: Sequence[LoggedSet]) -> Iterator[list[LoggedSet]]:
    """Runs of two sets and more of one exercise with the same load and reps, all with effort."""
    found: dict[tuple[str, float | None, float | None], list[LoggedSet]] = defaultdict(list)
    for logged in sets:
        if logged.rpe is not None and logged.done and logged.kind != "feeler":
            found[logged.slot, logged.load, logged.reps].append(logged)
    return (equal for equal in found.values() if len(equal) >= 2)


def missed_reps_low_effort(log: BlockLog) -> Iterator[Finding]:
    """Fewer reps than asked at an effort below 8: they were not missed for lack of strength."""
    least = _least_reps(log)
    for logged in log.sets:
        if logged.reps is None or logged.rpe is None or logged.kind in ("max reps", "feeler"):
            continue
        asked = _asked_reps(logged, least)
        if logged.reps < asked and 1 <= logged.rpe < LOW_EFFORT:
            message = (
                f"{logged.exercise}, set {logged.set}: {logged.reps:g} of {asked:g} reps at effort {logged.rpe:g}, "
                f"which leaves {10 - logged.rpe:g} in it."
            )
            yield at_set(logged, "rpe", "reps-missed-low-effort", message)


def missed_reps(log: BlockLog) -> Iterator[Finding]:
    """Reps missed in an exercise, for lack of strength as far as anybody said: in two sets or more of a session, or two
    reps or more of one.

    Sets without a single rep, and those at a low effort, are spoken of elsewhere.
    """
    missed: dict[tuple[str, str], list[LoggedSet]] = defaultdict(list)
    least = _least_reps(log)
    for logged in log.sets:
        spoken_of = logged.kind in ("max reps", "feeler") or not logged.done or bool(logged.instead)
        hard = logged.rpe is None or HARD_EFFORT <= logged.rpe <= 10
        if not spoken_of and hard and (logged.reps or 0) < _asked_reps(logged, least):
            missed[session_of(logged), logged.slot].append(logged)
    for sets in missed.values():
        first = sets[0]
        most = max(_asked_reps(each, least) - (each.reps or 0) for each in sets)
        if max(len(sets), most) >= SEVERAL_MISSED:
            done = ", ".join(f"{each.reps:g} of {_asked_reps(each, least):g}" for each in sets)
            name, sets_said = log.session_name(first.session), "set" if len(sets) == 1 else "sets"
            message = f"Week {first.week}, {name}: reps missed in {len(sets)} {sets_said} of {first.exercise}: {done}."
            yield at_set(first, "reps", "reps-missed", message)


def _least_reps(log: BlockLog) -> dict[str, float]:
    """Set key -> the reps planned at least, the low end of a range."""
    return {planned.key: planned.reps for place in log.workbook.sessions for _, planned in place.sets}


def _asked_reps(logged: LoggedSet, least: Mapping[str, float]) -> float:
    return min(logged.target_reps, least.get(logged.key, logged.target_reps))


def efforts_on_other_scale(log: BlockLog) -> Iterator[Finding]:
    """Efforts of an exercise that the sheet asks about, since they may be reps left (or reps left efforts); once an
    exercise and session.

    With what was likely meant where all of them may be, the rest of the session is not so and nothing known speaks
    against it. A whole session of them is `slips.reserves_for_efforts`'s, or the loads were far too light.
    """
    strength, asked = Strength(log), _asked_efforts(log)
    for sets in by_session(log.sets).values():
        judged = [each for each in sets if each.rpe is not None and each.target_rpe is not None]
        for slot in dict.fromkeys(each.slot for each in sets):
            doubted = [each for each in sets if each.slot == slot and _is_doubted(each, asked[each.key])]
            every = [each for each in judged if each.slot == slot]
            others = [each.rpe or 0 for each in judged if each.slot != slot]
            alone = not others or median(others) > USUALLY_ABOVE
            if alone and len(every) > 1 and all(_on_other_scale(strength, each) for each in every):
                yield _on_which_scale(every, every[0].target_rpe or 0)
            elif doubted:
                found = _on_which_scale(doubted, asked[doubted[0].key])
                yield replace(found, severity="note", likely={})


def _asked_efforts(log: BlockLog) -> dict[str, float]:
    """Set key -> the effort asked of the set, or of its exercise, as the sheet judges it."""
    planned = (each for place in log.workbook.sessions for each in place.sets)
    return {one.key: line.line.rpe if one.rpe is None else one.rpe for line, one in planned}


def _is_doubted(logged: LoggedSet, asked: float) -> bool:
    """Whether the sheet says "effort or reps left?" beside a set."""
    if logged.rpe is None or not 1 <= logged.rpe <= 10 or logged.instead:
        return False
    all_done = logged.reps is not None and logged.reps >= logged.target_reps
    return logged.plausible and all_done and on_other_scale.value(logged.rpe, asked) == 1


def _on_other_scale(strength: Strength, logged: LoggedSet) -> bool:
    """Whether an effort is so low that it may be reps left, and nothing that is known of the lifter fits it better."""
    if logged.rpe is None or logged.rpe < 1 or not on_other_scale.value(logged.rpe, logged.target_rpe or 0):
        return False
    meant = Values(logged.load, logged.reps, 10 - logged.rpe)
    now, then = (
        strength.off(logged, values, lambda other: session_of(other) == session_of(logged))
        for values in (typed(logged), meant)
    )
    return now is None or then is None or abs(then) < abs(now)


def _on_which_scale(sets: Sequence[LoggedSet], asked: float) -> Finding:
    first = sets[0]
    if first.in_reserve:
        said = f"{first.felt:g} reps left where {10 - asked:g} were asked for. Are these efforts?"
    else:
        said = f"effort {first.felt:g} where {asked:g} was asked for. Are these reps left?"
    code = "effort-for-reserve" if first.in_reserve else "reserve-for-effort"
    meant: dict[str, float | None] = {input_name(s.key, "rpe"): 10 - s.rpe for s in sets if s.rpe is not None}
    which = f"set{'s' if len(sets) > 1 else ''} {', '.join(str(each.set or 'feeler') for each in sets)}"
    return at_set(first, "rpe", code, f"{first.exercise}, {which}: {said} No estimate follows from them.", meant)


def session_effort_contradicts(log: BlockLog) -> Iterator[Finding]:
    """The session's effort (0 to 10) is 4 points or more from the mean effort of its sets."""
    sessions = by_session(log.sets)
    for session in log.sessions:
        efforts = [s.rpe for s in sessions.get(session.key, ()) if s.rpe is not None and 1 <= s.rpe <= 10]
        if session.effort is None or not 0 <= session.effort <= 10 or len(efforts) < ENOUGH_EFFORTS:
            continue
        mean = fmean(efforts)
        if abs(session.effort - mean) >= SESSION_APART:
            message = (
                f"Week {session.week}, {session.name}: session effort {session.effort:g}, "
                f"but its sets came in at {mean:.1f} on average."
            )
            cell = session.cells.get("effort", "")
            yield finding("session-effort-contradicts", message, session.sheet, cell, f"{session.effort:.15g}")


def progress_possible(log: BlockLog) -> Iterator[Finding]:
    """No exercise gains more than 10 % and 4 % a week: then efforts or loads are not what was lifted."""
    strength = Strength(log)
    for exercise, points in strength.points.items():
        weeks: dict[int, list[float]] = defaultdict(list)
        for logged, estimate in points:
            if logged.rpe is not None and JUDGED_EFFORT <= logged.rpe <= 10:
                weeks[logged.week].append(estimate)
        middles = {week: median(said) for week, said in weeks.items() if len(said) >= 2}
        if len(middles) < 3:
            continue
        first, last = min(middles), max(middles)
        gain = middles[last] - middles[first]
        if gain > SURE_GAIN + WEEKLY_GAIN * (last - first):
            latest = next(logged for logged, _ in reversed(points) if logged.week == last)
            message = (
                f"{exercise}: the estimate rose by {math.expm1(gain):.0%} from week {first} to week {last}. "
                "No lifter gains that much; look at the efforts."
            )
            yield at_set(latest, "load", "impossible-progress", message)
