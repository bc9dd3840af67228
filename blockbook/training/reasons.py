"""Why a load is what it is, in a coach's sentence that is live in the sheet."""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    Expression,
    all_numbers,
    and_,
    choose,
    if_,
    is_number,
    join,
    not_,
    round_,
    same,
)


def _change(amount: Expression, unit: Expression) -> Expression:
    return join(round_(amount, 2), " ", unit)


def _how_it_came_in(last_overshoot: Expression, on_target: Expression) -> Expression:
    return choose(
        (last_overshoot > on_target, join(round_(last_overshoot, 1), " over the target effort.")),
        (last_overshoot < 0 - on_target, join(round_(0 - last_overshoot, 1), " under the target effort.")),
        otherwise="on target.",
    )


@definition
def load_reason(
    progress: Expression,
    planned: Expression,
    last_load: Expression,
    last_overshoot: Expression,
    last_pain: Expression,
    last_extra: Expression,
    extra: Expression,
    range_full: Expression,
    reps: Expression,
    rpe: Expression,
    unit: Expression,
    first_reason: Expression,
    hold_overshoot: Expression,
    on_target: Expression,
) -> Expression:
    """Why the planned load is what it is. The cases are tried from the top."""
    change = round_(planned - last_load, 2)
    moved = choose(
        (change > 0, join("Up ", _change(planned - last_load, unit))),
        (change < 0, join("Down ", _change(last_load - planned, unit))),
        otherwise="Hold",
    )
    overshot = join(
        moved,
        ": last time came in ",
        _how_it_came_in(last_overshoot, on_target),
        if_(and_(extra < last_extra, extra < 0), " One rep fewer: the next load down is too far away.", ""),
    )
    by_reps = join(
        "Same load, one rep more: ",
        if_(same(progress, "reps"), "here reps grow before load.", "the next step up is too big for one week."),
    )
    return choose(
        (
            not_(is_number(planned)),
            join("No load yet: work up in small steps to ", reps, " reps at effort ", rpe, " and type it in."),
        ),
        (not_(is_number(last_load)), first_reason),
        (last_pain > 0, "Pain was reported last time: no increase. Ask your coach before you lift this."),
        (same(progress, "deload"), "Deload: lighter on purpose. Leave it easy."),
        (not_(is_number(last_overshoot)), join(moved, ": no effort was logged last time.")),
        (last_overshoot >= hold_overshoot, overshot),
        (
            range_full > 0,
            join("Up ", _change(planned - last_load, unit), ": the rep range is full. Start it again."),
        ),
        (and_(change >= 0, extra > last_extra), by_reps),
        (
            and_(change >= 0, extra > 0, last_overshoot > 0),
            "Same load and reps: make last time's reps easier first.",
        ),
        (and_(change >= 0, same(progress, "hold")), "Same load on purpose."),
        (and_(change >= 0, not_(same(progress, "load"))), "Same load and reps: lower it a second slower."),
        (and_(change >= 0, extra > 0), "Same load and reps: lower it a second slower."),
        (change < 0, join(moved, ": the last sessions say a little less is right.")),
        otherwise=join(moved, ": last time came in ", _how_it_came_in(last_overshoot, on_target)),
    )


@definition
def percent_reason(planned: Expression, percent: Expression) -> Expression:
    return if_(
        is_number(planned),
        join(percent, " % of your one-rep maximum."),
        join(percent, " % of your one-rep maximum: not known yet, choose a load that feels right and type it in."),
    )


COACH_REASON = "Your coach set this load."
NO_LOAD_REASON = "Choose the band or resistance that meets the target effort."


@definition
def with_day(reason: Expression, planned: Expression, target: Expression, unit: Expression) -> Expression:
    """The reason, and what the sets above changed today."""
    lighter = join(" Today ", _change(planned - target, unit), " lighter: the sets before it came in hard.")
    heavier = join(" Today ", _change(target - planned, unit), " heavier: the sets before it came in easy.")
    move = choose((target < planned, lighter), (target > planned, heavier), otherwise="")
    return join(reason, if_(all_numbers(planned, target), move, ""))


@definition
def decision_reason(
    progress: Expression,
    planned: Expression,
    target: Expression,
    last_load: Expression,
    last_overshoot: Expression,
    last_pain: Expression,
    last_extra: Expression,
    extra: Expression,
    range_full: Expression,
    reps: Expression,
    rpe: Expression,
    unit: Expression,
    first_reason: Expression,
    hold_overshoot: Expression,
    on_target: Expression,
) -> Expression:
    """The whole sentence of a line whose load is decided here: why the plan, and what today changed."""
    planned_because = load_reason(
        progress, planned, last_load, last_overshoot, last_pain, last_extra, extra, range_full, reps, rpe,
        unit, first_reason, hold_overshoot, on_target,
    )  # fmt: skip
    return with_day(planned_because, planned, target, unit)
