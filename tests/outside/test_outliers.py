"""The robust figures behind doubts about a log against scipy and statsmodels."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.robust import scale  # type: ignore[import-untyped]

from blockbook.intake.believable.strength import Z_LIMIT, median_absolute_deviation, modified_z

LOGS = st.lists(st.floats(-2, 2), min_size=1, max_size=40)


@given(LOGS)
def test_median_absolute_deviation(values: list[float]) -> None:
    ours = median_absolute_deviation(values)
    assert ours == pytest.approx(stats.median_abs_deviation(values), abs=1e-12)
    assert ours == pytest.approx(scale.mad(values, c=1), abs=1e-12)


def test_modified_z() -> None:
    """0.6745 (x - median) / MAD, outliers beyond 3.5: Iglewicz & Hoaglin 1993, from memory.

    0.6745 is the upper quartile of the standard normal, so that z counts standard deviations of normal values.
    """
    assert modified_z(1, 1) == pytest.approx(stats.norm.ppf(0.75), abs=1e-4)
    assert Z_LIMIT == 3.5
