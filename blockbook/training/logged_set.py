"""What a logged set says: how near to failure it went, and the strength it speaks for."""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    all_numbers,
    and_,
    count,
    if_,
    is_number,
    maximum,
    minimum,
    not_,
    or_,
)
from blockbook.training.effort import (
    AT_FAILURE,
    effort_given,
    fresh,
    one_rep_max,
    percent_of_max,
    reps_to_failure,
)
from blockbook.training.loading import under
from blockbook.training.plausibility import LIGHTEST, MOST_REPS, OTHER_UNIT

OTHER_SCALE = 3
"""An effort this low, and this far under its target, may be reps left, and the other way round: it is asked about,
and no estimate follows, so that the load takes a small step and no leap. Common practice, no source."""


@definition
def on_other_scale(rpe: Expression, target_rpe: Expression) -> Expression:
    """1 for an effort that may be reps left, or reps left that may be an effort; else 0."""
    far = and_(rpe <= OTHER_SCALE, target_rpe - rpe >= OTHER_SCALE)
    return if_(all_numbers(rpe, target_rpe), if_(far, 1, 0), 0)


@definition
def estimate_of_set(
    load: Expression,
    reps: Expression,
    rpe: Expression,
    usual_rpe: Expression,
    plausible: Expression,
    body_load: Expression,
    curve: Expression,
    estimate_reps_limit: Expression,
) -> Expression:
    """`one_rep_max` of a set that is no slip, and whose effort cannot be reps left; else ""."""
    estimate = one_rep_max(load, reps, rpe, body_load, curve, estimate_reps_limit)
    believed = and_(plausible > 0, on_other_scale(rpe, usual_rpe) < 1)
    return if_(believed, estimate, BLANK)


def left_out(load: Expression, reps: Expression, rpe: Expression, body_load: Expression) -> Expression:
    """1 for zeros typed for a set that was not done; nobody fails with nothing, save where the body is lifted."""
    nothing = and_(load <= 0, reps <= 0, or_(body_load <= 0, not_(effort_given(rpe))))
    return if_(all_numbers(load, reps), if_(nothing, 1, 0), 0)


@definition
def all_out(
    load: Expression,
    reps: Expression,
    rpe: Expression,
    target_reps: Expression,
    test: Expression,
    body_load: Expression,
) -> Expression:
    """1 for a set that went to failure: target reps missed, or as many as possible (test = 1) at effort 10.

    Reps missed at an effort below `AT_FAILURE` were left, not failed.
    """
    to_the_end = if_(and_(test > 0, is_number(rpe)), if_(rpe >= 10, 1, 0), 0)
    failed = if_(is_number(rpe), if_(rpe >= AT_FAILURE, 1, 0), 1 - left_out(load, reps, rpe, body_load))
    return if_(is_number(reps), if_(reps < target_reps, failed, to_the_end), 0)


@definition
def reserve(
    rpe: Expression,
    usual_rpe: Expression,
    all_out: Expression,
    bias: Expression,
    reserve_underrated: Expression,
    all_out_reserve: Expression,
) -> Expression:
    """Reps believed to have been left; "" where nothing says. Failure needs no judging.

    usual_rpe: the effort asked of the set, or of its exercise; bias: reps that this lifter is believed to leave beyond
    those reported.
    """
    believed = maximum(0, (10 - rpe) * (1 + reserve_underrated) + bias)
    given = and_(effort_given(rpe), on_other_scale(rpe, usual_rpe) < 1)
    return if_(all_out > 0, all_out_reserve, if_(given, believed, BLANK))


@definition
def trusted_estimate(
    load: Expression,
    reps: Expression,
    all_out: Expression,
    reserve: Expression,
    plausible: Expression,
    body_load: Expression,
    curve: Expression,
    estimate_reps_limit: Expression,
    set_number: Expression,
    fatigue_per_set: Expression,
) -> Expression:
    """Fresh one-rep maximum by the reserve that is believed, of a plausible set, body load included; else "".

    A load of which no rep went up was above the maximum.
    """
    sound = and_(
        or_(reps >= 1, all_out > 0),
        load >= 0,
        load + body_load > 0,
        reps + reserve <= estimate_reps_limit,
        plausible > 0,
    )
    estimate = fresh((load + body_load) / percent_of_max(reps + reserve, curve), set_number, fatigue_per_set)
    return if_(all_numbers(load, reps, reserve), if_(sound, estimate, BLANK), BLANK)


@definition
def lifted_load(
    load: Expression,
    reps: Expression,
    rpe: Expression,
    plausible: Expression,
    target: Expression,
    body_load: Expression,
) -> Expression:
    """The load of a plausible set that was done, else "". A set of no reps counts for its target at most.

    A failed try above the target says that the target was not too light, no more. A load lighter than asked was
    lifted, however far it is off what is believed: after it the next one rises from there. Not where it looks like the
    other unit.
    """
    lighter = and_(load <= target, load >= LIGHTEST * target, reps >= 0, reps <= MOST_REPS, plausible > OTHER_UNIT)
    counts = if_(plausible > 0, 1, if_(is_number(target), if_(lighter, 1, 0), 0))
    failed = if_(is_number(target), minimum(load, target), BLANK)
    lifted = if_(reps >= 1, load, failed)
    done = counts - left_out(load, reps, rpe, body_load) > 0
    return if_(all_numbers(load, reps), if_(done, lifted, BLANK), BLANK)


@definition
def load_that_counts(
    lifted: Expression,
    reps: Expression,
    all_out: Expression,
    target: Expression,
    target_reps: Expression,
    target_rpe: Expression,
    beside: Expression,
    body_load: Expression,
    curve: Expression,
    most_rise: Expression,
    rungs: Expression,
) -> Expression:
    """The load of a set that the next one is counted from: that lifted, as far as it was asked for.

    One heavier than asked for fewer reps counts as the load for those asked that is as hard; where it failed it says
    that the target was not too light, no more. One heavier by more than `most_rise` counts for that rise where the sets
    above and below (beside) were not: once is more often a slip.
    """
    highest = under(target + most_rise * (target + body_load), rungs)
    reserve = if_(is_number(target_rpe), 10 - target_rpe, 0)
    as_asked = percent_of_max(target_reps + reserve, curve) / percent_of_max(reps + reserve, curve)
    compares = maximum(target, under((lifted + body_load) * as_asked - body_load, rungs))
    fewer = and_(lifted > target, reps < target_reps)
    alone = and_(lifted > highest, count(beside) > 0, maximum(beside) <= highest)
    most = if_(alone, maximum(target, highest), lifted)
    counted = if_(fewer, if_(all_out > 0, target, minimum(compares, most)), most)
    return if_(is_number(lifted), if_(is_number(target), counted, lifted), BLANK)


@definition
def overshoot(
    load: Expression,
    reps: Expression,
    rpe: Expression,
    target: Expression,
    target_reps: Expression,
    target_rpe: Expression,
    more_counts: Expression,
    body_load: Expression,
    curve: Expression,
) -> Expression:
    """How far a set came in over its target effort (under: negative); "" where unknown.

    Missed target reps count as overshoot by the reps missed; with more load than asked (target), those that this load
    leaves less are not missed, unless the set failed. Reps beyond the target were still left where as many were asked
    for (more_counts 1), and are the aim elsewhere. An effort that may be reps left says nothing either way, nor do
    reps with nothing on the bar: another exercise, perhaps.
    """
    chosen = if_(is_number(rpe), if_(rpe < AT_FAILURE, heavier(load, target), 0), 0)
    fewer = if_(chosen > 0, _reps_less(load, target, target_reps, target_rpe, body_load, curve), 0)
    missed = maximum(0, target_reps - reps - fewer)
    more = more_counts * maximum(0, reps - target_reps)
    with_effort = if_(
        and_(effort_given(rpe), is_number(target_rpe)),
        if_(on_other_scale(rpe, target_rpe) > 0, 0, rpe - target_rpe) + missed - more,
        if_(reps < target_reps, missed, BLANK),
    )
    asked = if_(is_number(target), target, 0)
    lifted = or_(load > 0, body_load > 0, asked <= 0)
    possible = and_(reps >= 0, reps <= MOST_REPS, left_out(load, reps, rpe, body_load) < 1, lifted)
    return if_(all_numbers(load, reps), if_(possible, with_effort, BLANK), BLANK)


def heavier(load: Expression, target: Expression) -> Expression:
    """1 where more was lifted than was asked."""
    return if_(all_numbers(load, target), if_(load > target, 1, 0), 0)


def _reps_less(
    load: Expression,
    target: Expression,
    target_reps: Expression,
    target_rpe: Expression,
    body_load: Expression,
    curve: Expression,
) -> Expression:
    """How many reps fewer a heavier load leaves at the same effort, where the target's allow as many as asked."""
    reserve = if_(is_number(target_rpe), 10 - target_rpe, 0)
    able = maximum(target + body_load, 0.001) / percent_of_max(target_reps + reserve, curve)
    return maximum(0, target_reps + reserve - reps_to_failure((load + body_load) / able, curve))


@definition
def weight(
    trusted: Expression,
    reps: Expression,
    reserve: Expression,
    prior: Expression,
    rpe: Expression,
    all_out: Expression,
    judged_reserve: Expression,
    set_sd: Expression,
    reserve_sd: Expression,
) -> Expression:
    """A set's say, 1 / variance in logs: falls with every rep left in reserve; 0 without estimate.

    Far from failure reserve is hard to tell (the scale itself says 4 to 6 left at 5 to 6): a set
    with more than `judged_reserve` reported counts only where it raises what is believed; a set of no rep only
    where it lowers that.
    """
    lowers = if_(is_number(prior), if_(trusted < prior, 1, 0), 1)
    far = reserve_sd * reserve
    raises = if_(is_number(prior), if_(trusted > prior * 1.000001, 1, 0), 1)  # a tie is none in any program
    effort_counts = if_(all_out > 0, 1, if_(10 - rpe <= judged_reserve, 1, raises))
    counts = if_(reps < 1, lowers, effort_counts)
    return if_(is_number(trusted), counts / (set_sd * set_sd + far * far), 0)
