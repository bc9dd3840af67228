"""What the review says of a lifter above the rows of the exercises."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from blockbook.assessment import pain, wording
from blockbook.assessment.coach_word import FINDINGS, YOUR_CHOICE, YOUR_LOAD, YOUR_SETS
from blockbook.assessment.history import histories, sets_done
from blockbook.assessment.meet_result import meet_held
from blockbook.assessment.outcome import effort_tested
from blockbook.assessment.outlook import Outlook
from blockbook.assessment.season_page import season_of
from blockbook.intake.findings import ALARMS, PAIN, what_to_say
from blockbook.intake.how_far import half_way, so_far
from blockbook.intake.log import BlockLog
from blockbook.languages import day_text
from blockbook.spec.season import Season
from blockbook.training.season import what_is_left


def headlines(
    log: BlockLog, earlier: Sequence[BlockLog], outlook: Outlook, season: Season | None
) -> Iterator[tuple[str, str]]:
    """What stands above a lifter's rows, each with its style."""
    spec = log.spec
    pains = [found for found in log.findings if found.code in PAIN]
    if pains:
        todo = next((found.hint for found in pains if found.code in ALARMS), "Talk to the lifter.")
        yield "alert", f"First: {' '.join(found.message for found in pains)} {todo}"
    for each in (*earlier, log):
        if (doubt := each.stopped_by) is not None:
            yield "alert", f"{doubt.message} {what_to_say(doubt)}"
    for session in pain.unnamed(log):
        yield "alert", f"{session}: the pain names no exercise, so every exercise of that session counts as painful."
    relatives = [made for made in outlook.suggestions if made.near_pain]
    if relatives:
        held = ", ".join(dict.fromkeys(made.exercise for made in relatives))
        yield "wrapped", f"Close relatives of what hurts, not raised either: {held}."
    if said := _another_kind(log, season_of([log], season)):
        yield "wrapped", said
    if outlook.deload_reason:
        yield "alert", f"Deload first: {outlook.deload_reason}"
    if tested := effort_tested(outlook, spec.lifter):
        yield "wrapped", tested
    if earlier:
        titles = ", ".join(each.spec.block.title for each in earlier)
        yield "wrapped", f"Decided with the blocks before it: {titles}."
    if said := half_way(log):
        yield "alert", said
    if lifted := meet_held(log):
        yield "wrapped", lifted
    done, planned = sets_done(histories(log))
    planned = planned or sum(bool(logged.set) for logged in log.sets)  # nothing is logged yet
    counts = {severity: sum(f.severity == severity for f in log.findings) for severity in ("error", "warning")}
    actions = [wording.to_do(suggestion) for suggestion in outlook.suggestions]
    summary = ", ".join(f"{actions.count(action)} {action}" for action in dict.fromkeys(actions))
    odd = " and ".join(_count(number, severity) for severity, number in counts.items())
    yield (
        "wrapped",
        f"{done} of {planned} sets done{so_far(log)}. {odd} in the log (sheet {FINDINGS}). Suggested: {summary}.",
    )


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def _another_kind(log: BlockLog, season: Season | None) -> str:
    """That the season has another kind of block next, and which columns hold then; "" where it has not."""
    if season is None or (due := what_is_left(season, log.spec.block.end)) is None:
        return ""
    was = season.block_on(log.spec.block.start)
    if was and was.kind == due.kind:
        return ""
    return (
        f"By the season {due.kind} comes next, from {day_text(due.start)}: sets, reps and efforts are then those of "
        "its template. Week 1 load, Sets, Load used, Weekly sets and What changed are for a block like this one, and "
        f"next works them out for the template; what is held for pain gets no harder. {YOUR_LOAD}, {YOUR_SETS} (of the "
        f"first week), {YOUR_CHOICE}, a deload first and 1RM believed hold."
    )
