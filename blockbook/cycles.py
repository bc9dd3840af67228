"""Python's search for cyclic garbage, held off while much is made that holds no cycles."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def no_search_for_cycles() -> Iterator[None]:
    """The search rests meanwhile, and is as it was afterwards.

    It would look through all that was made so far each time that has grown by a quarter, a good part
    of the time, and find nothing: neither a book nor what is read from a file holds cycles. For the same
    reason all of it joins what the search has long known, instead of being looked at once on the way out.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            if not gc.get_freeze_count():  # else a host keeps things from the search: they stay where they are
                gc.freeze()
                gc.unfreeze()
            gc.enable()
