"""The next block by the season: its kind, dates, length and deload week, with the coach's exercises kept."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import replace
from datetime import date, timedelta
from typing import Any, get_args

from blockbook.assessment.first_loads import slot_keys
from blockbook.assessment.next_block import muscle_sets
from blockbook.assessment.next_structure import usual_sets, with_sets, with_tests
from blockbook.assessment.outcome import NextBlock
from blockbook.languages import LANGUAGE_NAMES
from blockbook.planning.fitted_loads import fitted_loads, with_first_loads
from blockbook.planning.fitted_said import decided_by_season
from blockbook.planning.of_the_kind import of_the_kind
from blockbook.planning.starting import days_in_order, none_left, season_starter
from blockbook.spec.loading import parse_spec
from blockbook.spec.models import BackOff, Session, Slot, Specification
from blockbook.spec.policy import Policy
from blockbook.spec.season import BlockKind, Season, SeasonBlock
from blockbook.spec.templates import TITLES, words_of
from blockbook.spec.values import BACK_OFF_WEEKLY_FIELDS, WEEKLY_FIELDS
from blockbook.training.block_length import Length, fitted
from blockbook.training.deload import lighter_fields
from blockbook.training.prescription import countdown
from blockbook.training.season import WEEK, what_is_left
from blockbook.training.season_calendar import days_away_said


def follow_season(made: NextBlock, season: Season) -> NextBlock:
    """The next block with kind, start, length, deload week and meet as the season has them.

    A deload that the log asks for stays in week 1. Raises BlockbookError where the season has no
    block left.
    """
    returned = made.log.spec.block
    ended = returned.start + returned.weeks * WEEK
    block = what_is_left(season, ended)
    if block is None:
        raise none_left(ended)
    deload_first = made.deload_first
    new = Length(block.weeks, 1 if deload_first else block.deload_week)
    meet = season.next_meet(block.start)
    title = _title(made.spec.block.title, returned.title, block.kind)
    update = {"title": title, "start": block.start, "weeks": new.weeks, "deload_week": new.deload_week, "meet": meet}
    head = made.spec.block.model_copy(update=update | {"deload_added": False})  # the season counts its weeks in
    old = Length(made.spec.block.weeks, made.spec.block.deload_week)
    ends_in_meet = block.kind == "peak"
    sessions = _with_days(
        tuple(_fitted_session(each, old, new, made.spec.policy, ends_in_meet) for each in made.spec.sessions),
        block,
    )
    was = season.block_on(returned.start)
    before = was.kind if was else None
    taken: tuple[str, ...] = ()
    if before != block.kind:
        dated = block.model_copy(update={"deload_week": new.deload_week})
        template = parse_spec(season_starter(season, dated, head.unit), block.kind)
        sessions, taken = of_the_kind(sessions, template.sessions, new.weeks, set(_held(made)))
        sessions = _with_own_sets(sessions, made, new)
    gap = (block.start - ended).days
    if gap >= made.spec.policy.gap_days:
        sessions = _started_anew(sessions, set(_held(made)))
    spec = made.spec.model_copy(update={"block": head, "sessions": sessions})
    before_it, fitted = made.log.spec, fitted_loads(made.spec, spec, made.log.spec, _held_below_the_word(made))
    typed = {each.suggestion.key for each in made.decisions if each.is_typed_load}
    checked = Specification.model_validate(with_first_loads(spec, before_it, fitted, typed).model_dump())
    remarks = [*_by_the_season(season, block, ended, meet)]
    if gap >= made.spec.policy.gap_days:
        remarks.append(
            f"After {gap} days without a block its sheet works out the first loads anew, from maxima that are less "
            "sure by then. The loads named below were worked out as if it began at once."
        )
    if before != block.kind:
        remarks.append(_another_kind(before, block.kind, taken))
    if deload_first and block.deload_week:
        remarks.append("The deload is in week 1, not where the season has it: the log asks for it now.")
    kind = block.kind if before != block.kind else None
    decisions = tuple(decided_by_season(made, checked, fitted, kind, taken))
    muscles = tuple(muscle_sets(checked, decisions))
    return replace(made, spec=checked, decisions=decisions, muscles=muscles, remarks=(*remarks, *made.remarks))


def _with_own_sets(sessions: tuple[Session, ...], made: NextBlock, length: Length) -> tuple[Session, ...]:
    """The sessions with the coach's word on sets, those of the first week of work: the other weeks move by as much."""
    decisions = {each.suggestion.key: each for each in made.decisions}
    keys = iter(slot_keys(made.log.spec))

    def with_word(slot: Slot) -> Slot:
        decision = decisions[next(keys)]
        if not decision.is_own_sets:
            return slot
        return with_sets(slot, usual_sets(slot, length.deload_week), decision.sets, length.deload_week)

    return tuple(
        session.model_copy(update={"slots": tuple(with_word(slot) for slot in session.slots)}) for session in sessions
    )


def _held_below_the_word(made: NextBlock) -> dict[str, float]:
    """Loads that are held because something hurts where the coach typed another."""
    held = (
        (each.suggestion.key, each.suggestion.week_one(made.deload_first))
        for each in made.decisions
        if each.is_typed_load and each.suggestion.held
    )
    return {key: load for key, load in held if load is not None}


def _held(made: NextBlock) -> Iterator[tuple[str, str]]:
    """Session and exercise where the first load is the coach's word, or held because something hurts."""
    for decision in made.decisions:
        suggestion = decision.suggestion
        if decision.is_own_load or suggestion.pain or suggestion.near_pain:
            yield suggestion.session, decision.exercise


def _title(counted_on: str, before: str, kind: BlockKind) -> str:
    """The title with the kind that is due, where it only named another; the coach's own counts on."""
    plain = re.sub(r"\s+\d{1,2}$", "", before).casefold()
    for language in LANGUAGE_NAMES:
        stock = {each: _titles(each, language) for each in get_args(BlockKind)}
        if was := next((each for each, said in stock.items() if plain in map(str.casefold, said)), None):
            return counted_on if was == kind else stock[kind][0]
    return counted_on


def _titles(kind: BlockKind, language: str) -> tuple[str, ...]:
    """What a block of a kind is called where nobody gave it a name, the usual one first."""
    if words := words_of(language):
        return (words.blocks[TITLES[kind]]["title"],)
    return f"{kind.capitalize()} block", kind, TITLES[kind]


def _started_anew(sessions: tuple[Session, ...], held: Collection[tuple[str, str]]) -> tuple[Session, ...]:
    """The sessions without the first loads that the last block decided. held: as in `of_the_kind`."""
    anew: dict[str, object] = {"loads": {}, "from_last_block": None, "extra_from_last_block": None}

    def started(session: Session, slot: Slot) -> Slot:
        return slot if (session.name, slot.exercise) in held else slot.model_copy(update=anew)

    return tuple(
        session.model_copy(update={"slots": tuple(started(session, slot) for slot in session.slots)})
        for session in sessions
    )


def _by_the_season(season: Season, block: SeasonBlock, ended: date, meet: date | None) -> Iterator[str]:
    """ended: the day after the block that came back."""
    out = f", {countdown(meet, block.start)}" if meet else ""
    deload = f", deload in week {block.deload_week}" if block.deload_week else ""
    yield f"By the season: {block.kind} from {block.start}, weeks: {block.weeks}{deload}{out}."
    if ended < block.start:
        last = block.start - timedelta(days=1)
        away = days_away_said(season, ended, last)
        why = f"away {away}" if away else "the season's weeks begin on another day, or later"
        yield f"From {ended} to {last} nothing is planned: {why}."


def _another_kind(before: BlockKind | None, kind: BlockKind, taken: tuple[str, ...]) -> str:
    was = f"the block before was {before}" if before else "the block before has no place"
    said = f"In the season {was}, and this one is {kind}. "
    if not taken:
        return said + f"None of its exercises is in the {kind} template: reps and efforts are those of before."
    return said + (
        f"Sets, reps and efforts of {', '.join(taken)} are now the {kind} template's, and sets of the others "
        "follow its weeks. Below, loads and sets are those of this plan; the reasons behind them were found for the "
        "reps until now."
    )


def _with_days(sessions: tuple[Session, ...], block: SeasonBlock) -> tuple[Session, ...]:
    """The coach's weekdays, in the order in which they come in the block's weeks."""
    given = [session.day for session in sessions if session.day]
    if len(given) < len(sessions):
        return sessions
    days = days_in_order(given, block.start)
    return tuple(session.model_copy(update={"day": day}) for session, day in zip(sessions, days, strict=True))


def _fitted_session(session: Session, old: Length, new: Length, policy: Policy, ends_in_meet: bool) -> Session:
    slots = tuple(_fitted_slot(slot, old, new, policy, ends_in_meet) for slot in session.slots)
    return session.model_copy(update={"slots": slots})


def _fitted_slot(slot: Slot, old: Length, new: Length, policy: Policy, ends_in_meet: bool) -> Slot:
    lighter = lighter_fields(policy)

    def weekly(part: Slot | BackOff, fields: tuple[str, ...]) -> dict[str, Any]:
        values = {name: getattr(part, name) for name in fields}
        return {
            name: fitted(each, old, new, lighter[name], ends_in_meet)
            for name, each in values.items()
            if each is not None
        }

    update = weekly(slot, WEEKLY_FIELDS)
    if slot.back_off:
        back_off = weekly(slot.back_off, BACK_OFF_WEEKLY_FIELDS)
        update["back_off"] = slot.back_off.model_copy(update=back_off)
    update["loads"] = {week: load for week, load in slot.loads.items() if week <= new.weeks}
    tested = [week in slot.test_weeks for week in range(1, old.weeks + 1)]
    flags = fitted(tested, old, new, lambda _: False, ends_in_meet)
    tests = (week for week, test in enumerate(flags, start=1) if test and week != new.deload_week)
    return with_tests(slot.model_copy(update=update), tests)
