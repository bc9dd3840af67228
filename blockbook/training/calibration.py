"""How well a lifter judges effort: sets to failure against the reserve reported beside them.

A set that went to failure tells how many reps there really were; the sets of the same
exercise and day that were judged tell how many the lifter thought. The gap, in reps, is
averaged over all such tests so far and shrunk toward what is usual. Only reserve near
failure is compared: far from it, judging is poor for everybody (Zourdos et al. 2021).
"""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    absolute,
    all_numbers,
    and_,
    count,
    if_,
    is_number,
    ln,
    maximum,
    minimum,
    total,
)
from blockbook.training.effort import fresh, one_rep_max, percent_of_max

REPS_PER_LOG = 30
"""Reps for a change of 1 in the log of the load: the slope of Epley's line, near enough for differences."""

_LARGEST_GAP = 4
"""A test further off than this many reps is cut to it: hardly a judgement."""

_SLIP = 12
"""A test further off than this many reps is no test: a digit or a unit slipped."""


@definition
def judged(
    load: Expression,
    reps: Expression,
    rpe: Expression,
    all_out: Expression,
    body_load: Expression,
    curve: Expression,
    estimate_reps_limit: Expression,
    set_number: Expression,
    fatigue_per_set: Expression,
    judged_reserve: Expression,
) -> Expression:
    """Fresh estimate by the reported reserve, of a set near failure that did not reach it; else "".

    By what was typed alone, or every later session would hang on what was believed of the set.
    """
    estimate = one_rep_max(load, reps, rpe, body_load, curve, estimate_reps_limit)
    near = if_(is_number(rpe), if_(and_(all_out < 1, 10 - rpe <= judged_reserve), 1, 0), 0)
    return if_(and_(near > 0, is_number(estimate)), fresh(estimate, set_number, fatigue_per_set), BLANK)


@definition
def failed(
    load: Expression,
    reps: Expression,
    all_out: Expression,
    body_load: Expression,
    curve: Expression,
    estimate_reps_limit: Expression,
    all_out_reserve: Expression,
    set_number: Expression,
    fatigue_per_set: Expression,
) -> Expression:
    """Fresh estimate of a set that went to failure; else ""."""
    sound = and_(all_out > 0, reps >= 1, load + body_load > 0, reps + all_out_reserve <= estimate_reps_limit)
    estimate = (load + body_load) / percent_of_max(reps + all_out_reserve, curve)
    return if_(all_numbers(load, reps), if_(sound, fresh(estimate, set_number, fatigue_per_set), BLANK), BLANK)


@definition
def test_gap(failed: Expression, judged: Expression, pain: Expression) -> Expression:
    """Reps left beyond those reported, by this session's sets of an exercise; "" without a test.

    A set that ended where it hurt shows pain, and not how effort is judged.
    """
    shown = total(failed) / maximum(1, count(failed))
    thought = total(judged) / maximum(1, count(judged))
    gap = REPS_PER_LOG * ln(shown / thought)
    believable = if_(absolute(gap) <= _SLIP, maximum(0 - _LARGEST_GAP, minimum(_LARGEST_GAP, gap)), BLANK)
    return if_(and_(count(failed) > 0, count(judged) > 0, total(pain) < 1), believable, BLANK)


@definition
def tests_so_far(gaps: Expression, before: Expression) -> Expression:
    return before + count(gaps)


@definition
def gaps_so_far(gaps: Expression, before: Expression) -> Expression:
    return before + total(gaps)


@definition
def bias(
    tests: Expression,
    gaps: Expression,
    effort_bias: Expression,
    effort_bias_sd: Expression,
    effort_test_sd: Expression,
) -> Expression:
    """Reps believed to be left beyond those reported: the mean gap, shrunk toward the usual one.

    A normal mean with known variances: the usual bias counts as (test sd / bias sd) squared tests.
    """
    trust = effort_bias_sd * effort_bias_sd / (effort_test_sd * effort_test_sd)
    return (effort_bias + trust * gaps) / (1 + trust * tests)
