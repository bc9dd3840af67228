"""What asks for a physician: it is said of every exercise of its session, and of all sessions after it until answered.

Which words do is in `pain_words`.
"""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import BLANK, Expression, and_, begins_with, choose, differs, if_, minimum, or_, same
from blockbook.languages import say
from blockbook.training.pain import NONE_FIRST
from blockbook.training.pain_vocabulary import EDGES
from blockbook.training.pain_words import GET_HELP

NO_ALARM, BEFORE, HERE = 0, 1, 2
"""None, or answered; noted in an earlier session and not answered; noted in this one."""

OPEN = (
    "Chest pain, dizziness, fainting, numbness or the like was noted: no training before a physician has seen you. "
    "Once you are cleared, type none under Pain in the next session, before you lift."
)
STILL_ALARMED = (
    "Chest pain, dizziness, fainting, numbness or the like was noted: no training before a physician has seen you. "
    "Once you are cleared, type none under Pain below, before you lift."
)
CLEARED = (
    "Only if a physician has cleared you: no heavier than last time or than planned, and stop at once if it comes "
    "back. "
)
"""In the session that answers it, whose loads are held."""
NEXT_WEEK_WAITS = "Next week waits until a physician has seen you."


@definition
def alarm_noted(alarm: Expression, alarm_heard: Expression) -> Expression:
    """1 where a session's answers to what hurts (alarm, as `pain_words.alarming`) or its words ask for help."""
    return if_(or_(alarm > 0, alarm_heard > 0), 1, 0)


@definition
def alarm_open(
    alarm_noted: Expression,
    pain_answer: Expression,
    pain_typed: Expression,
    letters: Expression,
    alarm_before: Expression,
) -> Expression:
    """`NO_ALARM`, `BEFORE` or `HERE`. pain_answer, pain_typed, letters: as in `pain`; alarm_before: of the session
    before.

    Answered by none, alone or with nothing but letters behind it: what came to hurt later in the session must not raise
    it again. "None yet, doctor tomorrow" is no answer.
    """
    none_first = and_(differs(letters, ""), or_(*(begins_with(pain_typed, f"{EDGES[0]}{word}") for word in NONE_FIRST)))
    return choose(
        (alarm_noted > 0, HERE),
        (or_(same(pain_answer, 0), none_first), NO_ALARM),
        otherwise=minimum(BEFORE, alarm_before),
    )


@definition
def answered_now(alarm_open: Expression, alarm_before: Expression) -> Expression:
    """1 where this session answers an alarm of the one before (alarm_before, as `alarm_open`); else 0."""
    return if_(and_(alarm_before > 0, same(alarm_open, NO_ALARM)), 1, 0)


@definition
def alarmed_in(alarm_open: Expression, number: Expression, before: Expression) -> Expression:
    """The number of the last session so far that an alarm was open in, counted from 1; 0 for none.

    number: this session's; before: the same after the session before.
    """
    return if_(alarm_open > NO_ALARM, number, before)


@definition
def open_alarm(alarm_open: Expression) -> Expression:
    """What is said away from the sessions while an alarm is open; "" otherwise."""
    return if_(alarm_open >= BEFORE, say(OPEN), BLANK)


def alone(alarm_open: Expression, otherwise: Expression) -> Expression:
    """What is said in place of all else while an alarm is open."""
    return choose((alarm_open >= HERE, say(GET_HELP)), (alarm_open >= BEFORE, say(STILL_ALARMED)), otherwise=otherwise)
