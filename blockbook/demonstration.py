"""The whole loop in miniature, on an invented lifter: build, fill in, read, review, next block."""

from __future__ import annotations

import json
import math
from collections import Counter
from dataclasses import dataclass
from datetime import date
from itertools import chain
from pathlib import Path
from typing import Any

from blockbook import api
from blockbook.files import refuse_existing, write_text, write_whole
from blockbook.rehearsal.playing import invited
from blockbook.rehearsal.playing import play as play_block
from blockbook.spec.models import Specification
from blockbook.training.simulated import Population
from blockbook.workbook.assemble import BlockBook, assemble
from blockbook.workbook.layout import SessionPlace, input_name, session_input_key
from blockbook.workbook.write import block_bytes

START = date(2027, 1, 4)
TEMPLATE = "strength"


@dataclass(frozen=True)
class Demo:
    """What the demonstration did: one line a step, and the file it left."""

    steps: tuple[tuple[str, Path], ...]


def play(out: Path, force: bool = False) -> Demo:
    """Write every file of the loop into `out`. The lifter, loads and dates are invented."""
    files = [out / name for name in NAMES]
    refuse_existing(files, force)
    steps = [("The coach writes a block specification", api.new(TEMPLATE, files[0], START, force=force))]
    spec = api.as_spec(files[0])
    inputs = slips(spec, fill_in(assemble(spec)))
    steps += [
        ("builds the workbook and mails it", write_whole(files[1], block_bytes(spec), force)),
        ("The lifter fills it in and sends it back", write_whole(files[2], block_bytes(spec, inputs), force)),
    ]
    log = api.read(files[2])
    log_text = json.dumps(log.to_data(), indent=1, ensure_ascii=False) + "\n"
    done = sum(logged.done for logged in log.sets if logged.set)
    kinds = Counter(found.severity for found in log.findings)
    said = ", ".join(f"{n} {severity}{'s' if n > 1 else ''}" for severity, n in kinds.items()) or "no findings"
    steps.append((f"It is read: {done} sets done; {said}", write_text(files[3], log_text, force)))
    steps.append(("The review says what to do, exercise by exercise", api.review(files[2], files[4], force)))
    made = api.next_block(files[2], files[5], review=files[4], spec=spec, force=force)
    actions = Counter(decision.suggestion.action for decision in made.decisions)
    said = ", ".join(f"{number} {action}" for action, number in actions.most_common())
    steps.append((f"The next block is written: {said}", files[5]))
    following = block_bytes(api.as_spec(files[5]))
    steps.append(("and built", write_whole(files[6], following, force)))
    return Demo(tuple(steps))


NAMES = (
    "1-block.yaml", "2-sent.xlsx", "3-returned.xlsx", "4-log.json", "5-review.xlsx", "6-next.yaml", "7-next.xlsx",
)  # fmt: skip


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
    changed[efforts[20]] = "7-8"
    changed[efforts[41]] = None
    changed[efforts[60].replace("/rpe", "/note")] = "last rep slow"
    pained = [name for name in typed if name.endswith(".pain")][-2]
    changed[pained] = "B"
    changed[pained.replace(".pain", ".where")] = "left knee, front"
    return changed
