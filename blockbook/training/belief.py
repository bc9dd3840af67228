"""What is believed of an exercise: carried from week to week, predicted, observed, learned.

One row a line and week, in the order of the calculation. The believed quantity is the
one-rep maximum (body load included, in the block's unit); an innovation is the log of
observed over believed.
"""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    all_numbers,
    and_,
    choose,
    differs,
    exp,
    if_,
    is_number,
    ln,
    maximum,
    minimum,
    not_,
    or_,
    same,
    total,
)


@definition
def nothing() -> Expression:
    """An empty text: what a cell says that has nothing to say."""
    return BLANK


# Carry the last log forward -----------------------------------------------------------------


@definition
def as_is(value: Expression) -> Expression:
    return value


@definition
def carried(logged_load: Expression, then: Expression, before: Expression) -> Expression:
    """Last week's value if the exercise was logged then, else what was carried until then."""
    return if_(is_number(logged_load), then, before)


@definition
def pain_carried(logged_load: Expression, pain: Expression, before: Expression) -> Expression:
    """1 while pain was the last thing heard of an exercise, logged or skipped."""
    return if_(or_(is_number(logged_load), pain > 0), pain, before)


@definition
def exposures(logged_load: Expression, before: Expression) -> Expression:
    """How many earlier weeks of the block have a log of this exercise."""
    return before + if_(is_number(logged_load), 1, 0)


# Predict and observe -----------------------------------------------------------------------


@definition
def predicted(
    capacity_before: Expression,
    seen_before: Expression,
    exposures: Expression,
    reps: Expression,
    depth_share: Expression,
    start_maximum: Expression,
    weekly_gain_heavy: Expression,
    weekly_gain_middle: Expression,
    weekly_gain_high: Expression,
    second_exposure_factor: Expression,
    last_overshoot: Expression,
    hold_overshoot: Expression,
) -> Expression:
    """Believed one-rep maximum before this session: last week's and the gain expected since.

    No gain is expected after an overshoot, so that a load held too high comes down in time.

    capacity_before, seen_before: believed and observed the week before. Without any, the maximum
    the block starts from.
    """
    gain = choose((reps <= 3, weekly_gain_heavy), (reps <= 7, weekly_gain_middle), otherwise=weekly_gain_high)
    overshot = and_(is_number(last_overshoot), last_overshoot >= hold_overshoot)
    expected = gain * depth_share * if_(exposures < 2, second_exposure_factor, 1)
    growth = if_(overshot, 0, if_(is_number(seen_before), expected, 0))
    return if_(is_number(capacity_before), capacity_before * (1 + growth), start_maximum)


@definition
def observed(weights: Expression, weighted: Expression) -> Expression:
    """One-rep maximum that the session's sets speak for; "" without a usable set."""
    return if_(total(weights) > 0, total(weighted) / total(weights), BLANK)


@definition
def innovation(prior: Expression, seen: Expression) -> Expression:
    """Observed against believed maximum, in logs: 0.02 is 2 % better than believed."""
    return if_(all_numbers(prior, seen), ln(seen / prior), BLANK)


@definition
def precision(
    innovation: Expression, exposures: Expression, exercise_sd: Expression, first_sd: Expression
) -> Expression:
    """How much an innovation tells: 1 / variance, less before anything was logged; 0 without one."""
    sd = if_(exposures > 0, exercise_sd, first_sd)
    return if_(is_number(innovation), 1 / (sd * sd), 0)


@definition
def pull(innovation: Expression, precision: Expression) -> Expression:
    return if_(is_number(innovation), innovation * precision, 0)


# Today or trend ----------------------------------------------------------------------------


@definition
def shared_shift(precisions: Expression, pulls: Expression, day_sd: Expression) -> Expression:
    """Part of the innovations that the session's exercises share: precision-weighted mean, shrunk.

    The shrinkage is day variance / (day variance + 1 / summed precision).
    """
    return total(pulls) * day_sd * day_sd / (total(precisions) * day_sd * day_sd + 1)


@definition
def day_effect(
    precisions: Expression,
    pulls: Expression,
    feeler_innovation: Expression,
    gain_own: Expression,
    day_sd: Expression,
    day_up_limit: Expression,
    day_down_limit: Expression,
) -> Expression:
    """What the sets above say about today, in logs, within limits; 0 at the top of a session.

    A feeler speaks for its own exercise, so it is believed with that exercise's gain.
    """
    above = shared_shift(precisions, pulls, day_sd)
    felt = if_(is_number(feeler_innovation), above + gain_own * (feeler_innovation - above), above)
    return maximum(0 - day_down_limit, minimum(day_up_limit, felt))


# Learn -------------------------------------------------------------------------------------


@definition
def learned(
    prior: Expression,
    seen: Expression,
    innovation: Expression,
    shared: Expression,
    exposures: Expression,
    gain_shared: Expression,
    gain_own: Expression,
    gain_first: Expression,
    gain_guess: Expression,
    guessed: Expression,
) -> Expression:
    """Believed one-rep maximum after this session; "" while nothing is known.

    A belief that was only a guess from a related lift (guessed = 1) gives way to the first log.
    """
    first = if_(guessed > 0, gain_guess, gain_first) * innovation
    gained = if_(exposures > 0, gain_shared * shared + gain_own * (innovation - shared), first)
    return if_(is_number(seen), if_(is_number(prior), prior * exp(gained), seen), prior)


# Pain ----------------------------------------------------------------------------------------


@definition
def pain_named(pain: Expression, label: Expression) -> Expression:
    """1 if the session's pain cell names this exercise's label."""
    return if_(same(pain, label), 1, 0)


@definition
def painful(pain: Expression, where: Expression, named: Expression, all_named: Expression) -> Expression:
    """1 if pain counts for this exercise: it is named, or pain was reported without naming one."""
    said = and_(not_(_says_none(pain)), differs(pain, 0))
    somewhere = not_(_says_none(where))
    unnamed = and_(or_(said, somewhere), total(all_named) < 1)
    return if_(or_(named > 0, unnamed), 1, 0)


def _says_none(text: Expression) -> Expression:
    return or_(same(text, ""), same(text, "none"), same(text, "no"), same(text, "-"))
