"""What a policy costs a population: played over the benchmark block, judged by what truly happened."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache

import numpy as np

from blockbook.formula.arrays import Numbers
from blockbook.rehearsal.playing import Asked, PlayedSet, Playing, as_the_sheet_says, invited, play
from blockbook.training.prescription import PlannedSet
from blockbook.training.simulated import POPULATIONS
from blockbook.workbook.assemble import BlockBook, assemble
from blockbook.workbook.layout import LinePlace
from tests.load_decision.block import block
from tests.load_decision.policies import BASELINES, ORACLES, cost_of, percent

COARSE = "coarse equipment"
"""The steady lifters, where steps are 5 kg on the bar and 7 kg on the stack."""

EVERY_POPULATION = (*POPULATIONS, COARSE)

_SAMPLES = 1000


@dataclass(frozen=True)
class Policy:
    """A way to set loads: who chooses, and the workbook it needs. None: the workbook's own targets."""

    name: str
    choose: Callable[[], Callable[[Playing, LinePlace, PlannedSet], Asked]] | None = None
    numbers: tuple[tuple[str, float], ...] = ()
    feelers: bool = True
    steer: bool = True


OURS = Policy("ours")
ORACLE, DAY_ORACLE = (Policy(name, made) for name, made in ORACLES.items())
RULES = tuple(Policy(name, made) for name, made in BASELINES.items())


def ours(name: str, numbers: Mapping[str, float], feelers: bool = True, steer: bool = True) -> Policy:
    """The workbook's decision with other numbers in its policy."""
    return Policy(name, None, tuple(numbers.items()), feelers, steer)


@dataclass(frozen=True)
class Measured:
    """One value a lifter. cost, error and over: per top set; late_cost: from a session's second exercise on.

    missed: share of target reps missed, all sets with a target effort; error: reps over the
    target effort (under: negative); gained: growth of the asked sets' implied maximum, in logs.
    """

    cost: Numbers
    late_cost: Numbers
    missed: Numbers
    error: Numbers
    gained: Numbers


def measure(policy: Policy, population: str, lifters: int, seed: int) -> Measured:
    workbook = _workbook(population == COARSE, policy.numbers, policy.feelers, policy.steer)
    people = POPULATIONS["steady" if population == COARSE else population]
    choose = policy.choose() if policy.choose else as_the_sheet_says
    *_, played = play(workbook, invited(workbook.spec, people, lifters, seed), choose)
    tops = [done for done in played.sets if done.planned.number == 1]
    judged = [done for done in played.sets if done.planned.kind in ("work", "top")]
    missed = np.sum([np.nan_to_num(np.maximum(0, done.target_reps - done.done)) for done in judged], axis=0)
    asked = np.sum([np.where(np.isnan(done.done), 0, done.target_reps) for done in judged], axis=0)
    return Measured(
        cost=_mean([cost_of(done.over) for done in tops]),
        late_cost=_mean([cost_of(done.over) for done in tops if done.line.depth > 1]),
        missed=missed / asked,
        error=_mean([done.over for done in tops]),
        gained=_gained(tops, played),
    )


@cache
def _workbook(coarse: bool, numbers: tuple[tuple[str, float], ...], feelers: bool, steer: bool) -> BlockBook:
    return assemble(block(coarse, feelers, dict(numbers), steer))


def _mean(values: list[Numbers]) -> Numbers:
    mean: Numbers = np.nanmean(np.array(values), axis=0)
    return mean


def _gained(tops: list[PlayedSet], played: Playing) -> Numbers:
    """Mean over the exercises, last week against first, of the maximum that the asked set implies."""
    weeks = played.workbook.spec.block.weeks
    by_slot: dict[str, dict[int, Numbers]] = {}
    for done in tops:
        implied = (done.load + played.body_load(done.line)) / percent(done.target_reps + 10 - done.line.rpe)
        by_slot.setdefault(done.line.slot_key, {})[done.line.week] = np.log(implied)
    return _mean([by_week[weeks] - by_week[1] for by_week in by_slot.values()])


@dataclass(frozen=True)
class Estimate:
    """A mean over lifters with its bootstrap 95 % interval."""

    mean: float
    low: float
    high: float

    def __str__(self) -> str:
        return f"{self.mean:5.2f} ({self.low:.2f}-{self.high:.2f})"


def estimate(values: Numbers) -> Estimate:
    known = values[~np.isnan(values)]
    chance = np.random.default_rng(1)
    means = known[chance.integers(0, known.size, (_SAMPLES, known.size))].mean(axis=1)
    return Estimate(float(known.mean()), *(float(q) for q in np.percentile(means, (2.5, 97.5))))


@dataclass
class Table:
    """Measurements by policy and population, taken as they are asked for."""

    lifters: int
    seed: int
    _taken: dict[tuple[str, str], Measured] = field(default_factory=dict)

    def take(self, policy: Policy, population: str) -> Measured:
        key = policy.name, population
        if key not in self._taken:
            self._taken[key] = measure(policy, population, self.lifters, self.seed)
        return self._taken[key]

    def pooled(self, policy: Policy, what: str) -> float:
        """Mean over the populations, each counting alike."""
        return float(np.mean([np.nanmean(getattr(self.take(policy, name), what)) for name in EVERY_POPULATION]))
