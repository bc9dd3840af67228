"""Checks of a log: each a plain function from the log to findings, its docstring the rule."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace

from blockbook.intake.believable import DOUBTS, EFFORTS, SLIPS
from blockbook.intake.believable.notes import alarm_ignored, alarm_noted
from blockbook.intake.believable.strength import by_session, loads_made, session_of
from blockbook.intake.cells import says_not_done
from blockbook.intake.findings import SINCE_ANSWERED, Finding, finding
from blockbook.intake.found import as_text
from blockbook.intake.log import BlockLog, LoggedSession, LoggedSet, at_set
from blockbook.spec.models import Unit
from blockbook.training.loading import to_kg, to_lb
from blockbook.training.pain import nothing_hurts
from blockbook.training.plausibility import MOST_REPS
from blockbook.workbook.layout import EARLIER, SESSION_INPUTS, input_name, session_input_key

Check = Callable[[BlockLog], Iterator[Finding]]


def pain_reported(log: BlockLog) -> Iterator[Finding]:
    """Pain is told first, whatever else there is."""
    lines = {place.session.key: [line.line for line in place.lines] for place in log.workbook.sessions}
    instead = {(session_of(logged), logged.slot): logged.instead for logged in log.sets if logged.instead}
    for session in log.sessions:
        if not session.reports_pain:
            continue
        names = []
        for line in lines[session.key]:
            if log.calculation.number(log.workbook.workings.cell(line, "named")):
                done = instead.get((session.key, line.slot_key.split(".")[1]))
                names.append(f"{done} in place of {line.exercise.name}" if done else line.exercise.name)
        what = ", ".join([session.pain or "said only where", *names])
        where = f" Where: {session.where}." if session.where else ""
        told = finding(
            "pain-reported",
            f"Pain in week {session.week}, {session.name} ({what}).{where}",
            session.sheet,
            session.cells.get("pain", ""),
            session.pain or session.where,
        )
        if session.pain.strip() and nothing_hurts.value(session.pain):
            yield _and_yet_none(told, session)
        else:
            yield told if _still_holds(log, session) else replace(told, hint=SINCE_ANSWERED)


def _still_holds(log: BlockLog, session: LoggedSession) -> bool:
    """Whether the pain of a session was the last that was heard of one of its exercises, or an alarm holds all."""
    place = next(place for place in log.workbook.sessions if place.session.key == session.key)
    rows = [log.workbook.workings.rows[line.slot_key, log.spec.block.weeks] for line in place.session.lines]
    return log.alarm_open or any(log.calculation.number(row["pain_after"]) for row in rows)


def _and_yet_none(told: Finding, session: LoggedSession) -> Finding:
    """What is said where Pain? says none, and the cell for where it hurts is filled in."""
    none = f'Pain in week {session.week}, {session.name}: Pain? says "{session.pain.strip()}"'
    return replace(
        told,
        message=f"{none}, and yet it says where it hurts: {session.where}.",
        cell=session.cells.get("where", told.cell),
        value=session.where,
        hint="Ask the lifter. The load is held as long as the cell for where it hurts is filled in: if nothing hurts, "
        "empty it.",
    )


def pain_before_the_change(log: BlockLog) -> Iterator[Finding]:
    """Pain on the sheet Earlier log is told too: the exercise is gone, the pain perhaps not."""
    for row in log.earlier:
        said = as_text(row.note) or as_text(row.load)
        if row.is_about_pain and not nothing_hurts.value(as_text(row.load)):
            message = f"Pain in week {row.week}, {row.session}, before the block was changed. {row.set} {said}."
            told = finding("pain-reported", message, EARLIER, "", as_text(row.load))
            yield replace(told, hint="Talk to the lifter before the next block. No load is held for it any more.")


def effort_on_scale(log: BlockLog) -> Iterator[Finding]:
    """Effort lies between 1 and 10; 85 was likely 8.5."""
    for logged in log.sets:
        if logged.rpe is not None and not 1 <= logged.rpe <= 10:
            if logged.in_reserve:
                yield _reserve_off_scale(logged, 10 - logged.rpe)
                continue
            meant = {input_name(logged.key, "rpe"): logged.rpe / 10} if 50 <= logged.rpe <= 100 else {}
            message = f"Effort {logged.rpe:g} is not on the scale of 1 to 10."
            yield at_set(logged, "rpe", "effort-off-scale", message, meant)


def _reserve_off_scale(logged: LoggedSet, left: float) -> Finding:
    """Reps left lie between 0 and 9; 9.5 and 10 were likely efforts, and 15 was likely 1.5."""
    likely = left if 9 < left <= 10 else 10 - left / 10 if 15 <= left <= 50 else None
    meant = {} if likely is None else {input_name(logged.key, "rpe"): likely}
    return at_set(logged, "rpe", "reserve-off-scale", f"{left:g} reps left are not on the scale of 0 to 9.", meant)


def reps_whole(log: BlockLog) -> Iterator[Finding]:
    """Reps are a whole number, 0 to 100, and near those asked for."""
    for logged in log.sets:
        if logged.reps is None:
            continue
        if logged.reps != int(logged.reps):
            yield at_set(
                logged, "reps", "reps-not-whole", f"{logged.reps:g} reps is not a whole number. Used as it is."
            )
        elif not 0 <= logged.reps <= MOST_REPS:
            yield at_set(logged, "reps", "number-out-of-range", f"{logged.reps:g} reps cannot be right. Not used.")
        elif logged.has_too_many_reps:
            message = f"{logged.reps:g} reps where {logged.target_reps:g} were asked for. Not used."
            yield at_set(logged, "reps", "number-out-of-range", message)


def no_rep_done(log: BlockLog) -> Iterator[Finding]:
    """A set of which not one rep went up, told once for all such sets of an exercise in a session."""
    failed: dict[tuple[str, str], list[LoggedSet]] = {}
    for logged in log.sets:
        if logged.reps == 0 and logged.load is not None and logged.set and not _left_out(logged):
            failed.setdefault((session_of(logged), logged.slot), []).append(logged)
    for sets in failed.values():
        first, loads = sets[0], ", ".join(f"{each.load:g}" for each in sets if each.load)
        with_load = f" at {loads} {log.spec.block.unit}" if loads else ""
        message = f"{first.called}: not one of {first.target_reps:g} reps went up{with_load}."
        yield at_set(first, "reps", "no-rep-done", message)


def load_can_be_made(log: BlockLog) -> Iterator[Finding]:
    """A logged load is one the lifter's equipment can make; the same one is told once an exercise and session."""
    spec = log.spec
    loads = loads_made(spec)
    told: set[tuple[str, str, float]] = set()
    for logged in log.sets:
        if logged.load is None:
            continue
        possible = loads.get(spec.exercise(logged.exercise).implement)
        if logged.load == logged.target_load:
            continue
        if logged.load < 0:
            said = f"A load of {logged.load:g} cannot be right."
            if spec.exercise(logged.exercise).implement == "bodyweight":
                said = (
                    f"{-logged.load:g} {spec.block.unit} of help (a band, a machine) is not counted: nothing is "
                    "learned from this set. Plan an exercise with help as one of your own."
                )
            yield at_set(logged, "load", "number-out-of-range", said)
        elif possible and round(logged.load, 4) not in possible:
            if (where := (session_of(logged), logged.slot, logged.load)) in told:
                continue
            told.add(where)
            nearest = min(possible, key=lambda load: abs(load - logged.load))  # type: ignore[operator]
            message = f"{logged.load:g} {spec.block.unit} cannot be made; nearest is {nearest:g}. Used as typed."
            yield at_set(logged, "load", "load-not-loadable", message)


def set_filled_in(log: BlockLog) -> Iterator[Finding]:
    """A set that was begun has load and reps, and effort where an effort was asked for."""
    for logged in log.sets:
        if not logged.started or _left_out(logged):
            continue
        band = log.spec.exercise(logged.exercise).implement == "band"
        missing = [
            word
            for word, name, value in (("load", "load", logged.load), ("reps", "reps", logged.reps))
            if value is None and name not in logged.raw and not (band and name == "load")
        ]
        if missing:
            message = f"{logged.called}: {' and '.join(missing)} missing."
            yield at_set(logged, missing[0], "set-half-filled", message)
        elif band:
            continue  # no load follows from its effort
        elif logged.rpe is None and "rpe" not in logged.raw and logged.target_rpe is not None and logged.done:
            what = "reps left not logged" if logged.in_reserve else "no effort logged"
            yield at_set(logged, "rpe", "effort-missing", f"{logged.called}: {what}.")


def sets_left_out(log: BlockLog) -> Iterator[Finding]:
    """Sets of a session that was done which nobody says anything of, in one line."""
    for key, sets in by_session(log.sets).items():
        empty = [each for each in sets if each.set and not each.started and not each.note]
        if not empty or not any(each.done for each in sets):
            continue
        planned, missing = (Counter(each.slot for each in which if each.set) for which in (sets, empty))
        names = {each.slot: each.exercise for each in empty}
        said = [
            f"{names[slot]} ({'its one set' if number == 1 else f'all {number} sets'})"
            if number == planned[slot]
            else f"{names[slot]} ({number} of {planned[slot]} sets)"
            for slot, number in missing.items()
        ]
        name = next((session.name for session in log.sessions if session.key == key), key)
        message = f"Week {sets[0].week}, {name}: nothing typed for {', '.join(said)}."
        yield at_set(empty[0], "reps", "sets-left-out", message)


def _left_out(logged: LoggedSet) -> bool:
    """Whether a cell says that the set was not done, and no number says otherwise."""
    typed = (logged.load, logged.reps, logged.rpe)
    return all(value is None for value in typed) and any(map(says_not_done, logged.raw.values()))


def stand_ins_used(log: BlockLog) -> Iterator[Finding]:
    """An exercise that another was done in place of, with how often."""
    weeks: dict[tuple[str, str], dict[int, str]] = {}
    places: dict[tuple[str, str], LoggedSet] = {}
    for logged in log.sets:
        if logged.done and logged.set:
            weeks.setdefault((logged.session, logged.slot), {})[logged.week] = logged.instead
            if logged.instead:
                places.setdefault((logged.session, logged.slot), logged)
    for slot, logged in places.items():
        others = [instead for instead in weeks[slot].values() if instead]
        names = ", ".join(dict.fromkeys(others))
        mostly = 2 * len(others) > len(weeks[slot]) > 1
        often = " That is more often than not: should it be the exercise?" if mostly else ""
        message = f"{logged.exercise}: {names} in its place in {len(others)} of {len(weeks[slot])} weeks.{often}"
        yield finding("stand-in-used", message, logged.sheet, "", names)


def stand_ins_believable(log: BlockLog) -> Iterator[Finding]:
    """A stand-in's set that is far off what is known of it, by the sheet's own rule; once a session."""
    told: set[tuple[str, str]] = set()
    for logged in log.sets:
        at = (session_of(logged), logged.slot)
        if logged.instead and not logged.plausible and not logged.has_too_many_reps and at not in told:
            told.add(at)
            yield _doubled(log, logged) if logged.doubled else _far_off(log, logged)


def _doubled(log: BlockLog, logged: LoggedSet) -> Finding:
    half, unit = round((logged.load or 0) / 2, 4), log.spec.block.unit
    message = (
        f"{_in_place(logged)}: {logged.load:g} {unit} is about double. Both hands together? Then it is {half:g} {unit} "
        "a hand."
    )
    return at_set(logged, "load", "both-hands-together", message, {input_name(logged.key, "load"): half})


def _far_off(log: BlockLog, logged: LoggedSet) -> Finding:
    message = (
        f"{_in_place(logged)}: {logged.load or 0:g} {log.spec.block.unit} is far off what is known of it, so its next "
        "load does not follow from it. If it is right, write its best for the next block."
    )
    return at_set(logged, "load", "load-implausible", message)


def _in_place(logged: LoggedSet) -> str:
    return f"{logged.called}, in place of {logged.exercise}"


def sessions_in_turn(log: BlockLog) -> Iterator[Finding]:
    """A session without any set, though a later one was logged, was skipped."""
    begun = {
        session.key: any(s.started for s in log.sets if s.key.startswith(session.key + ".")) for session in log.sessions
    }
    ordered = sorted(log.sessions, key=lambda session: (session.week, session.planned_date))
    last = max((i for i, session in enumerate(ordered) if begun[session.key]), default=-1)
    has_sets = {s.key.rsplit(".", 2)[0] for s in log.sets}
    for session in ordered[: max(last, 0)]:
        if not begun[session.key] and session.key in has_sets:
            message = f"Week {session.week}, {session.name}: nothing was logged."
            yield finding("session-skipped", message, session.sheet, session.cells.get("date", ""))


def session_numbers_in_range(log: BlockLog) -> Iterator[Finding]:
    """Session effort and soreness 0 to 10, minutes 1 to 600, sleep to 24 hours, body weight within 20 %."""
    known = log.spec.lifter.body_weight
    ranges = {asked.name: within for asked in SESSION_INPUTS if (within := asked.within(known))}
    for session in log.sessions:
        for name, (least, most) in ranges.items():
            value = getattr(session, name)
            if value is not None and not least <= value <= most:
                words = name.replace("_", " ")
                message = f"{words.capitalize()} of {value:g} is not between {least:g} and {most:g}."
                likely = {}
                if (
                    name == "body_weight"
                    and least <= (meant := _in_the_blocks_unit(value, log.spec.block.unit)) <= most
                ):
                    message += f" Typed in the other unit? Then it is {meant:g} {log.spec.block.unit}."
                    likely = {session_input_key(session.key, name): meant}
                cell = session.cells.get(name, "")
                yield finding("number-out-of-range", message, session.sheet, cell, f"{value:.15g}", likely)


def _in_the_blocks_unit(value: float, unit: Unit) -> float:
    """A weight that was typed in the unit the block is not in."""
    return round(to_lb(value) if unit == "lb" else to_kg(value), 1)


CHECKS: tuple[Check, ...] = (
    alarm_noted,
    alarm_ignored,
    pain_reported,
    pain_before_the_change,
    effort_on_scale,
    session_numbers_in_range,
    set_filled_in,
    no_rep_done,
    sets_left_out,
    stand_ins_used,
    stand_ins_believable,
    sessions_in_turn,
    *DOUBTS,
)
"""Checks of the whole log."""

ON_WHAT_IS_LEFT: tuple[Check, ...] = (reps_whole, load_can_be_made, *EFFORTS)
"""Checks of the sets that no slip explains: they say nothing of a set that was spoken of."""


def checked(log: BlockLog) -> list[Finding]:
    """All findings on a log. Slips are looked for in turn, each in what the ones before it left unexplained."""
    findings = [found for check in CHECKS for found in check(log)]
    # What is known speaks of the exercises that were planned.
    log = replace(log, sets=tuple(logged for logged in log.sets if not logged.instead))
    for slip in SLIPS:
        told = list(slip(log))
        findings += told
        if told:
            log = replace(log, sets=tuple(s for s in log.sets if not any(_spoken_of(s, found) for found in told)))
    return findings + [found for check in ON_WHAT_IS_LEFT for found in check(log)]


def _spoken_of(logged: LoggedSet, found: Finding) -> bool:
    """Whether a finding is on this set: at one of its cells, with a correction of it, or on the whole log."""
    at = found.sheet == logged.sheet and found.cell in logged.cells.values()
    meant = any(input_name(logged.key, column) in found.likely for column in ("load", "reps", "rpe"))
    return at or meant or not found.sheet
