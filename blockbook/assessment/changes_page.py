"""The review's sheet of what changed from this block to the next, and why; it follows the coach's word."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from blockbook.assessment import decided, decided_said, wording
from blockbook.assessment.review_rows import Decided, or_dash
from blockbook.sheet.book import Book, Cell, Reference, Sheet
from blockbook.sheet.fitting import height
from blockbook.workbook.week_words import capital

CHANGES = "What changed"
_COLUMNS = (
    ("Session", 18), ("Exercise", 24), ("Next block", 24), ("Load, week 1", 10), ("Next", 10), ("Sets", 7),
    ("Next", 7), ("Changed", 18), ("Look at", 24), ("Test in week", 8), ("Why", 64), ("Figures", 48),
)  # fmt: skip
_CHANGED, _LOOK_AT, _TEST, _WHY, _FIGURES = 7, 8, 9, 10, 11
_TEXTS = (0, 1, 2, _CHANGED, _LOOK_AT, _WHY, _FIGURES)


def add_changes(book: Book, every: Sequence[Decided]) -> None:
    sheet = book.add(CHANGES)
    sheet.title("What changed, and why", len(_COLUMNS) - 1)
    sheet.landscape = True
    sheet.widths = {column: float(width) for column, (_, width) in enumerate(_COLUMNS)}
    row = 2
    for item in every:
        text = f"{item.log.spec.lifter.name} · after {item.log.spec.short_title}"
        sheet.across(row, 0, _FIGURES, text, "section")
        headings = _signs(sheet, row + 1, item)
        behind = _exercises(sheet, headings, item)
        sheet.kept_together.append([(row, headings - 1), (headings, behind - 1)])
        row = behind + 1


def _signs(sheet: Sheet, row: int, item: Decided) -> int:
    """Whether a deload comes first, and every sign with its figure; the row after."""
    needed = item.log.spec.next_block.deload_signs
    sheet.put(row, 0, "Deload first", "bold")
    sheet.formula(row, 1, decided.shown, {"value": item.deload}, "bold")
    sheet.put(row, 2, f"Suggested where {needed} of the signs agree, and the block did not end with one.", "hint")
    row += 1
    headings = {0: "Sign", 2: "As logged", _CHANGED: "Speaks for it", _WHY: "Threshold", _FIGURES: "Source"}
    for column in range(len(_COLUMNS)):
        sheet.put(row, column, headings.get(column), "heading left")
    for sign in item.outlook.signs:
        row += 1
        for column in range(len(_COLUMNS)):
            sheet.put(row, column, None, "set")
        sheet.put(row, 0, sign.name, "set")
        sheet.put(row, 2, sign.value, "set")
        sheet.put(row, _CHANGED, "yes" if sign.agrees else "no" if sign.known else "not known", "set")
        sheet.put(row, _WHY, sign.threshold, "set wrapped")
        sheet.put(row, _FIGURES, sign.source, "set wrapped")
        _set_height(sheet, row, {_WHY: sign.threshold, _FIGURES: sign.source})
    return row + 2


def _exercises(sheet: Sheet, row: int, item: Decided) -> int:
    """Each exercise, this block and next; the row after."""
    for column, (heading, _) in enumerate(_COLUMNS):
        sheet.put(row, column, heading, "heading left" if column in _TEXTS else "heading")
    sheet.heights[row] = 30
    for made in sorted(item.outlook.suggestions, key=lambda made: not made.pain):
        row += 1
        cells = item.cells[made.key]
        before = capital(made.exercise)
        sheet.put(row, 0, made.session, "set wrapped")
        sheet.put(row, 1, before, "set wrapped")
        exercise = sheet.formula(row, 2, decided.shown, {"value": cells["exercise"]}, "set wrapped")
        was = sheet.put(row, 3, or_dash(made.start_load), "number")
        load = sheet.formula(row, 4, decided.shown, {"value": cells["load"]}, "target")
        sets_before = sheet.put(row, 5, made.sets, "number")
        sets = sheet.formula(row, 6, decided.shown, {"value": cells["sets"]}, "number")
        _changed(sheet, row, before, (exercise, was, load, sets_before, sets))
        sheet.formula(row, _LOOK_AT, decided.shown, {"value": cells["flag"]}, "set wrapped")
        sheet.put(row, _TEST, made.test_week, "number")
        sheet.formula(row, _WHY, decided.shown, {"value": cells["why"]}, "set wrapped")
        sheet.put(row, _FIGURES, made.figures, "set wrapped")
        why = wording.as_long_as_it_gets(made)
        longest = max((made.exercise, made.choice.exercise), key=len)
        _set_height(sheet, row, {0: made.session, 1: longest, _WHY: why, _FIGURES: made.figures})
    return row + 1


def _set_height(sheet: Sheet, row: int, texts: Mapping[int, str]) -> None:
    """As high as the texts of these columns need."""
    sheet.heights[row] = height([(text, sheet.widths[column]) for column, text in texts.items()])


def _changed(sheet: Sheet, row: int, before: str, cells: tuple[Cell, Cell, Cell, Cell, Cell]) -> None:
    exercise, was, load, sets_before, sets = cells
    names: dict[str, Reference] = {
        "exercise_before": before, "exercise": exercise, "load_before": was, "load": load,
        "sets_before": sets_before, "sets": sets,
    }  # fmt: skip
    sheet.formula(row, _CHANGED, decided_said.changed_words, names, "set")
