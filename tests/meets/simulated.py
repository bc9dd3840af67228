"""Meets of invented lifters. Every rule meets the same lifters, days and slips of technique."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from blockbook.training.attempt_tables import OPENER_CHANCE, attempt_table, next_attempt
from blockbook.training.attempts import INCREMENT

Results: TypeAlias = Sequence[tuple[float, bool]]
Rule: TypeAlias = Callable[[float, float, Results], float]
"""Believed maximum, spread of today's maximum around it (kg) and what happened so far -> next weight."""

DAY_SD = 0.03
"""Spread of a day's form, shared by the three lifts, in logs. Common practice, no source."""

LIFT_SD = 0.015
"""The same, of one lift alone."""

LIFTS = 3
_LIGHTEST, _HEAVIEST = (100, 60, 120), (260, 180, 300)


@dataclass(frozen=True)
class Meets:
    """Squat, bench press and deadlift of lifters and their meets, in kg.

    believed: lifters x lifts; today: lifters x meets x lifts, what can be lifted; slips: the same x
    attempts, whether an attempt fails on technique whatever the strength.
    """

    believed: NDArray[np.float64]
    today: NDArray[np.float64]
    slips: NDArray[np.bool_]
    sd: float


def invent(seed: int, lifters: int, meets: int, spread: float, slip_share: float = 0.05) -> Meets:
    """True maxima are off the believed ones by `spread` (logs); today's are off those by the day's form."""
    random = np.random.default_rng(seed)
    believed = random.uniform(_LIGHTEST, _HEAVIEST, (lifters, LIFTS))
    true = believed * np.exp(random.normal(0, spread, (lifters, LIFTS)))
    form = random.normal(0, DAY_SD, (lifters, meets, 1)) + random.normal(0, LIFT_SD, (lifters, meets, LIFTS))
    slips = random.random((lifters, meets, LIFTS, 3)) < slip_share
    return Meets(believed, true[:, None, :] * np.exp(form), slips, math.hypot(spread, DAY_SD, LIFT_SD))


def totals(meets: Meets, rule: Rule) -> NDArray[np.float64]:
    """Total of each meet (lifters x meets), 0 where a lift has no good attempt."""
    result = np.zeros(meets.today.shape[:2])
    for lifter, meet in np.ndindex(*result.shape):
        bests = [
            _best(rule, float(meets.believed[lifter, lift]), meets.sd, float(meets.today[lifter, meet, lift]),
                  meets.slips[lifter, meet, lift].tolist())
            for lift in range(LIFTS)
        ]  # fmt: skip
        result[lifter, meet] = sum(bests) if all(bests) else 0
    return result


def _best(rule: Rule, believed: float, sd: float, today: float, slips: list[bool]) -> float:
    results: list[tuple[float, bool]] = []
    for slip in slips:
        weight = rule(believed, sd * believed, results)
        results.append((weight, weight <= today and not slip))
    return max((weight for weight, good in results if good), default=0)


def ours(believed: float, sd: float, results: Results) -> float:
    return next_attempt(believed, sd, results)


def shares(*of_believed: float) -> Rule:
    """Fixed shares of the believed maximum; a missed weight is taken again."""

    def rule(believed: float, _sd: float, results: Results) -> float:
        if results and not results[-1][1]:
            return results[-1][0]
        good = sum(made for _, made in results)
        planned = INCREMENT * round(of_believed[len(results) if good else 0] * believed / INCREMENT)
        return max([planned, *(weight for weight, _ in results)])

    return rule


def heaviest_sure_opener(believed: float, sd: float, results: Results) -> float:
    """Ours, but opening with the heaviest weight that goes with the chance an opener needs at least."""
    if results:
        return next_attempt(believed, sd, results)
    table = attempt_table(believed, sd)
    return max(w for w, chance in zip(table.weights, table.chances, strict=True) if chance >= OPENER_CHANCE)


FIXED = shares(0.91, 0.96, 1.0)
"""The usual rule; openers of about 91 % are also what elite lifters take (IPF Classic Worlds 2012-2019)."""

ELITE = shares(0.91, 0.955, 0.984)
"""Shares of those who made all nine there: 91 % of the third, then about 5 % and 3 % more, rounded figures."""


def bombed_out_and_total(
    seed: int, lifters: int, meets: int, spread: float
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Share of meets without a total, and mean total: of ours, then of the usual rule."""
    played = invent(seed, lifters, meets, spread)
    ours_totals, fixed = totals(played, ours), totals(played, FIXED)
    return (
        (float((ours_totals == 0).mean()), float(ours_totals.mean())),
        (float((fixed == 0).mean()), float(fixed.mean())),
    )
