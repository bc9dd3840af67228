"""Which notes speak of pain, and which of something that needs a physician: one list for the sheet and for `read`.

Notes are looked at in steps, each a cell of its own, since a spreadsheet nests no more than 64 functions:
`notes_together` writes them plainly, every joint as " joint "; `alike` writes one form for many ("cant", "couldn't");
`bare` leaves out words that say nothing here; `turned` puts right what only sounds like a "no" ("not pain free");
`cues_apart` ties up praise and cues; `denied` ties a "no" to the word that it takes back (" no_pain ") and
`taken_back` lets it reach over an "or". So `heard` need only ask whether one of the words of pain stands there, and
`alarm_heard` the same of alarm, once a session, after `alarm_words` has tied up what is ordinary after a hard set.
English, German and Spanish, and the commonest words of other languages, whatever the sheet speaks: people note in their
own. All from memory.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache, lru_cache

from blockbook.formula.definition import Definition, definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    at,
    differs,
    if_,
    is_text,
    join,
    lower,
    or_,
    same,
    substituted,
    trimmed,
)
from blockbook.training.pain_vocabulary import (
    AFTER_A_SET,
    ALARM,
    ALIKE,
    APART,
    BLANKS,
    CUES,
    EDGES,
    JOINT,
    JOINTS,
    LISTED,
    LISTS,
    NO_CHEST,
    OF_THE_HEART,
    OF_THE_SENSES,
    ORDINARY,
    OVER,
    PAIN,
    PLAIN,
    SAY_NOTHING,
    SIDES,
    TAKE_BACK,
    TAKEN_ALONG,
    TURNED,
    WAYS,
    WELL,
    WHERE_IT_HURTS,
)

GET_HELP = "Chest pain, dizziness, fainting, numbness or the like: stop and get medical help at once."


def _plainly(text: Expression) -> Expression:
    """In small letters, without accents, clauses apart, joints by one name: "| no warm up , my joint hurt ! |"."""
    plain: Expression = lower(text)
    for sign in APART:
        plain = substituted(plain, sign, f" {sign} ")
    for blank in BLANKS:
        plain = substituted(plain, blank, " ")
    for sign, meant in PLAIN.items():
        plain = substituted(plain, sign, meant)
    plain = substituted(substituted(plain, " / ", " , "), "/", " or ")
    plain = join(EDGES[0], trimmed(substituted(plain, "schmerz", " schmerz")), EDGES[1])  # "Knieschmerz"
    plain = substituted(plain, " knee locked ", " knee stuck ")  # knees that are locked are at the top of a lift
    for part in JOINTS:
        plain = substituted(plain, f" {part} ", f" {JOINT} ")
    return plain


def _written(text: Expression, forms: Mapping[str, str]) -> Expression:
    for form, meant in forms.items():
        text = substituted(text, form, meant)
    return text


def _tied(text: Expression, phrases: Sequence[str]) -> Expression:
    """Phrases that stand by themselves no more: " _good_pop"."""
    return _written(text, {f" {phrase}": f" _{phrase.replace(' ', '_')}" for phrase in phrases})


@definition
def alike(plain: Expression) -> Expression:
    """A plain text with one form for what is written in many ways: "can't" for "couldnt", "or" for "oder"."""
    return _written(plain, ALIKE)


@definition
def bare(alike: Expression) -> Expression:
    """A text without words that say nothing here, such as a joint's side: "| no warm up , joint hurt ! |"."""
    text = alike
    for side in SIDES:
        text = substituted(text, f" {side} {JOINT} ", f" {JOINT} ")
    text = substituted(substituted(text, " lower back ", " back "), " upper back ", " upperback ")
    for word in SAY_NOTHING:
        text = substituted(text, f" {word} ", " ")
    return text


def _notes_together(notes: Expression, sets: int) -> Expression:
    """The notes of an exercise's sets, plainly; "" where there are none. What is no text, such as a slip that a
    program took for a formula, is passed over. Two commas stand between them, as within none: "no pain" of one set
    says nothing of "numbness or tingling" in the next."""
    texts = [at(notes, number) for number in range(1, sets + 1)]
    written = join(*(if_(is_text(text), join(text, " , , "), BLANK) for text in texts), BLANK)
    return if_(or_(*(is_text(text) for text in texts)), _plainly(written), BLANK)


@cache
def notes_together(sets: int) -> Definition:
    """`_notes_together` for an exercise of so many sets."""
    return Definition(_notes_together, sets=sets)


@definition
def typed_together(pain: Expression, where: Expression) -> Expression:
    """The answers to what hurts and where, plainly; "" where there are none."""
    return if_(same(trimmed(join(pain, where)), ""), BLANK, _plainly(join(pain, " , ", where)))


@definition
def turned(bare: Expression) -> Expression:
    """A bare text in which what only sounds like a pain taken back says that it was there."""
    return _written(bare, TURNED)


@definition
def cues_apart(turned: Expression) -> Expression:
    """A text in which a word of pain in a cue stands by itself no more: " _good_pop "."""
    return _tied(turned, CUES)


@definition
def denied(cues_apart: Expression) -> Expression:
    """A text in which a word that is taken back stands by itself no more: " no_pain ", " pain_gone "."""
    tied = cues_apart
    for word in OVER:
        tied = substituted(tied, word, f"_{word[1:]}")
    for word in TAKE_BACK:
        tied = substituted(tied, word, f"{word[:-1]}_")
    for word in TAKEN_ALONG:
        tied = substituted(tied, word, f"{word[:-1]}_")
    return tied


@definition
def taken_back(denied: Expression) -> Expression:
    """A text in which a "no" reaches over an "or" as well: " no_pain_or_numbness "."""
    tied = denied
    for words in LISTS:
        tied = substituted(tied, words, f"{words[:-1].replace(' ', '_')}_")
    for again in (*LISTED, "pain"):
        tied = substituted(tied, f"_{again} or ", f"_{again}_or_")
    for part in ("chest", "brust", "pecho", JOINT, "back"):
        tied = substituted(tied, f"_or_{part} ", f"_or_{part}_")
    return tied


STEPS = (alike, bare, turned, cues_apart, denied, taken_back)
"""From a plain text to words that `heard` can be asked of, one after the other."""


NOTHING, OF_PAIN = 0, 1
"""What an exercise's notes speak of, beside what asks for a physician."""


_MOST_NESTED = 50


def _stands_in(text: Expression, words: tuple[str, ...]) -> Expression:
    """Whether one of the words stands in a text: then it is another one without them."""
    without: list[Expression] = []
    for place, word in enumerate(words):
        if place % _MOST_NESTED == 0:
            without.append(text)
        without[-1] = substituted(without[-1], word, "")
    return or_(*(differs(each, text) for each in without))


@definition
def heard(words: Expression) -> Expression:
    """What notes speak of: `NOTHING` or `OF_PAIN`. words: as `taken_back` leaves them."""
    return if_(same(words, ""), NOTHING, if_(_stands_in(words, PAIN), OF_PAIN, NOTHING))


@definition
def words_so_far(words_before: Expression, words: Expression) -> Expression:
    """The words of a session's exercises up to this one: what asks for a physician is looked for once a session."""
    return join(words_before, words)


@definition
def alarm_words(all_words: Expression, typed_words: Expression) -> Expression:
    """A session's notes, and its answers to what hurts and where, with what is ordinary tied up: " _chest_muscle "."""
    words = _written(join(all_words, typed_words), AFTER_A_SET)
    for way in WAYS:
        words = substituted(words, f" {way} ", " ")
    return _tied(words, ORDINARY)


@definition
def heart_heard(alarm_words: Expression) -> Expression:
    """1 where a session's words speak of heart or breath, else 0."""
    return if_(same(alarm_words, ""), 0, if_(_stands_in(alarm_words, OF_THE_HEART), 1, 0))


@definition
def alarm_heard(alarm_words: Expression, heart_heard: Expression) -> Expression:
    """1 where a session's words ask for a physician, else 0."""
    found = if_(or_(heart_heard > 0, _stands_in(alarm_words, OF_THE_SENSES)), 1, 0)
    return if_(same(alarm_words, ""), 0, found)


@definition
def alarming(typed_words: Expression) -> Expression:
    """1 where what is said to hurt asks for a physician by itself, else 0."""
    where = _where(typed_words)
    return if_(same(typed_words, ""), 0, if_(_stands_in(where, WHERE_IT_HURTS), 1, 0))


def _where(words: Expression) -> Expression:
    """Words without a chest that is well, or no more than a muscle or a part of the back."""
    well = [f"{part} {how}" for part in ("chest", "heart") for how in WELL]
    well += ["brust ok", "brust gut", "herz ok", "herz gut", "pecho bien", "corazon bien"]
    return _tied(words, (*well, *NO_CHEST))


@lru_cache(maxsize=256)  # asked about pain, alarm and more, each time the log is read
def _of_one(text: str) -> str:
    """A text of its own, through all steps, for `read`."""
    words = _one.value(text)
    for step in STEPS:
        words = step.value(words)
    return str(words)


@definition
def _one(text: Expression) -> Expression:
    return _plainly(join(text, " , "))


def word_heard(text: str, words: tuple[str, ...]) -> str:
    """The word of a list that a text has in it, as its steps have it; "" without one that is not taken back.

    words: of `PAIN`, `ALARM` and `WHERE_IT_HURTS`, each asked as the sheet asks it.
    """
    if not text.strip():
        return ""
    spoken = _of_one(text)
    of_alarm, of_where = str(alarm_words.value(spoken, "")), str(_of_where.value(spoken))
    found = [
        (place, word, asked)
        for word in words
        for asked in (of_alarm if word in _ALARMS else of_where if word in WHERE_IT_HURTS else spoken,)
        if (place := asked.find(word)) >= 0
    ]
    if not found:
        return ""
    place, word, asked = min(found)
    return asked[place : asked.index(" ", place + len(word.rstrip()))].strip(" |,")


_ALARMS = frozenset(ALARM)


@definition
def _of_where(words: Expression) -> Expression:
    return _where(words)
