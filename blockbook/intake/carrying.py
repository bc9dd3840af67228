"""A half-done block's log and its changed specification -> what keeps its place, and what has none any more."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import chain
from typing import Any

from blockbook.errors import BlockbookError
from blockbook.intake.cells import read_effort
from blockbook.intake.found import as_text
from blockbook.intake.log import BlockLog
from blockbook.intake.meet_day import meet_inputs, said_of_meet
from blockbook.intake.mixed_up import mixed_up
from blockbook.spec.models import Block, Specification, session_ids
from blockbook.training.pain import nothing_hurts
from blockbook.training.prescription import Line, PlannedSession, weeks
from blockbook.workbook.earlier import TypedRow
from blockbook.workbook.layout import (
    AFTER_SESSION,
    INSTEAD,
    SAYS_ALL,
    SESSION_INPUTS,
    TYPED,
    input_name,
    instead_key,
    is_feeler,
    session_input_key,
    spoken,
)
from blockbook.workbook.meet_cells import MEET
from blockbook.workbook.meet_in_block import has_meet_sheet
from blockbook.workbook.row_key import meet_input, meet_key
from blockbook.workbook.week_words import set_label

_ON_IT_BEFORE = "on it before"


@dataclass(frozen=True)
class Carried:
    """What becomes of the logs of a block that was changed.

    rows: those that keep their place in the new workbook. left: those that go to its sheet Earlier log, each
    with the reason in a few words. remarks: sentences on whatever else the coach should know.
    """

    rows: tuple[TypedRow, ...]
    left: tuple[tuple[TypedRow, str], ...]
    remarks: tuple[str, ...]

    @property
    def typed(self) -> dict[str, Any]:
        """Input name -> value, exactly as it was typed."""
        return {name: value for row in self.rows for name, value in _cells(row).items() if value is not None}

    @property
    def earlier(self) -> tuple[TypedRow, ...]:
        """The rows of the sheet Earlier log."""
        return tuple(row for row, _ in self.left)


def carry(logs: Sequence[BlockLog], spec: Specification) -> Carried:
    """What was logged, fitted to the changed block by key; of several logs the later ones win cell by cell.

    A row keeps its place where session, slot and set are still there and the exercise is the same. Raises
    BlockbookError for another lifter's or another block's log, another unit, and where namesakes without an
    id changed places.
    """
    carrying = _Carrying(_Plan(spec))
    for log in logs:
        _refuse_what_does_not_belong(log, spec)
        sessions = _sessions(log)
        for row in typed_rows(log):
            carrying.take(_as_asked_now(row, log.spec.block, spec.block), sessions)
    for log in logs:
        for row in log.earlier:
            carrying.take_back(_as_asked_now(row, log.spec.block, spec.block))
    remarks = chain(*(_changes(log.spec, spec) for log in logs), *(_not_in_the_log(log) for log in logs))
    return Carried(
        rows=tuple(carrying.kept.values()),
        left=tuple(sorted(carrying.left, key=_week_and_session(carrying.left))),
        remarks=(*dict.fromkeys(remarks), *carrying.remarks),
    )


def typed_rows(log: BlockLog) -> Iterator[TypedRow]:
    """Every row of a returned workbook in which something was typed, in its order."""
    lifted = {logged.key: logged.instead for logged in log.sets}
    for place in log.workbook.sessions:
        session = place.session
        day = _filled(log.typed.get(session_input_key(session.key, "date")))
        for line in place.lines:
            if (instead := _filled(log.typed.get(line.instead_key))) is not None:
                name = f"{INSTEAD}: {line.line.exercise.name}"
                yield TypedRow(line.instead_key, session.name, day, AFTER_SESSION, name, load=instead)
            for planned in line.line.sets:
                values = {name: _filled(log.typed.get(input_name(planned.key, name))) for name in TYPED}
                if any(value is not None for value in values.values()):
                    exercise = lifted.get(planned.key) or line.line.exercise.name
                    yield TypedRow(planned.key, session.name, day, exercise, set_label(planned), **values)
        for asked in SESSION_INPUTS:
            key = session_input_key(session.key, asked.name)
            if (value := _filled(log.typed.get(key))) is not None:
                yield TypedRow(key, session.name, day, AFTER_SESSION, asked.label, load=value)
    # A mark without a weight means the weight that was planned; another block would plan another.
    attempts = log.meet.attempts if log.meet else ()
    meant = {f"meet.{each.lift}.{each.number}.weight": each.weight for each in attempts if each.good is not None}
    for name in meet_inputs(log.workbook):
        if (value := _filled(log.typed.get(name)) or meant.get(name)) is not None:
            key = meet_key(name)
            exercise, _, rest = said_of_meet(key).partition(", ")
            yield TypedRow(key, MEET, None, exercise, rest, load=value)


def _as_asked_now(row: TypedRow, then: Block, now: Block) -> TypedRow:
    """A row whose effort was typed one way, for a block that asks for it the other way: 8 becomes 2 left."""
    effort = None if then.in_reserve == now.in_reserve else read_effort(row.rpe, then.in_reserve).value
    return row if effort is None else replace(row, rpe=now.as_typed(effort))


def _filled(value: Any) -> Any:
    return None if isinstance(value, str) and not value.strip() else value


def _cells(row: TypedRow) -> dict[str, Any]:
    """Input name -> value of the cells of a row, empty ones too."""
    if row.is_of_meet:
        return {meet_input(row.key): row.load}
    if row.is_of_session:
        return {row.key: row.load}
    return {input_name(row.key, name): getattr(row, name) for name in TYPED}


def _both(below: TypedRow, above: TypedRow) -> TypedRow:
    """Two copies of a row in one, `above` winning wherever it holds something."""
    return replace(above, **{name: getattr(below, name) for name in (*TYPED, "date") if getattr(above, name) is None})


def _differing(one: TypedRow, other: TypedRow) -> list[str]:
    """The columns in which two copies of a row hold different things."""
    pairs = {name: (getattr(one, name), getattr(other, name)) for name in TYPED}
    return [name for name, pair in pairs.items() if None not in pair and pair[0] != pair[1]]


def _sessions(log: BlockLog) -> dict[str, PlannedSession]:
    return {place.session.key: place.session for place in log.workbook.sessions}


def _week_and_session(left: list[tuple[TypedRow, str]]) -> Any:
    """Sorts rows by week and session, sessions in the order in which they come; the meet last."""
    order = {name: place for place, name in enumerate(dict.fromkeys(row.session for row, _ in left))}
    return lambda item: (item[0].is_of_meet, item[0].week, order[item[0].session])


# The changed block


class _Plan:
    """The changed block: where a row of the log still has its place."""

    def __init__(self, spec: Specification) -> None:
        self.weeks, self.block = spec.block.weeks, spec.block
        self.has_meet = has_meet_sheet(spec)
        self.sessions: dict[str, PlannedSession] = {}
        self.lines: dict[str, Line] = {}
        self.rows: set[str] = set()
        for session in chain.from_iterable(weeks(spec)):
            self.sessions[session.key] = session
            self.rows |= {session_input_key(session.key, asked.name) for asked in SESSION_INPUTS}
            for line in session.lines:
                self.lines[f"w{line.week}.{line.slot_key}"] = line
                self.rows |= {planned.key for planned in line.sets}
                if line.slot.stand_ins:
                    self.rows.add(instead_key(line))
        self.exercises = {_name(line) for line in self.lines.values()}

    def why_not(self, row: TypedRow) -> str:
        """Why a row has no place any more, in a few words; "" if it has."""
        if row.is_of_meet:
            return "" if self.has_meet else "the block does not end in a meet now"
        session_key, *_ = row.key.rsplit(".", 1 if row.is_of_session else 2)
        if row.week > self.weeks:
            return f"the block is {_weeks(self.weeks)} now"
        if session_key not in self.sessions:
            return "the session is no longer in the block"
        if row.is_of_session:
            return "" if row.key in self.rows else "not asked any more"
        line = self.lines.get(row.key.rsplit(".", 1)[0])
        if line is None and any(_name(line) == row.exercise.casefold() for line in self.sessions[session_key].lines):
            return f"nothing in this session has the id {row.key.split('.')[2]} any more"
        if line is None:
            here = "this session" if row.exercise.casefold() in self.exercises else "the block"
            return f"no longer in {here}"
        chosen = {name.casefold() for name in line.slot.stand_ins}
        if row.exercise.casefold() not in (_name(line), *chosen):
            return f"now {line.exercise.name}"
        if row.key not in self.rows:
            return "no feeler now" if is_feeler(row.key) else "fewer sets now"
        return ""


def _name(line: Line) -> str:
    return line.exercise.name.casefold()


@dataclass
class _Carrying:
    """The rows taken so far: kept by key, and left with the reason."""

    plan: _Plan
    kept: dict[str, TypedRow] = field(default_factory=dict)
    left: list[tuple[TypedRow, str]] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)

    def take(self, row: TypedRow, sessions: dict[str, PlannedSession]) -> None:
        """One more row, over an earlier copy of it. sessions: those of the workbook it stands in, by key."""
        why = self.plan.why_not(row)
        session_key, name = row.key.rsplit(".", 1)
        if row.is_about_pain and name == "pain":
            row, why = self._pain(row, why, sessions[session_key])
        elif not why and row.is_about_pain:
            why = self._why_pain_left(session_key)
        if why:
            self._leave(row, why)
            return
        before = self.kept.get(row.key, row)
        for column in _differing(before, row):
            self.remarks.append(
                f"{_place(row)}, {row.exercise}, {row.set}: {spoken(column, self.plan.block)} differs between "
                f"the files, {getattr(before, column)} and {getattr(row, column)}; the later named file is used."
            )
        self.kept[row.key] = _both(before, row)

    def take_back(self, row: TypedRow) -> None:
        """A row of an Earlier log: to its place if that is there again and free, else it stays on the sheet.

        Pain stays there: its letter is one of a block that is gone.
        """
        there = self.kept.get(row.key, row)
        if self.plan.why_not(row) or row.is_about_pain or _differing(there, row):
            self._leave(row, _ON_IT_BEFORE)
        else:
            self.kept[row.key] = _both(row, there)

    def _leave(self, row: TypedRow, why: str) -> None:
        """Copies of a row become one unless they differ; then each stays."""
        for place, (before, reason) in enumerate(self.left):
            if (before.key, before.exercise) == (row.key, row.exercise) and not _differing(before, row):
                self.left[place] = _both(before, row), reason
                return
        self.left.append((row, why))

    def _why_pain_left(self, session_key: str) -> str:
        return next((why for row, why in self.left if row.key == f"{session_key}.pain"), "")

    def _pain(self, row: TypedRow, why: str, was: PlannedSession) -> tuple[TypedRow, str]:
        """Pain that names an exercise by its letter goes where that exercise goes.

        Of one that is gone it counts for the whole session: what trains the same may hurt as well.
        """
        now = self.plan.sessions.get(was.key, was)
        typed = as_text(row.load).casefold()
        old = next((line for line in was.lines if line.label.casefold() == typed), None)
        if old is None:
            letters = [[(line.label, _name(line)) for line in session.lines] for session in (was, now)]
            if not nothing_hurts.value(typed) and typed not in SAYS_ALL and letters[0] != letters[1]:
                said = f"{row.load} (before the change)"  # no list of letters any more: it counts for every exercise
                self.remarks.append(f'{_place(row)}: the letters changed, so pain "{row.load}" is now "{said}".')
                return replace(row, load=said), why
            return row, why
        same = [line for line in now.lines if _name(line) == _name(old)]
        new = next((line for line in same if line.slot_key == old.slot_key), same[0] if same else None)
        if why:
            self.remarks.append(
                f'{_place(row)}: pain "{row.load}", {old.exercise.name}, has no session any more and holds no load: '
                "set hurts for the exercises that train the same."
            )
            return replace(row, note=f"{row.load}: {old.exercise.name}"), why
        if new is None:
            said = f"{old.exercise.name} (before the change)"
            self.remarks.append(
                f'{_place(row)}: pain "{row.load}" is now "{said}", as that exercise is gone: it counts for every '
                "exercise of the session until none is typed."
            )
            return replace(row, load=said), ""
        if new.label == old.label:
            return row, ""
        self.remarks.append(f'{_place(row)}: pain "{row.load}" is now "{new.label}", as {old.exercise.name} moved.')
        return replace(row, load=new.label), ""


def _weeks(number: int) -> str:
    return f"{number} week{'s' if number > 1 else ''}"


def _place(row: TypedRow) -> str:
    return row.session if row.is_of_meet else f"Week {row.week} {row.session}"


# What is refused, and what is said


def _refuse_what_does_not_belong(log: BlockLog, spec: Specification) -> None:
    old, new = log.spec, spec
    if _folded(old.lifter.name) != _folded(new.lifter.name):
        raise BlockbookError(
            f"{log.file}: this is {old.lifter.name}'s workbook, the specification is {new.lifter.name}'s. Name the "
            "workbook that this lifter sent back, or correct the name in the specification."
        )
    if _folded(old.block.title) != _folded(new.block.title) and old.block.start != new.block.start:
        raise BlockbookError(
            f'{log.file}: this is another block, "{old.block.title}" from {old.block.start}; the specification is '
            f'"{new.block.title}" from {new.block.start}. A changed block keeps its title or its start.'
        )
    if old.block.unit != new.block.unit:
        raise BlockbookError(
            f"{log.file}: its loads were typed in {old.block.unit}, the specification is in {new.block.unit}. Keep "
            f"the unit {old.block.unit} until the block is over; the next one can be in {new.block.unit}."
        )
    unclear = list(mixed_up(old, new, {row.key for row in typed_rows(log) if not row.is_of_meet}))
    if unclear:
        raise BlockbookError("\n".join(f"{log.file}: {sentence}" for sentence in unclear))


def _folded(name: str) -> str:
    return " ".join(name.split()).casefold()


def _changes(old: Specification, new: Specification) -> Iterator[str]:
    """What changed about the block as a whole."""
    if old.block.start != new.block.start:
        yield (
            f"The start moved from {old.block.start} to {new.block.start}: the log keeps its weeks and sessions, dates "
            "stay as typed."
        )
    if old.block.weeks != new.block.weeks:
        yield f"The block was {_weeks(old.block.weeks)} long and is {_weeks(new.block.weeks)} now."
    if old.block.effort_as != new.block.effort_as:
        yield f"Effort was typed as {old.block.effort_as} and is typed as {new.block.effort_as} now: written anew."
    if old.block.title != new.block.title:
        yield f'The title was "{old.block.title}".'
    was, now = _session_names(old), _session_names(new)
    gone, fresh = [own for own in was if own not in now], [own for own in now if own not in was]
    for own, other in zip(gone, fresh, strict=False):
        yield (
            f"Session {was[own]} is gone and {now[other]} is new. If it is the same under a new name, give it "
            f"id: {own} (in a plan workbook {own} under Session id, far right on the Plan) and build again."
        )


def _session_names(spec: Specification) -> dict[str, str]:
    return dict(zip(session_ids(spec), (session.name for session in spec.sessions), strict=True))


_NOT_CARRIED = (
    "row-missing", "row-unknown", "row-duplicate", "row-unplaced", "week-missing", "typed-beside", "comment-on-cell",
)  # fmt: skip


def _not_in_the_log(log: BlockLog) -> Iterator[str]:
    """Rows that could not be placed when the file was read cannot be carried."""
    lost = sum(found.code in _NOT_CARRIED for found in log.findings)
    if lost:
        yield (
            f"{log.file}: {lost} finding{'s' if lost > 1 else ''} on rows or words that have no place in the workbook; "
            f"look before you mail: blockbook read {log.file}"
        )
