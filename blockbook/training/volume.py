"""How much was done: sets, hard sets, sets per muscle, tonnage, means."""

from __future__ import annotations

from functools import cache

from blockbook.formula.definition import Definition, definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    all_numbers,
    and_,
    at,
    average,
    count,
    count_where,
    if_,
    is_number,
    join,
    maximum,
    minimum,
    same,
    sum_of_products,
    total,
)
from blockbook.training.loading import NO_CEILING
from blockbook.training.plausibility import ALIKE

INDIRECT_SET = 0.5
"""A set counts 1 for a muscle it trains directly, 0.5 indirectly (fractional counting: Pelland et al. 2024)."""

SHARES = f"direct 1, indirect {INDIRECT_SET:g}"
"""The same as it is said on every page that counts so."""


@definition
def sets_done(reps: Expression) -> Expression:
    """Sets with at least one rep done."""
    return count_where(reps, ">0")


@definition
def sets_logged(reps: Expression) -> Expression:
    """Sets of which the reps were typed, be it none."""
    return count(reps)


@definition
def none_went_up(estimates: Expression, reps: Expression) -> Expression:
    """The most that a maximum can be where sets were tried, no slips, and not one rep of all went up; else ""."""
    tried = and_(count(estimates) > 0, count(reps) > 0)
    return if_(tried, if_(maximum(reps) < 1, minimum(estimates), BLANK), BLANK)


FAR_SHORT = 2 / 3
"""Where no set reached more than this share of its reps, the load was far too heavy that day."""


@definition
def all_failed(estimates: Expression, reps: Expression, target_reps: Expression, all_out: Expression) -> Expression:
    """The most that a maximum showed where every set done failed, and none came near its reps; else ""."""
    failed = and_(total(all_out) >= count(reps), maximum(reps) >= 1, maximum(reps) <= FAR_SHORT * target_reps)
    return if_(and_(count(estimates) > 0, count(reps) > 0), if_(failed, maximum(estimates), BLANK), BLANK)


def _all_that_failed(loads: Expression, all_out: Expression, sets: int, otherwise: float) -> list[Expression]:
    # Of one set loads and all_out are cells: Gnumeric 1.12 finds no number by INDEX in a range of one.
    each = [(at(loads, number), at(all_out, number)) for number in range(1, sets + 1)]
    each = each if sets > 1 else [(loads, all_out)]
    return [if_(all_numbers(load, out), if_(out > 0, load, otherwise), otherwise) for load, out in each]


def _lightest_failed(loads: Expression, all_out: Expression, sets: int) -> Expression:
    lightest = minimum(*_all_that_failed(loads, all_out, sets, NO_CEILING), NO_CEILING)
    return if_(lightest < NO_CEILING, lightest, BLANK)


def _heaviest_failed(loads: Expression, all_out: Expression, sets: int) -> Expression:
    heaviest = maximum(*_all_that_failed(loads, all_out, sets, -NO_CEILING), -NO_CEILING)
    return if_(heaviest > -NO_CEILING, heaviest, BLANK)


@cache
def lightest_failed(sets: int) -> Definition:
    """The lightest load with which one of so many sets failed, "" where none did. all_out: 1 for those that did."""
    return Definition(_lightest_failed, sets=sets)


@cache
def heaviest_failed(sets: int) -> Definition:
    """The heaviest such load."""
    return Definition(_heaviest_failed, sets=sets)


@definition
def hard_sets(reps: Expression, rpe: Expression, hard_set_rpe: Expression) -> Expression:
    """Sets done at the effort of a hard set or above."""
    return count_where(reps, ">0", rpe, join(">=", hard_set_rpe))


@definition
def tonnage(loads: Expression, typed: Expression, reps: Expression, chosen: Expression) -> Expression:
    """Sum of load x reps, in the block's unit (only the added load of bodyweight exercises).

    loads: those lifted, slips left out; typed: those of a stand-in (chosen above 0), which is judged by itself.
    """
    return if_(same(chosen, 0), sum_of_products(loads, reps), sum_of_products(typed, reps))


@definition
def tonnage_of_one(load: Expression, typed: Expression, reps: Expression, chosen: Expression) -> Expression:
    """The same for a single set: Gnumeric 1.12 refuses SUMPRODUCT over a single empty cell."""
    instead = if_(all_numbers(typed, reps), typed * reps, 0)
    return if_(same(chosen, 0), if_(all_numbers(load, reps), load * reps, 0), instead)


@definition
def muscle_sets(direct: Expression, indirect: Expression) -> Expression:
    """Sets a muscle gets in a week: direct ones count 1, indirect ones a half."""
    return total(direct) + INDIRECT_SET * total(indirect)


@definition
def mean_of_logged(values: Expression, efforts: Expression) -> Expression:
    """The mean over the weeks that were logged, 0 before: half-way through a block who does all of it is on plan.

    efforts: of each week against target, "" where none was logged. A block without target efforts takes the mean of
    all its weeks.
    """
    return if_(count(efforts) > 0, total(values) / maximum(1, count(efforts)), average(values))


@definition
def largest(values: Expression) -> Expression:
    """The largest number, "" where there is none."""
    return if_(count(values) > 0, maximum(values), BLANK)


@definition
def top_load(top: Expression, plausible: Expression, back_off_lifted: Expression) -> Expression:
    """The load of a session with back-off sets: of its top sets (top). "" where none of those is plausible and the
    back-off sets had clearly more on the bar: 65 typed for 125 is a slip then, and no light day.
    """
    slip = and_(maximum(plausible) < 1, back_off_lifted * (1 - ALIKE) > top)
    return if_(all_numbers(top, back_off_lifted), if_(slip, BLANK, top), top)


@definition
def smallest(values: Expression) -> Expression:
    """The smallest number, "" where there is none."""
    return if_(count(values) > 0, minimum(values), BLANK)


@definition
def mean(values: Expression) -> Expression:
    """The mean of the numbers, "" where there is none."""
    return if_(count(values) > 0, average(values), BLANK)


@definition
def over_in_all(overshoots: Expression, reps: Expression) -> Expression:
    """How far over target sets came in on the mean, those that say nothing counted as on target; "" without sets."""
    return if_(count(reps) > 0, total(overshoots) / maximum(1, count(reps)), BLANK)


@definition
def summed(values: Expression) -> Expression:
    return total(values)


@definition
def share(done: Expression, planned: Expression) -> Expression:
    """Done of planned; "" where nothing was planned."""
    return if_(planned > 0, done / planned, BLANK)


@definition
def change(first: Expression, last: Expression) -> Expression:
    """Relative change; "" where one of the two is missing."""
    return if_(is_number(first), if_(is_number(last), last / first - 1, BLANK), BLANK)


@definition
def came_in_over(
    first: Expression, values: Expression, failures: Expression, bias: Expression, effort_bias: Expression
) -> Expression:
    """How far an exercise came in over its target effort: its first set, or all on average if that is more.

    As logged, but for what tests to failure have shown: reps left unreported beyond the usual
    count. Where a set failed (failures) they excuse nothing.
    """
    mean_of_all = total(values) / maximum(1, count(values))
    with_first = if_(is_number(first), maximum(first, mean_of_all), mean_of_all)
    unreported = bias - effort_bias
    excused = if_(total(failures) > 0, minimum(0, unreported), unreported)
    return if_(count(values) > 0, with_first - excused, BLANK)
