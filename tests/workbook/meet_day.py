"""Meet sheets that tests share: an invented lifter, and a day typed in so far."""

from __future__ import annotations

from datetime import date
from typing import Any

from blockbook.sheet.book import Book
from blockbook.spec.models import Specification, Unit
from blockbook.workbook.assemble import assemble
from blockbook.workbook.meet import add_meet
from blockbook.workbook.write import block_bytes, workbook_bytes
from tests.samples import template_spec, typed

MORNING = 9.5 / 24

FILLS: dict[str, dict[str, Any]] = {
    "empty": {},
    "squats done": {
        "meet.squat.1.mark": "good",
        "meet.squat.2.weight": 145.0,
        "meet.squat.2.mark": "miss",
        "meet.squat.3.weight": 145.0,
        "meet.squat.3.mark": "good",
        "meet.goal.wanted": 430.0,
        "meet.goal.record": 436.0,
        "meet.class": 83.0,
        "meet.sex": "male",
        "meet.convert.kg": 100.0,
    },
    "bombed out": {
        **{f"meet.bench.{n}.mark": "m" for n in (1, 2, 3)},
        "meet.squat.1.weight": 20.0,
        "meet.squat.1.mark": "g",
        "meet.deadlift.1.mark": "perhaps",
        "meet.deadlift.2.weight": "160 kg",
        "meet.goal.qualifying": 300.0,
        "meet.sex": "female",
        "meet.event": "bench",
        "meet.equipment": "equipped",
        "meet.start.bench": 0.5,
        "meet.convert.lb": 225.0,
    },
    "slips": {
        "meet.squat.1.weight": 130.0,
        "meet.squat.1.mark": "good",
        "meet.squat.2.weight": 120.0,
        "meet.squat.2.mark": "good",
        "meet.bench.1.weight": 40.0,
        "meet.body_weight": 182.0,
        "meet.class": 83.0,
        "meet.sex": "male",
        "meet.plates": "lbs",
    },
    "nothing known": {
        "meet.plates": None,
        "meet.start.squat": None,
        "meet.place": None,
        "meet.body_weight": None,
        "meet.sex": None,
    },
}


def spec(unit: Unit = "kg") -> Specification:
    made = template_spec("peak", unit)
    return made.model_copy(update={"block": made.block.model_copy(update={"meet": date(2027, 3, 6)})})


def meet_book(unit: Unit = "kg", fill: str = "empty") -> tuple[Book, dict[str, Any]]:
    book = Book()
    prefilled = add_meet(book, spec(unit), MORNING, 4)
    return book, {**prefilled, **FILLS[fill]}


def block_with_a_meet() -> tuple[Book, dict[str, Any], bytes]:
    """The peak block, filled in to its end, the squats of its meet lifted: book, what is typed, the file."""
    last = template_spec("peak")
    made = last.model_copy(update={"block": last.block.model_copy(update={"meet": date(2027, 2, 1)})})
    workbook = assemble(made)
    filled = {**typed("peak", "kg", "filled"), **FILLS["squats done"]}
    return workbook.book, {**workbook.typed, **filled}, block_bytes(made, filled)


def meet_bytes(unit: Unit = "kg", fill: str = "empty") -> bytes:
    book, inputs = meet_book(unit, fill)
    return workbook_bytes(book, inputs, unit, "Meet", date(2027, 3, 6))
