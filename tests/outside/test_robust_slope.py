"""The robust slope and its interval against SciPy's `theilslopes` (Theil 1950; Sen 1968)."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import theilslopes

from blockbook.training.robust_slope import theil_sen


@pytest.mark.parametrize("confidence", [0.5, 0.9, 0.95])
@pytest.mark.parametrize("number", [2, 3, 6, 8, 14])
@pytest.mark.parametrize("rounded", [False, True], ids=["no ties", "ties"])
def test_slope_and_interval_are_those_of_scipy(number: int, confidence: float, rounded: bool) -> None:
    random = np.random.default_rng(number)
    for _ in range(20):
        x = np.arange(1.0, number + 1) if rounded else np.sort(random.uniform(0, 12, number))
        y = random.normal(0.004 * x, 0.02)
        y = np.round(y, 2) if rounded else y
        ours, theirs = theil_sen(list(x), list(y), confidence), theilslopes(y, x, confidence)
        assert ours is not None
        expected = (theirs.slope, theirs.low_slope, theirs.high_slope)
        assert tuple(ours) == pytest.approx(expected, rel=1e-9, abs=1e-12)


def test_weeks_logged_twice_count_as_ties() -> None:
    x, y = [1, 1, 2, 2, 3, 3, 4, 5], [1.0, 1.2, 1.1, 1.2, 1.3, 1.2, 1.5, 1.4]
    ours, theirs = theil_sen(x, y, 0.9), theilslopes(y, x, 0.9)
    assert ours is not None
    assert tuple(ours) == pytest.approx((theirs.slope, theirs.low_slope, theirs.high_slope))
