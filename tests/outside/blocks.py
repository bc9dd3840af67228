"""Small blocks for the checks, and a lifter who logs every planned set as told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from blockbook import api
from blockbook.sheet.calculation import Calculation
from blockbook.spec.loading import parse_spec
from blockbook.spec.models import Specification
from blockbook.spec.policy import Policy
from blockbook.training.effort import percent_of_max, reps_to_failure
from blockbook.training.prescription import Line, PlannedSet
from blockbook.workbook.assemble import assemble
from blockbook.workbook.layout import input_name

Log = dict[str, tuple[float, float, float]]
Felt = Callable[[Line, PlannedSet], float]

POUNDS: Final = """
lifter: {name: Alex Example, body_weight: 182, bests: {BESTS}}
equipment:
  bar: 45
  plates: {45: 5, 35: 1, 25: 1, 10: 2, 5: 1, 2.5: 1}
  dumbbells: {lightest: 5, heaviest: 100, step: 5}
  stack: {lightest: 10, heaviest: 400, step: 10}
  added_weight: {lightest: 0, heaviest: 120, step: 2.5}
"""

KILOGRAMS: Final = """
lifter: {name: Alex Example, body_weight: 82.5, bests: {BESTS}}
equipment:
  bar: 20
  plates: {25: 4, 20: 1, 15: 1, 10: 1, 5: 1, 2.5: 1, 1.25: 1}
  dumbbells: {lightest: 2, heaviest: 50, step: 2}
  stack: {lightest: 5, heaviest: 200, step: 5}
  added_weight: {lightest: 0, heaviest: 60, step: 1.25}
"""


def block(
    slots: str,
    bests: str,
    weeks: int = 4,
    unit: str = "kg",
    start: str = "2027-01-04",
    weekday: str = "mon",
    steer: bool = True,
) -> Specification:
    """One session a week. slots: YAML list in flow style, one exercise a line; bests: "name: load, ..."."""
    head = f"block: {{title: Example, start: {start}, weeks: {weeks}, unit: {unit}"
    head += f", steer_by_day: {str(steer).lower()}}}\n"
    lifter = (POUNDS if unit == "lb" else KILOGRAMS).replace("{BESTS}", f"{{{bests}}}")
    lines = "".join(f"      - {{{line.strip()}}}\n" for line in slots.strip().splitlines())
    return parse_spec(f"{head}{lifter}sessions:\n  - name: Day\n    day: {weekday}\n    slots:\n{lines}")


@dataclass(frozen=True)
class Done:
    """The first set of an exercise in a week, as the workbook asked for it."""

    load: float
    reps: float


def train(spec: Specification, felt: Felt) -> dict[str, list[Done]]:
    """Every planned set lifted as asked, exercise by exercise, at the effort `felt` says.

    Returns exercise -> what its first set asked for, week by week.
    """
    workbook = assemble(spec)
    log: Log = {}
    typed: dict[str, float | int | str | None] = {}
    sheet = Calculation(workbook.book, typed)  # what it found out stays: no target looks at what is typed later
    done: dict[str, list[Done]] = {}
    for place in (place for week in workbook.weeks for session in week for place in session.lines):
        for planned in place.line.sets:
            load = sheet.number(place.cell("target", planned.number))
            reps = sheet.number(place.cell("target_reps", planned.number))
            assert load is not None
            assert reps is not None
            values = (load, reps, felt(place.line, planned))
            log[planned.key] = values
            typed |= {
                input_name(planned.key, name): value
                for name, value in zip(("load", "reps", "rpe"), values, strict=True)
            }
            if planned.number == 1:
                done.setdefault(place.line.exercise.name, []).append(Done(load, reps))
    assert api.targets(spec, log) == {key: load for key, (load, _, _) in log.items()}
    return done


def over_target(points: float) -> Felt:
    """Every set felt this far over its target effort (under: negative); a feeler as much easier as it is lighter."""

    def felt(line: Line, planned: PlannedSet) -> float:
        if planned.kind == "feeler":
            return feeler_effort(planned.reps, line.rpe + points)
        return min(10, (planned.rpe or line.rpe) + points)

    return felt


def feeler_effort(reps: int, rpe: float) -> float:
    """Effort of a feeler, to the half, by a lifter to whom the planned load would be effort `rpe`."""
    planned = percent_of_max.value(reps + 10 - rpe, 1)
    assert isinstance(planned, float)
    possible = reps_to_failure.value(Policy().feeler_share * planned, 1)
    assert isinstance(possible, float)
    return round(2 * (10 - (possible - reps))) / 2


def rises(weeks: list[Done]) -> list[float]:
    """Relative change of load from each week to the next."""
    return [later.load / earlier.load - 1 for earlier, later in pairwise(weeks)]


def harder(weeks: list[Done]) -> list[float]:
    """Relative change, from each week to the next, of the maximum that load and reps at effort 8 would take."""
    demands = [week.load / float(percent_of_max.value(week.reps + 2, 1) or 1) for week in weeks]
    return [later / earlier - 1 for earlier, later in pairwise(demands)]
