"""What day it is: the one thing that is not in the files, and by which the same log may be read otherwise."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date

from blockbook.errors import BlockbookError

VARIABLE = "BLOCKBOOK_TODAY"
"""Environment variable with another day, as 2027-01-18, for a run and all its processes."""

_as_of: ContextVar[date | None] = ContextVar("as of", default=None)


@contextmanager
def as_of(day: date | None) -> Iterator[None]:
    """Within it, today is that day; None leaves it as it is."""
    before = _as_of.set(day or _as_of.get())
    try:
        yield
    finally:
        _as_of.reset(before)


def today() -> date:
    """Raises BlockbookError where the environment names a day that is none."""
    if (day := _as_of.get()) is not None:
        return day
    if not (named := os.environ.get(VARIABLE)):
        return date.today()
    try:
        return date.fromisoformat(named)
    except ValueError:
        raise BlockbookError(f'{VARIABLE}: "{named}" is no day. Write 2027-01-18, or unset it.') from None
