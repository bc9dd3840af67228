"""What a lifter reads once a session is done: how it went on the whole, and what that does to next week."""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    absolute,
    and_,
    average,
    choose,
    count,
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
from blockbook.languages import say
from blockbook.spec.models import EffortAs
from blockbook.training.alarm import HERE, NEXT_WEEK_WAITS, NO_ALARM, alone
from blockbook.training.pain_words import OF_PAIN
from blockbook.training.session_checks import EFFORTS_APART, EFFORTS_FIT, OTHER_SCALE_MEANT

LAST_SESSION = "That was the last session of the block: save the file and send it to your coach."
BEFORE_THE_MEET = (
    "That was the last session before the meet. Your attempts are on the sheet Meet; send the file after it."
)
DELOAD_AHEAD = "Next week is a deload: lighter on purpose."

FAR_FROM_PLAN = 21
"""Days from the day planned at which a date is asked about. Common practice, no source."""

OTHER_SCALE: dict[EffortAs, str] = {
    "rpe": "Done, but check the efforts first: they look like reps left.",
    "reps in reserve": "Done, but check the reps left first: they look like efforts.",
}
EFFORT_APART = "Done, but check session effort and sets first: one says hard, the other easy."
"""No step for next week is said behind either: it would follow from what is doubted."""

NOT_JUDGED = "Done; nothing in it could be judged against the plan."

OPPOSITE = 1
"""Exercises that came in so far over and under target, in reps, are told apart: their mean would say that all went as
asked. Common practice, no source."""


DOES_IT_HURT = "Does it hurt, as a note says? Type under Pain: none if not (loads may rise), the letter if so (held). "
STILL_OPEN = (
    "Pain of an earlier week is still open. Type under Pain: none if gone (loads may rise), the letter if not (held). "
)

ASK_FIRST = "ask your coach first"
"""The step of an exercise that hurts, or whose close relative does: "Same load" would be a go-ahead."""


@definition
def harder_on_the_whole(over: Expression, effort_check: Expression, on_target: Expression) -> Expression:
    """1 for a session that is called harder than asked, and may be called a bad day the next time; else 0.

    over: how far over target each of its exercises came in, "" where no effort was logged; effort_check: as in `said`.
    """
    apart = and_(maximum(over) >= OPPOSITE, minimum(over) <= 0 - OPPOSITE)
    harder = and_(same(effort_check, EFFORTS_FIT), not_(apart), round_(average(over) - on_target, 6) > 0)
    return if_(count(over) > 0, if_(harder, 1, 0), 0)


@definition
def said(
    done: Expression,
    to_look_at: Expression,
    asked: Expression,
    effort: Expression,
    over: Expression,
    most_over: Expression,
    least_over: Expression,
    harder: Expression,
    effort_check: Expression,
    other_scale: Expression,
    pains: Expression,
    pain_cell: Expression,
    noted: Expression,
    alarm_open: Expression,
    still_open: Expression,
    on_target: Expression,
    ahead: Expression,
) -> Expression:
    """ "9 of 14 sets logged." until all are, or the session's effort is; then how it went and what lies ahead.

    Pain is said first, and at once; a note that speaks of it is asked about while its cell is empty, and pain of an
    earlier week until it is answered. What needs a physician is said alone.

    done, to_look_at: sets logged, and those of them that no load follows from; over, most_over, least_over: how far
    over target its exercises came in, "" where no effort was logged; harder: `harder_on_the_whole`; effort_check:
    `session_checks.efforts_to_check`; other_scale: what is said of efforts on the other scale; pains: above 0 where
    pain was noted; noted: what the notes speak of (`pain_words.heard`); alarm_open: as `alarm.alarm_open`; still_open:
    above 0 where an earlier pain is not answered; ahead: a sentence, or "".
    """
    not_begun = and_(done < 1, not_(is_number(over)))
    used = done - to_look_at
    so_far = choose(
        (not_begun, BLANK),
        (and_(used < asked, not_(is_number(effort))), _how_far(used, to_look_at, asked)),
        otherwise=join(
            _how_it_went(over, most_over, least_over, harder, effort_check, other_scale, on_target),
            _not_counted(to_look_at),
            " ",
            ahead,
        ),
    )
    pain = _pain_said(pains, pain_cell, noted, and_(still_open > 0, not_(not_begun)))
    return alone(alarm_open, trimmed(join(pain, so_far)))


@definition
def speaks_of_pain(
    done: Expression, pains: Expression, noted: Expression, still_open: Expression, alarm_open: Expression
) -> Expression:
    """Above 0 where `said` begins with pain: what was noted now, or once a set is done what is still open."""
    now = or_(total(pains) > 0, noted > 0, alarm_open > 0)
    return if_(or_(now, and_(still_open > 0, done > 0)), 1, 0)


def _how_far(used: Expression, to_look_at: Expression, asked: Expression) -> Expression:
    doubtful = sentence(
        "{done} of {asked} sets logged, {doubtful} to look at.", done=used, asked=asked, doubtful=to_look_at
    )
    plain = sentence("{done} of {asked} sets logged.", done=used, asked=asked)
    return if_(to_look_at > 0, doubtful, plain)


def _not_counted(to_look_at: Expression) -> Expression:
    """Sets that were done and say nothing, as with a load that is no number: or "done" would be all that is said."""
    several = sentence(" {doubtful} sets do not count yet: see what stands beside them.", doubtful=to_look_at)
    one = say(" One set does not count yet: see what stands beside it.")
    return choose((same(to_look_at, 1), one), (to_look_at > 0, several), otherwise=BLANK)


def _how_it_went(
    over: Expression,
    most_over: Expression,
    least_over: Expression,
    harder: Expression,
    effort_check: Expression,
    other_scale: Expression,
    on_target: Expression,
) -> Expression:
    by_more = "Done: harder than asked, by {over} a set (reps and effort together)."
    easier = "Done: easier than asked, by {under} a set (reps and effort together)."
    one = (
        "Done: as hard as asked, on the whole, but at least one exercise harder, by up to {over} a set (reps and "
        "effort together)."
    )
    both = (
        "Done: some harder than asked, by up to {over} a set (reps and effort together), some easier, by up to {under}."
    )
    return choose(
        (same(effort_check, OTHER_SCALE_MEANT), other_scale),
        (same(effort_check, EFFORTS_APART), say(EFFORT_APART)),
        (not_(is_number(over)), say(NOT_JUDGED)),
        (
            and_(most_over >= OPPOSITE, least_over <= 0 - OPPOSITE),
            sentence(both, over=round_(most_over, 1), under=round_(0 - least_over, 1)),
        ),
        (harder > 0, sentence(by_more, over=round_(over, 1))),
        (round_(over + on_target, 6) < 0, sentence(easier, under=round_(0 - over, 1))),
        (round_(most_over - OPPOSITE, 6) >= 0, sentence(one, over=round_(most_over, 1))),
        otherwise=say("Done: as hard as asked, on the whole."),
    )


def _pain_said(pains: Expression, pain_cell: Expression, noted: Expression, still_open: Expression) -> Expression:
    """What comes before all else; still_open: whether to ask about the pain of an earlier week."""
    return choose(
        (
            and_(same(trimmed(pain_cell), ""), noted >= OF_PAIN),
            say(DOES_IT_HURT),
        ),
        (pains > 0, say("Pain was noted: no increase there. Tell your coach. ")),
        (still_open, say(STILL_OPEN)),
        otherwise=BLANK,
    )


@definition
def next_steps(
    effort_check: Expression,
    first: Expression,
    first_step: Expression,
    first_pain: Expression,
    second: Expression,
    second_step: Expression,
    second_pain: Expression,
    third: Expression,
    third_step: Expression,
    third_pain: Expression,
    alarm_ahead: Expression,
) -> Expression:
    """ "Next week · Back squat: Up 2.5 kg.": what `said` ends with; "" where the efforts are to be looked at first.

    alarm_ahead: `alarm.alarm_open` of that session. Of up to three exercises their names, how their plan moves
    (`moves_said.moved`; "" for none), and above 0 where pain holds them next week.
    """
    each = ((first, first_step, first_pain), (second, second_step, second_pain), (third, third_step, third_pain))
    steps = [
        if_(differs(step, ""), join(" · ", exercise, ": ", if_(total(pain) > 0, say(ASK_FIRST), step)), BLANK)
        for exercise, step, pain in each
    ]
    decided = and_(same(effort_check, EFFORTS_FIT), or_(*(differs(step, "") for _, step, _ in each)))
    waits = if_(is_number(alarm_ahead), if_(alarm_ahead > NO_ALARM, 1, 0), 0)
    return choose((waits > 0, say(NEXT_WEEK_WAITS)), (decided, join(say("Next week"), *steps, ".")), otherwise=BLANK)


@definition
def number_hint(typed: Expression, hint: Expression, least: Expression, most: Expression) -> Expression:
    """What stands beside a cell for a number: what to type, or what is wrong with what was typed."""
    text = and_(differs(typed, ""), not_(is_number(typed)))
    return choose(
        (text, say("numbers only")),
        (
            and_(is_number(typed), or_(typed < least, typed > most)),
            sentence("{least} to {most} only", least=least, most=most),
        ),
        otherwise=hint,
    )


@definition
def date_hint(
    typed: Expression, planned: Expression, done: Expression, hint: Expression, example: Expression
) -> Expression:
    """What stands beside the date: what to type, or that it is none, or one far from the day planned (a number).

    done: the sets logged of each exercise; example: what to type for the day planned, in words.
    """
    far = if_(is_number(typed), if_(absolute(typed - planned) > FAR_FROM_PLAN, 1, 0), 0)
    return choose(
        (and_(differs(typed, ""), not_(is_number(typed))), example),
        (far > 0, say("another month or year?")),
        (and_(not_(is_number(typed)), total(done) > 0), say("type it: loads hang on it")),
        otherwise=hint,
    )


@definition
def pain_hint(
    pains: Expression, before: Expression, alarm_open: Expression, hint: Expression, exercises: Expression
) -> Expression:
    """What stands beside the pain: what to type, that it counts for all exercises, or that it is still held.

    before: above 0 where pain was the last thing heard of an exercise; alarm_open: as `alarm.alarm_open`.
    """
    return choose(
        (alarm_open >= HERE, say("next time: none, once a physician has cleared you")),
        (and_(alarm_open > 0, total(pains) > 0), say("cleared? type none, then the letter: none, B")),
        (alarm_open > 0, say("none once a physician has cleared you")),
        (and_(total(pains) >= exercises, exercises > 1), say("counts for all; letters for some, none for no pain")),
        (and_(total(before) > 0, count(pains) < 1), say("gone? type none; else the letter")),
        otherwise=hint,
    )
