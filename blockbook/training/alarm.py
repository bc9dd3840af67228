"""What asks for a physician: it is said of every exercise of its session, and of all sessions after it until answered.

Which words do is in `pain_words`.
"""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import BLANK, Expression, choose, if_, minimum, or_, same
from blockbook.languages import say
from blockbook.training.pain_words import GET_HELP

NO_ALARM, BEFORE, HERE = 0, 1, 2
"""None, or answered; noted in an earlier session and not answered; noted in this one."""

OPEN = (
    "Chest pain, dizziness, fainting, numbness or the like was noted: no training before a physician has seen it. Once "
    "you are cleared, type none under Pain in the next session."
)
STILL_ALARMED = (
    "Chest pain, dizziness, fainting, numbness or the like was noted: no training before a physician has seen it. Once "
    "you are cleared, type none under Pain below."
)


@definition
def alarm_noted(alarm: Expression, alarm_heard: Expression) -> Expression:
    """1 where a session's answers to what hurts (alarm, as `pain_words.alarming`) or its words ask for help."""
    return if_(or_(alarm > 0, alarm_heard > 0), 1, 0)


@definition
def alarm_open(alarm_noted: Expression, pain_answer: Expression, alarm_before: Expression) -> Expression:
    """`NO_ALARM`, `BEFORE` or `HERE`. pain_answer: as `pain.pain_answer`; alarm_before: of the session before."""
    return choose(
        (alarm_noted > 0, HERE),
        (same(pain_answer, 0), NO_ALARM),
        otherwise=minimum(BEFORE, alarm_before),
    )


@definition
def open_alarm(alarm_open: Expression) -> Expression:
    """What is said away from the sessions while an alarm is open; "" otherwise."""
    return if_(alarm_open >= BEFORE, say(OPEN), BLANK)


def alone(alarm_open: Expression, otherwise: Expression) -> Expression:
    """What is said in place of all else while an alarm is open."""
    return choose((alarm_open >= HERE, say(GET_HELP)), (alarm_open >= BEFORE, say(STILL_ALARMED)), otherwise=otherwise)
