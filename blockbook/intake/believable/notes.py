"""Words of pain and illness in what a lifter wrote anywhere but where pain is asked for."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from blockbook.intake.findings import Finding, finding
from blockbook.intake.log import BlockLog

_PAIN = re.compile(
    r"""\b(
      pain(s|ful|ed)? | sharp | pinch(es|ed|ing|y)? | tweak(s|ed|y|ing)? | hurt(s|ing)? | ach(e|es|ed|ing|y)
      | twinges? | stab(s|bed|bing)? | strain(ed|s)? | injur(y|ed|ies) | numb(ness)? | tingl(e|es|ed|ing) | swollen
      | popped | pulled\ (a|my|something|muscle|hamstring|groin|calf|quad|pec|back)
      | schmerz(en|t|haft|te)? | stich(t|en)? | stechen(d|der|de)? | gezerrt | zwickt | verletzt | weh
      | (ein|leichtes|starkes)\ ziehen
      | douleurs? | fait\ mal | mal\ (au|aux|à|dans) | pincement | blessée? | élancement
      | dolor(es)? | duelen? | dol[ií]an? | dolió | agud[oa] | molestias? | tir[oó]n(es)? | pinchazo
      | lesión | lesionad[oa]
      | dolore | dolori | fa\ male | fitta | dolorante | dor | dores | dói | doeu | fisgada
      | pijn(lijk)? | steek | smärta | ont\ i | ból | boli
    )\b""",
    re.VERBOSE,
)
"""English, German, French, Spanish, Italian, Portuguese, Dutch, Swedish, Polish; common words, from memory."""

_ILLNESS = re.compile(
    r"""\b(
      sick(?!\ (of|pumps?|p[rb]s?|lifts?|sets?|reps?|singles?|doubles?|triples?|squats?|bench|press|deadlifts?|pulls?
        |bar|weights?|sessions?|gains?|workouts?)\b) | flu | influenza | covid | fever(ish)?
      | (?<!\bin\ )(a|the|my|bad|slight|head|chest)\ cold
        (?=$|\ (again|all|and|at|before|coming|for|from|got|has|is|last|made|now|on|since|still|that|this|today|was|with
          |yesterday|in\ (my|the\ (head|chest)))\b)
      | ill(?=$|\ (again|all|at|before|for|in|last|on|since|still|the|this|today|with|yesterday)\b)
      | krank(e|er|heit)? | grippe | fieber | erkältet | erkältung
      | enferm[oa] | (^|(con|la|una|de|tengo|tuve|ten[ií]a|mucha|fuerte|hay)\ )gripe | fiebre | resfriad[oa] | resfriado
    )\b""",
    re.VERBOSE,
)
"""English, German, Spanish. "cold" alone may be the gym, "ill" an "I'll", and an English gripe is no Spanish flu."""

_NO = re.compile(
    r"""\b(no|not|without|never|zero|nothing|none|nor|free\ of|isn.?t|wasn.?t|doesn.?t|didn.?t|don.?t|won.?t
      | keine?r?n? | ohne | nicht | nichts | pas | sans | aucune? | sin | nada | ning[uú]na? | senza | nessun[oa]? | non
      | sem | nenhuma? | não | geen | zonder | niet | ingen | inte | utan | bez | nie )\b""",
    re.VERBOSE,
)

_GONE = re.compile(r"[\s-]*(free|frei|gone|weg|went away|less|los)\b")

_CLAUSE = re.compile(r"[,.;:!?()\n]|\bbut\b|\baber\b|\bmais\b|\bpero\b|\bma\b|\bmas\b|\bmaar\b")

WORDS_BACK = 4
"""A "no" takes back a word of pain up to so many words after it in the same clause. Common practice, no source."""


class _Text(NamedTuple):
    """Something written: whose it is, in words, and whether pain was typed for that exercise or session."""

    whose: str
    text: str
    sheet: str
    cell: str
    hurts: bool


def pain_in_notes(log: BlockLog) -> Iterator[Finding]:
    """A word of pain in a note, or in any text of a set or a session, where no pain was reported."""
    for written in _texts(log):
        if not written.hurts and (word := word_of_pain(written.text)):
            yield _named("pain-in-note", word, written)


def illness_in_notes(log: BlockLog) -> Iterator[Finding]:
    """A word of illness in the same texts."""
    for written in _texts(log):
        if word := word_of_illness(written.text):
            yield _named("illness-in-note", word, written)


def _named(code: str, word: str, written: _Text) -> Finding:
    message = f'{written.whose}: "{word}" in "{written.text}".'
    return finding(code, message, written.sheet, written.cell, written.text)


def _texts(log: BlockLog) -> Iterator[_Text]:
    """Notes and what else was typed as text, of sets and of sessions."""
    hurting = _hurting(log)
    for logged in log.sets:
        whose = f"{logged.exercise}, week {logged.week}, set {logged.set or 'feeler'}"
        hurts = (logged.week, logged.session, logged.slot) in hurting
        for column, text in (("note", logged.note), *logged.raw.items()):
            yield _Text(whose, text, logged.sheet, logged.cells.get(column, ""), hurts)
    for session in log.sessions:
        for name, text in {**session.raw, "pain": session.pain, "where": session.where}.items():
            whose = f"Week {session.week}, {session.name}"
            yield _Text(whose, text, session.sheet, session.cells.get(name, ""), session.hurts)


def _hurting(log: BlockLog) -> set[tuple[int, str, str]]:
    """Week, session and slot of every exercise that the pain typed for its session holds."""
    keys = {session.key for session in log.sessions if session.reports_pain}
    lines = (line for place in log.workbook.sessions if place.session.key in keys for line in place.session.lines)
    pains = ((line, log.calculation.number(log.workbook.workings.cell(line, "pain"))) for line in lines)
    return {(line.week, line.session_id, line.slot_key.split(".")[1]) for line, pain in pains if pain}


_SET = re.compile(
    r"(?<![\w.,])(?:[2-9]\d|\d{3}|\d{1,3}[.,]\d+|\d{1,3}(?=\s*(?:kg|lb)))\s*(?:kg|lbs?)?\s*[x×*]\s*\d{1,2}(?!\d)",
    re.IGNORECASE,
)
""" "70x8", "112,5 kg x 5": a load (of 20 and more, with decimals or a unit) and reps; "3x10" are sets."""


def sets_in_notes(log: BlockLog) -> Iterator[Finding]:
    """A load and reps in a note: a set for which the sheet had no row."""
    for logged in log.sets:
        if _SET.search(logged.note):
            which = f"{logged.exercise}, week {logged.week}, set {logged.set or 'feeler'}"
            message = f'{which}: the note holds a load and reps, "{logged.note}".'
            yield finding("set-in-note", message, logged.sheet, logged.cells.get("note", ""), logged.note)


def word_of_pain(text: str) -> str:
    """The first word of pain that is not taken back ("no pain", "pain free", "didn't hurt"); "" without one."""
    return _word(_PAIN, text)


def word_of_illness(text: str) -> str:
    """The first word of illness that is not taken back; "" without one."""
    return _word(_ILLNESS, text)


def _word(words: re.Pattern[str], text: str) -> str:
    for clause in _CLAUSE.split(text.casefold()):
        for found in words.finditer(clause):
            before = " ".join(clause[: found.start()].split()[-WORDS_BACK:])
            if not _NO.search(before) and not _GONE.match(clause, found.end()):
                return found[0]
    return ""
