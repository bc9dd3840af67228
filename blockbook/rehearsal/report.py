"""What a block is likely to bring: played by a seeded crowd of invented lifters before it is mailed.

Loads, tonnage and hard sets are the workbook's own cells; effort is what was truly in the sets,
which only a simulation knows. Shares are fractions: 0.12 is 12 %.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from blockbook.errors import BlockbookError
from blockbook.formula.arrays import Numbers, Together, read_over_arrays
from blockbook.rehearsal.crowd import crowd, spread_over
from blockbook.rehearsal.playing import PlayedSet, Playing, play
from blockbook.spec.catalogue import Exercise, Muscle
from blockbook.spec.models import Specification
from blockbook.training import volume
from blockbook.training.maximum import is_guess, start_maximum
from blockbook.training.prescription import Line
from blockbook.workbook.assemble import assemble
from blockbook.workbook.layout import SessionPlace
from blockbook.workbook.summary import planned_muscle_sets

FEWEST_LIFTERS, MOST_LIFTERS = 10, 5000
"""Ten put a lifter in each population; with 5000 a share is sure to about one percent."""

OVER_SHARE = 0.3
"""Share of runs that come in a rep or more over target, from which a line is warned of.

Form, reporting and a maximum that is a little off bring at most a quarter in nine of ten lines of
the shipped templates whose maximum is known or was logged; beyond that the load does not fit.
"""

MISSED_SHARE = 0.2
"""Share of runs that miss target reps in any set, from which a line is warned of.

In the same lines it is at most a sixth: one run in five is more than bad days explain.
"""

OVER_REPS = 1.0
"""A set this many reps over its target effort overshoots: half a rep is within what effort can be told by."""

LOW, HIGH = 10, 90
"""Percentiles between which a number is called likely."""

Maximum = Literal["known", "guessed", "unknown"]
"""Where the one-rep maximum comes from: a best of the exercise, one of its related lift, or nowhere."""


@dataclass(frozen=True)
class Likely:
    """10th percentile, median and 90th percentile."""

    low: float
    median: float
    high: float


@dataclass(frozen=True)
class LikelyEffort:
    """By how many reps the first set truly comes in over its target effort (under: negative).

    overshoots: share of runs in which that is a rep or more.
    """

    mean: float
    likely: Likely
    overshoots: float


@dataclass(frozen=True)
class LineRehearsal:
    """One exercise in one week, over the runs that came to the session.

    load: of the first work set, in the block's unit; None where no maximum is known. effort: None
    without a target effort, and where reps are left to the lifter. missed: share of runs that miss
    target reps in any set; None where reps are left to the lifter or nothing is known.
    """

    week: int
    session: str
    slot_key: str
    label: str
    exercise: str
    depth: int
    reps: str
    rpe: float | None
    load: Likely | None
    effort: LikelyEffort | None
    missed: float | None
    maximum: Maximum

    @property
    def name(self) -> str:
        return f"{self.label} {self.exercise}"

    @property
    def overshoots(self) -> float:
        return self.effort.overshoots if self.effort else 0

    @property
    def severity(self) -> float:
        """The shares against those that are warned of, the larger one; 1 and more is a warning."""
        return max(self.overshoots / OVER_SHARE, (self.missed or 0) / MISSED_SHARE)

    @property
    def warning(self) -> str:
        """What is unlikely about it, in a sentence; "" where nothing is."""
        unlikely = []
        if (self.missed or 0) >= MISSED_SHARE:
            unlikely.append(f"{percent(self.missed or 0)} of runs miss reps")
        if self.overshoots >= OVER_SHARE:
            runs = "" if unlikely else " of runs"
            unlikely.append(f"{percent(self.overshoots)}{runs} come in a rep or more over target")
        if not unlikely:
            return ""
        why = "" if self.maximum == "known" else f" (its 1RM is {self.maximum})"
        return f"Week {self.week}, {self.session}, {self.name}: {', '.join(unlikely)}{why}"


@dataclass(frozen=True)
class WeekVolume:
    """Means over all runs, missed sessions included.

    hard_sets: muscle -> sets logged at the policy's effort of a hard set or above, direct ones 1,
    indirect ones a half; planned_sets counts in the same way. tonnage: in the block's unit,
    without exercises of which no maximum is known.
    """

    week: int
    hard_sets: Mapping[Muscle, float]
    planned_sets: Mapping[Muscle, float]
    tonnage: float


@dataclass(frozen=True)
class Rehearsal:
    """A block as a crowd of invented lifters lived it. crowd: population -> how many lifters."""

    spec: Specification
    seed: int
    crowd: Mapping[str, int]
    lines: tuple[LineRehearsal, ...]
    volume: tuple[WeekVolume, ...]
    unknown: tuple[str, ...]

    @property
    def lifters(self) -> int:
        return sum(self.crowd.values())

    @property
    def weeks(self) -> int:
        return self.spec.block.weeks

    @property
    def unlikely(self) -> tuple[LineRehearsal, ...]:
        """The lines with a warning, worst first."""
        return tuple(sorted((line for line in self.lines if line.warning), key=lambda line: -line.severity))

    @property
    def warnings(self) -> tuple[str, ...]:
        """What the plan asks for that is unlikely, worst first."""
        return tuple(line.warning for line in self.unlikely)


def rehearsal_of(
    spec: Specification, lifters: int = 200, seed: int = 1, after_week: Callable[[int], None] | None = None
) -> Rehearsal:
    """Let so many invented lifters, 10 to 5000, train the block. Same arguments, same numbers.

    40 % or more of them are of the "steady" population, a tenth of each other one (`spread_over`).
    after_week: called with each week's number once it is played.
    """
    _refuse_odd(lifters, seed)
    workbook = assemble(spec)
    lines: list[LineRehearsal] = []
    volumes: list[WeekVolume] = []
    seen = 0
    for places, playing in zip(workbook.weeks, play(workbook, crowd(spec, lifters, seed)), strict=True):
        lines += _lines(spec, places, playing.sets[seen:])
        volumes.append(_volume(spec, places, playing))
        seen = len(playing.sets)
        if after_week:
            after_week(len(volumes))
    unknown = tuple(dict.fromkeys(line.exercise for line in lines if line.maximum == "unknown"))
    return Rehearsal(spec, seed, spread_over(lifters), tuple(lines), tuple(volumes), unknown)


def _refuse_odd(lifters: int, seed: int) -> None:
    if not isinstance(lifters, int) or not FEWEST_LIFTERS <= lifters <= MOST_LIFTERS:
        raise BlockbookError(f"lifters: {lifters} should be a whole number from {FEWEST_LIFTERS} to {MOST_LIFTERS}.")
    if not isinstance(seed, int) or seed < 0:
        raise BlockbookError(f"seed: {seed} should be a whole number from 0.")


# One exercise in one week


def _lines(spec: Specification, places: tuple[SessionPlace, ...], sets: list[PlayedSet]) -> Iterator[LineRehearsal]:
    by_slot: dict[str, list[PlayedSet]] = defaultdict(list)
    for done in sets:
        if done.planned.kind != "feeler":
            by_slot[done.line.slot_key].append(done)
    for place in places:
        for line in place.session.lines:
            if by_slot[line.slot_key]:
                yield _line(spec, place.session.name, line, by_slot[line.slot_key])


def _line(spec: Specification, session: str, line: Line, sets: list[PlayedSet]) -> LineRehearsal:
    maximum = _maximum(spec, line.exercise)
    known = maximum != "unknown"
    # A load that is not worked up to says nothing against a maximum that was made up for the simulation.
    worked_up = line.kind != "fixed" and line.coach_load is None and line.exercise.implement != "bodyweight"
    comparable = known or worked_up
    first = sets[0]
    asked = [done for done in sets if done.planned.kind != "max reps"] if comparable else []
    return LineRehearsal(
        week=line.week,
        session=session,
        slot_key=line.slot_key,
        label=line.label,
        exercise=line.exercise.name,
        depth=line.depth,
        reps=str(line.reps),
        rpe=first.planned.rpe,
        load=_likely(first.load, loadable=True) if known else None,
        effort=_effort(first.over) if asked and first is asked[0] else None,
        missed=_missed(asked),
        maximum=maximum,
    )


def _maximum(spec: Specification, exercise: Exercise) -> Maximum:
    if start_maximum(spec, exercise) is None:
        return "unknown"
    return "guessed" if is_guess(spec, exercise) else "known"


def _likely(values: Numbers, loadable: bool = False) -> Likely | None:
    """loadable: only numbers that are among the values, so that a load can be made."""
    there = values[~np.isnan(values)]
    if not there.size:
        return None
    found = np.percentile(there, (LOW, 50, HIGH), method="nearest" if loadable else "linear")
    return Likely(*(float(value) for value in found))


def _effort(over: Numbers) -> LikelyEffort | None:
    likely = _likely(over)
    if likely is None:
        return None
    there = over[~np.isnan(over)]
    return LikelyEffort(float(np.mean(there)), likely, float(np.mean(there >= OVER_REPS)))


def _missed(sets: list[PlayedSet]) -> float | None:
    came = ~np.isnan(sets[0].done) if sets else np.array([False])
    if not came.any():
        return None
    short = np.any([done.done < done.target_reps for done in sets], axis=0)
    return float(np.mean(short[came]))


# A week's volume


def _volume(spec: Specification, places: tuple[SessionPlace, ...], playing: Playing) -> WeekVolume:
    lines = [line for place in places for line in place.session.lines]
    muscles = sorted({muscle for line in lines for muscle in (*line.exercise.direct, *line.exercise.indirect)})
    known = [line for line in lines if _maximum(spec, line.exercise) != "unknown"]
    return WeekVolume(
        week=places[0].session.week,
        hard_sets={muscle: _hard_sets(playing, lines, muscle) for muscle in muscles},
        planned_sets={muscle: planned_muscle_sets(lines, muscle) for muscle in muscles},
        tonnage=float(sum(_cell(playing, line, "tonnage").mean() for line in known)),
    )


def _hard_sets(playing: Playing, lines: list[Line], muscle: Muscle) -> float:
    direct = Together(_cell(playing, line, "hard") for line in lines if muscle in line.exercise.direct)
    indirect = Together(_cell(playing, line, "hard") for line in lines if muscle in line.exercise.indirect)
    return float(np.mean(read_over_arrays(volume.muscle_sets)(direct, indirect)))  # type: ignore[arg-type]


def _cell(playing: Playing, line: Line, name: str) -> Numbers:
    return playing.sheet.numbers(playing.workbook.workings.cell(line, name))


def percent(share: float) -> str:
    return f"{100 * share:.0f} %"
