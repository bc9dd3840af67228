"""Honest logs of simulated lifters, built without files so that thousands can be checked."""

from __future__ import annotations

import math
import zlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import chain
from typing import Any

import numpy as np

from blockbook.formula.arrays import Numbers
from blockbook.formula.functions import day_number
from blockbook.intake.log import BlockLog, LoggedSession, LoggedSet
from blockbook.rehearsal.crowd import Crowd
from blockbook.rehearsal.playing import Asked, Playing, as_the_sheet_says, invited, play
from blockbook.sheet.array_calculation import ArrayCalculation
from blockbook.sheet.calculation import Calculation
from blockbook.spec.models import Specification
from blockbook.training.plausibility import BOTH_HANDS, OTHER_UNIT
from blockbook.training.prescription import PlannedSet
from blockbook.training.simulated import POPULATIONS
from blockbook.workbook.assemble import BlockBook, assemble
from blockbook.workbook.layout import LinePlace, SessionPlace, as_typed, input_name, session_input_key

Typed = dict[str, Any]
"""Input name -> what was typed: numbers, dates and texts; a note stands under "KEY/note"."""

OWN_MIND = 0.25
"""Share of exercises a session at which a lifter takes another load than the sheet's. Invented."""

OWN_MIND_SPREAD = 0.04
"""And how far, in logs. Invented."""

HARMLESS_NOTES = (
    "last rep slow", "felt good", "no pain", "grip slipped", "belt on", "pain free today", "knee does not hurt",
    "bar path better", "gym was full", "used straps", "nothing hurts", "tired",
)  # fmt: skip


@dataclass(frozen=True)
class Group:
    """Lifters of all populations who filled in the workbook of one specification, honestly."""

    workbook: BlockBook
    populations: tuple[str, ...]
    logs: tuple[Typed, ...]

    @property
    def spec(self) -> Specification:
        return self.workbook.spec


def play_group(spec: Specification, lifters: int, seed: int) -> Group:
    """So many lifters of each population."""
    workbook = assemble(spec)
    parts = tuple(invited(workbook.spec, people, lifters, seed) for people in POPULATIONS.values())
    *_, played = play(workbook, Crowd(parts), _with_a_mind_of_their_own(seed))
    populations = tuple(name for name in POPULATIONS for _ in range(lifters))
    logs = tuple(_typed(workbook, played.typed, i, seed) for i in range(len(populations)))
    return Group(workbook, populations, logs)


def _with_a_mind_of_their_own(seed: int) -> Any:
    """Like `as_the_sheet_says`, but now and then a lifter takes a load a little off it for all sets of an exercise."""

    def choose(playing: Playing, place: LinePlace, planned: PlannedSet) -> Asked:
        load, reps = as_the_sheet_says(playing, place, planned)
        if place.line.exercise.implement == "band":
            return load, reps
        number = playing.lifters.number
        chance = np.random.default_rng((seed, zlib.crc32(f"{place.line.slot_key} {place.line.week}".encode())))
        own = np.where(chance.random(number) < OWN_MIND, chance.standard_normal(number) * OWN_MIND_SPREAD, 0)
        rungs = playing.ladders[place.line.exercise.implement]
        wanted = load * np.exp(own)
        above = np.clip(np.searchsorted(rungs, wanted), 1, len(rungs) - 1)
        nearest = np.where(wanted - rungs[above - 1] < rungs[above] - wanted, rungs[above - 1], rungs[above])
        return np.where((own == 0) | np.isnan(load), load, nearest), reps

    return choose


def _typed(workbook: BlockBook, played: Mapping[str, Numbers], lifter: int, seed: int) -> Typed:
    chance = np.random.default_rng((seed, lifter, 99))
    typed: Typed = {name: plain(float(values[lifter])) for name, values in played.items()}
    form = 0.0
    planned_days = {place.session.day for place in chain.from_iterable(workbook.weeks)}
    for place in chain.from_iterable(workbook.weeks):
        keys = [planned.key for line in place.lines for planned in line.line.sets]
        form += 0.003 * chance.standard_normal()
        weight = workbook.spec.lifter.body_weight * math.exp(form + 0.006 * chance.standard_normal())
        late = place.session.day + timedelta(1)
        day = late if chance.random() < 0.2 and late not in planned_days else place.session.day
        length, felt = chance.standard_normal(), chance.standard_normal()
        done = [key for key in keys if typed[input_name(key, "reps")] is not None]
        if not done:
            continue
        efforts = [typed[input_name(key, "rpe")] for key in done if typed[input_name(key, "rpe")] is not None]
        effort = float(np.mean(efforts)) if efforts else 7.0
        typed |= {
            session_input_key(place.session.key, name): value
            for name, value in {
                "date": day,
                "effort": int(np.clip(round(effort - 0.7 + felt), 1, 10)),
                "minutes": 5 * round((10 + 3 * len(done) * math.exp(0.2 * length)) / 5),
                "body_weight": round(weight, 1),
                "pain": "none",
            }.items()
        }
        if chance.random() < 0.5:
            typed[f"{chance.choice(done)}/note"] = str(chance.choice(HARMLESS_NOTES))
    return typed


def plain(value: float) -> float | None:
    return None if math.isnan(value) else value


def read(workbook: BlockBook, logs: Sequence[Typed]) -> Iterator[BlockLog]:
    """The logs of workbooks with these cells filled in, as `read_workbook` gives them, findings apart."""
    names = {name for typed in logs for name in typed}
    arrays = {name: np.array([_number(typed.get(name)) for typed in logs]) for name in names}
    sheet = ArrayCalculation(workbook.book, arrays, len(logs))
    planned = [
        (place, line, one) for place in chain.from_iterable(workbook.weeks) for line in place.lines
        for one in line.line.sets
    ]  # fmt: skip
    computed = {
        one.key: {column: sheet.numbers(line.cell(column, one.number)) for column in _COMPUTED}
        for _, line, one in planned
    }
    block = workbook.spec.block
    patterns = [replace(_pattern(*one), in_reserve=block.in_reserve) for one in planned]
    for i, typed in enumerate(logs):
        said = {name: as_typed(name, v, block) if isinstance(v, float | int) else v for name, v in typed.items()}
        sets = tuple(_logged_set(pattern, said, computed[pattern.key], i) for pattern in patterns)
        sessions = tuple(_logged_session(place, typed) for place in chain.from_iterable(workbook.weeks))
        inputs = {name: day_number(v) if isinstance(v, date) else v for name, v in typed.items()}
        calculation = Calculation(workbook.book, inputs)
        yield BlockLog("simulated", workbook.spec, "", sets, sessions, (), workbook, inputs, calculation)


_COMPUTED = ("target_reps", "target", "one_rep_max", "plausible")


def _number(value: Any) -> float:
    if isinstance(value, date):
        return day_number(value)
    return float(value) if isinstance(value, (int, float)) else math.nan


def _pattern(place: SessionPlace, line: LinePlace, planned: PlannedSet) -> LoggedSet:
    _, session, slot, _ = planned.key.split(".")
    row = line.set_rows[planned.number] + 1
    cells = {"load": f"G{row}", "reps": f"H{row}", "rpe": f"I{row}", "note": f"J{row}"}
    return LoggedSet(
        planned.key, place.session.week, session, slot, planned.number, planned.kind, line.line.exercise.name,
        planned.reps, planned.rpe, None, None, None, None, "", None, line.sheet, cells["load"], cells=cells,
    )  # fmt: skip


def _logged_set(pattern: LoggedSet, typed: Typed, computed: Mapping[str, Numbers], lifter: int) -> LoggedSet:
    values = {column: plain(float(numbers[lifter])) for column, numbers in computed.items()}
    return replace(
        pattern,
        target_reps=values["target_reps"] or pattern.target_reps,
        target_load=values["target"],
        one_rep_max=values["one_rep_max"],
        plausible=values["plausible"] == 1,
        doubled=values["plausible"] == BOTH_HANDS,
        converted=values["plausible"] == OTHER_UNIT,
        load=typed.get(input_name(pattern.key, "load")),
        reps=typed.get(input_name(pattern.key, "reps")),
        rpe=typed.get(input_name(pattern.key, "rpe")),
        note=typed.get(input_name(pattern.key, "note"), ""),
    )


def _logged_session(place: SessionPlace, typed: Typed) -> LoggedSession:
    session = place.session
    said = {name: typed.get(session_input_key(session.key, name)) for name in place.input_rows}
    cells = {name: f"G{row + 1}" for name, row in place.input_rows.items()}
    return LoggedSession(
        key=session.key, week=session.week, session=session.key.split(".", 1)[1], name=session.name,
        planned_date=session.day, date=said["date"], effort=said["effort"], minutes=said["minutes"],
        body_weight=said["body_weight"], sleep=said["sleep"], soreness=said["soreness"], pain=said["pain"] or "",
        where=said["where"] or "", hurts=False, load=None, sheet=place.sheet, cells=cells,
    )  # fmt: skip
