"""Dumbbells logged as both hands together, where a load is counted per hand."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from statistics import median

from blockbook.intake.believable.strength import Strength, by_session, typed
from blockbook.intake.findings import Finding
from blockbook.intake.log import BlockLog, LoggedSet, at_set
from blockbook.workbook.layout import input_name

DOUBLE_WITHIN = 0.03
"""Share by which a load may miss the double. Common practice, no source."""

NEAR = 0.3
"""In logs, how near loads are to one another to be the same day's, or the same way of counting. No source."""

FAR = 0.5
"""In logs, how far off the loads asked for the session's others are where all of it is in the other unit. No source."""


def both_hands_together(log: BlockLog) -> Iterator[Finding]:
    """Dumbbells of just double the load asked for, or of those beside or before, once an exercise; and what the sheet
    asked about in every set of a session: one alone is another slip.

    With it go the later sets of about that load: the sheet asks for more after the first. Not where the lifter's
    maximum, as far as it is known, lets expect the load as it was typed.
    """
    strength = Strength(log)
    names = dict.fromkeys(logged.exercise for logged in log.sets)
    for exercise in map(log.spec.exercise, names):
        if not exercise.is_per_hand:
            continue
        sets = [logged for logged in log.sets if logged.exercise == exercise.name and _weighs(logged)]
        together: list[LoggedSet] = []
        halves: list[float] = []
        for key, here in by_session(sets).items():
            doubled = [each for each in here if _is_together(strength, each, here, halves, together)]
            if doubled and not together and _in_other_unit(log, key, exercise.name):
                break
            together += doubled
            halves += [each.load or 0 for each in here if each not in doubled]
        if together:
            yield _told(log, together)


def _is_together(
    strength: Strength, logged: LoggedSet, here: Sequence[LoggedSet], before: Sequence[float], told: Sequence[LoggedSet]
) -> bool:
    load = logged.load or 0
    if logged.doubled and len(here) > 1 and all(each.doubled for each in here):
        return True
    if told and abs(math.log(load / (told[-1].load or 1))) <= NEAR:
        return True
    asked = next((each.target_load for each in here if each.target_load), None)
    others = [each.load or 0 for each in here if each.key != logged.key]
    beside = [other for other in others if abs(math.log(load / other)) > NEAR]
    known = [ref for ref in (asked, median(beside) if beside else None, median(before) if before else None) if ref]
    if any(abs(math.log(load / ref)) <= NEAR for ref in known):
        return False
    if not any(abs(load / (2 * ref) - 1) <= DOUBLE_WITHIN for ref in known):
        return False
    return not _as_strong(strength, logged)


def _weighs(logged: LoggedSet) -> bool:
    return logged.load is not None and logged.load > 0


def _as_strong(strength: Strength, logged: LoggedSet) -> bool:
    """Whether the maximum that the block started from is nearer to the load as it was typed than to its half."""
    start, estimate = strength.start.get(logged.exercise), strength.estimate(logged, typed(logged))
    if start is None or estimate is None:
        return False
    return abs(estimate - start) <= abs(estimate - math.log(2) - start)


def _in_other_unit(log: BlockLog, key: str, exercise: str) -> bool:
    """Whether the session's other loads are as far off those asked for: it is the unit then."""
    others = [
        each for each in by_session(log.sets)[key] if each.exercise != exercise and _weighs(each) and each.target_load
    ]
    ratios = [math.log(each.load / each.target_load) for each in others if each.load and each.target_load]
    return bool(ratios) and abs(median(ratios)) > FAR


def _told(log: BlockLog, sets: Sequence[LoggedSet]) -> Finding:
    first = sets[0]
    likely: dict[str, float | None] = {input_name(each.key, "load"): round((each.load or 0) / 2, 4) for each in sets}
    half, unit = f"{(first.load or 0) / 2:g} {log.spec.block.unit}", log.spec.block.unit
    more = len(sets) - 1
    many = f" So {'is one more set' if more == 1 else f'are {more} more sets'} of it." if more else ""
    message = (
        f"{first.called}: {first.load:g} {unit} is about double. Both hands together? Then it is {half} a hand.{many}"
    )
    return at_set(first, "load", "both-hands-together", message, likely)
