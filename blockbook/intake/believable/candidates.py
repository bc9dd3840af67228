"""What a set's three numbers may have been meant to be: one plain function a kind of slip."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator

from blockbook.intake.believable.strength import Values
from blockbook.intake.log import LoggedSet
from blockbook.training.plausibility import UNIT_FACTOR

UNIT_ROUNDING = 0.03
"""Share by which a converted load may miss the nearest load that can be made: people round."""

MOST_REPS_LIKELY = 30
"""More reps than this do not stand where a load was meant. Common practice, no source."""

LEAST_SURE_LOAD = MOST_REPS_LIKELY
"""A load above it cannot be taken for reps."""

MANY_REPS = 20
"""From here on reps may have a digit too many. Common practice, no source."""

HIGHEST_RESERVE = 3.0
"""An effort typed above this in one set is taken for an effort: read either way it is far from failure. Tuned."""

NEAR_AS_LOAD = 0.3
"""In logs, how near reps that are a load come to one beside them: a third more or less. Common practice, no source."""

NEAR_AS_REPS = 5
"""And how near the load, that is reps, comes to the reps asked for. Common practice, no source."""

Candidates = Callable[[LoggedSet, Collection[float]], Iterator[Values]]
"""A set and the loads that can be made (empty: any) -> what may have been meant."""


def other_digits(logged: LoggedSet, made: Collection[float]) -> Iterator[Values]:
    """A digit or the point lost, doubled or turned round: 1075 for 107.5, 12 for 120, 152 for 125; 55 reps for 5.

    Where the load asked for has but one digit other than the one typed, 115 for 215, it was that.
    """
    load, reps, rpe = logged.load, logged.reps, logged.rpe
    if load and logged.target_load and differ_in_a_digit(load, logged.target_load):
        yield Values(logged.target_load, reps, rpe)
    elif load is not None and load > 0 and not _beyond(reps):
        for meant in sorted(written_otherwise(load)):
            if not made or round(meant, 4) in made:
                yield Values(meant, reps, rpe)
    if reps is not None and reps >= MANY_REPS and reps == int(reps):
        for meant in sorted(_one_digit_less(f"{reps:.0f}")):
            yield Values(load, meant, rpe)


def differ_in_a_digit(load: float, other: float) -> bool:
    """Whether two numbers are written alike but for one digit."""
    typed, meant = f"{load:g}", f"{other:g}"
    return len(typed) == len(meant) and sum(a != b for a, b in zip(typed, meant, strict=True)) == 1


def _beyond(reps: float | None) -> bool:
    """Whether nobody does so many reps, so that no other load explains the set."""
    return reps is not None and reps > MOST_REPS_LIKELY


def swapped(logged: LoggedSet, made: Collection[float]) -> Iterator[Values]:
    """Load and reps in each other's cell."""
    load, reps = logged.load, logged.reps
    if load is None or reps is None or not 1 <= load <= MOST_REPS_LIKELY or load != int(load):
        return
    if not made or round(reps, 4) in made:
        yield Values(reps, load, logged.rpe)


def plainly_swapped(logged: LoggedSet, beside: Collection[float]) -> bool:
    """Whether load and reps can only be in each other's cell: nobody does so many reps, and as a load they are near
    one asked for or lifted `beside`, and the load is near the reps asked for; just those where nothing is beside."""
    load, reps = logged.load, logged.reps
    if load is None or reps is None or not _beyond(reps):
        return False
    if load != int(load) or abs(load - logged.target_reps) > NEAR_AS_REPS:
        return False
    if not beside:
        return load == logged.target_reps
    return any(abs(math.log(reps / other)) <= NEAR_AS_LOAD for other in beside)


def other_unit(logged: LoggedSet, made: Collection[float]) -> Iterator[Values]:
    """The load in lb where kg was meant, or the other way round."""
    if logged.load is None or logged.load <= 0 or _beyond(logged.reps):
        return
    for factor in (UNIT_FACTOR, 1 / UNIT_FACTOR):
        converted = round(logged.load * factor, 2)
        nearest = min(made, key=lambda load: abs(load - converted), default=converted)
        if abs(nearest - converted) <= UNIT_ROUNDING * converted:
            yield Values(nearest, logged.reps, logged.rpe)


def reserve(logged: LoggedSet, made: Collection[float]) -> Iterator[Values]:
    """Reps in reserve where effort was meant: 2 for 8."""
    if logged.rpe is not None and 1 <= logged.rpe <= HIGHEST_RESERVE:
        yield Values(logged.load, logged.reps, 10 - logged.rpe)


def written_otherwise(number: float) -> set[float]:
    """What a number above 0 may have been before a slip of one digit or of the point."""
    text = f"{number:.15g}"
    meant = {number * 10, number / 10, number * 100, number / 100}
    for i in range(len(text) - 1):
        turned = text[:i] + text[i + 1] + text[i] + text[i + 2 :]
        if turned.count(".") <= 1 and not turned.startswith((".", "0")):
            meant.add(float(turned))
    meant |= _one_digit_less(text)
    meant |= {float(first + text) for first in "123"} if number >= 1 else set()
    return {round(value, 4) for value in meant} - {number}


def _one_digit_less(text: str) -> set[float]:
    shorter = {text[:i] + text[i + 1 :] for i, digit in enumerate(text) if digit.isdigit()}
    return {float(rest) for rest in shorter if rest.strip(".") and float(rest) > 0}
