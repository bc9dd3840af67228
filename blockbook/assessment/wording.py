"""A suggestion in words: the decision in a sentence, and the figures behind it."""

from __future__ import annotations

from blockbook.assessment.exercise_choice import weekly_gain
from blockbook.assessment.outlook import Suggestion
from blockbook.assessment.trend import Trend
from blockbook.spec.catalogue import Exercise
from blockbook.spec.models import Specification
from blockbook.training.against_target import against_target
from blockbook.training.prescription import Line

WRITTEN = "As you wrote it."
"""Stands for what the next sheet makes of loads in percent or fixed."""

TO_COME = "Its sets are still to come: nothing to decide from."


NO_LOAD = "no load that counts was logged, so none is decided"

OTHERS_DONE = "No set of the exercise itself was done, others in its place: nothing to decide from."

IN_DOUBT = "Not decided: the whole log is in doubt (sheet Findings)."

NOTHING_LOGGED = "nothing logged"


def to_do(made: Suggestion) -> str:
    """What is suggested, in a word or two; of what nothing is known, that."""
    if made.action == "hold" and not made.held and not made.share_done and made.believed_max is None:
        return NOTHING_LOGGED
    return made.action


def as_long_as_it_gets(made: Suggestion) -> str:
    """The reason as the coach's word leaves it, so that a row is high enough; what else it says then stands first."""
    return made.reason if to_do(made) == NOTHING_LOGGED else f"Your word; suggested was: {made.reason}"


def reason(made: Suggestion, spec: Specification, deload_first: bool) -> str:
    """What is decided and why, pain before anything else. The load it names is asked for if all suggestions are taken.

    Where it hurts, the load without and with a deload: that sentence stands whatever the coach says of a deload.
    """
    if first_of_all := _before_all_else(made, spec):
        return first_of_all
    asked = made.week_one(deload_first)
    first = None if asked is None else _load(asked, made, spec)
    held = _held(made, spec)
    deload = f"Deload first: week 1 at {first}."
    if first is None:
        deload = "Deload first: its load follows from what you wrote." if made.written else "Deload first."
    choice = made.choice
    changed = ""
    if choice.kind != "kept":
        changed = f"{choice.why} {choice.kind.capitalize()} by {choice.exercise}."
    elif choice.why:
        changed = choice.why
    if made.pain:
        options = " or ".join(choice.options[:2])
        ask = f" {changed}" * bool(changed)
        if options:
            ask += f" {options.capitalize()} would train the same muscles and may hurt as well: ask where it hurts."
        instead = f" with {' and '.join(made.pain_instead)} in its place" if made.pain_instead else ""
        what = " which of them hurts" if instead else ""
        return f"Pain was reported{instead}: ask the lifter first{what}. Nothing is raised{held}.{ask}"
    if made.near_pain:
        where = f"{made.near_pain.capitalize()} {_where_near(made, spec)}"
        return f"{where}: nothing is raised here either{held}. {changed}".strip()
    if choice.kind != "kept":
        lead = f"Change the exercise: {changed[0].lower()}{changed[1:]}"
        return f"{lead} {deload}" if made.action == "deload first" else lead
    if made.action == "deload first":
        return deload
    if asked is None:
        band = spec.exercise(made.exercise).implement == "band"
        lead = WRITTEN if made.written else f"Hold: {'a band has no load' if band else NO_LOAD}."
    elif made.action == "reset":
        lead = f"Reset: effort kept coming in over target. Start again at {first}."
    else:
        lead = _week_one(made, asked, spec)
    return f"{lead} {changed}".strip()


def _held(made: Suggestion, spec: Specification) -> str:
    if made.first_load is None:
        return ""
    lower = made.start_load is not None and made.first_load < made.start_load
    usual = f"{'down to' if lower else 'held at'} {_load(made.first_load, made, spec)}"
    if made.deload_load is None or made.deload_load == made.first_load:
        return f" ({usual})"
    return f" ({usual}; at {_load(made.deload_load, made, spec)} if a deload comes first)"


def _before_all_else(made: Suggestion, spec: Specification) -> str:
    """That a physician has the next word, or that there is nothing to decide from; "" for neither."""
    if made.alarm:
        return f"A physician has the next word: nothing is raised or changed{_held(made, spec)}."
    if not made.done_itself and not made.pain and made.believed_max is None:
        return OTHERS_DONE if made.share_done else "No set was completed in this block: nothing to decide from."
    return ""


def _where_near(made: Suggestion, spec: Specification) -> str:
    """What is so of the exercise that holds this one because it hurts."""
    if made.near_pain not in {spec.exercise(slot.exercise).name for slot in spec.slots}:
        return "hurt before this block, trains the same and was not said to be well"
    return "hurts in another session" if made.near_pain == made.exercise else "hurts and trains the same"


def _week_one(made: Suggestion, first: float, spec: Specification) -> str:
    now, start = _load(first, made, spec), made.start_load
    if start is None:
        return f"Week 1 at {now}: nothing that counts was logged in this block's first week to compare with."
    if first == start:
        return f"Hold: week 1 at {now} again{f', since {made.held_by}' if made.held_by else ''}."
    before = _load(start, made, spec)
    if first > start:
        last = ", the last load" if first == made.last_load else ""
        return f"Raise: week 1 goes from {before} to {now}{last}."
    return f"Lower: week 1 at {now}, since {made.held_by}; this block began at {before}."


def _load(load: float, made: Suggestion, spec: Specification) -> str:
    return load_said(load, spec.exercise(made.exercise), spec)


def load_said(load: float, exercise: Exercise, spec: Specification) -> str:
    """A load as a coach says it: with body weight where that is lifted along."""
    if exercise.implement != "bodyweight":
        return f"{round(load, 2):g} {spec.block.unit}"
    return f"body weight + {round(load, 2):g} {spec.block.unit}" if load else "body weight alone"


def as_written(line: Line, load: float | None, maximum: float | None, spec: Specification) -> str:
    """What becomes of a load that the coach wrote, in percent of the maximum or fixed, in the next block's week 1."""
    exercise, percent = line.exercise, line.percent
    asked = "" if load is None else load_said(load, exercise, spec)
    lead = "As you wrote it, in a deload week" if line.deload else "As you wrote it"
    if percent is None:
        return f"{lead}: {asked or 'no load'} in week 1."
    if maximum is None or load is None:
        return f"{lead}: {percent:g} % of a 1RM that is not known yet; the sheet asks to work up."
    total = " with body weight" if exercise.body_share else ""
    return f"{lead}: {percent:g} % of a 1RM{total} of {maximum:.1f} {spec.block.unit}, {asked} in week 1."


def figures(made: Suggestion, spec: Specification, span: str) -> str:
    """The numbers behind a suggestion; "" where nothing was logged. span: what a change is over, " over the block"."""
    unit = spec.block.unit
    pieces = []
    if made.believed_max is not None:
        change = "" if made.change is None else f", {made.change:+.1%}{span}"
        total = " with body weight" if spec.exercise(made.exercise).body_share else ""
        pieces.append(f"1RM{total} about {made.believed_max:.1f} ± {made.spread or 0:.1f} {unit}{change}")
    if made.blocks > 1 and made.trend is not None:
        pieces.append(f"over {made.blocks} blocks {weekly_gain(Trend(made.trend, 0, made.blocks))}")
    if made.mean_over is not None:
        pieces.append(f"effort {against_target(made.mean_over)}")
    if made.share_done is not None:
        pieces.append(f"{made.share_done:.0%} of sets done")
    return "; ".join(pieces) + "." if pieces else ""
