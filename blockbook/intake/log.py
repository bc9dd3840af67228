"""The log of a block: every set and session, typed and recomputed, with the findings."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any, NamedTuple

from blockbook.formula.functions import Scalar
from blockbook.intake.findings import ALARM_NOTED, ALARM_UNHEARD, ALARMS, Finding, finding
from blockbook.sheet.calculation import Calculation
from blockbook.spec.models import Specification
from blockbook.training.pain import nothing_hurts
from blockbook.training.plausibility import MOST_REPS, most_reps
from blockbook.training.session_said import FAR_FROM_PLAN
from blockbook.workbook.assemble import BlockBook
from blockbook.workbook.earlier import TypedRow
from blockbook.workbook.layout import as_typed

SET_FIELDS = (
    "key", "week", "session", "slot", "set", "kind", "exercise", "instead", "target_reps", "target_rpe", "target_load",
    "load", "reps", "rpe", "note", "one_rep_max", "sheet", "cell",
)  # fmt: skip
SESSION_FIELDS = (
    "key", "week", "session", "name", "planned_date", "date", "effort", "minutes", "body_weight", "sleep",
    "soreness", "pain", "where", "load", "sheet",
)  # fmt: skip
"""What a set and a session are for other programs, in this order."""
ATTEMPT_FIELDS = ("lift", "number", "weight", "good", "raw")


@dataclass(frozen=True)
class LoggedSet:
    """One set. Loads in the block's unit; target_load as recomputed from the log, None where none.

    note: as typed, comments on the cells of the row behind it. plausible: False for a slip that is not used; doubled:
    it looks like both hands together; converted: like the load asked for in the other unit; raw: what was typed, by
    column, where it was not a plain number or nothing is asked for; cells: address by column; in_reserve: whether the
    lifter types reps left. instead: the exercise that was done in place of `exercise`, "" for none; a text as typed
    where it is none of the coach's stand-ins.
    """

    key: str
    week: int
    session: str
    slot: str
    set: int
    kind: str
    exercise: str
    target_reps: float
    target_rpe: float | None
    target_load: float | None
    load: float | None
    reps: float | None
    rpe: float | None
    note: str
    one_rep_max: float | None
    sheet: str
    cell: str
    plausible: bool = True
    doubled: bool = False
    converted: bool = False
    raw: Mapping[str, str] = field(default_factory=dict)
    cells: Mapping[str, str] = field(default_factory=dict)
    in_reserve: bool = False
    instead: str = ""

    @property
    def has_too_many_reps(self) -> bool:
        """Whether its reps are a slip, by the sheet's own rule."""
        most = most_reps.value(MOST_REPS if self.kind == "max reps" else self.target_reps)
        return self.reps is not None and self.reps > float(most or 0)

    @property
    def felt(self) -> float | None:
        """How hard it was as the lifter types it: effort, or reps left."""
        return 10 - self.rpe if self.in_reserve and self.rpe is not None else self.rpe

    @property
    def started(self) -> bool:
        """Whether anything but a note was typed, understood or not."""
        typed = (self.load, self.reps, self.rpe)
        return any(value is not None for value in typed) or any(name in self.raw for name in ("load", "reps", "rpe"))

    @property
    def called(self) -> str:
        """ "back squat, set 2"; "back squat, feeler"."""
        return f"{self.instead or self.exercise}, {f'set {self.set}' if self.set else 'feeler'}"

    @property
    def done(self) -> bool:
        return self.reps is not None and self.reps > 0

    def to_data(self) -> dict[str, Any]:
        data = {name: getattr(self, name) for name in SET_FIELDS}
        return {**data, "raw": dict(self.raw)} if self.raw else data


def at_set(
    logged: LoggedSet, column: str, code: str, message: str, likely: Mapping[str, float | None] | None = None
) -> Finding:
    """A finding at one of a set's typed cells."""
    value = logged.felt if column == "rpe" else getattr(logged, column)
    shown = logged.raw.get(column, "" if value is None else f"{value:.15g}")
    return finding(code, message, logged.sheet, logged.cells.get(column, ""), shown, likely)


@dataclass(frozen=True)
class LoggedSession:
    """One session. effort 0 to 10, minutes, body_weight in the block's unit, sleep in hours.

    hurts: pain counts for at least one exercise, as the sheet has it.
    """

    key: str
    week: int
    session: str
    name: str
    planned_date: date
    date: date | None
    effort: float | None
    minutes: float | None
    body_weight: float | None
    sleep: float | None
    soreness: float | None
    pain: str
    where: str
    hurts: bool
    load: float | None
    sheet: str
    cells: Mapping[str, str] = field(default_factory=dict)
    raw: Mapping[str, str] = field(default_factory=dict)

    @property
    def reports_pain(self) -> bool:
        """Whether pain was typed where it is asked for; a note alone holds its exercise, and is told as a note."""
        typed = not nothing_hurts.value(self.pain) or self.where.strip()
        return self.hurts and bool(typed)

    def to_data(self) -> dict[str, Any]:
        data: dict[str, Any] = {name: getattr(self, name) for name in SESSION_FIELDS}
        data["planned_date"] = self.planned_date.isoformat()
        data["date"] = self.date.isoformat() if self.date else None
        return {**data, "raw": dict(self.raw)} if self.raw else data


@dataclass(frozen=True)
class Attempt:
    """One attempt at the meet that ends a block.

    number: from 1; weight: in kg, as typed, else as planned where it was marked; good: None where the mark
    is missing or not understood; raw: weight and mark as typed.
    """

    lift: str
    number: int
    weight: float | None
    good: bool | None
    raw: Mapping[str, str]

    def to_data(self) -> dict[str, Any]:
        return {**{name: getattr(self, name) for name in ATTEMPT_FIELDS}, "raw": dict(self.raw)}


@dataclass(frozen=True)
class MeetDay:
    """What was typed on a block's Meet sheet.

    body_weight: in kg, where it was typed; total: of the good lifts so far, in kg, 0 for none; raw: everything
    else that was typed, by input name.
    """

    body_weight: float | None
    attempts: tuple[Attempt, ...]
    total: float | None
    raw: Mapping[str, str]

    def to_data(self) -> dict[str, Any]:
        attempts = [attempt.to_data() for attempt in self.attempts]
        return {"body_weight": self.body_weight, "attempts": attempts, "total": self.total, "raw": dict(self.raw)}


class Accepted(NamedTuple):
    """A correction that the coach accepted. instead_of: what the cell was understood as then."""

    value: float | None
    instead_of: float | None


@dataclass(frozen=True)
class Unplaced:
    """Something typed that belongs to no set or session. texts: as typed, by column."""

    sheet: str
    cell: str
    texts: Mapping[str, str]

    def to_data(self) -> dict[str, Any]:
        return {"sheet": self.sheet, "cell": self.cell, "texts": dict(self.texts)}


@dataclass(frozen=True)
class BlockLog:
    """A block as it came back, from one copy of its workbook or several.

    file: names of the files. inputs: what was understood, by input name, as the formulas need it (reps left where
    those are typed); typed: the same as it stood in the cells; calculation: every cell. unplaced: what was typed
    and belongs to no set; earlier: the rows of the sheet Earlier log, logged before the block was changed. meet:
    the day of the meet that ends the block; None where nothing of it was typed. read_on: the day it was read; None
    where that is not known, and then no day of it lies ahead.
    """

    file: str
    spec: Specification
    digest: str
    sets: tuple[LoggedSet, ...]
    sessions: tuple[LoggedSession, ...]
    findings: tuple[Finding, ...]
    workbook: BlockBook
    inputs: Mapping[str, Scalar]
    calculation: Calculation
    typed: Mapping[str, Any] = field(default_factory=dict)
    unplaced: tuple[Unplaced, ...] = ()
    earlier: tuple[TypedRow, ...] = ()
    meet: MeetDay | None = None
    read_on: date | None = None

    def number(self, name: str) -> float | None:
        """The number that an input was understood as, an effort as RPE; None where it holds none."""
        value = self.inputs.get(name)
        return as_typed(name, value, self.spec.block) if isinstance(value, (int, float)) else None

    def session_name(self, session: str) -> str:
        """Name of the session with this id: "lower" -> "Lower"."""
        return next((each.name for each in self.sessions if each.session == session), session)

    @property
    def stopped_by(self) -> Finding | None:
        """The finding that leaves nothing to decide from before the coach has had a say; None without one."""
        return next((found for found in self.findings if found.stops), None)

    def settled(self, codes: Collection[str]) -> BlockLog:
        """The log without findings of these codes on the whole of it: the coach has had a say."""
        left = tuple(found for found in self.findings if not (found.stops and found.code in codes))
        return replace(self, findings=left)

    @property
    def alarm_open(self) -> bool:
        """Whether the block ended with something noted that asks for a physician, and no answer that it is well."""
        last = [place.session.lines[0] for place in self.workbook.sessions if place.session.lines][-1]
        unheard = any(found.code == ALARM_NOTED and found.hint == ALARM_UNHEARD for found in self.findings)
        return unheard or bool(self.calculation.number(self.workbook.workings.cell(last, "alarm_open")))

    @property
    def unusable(self) -> tuple[Finding, ...]:
        """What was typed and could not be used, each with what is wrong."""
        return tuple(found for found in self.findings if found.severity == "error" and found.code not in ALARMS)

    @property
    def begun_weeks(self) -> int:
        """Number of weeks up to the last one with a logged set."""
        return max((logged.week for logged in self.sets if logged.started), default=0)

    @property
    def logged_weeks(self) -> int:
        """Number of weeks with a logged set: fewer than `begun_weeks` where one was missed."""
        return len({logged.week for logged in self.sets if logged.started})

    @property
    def trained_until(self) -> date | None:
        """Day of the last session of which a set was logged; None before the first.

        A date far from the plan counts for none.
        """
        begun = {(logged.week, logged.session) for logged in self.sets if logged.started}
        days = (
            each.date
            for each in self.sessions
            if each.date and (each.week, each.session) in begun
            and abs((each.date - each.planned_date).days) <= FAR_FROM_PLAN
        )  # fmt: skip
        return max(days, default=None)

    @property
    def logged(self) -> dict[str, tuple[float | None, float | None, float | None]]:
        """Set key -> (load, reps, rpe), as `targets` takes it."""
        return {s.key: (s.load, s.reps, s.rpe) for s in self.sets if (s.load, s.reps, s.rpe) != (None,) * 3}

    def to_data(self) -> dict[str, Any]:
        block, lifter = self.spec.block, self.spec.lifter
        data: dict[str, Any] = {
            "block": {
                "title": block.title,
                "start": block.start.isoformat(),
                "weeks": block.weeks,
                "unit": block.unit,
                "deload_week": block.deload_week,
                "meet": block.meet.isoformat() if block.meet else None,
                "digest": self.digest,
                "file": self.file,
                **({"effort_as": block.effort_as} if block.in_reserve else {}),
            },
            "lifter": {
                "name": lifter.name,
                "sex": lifter.sex,
                "body_weight": lifter.body_weight,
                "birth_year": lifter.birth_year,
            },
            "sets": [logged.to_data() for logged in self.sets],
            "sessions": [session.to_data() for session in self.sessions],
            "findings": [found.to_data() for found in self.findings],
        }
        if self.meet is not None:
            data["meet_day"] = self.meet.to_data()
        for name in ("unplaced", "earlier"):
            if kept := getattr(self, name):
                data[name] = [row.to_data() for row in kept]
        return data
