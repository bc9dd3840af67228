"""What a logged set says: whether it is a slip, how near to failure it went, and the strength it speaks for."""

from __future__ import annotations

from collections.abc import Mapping

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    absolute,
    all_numbers,
    and_,
    count,
    exp,
    if_,
    is_number,
    ln,
    maximum,
    minimum,
    not_,
    or_,
)
from blockbook.spec.models import Unit
from blockbook.spec.values import KG_PER_LB
from blockbook.training.effort import effort_given, fresh, one_rep_max, percent_of_max, reps_to_failure
from blockbook.training.loading import under

FAR_TOO_HEAVY = 2.5
"""So many times the heaviest load that the lifter's equipment makes is a slip. Common practice, no source."""

MOST_REPS = 100
"""More reps than so many are a slip, or a date that a program made of "6/6"."""

MANY_TIMES, AND_MORE = 2, 15
"""So are more than so many times those asked for and so many more, where it was not as many as possible. Common
practice, no source."""

OWN_WEIGHT = 0.9
"""A load hung on that comes so near the body weight is taken for it. Common practice, no source."""

ALIKE = 0.15
"""Loads within this share of each other speak for each other: a slip is seldom typed twice."""

BOTH_HANDS, NEAR_DOUBLE = -1, 0.2
"""What is said of a set that shows twice the strength that is believed, by so much in logs: two dumbbells may have been
added up. Common practice, no source."""

UNIT_FACTOR = 1 / KG_PER_LB
"""A load in lb is 2.2046 times the same load in kg."""

TYPED_IN_OTHER: Mapping[Unit, float] = {"kg": UNIT_FACTOR, "lb": 1 / UNIT_FACTOR}
"""What a load typed in the other unit is, over the one meant, by the block's unit: pounds are more than kilograms."""

OTHER_UNIT, NEAR_UNIT = -2, 0.07
"""What is said of a set whose load is the one asked for as the other unit has it, within so much in logs: people round,
and exactly the double is none. Common practice, no source."""

SURE_OF_LOAD = 3
"""And so many spreads of what is believed off it: near a light load on a strong body it may have been chosen. Common
practice, no source."""

EASIER_THAN_ASKED = 1.5
"""Who lifts a light load so far under its target effort, or more, has chosen it. Common practice, no source."""

LIGHTEST = 0.3
"""A load below this share of what was asked, or of what is believed, is a slip whatever stands beside it."""

OTHER_SCALE = 3
"""An effort this low, and this far under its target, may be reps left, and the other way round: it is asked about,
and no estimate follows, so that the load takes a small step and no leap. Common practice, no source."""


AT_FAILURE = 9.5
"""The effort from which on no further rep goes; 9 leaves one (Zourdos et al. 2016)."""


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


@definition
def most_reps(target_reps: Expression) -> Expression:
    """More reps than this are a slip."""
    return minimum(MOST_REPS, MANY_TIMES * target_reps + AND_MORE)


@definition
def plausible(
    load: Expression,
    reps: Expression,
    rpe: Expression,
    load_above: Expression,
    load_before: Expression,
    target_reps: Expression,
    curve: Expression,
    estimate_reps_limit: Expression,
    body_load: Expression,
    prior: Expression,
    exposures: Expression,
    guessed: Expression,
    implausible: Expression,
    far_too_heavy: Expression,
    per_hand: Expression,
    target: Expression,
    usual_rpe: Expression,
    spread_plan: Expression,
    reps_asked: Expression,
    pain: Expression,
    typed_in_other: Expression,
) -> Expression:
    """1 unless a set is so far off what is believed that it must be a slip, such as 1250 for 125: then 0.

    OTHER_UNIT where its load is the one asked for (target) in the other unit (typed_in_other: `TYPED_IN_OTHER` of the
    block's), BOTH_HANDS where it looks like the double of what is counted per hand (per_hand = 1): neither a second
    week, where what is believed is a guess and there is such a load.

    Above `far_too_heavy` whatever is believed, or nothing is yet. A light load is believed beside another: in the
    set above (load_above), or in that set the week before (load_before, as typed). Who comes back ill or hurt is not
    to be asked for the old loads.

    prior: the believed one-rep maximum, of the block's start where that was known. `implausible` is the largest
    difference in logs, doubled while the belief is only a guess from a related lift (guessed = 1) and not mostly the
    body's weight.
    """
    estimate = one_rep_max(load, reps, rpe, body_load, curve, estimate_reps_limit)
    limit = implausible * if_(and_(guessed > 0, exposures < 1, body_load <= 0), 2, 1)
    near = if_(is_number(estimate), if_(absolute(ln(estimate / prior)) <= limit, 1, 0), 1)
    total_load = load + body_load
    possible = and_(load >= 0, total_load <= prior * exp(limit), total_load >= prior * exp(0 - 2 * limit))
    alike = _alike(load, load_above) + _alike(load, load_before)
    light = and_(load >= 0, total_load < prior, total_load >= LIGHTEST * prior, alike > 0)
    lighter = if_(is_number(estimate), if_(estimate < prior, if_(light, 1, 0), 0), if_(light, 1, 0))
    twice = if_(is_number(estimate), if_(absolute(ln(estimate / prior) - ln(2)) <= NEAR_DOUBLE, 1, 0), 0)
    in_the_rack = load * FAR_TOO_HEAVY <= far_too_heavy
    again = if_(and_(guessed > 0, in_the_rack), _alike(load, load_before), 0)
    of_one = if_(and_(per_hand > 0, twice > 0, again < 1), BOTH_HANDS, maximum(near, lighter))
    in_this_unit = if_(is_number(prior), if_(possible, of_one, lighter), 1)
    light_meant = _light_was_chosen(reps, rpe, reps_asked, usual_rpe, pain) + _alike(load, load_before)
    as_strong = _as_strong_as_typed(load, body_load, prior, reps_asked + 10 - usual_rpe, curve, typed_in_other)
    meant = if_(load < target, light_meant, again) + as_strong
    converted = _in_other_unit(load, load_above, target, body_load, spread_plan, typed_in_other, meant)
    by_belief = if_(converted > 0, OTHER_UNIT, in_this_unit)
    no_count = if_(is_number(reps), if_(or_(reps < 0, reps > most_reps(target_reps)), 1, 0), 0)
    slip = or_(load > far_too_heavy, load < 0, no_count > 0)
    return if_(is_number(load), if_(slip, 0, by_belief), 1 - no_count)


def _in_other_unit(
    load: Expression,
    load_above: Expression,
    target: Expression,
    body_load: Expression,
    spread_plan: Expression,
    typed_in_other: Expression,
    meant: Expression,
) -> Expression:
    """1 for the load asked for in the other unit, or for that of the set above where this was near what is asked; not
    where it was meant (1 or more), or so much more or less may have been chosen."""
    of_target, of_above = (_is_converted(load, other, typed_in_other) for other in (target, load_above))
    factor_fits = of_target + if_(_alike(target, load_above) > 0, of_above, 0)
    far = absolute(ln(maximum(load + body_load, 0.001) / maximum(target + body_load, 0.001)))
    likely = and_(factor_fits > 0, far >= SURE_OF_LOAD * spread_plan, meant < 1)
    return if_(all_numbers(load, target), if_(likely, 1, 0), 0)


def _is_converted(load: Expression, other: Expression, typed_in_other: Expression) -> Expression:
    """1 where a load is the other as the other unit has it."""
    off = ln(maximum(load, 0.001) / (maximum(other, 0.001) * typed_in_other))
    return if_(absolute(off) <= NEAR_UNIT, 1, 0)


def _light_was_chosen(
    reps: Expression, rpe: Expression, reps_asked: Expression, usual_rpe: Expression, pain: Expression
) -> Expression:
    """1 or more for a light load that was meant: easy, without effort, failed, short of its reps, or lifted where it
    hurts. Nobody fails with kilograms typed for pounds."""
    effort = or_(rpe <= usual_rpe - EASIER_THAN_ASKED, rpe >= AT_FAILURE)
    by_effort = if_(all_numbers(rpe, usual_rpe), if_(effort, 1, 0), 1)
    short = if_(is_number(reps), if_(reps < reps_asked, 1, 0), 0)
    return by_effort + short + if_(is_number(pain), if_(pain > 0, 1, 0), 0)


def _as_strong_as_typed(
    load: Expression,
    body_load: Expression,
    prior: Expression,
    reps_to_failure: Expression,
    curve: Expression,
    typed_in_other: Expression,
) -> Expression:
    """1 where a load as it was typed is nearer to what the lifter is believed to lift for the reps and effort asked
    than what it would be, taken for the other unit: who comes back to the old load after a light week is right."""
    believed = prior * percent_of_max(reps_to_failure, curve)
    meant = maximum(load / typed_in_other + body_load, 0.001)
    as_typed = absolute(ln(maximum(load + body_load, 0.001) / believed))
    return if_(is_number(prior), if_(as_typed <= absolute(ln(meant / believed)), 1, 0), 0)


def _alike(load: Expression, other: Expression) -> Expression:
    return if_(all_numbers(load, other), if_(absolute(other - load) <= ALIKE * load, 1, 0), 0)


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
    for (more_counts 1), and are the aim elsewhere. An effort that may be reps left says nothing either way.
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
    possible = and_(reps >= 0, reps <= MOST_REPS, left_out(load, reps, rpe, body_load) < 1)
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
