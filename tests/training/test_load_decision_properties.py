"""Whatever is logged: targets can be loaded, never jump, never fall, never rise where they must not."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cache
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from blockbook.sheet.book import Cell
from blockbook.sheet.calculation import Calculation
from blockbook.spec.catalogue import shipped
from blockbook.spec.loading import parse_spec
from blockbook.training.effort import percent_of_max, reps_to_failure
from blockbook.training.loading import ladder
from blockbook.training.pain import close_relatives
from blockbook.training.plausibility import OTHER_UNIT
from blockbook.workbook.assemble import BlockBook, assemble
from blockbook.workbook.layout import LinePlace, input_name, session_input_key

SPEC = """
block: {title: Properties, start: 2027-01-04, weeks: 4, unit: kg}
lifter:
  name: Invented Lifter
  body_weight: 80
  bests: {back squat: 150, bench press: 100, deadlift: 180, overhead press: 65, pull-up: 30}
equipment:
  bar: 20
  plates: {25: 4, 20: 1, 15: 1, 10: 1, 5: 1, 2.5: 1, 1.25: 1}
  dumbbells: {lightest: 2, heaviest: 50, step: 2}
  stack: {lightest: 5, heaviest: 200, step: 7}
  added_weight: {lightest: 0, heaviest: 60, step: 2.5}
sessions:
  - name: Only
    slots:
      - {exercise: back squat, sets: 2, reps: 3, rpe: 8}
      - {exercise: bench press, sets: 2, reps: 5, rpe: 8, feeler: true}
      - {exercise: romanian deadlift, sets: 2, reps: 10, rpe: 8}
      - {exercise: leg press, sets: 2, reps: 10, rpe: 8, progress: load}
      - {exercise: lateral raise, sets: 2, reps: 8-12, rpe: 8}
      - {exercise: pull-up, sets: 2, reps: 6, rpe: 8, progress: load}
"""
SLOTS = ("back-squat", "bench-press", "romanian-deadlift", "leg-press", "lateral-raise", "pull-up")
EXERCISES = {slot: shipped()[slot if slot == "pull-up" else slot.replace("-", " ")] for slot in SLOTS}
LABELS = "ABCDEF"
EFFORT = 8
FAILURE = 9.5
ROUNDING = 1e-6


@cache
def workbook() -> BlockBook:
    return assemble(parse_spec(SPEC))


set_logged = st.tuples(
    st.floats(-0.12, 0.12),  # load typed, relative to the target
    st.integers(0, 14),
    st.one_of(st.none(), st.sampled_from([5, 6, 6.5, 7, 7.5, 8, 8.5, 9, 9.5, 10])),
)
line_logged = st.lists(set_logged, max_size=2)
week_logged = st.lists(line_logged, min_size=len(SLOTS), max_size=len(SLOTS))
feelers = st.one_of(st.none(), st.sampled_from([5, 6, 7, 8, 9, 9.5]))
late = st.sampled_from([None, 0, -3, 2, 3, 4, 12, 40, 100])


@dataclass
class _Week:
    """What is typed in a week: sets by exercise, effort of the feeler, pain, days later than planned."""

    lines: list[list[tuple[float, int, float | None]]]
    felt: float | None = None
    pain: str | None = None
    late: int | None = None


weeks_logged = st.lists(
    st.builds(_Week, week_logged, feelers, st.sampled_from([None, "none", "A", "D", "F", "all", "knee"]), late),
    min_size=3,
    max_size=3,
)


@dataclass
class _Last:
    """What is known of an exercise before a session, as a reader of the rules would keep it.

    pain: whether it hurt when last heard of; held: whether it or a relative did; eased: whether one did a week before.
    none_up: the maximum at most, where not one rep went up; failed: what sets showed that all failed far
    short; short: the heaviest load that failed; earlier: the load of the time before.
    """

    load: float | None = None
    reps: float = 0
    overshoot: float | None = None
    day: date | None = None
    pain: bool = False
    held: bool = False
    eased: bool = False
    none_up: float | None = None
    failed: float | None = None
    short: float | None = None
    earlier: float | None = None


@dataclass
class _Block:
    """A block typed set by set. `last`: exercise -> what came before."""

    typed: dict[str, Any] = field(default_factory=dict)
    last: dict[str, _Last] = field(default_factory=lambda: {slot: _Last() for slot in SLOTS})
    calculation: Calculation | None = None

    def number(self, place: LinePlace, column: str, number: int) -> float:
        value = self.value(place.cell(column, number))
        assert value is not None
        return value

    def step(self, place: LinePlace, name: str) -> float:
        """A step of the decision for an exercise."""
        value = self.value(workbook().workings.cell(place.line, name))
        assert value is not None
        return value

    def value(self, cell: Cell) -> float | None:
        if self.calculation is None:
            self.calculation = Calculation(workbook().book, dict(self.typed))
        return self.calculation.number(cell)

    def type(self, values: dict[str, Any]) -> None:
        self.typed |= values
        self.calculation = None

    def hold(self) -> None:
        """At the start of a week: what hurts holds its close relatives too."""
        hurts = [exercise for slot, exercise in EXERCISES.items() if self.last[slot].pain]
        for slot, exercise in EXERCISES.items():
            last = self.last[slot]
            last.held, last.eased = any(close_relatives(exercise, each) for each in hurts), last.held

    def type_set(self, key: str, **values: float | None) -> None:
        self.type({input_name(key, name): value for name, value in values.items()})


@settings(max_examples=60, deadline=None)
@given(weeks_logged, late)
def test_targets_are_loadable_and_guarded(logged: list[_Week], last_late: int | None) -> None:
    block = _Block()
    nothing: list[list[tuple[float, int, float | None]]] = [[] for _ in SLOTS]
    for number, week in enumerate([*logged, _Week(nothing, late=last_late)], start=1):
        key = f"w{number}.only"
        planned_day = workbook().weeks[number - 1][0].session.day
        day = planned_day
        if week.late is not None:
            typed_day = planned_day + timedelta(days=week.late)
            block.type({session_input_key(key, "date"): typed_day})
            day = typed_day if week.late <= 60 else planned_day
        block.hold()
        done = [_play(block, number, position, week, day) for position in range(len(SLOTS))]
        block.type({session_input_key(key, "pain"): week.pain})
        for slot, label, session in zip(SLOTS, LABELS, done, strict=True):
            hurts = week.pain in (label, "all", "knee")
            if session is not None:
                kept = block.last[slot]
                block.last[slot] = replace(session, pain=kept.pain, held=kept.held, eased=kept.eased, earlier=kept.load)
            if hurts or week.pain == "none":  # an empty cell says nothing, and another letter nothing of this one
                block.last[slot].pain = hurts


def _play(block: _Block, number: int, position: int, week: _Week, day: date) -> _Last | None:
    """Log one exercise, checking what was asked; what it leaves behind, None if nothing counted."""
    place, slot = workbook().weeks[number - 1][0].lines[position], SLOTS[position]
    if 0 in place.set_rows and week.felt is not None and any(week.lines):
        load = block.number(place, "target", 0)
        assert load in _possible(place)
        block.type_set(f"w{number}.only.{slot}.feeler", load=load, reps=place.line.reps.low, rpe=week.felt)
    _check(block, place, block.last[slot], day)
    counted: list[tuple[int, float, float]] = []
    tried: list[float] = []
    overshoots: list[float | None] = []
    asked = block.number(place, "target_reps", 1)
    first_target = block.number(place, "target", 1)
    for i, (stray, reps, rpe) in enumerate(week.lines[position], start=1):
        target = block.number(place, "target", i)
        assert target in _possible(place)
        assert target <= first_target
        load = _nearest(place, target * (1 + stray))
        block.type_set(f"w{number}.only.{slot}.{i}", load=load, reps=reps, rpe=rpe)
        tried.append(load)
        if load == 0 and reps == 0 and rpe is None:
            overshoots.append(None)
            continue  # zeros alone: it was not done
        plausible = block.number(place, "plausible", i)
        if plausible > 0 or (plausible != OTHER_UNIT and 0.3 * target <= load <= target):
            failed = reps < asked and (rpe is None or rpe >= FAILURE or reps == 0)
            counted.append((len(tried) - 1, target, _for_asked(place, load, target, reps, asked, failed)))
        spared = 0 if rpe is None or rpe >= FAILURE else _reps_spared(place, load, target, asked)
        missed = max(0, asked - reps - spared)
        more = max(0, reps - asked)
        over = missed + rpe - EFFORT if rpe is not None else missed or None
        overshoots.append(None if over is None else over - more)
    unreported = block.step(place, "bias") - workbook().spec.policy.effort_bias
    if any(reps < asked and (rpe is None or rpe >= FAILURE) for _, reps, rpe in week.lines[position]):
        unreported = min(0, unreported)  # where a set failed, it excuses nothing
    lifted = [min(most, _counted(place, target, tried, i)) for i, target, most in counted]
    if not lifted:
        return None
    estimates = [block.value(place.cell("trusted", i + 1)) for i in range(len(tried))]
    known = [estimate for estimate in estimates if estimate is not None]
    none_up = min(known, default=None) if all(reps == 0 for _, reps, _ in week.lines[position]) else None
    tries = [(reps, rpe) for load, (_, reps, rpe) in zip(tried, week.lines[position], strict=True)
             if (load, reps, rpe) != (0, 0, None)]  # fmt: skip
    all_failed = all(rpe is None or rpe >= FAILURE for _, rpe in tries)
    far_short = all_failed and none_up is None and max(reps for reps, _ in tries) <= 2 / 3 * asked
    showed = max(known, default=None) if far_short else None
    fell_short = [
        tried_load
        for i, (_, reps, rpe) in enumerate(week.lines[position], start=1)
        if (tried_load := block.value(place.cell("lifted", i))) is not None
        and (tried_load, reps, rpe) != (0, 0, None)
        and reps < asked
        and (rpe is None or rpe >= FAILURE)
    ]
    over, short = _came_in_over(overshoots, unreported), max(fell_short, default=None)
    return _Last(max(lifted), asked, over, day, none_up=none_up, failed=showed, short=short)


def _for_asked(place: LinePlace, load: float, target: float, reps: int, asked: float, failed: bool) -> float:
    """What a load counts for at most where it was heavier than asked and done for fewer reps."""
    if load <= target or reps >= asked:
        return load
    body = workbook().spec.body_load(place.line.exercise)
    as_hard = (load + body) * _share(asked + 10 - EFFORT) / _share(reps + 10 - EFFORT) - body
    made = max((each for each in _possible(place) if each <= as_hard + ROUNDING), default=0)
    return target if failed else max(target, made)


def _reps_spared(place: LinePlace, load: float, target: float, asked: float) -> float:
    """Reps that a load heavier than asked leaves less at the same effort."""
    body = workbook().spec.body_load(place.line.exercise)
    if load <= target:
        return 0
    allowed = reps_to_failure.value((load + body) / max(target + body, 0.001) * _share(asked + 10 - EFFORT), 1)
    assert isinstance(allowed, (int, float))
    return max(0, asked + 10 - EFFORT - allowed)


def _counted(place: LinePlace, target: float, tried: list[float], number: int) -> float:
    """The load that the next one is counted from: what was lifted, as far as it was asked for."""
    load, beside = tried[number], [*tried[max(0, number - 1) : number], *tried[number + 1 : number + 2]]
    body = workbook().spec.body_load(place.line.exercise)
    highest = max(each for each in _possible(place) if each <= target + 0.1 * (target + body) + ROUNDING)
    return highest if load > highest and beside and max(beside) <= highest else load


def _came_in_over(overshoots: list[float | None], unreported: float) -> float | None:
    """The first set's, or the mean if that is more, less the reps that sets to failure showed to go unreported.

    None where no set says. Sets of missed reps are such tests, so the decision holds by the effort that the
    lifter is known to mean: without `unreported` it would have to hold for who always says one too many.
    """
    known = [over for over in overshoots if over is not None]
    if not known:
        return None
    mean = sum(known) / len(known)
    return (mean if overshoots[0] is None else max(overshoots[0], mean)) - unreported


def _check(block: _Block, place: LinePlace, last: _Last, day: date) -> None:
    target, planned = (block.number(place, column, 1) for column in ("target", "planned"))
    asked = block.number(place, "target_reps", 1)
    assert {target, planned} <= set(_possible(place))
    _check_reps(place, asked)
    if last.load is None or last.day is None:
        return
    body = workbook().spec.body_load(place.line.exercise)
    before = last.load + body
    too_hard = last.overshoot is not None and last.overshoot >= 1
    if last.held or last.overshoot is None or too_hard or (day - last.day).days >= 10:
        assert max(planned, target) <= last.load
    if last.held and too_hard and last.none_up is None:
        assert max(planned, target) <= max(0.9 * before - body, min(_possible(place))) + ROUNDING
        return
    fewer_reps = max(1, _share(asked + 10 - EFFORT) / _share(last.reps + 10 - EFFORT))
    highest = 1.05 * before if last.eased else 1.1 * before * fewer_reps
    if last.earlier is not None and last.load < last.earlier and last.overshoot is not None and last.overshoot <= -2:
        highest = max(highest, (last.load + last.earlier) / 2 + body)  # a light day: half of the way back
    assert target + body <= highest + ROUNDING
    fewer = workbook().spec.policy.fewer_reps if block.step(place, "by_reps") else 0
    share = _share(place.line.reps.low - fewer + 10 - EFFORT)
    if last.none_up is not None:
        assert target <= max(min(_possible(place)), min(1, share) * last.none_up - body + ROUNDING)
    if last.failed is not None:
        assert target <= max(min(_possible(place)), 1.03 * share * last.failed - body + ROUNDING)
    if last.short is not None and last.overshoot is not None and last.overshoot >= 2 and not last.held:
        below = max((each for each in _possible(place) if each < last.short), default=last.short)
        if last.short - below <= workbook().spec.policy.coarse_step * (last.short + body) - ROUNDING:
            lowest = _lowest(block, place, before, last.reps, asked) - body
            assert target <= max(below, min((each for each in _possible(place) if each >= lowest), default=below))
    if last.none_up is not None or last.failed is not None or (last.overshoot is not None and last.overshoot > 3):
        return  # loads that did not go up are no yardstick
    if not last.held:  # where it hurts, no more than was planned: less than was lifted over a hold
        assert target >= _lowest(block, place, before, last.reps, asked) - body - ROUNDING


def _lowest(block: _Block, place: LinePlace, before: float, last_reps: float, asked: float) -> float:
    """Body load included. Lower where more reps are asked, the base at least.

    Where reps fill coarse steps, the load is the heaviest on which the reps fit; that may lie one step
    of the ladder under the floor, for the next one up would be too heavy for any reps that may be asked.
    """
    reps = max(asked, place.line.reps.low)
    floor = 0.9 * before * min(1, _share(reps + 10 - EFFORT) / _share(last_reps + 10 - EFFORT))
    body = workbook().spec.body_load(place.line.exercise)
    if not block.step(place, "by_reps"):
        return floor
    return max((load + body for load in _possible(place) if load + body <= floor), default=0)


def _check_reps(place: LinePlace, asked: float) -> None:
    policy, reps = workbook().spec.policy, place.line.reps
    if reps.high > reps.low:
        assert reps.low <= asked <= reps.high
    elif reps.low < policy.extra_reps_from:
        assert asked == reps.low
    else:
        assert reps.low - policy.fewer_reps <= asked <= reps.low + policy.extra_reps


def _share(reps: float) -> float:
    value = percent_of_max.value(reps, 1)
    assert isinstance(value, (int, float))
    return value


def _nearest(place: LinePlace, wanted: float) -> float:
    return min(_possible(place), key=lambda possible: abs(possible - wanted))


def _possible(place: LinePlace) -> tuple[float, ...]:
    return _loads(place.line.exercise.implement)


@cache
def _loads(implement: Any) -> tuple[float, ...]:
    return tuple(rung.load for rung in ladder(implement, workbook().spec.equipment))
