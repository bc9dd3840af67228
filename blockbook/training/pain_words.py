"""Which notes speak of pain, and which of something that needs a physician: one list for the sheet and for `read`.

Notes are looked at in three steps, each a cell of its own, since a spreadsheet nests no more than 64 functions:
`notes_together` writes them plainly, without words that say nothing here; `taken_back` ties a "no" to the word that it
takes back (" no_pain "); so `heard` need only ask whether one of the words stands there. English, German and Spanish,
and the commonest words of other languages, whatever the sheet speaks: people note in their own. All from memory.
"""

from __future__ import annotations

from functools import cache

from blockbook.formula.definition import Definition, definition
from blockbook.formula.expression import (
    BLANK,
    LINE_BREAK,
    Expression,
    at,
    choose,
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

GET_HELP = "Chest pain, fainting or numbness: stop and get medical help at once."

PAIN = (
    " pain ", " pains ", " painful", " pained ", " sharp", " pinch", " tweak", " hurt", " ache ", " aches ", " ached ",
    " aching", " achy ", " backache", " twinge", " stab ", " stabb", " strain", " injur", " tingl", " swollen",
    " swelling", " popped", " popping", " pop ", " click", " ouch", " ow ", " niggl", " discomfort", " bother",
    " torn ", " tore ", " pulled muscle", " pulled something", " pulled hamstring", " pulled groin", " pulled calf",
    " pulled quad", " pulled pec ", " pulled , ", " pulled out ", " spasm", " backpain", " schmerz ", " schmerzen ",
    " schmerzt ", " schmerzhaft", " weh ", " wehgetan", " zwickt ", " zwicken", " gezwickt", " stich ", " stiche ",
    " sticht", " stechen", " gezerrt", " zerrung", " verletz", " knackt", " knacken ", " geknackt", " kribbel",
    " geschwollen", " beschwerden", " autsch", " aua ", " ein ziehen", " leichtes ziehen",
    " starkes ziehen", " dolor", " duel", " dolia", " dolio", " agud", " molest", " tiron", " lesion", " punzad",
    " crujid", " crujio", " chasquid", " hormigue", " hinchad", " inflam", " douleur", " fait mal", " mal au ",
    " mal aux ", " mal dans ", " blesse", " elancement", " fa male", " fitta ", " dor ", " dores ", " doi ", " doeu ",
    " fisgad", " pijn", " steek ", " smärta", " ont i ", " bol ", " boli ",
)  # fmt: skip
"""As `taken_back` leaves them: " hurt" begins a word, " pain " is one."""

ALARM = (
    " faint", " dizz", " lightheaded", " light headed", " blackout", " black out", " blacked out", " passed out",
    " numb ", " numbness", " palpitation", " heart racing", " racing heart", " shortness breath",
    " pins and needles", " pins needles", " saw stars", " cannot feel", " can't feel", " chest pain", " chest hurt",
    " chest tight", " chest pressure", " pain chest", " tight chest", " tightness chest", " pressure chest",
    " hurts chest", " hurt chest", " ache chest", " aches chest", " pain across chest", " pain left chest",
    " pain left side chest", " schwindel", " schwindlig", " ohnmacht", " ohnmächtig", " schwarz vor augen", " taub ",
    " taubheit", " taubes ", " taube ", " bewusstlos", " herzrasen", " brustenge", " brust schmerz", " schmerz brust",
    " schmerzen brust", " druck brust", " enge brust", " engegefühl", " brust weh", " brust schmerzt", " atemnot",
    " stich brust", " stechen brust", " brust eng ", " mareo", " maread", " maree ", " mareando", " desmay",
    " entumec", " adormecid", " palpitacion", " dolor pecho", " duele pecho", " duele_pecho", " pecho duele",
    " presion pecho", " opresion", " pecho apretad",
)  # fmt: skip
"""What the sheet answers with `GET_HELP`. "chest up" is a cue, so a chest alone is none, save where it hurts."""

WHERE_IT_HURTS = (" chest", " brust", " pecho", " heart ", " herz ", " corazon")
"""What is alarming as the answer to where it hurts."""

EDGES = ("| ", " |")
"""What a text is put between, so that its first and last word have a blank at both sides: some programs store a text
without the blanks at its ends."""

_APART = (",", ".", ";", ":", "!", "?", "(", ")")
_BLANKS = ("-", "/", LINE_BREAK)
_PLAIN = {"’": "'", "á": "a", "é": "e", "í": "i", "ó": "o", "ú": "u"}
_SAY_NOTHING = (
    "a", "the", "my", "in", "on", "of", "is", "was", "felt", "feels", "any", "more", "really", "very", "bit", "little",
    "knee", "back", "hip", "shoulder", "elbow",
    "tut", "sehr", "mehr", "im", "der", "auf", "am", "knie", "rücken", "schulter",
    "el", "la", "en", "me", "de", "hay", "un",
)  # fmt: skip
"""Words between a "no" and what it takes back, or between a chest and what is wrong with it."""

_OVER = (" free ", " gone ", " went away ", " frei ", " weg ", " nicht , ")
"""What stands behind a pain that is none any more."""

_TAKE_BACK = (
    " no ", " not ", " without ", " never ", " nothing ", "n't ", " kein ", " keine ", " keinen ", " ohne ", " nicht ",
    " nichts ", " sin ", " nada ", " ningun ", " ninguna ", " sans ", " senza ", " sem ",
)  # fmt: skip
_MEANT_WELL = (
    "good pop",
    "more pop",
    "popped up fast",
    "pop off",
    "technique click",
    "everything click",
    "sharp today",
    "sharp and fast",
    "tight chest up",
    "keep chest tight",
    "kept chest tight",
    "tight chest big breath",
    "tight chest , big breath",
)
"""Praise and cues that have such a word in them."""

_TAKEN_ALONG = ("_ningun ", "_ninguna ", "_chest ", "_sharp ", "_brust ", "_pecho ")
"""What passes a "no" on to the word behind it."""


def _plainly(text: Expression) -> Expression:
    """In small letters, without accents and words that say nothing, clauses apart: "| no warm up , hurt ! |"."""
    plain: Expression = lower(text)
    for sign in _APART:
        plain = substituted(plain, sign, f" {sign} ")
    for blank in _BLANKS:
        plain = substituted(plain, blank, " ")
    for sign, meant in _PLAIN.items():
        plain = substituted(plain, sign, meant)
    plain = join(EDGES[0], trimmed(substituted(plain, "schmerz", " schmerz")), EDGES[1])  # "Knieschmerz"
    for word in _SAY_NOTHING:
        plain = substituted(plain, f" {word} ", " ")
    return plain


def _notes_together(notes: Expression, sets: int) -> Expression:
    """The notes of an exercise's sets, plainly; "" where there are none. What is no text, such as a slip that a
    program took for a formula, is passed over."""
    texts = [at(notes, number) for number in range(1, sets + 1)]
    written = join(*(if_(is_text(text), join(text, " , "), BLANK) for text in texts), BLANK)
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
def taken_back(plain: Expression) -> Expression:
    """A plain text in which a word that is taken back stands by itself no more: " no_pain ", " pain_gone "."""
    tied = plain
    for praise in _MEANT_WELL:
        tied = substituted(tied, f" {praise}", f" _{praise.replace(' ', '_')}")
    for word in _OVER:
        tied = substituted(tied, word, f"_{word[1:]}")
    for word in _TAKE_BACK:
        tied = substituted(tied, word, f"{word[:-1]}_")
    for word in _TAKEN_ALONG:
        tied = substituted(tied, word, f"{word[:-1]}_")
    return tied


NOTHING, OF_PAIN, OF_ALARM = 0, 1, 2
"""What a text speaks of."""


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
    """What notes speak of: `NOTHING`, `OF_PAIN` or `OF_ALARM`. words: as `taken_back` leaves them."""
    spoken = choose((_stands_in(words, ALARM), OF_ALARM), (_stands_in(words, PAIN), OF_PAIN), otherwise=NOTHING)
    return if_(same(words, ""), NOTHING, spoken)


@definition
def alarming(typed: Expression) -> Expression:
    """1 where the answers to what hurts and where ask for a physician, else 0. typed: as `taken_back` leaves them."""
    found = _stands_in(typed, (*ALARM, *WHERE_IT_HURTS))
    return if_(same(typed, ""), 0, if_(found, 1, 0))


@definition
def _of_one(text: Expression) -> Expression:
    """A text of its own, for `read`: never written as a formula, so its steps may nest."""
    return taken_back(_plainly(join(text, " , ")))


def word_heard(text: str, words: tuple[str, ...]) -> str:
    """The word of a list that a text has in it, as it stands there; "" without one that is not taken back."""
    spoken = str(_of_one.value(text))
    places = [(place, word) for word in words if (place := spoken.find(word)) >= 0]
    if not places:
        return ""
    place, word = min(places)
    return spoken[place + 1 : spoken.index(" ", place + len(word.rstrip()))]
