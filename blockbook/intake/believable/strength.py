"""What the sets of a log say of strength, and how far one of them is off: robust, so that a slip cannot hide."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from itertools import combinations
from statistics import median
from typing import NamedTuple

from blockbook.intake.log import BlockLog, LoggedSet
from blockbook.spec.catalogue import Implement
from blockbook.spec.models import Specification
from blockbook.training.effort import percent_of_max
from blockbook.training.loading import ladder
from blockbook.training.logged_set import lifted_load
from blockbook.training.maximum import start_maximum
from blockbook.training.plausibility import OTHER_UNIT

USUAL_EFFORT = 8.0
"""Stands in where neither an effort was logged nor one was asked for. Common practice, no source."""

MOST_WEEKLY_CHANGE = 0.03
"""Largest weekly change, in logs, that a lifter's trend is taken to have. Common practice, no source."""

ENOUGH_SETS = 3
"""With fewer other sets of an exercise the block's starting maximum is one voice more."""

JUDGED_EFFORT = 7.0
"""Only sets of this effort and more show progress: further from failure reserve is hard to tell."""


Z_LIMIT = 3.5
"""A modified z-score beyond this is an outlier (Iglewicz & Hoaglin 1993)."""

LEAST_DEVIATION = 0.02
"""Median absolute deviation, in logs, below which a lifter's own is not taken. Tuned."""

MOST_DEVIATION = 0.055
"""And above which it is not taken either, so that a few sets of rough judgement hide no slip. Tuned."""


SOME_SETS = 4
"""A session is judged as a whole from this many sets on. Common practice, no source."""

NEARLY_ALL = 0.75
"""Share of the exercises, or of the sets, that counts as nearly all. Tuned."""

Likely = dict[str, float | None]


class Values(NamedTuple):
    """Load in the block's unit, reps, RPE; None: nothing typed."""

    load: float | None
    reps: float | None
    rpe: float | None


class Point(NamedTuple):
    """A set and the natural logarithm of its estimated one-rep maximum, body load included."""

    logged: LoggedSet
    estimate: float


def median_absolute_deviation(values: Sequence[float]) -> float:
    """Median distance from the median, unscaled. Raises StatisticsError for no values."""
    middle = median(values)
    return median([abs(value - middle) for value in values])


def modified_z(distance: float, deviation: float) -> float:
    """Iglewicz & Hoaglin 1993: 0.6745 x distance from the median / median absolute deviation."""
    return 0.6745 * distance / deviation


def typed(logged: LoggedSet) -> Values:
    return Values(logged.load, logged.reps, logged.rpe)


def loads_made(spec: Specification) -> dict[str, set[float]]:
    """Implement -> every load that the lifter's equipment can make, in the block's unit."""
    implements: tuple[Implement, ...] = ("barbell", "dumbbell", "stack", "bodyweight")
    return {name: {round(rung.load, 4) for rung in ladder(name, spec.equipment)} for name in implements}


@lru_cache(maxsize=4096)
def _logarithm_of_share(reps: float, curve: float) -> float:
    """Logarithm of the share of the maximum that so many reps to failure take: few are asked for again and again."""
    return math.log(float(percent_of_max.value(reps, curve)))  # type: ignore[arg-type]


@dataclass(frozen=True)
class Strength:
    """The estimates of a log's sets, by exercise, and what is expected of a set by the others."""

    log: BlockLog
    _body_loads: dict[str, float] = field(init=False, default_factory=dict)

    @cached_property
    def points(self) -> dict[str, list[Point]]:
        """Exercise -> its sets with an estimate, in order."""
        found: dict[str, list[Point]] = defaultdict(list)
        for logged in self.log.sets:
            estimate = self.estimate(logged, typed(logged))
            if estimate is not None:
                found[logged.exercise].append(Point(logged, estimate))
        return found

    @cached_property
    def _together(self) -> dict[tuple[str, str, str], list[Point]]:
        """Session, slot and exercise -> its sets with an estimate."""
        found: dict[tuple[str, str, str], list[Point]] = defaultdict(list)
        for points in self.points.values():
            for point in points:
                found[_where(point.logged)].append(point)
        return found

    @cached_property
    def start(self) -> dict[str, float]:
        """Exercise -> logarithm of the maximum that the block started from, where one was known."""
        maxima = {name: start_maximum(self.log.spec, self.log.spec.exercise(name)) for name in self.points}
        return {name: math.log(maximum) for name, maximum in maxima.items() if maximum}

    @cached_property
    def gains(self) -> dict[str, float]:
        """Exercise -> weekly change in logs: median slope between the weeks' medians (Theil & Sen)."""
        return {name: _weekly_change(points) for name, points in self.points.items()}

    def body_load(self, exercise: str) -> float:
        if exercise not in self._body_loads:
            self._body_loads[exercise] = self.log.spec.body_load(self.log.spec.exercise(exercise))
        return self._body_loads[exercise]

    def estimate(self, logged: LoggedSet, values: Values) -> float | None:
        """What `values` in the row of a set say, in logs; without effort, as if it had met its target."""
        load, reps, rpe = values
        if load is None or reps is None or reps < 1:
            return None
        if rpe is None or not 1 <= rpe <= 10:
            rpe = logged.target_rpe or USUAL_EFFORT
        total = load + self.body_load(logged.exercise)
        return math.log(total) - _logarithm_of_share(reps + 10 - rpe, self.log.spec.lifter.curve) if total > 0 else None

    def expected(self, logged: LoggedSet, leave_out: Callable[[LoggedSet], bool]) -> float | None:
        """What the lifter's other sets of the exercise say, moved along their trend to the week of this one."""
        gain = self.gains.get(logged.exercise, 0.0)
        said = [
            point.estimate + gain * (logged.week - point.logged.week)
            for point in self.points.get(logged.exercise, ())
            if not leave_out(point.logged)
        ]
        if len(said) < ENOUGH_SETS and logged.exercise in self.start:
            said.append(self.start[logged.exercise])
        return median(said) if said else None

    def off(self, logged: LoggedSet, values: Values, leave_out: Callable[[LoggedSet], bool]) -> float | None:
        """How far values in the row of a set are off what is expected, in logs (0.1: 10 % too strong)."""
        estimate, expected = self.estimate(logged, values), self.expected(logged, leave_out)
        return None if estimate is None or expected is None else estimate - expected

    def others(self, logged: LoggedSet) -> int:
        """How many other sets of the exercise say something."""
        itself = self.estimate(logged, typed(logged)) is not None
        return len(self.points.get(logged.exercise, ())) - itself

    def beside(self, logged: LoggedSet) -> list[Point]:
        """The other sets of its exercise in the session."""
        return [point for point in self._together.get(_where(logged), ()) if point.logged.key != logged.key]

    def off_beside(self, logged: LoggedSet) -> float | None:
        """How far a set is off those beside it, by their median, in logs."""
        estimate, said = self.estimate(logged, typed(logged)), [point.estimate for point in self.beside(logged)]
        return estimate - median(said) if said and estimate is not None else None

    def off_asked(self, logged: LoggedSet) -> float | None:
        """How far a set's load is off the one asked for, in logs, body load included."""
        body_load = self.body_load(logged.exercise)
        asked, lifted = (logged.target_load or 0) + body_load, (logged.load or 0) + body_load
        return math.log(lifted / asked) if logged.target_load is not None and min(asked, lifted) > 0 else None

    def deviation(self, exercise: str) -> float:
        """Median absolute deviation of an exercise's sets from their own trend, in logs."""
        gain = self.gains[exercise]
        return median_absolute_deviation([point.estimate - gain * point.logged.week for point in self.points[exercise]])


def _where(logged: LoggedSet) -> tuple[str, str, str]:
    return session_of(logged), logged.slot, logged.exercise


def how_far(off: float) -> str:
    """How far off something is, in logs, in words: "54 % below"."""
    return f"{100 * abs(math.expm1(off)):.0f} % {'above' if off > 0 else 'below'}"


def what_follows(log: BlockLog, logged: LoggedSet) -> str:
    """What becomes of a set that is not believed, as the sheet has it too."""
    row = log.workbook.workings.rows[f"{logged.session}.{logged.slot}", logged.week]
    if log.calculation.number(row["logged_load"]) is None:
        return "It is kept in the log, and no load follows from it."
    load, asked = logged.load, "" if logged.target_load is None else logged.target_load
    doubt = OTHER_UNIT if logged.converted else 0
    if load is not None and lifted_load.value(load, logged.reps or 0, logged.rpe or "", doubt, asked, 0) == load:
        return "No estimate follows from it, but the next loads are counted from it."
    return "It is kept in the log, and no load follows from it."


def session_of(logged: LoggedSet) -> str:
    """Key of the set's session: "w1.lower"."""
    return f"w{logged.week}.{logged.session}"


def of_session(key: str) -> Callable[[LoggedSet], bool]:
    """Whether a set is of the session with that key."""
    return lambda other: session_of(other) == key


def by_session(sets: Iterable[LoggedSet]) -> dict[str, list[LoggedSet]]:
    """Session key -> its sets, as they stand in the sheet."""
    found: dict[str, list[LoggedSet]] = defaultdict(list)
    for logged in sets:
        found[session_of(logged)].append(logged)
    return found


def _weekly_change(points: Sequence[Point]) -> float:
    weeks: dict[int, list[float]] = defaultdict(list)
    for point in points:
        weeks[point.logged.week].append(point.estimate)
    middles = sorted((week, median(said)) for week, said in weeks.items())
    if len(middles) < 3:
        return 0.0
    slopes = [(later - earlier) / (end - start) for (start, earlier), (end, later) in combinations(middles, 2)]
    return max(-MOST_WEEKLY_CHANGE, min(MOST_WEEKLY_CHANGE, median(slopes)))
