"""A returned workbook -> its log: open, find the block, find the rows, understand the cells, check."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from blockbook.errors import BlockbookError
from blockbook.formula.functions import Scalar
from blockbook.intake import cells
from blockbook.intake.checks import checked
from blockbook.intake.findings import Finding, finding
from blockbook.intake.log import BlockLog, LoggedSession, LoggedSet
from blockbook.intake.opening import open_grids
from blockbook.intake.rows import FoundRow, find_rows, manifest_column
from blockbook.sheet.calculation import Calculation
from blockbook.training.prescription import PlannedSet
from blockbook.workbook.assemble import BlockBook, assemble
from blockbook.workbook.layout import (
    SESSION_INPUTS,
    LinePlace,
    SessionPlace,
    input_name,
    session_input_key,
    week_sheet,
)
from blockbook.workbook.manifest import Manifest, read_manifest

_TEXTS = ("pain", "where")


def read_workbook(path: str | Path) -> BlockLog:
    """Read one returned workbook.

    Targets and estimates are recomputed from what was typed; cached values in the file are
    never trusted. Raises BlockbookError, naming the file, if it is not one of our workbooks.
    """
    path = Path(path)
    grids = open_grids(path)
    column = manifest_column(grids)
    if column is None:
        raise BlockbookError(
            f"{path}: this is not a workbook built by blockbook (its hidden manifest is missing). Check that it is "
            "the file you mailed; if a program dropped the hidden sheet, ask for the file as .xlsx."
        )
    try:
        manifest = read_manifest(column)
    except BlockbookError as error:
        raise BlockbookError(f"{path}: {error}") from None
    workbook = assemble(manifest.spec)
    rows, findings = find_rows(grids, _expected_keys(workbook))
    return _Reader(path.name, manifest, workbook, rows, findings).read()


def _expected_keys(workbook: BlockBook) -> set[str]:
    keys = set()
    for place in _sessions(workbook):
        keys |= {session_input_key(place.session.key, asked.name) for asked in SESSION_INPUTS}
        keys |= {planned.key for _, planned in _sets(place)}
    return keys


def _sessions(workbook: BlockBook) -> Iterator[SessionPlace]:
    for week in workbook.weeks:
        yield from week


def _sets(place: SessionPlace) -> Iterator[tuple[LinePlace, PlannedSet]]:
    for line in place.lines:
        for planned in line.line.sets:
            yield line, planned


@dataclass
class _Reader:
    file: str
    manifest: Manifest
    workbook: BlockBook
    rows: Mapping[str, FoundRow]
    findings: list[Finding]
    inputs: dict[str, Scalar] = field(default_factory=dict)
    readings: dict[str, cells.Reading] = field(default_factory=dict)

    def read(self) -> BlockLog:
        self._report_missing_rows()
        for place in _sessions(self.workbook):
            for line, planned in _sets(place):
                self._understand_set(planned, line.line.exercise.name)
            self._understand_session(place)
        calculation = Calculation(self.workbook.book, self.inputs)
        places = list(_sessions(self.workbook))
        sets = tuple(
            self._logged_set(calculation, place, line, planned) for place in places for line, planned in _sets(place)
        )
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
        )
        findings = self.findings + checked(log)
        return replace(log, findings=tuple(sorted(findings, key=_urgency)))

    def _report_missing_rows(self) -> None:
        for week, places in enumerate(self.workbook.weeks, start=1):
            keys = [planned.key for place in places for _, planned in _sets(place)]
            missing = [key for key in keys if key not in self.rows]
            inputs = [session_input_key(place.session.key, asked.name) for place in places for asked in SESSION_INPUTS]
            if keys and len(missing) == len(keys):
                message = f"No row of week {week} is in the file: its sheet was deleted or its key column lost."
                self.findings.append(finding("week-missing", message, week_sheet(week)))
                continue
            for key in [*missing, *(key for key in inputs if key not in self.rows)]:
                message = f"The row {key} is not in the file: it was deleted or its key was lost."
                self.findings.append(finding("row-missing", message, week_sheet(week), "", key))

    # Understanding what was typed

    def _understand_set(self, planned: PlannedSet, exercise: str) -> None:
        key = planned.key
        row = self.rows.get(key)
        if row is None:
            return
        unit = self.manifest.spec.block.unit
        for column, reading in (
            ("load", cells.read_load(row.raw["load"], unit)),
            ("reps", cells.read_reps(row.raw["reps"])),
            ("rpe", cells.read_effort(row.raw["rpe"])),
        ):
            word = {"rpe": "effort"}.get(column, column)
            what = f"{exercise}, {f'set {planned.number}' if planned.number else 'feeler'}, {word}"
            self._keep(input_name(key, column), reading, row, column, what)

    def _understand_session(self, place: SessionPlace) -> None:
        for asked in SESSION_INPUTS:
            key = session_input_key(place.session.key, asked.name)
            row = self.rows.get(key)
            if row is None:
                continue
            what = f"{place.session.name}, {asked.name.replace('_', ' ')}"
            if asked.name in _TEXTS:
                typed = row.raw["load"]
                self.inputs[key] = typed if isinstance(typed, float) else _text(typed) or None
            elif asked.name == "body_weight":
                self._keep(key, cells.read_load(row.raw["load"], self.manifest.spec.block.unit), row, "load", what)
            elif asked.name == "date":
                self.inputs[key] = cells.seen_as_day(row.raw["load"])
            else:
                self._keep(key, cells.read_number(row.raw["load"]), row, "load", what)

    def _keep(self, name: str, reading: cells.Reading, row: FoundRow, column: str, what: str) -> None:
        self.inputs[name] = reading.value
        self.readings[name] = reading
        if not reading.code:
            return
        if reading.value is None:
            message = f'{what}: "{reading.raw}" is {reading.remark}; it is kept as typed.'
        else:
            message = f"{what}: {reading.remark}."
        self.findings.append(finding(reading.code, message, row.sheet, row.cells[column], reading.raw))

    # The log

    def _logged_set(
        self, calculation: Calculation, place: SessionPlace, line: LinePlace, planned: PlannedSet
    ) -> LoggedSet:
        row = self.rows.get(planned.key)
        typed = {name: self.readings.get(input_name(planned.key, name)) for name in ("load", "reps", "rpe")}
        number = planned.number
        _, session, slot, _ = planned.key.split(".")
        return LoggedSet(
            key=planned.key,
            week=place.session.week,
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
            note=_text(row.raw["note"]) if row else "",
            one_rep_max=calculation.number(line.cell("one_rep_max", number)),
            sheet=row.sheet if row else line.sheet,
            cell=row.cells["load"] if row else "",
            plausible=calculation.number(line.cell("plausible", number)) != 0,
            raw={name: reading.raw for name, reading in typed.items() if reading and reading.code},
            cells=row.cells if row else {},
        )

    def _logged_session(self, calculation: Calculation, place: SessionPlace) -> LoggedSession:
        session = place.session
        found = {asked.name: self.rows.get(session_input_key(session.key, asked.name)) for asked in SESSION_INPUTS}
        raw = {name: row.raw["load"] for name, row in found.items() if row}
        readings = {name: self.readings.get(session_input_key(session.key, name)) for name in raw}
        day, typed_date = cells.read_date(raw.get("date", ""), near=session.day)
        odd = {name: reading.raw for name, reading in readings.items() if reading and reading.code}
        if typed_date and day is None:
            odd["date"] = typed_date
            row = found["date"]
            if row:
                message = f'"{typed_date}" was not understood as a date; it is kept as typed.'
                self.findings.append(finding("not-a-date", message, row.sheet, row.cells["load"], typed_date))
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
            pain=_text(raw.get("pain", "")),
            where=_text(raw.get("where", "")),
            hurts=any(calculation.number(self.workbook.workings.cell(line, "pain")) for line in place.session.lines),
            load=calculation.number(place.load_cell),
            sheet=next((row.sheet for row in found.values() if row), place.sheet),
            cells={name: row.cells["load"] for name, row in found.items() if row},
            raw=odd,
        )


def _urgency(found: Finding) -> tuple[bool, int]:
    return not found.code.startswith("pain-"), ("error", "warning", "note").index(found.severity)


def _value(reading: cells.Reading | None) -> float | None:
    return reading.value if reading else None


def _text(value: Any) -> str:
    if isinstance(value, float):
        return f"{value:.15g}"
    return "" if value is None else str(value).strip()
