"""What can be odd about a returned workbook: one kind of finding a code."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from typing import Any, Literal, NamedTuple

Severity = Literal["error", "warning", "note"]


class FindingKind(NamedTuple):
    """severity: error = something logged could not be used, or asks for a physician; warning = look at it; note = for
    information."""

    severity: Severity
    hint: str


_SHEET_BLIND = (
    "Nothing to do if the value used is right. The lifter's sheet saw a text and no number, so its later loads "
    "may differ from the ones here."
)

ALARM_NOTED, ALARM_IGNORED = "alarm-noted", "alarm-ignored"
ALARMS = frozenset({ALARM_NOTED, ALARM_IGNORED})
"""Codes of findings on which a physician has the next word."""

ALARM_CARRIED = "chest pain, fainting or the like in the last block is still open"
"""Of an alarm that no answer came to before the next block was written."""

PAIN = frozenset({*ALARMS, "pain-reported", "pain-in-note"})
"""Codes of findings that something hurts: said before all else, and each on its own."""

_OF_WHOLE_LOGS = frozenset({"unit-mixed-up", "reserve-for-effort", "effort-for-reserve", "wrong-lifter"})
"""Codes of findings that, where they are of the whole log, leave nothing of it to decide from."""

_SAY_FIRST = "Nothing is decided from this log before you say: under Accept? in the review (sheet Findings), "

CALL_TODAY = "Call the lifter today: no training before a physician has seen them."

ALARM_UNHEARD = (
    f"{CALL_TODAY} The lifter's sheet does not look there and "
    "goes on as if nothing was: the next one strikes all loads out."
)

ALARM_ANSWERED = "Ask the lifter what the physician said. Loads go on from there by half steps."

SINCE_ANSWERED = "Talk to the lifter. Since then Pain? says none, and loads go on from there by half steps."

NOT_HELD = "Talk to the lifter. No load is held for it: if it was pain, have it typed where pain is asked for."
"""What to do about a word of pain that the sheet holds nothing for."""

KINDS: dict[str, FindingKind] = {
    "pain-reported": FindingKind(
        "warning", "Talk to the lifter before the next block. The load is held until Pain? says none."
    ),
    ALARM_NOTED: FindingKind(
        "error",
        f"{CALL_TODAY} All loads are struck out until a later session says none under Pain.",
    ),
    ALARM_IGNORED: FindingKind("error", CALL_TODAY),
    "pain-in-note": FindingKind(
        "warning", "Talk to the lifter. The load is held as for pain, until Pain? says none for that session."
    ),
    "illness-in-note": FindingKind("note", "Ask whether the lifter is well again. The session counts like any other."),
    "stand-in-used": FindingKind("note", "Nothing of it counts for the exercise that was planned; its load stays."),
    "stand-in-understood": FindingKind("note", "Nothing to do if that is what was done."),
    "stand-in-unknown": FindingKind(
        "warning", "Ask what was done. If it may be chosen again, add it to the slot's stand_ins."
    ),
    "week-missing": FindingKind("error", "Ask the lifter for the whole file; what was in that week is not in the log."),
    "row-missing": FindingKind("error", "Ask what was done there, or restore the row from an earlier copy."),
    "row-unknown": FindingKind("warning", "The row was not used. If it holds a log, tell the lifter where it belongs."),
    "row-duplicate": FindingKind("note", "Nothing to do where they say the same; where they differ, that is said."),
    "row-unplaced": FindingKind("warning", "If it holds a set that was done, tell where it belongs: type it in there."),
    "keys-moved": FindingKind("warning", "Ask for the file as it was before it was sorted."),
    "rows-recovered": FindingKind("warning", "Compare a few rows with the file before you rely on them."),
    "column-missing": FindingKind(
        "warning", "Ask for the file with all its columns; what stood there is not in the log."
    ),
    "column-guessed": FindingKind("warning", "Check that the numbers are the right ones."),
    "manifest-missing": FindingKind("note", "Nothing to do if that is the block the lifter was sent."),
    "spec-not-used": FindingKind("warning", "Name the specification of this lifter's block, or none."),
    "lifter-differs": FindingKind("warning", "Check whose log it is before you use it."),
    "left-aside": FindingKind("note", "Nothing to do: only what stands in the cells is read."),
    "copies-preferred": FindingKind("note", "Nothing to do: you said which file counts."),
    "copies-differ": FindingKind("warning", "Ask which is right. --prefer FILE makes one file win everywhere."),
    "typed-beside": FindingKind(
        "note", "It is kept in the log. If it is a load, reps or effort, type it in its place."
    ),
    "comment-on-cell": FindingKind("note", "Read it; nothing else is done with it."),
    "load-in-target": FindingKind("warning", "Check that it is what was lifted."),
    "not-done": FindingKind("note", "Nothing to do, unless it was done after all."),
    "tick": FindingKind("warning", "Ask for the number; if the set was done as asked, the target is it."),
    "correction-outdated": FindingKind("warning", "Review the log again: something else stands in the cell now."),
    "corrected": FindingKind("note", "Nothing to do: your word counts; what was typed is kept beside it."),
    "not-a-number": FindingKind(
        "error", "The text is kept in the log but not used. Type a plain number and read again."
    ),
    "date-for-number": FindingKind("warning", "A spreadsheet turned what was typed into a date. Check the value used."),
    "not-a-date": FindingKind("warning", "The text is kept. The planned day stands in for it."),
    "date-understood": FindingKind("note", "Nothing to do if the year is right."),
    "number-understood": FindingKind("note", _SHEET_BLIND),
    "unit-converted": FindingKind("note", _SHEET_BLIND),
    "range-for-number": FindingKind("note", _SHEET_BLIND),
    "mark-unclear": FindingKind("warning", "Ask whether the lift was good; the sheet counts it as not lifted yet."),
    "effort-off-scale": FindingKind("error", "Effort runs from 1 to 10 (10: nothing left). It was not used."),
    "reserve-off-scale": FindingKind("error", "Reps left run from 0 to 9 (0: nothing left). It was not used."),
    "reps-not-whole": FindingKind("warning", "Reps are counted whole. Check what was done."),
    "number-out-of-range": FindingKind("warning", "Check the number with the lifter."),
    "load-implausible": FindingKind("error", "A slip of a digit or of load and reps? Correct the cell and read again."),
    "digit-slip": FindingKind(
        "error",
        "A digit or the point too many, too few or turned? Accept the correction in the review.",
    ),
    "load-reps-swapped": FindingKind("error", "Load and reps in each other's cell? Correct both and read again."),
    "unit-mixed-up": FindingKind("error", "Ask in which unit it was logged; the block is in one unit throughout."),
    "both-hands-together": FindingKind("warning", "A load is counted per hand. Ask what one dumbbell weighed."),
    "rows-shifted": FindingKind("error", "Every set of the session counts for the row it stands in. Move them back."),
    "wrong-lifter": FindingKind("error", "Make sure whose log this is before anything of it is used."),
    "reserve-for-effort": FindingKind(
        "warning", "Effort 8 leaves 2 reps in reserve. Ask which was meant: the next loads depend on it."
    ),
    "effort-for-reserve": FindingKind(
        "warning", "2 reps left are an effort of 8. Ask which was meant: the next loads depend on it."
    ),
    "estimate-off-trend": FindingKind("warning", "Check load, reps and effort of the set with the lifter."),
    "plan-copied": FindingKind("warning", "A copied plan teaches nothing. Ask for what was really done."),
    "last-week-copied": FindingKind("warning", "Ask for what was really done in that session."),
    "impossible-progress": FindingKind(
        "warning", "Efforts or loads are not what was lifted. Watch a set, or test one."
    ),
    "reps-missed-low-effort": FindingKind("warning", "Ask why the set ended: pain, time or a wrong number?"),
    "reps-missed": FindingKind("note", "The next loads allow for it. Ask how the day was."),
    "effort-constant": FindingKind("note", "Loads follow effort. Talk about how it is judged; a set to failure helps."),
    "effort-falls": FindingKind("note", "Tiredness makes equal sets harder. Ask how the first ones felt."),
    "session-effort-contradicts": FindingKind("note", "Ask what was hard or easy beside the sets."),
    "date-outside-block": FindingKind("warning", "Correct the date. Gaps between sessions are counted from it."),
    "date-to-come": FindingKind("warning", "Correct the date. Gaps between sessions are counted from it."),
    "date-out-of-order": FindingKind("warning", "Correct the date. Gaps between sessions are counted from it."),
    "sessions-same-day": FindingKind("note", "Fine if both were done on that day; tiredness then explains the second."),
    "minutes-impossible": FindingKind("warning", "Session load is effort times minutes. Ask how long it took."),
    "body-weight-jumps": FindingKind("warning", "Weigh again, or correct it: it counts in lifts with body weight."),
    "load-not-loadable": FindingKind(
        "warning", "Check load and equipment list: the lifter's bar, plates or steps do not make this load."
    ),
    "no-rep-done": FindingKind(
        "warning", "Ask why: too heavy, pain, or time? The next load follows as from a set that failed."
    ),
    "set-in-note": FindingKind("note", "What stands in a note is not counted. Count it yourself, or ask for it."),
    "sets-left-out": FindingKind("note", "Ask whether they were done: only what is typed counts."),
    "set-half-filled": FindingKind("warning", "Ask for the missing number; the set gives no estimate without it."),
    "effort-missing": FindingKind("warning", "Without effort the next load is held. Ask for it."),
    "session-skipped": FindingKind("warning", "A later session was logged. Ask what happened."),
}


@dataclass(frozen=True)
class Finding:
    """One thing to look at. value: as typed; message: what is wrong and what was done about it.

    likely: what was probably meant, by input name ("w1.lower.squat.1/load": 107.5; None: nothing), for the
    coach to accept; empty where no single correction suggests itself.
    """

    code: str
    severity: Severity
    sheet: str
    cell: str
    value: str
    message: str
    hint: str
    likely: Mapping[str, float | None] = field(default_factory=dict)

    @property
    def stops(self) -> bool:
        """Whether it puts the whole log in doubt, so that nothing is decided from it before the coach has a say."""
        return self.code in _OF_WHOLE_LOGS and not self.sheet

    def to_data(self) -> dict[str, Any]:
        data = asdict(self)
        return data if self.likely else {name: value for name, value in data.items() if name != "likely"}


def finding(
    code: str,
    message: str,
    sheet: str = "",
    cell: str = "",
    value: str = "",
    likely: Mapping[str, float | None] | None = None,
) -> Finding:
    kind = KINDS[code]
    found = Finding(code, kind.severity, sheet, cell, value, message, kind.hint, likely or {})
    return replace(found, hint=f"{kind.hint} {what_to_say(found)}") if found.stops else found


def what_to_say(found: Finding) -> str:
    """How the coach lets the decisions go on after a finding on the whole log."""
    if found.likely:
        return f"{_SAY_FIRST}yes uses what was likely meant, no goes on with what was typed."
    return f"{_SAY_FIRST}no goes on with it all the same."
