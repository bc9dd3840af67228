"""The load decision: the load of least expected cost, guarded; or reps where steps are coarse.

One row a line and week, in the order of the calculation; `belief` says what is aimed from.
All loads in the block's unit. `body_load` is the share of body weight lifted along.
"""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    all_numbers,
    and_,
    at,
    choose,
    count,
    exp,
    if_,
    is_number,
    ln,
    maximum,
    minimum,
    not_,
    or_,
    round_,
    same,
)
from blockbook.training.effort import load_for, percent_of_max, reps_to_failure
from blockbook.training.loading import NO_CEILING, loadable, rung, rung_above

LOGISTIC_SCALE = 0.5513
"""Scale of the logistic distribution with standard deviation 1: square root of 3, over pi."""

EASY = 0.5
"""So far under its target effort (RPE) a session shows that reps need not be climbed one by one."""

_TIE = 0.000001
"""Keeps halves from being rounded by the last digit of a float, where programs may differ."""

# Aim ---------------------------------------------------------------------------------------


@definition
def maximum_today(prior: Expression, day: Expression) -> Expression:
    """The believed maximum moved by the day (in logs)."""
    return if_(is_number(prior), prior * exp(day), BLANK)


@definition
def aim(able: Expression, reps: Expression, rpe: Expression, body_load: Expression, curve: Expression) -> Expression:
    """Load that a maximum (able) gives for the target reps and effort."""
    return if_(is_number(able), load_for(able, reps, rpe, body_load, curve), BLANK)


@definition
def percent_load(
    start_maximum: Expression, prior: Expression, percent: Expression, body_load: Expression
) -> Expression:
    """Load in percent of the lifter's stated maximum, or of the believed one where none was stated."""
    maximum_load = if_(is_number(start_maximum), start_maximum, prior)
    return if_(is_number(maximum_load), percent / 100 * maximum_load - body_load, BLANK)


@definition
def expected_cost(
    load: Expression, aim: Expression, spread: Expression, body_load: Expression, over_cost: Expression
) -> Expression:
    """What a load is expected to cost, in scales of the spread: `over_cost` for being over the aim, 1 for being under.

    The aim is believed with a logistic distribution, whose expectations have a closed form:
    E(over) = ln(1 + e^z), E(under) = ln(1 + e^-z), z the distance in scales.
    """
    ratio = maximum(load + body_load, 0.001) / maximum(aim + body_load, 0.001)
    z = maximum(-50, minimum(50, ln(ratio) / (LOGISTIC_SCALE * spread)))
    return (1 + over_cost) * ln(1 + exp(z)) - z


@definition
def sure_maximum(able: Expression, spread: Expression, over_cost: Expression) -> Expression:
    """The maximum to count on: below the believed one by the spread's share, where cost is least."""
    return if_(is_number(able), able * exp(0 - LOGISTIC_SCALE * spread * ln(over_cost)), BLANK)


@definition
def maximum_for_reps(able: Expression, spread: Expression, over_cost: Expression, exposures: Expression) -> Expression:
    """The maximum that reps are reckoned from: the believed one, at first the one to count on."""
    return if_(exposures > 0, able, sure_maximum(able, spread, over_cost))


@definition
def careful(aim: Expression, spread: Expression, body_load: Expression, over_cost: Expression) -> Expression:
    """The load of least expected cost if every load could be made: that of the maximum to count on."""
    return sure_maximum(aim + body_load, spread, over_cost) - body_load


@definition
def careful_load(
    aim: Expression,
    spread: Expression,
    body_load: Expression,
    over_cost: Expression,
    ceiling: Expression,
    floor: Expression,
) -> Expression:
    """That load between floor and ceiling."""
    within = minimum(maximum(careful(aim, spread, body_load, over_cost), floor), ceiling)
    return if_(is_number(aim), within, BLANK)


@definition
def rung_under(load: Expression, loads: Expression) -> Expression:
    """The heaviest load that can be made and is not above `load` (at least the first); "" for none."""
    return if_(is_number(load), at(loads, rung(load, loads)), BLANK)


@definition
def rung_over(load: Expression, loads: Expression) -> Expression:
    """The next load that can be made above `load`; at the top of what there is, the top; "" for none."""
    return if_(is_number(load), rung_above(load, loads), BLANK)


# Guard -------------------------------------------------------------------------------------


@definition
def last_demand(
    last_load: Expression, last_reps: Expression, last_rpe: Expression, body_load: Expression, curve: Expression
) -> Expression:
    """What the last load asked for: the maximum that its target reps and effort imply."""
    asked = percent_of_max(last_reps + 10 - last_rpe, curve)
    return if_(is_number(last_load), (last_load + body_load) / asked, BLANK)


@definition
def reference(
    last_load: Expression,
    last_demand: Expression,
    reps: Expression,
    rpe: Expression,
    fewer: Expression,
    body_load: Expression,
    curve: Expression,
) -> Expression:
    """The last load as it compares with this week's: the same, or more where fewer reps or more effort are asked.

    fewer: reps that may be taken off where a step is coarse.
    """
    compared = load_for(last_demand, maximum(1, reps - fewer), rpe, body_load, curve)
    return if_(is_number(last_load), maximum(last_load, compared), BLANK)


@definition
def ceiling(
    progress: Expression,
    last_load: Expression,
    last_overshoot: Expression,
    last_pain: Expression,
    days: Expression,
    reference: Expression,
    body_load: Expression,
    most_rise: Expression,
    hold_overshoot: Expression,
    gap_days: Expression,
) -> Expression:
    """The load this week must not exceed.

    Pain, an overshoot, no effort logged, a gap: the last load itself. Held on purpose: the last
    load as it compares. Else a tenth above that (ACSM 2009: 2-10 %), however sure the belief.
    """
    highest = if_(or_(same(progress, "hold"), same(progress, "tempo")), 0, most_rise)
    return choose(
        (not_(is_number(last_load)), NO_CEILING),
        (last_pain > 0, last_load),
        (not_(is_number(last_overshoot)), last_load),
        (last_overshoot >= hold_overshoot, last_load),
        (days >= gap_days, last_load),
        otherwise=(reference + body_load) * (1 + highest) - body_load,
    )


@definition
def floor(
    last_load: Expression,
    last_reps: Expression,
    last_rpe: Expression,
    reps: Expression,
    rpe: Expression,
    body_load: Expression,
    lowest_step: Expression,
    curve: Expression,
) -> Expression:
    """The load this week should not fall below; lower where more reps or less effort are asked."""
    now = percent_of_max(reps + 10 - rpe, curve)
    then = percent_of_max(last_reps + 10 - last_rpe, curve)
    lowest = (last_load + body_load) * lowest_step * minimum(1, now / then) - body_load
    return if_(is_number(last_load), maximum(0, lowest), 0)


# Reps where steps are coarse ------------------------------------------------------------------


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
def reach(
    able: Expression,
    reps: Expression,
    rpe: Expression,
    body_load: Expression,
    curve: Expression,
    ceiling: Expression,
    floor: Expression,
) -> Expression:
    """The load at which the base reps just fit, half a rep allowed, between floor and ceiling."""
    load = load_for(able, reps - 0.5, rpe, body_load, curve)
    return if_(is_number(able), minimum(maximum(load, floor), ceiling), BLANK)


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
    able: Expression, reps: Expression, rpe: Expression, room: Expression, body_load: Expression, curve: Expression
) -> Expression:
    """The load that leaves half of the range to climb through."""
    return if_(is_number(able), load_for(able, reps + room / 2 - 0.5, rpe, body_load, curve), BLANK)


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
    due = if_(last_above <= fitting, minimum(maximum(last_above, half), fitting), last_made)
    easy = if_(is_number(last_overshoot), last_overshoot <= 0 - EASY, room < 0)
    full = and_(grown > room + 0.5, or_(last_extra >= room, easy))
    kept = choose((grown < -0.5, fitting), (full, due), otherwise=minimum(last_made, fitting))
    return if_(all_numbers(fitting, last_made), kept, fitting)


@definition
def extra_reps(
    by_reps: Expression,
    target: Expression,
    able: Expression,
    reps: Expression,
    rpe: Expression,
    room: Expression,
    fewer: Expression,
    last_load: Expression,
    last_demand: Expression,
    last_extra: Expression,
    last_overshoot: Expression,
    last_pain: Expression,
    days: Expression,
    hold_overshoot: Expression,
    gap_days: Expression,
    most_rise: Expression,
    body_load: Expression,
    curve: Expression,
) -> Expression:
    """Reps above the base with today's load: as many as bring it to the target effort, within their room.

    Load and reps together never ask for more than `most_rise` above last time; after pain, an
    overshoot, a gap or without effort logged for no more than last time, unless the load came down.
    """
    wanted = round_(reps_at(target, able, rpe, body_load, curve) - reps - _TIE, 0)
    fitting = maximum(0 - fewer, minimum(room, wanted))
    share = maximum(target + body_load, 0.001) / (last_demand * (1 + most_rise))
    within = minimum(
        fitting, maximum(0 - fewer, round_(reps_to_failure(share, curve) - (10 - rpe) - reps - 0.5 + _TIE, 0))
    )
    effort_over = if_(is_number(last_overshoot), last_overshoot >= hold_overshoot, last_pain >= 0)
    held = or_(last_pain > 0, effort_over, days >= gap_days)
    no_more = and_(held, target >= last_load)
    guarded = if_(is_number(last_load), if_(no_more, minimum(last_extra, within), within), fitting)
    return if_(by_reps > 0, if_(all_numbers(target, able), guarded, 0), 0)


@definition
def target_reps(reps: Expression, extra: Expression) -> Expression:
    return reps + extra


# The load -------------------------------------------------------------------------------------


@definition
def cheapest(
    lower: Expression,
    upper: Expression,
    aim: Expression,
    spread: Expression,
    body_load: Expression,
    over_cost: Expression,
    ceiling: Expression,
    floor: Expression,
) -> Expression:
    """Of the loads that can be made just under and just over the careful one, that of less expected cost."""
    cheaper = expected_cost(upper, aim, spread, body_load, over_cost) < expected_cost(
        lower, aim, spread, body_load, over_cost
    )
    too_low = round_(lower - floor, 6) < 0
    chosen = if_(and_(round_(upper - ceiling, 6) <= 0, or_(cheaper, too_low)), upper, lower)
    return if_(is_number(aim), chosen, BLANK)


@definition
def held_load(
    last_load: Expression,
    cheap: Expression,
    aim: Expression,
    reference: Expression,
    body_load: Expression,
    hold_band: Expression,
    ceiling: Expression,
    floor: Expression,
    loads: Expression,
) -> Expression:
    """The last load again, on purpose; lower only where the aim is clearly lower. A first load is the cheapest."""
    clearly_lower = aim + body_load < (reference + body_load) * (1 - hold_band)
    within = maximum(minimum(if_(clearly_lower, aim, reference), ceiling), floor)
    held = if_(is_number(aim), loadable(within, ceiling, floor, 0, loads), BLANK)
    return if_(is_number(last_load), held, cheap)


@definition
def decided_load(by_reps: Expression, filled: Expression, cheap: Expression) -> Expression:
    """The load of a line; "" while nothing is believed of it."""
    return if_(by_reps > 0, filled, cheap)


@definition
def decided_on_body_weight(by_reps: Expression, filled: Expression, cheap: Expression) -> Expression:
    """The same for bodyweight exercises: nothing added while nothing is known."""
    decided = decided_load(by_reps, filled, cheap)
    return if_(is_number(cheap), decided, 0)


@definition
def back_off_load(
    logged_load: Expression, target: Expression, drop: Expression, body_load: Expression, loads: Expression
) -> Expression:
    """Back-off load: what the top set really was (its target until then) less `drop` percent."""
    top = if_(is_number(logged_load), logged_load, target)
    return if_(is_number(top), lighter_than(top, 1 - drop / 100, body_load, loads), BLANK)


@definition
def feeler_load(planned: Expression, body_load: Expression, feeler_share: Expression, loads: Expression) -> Expression:
    """The last warm-up set: a share of the planned load, where steps are coarse that load itself."""
    share = (planned + body_load) * feeler_share - body_load
    return if_(is_number(planned), loadable(share, planned, 0, 0, loads), BLANK)


@definition
def lighter_than(load: Expression, share: Expression, body_load: Expression, loads: Expression) -> Expression:
    """A share of a load, made loadable; where steps are coarse never rounded up to the load itself."""
    lighter = (load + body_load) * share - body_load
    half_way = (load + body_load) * (1 + share) / 2 - body_load
    return loadable(lighter, half_way, 0, 0, loads)


@definition
def following_load(
    target: Expression,
    estimates_above: Expression,
    overshoots_above: Expression,
    target_reps: Expression,
    target_rpe: Expression,
    body_load: Expression,
    floor: Expression,
    curve: Expression,
    ease_overshoot: Expression,
    loads: Expression,
    unknown: Expression,
) -> Expression:
    """Load of a later set of an exercise: the target, unless the sets above say otherwise.

    Where no load was known, what the first sets showed; lighter after a set that came in far over
    its target effort, never below the floor; `unknown` while there is nothing to go by.
    """
    some_above = count(estimates_above) > 0
    cautious = load_for(minimum(estimates_above), target_reps, target_rpe, body_load, curve)
    known = is_number(target)
    eased = and_(known, count(overshoots_above) > 0, maximum(overshoots_above) >= ease_overshoot)
    highest = if_(known, target, NO_CEILING)
    return choose(
        (
            and_(some_above, or_(not_(known), eased)),
            loadable(minimum(maximum(cautious, floor), highest), highest, floor, 0, loads),
        ),
        (known, target),
        otherwise=unknown,
    )
