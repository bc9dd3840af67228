"""How a load moves against last time, and today against the plan, in words."""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    Expression,
    all_numbers,
    choose,
    differs,
    if_,
    join,
    maximum,
    or_,
    round_,
    same,
    sentence,
)
from blockbook.languages import say

COUNTED = " (counted from {load} {unit}: your {heaviest} {unit}, more than that day asked, counts in part)"
"""Or the load that a step is counted from would stand nowhere on the sheet."""


def changed_by(text: str, amount: Expression, unit: Expression) -> Expression:
    """A sentence with an amount of load in it."""
    return sentence(text, change=round_(amount, 2), unit=unit)


def day_move(
    planned: Expression,
    target: Expression,
    extra: Expression,
    extra_plan: Expression,
    reps: Expression,
    unit: Expression,
) -> Expression:
    """What the day made of the plan: its load, and the reps asked where they are other than planned (extra_plan)."""

    def changed(change: Expression, plain: str, with_reps: str) -> Expression:
        told = sentence(with_reps, change=round_(change, 2), unit=unit, reps=reps + extra)
        return if_(same(extra, extra_plan), changed_by(plain, change, unit), told)

    lighter = changed(
        planned - target,
        " Today {change} {unit} lighter, by the sets done so far.",
        " Today {change} {unit} lighter and {reps} reps, by the sets done so far.",
    )
    heavier = changed(
        target - planned,
        " Today {change} {unit} heavier, by the sets done so far.",
        " Today {change} {unit} heavier and {reps} reps, by the sets done so far.",
    )
    reps_alone = sentence(" Today {reps} reps, by the sets done so far.", reps=reps + extra)
    move = choose(
        (target < planned, lighter),
        (target > planned, heavier),
        (differs(extra, extra_plan), reps_alone),
        otherwise="",
    )
    return if_(all_numbers(planned, target), move, "")


def _reps_move(extra: Expression, last_extra: Expression, reps: Expression) -> Expression:
    """The reps asked where they are not those of last time. As a number: more may have been done than were asked.

    Reps that a day took away are no yardstick: to ask for them again is to ask for no more.
    """
    asked = reps + extra
    changed = or_(extra > maximum(last_extra, 0), extra < last_extra)
    said = if_(same(asked, 1), sentence(", {reps} rep", reps=asked), sentence(", {reps} reps", reps=asked))
    return if_(changed, said, "")


@definition
def moved(
    planned: Expression,
    last_load: Expression,
    last_heaviest: Expression,
    extra_plan: Expression,
    last_extra: Expression,
    reps: Expression,
    unit: Expression,
) -> Expression:
    """ "Up 2.5 kg, 8 reps": the plan against last time; "" where there was none.

    last_heaviest: what was lifted, which is more than what counted of it (last_load) for a heavier set of fewer reps.
    """
    change = round_(planned - last_load, 2)
    by_load = choose(
        (change > 0, changed_by("Up {change} {unit}", planned - last_load, unit)),
        (change < 0, changed_by("Down {change} {unit}", last_load - planned, unit)),
        otherwise=say("Same load"),
    )
    counted = sentence(COUNTED, load=round_(last_load, 2), heaviest=round_(last_heaviest, 2), unit=unit)
    against = if_(all_numbers(last_heaviest), if_(round_(last_heaviest - last_load, 6) > 0, counted, ""), "")
    return if_(all_numbers(planned, last_load), join(by_load, _reps_move(extra_plan, last_extra, reps), against), "")
