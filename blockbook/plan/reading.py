"""A plan workbook -> the specification, with errors that name sheet and cell."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import chain
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple, TypeAlias

from blockbook.errors import BlockbookError
from blockbook.intake.opening import Grid, open_one
from blockbook.intake.other_workbooks import is_plan, what_it_is
from blockbook.plan.cells import DATE, NotSaid, said_date
from blockbook.plan.columns import (
    BEST_COLUMNS,
    EXERCISE_COLUMNS,
    FIELD_VALUE,
    FORMS,
    NUMBER_FIELDS,
    PLAN_COLUMNS,
    PLATE_COLUMNS,
    TABLES,
    WEEKLY,
    Column,
    typed,
)
from blockbook.plan.row_sessions import RowSessions, same_name
from blockbook.sheet.book import Cell
from blockbook.spec.documents import Location, field_path
from blockbook.spec.loading import validated
from blockbook.spec.models import KIND_WORDS, Slot, Specification
from blockbook.spec.sound import sound

_FIELDS = {column.key: column for column in chain(*FORMS, NUMBER_FIELDS)}
_COLUMNS = {column.key: column for columns in TABLES for column in typed(columns)}
_TABLE_KEYS = ("slot.exercise", "best.exercise", "plate.weight", "own.name")
"""Each stands above one table alone."""

_SPREAD_KEY = re.compile(r"(.+)\.([1-9][0-9]{0,2})")


class Place(NamedTuple):
    """A cell, by the order of its sheet, with the heading that people see."""

    order: int
    cell: Cell
    heading: str

    @property
    def sheet_in_words(self) -> str:
        return f"'{self.cell.sheet}'" if " " in self.cell.sheet else self.cell.sheet

    def __str__(self) -> str:
        return f"{self.sheet_in_words}!{self.cell.address} ({self.heading})"


Columns: TypeAlias = Mapping[int, int]
"""Where a column of `columns` stands: which of its cells, from 0 -> column of the sheet."""

NOWHERE = Place(-1, Cell("", 0, 0), "")
"""Of what no cell was found for: a whole sheet that is missing."""

_UNREADABLE = object()
"""Stands in the data for a cell that says nothing that can be read, so that its part counts as unsound and not as
left out."""


@dataclass
class PlanSource:
    """What a plan workbook says, as plain data, and where each part of it stands."""

    data: dict[str, Any] = field(default_factory=dict)
    places: dict[tuple[str, ...], Place] = field(default_factory=dict)
    mistakes: list[tuple[Place, str]] = field(default_factory=list)
    kinds: dict[tuple[int, int], tuple[Place, Any]] = field(default_factory=dict)
    keys: dict[str, Place] = field(default_factory=dict)
    remarks: list[tuple[Place, str]] = field(default_factory=list)

    def find(self, location: Location) -> tuple[Any, Location]:
        held: tuple[str, ...] = ()
        for step in map(str, location):
            if (*held, step) in self.places:
                held = (*held, step)
        return self.places.get(held, NOWHERE), held

    def is_told(self, place: Place, content: Any) -> bool:
        """Whether a mistake only repeats what was found when its cell was read."""
        return content is _UNREADABLE or any(place == other for other, _ in self.mistakes)

    def put(self, location: Location, place: Place) -> None:
        """Where a part stands; what it belongs to stands where the first of its parts does, until told otherwise."""
        steps = tuple(map(str, location))
        for length in range(1, len(steps)):
            self.places.setdefault(steps[:length], place)
        self.places[steps] = place

    def at(self, location: Location) -> Place:
        return self.places[tuple(map(str, location))]

    def put_first(self, location: Location, place: Place) -> None:
        """The place of a part is that of the first of its fields."""
        self.places.setdefault(tuple(map(str, location)), place)

    def told(self, place: Place, part: Location, message: str) -> str:
        if place == NOWHERE:
            return _one_line(
                f"{field_path(part)}{message} Its sheet, or the hidden keys on that, are gone. Take them from an "
                "earlier copy, or from a new plan (blockbook new)."
            )
        if part and tuple(map(str, part)) not in self.places:  # that had no cell, so its neighbour's is known
            return _one_line(f"{place.sheet_in_words} ({_heading_of(part)}): {_CELLS_GONE}")
        for yaml_said, said in _SAID_FOR_CELLS:
            message = re.sub(yaml_said, said, message)
        return _one_line(f"{place}: {message}")


_PUT_BACK = "Put it back, from an earlier copy say."
_CELLS_GONE = f"is missing, and so is its place: a row, a column or a hidden key is gone. {_PUT_BACK}"
_WHICH_COUNTS = "which one counts? Delete one of the two."
_KEYS_GONE = (
    "the hidden keys of this sheet, in a column left of the names, are gone, so nothing of it can be read. Take it "
    "from an earlier copy, or from a new plan (blockbook new)."
)
_SAID_FOR_CELLS = (
    (r"^rpe is missing: .*", "the target effort is missing: 8, say, or one value a week. A percent, a fixed load or "
     "a reserve would do as well."),
    (r"; add your own under `exercises`\.", "; add your own on the sheet Exercises."),
    (r"nothing is written here", "nothing stands here"),
    (r"(has \d+ values; .*)", r"\1. Is a week's cell empty, or its column gone?"),
    (r"^is missing\.$", "is missing. Fill it in; a row that is not wanted has to be empty."),
    (r"(?<!')\brpe\b", "effort"),
    (r"\bback_off\b", "back-off sets"),
    (r"\bloads\b", "your own loads"),
)  # fmt: skip
"""What is said of a specification in YAML, put for somebody who looks at a sheet."""


def read_plan(path: str | Path) -> Specification:
    """The specification in a plan workbook, of any spreadsheet program.

    Raises BlockbookError with one line a mistake: file, sheet and cell, what is wrong and what would be right.
    """
    return open_plan(path).spec


def open_plan(path: str | Path) -> ReadPlan:
    """The same with what had better be looked at."""
    returned = open_one(Path(path))
    return plan_in(returned.grids, str(path), returned.formulas or {})


class ReadPlan(NamedTuple):
    """What a plan workbook says. remarks: cells that were understood in a way that the coach had better look at."""

    spec: Specification
    remarks: tuple[str, ...]


def plan_in(
    grids: Mapping[str, Grid], name: str, formulas: Mapping[str, Collection[tuple[int, int]]] = MappingProxyType({})
) -> ReadPlan:
    """The same from the sheets of an open workbook, and where formulas stand; `name` is the file's in errors."""
    if not is_plan(grids):
        said = what_it_is(grids) or "this is no plan workbook: its hidden keys are missing."
        raise BlockbookError(
            f"{name}: {said} A specification is wanted here: `blockbook new TEMPLATE --out plan.xlsx` writes one."
        )
    source = PlanSource()
    for order, (sheet, grid) in enumerate(grids.items()):
        _Reader(source, order, sheet, grid, formulas.get(sheet, ())).read()
    source.mistakes += _kinds_contradicted(source)
    spec = validated(source, name, Specification)
    return ReadPlan(spec, tuple(_one_line(f"{place}: {remark}") for place, remark in sorted(source.remarks)))


def _one_line(message: str) -> str:
    """What a cell holds may have line breaks and signs that no terminal should get."""
    return "".join(sign if sign.isprintable() else "?" for sign in message)


def _kinds_contradicted(source: PlanSource) -> Iterator[tuple[Place, str]]:
    for (session, position), (place, said) in source.kinds.items():
        words = list(KIND_WORDS.values())
        if said not in words:
            yield place, f'"{said}" is none of {", ".join(words)}. Choose one, or empty this cell.'
            continue
        slot = sound(Slot, source.data["sessions"][session]["slots"][position])
        if slot and said != (kind := KIND_WORDS[slot.kind]):
            made = f"says {said}, but what is filled in makes it {kind}"
            yield place, f"{made}. Empty this cell, or change the columns."


class _Reader:
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
                elif key in _FIELDS:
                    fields += 1
                    if not self._is_copy(key, row, column, _FIELDS[key].heading):
                        self._field(row, column, _FIELDS[key], value_columns[-1].cell.column if value_columns else None)
            held = {column: key for column, key in keys.items() if _column_of(key)}
            if len(held) > 1 and not any(
                self._is_copy(key, row, column, _COLUMNS[key].heading)
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
                    filled[number] = _UNREADABLE
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
            into[str(location[-1])] = _UNREADABLE

    def _table(self, key_row: int, keys: Mapping[int, str]) -> None:
        columns: dict[str, dict[int, int]] = {}
        for column, key in sorted(keys.items(), key=lambda item: _position_of(item[1])):
            if not (found := _column_of(key)):
                continue
            there = columns.setdefault(found.key, {})
            first = there.setdefault(_position_of(key), column)
            if first != column:
                place, other = (self._place(key_row, each, found.heading) for each in (column, first))
                self.source.mistakes.append((place, f"stands here and in {other}, hidden key and all: {_WHICH_COUNTS}"))
        for name, there in columns.items():
            if _COLUMNS[name].spread is WEEKLY and 0 not in there:
                place = self._place(key_row, min(there.values()), _COLUMNS[name].heading)
                self.source.mistakes.append((place, _column_gone(0)))
        if "slot.exercise" in columns and "session.name" not in columns:
            place = self._place(key_row, 0, "Session")
            self.source.mistakes.append((place, f"the column Session, or its hidden key, is gone. {_PUT_BACK}"))
            self.source.data["sessions"] = _UNREADABLE
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
            if any(isinstance(value, str) and (value in _FIELDS or _column_of(value)) for value in self.grid[row]):
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
            if not is_alike and value is not _UNREADABLE:
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
        if kind not in (None, _UNREADABLE):
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
            if said[name] is not _UNREADABLE:
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
    return f"the column of week {position + 1}, or its hidden key, is gone. {_PUT_BACK}"


def _heading_of(part: Location) -> str:
    """What people see of a field that has no cell."""
    names = [str(step) for step in part if not isinstance(step, int)]
    for inside, key in (("sessions.slots.", "slot."), ("sessions.", "session."), ("exercises.", "own.")):
        if (path := ".".join(names)).startswith(inside):
            names = [key + path.removeprefix(inside)]
    column = {**_FIELDS, **_COLUMNS}.get(".".join(names))
    return " ".join(column.heading.split()) if column else names[-1]


def _column_of(key: str) -> Column | None:
    if key in _COLUMNS:
        return _COLUMNS[key]
    spread = _SPREAD_KEY.fullmatch(key)
    return _COLUMNS.get(spread[1]) if spread else None


def _position_of(key: str) -> int:
    """Which of its column's cells a key stands for, from 0."""
    spread = None if key in _COLUMNS else _SPREAD_KEY.fullmatch(key)
    return int(spread[2]) - 1 if spread else 0


def _of(columns: Sequence[Column], places: Mapping[str, Columns]) -> dict[Column, Columns]:
    """The columns of a table that are there, with the sheet's columns of each."""
    return {column: places[column.key] for column in typed(tuple(columns)) if column.key in places}
