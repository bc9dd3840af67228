"""One sheet of a plan workbook: its lists of fields and its tables as plain data, wherever on it their keys stand."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from datetime import date
from typing import Any, TypeAlias

from blockbook.intake.opening import Grid
from blockbook.plan.cells import DATE, NotSaid, said_date
from blockbook.plan.columns import (
    BEST_COLUMNS,
    EXERCISE_COLUMNS,
    FIELD_VALUE,
    NUMBER_FIELDS,
    PLAN_COLUMNS,
    PLATE_COLUMNS,
    WEEKLY,
    Column,
    typed,
)
from blockbook.plan.keys import COLUMNS, FIELDS, column_of, position_of
from blockbook.plan.row_sessions import RowSessions, same_name
from blockbook.plan.source import PUT_BACK, UNREADABLE, Place, PlanSource
from blockbook.sheet.book import Cell
from blockbook.spec.documents import Location

_TABLE_KEYS = ("slot.exercise", "best.exercise", "plate.weight", "own.name")
"""Each stands above one table alone."""

Columns: TypeAlias = Mapping[int, int]
"""Where a column of `columns` stands: which of its cells, from 0 -> column of the sheet."""

_WHICH_COUNTS = "which one counts? Delete one of the two."
_KEYS_GONE = (
    "the hidden keys of this sheet, in a column left of the names, are gone, so nothing of it can be read. Take it "
    "from an earlier copy, or from a new plan (blockbook new)."
)


class SheetReader:
    """One sheet: its lists of fields and its tables, wherever on it their keys stand."""

    def __init__(
        self, source: PlanSource, order: int, sheet: str, grid: Grid, formulas: Collection[tuple[int, int]]
    ) -> None:
        self.source, self.order, self.sheet, self.grid, self.formulas = source, order, sheet, grid, formulas
        self.is_copied = False

    def read(self) -> None:
        value_columns: list[Place] = []
        fields = 0
        for row, values in enumerate(self.grid):
            keys = {column: value for column, value in enumerate(values) if isinstance(value, str)}
            for column, key in keys.items():
                if key == FIELD_VALUE:
                    value_columns.append(self._place(row, column, "Value"))
                elif key in FIELDS:
                    fields += 1
                    if not self._is_copy(key, row, column, FIELDS[key].heading):
                        self._field(row, column, FIELDS[key], value_columns[-1].cell.column if value_columns else None)
            held = {column: key for column, key in keys.items() if column_of(key)}
            if len(held) > 1 and not any(
                self._is_copy(key, row, column, COLUMNS[key].heading)
                for column, key in held.items() if key in _TABLE_KEYS
            ):  # fmt: skip
                self._table(row, held)
        if value_columns and not fields:
            self.source.mistakes.append((value_columns[0], _KEYS_GONE))

    def _is_copy(self, key: str, row: int, column: int, heading: str) -> bool:
        """Whether a key was met before: it is told, of a copied sheet once."""
        place = self._place(row, column, heading)
        first = self.source.keys.setdefault(key, place)
        if first is place:
            return False
        if first.order == self.order or not self.is_copied:
            self.source.mistakes.append((place, f"stands here and in {first}, hidden key and all: {_WHICH_COUNTS}"))
        self.is_copied = self.is_copied or first.order != self.order
        return True

    def _place(self, row: int, column: int, heading: str) -> Place:
        return Place(self.order, Cell(self.sheet, row, column), " ".join(heading.split()))

    def _at(self, row: int, column: int) -> Any:
        """What stands in a cell; None for an empty one."""
        values = self.grid[row] if row < len(self.grid) else []
        content = values[column] if column < len(values) else None
        return None if content is None or (isinstance(content, str) and not content.strip()) else content

    def _field(self, row: int, column: int, field: Column, value_column: int | None) -> None:
        location = field.key.split(".")
        if value_column is None:  # of a plan that has no key above its values, where no column was put in
            value_column = column + (3 if field in NUMBER_FIELDS else 2)
        said: dict[str, Any] = {}
        self._take(said, location, row, {0: value_column}, field)
        if said:  # a part of which nothing is said is not there: no dumbbells, say
            self._inside(self.source.data, location[:-1]).update(said)

    @staticmethod
    def _inside(data: dict[str, Any], path: Sequence[str]) -> dict[str, Any]:
        for name in path:
            data = data.setdefault(name, {})
        return data

    def _take(self, into: dict[str, Any], location: Location, row: int, columns: Columns, said: Column) -> None:
        """Put what the cells of a field say into plain data, and remember where it stands."""
        filled: dict[int, Any] = {}
        for number, column in columns.items():
            heading = f"{said.heading}, {said.spread.each}{number + 1}" if said.spread else said.heading
            place = self._place(row, column, heading)
            own = (*location, number + 1 if said.key == "slot.loads" else number) if said.spread else tuple(location)
            if said.spread and number == min(columns):
                self.source.put(location, place)
            self.source.put(own, place)
            content = self._at(row, column)
            if content is None and (row, column) in self.formulas:
                self.source.remarks.append((place, "a formula here shows nothing, or an error: taken as empty."))
            if content is not None:
                try:
                    filled[number] = said.form.read(content)
                except NotSaid as error:
                    self.source.mistakes.append((place, str(error)))
                    filled[number] = UNREADABLE
                else:
                    if isinstance(content, date) and said.form is not DATE:
                        remark = f"a program made a date of it, {said_date(content)}: taken as {filled[number]}"
                        self.source.remarks.append((place, f"{remark}."))
        if not filled:
            return
        try:
            into[str(location[-1])] = said.spread.joined(filled) if said.spread else filled[0]
        except NotSaid as error:
            gap = min(set(range(max(filled))) - set(filled))
            if gap in columns:
                self.source.mistakes.append((self.source.at((*location, gap)), str(error)))
            else:
                self.source.mistakes.append((self.source.at(location), _column_gone(gap)))
            into[str(location[-1])] = UNREADABLE

    def _table(self, key_row: int, keys: Mapping[int, str]) -> None:
        columns: dict[str, dict[int, int]] = {}
        for column, key in sorted(keys.items(), key=lambda item: position_of(item[1])):
            if not (found := column_of(key)):
                continue
            there = columns.setdefault(found.key, {})
            first = there.setdefault(position_of(key), column)
            if first != column:
                place, other = (self._place(key_row, each, found.heading) for each in (column, first))
                self.source.mistakes.append((place, f"stands here and in {other}, hidden key and all: {_WHICH_COUNTS}"))
        for name, there in columns.items():
            if COLUMNS[name].spread is WEEKLY and 0 not in there:
                place = self._place(key_row, min(there.values()), COLUMNS[name].heading)
                self.source.mistakes.append((place, _column_gone(0)))
        if "slot.exercise" in columns and "session.name" not in columns:
            place = self._place(key_row, 0, "Session")
            self.source.mistakes.append((place, f"the column Session, or its hidden key, is gone. {PUT_BACK}"))
            self.source.data["sessions"] = UNREADABLE
        elif "slot.exercise" in columns:
            self._plan(key_row, _of(PLAN_COLUMNS, columns))
        elif "best.exercise" in columns:
            self._bests(key_row + 1, _of(BEST_COLUMNS, columns))
        elif "plate.weight" in columns:
            self._plates(key_row + 1, _of(PLATE_COLUMNS, columns))
        elif "own.name" in columns:
            self._exercises(key_row + 1, _of(EXERCISE_COLUMNS, columns))

    def _is_empty(self, row: int, columns: Mapping[Column, Columns]) -> bool:
        return all(self._at(row, column) is None for places in columns.values() for column in places.values())

    def _rows(self, first: int, columns: Mapping[Column, Columns]) -> Iterator[tuple[int, bool]]:
        """Rows of a table, each with whether it holds anything; up to the next table or list of fields."""
        for row in range(first, len(self.grid)):
            if any(isinstance(value, str) and (value in FIELDS or column_of(value)) for value in self.grid[row]):
                return
            yield row, not self._is_empty(row, columns)

    # Tables

    def _plan(self, key_row: int, columns: Mapping[Column, Columns]) -> None:
        sessions: list[dict[str, Any]] = self.source.data.setdefault("sessions", [])
        name_column, name_places = next((each, at) for each, at in columns.items() if each.key == "session.name")
        rows = RowSessions.of(self.grid, key_row, name_places[0])
        of_session = {column: places for column, places in columns.items() if column.key.startswith("session.")}
        of_slot = {column: places for column, places in columns.items() if column.key.startswith("slot.")}
        empty_above = 1
        for row, filled in self._rows(key_row + 1, columns):
            if not filled:
                empty_above += 1
                continue
            here: dict[str, Any] = {}
            number = len(sessions)
            for column, places in of_session.items():
                self._take(here, ("sessions", number, column.path[0]), row, places, column)
            current = sessions[-1] if sessions else None
            name = here.get("name")
            if current is None or rows.begins(row, name, current["name"], empty_above):
                self.source.put(("sessions", number), self.source.at(("sessions", number, "name")))
                current = {"name": None, **here, "slots": []}
                sessions.append(current)
                rows.begin(row)
            else:
                self._same_session(current, here, number)
                if unclear := rows.go_on(row, name, current["name"], empty_above):
                    place = self._place(row, name_places[0], name_column.heading)
                    self.source.mistakes.append((place, unclear))
            empty_above = 0
            self._slot(row, current["slots"], len(sessions) - 1, of_slot)
        for row, said in rows.moves():
            self.source.remarks.append((self._place(row, name_places[0], name_column.heading), said))

    def _same_session(self, current: Mapping[str, Any], here: Mapping[str, Any], number: int) -> None:
        """Further rows of a session may repeat its fields, and say nothing else of it."""
        for name, value in here.items():
            is_alike = same_name(value, current["name"]) if name == "name" else value == current.get(name)
            if not is_alike and value is not UNREADABLE:
                place = self.source.at(("sessions", number, name))
                self.source.mistakes.append(
                    (place, f'"{value}" differs from the session\'s first row. Write it there, or begin a session '
                     "here with a name of its own.")
                )  # fmt: skip

    def _slot(self, row: int, slots: list[dict[str, Any]], session: int, columns: Mapping[Column, Columns]) -> None:
        if self._is_empty(row, columns):
            return
        slot: dict[str, Any] = {}
        where = ("sessions", session, "slots", len(slots))
        for column, places in columns.items():
            path = column.path
            into: dict[str, Any] = {}
            self._take(into, (*where, *path), row, places, column)
            if into:
                self._inside(slot, path[:-1]).update(into)
        self.source.put(where, self.source.at((*where, "exercise")))
        kind = slot.pop("kind", None)
        if kind not in (None, UNREADABLE):
            self.source.kinds[session, len(slots)] = (self.source.at((*where, "kind")), kind)
        slots.append(slot)

    def _bests(self, first: int, columns: Mapping[Column, Columns]) -> None:
        bests = self._inside(self.source.data, ("lifter", "bests"))
        for row, best in self._keyed(first, columns, ("lifter", "bests"), "exercise", "load"):
            self.source.put(("lifter", "bests", best["exercise"]), self._place(row, *self._column(columns, "exercise")))
            self._put_once(bests, str(best.pop("exercise")), best, row, columns)

    def _plates(self, first: int, columns: Mapping[Column, Columns]) -> None:
        plates = self._inside(self.source.data, ("equipment", "plates"))
        for row, plate in self._keyed(first, columns, ("equipment", "plates"), "weight", "pairs"):
            self._put_once(plates, plate["weight"], plate["pairs"], row, columns)

    @staticmethod
    def _column(columns: Mapping[Column, Columns], name: str) -> tuple[int, str]:
        return next((min(at.values()), column.heading) for column, at in columns.items() if column.path[0] == name)

    def _keyed(
        self, first: int, columns: Mapping[Column, Columns], into: tuple[str, ...], name: str, needed: str
    ) -> Iterator[tuple[int, dict[str, Any]]]:
        """Rows that become entries of a dictionary under `into`; both cells are needed."""
        self.source.put_first(into, self._place(first, *self._column(columns, name)))
        for row, filled in self._rows(first, columns):
            if not filled:
                continue
            lacking = [each for each in (name, needed) if self._at(row, self._column(columns, each)[0]) is None]
            if lacking:
                place = self._place(row, *self._column(columns, lacking[0]))
                self.source.mistakes.append((place, "is empty. Fill it in, or empty the row."))
                continue
            said: dict[str, Any] = {}
            entry = self._name_of(row, columns, name)
            for column, at in columns.items():
                self._take(said, (*into, entry, column.path[0]), row, at, column)
            if said[name] is not UNREADABLE:
                where = (*into, said[name])
                self.source.put(where, self._place(row, *self._column(columns, needed)))
                self.source.put((*where, "[key]"), self._place(row, *self._column(columns, name)))
                yield row, said

    def _name_of(self, row: int, columns: Mapping[Column, Columns], name: str) -> Any:
        """What an entry is called, as its field will say it; mistakes in it are told with the field."""
        column = next(column for column in columns if column.path[0] == name)
        content = self._at(row, columns[column][0])
        try:
            return column.form.read(content)
        except NotSaid:
            return content

    def _put_once(
        self, entries: dict[Any, Any], key: Any, value: Any, row: int, columns: Mapping[Column, Columns]
    ) -> None:
        if key in entries:
            column, places = next(iter(columns.items()))
            place = self._place(row, places[0], column.heading)
            self.source.mistakes.append((place, f'"{key}" stands here twice. Keep one.'))
        entries[key] = value

    def _exercises(self, first: int, columns: Mapping[Column, Columns]) -> None:
        exercises = self.source.data.setdefault("exercises", [])
        for row, filled in self._rows(first, columns):
            if filled:
                own: dict[str, Any] = {}
                where = ("exercises", len(exercises))
                for column, places in columns.items():
                    self._take(own, (*where, column.path[0]), row, places, column)
                self.source.put(where, self.source.at((*where, "name")))
                exercises.append(own)


def _column_gone(position: int) -> str:
    return f"the column of week {position + 1}, or its hidden key, is gone. {PUT_BACK}"


def _of(columns: Sequence[Column], places: Mapping[str, Columns]) -> dict[Column, Columns]:
    """The columns of a table that are there, with the sheet's columns of each."""
    return {column: places[column.key] for column in typed(tuple(columns)) if column.key in places}
