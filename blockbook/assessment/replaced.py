"""Where the next block's sheet starts an exercise that takes another's place."""

from __future__ import annotations

from typing import NamedTuple

from blockbook.assessment.exercise_choice import MOST_OFFERED
from blockbook.assessment.first_loads import Start, first_loads
from blockbook.assessment.next_block import as_decided
from blockbook.assessment.outlook import Outlook
from blockbook.errors import BlockbookError
from blockbook.intake.log import BlockLog
from blockbook.spec.answers import OFFERED


class Offered(NamedTuple):
    """Where the next sheet starts an exercise that is offered: its load without and with a deload first, None for
    none; and a sentence on it, with the deload as suggested."""

    usual: float | None
    light: float | None
    said: str


def starts(log: BlockLog, outlook: Outlook) -> dict[str, dict[str, Offered]]:
    """Key of each exercise -> each that is offered in its place -> where the next sheet starts that.

    As the sheet will make it from the lifter's maxima, the other suggestions taken; none where the sheet decides no
    load, or where no next block can be written before the coach changes something.
    """
    light, usual = (_by_answer(log, outlook, answer) for answer in OFFERED)
    suggested = light if outlook.deload_reason else usual
    nowhere = Start(None, "")
    return {
        made.key: {
            name: Offered(
                usual.get((made.key, name), nowhere).load,
                light.get((made.key, name), nowhere).load,
                f"{name.capitalize()}: the sheet {suggested[made.key, name].said}.",
            )
            for name in made.choice.options
            if (made.key, name) in suggested
        }
        for made in outlook.suggestions
    }


def _by_answer(log: BlockLog, outlook: Outlook, deload: str) -> dict[tuple[str, str], Start]:
    """Key of an exercise and one that is offered in its place -> where that starts, after a yes or no to a deload."""
    try:
        spec = as_decided(log, outlook, own_deload=deload).spec
    except BlockbookError:
        return {}
    found = {}
    for place in range(MOST_OFFERED):
        names = {made.key: made.choice.options[place] for made in outlook.suggestions
                 if place < len(made.choice.options)}  # fmt: skip
        for key, start in (first_loads(spec, log.spec, names) if names else {}).items():
            found[key, names[key]] = start
    return found
