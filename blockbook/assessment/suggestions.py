"""What to do with each exercise in the next block, with the numbers and a sentence."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import fmean
from typing import Any, Literal

from blockbook.assessment.curve import fitted_curve
from blockbook.assessment.history import LineHistory, histories
from blockbook.intake.log import BlockLog
from blockbook.sheet.calculation import Calculation
from blockbook.spec.models import BACK_OFF_WEEKLY_FIELDS, WEEKLY_FIELDS, BackOff, Slot, Specification
from blockbook.spec.policy import Policy
from blockbook.training.deload import lighter_effort
from blockbook.training.effort import load_for
from blockbook.training.loading import ladder, nearest
from blockbook.training.prescription import Line, exercises_above
from blockbook.workbook.assemble import assemble

Action = Literal["raise", "hold", "reset", "change the exercise", "deload first"]


@dataclass(frozen=True)
class Suggestion:
    """One exercise's way into the next block. Loads in the block's unit.

    reason: the decision in a sentence; figures: the numbers behind it, in words.
    believed_max: estimated one-rep maximum at the block's end, body load included, and its
    spread (one standard deviation); first_load: for week 1 of the next block, None where a
    load is not decided here; sets and next_sets: work sets of week 1, this block and next.
    """

    key: str
    session: str
    exercise: str
    action: Action
    reason: str
    figures: str
    pain: bool
    start_load: float | None
    last_load: float | None
    first_load: float | None
    believed_max: float | None
    spread: float | None
    change: float | None
    mean_over: float | None
    share_done: float | None
    sets: int
    next_sets: int


@dataclass(frozen=True)
class Ahead:
    """What the sheet says of an exercise one week after the block, asked for week 1's prescription.

    believed: one-rep maximum, tiredness of the exercises before it left out; spread: its standard
    deviation in logs; planned: load, None where it is not decided here; hurts: pain was
    the last thing heard of it; curve: the fitted rep curve all of this rests on.
    """

    believed: float | None
    spread: float
    planned: float | None
    hurts: bool
    curve: float


@dataclass(frozen=True)
class Outlook:
    """The whole block's suggestions, what was learned of the lifter, and why a deload comes first ("" if not).

    curve: fitted rep curve; effort_bias: reps left beyond those reported, None without a test of
    effort, and the number of tests behind it.
    """

    suggestions: tuple[Suggestion, ...]
    curve: float
    deload_reason: str
    effort_bias: float | None
    effort_tests: float


def suggest(log: BlockLog) -> Outlook:
    """Decide every exercise of a returned block.

    First-week loads come from the same expressions as the sheet: the block is continued by
    one week that asks for what week 1 asked for.
    """
    curve = fitted_curve(log)
    extended = _one_week_more(log.spec, curve)
    workbook = assemble(extended)
    calculation = Calculation(workbook.book, log.inputs)
    lines = {line.slot_key: line for place in workbook.weeks[-1] for line in place.session.lines}
    deload = deload_signs(log)
    every = histories(log)
    made = []
    for history in every:
        line = lines[history.key]

        def number(name: str, line: Line = line) -> float | None:
            return calculation.number(workbook.workings.cell(line, name))

        ahead = Ahead(
            believed=_fresh(number("prior"), line, log.spec.policy),
            spread=math.sqrt(number("prior_variance") or 0),
            planned=number("planned") if line.decided else None,
            hurts=bool(number("last_pain")),
            curve=curve,
        )
        made.append(_suggestion(log, history, ahead, deload))
    first = workbook.weeks[-1][0].session.lines[0]
    tests, gaps = (calculation.number(workbook.workings.cell(first, name)) or 0 for name in ("tests", "gaps"))
    return Outlook(
        tuple(_with_sets(made, log.spec.policy)), curve, deload, round(gaps / tests, 2) if tests else None, tests
    )


def _fresh(believed: float | None, line: Line, policy: Policy) -> float | None:
    """What a first load would be taken from: the next block allows for the same tiredness again."""
    return believed and believed * math.exp(policy.depth_loss * exercises_above(line))


def _one_week_more(spec: Specification, curve: float) -> Specification:
    """The block and a week after it that repeats week 1's prescription."""
    sessions = tuple(
        session.model_copy(update={"slots": tuple(_slot_one_week_more(slot) for slot in session.slots)})
        for session in spec.sessions
    )
    block = spec.block.model_copy(update={"weeks": spec.block.weeks + 1})
    lifter = spec.lifter.model_copy(update={"curve": curve})
    return spec.model_copy(update={"sessions": sessions, "block": block, "lifter": lifter})


def _slot_one_week_more(slot: Slot) -> Slot:
    update: dict[str, object] = {name: _repeat_first(getattr(slot, name)) for name in WEEKLY_FIELDS}
    if isinstance(slot.back_off, BackOff):
        weekly = {name: _repeat_first(getattr(slot.back_off, name)) for name in BACK_OFF_WEEKLY_FIELDS}
        update["back_off"] = slot.back_off.model_copy(update=weekly)
    return slot.model_copy(update=update)


def _repeat_first(values: tuple[Any, ...] | None) -> tuple[Any, ...] | None:
    return values if values is None or len(values) == 1 else (*values, values[0])


# Does a deload come first? --------------------------------------------------------------------


def deload_signs(log: BlockLog) -> str:
    """Why a deload should come first, in words with figures; "" if the signs do not agree.

    Signs: effort over target two working weeks running and rising, and estimated maxima
    falling on most exercises. Common practice, no source.
    """
    policy = log.spec.policy
    every = histories(log)
    if log.spec.block.deload_week == log.spec.block.weeks:
        return ""
    over = weekly_over(every)
    falling = [h for h in every if h.change is not None and h.change < -policy.stall_gain]
    judged = [h for h in every if h.change is not None]
    rising = len(over) >= 2 and over[-1] > over[-2] > policy.on_target
    if rising and judged and len(falling) > len(judged) / 2:
        return (
            f"Effort came in {over[-2]:.1f} and then {over[-1]:.1f} over target in the last two weeks, and estimated "
            f"maxima fell on {len(falling)} of {len(judged)} exercises."
        )
    return ""


def weekly_over(every: Sequence[LineHistory]) -> list[float]:
    """Mean effort over target of all exercises, a working week after the other."""
    by_week: dict[int, list[float]] = {}
    for history in every:
        for week in history.working_weeks:
            if week.over is not None:
                by_week.setdefault(week.week, []).append(week.over)
    return [fmean(by_week[week]) for week in sorted(by_week)]


# One exercise ---------------------------------------------------------------------------------


def _suggestion(log: BlockLog, history: LineHistory, ahead: Ahead, deload: str) -> Suggestion:
    spec, line = log.spec, history.line
    action = _action(spec, history, ahead, deload)
    first = _first_load(spec, history, ahead, action)
    spread = None if ahead.believed is None else ahead.believed * ahead.spread
    made = Suggestion(
        key=history.key,
        session=log.session_name(line.session_id),
        exercise=line.exercise.name,
        action=action,
        reason="",
        figures="",
        pain=ahead.hurts,
        start_load=history.first_load,
        last_load=history.last_load,
        first_load=first,
        believed_max=ahead.believed if history.share_done else None,
        spread=spread if history.share_done else None,
        change=history.change,
        mean_over=history.mean_over,
        share_done=history.share_done,
        sets=history.usual_sets,
        next_sets=history.usual_sets,
    )
    return replace(made, reason=_reason(made, spec, deload), figures=_figures(made, spec))


def _action(spec: Specification, history: LineHistory, ahead: Ahead, deload: str) -> Action:
    policy, over, weeks = spec.policy, history.mean_over, history.working_weeks
    start = history.first_load
    overshot = len(weeks) > 1 and (weeks[-1].worst_over or 0) >= policy.hold_overshoot
    if ahead.hurts:
        return "hold"
    if deload:
        return "deload first"
    if history.share_done is not None and 0 < history.share_done < policy.poor_share_done:
        return "change the exercise"
    if over is not None and over >= policy.reset_effort and overshot and ahead.planned is not None:
        lightest = ladder(history.line.exercise.implement, spec.equipment)[0].load
        return "change the exercise" if start is not None and start <= lightest else "reset"
    lost = len(history.bests) >= 4 and history.change is not None and history.change <= -policy.clear_loss
    if lost and history.line.exercise.related:
        return "change the exercise"
    return "raise" if ahead.planned is not None and start is not None and ahead.planned > start else "hold"


def _first_load(spec: Specification, history: LineHistory, ahead: Ahead, action: Action) -> float | None:
    """Load of the next block's week 1, None where it is not decided here."""
    line, first = history.line, ahead.planned
    if not history.share_done or line.exercise.implement == "band":
        return None
    if first is None:
        # A load in percent must not rise with the lift it is taken from while that hurts.
        return history.first_load if ahead.hurts else None
    if action == "reset":
        first = _reset_load(spec, line, first, history.first_load)
    if ahead.believed is not None and (action == "deload first" or spec.block.deload_week == 1):
        first = min(first, _deload_load(spec, line, ahead))
    return first


def _deload_load(spec: Specification, line: Line, ahead: Ahead) -> float:
    """What the believed maximum gives at the effort of a deload week."""
    effort = lighter_effort(line.rpe, spec.policy)
    load = load_for.value(ahead.believed, line.reps.low, effort, spec.body_load(line.exercise), ahead.curve)
    return _loadable(spec, line, float(load or 0))


def _reset_load(spec: Specification, line: Line, first: float, start: float | None) -> float:
    """A share of the decided load, and at least one step below where this block started."""
    lighter = _loadable(spec, line, first * spec.policy.reset_share)
    below = [rung.load for rung in ladder(line.exercise.implement, spec.equipment) if start and rung.load < start]
    return min(lighter, below[-1]) if below else lighter


def _loadable(spec: Specification, line: Line, load: float) -> float:
    rungs = tuple(rung.load for rung in ladder(line.exercise.implement, spec.equipment))
    return float(nearest.value(load, rungs) or 0)


def _reason(made: Suggestion, spec: Specification, deload: str) -> str:
    unit = spec.block.unit
    if not made.share_done:
        return "No set was completed in this block: nothing to decide from."
    held = "" if made.first_load is None else f" (held at {made.first_load:g} {unit})"
    if made.pain:
        lead = f"Pain was reported: ask the lifter first. Nothing is raised{held}."
    elif made.action == "deload first":
        lead = f"Deload first: {deload}"
    elif made.action == "change the exercise":
        lead = _why_change(made, spec.policy)
    elif made.first_load is None:
        lead = "Hold: its loads are not decided here (percent, fixed load or band)."
    elif made.action == "reset":
        lead = f"Reset: effort kept coming in over target. Start again at {made.first_load:g} {unit}."
    else:
        lead = _week_one(made, unit)
    return lead


def _week_one(made: Suggestion, unit: str) -> str:
    first, start = made.first_load, made.start_load
    if first is None or start is None or first == start:
        return f"Hold: week 1 at {first:g} {unit}{' again' if start is not None else ''}."
    if first > start:
        return f"Raise: week 1 goes from {start:g} to {first:g} {unit}."
    too_much = made.mean_over is not None and made.mean_over > 0
    why = "which was a little too much" if too_much else "the believed maximum gives less"
    return f"Hold: week 1 at {first:g} {unit}; this block began at {start:g}, {why}."


def _why_change(made: Suggestion, policy: Policy) -> str:
    if made.share_done is not None and made.share_done < policy.poor_share_done:
        return "Change the exercise: it was mostly left out."
    if made.mean_over is not None and made.mean_over >= policy.reset_effort:
        return "Change the exercise: even the lightest load kept coming in over target."
    return "Change the exercise: it lost ground over the block."


def _figures(made: Suggestion, spec: Specification) -> str:
    unit = spec.block.unit
    pieces = []
    if made.believed_max is not None:
        change = "" if made.change is None else f", {made.change:+.1%} over the block"
        total = " with body weight" if spec.exercise(made.exercise).body_share else ""
        pieces.append(f"1RM{total} about {made.believed_max:.1f} ± {made.spread or 0:.1f} {unit}{change}")
    if made.mean_over is not None:
        pieces.append(f"effort {made.mean_over:+.1f} against target")
    if made.share_done is not None:
        pieces.append(f"{made.share_done:.0%} of sets done")
    return "; ".join(pieces) + "." if pieces else ""


# Sets -----------------------------------------------------------------------------------------


def _with_sets(made: Sequence[Suggestion], policy: Policy) -> list[Suggestion]:
    """Weekly sets of an exercise one way or the other, within the policy's share, in whole sets.

    Fewer where effort ran over target or sets were left out; more where an exercise stalled
    though it was done in full and felt no harder than asked.
    """
    room: dict[str, int] = {}
    for suggestion in made:
        room[suggestion.exercise] = room.get(suggestion.exercise, 0) + suggestion.sets
    room = {exercise: int(sets * policy.sets_change + 1e-9) for exercise, sets in room.items()}
    result = []
    for suggestion in made:
        wanted = _set_direction(suggestion, policy)
        step = wanted if room[suggestion.exercise] and suggestion.sets + wanted >= 1 else 0
        room[suggestion.exercise] -= abs(step)
        reason = suggestion.reason
        if step:
            reason += f" {'One set more' if step > 0 else 'One set fewer'} a session."
        result.append(replace(suggestion, next_sets=suggestion.sets + step, reason=reason))
    return result


def _set_direction(made: Suggestion, policy: Policy) -> int:
    if not made.share_done or made.sets == 0:
        return 0
    if made.pain or made.action == "reset" or made.share_done < 0.75:
        return -1
    stalled = made.change is not None and made.change < policy.stall_gain
    easy = made.mean_over is not None and made.mean_over <= policy.on_target
    return 1 if stalled and easy and made.share_done >= 0.9 and made.action != "deload first" else 0
