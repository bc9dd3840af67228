"""The way up to a work set, made from the lifter's plates (common practice, no source)."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from blockbook.formula.definition import definition
from blockbook.formula.expression import BLANK, Expression, choose, if_, is_number, join
from blockbook.languages import say
from blockbook.training.loading import under

REPS = (8, 5, 3, 2, 1, 1)
"""Of the empty bar and of each step above it. Common practice, no source."""

WAYS: tuple[tuple[float, tuple[float, ...]], ...] = (
    (10, (0.3, 0.47, 0.62, 0.76, 0.88)),
    (6, (0.4, 0.57, 0.73, 0.87)),
    (4, (0.5, 0.67, 0.84)),
    (2.5, (0.6, 0.8)),
    (2, (0.75,)),
    (1.3, ()),
)
"""From so many empty bars on: the steps after the empty bar, as shares of the load to come.

A light load takes few steps, so that each adds something (with a bar of 20 kg 10 kg or more), and none comes
nearer to the load than a tenth of it. Below 1.3 bars the set is its own warm-up. Common practice, no source.
"""


@definition
def warm_up(target: Expression, loads: Expression) -> Expression:
    """ "Warm-up: 20 x 8, 47.5 x 5, 67.5 x 3, 87.5 x 2, 102.5 x 1"; "" where no load is known, or no way is needed.

    Each the heaviest load that can be made and is not above its share. A step that adds nothing is left out.
    """
    bar = under(target * 0, loads)
    ways = [(target >= bar * bars, _way(target, shares, loads)) for bars, shares in WAYS]
    return if_(is_number(target), choose(*ways, otherwise=BLANK), BLANK)


def _way(target: Expression, shares: Sequence[float], loads: Expression) -> Expression:
    made = [under(target * share, loads) for share in (0.0, *shares)]
    text = join(say("Warm-up: "), made[0], f" x {REPS[0]}")
    for (before, load), reps in zip(pairwise(made), REPS[1:], strict=False):
        text = join(text, if_(load > before, join(", ", load, f" x {reps}"), BLANK))
    return text


@definition
def warm_up_or_none(target: Expression, loads: Expression, on_barbell: Expression) -> Expression:
    """The same, where another exercise may be chosen: there is none for what is not done with a barbell."""
    return if_(on_barbell > 0, warm_up(target, loads), BLANK)
