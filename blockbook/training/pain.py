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
    choose,
    differs,
    if_,
    is_number,
    join,
    lower,
    maximum,
    minimum,
    not_,
    one_of,
    or_,
    same,
    substituted,
    total,
    trimmed,
)
from blockbook.languages import say
from blockbook.spec.catalogue import Exercise
from blockbook.training.pain_vocabulary import EDGES
from blockbook.training.pain_words import OF_PAIN

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


NO_PAIN = (
    "none", "no", "nope", "n", "nah", "nil", "nothing", "ok", "okay", "gone", "-", "--", "0", "n/a", "fine", "good",
    "no pain", "no pain today", "no more pain", "none today", "none at all", "none really", "not really",
    "not any more", "nothing hurts", "pain free", "pain-free", "painless", "all good", "all fine", "all ok",
    "keine", "kein", "keiner", "keins", "nein", "nee", "nö", "nichts", "keine schmerzen", "kein schmerz",
    "keine schmerzen mehr", "keine mehr", "nichts mehr", "schmerzfrei", "weg", "alles gut", "alles ok", "gut",
    "ninguno", "ninguna", "ningún dolor", "ningun dolor", "nada", "nada de dolor", "sin dolor", "no hay dolor",
    "no duele", "no me duele", "no me duele nada", "ya no", "ya no duele", "todo bien", "bien", "desaparecido",
)  # fmt: skip
"""What in a pain cell means that nothing hurts, in small letters."""


@definition
def says_none(text: Expression) -> Expression:
    """Whether a cell says that nothing hurts, or nothing at all."""
    said: Expression = text
    for mark in (".", "!"):
        said = substituted(said, mark, "")
    return or_(same(trimmed(said), ""), one_of(said, NO_PAIN))


_BESIDE_NONE = (
    "chest fine", "chest ok", "chest is fine", "cleared by doctor", "cleared by my doctor", "doctor cleared me",
    "cleared by physician", "cleared by a physician", "cleared", "vom arzt freigegeben", "arzt sagt ok", "brust ok",
    "alta medica", "alta médica", "pecho bien",
)  # fmt: skip
"""What is said beside it by whom a physician has seen: "none, cleared by doctor"."""


@definition
def nothing_hurts(pain: Expression) -> Expression:
    """Whether the answer to what hurts says that nothing does, whatever a physician said beside it."""
    said = lower(pain)
    for beside in _BESIDE_NONE:
        said = substituted(said, f", {beside}", "")
    return says_none(said)


@definition
def pain_answer(pain: Expression, where: Expression) -> Expression:
    """What a session's pain cells answer: 1 that something hurts, 0 that nothing does; "" where nothing was typed."""
    hurts = or_(not_(nothing_hurts(pain)), not_(says_none(where)))
    return if_(hurts, 1, if_(same(trimmed(pain), ""), BLANK, 0))


NONE_FIRST = ("none", "keine", "ninguno", "ninguna")
"""What may stand before letters, where an alarm is answered and something else hurts: "none, D"."""

BETWEEN_LETTERS = ("|", ",", ";", "+", "&", "/", ".", "?", "!")
"""What stands between letters, or behind one, beside blanks and "and"."""


def _pain_typed(pain: Expression, letters: Sequence[tuple[str, str]]) -> Expression:
    """What a session's pain cell says in small letters between `EDGES`, the names of its exercises put as letters.

    letters: of each exercise its name and its letter, both small; longer names first, or "front squat" would be
    taken for a squat.
    """
    text: Expression = join(EDGES[0], lower(trimmed(pain)), EDGES[1])
    for name, letter in letters:
        text = substituted(text, f" {name} ", f" {letter} ")
    return text


@cache
def pain_typed(letters: tuple[tuple[str, str], ...]) -> Definition:
    """`_pain_typed` for a session with these exercises."""
    return Definition(_pain_typed, letters=letters)


def _letters(pain_typed: Expression, labels: Sequence[str]) -> Expression:
    """The letters that a session's pain cell names: "|b||d1|"; "" where it says nothing, or anything else.

    labels: of the session's exercises and supersets, in small letters. "B and C", "b, d1" and "D1+D2" name two, "none,
    D" one; "B, lower back" is no list of letters, and counts for every exercise; so does "a bit", which may mean no
    letter.
    """
    text: Expression = pain_typed
    for sign in BETWEEN_LETTERS:
        text = substituted(text, sign, " ")
    apart = join("|", substituted(trimmed(text), " ", "||"), "|")
    for word in dict.fromkeys(("and", say("and"), *NONE_FIRST)):
        apart = substituted(apart, f"|{word}|", "")
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
    """1 if the letters that a session's pain cell names are this exercise's, or that of its superset (group): small."""
    own, of_the_superset = (substituted(letters, join("|", letter, "|"), "") for letter in (label, group))
    return if_(or_(differs(own, letters), differs(of_the_superset, letters)), 1, 0)


@definition
def painful(
    pain_answer: Expression, named: Expression, all_named: Expression, noted: Expression, alarm_noted: Expression
) -> Expression:
    """1 if pain counts for this exercise: named, or reported without naming one; 0 if it was said that none is left.

    A note of one of its sets that speaks of pain (noted, as `pain_words.heard`) counts until the pain's cell says that
    none is left: one that names another exercise does not answer it. What asks for a physician counts for all exercises
    of the session, whatever that says. "" where nothing was said of it.
    """
    unnamed = and_(same(pain_answer, 1), total(all_named) < 1)
    by_note = and_(or_(same(pain_answer, ""), same(pain_answer, 1)), noted >= OF_PAIN)
    return if_(or_(named > 0, unnamed, by_note, alarm_noted > 0), 1, if_(same(pain_answer, 0), 0, BLANK))


@definition
def pain_open(pain: Expression, last_pain: Expression, held: Expression) -> Expression:
    """1 where pain of an earlier week or block is neither said to be gone nor to be there still."""
    return if_(and_(or_(last_pain > 0, held > 0), not_(is_number(pain))), 1, 0)


@definition
def of_its_own(pain: Expression, named: Expression, alarm_noted: Expression) -> Expression:
    """What was said of this exercise itself. What asks for a physician is of none: it holds all until it is answered,
    in whatever session (`alarm.alarm_open`)."""
    return if_(and_(alarm_noted > 0, named < 1), BLANK, pain)


@definition
def pain_carried(
    pain: Expression, named: Expression, alarm_noted: Expression, number: Expression, before: Expression
) -> Expression:
    """The exercise's number while pain was the last thing heard of it, done or not; 0 once it was said to be gone.

    pain: as `painful` says it; after pain an empty cell says nothing. number: its place among all exercises, from 1.
    """
    said = of_its_own(pain, named, alarm_noted)
    return if_(is_number(said), said * number, before)


@definition
def still_held(pain: Expression, named: Expression, alarm_noted: Expression, held: Expression) -> Expression:
    """1 while pain of an exercise that has left the block (`Slot.held_for`) holds this one: until its own is answered.

    held: the same before this session.
    """
    return if_(is_number(of_its_own(pain, named, alarm_noted)), 0, held)


@definition
def held_by_both(own: Expression, others: Expression) -> Expression:
    """1 while what has left the block holds this exercise: by its own last session (own, as `still_held`), and by the
    last session of another that is held for the same (others, as `others_held`). One answer is enough."""
    return minimum(own, others)


@definition
def others_held(
    pain: Expression, named: Expression, alarm_noted: Expression, alarm_answered: Expression, before: Expression
) -> Expression:
    """1 while exercises of other sessions go on being held for the same one: until it is said that nothing hurts, and
    not as the answer to an alarm.
    """
    gone = and_(same(of_its_own(pain, named, alarm_noted), 0), alarm_answered < 1)
    return if_(gone, 0, before)


@definition
def pain_until_now(holding_pain: Expression, alarmed_before: Expression, number_then: Expression) -> Expression:
    """Above 0 where pain held an exercise the last time, or an alarm was open then or in a session since.

    alarmed_before: as `alarm.alarmed_in`, before this session; number_then: of the session that it was last done in.
    """
    return maximum(holding_pain, if_(alarmed_before >= number_then, 1, 0))


@definition
def pain_that_holds(
    last_pain: Expression, held: Expression, alarm_before: Expression, number: Expression, relatives: Expression
) -> Expression:
    """The number of the exercise that hurt when it was last heard of: itself, else a close relative of it; else 0.

    Its own, too, where what hurt is not in the block (`held`, as `still_held`), or an alarm is open (alarm_before, of
    the session before): that holds all.
    """
    nearby = maximum(0, relatives)
    of_all = if_(and_(alarm_before > 0, same(nearby, 0)), number, nearby)
    return choose((last_pain > 0, last_pain), (held > 0, number), otherwise=of_all)


@definition
def sore(
    holding_pain: Expression,
    last_pain: Expression,
    held: Expression,
    held_for: Expression,
    number: Expression,
    exercises: Expression,
) -> Expression:
    """The name of what `pain_that_holds`; "" where nothing does, or an alarm that is no exercise's own. exercises: the
    names by number.
    """
    elsewhere = and_(last_pain < 1, held > 0)
    of_the_alarm = and_(last_pain < 1, same(holding_pain, number))
    hurts = and_(holding_pain > 0, not_(of_the_alarm))
    return choose((elsewhere, held_for), (hurts, at(exercises, holding_pain)), otherwise=BLANK)


AFTER_PAIN = 0.5
"""The share of the usual rise that is allowed once pain is gone. Common practice, no source."""


def allowed_rise(most_rise: Expression, pain_before: Expression) -> Expression:
    """By how much load and reps together may ask for more than last time. pain_before: it hurt until last week."""
    return most_rise * if_(pain_before > 0, AFTER_PAIN, 1)
