"""The layout of the plan workbook, stated once for writer and reader.

A column's key says what it holds: the part of the specification and the field in it ("slot.back_off.sets").
Keys stand in a hidden row above a table, or in a hidden column beside a list of fields, and by them the
reader finds the cells again wherever they were moved.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, NamedTuple, get_args

from pydantic import BaseModel

from blockbook.plan import cells
from blockbook.plan.cells import Form
from blockbook.spec.catalogue import Exercise, Implement, Muscle
from blockbook.spec.models import (
    DAYS,
    KIND_WORDS,
    BackOff,
    Block,
    EffortAs,
    Equipment,
    Lifter,
    Progress,
    Session,
    Slot,
    Steps,
    Unit,
)
from blockbook.spec.next_policy import NextPolicy
from blockbook.spec.policy import Policy
from blockbook.spec.values import Best

PLAN, TOTALS, BLOCK, LIFTER, EQUIPMENT, EXERCISES, NUMBERS, DECIDED, LISTS, WORKINGS = (
    "Plan", "Week totals", "Block", "Lifter", "Equipment", "Exercises", "Numbers", "Decided", "Lists", "Workings",
)  # fmt: skip


class Spread(NamedTuple):
    """How a field takes several cells side by side.

    split: the field's value -> content of each cell (None: empty), given how many cells there are;
    joined: position (from 0) -> content of the filled cells -> plain data; each: what one of the cells is called.
    """

    split: Callable[[Any, int], list[Any]]
    joined: Callable[[dict[int, Any]], Any]
    each: str = ""


def _one_or_every(values: tuple[Any, ...], cells_there: int) -> list[Any]:
    return [*values, *[None] * (cells_there - len(values))]


def _in_order(filled: dict[int, Any]) -> Any:
    if set(filled) != set(range(len(filled))):
        raise cells.NotSaid("is empty, and a later week is not. Fill in week 1 alone, for all, or every week.")
    return [filled[position] for position in range(len(filled))]


WEEKLY = Spread(_one_or_every, _in_order, "week ")
"""One value a week, or the first alone for every week."""

BY_WEEK = Spread(
    lambda loads, cells_there: [loads.get(week) for week in range(1, cells_there + 1)],
    lambda filled: {position + 1: value for position, value in filled.items()},
    "week ",
)
"""A value for some of the weeks."""

SEVERAL = Spread(_one_or_every, lambda filled: [filled[position] for position in sorted(filled)])
"""A list of any length, an entry a cell."""


@dataclass(frozen=True)
class Column:
    """A field of the specification, and how it stands on its sheet.

    key: part and path in it, with dots; meaning: shown when a cell of it is selected; spread: where it takes
    several cells; live: worked out by the sheet, not read.
    """

    key: str
    heading: str
    width: float
    form: Form
    meaning: str = ""
    spread: Spread | None = None
    live: bool = False

    @property
    def path(self) -> tuple[str, ...]:
        """Names from the part on: ("back_off", "sets")."""
        return tuple(self.key.split(".")[1:])

    def keys(self, cells_there: int) -> list[str]:
        """The key of each of its cells: "slot.rpe.1" for the first of several."""
        return [f"{self.key}.{number}" for number in range(1, cells_there + 1)] if self.spread else [self.key]

    def contents(self, part: Any, cells_there: int) -> list[Any]:
        """What stands in its cells for a part of the specification; None for an empty one."""
        value = part
        for name in self.path:
            value = None if value is None else getattr(value, name)
        if value is None or (self.path and value in ("", ()) and value == _default(part, self.path)):
            return [None] * (cells_there if self.spread else 1)
        values = self.spread.split(value, cells_there) if self.spread else [value]
        return [None if each is None else self.form.write(each) for each in values]


def _default(part: Any, path: tuple[str, ...]) -> Any:
    fields = getattr(type(part), "model_fields", {})
    return fields[path[0]].default if len(path) == 1 and path[0] in fields else None


def _field(model: type[BaseModel], key: str, heading: str, width: float, form: Form, **more: Any) -> Column:
    """A column whose meaning is the model's own description."""
    described = model.model_fields[key.rsplit(".", maxsplit=1)[-1]].description or ""
    return Column(key, heading, width, form, more.pop("meaning", described), **more)


_YES_NO_OR_USUAL = "yes, no, or empty for the usual. "
_WEEK = "The first alone goes for every week{lightened}; else fill in every week. "


def _weekly(model: type[BaseModel], key: str, heading: str, form: Form, width: float = 5) -> Column:
    field = key.rsplit(".", maxsplit=1)[-1]
    lightened = "" if field == "reps" else " (a deload week is lightened for you)"
    return Column(
        key,
        heading,
        width,
        form,
        _WEEK.format(lightened=lightened) + (model.model_fields[field].description or ""),
        WEEKLY,
    )


def _live(key: str, heading: str, width: float, meaning: str) -> Column:
    return Column(f"live.{key}", heading, width, cells.TEXT, meaning, live=True)


PLAN_COLUMNS: tuple[Column, ...] = (
    _field(Session, "session.name", "Session", 13, cells.TEXT, meaning="In the session's first row only."),
    _field(Session, "session.day", "Day", 6, cells.choice(*DAYS)),
    _field(
        Slot, "slot.exercise", "Exercise", 25, cells.TEXT, meaning="From the list, or your own from the sheet Exercises"
    ),
    _live("check", "Check", 36, "What is missing in the row, as you type"),
    _live("muscle", "Trains most", 12, "The muscle that the exercise counts for first"),
    _live("sets", "Its hard sets a week", 9, "Hard sets of that muscle over the whole plan, in its fullest week"),
    _live("minutes", "Minutes, about", 9, "The session's length in its fullest week, with the feelers that "
          "you ask for. One that comes by itself, in week 1 of a new lifter, takes as long as a set more"),
    Column("slot.kind", "Kind", 12, cells.choice(*KIND_WORDS.values()), "May be left empty: it follows from what you "
           "fill in. Said here, the check asks for what belongs to it."),
    _weekly(Slot, "slot.sets", "Sets", cells.NUMBER),
    _weekly(Slot, "slot.reps", "Reps or range", cells.REPS, 6),
    _weekly(Slot, "slot.rpe", "Effort (RPE 5 to 10)", cells.NUMBER),
    _field(BackOff, "slot.back_off.drop", "Back-off: percent off", 9, cells.NUMBER),
    _weekly(BackOff, "slot.back_off.sets", "Back-off sets", cells.NUMBER),
    _weekly(BackOff, "slot.back_off.reps", "Back-off reps", cells.REPS),
    _weekly(BackOff, "slot.back_off.rpe", "Back-off effort", cells.NUMBER),
    _weekly(Slot, "slot.percent", "Percent of 1RM", cells.NUMBER, 6),
    _weekly(Slot, "slot.load", "Fixed load", cells.NUMBER, 6.5),
    _field(Slot, "slot.reserve", "Max reps: leave", 8, cells.NUMBER),
    Column("slot.loads", "Your own load in a week", 6.5, cells.NUMBER,
           "Replaces the calculated load of that week; leave the others empty", BY_WEEK),
    _field(Slot, "slot.pair", "Pair", 6, cells.WORD),
    _field(Slot, "slot.rest", "Rest", 8, cells.WORD),
    _field(Slot, "slot.tempo", "Tempo", 7, cells.WORD),
    _field(Slot, "slot.progress", "Progress", 9, cells.choice(*get_args(Progress))),
    _field(Slot, "slot.feeler", "Feeler", 7, cells.YES_NO),
    _field(Slot, "slot.test_weeks", "Test weeks", 8, cells.WEEKS),
    _field(Slot, "slot.steer_by_day", "Steer by day", 7, cells.YES_NO,
           meaning=_YES_NO_OR_USUAL + "Overrides the block's setting for this exercise"),
    _field(Slot, "slot.stand_ins", "Stand-ins", 24, cells.NAMES),
    _field(Slot, "slot.hurts", "Hurts", 7, cells.YES_NO),
    _field(Slot, "slot.held_for", "Held: this hurt before", 16, cells.TEXT),
    _field(Slot, "slot.from_last_block", "First load from the last block", 9, cells.NUMBER),
    _field(Slot, "slot.extra_from_last_block", "Reps above the base with it", 9, cells.NUMBER),
    _field(Slot, "slot.cue", "Cue for the lifter", 32, cells.NOTE),
    _field(Slot, "slot.private_note", "Private note", 32, cells.NOTE),
    _field(Slot, "slot.id", "Exercise id", 13, cells.WORD),
    _field(Session, "session.id", "Session id", 13, cells.WORD),
)  # fmt: skip
"""The Plan sheet: a row an exercise, its session's fields in the session's first row."""

SPARE_ROWS = 2
"""Empty rows behind each session, for more exercises. What stands below so many is of another session and names it."""

FIELD_VALUE = "field.value"
"""Key above a list of fields, in the column of their values."""

ROW_SESSION = "row.session"
"""Key of a hidden column: id of the session that a row was written for, spare ones too, so that a session whose first
row is gone does not pass for more of the one above."""

OF_NO_SESSION = "(none)"
"""Stands there in the rows at the end: more of the last session, or another."""

LAST_BLOCK = _live("last", "Last block: minutes, sets, loads, effort over target", 52, "What the returned block showed")
"""Beside the checks, where the plan follows a returned block."""

BLOCK_FIELDS: tuple[Column, ...] = (
    _field(Block, "block.title", "Title", 0, cells.TEXT),
    _field(Block, "block.start", "Start", 0, cells.DATE),
    _field(Block, "block.weeks", "Weeks", 0, cells.NUMBER),
    _field(Block, "block.unit", "Unit", 0, cells.choice(*get_args(Unit))),
    _field(Block, "block.deload_week", "Deload week", 0, cells.NUMBER),
    _field(Block, "block.meet", "Meet", 0, cells.DATE),
    _field(Block, "block.deload_added", "Deload put in front", 0, cells.YES_NO),
    _field(Block, "block.alarm_open", "A physician first", 0, cells.YES_NO),
    _field(Block, "block.steer_by_day", "Steer by day", 0, cells.YES_NO),
    _field(Block, "block.effort_as", "Lifter types effort as", 0, cells.choice(*get_args(EffortAs))),
    _field(Block, "block.note", "Note to the lifter", 0, cells.LONG_TEXT),
    _field(Block, "block.private_note", "Private note", 0, cells.LONG_TEXT),
)

LIFTER_FIELDS: tuple[Column, ...] = (
    _field(Lifter, "lifter.name", "Name", 0, cells.TEXT, meaning="As it stands on every sheet"),
    _field(Lifter, "lifter.sex", "Sex", 0, cells.choice("female", "male")),
    _field(Lifter, "lifter.body_weight", "Body weight", 0, cells.NUMBER),
    _field(Lifter, "lifter.birth_year", "Birth year", 0, cells.NUMBER),
    _field(Lifter, "lifter.language", "Language", 0, cells.WORD),
    _field(Lifter, "lifter.curve", "Rep curve", 0, cells.NUMBER),
    _field(Lifter, "lifter.effort_bias", "Judgement of effort", 0, cells.NUMBER),
    _field(Lifter, "lifter.effort_tests", "Tests of effort", 0, cells.NUMBER),
)

BEST_COLUMNS: tuple[Column, ...] = (
    Column("best.exercise", "Exercise", 0, cells.TEXT, "From the list, or your own"),
    _field(Best, "best.load", "Load", 0, cells.NUMBER),
    _field(Best, "best.reps", "Reps", 0, cells.NUMBER, meaning="Empty: 1, a one-rep maximum"),
    _field(Best, "best.rpe", "Effort", 0, cells.NUMBER),
    _field(Best, "best.spread", "Spread", 0, cells.NUMBER),
    _field(Best, "best.on", "Learned on", 0, cells.DATE),
)

STEPS = {"dumbbells": "Dumbbells", "stack": "Machines and cables", "added_weight": "Added weight"}

EQUIPMENT_FIELDS: tuple[Column, ...] = (
    _field(Equipment, "equipment.bar", "Bar", 0, cells.NUMBER),
    _field(Equipment, "equipment.collars", "Collars", 0, cells.NUMBER),
    *(
        Column(f"equipment.{name}.{end}", f"{label}: {end}", 0, cells.NUMBER,
               f"{Equipment.model_fields[name].description}" if end == "lightest" else "")
        for name, label in STEPS.items()
        for end in Steps.model_fields
    ),
)  # fmt: skip

PLATE_COLUMNS: tuple[Column, ...] = (
    Column("plate.weight", "Plate", 0, cells.NUMBER, "Weight of one plate"),
    Column("plate.pairs", "Pairs", 0, cells.NUMBER, "How many pairs of it there are"),
)

EXERCISE_COLUMNS: tuple[Column, ...] = (
    _field(Exercise, "own.name", "Exercise", 28, cells.TEXT),
    _live("own", "Check", 25, "What is missing in the row, as you type"),
    _field(Exercise, "own.implement", "What is loaded", 13, cells.choice(*get_args(Implement))),
    _field(Exercise, "own.direct", "Muscles a set counts 1 for", 13, cells.choice(*get_args(Muscle)), spread=SEVERAL),
    _field(Exercise, "own.indirect", "Muscles a set counts 0.5 for", 13, cells.choice(*get_args(Muscle)),
           spread=SEVERAL),
    _field(Exercise, "own.related", "Related lift", 18, cells.TEXT),
    _field(Exercise, "own.ratio", "Share of its 1RM", 10, cells.NUMBER),
    _field(Exercise, "own.both_hands", "Both hands", 8, cells.YES_NO),
    _field(Exercise, "own.body_share", "Body share", 8, cells.NUMBER),
    _field(Exercise, "own.technical", "Has to be learned first", 10, cells.YES_NO),
)  # fmt: skip

_MUSCLE_SETS = "muscle_sets"

NUMBER_FIELDS: tuple[Column, ...] = (
    *(
        Column(f"{part}.{name}", field.description or name, 0, cells.NUMBER)
        for part, model in (("policy", Policy), ("next_block", NextPolicy))
        for name, field in model.model_fields.items()
        if name != _MUSCLE_SETS
    ),
    *(
        Column(f"next_block.{_MUSCLE_SETS}.{muscle}", f"Weekly sets of {muscle}, least and most, such as 8-16", 0,
               cells.SET_RANGE)
        for muscle in get_args(Muscle)
    ),
)  # fmt: skip
"""The sheet Numbers, each called by what it means: those of the load decision, then those from block to block."""

TABLES = (PLAN_COLUMNS, BEST_COLUMNS, PLATE_COLUMNS, EXERCISE_COLUMNS)
FORMS = (BLOCK_FIELDS, LIFTER_FIELDS, EQUIPMENT_FIELDS)


def typed(columns: tuple[Column, ...]) -> Iterator[Column]:
    return (column for column in columns if not column.live)
