"""The lifter as a block leaves them: bests, body weight, rep curve and judgement of effort."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from datetime import date
from statistics import median

from blockbook.assessment.meet_result import shown_at_meet
from blockbook.assessment.outlook import Outlook
from blockbook.intake.log import BlockLog, LoggedSet
from blockbook.spec.models import Lifter
from blockbook.spec.values import MOST_LOAD, Best
from blockbook.training.effort import one_rep_max
from blockbook.training.logged_set import on_other_scale
from blockbook.training.maximum import start_maximum


def next_lifter(log: BlockLog, outlook: Outlook) -> Lifter:
    """Bests as believed at the block's end, body weight as last logged, the fitted curve."""
    lifter = log.spec.lifter
    names = {name.casefold(): name for name in lifter.bests}
    bests = dict(lifter.bests)
    seen: set[str] = set()
    # Where an exercise comes up more than once, a line that is decided here knows best, then the earliest.
    for suggestion in sorted(outlook.suggestions, key=lambda suggestion: suggestion.first_load is None):
        exercise = log.spec.exercise(suggestion.exercise)
        if suggestion.believed_max is None or exercise.name in seen or exercise.implement == "band":
            continue
        seen.add(exercise.name)
        # What was observed is the added load, on the body weight this block was built with.
        load = round(suggestion.believed_max - log.spec.body_load(exercise), 1)
        called = names.get(exercise.name.casefold(), exercise.name)
        if exercise.implement == "bodyweight" and (load <= 0 or not suggestion.done_itself):
            bests.pop(called, None)  # not even the body weight goes up: the best of old is none any more
        elif 0 < load <= MOST_LOAD:
            spread = round(max(_LEAST_SPREAD, (suggestion.spread or 0) / suggestion.believed_max), 3)
            learned = Best(load=load, spread=spread, on=_last_day(log, suggestion.key, exercise.name))
            bests[called] = learned
    for name, best in _of_the_meet(log, seen).items():
        bests[names.get(name.casefold(), name)] = best
    for name, best in _of_stand_ins(log).items():
        known = bests.get(called := names.get(name.casefold(), name))
        if name not in seen and (known is None or known.spread is not None):  # what the coach wrote stays
            bests[called] = best
    update = {
        "bests": bests,
        "curve": outlook.curve,
        "effort_bias": outlook.effort_bias,
        "effort_tests": min(outlook.effort_tests, _MOST_TESTS),
        "body_weight": _body_weight(log),
    }
    return lifter.model_copy(update=update)


_LEAST_SPREAD = 0.005
_MOST_TESTS = 10
"""Older tests of effort than so many fade: people learn to judge."""


def _of_the_meet(log: BlockLog, seen: Collection[str]) -> dict[str, Best]:
    """Maxima shown at the meet of lifts that the block did not train."""
    found = {}
    for name, shown in shown_at_meet(log).items():
        before = start_maximum(log.spec, log.spec.exercise(name))
        believed = shown.good if before is None else shown.allows(before)
        if name not in seen and believed is not None and believed != before:
            found[name] = Best(load=round(believed, 1), spread=log.spec.policy.known_sd, on=log.spec.block.meet)
    return found


def _of_stand_ins(log: BlockLog) -> dict[str, Best]:
    """A first maximum of each exercise that was done in place of another: the middle one of its sets, unsure."""
    spec, estimates, days = log.spec, defaultdict[str, list[float]](list), dict[str, date | None]()
    for logged in log.sets:
        exercise = spec.catalogue.get(logged.instead.casefold())
        if exercise is None or exercise.implement == "band" or not logged.set or not _is_sound(logged):
            continue
        body_load, limit = spec.body_load(exercise), spec.policy.estimate_reps_limit
        typed = (logged.load if logged.load is not None else "", logged.reps or "", logged.rpe or "")
        estimate = one_rep_max.value(*typed, body_load, spec.lifter.curve, limit)
        if isinstance(estimate, (int, float)) and 0 < (load := round(estimate - body_load, 1)) <= MOST_LOAD:
            estimates[exercise.name].append(load)
            days[exercise.name] = _last_day(log, f"{logged.session}.{logged.slot}", exercise.name, logged.instead)
    return {
        name: Best(load=round(median(loads), 1), spread=spec.policy.guess_sd, on=days[name])
        for name, loads in estimates.items()
    }


def _is_sound(logged: LoggedSet) -> bool:
    """Whether a set is no slip, and its effort cannot be reps left."""
    given = logged.rpe is not None and logged.target_rpe is not None
    return logged.plausible and not (given and on_other_scale.value(logged.rpe, logged.target_rpe))


def _last_day(log: BlockLog, key: str, exercise: str, instead: str = "") -> date | None:
    """Day of the last session in which an exercise was logged, or of the meet that has shown more.

    instead: its name as it was chosen in place of the one that stands there.
    """
    if exercise in shown_at_meet(log) and log.spec.block.meet:
        return log.spec.block.meet
    session_id = key.split(".", maxsplit=1)[0]
    of_it = (entry for entry in log.sets if f"{entry.session}.{entry.slot}" == key and entry.instead == instead)
    logged = {entry.week for entry in of_it if entry.reps is not None}
    days = [s.date or s.planned_date for s in log.sessions if s.session == session_id and s.week in logged]
    return max(days, default=None)


def _body_weight(log: BlockLog) -> float:
    """The last one logged that is near the known one; a slip is no weight."""
    known = log.spec.lifter.body_weight
    logged = [session.body_weight for session in log.sessions if session.body_weight is not None]
    near = [weight for weight in logged if 0.8 * known <= weight <= 1.2 * known]
    return round(near[-1], 1) if near else known
