"""Why a load is what it is, in a coach's sentence that is live in the sheet."""

from __future__ import annotations

from typing import NamedTuple

from blockbook.formula.definition import Definition, definition
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
    sentence,
)
from blockbook.languages import number_text, say
from blockbook.spec.catalogue import Exercise, shown_name
from blockbook.spec.models import EffortAs, Specification
from blockbook.training.effort import percent_of_max
from blockbook.training.maximum import is_learned, known_from, start_spread


def _change(text: str, amount: Expression, unit: Expression) -> Expression:
    return sentence(text, change=round_(amount, 2), unit=unit)


class Words(NamedTuple):
    """How a reason speaks of effort."""

    far_over: str
    over: str
    under: str
    on_target: str
    not_logged: str
    asks_more: str
    asks_less: str
    work_up: str


WORDS: dict[EffortAs, Words] = {
    "rpe": Words(
        far_over=": last time came in far over the target effort.",
        over=": last time came in {over} over the target effort.",
        under=": last time came in {under} under the target effort.",
        on_target=": last time came in on target.",
        not_logged=": no effort was logged last time.",
        asks_more=": this week asks for more effort or fewer reps.",
        asks_less=": this week asks for less effort or more reps.",
        work_up="No load yet: work up in small steps to {reps} reps at effort {rpe} and type it in.",
    ),
    "reps in reserve": Words(
        far_over=": last time you left far fewer reps than planned.",
        over=": last time you left {over} fewer than planned.",
        under=": last time you left {under} more than planned.",
        on_target=": last time you left as many as planned.",
        not_logged=": reps left were not logged last time.",
        asks_more=": this week asks for fewer reps, or fewer left.",
        asks_less=": this week asks for more reps, or more left.",
        work_up="No load yet: work up in small steps to {reps} reps with {left} left and type it in.",
    ),
}


def _how_it_came_in(last_overshoot: Expression, on_target: Expression, words: Words) -> Expression:
    return choose(
        (last_overshoot > 3, say(words.far_over)),
        (last_overshoot > on_target, sentence(words.over, over=round_(last_overshoot, 1))),
        (last_overshoot < 0 - on_target, sentence(words.under, under=round_(0 - last_overshoot, 1))),
        otherwise=say(words.on_target),
    )


def _day_move(planned: Expression, target: Expression, unit: Expression) -> Expression:
    harder = " Today {change} {unit} lighter: the sets above came in harder than planned."
    easier = " Today {change} {unit} heavier: the sets above came in easier than planned."
    lighter, heavier = _change(harder, planned - target, unit), _change(easier, target - planned, unit)
    move = choose((target < planned, lighter), (target > planned, heavier), otherwise="")
    return if_(all_numbers(planned, target), move, "")


def _reps_move(extra: Expression, last_extra: Expression) -> Expression:
    more, fewer = extra - last_extra, last_extra - extra
    return choose(
        (more > 1, sentence(", {reps} reps more", reps=more)),
        (more > 0, sentence(", {reps} rep more", reps=more)),
        (fewer > 1, sentence(", {reps} reps fewer", reps=fewer)),
        (fewer > 0, sentence(", {reps} rep fewer", reps=fewer)),
        otherwise="",
    )


def moved(
    planned: Expression, last_load: Expression, extra: Expression, last_extra: Expression, unit: Expression
) -> Expression:
    """ "Up 2.5 kg, 1 rep fewer": the plan against last time; "" where there was none."""
    change = round_(planned - last_load, 2)
    by_load = choose(
        (change > 0, _change("Up {change} {unit}", planned - last_load, unit)),
        (change < 0, _change("Down {change} {unit}", last_load - planned, unit)),
        otherwise=say("Same load"),
    )
    return if_(all_numbers(planned, last_load), join(by_load, _reps_move(extra, last_extra)), "")


BAD_DAY = 0.02
"""A session whose exercises together came in this far under belief (in logs) was a bad day."""


def _plan_reason(
    progress: Expression,
    planned: Expression,
    last_load: Expression,
    last_overshoot: Expression,
    last_pain: Expression,
    last_extra: Expression,
    last_shared: Expression,
    last_demand: Expression,
    body_load: Expression,
    curve: Expression,
    days: Expression,
    extra: Expression,
    reps: Expression,
    rpe: Expression,
    unit: Expression,
    first_reason: Expression,
    exercises: Expression,
    hold_overshoot: Expression,
    gap_days: Expression,
    on_target: Expression,
    words: Words,
) -> Expression:
    """Why a planned load that is decided here is what it is. Cases are tried from the top."""
    change = round_(planned - last_load, 2)
    compared = last_demand * percent_of_max(reps + extra + 10 - rpe, curve) - body_load
    as_asked = change * round_(compared - last_load, 6) > 0  # the load moves the way that effort and reps do
    came_in = _how_it_came_in(last_overshoot, on_target, words)
    since_last = choose(
        (days >= gap_days, sentence(": back after {days} days, so no increase yet.", days=days)),
        (not_(is_number(last_overshoot)), say(words.not_logged)),
        (
            and_(change >= 0, last_overshoot > on_target, exercises > 1, last_shared <= 0 - BAD_DAY),
            say(": last time was a bad day for the whole session, so this lift is not blamed."),
        ),
        (last_overshoot >= hold_overshoot, came_in),
        (and_(change >= 0, same(progress, "hold")), say(" on purpose.")),
        (and_(same(change, 0), same(progress, "tempo")), say(" and reps: lower it a second slower.")),
        (and_(same(change, 0), extra > last_extra), say(": reps grow before the load does.")),
        (and_(change > 0, extra < last_extra), say(": the load takes a step, the reps make room for it.")),
        (as_asked, choose((change > 0, say(words.asks_more)), otherwise=say(words.asks_less))),
        (and_(change < 0, last_overshoot <= on_target), say(": the last sessions say a little less is right.")),
        (and_(same(change, 0), extra > 0), say(": if it is easy, lower it a second slower.")),
        otherwise=came_in,
    )
    return choose(
        (
            not_(is_number(planned)),
            sentence(words.work_up, reps=reps, rpe=rpe, left=10 - rpe),
        ),
        (last_pain > 0, say("Pain was reported last time: no increase. Ask your coach before you lift this.")),
        (not_(is_number(last_load)), first_reason),
        (same(progress, "deload"), say("Deload: lighter on purpose. Leave it easy.")),
        otherwise=join(moved(planned, last_load, extra, last_extra, unit), since_last),
    )


PLAN_REASON = {way: Definition(_plan_reason, words=words) for way, words in WORDS.items()}


@definition
def decision_reason(plan_reason: Expression, planned: Expression, target: Expression, unit: Expression) -> Expression:
    """Why a load that is decided here is what it is, and what today changed."""
    return join(plan_reason, _day_move(planned, target, unit))


@definition
def percent_reason(planned: Expression, percent: Expression) -> Expression:
    return if_(
        is_number(planned),
        sentence("{percent} % of your one-rep maximum.", percent=percent),
        sentence(
            "{percent} % of your one-rep maximum: not known yet, choose a load that feels right and type it in.",
            percent=percent,
        ),
    )


STAND_IN_REASON = (
    "Instead: {exercise}. Begin with the load shown, less if unsure. Nothing of it counts for the planned exercise."
)


@definition
def decision_or_stand_in(
    plan_reason: Expression, planned: Expression, target: Expression, unit: Expression, chosen: Expression,
    exercise: Expression,
) -> Expression:  # fmt: skip
    """The same, where another exercise may be chosen."""
    return text_or_stand_in(decision_reason(plan_reason, planned, target, unit), chosen, exercise)


@definition
def percent_or_stand_in(
    planned: Expression, percent: Expression, chosen: Expression, exercise: Expression
) -> Expression:
    return text_or_stand_in(percent_reason(planned, percent), chosen, exercise)


@definition
def text_or_stand_in(text: Expression, chosen: Expression, exercise: Expression) -> Expression:
    """exercise: as it was typed."""
    return if_(same(chosen, 0), text, sentence(STAND_IN_REASON, exercise=exercise))


COACH_REASON = "This load is set in the plan."
NO_LOAD_REASON: dict[EffortAs, str] = {
    "rpe": "Choose the band or resistance that meets the target effort.",
    "reps in reserve": "Choose the band or resistance that leaves you as many reps as planned.",
}


def first_reason(exercise: Exercise, spec: Specification) -> str:
    """What a first load in a block comes from, and how sure that is."""
    source = known_from(spec, exercise)
    if not source:
        return say("First time in this block: body weight only, to see how it goes.")
    sure = number_text(100 * start_spread(spec, exercise), ".0f")
    if is_learned(spec, exercise):
        return say("First time in this block: from what your last block showed, give or take {sure}%.", sure=sure)
    if source.casefold() == exercise.name.casefold():
        return say("First time in this block: from your best, give or take {sure}%.", sure=sure)
    return say(
        "First time in this block: a guess from your {lift}, give or take {sure}%. Start lighter if unsure.",
        lift=shown_name(spec.exercise(source)),
        sure=sure,
    )
