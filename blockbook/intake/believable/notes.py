"""Words of pain and illness in what a lifter wrote anywhere but where pain is asked for."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from blockbook.intake.believable.strength import session_of
from blockbook.intake.findings import (
    ALARM_ANSWERED,
    ALARM_IGNORED,
    ALARM_NOTED,
    ALARM_UNHEARD,
    NOT_HELD,
    Finding,
    finding,
)
from blockbook.intake.log import BlockLog
from blockbook.training.alarm import BEFORE, NO_ALARM
from blockbook.training.pain_vocabulary import ALARM, PAIN, WHERE_IT_HURTS
from blockbook.training.pain_words import word_heard
from blockbook.training.prescription import Line

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
"""A "no" takes back a word of illness up to so many words after it in the same clause. Common practice, no source."""


class _Text(NamedTuple):
    """Something written: whose it is, in words.

    session: its key; hurts: whether pain was typed for that exercise or session; held: whether the sheet holds its
    loads for it; listened: whether the sheet looks for such words there; where: whether it answers what hurts, or
    where.
    """

    whose: str
    text: str
    sheet: str
    cell: str
    session: str
    hurts: bool
    held: bool
    listened: bool
    where: bool = False


def alarm_noted(log: BlockLog) -> Iterator[Finding]:
    """A word that asks for a physician, by the sheet's own list, in a note or as what hurts, or where."""
    lifted = _alarms_lifted(log)
    for written in _texts(log):
        if word := _alarm(written):
            found = _named(ALARM_NOTED, word, written)
            if answer := lifted[written.session]:
                answered = replace(found, severity="warning", hint=ALARM_ANSWERED)
                found = replace(answered, message=f"{found.message}{answer}")
            yield found if written.listened else replace(found, severity="error", hint=ALARM_UNHEARD)


def alarm_ignored(log: BlockLog) -> Iterator[Finding]:
    """Sessions with a set in them while an alarm of an earlier one, or of the block before, was not answered."""
    begun = {session_of(logged): logged.sheet for logged in log.sets if logged.started}
    trained = [place.session for place in log.workbook.sessions if place.session.key in begun]
    opens = [log.calculation.number(log.workbook.workings.cell(each.lines[0], "alarm_open")) for each in trained]
    if ignored := [session for session, alarm in zip(trained, opens, strict=True) if alarm == BEFORE]:
        sessions = ", ".join(f"{session.name} (week {session.week})" for session in ignored)
        message = (
            "Trained though chest pain, dizziness, fainting, numbness or the like was noted before, with no answer "
            f"under Pain since: {sessions}."
        )
        yield finding(ALARM_IGNORED, message, begun[ignored[0].key])


def _alarms_lifted(log: BlockLog) -> dict[str, str]:
    """Session -> that the lifter's sheet goes on after an alarm in it, since a later one says that nothing hurts."""
    said: dict[str, str] = {}
    lifted = ""
    for place in reversed(list(log.workbook.sessions)):
        session, cells = place.session, log.workbook.workings
        said[session.key] = lifted
        answers = [log.calculation.value(cells.cell(line, "pain_answer")) for line in session.lines[:1]]
        still_open = [log.calculation.number(cells.cell(line, "alarm_open")) for line in session.lines[:1]]
        answered = [log.calculation.number(cells.cell(line, "alarm_answered")) for line in session.lines[:1]]
        if still_open == [NO_ALARM] and (answers == [0] or answered == [1]):
            besides = "" if answers == [0] else " and what else hurts"
            lifted = (
                f" In week {session.week}, {session.name}, Pain? says none{besides}, so the sheet goes on from there."
            )
    return said


def pain_in_notes(log: BlockLog) -> Iterator[Finding]:
    """A word of pain, by the sheet's own list, in any text of a set or a session where no pain was reported."""
    for written in _texts(log):
        if not written.hurts and not _alarm(written) and (word := word_of_pain(written.text)):
            found = _named("pain-in-note", word, written)
            yield found if written.held else replace(found, hint=NOT_HELD)


def _alarm(written: _Text) -> str:
    return word_heard(written.text, (*ALARM, *WHERE_IT_HURTS) if written.where else ALARM)


def illness_in_notes(log: BlockLog) -> Iterator[Finding]:
    """A word of illness in the same texts."""
    for written in _texts(log):
        if word := word_of_illness(written.text):
            yield _named("illness-in-note", word, written)


def _named(code: str, word: str, written: _Text) -> Finding:
    quoted = f'"{word}" in "{written.text}"' if word in written.text.casefold() else f'"{written.text}"'
    message = f"{written.whose}: {quoted}."
    return finding(code, message, written.sheet, written.cell, written.text)


def _texts(log: BlockLog) -> Iterator[_Text]:
    """Notes and what else was typed as text, of sets and of sessions."""
    all_held, typed_for = _held(log), _pain_typed_for(log)
    for logged in log.sets:
        whose = f"{logged.exercise}, week {logged.week}, set {logged.set or 'feeler'}"
        exercise = logged.week, logged.session, logged.slot
        of_the_exercise, hurts = exercise in all_held, exercise in typed_for
        for column, text in (("note", logged.note), *logged.raw.items()):
            at = logged.cells.get(column, "")
            held = of_the_exercise and column == "note"
            yield _Text(whose, text, logged.sheet, at, session_of(logged), hurts, held, column == "note")
    for session in log.sessions:
        whose = f"Week {session.week}, {session.name}"
        for name, text in {**session.raw, "pain": session.pain, "where": session.where}.items():
            at, where = session.cells.get(name, ""), name in ("pain", "where")
            yield _Text(whose, text, session.sheet, at, session.key, session.hurts, where, where, where)


def _held(log: BlockLog) -> set[tuple[int, str, str]]:
    """Week, session and slot of every exercise that the sheet holds for pain."""
    lines = (line for place in log.workbook.sessions for line in place.session.lines)
    return {_exercise_of(line) for line in lines if _worked_out(log, line, "pain")}


def _pain_typed_for(log: BlockLog) -> set[tuple[int, str, str]]:
    """The same of every exercise that pain was typed for: those named, or where none is, all of the session."""
    typed = {session.key for session in log.sessions if session.reports_pain}
    found: set[tuple[int, str, str]] = set()
    for session in (place.session for place in log.workbook.sessions if place.session.key in typed):
        named = [line for line in session.lines if _worked_out(log, line, "named")]
        found |= {_exercise_of(line) for line in named or session.lines}
    return found


def _exercise_of(line: Line) -> tuple[int, str, str]:
    return line.week, line.session_id, line.slot_key.split(".")[1]


def _worked_out(log: BlockLog, line: Line, name: str) -> float:
    return log.calculation.number(log.workbook.workings.cell(line, name)) or 0


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
    return word_heard(text, (*PAIN, *ALARM))


def word_of_illness(text: str) -> str:
    """The first word of illness that is not taken back; "" without one."""
    for clause in _CLAUSE.split(text.casefold()):
        for found in _ILLNESS.finditer(clause):
            before = " ".join(clause[: found.start()].split()[-WORDS_BACK:])
            if not _NO.search(before) and not _GONE.match(clause, found.end()):
                return found[0]
    return ""
