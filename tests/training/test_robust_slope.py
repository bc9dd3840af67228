"""The robust slope by examples; `tests/outside/test_robust_slope.py` holds it to SciPy."""

from __future__ import annotations

import pytest

from blockbook.training.robust_slope import theil_sen


def test_a_straight_line_has_its_slope_and_no_doubt() -> None:
    found = theil_sen([1, 2, 3, 4, 5], [2, 4, 6, 8, 10], 0.9)
    assert found is not None
    assert (found.slope, found.low, found.high) == (2, 2, 2)


def test_one_wild_point_hardly_moves_it() -> None:
    found = theil_sen([1, 2, 3, 4, 5, 6], [1, 2, 3, 4, 5, 60], 0.9)
    assert found is not None
    assert found.slope == 1


@pytest.mark.parametrize("points", [([], []), ([3], [1]), ([2, 2], [1, 5])])
def test_without_two_different_weeks_there_is_none(points: tuple[list[float], list[float]]) -> None:
    assert theil_sen(*points, 0.9) is None


def test_more_confidence_is_a_wider_interval() -> None:
    x, y = list(range(8)), [0.0, 0.3, 0.1, 0.5, 0.2, 0.6, 0.9, 0.4]
    narrow, wide = theil_sen(x, y, 0.5), theil_sen(x, y, 0.95)
    assert narrow is not None
    assert wide is not None
    assert wide.low < narrow.low < narrow.slope < narrow.high < wide.high
