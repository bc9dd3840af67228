"""The review's sheet of weekly sets per muscle, live: this block, as suggested, with the coach's word."""

from __future__ import annotations

from collections.abc import Sequence

from blockbook.assessment import decided
from blockbook.assessment.next_block import muscle_limits
from blockbook.assessment.review_rows import MUSCLES, Decided, Listed
from blockbook.assessment.weekly_sets import hard_sets_done, weekly_sets
from blockbook.sheet.book import Book, Reference, Run, Sheet
from blockbook.sheet.fitting import height
from blockbook.spec.catalogue import Muscle
from blockbook.training.volume import SHARES

WEEKLY_SETS = "Weekly sets"
_HEADINGS = (
    ("", 16), ("Muscle", 26), ("This block", 9), ("Suggested", 10), ("Next block", 10), ("Change", 9),
    ("Hard sets done", 10), ("At least", 9), ("At most", 9), ("Look at", 10),
)  # fmt: skip
_AFTER = 4
_FIRST_MUSCLE = 4


def add_weekly_sets(book: Book, every: Sequence[Decided], listed: Listed) -> None:
    sheet = book.add(WEEKLY_SETS)
    sheet.title(f"Weekly sets per muscle: what a set counts ({SHARES})", _FIRST_MUSCLE + len(MUSCLES) - 1)
    sheet.landscape = True
    sheet.widths = dict.fromkeys(range(_FIRST_MUSCLE + len(MUSCLES)), 10.0)
    sheet.widths |= {column: float(width) for column, (_, width) in enumerate(_HEADINGS)}
    row = 2
    for item in every:
        row = _block(sheet, row, item, listed)


def _block(sheet: Sheet, row: int, item: Decided, listed: Listed) -> int:
    """A lifter's muscles, and the exercises that add up to them below; the row after."""
    spec, suggestions = item.log.spec, item.outlook.suggestions
    sheet.across(row, 0, 9, f"{spec.lifter.name} · {spec.short_title}", "section")
    for column, (heading, _) in enumerate(_HEADINGS[1:], start=1):
        sheet.put(row + 1, column, heading, "heading left" if column == 1 else "heading")
    sheet.heights[row + 1] = 30
    first_muscle = row + 2
    first_exercise = first_muscle + len(MUSCLES) + 2
    parts = _exercises(sheet, first_exercise, item, listed)
    before = weekly_sets([(spec.exercise(each.exercise), each.sets) for each in suggestions])
    suggested = weekly_sets([(spec.exercise(each.choice.exercise), each.next_sets) for each in suggestions])
    hard = hard_sets_done(item.log)
    for place, muscle in enumerate(MUSCLES, start=first_muscle):
        was = before.get(muscle, 0)
        sheet.put(place, 1, muscle.capitalize(), "set")
        this_block = sheet.put(place, 2, was, "number")
        sheet.put(place, 3, suggested.get(muscle, 0), "number")
        after = sheet.formula(place, _AFTER, decided.muscle_total, {"parts": parts[muscle]}, "target")
        sheet.formula(place, 5, decided.relative_change, {"before": this_block, "after": after}, "share")
        sheet.put(place, 6, round(hard.get(muscle, 0), 1), "number")
        low, high = muscle_limits(spec, muscle)
        limit = spec.next_block.muscle_sets.get(muscle)
        sheet.put(place, 7, limit.low if limit else None, "number")
        sheet.put(place, 8, limit.high if limit else None, "number")
        names: dict[str, Reference] = {
            "before": this_block,
            "after": after,
            "low": low,
            "high": high,
            "most": spec.policy.sets_change,
        }
        sheet.formula(place, 9, decided.muscle_flag, names, "set")
    last = first_exercise + len(suggestions) - 1
    sheet.kept_together.append([(row, first_exercise - 2), (first_exercise - 1, last)])
    return last + 3


def _exercises(sheet: Sheet, row: int, item: Decided, listed: Listed) -> dict[Muscle, Run]:
    """What each exercise's sets count for each muscle; the cells of each muscle."""
    spec = item.log.spec
    headings = ("Session", "Exercise", "Sets", "", *map(str.capitalize, MUSCLES))
    for column, heading in enumerate(headings):
        sheet.put(row - 1, column, heading, "heading left" if column < 2 else "heading")
    sheet.heights[row - 1] = 30
    for place, made in enumerate(item.outlook.suggestions, start=row):
        cells = item.cells[made.key]
        sheet.put(place, 0, made.session, "set wrapped")
        sheet.formula(place, 1, decided.shown, {"value": cells["exercise"]}, "set wrapped")
        texts = {0: made.session, 1: max((made.exercise, made.choice.exercise), key=len)}
        sheet.heights[place] = height([(text, sheet.widths[column]) for column, text in texts.items()])
        sheet.put(place, 3, None, "set")
        sets = sheet.formula(place, 2, decided.shown, {"value": cells["sets"]}, "number")
        for column, muscle in enumerate(MUSCLES, start=_FIRST_MUSCLE):
            names: dict[str, Reference] = {"row": cells["row"], "sets": sets, "shares": listed.shares(spec, muscle)}
            sheet.formula(place, column, decided.sets_for_muscle, names, "number or none")
    last = row + len(item.outlook.suggestions) - 1
    return {muscle: Run(sheet.name, row, last, _FIRST_MUSCLE + n) for n, muscle in enumerate(MUSCLES)}
