"""The warm-up for an opener, and its clock. Clock times are parts of a day.

Shares, reps and minutes are common practice, no source.
"""

from __future__ import annotations

from typing import NamedTuple

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    all_numbers,
    and_,
    at,
    choose,
    differs,
    if_,
    is_number,
    maximum,
    means,
    or_,
    position_of,
    round_,
    same,
    sentence,
    trimmed,
)
from blockbook.languages import say
from blockbook.spec.models import Equipment, Unit
from blockbook.spec.values import KG_PER_LB
from blockbook.training.loading import plates_for, under
from blockbook.training.warm_up import REPS

MINUTES = (28, 24, 19, 14, 9, 5)
"""Minutes before the opener, the last step's last. A light opener takes fewer steps, the last ones."""

WAYS: tuple[tuple[float, tuple[float, ...]], ...] = (
    (0, ()),
    (1.3, (0.85,)),
    (1.75, (0.7, 0.88)),
    (2.5, (0.6, 0.75, 0.9)),
    (4, (0.5, 0.67, 0.8, 0.9)),
    (6, (0.4, 0.55, 0.7, 0.8, 0.9)),
    (10, (0.3, 0.5, 0.67, 0.8, 0.91)),
)
"""From so many empty bars on: the steps after the empty bar, as shares of the opener.

As before work sets, and one step more, since an opener is heavier for the lifter than a set of several reps.
"""

NO_STEP = "-"
"""Stands in the table of steps where there is none."""

WARM_UP_ROOM: dict[Unit, Equipment] = {
    "kg": Equipment(bar=20, plates={25: 8, 20: 1, 15: 1, 10: 1, 5: 1, 2.5: 1, 1.25: 1}),
    "lb": Equipment(bar=45, plates={45: 6, 35: 1, 25: 1, 10: 2, 5: 1, 2.5: 1}),
}
"""What can be loaded there in a unit that is not the block's. In the block's unit it is what the lifter's gym can."""

BREAK_MINUTES = 15
"""From the last attempt at one lift to the first at the next, where no time is typed."""

MINUTE = 1 / 1440


class Row(NamedTuple):
    """A row of the warm-up, with an entry for each of `WAYS`: share of the opener (0: the empty bar), and reps."""

    minutes: int
    shares: tuple[float | str, ...]
    reps: tuple[int | str, ...]


def rows() -> list[Row]:
    """First to last; where a way has fewer steps than there are rows, the first rows have none."""
    found = []
    for place, minutes in enumerate(MINUTES):
        steps = [place - len(MINUTES) + 1 + len(shares) for _, shares in WAYS]
        shares = tuple((0, *way)[step] if step >= 0 else NO_STEP for step, (_, way) in zip(steps, WAYS, strict=True))
        found.append(Row(minutes, shares, tuple(REPS[step] if step >= 0 else NO_STEP for step in steps)))
    return found


@definition
def in_lb(plates: Expression) -> Expression:
    """1 where the warm-up room has plates in lb, else 0: kg, as on most platforms (common practice, no source)."""
    return if_(or_(means(plates, "lb"), same(trimmed(plates), "lbs")), 1, 0)


@definition
def unit_of(lb: Expression) -> Expression:
    return if_(lb > 0, "lb", "kg")


@definition
def empty_bar(lb: Expression, kg_bar: Expression, lb_bar: Expression) -> Expression:
    """With its collars, in the unit of the plates."""
    return if_(lb > 0, lb_bar, kg_bar)


@definition
def bar_said(bar: Expression, lb: Expression) -> Expression:
    """What the warm-up begins with, so that another bar is seen."""
    return if_(lb > 0, sentence("empty bar {load} lb", load=bar), sentence("empty bar {load} kg", load=bar))


@definition
def opener_load(opener: Expression, lb: Expression) -> Expression:
    """An opener in kg in the unit of the plates, lb to a tenth."""
    return if_(is_number(opener), if_(lb > 0, round_(opener / KG_PER_LB, 1), opener), opener)


@definition
def way_of(opener: Expression, bar: Expression, bars: Expression) -> Expression:
    """Which of `WAYS` leads to an opener in the unit of the plates, from 1; bars: from so many empty bars on."""
    return if_(is_number(opener), position_of(maximum(round_(opener / bar, 6), 0), bars), BLANK)


@definition
def step_load(
    opener: Expression, way: Expression, shares: Expression, above: Expression, lb: Expression,
    kg_loads: Expression, lb_loads: Expression,
) -> Expression:  # fmt: skip
    """The heaviest load that can be made and is not above its share of the opener, both in the unit of the plates.

    "" for a step that the way has not, or that adds nothing to those above it.
    """
    aim = opener * at(shares, way)
    made = if_(lb > 0, under(aim, lb_loads), under(aim, kg_loads))
    adds = if_(made > maximum(0, above), made, BLANK)
    return if_(is_number(way), if_(is_number(at(shares, way)), adds, BLANK), BLANK)


@definition
def step_reps(load: Expression, way: Expression, reps: Expression) -> Expression:
    return if_(is_number(load), at(reps, way), BLANK)


@definition
def step_minutes(load: Expression, said: Expression) -> Expression:
    return if_(is_number(load), said, BLANK)


@definition
def step_plates(
    load: Expression, way: Expression, lb: Expression, kg_loads: Expression, lb_loads: Expression
) -> Expression:
    """The plates on each side; of a step that a lighter opener does not take, that it is none."""
    plates = if_(lb > 0, plates_for(load, lb_loads), plates_for(load, kg_loads))
    return if_(is_number(load), plates, if_(is_number(way), say("no step needed here"), BLANK))


@definition
def opener_said(opener: Expression) -> Expression:
    """That it is the opener, and its weight as the platform has it."""
    return sentence("the opener, {load} kg", load=opener)


A_DAY = 20_000
"""A number from here on is a day, as programs keep it: its fraction is the time."""


def half_typed(typed: Expression) -> Expression:
    """1 for 9.5, which may be half past nine or 9:50 without its zero; else 0."""
    half = and_(typed >= 1, typed < 24, same(round_(typed - _whole(typed), 6), 0.5))
    return if_(is_number(typed), if_(half, 1, 0), 0)


@definition
def time_of_day(typed: Expression) -> Expression:
    """A time as programs keep it, or as people write one where no program sees it: 9, 9.30 or 930.

    "" for what is no time, or may be two.
    """
    written = if_(typed >= 100, typed / 100, typed)
    hours = _whole(written)
    minutes = round_((written - hours) * 100, 0)
    a_time = and_(hours < 24, minutes < 60)
    as_written = if_(a_time, (hours * 60 + minutes) * MINUTE, BLANK)
    of_a_day = typed - _whole(typed)
    known = choose(
        (or_(typed < 0, half_typed(typed) > 0), BLANK),
        (typed < 1, typed),
        (typed >= A_DAY, of_a_day),
        otherwise=as_written,
    )
    return if_(is_number(typed), known, BLANK)


def _whole(number: Expression) -> Expression:
    """The whole part of a number from 1 on."""
    return round_(number - 0.5, 0)


@definition
def start_of_lift(typed: Expression, before: Expression, lifters: Expression, minutes: Expression) -> Expression:
    """When a lift begins: as typed, else after three rounds of the lift before and a break; "9h30" is no time."""
    later = before + (3 * lifters * minutes + BREAK_MINUTES) * MINUTE
    return choose(
        (half_typed(typed) > 0, sentence("{hour}:30 or {hour}:50?", hour=_whole(typed))),
        (is_number(time_of_day(typed)), time_of_day(typed)),
        (differs(typed, ""), say("no time: 9:30, say")),
        (all_numbers(before, lifters, minutes), later),
        otherwise=BLANK,
    )


@definition
def clock(
    load: Expression, start: Expression, place: Expression, minutes: Expression, before: Expression
) -> Expression:
    """The clock time so many minutes before the opener of whoever stands at this place in order; "" without a load."""
    known = all_numbers(load, start, place, minutes)
    return if_(known, start + ((place - 1) * minutes - before) * MINUTE, BLANK)


@definition
def hours_before(start: Expression, hours: Expression) -> Expression:
    return if_(is_number(start), start - hours / 24, BLANK)
