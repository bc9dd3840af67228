"""A slope that a few odd points do not move, and how sure it is.

Theil 1950; Sen 1968, J Am Stat Assoc 63:1379-1389.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from itertools import combinations
from statistics import NormalDist, median
from typing import NamedTuple


class Slope(NamedTuple):
    """Median of the slopes between all pairs of points, and its confidence interval; y per unit of x."""

    slope: float
    low: float
    high: float


def theil_sen(x: Sequence[float], y: Sequence[float], confidence: float) -> Slope | None:
    """The robust slope of y over x; None without two different x.

    The interval follows from the variance of Kendall's statistic with ties (Sen 1968), as in
    SciPy's `theilslopes`.
    """
    slopes = sorted((y2 - y1) / (x2 - x1) for (x1, y1), (x2, y2) in combinations(zip(x, y, strict=True), 2) if x1 != x2)
    if not slopes:
        return None
    number = len(slopes)
    variance = _kendall_variance(len(y), [x, y])
    half = NormalDist().inv_cdf((1 + confidence) / 2) * math.sqrt(max(0.0, variance))
    lowest = max(round((number - half) / 2) - 1, 0)
    highest = min(round((number + half) / 2), number - 1)
    return Slope(median(slopes), slopes[lowest], slopes[highest])


def _kendall_variance(number: int, series: Sequence[Sequence[float]]) -> float:
    tied = (count for values in series for count in Counter(values).values() if count > 1)
    return (_spread(number) - sum(map(_spread, tied))) / 18


def _spread(number: int) -> int:
    return number * (number - 1) * (2 * number + 5)
