"""Inject slips into honest logs, check them, count what was found and what it was called."""

from __future__ import annotations

import zlib
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import chain
from typing import NamedTuple

import numpy as np

from blockbook.intake.checks import checked
from blockbook.intake.findings import Finding
from blockbook.intake.log import BlockLog
from blockbook.rehearsal.playing import Playing, as_the_sheet_says, invited
from blockbook.spec.models import Specification
from blockbook.training.simulated import Population
from blockbook.workbook.layout import input_name
from tests.slips import injectors as inject
from tests.slips.logs import Group, Typed, plain, play_group, read


class Kind(NamedTuple):
    """A kind of slip and the code it should be called by."""

    name: str
    code: str
    injector: inject.Injector


KINDS: tuple[Kind, ...] = (
    Kind("point lost", "digit-slip", inject.point_lost),
    Kind("digit missing", "digit-slip", inject.digit_missing),
    Kind("digits turned round", "digit-slip", inject.digits_turned),
    Kind("digit doubled", "digit-slip", inject.digit_doubled),
    Kind("digit doubled in reps", "digit-slip", inject.reps_doubled),
    Kind("load and reps swapped", "load-reps-swapped", inject.swapped),
    Kind("other unit, one set", "unit-mixed-up", inject.unit_of_a_set),
    Kind("other unit, a session", "unit-mixed-up", inject.unit_of_a_session),
    Kind("other unit, the log", "unit-mixed-up", inject.unit_of_the_log),
    Kind("both hands, a session", "both-hands-together", inject.both_hands_in_a_session),
    Kind("reserve, one set", "reserve-for-effort", inject.reserve_in_a_set),
    Kind("reserve, a session", "reserve-for-effort", inject.reserves_in_a_session),
    Kind("reserve, the log", "reserve-for-effort", inject.reserves_in_the_log),
    Kind("rows one down", "rows-shifted", inject.rows_down),
    Kind("rows one up", "rows-shifted", inject.rows_up),
    Kind("last week copied", "last-week-copied", inject.last_week_copied),
    Kind("effort constant", "effort-constant", inject.effort_constant),
    Kind("effort falls", "effort-falls", inject.effort_falls),
    Kind("impossible progress", "impossible-progress", inject.impossible_progress),
    Kind("wrong number", "estimate-off-trend", inject.wrong_number),
    Kind("reps missed, low effort", "reps-missed-low-effort", inject.missed_at_low_effort),
    Kind("session effort", "session-effort-contradicts", inject.session_effort),
    Kind("another year", "date-outside-block", inject.date_of_another_year),
    Kind("two weeks off", "date-out-of-order", inject.date_weeks_off),
    Kind("same day", "sessions-same-day", inject.same_day),
    Kind("minutes", "minutes-impossible", inject.minutes),
    Kind("body weight", "body-weight-jumps", inject.body_weight),
    Kind("pain in a note", "pain-in-note", inject.pain_in_a_note),
)

PLAN, LIFTER = Kind("plan copied", "plan-copied", lambda _: None), Kind("wrong lifter", "wrong-lifter", lambda _: None)
"""These two are whole logs of their own, not changes of an honest one."""

OTHER_LIFTERS = (0.6, 0.7, 0.78, 1.3, 1.5, 1.7)
"""How strong the lifters are, beside the right one, whose log is in the wrong file."""


@dataclass
class Tally:
    """Of one kind: how many were injected, found at their place, and rightly corrected where a correction was given."""

    injected: int = 0
    found: int = 0
    named: int = 0
    corrected: int = 0
    right: int = 0
    called: Counter[str] = field(default_factory=Counter)


def believable_codes(log: BlockLog) -> list[Finding]:
    """The findings that are ours: those of slips, efforts and doubts."""
    return [found for found in checked(log) if found.code in OURS]


OURS = frozenset(kind.code for kind in (*KINDS, PLAN, LIFTER)) | {"load-implausible"}


def clean(group: Group) -> Iterator[tuple[str, int, list[Finding]]]:
    """Population, sets done and our findings of each honest log."""
    for population, log in zip(group.populations, read(group.workbook, group.logs), strict=True):
        yield population, sum(logged.done for logged in log.sets), believable_codes(log)


class Slipped(NamedTuple):
    """A log with one slip in it: what was typed instead, and all that was typed honestly."""

    kind: Kind
    log: BlockLog
    changed: Typed
    honest: Typed


def injected(group: Group, kinds: Sequence[Kind], seed: int) -> Iterator[Slipped]:
    """One slip of each kind in each log of the group that has a place for it."""
    slipped = []
    for kind in kinds:
        for i, typed in enumerate(group.logs):
            chance = np.random.default_rng((seed, i, zlib.crc32(kind.name.encode())))
            changed = kind.injector(inject.Sheet(group.workbook, typed, chance))
            if changed:
                slipped.append((kind, changed, typed))
    logs = read(group.workbook, [{**typed, **changed} for _, changed, typed in slipped]) if slipped else iter(())
    for log, (kind, changed, typed) in zip(logs, slipped, strict=True):
        yield Slipped(kind, log, changed, typed)


def count(tally: Tally, slipped: Slipped, findings: list[Finding]) -> bool:
    """Count a log; whether the slip was found, and called what it is."""
    kind, log, changed, honest = slipped
    cells = {
        (logged.sheet, cell)
        for logged in log.sets
        if any(input_name(logged.key, column) in changed for column in ("load", "reps", "rpe", "note"))
        for cell in logged.cells.values()
    } | {
        (session.sheet, cell)
        for session in log.sessions
        for name, cell in session.cells.items()
        if f"{session.key}.{name}" in changed
    }
    there = [found for found in findings if not found.sheet or (found.sheet, found.cell) in cells]
    tally.injected += 1
    tally.found += bool(there)
    tally.called.update({found.code for found in there} or {"nothing"})
    named = [found for found in there if found.code == kind.code]
    tally.named += bool(named)
    with_likely = [found for found in named if found.likely]
    if with_likely:
        tally.corrected += 1
        tally.right += all(
            _same(value, honest.get(name)) for found in with_likely for name, value in found.likely.items()
        )
    return bool(named)


def _same(likely: float | None, honest: object) -> bool:
    if isinstance(likely, (int, float)) and isinstance(honest, (int, float)):
        return abs(likely - honest) <= 0.03 * abs(honest)
    return likely is None or not isinstance(honest, (int, float))


def plan_copied(group: Group, lifters: int, seed: int) -> Iterator[Slipped]:
    """Logs that are what the sheet asks, but for a rare half point of effort."""
    workbook, chance = group.workbook, np.random.default_rng(seed)
    playing = Playing(workbook, invited(workbook.spec, Population("copies"), lifters, seed))
    for place in chain.from_iterable(workbook.weeks):
        playing.lifters.begin_session(place.session.week, place.session.key)
        for line in place.lines:
            for planned in line.line.sets:
                load, reps = as_the_sheet_says(playing, line, planned)
                effort = (planned.rpe or 8) - 0.5 * (chance.random(lifters) < 0.03)
                typed = {"load": load, "reps": reps, "rpe": np.asarray(effort)}
                playing.typed |= {input_name(planned.key, column): typed[column] for column in typed}
    logs = [{name: plain(float(values[i])) for name, values in playing.typed.items()} for i in range(lifters)]
    for log in read(workbook, logs):
        yield Slipped(PLAN, log, {}, {})


def wrong_lifters(group: Group, lifters: int, seed: int) -> Iterator[Slipped]:
    """Another lifter's block of the same template, typed into this workbook."""
    chance = np.random.default_rng(seed)
    for strength in OTHER_LIFTERS:
        other = play_group(_of_other_strength(group.spec, strength, chance), max(1, lifters // 5), seed)
        for log in read(group.workbook, other.logs):
            yield Slipped(LIFTER, log, {}, {})


def _of_other_strength(spec: Specification, strength: float, chance: np.random.Generator) -> Specification:
    bests = {
        name: best.model_copy(update={"load": best.load * strength * float(np.exp(0.06 * chance.standard_normal()))})
        for name, best in spec.lifter.bests.items()
    }
    return spec.model_copy(update={"lifter": spec.lifter.model_copy(update={"bests": bests})})
