"""Where the next block's sheet starts an exercise that takes another's place."""

from __future__ import annotations

from collections.abc import Sequence

from blockbook.assessment import wording
from blockbook.assessment.next_block import next_block
from blockbook.assessment.outlook import Outlook
from blockbook.errors import BlockbookError
from blockbook.intake.log import BlockLog
from blockbook.sheet.calculation import Calculation
from blockbook.spec.models import Specification, session_ids, slot_ids
from blockbook.workbook.assemble import assemble


def starts(log: BlockLog, outlook: Outlook, earlier: Sequence[BlockLog] = ()) -> dict[str, str]:
    """Key of each exercise that becomes another in the next block -> a sentence on the first load of that.

    As the sheet will make it from the lifter's maxima; none where the sheet decides no load, or where no next block
    can be written before the coach changes something.
    """
    changed = {made.key for made in outlook.suggestions if made.choice.exercise != made.exercise}
    if not changed:
        return {}
    try:
        made = next_block(log, None, earlier)
    except BlockbookError:
        return {}
    workbook = assemble(made.spec)
    calculation = Calculation(workbook.book, {})
    before = dict(zip(_keys(made.spec), _keys(made.log.spec), strict=True))
    said = {}
    for line in (place.line for session in workbook.weeks[0] for place in session.lines):
        key = before[line.slot_key]
        load = calculation.number(workbook.workings.cell(line, "planned")) if key in changed and line.decided else None
        if load is not None:
            said[key] = f"Its sheet starts it at {wording.load_said(load, line.exercise, made.spec)}."
    return said


def _keys(spec: Specification) -> list[str]:
    """Keys of the exercises, in order."""
    sessions = zip(session_ids(spec), spec.sessions, strict=True)
    return [f"{session_id}.{slot_id}" for session_id, session in sessions for slot_id in slot_ids(session)]
