"""Whether a logged set is a slip: too far off what is believed, in the other unit, or two dumbbells added up."""

from __future__ import annotations

from collections.abc import Mapping

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    Expression,
    absolute,
    all_numbers,
    and_,
    exp,
    if_,
    is_number,
    ln,
    maximum,
    minimum,
    or_,
)
from blockbook.spec.models import Unit
from blockbook.spec.values import KG_PER_LB
from blockbook.training.effort import AT_FAILURE, one_rep_max, percent_of_max

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
    spread: Expression,
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

    prior, spread: the believed one-rep maximum, and how far that may be off in logs, both of the block's start where
    that was known. `implausible` is the largest difference in logs, doubled while the belief is only a guess from a
    related lift (guessed = 1) and not mostly the body's weight.
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
    converted = _in_other_unit(load, load_above, target, body_load, spread, typed_in_other, meant)
    by_belief = if_(converted > 0, OTHER_UNIT, in_this_unit)
    no_count = if_(is_number(reps), if_(or_(reps < 0, reps > most_reps(target_reps)), 1, 0), 0)
    slip = or_(load > far_too_heavy, load < 0, no_count > 0)
    return if_(is_number(load), if_(slip, 0, by_belief), 1 - no_count)


def _in_other_unit(
    load: Expression,
    load_above: Expression,
    target: Expression,
    body_load: Expression,
    spread: Expression,
    typed_in_other: Expression,
    meant: Expression,
) -> Expression:
    """1 for the load asked for in the other unit, or for that of the set above where this was near what is asked; not
    where it was meant (1 or more), or so much more or less may have been chosen."""
    of_target, of_above = (_is_converted(load, other, typed_in_other) for other in (target, load_above))
    factor_fits = of_target + if_(_alike(target, load_above) > 0, of_above, 0)
    far = absolute(ln(maximum(load + body_load, 0.001) / maximum(target + body_load, 0.001)))
    likely = and_(factor_fits > 0, far >= SURE_OF_LOAD * spread, meant < 1)
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
