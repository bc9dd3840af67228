"""How an exercise's strength went, over one block or several: a robust slope of its estimated maxima."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from blockbook.assessment import pain
from blockbook.assessment.history import LineHistory, histories
from blockbook.intake.log import BlockLog
from blockbook.spec.next_policy import NextPolicy
from blockbook.training.loading import to_kg
from blockbook.training.robust_slope import Slope, theil_sen


@dataclass(frozen=True)
class Trend:
    """slope: weekly gain in logs, None with fewer than two weeks; weeks: those logged; blocks: how many they lie in."""

    slope: Slope | None
    weeks: int
    blocks: int

    def shows_no_progress(self, policy: NextPolicy) -> bool:
        """Over two blocks or more, even the upper end of the interval is no progress."""
        enough = self.blocks >= 2 and self.weeks >= policy.fewest_weeks
        return enough and self.slope is not None and self.slope.high < policy.least_gain


@dataclass(frozen=True)
class Past:
    """The blocks behind a decision, the latest last, with what each shows."""

    logs: tuple[BlockLog, ...]
    every: tuple[tuple[LineHistory, ...], ...]

    @classmethod
    def of(cls, logs: Sequence[BlockLog]) -> Past:
        return cls(tuple(logs), tuple(histories(log) for log in logs))

    def trend(self, exercise: str) -> Trend:
        """Of an exercise in any session: the best estimated maximum of each week that tells of strength."""
        policy = self.logs[-1].spec.next_block
        first = self.logs[0].spec.block.start
        weeks: dict[float, float] = {}
        blocks = set()
        for number, (log, every) in enumerate(zip(self.logs, self.every, strict=True)):
            for history in every:
                if history.line.exercise.name.casefold() != exercise.casefold():
                    continue
                for week in history.judged_weeks:
                    if week.best:
                        at = (log.spec.block.start - first).days / 7 + week.week
                        best = to_kg(week.best) if log.spec.block.unit == "lb" else week.best
                        weeks[at] = max(weeks.get(at, 0), best)
                        blocks.add(number)
        slope = theil_sen(list(weeks), [math.log(best) for best in weeks.values()], policy.trend_confidence)
        return Trend(slope, len(weeks), len(blocks))

    def hurt_before(self, exercise: str) -> bool:
        """Whether pain was reported with this exercise in the block before the latest."""
        if len(self.logs) < 2:
            return False
        log = self.logs[-2]
        return any(
            pain.noted(log, place.line)
            for session in log.workbook.sessions
            for place in session.lines
            if place.line.exercise.name.casefold() == exercise.casefold()
        )
