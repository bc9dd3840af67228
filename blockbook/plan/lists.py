"""The sheet Lists: what drop-downs offer, and what each exercise counts for."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import get_args

from blockbook.assessment.weekly_sets import muscle_share
from blockbook.plan.columns import EXERCISES, LISTS
from blockbook.plan.tables import TablePlace
from blockbook.sheet.book import Book, Cell, FixedRun, Reference, Run, Sheet
from blockbook.spec.catalogue import Muscle, shipped
from blockbook.spec.models import Specification
from blockbook.spec.values import MOST_REPS_PLANNED
from blockbook.training.plan_cells import mark_of_decimals, stands_at
from blockbook.training.plan_checks import own_exercise_lacks
from blockbook.training.planned import USUAL_RESTS, muscle_credit

MUSCLES: tuple[Muscle, ...] = get_args(Muscle)
DIRECT_CELLS, INDIRECT_CELLS = 4, 4
"""Muscles of an own exercise that have cells; more of them are kept, the first of them counted on the sheet."""

_FIRST = 2
_MUSCLE_COLUMN = 3
_REST_COLUMN = _MUSCLE_COLUMN + len(MUSCLES) + 1
_NAMES_COLUMN = _REST_COLUMN + 3
_REPS_COLUMN = _NAMES_COLUMN + 2
_MARK_COLUMN = _REPS_COLUMN + 2
_OWN_COLUMN = _MARK_COLUMN + 2


@dataclass(frozen=True)
class Lists:
    """Where the lists stand. exercises: the catalogue's, then the coach's own; each row with its muscles.

    main: the muscle an exercise counts for first; muscles: muscle -> what a set of each exercise counts for it; reps:
    every number that reps can be, as text; mark: the one of decimals.
    """

    exercises: Run
    catalogue: Run
    own: Run
    main: Run
    muscles: Mapping[Muscle, Run]
    muscle_names: Run
    rests: Run
    rest_minutes: Run
    reps: Run
    mark: Cell

    @property
    def offered(self) -> dict[str, Run]:
        return {"exercises": self.exercises, "rests": self.rests}


def place_lists(spec: Specification, own_rows: int) -> Lists:
    """Where everything will stand, with room for so many exercises of the coach's own."""
    between = _FIRST + len(shipped())
    last = between + own_rows - 1
    end = _FIRST + len(_rests(spec)) - 1
    return Lists(
        exercises=Run(LISTS, _FIRST, last, 0),
        catalogue=Run(LISTS, _FIRST, between - 1, 0),
        own=Run(LISTS, between, last, 0),
        main=Run(LISTS, _FIRST, last, 1),
        muscles={muscle: Run(LISTS, _FIRST, last, _MUSCLE_COLUMN + n) for n, muscle in enumerate(MUSCLES)},
        muscle_names=Run(LISTS, _FIRST, _FIRST + len(MUSCLES) - 1, _NAMES_COLUMN),
        rests=Run(LISTS, _FIRST, end, _REST_COLUMN),
        rest_minutes=Run(LISTS, _FIRST, end, _REST_COLUMN + 1),
        reps=Run(LISTS, _FIRST, _FIRST + MOST_REPS_PLANNED - 1, _REPS_COLUMN),
        mark=Cell(LISTS, _FIRST, _MARK_COLUMN),
    )


def add_lists(book: Book, spec: Specification, lists: Lists, own: TablePlace) -> None:
    sheet = book.sheets[LISTS]
    sheet.title("Lists: nothing to type here", _MUSCLE_COLUMN + len(MUSCLES))
    sheet.frozen = (2, 1)
    sheet.widths = {0: 30, 1: 15, 2: 2, _REST_COLUMN - 1: 2, _REST_COLUMN: 12, _REST_COLUMN + 1: 9,
                    _NAMES_COLUMN - 1: 2, _NAMES_COLUMN: 15, _REPS_COLUMN - 1: 2, _REPS_COLUMN: 9,
                    _MARK_COLUMN - 1: 2, _MARK_COLUMN: 9, _OWN_COLUMN - 1: 2}  # fmt: skip
    sheet.put(1, 0, "Exercise", "heading left")
    sheet.put(1, 1, "Trains most", "heading")
    for muscle, run in lists.muscles.items():
        sheet.put(1, run.column, muscle, "heading")
        sheet.widths[run.column] = 10.5
    for row, exercise in enumerate(shipped().values(), start=lists.catalogue.first_row):
        sheet.put(row, 0, exercise.name, "set")
        sheet.put(row, 1, exercise.direct[0], "set")
        for muscle, run in lists.muscles.items():
            sheet.put(row, run.column, muscle_share(exercise, muscle), "number")
    _own_exercises(sheet, lists, own)
    sheet.put(1, _NAMES_COLUMN, "Muscle", "heading left")
    for row, muscle in enumerate(MUSCLES, start=_FIRST):
        sheet.put(row, _NAMES_COLUMN, muscle, "set")
    sheet.put(1, _REPS_COLUMN, "Reps", "heading")
    for reps in range(1, MOST_REPS_PLANNED + 1):
        sheet.put(_FIRST + reps - 1, _REPS_COLUMN, str(reps), "set")
    sheet.put(1, _MARK_COLUMN, "Decimals", "heading")
    sheet.put(1, _OWN_COLUMN, "Your own: muscles", "heading left")
    sheet.formula(lists.mark.row, lists.mark.column, mark_of_decimals, {}, "set")
    for row in own.rows:
        _check_own(book, row, lists, own)
    sheet.put(1, _REST_COLUMN, "Rest", "heading left")
    sheet.put(1, _REST_COLUMN + 1, "Minutes", "heading")
    for row, (text, minutes) in enumerate(_rests(spec).items(), start=_FIRST):
        sheet.put(row, _REST_COLUMN, text, "set")
        sheet.put(row, _REST_COLUMN + 1, minutes, "number")


def _own_exercises(sheet: Sheet, lists: Lists, own: TablePlace) -> None:
    """The coach's own, row by row, whichever they are by now: some may have been put in, and others deleted."""
    for number, row in enumerate(range(lists.own.first_row, lists.own.last_row + 1)):
        shown = {0: own.cell("own.name", own.first), 1: own.cell("own.direct.1", own.first)}
        shown |= dict(enumerate(_muscle_cells(own, own.first), start=_OWN_COLUMN))
        for column, first in shown.items():
            cells = Run(EXERCISES, own.first - 1, own.last, first.column)
            sheet.formula(row, column, stands_at, {"cells": cells, "position": number + 2}, "set")
        muscles = [Cell(LISTS, row, column) for column in shown if column >= _OWN_COLUMN]
        for muscle, run in lists.muscles.items():
            names: dict[str, Reference] = dict(zip(muscle_credit.names, (muscle, *muscles), strict=True))
            sheet.formula(row, run.column, muscle_credit, names, "number")


def _muscle_cells(own: TablePlace, row: int) -> tuple[Cell, ...]:
    return (*own.spread("own.direct", row)[:DIRECT_CELLS], *own.spread("own.indirect", row)[:INDIRECT_CELLS])


def _check_own(book: Book, row: int, lists: Lists, own: TablePlace) -> None:
    """Beside one of the coach's own exercises, what it lacks."""
    cells: tuple[Reference, ...] = (
        own.cell("own.name", row), own.cell("own.implement", row), *_muscle_cells(own, row),
        own.cell("own.related", row), FixedRun(*lists.muscle_names), FixedRun(*lists.catalogue), FixedRun(*lists.own),
    )  # fmt: skip
    names = dict(zip(own_exercise_lacks.names, cells, strict=True))
    book.sheets[EXERCISES].formula(row, own.columns["live.own"], own_exercise_lacks, names, "verdict")


def _rests(spec: Specification) -> dict[str, float]:
    """The usual rests, and those of this plan that say minutes or seconds."""
    written = {slot.rest: _minutes(slot.rest) for slot in spec.slots if slot.rest}
    return USUAL_RESTS | {text: minutes for text, minutes in written.items() if minutes is not None}


def _minutes(rest: str) -> float | None:
    """ "2 min", "90 s", "2-3 min" in minutes, None for anything else."""
    found = re.fullmatch(r"([\d.]+)(?:\s*[-–]\s*([\d.]+))?\s*(s|sec|seconds|min|minutes)", rest.strip())
    if not found:
        return None
    try:
        amount = (float(found[1]) + float(found[2] or found[1])) / 2
    except ValueError:
        return None
    return amount / 60 if found[3].startswith("s") else amount
