"""The next block's specification: the coach's structure and order, with what was learned."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from blockbook.assessment.suggestions import WEEKLY_FIELDS, Outlook, Suggestion, suggest
from blockbook.intake.log import BlockLog
from blockbook.spec.documents import dump_yaml
from blockbook.spec.loading import SCHEMA_LINE
from blockbook.spec.models import BackOff, Lifter, Session, Slot, Specification, slot_ids
from blockbook.spec.values import Best
from blockbook.training.prescription import weeks


@dataclass(frozen=True)
class Override:
    """The coach's word on one suggestion, from the review workbook.

    accept: False keeps this block's first load and sets; load and sets, where given, win.
    """

    accept: bool = True
    load: float | None = None
    sets: int | None = None


@dataclass(frozen=True)
class NextBlock:
    """The specification and, per exercise, what was decided: (suggestion, first load, sets)."""

    spec: Specification
    decisions: tuple[tuple[Suggestion, float | None, int], ...]
    outlook: Outlook

    def to_yaml(self) -> str:
        """YAML text with a comment for every exercise that says what was decided and why."""
        data = self.spec.to_data()
        head = [SCHEMA_LINE, f"# The block after {self.spec.block.start - timedelta(days=1):%d %B %Y}. Decided:"]
        if self.outlook.deload_reason:
            head.append(f"# Deload first (week 1): {self.outlook.deload_reason}")
        pained = [decision for decision in self.decisions if decision[0].pain]
        rest = [decision for decision in self.decisions if not decision[0].pain]
        for suggestion, load, sets in (*pained, *rest):
            used = f"{load:g} {self.spec.block.unit}" if load is not None else "no load"
            head.append(f"#  {suggestion.session}, {suggestion.exercise}: {used}, {sets} sets. {suggestion.reason}")
            if suggestion.figures:
                head.append(f"#      {suggestion.figures}")
        return "\n".join(head) + "\n\n" + dump_yaml(data)


def next_block(log: BlockLog, overrides: Mapping[str, Override] | None = None) -> NextBlock:
    """The block after a returned one. overrides: exercise key -> the coach's word.

    Structure and order stay the coach's; first loads, sets, bests and curve follow the log.
    """
    outlook = suggest(log)
    said = overrides or {}
    decisions = tuple(
        (suggestion, *_decided(suggestion, said.get(suggestion.key, Override()))) for suggestion in outlook.suggestions
    )
    by_key = {suggestion.key: (suggestion, load, sets) for suggestion, load, sets in decisions}
    spec = log.spec
    deload_first = bool(outlook.deload_reason)
    sessions = []
    for session, session_id in zip(spec.sessions, _session_ids(log), strict=True):
        slots = tuple(
            _next_slot(slot, *by_key[f"{session_id}.{slot_id}"][1:], deload_first=deload_first, spec=spec,
                       suggestion=by_key[f"{session_id}.{slot_id}"][0])
            for slot, slot_id in zip(session.slots, slot_ids(session), strict=True)
        )  # fmt: skip
        sessions.append(session.model_copy(update={"slots": slots}))
    made = spec.model_copy(
        update={
            "block": _next_block_head(spec, deload_first),
            "lifter": _next_lifter(log, outlook),
            "sessions": tuple(sessions),
        }
    )
    return NextBlock(Specification.model_validate(made.model_dump()), decisions, outlook)


def _session_ids(log: BlockLog) -> list[str]:
    return [session.key.split(".", 1)[1] for session in weeks(log.spec)[0]]


def _decided(suggestion: Suggestion, override: Override) -> tuple[float | None, int]:
    load = suggestion.first_load if override.accept else suggestion.start_load
    sets = suggestion.next_sets if override.accept else suggestion.sets
    return (
        load if override.load is None else override.load,
        sets if override.sets is None else override.sets,
    )


def _next_block_head(spec: Specification, deload_first: bool) -> Any:
    block = spec.block
    number = re.search(r"^(.*?)\s*(\d+)$", block.title)
    title = f"{number[1]} {int(number[2]) + 1}" if number else f"{block.title} 2"
    update: dict[str, Any] = {"title": title, "start": block.start + timedelta(weeks=block.weeks)}
    if deload_first:
        update |= {"deload_week": 1, "weeks": min(16, block.weeks + (block.deload_week is None))}
    if block.meet and block.meet < update["start"]:
        update["meet"] = None
    return block.model_copy(update=update)


def _next_slot(
    slot: Slot, load: float | None, sets: int, *, deload_first: bool, spec: Specification, suggestion: Suggestion
) -> Slot:
    update: dict[str, Any] = {"loads": {} if load is None else {1: load}}
    if sets != suggestion.sets:
        update |= _changed_sets(slot, sets - suggestion.sets)
    changed = slot.model_copy(update=update)
    return _deload_in_front(changed, spec) if deload_first else changed


def _changed_sets(slot: Slot, step: int) -> dict[str, Any]:
    """Sets of every week moved by a step; of the back-off sets where there are some."""
    if slot.back_off:
        moved = tuple(max(0, n + step) if n else 0 for n in slot.back_off.sets)
        return {"back_off": slot.back_off.model_copy(update={"sets": moved})}
    return {"sets": tuple(max(1, n + step) if n else 0 for n in slot.sets)}


def _deload_in_front(slot: Slot, spec: Specification) -> Slot:
    """Per-week values with the deload week's moved to the front, or a light first week added."""

    def moved(values: tuple[Any, ...] | None, lighten: Any) -> tuple[Any, ...] | None:
        if values is None or len(values) == 1:
            return values
        if spec.block.deload_week:
            position = spec.block.deload_week - 1
            return (values[position], *values[:position], *values[position + 1 :])
        return (lighten(values[0]), *values)[:16]

    policy = spec.policy
    fewer = {
        "sets": lambda n: max(1, int(n * policy.deload_sets + 0.5)) if n else 0,
        "reps": lambda reps: reps,
        "rpe": lambda rpe: min(rpe, policy.deload_rpe),
        "percent": lambda percent: percent * policy.deload_percent,
        "load": lambda load: load * policy.deload_percent,
    }
    update: dict[str, Any] = {name: moved(getattr(slot, name), fewer[name]) for name in WEEKLY_FIELDS}
    if isinstance(slot.back_off, BackOff):
        weekly = {name: moved(getattr(slot.back_off, name), fewer[name]) for name in ("sets", "reps", "rpe")}
        update["back_off"] = slot.back_off.model_copy(update=weekly)
    return slot.model_copy(update=update)


def _next_lifter(log: BlockLog, outlook: Outlook) -> Lifter:
    """Bests as believed at the block's end, body weight as last logged, the fitted curve."""
    spec = log.spec
    weights = [session.body_weight for session in log.sessions if session.body_weight]
    body_weight = round(weights[-1], 1) if weights and 20 < weights[-1] <= 660 else spec.lifter.body_weight
    names = {name.casefold(): name for name in spec.lifter.bests}
    bests = dict(spec.lifter.bests)
    seen: set[str] = set()
    for suggestion in outlook.suggestions:
        exercise = spec.exercise(suggestion.exercise)
        if suggestion.believed_max is None or exercise.name in seen:
            continue
        seen.add(exercise.name)
        load = round(suggestion.believed_max - exercise.body_share * body_weight, 1)
        if load > 0:
            bests[names.get(exercise.name.casefold(), exercise.name)] = Best(load=load)
    return spec.lifter.model_copy(update={"bests": bests, "curve": outlook.curve, "body_weight": body_weight})


def restore_private_notes(spec: Specification, own: Specification) -> Specification:
    """Private notes from the coach's own specification, by session and slot, put back."""
    notes = {
        (session.name, slot.exercise): slot.private_note
        for session in own.sessions
        for slot in session.slots
        if slot.private_note
    }

    def noted(session: Session) -> Session:
        slots = tuple(
            slot.model_copy(update={"private_note": notes.get((session.name, slot.exercise), "")})
            for slot in session.slots
        )
        return session.model_copy(update={"slots": slots})

    block = spec.block.model_copy(update={"private_note": own.block.private_note})
    return spec.model_copy(update={"block": block, "sessions": tuple(noted(session) for session in spec.sessions)})
