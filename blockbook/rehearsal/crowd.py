"""Simulated lifters of several populations side by side, so that one calculation serves them all."""

from __future__ import annotations

import numpy as np

from blockbook.formula.arrays import Numbers
from blockbook.rehearsal.playing import invited
from blockbook.spec.models import Specification
from blockbook.training.simulated import POPULATIONS, Population, SetDone, SimulatedLifters

USUAL = "steady"
_SHARE_OF_ANOTHER = 10


class Crowd(SimulatedLifters):
    """Lifters of all `parts`, one part after the other in every array."""

    def __init__(self, parts: tuple[SimulatedLifters, ...]) -> None:
        first = parts[0]
        number = sum(part.number for part in parts)
        super().__init__(Population("crowd"), first.stated, first.guessed, number, first.weeks, first.seed)
        self.parts = parts
        self.reps_per_log = np.concatenate([part.reps_per_log for part in parts])
        self.bend = np.concatenate([part.bend for part in parts])
        self._ends = np.cumsum([part.number for part in parts])[:-1]

    def begin_session(self, week: int, key: str) -> Numbers:
        return np.concatenate([part.begin_session(week, key) for part in self.parts])

    def capacity(self, exercise: str, high_reps: bool) -> Numbers:
        return np.concatenate([part.capacity(exercise, high_reps) for part in self.parts])

    def form(self, exercise: str) -> Numbers:
        return np.concatenate([part.form(exercise) for part in self.parts])

    def tiredness(self, exercise: str) -> Numbers:
        return np.concatenate([part.tiredness(exercise) for part in self.parts])

    def lift(self, exercise: str, number: int, load: Numbers, reps: Numbers) -> SetDone:
        loads, asked = np.split(load, self._ends), np.split(reps, self._ends)
        done = [part.lift(exercise, number, *theirs) for part, *theirs in zip(self.parts, loads, asked, strict=True)]
        return SetDone(
            possible=np.concatenate([each.possible for each in done]),
            done=np.concatenate([each.done for each in done]),
            rpe=np.concatenate([each.rpe for each in done]),
        )


def spread_over(lifters: int) -> dict[str, int]:
    """Population -> how many lifters: a tenth in each, and all the rest in the steady one.

    With seven populations 40 % are steady: most lifters who are sent a block are, and the others
    show what the block does to whom it does not fit. Invented weights.
    """
    other = lifters // _SHARE_OF_ANOTHER
    spread = {name: other for name in POPULATIONS if name != USUAL}
    return {USUAL: lifters - sum(spread.values()), **spread}


def crowd(spec: Specification, lifters: int, seed: int) -> Crowd:
    """So many lifters around the numbers that a specification states, at least 10."""
    return Crowd(tuple(invited(spec, POPULATIONS[name], number, seed) for name, number in spread_over(lifters).items()))
