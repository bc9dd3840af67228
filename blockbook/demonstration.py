"""A whole season in miniature, on an invented lifter: two blocks, a deload decided between them, and the meet."""

from __future__ import annotations

import json
import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import chain
from pathlib import Path
from typing import Any

from blockbook import api, clock
from blockbook.assessment.outcome import NextBlock
from blockbook.files import refuse_existing, write_text, write_whole
from blockbook.intake.log import BlockLog
from blockbook.rehearsal.playing import invited
from blockbook.rehearsal.playing import play as play_block
from blockbook.spec.documents import dump_yaml
from blockbook.spec.models import Specification
from blockbook.spec.schemas import SCHEMA_LINE
from blockbook.training.simulated import Population
from blockbook.workbook.assemble import BlockBook, assemble
from blockbook.workbook.layout import SessionPlace, input_name, session_input_key
from blockbook.workbook.write import block_bytes

FIRST, MEET = date(2027, 1, 2), date(2027, 2, 20)
_SESSIONS, _SLOTS = 3, 2
"""What is kept of the template: enough to see everything, few enough to be played in seconds."""

NAMES = (
    "01-season.yaml", "02-block.yaml", "03-sent.xlsx", "04-returned.xlsx", "05-log.json", "06-review.xlsx",
    "07-next.yaml", "08-sent.xlsx", "09-returned.xlsx", "10-review.xlsx", "11-meet.xlsx",
)  # fmt: skip


@dataclass(frozen=True)
class Demo:
    """What the demonstration did: one line a step, and the file it left."""

    steps: tuple[tuple[str, Path], ...]


def play(out: Path, force: bool = False) -> Demo:
    """Write every file of the season into `out`. The lifter, loads and dates are invented."""
    files = [out / name for name in NAMES]
    refuse_existing(files, force)
    with clock.as_of(MEET):
        return Demo(tuple(_steps(files, force)))


def _steps(files: list[Path], force: bool) -> Iterator[tuple[str, Path]]:
    season, block, sent, returned, log_file, review, following, sent_2, returned_2, review_2, meet = files
    plan = api.season([MEET], season, FIRST, force=force).season
    kinds = ", then ".join(f"{each.weeks} weeks of {each.kind}" for each in plan.blocks)
    yield f"The coach counts back from the meet on {MEET}: {kinds}", season
    yield "takes the first block from it, kept short here", _first_block(block, season, force)
    spec = api.as_spec(block)
    yield "builds the workbook and mails it", write_whole(sent, block_bytes(spec), force)
    inputs = worn(spec, slips(spec, fill_in(assemble(spec))))
    filled_in = write_whole(returned, block_bytes(spec, inputs), force)
    yield "The lifter fills it in, tired towards the end, a shoulder sore, and sends it back", filled_in
    log = api.read(returned)
    text = json.dumps(log.to_data(), indent=1, ensure_ascii=False) + "\n"
    yield f"It is read: {_said_of(log)}", write_text(log_file, text, force)
    yield (
        "The review says what to do, pain first, exercise by exercise",
        api.review(returned, review, force, season=season),
    )
    made = api.next_block(returned, following, review, spec, force, season=season)
    yield f"The next block is decided: {_decided(made)}", following
    spec = api.as_spec(following)
    yield "and built", write_whole(sent_2, block_bytes(spec), force)
    inputs = fill_in(assemble(spec), seed=8)
    yield "The lifter trains it to the end", write_whole(returned_2, block_bytes(spec, inputs), force)
    yield "Both blocks are reviewed together", api.review([returned, returned_2], review_2, force, season=season)
    yield "The sheet for the meet: attempts, warm-up, totals", api.meet(returned_2, meet, "09:30", 4, force=force)


def _first_block(out: Path, season: Path, force: bool) -> Path:
    """The first sessions and exercises of what `blockbook new --season` writes."""
    api.new(None, out, FIRST, force=force, season=season)
    spec = api.as_spec(out)
    kept = [each.model_copy(update={"slots": each.slots[:_SLOTS]}) for each in spec.sessions[:_SESSIONS]]
    short = spec.model_copy(update={"sessions": tuple(kept)})
    said = f"# Invented lifter and loads. {_SESSIONS} sessions of {_SLOTS} exercises, to be played in seconds."
    return write_text(out, f"{SCHEMA_LINE}\n{said}\n\n{dump_yaml(short.to_data())}", force=True)


def _said_of(log: BlockLog) -> str:
    kinds = Counter(found.severity for found in log.findings)
    said = ", ".join(f"{n} {severity}{'s' if n > 1 else ''}" for severity, n in kinds.items()) or "no findings"
    return f"{sum(logged.done for logged in log.sets if logged.set)} sets done; {said}"


def _decided(made: NextBlock) -> str:
    actions = Counter(decision.suggestion.action for decision in made.decisions)
    deload = "a deload first; " if made.deload_first else ""
    others = [f"{number} {action}" for action, number in actions.most_common() if action != "deload first"]
    return deload + ", ".join(others)


PEOPLE = Population("invented", misses=0, long_gap=0, forgets=0)
"""A lifter who comes to every session and logs every effort, so that the slips below can be counted."""


def fill_in(workbook: BlockBook, seed: int = 7) -> dict[str, Any]:
    """What a simulated lifter who follows the sheet types: input name -> value."""
    *_, played = play_block(workbook, invited(workbook.spec, PEOPLE, 1, seed))
    typed: dict[str, Any] = {}
    for place in chain.from_iterable(workbook.weeks):
        for line in place.session.lines:
            names = [input_name(planned.key, column) for planned in line.sets for column in ("load", "reps", "rpe")]
            typed |= {name: _plain(float(played.typed[name][0])) for name in names}
        _fill_in_session(place, typed)
    return typed


def _plain(value: float) -> float | int | None:
    if math.isnan(value):
        return None
    return int(value) if value == int(value) else value


def _fill_in_session(place: SessionPlace, typed: dict[str, Any]) -> None:
    session = place.session
    minutes = 20 + 3 * sum(len(line.set_rows) for line in place.lines)
    values = {
        "date": session.day,
        "effort": 6 + (session.number + session.week) % 3,
        "minutes": minutes,
        "sleep": 7.5 if session.week % 2 else 7,
        "soreness": 2 + session.week % 3,
        "pain": "none",
    }
    typed |= {session_input_key(session.key, name): value for name, value in values.items()}


def slips(spec: Specification, typed: dict[str, Any]) -> dict[str, Any]:
    """A few slips and a pain report, so that the demonstration has something to find."""
    changed = dict(typed)
    sets = [name for name in typed if ".feeler/" not in name]
    loads = [name for name in sets if name.endswith("/load")]
    efforts = [name for name in sets if name.endswith("/rpe")]
    changed[loads[9]] = f"{typed[loads[9]]:g} {spec.block.unit}"
    changed[loads[30]] = f"{typed[loads[30]]:.1f}".replace(".", ",")
    changed[efforts[20]] = "2-3" if spec.block.in_reserve else "7-8"
    changed[efforts[41]] = None
    changed[efforts[60].replace("/rpe", "/note")] = "last rep slow"
    pained = [name for name in typed if name.endswith(".pain")][-2]
    changed[pained] = "B"
    changed[pained.replace(".pain", ".where")] = "right shoulder, front"
    return changed


def worn(spec: Specification, typed: dict[str, Any]) -> dict[str, Any]:
    """The last two weeks as somebody types them whom the block has worn out: harder, sore, short of sleep."""
    changed = dict(typed)
    for behind, harder in enumerate((1.5, 1)):
        week = f"w{spec.block.weeks - behind}."
        for name, value in typed.items():
            if not name.startswith(week):
                continue
            if name.endswith("/rpe") and isinstance(value, (int, float)):
                changed[name] = spec.block.as_typed(min(10, spec.block.as_typed(value) + harder))
            elif name.endswith(".soreness"):
                changed[name] = 7
            elif name.endswith(".sleep"):
                changed[name] = 6
    return changed
