"""The same work on many things, on every core: in order, as they finish, in memory that does not grow."""

from __future__ import annotations

import os
import signal
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from itertools import islice
from typing import TypeVar

from blockbook.errors import DEBUG, BlockbookError, unexpected

T = TypeVar("T")
R = TypeVar("R")

FEW = 6
"""So few are done one after the other: to start a process takes as long as a workbook or two."""

_AHEAD = 2
"""Things handed out a process: one at work and one that waits, so that none stands idle and little is kept."""


def cores() -> int:
    return os.cpu_count() or 1


def each(work: Callable[[T], R], items: Sequence[T], workers: int = 1) -> Iterator[tuple[T, R | BlockbookError]]:
    """Each thing and what came of it, in the order given; a BlockbookError stands in its place and stops no other.

    workers: processes at most; with one, or a few things, all is done here. Several start Python anew, so `work` is
    a function of a module (or a partial of one), what goes in and out can be pickled, and a program of your own
    needs its `if __name__ == "__main__":`. Raises BlockbookError if the system ends a process.
    """
    workers = min(workers, len(items))
    if workers < 2 or len(items) < FEW:
        yield from ((item, _tried(work, item)) for item in items)
        return
    from concurrent.futures import Future, ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool
    from multiprocessing import get_context

    pool = ProcessPoolExecutor(workers, get_context("spawn"), _leave_stopping_to_the_first)
    waiting: deque[tuple[T, Future[R | BlockbookError]]] = deque()
    coming = iter(items)
    try:
        while True:
            for item in islice(coming, workers * _AHEAD - len(waiting)):
                waiting.append((item, pool.submit(_tried, work, item)))
            if not waiting:
                return
            item, future = waiting.popleft()
            yield item, future.result()
    except BrokenProcessPool:
        raise BlockbookError(
            "the system ended a process that was at work, perhaps for want of memory. What was written until then is "
            "whole: run it again for the rest."
        ) from None
    finally:
        pool.shutdown(cancel_futures=True)


def _tried(work: Callable[[T], R], item: T) -> R | BlockbookError:
    try:
        return work(item)
    except BlockbookError as error:
        return error
    except OSError as error:
        return BlockbookError(f"{error.filename or item}: cannot be read or written ({error.strerror}).")
    except Exception as error:  # whatever is wrong with one of us must not cost the others their result
        if os.environ.get(DEBUG):
            raise
        return BlockbookError(f"{item}: {unexpected(error)}")


def _leave_stopping_to_the_first() -> None:
    """Ctrl-C reaches every process of a terminal: the first one says so, the others finish what they are at."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
