"""A logged set in words: what stands beside it on the sheet."""

from __future__ import annotations

from typing import NamedTuple

from blockbook.formula.definition import Definition, definition
from blockbook.formula.expression import (
    Expression,
    all_numbers,
    and_,
    begins_with_digit,
    choose,
    count,
    decimal_mark,
    differs,
    if_,
    is_number,
    join,
    maximum,
    one_of,
    or_,
    round_,
    same,
    sentence,
)
from blockbook.languages import say
from blockbook.spec.models import EffortAs
from blockbook.training.effort import AT_FAILURE
from blockbook.training.logged_set import heavier, left_out, on_other_scale
from blockbook.training.plausibility import BOTH_HANDS


class Words(NamedTuple):
    """How a verdict speaks of effort: in points over and under its target, or in reps left."""

    over: str
    under: str
    heavier_over: str
    off_scale: str
    no_number: str
    not_plain: str
    missing: str


FAR_FROM_ASKED = 0.05
"""A load this share above or below the one asked for is told, unless the set was harder than asked. Common practice, no
source."""

ABOUT_AS_MANY = 2
"""Where as many reps are done as go, those asked for are a guess: so many fewer are not short of anything. Common
practice, no source."""

WORDS: dict[EffortAs, Words] = {
    "rpe": Words(
        over="{over} over",
        under="{under} under",
        heavier_over="heavier, {over} over",
        off_scale="effort is 1 to 10",
        no_number="effort: numbers only",
        not_plain="effort: a number like 7{mark}5",
        missing="type the effort",
    ),
    "reps in reserve": Words(
        over="{over} fewer left",
        under="{under} more left",
        heavier_over="heavier, {over} fewer left",
        off_scale="reps left: 0 to 9",
        no_number="reps left: numbers only",
        not_plain="reps left: a number like 2",
        missing="type the reps left",
    ),
}


NOT_DONE = (
    "-", "--", "---", "skip", "skipped", "left out", "not done", "did not do", "n/a", "na", "none", "missed",
    "ausgelassen", "weggelassen", "nicht gemacht", "keine", "saltado", "saltada", "saltar", "no hecho", "ninguna",
)  # fmt: skip
"""What in a load's cell means that the set was not done, in small letters."""


def verdict_in_words(
    load: Expression,
    reps: Expression,
    rpe: Expression,
    target: Expression,
    target_reps: Expression,
    target_rpe: Expression,
    body_load: Expression,
    before: Expression,
    plausible: Expression,
    usual_rpe: Expression,
    more_counts: Expression,
    spare: Expression,
    on_target: Expression,
    words: Words,
) -> Expression:
    """A logged set in words; `before` is shown while nothing is logged.

    spare: so many reps fewer than asked are not told: `ABOUT_AS_MANY` where as many are done as go, else 0.
    more_counts: 1 where reps beyond those asked are reps that were still left, 0 where they are the aim.
    """
    came_in = rpe - target_rpe - more_counts * maximum(0, reps - target_reps)
    fewer = round_(target_reps - reps, 1)
    short = if_(target_reps - reps > spare, target_reps - reps, 0)
    by_share = if_(all_numbers(load, target), round_((load - target) / maximum(target + body_load, 0.001), 6), 0)
    judged = choose(
        (not_on_scale(rpe), say(words.off_scale)),
        (and_(heavier(load, target) > 0, short > 1), sentence("heavier, {reps} reps fewer", reps=fewer)),
        (and_(heavier(load, target) > 0, short > 0), sentence("heavier, {reps} rep fewer", reps=fewer)),
        (short > 1, sentence("{reps} reps short", reps=fewer)),
        (short > 0, sentence("{reps} rep short", reps=fewer)),
        (on_other_scale(rpe, usual_rpe) > 0, say("effort or reps left?")),
        (is_number(target_rpe), _judged_effort(came_in, rpe - target_rpe, by_share, rpe, on_target, words)),
        (by_share > FAR_FROM_ASKED, say("heavier than asked")),
        (by_share < 0 - FAR_FROM_ASKED, say("lighter than asked")),
        otherwise=say("done"),
    )
    # Who got no rep at all need not say how hard that was.
    no_load = _no_number(load, "load: numbers only", "load: a number like 82{mark}5")
    effort_needed = and_(is_number(target_rpe), count(rpe) < 1, reps > 0)
    return choose(
        (and_(count(load, reps, rpe) < 1, same(join(load, reps, rpe), "")), before),
        (or_(one_of(load, NOT_DONE), left_out(load, reps, rpe, body_load) > 0), say("left out")),
        (plausible < BOTH_HANDS, say("kg or lb?")),
        (plausible < 0, say("load of one hand?")),
        (plausible < 1, say("check load and reps")),
        (count(load) < 1, if_(differs(load, ""), no_load, say("type the load"))),
        (count(reps) < 1, if_(differs(reps, ""), say("reps: numbers only"), say("type the reps"))),
        (and_(count(rpe) < 1, differs(rpe, "")), _no_number(rpe, words.no_number, words.not_plain)),
        (effort_needed, say(words.missing)),
        otherwise=judged,
    )


def _no_number(typed: Expression, text: str, not_plain: str) -> Expression:
    """What is said of a text in place of a number; not_plain: of one that begins with a digit, as "82,5 kg" does where
    the program writes 82.5."""
    return if_(begins_with_digit(typed), sentence(not_plain, mark=decimal_mark()), say(text))


@definition
def not_on_scale(rpe: Expression) -> Expression:
    return and_(is_number(rpe), or_(rpe < 1, rpe > 10))


def _judged_effort(
    error: Expression,
    harder: Expression,
    by_share: Expression,
    rpe: Expression,
    on_target: Expression,
    words: Words,
) -> Expression:
    """error: how far over target with the reps done beyond those asked counted as left; harder: without them; by_share:
    of the load asked for so much more was lifted.
    """
    over = choose(
        (by_share > FAR_FROM_ASKED, sentence(words.heavier_over, over=round_(error, 1))),
        otherwise=sentence(words.over, over=round_(error, 1)),
    )
    return choose(
        (error > on_target, over),
        (and_(rpe >= AT_FAILURE, harder > on_target), say("to failure")),
        (by_share > FAR_FROM_ASKED, say("heavier than asked")),
        (by_share < 0 - FAR_FROM_ASKED, say("lighter than asked")),
        (error < 0 - on_target, sentence(words.under, under=round_(0 - error, 1))),
        otherwise=say("on target"),
    )


VERDICT = {way: Definition(verdict_in_words, words=words) for way, words in WORDS.items()}
