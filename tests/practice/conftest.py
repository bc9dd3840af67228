"""The practice's tests happen on the day after the small block's last."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from blockbook.clock import VARIABLE
from tests.practice.small_practice import AFTER


@pytest.fixture(autouse=True, scope="package")
def _today() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv(VARIABLE, AFTER.isoformat())
        yield
