"""What an exercise brings along and what was logged of it, for one week of the Workings sheet."""

from __future__ import annotations

from collections.abc import Sequence

from blockbook.formula.functions import day_number
from blockbook.sheet.book import Cell, Reference, Run
from blockbook.spec.catalogue import shown_name
from blockbook.training import (
    alarm,
    belief,
    calibration,
    pain,
    pain_words,
    progression,
    session_checks,
    session_said,
    volume,
)
from blockbook.training.maximum import is_guess, start_maximum
from blockbook.training.prescription import exercises_above
from blockbook.workbook.layout import COLUMN, LinePlace
from blockbook.workbook.workings_row import Row

_CARRIED = {
    "last_load": "logged_load",
    "earlier_load": "last_load",
    "last_heaviest": "heaviest",
    "last_overshoot": "logged_overshoot",
    "last_extra": "extra",
    "last_none_up": "none_up",
    "last_failed": "failed",
    "last_short": "short",
}
_CARRIED_BACK_OFF = {
    "last_back_off_over": "back_off_over",
    "last_back_off_seen": "back_off_seen",
    "last_back_off_lifted": "back_off_lifted",
    "last_back_off_failed": "back_off_failed",
}
_NOTHING_DONE = (
    "seen", "seen_variance", "logged_load", "heaviest", "none_up", "failed", "short", "logged_overshoot",
    "mean_overshoot", "felt_over", "best", "test_gap",
)  # fmt: skip
_RUNS = ("rpe", "tells", "judged", "failed")
"""Columns of the week sheet that are looked at for all working sets together."""


def fill_what_is_given(row: Row) -> None:
    """What the specification says of it."""
    line = row.line
    row.put("slot_key", line.slot_key)
    row.put("exercise", shown_name(line.exercise))
    row.put("week", line.week)
    row.put("reps", line.reps.low)
    row.put("rpe", line.rpe)
    row.put("range_width", line.reps.high - line.reps.low)
    row.put("body_load", row.spec.body_load(line.exercise))
    row.put("progress", "deload" if line.deload else line.progress)
    row.put("guessed", int(is_guess(row.spec, line.exercise)))
    known = start_maximum(row.spec, line.exercise)
    row.define(
        "first_prior",
        belief.first_prior,
        start_maximum="" if known is None else known,
        exercises_above=exercises_above(line),
    )
    typed = row.session.input_cell("date")
    row.define("day_number", belief.day_number, typed=typed, planned=day_number(row.session.session.day))


def fill_what_is_carried(row: Row, elsewhere: Sequence[Cell]) -> None:
    """What the weeks before left behind. elsewhere: when the exercise was last trained in its other places."""
    until: Reference = row.workings.row(row.line, weeks_back=1)["trained_on"] if row.line.week > 1 else ""
    if row.place is None:
        row.define("trained_on", belief.as_is, value=until)
    else:
        first: Reference = 1 if row.line.deload else row.place.cell("reps", row.line.work_sets[0].number)
        row.define("trained_on", belief.last_trained, first_reps=first, chosen=row.place.chosen or 0, before=until)
    if row.line.week == 1:
        row.blank(
            "last_load",
            "earlier_load",
            "last_heaviest",
            "last_demand",
            "last_overshoot",
            "last_none_up",
            "last_failed",
            "last_short",
            "days",
        )
        if row.line.slot.back_off:
            row.blank(*_CARRIED_BACK_OFF)
        for name in ("last_extra", "exposures", "idle_weeks"):
            row.put(name, 0)
        row.put("last_pain", row.workings.number(row.line) * int(row.line.slot.hurts))
        row.names["pain_before"] = 0
        return
    before = row.workings.row(row.line, weeks_back=1)
    # A deload says little about strength: what came before it stays the yardstick.
    deload_before = row.line.week - 1 == row.spec.block.deload_week
    logged: Reference = "" if deload_before else before["logged_load"]
    for name, source in _CARRIED.items():
        row.define(name, belief.carried, logged_load=logged, then=before[source], before=before[name])
    if row.line.slot.back_off:
        behind: Reference = "" if deload_before else before["back_off_over"]
        for name, source in _CARRIED_BACK_OFF.items():
            row.define(name, belief.carried, logged_load=behind, then=before[source], before=before[name])
    row.define(
        "last_demand",
        progression.last_demand,
        logged_load=logged,
        reps_then=before["target_reps"],
        rpe_then=before["rpe"],
        before=before["last_demand"],
    )
    row.define("last_pain", belief.as_is, value=before["pain_after"])
    then = _session_number(row) - len(row.spec.sessions)
    row.define("pain_before", pain.pain_until_now, holding_pain=before["holding_pain"], number_then=then)
    row.define("exposures", belief.exposures, logged_load=logged, before=before["exposures"])
    row.names |= {
        "trained_before": before["prior"] if deload_before else before["logged_load"],
        "day_before": before["day_number"],
        "planned_before": day_number(row.session.session.day) - 7,
        "days_before": before["days"],
        "first_jump": row.first_jump,
    }
    if elsewhere:
        row.define("days", belief.days_since_any, elsewhere=tuple(elsewhere))
    else:
        row.define("days", belief.days_since)
    row.define("idle_weeks", belief.idle_weeks)
    row.names |= {"capacity_before": before["capacity"], "variance_before": before["variance"]}


def _session_number(row: Row) -> int:
    """The place of a row's session among all, from 1."""
    return (row.line.week - 1) * len(row.spec.sessions) + row.session.session.number


def fill_pain(row: Row, relatives: Sequence[Cell], held_for_it: Reference) -> None:
    """relatives: what was last heard of the exercise's close relatives before this session; held_for_it: whether what
    is held for the same exercise was held after the last session that had such.
    """
    lines = row.session.session.lines
    if row.line is lines[0]:
        _fill_pain_of_session(row)
        row.define("alarm_words", pain_words.alarm_words, all_words=row.workings.cell(lines[-1], "words_so_far"))
        row.define("heart_heard", pain_words.heart_heard)
        row.define("alarm_heard", pain_words.alarm_heard)
        row.define("alarm_noted", alarm.alarm_noted)
        row.define("alarm_open", alarm.alarm_open)
        row.define("alarm_answered", alarm.answered_now)
        row.define("alarmed_in", alarm.alarmed_in, number=_session_number(row), before=row.names["alarmed_before"])
    row.define("named", pain.pain_named, label=row.line.label.lower(), group=row.line.group.lower())
    notes = row.place.run("note", list(row.place.set_rows)) if row.place else None
    if row.place is None or notes is None:
        row.put("noted", pain_words.NOTHING)
        row.put("words", "")
    else:
        row.define("notes_plain", pain_words.notes_together(len(row.place.set_rows)), notes=notes)
        _fill_steps(row, "notes", "words")
        row.define("noted", pain_words.heard)
    place = lines.index(row.line)
    before: Reference = row.workings.cell(lines[place - 1], "words_so_far") if place else ""
    row.define("words_so_far", pain_words.words_so_far, words_before=before)
    held_for = row.line.slot.held_for
    if held_for:
        own: Reference = row.workings.row(row.line, weeks_back=1)["held_after"] if row.line.week > 1 else 1
        row.define("held", pain.held_by_both, own=own, others=held_for_it)
    row.names |= {"held": row.cell("held") if held_for else 0}
    row.define("pain", pain.painful, all_named=tuple(row.workings.cell(line, "named") for line in lines))
    row.define("pain_open", pain.pain_open)
    row.define("pain_after", pain.pain_carried, number=row.workings.number(row.line), before=row.cell("last_pain"))
    if held_for:
        row.define("held_after", pain.still_held)
        row.define("others_held", pain.others_held, before=held_for_it)
    row.define(
        "holding_pain",
        pain.pain_that_holds,
        number=row.workings.number(row.line),
        relatives=tuple(relatives) or 0,
    )
    gone = shown_name(row.spec.exercise(held_for)) if held_for else ""
    row.define("sore", pain.sore, held_for=gone, number=row.workings.number(row.line), exercises=row.workings.exercises)


def _fill_pain_of_session(row: Row) -> None:
    """What was typed under Pain and where, once a session."""
    lines = row.session.session.lines
    typed: dict[str, Reference] = {name: row.session.input_cell(name) for name in ("pain", "where")}
    names = {shown_name(line.exercise).lower(): line.label.lower() for line in reversed(lines)}
    letters = tuple(sorted(names.items(), key=lambda of_one: -len(of_one[0])))
    row.define("pain_typed", pain.pain_typed(letters), **typed)
    labels = tuple(dict.fromkeys(letter.lower() for line in lines for letter in (line.label, line.group)))
    row.define("letters", pain.pain_letters(labels))
    row.define("pain_answer", pain.pain_answer, **typed)
    row.define("typed_plain", pain_words.typed_together, **typed)
    _fill_steps(row, "typed", "typed_words")
    row.define("alarm", pain_words.alarming)


def _fill_steps(row: Row, which: str, words: str) -> None:
    """From a plain text, of the notes or of what was typed, to its words: a cell each step."""
    before = f"{which}_plain"
    for step in pain_words.STEPS:
        name = words if step is pain_words.STEPS[-1] else f"{which}_{step.name}"
        row.define(name, step, **{step.names[0]: row.cell(before)})
        before = name


def fill_what_was_done(row: Row) -> None:
    """What was logged, taken together."""
    place = row.place
    if row.line is row.session.session.lines[0]:
        _fill_check_of_efforts(row)
    reps, top_loads, overshoots = (
        (place.run("reps"), place.top_run("counts"), place.run("overshoot")) if place else (None, None, None)
    )
    behind = [planned.number for planned in row.line.sets if planned.kind == "back-off"]
    if place and behind:
        _observe(row, "back_off_seen", place, behind)
        of_those = {"overshoots": place.run("overshoot", behind) or "", "reps": place.run("reps", behind) or ""}
        row.define("back_off_over", volume.over_in_all, **of_those)
        row.define("back_off_lifted", volume.largest, values=place.run("lifted", behind) or "")
        row.define("back_off_failed", volume.lightest_failed(len(behind)), **_tries(place, behind))
    elif row.line.slot.back_off:
        row.blank(*_CARRIED_BACK_OFF.values())
    if place is None or reps is None or top_loads is None or overshoots is None:
        row.blank(*_NOTHING_DONE)
        for name in ("logged", "to_look_at", "doubted", "done", "hard", "tonnage"):
            row.put(name, 0)
        return
    runs = {name: run for name in _RUNS if (run := place.run(name))}
    _observe(row, "seen", place, list(place.set_rows))
    row.define("seen_variance", belief.observed_variance, weights=place.run("weight", list(place.set_rows)) or "")
    _fill_load(row, place, top_loads, row.cell("back_off_lifted") if behind else "")
    row.define("heaviest", volume.largest, values=place.top_run("lifted") or "")
    _fill_failures(row, place)
    first = place.cell("overshoot", 1)
    judged = place.run("all_out", [p.number for p in row.line.work_sets if p.kind != "max reps"]) or 0
    row.define("logged_overshoot", volume.came_in_over, values=overshoots, first=first, failures=judged)
    row.define("mean_overshoot", volume.mean, values=overshoots)
    row.define("test_gap", calibration.test_gap, failed=runs["failed"], judged=runs["judged"], pain=row.cell("pain"))
    row.define("best", volume.largest, values=runs["tells"])
    row.define("logged", volume.sets_logged, reps=reps)
    if row.line.exercise.implement == "band":
        row.put("to_look_at", 0)
    else:
        top = row.cell("top") if row.line.slot.back_off else ""
        row.define("to_look_at", session_checks.to_look_at, reps=reps, lifted=place.run("lifted") or reps,
                   chosen=place.chosen or 0, top=top)  # fmt: skip
    row.define("felt_over", session_checks.felt_over, efforts=runs["rpe"])
    row.define("doubted", session_checks.doubted, efforts=runs["rpe"])
    row.define("done", volume.sets_done, reps=reps)
    row.define("hard", volume.hard_sets, reps=reps, rpe=runs["rpe"])
    loads, typed = place.run("lifted") or reps, place.typed_run("load") or reps
    chosen = place.chosen or 0
    if loads.is_one_cell:
        load, instead, done = (run.cells()[0] for run in (loads, typed, reps))
        row.define("tonnage", volume.tonnage_of_one, load=load, typed=instead, reps=done, chosen=chosen)
    else:
        row.define("tonnage", volume.tonnage, loads=loads, typed=typed, reps=reps, chosen=chosen)


def _fill_load(row: Row, place: LinePlace, top_loads: Run, back_off_lifted: Reference) -> None:
    """The load that the next one is counted from."""
    if not row.line.slot.back_off:
        row.define("logged_load", volume.largest, values=top_loads)
        return
    row.define("top", volume.largest, values=top_loads)
    plausible = place.top_run("plausible") or 0
    row.define("logged_load", volume.top_load, plausible=plausible, back_off_lifted=back_off_lifted)


def _fill_failures(row: Row, place: LinePlace) -> None:
    """What sets that failed leave of a maximum, and the heaviest of them; tests are meant to go to failure."""
    tried = {"estimates": place.top_run("trusted") or "", "reps": place.top_run("reps") or ""}
    row.define("none_up", volume.none_went_up, **tried)
    row.define("failed", volume.all_failed, **tried, all_out=place.top_run("all_out") or 0)
    asked = [planned.number for planned in row.line.top_sets if not planned.goes_all_out]
    row.define("short", volume.heaviest_failed(len(asked)), **_tries(place, asked))


def _tries(place: LinePlace, numbers: list[int]) -> dict[str, Reference]:
    """The loads of sets and whether each went to failure; cells where there is but one."""
    if len(numbers) == 1:
        return {"loads": place.cell("lifted", numbers[0]), "all_out": place.cell("all_out", numbers[0])}
    return {"loads": place.run("lifted", numbers) or "", "all_out": place.run("all_out", numbers) or ""}


def _fill_check_of_efforts(row: Row) -> None:
    """What is odd about the efforts of a session, once a session."""
    session = row.session
    doubted = tuple(row.workings.cell(line, "doubted") for line in session.session.lines)
    column = COLUMN["effort" if row.spec.block.in_reserve else "rpe"]
    efforts = Run(session.sheet, session.title_row, session.after_row, column)
    own: dict[str, Reference] = {"doubted": doubted, "efforts": efforts, "effort": session.input_cell("effort")}
    row.define("effort_check", session_checks.efforts_to_check, **own)
    over = tuple(row.workings.cell(line, "felt_over") for line in session.session.lines)
    row.define("harder", session_said.harder_on_the_whole, over=over)


def _observe(row: Row, name: str, place: LinePlace, numbers: list[int]) -> None:
    """The one-rep maximum that these sets speak for."""
    weights, estimates = (place.run(column, numbers) or "" for column in ("weight", "trusted"))
    if len(numbers) > 1:
        row.define(name, belief.observed, weights=weights, estimates=estimates)
    else:
        only = place.cells[numbers[0]]
        row.define(name, belief.observed_once, weight=only["weight"], estimate=only["trusted"])
