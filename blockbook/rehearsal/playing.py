"""Simulated lifters fill in a block's workbook, all at once: arrays hold one value a lifter."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import numpy as np

from blockbook.formula.arrays import Numbers
from blockbook.sheet.array_calculation import ArrayCalculation
from blockbook.spec.models import Specification
from blockbook.training.effort import load_for
from blockbook.training.loading import ladder
from blockbook.training.maximum import is_guess, start_maximum
from blockbook.training.prescription import Line, PlannedSet
from blockbook.training.simulated import Population, SimulatedLifters
from blockbook.workbook.assemble import BlockBook
from blockbook.workbook.layout import LinePlace, SessionPlace, input_name

_UNKNOWN_MAXIMUM = 60.0
"""Stands in for an exercise of which the specification knows nothing, kg or lb."""

_MOST_REPS = 40


@dataclass(frozen=True)
class PlayedSet:
    """One set of all lifters; NaN for who missed the session.

    over: reps by which the set truly came in over its target effort (under: negative), missed
    reps included.
    """

    line: Line
    planned: PlannedSet
    load: Numbers
    target_reps: Numbers
    done: Numbers
    rpe: Numbers
    over: Numbers


@dataclass
class Playing:
    """A block being played: what was typed so far and what truly happened."""

    workbook: BlockBook
    lifters: SimulatedLifters
    typed: dict[str, Numbers] = field(default_factory=dict)
    sets: list[PlayedSet] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.sheet = ArrayCalculation(self.workbook.book, self.typed, self.lifters.number)
        self.ladders = {
            implement: np.array([rung.load for rung in ladder(implement, self.workbook.spec.equipment)])
            for implement in ("barbell", "dumbbell", "stack", "bodyweight")
        }

    def body_load(self, line: Line) -> float:
        return self.workbook.spec.body_load(line.exercise)


Asked = tuple[Numbers, Numbers]
"""Load and reps asked for of each lifter; NaN where no load is asked."""

Chooser = Callable[[Playing, LinePlace, PlannedSet], Asked]


def invited(spec: Specification, population: Population, number: int, seed: int) -> SimulatedLifters:
    """Lifters of a population around the numbers that a specification states."""
    names = dict.fromkeys(slot.exercise for slot in spec.slots)
    exercises = [spec.exercise(name) for name in names]
    stated = {exercise.name: start_maximum(spec, exercise) or _UNKNOWN_MAXIMUM for exercise in exercises}
    guessed = frozenset(exercise.name for exercise in exercises if is_guess(spec, exercise))
    return SimulatedLifters(population, stated, guessed, number, spec.block.weeks, seed)


def as_the_sheet_says(playing: Playing, place: LinePlace, planned: PlannedSet) -> Asked:
    """The target of the workbook; without one, a load worked up to: a little under what is possible."""
    line, lifters = place.line, playing.lifters
    load = playing.sheet.numbers(place.cell("target", planned.number))
    reps = playing.sheet.numbers(place.cell("target_reps", planned.number))
    if np.isnan(load).any() and line.exercise.implement != "band":
        fresh = 0.95 * lifters.capacity(line.exercise.name, line.reps.low >= 8)
        worked_up = load_for.value(1, planned.reps, line.rpe, 0, 1) * fresh - playing.body_load(line)  # type: ignore
        rungs = playing.ladders[line.exercise.implement]
        nearest = rungs[np.clip(np.searchsorted(rungs, worked_up, side="right") - 1, 0, None)]
        load = np.where(np.isnan(load), nearest, load)
    return load, reps


def play(workbook: BlockBook, lifters: SimulatedLifters, choose: Chooser = as_the_sheet_says) -> Iterator[Playing]:
    """Fill in the block session by session; yields after each week.

    One calculation serves throughout although what is typed grows under it: a target looks only
    upward and back in the sheet, at cells that are final when it is asked for.
    """
    playing = Playing(workbook, lifters)
    for week in workbook.weeks:
        for place in week:
            _train(playing, place, choose)
        yield playing


def _train(playing: Playing, place: SessionPlace, choose: Chooser) -> None:
    comes = playing.lifters.begin_session(place.session.week, place.session.key)
    for line_place in place.lines:
        for planned in line_place.line.sets:
            load, reps = choose(playing, line_place, planned)
            _do(playing, line_place.line, planned, np.where(comes > 0, load, np.nan), reps, comes)


def _do(playing: Playing, line: Line, planned: PlannedSet, load: Numbers, reps: Numbers, comes: Numbers) -> None:
    if line.exercise.implement == "band":
        done, rpe = np.where(comes > 0, reps, np.nan), np.where(comes > 0, planned.rpe or np.nan, np.nan)
    else:
        wanted = np.full_like(reps, _MOST_REPS) if planned.kind == "max reps" else reps
        result = playing.lifters.lift(line.exercise.name, planned.number, load + playing.body_load(line), wanted)
        done, rpe = result.done, result.rpe
        if planned.kind == "max reps":
            done = np.maximum(np.where(np.isnan(done), np.nan, 0), done - (10 - (planned.rpe or 10)))
        target = planned.rpe if planned.rpe is not None else np.nan
        over = reps + 10 - target - result.possible
        playing.sets.append(PlayedSet(line, planned, load, reps, done, rpe, over))
    felt = 10 - rpe if playing.workbook.spec.block.in_reserve else rpe
    for column, values in (("load", load), ("reps", done), ("rpe", felt)):
        playing.typed[input_name(planned.key, column)] = values
