"""Loads in the other unit: of the whole log, of a session, of an exercise in a session; the widest first.

Pounds typed for kilograms are too many, kilograms typed for pounds too few: the other way round it is no slip of units.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from statistics import median

from blockbook.intake.believable.candidates import other_unit
from blockbook.intake.believable.strength import (
    NEARLY_ALL,
    SOME_SETS,
    Likely,
    Strength,
    by_session,
    loads_made,
    of_session,
    typed,
    what_follows,
)
from blockbook.intake.findings import Finding, finding
from blockbook.intake.log import BlockLog, LoggedSet, at_set
from blockbook.spec.models import Unit
from blockbook.training.plausibility import TYPED_IN_OTHER, UNIT_FACTOR
from blockbook.workbook.layout import input_name

NEAR_FACTOR = 0.17
"""Within this, in logs, of the factor 2.2046 (0.79 in logs) a whole session or log is in the other unit. Tuned."""

NEAR_AS_NOTED = 0.25
"""And so near is a load of which a note speaks of the other unit. Common practice, no source."""

_UNIT_NOTED: Mapping[Unit, re.Pattern[str]] = {
    "kg": re.compile(r"(?<![^\W\d])(kgs?|kilos?|kilogram(s|m|mes?)?|kilogramos?)\b", re.IGNORECASE),
    "lb": re.compile(r"(?<![^\W\d])(lbs?|pounds?|pfund|libras?)\b", re.IGNORECASE),
}


def log_in_other_unit(log: BlockLog) -> Iterator[Finding]:
    """Nearly all loads are 2.2 times what the start of the block lets expect; in a block in pounds, 1 / 2.2 times."""
    strength = Strength(log)
    everything = [logged for points in strength.points.values() for logged, _ in points]
    off = [
        point.estimate - strength.start[exercise]
        for exercise, points in strength.points.items()
        if exercise in strength.start and not strength.body_load(exercise)
        for point in points
    ]
    yield from _in_other_unit(log, everything, off, "")


def sessions_in_other_unit(log: BlockLog) -> Iterator[Finding]:
    """Nearly all loads of one session are 2.2 times what the other sessions let expect; in a block in pounds,
    1 / 2.2 times.

    Where a start is known they are far from that too: of two sessions that differ one is right. One exercise alone says
    nothing of the others.
    """
    strength = Strength(log)
    for key, sets in by_session(log.sets).items():
        loaded = [logged for logged in sets if logged.load and not strength.body_load(logged.exercise)]
        estimates = [(each.exercise, strength.estimate(each, typed(each))) for each in loaded]
        from_start = _away_from(strength.start, estimates)
        if from_start and abs(median(from_start)) < math.log(UNIT_FACTOR) / 2:
            continue
        one_of_each = {each.exercise: each for each in loaded}.values()
        expected = {each.exercise: strength.expected(each, of_session(key)) for each in one_of_each}
        if sum(should is not None for should in expected.values()) > 1:
            yield from _in_other_unit(log, sets, _away_from(expected, estimates), key)


def _away_from(yardstick: Mapping[str, float | None], estimates: Iterable[tuple[str, float | None]]) -> list[float]:
    """How far the estimates of exercises are off what each exercise should show, in logs; of those that have both."""
    pairs = [(estimate, yardstick.get(exercise)) for exercise, estimate in estimates]
    return [estimate - should for estimate, should in pairs if estimate is not None and should is not None]


def _in_other_unit(log: BlockLog, sets: Sequence[LoggedSet], off: Sequence[float], key: str) -> Iterator[Finding]:
    factor = TYPED_IN_OTHER[log.spec.block.unit]
    if len(off) < SOME_SETS or abs(median(off) - math.log(factor)) > NEAR_FACTOR:
        return
    if sum(abs(each - math.log(factor)) < 3 * NEAR_FACTOR for each in off) < NEARLY_ALL * len(off):
        return
    likely, unit, other = _converted(log, sets, 1 / factor), log.spec.block.unit, _other_unit_of(log)
    where = f"of week {sets[0].week}, {log.session_name(sets[0].session)}," if key else "of the whole log"
    message = f"The loads {where} fit {other}, not {unit}: they are {math.exp(abs(median(off))):.1f} times off."
    if key:
        yield at_set(sets[0], "load", "unit-mixed-up", message, likely)
    else:
        yield finding("unit-mixed-up", message, likely=likely)


def _converted(log: BlockLog, sets: Iterable[LoggedSet], factor: float) -> Likely:
    """The loads of sets times the factor, as loads that can be made where one is near."""
    made = loads_made(log.spec)
    likely: Likely = {}
    for logged in sets:
        meant = [v.load for v in other_unit(logged, made.get(log.spec.exercise(logged.exercise).implement, ()))]
        wanted = (logged.load or 0) * factor
        near = [load for load in meant if load and abs(math.log(load / wanted)) < NEAR_FACTOR] if wanted else []
        if wanted:
            likely[input_name(logged.key, "load")] = near[0] if near else round(wanted, 2)
    return likely


def _other_unit_of(log: BlockLog) -> Unit:
    return "lb" if log.spec.block.unit == "kg" else "kg"


def exercises_in_other_unit(log: BlockLog) -> Iterator[Finding]:
    """The loads of an exercise in a session that the sheet takes for those asked for in the other unit: all of them, or
    several; or those of which a note speaks of that unit. A single one may be another slip.

    The sheet believes them a second week; so that week is told as well, if it was one in another. Not where the other
    sessions say that what was typed is nearer to the truth.
    """
    strength = Strength(log)
    taken_for_it = {logged.exercise for logged in log.sets if logged.converted}
    for key, sets in by_session(log.sets).items():
        for slot in dict.fromkeys(logged.slot for logged in sets):
            here = [logged for logged in sets if logged.slot == slot]
            note = next((each.note for each in here if _UNIT_NOTED[_other_unit_of(log)].search(each.note)), "")
            about = note or here[0].exercise in taken_for_it
            odd = [each for each in here if each.converted or (about and _about_converted(strength, each))]
            every = all(each in odd for each in here if each.set and each.load)
            if odd and (note or every or len(odd) > 1) and _fits_converted(strength, odd, key):
                yield _exercise_in_other_unit(log, odd, note)


def _exercise_in_other_unit(log: BlockLog, sets: Sequence[LoggedSet], note: str) -> Finding:
    first, unit = next((each for each in sets if each.set), sets[0]), log.spec.block.unit
    which = f"set{'s' if len(sets) > 1 else ''} {', '.join(str(each.set or 'feeler') for each in sets)}"
    message = (
        f"{first.exercise}, {which}: {first.load:g} {unit} where {first.target_load:g} was asked for, about 2.2 times "
        "off. Perhaps the other unit?"
    )
    if note:
        message += f' The note says "{note}".'
    if not first.plausible:
        message += f" {what_follows(log, first)}"
    return at_set(first, "load", "unit-mixed-up", message, _converted(log, sets, 1 / TYPED_IN_OTHER[unit]))


def _about_converted(strength: Strength, logged: LoggedSet) -> bool:
    """Whether a set's load is about the one asked for in the other unit: more pounds than kilograms."""
    off = None if strength.body_load(logged.exercise) else strength.off_asked(logged)
    return off is not None and abs(off - math.log(TYPED_IN_OTHER[strength.log.spec.block.unit])) <= NEAR_AS_NOTED


def _fits_converted(strength: Strength, sets: Sequence[LoggedSet], key: str) -> bool:
    """Whether the other sessions say that loads in the other unit are nearer to the truth, or nothing. Those that are
    as odd themselves say nothing.
    """
    first, of_this = sets[0], of_session(key)

    def says_nothing(other: LoggedSet) -> bool:
        return of_this(other) or _about_converted(strength, other)

    meant = typed(first)._replace(load=(first.load or 0) / TYPED_IN_OTHER[strength.log.spec.block.unit])
    now, then = (strength.off(first, values, says_nothing) for values in (typed(first), meant))
    return now is None or then is None or abs(then) < abs(now)
