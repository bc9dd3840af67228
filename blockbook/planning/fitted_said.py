"""What a season made of each decision, in words: loads and sets as they stand in the plan."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace

from blockbook.assessment.next_structure import usual_sets
from blockbook.assessment.outcome import Decision, NextBlock
from blockbook.assessment.wording import load_said
from blockbook.planning.fitted_loads import Fitted, keyed_slots
from blockbook.spec.models import BackOff, Slot, Specification
from blockbook.spec.season import BlockKind
from blockbook.spec.values import Reps
from blockbook.training.prescription import Line


def decided_by_season(
    made: NextBlock,
    spec: Specification,
    fitted: Mapping[str, Fitted],
    kind: BlockKind | None,
    taken: Collection[str],
) -> Iterator[Decision]:
    """The decisions as they stand in the season's block. kind: whose template it follows, None where none; taken:
    exercises that are prescribed as there."""
    returned, at_once, now = (keyed_slots(each, made.log.spec) for each in (made.log.spec, made.spec, spec))
    for decision in made.decisions:
        key = decision.suggestion.key
        slot, load = now[key], now[key].loads.get(1)
        said = []
        if kind and slot.exercise in taken:
            said.append(f"By the {kind} template now {asked_said(slot)}, in place of {asked_said(returned[key])}.")
        elif kind and _sets_said(slot) != _sets_said(at_once[key]):
            said.append(f"By the weeks of the {kind} template now {_sets_said(slot)}.")
        if said and decision.is_own_sets and decision.sets:
            said.append(f"{decision.sets} sets in the first week are your word; the other weeks move along.")
        if key in fitted:
            said.append(_load_said(decision, fitted[key], spec))
        elif said and load is None and decision.load is not None:
            said.append("Its load is worked out anew.")
        sets = usual_sets(slot, spec.block.deload_week) if kind else decision.sets
        yield replace(decision, load=load, sets=sets, by_season=" ".join(said))


def _load_said(decision: Decision, fitted: Fitted, spec: Specification) -> str:
    """What of a first load goes for the reps and effort that are asked now."""
    was, now = _effort_said(fitted.was), _effort_said(fitted.now)
    before, light = (load_said(load, fitted.now.exercise, spec) for load in (fitted.decided, fitted.no_harder))
    if decision.is_typed_load and decision.load is not None:
        held = f", though it hurts: no harder than {before} for {was} would be {light}"
        own = load_said(decision.load, fitted.now.exercise, spec)
        return f"Your {own} stays for {now}{held if decision.suggestion.held else ''}."
    if fitted.is_lightest or fitted.no_harder == fitted.decided:
        why = ": nothing lighter can be made" if fitted.is_lightest else ""
        return f"{before.capitalize()} was for {was}; for {now} it is {light}{why}."
    return f"{before.capitalize()} was for {was}; for {now} no harder is {light}."


def _effort_said(line: Line) -> str:
    """ "5 reps at effort 7"."""
    reps = f"{line.reps} rep{'' if line.reps.high == 1 else 's'}"
    return f"{reps} at {line.percent:g} %" if line.percent is not None else f"{reps} at effort {line.rpe:g}"


def asked_said(slot: Slot) -> str:
    """What a slot asks for, week by week: "3/4/4/2 x 8 at effort 7/7.5/8/6", "4 x 5 at 75/78/65 %"."""
    said = _sets_said(slot)
    if slot.percent is not None:
        said += f" at {_listed(slot.percent)} %"
    elif slot.load is not None:
        said += f" with {_listed(slot.load)}"
    elif slot.reserve is not None:
        said += f" or more, {slot.reserve:g} left"
    elif slot.rpe is not None:
        said += f" at effort {_listed(slot.rpe)}"
    return said if slot.back_off is None else f"{said} and back-off {_sets_said(slot.back_off)}"


def _sets_said(part: Slot | BackOff) -> str:
    return f"{_listed(part.sets)} x {_listed(part.reps)}"


def _listed(values: Sequence[float | Reps]) -> str:
    """Values week by week, once where all are one."""
    said = [str(value) if isinstance(value, Reps) else f"{value:g}" for value in values]
    return said[0] if len(set(said)) == 1 else "/".join(said)
