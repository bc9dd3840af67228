"""The one-rep maximum a block starts from: the lifter's best, or a guess from a related lift."""

from __future__ import annotations

from blockbook.spec.catalogue import Exercise
from blockbook.spec.models import Specification
from blockbook.spec.values import Best
from blockbook.training.effort import one_rep_max


def start_maximum(spec: Specification, exercise: Exercise) -> float | None:
    """One-rep maximum in the block's unit, body load included; None where nothing is known.

    The lifter's own best of the exercise, else their best of the related lift times the
    usual ratio.
    """
    bests = {name.casefold(): best for name, best in spec.lifter.bests.items()}
    own = bests.get(exercise.name.casefold())
    if own is not None:
        return _estimate(spec, exercise, own)
    related = bests.get((exercise.related or "").casefold())
    if related is None or exercise.related is None or exercise.ratio is None:
        return None
    estimate = _estimate(spec, spec.exercise(exercise.related), related)
    return None if estimate is None else round(estimate * exercise.ratio, 4)


def known_from(spec: Specification, exercise: Exercise) -> str:
    """Name of the lift that `start_maximum` comes from; "" where nothing is known."""
    bests = {name.casefold() for name in spec.lifter.bests}
    if exercise.name.casefold() in bests:
        return exercise.name
    related = exercise.related or ""
    return related if related.casefold() in bests and exercise.ratio else ""


def is_guess(spec: Specification, exercise: Exercise) -> bool:
    """Whether the maximum is only a guess from a related lift, or not known at all."""
    return known_from(spec, exercise).casefold() != exercise.name.casefold()


def _estimate(spec: Specification, exercise: Exercise, best: Best) -> float | None:
    body_load = spec.body_load(exercise)
    limit = spec.policy.estimate_reps_limit
    estimate = one_rep_max.value(best.load, best.reps, best.rpe, body_load, spec.lifter.curve, limit)
    return round(estimate, 4) if isinstance(estimate, (int, float)) else None
