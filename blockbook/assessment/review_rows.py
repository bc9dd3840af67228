"""What the review's pages share: where its decisions stand, and the list of exercises with their muscles."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple, get_args

from blockbook.assessment.decided import NONE
from blockbook.assessment.outlook import Outlook
from blockbook.assessment.weekly_sets import muscle_share
from blockbook.intake.log import BlockLog
from blockbook.sheet.book import Book, Cell, Run, Table
from blockbook.sheet.fitting import height
from blockbook.spec.catalogue import Exercise, Implement, Muscle
from blockbook.spec.models import Equipment, Specification
from blockbook.training.loading import Ladder, ladder, looked_up
from blockbook.training.volume import SHARES
from blockbook.workbook.week_words import capital

EXERCISES, LOADS = "Exercises", "Loads"
MUSCLES: tuple[Muscle, ...] = get_args(Muscle)
_FIRST_ROW = 3
_FIRST_MUSCLE = 2


def or_dash(value: float | None) -> float | str:
    return NONE if value is None else value


@dataclass(frozen=True)
class Decided:
    """One block in the review: the cell with the word on a deload, and each exercise's decided cells by name."""

    log: BlockLog
    outlook: Outlook
    earlier: tuple[BlockLog, ...]
    deload: Cell
    cells: Mapping[str, Mapping[str, Cell]]


@dataclass(frozen=True)
class Listed:
    """The exercises that can be chosen: one list, or several where coaches' own ones differ."""

    lists: tuple[tuple[Exercise, ...], ...]

    def names(self, spec: Specification) -> Run:
        return self._run(spec, 0)

    def shares(self, spec: Specification, muscle: Muscle) -> Run:
        """What a set counts for a muscle, for each exercise of the list."""
        return self._run(spec, _FIRST_MUSCLE + MUSCLES.index(muscle))

    def _run(self, spec: Specification, column: int) -> Run:
        position = self.lists.index(_catalogue(spec))
        first = _FIRST_ROW + sum(len(each) for each in self.lists[:position])
        return Run(EXERCISES, first, first + len(self.lists[position]) - 1, column)

    def add_to(self, book: Book) -> None:
        """The sheet of the exercises, last in the workbook."""
        sheet = book.add(EXERCISES)
        sheet.title("Exercises that can be chosen", _FIRST_MUSCLE + len(MUSCLES) - 1)
        sheet.put(1, 0, f"What a set counts for a muscle ({SHARES}).", "hint")
        sheet.widths = {0: 34.0, 1: 12.0} | dict.fromkeys(range(2, 2 + len(MUSCLES)), 11.0)
        sheet.frozen = (_FIRST_ROW, 1)
        sheet.repeat_rows = (_FIRST_ROW - 1, _FIRST_ROW - 1)
        sheet.landscape = True
        for column, heading in enumerate(("Exercise", "Implement", *map(str.capitalize, MUSCLES))):
            sheet.put(_FIRST_ROW - 1, column, heading, "heading")
        sheet.heights[_FIRST_ROW - 1] = 30
        everyone = [exercise for each in self.lists for exercise in each]
        for row, exercise in enumerate(everyone, start=_FIRST_ROW):
            sheet.put(row, 0, capital(exercise.name), "set wrapped")
            sheet.heights[row] = height([(exercise.name, sheet.widths[0])])
            sheet.put(row, 1, exercise.implement, "set")
            for column, muscle in enumerate(MUSCLES, start=_FIRST_MUSCLE):
                sheet.put(row, column, muscle_share(exercise, muscle), "number or none")


class _OneLadder(NamedTuple):
    equipment: Equipment
    implement: Implement
    loads: Ladder
    table: Table


class Loads:
    """Every load that can be made, for each equipment and implement of the blocks: a sheet beside the exercises."""

    def __init__(self, specs: Sequence[Specification]) -> None:
        self._ladders: list[_OneLadder] = []
        for spec in specs:
            for implement in get_args(Implement):
                rungs = ladder(implement, spec.equipment)
                if rungs and self._of(spec.equipment, implement) is None:
                    first, loads = 4 * len(self._ladders), looked_up(rungs)
                    table = Table(LOADS, _FIRST_ROW, _FIRST_ROW + len(rungs), first, first + 2)
                    self._ladders.append(_OneLadder(spec.equipment, implement, loads, table))

    def _of(self, equipment: Equipment, implement: Implement) -> Table | None:
        found = (each.table for each in self._ladders if (each.equipment, each.implement) == (equipment, implement))
        return next(found, None)

    def table(self, spec: Specification, exercise: str) -> Table | None:
        """What can be loaded for an exercise; None for a band."""
        return self._of(spec.equipment, spec.exercise(exercise).implement)

    def add_to(self, book: Book) -> None:
        sheet = book.add(LOADS)
        sheet.hidden = True  # nothing to type or read there: what cannot be loaded is said on the sheet Review
        sheet.title("Loads that can be made", max(2, 4 * len(self._ladders) - 2))
        sheet.frozen = (_FIRST_ROW, 0)
        sheet.repeat_rows = (_FIRST_ROW - 1, _FIRST_ROW - 1)
        for each in self._ladders:
            at_least, made, above, _ = each.loads
            columns = (("From", at_least), (each.implement.capitalize(), made), ("Next above", above))
            for column, (heading, values) in enumerate(columns, start=each.table.first_column):
                sheet.put(_FIRST_ROW - 1, column, heading, "heading")
                sheet.widths[column] = 12.0
                for row, value in enumerate(values, start=_FIRST_ROW):
                    sheet.put(row, column, value, "number")


def list_exercises(specs: Sequence[Specification]) -> Listed:
    return Listed(tuple(dict.fromkeys(_catalogue(spec) for spec in specs)))


def _catalogue(spec: Specification) -> tuple[Exercise, ...]:
    return tuple(spec.catalogue.values())
