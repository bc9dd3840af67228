"""A rehearsal as text for a terminal: warnings first, then the weekly volume, then every exercise week by week."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from itertools import groupby

from blockbook.languages import day_text
from blockbook.rehearsal.crowd import USUAL
from blockbook.rehearsal.report import HIGH, LOW, MISSED_SHARE, OVER_SHARE, LineRehearsal, Rehearsal, percent
from blockbook.training import volume
from blockbook.workbook.week_words import capital

_WIDTH = 79


def text_report(rehearsal: Rehearsal) -> str:
    """Warnings, weekly volume, and every exercise week by week, in 79 columns."""
    parts = (headlines(rehearsal, _WIDTH), _warnings(rehearsal), _volumes(rehearsal), _weeks(rehearsal))
    return "\n\n".join("\n".join(part) for part in parts)


def headlines(rehearsal: Rehearsal, width: int) -> list[str]:
    """What was rehearsed on whom, in lines of at most `width` characters."""
    spec, block = rehearsal.spec, rehearsal.spec.block
    others = [name for name in rehearsal.crowd if name != USUAL]
    each = rehearsal.crowd[others[0]]
    texts = [
        f"{spec.lifter.name} · {spec.short_title} · {block.weeks} weeks from {day_text(block.start)}",
        f"Rehearsed on {rehearsal.lifters} invented lifters around these numbers (seed {rehearsal.seed}): "
        f"{rehearsal.crowd[USUAL]} {USUAL}, {each} each {', '.join(others)}.",
    ]
    if rehearsal.unknown:
        texts.append(
            f"No maximum is known of {', '.join(rehearsal.unknown)}: what hangs on it is left out. Add it to the "
            "lifter's bests (of a body-weight exercise: the load added, 0 for none)."
        )
    return [line for text in texts for line in textwrap.wrap(text, width, break_on_hyphens=False)]


def _warnings(rehearsal: Rehearsal) -> Iterator[str]:
    if not rehearsal.warnings:
        yield f"No warnings: {limits()}"
        return
    yield f"Unlikely, worst first ({limits()}):"
    for warning in rehearsal.warnings:
        yield from textwrap.wrap(
            warning, _WIDTH, break_on_hyphens=False, initial_indent="  ", subsequent_indent="      "
        )


def limits() -> str:
    """The shares from which a line is warned of."""
    return f"from {percent(OVER_SHARE)} over target, {percent(MISSED_SHARE)} missed reps"


_WEEKS_ACROSS = 7


def _volumes(rehearsal: Rehearsal) -> Iterator[str]:
    yield volume_heading(rehearsal)
    for first in range(0, len(rehearsal.volume), _WEEKS_ACROSS):
        weeks = rehearsal.volume[first : first + _WEEKS_ACROSS]
        yield f"{'':18}" + "".join(f"{f'Week {week.week}':>8}" for week in weeks)
        for muscle in dict.fromkeys(muscle for week in weeks for muscle in week.hard_sets):
            yield f"{capital(muscle):18}" + "".join(f"{week.hard_sets.get(muscle, 0):8.1f}" for week in weeks)
        if any(week.tonnage for week in weeks):
            yield f"{f'Tonnage, {rehearsal.spec.block.unit}':18}" + "".join(f"{week.tonnage:8,.0f}" for week in weeks)


def volume_heading(rehearsal: Rehearsal) -> str:
    effort = f"{rehearsal.spec.policy.hard_set_rpe:g}"
    return f"Hard sets done a week, at effort {effort} or above, mean ({volume.SHARES})"


def _weeks(rehearsal: Rehearsal) -> Iterator[str]:
    for week, lines in groupby(rehearsal.lines, key=lambda line: line.week):
        if week > 1:
            yield ""
        load = f"First set, {rehearsal.spec.block.unit}"
        likely = f"{LOW}-{HIGH} %"
        yield f"{f'Week {week}':26}{load:>21}{'Reps over target':>18}{'Reps':>6}{'A rep':>6}"
        yield f"{'':26}{'median':>7}{likely:>14}{'mean':>6}{likely:>12}{'short':>6}{'over':>6}"
        for _, members in groupby(lines, key=lambda line: line.slot_key.split(".")[0]):
            session = list(members)
            yield _cut(session[0].session, _WIDTH)
            yield from map(_row, session)


def _row(line: LineRehearsal) -> str:
    median = f"{line.load.median:g}" if line.load else "–"
    likely = f"{line.load.low:g}-{line.load.high:g}" if line.load and line.load.low < line.load.high else ""
    mean = _signed(line.effort.mean) if line.effort else "–"
    spread = f"{_signed(line.effort.likely.low)} {_signed(line.effort.likely.high)}" if line.effort else ""
    short = "–" if line.missed is None else percent(line.missed)
    over = percent(line.effort.overshoots) if line.effort else "–"
    mark = " !" if line.warning else ""
    return f"  {_cut(line.name, 24):24}{median:>7}{likely:>14}{mean:>6}{spread:>12}{short:>6}{over:>6}{mark}"


def _signed(reps: float) -> str:
    """One place, and never -0.0."""
    return f"{round(reps, 1) + 0.0:+.1f}"


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else f"{text[: width - 1]}…"
