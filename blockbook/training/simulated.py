"""Simulated lifters: for the demonstration, the rehearsal and the benchmark, not for anybody's training.

Each has what the load decision cannot see: a capacity for each exercise and its trend, a rep
curve of another family than ours, form of the day, fatigue, effort reported with bias and
noise, and life. All chance comes from the seed and none of it depends on the loads, so two
policies meet the same lifters on the same days. Arrays hold one value a lifter.
"""

from __future__ import annotations

import math
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from blockbook.formula.arrays import Numbers

_HIGH_REPS = 8


@dataclass(frozen=True)
class Population:
    """How a kind of lifter is spread. Shares of strength are in logs; invented unless a source is named.

    start: mean and spread of true over stated one-rep maximum; guess_spread: the same spread
    where the maximum was guessed from a related lift. gain: true weekly gain and its spread;
    gain_fades: weeks in which the gain halves (0: never). jump: one-time gain from first to second
    exposure, three times that for sets of eight and more. day, own: form of a day, and of one
    exercise on it. fatigue: strength that a hard set costs everything after it; own_fatigue: and
    the same exercise on top. Reported reserve = true reserve
    - far_bias x reserve + near_bias (fading to nothing at failure) + noise (noise + far_noise x reserve);
    lowest: the least effort that a lifter ever reports.
    Sources of the reports' size: Halperin et al. 2022 (reserve underpredicted by 0.95 reps on
    average, 95 % CI 0.17 to 1.73); Helms et al. 2016 after Zourdos et al. 2016 (spread of RPE of
    singles: 0.3 at 100 %, 0.9 at 90 %, 1.0 at 75 %, 1.2 at 60 % of the maximum).
    """

    name: str
    start: tuple[float, float] = (0.0, 0.04)
    guess_spread: float = 0.10
    gain: tuple[float, float] = (0.005, 0.004)
    gain_fades: float = 0
    jump: float = 0.01
    day: float = 0.02
    own: float = 0.015
    fatigue: float = 0.003
    own_fatigue: float = 0.012
    far_bias: tuple[float, float] = (0.15, 0.1)
    near_bias: tuple[float, float] = (0.0, 0.3)
    noise: float = 0.35
    lowest: tuple[float, float] = (5.0, 1.1)
    far_noise: float = 0.1
    whole_numbers: bool = False
    forgets: float = 0.02
    misses: float = 0.04
    sick: float = 0.03
    sleeps_badly: float = 0.06
    long_gap: float = 0.06


POPULATIONS: dict[str, Population] = {
    population.name: population
    for population in (
        Population("steady"),
        Population(
            "novice", start=(0, 0.07), gain=(0.014, 0.006), jump=0.02, far_bias=(0.25, 0.15), noise=0.45, far_noise=0.15
        ),
        Population("sloppy reporter", noise=0.6, far_noise=0.2, whole_numbers=True, forgets=0.15),
        Population("under-reports", near_bias=(1.0, 0.3), far_bias=(0, 0.1)),
        Population("over-reports", near_bias=(-1.0, 0.3), far_bias=(0.2, 0.1)),
        Population("older", gain=(0.001, 0.003), day=0.028, own=0.018, fatigue=0.0045, own_fatigue=0.018, misses=0.06),
        Population("returning", start=(-0.06, 0.05), gain=(0.02, 0.006), gain_fades=3, jump=0.02, long_gap=0),
    )
}
"""Coarse equipment is a matter of the specification, so it is no population of its own."""


@dataclass(frozen=True)
class SetDone:
    """possible: reps to failure that were in it; done; rpe as reported, NaN where forgotten."""

    possible: Numbers
    done: Numbers
    rpe: Numbers


@dataclass
class SimulatedLifters:
    """Lifters of one population, who train one block.

    stated: exercise -> one-rep maximum the specification states or guesses (body load included,
    the block's unit). guessed: exercises whose maximum is only a guess. number: how many lifters;
    weeks: how long the block is.
    """

    population: Population
    stated: Mapping[str, float]
    guessed: frozenset[str]
    number: int
    weeks: int
    seed: int = 1
    _exposures: dict[str, Numbers] = field(init=False, default_factory=dict)
    _before_today: dict[str, Numbers] = field(init=False, default_factory=dict)
    _fatigue: Numbers = field(init=False)
    _own_fatigue: dict[str, Numbers] = field(init=False, default_factory=dict)
    _session: str = field(init=False, default="")
    _week: int = field(init=False, default=1)
    _missing: Numbers = field(init=False)

    def __post_init__(self) -> None:
        people = self.population
        self._missing = np.zeros(self.number)
        self.reps_per_log = 31 * np.exp(self._gauss("curve", 0.12))
        self.bend = 1 + self._gauss("bend", 0.05)
        self.far_bias = people.far_bias[0] + self._gauss("far bias", people.far_bias[1])
        self.near_bias = people.near_bias[0] + self._gauss("near bias", people.near_bias[1])
        self.lowest_rpe = np.clip(np.round(2 * (people.lowest[0] + self._gauss("lowest", people.lowest[1]))) / 2, 1, 8)
        starts = self._uniform("gap week") * max(1, self.weeks - 4) + 2
        self._gap_from = np.where(self._uniform("gap") < people.long_gap, np.floor(starts), np.inf)

    # Chance

    def _gauss(self, what: str, spread: float) -> Numbers:
        return spread * self._rng(what).standard_normal(self.number)

    def _uniform(self, what: str) -> Numbers:
        return self._rng(what).random(self.number)

    def _rng(self, what: str) -> np.random.Generator:
        return np.random.default_rng((self.seed, zlib.crc32(f"{self.population.name}/{what}".encode())))

    # Strength

    def begin_session(self, week: int, key: str) -> Numbers:
        """Start a session; 1 for each lifter who comes, 0 for who misses it."""
        for exercise, seen in self._before_today.items():
            self._exposures[exercise] = seen
        self._week, self._session = week, key
        self._fatigue, self._own_fatigue = np.zeros(self.number), {}
        away = (week >= self._gap_from) & (week < self._gap_from + 2)
        self._missing = np.where((self._uniform(f"{key} missed") < self.population.misses) | away, 1.0, 0.0)
        return 1 - self._missing

    def capacity(self, exercise: str, high_reps: bool) -> Numbers:
        """True fresh one-rep maximum this week, without the day's form (body load included)."""
        people, week = self.population, self._week
        spread = people.guess_spread if exercise in self.guessed else people.start[1]
        start = people.start[0] + self._gauss(f"{exercise} start", spread)
        gain = people.gain[0] + self._gauss(f"{exercise} gain", people.gain[1])
        weeks, half = week - 1.0, people.gain_fades
        if half:
            weeks = half * (1 - 0.5 ** (weeks / half)) / math.log(2)
        jump = people.jump * (3 if high_reps else 1) * np.exp(self._gauss(f"{exercise} jump", 0.5))
        seen = self._exposures.get(exercise, np.zeros(self.number))
        since_gap = week - self._gap_from - 2
        detrained = np.where(since_gap >= 0, 0.03 * np.clip(1 - since_gap / 2, 0, 1), 0)
        return self.stated[exercise] * np.exp(start + gain * weeks + jump * (seen > 0) - detrained)

    def form(self, exercise: str) -> Numbers:
        """Today's form of an exercise, in logs: the day, life, and the exercise's own."""
        people, key = self.population, self._session
        day = self._gauss(f"{key} day", people.day) - 0.025 * (self._uniform(f"{key} sleep") < people.sleeps_badly)
        sick = -0.06 * (self._uniform(f"week {self._week} sick") < people.sick)
        form: Numbers = day + sick + self._gauss(f"{key} {exercise}", people.own)
        return form

    def tiredness(self, exercise: str) -> Numbers:
        """Share of strength that this session's sets so far have cost, in logs."""
        return self._fatigue + self._own_fatigue.get(exercise, np.zeros(self.number))

    def possible(self, share: Numbers) -> Numbers:
        """Reps to failure with a share of what can be lifted once; below 1 where it cannot."""
        logs = -np.log(np.clip(share, 0.2, 1.6))
        reps: Numbers = 1 + self.reps_per_log * np.sign(logs) * np.abs(logs) ** self.bend
        return reps

    def share_for(self, reps: Numbers | float) -> Numbers:
        """The share of the maximum that allows so many reps to failure: `possible`, turned round."""
        over = (np.asarray(reps) - 1) / self.reps_per_log
        share: Numbers = np.exp(-np.sign(over) * np.abs(over) ** (1 / self.bend))
        return share

    def lift(self, exercise: str, number: int, load: Numbers, reps: Numbers) -> SetDone:
        """Do a set, number as in the sheet. load includes the body load; reps: where to stop.

        Who misses the session has NaN for load, and nothing happens.
        """
        high = bool(np.nanmax(np.append(reps, 1)) >= _HIGH_REPS)
        able = self.capacity(exercise, high) * np.exp(self.form(exercise) - self.tiredness(exercise))
        possible = self.possible(load / able)
        done = np.clip(np.floor(possible), 0, reps)
        reserve = np.where(done < reps, 0, possible - done)
        self._tire(exercise, reserve, load)
        return SetDone(possible, np.where(np.isnan(load), np.nan, done), self._reported(exercise, number, reserve))

    def _tire(self, exercise: str, reserve: Numbers, load: Numbers) -> None:
        hard = np.where(np.isnan(load), 0, np.exp(-np.clip(np.nan_to_num(reserve), 0, 8) / 8) + 0.2)
        before = self._own_fatigue.get(exercise, np.zeros(self.number))
        self._fatigue = self._fatigue + self.population.fatigue * hard
        self._own_fatigue[exercise] = before + self.population.own_fatigue * hard
        seen = self._exposures.get(exercise, np.zeros(self.number))
        self._before_today[exercise] = seen + np.where(np.isnan(load), 0, 1)

    def _reported(self, exercise: str, number: int, reserve: Numbers) -> Numbers:
        people, key = self.population, f"{self._session} {exercise} {number}"
        near = self.near_bias * (1 - np.exp(-reserve))
        noise = self._gauss(f"{key} report", 1) * (people.noise + people.far_noise * reserve)
        felt = reserve * (1 - self.far_bias) + near + noise
        rpe = np.round(10 - felt) if people.whole_numbers else np.round((10 - felt) * 2) / 2
        forgotten = self._uniform(f"{key} forgotten") < people.forgets
        return np.where(forgotten | np.isnan(reserve), np.nan, np.clip(rpe, self.lowest_rpe, 10))
