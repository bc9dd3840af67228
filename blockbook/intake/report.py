"""A log for people and for other programs: a page of text, and tables as CSV."""

from __future__ import annotations

import csv
import io
import json
import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields
from pathlib import Path
from typing import Any

from blockbook.intake.findings import PAIN, Finding
from blockbook.intake.how_far import up_to
from blockbook.intake.log import ATTEMPT_FIELDS, SESSION_FIELDS, SET_FIELDS, Attempt, BlockLog
from blockbook.languages import day_text
from blockbook.training.against_target import against_target
from blockbook.training.prescription import Line
from blockbook.workbook.earlier import EARLIER_FIELDS
from blockbook.workbook.layout import EARLIER

_WIDTH = 79

MANY = 6
"""Findings of one code are gathered from this many on in the text; JSON and CSV keep each on its own."""

SHOWN = 3
"""So many of them are said in full."""

_PARTS: dict[str, tuple[str, ...]] = {
    "sets": (*SET_FIELDS, "raw"),
    "sessions": (*SESSION_FIELDS, "raw"),
    "findings": tuple(field.name for field in fields(Finding)),
    "earlier": EARLIER_FIELDS,
    "attempts": ATTEMPT_FIELDS,
}
_IF_ANY = ("earlier", "attempts")
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def text_report(log: BlockLog) -> str:
    """One page: who and what, weeks at a glance, findings with what to do."""
    spec = log.spec
    lines = [
        *_fitting(
            f"{spec.lifter.name} · {spec.short_title} · {spec.block.weeks} weeks from {day_text(spec.block.start)}"
        ),
        *_fitting(log.file + up_to(log)),
        "",
        *_weeks(log),
        *_earlier(log),
        *_meet(log),
        "",
        *_findings(log),
    ]
    return "\n".join(lines)


def _fitting(text: str) -> list[str]:
    """Lines that fit, no name of a file torn."""
    return textwrap.wrap(text, _WIDTH, subsequent_indent="    ", break_long_words=False, break_on_hyphens=False)


def _weeks(log: BlockLog) -> Iterator[str]:
    unit = log.spec.block.unit
    yield f"{'Week':<6}{'Sets done':>12}{'Effort, mean':>20}{f'Tonnage, {unit}':>14}{'Session load':>14}"
    for week, places in enumerate(log.workbook.weeks, start=1):
        lines = [line for place in places for line in place.session.lines]

        def numbers(name: str, lines: list[Line] = lines) -> list[float]:
            found = (log.calculation.number(log.workbook.workings.cell(line, name)) for line in lines)
            return [number for number in found if number is not None]

        over = numbers("mean_overshoot")
        mean = against_target(sum(over) / len(over)) if over else "–"
        done = f"{sum(numbers('done')):.0f} of {sum(len(line.work_sets) for line in lines)}"
        load = sum(session.load or 0 for session in log.sessions if session.week == week)
        yield f"{week:<6}{done:>12}{mean:>20}{sum(numbers('tonnage')):>14,.0f}{load:>14,.0f}"
    if without := _without_load(log):
        yield from _fitting(f"Session load: without {', '.join(without)}, where effort or minutes are missing.")


def _without_load(log: BlockLog) -> list[str]:
    """The sessions that were trained and say no load, where others of their week do."""
    trained = {(each.week, each.session) for each in log.sets if each.done}
    known = {session.week for session in log.sessions if session.load is not None}
    missing = [each for each in log.sessions if (each.week, each.session) in trained and each.load is None]
    return [f"{each.name} of week {each.week}" for each in missing if each.week in known]


def _earlier(log: BlockLog) -> Iterator[str]:
    if log.earlier:
        rows = len(log.earlier)
        yield f"{EARLIER}: {rows} row{'s' if rows > 1 else ''} from before the block was changed, not counted above."


def _meet(log: BlockLog) -> Iterator[str]:
    """ "Meet, in kg: squat 125 good, 140 miss. Total 125. Body weight 77.4." and what else was typed."""
    day = log.meet
    if day is None:
        return
    by_lift: dict[str, list[str]] = {}
    for attempt in day.attempts:
        by_lift.setdefault(attempt.lift, []).append(_attempt(attempt))
    said = ["; ".join(f"{lift} {', '.join(done)}" for lift, done in by_lift.items())]
    if day.attempts and day.total is not None:
        said.append(f"Total {day.total:g}")
    if day.body_weight is not None:
        said.append(f"Body weight {day.body_weight:g}")
    elif "meet.body_weight" in day.raw:
        said.append(f"Body weight {day.raw['meet.body_weight']}")
    if others := [f"{_in_words(name)} {text}" for name, text in day.raw.items() if name != "meet.body_weight"]:
        said.append(f"Also typed: {', '.join(others)}")
    yield from textwrap.wrap(f"Meet, in kg: {'. '.join(filter(None, said))}.", _WIDTH, subsequent_indent="  ")


def _in_words(name: str) -> str:
    """ "goal wanted" for meet.goal.wanted."""
    return name.removeprefix("meet.").replace(".", " ").replace("_", " ")


def _attempt(attempt: Attempt) -> str:
    weight = attempt.raw.get("weight", "?") if attempt.weight is None else f"{attempt.weight:g}"
    unmarked = "not marked" if attempt.weight is not None else ""
    mark = {True: "good", False: "miss", None: attempt.raw.get("mark", unmarked)}[attempt.good]
    return f"{weight} {mark}".rstrip()


def _findings(log: BlockLog) -> Iterator[str]:
    if not log.findings:
        yield "No findings: every cell was understood."
        return
    counts = Counter(found.severity for found in log.findings)
    yield ", ".join(f"{n} {name}{'s' if n > 1 else ''}" for name, n in counts.items()) + ":"
    for alike in _grouped(log.findings):
        for found in alike[:SHOWN]:
            place = f"{found.sheet} {found.cell}".strip()
            yield from _wrapped(": ".join(filter(None, (found.severity, place, found.message))), "  ")
        more = [f"{found.sheet} {found.cell}".strip() for found in alike[SHOWN:]]
        if more:
            yield from _wrapped(f"... and {len(more)} more like it: {', '.join(filter(None, more))}", "  ")
        yield from _wrapped(alike[0].hint, "      ")


def _grouped(findings: Sequence[Finding]) -> Iterator[list[Finding]]:
    """Findings in their order; those of a code that comes up often together, where the first of it stands.

    Pain is never gathered: every word of it is to be read.
    """
    alike: dict[str, list[Finding]] = {}
    for found in findings:
        alike.setdefault(found.code, []).append(found)
    for found in findings:
        if len(alike[found.code]) < MANY or found.code in PAIN:
            yield [found]
        elif found is alike[found.code][0]:
            yield alike[found.code]


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent=indent, subsequent_indent="      ")


def json_report(log: BlockLog) -> str:
    """The whole log with its findings."""
    return json.dumps(log.to_data(), indent=1, ensure_ascii=False)


def csv_rows(log: BlockLog) -> dict[str, str]:
    """Part of the log -> its rows as CSV (comma), without the heading; parts that hold nothing too.

    Text from people that a spreadsheet would take for a formula gets a leading apostrophe.
    """
    data = log.to_data()
    data["attempts"] = log.meet.to_data()["attempts"] if log.meet else ()
    head = {"lifter": log.spec.lifter.name, "block": log.spec.block.title, "file": log.file}
    return {part: _csv(part, [{**head, **row} for row in data.get(part, ())]) for part in _PARTS}


def csv_tables(logs: Iterable[Mapping[str, str]]) -> dict[str, str]:
    """File name -> CSV text (UTF-8) with its heading, made of the rows of each log; earlier and attempts if any."""
    every = list(logs)
    rows = {part: "".join(log[part] for log in every) for part in _PARTS}
    written = [part for part in _PARTS if rows[part] or part not in _IF_ANY]
    return {f"{part}.csv": ",".join(_columns(part)) + "\n" + rows[part] for part in written}


def tables_in(folder: Path) -> list[Path]:
    """Every table that may be written there."""
    return [folder / f"{part}.csv" for part in _PARTS]


def _columns(part: str) -> list[str]:
    return ["lifter", "block", "file", *_PARTS[part]]


def _csv(part: str, rows: Sequence[Mapping[str, Any]]) -> str:
    buffer = io.StringIO()
    writer = csv.DictWriter(buffer, _columns(part), lineterminator="\n")
    writer.writerows({name: _safe(value) for name, value in row.items()} for row in rows)
    return buffer.getvalue()


def _safe(value: Any) -> Any:
    if isinstance(value, Mapping):
        value = "; ".join(f"{name}: {text}" for name, text in value.items())
    return f"'{value}" if isinstance(value, str) and value.startswith(_FORMULA_STARTS) else value
