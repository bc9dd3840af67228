"""The loads of the sets beside a session's first: feeler, back-off and following sets.

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
    if_,
    is_number,
    maximum,
    minimum,
    not_,
    or_,
)
from blockbook.training.effort import fresh, load_for
from blockbook.training.loading import NO_CEILING, loadable, under
from blockbook.training.pain import allowed_rise
from blockbook.training.plausibility import LIGHTEST

_A_LITTLE = 0.00001
"""So much less than a load that can be made leads to the one under it."""


@definition
def back_off_most(
    last_back_off_over: Expression,
    last_back_off_seen: Expression,
    last_back_off_lifted: Expression,
    last_back_off_failed: Expression,
    holding_pain: Expression,
    pain_before: Expression,
    most_rise: Expression,
    reps: Expression,
    rpe: Expression,
    body_load: Expression,
    curve: Expression,
    hold_overshoot: Expression,
    loads: Expression,
) -> Expression:
    """The most that back-off sets may ask for, "" for no limit.

    After some that came in over: what those showed to be right, and no more than they had; after one that failed: less
    than it had, too; where it hurts: what they had, the week after half the usual rise more. last_back_off_over,
    last_back_off_seen, last_back_off_lifted, last_back_off_failed: how far over the last ones came in, reps missed
    counted in, the one-rep maximum that they speak for, their load, the lightest that failed. reps, rpe: of this
    week's.
    """
    by_seen = load_for(last_back_off_seen, reps, rpe, body_load, curve)
    showed = if_(is_number(last_back_off_seen), minimum(by_seen, last_back_off_lifted), last_back_off_lifted)
    after_pain = (last_back_off_lifted + body_load) * (1 + allowed_rise(most_rise, pain_before)) - body_load
    hurt = choose((holding_pain > 0, showed), (pain_before > 0, after_pain), otherwise=BLANK)
    hurts = if_(is_number(last_back_off_lifted), hurt, BLANK)
    over = if_(is_number(last_back_off_over), if_(last_back_off_over >= hold_overshoot, 1, 0), 0)
    below_failed = minimum(showed, under(last_back_off_failed - _A_LITTLE, loads))
    return choose((is_number(last_back_off_failed), below_failed), (over > 0, showed), otherwise=hurts)


@definition
def back_off_from(
    logged_load: Expression,
    target: Expression,
    estimate: Expression,
    came_in_over: Expression,
    reps: Expression,
    rpe: Expression,
    body_load: Expression,
    curve: Expression,
    on_target: Expression,
    ease_overshoot: Expression,
) -> Expression:
    """The load that back-off sets are counted from: that of the top set, its target until then.

    After one that came in over its target effort, what was asked at most; far over, or with reps missed, no more than
    what it showed to be right, either: a set of no rep shows that its load was a maximum at most.
    estimate, came_in_over, reps, rpe: of the top set.
    """
    top = if_(is_number(logged_load), logged_load, target)
    showed = load_for(if_(is_number(estimate), estimate, top + body_load), reps, rpe, body_load, curve)
    asked = if_(is_number(target), minimum(top, target), top)
    by_effort = choose(
        (came_in_over >= ease_overshoot, minimum(asked, showed)),
        (came_in_over > on_target, asked),
        otherwise=top,
    )
    return if_(is_number(top), if_(all_numbers(came_in_over, rpe), by_effort, top), BLANK)


@definition
def back_off_load(
    back_off_from: Expression,
    drop: Expression,
    body_load: Expression,
    back_off_most: Expression,
    loads: Expression,
) -> Expression:
    """Back-off load: that less `drop` percent, where steps are coarse never the load itself, and no more than
    `back_off_most`, where that says something.
    """
    share = 1 - drop / 100
    lighter = (back_off_from + body_load) * share - body_load
    half_way = (back_off_from + body_load) * (1 + share) / 2 - body_load
    most = if_(is_number(back_off_most), minimum(half_way, back_off_most), half_way)
    return if_(is_number(back_off_from), loadable(minimum(lighter, most), most, 0, 0, loads), BLANK)


@definition
def feeler_load(planned: Expression, body_load: Expression, feeler_share: Expression, loads: Expression) -> Expression:
    """The last warm-up set: a share of the planned load, where steps are coarse that load itself."""
    share = (planned + body_load) * feeler_share - body_load
    return if_(is_number(planned), loadable(share, planned, 0, 0, loads), BLANK)


@definition
def following_load(
    target: Expression,
    load: Expression,
    reps: Expression,
    estimate: Expression,
    came_in_over: Expression,
    set_number: Expression,
    fatigue_per_set: Expression,
    target_reps: Expression,
    target_rpe: Expression,
    body_load: Expression,
    floor: Expression,
    curve: Expression,
    ease_overshoot: Expression,
    loads: Expression,
) -> Expression:
    """Load of a later set of an exercise: that of the set above it, unless that one says otherwise.

    Where no load was known, what the set above showed; lighter after a set that came in far over its target
    effort, never above what that had on the bar, nor below the floor, save after one that failed; after a set of no
    rep, whose load was a maximum at most; and where a set that gives no estimate was lighter than asked and as hard, no
    more than that.
    target, load, reps, estimate, came_in_over: of the set above.
    """
    no_rep = if_(all_numbers(target, reps, came_in_over), if_(reps < 1, 1, 0), 0)
    at_most = minimum(if_(is_number(load), load, target), target) + body_load
    able = if_(no_rep > 0, at_most, estimate / fresh(1, set_number, fatigue_per_set))
    cautious = load_for(able, target_reps, target_rpe, body_load, curve)
    eased = if_(is_number(came_in_over), if_(came_in_over >= ease_overshoot, 1, 0), 0)
    asked = if_(is_number(target), target, NO_CEILING)
    failed = if_(all_numbers(reps, target_reps), if_(and_(eased > 0, reps < target_reps), 1, 0), 0)
    lowest = if_(no_rep + failed > 0, 0, floor)
    highest = if_(and_(eased > 0, is_number(load)), minimum(load, asked), asked)
    told = or_(not_(is_number(target)), eased > 0, no_rep > 0)
    shown = loadable(minimum(maximum(cautious, lowest), highest), highest, lowest, 0, loads)
    hard = and_(load < target, load >= LIGHTEST * target, came_in_over >= 0)
    light_day = if_(all_numbers(load, target, came_in_over), if_(hard, 1, 0), 0)
    unexplained = if_(light_day > 0, loadable(load, load, 0, 0, loads), target)
    return if_(or_(is_number(estimate), no_rep > 0), if_(told, shown, target), unexplained)
