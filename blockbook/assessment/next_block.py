"""The next block's specification: the coach's structure and order, with what was learned."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, get_args

from pydantic import ValidationError

from blockbook.assessment import decided
from blockbook.assessment.meet_result import shown_at_meet
from blockbook.assessment.next_lifter import next_lifter
from blockbook.assessment.next_structure import (
    deload_in_front,
    next_head,
    with_sets,
    with_tests,
    without_added_deload,
)
from blockbook.assessment.outcome import Decision, MuscleSets, NextBlock, left_with_pain
from blockbook.assessment.outlook import Outlook, Suggestion
from blockbook.assessment.pain import near
from blockbook.assessment.suggestions import suggest
from blockbook.assessment.weekly_sets import weekly_sets
from blockbook.errors import BlockbookError, each_or_all_mistakes
from blockbook.intake.findings import what_to_say
from blockbook.intake.log import BlockLog
from blockbook.spec.catalogue import Exercise, Implement, Muscle
from blockbook.spec.documents import Location, field_path
from blockbook.spec.mistakes import AS_WRITTEN, SpecMistakes, slot_mistakes, unknown_exercise
from blockbook.spec.models import Slot, Specification, session_ids, slot_ids
from blockbook.training.loading import NO_CEILING, ladder, looked_up
from blockbook.training.maximum import start_maximum


@dataclass(frozen=True)
class Override:
    """The coach's word on one suggestion, from the review workbook.

    accept: False keeps this block's exercise, first load and sets; choice ("keep", or an exercise), load
    and sets, where given, win. place, choice_place: where load and choice were typed, for messages; mistake: what
    else was typed and is not understood, in words.
    """

    accept: bool = True
    load: float | None = None
    sets: int | None = None
    choice: str = ""
    place: str = field(default="", compare=False)
    choice_place: str = field(default="", compare=False)
    mistake: str = ""


def next_block(
    log: BlockLog,
    overrides: Mapping[str, Override] | None = None,
    earlier: Sequence[BlockLog] = (),
    own_deload: str = "",
) -> NextBlock:
    """The block after a returned one. overrides: exercise key -> the coach's word.

    earlier: the lifter's blocks before it, in order of date; own_deload: the coach's "yes" or "no" to a deload
    first. Structure and order stay the coach's; exercises, first loads, sets, bests and curve follow the log.
    Raises BlockbookError where an override asks for what a specification cannot hold, or for an absurd load, and
    where a whole log is in doubt and the coach has not had a say.
    """
    _refuse_in_doubt([*earlier, log])
    return as_decided(log, suggest(log, earlier), overrides, own_deload)


def as_decided(
    log: BlockLog, outlook: Outlook, overrides: Mapping[str, Override] | None = None, own_deload: str = ""
) -> NextBlock:
    """The same from suggestions that were made before."""
    spec = without_added_deload(log.spec)
    said = overrides or {}
    deload = str(decided.deload_used.value(own_deload, "yes" if outlook.deload_reason else "no"))
    suggested = {made.key: made for made in outlook.suggestions}
    as_typed = dict.fromkeys((*(key for key in said if key in suggested), *suggested))  # mistakes in order of rows
    deload_first = deload == "yes"
    head = next_head(spec.block, log.spec.block, deload_first, bool(shown_at_meet(log)), log.trained_until)
    head = head.model_copy(update={"alarm_open": log.alarm_open})
    lifter = next_lifter(log, outlook)
    slots = {
        f"{session_id}.{slot_id}": slot
        for session, session_id in zip(spec.sessions, session_ids(spec), strict=True)
        for slot, slot_id in zip(session.slots, slot_ids(session), strict=True)
    }

    def decide(key: str) -> tuple[Decision, Slot]:
        own = said.get(key, Override())
        decision = _decision(spec, suggested[key], own, deload)
        slot = _next_slot(slots[key], decision, spec, deload_first)
        if decision.exercise != suggested[key].exercise:
            _refuse_unfit(spec, slot, head.weeks, own.choice_place or _named(suggested[key]))
        return decision, slot

    decided_of = each_or_all_mistakes(as_typed, decide)
    decisions = tuple(decided_of[key][0] for key in suggested)
    gone = [spec.exercise(name) for name in left_with_pain(decisions)]
    gone_before = [spec.exercise(slot.held_for) for _, slot in decided_of.values() if slot.held_for]
    made_slots = iter(_held_by_their_own([_held(*decided_of[key], gone, gone_before, spec) for key in slots]))
    sessions = tuple(
        session.model_copy(update={"slots": tuple(next(made_slots) for _ in session.slots)})
        for session in spec.sessions
    )
    made = spec.model_copy(update={"block": head, "lifter": lifter, "sessions": sessions})
    muscles = tuple(muscle_sets(spec, decisions))
    return NextBlock(_checked(made), decisions, outlook, log, deload_first, own_deload, muscles)


def _refuse_in_doubt(logs: Sequence[BlockLog]) -> None:
    for log in logs:
        if (found := log.stopped_by) is not None:
            raise BlockbookError(
                f"{log.file}: {found.message} {what_to_say(found)} Write a review with `blockbook review`, say it "
                "there, and run this again with that review."
            )


def _checked(made: Specification) -> Specification:
    """As `build` will read it: what that refuses is not written. Raises BlockbookError."""
    try:
        return Specification.model_validate(made.model_dump(), context=AS_WRITTEN)
    except ValidationError as error:
        first = error.errors()[0]
        together = first.get("ctx", {}).get("error")  # a mistake of several parts has its places inside
        mistakes = together.mistakes if isinstance(together, SpecMistakes) else [(first["loc"], first["msg"])]
        data = made.model_dump()
        said = " ".join(f"{_path_in(data, place)}{_sentence(message)}" for place, message in mistakes)
        raise BlockbookError(
            f"the next block cannot be written: {said} Change the numbers in the review workbook, or correct what was "
            "logged in the returned one."
        ) from None


def _path_in(data: Any, place: Location) -> str:
    """The place as people count: names and weeks as they are, what stands in a list from 1."""
    steps: list[int | str] = []
    for step in place:
        in_list = isinstance(data, (list, tuple))
        steps.append(step if in_list else str(step))
        if in_list and isinstance(step, int) and step < len(data):
            data = data[step]
        else:
            data = data.get(step) if isinstance(data, dict) else None
    return field_path(steps)


def _sentence(message: str) -> str:
    """A mistake of a specification as a whole sentence."""
    return f"{message.rstrip('.')}."


# One exercise ---------------------------------------------------------------------------------


def _decision(spec: Specification, made: Suggestion, own: Override, deload: str) -> Decision:
    """Exercise, first load and sets after the coach's word."""
    accept = "yes" if own.accept else "no"
    asked = str(decided.exercise_used.value(accept, own.choice, made.choice.exercise, made.exercise))
    exercise = _understood(spec, made, own, asked)
    suggested = decided.week_one_load.value(deload, _or_dash(made.deload_load), _or_dash(made.first_load))
    kept = _or_dash(made.start_load)
    # Where another exercise starts is for the sheet to decide.
    load = decided.load_used.value(accept, own.load, suggested, kept, exercise, made.exercise, decided.NONE)
    sets = decided.decided.value(accept, own.sets, made.next_sets, made.sets)
    rungs = ladder(spec.exercise(exercise).implement, spec.equipment)
    unmade = decided.unmade_flag.value(own.load, "", "", spec.block.unit, looked_up(rungs)) if rungs else ""
    flags = decided.flags.value(
        accept=accept,
        own=own.load,
        own_sets=own.sets,
        exercise=exercise,
        before=made.exercise,
        sets_before=made.sets,
        start=_or_dash(made.first_load) if made.start_load is None else kept,
        kept=kept,
        most=_or_dash(made.most_load),
        least=lightest_load(spec, made.exercise),
        limit=most_own_load(spec, made, exercise),
        most_sets=spec.next_block.most_sets,
        held=int(made.held),
        held_at=_or_dash(made.first_load),
        row=1,
        unmade=unmade,
        body_load=spec.body_load(spec.exercise(made.exercise)),
        most_rise=spec.policy.most_rise,
        most_own_load=spec.next_block.most_own_load,
    )
    test = made.test_week if own.accept and exercise == made.exercise else None
    number = float(load) if isinstance(load, (int, float)) else None
    changed = made.written and exercise != made.exercise
    written = "Its loads were written for another exercise: check them." if changed else ""
    flagged = " ".join(filter(None, (str(flags), written)))
    own_load = own.load is not None or not own.accept
    return Decision(
        made,
        exercise,
        number,
        int(float(sets or 0)),
        test,
        is_own=own != Override(),
        is_own_load=own_load,
        is_own_sets=own.sets is not None or not own.accept,
        is_typed_load=own.load is not None,
        flags=flagged,
    )


def _understood(spec: Specification, made: Suggestion, own: Override, asked: str) -> str:
    """The exercise asked for. Raises BlockbookError with all that is wrong in the coach's word on it."""
    wrong, exercise = [own.mistake], ""
    try:
        exercise = _known(spec, made, asked, own.choice_place)
        _refuse_absurd(spec, made, own, exercise)
    except BlockbookError as error:
        wrong.append(str(error))
        if not exercise:
            wrong.append(_beyond_all(spec, made, own))
    if any(wrong):
        raise BlockbookError("\n".join(filter(None, wrong)))
    return exercise


def _beyond_all(spec: Specification, made: Suggestion, own: Override) -> str:
    """What is wrong with a load of the coach's for whatever exercise; "" for nothing."""
    heaviest = max(rung.load for implement in get_args(Implement) for rung in ladder(implement, spec.equipment))
    if own.load is None or own.load <= spec.next_block.most_own_load * heaviest:
        return ""
    unit = spec.block.unit
    return (
        f"{own.place or _named(made)}: {own.load:g} {unit} is far above all that the equipment makes, {heaviest:g} "
        f"{unit} at most. Is a decimal point missing? Correct the load, or leave it empty."
    )


def _or_dash(load: float | None) -> float | str:
    return decided.NONE if load is None else load


def _known(spec: Specification, made: Suggestion, name: str, place: str) -> str:
    found = spec.catalogue.get(name.strip().casefold())
    at = place or _named(made)
    if found is not None and not spec.equipment.has(found.implement):
        raise BlockbookError(
            f"{at}: {found.name} is loaded on a {found.implement}, which the equipment of the block leaves out. Choose "
            "another exercise, write keep, or leave it empty."
        )
    if found is None:
        raise BlockbookError(
            f"{at}: {unknown_exercise(name, spec.catalogue)} Or write keep, or leave it empty to take the suggestion."
        )
    return made.exercise if found.name.casefold() == made.exercise.casefold() else found.name


def _refuse_unfit(spec: Specification, slot: Slot, weeks: int, place: str) -> None:
    """An exercise that cannot be prescribed as the one before it was, such as a band for a load."""
    found = [_sentence(message) for _, message in slot_mistakes(slot, weeks, spec.catalogue)]
    if found:
        said = " ".join(f"{each[:1].upper()}{each[1:]}" for each in found)
        raise BlockbookError(
            f"{place}: {slot.exercise} does not fit here. {said} Choose another exercise, write keep, or leave it "
            "empty."
        )


def _named(made: Suggestion) -> str:
    return f"{made.session}, {made.exercise}"


def _refuse_absurd(spec: Specification, made: Suggestion, own: Override, exercise: str) -> None:
    """A load that no one means: for a band, below what the implement weighs, far above the estimated maximum."""
    if own.load is None:
        return
    used, place, unit = spec.exercise(exercise), own.place or _named(made), spec.block.unit
    if used.implement == "band":
        raise BlockbookError(f"{place}: {exercise}: a band has no load. Leave Your load empty.")
    lightest = lightest_load(spec, exercise)
    if own.load < lightest:
        raise BlockbookError(
            f"{place}: {own.load:g} {unit} is less than the lightest that can be loaded for {exercise}, "
            f"{lightest:g} {unit}. Correct the load, or leave it empty."
        )
    limit = most_own_load(spec, made, exercise)
    if own.load > limit:
        raise BlockbookError(
            f"{place}: {own.load:g} {unit} is far above the estimated 1RM of {exercise}: more than {limit:.1f} "
            f"{unit} is not taken. Is a decimal point missing? Correct the load, or leave it empty."
        )


def lightest_load(spec: Specification, exercise: str) -> float:
    """The lightest that the equipment makes for an exercise; 0 for a band."""
    rungs = ladder(spec.exercise(exercise).implement, spec.equipment)
    return rungs[0].load if rungs else 0


def most_own_load(spec: Specification, made: Suggestion, exercise: str) -> float:
    """The load above which no word of the coach's is taken: far above the estimated maximum, as nobody means it."""
    used = spec.exercise(exercise)
    maximum = made.believed_max if exercise == made.exercise else start_maximum(spec, used)
    return NO_CEILING if maximum is None else spec.next_block.most_own_load * maximum - spec.body_load(used)


def _next_slot(slot: Slot, decision: Decision, spec: Specification, deload_first: bool) -> Slot:
    made, load = decision.suggestion, decision.load
    kept = decision.exercise == made.exercise
    coachs = decision.is_typed_load or (decision.is_own_load and made.start_load is not None)
    update: dict[str, object] = {
        "loads": {} if load is None else {1: load},
        "from_last_block": None if coachs else load,
        "extra_from_last_block": made.extra if load == made.first_load and not coachs else None,
        "hurts": made.pain and kept,
        "held_for": slot.held_for if kept and slot.held_for.casefold() == made.near_pain.casefold() else "",
    }
    if not kept:
        update["exercise"] = decision.exercise
        update["stand_ins"] = tuple(name for name in slot.stand_ins if name.casefold() != decision.exercise.casefold())
    changed = slot.model_copy(update=update)
    if decision.sets != made.sets:
        changed = with_sets(changed, made.sets, decision.sets, spec.block.deload_week)
    if deload_first:
        changed = deload_in_front(changed, spec)
    week = decision.test_week
    return with_tests(changed, (week,)) if week and week <= spec.block.weeks else changed


def _held(
    decision: Decision, slot: Slot, gone: Sequence[Exercise], gone_before: Sequence[Exercise], spec: Specification
) -> Slot:
    """The slot, held until its lifter says that nothing hurts where it trains the same as what hurt and is gone.

    gone_before: what has held others since an earlier block. Those that it holds no more were answered.
    """
    exercise = spec.exercise(slot.exercise)
    painful = [*gone, *gone_before] if decision.exercise != decision.suggestion.exercise else gone
    if slot.hurts or exercise in painful:
        return slot.model_copy(update={"hurts": True, "held_for": ""})
    return slot.model_copy(update={"held_for": slot.held_for or near(exercise, painful)})


def _held_by_their_own(slots: Sequence[Slot]) -> Iterator[Slot]:
    """The slots, those held for an exercise that the block asks for again left to that one's own pain."""
    asked = {slot.exercise.casefold() for slot in slots}
    return (slot.model_copy(update={"held_for": ""}) if slot.held_for.casefold() in asked else slot for slot in slots)


def muscle_sets(spec: Specification, decisions: Sequence[Decision]) -> Iterator[MuscleSets]:
    """Weekly sets of every muscle, before and after, by the expressions of the review workbook."""
    before = weekly_sets([(spec.exercise(each.suggestion.exercise), each.suggestion.sets) for each in decisions])
    after = weekly_sets([(spec.exercise(each.exercise), each.sets) for each in decisions])
    for muscle in dict.fromkeys((*before, *after)):
        low, high = muscle_limits(spec, muscle)
        was, now = before.get(muscle, 0), after.get(muscle, 0)
        flag = decided.muscle_flag.value(was, now, low, high, spec.policy.sets_change)
        yield MuscleSets(muscle, was, now, str(flag))


def muscle_limits(spec: Specification, muscle: Muscle) -> tuple[float, float]:
    """The coach's least and most weekly sets of a muscle, as numbers even where there is no limit."""
    limit = spec.next_block.muscle_sets.get(muscle)
    return (limit.low, limit.high) if limit else (0, NO_CEILING)


# Around it ------------------------------------------------------------------------------------


def for_the_meet(log: BlockLog, earlier: Sequence[BlockLog] = ()) -> Specification:
    """What the day of this block's meet starts from: what the log taught, as the next block would have it."""
    spec = next_block(log, None, earlier).spec
    return spec.model_copy(update={"block": spec.block.model_copy(update={"meet": log.spec.block.meet})})


def restore_private_notes(
    spec: Specification, own: Specification, before: Specification | None = None
) -> Specification:
    """Private notes from the coach's own specification, by session and slot, put back.

    before: the block that `spec` was made from, slot by slot, where exercises were changed since.
    """
    notes = {
        (session_id, slot_id): slot.private_note
        for session, session_id in zip(own.sessions, session_ids(own), strict=True)
        for slot, slot_id in zip(session.slots, slot_ids(session), strict=True)
    }
    known = before or spec
    sessions = []
    for session, was, session_id in zip(spec.sessions, known.sessions, session_ids(known), strict=True):
        slots = tuple(
            slot.model_copy(update={"private_note": notes.get((session_id, slot_id), "")})
            for slot, slot_id in zip(session.slots, slot_ids(was), strict=True)
        )
        sessions.append(session.model_copy(update={"slots": slots}))
    block = spec.block.model_copy(update={"private_note": own.block.private_note})
    return spec.model_copy(update={"block": block, "sessions": tuple(sessions)})
