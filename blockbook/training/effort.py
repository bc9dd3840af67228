"""Effort and strength: reserve, rep curve, estimated one-rep maximum, the load for an effort.

Effort is RPE as reps in reserve: reserve = 10 - RPE (Zourdos et al. 2016).
"""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    all_numbers,
    and_,
    differs,
    exp,
    if_,
    is_number,
    ln,
    maximum,
)

AT_FAILURE = 9.5
"""The effort from which on no further rep goes; 9 leaves one (Zourdos et al. 2016)."""


@definition
def percent_of_max(reps: Expression, curve: Expression) -> Expression:
    """Share of the one-rep maximum that can be lifted for `reps` to failure.

    Brzycki (37 - n) / 36 up to 10 reps, Epley 1 / (1 + n / 30) beyond; both give exactly
    75 % at 10. The lifter's own curve is that share to the power `curve`.
    """
    standard = maximum((37 - reps) / 36, 1 / (1 + reps / 30))  # each is the larger on its own side of 10
    return exp(curve * ln(standard))


@definition
def reps_to_failure(share: Expression, curve: Expression) -> Expression:
    """Reps that a share of the one-rep maximum allows: `percent_of_max` turned round."""
    standard = exp(ln(share) / curve)
    return maximum(37 - 36 * standard, 30 * (1 / standard - 1))


@definition
def effort_of_reserve(left: Expression) -> Expression:
    """The effort (RPE) of reps left as they are typed; a word where text is typed, so that it can be told."""
    return if_(is_number(left), 10 - left, if_(differs(left, ""), "no number", BLANK))


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
def one_rep_max_by_reserve(
    load: Expression,
    reps: Expression,
    rpe: Expression,
    body_load: Expression,
    curve: Expression,
    estimate_reps_limit: Expression,
) -> Expression:
    """`one_rep_max` where reps left stand in the cell of the effort."""
    return one_rep_max(load, reps, effort_of_reserve(rpe), body_load, curve, estimate_reps_limit)


@definition
def asked_load_by_reserve(maximum_load: Expression, reps: Expression, rpe: Expression, curve: Expression) -> Expression:
    """`asked_load` where reps to leave stand in the cell of the effort."""
    return asked_load(maximum_load, reps, effort_of_reserve(rpe), curve)


@definition
def fresh(estimate: Expression, set_number: Expression, fatigue_per_set: Expression) -> Expression:
    """An estimate as it would have been fresh: earlier sets of the exercise cost a little strength."""
    return estimate * (1 + fatigue_per_set * (set_number - 1))
