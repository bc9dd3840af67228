"""The layout of a block's workbook, stated once for those who write it and those who read it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby, pairwise
from typing import NamedTuple

from blockbook.languages import say
from blockbook.sheet.book import Cell, Run
from blockbook.spec.models import Block
from blockbook.training.prescription import Line, PlannedSession, PlannedSet

LAYOUT_VERSION = 3
"""Not raised when the note and the date of a session changed places: keys and headings find both. A file that lost its
keys as well as its headings would be read in today's order."""

START = "Start"
SUMMARY = "Summary"
EARLIER = "Earlier log"
PLATES = "Plates"
TABLES = "Tables"
WORKINGS = "Workings"
MANIFEST = "blockbook"


def is_feeler(key: str) -> bool:
    """Whether a set's key is that of a feeler."""
    return key.endswith(".feeler")


def week_sheet(week: int) -> str:
    return f"Week {week}"


class Column(NamedTuple):
    """A column of a week sheet. role: "hidden", "shown", "typed" by the lifter, or "working" (folded)."""

    name: str
    heading: str
    width: float
    role: str


WEEK_COLUMNS: tuple[Column, ...] = (
    Column("key", "Key", 4, "hidden"),
    Column("label", "Set", 7, "shown"),
    Column("target_reps", "Reps", 4.5, "shown"),
    Column("target_rpe", "Effort", 5.5, "shown"),
    Column("planned", "Plan", 6, "shown"),
    Column("target", "Today", 6, "shown"),
    Column("load", "Load", 7.5, "typed"),
    Column("reps", "Reps done", 6, "typed"),
    Column("rpe", "Effort felt", 6, "typed"),
    Column("verdict", "Plates, verdict", 20, "shown"),
    Column("one_rep_max", "Est. 1RM", 7.5, "shown"),
    Column("note", "Note", 34, "typed"),
    Column("plausible", "Plausible", 8, "working"),
    Column("all_out", "To failure", 8, "working"),
    Column("reserve", "Reserve believed", 8, "working"),
    Column("trusted", "Est. used", 8, "working"),
    Column("lifted", "Lifted", 8, "working"),
    Column("counts", "Load that counts", 8, "working"),
    Column("overshoot", "Over target", 8, "working"),
    Column("weight", "Weight", 8, "working"),
    Column("judged", "Est. as judged", 9, "working"),
    Column("failed", "Est. at failure", 9, "working"),
    Column("tells", "Est. that tells", 9, "working"),
)
"""What a set is looked at for while it is done comes first; a note may be long, so nothing stands behind it."""

_RESERVE_HEADINGS = {"target_rpe": "Leave", "rpe": "Reps left"}
RESERVE_COLUMNS = (
    *(column._replace(heading=_RESERVE_HEADINGS.get(column.name, column.heading)) for column in WEEK_COLUMNS),
    Column("effort", "As effort", 8, "working"),
)
"""The columns where the lifter types reps left: in the places of effort, which is worked out behind all others."""

OWN_LOAD = Column("own_load", "Load counted", 8, "working")
"""Behind all others, in a block with stand-ins: what was lifted with the planned exercise itself."""

STAND_IN_LOADS = tuple(Column(f"stand_in_{number}", f"Stand-in {number}", 8, "working") for number in range(1, 6))
"""Behind it: the load of each stand-in for a set, and in the row of the choice the one-rep maximum that its
logs show."""

WITH_STAND_INS = (OWN_LOAD, *STAND_IN_LOADS)

COLUMN = {column.name: position for position, column in enumerate((*RESERVE_COLUMNS, *WITH_STAND_INS))}
OF_THE_CHOICE = {
    "chosen": "plausible",
    "on_barbell": "all_out",
    "known": "reserve",
    "guessed": "trusted",
    "exposures": "lifted",
    "body_load": "counts",
    "per_hand": "overshoot",
    "learned": "weight",
    "shown": "judged",
    "far_too_heavy": "failed",
    "percent_off": "tells",
    "hurts": OWN_LOAD.name,
}
"""What holds for the exercise that is done today, in the row in which it is chosen: in which column it stands."""

TYPED = tuple(column.name for column in WEEK_COLUMNS if column.role == "typed")
HEADING_ROW = 1
FIRST_ROW = 2
ROW_TO_TAP = 22.5
"""Height of rows with cells to type in: room for a thumb, or for two lines of a note."""

WITH_UNIT = "load"
"""The column whose heading says in which unit its numbers are."""

SESSION_LOAD = "Session load (effort x minutes)"
"""Label of the row that a session ends with; its load is worked out, not typed."""


class SessionInput(NamedTuple):
    """What the lifter notes once a session, typed in the load column. least, most: of a number, None for others."""

    name: str
    label: str
    hint: str
    least: float = 0
    most: float | None = None

    def can_be(self, number: float) -> bool:
        """Whether a lifter can mean a number; never where none is asked for."""
        return self.most is not None and self.least <= number <= self.most

    def within(self, body_weight: float) -> tuple[float, float] | None:
        """The least and the most that is believed of a lifter of this body weight; None for what is no number."""
        if self.most is None:
            return None
        if self.name == "body_weight":
            return round(0.8 * body_weight, 1), round(1.2 * body_weight, 1)
        return self.least, self.most


SESSION_INPUTS: tuple[SessionInput, ...] = (
    SessionInput("date", "Date", "day and month, before you start"),
    SessionInput("effort", "Session effort, 0-10", "whole session, half an hour after", most=10),
    SessionInput("minutes", "Minutes", "first warm-up to last set", 1, 600),
    SessionInput("body_weight", "Body weight", "", most=700),
    SessionInput("sleep", "Sleep, hours", "last night", most=24),
    SessionInput("soreness", "Soreness, 0-10", "before you started", most=10),
    SessionInput("pain", "Pain?", "none, all, or the exercise's letter"),
    SessionInput("where", "Where does it hurt?", "leave empty if nothing does"),
)


BEFORE_SESSION = ("date",)
"""Typed below the session's title: after a gap the loads hang on it."""

INSTEAD, INSTEAD_HINT = "Instead today", "empty: as planned"
INSTEAD_KEY = "_instead"
AFTER_SESSION = "After the session"
SAYS_ALL = ("all", "alle", "todo", "todos")


def week_columns(block: Block) -> tuple[Column, ...]:
    """The columns of a block's week sheets."""
    return RESERVE_COLUMNS if block.in_reserve else WEEK_COLUMNS


def heading_of(name: str, block: Block) -> str:
    """What stands above a column; the name of what is no column of a week sheet."""
    return next((column.heading for column in week_columns(block) if column.name == name), name)


def shown_heading(column: Column, unit: str) -> str:
    """What stands above a column on a week sheet, in the language spoken: "Load, kg" above loads."""
    heading = say(column.heading)
    return f"{heading}, {unit}" if column.name == WITH_UNIT else heading


def spoken(name: str, block: Block) -> str:
    """A column or session input as people say it: "rpe" is effort, or reps left where those are typed."""
    if name == "rpe":
        return "reps left" if block.in_reserve else "effort"
    return name.replace("_", " ")


def input_name(set_key: str, column: str) -> str:
    """Name of a typed cell of a set row."""
    return f"{set_key}/{column}"


def as_typed(name: str, value: float, block: Block) -> float:
    """What stands in an input for a logged value: an effort as reps left where those are typed, else the value.

    And back: each is 10 less the other.
    """
    return block.as_typed(value) if name.endswith("/rpe") else value


def session_input_key(session_key: str, name: str) -> str:
    """Row key of a session input, and the name of its cell."""
    return f"{session_key}.{name}"


def instead_key(line: Line) -> str:
    """Row key of the exercise done in place of a line's, and the name of its cell."""
    return f"w{line.week}.{line.slot_key}{INSTEAD_KEY}"


@dataclass(frozen=True)
class LinePlace:
    """Rows of one exercise on its week sheet; set_rows by set number (0 is the feeler)."""

    line: Line
    sheet: str
    title_row: int
    cue_row: int | None
    instead_row: int | None
    warm_up_row: int | None
    reason_row: int
    set_rows: dict[int, int]
    in_reserve: bool = False
    """Whether reps left are typed in place of effort: then "rpe" is the cell that works out the effort."""

    @cached_property
    def cells(self) -> dict[int, dict[str, Cell]]:
        """Set number -> the cells of its row by column, made once: many formulas point to each."""
        return {
            number: {name: Cell(self.sheet, row, self._position(name)) for name in COLUMN}
            for number, row in self.set_rows.items()
        }

    def cell(self, column: str, number: int) -> Cell:
        return self.cells[number][column]

    def run(self, column: str, numbers: list[int] | None = None) -> Run | None:
        """The cells of the working sets (or of those numbered) in a column; None without sets."""
        wanted = [n for n in self.set_rows if n] if numbers is None else numbers
        if not wanted:
            return None
        rows = [self.set_rows[n] for n in wanted]
        return Run(self.sheet, rows[0], rows[-1], self._position(column))

    def typed_run(self, column: str) -> Run | None:
        """The cells in which the lifter types, of the working sets; None without sets."""
        found = self.run(column)
        return found and found._replace(column=COLUMN[column])

    def typed_cell(self, column: str, number: int) -> Cell:
        """Where the lifter types."""
        return Cell(self.sheet, self.set_rows[number], COLUMN[column])

    def _position(self, name: str) -> int:
        if name == "load" and self.instead_row is not None:
            return COLUMN[OWN_LOAD.name]
        return COLUMN["effort" if self.in_reserve and name == "rpe" else name]

    @property
    def instead_key(self) -> str:
        return instead_key(self.line)

    @property
    def chosen(self) -> Cell | None:
        """The cell that says which stand-in was chosen, as `stand_ins.chosen`; None without stand-ins."""
        return self.of_the_choice.get("chosen")

    @cached_property
    def of_the_choice(self) -> dict[str, Cell]:
        """What holds for the exercise that is done today, by name; empty without stand-ins."""
        row = self.instead_row
        return {} if row is None else {name: Cell(self.sheet, row, COLUMN[at]) for name, at in OF_THE_CHOICE.items()}

    def top_run(self, column: str) -> Run | None:
        return self.run(column, [planned.number for planned in self.line.top_sets])


@dataclass(frozen=True)
class SessionPlace:
    """Rows of a session on its week sheet; left_out: where it says that an exercise has no sets this week."""

    session: PlannedSession
    sheet: str
    title_row: int
    lines: tuple[LinePlace, ...]
    left_out: tuple[tuple[int, Line], ...]
    after_row: int
    input_rows: dict[str, int]
    load_row: int
    said_row: int

    @property
    def sets(self) -> Iterator[tuple[LinePlace, PlannedSet]]:
        """Every set with its line, in order."""
        for line in self.lines:
            for planned in line.line.sets:
                yield line, planned

    @property
    def parts(self) -> list[tuple[int, int]]:
        """First and last row of each exercise or superset, the first with the session's title, and of what is noted
        after them.
        """
        alone = groupby(self.lines, lambda place: place.line.group)
        starts = [next(places).title_row for _, places in alone]
        begins = [self.title_row, *starts[1:], self.after_row]
        return [*((first, behind - 1) for first, behind in pairwise(begins)), (begins[-1], self.said_row)]

    def input_cell(self, name: str) -> Cell:
        return Cell(self.sheet, self.input_rows[name], COLUMN["load"])

    @property
    def load_cell(self) -> Cell:
        return Cell(self.sheet, self.load_row, COLUMN["load"])


def place_week(sessions: tuple[PlannedSession, ...], block: Block) -> tuple[SessionPlace, ...]:
    """Rows for everything on one week's sheet."""
    rows = iter(range(FIRST_ROW, 100_000))
    return tuple(_place_session(session, rows, block.in_reserve) for session in sessions)


def _place_session(session: PlannedSession, rows: Iterator[int], in_reserve: bool) -> SessionPlace:
    sheet = week_sheet(session.week)
    title_row = next(rows)
    before = {name: next(rows) for name in BEFORE_SESSION}
    lines, left_out = [], []
    for line in session.lines:
        if line.sets:
            lines.append(_place_line(line, sheet, rows, in_reserve))
        else:
            left_out.append((next(rows), line))
    after_row = next(rows)
    input_rows = before | {asked.name: next(rows) for asked in SESSION_INPUTS if asked.name not in before}
    load_row, said_row = next(rows), next(rows)
    next(rows)  # air between sessions
    return SessionPlace(
        session, sheet, title_row, tuple(lines), tuple(left_out), after_row, input_rows, load_row, said_row
    )


def _place_line(line: Line, sheet: str, rows: Iterator[int], in_reserve: bool) -> LinePlace:
    return LinePlace(
        line=line,
        sheet=sheet,
        title_row=next(rows),
        cue_row=next(rows) if line.slot.cue else None,
        instead_row=next(rows) if line.slot.stand_ins else None,
        warm_up_row=next(rows) if line.warms_up else None,
        reason_row=next(rows),
        set_rows={planned.number: next(rows) for planned in line.sets},
        in_reserve=in_reserve,
    )
