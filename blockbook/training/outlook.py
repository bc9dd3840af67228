"""Looking ahead to the last week: where one step a week would lead, and what the plan has there.

5 lb a week from 135 lb is 150 lb in week four, +11.1 %: a step looks small, its sum may not be
(common practice, no source). All loads in the block's unit.
"""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import BLANK, Expression, all_numbers, choose, count, if_, is_number, maximum, round_
from blockbook.languages import say
from blockbook.training.loading import over


@definition
def as_it_stands(lifted: Expression, planned: Expression) -> Expression:
    """Load of a week as its sheet has it: the heaviest of those lifted, else planned."""
    return if_(count(lifted) > 0, maximum(lifted), planned)


@definition
def step_a_week(start: Expression, steps: Expression, loads: Expression) -> Expression:
    """The load after `steps` weeks of one step each."""
    return if_(is_number(start), start + steps * (over(start, loads) - start), BLANK)


@definition
def rise(start: Expression, end: Expression, body_load: Expression) -> Expression:
    """Relative rise from start to end, the body lifted along; "" where there is none to tell."""
    lifted = start + body_load
    return if_(all_numbers(start, end), if_(lifted > 0, (end + body_load) / lifted - 1, BLANK), BLANK)


HELD_FOR_PAIN = "held: pain or the like was noted"


@definition
def without_steps(instead: Expression, start: Expression, end: Expression, holding_pain: Expression) -> Expression:
    """What an exercise does instead of a step a week, in words; not where pain holds it, or less is asked by then."""
    falls = if_(all_numbers(start, end), if_(round_(end - start, 6) < 0, 1, 0), 0)
    return choose((holding_pain > 0, say(HELD_FOR_PAIN)), (falls > 0, say("lighter by then")), otherwise=instead)


@definition
def remark(
    start: Expression, stepped: Expression, end: Expression, steps: Expression, holding_pain: Expression
) -> Expression:
    """What a step every week comes to, by what stands in the last week; or that pain holds it there (above 0)."""
    half_a_step = (stepped - start) / steps / 2
    judged = choose(
        (holding_pain > 0, say(HELD_FOR_PAIN)),
        (stepped > end + half_a_step, say("more than the plan")),
        (stepped < end - half_a_step, say("less than the plan")),
        otherwise=say("about the plan"),
    )
    return if_(all_numbers(start, stepped, end), judged, say("said once it is logged"))
