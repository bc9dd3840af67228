"""The coach's structure carried into the next block: head, sets, a deload week in front."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from typing import Any

from blockbook.spec.models import (
    MOST_WEEKS,
    TITLE_LIMIT,
    BackOff,
    Block,
    Slot,
    Specification,
)
from blockbook.spec.values import BACK_OFF_WEEKLY_FIELDS, MOST_SETS, WEEKLY_FIELDS, in_week
from blockbook.training.deload import lighter_fields


def without_added_deload(spec: Specification) -> Specification:
    """The block without the deload week that was put in front of it: that was for once."""
    if not spec.block.deload_added:
        return spec
    head: dict[str, Any] = {"weeks": spec.block.weeks - 1, "deload_week": None, "deload_added": False}
    sessions = tuple(
        session.model_copy(update={"slots": tuple(map(_from_week_two, session.slots))}) for session in spec.sessions
    )
    return spec.model_copy(update={"block": spec.block.model_copy(update=head), "sessions": sessions})


def _from_week_two(slot: Slot) -> Slot:
    def rest(part: Slot | BackOff, name: str) -> tuple[Any, ...] | None:
        values: tuple[Any, ...] | None = getattr(part, name)
        return values if values is None or len(values) == 1 else values[1:]

    update: dict[str, Any] = {name: rest(slot, name) for name in WEEKLY_FIELDS}
    update["loads"] = {week - 1: load for week, load in slot.loads.items() if week > 1}
    update["test_weeks"] = tuple(week - 1 for week in slot.test_weeks if week > 1)
    if slot.back_off:
        weekly = {name: rest(slot.back_off, name) for name in BACK_OFF_WEEKLY_FIELDS}
        update["back_off"] = slot.back_off.model_copy(update=weekly)
    return slot.model_copy(update=update)


def next_head(block: Block, before: Block, deload_first: bool, meet_held: bool, trained_until: date | None) -> Block:
    """The next block's head: title counted on, start behind the last week, the meet if it is still ahead.

    block: with the weeks that the next one has; before: the block that came back; trained_until: its last session.
    """
    number = re.search(r"^(.*\S)\s+(\d{1,2})$", block.title)
    base, count = (number[1], int(number[2]) + 1) if number else (block.title, 2)
    suffix = f" {count}"
    start = before.end
    while meet_held and block.meet and block.meet >= start:  # a meet on the days after the last week
        start += timedelta(weeks=1)
    while trained_until and trained_until >= start:  # it was trained later than planned
        start += timedelta(weeks=1)
    update: dict[str, Any] = {"title": base[: TITLE_LIMIT - len(suffix)] + suffix, "start": start}
    if deload_first:
        update["deload_week"] = 1
        if block.deload_week is None and block.weeks < MOST_WEEKS:
            update |= {"weeks": block.weeks + 1, "deload_added": True}
    if block.meet and block.meet < start:
        update["meet"] = None
    return block.model_copy(update=update)


def usual_sets(slot: Slot, deload_week: int | None) -> int:
    """Work sets of the first week that is not the deload, those a coach's number of sets stands for."""
    week = 2 if deload_week == 1 else 1
    return in_week(slot.sets, week) + (in_week(slot.back_off.sets, week) if slot.back_off else 0)


def with_sets(slot: Slot, usual: int, wanted: int, deload_week: int | None) -> Slot:
    """The slot with `wanted` work sets where it had `usual`; other weeks move by as much.

    Back-off sets are moved first. A deload week that was written out stays as it is, and so
    do weeks without sets, unless the usual week is one.
    """
    if wanted == 0:
        return slot.model_copy(update={"sets": (0,), "test_weeks": ()})
    if usual == 0:
        return slot.model_copy(update={"sets": tuple(number or wanted for number in slot.sets)})
    step = wanted - usual
    back_off = slot.back_off
    weeks = max(len(slot.sets), len(back_off.sets) if back_off else 1)
    top, lighter = [], []
    for week in range(1, weeks + 1):
        sets = in_week(slot.sets, week)
        behind = in_week(back_off.sets, week) if back_off else 0
        if sets and not (weeks > 1 and week == deload_week):
            moved = min(MOST_SETS, max(0, behind + step)) if behind else 0
            sets = min(MOST_SETS, max(1, sets + step - (moved - behind)))
            behind = moved
        top.append(sets)
        lighter.append(behind)
    update: dict[str, Any] = {"sets": _shortest(top)}
    if back_off:
        update["back_off"] = back_off.model_copy(update={"sets": _shortest(lighter)})
    return with_tests(slot.model_copy(update=update), slot.test_weeks)


def with_tests(slot: Slot, weeks: Iterable[int]) -> Slot:
    """The slot with its tests in these weeks, as far as they have sets enough: the last goes all out, others before."""
    return slot.model_copy(update={"test_weeks": tuple(week for week in weeks if in_week(slot.sets, week) >= 2)})


def _shortest(values: list[int]) -> tuple[int, ...]:
    return (values[0],) if len(set(values)) == 1 else tuple(values)


def deload_in_front(slot: Slot, spec: Specification) -> Slot:
    """Per-week values with the deload week's moved to the front, or a light first week added.

    A block that already has the most weeks there can be gets its first week lightened instead.
    """
    lighter = lighter_fields(spec.policy)

    def moved(part: Slot | BackOff, name: str) -> tuple[Any, ...] | None:
        values: tuple[Any, ...] | None = getattr(part, name)
        if values is None or len(values) == 1:
            return values
        if spec.block.deload_week:
            position = spec.block.deload_week - 1
            return (values[position], *values[:position], *values[position + 1 :])
        kept = values if len(values) < MOST_WEEKS else values[1:]
        return (lighter[name](values[0]), *kept)

    update: dict[str, Any] = {name: moved(slot, name) for name in WEEKLY_FIELDS}
    update["test_weeks"] = tuple(_tests_behind_a_deload(slot.test_weeks, spec.block))
    if slot.back_off:
        weekly = {name: moved(slot.back_off, name) for name in BACK_OFF_WEEKLY_FIELDS}
        update["back_off"] = slot.back_off.model_copy(update=weekly)
    return slot.model_copy(update=update)


def _tests_behind_a_deload(weeks: Sequence[int], block: Block) -> Iterator[int]:
    """The weeks of tests, moved with what those weeks ask for; none falls on the deload."""
    if block.deload_week is None and block.weeks == MOST_WEEKS:
        yield from (week for week in weeks if week > 1)
        return
    behind = block.deload_week or MOST_WEEKS + 1
    yield from (week + (week < behind) for week in weeks if week != behind)
