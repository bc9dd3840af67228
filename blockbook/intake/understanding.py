"""The typed cells of a block's rows -> what they say, every formula recomputed from them, and the checks."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from blockbook.formula.functions import Scalar
from blockbook.intake import cells, dates
from blockbook.intake.checks import checked
from blockbook.intake.findings import KINDS, PAIN, Finding, finding
from blockbook.intake.found import FoundCell, FoundRow, as_text
from blockbook.intake.instead import stand_in_meant
from blockbook.intake.log import Accepted, BlockLog, LoggedSession, LoggedSet, Unplaced
from blockbook.intake.meet_day import MeetUnderstanding, meet_keys, said_of_meet
from blockbook.languages import day_text, speaking
from blockbook.sheet.calculation import Calculation
from blockbook.spec.catalogue import Exercise, shown_name
from blockbook.spec.models import Block
from blockbook.training.loading import ladder
from blockbook.training.pain import says_none
from blockbook.training.plausibility import BOTH_HANDS, OTHER_UNIT
from blockbook.training.prescription import PlannedSet
from blockbook.workbook.assemble import BlockBook
from blockbook.workbook.earlier import TypedRow
from blockbook.workbook.layout import (
    SESSION_INPUTS,
    LinePlace,
    SessionPlace,
    as_typed,
    heading_of,
    input_name,
    session_input_key,
    spoken,
    week_sheet,
)
from blockbook.workbook.manifest import Manifest
from blockbook.workbook.row_key import is_set, session_of

_TEXTS = ("pain", "where")

CONVERTED_ROUNDING = 0.01
"""Share by which a load in the other unit may miss the one that can be made: 52 kg is 115 lb. Common practice."""


def describer(workbook: BlockBook) -> Callable[[str, str], str]:
    """Words for a row key and a column: "back squat, set 1, load"."""
    block = workbook.spec.block
    words = {
        planned.key: f"{line.line.exercise.name}, {f'set {planned.number}' if planned.number else 'feeler'}"
        for place in workbook.sessions
        for line, planned in place.sets
    }
    for place in workbook.sessions:
        words |= {
            session_input_key(place.session.key, asked.name): f"{place.session.name}, {spoken(asked.name, block)}"
            for asked in SESSION_INPUTS
        }
        words |= {line.instead_key: f"{line.line.exercise.name}, instead" for line in place.lines}
    words |= {key: f"Meet, {said_of_meet(key)}" for key in meet_keys(workbook)}

    def describe(key: str, column: str) -> str:
        named = f", {spoken(column, block)}" if column and is_set(key) else ""
        return words[key] + named

    return describe


def shown(name: str, value: float, block: Block) -> str:
    """A value of an input as people read it and would type it: a date as a date, an effort in the lifter's way."""
    day = dates.read_date(value)[0] if name.endswith(".date") else None
    return day_text(day) if day else f"{as_typed(name, value, block):.15g}"


@dataclass
class Understanding:
    """Understands the cells of a block's rows, recomputes every formula from them, and checks."""

    file: str
    manifest: Manifest
    workbook: BlockBook
    rows: Mapping[str, FoundRow]
    findings: list[Finding]
    unplaced: tuple[Unplaced, ...]
    earlier: tuple[TypedRow, ...]
    accepted: Mapping[str, Accepted]
    read_on: date
    inputs: dict[str, Scalar] = field(default_factory=dict)
    typed: dict[str, Any] = field(default_factory=dict)
    readings: dict[str, cells.Reading] = field(default_factory=dict)
    instead: dict[str, str] = field(default_factory=dict)
    ticks: list[tuple[FoundCell, LinePlace, PlannedSet, str]] = field(default_factory=list)
    not_done: set[str] = field(default_factory=set)
    understood: dict[tuple[str, str], list[tuple[str, cells.Reading, FoundCell]]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.describe = describer(self.workbook)

    def read(self) -> BlockLog:
        self._report_missing_rows()
        for place in self.workbook.sessions:
            for line in place.lines:
                if line.instead_row is not None:
                    self._understand_instead(line)
            for line, planned in place.sets:
                self._understand_set(line, planned)
            self._understand_session(place)
        self._tell_understood()
        self._correct()
        meet = MeetUnderstanding(self.workbook, self.rows)
        meet.read()
        self.inputs |= meet.inputs
        self.typed |= meet.typed
        calculation = Calculation(self.workbook.book, self.inputs)
        self._offer_targets_for_ticks(calculation)
        places = list(self.workbook.sessions)
        sets = tuple(self._logged_set(calculation, line, planned) for place in places for line, planned in place.sets)
        sessions = tuple(self._logged_session(calculation, place) for place in places)
        log = BlockLog(
            file=self.file,
            spec=self.manifest.spec,
            digest=self.manifest.digest,
            sets=sets,
            sessions=sessions,
            findings=(),
            workbook=self.workbook,
            inputs=self.inputs,
            calculation=calculation,
            typed=self.typed,
            unplaced=self.unplaced,
            earlier=self.earlier,
            meet=meet.day(calculation),
            read_on=self.read_on,
        )
        findings = self.findings + meet.findings + checked(log)
        return replace(log, findings=tuple(sorted(findings, key=_urgency)))

    def _report_missing_rows(self) -> None:
        for week, places in enumerate(self.workbook.weeks, start=1):
            keys = [planned.key for place in places for _, planned in place.sets]
            missing = [key for key in keys if key not in self.rows]
            inputs = [session_input_key(place.session.key, asked.name) for place in places for asked in SESSION_INPUTS]
            if keys and len(missing) == len(keys):
                message = f"No row of week {week} is in the file: its sheet was deleted or its key column lost."
                self.findings.append(finding("week-missing", message, week_sheet(week)))
                continue
            inputs += [line.instead_key for place in places for line in place.lines if line.instead_row is not None]
            for key in [*missing, *(key for key in inputs if key not in self.rows)]:
                message = f"The row {key} is not in the file: it was deleted or its key was lost."
                self.findings.append(finding("row-missing", message, week_sheet(week), "", key))

    # Understanding what was typed

    def _understand_set(self, line: LinePlace, planned: PlannedSet) -> None:
        row = self.rows.get(planned.key)
        if row is None:
            return
        exercise = line.line.exercise
        for column in ("load", "reps", "rpe"):
            if column not in row.cells:
                continue
            cell, raw = row.cells[column], row.cells[column].value
            reading = self._as_above(line, planned, column) if cells.means_same(raw) else None
            if reading is None:
                block = self.manifest.spec.block
                reading = self._read_load(raw, exercise) if column == "load" else cells.read_typed(column, raw, block)
            self._keep(input_name(planned.key, column), reading, cell, self.describe(planned.key, column))
            if reading.code == "tick":
                self.ticks.append((cell, line, planned, column))
        note = row.cells["note"].value if "note" in row.cells else None
        self.typed[input_name(planned.key, "note")] = note
        self.inputs[input_name(planned.key, "note")] = as_text(note) or None  # a word of pain in it counts
        self._take_from_target(planned, row, exercise)
        self._report_beside(planned.key, row)

    def _read_load(self, raw: Any, exercise: Exercise) -> cells.Reading:
        """A load; one typed in the other unit as the load that the equipment makes, if only rounding is between."""
        spec, per_hand = self.manifest.spec, exercise.is_per_hand
        reading = cells.read_load(raw, spec.block.unit, per_hand)
        if reading.code != "unit-converted" or not reading.value:
            return reading
        load, rungs = reading.value, ladder(exercise.implement, spec.equipment)
        made = min((rung.load for rung in rungs), key=lambda other: abs(other - load), default=load)
        if made == load or abs(made - load) > CONVERTED_ROUNDING * load:
            return reading
        return replace(reading, value=made, remark=f"{reading.remark}, taken as {made:g}, the load that is made")

    def _as_above(self, line: LinePlace, planned: PlannedSet, column: str) -> cells.Reading | None:
        """What "same" says: the number of the set above, where that has one."""
        above = [number for number in line.set_rows if number < planned.number]
        key = next((other.key for other in line.line.sets if above and other.number == above[-1]), "")
        before = self.readings.get(input_name(key, column))
        row = self.rows[planned.key]
        if before is None or before.value is None:
            return None
        raw = as_text(row.cells[column].value)
        said = shown(input_name(key, column), before.value, self.manifest.spec.block)
        return cells.Reading(before.value, raw, f'"{raw}" taken as {said}, as above', "number-understood")

    def _take_from_target(self, planned: PlannedSet, row: FoundRow, exercise: Exercise) -> None:
        """A load typed over the target, with the load's own cell left empty, is the load."""
        over = next((row.beside[name] for name in ("target", "planned") if name in row.beside), None)
        own = row.cells.get("load")
        if over is None or (own is not None and not own.empty):
            return
        reading = self._read_load(over.value, exercise)
        if reading.value is None:
            return
        name = input_name(planned.key, "load")
        self.inputs[name] = reading.value
        self.typed[name] = over.value
        self.readings[name] = replace(reading, raw=as_text(over.value), code="number-understood")
        message = (
            f"{self.describe(planned.key, 'load')}: {reading.value:.15g} was typed over the target, and the load's own "
            "cell is empty, so it was taken as the load."
        )
        self.findings.append(finding("load-in-target", message, over.sheet, over.address, as_text(over.value)))

    def _report_beside(self, key: str, row: FoundRow) -> None:
        for name, cell in row.beside.items():
            where = heading_of(name, self.manifest.spec.block)
            message = (
                f'{self.describe(key, "")}: "{as_text(cell.value)}" stands under "{where}", where nothing is asked for.'
            )
            self.findings.append(finding("typed-beside", message, cell.sheet, cell.address, as_text(cell.value)))
        for comment in row.comments:
            message = f'{self.describe(key, "")}: a comment says "{comment.value}". It is kept behind the note.'
            self.findings.append(finding("comment-on-cell", message, comment.sheet, comment.address, comment.value))

    def _understand_instead(self, line: LinePlace) -> None:
        """The exercise that was done in place of the planned one: one of the coach's stand-ins, or what was typed."""
        key, spec = line.instead_key, self.manifest.spec
        row = self.rows.get(key)
        if row is None or "load" not in row.cells:
            return
        cell = row.cells["load"]
        typed = as_text(cell.value)
        self.typed[key], self.inputs[key] = cell.value, typed or None
        self._report_beside(key, row)
        with speaking(spec.lifter.language):
            planned = line.line.exercise
            if says_none.value(typed) or typed.casefold() in (planned.name.casefold(), shown_name(planned).casefold()):
                return
            said = {name: shown_name(spec.exercise(name)) for name in line.line.slot.stand_ins}
        known = self._of_the_catalogue(typed)
        name, how = (
            (None, False) if known and known.casefold() not in map(str.casefold, said) else stand_in_meant(typed, said)
        )
        if name is None:
            message = f'{self.describe(key, "")}: "{typed}" is none of the stand-ins. Its sets count for no exercise.'
            self.findings.append(finding("stand-in-unknown", message, cell.sheet, cell.address, typed))
        elif how:
            message = f'{self.describe(key, "")}: read "{typed}" as {name}.'
            self.findings.append(finding("stand-in-understood", message, cell.sheet, cell.address, typed))
        self.inputs[key] = typed if name is None else said[name]
        self.instead[key] = name or known or typed

    def _of_the_catalogue(self, typed: str) -> str:
        """The name of an exercise of ours or the coach's, as it is written there; "" for any other text."""
        known = self.manifest.spec.catalogue.get(typed.casefold())
        return known.name if known else ""

    def _understand_session(self, place: SessionPlace) -> None:
        for asked in SESSION_INPUTS:
            key = session_input_key(place.session.key, asked.name)
            row = self.rows.get(key)
            if row is None or "load" not in row.cells:
                continue
            cell, raw, what = row.cells["load"], row.cells["load"].value, self.describe(key, "load")
            if asked.name in _TEXTS:
                self.inputs[key] = raw if isinstance(raw, float) else as_text(raw) or None
                self.typed[key] = raw
            elif asked.name == "body_weight":
                self._keep(key, cells.read_load(raw, self.manifest.spec.block.unit), cell, what)
            elif asked.name == "date":
                self.inputs[key] = dates.seen_as_day(raw)
                self.typed[key] = raw
            else:
                read = {"sleep": cells.read_hours, "minutes": cells.read_minutes}.get(asked.name, cells.read_number)
                reading = read(raw)
                self._keep(key, reading, cell, what)
            self._report_beside(key, row)

    def _keep(self, name: str, reading: cells.Reading, cell: FoundCell, what: str) -> None:
        self.inputs[name] = self._as_typed(name, reading.value)
        self.readings[name] = reading
        self.typed[name] = cell.value
        key = name.partition("/")[0]
        if not reading.code or reading.code == "tick" or (reading.code == "not-done" and key in self.not_done):
            return  # a set is said to be left out once, however many of its cells say so
        if reading.code == "not-done":
            self.not_done.add(key)
        if KINDS[reading.code].severity == "note" and reading.value is not None:
            self.understood.setdefault((session_of(key), reading.code), []).append((what, reading, cell))
        elif reading.value is None:
            message = f'{what}: "{reading.raw}" is {reading.remark}; it is kept as typed.'
            self.findings.append(finding(reading.code, message, cell.sheet, cell.address, reading.raw))
        else:
            message = f"{what}: {reading.remark}."
            self.findings.append(finding(reading.code, message, cell.sheet, cell.address, reading.raw))

    def _tell_understood(self) -> None:
        """What was understood though it was no plain number, each kind once a session."""
        for (_, code), cells_read in self.understood.items():
            alike: dict[str, list[str]] = {}
            for what, reading, cell in cells_read:
                place = f"{what} ({cell.address})" if len(cells_read) > 1 else what
                alike.setdefault(reading.remark, []).append(place)
            (_, _, first), *_ = cells_read
            message = ". ".join(f"{', '.join(places)}: {remark}" for remark, places in alike.items())
            raw = "; ".join(dict.fromkeys(reading.raw for _, reading, _ in cells_read))
            self.findings.append(finding(code, f"{message}.", first.sheet, first.address, raw))

    def _correct(self) -> None:
        """Put in place what the coach accepted; what was typed is kept beside it."""
        for name, (value, instead_of) in self.accepted.items():
            key, _, column = name.partition("/")
            if name not in self.inputs or (column or "load") not in self.rows[key].cells:
                continue
            cell, now_is = self.rows[key].cells[column or "load"], self.inputs[name]
            number = self._as_typed(name, float(now_is)) if isinstance(now_is, (int, float)) else None
            before = self.readings.get(name) or cells.Reading(number, as_text(cell.value))
            if before.value != instead_of:
                now = f'{self.describe(key, column)}: "{as_text(cell.value)}"'
                message = f"{now} was typed since the review; its correction was not used."
                self.findings.append(finding("correction-outdated", message, cell.sheet, cell.address, before.raw))
                continue
            used = "left out" if value is None else shown(name, value, self.manifest.spec.block)
            message = f'{self.describe(key, column)}: "{before.raw}" as typed, {used} as accepted in the review.'
            self.findings.append(finding("corrected", message, cell.sheet, cell.address, before.raw))
            self.inputs[name] = self._as_typed(name, value)
            self.readings[name] = cells.Reading(value, before.raw, code="corrected")

    def _as_typed(self, name: str, value: float | None) -> float | None:
        return None if value is None else as_typed(name, value, self.manifest.spec.block)

    def _offer_targets_for_ticks(self, calculation: Calculation) -> None:
        for cell, line, planned, column in self.ticks:
            asked = {
                "load": calculation.number(line.cell("target", planned.number)),
                "reps": calculation.number(line.cell("target_reps", planned.number)),
                "rpe": planned.rpe,
            }[column]
            what = self.describe(planned.key, column)
            message = f'{what}: "{as_text(cell.value)}" is a tick, not a number; it is kept as typed.'
            likely = {} if asked is None else {input_name(planned.key, column): asked}
            self.findings.append(finding("tick", message, cell.sheet, cell.address, as_text(cell.value), likely))

    # The log

    def _logged_set(self, calculation: Calculation, line: LinePlace, planned: PlannedSet) -> LoggedSet:
        row = self.rows.get(planned.key, FoundRow({}))
        typed = {name: self.readings.get(input_name(planned.key, name)) for name in ("load", "reps", "rpe")}
        number, block = planned.number, self.manifest.spec.block
        week, session, slot, _ = planned.key.split(".")
        texts = [*([row.cells["note"].value] if "note" in row.cells else []), *(c.value for c in row.comments)]
        # Of several copies, the one that something was typed in.
        first = next((cell for cell in row.cells.values() if not cell.empty), next(iter(row.cells.values()), None))
        return LoggedSet(
            key=planned.key,
            week=int(week[1:]),
            session=session,
            slot=slot,
            set=number,
            kind=planned.kind,
            exercise=line.line.exercise.name,
            target_reps=calculation.number(line.cell("target_reps", number)) or planned.reps,
            target_rpe=planned.rpe,
            target_load=calculation.number(line.cell("target", number)),
            load=_value(typed["load"]),
            reps=_value(typed["reps"]),
            rpe=_value(typed["rpe"]),
            note="; ".join(text for text in map(as_text, texts) if text),
            one_rep_max=calculation.number(line.cell("one_rep_max", number)),
            sheet=first.sheet if first else line.sheet,
            cell=row.cells["load"].address if "load" in row.cells else "",
            plausible=calculation.number(line.cell("plausible", number)) == 1,
            doubled=calculation.number(line.cell("plausible", number)) == BOTH_HANDS,
            converted=calculation.number(line.cell("plausible", number)) == OTHER_UNIT,
            raw={name: reading.raw for name, reading in typed.items() if reading and reading.code}
            | {heading_of(name, block): as_text(cell.value) for name, cell in row.beside.items()},
            cells={name: cell.address for name, cell in row.cells.items()},
            in_reserve=block.in_reserve,
            instead=self.instead.get(line.instead_key, ""),
        )

    def _logged_session(self, calculation: Calculation, place: SessionPlace) -> LoggedSession:
        session = place.session
        found = {asked.name: self.rows.get(session_input_key(session.key, asked.name)) for asked in SESSION_INPUTS}
        here = {name: row.cells["load"] for name, row in found.items() if row and "load" in row.cells}
        raw = {name: cell.value for name, cell in here.items()}
        readings = {name: self.readings.get(session_input_key(session.key, name)) for name in raw}
        day, typed_date = dates.read_date(raw.get("date", ""), near=session.day)
        if (accepted := readings.get("date")) and accepted.code == "corrected":
            day, typed_date = dates.read_date(accepted.value)
        odd = {name: reading.raw for name, reading in readings.items() if reading and reading.code}
        for name, row in found.items():
            if row:
                odd |= {
                    f"{name}, {heading_of(at, self.manifest.spec.block)}": as_text(cell.value)
                    for at, cell in row.beside.items()
                }
                odd |= {f"{name}, comment": comment.value for comment in row.comments}
        if typed_date and day is None:
            odd["date"] = typed_date
            cell = here["date"]
            message = f'"{typed_date}" was not understood as a date; it is kept as typed.'
            self.findings.append(finding("not-a-date", message, cell.sheet, cell.address, typed_date))
        elif day is not None and dates.lacks_year(raw["date"]):
            message = f'"{as_text(raw["date"])}" was taken as {day_text(day)}, the year nearest to the plan.'
            cell, odd["date"] = here["date"], as_text(raw["date"])
            self.findings.append(finding("date-understood", message, cell.sheet, cell.address, as_text(raw["date"])))
        return LoggedSession(
            key=session.key,
            week=session.week,
            session=session.key.split(".", 1)[1],
            name=session.name,
            planned_date=session.day,
            date=day,
            effort=_value(readings.get("effort")),
            minutes=_value(readings.get("minutes")),
            body_weight=_value(readings.get("body_weight")),
            sleep=_value(readings.get("sleep")),
            soreness=_value(readings.get("soreness")),
            pain=as_text(raw.get("pain", "")),
            where=as_text(raw.get("where", "")),
            hurts=any(calculation.number(self.workbook.workings.cell(line, "pain")) for line in place.session.lines),
            load=calculation.number(place.load_cell),
            sheet=next((cell.sheet for cell in here.values()), place.sheet),
            cells={name: cell.address for name, cell in here.items()},
            raw=odd,
        )


def _urgency(found: Finding) -> tuple[bool, int]:
    return found.code not in PAIN, ("error", "warning", "note").index(found.severity)


def _value(reading: cells.Reading | None) -> float | None:
    return reading.value if reading else None
