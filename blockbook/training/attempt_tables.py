"""The attempts with the greatest expected total, worked out: tables for a sheet to look them up in.

Apart from `attempts.py`, since NumPy takes time and memory to load and only a meet needs it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from blockbook.errors import BlockbookError
from blockbook.training.attempts import ATTEMPTS, INCREMENT, PLANS, AttemptTable, second_attempt, third_attempt

OPENER_CHANCE = 0.97
"""An opener is a weight the lifter is strong enough for with at least this chance: what goes for three
on a bad day. Common practice, no source."""

TECHNICAL_MISS = 0.05
"""Share of attempts that fail although the lifter is strong enough. Common practice, no source."""

AT_STAKE = 2.0
"""No good lift in three attempts costs the other lifts too: this many times the believed maximum. An
assumption: the three lifts count about alike."""

_LOWEST, _HIGHEST = 5, 4
"""Weights from so many spreads below the believed maximum to so many above are in the table."""

_MOST_WEIGHTS = 2_000


def attempts(mean: float, sd: float, increment: float = INCREMENT) -> tuple[float, float, float]:
    """Opener, second and third attempt in kg, as planned if each lift before is good.

    mean: what the lifter can most likely lift once on the day; sd: its spread, belief and form of the day
    together; both in kg. The opener is a weight they are strong enough for with a chance of 97 % or more,
    and of those the one with the greatest expected total if more could follow a miss (`_decide` says why): since
    no good lift ends the meet, it is lighter than the heaviest with 97 %. Raises BlockbookError for numbers that
    make no plan.
    """
    return attempt_plan(mean, sd, "planned", increment)


def attempt_plan(mean: float, sd: float, plan: str, increment: float = INCREMENT) -> tuple[float, float, float]:
    """The three attempts of a plan ("safe", "planned" or "reach") if each lift before is good."""
    first = next_attempt(mean, sd, (), increment, plan)
    second = next_attempt(mean, sd, ((first, True),), increment, plan)
    return first, second, next_attempt(mean, sd, ((first, True), (second, True)), increment, plan)


def next_attempt(
    mean: float,
    sd: float,
    results: Sequence[tuple[float, bool]],
    increment: float = INCREMENT,
    plan: str = "planned",
) -> float:
    """The next attempt in kg after what happened so far. mean, sd: as in `attempts`.

    results: weight in kg and whether the lift was good, in order; any weight, planned or not. Raises
    BlockbookError where there is no next attempt or the weights go down.
    """
    lifted = [weight for weight, _ in results]
    if len(results) >= ATTEMPTS:
        raise BlockbookError(f"attempts: {len(results)} results leave no next attempt; there are {ATTEMPTS}.")
    if any(not math.isfinite(weight) or weight <= 0 for weight in lifted) or lifted != sorted(lifted):
        raise BlockbookError(f"attempts: the weights {lifted} should be above 0 and never go down. Look at them again.")
    table = attempt_table(mean, sd, plan, increment)
    happened = [part for weight, good in results for part in (weight, int(good))]
    if not results:
        return table.opener
    if len(results) == 1:
        value = second_attempt.value(*happened, increment, table.weights, table.after_good)
    else:
        value = third_attempt.value(*happened, increment, table.weights, table.after_good, table.above)
    assert isinstance(value, (int, float))
    return float(value)


@lru_cache(maxsize=256)
def attempt_table(mean: float, sd: float, plan: str = "planned", increment: float = INCREMENT) -> AttemptTable:
    """The table that a lift's attempts are looked up in. Raises BlockbookError as `attempts`."""
    _check(mean, sd, plan, increment)
    moved = mean + PLANS[plan] * sd
    lowest = max(1, math.floor((moved - _LOWEST * sd) / increment) - 1)
    weights = increment * np.arange(lowest, math.ceil((moved + _HIGHEST * sd) / increment) + 2, dtype=np.float64)
    table = _decide(weights, _chances(weights, moved, sd), moved)
    if plan == "reach":
        return _with_opener(table, attempt_table(mean, sd, "planned", increment).opener)
    return table


def _with_opener(table: AttemptTable, opener: float) -> AttemptTable:
    return AttemptTable(**{**vars(table), "opener": opener})


def _chances(weights: NDArray[np.float64], mean: float, sd: float) -> NDArray[np.float64]:
    if sd == 0:
        return np.where(weights <= mean + 1e-9, 1.0, 0.0)
    normal = NormalDist()
    return np.array([normal.cdf((mean - weight) / sd) for weight in weights.tolist()])


def _decide(weights: NDArray[np.float64], strong: NDArray[np.float64], mean: float) -> AttemptTable:
    """Back from the third attempt to the opener. Values are expected gains over what stands, in kg.

    Planned as if more could follow a miss, though the missed weight is taken again. It opens lighter now and then,
    which costs nothing where what is believed is right and is safer where it is too high (`python -m tests.meets`).
    """
    good = 1 - TECHNICAL_MISS
    step = float(weights[1] - weights[0])
    numbers = range(len(weights))

    def third_gains(best: float) -> NDArray[np.float64]:
        return good * strong * (weights - best)

    def best_from(gains: NDArray[np.float64]) -> NDArray[np.float64]:
        """The greatest gain from each weight upwards."""
        return np.flip(np.maximum.accumulate(np.flip(gains)))

    after_good_lift = np.array([max(0.0, float(third_gains(weight).max())) for weight in weights])

    def second_gains(best: float) -> NDArray[np.float64]:
        """Gain of the second attempt and of the third after it, by the second's weight."""
        after_missed_lift = best_from(third_gains(best))
        gains: NDArray[np.float64] = good * (strong * (weights - best) + after_good_lift)
        return gains + TECHNICAL_MISS * after_missed_lift

    def choice(gains: NDArray[np.float64], lowest: int) -> int:
        return lowest + int(np.argmax(np.round(gains[lowest:], 9)))

    stake = AT_STAKE * mean
    after_miss = best_from(second_gains(-stake))
    seconds = [(second_gains(float(weights[i])), min(i + 1, len(weights) - 1)) for i in numbers]
    goods = [choice(gains, lowest) for gains, lowest in seconds]
    thirds = [choice(third_gains(float(weights[i])), min(i + 1, len(weights) - 1)) for i in numbers]
    values = [
        good * (strong[i] * (weights[i] + stake) + seconds[i][0][goods[i]]) + TECHNICAL_MISS * after_miss[i]
        for i in numbers
    ]
    sure = [i for i in numbers if strong[i] >= OPENER_CHANCE]
    if not sure:
        raise BlockbookError(
            f"attempts: with a maximum this unsure there is no weight of {step:g} kg or more that goes up with "
            f"{OPENER_CHANCE:.0%}. Give a smaller spread, or test the lift first."
        )
    opener = max(sure, key=lambda i: (round(float(values[i]), 9), -i))
    at_rows = weights.tolist()
    return AttemptTable(
        opener=at_rows[opener],
        weights=tuple(at_rows),
        chances=tuple(strong.tolist()),
        after_good=tuple(at_rows[i] for i in goods),
        above=tuple(at_rows[i] for i in thirds),
    )


def _check(mean: float, sd: float, plan: str, increment: float) -> None:
    if plan not in PLANS:
        raise BlockbookError(f'attempts: no plan "{plan}". Take one of {", ".join(PLANS)}.')
    for name, value, most in (("mean", mean, 1000), ("increment", increment, 50)):
        if not _is_number(value) or not 0 < value <= most:
            raise BlockbookError(f"attempts: {name} {value} should be above 0 and at most {most}, in kg.")
    if not _is_number(sd) or not 0 <= sd <= mean / 3:
        raise BlockbookError(f"attempts: sd {sd} should be 0 to a third of the mean, in kg, not a share of it.")
    if (_LOWEST + _HIGHEST) * sd / increment > _MOST_WEIGHTS:
        raise BlockbookError(f"attempts: an increment of {increment:g} kg is too fine for a spread of {sd:g} kg.")


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value)
