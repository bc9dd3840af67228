"""Looking ahead to the last week: where one step a week would lead, and what is likely.

5 lb a week from 135 lb is 150 lb in week four, +11.1 %: a step looks small, its sum may not be
(common practice, no source). All loads in the block's unit.
"""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    all_numbers,
    choose,
    exp,
    if_,
    is_number,
    maximum,
    same,
)
from blockbook.languages import say
from blockbook.training.effort import load_for
from blockbook.training.loading import nearest, over


@definition
def begun_with(logged: Expression, planned: Expression) -> Expression:
    """Load of week 1: lifted, else planned."""
    return if_(is_number(logged), logged, planned)


@definition
def step_a_week(start: Expression, steps: Expression, loads: Expression) -> Expression:
    """The load after `steps` weeks of one step each."""
    return if_(is_number(start), start + steps * (over(start, loads) - start), BLANK)


@definition
def likely_load(
    prior: Expression,
    exposures: Expression,
    weeks_before: Expression,
    reps: Expression,
    rpe: Expression,
    body_load: Expression,
    weekly_gain: Expression,
    first_gain: Expression,
    first_gain_high: Expression,
    curve: Expression,
    loads: Expression,
) -> Expression:
    """The last week's load if the usual gain comes for every week that is not logged yet.

    prior: what is believed for the last week so far; weeks_before: weeks of the block before it.
    """
    to_come = maximum(0, weeks_before - exposures)
    first = if_(same(exposures, 0), if_(reps >= 8, first_gain_high, first_gain), 0)
    able = prior * exp(weekly_gain * to_come + first)
    return if_(is_number(prior), nearest(maximum(0, load_for(able, reps, rpe, body_load, curve)), loads), BLANK)


@definition
def rise(start: Expression, end: Expression, body_load: Expression) -> Expression:
    """Relative rise from start to end, the body lifted along; "" where there is none to tell."""
    lifted = start + body_load
    return if_(all_numbers(start, end), if_(lifted > 0, (end + body_load) / lifted - 1, BLANK), BLANK)


@definition
def remark(start: Expression, stepped: Expression, likely: Expression, steps: Expression) -> Expression:
    """What a step every week is, by what is likely."""
    half_a_step = (stepped - start) / steps / 2
    judged = choose(
        (stepped > likely + half_a_step, say("more than is likely")),
        (stepped < likely - half_a_step, say("less than is likely")),
        otherwise=say("in reach"),
    )
    return if_(all_numbers(start, stepped, likely), judged, say("said once it is logged"))
