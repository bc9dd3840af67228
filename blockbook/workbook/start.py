"""The Start sheet: who, what, how to fill it in, and the cautions."""

from __future__ import annotations

from typing import NamedTuple

from blockbook.languages import day_text, number_text, say
from blockbook.sheet.book import Book, Sheet
from blockbook.sheet.fitting import height
from blockbook.spec.models import Block, EffortAs, Specification
from blockbook.training.pain_words import GET_HELP
from blockbook.training.prescription import countdown, first_session_day
from blockbook.workbook.layout import START
from blockbook.workbook.meet_in_block import has_meet_sheet

_FILL_IN = (
    "1. Open the sheet of your week. Fill in the pale yellow cells only: load, reps done, {felt}, and a note "
    "if there is something to say."
)
HOW_TO = (
    _FILL_IN.format(felt="effort felt"),
    "2. Begin with the date, then log each set before the next one: the loads further down and next week's follow.",
    "3. After the session fill in the few lines below it. Then save and send the file back to your coach.",
)
"""Three sentences, all a lifter has to read."""

HOW_TO_IN_RESERVE = (_FILL_IN.format(felt="reps left"), *HOW_TO[1:])

EFFORT_WORDS = (
    (10, "maximum effort: no further rep, no more load"),
    (9.5, "no further rep, perhaps a little more load"),
    (9, "1 rep left"),
    (8.5, "1 or 2 reps left"),
    (8, "2 reps left"),
    (7.5, "2 or 3 reps left"),
    (7, "3 reps left"),
)
"""Effort (RPE) in words, after the scale of Zourdos et al. 2016, J Strength Cond Res 30(1):267-275 (second-hand)."""

LIGHT_EFFORT = (("5-6", "4 to 6 reps left"), ("3-4", "light effort"), ("1-2", "little to no effort"))
"""The lower end of the same scale, where one line stands for two efforts."""

_MANY_LEFT = ((4, "4 reps left; with more left, a rough guess will do"),)
"""The last line where reps left are typed: there is no end to them."""

_IN_SHORT: dict[EffortAs, str] = {
    "rpe": "10: no further rep, no more load. {nearly}: no further rep, perhaps more load. 9: 1 rep left. "
    "{one_or_two}: 1 or 2. 8: 2. {two_or_three}: 2 or 3. 7: 3. 5-6: 4 to 6. 3-4: light. 1-2: little to no effort.",
    "reps in reserve": "How many more reps you could have done. 0: none, and no more load. {nearly}: none, perhaps "
    "more load. {one_or_two}: 1 or 2. {two_or_three}: 2 or 3.",
}
"""The scale as it is shown at the cells for it."""

LEFT_OUT = "What you leave out, a set, an exercise or a whole session: leave its cells empty."
PAIN_AT_ONCE = (
    "Pain? (below each session): none, or the letter of what hurts. Type it as soon as you know, not at the end."
)
ANOTHER_TODAY = "Instead today: choose there what you do in place of an exercise that you cannot do."

WORDS = (
    "RPE: the effort of a set, on the scale above. 1RM: one-rep maximum, the most you could lift once.",
    "Feeler: a first set near the day's load, logged with its effort: it tunes the loads below. Leave it empty if you "
    "skip it.",
    "Top: the heaviest set. Back-off: lighter sets after it. Hard set: a set at effort 6 or more.",
    "Max: as many reps as you can, stopping only where the heading says how many to leave. It shows how well you "
    "judge effort.",
    "Tempo 3-1-1: three seconds down, one second pause, one second up; X is as fast as you can.",
    "Tonnage: load x reps, added up. Monotony and strain: how even and how heavy the week's days were (Foster 1998).",
)

WORDS_IN_RESERVE = (
    "Reps left: the reps in reserve when a set ended, on the scale above. 1RM: one-rep maximum, the most you could "
    "lift once.",
    "Feeler: a first set near the day's load, logged with its reps left: it tunes the loads below. Leave it empty if "
    "you skip it.",
    "Top: the heaviest set. Back-off: lighter sets after it. Hard set: a set with 4 reps left or fewer.",
    "Max: as many reps as you can, stopping only where the heading says how many to leave. It shows how well you "
    "judge what is left.",
    *WORDS[4:],
)
"""The same where reps left are typed."""

CAUTIONS = (
    "Heavy lifting can injure. Warm up, use safeties or a spotter for squats and presses, and use collars.",
    "Stop a set that hurts. Do not train through sharp or growing pain: write it down, tell your coach, and see a "
    f"licensed professional. {GET_HELP}",
    "A load on these sheets is a suggestion worked out from what was typed. You may always take less.",
    "Under 18: only with a qualified coach present and a parent's consent, and no making weight.",
    "Making weight: no more than common medical guidance, never by dehydration without a physician.",
    "Pregnant, ill, injured, or on heart or blood-pressure medicine: ask a physician before you start.",
    "At a meet your federation's current rule book decides, not this workbook.",
)


_WORKED = (
    "A worked row (invented): 5 reps at effort 8 were asked for with 100 {unit}",
    "Load 100 · Reps done 5 · Effort felt {felt} · Note: last rep slow   ->   verdict: on target",
    "Load 100 · Reps done 5 · Effort felt {felt}   ->   verdict: {over} over. Next week's load will not go up",
)
_WORKED_IN_RESERVE = (
    "A worked row (invented): 5 reps with 2 left were asked for with 100 {unit}",
    "Load 100 · Reps done 5 · Reps left {felt} · Note: last rep slow   ->   verdict: on target",
    "Load 100 · Reps done 5 · Reps left {felt}   ->   verdict: {over} fewer left. Next week's load will not go up",
)

_LEFT = 53
"""Width of what a phone shows."""

_RIGHT = 3
"""The column beside those that a phone shows: there stands what can wait."""


class _Section(NamedTuple):
    """A heading and the texts below it, in English or as said already."""

    heading: str
    texts: tuple[str, ...]
    style: str = "paragraph"


def add_start(book: Book, spec: Specification) -> None:
    sheet = book.add(START)
    sheet.one_page = True
    sheet.widths = {0: 15, 1: _LEFT - 15, 2: 3, _RIGHT: 54}
    block, lifter = spec.block, spec.lifter
    last = block.last
    sheet.title(block.title, _RIGHT)
    row = 1
    facts = [
        (say("Lifter"), lifter.name),
        (
            say("Block"),
            say(
                "{weeks} weeks, {start} to {end}, loads in {unit}",
                weeks=block.weeks,
                start=day_text(first_session_day(spec)),
                end=day_text(last),
                unit=block.unit,
            ),
        ),
    ]
    if block.deload_week:
        facts.append((say("Deload"), say("week {week}", week=block.deload_week)))
    if block.meet:
        out = countdown(block.meet, block.start)
        facts.append((say("Meet"), say("{day}: {out} when the block begins", day=day_text(block.meet), out=out)))
    if block.note:
        facts.append((say("From your coach"), block.note))
    for label, text in facts:
        row = _line(sheet, row, text, "paragraph", label)
    meet = ("Meet: attempts, warm-up and totals for the day; type there what you lifted.",)
    where = (
        "Week 1, Week 2, ...: your sessions. Today is the load to use now; Plan is what it was before today's sets.",
        "Summary: how it is going. Plates: any load as plates per side, and a load calculator.",
        *(meet if has_meet_sheet(spec) else ()),
        "Workings and Tables: how each load is worked out. Nothing to fill in there.",
    )
    how_to = _Section("How to fill it in", HOW_TO_IN_RESERVE if block.in_reserve else HOW_TO)
    row = _beside(sheet, row, how_to, _Section("Where things are", where))
    row = _beside(sheet, row, _worked_row(block))
    row = _scale(sheet, row, block)
    cells = (LEFT_OUT, PAIN_AT_ONCE, *((ANOTHER_TODAY,) if any(slot.stand_ins for slot in spec.slots) else ()))
    words = _Section("Words", (*(WORDS_IN_RESERVE if block.in_reserve else WORDS), *cells))
    _beside(sheet, row, _Section("Take care", CAUTIONS, "caution"), words)


def _scale(sheet: Sheet, row: int, block: Block) -> int:
    """What the numbers mean that stand for effort; the row after it."""
    scale = (
        "Reps left: how many you could still have done" if block.in_reserve else "Effort: how many reps you had left"
    )
    row = _beside(sheet, row, _Section(scale, ()))
    hard = tuple((block.as_typed(effort), words) for effort, words in EFFORT_WORDS)
    for typed, words in (*hard, *(_MANY_LEFT if block.in_reserve else LIGHT_EFFORT)):
        sheet.put(row, 0, typed, "number")
        sheet.put(row, 1, say(words), "set name")
        row += 1
    return row


def scale_in_short(block: Block) -> str:
    """What the numbers mean that the lifter types as effort, or as reps left: at most 255 characters."""
    nearly, one_or_two, two_or_three = (number_text(block.as_typed(effort)) for effort in (9.5, 8.5, 7.5))
    return say(_IN_SHORT[block.effort_as], nearly=nearly, one_or_two=one_or_two, two_or_three=two_or_three)


def _worked_row(block: Block) -> _Section:
    """5 reps were asked for at effort 8, and came in half a rep and one and a half reps harder."""
    asked, as_planned, harder = _WORKED_IN_RESERVE if block.in_reserve else _WORKED
    texts = (
        say(as_planned, felt=number_text(block.as_typed(8.5))),
        say(harder, felt=number_text(block.as_typed(9.5)), over=number_text(1.5)),
    )
    return _Section(say(asked, unit=block.unit), texts)


def _beside(sheet: Sheet, row: int, left: _Section, right: _Section | None = None) -> int:
    """Write one or two sections, the second to the right of the first; the row after them."""
    row += 1
    sheet.heights[row] = max(26, _height(say(left.heading), 0.8 * _LEFT))  # in larger type
    for section, first, last in ((left, 0, 1), *(((right, _RIGHT, _RIGHT),) if right else ())):
        sheet.across(row, first, last, say(section.heading), "section")
        for at, text in enumerate(map(say, section.texts), start=row + 1):
            sheet.across(at, first, last, text, section.style)
            sheet.heights[at] = max(sheet.heights.get(at, 0), _height(text, _LEFT))
    return row + 1 + max(len(left.texts), len(right.texts) if right else 0)


def _line(sheet: Sheet, row: int, text: str, style: str, label: str) -> int:
    sheet.put(row, 0, label, "label")
    sheet.put(row, 1, text, style)
    sheet.heights[row] = _height(text, sheet.widths[1])
    return row + 1


def _height(text: str, width: float) -> float:
    """Of a row with this text, with a little air."""
    return height([(text, width)]) + 3
