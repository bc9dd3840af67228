"""A simulated lifter who fills in a workbook: for demonstrations, not for anybody's training.

Hidden from the load decision: a capacity for each exercise, a rep curve of another family
than ours, form of the day, fatigue through the session, and reports of effort that are
off by more the further a set was from failure.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field


@dataclass
class SimulatedLifter:
    """start_maximum: true one-rep maximum at the start, by exercise (body load included).

    weekly_gain: true relative gain a week. bias: reps by which reserve is misjudged far from
    failure (positive: feels harder than it is). All chance comes from the seed.
    """

    start_maximum: dict[str, float]
    weekly_gain: float = 0.008
    day_spread: float = 0.018
    exercise_spread: float = 0.015
    bias: float = 0.15
    seed: int = 1
    _chance: random.Random = field(init=False)
    _form: float = field(init=False, default=0.0)
    _sets_today: int = field(init=False, default=0)

    def __post_init__(self) -> None:
        self._chance = random.Random(self.seed)

    def begin_session(self) -> None:
        self._form = self._chance.gauss(0, self.day_spread)
        self._sets_today = 0

    def lift(self, exercise: str, week: int, load: float, reps: int) -> tuple[int, float]:
        """Do one set: reps done and effort as the lifter would report it (RPE, halves).

        load includes the body load. reps: as asked; fewer are done where strength runs out.
        """
        maximum = self.start_maximum[exercise] * (1 + self.weekly_gain) ** (week - 1)
        form = self._form + self._chance.gauss(0, self.exercise_spread)
        fresh = maximum * math.exp(form) * (1 - 0.0035 * self._sets_today)
        possible = self._reps_to_failure(load / fresh)
        self._sets_today += 1
        done = max(0, min(reps, math.floor(possible)))
        reserve = max(0.0, possible - done)
        felt = reserve + self._chance.gauss(0, 0.25 + 0.08 * reserve) - self.bias * reserve / 3
        return done, min(10.0, max(5.0, round((10 - felt) * 2) / 2))

    @staticmethod
    def _reps_to_failure(share: float) -> float:
        """Reps from a share of the maximum: logarithmic, unlike the curve the workbook uses."""
        return 1 - 31 * math.log(min(1.3, max(0.3, share)))
