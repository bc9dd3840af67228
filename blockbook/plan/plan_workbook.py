"""A specification -> the plan workbook, every sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from blockbook.plan.columns import (
    BEST_COLUMNS,
    BLOCK,
    BLOCK_FIELDS,
    DECIDED,
    EQUIPMENT,
    EQUIPMENT_FIELDS,
    EXERCISE_COLUMNS,
    EXERCISES,
    LAST_BLOCK,
    LIFTER,
    LIFTER_FIELDS,
    LISTS,
    NUMBER_FIELDS,
    NUMBERS,
    OF_NO_SESSION,
    PLAN,
    PLAN_COLUMNS,
    PLATE_COLUMNS,
    ROW_SESSION,
    SPARE_ROWS,
    TOTALS,
    WORKINGS,
    Column,
)
from blockbook.plan.last_block import LastBlock
from blockbook.plan.lists import DIRECT_CELLS, INDIRECT_CELLS, Lists, add_lists, place_lists
from blockbook.plan.live import Numbers, add_live
from blockbook.plan.tables import TablePlace, put_fields, put_table, put_value_key
from blockbook.sheet.book import Book, Cell, Reference, Run, Sheet
from blockbook.spec.models import KIND_WORDS, MOST_WEEKS, Slot, Specification, session_ids, slot_ids
from blockbook.spec.values import Best
from blockbook.training import plan_cells
from blockbook.workbook.write import workbook_bytes

_LEAST_WEEKS = 6
"""Weeks that have columns even where the block has fewer, so that it can grow."""

_SPARE_AT_END, _SPARE_BESTS, _SPARE_PLATES, _SPARE_EXERCISES = 8, 8, 4, 10
_ALWAYS_SHOWN = ("slot.sets", "slot.reps", "slot.rpe")

_WIDTH_OF_A_SIGN = 0.85
"""Of a heading above the weeks, which has to stand in the width of those that are shown."""

_HOW_TO = (
    "One row an exercise; the session's name stands in its first row. Select a cell: its hint says what goes in.",
    "Columns 1, 2, 3 ... are the weeks: the first alone goes for every week, or fill in every one. The + above the "
    "columns unfolds more.",
    "Spare rows take more exercises; put in others where you like: what one lacks stands in the check above it. "
    "For you, the coach: not the file to mail. Then: blockbook build, with this file.",
)


def plan_bytes(spec: Specification, remarks: Sequence[str] = (), last: LastBlock | None = None) -> bytes:
    """The plan workbook as a file's content.

    remarks: sentences on top of the Plan, such as that all is invented; last: what the block before it showed.
    """
    block = spec.block
    return workbook_bytes(plan_book(spec, remarks, last), {}, block.unit, f"Plan: {block.title}", block.start)


@dataclass(frozen=True)
class TypedSheets:
    """The sheets that a coach types in, and where stands what the counting needs. weeks: how many have columns."""

    book: Book
    lists: Lists
    weeks: int
    plan: TablePlace
    own: TablePlace
    numbers: Numbers


def plan_book(spec: Specification, remarks: Sequence[str] = (), last: LastBlock | None = None) -> Book:
    """The plan workbook as data."""
    made = typed_sheets(spec, remarks, last)
    add_lists(made.book, spec, made.lists, made.own)
    add_live(made.book, made.plan, made.lists, made.numbers, made.weeks, last.muscles if last else {})
    return made.book


def typed_sheets(spec: Specification, remarks: Sequence[str] = (), last: LastBlock | None = None) -> TypedSheets:
    """All that holds the specification; the sheets that are worked out are there, and empty."""
    book = Book()
    decided = [DECIDED] if last else []
    for name in (PLAN, TOTALS, *decided, BLOCK, LIFTER, EQUIPMENT, EXERCISES, NUMBERS, LISTS, WORKINGS):
        book.add(name).protected = name in (TOTALS, LISTS, WORKINGS)
    lists = place_lists(spec, len(spec.exercises) + _SPARE_EXERCISES)
    weeks = min(MOST_WEEKS, max(_LEAST_WEEKS, spec.block.weeks))
    plan = _plan_sheet(book.sheets[PLAN], spec, lists.offered, weeks, len(remarks), last)
    if last:
        _decided_sheet(book.sheets[DECIDED], last)
    block = _block_sheet(book.sheets[BLOCK], spec)
    lifter, best = _lifter_sheet(book.sheets[LIFTER], spec, lists.offered)
    _plan_head(book.sheets[PLAN], spec, remarks, block["block.title"], lifter, best)
    _equipment_sheet(book.sheets[EQUIPMENT], spec)
    own = _exercises_sheet(book.sheets[EXERCISES], spec, lists.offered)
    numbers = _numbers_sheet(book.sheets[NUMBERS], spec, lists.mark)
    live = Numbers(
        weeks=block["block.weeks"],
        deload_week=block["block.deload_week"],
        deload_sets=numbers["policy.deload_sets"],
        deload_rpe=numbers["policy.deload_rpe"],
        hard_set_rpe=numbers["policy.hard_set_rpe"],
    )
    return TypedSheets(book, lists, weeks, plan, own, live)


def _plan_head(sheet: Sheet, spec: Specification, remarks: Sequence[str], title: Cell, name: Cell, best: Cell) -> None:
    """What goes by the other sheets: the title, and remarks as long as lifter and first best are those of now."""
    sheet.formula(0, 0, plan_cells.plan_title, {"title": title, "lifter": name}, "title")
    first = next((known.load for known in spec.lifter.bests.values()), "")
    for row, text in enumerate(remarks, start=len(_HOW_TO) + 1):
        of_now: dict[str, Reference] = {"name": name, "was": spec.lifter.name, "best": best, "best_was": first}
        sheet.formula(row, 0, plan_cells.while_it_is, {**of_now, "text": text}, "bold")


def _plan_sheet(
    sheet: Sheet,
    spec: Specification,
    offered: Mapping[str, Run],
    weeks: int,
    remarks: int,
    last: LastBlock | None,
) -> TablePlace:
    """remarks: how many rows are left for them above."""
    block = spec.block
    for row, text in enumerate(_HOW_TO, start=1):
        sheet.put(row, 0, text, "soft")
    top = len(_HOW_TO) + 1 + remarks
    columns = PLAN_COLUMNS
    if last:
        behind = next(number for number, column in enumerate(columns, start=1) if column.key == "live.minutes")
        columns = (*columns[:behind], LAST_BLOCK, *columns[behind:])
    there = {column.key: weeks for column in columns if column.spread}
    rows = _plan_rows(spec)
    table = put_table(sheet, top, 0, columns, rows, there, offered)
    sheet.title("Plan", max(table.columns.values()))
    table = _with_sessions_of_rows(sheet, table, rows)
    if last:
        for row, parts in zip(table.rows, rows, strict=True):
            sheet.put(row, table.columns[LAST_BLOCK.key], _last_figures(parts, last), "verdict")
    sheet.heights[top] = 18
    sheet.heights[top + 1] = 42
    sheet.frozen = (table.first, 3)
    sheet.repeat_rows = (top, top + 1)
    sheet.repeat_columns = (0, 2)
    sheet.landscape = True
    sheet.pages_wide = 3
    for column in PLAN_COLUMNS:
        if column.spread:
            first = table.columns[f"{column.key}.1"]
            used = any(_holds(column, slot) for slot in spec.slots)
            shown = block.weeks if used or column.key in _ALWAYS_SHOWN else 0
            for place in range(first, first + shown):
                sheet.widths[place] = max(column.width, _WIDTH_OF_A_SIGN * len(column.heading) / shown)
            if shown < weeks:
                sheet.folded_columns.append((first + shown, first + weeks - 1))
    return table


def _with_sessions_of_rows(sheet: Sheet, table: TablePlace, rows: Sequence[Mapping[str, Any]]) -> TablePlace:
    """The table with a hidden column behind it: the session that each row was written for."""
    column = max(table.columns.values()) + 1
    sheet.put(table.first - 1, column, ROW_SESSION, "key")
    for row, parts in zip(table.rows, rows, strict=True):
        sheet.put(row, column, parts.get("of", OF_NO_SESSION), "key")
    sheet.hidden_columns = (column,)
    sheet.widths[column] = 4  # without a width of its own a column is not hidden
    return replace(table, columns={**table.columns, ROW_SESSION: column})


def _holds(column: Column, slot: Slot) -> bool:
    return any(content is not None for content in column.contents(slot, MOST_WEEKS))


def _last_figures(parts: Mapping[str, Any], last: LastBlock) -> str | None:
    """What the last block showed of a row's exercise, and in a session's first row how long it took."""
    if "key" not in parts:
        return None
    minutes = last.minutes.get(parts["key"].split(".")[0]) if "session" in parts else None
    figures = last.exercises.get(parts["key"], "")
    return ", ".join(each for each in (f"{minutes:g} min" if minutes else "", figures) if each)


def _plan_rows(spec: Specification) -> list[dict[str, Any]]:
    """A row an exercise, some empty ones behind each session, and more at the end."""
    rows: list[dict[str, Any]] = []
    for session, session_id in zip(spec.sessions, session_ids(spec), strict=True):
        for number, (slot, slot_id) in enumerate(zip(session.slots, slot_ids(session), strict=True)):
            parts = {"slot": _Kinded(slot), "key": f"{session_id}.{slot_id}", "of": session_id}
            rows.append(parts if number else {**parts, "session": session})
        rows += [{"of": session_id}] * SPARE_ROWS
    return rows + [{}] * _SPARE_AT_END


class _Kinded:
    """A slot with its kind in words."""

    model_fields = Slot.model_fields

    def __init__(self, slot: Slot) -> None:
        self._slot = slot
        self.kind = KIND_WORDS[slot.kind]

    def __getattr__(self, name: str) -> Any:
        return getattr(self._slot, name)


def _explain(sheet: Sheet, title: str, text: str, last: int) -> None:
    sheet.title(title, last)
    sheet.put(1, 1, text, "soft")
    sheet.frozen = (2, 0)
    sheet.hidden_columns = (0,)
    sheet.widths[0] = 4


def _block_sheet(sheet: Sheet, spec: Specification) -> dict[str, Cell]:
    _explain(sheet, "Block", "Title, dates and length of the block; one unit for every load in this workbook.", 3)
    sheet.widths |= {1: 22, 2: 46, 3: 62}
    return put_fields(sheet, 3, BLOCK_FIELDS, spec.block, {}, 3)


def _lifter_sheet(sheet: Sheet, spec: Specification, offered: Mapping[str, Run]) -> tuple[Cell, Cell]:
    """Fill it; where the name and the first best's load stand."""
    _explain(sheet, "Lifter", "Who trains. Bests set the loads of week 1: recent ones, in the block's unit.", 7)
    sheet.widths |= {1: 26, 2: 16, 3: 10, 4: 10, 5: 10, 6: 16, 7: 24}
    places = put_fields(sheet, 3, LIFTER_FIELDS, spec.lifter, {}, 7)
    top = 4 + len(places) + 1
    sheet.put(top, 1, "Bests", "section")
    said = "A one-rep maximum, or a recent hard set with its reps and effort. Body-weight exercises: the load added."
    sheet.across(top, 2, 7, said, "hint")
    rows = [{"best": _NamedBest(name, best)} for name, best in spec.lifter.bests.items()]
    table = put_table(sheet, top + 1, 1, BEST_COLUMNS, [*rows, *[{}] * _SPARE_BESTS], {}, offered)
    sheet.heights[top + 1] = 0
    sheet.heights[top + 2] = 30
    return places["lifter.name"], Cell(LIFTER, table.first, table.columns["best.load"])


class _NamedBest:
    def __init__(self, exercise: str, best: Best) -> None:
        self.exercise, self._best = exercise, best

    def __getattr__(self, name: str) -> Any:
        return getattr(self._best, name)


class _Plate:
    def __init__(self, weight: float, pairs: int) -> None:
        self.weight, self.pairs = weight, pairs


def _equipment_sheet(sheet: Sheet, spec: Specification) -> None:
    _explain(sheet, "Equipment", "What the gym can load: the workbook only asks for loads that can be made.", 3)
    sheet.widths |= {1: 30, 2: 16, 3: 62}
    places = put_fields(sheet, 3, EQUIPMENT_FIELDS, spec.equipment, {}, 3)
    top = 4 + len(places) + 1
    sheet.put(top, 1, "Plates", "section")
    sheet.across(top, 2, 3, "Weight of a plate, and how many pairs of it there are.", "hint")
    rows: list[dict[str, Any]] = [{"plate": _Plate(weight, pairs)} for weight, pairs in spec.equipment.plates.items()]
    put_table(sheet, top + 1, 1, PLATE_COLUMNS, [*rows, *[{}] * _SPARE_PLATES], {}, {})
    sheet.heights[top + 1] = 0


def _exercises_sheet(sheet: Sheet, spec: Specification, offered: Mapping[str, Run]) -> TablePlace:
    sheet.title("Your own exercises", 6)
    text = "Exercises that the list lacks: the muscles say what a set counts for, the related lift gives a first load."
    sheet.put(1, 0, text, "soft")
    there = {
        "own.direct": max([DIRECT_CELLS, *(len(each.direct) for each in spec.exercises)]),
        "own.indirect": max([INDIRECT_CELLS, *(len(each.indirect) for each in spec.exercises)]),
    }
    rows: list[dict[str, Any]] = [{"own": exercise} for exercise in spec.exercises]
    table = put_table(sheet, 3, 0, EXERCISE_COLUMNS, [*rows, *[{}] * _SPARE_EXERCISES], there, offered)
    sheet.heights[4] = 30
    sheet.frozen = (table.first, 1)
    sheet.landscape = True
    return table


def _numbers_sheet(sheet: Sheet, spec: Specification, mark: Cell) -> dict[str, Cell]:
    """Every number of the decisions, the usual one beside the coach's own; the cells in use, by key."""
    _explain(
        sheet,
        "Numbers",
        "The numbers of the load decision and of the next block. Leave Yours empty for the usual one.",
        4,
    )
    sheet.widths |= {1: 92, 2: 9, 3: 9, 4: 9}
    for column, text in enumerate(("Meaning (common practice unless a source is named)", "Usual", "Yours", "In use")):
        sheet.put(2, column + 1, text, "heading" if column else "heading left")
    places = {}
    put_value_key(sheet, 3, 3)
    for row, field in enumerate(NUMBER_FIELDS, start=4):
        usual_number, own_number = _usual_and_own(spec, field)
        sheet.put(row, 0, field.key, "key")
        sheet.put(row, 1, field.heading, "set")
        usual = sheet.put(row, 2, usual_number, "planned")
        own = sheet.put(row, 3, None if own_number is None else field.form.write(own_number), field.form.style)
        if isinstance(usual_number, (int, float)):
            places[field.key] = sheet.formula(
                row, 4, plan_cells.in_use, {"own": own, "usual": usual, "mark": mark}, "number"
            )
    sheet.frozen = (3, 0)
    return places


def _usual_and_own(spec: Specification, field: Column) -> tuple[Any, Any]:
    """A number's usual value, and the specification's where that is another; None for none."""
    part, name, *rest = field.key.split(".")
    own_part = getattr(spec, part)
    usual = type(own_part)().model_dump()[name]
    own = getattr(own_part, name)
    if rest:
        return None, own.get(rest[0])
    return usual, None if own == usual else own


def _decided_sheet(sheet: Sheet, last: LastBlock) -> None:
    """What was decided on the way from the last block, and why."""
    sheet.title(f"Decided after {last.title}", 2)
    sheet.put(1, 0, "Loads and bests already follow it. What you see otherwise, change on the Plan.", "soft")
    sheet.widths = {0: 36, 1: 62, 2: 52}
    for column, text in enumerate(("Exercise", "Decided", "Figures")):
        sheet.put(2, column, text, "heading left")
    for row, (what, why, figures) in enumerate(last.decided, start=3):
        sheet.put(row, 0, what, "label")
        sheet.put(row, 1, why, "wrapped")
        sheet.put(row, 2, figures, "wrapped")
        sheet.heights[row] = 15.5 * max(len(why) // 58 + 1, len(figures) // 48 + 1)
    sheet.frozen = (3, 0)
    sheet.landscape = True
