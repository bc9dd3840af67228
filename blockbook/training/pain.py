"""Where something hurts, and what trains the same: nothing is raised there.

What a session's pain cells say of each exercise, what is carried of it, and how long it holds a load.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from blockbook.formula.definition import Definition, definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    and_,
    at,
    differs,
    if_,
    is_number,
    join,
    maximum,
    mentions,
    not_,
    or_,
    same,
    substituted,
    total,
    trimmed,
)
from blockbook.languages import say, spoken_tag
from blockbook.spec.catalogue import Exercise

LOWER_BACK = "lower back"
"""Bears every load that is lifted bent over or from the floor: a row goes no better than a deadlift where it hurts."""


def close_relatives(one: Exercise, other: Exercise) -> bool:
    """Whether what hurts in one may hurt in the other (common practice, no source).

    They share a direct muscle; or both load the lower back, one of them directly; or they have the same related lift,
    or one is the other's, and share any muscle.
    """
    if set(one.direct) & set(other.direct):
        return True
    if LOWER_BACK in (*one.direct, *other.direct) and all(LOWER_BACK in (*e.direct, *e.indirect) for e in (one, other)):
        return True
    lifts = {one.name.casefold(), (one.related or one.name).casefold()}
    same_lift = bool(lifts & {other.name.casefold(), (other.related or other.name).casefold()})
    return same_lift and bool({*one.direct, *one.indirect} & {*other.direct, *other.indirect})


NO_PAIN = ("", "none", "no", "nope", "ok", "gone", "-", "0")
"""What in a pain cell means that nothing hurts."""


def says_none(text: Expression) -> Expression:
    """Whether a cell says that nothing hurts."""
    words = dict.fromkeys((*NO_PAIN, say("none"), say("no"), say("gone")))
    return or_(*(same(trimmed(text), word) for word in words))


BETWEEN_LETTERS = (",", ";", "+", "&", "/", ".")
"""What stands between letters, or behind one, beside blanks and "and"."""


def _letters(pain: Expression, labels: Sequence[str]) -> Expression:
    """The letters that a session's pain cell names: "|B||D1|"; "" where it says nothing, or anything else.

    labels: of the session's exercises and supersets. "B and C", "b, d1" and "D1+D2" name two; "B, lower back" is
    no list of letters, and counts for every exercise.
    """
    text: Expression = pain
    for sign in BETWEEN_LETTERS:
        text = substituted(text, sign, " ")
    apart = join("|", substituted(trimmed(text), " ", "||"), "|")
    for word in dict.fromkeys(("and", "And", say("and"))):
        apart = substituted(apart, f"|{word}|", "")
    for label in labels:
        apart = substituted(apart, f"|{label.lower()}|", f"|{label}|")
    rest = apart
    for label in labels:
        rest = substituted(rest, f"|{label}|", "")
    return if_(same(rest, ""), apart, BLANK)


@cache
def pain_letters(labels: tuple[str, ...]) -> Definition:
    """`_letters` for a session with these labels."""
    return Definition(_letters, labels=labels)


@definition
def pain_named(letters: Expression, label: Expression, group: Expression) -> Expression:
    """1 if the letters that a session's pain cell names are this exercise's, or that of its superset (group)."""
    own, of_the_superset = (substituted(letters, join("|", letter, "|"), "") for letter in (label, group))
    return if_(or_(differs(own, letters), differs(of_the_superset, letters)), 1, 0)


PAIN_IN_NOTES: dict[str, dict[str, tuple[str, ...]]] = {
    "en": {
        "pain": ("no pain", "pain free", "pain-free", "painless", "without pain", "paint"),
        "hurt": ("not hurt", "nothing hurt", "n't hurt", "no hurt"),
        "twinge": ("no twinge",),
    },
    "de": {
        "schmerz": ("kein schmerz", "keine schmerz", "keinen schmerz", "ohne schmerz", "schmerzfrei", "schmerzlos"),
        "weh": ("nichts weh", "nicht weh"),
        "zwick": ("nichts zwick", "zwickt nicht"),
    },
    "es": {
        "dolor": ("sin dolor", "no hay dolor", "nada de dolor", "ningún dolor"),
        "duel": ("no duel", "no me duel", "nada duel"),
        "molesti": ("sin molesti",),
    },
}
"""By language, what in a note is asked about, and what has it in it and speaks of none; `read` knows more words."""


def speaking_of_pain(notes: Expression) -> Expression:
    """How many notes have a word of pain, in English or in the language spoken, and do not take it back."""
    languages = dict.fromkeys(("en", spoken_tag().language))
    words = [each for language in languages for each in PAIN_IN_NOTES.get(language, {}).items()]
    return total(*(mentions(notes, word, but_not) for word, but_not in words))


def painful(
    pain: Expression, where: Expression, named: Expression, all_named: Expression, notes: Expression | None
) -> Expression:
    """1 if pain counts for this exercise: named, or reported without naming one; 0 if it was said that none is left.

    A note of one of its sets that speaks of pain counts until the pain's cell says otherwise. "" where nothing was said
    of it: in an empty cell, or one that names another exercise. notes: None for an exercise without sets.
    """
    said = not_(says_none(pain))
    somewhere = not_(says_none(where))
    unnamed = and_(or_(said, somewhere), total(all_named) < 1)
    none_left = and_(differs(trimmed(pain), ""), not_(said))
    said_in = [] if notes is None else [and_(same(trimmed(pain), ""), speaking_of_pain(notes) > 0)]
    return if_(or_(named > 0, unnamed, *said_in), 1, if_(none_left, 0, BLANK))


PAINFUL, PAINFUL_WITHOUT_SETS = Definition(painful), Definition(painful, notes=None)


@definition
def pain_carried(pain: Expression, number: Expression, before: Expression) -> Expression:
    """The exercise's number while pain was the last thing heard of it, done or not; 0 once it was said to be gone.

    pain: as `painful` says it; after pain an empty cell says nothing. number: its place among all exercises, from 1.
    """
    return if_(is_number(pain), pain * number, before)


@definition
def pain_that_holds(last_pain: Expression, relatives: Expression) -> Expression:
    """The number of the exercise that hurt when it was last heard of: itself, else a close relative of it; else 0."""
    return if_(last_pain > 0, last_pain, maximum(0, relatives))


@definition
def sore(holding_pain: Expression, exercises: Expression) -> Expression:
    """The name of what `pain_that_holds`; "" where nothing does. exercises: the names by number."""
    return if_(holding_pain > 0, at(exercises, holding_pain), BLANK)


AFTER_PAIN = 0.5
"""The share of the usual rise that is allowed once pain is gone. Common practice, no source."""


def allowed_rise(most_rise: Expression, pain_before: Expression) -> Expression:
    """By how much load and reps together may ask for more than last time. pain_before: it hurt until last week."""
    return most_rise * if_(pain_before > 0, AFTER_PAIN, 1)
