"""A small block that fits on a page, filled in and edited as lifters and their programs do. All of it is invented."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from openpyxl import load_workbook

from blockbook.intake.log import BlockLog, LoggedSet
from blockbook.intake.reading import read_workbook
from blockbook.languages import speaking
from blockbook.sheet.book import Formula
from blockbook.sheet.calculation import Calculation
from blockbook.spec.loading import parse_spec
from blockbook.spec.models import Specification
from blockbook.training.prescription import PlannedSet
from blockbook.workbook.assemble import BlockBook, assemble
from blockbook.workbook.earlier import TypedRow
from blockbook.workbook.layout import COLUMN, EARLIER, MANIFEST, LinePlace, SessionPlace, input_name, session_input_key
from blockbook.workbook.write import block_bytes, workbook_bytes

SMALL_BLOCK = """\
block:
  title: Small block
  start: 2027-01-04
  weeks: 2
  unit: kg
  note: Log each set before the next one.
  private_note: She sleeps badly before exams.
lifter:
  name: Robin Sample
  body_weight: 70
  bests: {back squat: 120, bench press: 80, pull-up: 25}
equipment:
  bar: 20
  plates: {25: 3, 20: 1, 10: 1, 5: 1, 2.5: 1, 1.25: 1}
  dumbbells: {lightest: 2, heaviest: 40, step: 2}
  stack: {lightest: 5, heaviest: 200, step: 5}
  added_weight: {lightest: 0, heaviest: 60, step: 1.25}
sessions:
  - name: Lower
    day: mon
    slots:
      - exercise: back squat
        id: squat
        reps: 5
        rpe: 8
        back_off: {sets: 2, reps: 6, drop: 10, rpe: 7}
        cue: Brace before every rep
        private_note: Watch the left knee cave in.
      - exercise: leg press
        sets: 2
        reps: 8-10
        rpe: 8
      - exercise: band pull-apart
        sets: 2
        reps: 15
        rpe: 8
  - name: Upper
    day: thu
    slots:
      - exercise: bench press
        sets: 3
        reps: 5
        rpe: [7.5, 8]
        feeler: true
      - exercise: pull-up
        sets: 2
        reps: 6
        rpe: 8
        cue: Chin over the bar
"""

PRIVATE_NOTES = ("She sleeps badly before exams.", "Watch the left knee cave in.")
SESSION = {"effort": 7, "minutes": 55, "body_weight": 70.4, "sleep": 7.5, "soreness": 2, "pain": "none"}

TOP, BACK_OFF, PRESS = "w1.lower.squat.1", "w1.lower.squat.2", "w1.lower.leg-press.1"
BAND, FEELER, BENCH, PULL_UP = (
    "w1.lower.band-pull-apart.1", "w1.upper.bench-press.feeler", "w1.upper.bench-press.1", "w1.upper.pull-up.1"
)  # fmt: skip
WEEKS = ("Week 1", "Week 2")

Effort = Callable[[LinePlace, PlannedSet], float]
"""How far over the target effort (under: negative) a set comes in."""


@cache
def spec_from(*changes: tuple[str, str]) -> Specification:
    """The small block with pieces of its text replaced: (old, new) pairs."""
    text = SMALL_BLOCK
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return parse_spec(text, "small.yaml")


def on_target(_place: LinePlace, _planned: PlannedSet) -> float:
    return 0


def followed(spec: Specification, over: Effort = on_target) -> dict[str, Any]:
    """What a lifter types who does every set as the sheet says, at target effort + over."""
    workbook = assemble(spec)
    typed: dict[str, Any] = {}
    calculation = Calculation(workbook.book, typed)  # what it found out stays: no target looks at what is typed later
    for session in sessions_of(workbook):
        for place in session.lines:
            for planned in place.line.sets:
                load = calculation.number(place.cell("target", planned.number))
                if load is not None:
                    typed[input_name(planned.key, "load")] = load
                reps = calculation.number(place.cell("target_reps", planned.number))
                typed[input_name(planned.key, "reps")] = reps
                target = 6 if planned.rpe is None else planned.rpe
                typed[input_name(planned.key, "rpe")] = spec.block.as_typed(min(10, target + over(place, planned)))
        typed[session_input_key(session.session.key, "date")] = session.session.day
        typed |= {session_input_key(session.session.key, name): value for name, value in SESSION.items()}
    return typed


def sessions_of(workbook: BlockBook) -> list[SessionPlace]:
    return [session for week in workbook.weeks for session in week]


@cache
def _clean(spec_text_changes: tuple[tuple[str, str], ...]) -> tuple[bytes, Mapping[str, Any]]:
    spec = spec_from(*spec_text_changes)
    typed = followed(spec)
    return block_bytes(spec, typed), typed


def clean_inputs(*changes: tuple[str, str]) -> dict[str, Any]:
    """What is typed into the clean workbook: every cell plain and as asked."""
    return dict(_clean(changes)[1])


def clean_file(folder: Path, *changes: tuple[str, str]) -> Path:
    """A workbook that was filled in to the last cell, with nothing odd in it."""
    path = folder / "robin.xlsx"
    path.write_bytes(_clean(changes)[0])
    return path


def worn_out() -> dict[str, Any]:
    """Inputs with the same loads in both weeks, first one and then two points of effort over target."""
    inputs = clean_inputs()
    for name in [name for name in inputs if name.startswith("w1.") and "/" in name]:
        inputs[name.replace("w1.", "w2.")] = inputs[name]
    for name in [name for name in inputs if name.endswith("/rpe")]:
        inputs[name] = min(10.0, inputs[name] + (1 if name.startswith("w1.") else 2))
    return inputs


def log_of(folder: Path, spec: Specification, typed: Mapping[str, Any]) -> BlockLog:
    """The log of a workbook with `typed` in its cells."""
    path = folder / "returned.xlsx"
    path.write_bytes(plain_bytes(spec, typed))
    return read_workbook(path)


def plain_bytes(spec: Specification, typed: Mapping[str, Any] | None = None, earlier: Sequence[TypedRow] = ()) -> bytes:
    """A returned workbook that has lost its formulas: the reader trusts none, and they take most of the writing."""
    made = assemble(spec, earlier)
    typed_on = {cell.sheet for cell in made.book.inputs.values()}
    made.book.sheets = {
        name: made.book.sheets[name] for name in made.book.sheets if name in {*typed_on, EARLIER, MANIFEST}
    }
    for sheet in made.book.sheets.values():
        for place in [place for place, content in sheet.contents.items() if isinstance(content, Formula)]:
            del sheet.contents[place]
        sheet.merges, sheet.marks, sheet.charts, sheet.validations = [], [], [], []
    block, logged = spec.block, {**made.typed, **(typed or {})}
    with speaking(spec.lifter.language):
        return workbook_bytes(made.book, logged, block.unit, block.title, block.start)


def set_of(log: BlockLog, key: str) -> LoggedSet:
    return next(logged for logged in log.sets if logged.key == key)


def edited(path: Path, edit: Callable[[Any], None]) -> Path:
    """The file after another program opened it, changed something and saved it again."""
    book = load_workbook(path)
    edit(book)
    changed = path.with_name("changed.xlsx")
    book.save(changed)
    return changed


def retyped(path: Path, typed: Mapping[str, Any]) -> Path:
    """The file after other values were typed into some of its cells (input name -> value)."""

    def edit(book: Any) -> None:
        for name, value in typed.items():
            find(book, name).value = value

    return edited(path, edit)


def find(book: Any, name: str) -> Any:
    """The openpyxl cell of an input: "w1.lower.squat.1/load" or "w1.lower.pain"."""
    key, _, column = name.partition("/")
    sheet, row = row_of(book, key)
    return sheet.cell(row, COLUMN[column or "load"] + 1)


def row_of(book: Any, key: str) -> tuple[Any, int]:
    """Sheet and row number (from 1) where a row key stands."""
    for sheet in book:
        for row in range(1, sheet.max_row + 1):
            if sheet.cell(row, 1).value == key:
                return sheet, row
    raise LookupError(key)
