"""The way up to a work set, made from the lifter's plates (common practice, no source)."""

from __future__ import annotations

from itertools import pairwise

from blockbook.formula.definition import definition
from blockbook.formula.expression import BLANK, Expression, and_, if_, is_number, join
from blockbook.languages import say
from blockbook.training.loading import under

STEPS = ((0.0, 8), (0.4, 5), (0.55, 3), (0.7, 2), (0.8, 1), (0.9, 1))
"""Share of the load to come (0: the empty bar), and reps. The last is for an attempt only, not before work sets."""


@definition
def warm_up(target: Expression, loads: Expression) -> Expression:
    """ "Warm-up: 20 x 8, 50 x 5, 65 x 3, 85 x 2, 95 x 1" on the way to a load; "" where none is known or needed.

    Each the heaviest load that can be made and is not above its share. A step that adds nothing is left out.
    """
    made = [under(target * share, loads) for share, _ in STEPS[:-1]]
    bar = made[0]
    text = join(say("Warm-up: "), bar, f" x {STEPS[0][1]}")
    for (before, load), (_, reps) in zip(pairwise(made), STEPS[1:-1], strict=True):
        text = join(text, if_(and_(load > before, load < target), join(", ", load, f" x {reps}"), BLANK))
    return if_(is_number(target), if_(target > bar, text, BLANK), BLANK)


@definition
def warm_up_or_none(target: Expression, loads: Expression, on_barbell: Expression) -> Expression:
    """The same, where another exercise may be chosen: there is none for what is not done with a barbell."""
    return if_(on_barbell > 0, warm_up(target, loads), BLANK)
