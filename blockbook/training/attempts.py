"""Which weights to attempt at a meet: opener, second and third of one lift.

What a lifter can do today is taken as normal: the believed maximum, with a spread that holds both
how unsure that is and the form of the day. A good lift says that today's maximum is at least as much.
A missed weight is taken again (common practice, no source): it costs 0.3 kg of a total where what is believed
is right, and gains 1 to 4 kg where it is 5 to 10 % too high, which nobody knows on the platform.
After a missed opener the first good lift is what the opener should have been: the third attempt is the one that
was planned to follow it, not the one that a second good lift would bring.
The attempts with the greatest expected total follow by going back from the third attempt. They stand
in a table by weight, so that a sheet looks up what Python does.

Why two columns are enough: weights never go down. So whoever is strong enough for the next weight was
strong enough for all before it, and the chances of the next weights, against each other, do not
depend on what was missed before. Only the best good lift and the last weight matter.
"""

from __future__ import annotations

from dataclasses import dataclass

from blockbook.formula.definition import definition
from blockbook.formula.expression import Expression, at, choose, if_, maximum, position_of, round_, same

ATTEMPTS = 3
"""Attempts at each lift (IPF technical rules 2007, rule 1d)."""

INCREMENT = 2.5
"""Weights are multiples of this, in kg (IPL rule book 2019, 6.1.1); records may differ."""

PLANS = {"safe": -0.5, "planned": 0.0, "reach": 0.5}
"""Plan -> how many spreads the believed maximum is moved by. Safe suits a bad day, reach a good one; the
opener of reach is the planned one. Common practice, no source."""


@dataclass(frozen=True)
class AttemptTable:
    """What to attempt, by weight, in kg. All columns are as long as `weights`, which ascend.

    chances: of being strong enough for a weight; after_good: the attempt after a first good lift, by that
    lift's weight; above: the third attempt after two good ones, by the best of them.
    """

    opener: float
    weights: tuple[float, ...]
    chances: tuple[float, ...]
    after_good: tuple[float, ...]
    above: tuple[float, ...]


@definition
def next_above(weight: Expression, increment: Expression) -> Expression:
    """The lightest multiple of the increment above a weight."""
    return increment * (round_(round_(weight / increment, 6) - 0.5, 0) + 1)


@definition
def row_of(weight: Expression, weights: Expression) -> Expression:
    """Row of the heaviest weight in the table that is not above `weight`, at least the first."""
    return position_of(maximum(weight, at(weights, 1)), weights)


@definition
def second_attempt(
    first: Expression,
    first_good: Expression,
    increment: Expression,
    weights: Expression,
    after_good: Expression,
) -> Expression:
    """The second attempt after an opener that was good (1) or missed (0), which is taken again."""
    heavier = maximum(next_above(first, increment), at(after_good, row_of(first, weights)))
    return if_(same(first_good, 1), heavier, first)


@definition
def best_lift(first: Expression, first_good: Expression, second: Expression, second_good: Expression) -> Expression:
    """The heaviest good lift of the two; 0 where there is none."""
    return maximum(if_(same(first_good, 1), first, 0), if_(same(second_good, 1), second, 0))


@definition
def third_attempt(
    first: Expression,
    first_good: Expression,
    second: Expression,
    second_good: Expression,
    increment: Expression,
    weights: Expression,
    after_good: Expression,
    above: Expression,
) -> Expression:
    """The third attempt after two that were good (1) or missed (0). A missed second is taken again.

    Where only the second was good, it is what would have followed an opener of that weight.
    """
    best = best_lift(first, first_good, second, second_good)
    heavier = maximum(first, next_above(best, increment), at(above, row_of(best, weights)))
    late = maximum(first, second_attempt(second, 1, increment, weights, after_good))
    return if_(same(second_good, 1), if_(same(first_good, 1), heavier, late), maximum(first, second))


@definition
def chance_of(weight: Expression, best: Expression, weights: Expression, chances: Expression) -> Expression:
    """Chance of being strong enough for a weight, given the best good lift so far (0: none yet).

    A weight between two of the table counts as the lower one.
    """
    known = at(chances, row_of(best, weights))
    share = if_(weight <= best, 1, at(chances, row_of(weight, weights)) / known)
    return choose((weight < at(weights, 1), 1), (best < at(weights, 1), at(chances, row_of(weight, weights))),
                  otherwise=if_(known > 0, share, 0))  # fmt: skip
