"""What is odd about a lifter's bests, and about loads that the coach wrote beside them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from itertools import combinations
from statistics import median

from blockbook.spec.catalogue import Exercise
from blockbook.spec.documents import Location
from blockbook.spec.models import Slot, Specification, Unit
from blockbook.spec.templates import example_lifter
from blockbook.spec.values import KG_PER_LB, MOST_EFFORT, Best, in_week
from blockbook.training.effort import one_rep_max
from blockbook.training.maximum import is_guess, start_maximum, start_spread
from blockbook.training.meet_numbers import LIFTS
from blockbook.training.points import IPF_GL, LIGHTEST_IPF_GL, columns, ipf_gl, ipf_gl_row

FAR_APART = 3
"""So many times off one another no two bests are, by their usual ratio."""

BIG_LIFTS = {LIFTS["squat"]: 1.0, LIFTS["bench"]: 0.7, LIFTS["deadlift"]: 1.2}
"""What the three lifts usually are to one another."""

NEVER_ABOVE = (("overhead press", LIFTS["bench"], 1.0), (LIFTS["bench"], LIFTS["squat"], 1.5))
"""A lift, another, and the share of the other's maximum that it hardly ever exceeds."""

FAR_FROM_GUESS, ON_A_STACK = 1.5, 2
"""So many times a guessed maximum no set asks for; on a stack, where no two are alike, so many."""

MOST_POINTS = 85
"""IPF GL points that few trained lifters have; a hundred is about the best total there is. Where from: `points`; how
many are unusual: common practice, no source."""

LIGHT_IN_KG, HEAVY_IN_KG = 40, 160
"""Body weights beyond which few lift."""

SPREADS_AWAY = 2
"""A set that asks for so many spreads more than the maximum is no sound one."""


def doubts_on_bests(spec: Specification) -> Iterator[tuple[Location, str]]:
    """The best that each is on, and a sentence. Common practice, no source."""
    apart = dict(_apart(spec))
    yield from apart.items()
    if not apart:
        yield from _beyond_the_body_weight(spec)
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
            odd = max((name, other), key=lambda each: _off(each, maxima))
            yield _at(written[odd][0]), f"The bests {both} do not go together. Is one mistyped?"


def _off(name: str, maxima: Mapping[str, float]) -> float:
    """How far one of the three big lifts is, in logs, from what they have in the middle; 0 for another exercise."""
    as_squats = {lift: math.log(maxima[lift] / BIG_LIFTS[lift]) for lift in BIG_LIFTS if lift in maxima}
    return abs(as_squats[name] - median(as_squats.values())) if name in as_squats else 0


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


def doubts_on_body_weight(spec: Specification) -> Iterator[tuple[Location, str]]:
    """A body weight of few who lift: heavy in kilograms it may be pounds, light in pounds kilograms. Where bests do not
    go with it, those are asked about."""
    unit, weight = spec.block.unit, spec.lifter.body_weight
    odd = weight > HEAVY_IN_KG if unit == "kg" else _in_kg(weight, spec) < LIGHT_IN_KG
    if odd and not _beyond(spec):
        yield ("lifter", "body_weight"), f"A body weight of {weight:g} {unit}. Is that in {_other(unit)}?"


def _beyond_the_body_weight(spec: Specification) -> Iterator[tuple[Location, str]]:
    if strong := _beyond(spec):
        unit, weight = spec.block.unit, spec.lifter.body_weight
        lifted = " and ".join(f"{name} {_said(spec.lifter.bests[name], spec)}" for name in strong)
        weighing = f"at a body weight of {weight:g} {unit}"
        yield _at(strong[0]), f"{lifted} {weighing}: few are so strong. Is one of these in {_other(unit)}?"


def _beyond(spec: Specification) -> list[str]:
    """Bests of the three lifts that few trained lifters of that body weight have. What was learned from logs in the
    block's unit is no slip."""
    bests = spec.lifter.bests.items()
    return [name for name, best in bests if best.spread is None and _points_of(spec, name) > MOST_POINTS]


def _other(unit: Unit) -> Unit:
    return "kg" if unit == "lb" else "lb"


def _in_kg(load: float, spec: Specification) -> float:
    return load * (KG_PER_LB if spec.block.unit == "lb" else 1)


def _points_of(spec: Specification, name: str) -> float:
    """IPF GL points of a total in which this lift has its usual share; 0 for another exercise. Of who has no sex
    written, a man's: fewer."""
    exercise = spec.exercise(name)
    maximum = start_maximum(spec, exercise)
    if maximum is None or exercise.name not in BIG_LIFTS:
        return 0
    total = _in_kg(maximum, spec) * sum(BIG_LIFTS.values()) / BIG_LIFTS[exercise.name]
    row = ipf_gl_row.value(spec.lifter.sex or "male", "classic", "full")
    weight = max(LIGHTEST_IPF_GL, _in_kg(spec.lifter.body_weight, spec))
    found = ipf_gl.value(weight, total, row, **columns(IPF_GL))
    return float(found) if isinstance(found, (int, float)) else 0


def are_still_the_examples(spec: Specification) -> bool:
    """Whether all bests of the starter stand there as they were, so that every load would be an invented lifter's."""
    return example_lifter(spec.block.unit).bests.items() <= spec.lifter.bests.items()


def _left_over(spec: Specification) -> Iterator[tuple[Location, str]]:
    """Bests that are still the starter's in what was changed by hand: each of its lifts is there yet."""
    example, bests = example_lifter(spec.block.unit).bests, spec.lifter.bests
    if are_still_the_examples(spec):
        if spec.lifter.name != example_lifter(spec.block.unit).name:
            yield _at(next(iter(example))), "All bests are still the example's: every load is for an invented lifter."
    elif example.keys() <= bests.keys() and not any(best.spread for best in bests.values()):
        same = [name for name in example if bests[name] == example[name]]
        if same:
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
