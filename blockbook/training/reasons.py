"""Why a load is what it is, in a coach's sentence that is live in the sheet."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any, Literal, NamedTuple, TypeAlias

from blockbook.formula.definition import Definition, definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    all_numbers,
    and_,
    choose,
    differs,
    if_,
    is_number,
    join,
    maximum,
    minimum,
    not_,
    or_,
    round_,
    same,
    sentence,
    total,
    trimmed,
)
from blockbook.languages import number_text, say
from blockbook.spec.catalogue import Exercise, shown_name
from blockbook.spec.models import EffortAs, Specification
from blockbook.training.alarm import CLEARED, alone
from blockbook.training.belief import near_pain
from blockbook.training.effort import percent_of_max
from blockbook.training.maximum import is_learned, known_from, start_spread
from blockbook.training.moves_said import changed_by, day_move
from blockbook.training.pain_said import PAIN_NEARBY_FIRST, PAIN_NOTED, PAIN_OPEN, held_for_pain, held_for_pain_nearby
from blockbook.training.progression import FAR_HARDER, TOO_HARD
from blockbook.training.session_checks import BAD_DAY, bad_day

Given: TypeAlias = "Expression | None"
"""A quantity that a line may have or not: None where it has not."""


class Words(NamedTuple):
    """How a reason speaks of effort."""

    not_logged: str
    asks_more: str
    asks_less: str
    work_up: str


WORDS: dict[EffortAs, Words] = {
    "rpe": Words(
        not_logged=": no effort was logged last time.",
        asks_more=": this week asks for more effort or fewer reps.",
        asks_less=": this week asks for less effort or more reps.",
        work_up="No load yet: work up in small steps to {reps} reps at effort {rpe} and type it in.",
    ),
    "reps in reserve": Words(
        not_logged=": reps left were not logged last time.",
        asks_more=": this week asks for fewer reps, or fewer left.",
        asks_less=": this week asks for more reps, or more left.",
        work_up="No load yet: work up in small steps to {reps} reps with {left} left and type it in.",
    ),
}


HARDER_BY_TESTS = ": last time was harder than asked, as sets to failure (of any exercise) show how you judge effort."
EASIER_BY_TESTS = ": last time was easier than asked, as sets to failure (of any exercise) show how you judge effort."

SHOWN = 0.5
"""So many reps that tests of effort showed to go unreported are told where they explain what is said of a session."""


def _how_it_came_in(last_overshoot: Expression, on_target: Expression, unreported: Expression) -> Expression:
    """In reps, since reps done beyond those asked are reps that were still left: said of both together.

    Where tests of effort count, what is said differs from the verdicts, which take efforts as they were typed.
    """
    harder = ": last time was harder than asked, by {over} (reps and effort together)."
    easier = ": last time was easier than asked, by {under} (reps and effort together)."
    by_tests = or_(unreported >= SHOWN, unreported <= 0 - SHOWN)
    harder_by_tests = say(HARDER_BY_TESTS)
    easier_by_tests = say(EASIER_BY_TESTS)
    return choose(
        (last_overshoot > FAR_HARDER, say(": last time was far harder than asked.")),
        (last_overshoot < 0 - FAR_HARDER, say(": last time was far easier than asked, by what was typed.")),
        (and_(last_overshoot > on_target, by_tests), harder_by_tests),
        (and_(last_overshoot < 0 - on_target, by_tests), easier_by_tests),
        (last_overshoot > on_target, sentence(harder, over=round_(last_overshoot, 1))),
        (last_overshoot < 0 - on_target, sentence(easier, under=round_(0 - last_overshoot, 1))),
        otherwise=say(": last time was as hard as asked."),
    )


def _plan_reason(
    progress: Expression,
    planned: Expression,
    last_load: Expression,
    step: Expression,
    last_overshoot: Expression,
    last_none_up: Expression,
    last_pain: Expression,
    sore: Expression,
    held: Expression,
    held_reason: Expression,
    last_extra: Expression,
    last_shared: Expression,
    shared_before: Expression,
    overshoot_before: Expression,
    last_harder: Expression,
    harder_before: Expression,
    pain_before: Expression,
    last_shared_left: Expression,
    last_precision: Expression,
    last_demand: Expression,
    body_load: Expression,
    curve: Expression,
    days: Expression,
    extra_plan: Expression,
    reps: Expression,
    rpe: Expression,
    exposures: Expression,
    first_jump: Expression,
    first_reason: Expression,
    doubtful_before: Expression,
    logged_before: Expression,
    lightest: Expression,
    day_sd: Expression,
    hold_overshoot: Expression,
    gap_days: Expression,
    on_target: Expression,
    bias: Expression,
    effort_bias: Expression,
    unit: Expression,
    prior: Given,
    to_plan_from: Given,
    holding_pain: Given,
    words: Words,
) -> Expression:
    """Why a planned load that is decided here is what it is. Cases are tried from the top.

    doubtful_before, logged_before: sets of the week before that are to be looked at, and the load it is counted from.
    prior, to_plan_from, holding_pain: as in `belief`, where the week has the exercise in another session, too; else
    None.
    """
    change = round_(planned - last_load, 2)
    compared = last_demand * percent_of_max(reps + extra_plan + 10 - rpe, curve) - body_load
    # Half of the change or more, and the same way, is what this week's reps and effort make of the last load.
    as_asked = change * (2 * round_(compared - last_load, 6) - change) > 0
    second_time = and_(change > 0, same(exposures, 1), first_jump > 0, last_overshoot >= 0 - on_target)
    came_in = _how_it_came_in(last_overshoot, on_target, bias - effort_bias)
    bad_before = if_(is_number(overshoot_before), if_(overshoot_before > on_target, harder_before, 0), 0)
    went_badly = bad_day(last_shared, last_shared_left, last_precision, last_harder, day_sd) > 0
    as_typed = minimum(last_overshoot, last_overshoot + bias - effort_bias)
    too_hard = if_(is_number(last_overshoot), if_(as_typed >= TOO_HARD, 1, 0), 0)
    at_lightest = if_(is_number(lightest), same(round_(planned - lightest, 6), 0), last_overshoot < 0 - 100)
    none_counted = if_(is_number(logged_before), 0, doubtful_before) > 0
    first_reason = if_(none_counted, say(NONE_COUNTED_FIRST), first_reason)
    since_last_elsewhere: list[tuple[Expression, Expression | str]] = []
    if prior is not None and to_plan_from is not None and holding_pain is not None:
        # Pain and an alarm lower what is planned from, too, and are said before this.
        able = prior * near_pain(last_load, holding_pain)
        less_elsewhere = if_(all_numbers(prior, to_plan_from), if_(round_(to_plan_from - able, 6) < 0, 1, 0), 0) > 0
        since_last_elsewhere = [(and_(less_elsewhere, change < 0), say(ELSEWHERE_SINCE))]
        first_reason = if_(less_elsewhere, say(ELSEWHERE_FIRST), first_reason)
    since_last = choose(
        (none_counted, say(NONE_COUNTED)),
        (
            and_(at_lightest, too_hard > 0, extra_plan <= 0),
            say(": too hard even at the lightest load. Ask your coach for another exercise."),
        ),
        (is_number(last_none_up), say(": last time not one rep went up.")),
        (and_(days >= gap_days, change < 0), sentence(": {days} days since it was last logged.", days=days)),
        (days >= gap_days, sentence(": {days} days since it was last logged, so no increase yet.", days=days)),
        (not_(is_number(last_overshoot)), say(words.not_logged)),
        *since_last_elsewhere,
        (
            and_(exposures > 1, change >= 0, last_overshoot > on_target, went_badly),
            if_(and_(shared_before <= 0 - BAD_DAY, bad_before > 0), say(BAD_AGAIN), say(BAD_ONCE)),
        ),
        (last_overshoot >= hold_overshoot, came_in),
        (and_(change > 0, pain_before > 0), say(": a small step, after what was noted before.")),
        (and_(change >= 0, same(progress, "hold")), say(" on purpose.")),
        (and_(same(change, 0), same(progress, "tempo")), say(" and reps: lower it a second slower.")),
        (and_(same(change, 0), extra_plan > maximum(last_extra, 0)), say(": reps grow before the load does.")),
        (and_(change > 0, extra_plan < last_extra), say(": the load takes a step, the reps make room for it.")),
        (as_asked, choose((change > 0, say(words.asks_more)), otherwise=say(words.asks_less))),
        (second_time, say(": the second time an exercise usually goes better.")),
        (and_(change < 0, last_overshoot <= on_target), say(": what was logged so far says a little less is right.")),
        (and_(same(change, 0), extra_plan > 0), say(BIG_STEP)),
        otherwise=came_in,
    )
    return choose(
        (
            not_(is_number(planned)),
            sentence(words.work_up, reps=reps, rpe=rpe, left=10 - rpe),
        ),
        (last_pain > 0, held_for_pain(planned, last_load)),
        (held > 0, held_reason),
        (and_(differs(sore, ""), not_(is_number(last_load))), sentence(PAIN_NEARBY_FIRST, exercise=sore)),
        (differs(sore, ""), held_for_pain_nearby(planned, last_load, sore)),
        (not_(is_number(last_load)), first_reason),
        (same(progress, "deload"), say("Deload: lighter on purpose. Leave it easy.")),
        otherwise=join(step, since_last),
    )


@definition
def back_off_reason(
    back_off_most: Expression,
    last_back_off_failed: Expression,
    planned: Expression,
    target: Expression,
    back_off_plan: Expression,
    back_off_target: Expression,
    drop: Expression,
    body_load: Expression,
    holding_pain: Expression,
    pain_before: Expression,
    unit: Expression,
) -> Expression:
    """What is said of back-off sets that ask for less than the top set's load less `drop` percent, pain apart; and by
    how much they move today, where that is more than the top set does.
    """
    usual = (planned + body_load) * (1 - drop / 100) - body_load
    lighter = and_(holding_pain + pain_before <= 0, round_(back_off_most - usual, 6) < 0)
    why = if_(is_number(last_back_off_failed), say(BACK_OFF_FAILED), say(BACK_OFF_LIGHTER))
    planned_so = if_(all_numbers(back_off_most, planned), if_(lighter, why, BLANK), BLANK)
    of_the_top, change = round_(target - planned, 6), round_(back_off_target - back_off_plan, 6)
    moved_today = choose(
        (
            change < minimum(0, of_the_top),
            changed_by(" Back-off sets today {change} {unit} lighter.", 0 - change, unit),
        ),
        (change > maximum(0, of_the_top), changed_by(" Back-off sets today {change} {unit} heavier.", change, unit)),
        otherwise=BLANK,
    )
    today = if_(all_numbers(planned, target, back_off_plan, back_off_target), moved_today, BLANK)
    return trimmed(join(planned_so, today))  # some programs drop a blank at the beginning of a cell


@cache
def plan_reason(way: EffortAs, again: bool) -> Definition:
    """The sentence for a planned load. again: whether the week has the exercise in another session, too."""
    left_out: dict[str, Any] = dict.fromkeys([] if again else ["prior", "to_plan_from", "holding_pain"])
    return Definition(_plan_reason, words=WORDS[way], **left_out)


NONE_COUNTED = ": what was logged last week does not count yet. See what stands beside those sets."
NONE_COUNTED_FIRST = "What was logged last week does not count yet. See what stands beside those sets."
ELSEWHERE_SINCE = ": in another session it went less well since then."
ELSEWHERE_FIRST = "Lighter to begin with: in another session it went less well than expected."
BAD_ONCE = ": last time was a bad day for the whole session, so this lift is not blamed."
BAD_AGAIN = ": the whole session went badly twice running, so this lift is not blamed. Tell your coach."
BIG_STEP = ": the next step is a big one. If it is easy, lower it a second slower."
BACK_OFF_LIGHTER = " Back-off sets further below the top set than usual: last time they were harder than asked."
BACK_OFF_FAILED = " Back-off sets lighter than the one that failed last time."


def _today(
    text: Expression,
    pain: Expression,
    sore: Expression,
    alarm_open: Expression,
    alarm_answered: Expression,
    back_off_reason: Given,
    chosen: Given,
    instead: Given,
    text_tells: bool = False,
) -> Expression:
    """A reason with what goes before it: pain, another exercise in its place. Pain noted today stands alone, and what
    needs a physician (alarm_open, as `alarm.alarm_open`) in place of all; that it is answered goes before all.

    pain: above 0 where it was noted today, sore: what hurt before; chosen: which stand-in, instead: what is
    said of it; back_off_reason: what is said of back-off sets. text_tells: whether the text itself speaks of the pain
    before.
    """
    noted, opened = say(PAIN_NOTED), if_(differs(sore, ""), sentence(PAIN_OPEN, exercise=sore), BLANK)
    today = total(pain) > 0  # it may be a text
    cleared = if_(alarm_answered > 0, say(CLEARED), BLANK)
    if back_off_reason is not None:
        text = trimmed(join(text, " ", back_off_reason))
    if chosen is None or instead is None:
        planned = join(cleared, BLANK if text_tells else opened, text)
        return alone(alarm_open, if_(today, trimmed(join(cleared, noted)), planned))
    before = if_(same(chosen, 0), BLANK, opened) if text_tells else opened
    done = if_(same(chosen, 0), if_(today, BLANK, text), instead)
    return alone(alarm_open, trimmed(join(cleared, if_(today, noted, before), done)))


def _decision_reason(
    plan_reason: Expression, planned: Expression, target: Expression, extra: Expression, extra_plan: Expression,
    reps: Expression, unit: Expression,
    pain: Expression, sore: Expression, alarm_open: Expression, alarm_answered: Expression, back_off_reason: Given,
    chosen: Given, instead: Given,
) -> Expression:  # fmt: skip
    """Why a load that is decided here is what it is, and what today changed."""
    text = join(plan_reason, day_move(planned, target, extra, extra_plan, reps, unit))
    return _today(text, pain, sore, alarm_open, alarm_answered, back_off_reason, chosen, instead, text_tells=True)


def _percent_reason(
    planned: Expression, percent: Expression, aim: Expression, ceiling: Expression, last_load: Expression,
    last_none_up: Expression, last_overshoot: Expression, hold_overshoot: Expression, days: Expression,
    gap_days: Expression,
    pain: Expression, sore: Expression, alarm_open: Expression, alarm_answered: Expression, back_off_reason: Given,
    chosen: Given, instead: Given,
) -> Expression:  # fmt: skip
    text = if_(
        is_number(planned),
        sentence("{percent} % of your one-rep maximum.", percent=percent),
        sentence(
            "{percent} % of your one-rep maximum: not known yet, choose a load that feels right and type it in.",
            percent=percent,
        ),
    )
    above_last = round_(ceiling - last_load, 6)
    too_hard = if_(is_number(last_overshoot), if_(last_overshoot >= hold_overshoot, 1, 0), 0)
    with_pain = choose(
        (above_last >= 0, say(" Held at the last load.")),
        (too_hard > 0, say(" Lighter: last time was harder than asked.")),
        otherwise=say(" No more than was planned last time."),
    )
    held = choose(
        (and_(is_number(last_none_up), above_last < 0), say(" Lighter: last time not one rep went up.")),
        (differs(sore, ""), with_pain),
        (alarm_answered > 0, BLANK),
        (days >= gap_days, sentence(" Held at the last load: {days} days since it was last logged.", days=days)),
        (above_last > 0, say(" A small step, after what was noted before.")),
        otherwise=say(" Held at the last load: it was harder than asked."),
    )
    below = if_(all_numbers(aim, last_load), if_(round_(aim - ceiling, 6) > 0, held, BLANK), BLANK)
    text = join(text, below)
    return _today(text, pain, sore, alarm_open, alarm_answered, back_off_reason, chosen, instead)


def _text_reason(
    text: Expression,
    pain: Expression, sore: Expression, alarm_open: Expression, alarm_answered: Expression, back_off_reason: Given,
    chosen: Given, instead: Given,
) -> Expression:  # fmt: skip
    return _today(text, pain, sore, alarm_open, alarm_answered, back_off_reason, chosen, instead)


Kind = Literal["decision", "percent", "text"]
_REASONS: dict[Kind, Callable[..., Expression]] = {
    "decision": _decision_reason,
    "percent": _percent_reason,
    "text": _text_reason,
}


@cache
def reason(kind: Kind, stand_ins: bool, back_off: bool) -> Definition:
    """The sentence for a line. stand_ins: whether others may take its place; back_off: whether back-off sets follow."""
    left_out: dict[str, Any] = dict.fromkeys([] if stand_ins else ["chosen", "instead"])
    left_out |= {} if back_off else {"back_off_reason": None}
    return Definition(_REASONS[kind], **left_out)


COACH_REASON = "Your coach set this load."
LAST_BLOCK_REASON = "This load comes from your last block."
NO_LOAD_REASON: dict[EffortAs, str] = {
    "rpe": "Choose the band or resistance that meets the target effort.",
    "reps in reserve": "Choose the band or resistance that leaves you as many reps as planned.",
}


def first_reason(exercise: Exercise, spec: Specification) -> str:
    """What a first load in a block comes from, and how sure that is."""
    source = known_from(spec, exercise)
    if not source:
        return say("No log to go by here yet: body weight only, to see how it goes.")
    sure = number_text(100 * start_spread(spec, exercise), ".0f")
    if is_learned(spec, exercise):
        return say(
            "No log to go by here yet: from what your last block showed, give or take {sure}%.",
            sure=sure,
        )
    if source.casefold() == exercise.name.casefold():
        return say("No log to go by here yet: from your best, give or take {sure}%.", sure=sure)
    return say(
        "No log to go by here yet: a guess from your {lift}, give or take {sure}%. Start lighter if unsure.",
        lift=shown_name(spec.exercise(source)),
        sure=sure,
    )
