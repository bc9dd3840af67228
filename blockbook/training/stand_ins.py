"""An exercise done in place of the planned one, on a day when that cannot be done.

It is judged by itself: its load comes from what is known of it, then from its own last log, and nothing of it counts
for the planned one.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    Operand,
    all_numbers,
    and_,
    choose,
    if_,
    is_number,
    maximum,
    minimum,
    not_,
    or_,
    round_,
    same,
    sentence,
    total,
    trimmed,
)
from blockbook.spec.catalogue import Exercise
from blockbook.spec.models import MOST_STAND_INS, Specification
from blockbook.training import belief, progression
from blockbook.training.effort import effort_given, percent_of_max, reps_to_failure
from blockbook.training.loading import ladder, under
from blockbook.training.logged_set import left_out
from blockbook.training.maximum import start_maximum, start_spread
from blockbook.training.pain import says_none
from blockbook.training.prescription import Line, PlannedSet, exercises_above

Given = TypeVar("Given")

ANOTHER = 9
"""Stands for an exercise that is none of the coach's stand-ins. 0: as planned; 1 and so on: the stand-in chosen."""

EASY_IS_WORTH = 1
"""By so many reps a stand-in's load rises at most for having been easy: it is done now and then, and on days when
something is wrong. Common practice, no source."""

FEWEST_REPS = 5
"""What is done instead, on a day when something is wrong, is not done for a heavy single, double or triple. Common
practice, no source."""

JUDGED_FROM = 9
"""An effort from which on it says something where none was asked for: it is near failure."""


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


@definition
def of_the_choice(
    chosen: Expression,
    planned: Expression,
    another: Expression,
    first: Expression,
    second: Expression,
    third: Expression,
    fourth: Expression,
    fifth: Expression,
) -> Expression:
    """What holds today: for the planned exercise, for the stand-in that was chosen, or for another exercise."""
    each = enumerate((first, second, third, fourth, fifth), 1)
    found: list[tuple[Expression, Operand]] = [(same(chosen, number), one) for number, one in each]
    return choose((same(chosen, 0), planned), *found, otherwise=another)


@definition
def target(
    today: Expression,
    chosen: Expression,
    none: Expression,
    another: Expression,
    first: Expression,
    second: Expression,
    third: Expression,
    fourth: Expression,
    fifth: Expression,
) -> Expression:
    """Today's load, or that of the stand-in. none: what stands in place of the planned load where there is none;
    another: the same of a stand-in."""
    planned = if_(is_number(today), today, none)
    return of_the_choice(chosen, planned, another, first, second, third, fourth, fifth)


@definition
def reps_of_choice(chosen: Expression, planned: Expression, base: Expression) -> Expression:
    """The reps asked for: the planned exercise's, which may have grown, or `reps_asked` of another (base)."""
    return if_(same(chosen, 0), planned, base)


def reps_asked(line: Line, planned: PlannedSet) -> int:
    """The reps that a set asks of a stand-in: those planned, and `FEWEST_REPS` at least where an effort goes with them.

    A load in percent was written for its reps, a fixed one as well.
    """
    written = line.kind in ("percent", "fixed") or planned.kind == "back-off"
    return planned.reps if written else max(FEWEST_REPS, planned.reps)


@definition
def own_load(load: Expression, chosen: Expression) -> Expression:
    """The load lifted with the planned exercise itself: what counts for it."""
    lifted = if_(is_number(load), load, if_(same(load, ""), BLANK, load))
    return if_(same(chosen, 0), lifted, BLANK)


@definition
def known_of_choice(
    learned: Expression,
    chosen: Expression,
    planned: Expression,
    first: Expression,
    second: Expression,
    third: Expression,
    fourth: Expression,
    fifth: Expression,
) -> Expression:
    """The one-rep maximum of what is done today: as its own logs show it (learned), else as the block began."""
    return if_(is_number(learned), learned, of_the_choice(chosen, planned, BLANK, first, second, third, fourth, fifth))


@definition
def exposures_of_choice(learned: Expression, chosen: Expression, planned: Expression) -> Expression:
    """How often what is done today was logged before: 1 for a stand-in that was."""
    return if_(same(chosen, 0), planned, if_(is_number(learned), 1, 0))


@definition
def maximum_shown(
    load: Expression,
    reps: Expression,
    rpe: Expression,
    target_reps: Expression,
    target_rpe: Expression,
    share: Expression,
    plausible: Expression,
    known: Expression,
    pain: Expression,
    body_load: Expression,
    curve: Expression,
) -> Expression:
    """The one-rep maximum that a stand-in's first set shows, body load included; "" where it says nothing.

    share: of the maximum that the set asks for. An easy set is worth `EASY_IS_WORTH` at most, a hard one counts in
    full, one without effort as asked for, and as failed where its reps are short. Where no effort is asked for
    (target_rpe ""), one far from failure says nothing. Where it hurt (pain) nothing rises above what was known.
    """
    asked = reps_to_failure(share, curve)
    judged = if_(effort_given(rpe), if_(is_number(target_rpe), 1, if_(rpe >= JUDGED_FROM, 1, 0)), 0)
    by_reps = asked + reps - target_reps
    unjudged = if_(and_(not_(is_number(rpe)), reps < target_reps), reps, by_reps)
    to_failure = if_(judged > 0, reps + 10 - rpe, unjudged)
    counted = maximum(0, minimum(to_failure, asked + EASY_IS_WORTH))
    shown = (load + body_load) / percent_of_max(counted, curve)
    careful = if_(and_(is_number(known), total(pain) > 0), minimum(shown, known), shown)
    sound = and_(plausible > 0, load + body_load > 0, left_out(load, reps, rpe, body_load) < 1)
    return if_(all_numbers(load, reps), if_(sound, careful, BLANK), BLANK)


@definition
def percent_off(
    shown: Expression, share: Expression, first_target: Expression, body_load: Expression, most: Expression
) -> Expression:
    """By how many percent the loads asked for are too heavy by what the first set showed, in fives; 0 where they fit.

    The loads themselves stay: what is done instead follows from logs of earlier days. most: as much is said at most.
    """
    right = shown * share - body_load
    off = round_(20 * (1 - right / first_target), 0) * 5
    heavier = if_(and_(first_target > 0, right < first_target), minimum(most, off), 0)
    return if_(all_numbers(shown, first_target), heavier, 0)


MOST_OFF = 50
"""Percent: a first set that shows less than half was no set of this exercise."""


@definition
def learned_after(chosen: Expression, number: Expression, shown: Expression, before: Expression) -> Expression:
    """What the logs of the stand-in with this number show after today; "" before it was done."""
    return if_(same(chosen, number), if_(is_number(shown), shown, before), before)


@definition
def load_by_log(
    learned: Expression,
    where_planned: Expression,
    exposures: Expression,
    logged: Expression,
    share: Expression,
    body_load: Expression,
    otherwise: Expression,
    loads: Expression,
) -> Expression:
    """A set's load by the stand-in's own logs, rounded down to one that can be made; before those the first load.

    Those are no more than what it is believed to have where the week asks for it as well (where_planned, once it was
    logged there: exposures, logged), or it would be asked to do what has just failed. share: of the one-rep maximum
    that the set asks for.
    """
    by_plan = under(where_planned * share - body_load, loads)
    least = if_(is_number(otherwise), minimum(otherwise, by_plan), by_plan)
    known_there = and_(is_number(where_planned), or_(exposures > 0, is_number(logged)))
    first = if_(known_there, least, otherwise)
    return if_(is_number(learned), under(learned * share - body_load, loads), first)


STAND_IN_BY_LOG = (
    "Instead: {exercise}. The load follows the last time you did it, not today's sets. "
    "Every set below counts as that, and none for the planned exercise."
)
STAND_IN_REASON = (
    "Instead: {exercise}. Begin with the load shown, less if unsure: it does not follow your sets. "
    "Every set below counts as that, and none for the planned exercise."
)
STAND_IN_UNKNOWN = (
    "Instead: {exercise}. No load is known for it: work up in small steps. "
    "Every set below counts as that, and none for the planned exercise."
)
STAND_IN_LIGHTER = (
    "Instead: {exercise}. After the first set, about {percent} % less than is shown below is right for the others."
)
STAND_IN_HURTS = (
    "Not {exercise} today: it hurt when you last wrote of it. Choose another exercise, or ask your coach first."
)


@definition
def instead(
    exercise: Expression, shown: Expression, learned: Expression, percent_off: Expression, hurts: Expression
) -> Expression:
    """What is said of the exercise that is done in place of the planned one.

    exercise: its name as typed; shown: its first load; learned: what its own logs show; percent_off: by how much its
    loads are too heavy; hurts: above 0 where it hurts itself.
    """
    return choose(
        (hurts > 0, sentence(STAND_IN_HURTS, exercise=exercise)),
        (percent_off > 0, sentence(STAND_IN_LIGHTER, exercise=exercise, percent=percent_off)),
        (is_number(learned), sentence(STAND_IN_BY_LOG, exercise=exercise)),
        (is_number(shown), sentence(STAND_IN_REASON, exercise=exercise)),
        otherwise=sentence(STAND_IN_UNKNOWN, exercise=exercise),
    )


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
    aim = progression.aim.value(able, share_asked(spec, line, planned), body_load)
    variance = belief.first_variance.value(start_spread(spec, exercise))
    spread = belief.spread_of_plan.value(variance, policy.exercise_sd, policy.day_sd)
    load = progression.careful.value(aim, spread, body_load, policy.over_cost)
    assert isinstance(load, (int, float))
    return max((rung.load for rung in rungs if rung.load <= load), default=None)


def share_asked(spec: Specification, line: Line, planned: PlannedSet) -> float:
    """The share of a one-rep maximum that a set asks for."""
    if line.percent is not None:
        return line.percent / 100
    own = planned.rpe is not None
    reps, rpe = (reps_asked(line, planned), planned.rpe) if own else (max(FEWEST_REPS, line.reps.low), line.rpe)
    share = progression.asked_share.value(reps, rpe, 0, spec.lifter.curve)
    assert isinstance(share, (int, float))
    if planned.kind == "feeler":
        return share * spec.policy.feeler_share
    back_off = line.slot.back_off
    return share if own or back_off is None or planned.kind != "back-off" else share * (1 - back_off.drop / 100)


PLACES = ("first", "second", "third", "fourth", "fifth")
"""Parameters for each stand-in."""

assert len(PLACES) == MOST_STAND_INS


def padded(values: Sequence[Given]) -> dict[str, Given | str]:
    """The parameters by name; those there are none for are ""."""
    return {place: values[number] if number < len(values) else "" for number, place in enumerate(PLACES)}
