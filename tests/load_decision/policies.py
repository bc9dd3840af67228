"""What a coach would do instead: published and common rules, and oracles that know what nobody knows.

A policy answers, for every top set, with load and reps for each lifter. Later sets take what
the first took; back-off sets a tenth less. All start from the maximum that the specification
states, round to the nearest load that can be made, and see only what is logged.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from blockbook.formula.arrays import Numbers
from blockbook.rehearsal.playing import Asked, Playing
from blockbook.spec.policy import Policy
from blockbook.training.prescription import Line, PlannedSet
from blockbook.workbook.layout import LinePlace

OVER_COST, UNDER_COST = 2.0, 1.0
_NODES, _NODE_WEIGHTS = np.polynomial.hermite_e.hermegauss(9)


@dataclass
class Last:
    """An exercise's last logged top set, arrays of one value a lifter; NaN before any."""

    load: Numbers
    reps: Numbers
    asked: Numbers
    rpe: Numbers
    over: Numbers
    over_before: Numbers


@dataclass
class Rule:
    """A policy that remembers the last top set of each exercise and answers with `decide`."""

    decide: Callable[[Playing, Line, Last], Numbers]
    last: dict[str, Last] = field(default_factory=dict)
    seen: int = 0

    def __call__(self, playing: Playing, place: LinePlace, planned: PlannedSet) -> Asked:
        self._remember(playing)
        reps = np.full(playing.lifters.number, float(planned.reps))
        if planned.kind == "feeler":
            return np.full_like(reps, np.nan), reps
        line = place.line
        if planned.number > 1:
            first = next(s for s in reversed(playing.sets) if s.line is line and s.planned.number == 1)
            share = 0.9 if planned.kind == "back-off" else 1
            return nearest(playing, line, first.load * share), reps
        last = self.last.get(line.slot_key) or Last(*(np.full(playing.lifters.number, np.nan) for _ in range(6)))
        first_load = chart_load(line, playing.lifters.stated[line.exercise.name])
        wanted = np.where(np.isnan(last.load), first_load, self.decide(playing, line, last))
        return nearest(playing, line, wanted), reps

    def _remember(self, playing: Playing) -> None:
        for done in playing.sets[self.seen :]:
            if done.planned.number != 1:
                continue
            before = self.last.get(done.line.slot_key)
            over = done.rpe - (done.planned.rpe or 0) + np.maximum(0, done.target_reps - done.done)
            now = Last(done.load, done.done, done.target_reps, done.rpe, over, over * np.nan)
            if before is not None:
                came = ~np.isnan(done.load)
                now.over_before = before.over
                now = Last(
                    *(
                        np.where(came, new, old)
                        for new, old in zip(vars(now).values(), vars(before).values(), strict=True)
                    )
                )
            self.last[done.line.slot_key] = now
        self.seen = len(playing.sets)


def nearest(playing: Playing, line: Line, load: Numbers) -> Numbers:
    rungs = playing.ladders[line.exercise.implement]
    above = np.clip(np.searchsorted(rungs, load), 1, len(rungs) - 1)
    lower, upper = rungs[above - 1], rungs[above]
    return np.where(np.isnan(load), np.nan, np.where(upper - load < load - lower, upper, lower))


def percent(reps: Numbers | float) -> Numbers:
    """Brzycki up to 10 reps, Epley beyond: the chart of percent by reps to failure."""
    reps = np.asarray(reps, dtype=float)
    return np.where(reps <= 10, (37 - reps) / 36, 1 / (1 + reps / 30))


def chart_load(line: Line, maximum: Numbers | float) -> Numbers:
    return maximum * percent(line.reps.low + 10 - line.rpe)


def fixed_rise(share: float) -> Callable[[Playing, Line, Last], Numbers]:
    """A fixed rise a week, whatever happened."""
    return lambda playing, line, last: last.load * (1 + share)


def two_over(playing: Playing, line: Line, last: Last) -> Numbers:
    """ACSM 2009: 2-10 % more once one or two reps over the target were possible in two sessions running.

    The step is 5 %, 2.5 % for sets of up to 5; a tenth less after missed reps (common practice).
    """
    step = 0.025 if line.reps.low <= 5 else 0.05
    ready = (last.over <= -2) & ~(last.over_before > -1)
    missed = last.reps < last.asked
    return last.load * np.where(missed, 0.95, np.where(ready, 1 + step, 1))


def chart(playing: Playing, line: Line, last: Last) -> Numbers:
    """Maximum from the last top set's load, reps and reported reserve; load from the chart."""
    maximum = last.load / percent(last.reps + 10 - last.rpe)
    return np.where(np.isnan(maximum), last.load, chart_load(line, maximum))


def chart_with_caps(playing: Playing, line: Line, last: Last) -> Numbers:
    """The same, never more than 2, 3 or 5 % (by reps) above the last load, nor above it after an overshoot."""
    policy = Policy()
    cap = 0.02 if line.reps.low <= 3 else 0.03 if line.reps.low <= 7 else 0.05
    ceiling = last.load * np.where(last.over >= policy.hold_overshoot, 1, 1 + cap)
    return np.clip(chart(playing, line, last), 0.9 * last.load, ceiling)


@dataclass
class Oracle:
    """Knows true capacity, curve and tiredness; of today's form all (knows_day) or only its spread.

    Takes, of the loads that can be made, the one of least (expected) cost.
    """

    knows_day: bool

    def __call__(self, playing: Playing, place: LinePlace, planned: PlannedSet) -> Asked:
        line, lifters = place.line, playing.lifters
        reps = np.full(lifters.number, float(planned.reps))
        if planned.kind == "feeler":
            return np.full_like(reps, np.nan), reps
        name = line.exercise.name
        able = lifters.capacity(name, planned.reps >= 8) * np.exp(-lifters.tiredness(name))
        forms, weights = self._forms(playing, name)
        to_failure = planned.reps + 10 - (planned.rpe if planned.rpe is not None else 7)
        middle = able * lifters.share_for(to_failure)
        rungs = playing.ladders[line.exercise.implement]
        near = np.searchsorted(rungs, middle)
        candidates = np.stack([rungs[np.clip(near + k, 0, len(rungs) - 1)] for k in range(-4, 4)])
        costs = sum(
            weight * cost_of(to_failure - lifters.possible(candidates / (able * np.exp(form))))
            for form, weight in zip(forms, weights, strict=True)
        )
        return np.take_along_axis(candidates, np.argmin(costs, axis=0)[None], axis=0)[0], reps

    def _forms(self, playing: Playing, name: str) -> tuple[list[Numbers | float], Numbers]:
        people = playing.lifters.population
        if self.knows_day:
            return [playing.lifters.form(name)], np.ones(1)
        spread = np.hypot(people.day, people.own)
        return [spread * node for node in _NODES], _NODE_WEIGHTS


def cost_of(over: Numbers) -> Numbers:
    return np.where(over > 0, OVER_COST * over, -UNDER_COST * over)


ORACLES = {"oracle, not the day": lambda: Oracle(False), "oracle, the day too": lambda: Oracle(True)}
BASELINES: dict[str, Callable[[], Callable[[Playing, LinePlace, PlannedSet], Asked]]] = {
    "+5 % a week": lambda: Rule(fixed_rise(0.05)),
    "+2.5 % a week": lambda: Rule(fixed_rise(0.025)),
    "two reps over, then add": lambda: Rule(two_over),
    "chart from last top set": lambda: Rule(chart),
    "chart with caps": lambda: Rule(chart_with_caps),
}
