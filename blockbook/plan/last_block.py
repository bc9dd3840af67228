"""What the returned block showed, to stand beside the plan of the next one."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from blockbook.assessment.history import LineHistory, histories
from blockbook.assessment.outcome import NextBlock
from blockbook.intake.log import BlockLog
from blockbook.spec.catalogue import Muscle
from blockbook.training.volume import hard_sets, muscle_sets


@dataclass(frozen=True)
class LastBlock:
    """Figures of the returned block.

    title: its title; exercises: slot key -> figures in words; muscles: hard sets a week on average over the weeks
    that were begun; minutes: session id -> mean of those logged; decided: what it is about, what was decided and
    why, and the figures behind it.
    """

    title: str
    exercises: Mapping[str, str]
    muscles: Mapping[Muscle, float]
    minutes: Mapping[str, float]
    decided: tuple[tuple[str, str, str], ...]


def last_block(made: NextBlock) -> LastBlock:
    log = made.log
    unit = log.spec.block.unit
    found = {history.key: _figures(history, unit) for history in histories(log)}
    decided = [("Season", remark, "") for remark in made.remarks]
    decided += [("The whole block", said, "") for said in made.above_all]
    for decision in sorted(made.decisions, key=lambda decision: not decision.suggestion.pain):
        suggestion, load = decision.suggestion, decision.load
        used = f"{load:g} {unit}" if load is not None else "no load"
        why = f"Your word; suggested was: {suggestion.reason}" if decision.is_own else suggestion.reason
        about = f"{suggestion.session}, {suggestion.exercise}"
        other = "" if decision.exercise == suggestion.exercise else f"{decision.exercise}, "
        decided.append((about, f"{other}{used}, {decision.sets} sets. {why}", suggestion.figures))
    return LastBlock(log.spec.block.title, found, _muscles(log), _minutes(log), tuple(decided))


def _figures(history: LineHistory, unit: str) -> str:
    """ "12 of 15 sets, 100 to 107.5 kg, effort +0.4"."""
    weeks = history.weeks[: history.begun_weeks]
    said = [f"{sum(week.done_sets for week in weeks)} of {sum(week.planned_sets for week in weeks)} sets"]
    if history.first_load is not None and history.last_load is not None:
        ends = dict.fromkeys(f"{load:g}" for load in (history.first_load, history.last_load))
        said.append(f"{' to '.join(ends)} {unit}")
    if history.mean_over is not None:
        said.append(f"effort {round(history.mean_over, 1) + 0.0:+.1f}")
    return ", ".join(said)


def _muscles(log: BlockLog) -> dict[Muscle, float]:
    direct: defaultdict[Muscle, list[float]] = defaultdict(list)
    indirect: defaultdict[Muscle, list[float]] = defaultdict(list)
    for history in histories(log):
        sets = [s for s in log.sets if s.set and f"{s.session}.{s.slot}" == history.key]
        hard = hard_sets.value(tuple(s.reps for s in sets), tuple(s.rpe for s in sets), log.spec.policy.hard_set_rpe)
        for muscle in history.line.exercise.direct:
            direct[muscle].append(float(hard or 0))
        for muscle in history.line.exercise.indirect:
            indirect[muscle].append(float(hard or 0))
    weeks = max(1, log.begun_weeks)
    return {
        muscle: round(float(muscle_sets.value(tuple(direct[muscle]), tuple(indirect[muscle])) or 0) / weeks, 1)
        for muscle in {*direct, *indirect}
    }


def _minutes(log: BlockLog) -> dict[str, float]:
    logged: defaultdict[str, list[float]] = defaultdict(list)
    for session in log.sessions:
        if session.minutes is not None and session.minutes > 0:
            logged[session.session].append(session.minutes)
    return {name: round(sum(minutes) / len(minutes)) for name, minutes in logged.items()}
