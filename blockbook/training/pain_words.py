"""Which notes speak of pain, and which of something that needs a physician: one list for the sheet and for `read`.

Notes are looked at in steps, each a cell of its own, since a spreadsheet nests no more than 64 functions:
`notes_together` writes them plainly, every joint as " joint "; `bare` leaves out words that say nothing here;
`taken_back` ties a "no" to the word that it takes back (" no_pain "); so `heard` need only ask whether one of the words
of pain stands there, and `alarm_heard` the same of alarm, once a session. English, German and Spanish, and the
commonest words of other languages, whatever the sheet speaks: people note in their own. All from memory.
"""

from __future__ import annotations

from functools import cache

from blockbook.formula.definition import Definition, definition
from blockbook.formula.expression import (
    BLANK,
    LINE_BREAK,
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

GET_HELP = "Chest pain, dizziness, fainting, numbness or the like: stop and get medical help at once."

PAIN = (
    " pain ", " pains ", " painful", " pained ", " sharp", " pinch", " tweak", " hurt", " ache ", " aches ", " ached ",
    " aching", " achy ", " backache", " twinge", " stab ", " stabb", " strain", " injur", " tingl", " swollen",
    " swelling", " popped", " popping", " pop ", " click", " ouch", " ow ", " niggl", " discomfort", " bother",
    " torn ", " tore ", " pulled muscle", " pulled something", " pulled hamstring", " pulled groin", " pulled calf",
    " pulled quad", " pulled pec ", " pulled joint", " pulled back ,", " pulled , ", " pulled out ", " spasm",
    " backpain", " cramp ", " cramps ", " cramping", " flared up", " flaring up", " something go ", " something went ",
    " something gave", " joint sore", " sore joint", " joint tender", " tender joint", " joint unstable",
    " joint gave", " joint burning", " joint irritated", " joint cranky", " cranky joint", " back sore", " sore back",
    " back gave", " hamstring went", " back went , ", " back went last ", " back went rep ", " back went set ",
    " back seized", " back locked", " dislocat", " sublux", " lumbago", " sciatic",
    " schmerz ", " schmerzen ", " schmerzt ", " schmerzte ", " schmerzhaft", " weh ", " wehgetan", " zwickt ",
    " zwicken", " gezwickt", " stich ", " stiche ", " sticht ", " stechen", " gezerrt", " zerrung", " verletz",
    " knackt ", " knacken ", " geknackt", " kribbel", " geschwollen", " beschwerden", " autsch", " aua ",
    " ein ziehen", " leichtes ziehen", " starkes ziehen", " joint zieht ", " zieht joint", " ziehen joint",
    " joint gereizt", " gereiztes joint", " gereizte joint", " hexenschuss", " verhoben ", " verrenkt", " umgeknickt",
    " krampf ", " krämpfe ", " wadenkrampf",
    " dolor", " duel", " dolia", " dolio", " agud", " molest", " tiron", " lesion", " punzad", " crujid", " crujio",
    " chasquid", " hormigue", " hinchad", " inflam", " calambre", " esguince", " joint resentid", " joint cargad",
    " douleur", " fait mal", " mal au ", " mal aux ", " mal dans ", " blesse", " elancement", " fa male", " fitta ",
    " dor ", " dores ", " doi ", " doeu ", " fisgad", " pijn", " steek ", " smärta", " ont i ", " bol ", " boli ",
)  # fmt: skip
"""As `taken_back` leaves them: " hurt" begins a word, " pain " is one. Sore muscles are no pain, sore joints are."""

ALARM = (
    " faint", " dizz", " vertigo", " lightheaded", " light headed", " blackout", " black out", " blacked out",
    " went black", " saw black", " blurr", " tunnel vision", " vision went", " passed out", " passing out",
    " room spinning", " head spinning", " everything spinning", " i collapsed", " nearly collapsed",
    " almost collapsed", " , collapsed , ", "| collapsed , ", " , collapsed after", "| collapsed after",
    " then collapsed , ", " and collapsed , ", " sudden headache", " worst headache", " severe headache", " numb ",
    " numbness", " palpitation", " heart racing", " racing heart", " heart skip", " heart pounding", " pounding heart",
    " heart flutter", " shortness breath", " short breath ", " couldn't_breathe", " can't_breathe", " cannot breathe",
    " not_breathe", " couldn't_catch breath", " can't_catch breath", " pins and needles", " pins needles",
    " saw stars", " seeing stars", " cannot feel", " can't_feel", " chest pain", " chest hurt", " chest tight",
    " chest pressure", " chest burning", " burning chest", " chest heavy , ", " chest heavy and ", " heaviness chest",
    " pain chest", " tight chest", " tightness chest", " pressure chest", " hurts chest", " hurt chest", " ache chest",
    " aches chest", " pain across chest", " pain left chest", " pain left side chest", " left arm pain",
    " left arm hurt", " left arm tingl", " pain left arm", " pain down left arm", " tingling left arm",
    " tingling down left arm",
    " schwindel", " schwindlig", " ohnmacht", " ohnmächtig", " schwarz vor augen", " taub ", " taubheit", " taubes ",
    " taube ", " bewusstlos", " zusammengebrochen", " kollabiert", " bin umgekippt", " fast umgekippt",
    " , umgekippt , ", "| umgekippt , ", " herzrasen", " herz rast ", " herzstolper", " herz stolper", " luftnot",
    " atemnot", " keine_luft bekommen", " keine_luft gekriegt", " bekam keine_luft", " bekomme keine_luft",
    " brustenge", " brust schmerz ", " brust schmerzen", " brust schmerzt ", " schmerz brust", " schmerzen brust",
    " druck brust", " enge brust", " engegefühl", " brust weh", " stich brust", " stechen brust", " brust eng ",
    " brust zieht ", " ziehen brust", " brust brennt ", " brennen brust", " plötzliche kopf schmerz",
    " linker arm schmerz", " schmerz linken arm", " schmerzen linken arm", " linken arm schmerz",
    " kribbeln linken arm",
    " mareo", " maread", " maree ", " mareando", " desmay", " desvanec", " todo negro", " entumec", " adormecid",
    " palpitacion", " taquicardia", " falta aire", " no_podia respirar", " no_puedo respirar", " dolor pecho",
    " duele pecho", " duele_pecho", " pecho duele", " presion pecho", " opresion", " pecho apretad", " ardor pecho",
    " dolor brazo izquierdo", " brazo izquierdo duele", " hormigueo brazo izquierdo",
)  # fmt: skip
"""What the sheet answers with `GET_HELP`. "chest up" is a cue, so a chest alone is none, save where it hurts; knees
and a chest collapse in a lift, too, and a bar tips over."""

WHERE_IT_HURTS = (" chest", " brust", " pecho", " heart ", " herz ", " corazon")
"""What is alarming as the answer to where it hurts."""

EDGES = ("| ", " |")
"""What a text is put between, so that its first and last word have a blank at both sides: some programs store a text
without the blanks at its ends."""

_APART = (",", ".", ";", ":", "!", "?", "(", ")")
_BLANKS = ("-", "/", LINE_BREAK)
_PLAIN = {"’": "'", "á": "a", "é": "e", "í": "i", "ó": "o", "ú": "u"}
_JOINTS = (
    "knee", "knees", "hip", "shoulder", "elbow", "elbows", "wrist", "wrists", "ankle", "neck", "achilles",
    "knie", "hüfte", "schulter", "ellbogen", "ellenbogen", "handgelenk", "sprunggelenk", "nacken", "rücken", "kreuz",
    "rodilla", "cadera", "hombro", "codo", "muñeca", "tobillo", "cuello", "espalda",
)  # fmt: skip
"""What is sore for another reason than a muscle; "back" is apart, since it is a way, too."""

JOINT = "joint"

_SIDES = ("left", "right", "linkes", "rechtes", "linke", "rechte", "linker", "rechter", "linken", "rechten")

_SAY_NOTHING = (
    "a", "the", "my", "in", "on", "of", "is", "was", "felt", "feels", "feeling", "any", "more", "really", "very",
    "bit", "little", "slightly", "still", "get", "getting", "got", "some", "sign", "signs",
    "tut", "sehr", "mehr", "im", "der", "den", "auf", "am", "etwas", "leicht", "noch",
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
    "good pop", "more pop", "popped up fast", "pop off", "technique click", "everything click", "sharp today",
    "sharp and fast", "tight chest up", "keep chest tight", "kept chest tight", "tight chest big breath",
    "tight chest , big breath", "blades pulled back", "shoulders pulled back", "joint pulled back", "can't feel pain",
    "cannot feel pain", "took short breath", "take short breath", "beim ziehen",
)  # fmt: skip
"""Praise and cues that have such a word in them."""

_TAKEN_ALONG = (
    "_ningun ", "_ninguna ", "_chest ", "_sharp ", "_brust ", "_pecho ", "_joint ", "_back ", "_feel ", "_free ",
    "_hamstring ", "_quad ", "_groin ",
)  # fmt: skip
"""What passes a "no" on to the word behind it."""


def _plainly(text: Expression) -> Expression:
    """In small letters, without accents, clauses apart, joints by one name: "| no warm up , my joint hurt ! |"."""
    plain: Expression = lower(text)
    for sign in _APART:
        plain = substituted(plain, sign, f" {sign} ")
    for blank in _BLANKS:
        plain = substituted(plain, blank, " ")
    for sign, meant in _PLAIN.items():
        plain = substituted(plain, sign, meant)
    plain = join(EDGES[0], trimmed(substituted(plain, "schmerz", " schmerz")), EDGES[1])  # "Knieschmerz"
    for part in _JOINTS:
        plain = substituted(plain, f" {part} ", f" {JOINT} ")
    return plain


@definition
def bare(plain: Expression) -> Expression:
    """A plain text without words that say nothing here, such as a joint's side: "| no warm up , joint hurt ! |"."""
    text = plain
    for side in _SIDES:
        text = substituted(text, f" {side} {JOINT} ", f" {JOINT} ")
    text = substituted(substituted(text, " lower back ", " back "), " upper back ", " upperback ")
    for word in _SAY_NOTHING:
        text = substituted(text, f" {word} ", " ")
    return text


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
def taken_back(bare: Expression) -> Expression:
    """A bare text in which a word that is taken back stands by itself no more: " no_pain ", " pain_gone "."""
    tied = bare
    for praise in _MEANT_WELL:
        tied = substituted(tied, f" {praise}", f" _{praise.replace(' ', '_')}")
    for word in _OVER:
        tied = substituted(tied, word, f"_{word[1:]}")
    for word in _TAKE_BACK:
        tied = substituted(tied, word, f"{word[:-1]}_")
    for word in _TAKEN_ALONG:
        tied = substituted(tied, word, f"{word[:-1]}_")
    return tied


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
def alarm_heard(all_words: Expression, typed_words: Expression) -> Expression:
    """1 where a session's notes, or its answers to what hurts and where, ask for a physician, else 0."""
    found = if_(_stands_in(join(all_words, typed_words), ALARM), 1, 0)
    return if_(same(join(all_words, typed_words), ""), 0, found)


@definition
def alarming(typed_words: Expression) -> Expression:
    """1 where what is said to hurt asks for a physician by itself, else 0."""
    return if_(same(typed_words, ""), 0, if_(_stands_in(typed_words, WHERE_IT_HURTS), 1, 0))


@definition
def _of_one(text: Expression) -> Expression:
    """A text of its own, for `read`: never written as a formula, so its steps may nest."""
    return taken_back(bare(_plainly(join(text, " , "))))


def word_heard(text: str, words: tuple[str, ...]) -> str:
    """The word of a list that a text has in it, as `taken_back` has it; "" without one that is not taken back."""
    spoken = str(_of_one.value(text))
    places = [(place, word) for word in words if (place := spoken.find(word)) >= 0]
    if not places:
        return ""
    place, word = min(places)
    return spoken[place : spoken.index(" ", place + len(word.rstrip()))].strip(" |,")
