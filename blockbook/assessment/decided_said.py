"""The words that the coach's word leaves of a suggestion: what to do, why, and what changed."""

from __future__ import annotations

from blockbook.assessment.decided import says_no
from blockbook.formula.definition import definition
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
    not_,
    or_,
    round_,
    same,
    trimmed,
)
from blockbook.spec.answers import NO, YES

DELOAD_FIRST = "deload first"
"""What is suggested for a block, and for exercises that nothing else is suggested for."""


def _also(first: Expression, between: str, second: Expression) -> Expression:
    """Two texts, with something between them where there are both."""
    return if_(same(first, ""), second, if_(same(second, ""), first, join(first, between, second)))


@definition
def deload_to_do(deload: Expression) -> Expression:
    """What to do with the whole block, after the coach's word on it."""
    return if_(same(deload, NO[0]), "no deload", DELOAD_FIRST)


@definition
def to_do(
    suggested: Expression,
    accept: Expression,
    own: Expression,
    choice: Expression,
    exercise: Expression,
    before: Expression,
    load: Expression,
    start: Expression,
    deload: Expression,
    pain: Expression,
) -> Expression:
    """What to do with an exercise, after the coach's word on it and on a deload.

    suggested: the word for what is suggested; exercise, load: those decided; before, start: this block's; pain: 1 where
    it hurts itself.
    """
    rise = if_(all_numbers(load, start), round_(load - start, 6), 0)
    moved = choose((rise > 0, "raise"), (rise < 0, "lower"), otherwise="hold")
    has_said = or_(says_no(accept), differs(trimmed(own), ""), differs(trimmed(choice), ""))
    said = choose(
        (and_(has_said, differs(exercise, before)), "change the exercise"),
        (has_said, moved),
        (and_(same(suggested, DELOAD_FIRST), same(deload, NO[0])), "no deload"),
        otherwise=suggested,
    )
    return join(said, if_(pain > 0, " (pain)", ""))


@definition
def kept_said(exercise: Expression, before: Expression, suggested: Expression, shown: Expression) -> Expression:
    """Whether an exercise is kept, varied or replaced, after the coach's word on it. shown: the same as suggested."""
    return choose(
        (not_(differs(exercise, before)), "kept"),
        (same(exercise, suggested), shown),
        otherwise=join("replaced: ", exercise),
    )


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
        otherwise=join(exercise, ": from which load it starts, next says."),
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
        (and_(word > 0, differs(start, "")), join("Your word. ", starts, " Suggested was: ", reason)),
        (word > 0, join("Your word; suggested was: ", reason)),
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
