"""Reps where the load cannot: as many as bring a load that can be made to the target effort.

One row a line and week, as in `progression`. All loads in the block's unit.
"""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    all_numbers,
    and_,
    choose,
    if_,
    is_number,
    maximum,
    minimum,
    or_,
    round_,
    same,
)
from blockbook.training.effort import load_for, reps_to_failure
from blockbook.training.loading import under
from blockbook.training.pain import allowed_rise
from blockbook.training.progression import TOO_HARD

EASY = 0.5
"""So far under its target effort (RPE) a session shows that reps need not be climbed one by one."""

NOT_MUCH_LIGHTER = 0.9
"""A load of this share of the last one or more is as good as that one: no more reps with it after a failure."""

MOST_REPS_MORE = 2
"""So many reps more than last time are asked for at most with a load as good as that one. Common practice, no source;
three or four at once fit what is believed as well, and look like another programme to who lifts them."""

_TIE = 0.000001
"""Keeps halves from being rounded by the last digit of a float, where programs may differ."""


@definition
def rep_room(
    range_width: Expression, reps: Expression, policy_extra_reps: Expression, extra_reps_from: Expression
) -> Expression:
    """How many reps an exercise may grow above its base: its range, else what the policy allows."""
    return if_(range_width > 0, range_width, if_(reps >= extra_reps_from, policy_extra_reps, 0))


@definition
def fewer_room(
    range_width: Expression, reps: Expression, fewer_reps: Expression, extra_reps_from: Expression
) -> Expression:
    """How many reps may be taken off the base where no lighter load is in reach; a range is kept to."""
    return if_(and_(range_width <= 0, reps >= extra_reps_from), minimum(fewer_reps, reps - 1), 0)


@definition
def by_reps(
    progress: Expression,
    lower: Expression,
    upper: Expression,
    room: Expression,
    body_load: Expression,
    coarse_step: Expression,
) -> Expression:
    """1 if reps fill what the load cannot: told to, or the step between the loads is coarse, or there is none."""
    step = upper - lower
    coarse = or_(step <= 0, step > coarse_step * (lower + body_load))
    told = if_(same(progress, "reps"), 1, if_(same(progress, "load"), if_(coarse, 1, 0), 0))
    return if_(is_number(lower), if_(room > 0, told, 0), 0)


@definition
def reps_at(
    load: Expression, able: Expression, rpe: Expression, body_load: Expression, curve: Expression
) -> Expression:
    """Reps that come in at the target effort with a load, given a maximum (able)."""
    return reps_to_failure(maximum(load + body_load, 0.001) / able, curve) - (10 - rpe)


@definition
def fits(
    able: Expression,
    reps: Expression,
    rpe: Expression,
    body_load: Expression,
    curve: Expression,
    ceiling: Expression,
    floor: Expression,
    loads: Expression,
) -> Expression:
    """The heaviest load at which the base reps still fit, half a rep allowed, between floor and ceiling."""
    load = load_for(able, reps - 0.5, rpe, body_load, curve)
    return if_(is_number(able), under(minimum(maximum(load, floor), ceiling), loads), BLANK)


@definition
def fitting_load(
    fits: Expression,
    above: Expression,
    able: Expression,
    reps: Expression,
    rpe: Expression,
    room: Expression,
    fewer: Expression,
    body_load: Expression,
    over_cost: Expression,
    curve: Expression,
    ceiling: Expression,
) -> Expression:
    """The heaviest load at which the base reps fit (fits), or the next one above it.

    The next one where reps would run beyond their room by more than it, with a few reps fewer,
    would be too much.
    """
    left_over = reps_at(fits, able, rpe, body_load, curve) - reps - room
    too_much = maximum(0, reps - fewer - reps_at(above, able, rpe, body_load, curve))
    steps = and_(left_over > 0.5, too_much * over_cost < left_over, above <= ceiling)
    return if_(all_numbers(able, fits), if_(steps, above, fits), BLANK)


@definition
def half_range_load(
    able: Expression,
    reps: Expression,
    rpe: Expression,
    room: Expression,
    body_load: Expression,
    curve: Expression,
    loads: Expression,
) -> Expression:
    """The heaviest load that leaves half of the range to climb through."""
    load = load_for(able, reps + room / 2 - 0.5, rpe, body_load, curve)
    return if_(is_number(able), under(load, loads), BLANK)


def _was_easy(last_overshoot: Expression) -> Expression:
    """1 where the last session came in under its target effort."""
    return if_(is_number(last_overshoot), if_(last_overshoot <= 0 - EASY, 1, 0), 0)


@definition
def load_by_reps(
    fitting: Expression,
    half: Expression,
    able: Expression,
    reps: Expression,
    rpe: Expression,
    room: Expression,
    last_made: Expression,
    last_above: Expression,
    last_extra: Expression,
    last_overshoot: Expression,
    body_load: Expression,
    curve: Expression,
) -> Expression:
    """The load of an exercise that progresses by reps first: the last one until its range is full.

    Full: all its reps were asked for last time, or that session came in under target. Then the
    lightest heavier load that leaves half of the range (half) to climb through.
    """
    grown = reps_at(last_made, able, rpe, body_load, curve) - reps
    again = minimum(last_made, fitting)
    due = if_(last_above <= fitting, minimum(maximum(last_above, half), fitting), again)
    full = and_(grown > room + 0.5, or_(last_extra >= room, _was_easy(last_overshoot) > 0))
    kept = choose((grown < -0.5, fitting), (full, due), otherwise=again)
    return if_(all_numbers(fitting, last_made), kept, fitting)


@definition
def extra_reps(
    by_reps: Expression,
    target: Expression,
    able: Expression,
    able_plan: Expression,
    reps: Expression,
    rpe: Expression,
    room: Expression,
    fewer: Expression,
    last_load: Expression,
    last_demand: Expression,
    last_extra: Expression,
    last_overshoot: Expression,
    last_short: Expression,
    lightest: Expression,
    holding_pain: Expression,
    pain_before: Expression,
    days: Expression,
    hold_overshoot: Expression,
    gap_days: Expression,
    most_rise: Expression,
    body_load: Expression,
    curve: Expression,
) -> Expression:
    """Reps above the base with today's load: as many as bring it to the target effort, within their room.

    able, able_plan: the maximum that reps are reckoned from, as the day shows it (else "") and as planned.
    Load and reps together never ask for more than `allowed_rise` above last time. With a load as good as that one,
    reps rise by `MOST_REPS_MORE` at most, or by one more than that session was easy by, and after an overshoot, a gap
    or without effort logged not at all; nor do they with any load while it hurts. After a session `TOO_HARD` over
    target in which sets failed with the lightest load there is they are one fewer.
    """
    maximum_now = if_(is_number(able), able, able_plan)
    wanted = round_(reps_at(target, maximum_now, rpe, body_load, curve) - reps - _TIE, 0)
    share = maximum(target + body_load, 0.001) / (last_demand * (1 + allowed_rise(most_rise, pain_before)))
    within_rise = round_(reps_to_failure(share, curve) - (10 - rpe) - reps - 0.5 + _TIE, 0)
    effort_over = if_(is_number(last_overshoot), last_overshoot >= hold_overshoot, holding_pain >= 0)
    held = or_(effort_over, days >= gap_days)
    as_heavy = target + body_load >= NOT_MUCH_LIGHTER * (last_load + body_load)
    at_lightest = if_(is_number(lightest), if_(round_(target - lightest, 6) <= 0, 1, 0), 0)
    too_hard = if_(all_numbers(last_overshoot, last_short), if_(last_overshoot >= TOO_HARD, at_lightest, 0), 0)
    no_more = or_(holding_pain > 0, and_(held, as_heavy))
    more = if_(is_number(last_overshoot), maximum(MOST_REPS_MORE, round_(1 - last_overshoot, 0)), MOST_REPS_MORE)
    most = if_(as_heavy, minimum(room, maximum(last_extra, 0) + more), room)
    allowed = if_(
        is_number(last_load),
        minimum(maximum(0 - fewer, within_rise), if_(no_more, maximum(0 - fewer, last_extra - too_hard), most)),
        if_(holding_pain > 0, minimum(0, room), room),
    )
    guarded = minimum(maximum(0 - fewer, minimum(room, wanted)), allowed)
    return if_(by_reps > 0, if_(all_numbers(target, maximum_now), guarded, 0), 0)


@definition
def target_reps(reps: Expression, extra: Expression) -> Expression:
    return reps + extra
