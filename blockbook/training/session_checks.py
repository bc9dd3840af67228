"""What in a session's sets is looked at before it is said how it went."""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    Expression,
    absolute,
    and_,
    average,
    choose,
    count,
    count_where,
    if_,
    is_number,
    join,
    maximum,
    minimum,
    same,
    total,
)
from blockbook.training.effort import AT_FAILURE
from blockbook.training.logged_set import OTHER_SCALE

SESSION_APART = 4.0
"""A session's effort so many points from the mean of its sets is asked about. Common practice, no source."""

ENOUGH_EFFORTS = 4
"""Sets whose mean says something of their session."""

EFFORTS_FIT, OTHER_SCALE_MEANT, EFFORTS_APART = 0, 1, 2
"""What may be wrong with the efforts of a session."""

OTHERS_TOO = 1.2
"""What a session's exercises say together is so many times what one says where others said something, too."""

BAD_DAY = 0.02
"""A session whose exercises together came in this far under belief (in logs) was a bad day."""

_ANY_LOAD = ">=-1000"


@definition
def doubted(efforts: Expression, rpe: Expression) -> Expression:
    """How many efforts of an exercise may be on the other scale, as `logged_set.on_other_scale` has it for the effort
    asked of the exercise (rpe)."""
    above = count_where(efforts, join(">", minimum(OTHER_SCALE, rpe - OTHER_SCALE)))
    return if_(is_number(rpe), count(efforts) - above, 0)


@definition
def efforts_to_check(doubted: Expression, efforts: Expression, effort: Expression) -> Expression:
    """What to check in a session's efforts: whether half of them or more are on the other scale (doubted: of each
    exercise), or far from the effort of the session."""
    apart = if_(absolute(effort - average(efforts)) >= SESSION_APART, EFFORTS_APART, EFFORTS_FIT)
    far = if_(is_number(effort), if_(count(efforts) >= ENOUGH_EFFORTS, apart, EFFORTS_FIT), EFFORTS_FIT)
    other = and_(total(doubted) > 0, 2 * total(doubted) >= count(efforts))
    return choose((other, OTHER_SCALE_MEANT), otherwise=far)


@definition
def felt_over(mean_overshoot: Expression, efforts: Expression) -> Expression:
    """How far an exercise came in over target as the lifter is told: one that went to failure was not easier than
    asked, though more reps were done."""
    to_failure = maximum(efforts) >= AT_FAILURE
    return if_(is_number(mean_overshoot), if_(to_failure, maximum(0, mean_overshoot), mean_overshoot), mean_overshoot)


@definition
def to_look_at(
    reps: Expression, lifted: Expression, chosen: Expression, top: Expression, logged_load: Expression
) -> Expression:
    """How many sets have reps and no load that counts; none where another exercise was done (chosen above 0).

    top, logged_load: as in `volume.top_load`; a top set that is a slip is one of them.
    """
    slip = if_(is_number(top), if_(is_number(logged_load), 0, 1), 0)
    no_load = count_where(reps, ">0") - count_where(reps, ">0", lifted, _ANY_LOAD)
    return if_(same(chosen, 0), no_load + slip, 0)


@definition
def bad_day(
    shared: Expression, shared_left: Expression, precision: Expression, harder: Expression, day_sd: Expression
) -> Expression:
    """1 where a whole session went badly, and not one exercise alone; else 0.

    shared, shared_left, precision: as in `belief`; harder: as `session_said.harder_on_the_whole`, since a bad day is
    one only where the line below the session says so, too.
    """
    # What all exercises of the session said together is more than what this one said: others spoke, too.
    of_several = 1 / shared_left - 1 / (day_sd * day_sd) > OTHERS_TOO * precision
    return if_(and_(of_several, shared <= 0 - BAD_DAY, harder > 0), 1, 0)
