"""What the plan workbook works out while the coach types: checks, hard sets a muscle, minutes a session."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from blockbook.formula.definition import Definition
from blockbook.plan.columns import OF_NO_SESSION, PLAN, ROW_SESSION, SPARE_ROWS, TOTALS, WORKINGS
from blockbook.plan.keys import is_weekly, position_of
from blockbook.plan.lists import MUSCLES, Lists
from blockbook.plan.tables import TablePlace
from blockbook.sheet.book import Book, Cell, FixedRun, Reference, Run, RunDownHere
from blockbook.spec.catalogue import Muscle
from blockbook.spec.models import MOST_STAND_INS
from blockbook.spec.policy import Policy
from blockbook.spec.values import (
    EFFORT_STEP,
    LEAST_DROP,
    LEAST_EFFORT,
    LEAST_PERCENT,
    MOST_DROP,
    MOST_EFFORT,
    MOST_LOAD,
    MOST_PERCENT,
    MOST_RESERVE,
    MOST_SETS,
)
from blockbook.training import plan_cells, plan_checks, planned
from blockbook.training.volume import SHARES, summed

SPREAD_FIELDS = ("sets", "reps", "rpe", "back_off.sets", "back_off.reps", "back_off.rpe", "percent", "load")
"""Fields that take one value or one a week."""

_NUMBER_FIELDS = (*SPREAD_FIELDS, "loads", "back_off.drop", "reserve")
_TEXT_KEYS = (
    "session.name", ROW_SESSION, "slot.exercise", "slot.kind", "slot.rest", "slot.pair", "slot.stand_ins",
    "slot.feeler",
)  # fmt: skip
"""Cells of a row that what is worked out leans on."""

MOST_PUT_IN = 8
"""Rows that a coach may put in and everything is still worked out, beside the empty ones at the end."""

NOT_CHECKED = "Not checked here"
"""Beside a row behind those."""

_FIRST_MUSCLE_ROW = 4
_BESIDE = {"live.check": "verdict", "live.muscle": "set label", "live.sets": "number", "live.minutes": "number"}
"""What the Plan shows of each row, and how it looks."""


@dataclass(frozen=True)
class Numbers:
    """Cells that the counting leans on, named as in block and policy."""

    weeks: Cell
    deload_week: Cell
    deload_sets: Cell
    deload_rpe: Cell
    hard_set_rpe: Cell


def add_live(
    book: Book, table: TablePlace, lists: Lists, numbers: Numbers, weeks: int, muscles: Mapping[Muscle, float]
) -> None:
    """Fill the checks beside the rows of the Plan, and the sheet Week totals.

    weeks: how many have columns; muscles: hard sets a week in the last block, to stand beside the new ones.
    """
    _Live(book, table, lists, numbers, weeks, muscles).fill()


class _Live:
    def __init__(
        self,
        book: Book,
        table: TablePlace,
        lists: Lists,
        numbers: Numbers,
        weeks: int,
        muscles: Mapping[Muscle, float],
    ) -> None:
        self.plan, self.totals, self.workings = (book.sheets[name] for name in (PLAN, TOTALS, WORKINGS))
        self.table, self.lists = table, lists
        self.numbers = self._kept(numbers)
        self.weeks, self.muscles = range(1, weeks + 1), muscles
        self.columns: dict[str, int] = {}
        self.keys = {field: _keys_of(field, table) for field in _NUMBER_FIELDS}
        self.rows = range(table.first, table.last + 1 + MOST_PUT_IN)

    def fill(self) -> None:
        self.workings.title("Workings: nothing to type here", 12)
        self.workings.frozen = (self.table.first, 0)
        for row in self.rows:
            self._copy(row)
            self._work(row)
            self._minutes(row)
        self._total_sheet()
        for row in self.rows:
            self._verdict(row)
        for row in self.table.rows:
            self._beside(row)
        self._above_all()

    def _kept(self, numbers: Numbers) -> Numbers:
        """The numbers on the sheet Workings, where they stay when a coach deletes a row that holds one."""
        kept = {}
        for name, cell in vars(numbers).items():
            usual = Policy.model_fields[name].default if name in Policy.model_fields else ""
            own: dict[str, Reference] = {"own": cell, "usual": usual, "mark": self.lists.mark}
            kept[name] = self._put_above(name, plan_cells.in_use, own)
        return Numbers(**kept)

    def _put_above(self, name: str, definition: Definition, references: Mapping[str, Reference]) -> Cell:
        """A step that is about no row, above those that are."""
        column = sum(row == 1 for row, _ in self.workings.contents)
        self.workings.put(1, column, name, "heading")
        return self.workings.formula(2, column, definition, references, "working")

    def _put(self, name: str, row: int, definition: Definition, references: Mapping[str, Reference]) -> Cell:
        """A step of the working, in the row of the exercise that it is about."""
        column = self.columns.setdefault(name, len(self.columns))
        if row == self.table.first:
            self.workings.put(row - 1, column, name, "heading")
            self.workings.widths[column] = 9
        return self.workings.formula(row, column, definition, references, "working")

    def _cell(self, name: str, row: int) -> Cell:
        return Cell(WORKINGS, row, self.columns[name])

    def _at(self, key: str, row: int) -> Cell:
        """What stands in a row's cell of the Plan."""
        return self._cell(_here(key), row)

    def _run(self, name: str) -> Run:
        return Run(WORKINGS, self.rows[0], self.rows[-1], self.columns[name])

    def _copy(self, row: int) -> None:
        """What stands in the row's cells of the Plan, whichever row that is by now."""
        number_keys = [key for field in _NUMBER_FIELDS for key in self.keys[field]]
        for key in (*_TEXT_KEYS, *number_keys):
            cells = Run(PLAN, self.table.first - 1, self.rows[-1], self.table.columns[key])
            position = row - self.table.first + 2  # the hidden keys above are the first, so that rows can follow
            self._put(_here(key), row, plan_cells.stands_at, {"cells": cells, "position": position})
        for key in number_keys:
            said: dict[str, Reference] = {"cell": self._at(key, row), "mark": self.lists.mark}
            if is_weekly(key) and position_of(key):  # the first alone may stand for all
                in_week: dict[str, Reference] = {"week": position_of(key) + 1, "weeks": self.numbers.weeks}
                self._put(_as_number(key), row, plan_cells.number_in_week, said | in_week)
            else:
                self._put(_as_number(key), row, plan_cells.number_said, said)

    def _numbers_of(self, field: str, row: int) -> tuple[Cell, ...]:
        """What stands in the cells of a field, a number as one also where it is text."""
        return tuple(self._cell(_as_number(key), row) for key in self.keys[field])

    def _work(self, row: int) -> None:
        """Position of the exercise, how much is filled in, sets and hard sets of each week, what they count for."""
        lists, numbers = self.lists, self.numbers
        position = self._put("position", row, planned.exercise_position, {
            "name": self._at("slot.exercise", row), "catalogue": lists.catalogue, "own": lists.own,
            "before": len(lists.catalogue.cells()),
        })  # fmt: skip
        spread = {field: self._numbers_of(field, row) for field in SPREAD_FIELDS}
        written = {
            field: self._put(f"{field} written", row, plan_cells.filled, {"values": cells})
            for field, cells in spread.items()
        }
        (reserve,), (drop,) = self._numbers_of("reserve", row), self._numbers_of("back_off.drop", row)
        for week in self.weeks:
            at = week - 1
            top = self._put(f"sets {week}", row, planned.sets_planned, {
                "position": position, "first": spread["sets"][0], "here": spread["sets"][at],
                "written": written["sets"], "week": week, "weeks": numbers.weeks, "deload": numbers.deload_week,
                "deload_sets": numbers.deload_sets,
            })  # fmt: skip
            behind = self._put(f"back-off {week}", row, planned.back_off_planned, {
                "top": top, "drop": drop, "first": spread["back_off.sets"][0], "here": spread["back_off.sets"][at],
                "written": written["back_off.sets"], "week": week, "deload": numbers.deload_week,
                "deload_sets": numbers.deload_sets,
            })  # fmt: skip
            self._put(f"all {week}", row, summed, {"values": (top, behind)})
            hard = [
                self._put(f"hard {label} {week}", row, planned.hard_planned, {
                    "sets": sets, "first": spread[field][0], "here": spread[field][at], "written": written[field],
                    "reserve": left, "week": week, "deload": numbers.deload_week, "deload_rpe": numbers.deload_rpe,
                    "hard_set_rpe": numbers.hard_set_rpe,
                })
                for label, sets, field, left in (("top", top, "rpe", reserve), ("back-off", behind, "back_off.rpe", ""))
            ]  # fmt: skip
            self._put(f"hard {week}", row, summed, {"values": tuple(hard)})
        for muscle in MUSCLES:
            self._put(muscle, row, planned.credit_of, {"position": position, "entries": lists.muscles[muscle]})

    def _minutes(self, row: int) -> None:
        most = self._put("most sets", row, planned.fullest, {
            "values": tuple(self._cell(f"all {week}", row) for week in self.weeks),
        })  # fmt: skip
        self._put("minutes", row, planned.row_minutes, {
            "sets": most, "rest": self._at("slot.rest", row), "pair": self._at("slot.pair", row),
            "feeler": self._at("slot.feeler", row),
            "rests": self.lists.rests, "minutes": self.lists.rest_minutes,
        })  # fmt: skip
        first, last = self.rows[0], self.rows[-1]
        cells: dict[str, Reference] = {
            "of": self._at(ROW_SESSION, row), "name": self._at("session.name", row),
            "exercise": self._at("slot.exercise", row),
        }  # fmt: skip
        cells["name_above"] = "" if row == first else self._cell("session", row - 1)
        cells["empty_above"] = 1 if row == first else self._cell("empty", row - 1)
        self._put("empty", row, planned.empty_rows, {**cells, "above": cells["empty_above"]})
        begins = self._put("begins", row, planned.session_begins, cells)
        self._put("session", row, planned.session_name, {**cells, "begins": begins, "above": cells["name_above"]})
        self._put("named", row, planned.session_named, cells)
        below = row < last
        column = self.columns.setdefault("from here", len(self.columns))
        whole = self._put("from here", row, planned.minutes_from_here, {
            "minutes": self._cell("minutes", row),
            "begins_below": self._cell("begins", row + 1) if below else 0,
            "below": Cell(WORKINGS, row + 1, column) if below else 0,
        })  # fmt: skip
        self._put("live.minutes", row, planned.session_minutes, {"begins": begins, "minutes": whole})

    def _total_sheet(self) -> None:
        sheet = self.totals
        end = len(self.weeks) + 2
        sheet.title("Week totals: hard sets as you type", end)
        sheet.put(1, 0, f"Hard sets of each muscle in a week ({SHARES}).", "hint")
        sheet.put(2, 0, "Planned sets; those with a target effort below that of a hard set are left out.", "hint")
        self._total_headings()
        for row, muscle in enumerate(MUSCLES, start=_FIRST_MUSCLE_ROW):
            sheet.put(row, 0, muscle, "set")
            weekly = tuple(
                sheet.formula(row, week, planned.muscle_total, {
                    "credits": self._run(muscle), "hard": self._run(f"hard {week}"), **self._week(week),
                }, "number")
                for week in self.weeks
            )  # fmt: skip
            sheet.formula(row, len(weekly) + 1, planned.fullest, {"values": weekly}, "target")
            if self.muscles:
                sheet.put(row, len(weekly) + 2, self.muscles.get(muscle, 0), "planned")
        row = _FIRST_MUSCLE_ROW + len(MUSCLES)
        for offset, (label, of) in enumerate((("All sets", "all"), ("Hard sets", "hard"))):
            sheet.put(row + offset, 0, label, "bold")
            for week in self.weeks:
                run: dict[str, Reference] = {"values": self._run(f"{of} {week}"), **self._week(week)}
                sheet.formula(row + offset, week, planned.week_total, run, "number")
        sheet.heights[_FIRST_MUSCLE_ROW - 1] = 30
        sheet.frozen = (_FIRST_MUSCLE_ROW, 1)

    def _week(self, week: int) -> dict[str, Reference]:
        return {"week": week, "weeks": self.numbers.weeks}

    def _total_headings(self) -> None:
        sheet, row, fullest = self.totals, _FIRST_MUSCLE_ROW - 1, len(self.weeks) + 1
        sheet.put(row, 0, "Muscle", "heading left")
        for week in self.weeks:
            sheet.formula(row, week, planned.week_heading, self._week(week), "heading")
        sheet.put(row, fullest, "Fullest", "heading")
        if self.muscles:
            sheet.put(row, fullest + 1, "Last block, a week", "heading")
        sheet.widths |= {0: 20, **dict.fromkeys(range(1, fullest + 1 + bool(self.muscles)), 9)}

    def _verdict(self, row: int) -> None:
        """What is shown beside the row: its muscle with the whole plan's sets of it, and what it lacks."""
        muscle = self._put("live.muscle", row, planned.looked_up, {
            "position": self._cell("position", row), "entries": self.lists.main,
        })  # fmt: skip
        last = _FIRST_MUSCLE_ROW + len(MUSCLES) - 1
        self._put("live.sets", row, planned.peak_of, {
            "muscle": muscle, "muscles": Run(TOTALS, _FIRST_MUSCLE_ROW, last, 0),
            "peaks": Run(TOTALS, _FIRST_MUSCLE_ROW, last, len(self.weeks) + 1),
        })  # fmt: skip
        lacks = self._put("lacks", row, plan_checks.row_lacks, self._said(row))
        column = self.columns.setdefault("trouble below", len(self.columns))
        below = row < self.rows[-1]
        trouble = self._put("trouble below", row, plan_checks.trouble_below, {
            "of": self._at(ROW_SESSION, row + 1) if below else "",
            "lacks": self._cell("lacks", row + 1) if below else "",
            "further": Cell(WORKINGS, row + 1, column) if below else "",
        })  # fmt: skip
        self._put("live.check", row, plan_checks.check_said, {"lacks": lacks, "below": trouble})

    def _beside(self, row: int) -> None:
        """The same on the Plan. A row that is put in has nothing there until a cell is copied to it."""
        above, columns = self.table.first - 1, self.table.columns
        down_here = RunDownHere(PLAN, above, row, columns["slot.exercise"])
        for name, style in _BESIDE.items():
            said = FixedRun(WORKINGS, above, self.rows[-1], self.columns[name])
            otherwise = NOT_CHECKED if name == "live.check" else ""
            of_row: dict[str, Reference] = {"said": said, "down_here": down_here, "otherwise": otherwise}
            self.plan.formula(row, columns[name], plan_cells.beside, of_row, style)

    def _above_all(self) -> None:
        """Above the first check, what a row lacks that was put in before all others."""
        first = self.rows[0]
        trouble = self._put_above("trouble on top", plan_checks.trouble_below, {
            "of": self._at(ROW_SESSION, first), "lacks": self._cell("lacks", first),
            "further": self._cell("trouble below", first),
        })  # fmt: skip
        said: dict[str, Reference] = {"lacks": "", "below": trouble}
        row, column = self.table.first - 3, self.table.columns["live.check"]
        self.plan.formula(row, column, plan_checks.check_said, said, "group")

    def _said(self, row: int) -> dict[str, Reference]:
        """What the check of a row says is taken from."""
        counts = {name: self._cell(f"{name} written", row) for name in SPREAD_FIELDS}
        first = {name: self._numbers_of(name, row)[0] for name in SPREAD_FIELDS}
        (drop,), (reserve,) = self._numbers_of("back_off.drop", row), self._numbers_of("reserve", row)
        cells: dict[str, Reference] = {
            "drop": drop, "reserve": reserve, "percent": counts["percent"], "load": counts["load"],
        }  # fmt: skip
        ways = self._put("ways", row, plan_checks.ways_filled, cells)
        parts = self._put("back-off parts", row, plan_checks.back_off_filled, {
            **cells, "sets": counts["back_off.sets"], "reps": first["back_off.reps"],
        })  # fmt: skip
        ill = [
            self._put(f"{name} uneven", row, plan_checks.ill_spread, {
                "written": counts[name], "first": first[name], "weeks": self.numbers.weeks,
            })
            for name in SPREAD_FIELDS if not name.endswith("reps")
        ]  # fmt: skip
        ranges = self._found("range", row, ("reps", "back_off.reps"), plan_checks.is_range, {})
        return {
            "exercise": self._at("slot.exercise", row), "position": self._cell("position", row),
            "typed": self._put("typed", row, summed, {"values": (*counts.values(), ways)}),
            "unclear": self._unclear(row), "sets": counts["sets"], "reps": first["reps"], "effort": counts["rpe"],
            "one_set": self._put("one set", row, plan_checks.one_set_is_meant, {"drop": drop, "reserve": reserve}),
            "ranges": ranges,
            "ill": self._put("uneven", row, summed, {"values": tuple(ill)}), "odd": self._odd(row),
            "ways": ways, "parts": parts,
            "of_kind": self._put("of kind", row, plan_checks.kind_lacks, {
                **cells, "kind": self._at("slot.kind", row), "parts": parts, "ranges": ranges,
            }),
            "odd_stand_ins": self._stand_ins_unknown(row),
        }  # fmt: skip

    def _odd(self, row: int) -> Cell:
        """What the first field may hold that holds something else."""
        effort = {"least": LEAST_EFFORT, "most": MOST_EFFORT, "step": EFFORT_STEP}
        sets = {"least": 0, "most": MOST_SETS, "step": 1}
        percent, load = {"least": LEAST_PERCENT, "most": MOST_PERCENT}, {"least": 0, "most": MOST_LOAD}
        drop, reserve = {"least": LEAST_DROP, "most": MOST_DROP}, {"least": 0, "most": MOST_RESERVE}
        counts = {"counts": self.lists.reps}
        return self._put("odd", row, plan_checks.odd_field, {
            "sets": self._odd_in(row, ("sets", "back_off.sets"), plan_checks.not_in_steps, sets),
            "reps": self._odd_in(row, ("reps", "back_off.reps"), plan_checks.no_reps, counts),
            "most_reps": self._put("most reps", row, planned.fullest, {
                "values": (*self._numbers_of("reps", row), *self._numbers_of("back_off.reps", row)),
            }),
            "effort": self._odd_in(row, ("rpe", "back_off.rpe"), plan_checks.not_in_steps, effort),
            "percent": self._odd_in(row, ("percent",), plan_checks.not_within, percent),
            "load": self._odd_in(row, ("load", "loads"), plan_checks.not_within, load),
            "drop": self._odd_in(row, ("back_off.drop",), plan_checks.not_within, drop),
            "reserve": self._odd_in(row, ("reserve",), plan_checks.not_within, reserve),
        })  # fmt: skip

    def _unclear(self, row: int) -> Cell:
        return self._put("unclear", row, planned.session_unclear, {
            "name": self._at("session.name", row), "of": self._at(ROW_SESSION, row),
            "named": self._run("named"), "none": OF_NO_SESSION, "spare": SPARE_ROWS,
            "empty_above": 1 if row == self.rows[0] else self._cell("empty", row - 1),
        })  # fmt: skip

    def _count_of(self, name: str, row: int, found: tuple[Cell, ...]) -> Cell:
        """How many of the cells are 1; one of a column that was deleted is an error, and not counted."""
        return self._put(name, row, plan_cells.filled, {"values": found})

    def _odd_in(self, row: int, fields: tuple[str, ...], is_odd: Definition, bounds: Mapping[str, Reference]) -> Cell:
        """In how many cells of some fields something odd is found."""
        return self._found("odd", row, fields, is_odd, bounds)

    def _found(
        self, what: str, row: int, fields: tuple[str, ...], is_it: Definition, more: Mapping[str, Reference]
    ) -> Cell:
        """In how many cells of some fields it is found."""
        found = tuple(
            self._put(f"{field} {number} {what}", row, is_it, {"cell": cell, **more})
            for field in fields for number, cell in enumerate(self._numbers_of(field, row), start=1)
        )  # fmt: skip
        return self._count_of(f"{what} {fields[0]}", row, found)

    def _stand_ins_unknown(self, row: int) -> Cell:
        found = tuple(
            self._put(f"stand-in {number} unknown", row, plan_checks.stand_in_unknown, {
                "names": self._at("slot.stand_ins", row), "number": number,
                "catalogue": self.lists.catalogue, "own": self.lists.own,
            })
            for number in range(1, MOST_STAND_INS + 1)
        )  # fmt: skip
        return self._count_of("odd stand-ins", row, found)


def _keys_of(field: str, table: TablePlace) -> list[str]:
    """The key of each cell that a field of a slot takes."""
    key = f"slot.{field}"
    return [each for each in table.columns if re.fullmatch(rf"{re.escape(key)}(\.\d+)?", each)]


def _here(key: str) -> str:
    """What the copy of a cell is called: not as the cell's key, or a reader would take it for that."""
    return f"{key} here"


def _as_number(key: str) -> str:
    return f"{key} as a number"
