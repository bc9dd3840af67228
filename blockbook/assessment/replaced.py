"""Where the next block's sheet starts an exercise that takes another's place."""

from __future__ import annotations

from blockbook.assessment.exercise_choice import MOST_OFFERED
from blockbook.assessment.first_loads import first_loads
from blockbook.assessment.next_block import as_decided
from blockbook.assessment.outlook import Outlook
from blockbook.errors import BlockbookError
from blockbook.intake.log import BlockLog


def starts(log: BlockLog, outlook: Outlook) -> dict[str, dict[str, str]]:
    """Key of each exercise -> each that is offered in its place -> a sentence on where the next sheet starts that.

    As the sheet will make it from the lifter's maxima, the other suggestions taken; none where the sheet decides no
    load, or where no next block can be written before the coach changes something.
    """
    try:
        spec = as_decided(log, outlook).spec
    except BlockbookError:
        return {}
    found: dict[str, dict[str, str]] = {made.key: {} for made in outlook.suggestions}
    for place in range(MOST_OFFERED):
        names = {made.key: made.choice.options[place] for made in outlook.suggestions
                 if place < len(made.choice.options)}  # fmt: skip
        for key, said in (first_loads(spec, log.spec, names) if names else {}).items():
            found[key][names[key]] = f"{names[key].capitalize()}: the sheet {said}."
    return found
