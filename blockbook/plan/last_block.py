"""What the returned block showed, to stand beside the plan of the next one."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from blockbook.assessment.history import LineHistory, histories
from blockbook.assessment.outcome import NextBlock
from blockbook.assessment.weekly_sets import hard_sets_done
from blockbook.intake.log import BlockLog
from blockbook.spec.catalogue import Muscle
from blockbook.training.against_target import against_target


@dataclass(frozen=True)
class LastBlock:
    """Figures of the returned block.

    title: its title; exercises: slot key -> figures in words; muscles: hard sets a week, as the review counts them;
    minutes: session id -> mean of those logged; decided: what it is about, what was decided and why, and the figures
    behind it.
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
        suggestion = decision.suggestion
        about = f"{suggestion.session}, {suggestion.exercise}"
        other = "" if decision.exercise == suggestion.exercise else f"{decision.exercise}, "
        said = f"{other}{made.load_said(decision)}, {decision.sets} sets. {made.why(decision)}"
        decided.append((about, said, suggestion.figures))
    muscles = {muscle: round(sets, 1) for muscle, sets in hard_sets_done(log).items()}
    return LastBlock(log.spec.block.title, found, muscles, _minutes(log), tuple(decided))


def _figures(history: LineHistory, unit: str) -> str:
    """ "12 of 15 sets, 100 to 107.5 kg, effort 0.4 over target"."""
    weeks = [week for week in history.weeks if week.reached]
    said = [f"{sum(week.done_sets for week in weeks)} of {sum(week.planned_sets for week in weeks)} sets"]
    if history.first_load is not None and history.last_load is not None:
        ends = dict.fromkeys(f"{load:g}" for load in (history.first_load, history.last_load))
        said.append(f"{' to '.join(ends)} {unit}")
    if history.mean_over is not None:
        said.append(f"effort {against_target(history.mean_over)}")
    return ", ".join(said)


def _minutes(log: BlockLog) -> dict[str, float]:
    logged: defaultdict[str, list[float]] = defaultdict(list)
    for session in log.sessions:
        if session.minutes is not None and session.minutes > 0:
            logged[session.session].append(session.minutes)
    return {name: round(sum(minutes) / len(minutes)) for name, minutes in logged.items()}
