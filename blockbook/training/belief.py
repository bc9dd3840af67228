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
    same,
    square_root,
    sum_of_products,
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
def exposures(logged_load: Expression, before: Expression) -> Expression:
    """How many earlier weeks of the block have a log of this exercise."""
    return before + if_(is_number(logged_load), 1, 0)


@definition
def day_number(typed: Expression, planned: Expression) -> Expression:
    """Day of a session as a spreadsheet counts days: the date typed, else the one planned.

    A date months away from the plan is taken for a slip of the keyboard.
    """
    return if_(is_number(typed), if_(absolute(typed - planned) <= 60, typed, planned), planned)


def _days_between(day_number: Expression, day_before: Expression, planned_before: Expression) -> Expression:
    """Days from the session before to this one. A date that lies after this session's is a slip, and says nothing: the
    day planned stands for it."""
    planned = maximum(0, day_number - planned_before)
    return if_(day_before > day_number, planned, day_number - day_before)


@definition
def days_since(
    day_number: Expression,
    day_before: Expression,
    planned_before: Expression,
    trained_before: Expression,
    days_before: Expression,
) -> Expression:
    """Days since the exercise was last logged (or eased by a deload); "" before any log. days_before: last week's."""
    between = _days_between(day_number, day_before, planned_before)
    longer = if_(is_number(days_before), day_number - day_before + days_before, BLANK)
    return if_(is_number(trained_before), between, longer)


@definition
def last_trained(first_reps: Expression, chosen: Expression, day_number: Expression, before: Expression) -> Expression:
    """The day an exercise was last trained in its place (or eased by a deload: first_reps 1), "" before any. before:
    until then.

    Told by the reps of its first set, where no other exercise was chosen: it is asked from other sessions, and what was
    judged of the sets hangs on all before it, so that a phone would go through those sessions for every load typed.
    """
    done = if_(is_number(first_reps), if_(and_(first_reps >= 1, same(chosen, 0)), 1, 0), 0)
    return if_(done > 0, day_number, before)


@definition
def days_since_any(
    day_number: Expression,
    day_before: Expression,
    planned_before: Expression,
    trained_before: Expression,
    days_before: Expression,
    elsewhere: Expression,
) -> Expression:
    """`days_since` of an exercise that the week has in other places, too. elsewhere: `last_trained` there.

    A day after this session's is a slip, or was done later: it hides no gap, and of several others the first counts.
    """
    here = days_since(day_number, day_before, planned_before, trained_before, days_before)
    last, first = maximum(elsewhere), minimum(elsewhere)
    earlier = if_(first <= day_number, day_number - first, here)
    there = if_(last <= day_number, day_number - last, earlier)
    return if_(and_(is_number(here), count(elsewhere) > 0), minimum(here, there), here)


@definition
def idle_weeks(
    exposures: Expression,
    trained_before: Expression,
    day_number: Expression,
    day_before: Expression,
    planned_before: Expression,
    gap_days: Expression,
) -> Expression:
    """Weeks without the exercise since the row before: 1 if it was left out, more after a longer gap.

    trained_before: a number if the exercise was logged (or eased by a deload) the week before.
    """
    between = _days_between(day_number, day_before, planned_before)
    longer = if_(between >= gap_days, between / 7 - 1, 0)
    return if_(exposures > 0, if_(is_number(trained_before), longer, 1), 0)


# Predict and observe -----------------------------------------------------------------------


@definition
def first_prior(start_maximum: Expression, exercises_above: Expression, depth_loss: Expression) -> Expression:
    """The maximum a block starts from, less the tiredness of exercises before it; "" where none is known."""
    return if_(is_number(start_maximum), start_maximum * exp(0 - depth_loss * exercises_above), BLANK)


def _jump(exposures: Expression, first_jump: Expression) -> Expression:
    """The gain from the first time to the second, in logs; it differs as much as it is large."""
    return if_(same(exposures, 1), first_jump, 0)


@definition
def predicted(
    capacity_before: Expression,
    trained_before: Expression,
    first_prior: Expression,
    exposures: Expression,
    first_jump: Expression,
    idle_weeks: Expression,
    weekly_gain: Expression,
    gap_loss: Expression,
) -> Expression:
    """Believed one-rep maximum before this session: last week's and what has happened since.

    Nothing is gained while nothing is logged. Without a belief, the maximum the block starts from.
    """
    gained = if_(and_(exposures > 0, is_number(trained_before)), weekly_gain + _jump(exposures, first_jump), 0)
    now = capacity_before * exp(gained - gap_loss * idle_weeks)
    return if_(is_number(capacity_before), now, first_prior)


@definition
def first_variance(start_spread: Expression) -> Expression:
    return start_spread * start_spread


@definition
def predicted_variance(
    variance_before: Expression,
    exposures: Expression,
    first_jump: Expression,
    idle_weeks: Expression,
    drift_sd: Expression,
) -> Expression:
    """Variance of that belief, in logs: every week adds to it, idle weeks and a first jump add more."""
    jump = _jump(exposures, first_jump)
    drifted = variance_before + drift_sd * drift_sd * (1 + idle_weeks) + jump * jump
    return if_(exposures > 0, drifted, variance_before)


@definition
def observed(weights: Expression, estimates: Expression) -> Expression:
    """One-rep maximum that the session's sets speak for; "" without a usable set."""
    return if_(total(weights) > 0, sum_of_products(weights, estimates) / total(weights), BLANK)


@definition
def observed_once(weight: Expression, estimate: Expression) -> Expression:
    """The same for a single set: Gnumeric 1.12 refuses SUMPRODUCT over a single empty cell."""
    return if_(weight > 0, estimate, BLANK)


@definition
def observed_variance(weights: Expression, exercise_sd: Expression) -> Expression:
    """Variance of what was observed, in logs: of the sets together, and of the exercise's form that day."""
    return if_(total(weights) > 0, 1 / total(weights) + exercise_sd * exercise_sd, BLANK)


@definition
def innovation(prior: Expression, seen: Expression) -> Expression:
    """Observed against believed maximum, in logs: 0.02 is 2 % better than believed."""
    return if_(all_numbers(prior, seen), ln(seen / prior), BLANK)


@definition
def precision(prior: Expression, seen: Expression, prior_variance: Expression, seen_variance: Expression) -> Expression:
    """How much an innovation tells: 1 / variance; 0 without one."""
    return if_(all_numbers(prior, seen), 1 / (prior_variance + seen_variance), 0)


@definition
def pull(prior: Expression, seen: Expression, precision: Expression) -> Expression:
    """Precision times innovation."""
    return if_(precision > 0, precision * ln(seen / prior), 0)


# What to plan from -----------------------------------------------------------------------------

NEAR_PAIN = 0.9
"""The share of the maximum that is planned from the first time, where what trains the same hurts: there is no load yet
that could be held. Common practice, no source."""

ABOVE_ELSEWHERE = 0.03
"""So far (in logs) above what an exercise showed in another session since may be planned from: five reps a set and
eight differ by less, a session that went wrong by more. Common practice, no source."""


@definition
def shown_fresh(
    seen: Expression, capacity: Expression, exercises_above: Expression, depth_loss: Expression, before: Expression
) -> Expression:
    """The maximum that an exercise was believed to have after it was last done, in whatever session, as it would be
    without others before it; "" before any. before: until then.
    """
    return if_(all_numbers(seen, capacity), capacity * exp(depth_loss * exercises_above), before)


@definition
def to_plan_from(prior: Expression, last_load: Expression, holding_pain: Expression) -> Expression:
    """The believed maximum, less where what trains the same hurts and nothing was lifted yet."""
    return if_(is_number(prior), prior * near_pain(last_load, holding_pain), BLANK)


def near_pain(last_load: Expression, holding_pain: Expression) -> Expression:
    """The share of a maximum that is planned from."""
    return if_(and_(holding_pain > 0, not_(is_number(last_load))), NEAR_PAIN, 1)


@definition
def to_plan_from_again(
    prior: Expression,
    last_load: Expression,
    holding_pain: Expression,
    shown_elsewhere: Expression,
    exercises_above: Expression,
    depth_loss: Expression,
) -> Expression:
    """The same, and little above what the exercise showed since in another session of the week (shown_elsewhere).

    What is believed stays: one session says little of five reps where another asks for eight, but enough not to ask
    on Friday for what failed on Monday.
    """
    able = to_plan_from(prior, last_load, holding_pain)
    highest = shown_elsewhere * exp(ABOVE_ELSEWHERE - depth_loss * exercises_above)
    return if_(all_numbers(able, shown_elsewhere), minimum(able, highest), able)


# Today or trend ----------------------------------------------------------------------------


@definition
def shared_shift(precisions: Expression, pulls: Expression, day_sd: Expression) -> Expression:
    """Part of the innovations that the session's exercises share: precision-weighted mean, shrunk.

    The shrinkage is day variance / (day variance + 1 / summed precision).
    """
    return total(pulls) * shared_variance(precisions, day_sd)


@definition
def shared_variance(precisions: Expression, day_sd: Expression) -> Expression:
    """What is still open of the day once the exercises have spoken."""
    return 1 / (total(precisions) + 1 / (day_sd * day_sd))


@definition
def day_above(
    precisions: Expression,
    pulls: Expression,
    day_sd: Expression,
    day_up_limit: Expression,
    day_down_limit: Expression,
) -> Expression:
    """What the exercises above say about today, in logs, within limits; "" while they say nothing."""
    shift = shared_shift(precisions, pulls, day_sd)
    within = maximum(0 - day_down_limit, minimum(day_up_limit, shift))
    return if_(total(precisions) > 0, within, BLANK)


@definition
def feeler_innovation(prior: Expression, felt: Expression, weight: Expression) -> Expression:
    """What a feeler that counts shows against the believed maximum, in logs. weight: 1 / variance of the set."""
    return if_(weight > 0, innovation(prior, felt), BLANK)


@definition
def feeler_gain(
    prior_variance: Expression, exercise_sd: Expression, feeler_innovation: Expression, weight: Expression
) -> Expression:
    """How much of a feeler's surprise is believed; 0 without one. weight: 1 / variance of the set."""
    own = _own_variance(prior_variance, exercise_sd)
    return if_(is_number(feeler_innovation), own / (own + 1 / weight), 0)


def _own_variance(prior_variance: Expression, exercise_sd: Expression) -> Expression:
    """Of an exercise today: what is not known of its maximum, and its form."""
    return prior_variance + exercise_sd * exercise_sd


@definition
def day_effect(
    day_above: Expression, feeler_innovation: Expression, feeler_gain: Expression, feeler_limit: Expression
) -> Expression:
    """What the sets above say about this exercise today, its own feeler included; in logs, "" for nothing."""
    above = if_(is_number(day_above), day_above, 0)
    surprise = feeler_gain * (feeler_innovation - above)
    moved = maximum(0 - feeler_limit, minimum(feeler_limit, surprise))
    return if_(is_number(feeler_innovation), above + moved, day_above)


@definition
def spread(
    prior_variance: Expression,
    exercise_sd: Expression,
    feeler_gain: Expression,
    precisions: Expression,
    day_sd: Expression,
) -> Expression:
    """Spread of what is believed an exercise can do today, in logs. precisions: of the exercises above."""
    own = _own_variance(prior_variance, exercise_sd)
    return square_root((1 - feeler_gain) * own + shared_variance(precisions, day_sd))


@definition
def spread_of_plan(prior_variance: Expression, exercise_sd: Expression, day_sd: Expression) -> Expression:
    """The same before anything is known of the day."""
    return square_root(_own_variance(prior_variance, exercise_sd) + day_sd * day_sd)


# Learn -------------------------------------------------------------------------------------


@definition
def learned(
    prior: Expression,
    seen: Expression,
    prior_variance: Expression,
    precision: Expression,
    pull: Expression,
    shared: Expression,
    gain_shared: Expression,
    none_up: Expression,
) -> Expression:
    """Believed one-rep maximum after this session; "" while nothing is known.

    Never above what a load of which no rep went up leaves (none_up).
    The gain of an exercise's own part is that of a local-level (Kalman) filter; of the part it
    shares with the session, half day and half trend, a fixed share is kept.
    """
    gained = prior_variance * (pull - precision * shared) + gain_shared * shared
    learned = if_(is_number(seen), if_(is_number(prior), prior * exp(gained), seen), prior)
    return if_(all_numbers(learned, none_up), minimum(learned, none_up), learned)


@definition
def learned_variance(
    prior: Expression,
    seen: Expression,
    seen_variance: Expression,
    prior_variance: Expression,
    precision: Expression,
    shared_left: Expression,
) -> Expression:
    """Variance of that belief. shared_left: what is still open of the day."""
    gain = prior_variance * precision
    kept = (1 - gain) * prior_variance + gain * gain * shared_left
    return if_(is_number(seen), if_(is_number(prior), kept, seen_variance), prior_variance)
