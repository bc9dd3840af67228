"""What to do with each exercise in the next block, with the numbers and a sentence."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from blockbook.assessment import pain, wording
from blockbook.assessment.curve import fitted_curve
from blockbook.assessment.exercise_choice import Case, choose, kept_over, overran
from blockbook.assessment.first_loads import in_first_week
from blockbook.assessment.history import LineHistory
from blockbook.assessment.meet_result import Shown, shown_at_meet
from blockbook.assessment.next_lifter import next_lifter
from blockbook.assessment.next_structure import without_added_deload
from blockbook.assessment.outlook import Action, Ahead, Choice, Outlook, Suggestion
from blockbook.assessment.readiness import deload_reason, deload_signs
from blockbook.assessment.trend import Past
from blockbook.assessment.weekly_sets import with_weekly_sets
from blockbook.intake.how_far import so_far
from blockbook.intake.log import BlockLog
from blockbook.sheet.calculation import Calculation
from blockbook.spec.catalogue import Exercise
from blockbook.spec.models import BackOff, Slot, Specification
from blockbook.spec.policy import Policy
from blockbook.spec.values import BACK_OFF_WEEKLY_FIELDS, WEEKLY_FIELDS, in_week
from blockbook.training.against_target import against_target
from blockbook.training.deload import lighter_effort
from blockbook.training.effort import load_for
from blockbook.training.loading import ladder, looked_up, nearest
from blockbook.training.maximum import start_maximum
from blockbook.training.prescription import Line, exercises_above
from blockbook.training.progression import FAR_EASIER
from blockbook.workbook.assemble import BlockBook, assemble


def suggest(log: BlockLog, earlier: Sequence[BlockLog] = ()) -> Outlook:
    """Decide every exercise of a returned block. earlier: the lifter's blocks before it, in order of date.

    First-week loads come from the same expressions as the sheet: the block is continued by
    one week that asks for what week 1 asked for.
    """
    week = _WeekMore.after(log)
    past = Past.of([*earlier, log])
    every = past.every[-1]
    signs = deload_signs(log, every)
    deload = deload_reason(log, signs)
    hurting = [history for history in every if week.hurts(history.key)]
    instead = pain.in_its_place(log)
    known = log.spec.catalogue
    stood_in = [known.get(name.casefold()) for history in hurting for name in instead.get(history.key, ())]
    painful = (*(history.line.exercise for history in hurting), *filter(None, stood_in))
    # What hurt as a stand-in, or before this block, is no way out either.
    gone = [log.spec.exercise(name) for history in every if (name := week.held_for(history.key))]
    taken = [history.line.exercise.name.casefold() for history in every]
    taken += [name.casefold() for names in (*instead.values(), [each.name for each in gone]) for name in names]
    at_meet = shown_at_meet(log)
    made = []
    for history in every:
        exercise = history.line.exercise
        ahead = _with_the_meet(log.spec, history, week.ahead(history.key, painful), at_meet.get(exercise.name))
        trend, hurt_before = past.trend(exercise.name), past.hurt_before(exercise.name)
        case = Case(history, ahead, trend, hurt_before, bool(deload), (*painful, *gone))
        choice = choose(log, case, taken)
        taken.append(choice.exercise.casefold())
        suggestion = _suggestion(log, case, choice, deload, instead.get(history.key, ()))
        made.append(_with_test(log.spec, history.line, suggestion, bool(deload)))
    tests, gaps = week.judgement
    early = log.begun_weeks == 1 < log.spec.block.weeks
    if any(each.stopped_by for each in past.logs):
        return Outlook(tuple(map(_undecided, made)), log.spec.lifter.curve, "", None, 0, (), len(past.logs))
    outlook = Outlook(
        tuple(made),
        week.curve,
        deload,
        round(gaps / tests, 2) if tests else None,
        tests,
        signs,
        len(past.logs),
    )
    made = list(_with_written_loads(log, outlook))
    hurt = [history.line.exercise for history in every if week.hurt_in_it(history.key)]
    sore = {each.key for each in every if each.line.exercise in hurt or pain.near(each.line.exercise, hurt)}
    sets = with_weekly_sets(made, log.spec, signs[-1].agrees, early, so_far(log), sore)
    return replace(outlook, suggestions=tuple(sets))


@dataclass(frozen=True)
class _WeekMore:
    """The block continued by one week, calculated from what was logged."""

    spec: Specification
    workbook: BlockBook
    calculation: Calculation
    curve: float
    alarm: bool

    @classmethod
    def after(cls, log: BlockLog) -> _WeekMore:
        curve = fitted_curve(log)
        workbook = assemble(_one_week_more(log.spec, curve))
        return cls(log.spec, workbook, Calculation(workbook.book, log.inputs), curve, log.alarm_open)

    @cached_property
    def _lines(self) -> dict[str, Line]:
        return {line.slot_key: line for place in self.workbook.weeks[-1] for line in place.session.lines}

    def _number(self, line: Line, name: str) -> float | None:
        return self.calculation.number(self.workbook.workings.cell(line, name))

    def hurts(self, key: str) -> bool:
        return bool(self._number(self._lines[key], "last_pain"))

    def hurt_in_it(self, key: str) -> bool:
        """Whether it hurt in any week of the block, be it answered since; an alarm counts for all of its session."""
        lines = [line for places in self.workbook.weeks for place in places for line in place.session.lines]
        return any((self._number(line, "pain") or 0) > 0 for line in lines if line.slot_key == key)

    def held_for(self, key: str) -> str:
        """What hurt before the block and still holds this one, by the catalogue's name; "" for nothing."""
        line = self._lines[key]
        return self.spec.exercise(line.slot.held_for).name if self._number(line, "held") else ""

    def ahead(self, key: str, painful: Sequence[Exercise]) -> Ahead:
        line = self._lines[key]
        return Ahead(
            believed=_fresh(self._number(line, "prior"), line, self.spec.policy),
            spread=math.sqrt(self._number(line, "prior_variance") or 0),
            planned=self._number(line, "planned") if line.decided else None,
            extra=int(self._number(line, "extra") or 0),
            effort=line.rpe,
            hurts=self.hurts(key),
            near_pain="" if self.hurts(key) else self.held_for(key) or pain.near(line.exercise, painful),
            curve=self.curve,
            alarm=self.alarm,
        )

    @property
    def judgement(self) -> tuple[float, float]:
        """How many tests of effort the lifter has done, those before the block included; what they showed, in reps."""
        lifter = self.spec.lifter
        before = lifter.effort_tests if lifter.effort_bias is not None else 0
        lines = [line for places in self.workbook.weeks for place in places for line in place.session.lines]
        shown = [gap for gap in (self._number(line, "test_gap") for line in lines) if gap is not None]
        return before + len(shown), before * (lifter.effort_bias or 0) + sum(shown)


def _with_the_meet(spec: Specification, history: LineHistory, ahead: Ahead, shown: Shown | None) -> Ahead:
    """With what the meet has shown of the lift: its first load comes down with what is believed, and goes up by log.

    A miss may be of technique as well as of strength: what is believed after it is no surer than a stated best.
    """
    if shown is None or ahead.believed is None:
        return ahead
    believed = shown.allows(ahead.believed, history.heaviest or 0)
    if believed >= ahead.believed:
        return replace(ahead, believed=believed)
    planned = ahead.planned and _loadable(spec, history.line, ahead.planned * believed / ahead.believed)
    spread = max(ahead.spread, spec.policy.known_sd)
    return replace(ahead, believed=believed, spread=spread, planned=planned, missed_at_meet=True)


def _fresh(believed: float | None, line: Line, policy: Policy) -> float | None:
    """What a first load would be taken from: the next block allows for the same tiredness again."""
    return believed and believed * math.exp(policy.depth_loss * exercises_above(line))


def _one_week_more(spec: Specification, curve: float) -> Specification:
    """The block and a week after it that repeats week 1's prescription, or an exercise's first week with sets."""
    first = spec.block.first_own_week
    sessions = tuple(
        session.model_copy(update={"slots": tuple(_slot_one_week_more(slot, first) for slot in session.slots)})
        for session in spec.sessions
    )
    block = spec.block.model_copy(update={"weeks": spec.block.weeks + 1})
    lifter = spec.lifter.model_copy(update={"curve": curve})
    return spec.model_copy(update={"sessions": sessions, "block": block, "lifter": lifter})


def _slot_one_week_more(slot: Slot, own: int) -> Slot:
    # A first week without sets of this exercise would ask for nothing.
    first = next((week for week in range(own, len(slot.sets) + 1) if in_week(slot.sets, week)), own) - 1

    def repeated(values: tuple[Any, ...] | None) -> tuple[Any, ...] | None:
        return values if values is None or len(values) == 1 else (*values, values[first])

    update: dict[str, object] = {name: repeated(getattr(slot, name)) for name in WEEKLY_FIELDS}
    if isinstance(slot.back_off, BackOff):
        weekly = {name: repeated(getattr(slot.back_off, name)) for name in BACK_OFF_WEEKLY_FIELDS}
        update["back_off"] = slot.back_off.model_copy(update=weekly)
    return slot.model_copy(update=update)


# One exercise ---------------------------------------------------------------------------------


def _suggestion(log: BlockLog, case: Case, choice: Choice, deload: str, pain_instead: tuple[str, ...]) -> Suggestion:
    spec, history, ahead = log.spec, case.history, case.ahead
    line = history.line
    planned = _planned(spec, line, ahead)
    action = _action(spec, history, ahead, planned, choice, deload)
    first = _first_load(spec, history, ahead, planned, action)
    spread = None if ahead.believed is None else ahead.believed * ahead.spread
    made = Suggestion(
        key=history.key,
        session=log.session_name(line.session_id),
        exercise=line.exercise.name,
        action=action,
        reason="",
        figures="",
        pain=ahead.hurts,
        near_pain=ahead.near_pain,
        pain_instead=pain_instead if ahead.hurts else (),
        start_load=history.first_load,
        last_load=history.last_load,
        first_load=first,
        extra=ahead.extra if first is not None and first == ahead.planned else None,
        deload_load=_deload_load(spec, line, ahead, first),
        most_load=_most_load(spec, history, first),
        believed_max=ahead.believed if history.tried else None,
        spread=spread if history.tried else None,
        change=history.change,
        trend=case.trend.slope,
        trend_weeks=case.trend.weeks,
        blocks=case.trend.blocks,
        mean_over=history.mean_over,
        share_done=history.share_done,
        share_done_there=history.share_done_there,
        done_itself=history.done_itself,
        sets=history.usual_sets,
        next_sets=history.usual_sets,
        choice=choice,
        overran=overran(log, line),
        written=line.kind in _WRITTEN,
        held_by=_held_by(spec, history, ahead, first),
        alarm=ahead.alarm,
    )
    why = wording.TO_COME if history.to_come and not ahead.held else wording.reason(made, spec, bool(deload))
    return replace(made, reason=why, figures=wording.figures(made, spec, so_far(log) or " over the block"))


_WRITTEN = ("percent", "fixed")


def _planned(spec: Specification, line: Line, ahead: Ahead) -> float | None:
    """What the next block's first week would ask for: light where that is a deload, as in this block."""
    planned = ahead.planned
    if planned is None or ahead.believed is None or not _begins_light(spec):
        return planned
    return min(planned, _light(spec, line, ahead, planned))


def _action(
    spec: Specification, history: LineHistory, ahead: Ahead, planned: float | None, choice: Choice, deload: str
) -> Action:
    start, line = history.first_load, history.line
    if ahead.held:
        return "lower" if planned is not None and start is not None and planned < start else "hold"
    if deload:
        return "deload first"
    if choice.kind != "kept":
        return "change the exercise"
    if line.kind in _WRITTEN:
        return "as written"
    if planned is None or (start is None and not kept_over(history, spec)):
        return "hold"
    if kept_over(history, spec):
        return "reset"
    return "hold" if planned == start else "raise" if planned > (start or 0) else "lower"


def _first_load(
    spec: Specification, history: LineHistory, ahead: Ahead, planned: float | None, action: Action
) -> float | None:
    """Load of the next block's week 1 if that is no deload added now, None where it is not decided here."""
    line, first, start = history.line, planned, history.first_load
    if not history.tried or line.exercise.implement == "band":
        return None
    if first is None:
        # A load in percent must not rise with the lift it is taken from while that hurts.
        return start if ahead.held else None
    if ahead.held and start is not None:
        first = min(first, start)
    if action == "reset":
        first = _reset_load(spec, line, first, start)
    return first


def _held_by(spec: Specification, history: LineHistory, ahead: Ahead, first: float | None) -> str:
    """Why the first load is not above this block's; "" where it is, or where none is decided."""
    start, last, line = history.first_load, history.last_load, history.line
    if start is None or first is None or ahead.believed is None or first > start:
        return ""
    over = history.working_weeks[-1].worst_over if history.working_weeks else None
    if over is not None and over >= spec.policy.hold_overshoot:
        day = ", a bad day for the whole session" if history.working_weeks[-1].bad_day else ""
        return f"the last session came in {against_target(over)}{day}"
    if ahead.missed_at_meet:
        return "less is believed after what was missed at the meet"
    body_load = spec.body_load(line.exercise)
    given = float(load_for.value(ahead.believed, line.reps.low, line.rpe, body_load, ahead.curve) or 0)
    if _loadable(spec, line, given) <= first:
        return f"the believed maximum gives {'less' if first < start else 'no more'}"
    if over is not None and over <= -FAR_EASIER and last is not None and last < first:
        light = wording.load_said(last, line.exercise, spec)
        return (
            f"the last session was a light one, {light} at effort {against_target(over)}, and half the way back is made"
        )
    if last is not None and last < start and last <= first:
        return f"the last load was {wording.load_said(last, line.exercise, spec)}, and loads rise from there"
    if line.progress != "load":
        return "reps are to go up before the load" if line.progress == "reps" else "its load is held on purpose"
    if history.mean_over is not None and round(history.mean_over, 1) > 0:
        return f"the block came in {against_target(history.mean_over)}"
    return "the believed maximum is not sure enough for more"


def _deload_load(spec: Specification, line: Line, ahead: Ahead, first: float | None) -> float | None:
    """The first load if week 1 is a deload."""
    if first is None or ahead.believed is None or ahead.planned is None or _begins_light(spec):
        return first
    return min(first, _light(spec, line, ahead, first))


def _begins_light(spec: Specification) -> bool:
    """Whether the block's own first week is a deload, as it will be in the next one."""
    return spec.block.deload_week == 1 and not spec.block.deload_added


def _light(spec: Specification, line: Line, ahead: Ahead, first: float) -> float:
    """The first load brought down as much as the effort of the deload week is under that which it was planned for."""
    written, week = line.slot.rpe or (), spec.block.deload_week
    as_written = len(written) > 1 and week is not None and not spec.block.deload_added
    light = in_week(written, week or 1) if as_written else lighter_effort(ahead.effort, spec.policy)
    body_load = spec.body_load(line.exercise)

    def lifted(effort: float | None) -> float:
        return float(load_for.value(ahead.believed, line.reps.low, effort, body_load, ahead.curve) or 0) + body_load

    lighter = (first + body_load) * lifted(light) / lifted(ahead.effort) - body_load
    return _loadable(spec, line, lighter)


def _most_load(spec: Specification, history: LineHistory, first: float | None) -> float | None:
    """The load above which the coach's own is a larger rise than the policy allows."""
    start = history.first_load if history.first_load is not None else history.earliest_load
    if not history.tried or (first is None and start is None):
        return None
    body_load = spec.body_load(history.line.exercise)
    highest = max(load for load in (start, first) if load is not None)
    usual = start if start is not None else highest
    return max(first or 0, round((usual + body_load) * (1 + spec.policy.most_rise) - body_load, 4))


def _reset_load(spec: Specification, line: Line, first: float, start: float | None) -> float:
    """A share of the decided load, and at least one step below where this block started."""
    lighter = _loadable(spec, line, first * spec.policy.reset_share)
    below = [rung.load for rung in ladder(line.exercise.implement, spec.equipment) if start and rung.load < start]
    return min(lighter, below[-1]) if below else lighter


def _loadable(spec: Specification, line: Line, load: float) -> float:
    loads = looked_up(ladder(line.exercise.implement, spec.equipment))
    return float(nearest.value(load, loads) or 0)


def _undecided(made: Suggestion) -> Suggestion:
    """The exercise as it was, without a number: the whole log is in doubt, and the coach has not had a say."""
    pain = "Pain was reported: ask the lifter first. " if made.pain else ""
    return replace(
        made, action="hold", reason=f"{pain}{wording.IN_DOUBT}",
        figures="", start_load=None, last_load=None, first_load=None, extra=None, deload_load=None, most_load=None,
        believed_max=None, spread=None, change=None, trend=None, trend_weeks=0, mean_over=None, held_by="",
        next_sets=made.sets,
        choice=Choice("kept", made.exercise), test_week=None,
    )  # fmt: skip


def _with_written_loads(log: BlockLog, outlook: Outlook) -> Iterator[Suggestion]:
    """The suggestions, those of loads in percent or fixed with the load that these make in the next block."""
    if not any(made.action == "as written" for made in outlook.suggestions):
        yield from outlook.suggestions
        return
    ahead = without_added_deload(log.spec).model_copy(update={"lifter": next_lifter(log, outlook)})
    first = in_first_week(ahead, log.spec)
    for made in outlook.suggestions:
        if made.action == "as written" and made.key in first:  # else it begins later in the block
            line, load = first[made.key]
            maximum = start_maximum(ahead, line.exercise)
            said = wording.as_written(line, load, maximum, ahead)
            rest = made.reason.removeprefix(wording.WRITTEN).strip()
            yield replace(made, reason=f"{said} {rest}".strip())
        else:
            yield made


# Tests ----------------------------------------------------------------------------------------


def _with_test(spec: Specification, line: Line, made: Suggestion, deload_first: bool) -> Suggestion:
    """With the week in which an exercise of little certainty is tested in the next block.

    By itself only where a set can be failed without a spotter: stacks and body weight (common practice, no
    source). Of others it is said.
    """
    if made.spread is None or made.believed_max is None or made.held or made.choice.kind != "kept":
        return made
    unsure = made.spread / made.believed_max
    if unsure <= spec.next_block.test_spread or not line.decided or line.slot.test_weeks:
        return made
    said = f"{made.reason} Its 1RM is not sure, give or take {unsure:.0%}:"
    deload, first = (1 if deload_first else 0, spec.block.deload_week), spec.block.first_own_week
    weeks = (
        week - first + 1  # as the next block counts
        for week in range(first + 1, spec.block.weeks + 1)
        if week not in deload and in_week(line.slot.sets, week) >= 2
    )
    week = next(weeks, None)
    safe = line.exercise.implement in ("stack", "bodyweight") and line.kind in ("effort", "range")
    if safe and week:
        return replace(made, test_week=week, reason=f"{said} a test in week {week}, the last set all out.")
    guarded = ", with spotter or safeties" if line.exercise.implement == "barbell" else ""
    return replace(made, reason=f"{said} a test would tell{guarded} (Test weeks).")
