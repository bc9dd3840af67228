"""The next block's specification: the coach's structure and order, with what was learned."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from pydantic import ValidationError

from blockbook.assessment.suggestions import Outlook, Suggestion, suggest
from blockbook.errors import BlockbookError
from blockbook.formula.definition import definition
from blockbook.formula.expression import Expression, if_, is_number, or_, same
from blockbook.intake.log import BlockLog
from blockbook.spec.documents import dump_yaml
from blockbook.spec.loading import SCHEMA_LINE
from blockbook.spec.models import (
    BACK_OFF_WEEKLY_FIELDS,
    MOST_WEEKS,
    TITLE_LIMIT,
    WEEKLY_FIELDS,
    BackOff,
    Block,
    Lifter,
    Slot,
    Specification,
    session_ids,
    slot_ids,
)
from blockbook.spec.values import MOST_LOAD, MOST_SETS, Best, in_week
from blockbook.training.deload import lighter_fields


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
    """The specification, what was decided per exercise (suggestion, first load, sets), and from which log.

    remarks: what a season has to say about the block.
    """

    spec: Specification
    decisions: tuple[tuple[Suggestion, float | None, int], ...]
    outlook: Outlook
    log: BlockLog
    remarks: tuple[str, ...] = ()

    def to_yaml(self) -> str:
        """YAML text with a comment for every exercise that says what was decided and why."""
        data = self.spec.to_data()
        before = self.log.spec.block
        end = before.start + timedelta(weeks=before.weeks, days=-1)
        head = [*self.remarks, f"The block after {before.title}, which ended on {end.day} {end:%B %Y}. Decided:"]
        if self.outlook.deload_reason:
            head.append(f"Deload first (week 1): {self.outlook.deload_reason}")
        for suggestion, load, sets in sorted(self.decisions, key=lambda decision: not decision[0].pain):
            used = f"{load:g} {self.spec.block.unit}" if load is not None else "no load"
            own = (load, sets) != (suggestion.first_load, suggestion.next_sets)
            why = f"Your word; suggested was: {suggestion.reason}" if own else suggestion.reason
            head.append(f" {suggestion.session}, {suggestion.exercise}: {used}, {sets} sets. {why}")
            if suggestion.figures:
                head.append(f"     {suggestion.figures}")
        # A line break in a name must not end the comment.
        comments = ["# " + re.sub(r"[\x00-\x1f\x85\u2028\u2029]+", " ", line) for line in head]
        return "\n".join([SCHEMA_LINE, *comments]) + "\n\n" + dump_yaml(data)


@definition
def decided(accept: Expression, own: Expression, suggested: Expression, kept: Expression) -> Expression:
    """The coach's own number, else the suggestion, or what was kept if it was not accepted."""
    refused = or_(same(accept, "no"), same(accept, "n"))
    return if_(is_number(own), own, if_(refused, kept, suggested))


def next_block(log: BlockLog, overrides: Mapping[str, Override] | None = None) -> NextBlock:
    """The block after a returned one. overrides: exercise key -> the coach's word.

    Structure and order stay the coach's; first loads, sets, bests and curve follow the log.
    Raises BlockbookError where an override asks for what a specification cannot hold.
    """
    spec, outlook = log.spec, suggest(log)
    said = overrides or {}
    decisions = {
        suggestion.key: (suggestion, *_decided(spec, suggestion, said.get(suggestion.key, Override())))
        for suggestion in outlook.suggestions
    }
    deload_first = bool(outlook.deload_reason)
    sessions = []
    for session, session_id in zip(spec.sessions, session_ids(spec), strict=True):
        slots = []
        for slot, slot_id in zip(session.slots, slot_ids(session), strict=True):
            suggestion, load, sets = decisions[f"{session_id}.{slot_id}"]
            changed = slot.model_copy(update={"loads": {} if load is None else {1: load}})
            if sets != suggestion.sets:
                changed = _with_sets(changed, suggestion.sets, sets, spec.block.deload_week)
            slots.append(_deload_in_front(changed, spec) if deload_first else changed)
        sessions.append(session.model_copy(update={"slots": tuple(slots)}))
    made = spec.model_copy(
        update={
            "block": _next_head(spec.block, deload_first),
            "lifter": _next_lifter(log, outlook),
            "sessions": tuple(sessions),
        }
    )
    try:
        checked = Specification.model_validate(made.model_dump())
    except ValidationError as error:
        first = error.errors()[0]
        raise BlockbookError(
            f"the next block cannot be written: {'.'.join(map(str, first['loc']))}: {first['msg']}. Change the "
            "numbers in the review workbook."
        ) from None
    return NextBlock(checked, tuple(decisions.values()), outlook, log)


def _decided(spec: Specification, suggestion: Suggestion, override: Override) -> tuple[float | None, int]:
    """First load and sets after the coach's word."""
    if override.load is not None and spec.exercise(suggestion.exercise).implement == "band":
        raise BlockbookError(
            f"{suggestion.session}, {suggestion.exercise}: a band has no load. Leave Your load empty in the review."
        )
    accept = "yes" if override.accept else "no"
    load = decided.value(accept, override.load, suggestion.first_load, suggestion.start_load)
    sets = decided.value(accept, override.sets, suggestion.next_sets, suggestion.sets)
    return (float(load) if isinstance(load, (int, float)) else None), int(sets or 0)


def _next_head(block: Block, deload_first: bool) -> Block:
    """The next block's head: title counted on, start behind the last week, the meet if it is still ahead."""
    number = re.search(r"^(.*\S)\s+(\d{1,2})$", block.title)
    base, count = (number[1], int(number[2]) + 1) if number else (block.title, 2)
    suffix = f" {count}"
    start = block.start + timedelta(weeks=block.weeks)
    update: dict[str, Any] = {"title": base[: TITLE_LIMIT - len(suffix)] + suffix, "start": start}
    if deload_first:
        update["deload_week"] = 1
        if block.deload_week is None and block.weeks < MOST_WEEKS:
            update["weeks"] = block.weeks + 1
    if block.meet and block.meet < start:
        update["meet"] = None
    return block.model_copy(update=update)


def _with_sets(slot: Slot, usual: int, wanted: int, deload_week: int | None) -> Slot:
    """The slot with `wanted` work sets where it had `usual`; other weeks move by as much.

    Back-off sets are moved first. A deload week that was written out stays as it is, and so
    do weeks without sets, unless the usual week is one.
    """
    if wanted == 0:
        return slot.model_copy(update={"sets": (0,)})
    if usual == 0:
        return slot.model_copy(update={"sets": tuple(number or wanted for number in slot.sets)})
    step = wanted - usual
    back_off = slot.back_off
    weeks = max(len(slot.sets), len(back_off.sets) if back_off else 1)
    top, lighter = [], []
    for week in range(1, weeks + 1):
        sets = in_week(slot.sets, week)
        behind = in_week(back_off.sets, week) if back_off else 0
        if sets and not (weeks > 1 and week == deload_week):
            moved = min(MOST_SETS, max(0, behind + step)) if behind else 0
            sets = min(MOST_SETS, max(1, sets + step - (moved - behind)))
            behind = moved
        top.append(sets)
        lighter.append(behind)
    update: dict[str, Any] = {"sets": _shortest(top)}
    if back_off:
        update["back_off"] = back_off.model_copy(update={"sets": _shortest(lighter)})
    return slot.model_copy(update=update)


def _shortest(values: list[int]) -> tuple[int, ...]:
    return (values[0],) if len(set(values)) == 1 else tuple(values)


def _deload_in_front(slot: Slot, spec: Specification) -> Slot:
    """Per-week values with the deload week's moved to the front, or a light first week added.

    A block that already has the most weeks there can be gets its first week lightened instead.
    """
    lighter = lighter_fields(spec.policy)

    def moved(part: Slot | BackOff, name: str) -> tuple[Any, ...] | None:
        values: tuple[Any, ...] | None = getattr(part, name)
        if values is None or len(values) == 1:
            return values
        if spec.block.deload_week:
            position = spec.block.deload_week - 1
            return (values[position], *values[:position], *values[position + 1 :])
        kept = values if len(values) < MOST_WEEKS else values[1:]
        return (lighter[name](values[0]), *kept)

    update: dict[str, Any] = {name: moved(slot, name) for name in WEEKLY_FIELDS}
    if slot.back_off:
        weekly = {name: moved(slot.back_off, name) for name in BACK_OFF_WEEKLY_FIELDS}
        update["back_off"] = slot.back_off.model_copy(update=weekly)
    return slot.model_copy(update=update)


def _next_lifter(log: BlockLog, outlook: Outlook) -> Lifter:
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
        if 0 < load <= MOST_LOAD:
            spread = round(max(_LEAST_SPREAD, (suggestion.spread or 0) / suggestion.believed_max), 3)
            learned = Best(load=load, spread=spread, on=_last_day(log, suggestion.key))
            bests[names.get(exercise.name.casefold(), exercise.name)] = learned
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


def _last_day(log: BlockLog, key: str) -> date | None:
    """Day of the last session in which an exercise was logged."""
    session_id = key.split(".", maxsplit=1)[0]
    logged = {entry.week for entry in log.sets if f"{entry.session}.{entry.slot}" == key and entry.reps is not None}
    days = [s.date or s.planned_date for s in log.sessions if s.session == session_id and s.week in logged]
    return max(days, default=None)


def _body_weight(log: BlockLog) -> float:
    """The last one logged that is near the known one; a slip is no weight."""
    known = log.spec.lifter.body_weight
    logged = [session.body_weight for session in log.sessions if session.body_weight is not None]
    near = [weight for weight in logged if 0.8 * known <= weight <= 1.2 * known]
    return round(near[-1], 1) if near else known


def for_the_meet(log: BlockLog, overrides: Mapping[str, Override] | None = None) -> Specification:
    """What the day of this block's meet starts from: what the log taught, as the next block would have it."""
    spec = next_block(log, overrides).spec
    return spec.model_copy(update={"block": spec.block.model_copy(update={"meet": log.spec.block.meet})})


def restore_private_notes(spec: Specification, own: Specification) -> Specification:
    """Private notes from the coach's own specification, by session and slot, put back."""
    notes = {
        (session_id, slot_id): slot.private_note
        for session, session_id in zip(own.sessions, session_ids(own), strict=True)
        for slot, slot_id in zip(session.slots, slot_ids(session), strict=True)
    }
    sessions = []
    for session, session_id in zip(spec.sessions, session_ids(spec), strict=True):
        slots = tuple(
            slot.model_copy(update={"private_note": notes.get((session_id, slot_id), "")})
            for slot, slot_id in zip(session.slots, slot_ids(session), strict=True)
        )
        sessions.append(session.model_copy(update={"slots": slots}))
    block = spec.block.model_copy(update={"private_note": own.block.private_note})
    return spec.model_copy(update={"block": block, "sessions": tuple(sessions)})
