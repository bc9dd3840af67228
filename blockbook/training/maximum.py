"""The one-rep maximum a block starts from: the lifter's best, or a guess from a related lift."""

from __future__ import annotations

import math

from blockbook.spec.catalogue import Exercise
from blockbook.spec.models import Specification
from blockbook.spec.values import Best
from blockbook.training.effort import one_rep_max
from blockbook.training.loading import NO_CEILING, ladder
from blockbook.training.plausibility import FAR_TOO_HEAVY, OWN_WEIGHT


def start_maximum(spec: Specification, exercise: Exercise) -> float | None:
    """One-rep maximum in the block's unit, body load included; None where nothing is known.

    The lifter's own best of the exercise, else their best of the related lift times the
    usual ratio; no such guess hangs weight on a lifter.
    """
    own = _best_of(spec, exercise)
    if own is not None:
        return _estimate(spec, exercise, own)
    if not _can_be_guessed(exercise) or exercise.related is None or exercise.ratio is None:
        return None
    source = spec.exercise(exercise.related)
    related = _best_of(spec, source)
    if related is None:
        return None
    estimate = _estimate(spec, source, related)
    return None if estimate is None else round(estimate * exercise.ratio, 4)


def far_too_heavy(spec: Specification, exercise: Exercise) -> float:
    """A load in the block's unit that must be a slip, whatever is believed; `NO_CEILING` where none is known."""
    rungs = ladder(exercise.implement, spec.equipment)
    heaviest = rungs[-1].load if rungs else 0
    if exercise.implement == "bodyweight":
        return min(heaviest or NO_CEILING, _as_heavy_as_the_lifter(spec, exercise))
    return FAR_TOO_HEAVY * heaviest or NO_CEILING


def _as_heavy_as_the_lifter(spec: Specification, exercise: Exercise) -> float:
    """A load on top of the body weight that is likely the body weight itself, unless as much is known to go."""
    known = start_maximum(spec, exercise)
    added = 0 if known is None else known - spec.body_load(exercise)
    limit = OWN_WEIGHT * spec.lifter.body_weight
    return limit if added < limit / 2 else NO_CEILING


def known_from(spec: Specification, exercise: Exercise) -> str:
    """Name of the lift that `start_maximum` comes from; "" where nothing is known."""
    bests = {name.casefold() for name in spec.lifter.bests}
    if exercise.name.casefold() in bests:
        return exercise.name
    related = exercise.related or ""
    return related if related.casefold() in bests and exercise.ratio and _can_be_guessed(exercise) else ""


def is_guess(spec: Specification, exercise: Exercise) -> bool:
    """Whether the maximum is only a guess from a related lift, or not known at all."""
    return known_from(spec, exercise).casefold() != exercise.name.casefold()


def _can_be_guessed(exercise: Exercise) -> bool:
    """With body weight alone everybody can begin; what may be added is shown by the reps that go."""
    return exercise.implement != "bodyweight"


def start_spread(spec: Specification, exercise: Exercise) -> float:
    """How sure that maximum is: its standard deviation in logs (0.05: about 5 %).

    What was learned from logs keeps its spread, widened by the weeks since; a guess from a related
    lift adds the spread of such ratios to that of the lift it comes from.
    """
    if is_guess(spec, exercise):
        source = known_from(spec, exercise)
        known = _own_spread(spec, spec.exercise(source)) if source else 0
        return round(math.hypot(spec.policy.guess_sd, known), 4)
    return _own_spread(spec, exercise)


def is_learned(spec: Specification, exercise: Exercise) -> bool:
    """Whether the maximum was learned from logs of the exercise itself."""
    best = _best_of(spec, exercise)
    return best is not None and best.spread is not None


def _own_spread(spec: Specification, exercise: Exercise) -> float:
    best = _best_of(spec, exercise)
    if best is None or best.spread is None:
        return spec.policy.known_sd
    weeks = (spec.block.start - best.on).days / 7 if best.on else 0
    return round(math.sqrt(best.spread**2 + max(0, weeks) * spec.policy.drift_sd**2), 4)


def _best_of(spec: Specification, exercise: Exercise) -> Best | None:
    bests = {name.casefold(): best for name, best in spec.lifter.bests.items()}
    return bests.get(exercise.name.casefold())


def _estimate(spec: Specification, exercise: Exercise, best: Best) -> float | None:
    body_load = spec.body_load(exercise)
    limit = spec.policy.estimate_reps_limit
    estimate = one_rep_max.value(best.load, best.reps, best.rpe, body_load, spec.lifter.curve, limit)
    return round(estimate, 4) if isinstance(estimate, (int, float)) else None
