"""Effort and what a set says about strength: reserve, rep curve, estimated one-rep maximum.

Effort is RPE as reps in reserve: reserve = 10 - RPE (Zourdos et al. 2016).
"""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    absolute,
    all_numbers,
    and_,
    choose,
    count,
    exp,
    if_,
    is_number,
    join,
    ln,
    maximum,
    minimum,
    or_,
    round_,
)


@definition
def percent_of_max(reps: Expression, curve: Expression) -> Expression:
    """Share of the one-rep maximum that can be lifted for `reps` to failure.

    Brzycki (37 - n) / 36 up to 10 reps, Epley 1 / (1 + n / 30) beyond; both give exactly
    75 % at 10. The lifter's own curve is that share to the power `curve`.
    """
    standard = if_(reps <= 10, (37 - reps) / 36, 1 / (1 + reps / 30))
    return exp(curve * ln(standard))


@definition
def effort_given(rpe: Expression) -> Expression:
    """Whether an effort on the scale (1 to 10) was logged."""
    return and_(is_number(rpe), rpe >= 1, rpe <= 10)


@definition
def one_rep_max(
    load: Expression,
    reps: Expression,
    rpe: Expression,
    body_load: Expression,
    curve: Expression,
    estimate_reps_limit: Expression,
) -> Expression:
    """Estimated one-rep maximum of a logged set, body load included; "" where it says nothing.

    load and body_load in the block's unit, reps done, rpe 1 to 10.
    """
    sound = and_(
        reps >= 1,
        effort_given(rpe),
        load >= 0,
        load + body_load > 0,
        reps + 10 - rpe <= estimate_reps_limit,
    )
    estimate = (load + body_load) / percent_of_max(reps + 10 - rpe, curve)
    return if_(all_numbers(load, reps, rpe), if_(sound, estimate, BLANK), BLANK)


@definition
def plausible(
    load: Expression,
    reps: Expression,
    rpe: Expression,
    body_load: Expression,
    curve: Expression,
    estimate_reps_limit: Expression,
    prior: Expression,
    exposures: Expression,
    implausible: Expression,
) -> Expression:
    """1 unless a set is so far off what is believed that it must be a slip, such as 1250 for 125.

    `implausible` is the largest difference in logs, doubled before anything was logged.
    """
    limit = implausible * if_(exposures > 0, 1, 2)
    estimate = one_rep_max(load, reps, rpe, body_load, curve, estimate_reps_limit)
    near = if_(is_number(estimate), if_(absolute(ln(estimate / prior)) <= limit, 1, 0), 1)
    possible = and_(load >= 0, load + body_load <= prior * exp(limit))
    return if_(all_numbers(load, prior), if_(possible, near, 0), 1)


@definition
def trusted_one_rep_max(
    load: Expression,
    reps: Expression,
    rpe: Expression,
    body_load: Expression,
    curve: Expression,
    estimate_reps_limit: Expression,
    plausible: Expression,
) -> Expression:
    """The estimate of a plausible set, else ""."""
    estimate = one_rep_max(load, reps, rpe, body_load, curve, estimate_reps_limit)
    return if_(plausible > 0, estimate, BLANK)


@definition
def lifted_load(load: Expression, reps: Expression, plausible: Expression, target: Expression) -> Expression:
    """The load of a plausible set, else "". A set of no reps counts for its target at most.

    A failed try above the target says that the target was not too light, no more.
    """
    failed = if_(is_number(target), minimum(load, target), BLANK)
    lifted = if_(reps >= 1, load, failed)
    return if_(all_numbers(load, reps), if_(plausible > 0, lifted, BLANK), BLANK)


@definition
def load_for(
    maximum_load: Expression, reps: Expression, rpe: Expression, body_load: Expression, curve: Expression
) -> Expression:
    """Load for `reps` at effort `rpe` given a one-rep maximum (body load included)."""
    return maximum_load * percent_of_max(reps + 10 - rpe, curve) - body_load


@definition
def asked_load(maximum_load: Expression, reps: Expression, rpe: Expression, curve: Expression) -> Expression:
    """Load for reps at an effort, once all three are numbers; "" before."""
    asked = and_(all_numbers(maximum_load, reps), effort_given(rpe))
    return if_(asked, load_for(maximum_load, reps, rpe, 0, curve), BLANK)


@definition
def overshoot(
    load: Expression, reps: Expression, rpe: Expression, target_reps: Expression, target_rpe: Expression
) -> Expression:
    """How far a set came in over its target effort (under: negative); "" where unknown.

    Missed target reps count as overshoot by the reps missed.
    """
    missed = maximum(0, target_reps - reps)
    with_effort = if_(
        and_(effort_given(rpe), is_number(target_rpe)),
        rpe - target_rpe + missed,
        if_(reps < target_reps, missed, BLANK),
    )
    return if_(all_numbers(load, reps), with_effort, BLANK)


@definition
def weight(estimate: Expression, rpe: Expression, reserve_weight: Expression) -> Expression:
    """A set's say in the session's estimate: falls with every rep left in reserve; 0 without estimate."""
    return if_(is_number(estimate), exp((10 - rpe) * ln(reserve_weight)), 0)


@definition
def weighted_estimate(
    estimate: Expression, set_weight: Expression, set_number: Expression, fatigue_per_set: Expression
) -> Expression:
    """Weight times the estimate as it would have been fresh: earlier sets cost a little strength."""
    return if_(is_number(estimate), set_weight * estimate * (1 + fatigue_per_set * (set_number - 1)), 0)


@definition
def verdict(
    load: Expression,
    reps: Expression,
    rpe: Expression,
    target_reps: Expression,
    target_rpe: Expression,
    before: Expression,
    plausible: Expression,
    on_target: Expression,
) -> Expression:
    """A logged set in words; `before` is shown while nothing is logged."""
    error = rpe - target_rpe
    judged = choose(
        (
            reps < target_reps,
            join(round_(target_reps - reps, 1), if_(target_reps - reps > 1, " reps", " rep"), " short"),
        ),
        (not_on_scale(rpe), "effort is 1 to 10"),
        (is_number(target_rpe), _judged_effort(error, on_target)),
        otherwise="done",
    )
    effort_needed = and_(is_number(target_rpe), count(rpe) < 1)
    return choose(
        (and_(count(load, reps, rpe) < 1), before),
        (plausible < 1, "check load and reps"),
        (count(load) < 1, "type the load"),
        (count(reps) < 1, "type the reps"),
        (effort_needed, "type the effort"),
        otherwise=judged,
    )


@definition
def not_on_scale(rpe: Expression) -> Expression:
    return and_(is_number(rpe), or_(rpe < 1, rpe > 10))


def _judged_effort(error: Expression, on_target: Expression) -> Expression:
    return choose(
        (error > on_target, join(round_(error, 1), " over")),
        (error < 0 - on_target, join(round_(0 - error, 1), " under")),
        otherwise="on target",
    )
