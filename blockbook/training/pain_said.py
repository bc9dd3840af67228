"""What is said of a load that pain holds."""

from __future__ import annotations

from blockbook.formula.expression import (
    Expression,
    all_numbers,
    if_,
    join,
    round_,
    sentence,
)
from blockbook.languages import say
from blockbook.spec.catalogue import shown_name
from blockbook.spec.models import Slot, Specification

PAIN_HELD = "Pain was reported: no increase this time. "
PAIN_LESS = "Pain was reported: lighter than you lifted last time. "
PAIN_GONE = "Once it is gone, type none under Pain: the next load goes on from here. "
PAIN_NEARBY = "Pain was reported for {exercise}: no increase here this time. "
PAIN_NEARBY_LESS = "Pain was reported for {exercise}: lighter here than you lifted last time. "
PAIN_NEARBY_GONE = "Once it is gone, type none under Pain in the next session with {exercise}. "
ASK_BEFORE = "Ask your coach before you lift this."
PAIN_BEFORE = (
    "Pain was reported for {exercise} before this block: no increase here. Once it is gone, type none under Pain: the "
    "next load goes on from here. Ask your coach before you lift this."
)
PAIN_NEARBY_FIRST = (
    "Pain was reported for {exercise}: a tenth lighter here than usual, or less. Ask your coach before you lift this."
)
"""The first time there is no load that could rise."""

PAIN_NOTED = "Pain was reported for this exercise this week: ask your coach before you lift it again. "
PAIN_OPEN = "Pain was reported for {exercise}: ask your coach before you lift this. "


def _less(planned: Expression, last_load: Expression) -> Expression:
    return if_(all_numbers(planned, last_load), if_(round_(planned - last_load, 2) < 0, 1, 0), 0)


def held_for_pain(planned: Expression, last_load: Expression) -> Expression:
    """Of an exercise that hurt when it was last heard of."""
    held = if_(_less(planned, last_load) > 0, say(PAIN_LESS), say(PAIN_HELD))
    return join(held, say(PAIN_GONE), say(ASK_BEFORE))


def held_for_pain_nearby(planned: Expression, last_load: Expression, sore: Expression) -> Expression:
    """Of a close relative of what hurts (sore)."""
    less, no_more = (sentence(text, exercise=sore) for text in (PAIN_NEARBY_LESS, PAIN_NEARBY))
    held = if_(_less(planned, last_load) > 0, less, no_more)
    return join(held, sentence(PAIN_NEARBY_GONE, exercise=sore), say(ASK_BEFORE))


def held_reason(slot: Slot, week: int, spec: Specification) -> str:
    """Why an exercise is held for one that has left the block; "" where it is not."""
    if not slot.held_for:
        return ""
    new = week == 1 and slot.from_last_block is None
    return say(PAIN_NEARBY_FIRST if new else PAIN_BEFORE, exercise=shown_name(spec.exercise(slot.held_for)))
