"""A small plan workbook, and cells of it found by what they hold. The lifter and all numbers are invented."""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from functools import cache
from pathlib import Path
from typing import Any, TypeAlias

from openpyxl import load_workbook

from blockbook.intake.opening import Grid
from blockbook.plan.plan_workbook import TypedSheets, plan_book, plan_bytes, typed_sheets
from blockbook.sheet.book import Book, Cell, Formula
from blockbook.spec.loading import parse_spec
from blockbook.spec.models import Specification
from tests.plan.specifications import ODD_TEXT

SMALL_PLAN = """\
block: {title: Small plan, start: 2027-01-04, weeks: 4, deload_week: 4}
lifter:
  name: Robin Sample
  body_weight: 70
  bests: {back squat: 120, bench press: {load: 80, reps: 3, rpe: 9}}
equipment:
  bar: 20
  plates: {25: 3, 20: 1, 10: 1, 5: 1, 2.5: 1, 1.25: 1}
  dumbbells: {lightest: 2, heaviest: 40, step: 2}
  stack: {lightest: 5, heaviest: 200, step: 5}
  added_weight: {lightest: 0, heaviest: 60, step: 1.25}
sessions:
  - name: Lower
    day: mon
    slots:
      - {exercise: back squat, reps: 5, rpe: [7, 8, 8, 6], back_off: {sets: 2, reps: 6, drop: 10}, rest: 3 min}
      - {exercise: sled push, sets: 3, reps: 8-12, rpe: 8}
  - name: Upper
    slots:
      - {exercise: bench press, sets: [4, 4, 5, 2], reps: 5, percent: 75, rest: 2 min}
      - {exercise: pull-up, sets: 2, reps: 8, reserve: 2, pair: a}
      - {exercise: face pull, sets: 2, reps: 15, rpe: 5.5, pair: a}
exercises:
  - {name: sled push, implement: stack, direct: [glutes, quadriceps], indirect: [calves]}
"""

SQUAT, SLED, BENCH, PULL_UP, FACE_PULL = 0, 1, 4, 5, 6
"""Rows of the exercises, counted from the first; two spare rows follow each session."""


def small_plan(text: str = SMALL_PLAN) -> Specification:
    return parse_spec(text)


@cache
def small_sheets() -> TypedSheets:
    return typed_sheets(small_plan())


def grids_of(made: TypedSheets) -> dict[str, Grid]:
    """The sheets as the one door shows them to the reader, without the way through a file."""
    grids = {}
    for sheet in made.book.sheets.values():
        rows = 1 + max((row for row, _ in sheet.contents), default=0)
        columns = 1 + max((column for _, column in sheet.contents), default=0)
        grid: Grid = [[""] * columns for _ in range(rows)]
        for (row, column), content in sheet.contents.items():
            grid[row][column] = "" if content is None or isinstance(content, Formula) else content
        grids[sheet.name] = grid
    return grids


def place_of(key: str, row: int = 0) -> Cell:
    """The cell of a key of the small plan: in the row of an exercise, or of a list of fields."""
    made = small_sheets()
    if key in made.plan.columns:
        return made.plan.cell(key, made.plan.first + row)
    for sheet in made.book.sheets.values():
        for (key_row, column), content in sheet.contents.items():
            if content == key:
                if key.startswith(("block.", "lifter.", "equipment.")):
                    return Cell(sheet.name, key_row, column + 2)
                if key.startswith(("policy.", "next_block.")):
                    return Cell(sheet.name, key_row, column + 3)
                return Cell(sheet.name, key_row + 1 + row, column)
    raise KeyError(key)


Typed: TypeAlias = Mapping[Any, Any]
"""Key, or key and row -> what is typed into the cell instead."""


def typed_in(cells: Typed) -> dict[str, Grid]:
    """The small plan's sheets with something else typed into some cells."""
    grids = grids_of(small_sheets())
    for key, value in cells.items():
        cell = place_of(key) if isinstance(key, str) else place_of(*key)
        grids[cell.sheet][cell.row][cell.column] = "" if value is None else value
    return grids


@cache
def _small_book() -> Book:
    return plan_book(small_plan())


def typed_into(cells: Typed) -> Book:
    """The same as a book that works out what it shows."""
    book = copy(_small_book())
    book.sheets = {name: copy(sheet) for name, sheet in book.sheets.items()}
    for sheet in book.sheets.values():
        sheet.contents = dict(sheet.contents)
    for key, value in cells.items():
        cell = place_of(key) if isinstance(key, str) else place_of(*key)
        book.sheets[cell.sheet].contents[cell.row, cell.column] = value
    return book


@cache
def _small_bytes() -> bytes:
    return plan_bytes(small_plan())


def written(folder: Path, cells: Typed | None = None) -> Path:
    """The same in a file, typed by another program."""
    path = folder / "plan.xlsx"
    path.write_bytes(_small_bytes())
    if cells:
        book = load_workbook(path)
        for key, value in cells.items():
            cell = place_of(key) if isinstance(key, str) else place_of(*key)
            book[cell.sheet][cell.address] = value
        book.save(path)
    return path


def odd_plan() -> Specification:
    """The small plan with text and numbers that programs like to change."""
    data = small_plan().to_data()
    data["block"] |= {"title": "=1+1", "note": "  two\nlines\r\nand\ta tab ", "meet": "2027-06-05"}
    data["lifter"] |= {"name": '"Robin"', "body_weight": 0.1 + 70.2, "curve": 2 / 3, "effort_bias": -0.1}
    data["lifter"]["bests"]["bench press"] |= {"spread": 0.021, "on": "2026-12-31"}
    data["policy"] = {"most_rise": 0.1 / 3, "gap_days": 12}
    odd = iter(ODD_TEXT)
    for session in data["sessions"]:
        for slot in session["slots"]:
            slot |= {"cue": next(odd), "private_note": next(odd), "rest": next(odd)[:20], "tempo": "3-1-1"}
    lower = data["sessions"][0]
    data["sessions"] = [*data["sessions"], {**lower, "day": "fri"}, {**lower, "id": "again"}]
    return Specification.model_validate(data)
