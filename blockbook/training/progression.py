"""The load decision: aim at the target effort, guard the step, make it loadable, or progress by reps.

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
    differs,
    exp,
    if_,
    is_number,
    maximum,
    minimum,
    not_,
    or_,
    same,
)
from blockbook.training.effort import load_for, percent_of_max
from blockbook.training.loading import NO_CEILING, loadable, rung, rung_above

# Aim ---------------------------------------------------------------------------------------


@definition
def aim(prior: Expression, reps: Expression, rpe: Expression, body_load: Expression, curve: Expression) -> Expression:
    """Load that the believed maximum gives for the target reps and effort."""
    return if_(is_number(prior), load_for(prior, reps, rpe, body_load, curve), BLANK)


@definition
def aim_from_body_weight(
    prior: Expression, reps: Expression, rpe: Expression, body_load: Expression, curve: Expression
) -> Expression:
    """The same for bodyweight exercises: nothing added while nothing is known."""
    return if_(is_number(prior), maximum(0, load_for(prior, reps, rpe, body_load, curve)), 0)


@definition
def percent_load(
    start_maximum: Expression, prior: Expression, percent: Expression, body_load: Expression
) -> Expression:
    """Load in percent of the lifter's stated maximum, or of the believed one where none was stated."""
    maximum_load = if_(is_number(start_maximum), start_maximum, prior)
    return if_(is_number(maximum_load), percent / 100 * maximum_load - body_load, BLANK)


# Guard -------------------------------------------------------------------------------------


@definition
def cap(
    reps: Expression,
    depth_share: Expression,
    last_overshoot: Expression,
    cap_heavy: Expression,
    cap_middle: Expression,
    cap_high: Expression,
    easy_effort: Expression,
) -> Expression:
    """Largest rise over the last load, as a share; doubled after a session that was far too easy."""
    by_reps = choose((reps <= 3, cap_heavy), (reps <= 7, cap_middle), otherwise=cap_high)
    easy = if_(is_number(last_overshoot), if_(last_overshoot <= 0 - easy_effort, 2, 1), 1)
    return by_reps * depth_share * easy


@definition
def reference(
    last_load: Expression, last_reps: Expression, reps: Expression, body_load: Expression, curve: Expression
) -> Expression:
    """The last load as it compares with this week's: the same, or more where fewer reps are asked."""
    ratio = maximum(1, percent_of_max(reps, curve) / percent_of_max(last_reps, curve))
    return if_(is_number(last_load), (last_load + body_load) * ratio - body_load, BLANK)


@definition
def coarse(last_load: Expression, body_load: Expression, cap: Expression, loads: Expression) -> Expression:
    """1 if the smallest step up from the last load is larger than the cap, or there is none."""
    step = rung_above(last_load, loads) - last_load
    too_big = or_(step <= 0, step > cap * (last_load + body_load) + 0.000001)
    return if_(is_number(last_load), if_(too_big, 1, 0), 0)


@definition
def floored(last_load: Expression, body_load: Expression, lowest_step: Expression, loads: Expression) -> Expression:
    """1 if the next load down is further below the last one than a load may fall, or there is none."""
    below = at(loads, rung(last_load - 0.000001, loads))
    too_far = below + body_load < (last_load + body_load) * lowest_step - 0.000001
    return if_(is_number(last_load), if_(or_(below >= last_load, too_far), 1, 0), 0)


@definition
def rep_room(
    range_width: Expression, reps: Expression, policy_extra_reps: Expression, extra_reps_from: Expression
) -> Expression:
    """How many reps an exercise may grow above its base: its range, else what the policy allows."""
    return if_(range_width > 0, range_width, if_(reps >= extra_reps_from, policy_extra_reps, 0))


@definition
def step_due(
    progress: Expression,
    last_load: Expression,
    last_extra: Expression,
    last_overshoot: Expression,
    last_pain: Expression,
    room: Expression,
    coarse: Expression,
    body_load: Expression,
    easy_effort: Expression,
    full_range_step: Expression,
    loads: Expression,
) -> Expression:
    """1 if one step up is due although it is larger than the cap, or reps come before load.

    Due once the reps are full at or under the target effort, or after a session that was far too
    easy; never more than the policy's largest step (ACSM 2009: 2-10 %).
    """
    step = rung_above(last_load, loads) - last_load
    by_reps = or_(same(progress, "reps"), and_(same(progress, "load"), coarse > 0))
    full = and_(room > 0, last_extra >= room, last_overshoot <= 0)
    ready = and_(by_reps, or_(full, last_overshoot <= 0 - easy_effort), last_pain < 1, step > 0)
    return if_(
        all_numbers(last_load, last_overshoot),
        if_(and_(ready, step <= full_range_step * (last_load + body_load) + 0.000001), 1, 0),
        0,
    )


@definition
def extra_reps(
    progress: Expression,
    last_load: Expression,
    last_extra: Expression,
    last_overshoot: Expression,
    last_pain: Expression,
    coarse: Expression,
    floored: Expression,
    step_due: Expression,
    room: Expression,
    reps: Expression,
    hold_overshoot: Expression,
    fewer_reps: Expression,
    extra_reps_from: Expression,
) -> Expression:
    """Reps above the base: one more after a session on target or under, one fewer after an overshoot.

    Below the base (down to fewer_reps) only where the load has no step down to take; a deload
    then asks for as few.
    """
    lowest = if_(and_(floored > 0, reps >= extra_reps_from), 0 - fewer_reps, 0)
    by_reps = or_(same(progress, "reps"), and_(same(progress, "load"), coarse > 0))
    effort_known = if_(
        last_overshoot <= 0,
        minimum(room, last_extra + 1),
        if_(last_overshoot >= hold_overshoot, maximum(lowest, last_extra - 1), last_extra),
    )
    grown = if_(and_(is_number(last_overshoot), last_pain < 1), effort_known, last_extra)
    return choose(
        (not_(is_number(last_load)), 0),
        (same(progress, "deload"), lowest),
        (and_(by_reps, step_due < 1), grown),
        otherwise=0,
    )


@definition
def target_reps(reps: Expression, extra: Expression) -> Expression:
    return reps + extra


@definition
def ceiling(
    progress: Expression,
    aim: Expression,
    last_load: Expression,
    last_overshoot: Expression,
    last_pain: Expression,
    reference: Expression,
    body_load: Expression,
    cap: Expression,
    step_due: Expression,
    hold_overshoot: Expression,
    first_round_up: Expression,
    loads: Expression,
) -> Expression:
    """The load this week must not exceed.

    A first load: the aim, rounded up a little at most. Pain, an overshoot or no effort logged:
    the last load itself. A line that does not progress by load: the last load as it compares.
    Else that and the cap.
    """
    first = if_(is_number(aim), (aim + body_load) * (1 + first_round_up) - body_load, NO_CEILING)
    return choose(
        (not_(is_number(last_load)), first),
        (last_pain > 0, last_load),
        (step_due > 0, rung_above(last_load, loads)),
        (not_(is_number(last_overshoot)), last_load),
        (last_overshoot >= hold_overshoot, last_load),
        (same(progress, "load"), (reference + body_load) * (1 + cap) - body_load),
        otherwise=reference,
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


@definition
def wanted(
    progress: Expression,
    aim: Expression,
    reps: Expression,
    rpe: Expression,
    last_load: Expression,
    last_reps: Expression,
    last_rpe: Expression,
    last_overshoot: Expression,
    last_pain: Expression,
    extra: Expression,
    reference: Expression,
    body_load: Expression,
    step_due: Expression,
    hold_overshoot: Expression,
    hold_band: Expression,
    loads: Expression,
) -> Expression:
    """The load before guards: the aim, or the last load where the answer is to hold.

    A hold gives way only to an aim that is clearly lower. While nothing less is asked than last
    time, a slightly lower aim holds too.
    """
    effort_over = or_(not_(is_number(last_overshoot)), last_overshoot >= hold_overshoot)
    must_hold = or_(not_(same(progress, "load")), effort_over, last_pain > 0, differs(extra, 0))
    same_asked = and_(rpe >= last_rpe, reps <= last_reps, aim < reference)
    clearly_lower = aim + body_load < (reference + body_load) * (1 - hold_band)
    held = if_(clearly_lower, aim, reference)
    decided = if_(or_(must_hold, same_asked), held, aim)
    return choose(
        (not_(is_number(last_load)), aim),
        (same(progress, "deload"), aim),
        (step_due > 0, rung_above(last_load, loads)),
        otherwise=if_(is_number(aim), decided, reference),
    )


@definition
def guarded(
    wanted: Expression, day: Expression, body_load: Expression, ceiling: Expression, floor: Expression
) -> Expression:
    """The wanted load moved by the day (in logs) and kept between floor and ceiling."""
    moved = (wanted + body_load) * exp(day) - body_load
    return if_(is_number(wanted), maximum(0, minimum(maximum(moved, floor), ceiling)), BLANK)


@definition
def day_ceiling(ceiling: Expression, planned: Expression, round_down: Expression, exposures: Expression) -> Expression:
    """The ceiling of today's load.

    After an overshoot, and before anything was logged, the day may lower the plan but not raise it.
    """
    only_down = and_(is_number(planned), or_(round_down > 0, exposures < 1))
    return if_(only_down, planned, ceiling)


@definition
def rounds_down(last_overshoot: Expression, hold_overshoot: Expression) -> Expression:
    """1 if a planned load between two steps takes the lower one: after an overshoot."""
    return if_(is_number(last_overshoot), if_(last_overshoot >= hold_overshoot, 1, 0), 0)


@definition
def back_off_load(
    logged_load: Expression, target: Expression, drop: Expression, body_load: Expression, loads: Expression
) -> Expression:
    """Back-off load: what the top set really was (its target until then) less `drop` percent."""
    top = if_(is_number(logged_load), logged_load, target)
    return if_(is_number(top), lighter_than(top, 1 - drop / 100, body_load, loads), BLANK)


@definition
def feeler_load(planned: Expression, body_load: Expression, feeler_share: Expression, loads: Expression) -> Expression:
    """The last warm-up set: a share of the planned load."""
    return if_(is_number(planned), lighter_than(planned, feeler_share, body_load, loads), BLANK)


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
        (and_(some_above, or_(not_(known), eased)), loadable(maximum(cautious, floor), highest, floor, 0, loads)),
        (known, target),
        otherwise=unknown,
    )
