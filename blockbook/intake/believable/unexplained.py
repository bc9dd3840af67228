"""Sets that nothing explains: off the lifter's own trend, or alone off the sets beside them."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from statistics import median

from blockbook.intake.believable.candidates import differ_in_a_digit
from blockbook.intake.believable.strength import (
    JUDGED_EFFORT,
    LEAST_DEVIATION,
    MOST_DEVIATION,
    Z_LIMIT,
    Strength,
    how_far,
    modified_z,
    session_of,
    typed,
    what_follows,
)
from blockbook.intake.findings import Finding
from blockbook.intake.log import BlockLog, LoggedSet, at_set
from blockbook.training.plausibility import ALIKE, OWN_WEIGHT
from blockbook.workbook.layout import input_name

OFF_TREND = 0.18
"""In logs, how far off the own trend a set without an explanation is at least. Tuned."""

EASY_SET = 0.05
"""And lower by so much more for each point of effort under 7: far from failure reserve is told too small. Tuned."""

ENOUGH_FOR_TREND = 4
"""Other sets that an exercise needs before one can be off their trend. Common practice, no source."""

ALONE = 0.25
"""In logs, how far one set is off both the sets beside it and the load asked for, where they are not. Tuned."""

AS_ASKED = 0.1
"""In logs, how near their asked loads the sets beside it are. Tuned."""


def off_own_trend(log: BlockLog) -> Iterator[Finding]:
    """Sets whose estimates are off the lifter's own trend by a modified z of more than 3.5, once an exercise and
    session; a set far off those beside it, which were done as asked; and sets that cannot be right."""
    strength = Strength(log)
    off_together: dict[tuple[str, str, bool], list[tuple[float, LoggedSet]]] = defaultdict(list)
    for logged in log.sets:
        if logged.has_too_many_reps:
            continue  # said by the check of reps
        if not logged.plausible and (logged.load or 0) >= 0:
            if not _borne_out(log, logged):
                yield at_set(logged, "load", "load-implausible", *_implausible(log, strength, logged))
        elif (off := _off_trend(strength, logged)) is not None:
            off_together[session_of(logged), logged.slot, off > 0].append((off, logged))
        elif (off := _off_alone(strength, logged)) is not None:
            message = (
                f"{logged.called}: its estimate is {how_far(off)} that of the sets beside it, whose loads are as asked."
            )
            yield _off(strength, logged, message)
    for told in off_together.values():
        off, farthest = max(told, key=lambda each: abs(each[0]))
        others = [f"{logged.set}" if logged.set else "the feeler" for _, logged in told if logged is not farthest]
        message = f"{farthest.called}: its estimate is {how_far(off)} the lifter's own trend."
        message += f" So are others of that session: {', '.join(others)}." if others else ""
        yield _off(strength, farthest, message)


def _off(strength: Strength, logged: LoggedSet, message: str) -> Finding:
    perhaps, likely = _but_for_a_digit(strength, logged)
    return at_set(logged, "load", "estimate-off-trend", f"{message}{perhaps}", likely)


def _but_for_a_digit(strength: Strength, logged: LoggedSet) -> tuple[str, dict[str, float | None]]:
    """What is said, and likely meant: the load beside it, or asked for, where one digit is another (250 for 150)."""
    near = {load for point in strength.beside(logged) if (load := point.logged.load)} | {logged.target_load or 0}
    meant = [load for load in near if logged.load and differ_in_a_digit(logged.load, load)]
    if len(meant) != 1:
        return "", {}
    return f" {meant[0]:g} may have been meant: if so, accept it in the review.", {
        input_name(logged.key, "load"): meant[0]
    }


def _borne_out(log: BlockLog, logged: LoggedSet) -> bool:
    """Whether a later set of the exercise that day was as light and is believed: a light day, and no slip."""
    later = [each for each in log.sets if session_of(each) == session_of(logged) and each.slot == logged.slot]
    load = logged.load or 0
    return any(
        each.plausible and each.load is not None and each.set > logged.set and abs(each.load - load) <= ALIKE * load
        for each in later
    )


def _implausible(log: BlockLog, strength: Strength, logged: LoggedSet) -> tuple[str, dict[str, float | None]]:
    """What is said of a set that is far off what is believed, and what was likely meant."""
    spec, load = log.spec, logged.load or 0
    said = f"{load:g} {spec.block.unit} for {logged.exercise} is far from what is believed."
    said += f' Its note says "{logged.note}".' if logged.note else ""
    weight = spec.lifter.body_weight
    if spec.exercise(logged.exercise).implement == "bodyweight" and abs(load / weight - 1) <= 1 - OWN_WEIGHT:
        meant: dict[str, float | None] = {input_name(logged.key, "load"): 0}
        return f"{said} It may be the body weight itself: then nothing was added, and 0 is meant.", meant
    perhaps, likely = _but_for_a_digit(strength, logged)
    return f"{said}{perhaps} {what_follows(log, logged)}", likely


def _off_trend(strength: Strength, logged: LoggedSet) -> float | None:
    """How far off its exercise's trend a set is, in logs, if that is too far."""
    if logged.rpe is None or strength.others(logged) < ENOUGH_FOR_TREND:
        return None
    off = strength.off(logged, typed(logged), lambda other: other.key == logged.key)
    easy = max(0.0, JUDGED_EFFORT - logged.rpe) if off is not None and off < 0 else 0.0
    if off is None or abs(off) <= OFF_TREND + EASY_SET * easy or _as_asked_of_two(strength, logged):
        return None
    return off if abs(_z(strength, logged, off)) > Z_LIMIT else None


def _as_asked_of_two(strength: Strength, logged: LoggedSet) -> bool:
    """Whether of an exercise's only two sessions this set's was nearer to what was asked: the other is the odd one."""
    from_asked: dict[str, list[float]] = defaultdict(list)
    for point in strength.points.get(logged.exercise, ()):
        if (off := strength.off_asked(point.logged)) is not None:
            from_asked[session_of(point.logged)].append(abs(off))
    own = strength.off_asked(logged)
    others = [median(offs) for session, offs in from_asked.items() if session != session_of(logged)]
    return own is not None and len(others) == 1 and max(abs(own), AS_ASKED) < others[0]


def _z(strength: Strength, logged: LoggedSet, off: float) -> float:
    return modified_z(off, min(MOST_DEVIATION, max(LEAST_DEVIATION, strength.deviation(logged.exercise))))


def _off_alone(strength: Strength, logged: LoggedSet) -> float | None:
    """How far off the sets beside it a set is, in logs, if its load is far off the one asked for and theirs are not."""
    from_asked = strength.off_asked(logged)
    if logged.rpe is None or from_asked is None or abs(from_asked) <= ALONE:
        return None
    off = strength.off_beside(logged)
    others = [strength.off_asked(point.logged) for point in strength.beside(logged)]
    theirs = [ratio for ratio in others if ratio is not None]
    if off is None or not theirs or abs(median(theirs)) > AS_ASKED:
        return None
    return off if math.copysign(1, off) * from_asked > ALONE and abs(off) > ALONE else None
