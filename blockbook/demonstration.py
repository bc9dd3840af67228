"""The whole loop in miniature, on an invented lifter: build, fill in, read, review, next block."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from blockbook import api
from blockbook.files import refuse_existing, write_text, write_whole
from blockbook.sheet.calculation import Calculation
from blockbook.spec.catalogue import Exercise
from blockbook.spec.models import Specification
from blockbook.training.effort import load_for
from blockbook.training.loading import ladder, nearest
from blockbook.training.maximum import start_maximum
from blockbook.training.prescription import Line
from blockbook.training.simulated import SimulatedLifter
from blockbook.workbook.assemble import BlockBook, assemble
from blockbook.workbook.layout import LinePlace, SessionPlace, input_name, session_input_key
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
    inputs = slips(spec, fill_in(assemble(spec), simulated_lifter(spec)))
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
    actions = Counter(suggestion.action for suggestion, _, _ in made.decisions)
    said = ", ".join(f"{number} {action}" for action, number in actions.most_common())
    steps.append((f"The next block is written: {said}", files[5]))
    following = block_bytes(api.as_spec(files[5]))
    steps.append(("and built", write_whole(files[6], following, force)))
    return Demo(tuple(steps))


NAMES = (
    "1-block.yaml", "2-sent.xlsx", "3-returned.xlsx", "4-log.json", "5-review.xlsx", "6-next.yaml", "7-next.xlsx",
)  # fmt: skip


def simulated_lifter(spec: Specification) -> SimulatedLifter:
    """A lifter whose true strength strays a little from what the specification believes."""
    maxima = {}
    for position, exercise in enumerate(_exercises(spec)):
        believed = start_maximum(spec, exercise)
        maxima[exercise.name] = (believed or 60.0) * (0.98, 1.01, 1.05, 0.95, 1.02)[position % 5]
    return SimulatedLifter(maxima, seed=7)


def _exercises(spec: Specification) -> list[Exercise]:
    names = dict.fromkeys(slot.exercise for session in spec.sessions for slot in session.slots)
    return [spec.exercise(name) for name in names]


def fill_in(workbook: BlockBook, lifter: SimulatedLifter) -> dict[str, Any]:
    """What a lifter who follows the sheet types, set by set: input name -> value.

    One calculation serves throughout although `typed` grows under it: a target looks only
    upward and back in the sheet, at cells that are final when it is asked for.
    """
    typed: dict[str, Any] = {}
    calculation = Calculation(workbook.book, typed)
    for week in workbook.weeks:
        for place in week:
            lifter.begin_session()
            for line in place.lines:
                _fill_in_line(workbook, line, lifter, typed, calculation)
            _fill_in_session(place, typed)
    return typed


def _fill_in_line(
    workbook: BlockBook, place: LinePlace, lifter: SimulatedLifter, typed: dict[str, Any], calculation: Calculation
) -> None:
    line = place.line
    body_load = workbook.spec.body_load(line.exercise)
    for planned in line.sets:
        target = calculation.number(place.cell("target", planned.number))
        reps = int(calculation.number(place.cell("target_reps", planned.number)) or planned.reps)
        if target is None and line.exercise.implement != "band":
            target = _worked_up_to(workbook, line, lifter, reps)
        if target is None:
            typed[input_name(planned.key, "reps")] = reps
            typed[input_name(planned.key, "rpe")] = planned.rpe
            continue
        wanted = 40 if planned.kind == "max reps" else reps
        done, effort = lifter.lift(line.exercise.name, line.week, target + body_load, wanted)
        typed[input_name(planned.key, "load")] = target
        typed[input_name(planned.key, "reps")] = done
        typed[input_name(planned.key, "rpe")] = effort


def _worked_up_to(workbook: BlockBook, line: Line, lifter: SimulatedLifter, reps: int) -> float:
    """A load that a lifter without a target ends up with: a little under what is possible."""
    spec = workbook.spec
    body_load = spec.body_load(line.exercise)
    maximum = 0.95 * lifter.start_maximum[line.exercise.name]
    rungs = tuple(rung.load for rung in ladder(line.exercise.implement, spec.equipment))
    return float(nearest.value(load_for.value(maximum, reps, line.rpe, body_load, 1), rungs) or 0)


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
    loads = [name for name in typed if name.endswith("/load")]
    efforts = [name for name in typed if name.endswith("/rpe")]
    changed[loads[9]] = f"{typed[loads[9]]:g} {spec.block.unit}"
    changed[loads[30]] = f"{typed[loads[30]]:.1f}".replace(".", ",")
    changed[efforts[20]] = "7-8"
    changed[efforts[41]] = None
    changed[efforts[60].replace("/rpe", "/note")] = "last rep slow"
    pained = [name for name in typed if name.endswith(".pain")][-2]
    changed[pained] = "B"
    changed[pained.replace(".pain", ".where")] = "left knee, front"
    return changed
