from __future__ import annotations

import gc
from collections.abc import Iterator
from datetime import date

import pytest

from blockbook import clock

gc.set_threshold(200_000, 50, 100)  # tests keep whole workbooks: to search them for cycles took a sixth of the run


@pytest.fixture
def meanwhile() -> Iterator[None]:
    """The first week of the tests' blocks is over."""
    with clock.as_of(date(2027, 1, 11)):
        yield


@pytest.fixture
def soon_after() -> Iterator[None]:
    """The blocks of the tests are over, and not so long that another year could be meant."""
    with clock.as_of(date(2027, 3, 1)):
        yield
