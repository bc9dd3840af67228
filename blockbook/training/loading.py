"""What can be loaded: plates, dumbbells, stacks; units; the nearest load that can be made."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeAlias

from blockbook.errors import BlockbookError
from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    and_,
    if_,
    is_number,
    look_up,
    or_,
    round_,
)
from blockbook.languages import number_text, say
from blockbook.spec.catalogue import Implement
from blockbook.spec.models import Equipment, Steps
from blockbook.spec.values import KG_PER_LB

_GRAIN = 1000
"""Plate weights are added as whole thousandths, so that 2.5 + 1.25 is exact."""

_MOST_PER_SIDE = 500

MOST_RUNGS = 2_000

NO_CEILING = 1_000_000
"""Stands for "no ceiling" in loads, so that every ceiling is a number."""


@dataclass(frozen=True)
class Loadable:
    """A load that can be made, and the plates on each side, heaviest first (barbell only)."""

    load: float
    per_side: tuple[float, ...] = ()


def to_kg(pounds: float) -> float:
    return pounds * KG_PER_LB


def to_lb(kilograms: float) -> float:
    return kilograms / KG_PER_LB


def ladder(implement: Implement, equipment: Equipment) -> tuple[Loadable, ...]:
    """Every load the implement can take, ascending, in the block's unit; none for bands and what is not there."""
    match implement:
        case "barbell":
            return _barbell(equipment.bar + equipment.collars, tuple(sorted(equipment.plates.items(), reverse=True)))
        case "dumbbell":
            return _steps(equipment.dumbbells)
        case "stack":
            return _steps(equipment.stack)
        case "bodyweight":
            rungs = _steps(equipment.added_weight)
            return rungs if rungs and rungs[0].load == 0 else (Loadable(0), *rungs)
        case "band":
            return ()


def _steps(steps: Steps | None) -> tuple[Loadable, ...]:
    if steps is None:
        return ()
    number = int((steps.heaviest - steps.lightest) / steps.step + 1e-9)
    return tuple(Loadable(round(steps.lightest + i * steps.step, 4)) for i in range(number + 1))


@lru_cache(maxsize=16)  # the same gym is asked about once for every exercise
def _barbell(empty: float, pairs_of_plates: tuple[tuple[float, int], ...]) -> tuple[Loadable, ...]:
    """All sums of the plates there are, each made as people load a bar: the heaviest first, and 5 more is one 5 more.

    Where that takes two plates more than need be, with the fewest.
    """
    fewest: dict[int, tuple[float, ...]] = {0: ()}
    heaviest: dict[int, tuple[float, ...]] = {0: ()}
    for plate, pairs in pairs_of_plates:
        grains = round(plate * _GRAIN)
        for side, plates, first in [(side, fewest[side], heaviest[side]) for side in fewest]:
            for number in range(1, pairs + 1):
                heavier = side + number * grains
                if heavier > _MOST_PER_SIDE * _GRAIN:
                    break
                made = plates + (plate,) * number
                known = fewest.get(heavier)
                if known is None or (-len(made), made) > (-len(known), known):
                    fewest[heavier] = made
                heaviest[heavier] = max(heaviest.get(heavier, ()), first + (plate,) * number)
    if len(fewest) > MOST_RUNGS:
        raise BlockbookError(
            f"the equipment: its plates make {len(fewest):,} different loads, more than the {MOST_RUNGS:,} that "
            "a workbook lists. Leave out the smallest plates or some pairs."
        )
    sides = {side: heaviest[side] if len(heaviest[side]) <= len(few) + 1 else few for side, few in fewest.items()}
    return tuple(Loadable(round(empty + 2 * side / _GRAIN, 4), sides[side]) for side in sorted(sides))


def plates_text(per_side: tuple[float, ...]) -> str:
    """ "2 x 25 + 10" for two 25s and a 10 on each side; "empty bar" for none."""
    pieces = []
    for plate in sorted(set(per_side), reverse=True):
        number = per_side.count(plate)
        pieces.append(number_text(plate) if number == 1 else f"{number} x {number_text(plate)}")
    return " + ".join(pieces) or say("empty bar")


Ladder: TypeAlias = "tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...], tuple[str, ...]]"
"""Loads to look up: from which load on a row counts, the load to make, the next one above it, its plates."""

_AT_LEAST, _MADE, _NEXT, _SIDES = 1, 2, 3, 4


def looked_up(rungs: Sequence[Loadable]) -> Ladder:
    """The columns that `loads` stands for in definitions.

    A first row is for everything lighter than the lightest: that load has to do, and is the next one too.
    """
    loads, sides = tuple(rung.load for rung in rungs), tuple(plates_text(rung.per_side) for rung in rungs)
    at_least, made = (0 - NO_CEILING, *loads), (loads[0], *loads)
    return at_least, made, (*made[:1], *loads[1:], loads[-1]), (sides[0], *sides)


def under(load: Expression, loads: Expression) -> Expression:
    """The heaviest load that can be made and is not above `load` (at least the lightest)."""
    return look_up(round_(load, 6), loads, _MADE)


def over(load: Expression, loads: Expression) -> Expression:
    """The next load that can be made above `load`; at the top of what there is, the top itself."""
    return look_up(round_(load, 6), loads, _NEXT)


@definition
def loadable(
    load: Expression, ceiling: Expression, floor: Expression, round_down: Expression, loads: Expression
) -> Expression:
    """The nearest load that can be made, never above the ceiling; "" where load is "".

    round_down = 1 takes the next lower one. A result below the floor goes up one step where
    the ceiling allows.
    """
    lower, upper = under(load, loads), over(load, loads)
    nearer = round_(upper - load, 6) < round_(load - lower, 6)
    too_low = round_(lower - floor, 6) < 0
    fits = round_(upper - ceiling, 6) <= 0
    up = and_(fits, or_(and_(nearer, round_down < 1), too_low))
    return if_(is_number(load), if_(up, upper, lower), BLANK)


@definition
def nearest(load: Expression, loads: Expression) -> Expression:
    """The nearest load that can be made, with no guard; "" where load is ""."""
    return loadable(load, NO_CEILING, 0, 0, loads)


@definition
def made_load(load: Expression, loads: Expression) -> Expression:
    """The heaviest load that can be made and is not above the one asked for, or that there is none."""
    made = under(load, loads)
    return if_(is_number(load), if_(round_(made - load, 6) > 0, say("less than the bar"), made), BLANK)


@definition
def plates_for(load: Expression, loads: Expression) -> Expression:
    """The plates per side, in words, of the heaviest load that is not above `load`."""
    return if_(is_number(load), look_up(round_(load, 6), loads, _SIDES), BLANK)
