"""The words that the coach's word leaves of a suggestion: what to do, why, and what changed."""

from __future__ import annotations

from blockbook.assessment.decided import says_no
from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    and_,
    choose,
    differs,
    if_,
    is_number,
    join,
    not_,
    or_,
    same,
    trimmed,
)
from blockbook.spec.answers import NO, YES


def _also(first: Expression, between: str, second: Expression) -> Expression:
    """Two texts, with something between them where there are both."""
    return if_(same(first, ""), second, if_(same(second, ""), first, join(first, between, second)))


@definition
def deload_to_do(deload: Expression) -> Expression:
    """What to do where a deload was suggested, after the coach's word on it."""
    return if_(same(deload, NO[0]), "no deload", "deload first")


@definition
def start_said(
    exercise: Expression,
    before: Expression,
    own: Expression,
    first: Expression,
    second: Expression,
    third: Expression,
    fourth: Expression,
    fifth: Expression,
    of_first: Expression,
    of_second: Expression,
    of_third: Expression,
    of_fourth: Expression,
    of_fifth: Expression,
) -> Expression:
    """Where the next sheet starts the exercise used, in a sentence; "" where it is this block's, or the load is the
    coach's own.

    first and so on: those offered, "" for none, and what is said of each.
    """
    offered = (first, of_first), (second, of_second), (third, of_third), (fourth, of_fourth), (fifth, of_fifth)
    return choose(
        (or_(not_(differs(exercise, before)), is_number(own)), BLANK),
        *((same(exercise, name), said) for name, said in offered),
        otherwise=join(exercise, ": the sheet starts it from your bests, or asks to work up."),
    )


@definition
def has_word(accept: Expression, own: Expression, own_sets: Expression, choice: Expression) -> Expression:
    """1 where the coach said something on an exercise, else 0."""
    typed = (differs(trimmed(each), "") for each in (own, own_sets, choice))
    return if_(or_(says_no(accept), *typed), 1, 0)


@definition
def why(
    reason: Expression,
    start: Expression,
    deload: Expression,
    suggested: Expression,
    held: Expression,
    pain: Expression,
    word: Expression,
) -> Expression:
    """The reason for a suggestion, as the coach's word on it leaves it, or one on a deload that is another than
    suggested.

    start: where another exercise starts; held: 1 where it or a close relative hurts, and the loads in the
    reason are for both answers; pain: 1 where it hurts itself, which the reason says first; word: as `has_word`.
    """
    whole = _also(reason, " ", start)
    other = if_(same(deload, YES[0]), "Without a deload first: ", "With a deload first: ")
    starts = if_(same(start, ""), "", join(if_(same(deload, suggested), "", other), start))
    return choose(
        (and_(word > 0, pain > 0), _also(join(reason, " Your word instead."), " ", starts)),
        (word > 0, _also(join("Your word; suggested was: ", reason), " ", starts)),
        (same(deload, suggested), whole),
        (held > 0, reason),
        (same(deload, YES[0]), join("Your word: a deload first. Without one: ", whole)),
        otherwise=join("Your word: no deload first. With one: ", whole),
    )


@definition
def changed_words(
    exercise_before: Expression,
    exercise: Expression,
    load_before: Expression,
    load: Expression,
    sets_before: Expression,
    sets: Expression,
) -> Expression:
    """What of an exercise is another in the next block, in words."""
    swapped = if_(differs(exercise_before, exercise), "exercise", "")
    loaded = if_(is_number(load), if_(differs(load_before, load), "load", ""), "")
    moved = if_(differs(sets_before, sets), "sets", "")
    said = _also(_also(swapped, ", ", loaded), ", ", moved)
    return if_(same(said, ""), "as before", said)
