"""What tells of strength: sets that were hard enough, in weeks that are neither a deload nor a taper."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from blockbook.formula.definition import definition
from blockbook.formula.expression import BLANK, Expression, all_numbers, if_, is_number, or_, total
from blockbook.languages import say
from blockbook.spec.models import Block
from blockbook.spec.season_policy import SeasonPolicy
from blockbook.training.prescription import Line
from blockbook.training.progression import FAR_EASIER


@definition
def says_at_least(rpe: Expression, target_rpe: Expression, judged_reserve: Expression) -> Expression:
    """1 for a set so easy that the maximum may be far above the one it shows; else 0.

    That is one with more than `judged_reserve` reps left, where nobody judges well, or far under its target.
    """
    far_under = if_(is_number(target_rpe), target_rpe - rpe >= FAR_EASIER, rpe < 0)
    return if_(is_number(rpe), if_(or_(10 - rpe > judged_reserve, far_under), 1, 0), 0)


@definition
def estimate_that_tells(
    estimate: Expression, rpe: Expression, target_rpe: Expression, judged_reserve: Expression
) -> Expression:
    """The estimated maximum of a set that says more than "at least"; else ""."""
    tells = says_at_least(rpe, target_rpe, judged_reserve) < 1
    return if_(all_numbers(estimate, rpe), if_(tells, estimate, BLANK), BLANK)


@definition
def charts_to_come(done: Expression) -> Expression:
    """What stands above charts that have nothing to draw yet; done: the sets done of each week."""
    return if_(total(done) > 0, BLANK, say("The charts below fill as you log."))


def taper_week(lines: Iterable[Line], block: Block) -> int | None:
    """The last week, if its sets are cut against the fullest week's as those of a taper are; else None.

    What is lifted in it is too light to tell of strength. The least cut is that of the season's policy. lines: of
    all weeks.
    """
    sets = Counter[int]()
    for line in lines:
        sets[line.week] += len(line.work_sets)
    last = block.weeks
    return last if sets[last] <= (1 - SeasonPolicy().least_volume_cut) * max(sets.values(), default=0) else None


def working_weeks(lines: Iterable[Line], block: Block) -> Sequence[int]:
    """Numbers of the weeks that are neither; never none."""
    lighter = (block.deload_week, taper_week(lines, block))
    return [week for week in range(1, block.weeks + 1) if week not in lighter] or [1]
