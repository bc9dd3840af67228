"""A specification laid out week by week: every session, exercise line and set, with its key."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from typing import Literal

from blockbook.languages import say
from blockbook.spec.catalogue import Exercise
from blockbook.spec.models import (
    DAYS,
    LABELS,
    Day,
    Kind,
    Progress,
    Session,
    Slot,
    Specification,
    session_ids,
    slot_ids,
)
from blockbook.spec.policy import Policy
from blockbook.spec.values import Reps, in_week
from blockbook.training.deload import lighter_effort, lighter_load, lighter_percent, lighter_sets
from blockbook.training.maximum import start_maximum, start_spread
from blockbook.training.meet_numbers import LIFTS

SetKind = Literal["feeler", "work", "top", "back-off", "max reps"]

_MOST_TIRING = 3

_USUAL_DAYS: dict[int, tuple[Day, ...]] = {
    1: ("mon",),
    2: ("mon", "thu"),
    3: ("mon", "wed", "fri"),
    4: ("mon", "tue", "thu", "fri"),
    5: ("mon", "tue", "wed", "fri", "sat"),
    6: ("mon", "tue", "wed", "thu", "fri", "sat"),
    7: DAYS,
}


@dataclass(frozen=True)
class PlannedSet:
    """One row of a week sheet. number: 0 for the feeler, else from 1. reps: without progress."""

    key: str
    number: int
    kind: SetKind
    reps: int
    rpe: float | None

    @property
    def goes_all_out(self) -> bool:
        """Whether as many reps as possible are asked for, with none left."""
        return self.kind == "max reps" and self.rpe == 10


HEAVY = 3
"""Before sets of so few reps a feeler is a single: as many would spend what the set needs (common practice)."""


@dataclass(frozen=True)
class Line:
    """One exercise of one session in one week.

    slot_key is the same in every week; depth is the exercise's place in the session, from 1.
    coach_load: the coach's own load (override or fixed), exact; lightened_load: what a deload week
    makes of it; percent: of the one-rep maximum.
    """

    slot_key: str
    week: int
    depth: int
    label: str
    slot: Slot
    exercise: Exercise
    reps: Reps
    rpe: float
    sets: tuple[PlannedSet, ...]
    deload: bool
    coach_load: float | None
    lightened_load: float | None
    percent: float | None
    progress: Progress
    steered: bool

    @property
    def kind(self) -> Kind:
        return self.slot.kind

    @property
    def group(self) -> str:
        """The letter of the exercise or of its superset: B of B1 and B2."""
        return self.label.rstrip("0123456789")

    @property
    def session_id(self) -> str:
        return self.slot_key.split(".")[0]

    @property
    def decided(self) -> bool:
        """Whether the load decision sets its loads: neither the coach in numbers or percent, nor a band."""
        return self.kind not in ("fixed", "percent") and self.exercise.implement != "band"

    @property
    def work_sets(self) -> tuple[PlannedSet, ...]:
        """All sets but the feeler."""
        return tuple(planned for planned in self.sets if planned.kind != "feeler")

    @property
    def warms_up(self) -> bool:
        """Whether it is a main lift, whose way up is written out: with the bar, first in the session or of a meet."""
        main = self.depth == 1 or self.exercise.name in LIFTS.values()
        return main and self.exercise.implement == "barbell" and bool(self.work_sets)

    @property
    def tests_effort(self) -> bool:
        """Whether a set is planned that goes all out: it shows how well effort is judged."""
        return any(planned.goes_all_out for planned in self.sets)

    @property
    def top_sets(self) -> tuple[PlannedSet, ...]:
        """The sets that decide the next load: all but feeler and back-off sets."""
        return tuple(planned for planned in self.sets if planned.kind not in ("feeler", "back-off"))


@dataclass(frozen=True)
class PlannedSession:
    """One session in one week."""

    key: str
    week: int
    number: int
    name: str
    day: date
    lines: tuple[Line, ...]


def exercises_above(line: Line) -> int:
    """How many exercises have tired the lifter before this one; further down no more than after a few."""
    return min(line.depth - 1, _MOST_TIRING)


def weeks(spec: Specification) -> tuple[tuple[PlannedSession, ...], ...]:
    """The sessions of each week, week 1 first."""
    return tuple(tuple(_sessions(spec, week)) for week in range(1, spec.block.weeks + 1))


def first_session_day(spec: Specification, week: int = 1) -> date:
    """The day a lifter begins a week on, whatever day the block's weeks begin on."""
    days = (session.day for session in _sessions(spec, week) if session.lines)
    return min(days, default=week_start(spec, week))


def planned_sets(spec: Specification) -> Iterator[tuple[PlannedSession, Line, PlannedSet]]:
    """Every set in the order of the workbook, with its line and session."""
    for sessions in weeks(spec):
        for session in sessions:
            for line in session.lines:
                for planned in line.sets:
                    yield session, line, planned


def week_start(spec: Specification, week: int) -> date:
    return spec.block.week_start(week)


def weeks_out(meet: date, day: date) -> int:
    """Whole weeks from a day to the meet; 0 in the last seven days, negative after it."""
    return (meet - day).days // 7


def countdown(meet: date, day: date) -> str:
    """ "3 weeks out", "meet week" in the last seven days, "after the meet"."""
    out = weeks_out(meet, day)
    if out < 0:
        return say("after the meet")
    if out == 0:
        return say("meet week")
    return say("{weeks} weeks out", weeks=out) if out > 1 else say("{weeks} week out", weeks=out)


def _sessions(spec: Specification, week: int) -> Iterator[PlannedSession]:
    usual = _USUAL_DAYS[len(spec.sessions)]
    first = week_start(spec, week)
    for number, (session, session_id) in enumerate(zip(spec.sessions, session_ids(spec), strict=True), start=1):
        weekday = DAYS.index(session.day or usual[number - 1])
        yield PlannedSession(
            key=f"w{week}.{session_id}",
            week=week,
            number=number,
            name=session.name,
            day=first + timedelta(days=(weekday - first.weekday()) % 7),
            lines=tuple(_lines(spec, session, session_id, week)),
        )


def _lines(spec: Specification, session: Session, session_id: str, week: int) -> Iterator[Line]:
    deload = week == spec.block.deload_week
    policy = spec.policy
    for depth, (slot, slot_id, label) in enumerate(
        zip(session.slots, slot_ids(session), labels(session), strict=True), start=1
    ):
        slot_key = f"{session_id}.{slot_id}"
        reps = in_week(slot.reps, week)
        coach_load, lightened_load = _fixed_load(slot, week, deload, policy)
        yield Line(
            slot_key=slot_key,
            week=week,
            depth=depth,
            label=label,
            slot=slot,
            exercise=spec.exercise(slot.exercise),
            reps=reps,
            rpe=_effort(slot, week, deload, policy),
            sets=tuple(_sets(spec, slot, f"w{week}.{slot_key}", week)),
            deload=deload,
            coach_load=coach_load,
            lightened_load=lightened_load,
            percent=_percent(slot, week, deload, policy),
            progress=slot.progress or _usual_progress(slot, depth, policy),
            steered=spec.block.steer_by_day if slot.steer_by_day is None else slot.steer_by_day,
        )


def _sets(spec: Specification, slot: Slot, prefix: str, week: int) -> Iterator[PlannedSet]:
    deload, policy = week == spec.block.deload_week, spec.policy
    reps, rpe = in_week(slot.reps, week).low, _effort(slot, week, deload, policy)
    top: SetKind = {"top_set": "top", "max_reps": "max reps"}.get(slot.kind, "work")  # type: ignore[assignment]
    number = _number_of_sets(slot.sets, week, deload, policy)
    if number and (_is_felt_out(spec, slot, week) if slot.feeler is None else slot.feeler):
        yield PlannedSet(f"{prefix}.feeler", 0, "feeler", 1 if reps <= HEAVY else reps, None)
    judged = rpe if slot.rpe or slot.reserve is not None else None
    tested = week in slot.test_weeks and not deload
    for i in range(1, number + 1):
        if tested and i == number:
            yield PlannedSet(f"{prefix}.{i}", i, "max reps", reps, 10)
        else:
            yield PlannedSet(f"{prefix}.{i}", i, top, reps, judged)
    if slot.back_off and number:
        back_off = slot.back_off
        effort = _capped_effort(back_off.rpe, week, deload, policy) if back_off.rpe else None
        for i in range(number + 1, number + 1 + _number_of_sets(back_off.sets, week, deload, policy)):
            yield PlannedSet(f"{prefix}.{i}", i, "back-off", in_week(back_off.reps, week).low, effort)


def _is_felt_out(spec: Specification, slot: Slot, week: int) -> bool:
    """Whether a feeler comes by itself: in week 1, where a load is decided from a maximum that is not sure."""
    exercise = spec.exercise(slot.exercise)
    return (
        week == 1
        and spec.block.deload_week != 1
        and slot.kind in ("effort", "top_set", "range")
        and exercise.implement not in ("band", "bodyweight")
        and 1 not in slot.loads
        and (spec.block.steer_by_day if slot.steer_by_day is None else slot.steer_by_day)
        and start_maximum(spec, exercise) is not None
        and start_spread(spec, exercise) >= spec.policy.feeler_from
    )


def _number_of_sets(sets: tuple[int, ...], week: int, deload: bool, policy: Policy) -> int:
    """The coach's number; in a deload week fewer, unless each week was written out."""
    number = in_week(sets, week)
    return lighter_sets(number, policy) if deload and len(sets) == 1 else number


def _effort(slot: Slot, week: int, deload: bool, policy: Policy) -> float:
    if slot.reserve is not None:
        effort = 10 - slot.reserve
        return lighter_effort(effort, policy) if deload else effort
    # Percent and fixed loads: only what is believed of a line without a target effort leans on it.
    return 8 if slot.rpe is None else _capped_effort(slot.rpe, week, deload, policy)


def _capped_effort(efforts: tuple[float, ...], week: int, deload: bool, policy: Policy) -> float:
    effort = in_week(efforts, week)
    return lighter_effort(effort, policy) if deload and len(efforts) == 1 else effort


def _percent(slot: Slot, week: int, deload: bool, policy: Policy) -> float | None:
    if slot.percent is None:
        return None
    percent = in_week(slot.percent, week)
    return lighter_percent(percent, policy) if deload and len(slot.percent) == 1 else percent


def _fixed_load(slot: Slot, week: int, deload: bool, policy: Policy) -> tuple[float | None, float | None]:
    """The coach's own load, exact, or the one that a deload week makes of it, still to be made loadable."""
    if week in slot.loads or slot.load is None:
        return slot.loads.get(week), None
    load = in_week(slot.load, week)
    return (None, lighter_load(load, policy)) if deload and len(slot.load) == 1 else (load, None)


def _usual_progress(slot: Slot, depth: int, policy: Policy) -> Progress:
    return "reps" if slot.kind == "range" or depth > policy.load_slots else "load"


def labels(session: Session) -> list[str]:
    """A, B, C ...; the members of a superset are B1, B2."""
    result: list[str] = []
    groups = groupby(enumerate(session.slots), key=lambda item: item[1].pair or f"alone {item[0]}")
    for letter, (_, members) in zip(LABELS, groups, strict=False):
        size = len(list(members))
        result += [letter] if size == 1 else [f"{letter}{i}" for i in range(1, size + 1)]
    return result
