"""Weekly sets per muscle, up or down by a share at most, moved in whole sets of single exercises.

Fewer where effort ran over target, sets were left out or recovery is poor; more where strength does not
respond though the work was done in full and felt no harder than asked (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from statistics import fmean, median
from typing import NamedTuple

from blockbook.assessment.outlook import Suggestion
from blockbook.intake.log import BlockLog
from blockbook.spec.catalogue import Exercise, Muscle
from blockbook.spec.models import Specification
from blockbook.training.against_target import against_target
from blockbook.training.volume import INDIRECT_SET

_MOSTLY_DONE, _DONE = 0.75, 0.9
_TREND_WEEKS = 3
"""A slope over fewer logged weeks is noise, and moves no sets."""
_ROUNDING = 1e-9


def muscle_share(exercise: Exercise, muscle: Muscle) -> float:
    """What a set counts for a muscle: 1 directly, a half indirectly, else 0."""
    return 1 if muscle in exercise.direct else INDIRECT_SET if muscle in exercise.indirect else 0


def weekly_sets(work: Sequence[tuple[Exercise, float]]) -> dict[Muscle, float]:
    """Muscle -> sets a week, of exercises with their sets."""
    found: dict[Muscle, float] = {}
    for exercise, sets in work:
        for muscle in (*exercise.direct, *exercise.indirect):
            found[muscle] = found.get(muscle, 0) + sets * muscle_share(exercise, muscle)
    return found


def hard_sets_done(log: BlockLog) -> dict[Muscle, float]:
    """Muscle -> hard sets a week that were done, mean of the working weeks begun."""
    deload, weeks = log.spec.block.deload_week, log.begun_weeks
    working = [week for week in range(1, weeks + 1) if week != deload]
    hard: dict[str, float] = {}
    for logged in log.sets:
        effort = logged.rpe is not None and logged.rpe >= log.spec.policy.hard_set_rpe
        if logged.set and logged.done and effort and logged.week in working:
            name = logged.instead if logged.instead.casefold() in log.spec.catalogue else logged.exercise
            hard[name] = hard.get(name, 0) + 1
    return weekly_sets([(log.spec.exercise(name), sets / len(working)) for name, sets in hard.items()])


@dataclass
class _Moves:
    """Sets moved so far, within the share of every muscle that is touched and the coach's limits."""

    spec: Specification
    before: Mapping[Muscle, float]
    moved: dict[Muscle, float] = field(default_factory=dict)

    def take(self, exercise: Exercise, step: int) -> bool:
        """Move one set of an exercise, if every muscle has room for it."""
        muscles = (*exercise.direct, *exercise.indirect)
        after = {each: self.moved.get(each, 0) + step * muscle_share(exercise, each) for each in muscles}
        if not all(self._has_room(muscle, moved, step) for muscle, moved in after.items()):
            return False
        self.moved |= after
        return True

    def _has_room(self, muscle: Muscle, moved: float, step: int) -> bool:
        before = self.before.get(muscle, 0)
        if abs(moved) > self.spec.policy.sets_change * before + _ROUNDING:
            return False
        limit = self.spec.next_block.muscle_sets.get(muscle)
        return limit is None or (before + moved <= limit.high if step > 0 else before + moved >= limit.low)


def with_weekly_sets(
    made: Sequence[Suggestion],
    spec: Specification,
    recovery_poor: bool,
    early: bool,
    so_far: str,
    hurt: Collection[str],
) -> list[Suggestion]:
    """The suggestions with the sets of the next block, and why in their reasons. One set an exercise at most.

    early: so little of the block is logged that only pain moves any; so_far: which weeks are spoken of, "" for all;
    hurt: keys of exercises that hurt in this block, or a relative did: none of them gets more, answered or not.
    """
    exercises = [spec.exercise(each.exercise) for each in made]
    before = weekly_sets([(exercise, each.sets) for exercise, each in zip(exercises, made, strict=True)])
    wishes = {muscle: _wish(muscle, made, spec, before[muscle], recovery_poor, so_far) for muscle in before}
    moves = _Moves(spec, before)
    result = list(made)
    policy = spec.next_block
    for step in (-1, 1):
        # Longest exercises give first, shortest take first: none is bloated.
        for position in sorted(range(len(made)), key=lambda at: step * made[at].sets):
            each, exercise = made[position], exercises[position]
            why = _slot_wish(each, spec, [wishes[muscle] for muscle in exercise.direct], step, early)
            room = each.sets < policy.most_sets if step > 0 else each.sets > policy.fewest_sets
            if why and room and not (step > 0 and each.key in hurt) and moves.take(exercise, step):
                said = f"{why} One set {'more' if step > 0 else 'fewer'} a session."
                result[position] = replace(each, next_sets=each.sets + step, reason=f"{each.reason} {said}")
    return result


class _Wish(NamedTuple):
    """Fewer (-1), as many (0) or more sets (1), and why. of_effort: since effort ran over target."""

    step: int
    why: str = ""
    of_effort: bool = False


def _slot_wish(each: Suggestion, spec: Specification, wishes: Sequence[_Wish], step: int, early: bool) -> str:
    """Why an exercise's sets should move that way; "" if they should not."""
    if not each.share_done or each.sets == 0:
        return ""
    if step < 0 and each.pain:
        return "Less work where it hurts."
    if early:
        return ""
    fewer = [wish for wish in wishes if wish.step < 0]
    if step < 0:
        if each.action == "reset":
            return "Effort over target."
        if each.overran is not None and each.choice.kind == "kept":
            return f"Its session took {each.overran:g} minutes of {spec.next_block.session_minutes}."
        if each.share_done_there is not None and each.share_done_there < _MOSTLY_DONE:
            return f"{each.share_done_there:.0%} of its sets were done where its session was trained."
        # Effort is of the muscle's exercises together: one that goes up and was on target was not what was too much.
        fine = each.action == "raise" and (each.mean_over or 0) <= spec.policy.on_target
        wish = next((wish for wish in fewer if not (wish.of_effort and fine)), _Wish(0))
        both = (
            " Fewer sets let the higher load come in at its effort."
            if wish.of_effort and each.action == "raise"
            else ""
        )
        return f"{wish.why}{both}"
    more = [wish.why for wish in wishes if wish.step > 0]
    hard = each.mean_over is not None and each.mean_over > spec.policy.on_target
    ruled_out = (
        each.held
        or hard
        or each.overran is not None
        or each.share_done < _DONE
        or each.action in ("reset", "deload first")
    )
    return more[0] if more and not fewer and not ruled_out else ""


def _wish(
    muscle: Muscle, made: Sequence[Suggestion], spec: Specification, sets: float, recovery_poor: bool, so_far: str
) -> _Wish:
    """Fewer, as many or more sets for a muscle, and why, from the exercises that train it directly."""
    policy = spec.policy
    done = [each for each in made if muscle in spec.exercise(each.exercise).direct and each.share_done]
    over = [each.mean_over for each in done if each.mean_over is not None]
    worst = max(done, key=lambda each: each.mean_over or 0, default=None)
    limit = spec.next_block.muscle_sets.get(muscle)
    name = muscle.capitalize()
    most = f", most of all {worst.exercise}" if worst and len(done) > 1 else ""
    if limit and sets > limit.high:
        return _Wish(-1, f"{name} has {sets:g} sets a week, your limit is {limit}.")
    if over and fmean(over) >= policy.reset_effort:
        return _Wish(-1, f"{name} came in {against_target(fmean(over))}{so_far}{most}.", of_effort=True)
    if recovery_poor and over and fmean(over) > 0:
        return _Wish(-1, f"{name} came in over target{so_far}{most}, with poor recovery.", of_effort=True)
    if recovery_poor:
        return _Wish(0)
    if limit and sets < limit.low:
        return _Wish(1, f"{name} has {sets:g} sets a week, your limit is {limit}.")
    known = [each for each in done if each.trend is not None and each.trend_weeks >= _TREND_WEEKS]
    trends = [each.trend.slope for each in known if each.trend is not None]
    here = [each.change for each in known if each.change is not None]
    on_target = bool(over) and abs(fmean(over)) <= policy.on_target  # what was too easy lacks load, not sets
    least = spec.next_block.least_gain
    # Over several blocks and over this one: who gained in this one needs nothing more, whatever was before.
    if trends and here and on_target and max(median(trends), median(here)) < least:
        moved, blocks = 100 * median(trends), max(each.blocks for each in known)
        did = f"lost {-moved:.1f}" if moved <= -0.05 else f"gained {max(0, moved):.1f}"
        span = f" over {blocks} blocks" if blocks > 1 else so_far
        return _Wish(1, f"What trains {muscle} {did} % a week{span}, and this block came in at target effort.")
    return _Wish(0)
