"""What is odd about a lifter's bests, and about loads that the coach wrote beside them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

from blockbook.spec.catalogue import Exercise
from blockbook.spec.documents import Location
from blockbook.spec.models import Slot, Specification
from blockbook.spec.templates import example_lifter
from blockbook.spec.values import MOST_EFFORT, Best, in_week
from blockbook.training.effort import one_rep_max
from blockbook.training.maximum import is_guess, start_maximum, start_spread
from blockbook.training.meet_numbers import LIFTS

FAR_APART = 3
"""So many times off one another no two bests are, by their usual ratio."""

BIG_LIFTS = {LIFTS["squat"]: 1.0, LIFTS["bench"]: 0.7, LIFTS["deadlift"]: 1.2}
"""What the three lifts usually are to one another."""

NEVER_ABOVE = (("overhead press", LIFTS["bench"], 1.0), (LIFTS["bench"], LIFTS["squat"], 1.5))
"""A lift, another, and the share of the other's maximum that it hardly ever exceeds."""

FAR_FROM_GUESS, ON_A_STACK = 1.5, 2
"""So many times a guessed maximum no set asks for; on a stack, where no two are alike, so many."""

SPREADS_AWAY = 2
"""A set that asks for so many spreads more than the maximum is no sound one."""


def doubts_on_bests(spec: Specification) -> Iterator[tuple[Location, str]]:
    """The best that each is on, and a sentence. Common practice, no source."""
    yield from _apart(spec)
    yield from _left_over(spec)


def _apart(spec: Specification) -> Iterator[tuple[Location, str]]:
    """Bests far out of their usual ratio to a related lift's, or to one another's of the three big lifts."""
    maxima = {
        exercise.name: maximum
        for exercise in (spec.catalogue[name.casefold()] for name in spec.lifter.bests)
        if (maximum := start_maximum(spec, exercise))
    }
    written = {spec.exercise(name).name: (name, best) for name, best in spec.lifter.bests.items()}
    told: set[str] = set()
    for name, other, least, most in _usual_shares(spec):
        known = name in maxima and other in maxima and not told & {name, other}
        if known and not least <= maxima[name] / maxima[other] <= most:
            told |= {name, other}
            both = " and ".join(f"{each} {_said(written[each][1], spec)}" for each in (name, other))
            yield _at(written[name][0]), f"The bests {both} do not go together. Is one mistyped?"


def _usual_shares(spec: Specification) -> Iterator[tuple[str, str, float, float]]:
    """A lift, another, and the least and most that it is of the other's maximum."""
    for name, other, most in NEVER_ABOVE:
        yield name, other, 0, most
    for one, other in combinations(BIG_LIFTS, 2):
        yield other, one, *_about(BIG_LIFTS[other] / BIG_LIFTS[one])
    for name in spec.lifter.bests:
        exercise = spec.exercise(name)
        if exercise.related and exercise.ratio:
            yield exercise.name, spec.exercise(exercise.related).name, *_about(exercise.ratio)


def _about(ratio: float) -> tuple[float, float]:
    return ratio / FAR_APART, ratio * FAR_APART


def _left_over(spec: Specification) -> Iterator[tuple[Location, str]]:
    """Bests that are still the starter's, where its others were changed by hand: each of its lifts is there yet."""
    example, bests = example_lifter(spec.block.unit).bests, spec.lifter.bests
    if example.keys() <= bests.keys() and not any(best.spread for best in bests.values()):
        same = [name for name in example if bests[name] == example[name]]
        if 0 < len(same) < len(example):
            listed = ", ".join(f"{name} {_said(bests[name], spec)}" for name in same)
            yield _at(same[0]), f"Still as in the example: {listed}. Is that this lifter's, too?"


def _at(best: str) -> Location:
    return "lifter", "bests", best


def _said(best: Best, spec: Specification) -> str:
    """ "60 kg x 5"."""
    return f"{best.load:g} {spec.block.unit}" + (f" x {best.reps}" if best.reps > 1 else "")


def too_heavy(spec: Specification, slot: Slot, week: int) -> Iterator[str]:
    """A load of the coach's above the maximum, or above what the reps and effort asked for leave of it."""
    load = slot.loads.get(week, in_week(slot.load, week) if slot.load else None)
    exercise = spec.exercise(slot.exercise)
    maximum, body_load = start_maximum(spec, exercise), spec.body_load(exercise)
    if load is None or maximum is None or slot.was_worked_out(week):
        return
    guess, unit, most = is_guess(spec, exercise), spec.block.unit, round(maximum - body_load, 1)
    believed = f"the one-rep maximum is guessed to be {most:g}" if guess else f"the one-rep maximum is {most:g}"
    above = load + body_load > maximum + 0.05
    if above and (not guess or _asks_too_much(spec, slot, week, load, exercise)):
        a_point_lost = load + body_load > FAR_APART * maximum and load / 10 + body_load <= maximum
        yield f"{load:g} {unit}, and {believed}." + (f" Was {load / 10:g} meant?" if a_point_lost else "")
    elif _asks_too_much(spec, slot, week, load, exercise):
        effort = _effort(slot, week)
        at_effort = "" if effort is None else f" at effort {effort:g}"
        yield f"{in_week(slot.reps, week).low} reps with {load:g} {unit}{at_effort}, and {believed}."


def _effort(slot: Slot, week: int) -> float | None:
    """The target effort that the coach wrote, if any."""
    if slot.reserve is not None:
        return MOST_EFFORT - slot.reserve
    return in_week(slot.rpe, week) if slot.rpe else None


def _asks_too_much(spec: Specification, slot: Slot, week: int, load: float, exercise: Exercise) -> bool:
    """Whether a set with that load, or of many reps a single one, asks for far more than the maximum, as sure as it
    is."""
    maximum, body_load = start_maximum(spec, exercise), spec.body_load(exercise)
    reps, effort = in_week(slot.reps, week).low, _effort(slot, week)
    curve, limit = spec.lifter.curve, spec.policy.estimate_reps_limit
    asked = one_rep_max.value(load, reps, MOST_EFFORT if effort is None else effort, body_load, curve, limit)
    by_guess = ON_A_STACK if exercise.implement == "stack" else FAR_FROM_GUESS
    times = by_guess if is_guess(spec, exercise) else math.exp(SPREADS_AWAY * start_spread(spec, exercise))
    needed = asked if isinstance(asked, (int, float)) else load + body_load
    return maximum is not None and needed > times * maximum
