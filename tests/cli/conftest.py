from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest

from blockbook import clock


@pytest.fixture(autouse=True)
def _soon_after_the_blocks() -> Iterator[None]:
    """The blocks are over, and not so long that another year could be meant."""
    with clock.as_of(date(2027, 3, 1)):
        yield
