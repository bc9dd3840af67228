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
    choose,
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
from blockbook.training.belief import near_pain
from blockbook.training.effort import percent_of_max
from blockbook.training.loading import NO_CEILING, loadable, over, under
from blockbook.training.pain import allowed_rise

LOGISTIC_SCALE = 0.5513
"""Scale of the logistic distribution with standard deviation 1: square root of 3, over pi."""

# Aim ---------------------------------------------------------------------------------------


@definition
def maximum_today(
    to_plan_from: Expression, day: Expression, last_load: Expression, holding_pain: Expression
) -> Expression:
    """The maximum planned from, moved by the day (in logs); "" while nothing is known of the day.

    Where it was planned lower for pain nearby, the day says how the whole of it is: a feeler that was as easy as its
    lighter load makes it would lower the plan once more. No more than was planned is asked all the same
    (`ceiling_today`).
    """
    able = to_plan_from / near_pain(last_load, holding_pain)
    return if_(all_numbers(to_plan_from, day), able * exp(day), BLANK)


@definition
def asked_share(reps: Expression, rpe: Expression, fewer: Expression, curve: Expression) -> Expression:
    """Share of the one-rep maximum that this week's reps and effort ask for.

    fewer: reps that may be taken off where a step is coarse.
    """
    return percent_of_max(maximum(1, reps - fewer) + 10 - rpe, curve)


@definition
def aim(able: Expression, share: Expression, body_load: Expression) -> Expression:
    """Load that a maximum (able) gives for a share of it."""
    return if_(is_number(able), able * share - body_load, BLANK)


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
    return if_(is_number(load), under(load, loads), BLANK)


@definition
def rung_over(load: Expression, loads: Expression) -> Expression:
    """The next load that can be made above `load`; at the top of what there is, the top; "" for none."""
    return if_(is_number(load), over(load, loads), BLANK)


FAR_HARDER = 3
"""Over the target effort by more than this, reps missed counted in, a session was far harder than asked."""

FAR_EASIER = 2
"""Under the target effort by so much, a session was far easier than asked: a light day, if its load was lighter too."""

TOO_HARD = 2
"""So far over the target effort, reps missed counted in, a load that failed is not asked for again next time, nor as
many reps where there is no lighter one. Common practice, no source."""

_LESS = 0.001
"""Less than any step between loads."""

AFTER_TOO_HARD = 0.9
"""The share of the last load that is asked for at most where it hurt, or in a deload, if that came in over target.
Common practice, no source."""

ABOVE_FAILURE = 1.03
"""So much of what a session showed in which every set failed may be asked for next: it may have been a bad day.
Common practice, no source."""

# Guard -------------------------------------------------------------------------------------


@definition
def last_demand(
    logged_load: Expression,
    reps_then: Expression,
    rpe_then: Expression,
    before: Expression,
    body_load: Expression,
    curve: Expression,
) -> Expression:
    """What the last load asked for: the maximum that its target reps and effort imply.

    logged_load, reps_then, rpe_then: last week's; before: what was carried until then.
    """
    asked = percent_of_max(reps_then + 10 - rpe_then, curve)
    return if_(is_number(logged_load), (logged_load + body_load) / asked, before)


@definition
def reference(last_load: Expression, last_demand: Expression, share: Expression, body_load: Expression) -> Expression:
    """The last load as it compares with this week's: the same, or more where fewer reps or more effort are asked."""
    return if_(is_number(last_load), maximum(last_load, last_demand * share - body_load), BLANK)


@definition
def ceiling(
    progress: Expression,
    last_load: Expression,
    last_heaviest: Expression,
    last_overshoot: Expression,
    last_none_up: Expression,
    last_failed: Expression,
    last_short: Expression,
    earlier_load: Expression,
    holding_pain: Expression,
    pain_before: Expression,
    last_planned: Expression,
    stood_in: Expression,
    days: Expression,
    last_demand: Expression,
    share: Expression,
    body_load: Expression,
    most_rise: Expression,
    hold_overshoot: Expression,
    gap_days: Expression,
    floor: Expression,
    coarse_step: Expression,
    loads: Expression,
) -> Expression:
    """The load this week must not exceed. share: of the one-rep maximum that is asked.

    After a load of which no rep went up (last_none_up): what the maximum that it leaves allows. After sets that all
    failed short of their reps (last_failed, what they showed): little more than that. After a session `TOO_HARD` over
    target in which sets failed: below the heaviest of those (last_short). Pain, or another
    exercise in its place (stood_in above 0), before any load was logged: what was planned the week before,
    `last_planned`. An overshoot, no effort logged, a gap: the last load itself. Pain, or a deload: nothing harder than
    that, and a tenth less after an overshoot; with pain no more than was planned, either, or lifting over a hold would
    raise it. Held on purpose: the last load as it compares. Else a tenth above that
    (ACSM 2009: 2-10 %), however sure the belief; the week after pain half of it, and above the last load as it was;
    nothing on top of a set that was heavier than the others and counts in part (below last_heaviest). After a day that
    was lighter and far easier than asked, half of the way back to the load before it (earlier_load), if that is more.
    """
    counted = if_(and_(last_heaviest > last_load, last_load > last_planned), 1, 0)
    in_part = if_(all_numbers(last_heaviest, last_load, last_planned), counted, 0)
    as_it_is = or_(same(progress, "hold"), same(progress, "tempo"), in_part > 0)
    highest = if_(as_it_is, 0, allowed_rise(most_rise, pain_before))
    unlifted = _unlifted(holding_pain, stood_in, last_planned)
    light_day = and_(last_overshoot <= 0 - FAR_EASIER, last_load < earlier_load)
    half_way_back = (last_load + earlier_load) / 2
    compares = if_(pain_before > 0, last_load + body_load, maximum(last_load + body_load, last_demand * share))
    no_harder = _no_harder(last_load, last_overshoot, last_demand * share, body_load, hold_overshoot)
    by_failure = if_(is_number(last_failed), ABOVE_FAILURE * share * last_failed - body_load, NO_CEILING)
    most = choose(
        (not_(is_number(last_load)), unlifted),
        (and_(same(progress, "deload"), not_(is_number(last_none_up))), no_harder),
        (is_number(last_none_up), minimum(last_load, minimum(1, share) * last_none_up - body_load)),
        (holding_pain > 0, if_(is_number(last_planned), minimum(no_harder, last_planned), no_harder)),
        (not_(is_number(last_overshoot)), last_load),
        (
            last_overshoot >= TOO_HARD,
            _below_failed(last_short, last_load, floor, body_load, coarse_step, loads),
        ),
        (last_overshoot >= hold_overshoot, last_load),
        (days >= gap_days, last_load),
        otherwise=maximum(
            compares * (1 + highest) - body_load,
            if_(all_numbers(earlier_load, last_overshoot), if_(light_day, half_way_back, last_load), last_load),
        ),
    )
    return minimum(most, by_failure)


def _below_failed(
    last_short: Expression,
    last_load: Expression,
    floor: Expression,
    body_load: Expression,
    coarse_step: Expression,
    loads: Expression,
) -> Expression:
    """The ceiling after a session that was too hard: below a load that failed, where the step down is a fine one, but
    not below the floor; else, and where none failed, the last load. A coarse step would be too much.
    """
    lighter = under(last_short - _LESS, loads)
    fine = last_short - lighter <= coarse_step * (last_short + body_load)
    below = minimum(last_load, maximum(lighter, over(floor, loads)))
    return if_(is_number(last_short), if_(fine, below, last_load), last_load)


def _no_harder(
    last_load: Expression,
    last_overshoot: Expression,
    compares: Expression,
    body_load: Expression,
    hold_overshoot: Expression,
) -> Expression:
    """The ceiling where nothing may be harder: the last load, or what is as hard with more reps or less effort
    (compares, body load included), and less where that was too hard.
    """
    same_again = minimum(last_load + body_load, compares)
    too_hard = if_(is_number(last_overshoot), if_(last_overshoot >= hold_overshoot, AFTER_TOO_HARD, 1), 1)
    return same_again * too_hard - body_load


def _unlifted(holding_pain: Expression, stood_in: Expression, last_planned: Expression) -> Expression:
    """The ceiling before any load was logged: after pain, or another exercise in its place, what was planned then."""
    waits = and_(or_(holding_pain > 0, stood_in > 0), is_number(last_planned))
    return if_(waits, last_planned, NO_CEILING)


@definition
def ceiling_today(ceiling: Expression, planned: Expression, holding_pain: Expression) -> Expression:
    """The same ceiling for today's load: where it hurts, no good day raises the plan."""
    return if_(and_(holding_pain > 0, is_number(planned)), minimum(ceiling, planned), ceiling)


@definition
def percent_ceiling(
    last_load: Expression,
    last_overshoot: Expression,
    last_none_up: Expression,
    percent: Expression,
    body_load: Expression,
    holding_pain: Expression,
    pain_before: Expression,
    last_planned: Expression,
    stood_in: Expression,
    days: Expression,
    most_rise: Expression,
    hold_overshoot: Expression,
    gap_days: Expression,
) -> Expression:
    """The same for a load in percent of the maximum, which rises as the coach wrote: not after pain, reps missed (or
    effort over one that was asked), a gap; after a load of which no rep went up, as if that were the maximum. With
    pain no more than was planned, either: one heavier set of the lifter's own choice would raise them all.
    """
    unlifted = _unlifted(holding_pain, stood_in, last_planned)
    missed = if_(is_number(last_overshoot), if_(last_overshoot >= hold_overshoot, 1, 0), 0)
    gone = if_(is_number(days), if_(days >= gap_days, 1, 0), 0)
    held = or_(missed > 0, gone > 0)
    no_harder = _no_harder(last_load, last_overshoot, last_load + body_load, body_load, hold_overshoot)
    after_pain = (last_load + body_load) * (1 + allowed_rise(most_rise, pain_before)) - body_load
    none_up = minimum(last_load, percent / 100 * last_none_up - body_load)
    most = choose(
        (is_number(last_none_up), none_up),
        (holding_pain > 0, if_(is_number(last_planned), minimum(no_harder, last_planned), no_harder)),
        (held, last_load),
        (pain_before > 0, after_pain),
        otherwise=NO_CEILING,
    )
    return if_(is_number(last_load), most, unlifted)


@definition
def lesser(aim: Expression, ceiling: Expression) -> Expression:
    """The aim, or the ceiling where that is lower; "" without an aim."""
    return if_(is_number(aim), minimum(aim, ceiling), BLANK)


@definition
def floor(
    last_load: Expression,
    last_overshoot: Expression,
    last_none_up: Expression,
    last_demand: Expression,
    share: Expression,
    body_load: Expression,
    lowest_step: Expression,
) -> Expression:
    """The load this week should not fall below; lower where more reps or less effort are asked, and none after a
    session far harder than asked: loads that did not go up are no yardstick.
    """
    far_over = if_(is_number(last_overshoot), if_(last_overshoot > FAR_HARDER, 1, 0), 0)
    lowest = minimum(last_load + body_load, last_demand * share) * lowest_step - body_load
    yardstick = and_(is_number(last_load), far_over < 1, not_(is_number(last_none_up)))
    return if_(yardstick, maximum(0, lowest), 0)


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
    otherwise: Expression,
) -> Expression:
    """The last load again, on purpose; lower only where the aim is clearly lower. A first load is the cheapest.

    otherwise: as in `decided_load`.
    """
    clearly_lower = aim + body_load < (reference + body_load) * (1 - hold_band)
    within = minimum(maximum(if_(clearly_lower, aim, reference), floor), ceiling)
    held = loadable(within, ceiling, floor, 0, loads)
    return if_(is_number(aim), if_(is_number(last_load), held, cheap), otherwise)


@definition
def decided_load(by_reps: Expression, filled: Expression, cheap: Expression, otherwise: Expression) -> Expression:
    """The load of a line.

    otherwise: what a plan says while nothing is believed of the exercise; today's plan while
    nothing is known of the day.
    """
    return if_(is_number(cheap), if_(by_reps > 0, filled, cheap), otherwise)
