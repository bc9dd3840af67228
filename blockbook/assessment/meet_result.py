"""What the meet that ended a block has shown: maxima lifted, and weights that were too heavy."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from blockbook.intake.log import Attempt, BlockLog
from blockbook.training.loading import to_lb
from blockbook.training.meet_numbers import LIFTS

_TIMES = {1: "", 2: " twice", 3: " three times"}


@dataclass(frozen=True)
class Shown:
    """Of one lift, in the block's unit: the heaviest good attempt; the lightest above it that was missed."""

    good: float | None
    missed: float | None

    def allows(self, believed: float, lifted: float = 0) -> float:
        """The maximum believed, at least what was lifted and at most what was missed.

        lifted: the heaviest load of the block before: what went up there for reps was not missed for want of strength.
        """
        return max(self.good or 0, lifted, believed if self.missed is None else min(believed, self.missed))


def shown_at_meet(log: BlockLog) -> dict[str, Shown]:
    """Exercise -> what the meet has shown of it, for lifts with a marked attempt."""
    found = {}
    for lift, attempts in _by_lift(log):
        good = max((each.weight or 0 for each in attempts if each.good), default=None)
        missed = [each.weight or 0 for each in attempts if not each.good and (each.weight or 0) > (good or 0)]
        if good or missed:
            found[LIFTS[lift]] = Shown(_in_unit(good, log), _in_unit(min(missed, default=None), log))
    return found


def meet_held(log: BlockLog) -> str:
    """What was lifted at the meet, in kg; "" where nothing is known of it."""
    said = [f"{lift} {', '.join(_attempts(attempts))}" for lift, attempts in _by_lift(log)]
    if not said or log.meet is None:
        return ""
    total = f" Total {log.meet.total:g}." if log.meet.total else ""
    return f"At the meet, in kg: {'; '.join(said)}.{total}"


def after_the_meet(log: BlockLog) -> str:
    """What is usual once the block's meet is over, where no season says it; "" before the meet."""
    meet = log.spec.block.meet
    if meet is None or (meet >= log.spec.block.end and not shown_at_meet(log)):
        return ""
    return (
        f"The meet of {meet} is over, and this block begins as the one before it did. A peak again right after a meet "
        "is unusual: count the way to the next meet back (blockbook season), or begin a general block (blockbook new "
        "general). Easy days before it are usual: change start."
    )


def _by_lift(log: BlockLog) -> Iterator[tuple[str, list[Attempt]]]:
    attempts = log.meet.attempts if log.meet else ()
    marked = [each for each in attempts if each.weight is not None and each.good is not None]
    for lift in LIFTS:
        if of_lift := [each for each in marked if each.lift == lift]:
            yield lift, of_lift


def _attempts(attempts: list[Attempt]) -> Iterator[str]:
    for (weight, good), alike in groupby(attempts, key=lambda each: (each.weight, each.good)):
        yield f"{weight:g} {'good' if good else f'missed{_TIMES[len(list(alike))]}'}"


def _in_unit(kg: float | None, log: BlockLog) -> float | None:
    return kg if kg is None or log.spec.block.unit == "kg" else to_lb(kg)
