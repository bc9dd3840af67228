"""One value a week, fitted to a block of another length (common practice, no source)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple, TypeVar

T = TypeVar("T")


class Length(NamedTuple):
    """Weeks of a block, and which of them is its deload, counted from 1."""

    weeks: int
    deload_week: int | None


def fitted(
    values: Sequence[T], old: Length, new: Length, lighter: Callable[[T], T], ends_in_meet: bool = False
) -> tuple[T, ...]:
    """One value for each week of the new block, from those of the old.

    A longer block does its first week again at the front. A shorter one leaves out its last weeks,
    so that it never asks for more; one that ends in a meet leaves out its first weeks and keeps
    heaviest week and taper. lighter: what a deload week makes of a value, where the old block had
    none. A single value goes for every week and stays.
    """
    if len(values) == 1 or old == new:
        return tuple(values)
    work = [value for week, value in enumerate(values, start=1) if week != old.deload_week]
    light = values[old.deload_week - 1] if old.deload_week else lighter(work[-1])
    work = work or [light]
    number = new.weeks - (new.deload_week is not None)
    work = [work[0]] * (number - len(work)) + work
    kept = work[len(work) - number :] if ends_in_meet else work[:number]
    if new.deload_week:
        kept.insert(new.deload_week - 1, light)
    return tuple(kept)
