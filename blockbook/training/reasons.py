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
from blockbook.spec.catalogue import Exercise
from blockbook.spec.models import Specification
from blockbook.training.maximum import known_from


def _change(amount: Expression, unit: Expression) -> Expression:
    return join(round_(amount, 2), " ", unit)


def _how_it_came_in(last_overshoot: Expression, on_target: Expression) -> Expression:
    return choose(
        (last_overshoot > 3, "far over the target effort."),
        (last_overshoot > on_target, join(round_(last_overshoot, 1), " over the target effort.")),
        (last_overshoot < 0 - on_target, join(round_(0 - last_overshoot, 1), " under the target effort.")),
        otherwise="on target.",
    )


def _day_move(planned: Expression, target: Expression, unit: Expression) -> Expression:
    lighter = join(" Today ", _change(planned - target, unit), " lighter: what came before it was hard.")
    heavier = join(" Today ", _change(target - planned, unit), " heavier: what came before it was easy.")
    move = choose((target < planned, lighter), (target > planned, heavier), otherwise="")
    return if_(all_numbers(planned, target), move, "")


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
    step_due: Expression,
    reps: Expression,
    rpe: Expression,
    unit: Expression,
    first_reason: Expression,
    hold_overshoot: Expression,
    on_target: Expression,
) -> Expression:
    """Why a load that is decided here is what it is, and what today changed. Cases are tried from the top."""
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
        if_(same(progress, "reps"), "here reps grow before load.", "no heavier load fits this week."),
    )
    planned_because = choose(
        (
            not_(is_number(planned)),
            join("No load yet: work up in small steps to ", reps, " reps at effort ", rpe, " and type it in."),
        ),
        (last_pain > 0, "Pain was reported last time: no increase. Ask your coach before you lift this."),
        (not_(is_number(last_load)), first_reason),
        (same(progress, "deload"), "Deload: lighter on purpose. Leave it easy."),
        (not_(is_number(last_overshoot)), join(moved, ": no effort was logged last time.")),
        (last_overshoot >= hold_overshoot, overshot),
        (
            step_due > 0,
            join("Up ", _change(planned - last_load, unit), ": the step is due. Reps start from the base again."),
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
    return join(planned_because, _day_move(planned, target, unit))


@definition
def percent_reason(planned: Expression, percent: Expression) -> Expression:
    return if_(
        is_number(planned),
        join(percent, " % of your one-rep maximum."),
        join(percent, " % of your one-rep maximum: not known yet, choose a load that feels right and type it in."),
    )


COACH_REASON = "Your coach set this load."
NO_LOAD_REASON = "Choose the band or resistance that meets the target effort."


def first_reason(exercise: Exercise, spec: Specification) -> str:
    """What a first load in a block comes from."""
    source = known_from(spec, exercise)
    if not source:
        return "First time in this block: body weight only, to see how it goes."
    if source.casefold() == exercise.name.casefold():
        return "First time in this block: from your best."
    return f"First time in this block: a careful guess from your {source}. Start lighter if unsure."
