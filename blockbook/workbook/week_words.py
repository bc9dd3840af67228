"""What a week sheet says of an exercise and of its sets: titles, reasons, verdicts."""

from __future__ import annotations

from blockbook.formula.definition import Definition, definition
from blockbook.formula.expression import BLANK, Expression, if_, is_number
from blockbook.languages import number_text, say
from blockbook.sheet.book import Reference
from blockbook.spec.catalogue import Exercise, shown_name
from blockbook.spec.models import EffortAs
from blockbook.training import loading, reasons, verdict
from blockbook.training.prescription import Line, PlannedSet

WORK_UP = "work up"
"""Stands where a load is not known yet."""

_SET_NAMES = {"feeler": "Feeler", "top": "Top", "back-off": "Back-off", "max reps": "Max"}
_IMPLEMENT_WORDS = {"dumbbell": "load per hand", "bodyweight": "load added to body weight, 0 for none", "band": "band"}


@definition
def shown_target(value: Expression) -> Expression:
    """The load, or what to do while none is known."""
    return if_(is_number(value), value, say(WORK_UP))


def _verdict_with_plates(
    load: Expression,
    reps: Expression,
    rpe: Expression,
    target_reps: Expression,
    target_rpe: Expression,
    target: Expression,
    body_load: Expression,
    plausible: Expression,
    usual_rpe: Expression,
    more_counts: Expression,
    spare: Expression,
    on_target: Expression,
    loads: Expression,
    on_barbell: Expression | None,
    words: verdict.Words,
) -> Expression:
    """The plates for each side until the set is logged, then how it went.

    on_barbell: where another exercise may be chosen; one that is not done with a barbell has no plates.
    """
    plates = loading.plates_for(target, loads)
    if on_barbell is not None:
        plates = if_(on_barbell > 0, plates, BLANK)
    return verdict.verdict_in_words(
        load,
        reps,
        rpe,
        target,
        target_reps,
        target_rpe,
        body_load,
        plates,
        plausible,
        usual_rpe,
        more_counts,
        spare,
        on_target,
        words,
    )


VERDICT_WITH_PLATES_OR_NONE = {
    way: Definition(_verdict_with_plates, words=words) for way, words in verdict.WORDS.items()
}
VERDICT_WITH_PLATES = {
    way: Definition(_verdict_with_plates, words=words, on_barbell=None) for way, words in verdict.WORDS.items()
}


def set_label(planned: PlannedSet) -> str:
    """What the sheet calls a set: its number, or what it is for."""
    return say(_SET_NAMES[planned.kind]) if planned.kind in _SET_NAMES else str(planned.number)


def how_loaded(exercise: Exercise) -> str:
    """How the load of an exercise is counted: per hand, say; "" where it is the load itself."""
    if exercise.both_hands:
        return say("one dumbbell in both hands")
    return say(_IMPLEMENT_WORDS[exercise.implement]) if exercise.implement in _IMPLEMENT_WORDS else ""


def title_of(line: Line) -> str:
    """ "B1  Bench press · load per hand · tempo 3-1-1 · rest 3 min"."""
    slot, exercise, name = line.slot, line.exercise, shown_name(line.exercise)
    pieces = [f"{line.label}  {capital(name)}"]
    if how := how_loaded(exercise):
        pieces.append(how)
    if line.reps.low < line.reps.high:
        pieces.append(say("{reps} reps", reps=line.reps))
    if slot.reserve is not None:
        pieces.append(say("as many reps as you can, {reps} left", reps=number_text(10 - line.rpe)))
    elif any(planned.kind == "max reps" for planned in line.sets):
        pieces.append(say("last set as many reps as you can"))
    if slot.pair and len(line.label) > 1:
        pieces.append(say("superset"))
    if slot.tempo:
        pieces.append(say("tempo {tempo}", tempo=slot.tempo))
    if slot.rest:
        pieces.append(say("rest {rest}", rest=slot.rest))
    return " · ".join(pieces)


def reason_of(line: Line, way: EffortAs) -> tuple[reasons.Kind, dict[str, Reference]]:
    """Which sentence a line has, and the constants it needs."""
    if line.exercise.implement == "band":
        return "text", {"text": say(reasons.NO_LOAD_REASON[way])}
    if line.kind == "fixed" or line.coach_load is not None:
        worked_out = line.slot.was_worked_out(line.week)
        return "text", {"text": say(reasons.LAST_BLOCK_REASON if worked_out else reasons.COACH_REASON)}
    if line.kind == "percent":
        return "percent", {"percent": round(line.percent or 0, 4)}
    return "decision", {}


def capital(name: str) -> str:
    return name[0].upper() + name[1:]
