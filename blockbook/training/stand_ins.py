"""An exercise done in place of the planned one, on a day when that cannot be done.

It is judged by itself: its load comes from what is known of it, and nothing of it counts for the planned one.
"""

from __future__ import annotations

from collections.abc import Sequence

from blockbook.formula.definition import definition
from blockbook.formula.expression import BLANK, Expression, Operand, choose, if_, is_number, lift, or_, same, trimmed
from blockbook.spec.catalogue import Exercise
from blockbook.spec.models import MOST_STAND_INS, Specification
from blockbook.training import belief, progression
from blockbook.training.loading import ladder
from blockbook.training.maximum import start_maximum, start_spread
from blockbook.training.pain import says_none
from blockbook.training.prescription import Line, PlannedSet, exercises_above

ANOTHER = 9
"""Stands for an exercise that is none of the coach's stand-ins. 0: as planned; 1 and so on: the stand-in chosen."""


@definition
def chosen(
    typed: Expression,
    planned: Expression,
    first: Expression,
    second: Expression,
    third: Expression,
    fourth: Expression,
    fifth: Expression,
) -> Expression:
    """Which stand-in was chosen, by its name as the list offers it; "" stands for a name that there is not.

    planned: the name of the planned exercise, which means what an empty cell does.
    """
    names, said = (first, second, third, fourth, fifth), trimmed(typed)
    found: list[tuple[Expression, Operand]] = [(same(said, name), number) for number, name in enumerate(names, 1)]
    return choose((or_(same(said, ""), same(said, planned), says_none(typed)), 0), *found, otherwise=ANOTHER)


def _of_the_choice(
    chosen: Expression, planned: Operand, of_each: tuple[Expression, ...], otherwise: Expression
) -> Expression:
    """What holds today: for the planned exercise, for the stand-in that was chosen, or for one that nobody knows."""
    found: list[tuple[Expression, Operand]] = [(same(chosen, number), one) for number, one in enumerate(of_each, 1)]
    return choose((same(chosen, 0), planned), *found, otherwise=otherwise)


@definition
def target(
    today: Expression,
    chosen: Expression,
    none: Expression,
    unknown: Expression,
    first: Expression,
    second: Expression,
    third: Expression,
    fourth: Expression,
    fifth: Expression,
) -> Expression:
    """Today's load, or that of the stand-in. none: what stands in place of the planned load where there is none;
    unknown: the same of a stand-in."""
    planned = if_(is_number(today), today, none)
    return _of_the_choice(chosen, planned, (first, second, third, fourth, fifth), unknown)


@definition
def on_barbell(
    chosen: Expression,
    planned: Expression,
    first: Expression,
    second: Expression,
    third: Expression,
    fourth: Expression,
    fifth: Expression,
) -> Expression:
    """1 where what is done today is done with a barbell, so that its plates can be told; else 0."""
    return _of_the_choice(chosen, planned, (first, second, third, fourth, fifth), lift(0))


@definition
def beside_choice(
    chosen: Expression,
    hint: Expression,
    first: Expression,
    second: Expression,
    third: Expression,
    fourth: Expression,
    fifth: Expression,
) -> Expression:
    """What stands beside the choice: a hint, or how the load of the stand-in that was chosen is counted."""
    return _of_the_choice(chosen, hint, (first, second, third, fourth, fifth), BLANK)


@definition
def own_load(load: Expression, chosen: Expression) -> Expression:
    """The load lifted with the planned exercise itself: what counts for it."""
    lifted = if_(is_number(load), load, if_(same(load, ""), BLANK, load))
    return if_(same(chosen, 0), lifted, BLANK)


def first_load(spec: Specification, exercise: Exercise, line: Line, planned: PlannedSet) -> float | None:
    """A load to begin a set with, in the block's unit: careful, and one that can be made.

    None where nothing is known, or the lightest there is would be too heavy; body weight alone can always be tried.
    """
    known, rungs, policy = start_maximum(spec, exercise), ladder(exercise.implement, spec.equipment), spec.policy
    if known is None and exercise.implement == "bodyweight":
        return 0
    if known is None or not rungs or line.kind == "fixed":
        return None
    body_load = spec.body_load(exercise)
    able = belief.first_prior.value(known, exercises_above(line), policy.depth_loss)
    share = _share(spec, line, planned)
    aim = progression.aim.value(able, share, body_load)
    variance = belief.first_variance.value(start_spread(spec, exercise))
    spread = belief.spread_of_plan.value(variance, policy.exercise_sd, policy.day_sd)
    load = progression.careful.value(aim, spread, body_load, policy.over_cost)
    assert isinstance(load, (int, float))
    return max((rung.load for rung in rungs if rung.load <= load), default=None)


def _share(spec: Specification, line: Line, planned: PlannedSet) -> float:
    """The share of a one-rep maximum that a set asks for."""
    if line.percent is not None:
        return line.percent / 100
    own = planned.rpe is not None
    reps, rpe = (planned.reps, planned.rpe) if own else (line.reps.low, line.rpe)
    share = progression.asked_share.value(reps, rpe, 0, spec.lifter.curve)
    assert isinstance(share, (int, float))
    if planned.kind == "feeler":
        return share * spec.policy.feeler_share
    back_off = line.slot.back_off
    return share if own or back_off is None or planned.kind != "back-off" else share * (1 - back_off.drop / 100)


def padded(values: Sequence[float | str]) -> dict[str, float | str]:
    """The parameters for each stand-in, by name; those there are none for are ""."""
    places = ("first", "second", "third", "fourth", "fifth")
    assert len(places) == MOST_STAND_INS
    return {place: values[number] if number < len(values) else "" for number, place in enumerate(places)}
