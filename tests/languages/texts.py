"""Every text of a workbook, found out by laying out workbooks that together show them all. All of it is invented."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import chain
from pathlib import Path
from typing import get_args
from unittest import mock

from babel.messages.extract import extract_from_dir

import blockbook
from blockbook.languages import Tag, catalogues, speaking
from blockbook.sheet.book import Book
from blockbook.spec.catalogue import Muscle, shipped
from blockbook.spec.loading import parse_spec
from blockbook.spec.models import Specification
from blockbook.training.prescription import countdown
from blockbook.workbook.assemble import assemble
from blockbook.workbook.earlier import TypedRow
from blockbook.workbook.layout import AFTER_SESSION
from blockbook.workbook.meet import add_meet
from blockbook.workbook.row_key import meet_key
from blockbook.workbook.write import block_bytes
from tests.samples import TEMPLATES, WITHOUT_BESTS, template_spec

NOWHERE = Tag("de", "QQ")
"""German of a region that is none, so that what is compiled for it is nobody else's."""

EVERY_KIND = """\
block: {title: Every kind, start: 2027-01-04, weeks: 2, unit: kg, deload_week: 2, meet: 2027-01-18, note: Sleep well.}
lifter: {name: Robin Sample, sex: female, body_weight: 70, language: de,
         bests: {back squat: {load: 120, spread: 0.02, on: 2026-12-20}, bench press: 80, deadlift: 140}}
equipment:
  bar: 20
  collars: 5
  plates: {25: 3, 20: 1, 10: 1, 5: 1, 2.5: 1, 1.25: 1}
  dumbbells: {lightest: 2, heaviest: 40, step: 2}
  stack: {lightest: 5, heaviest: 200, step: 5}
  added_weight: {lightest: 0, heaviest: 60, step: 1.25}
sessions:
  - name: Lower
    day: mon
    slots:
      - {exercise: back squat, reps: 5, rpe: 8, back_off: {sets: 2, reps: 6, drop: 10}, cue: Brace, rest: 3 min,
         stand_ins: [leg press]}
      - {exercise: deadlift, reps: 3, percent: 80, stand_ins: [leg press], tempo: 3-1-1}
      - {exercise: leg press, sets: 2, reps: 8-10, rpe: 8, pair: a}
      - {exercise: goblet squat, held_for: hack squat, sets: 2, reps: 10, rpe: 8, pair: a}
      - {exercise: band pull-apart, sets: 2, reps: 15, rpe: 8}
  - name: Upper
    day: thu
    slots:
      - {exercise: bench press, sets: 3, reps: 5, rpe: 8, feeler: true, test_weeks: [1], progress: hold}
      - {exercise: pull-up, sets: 2, reps: 6, reserve: 1}
      - {exercise: lateral raise, sets: 2, reps: 12, load: 8}
"""


def every_kind(*changes: tuple[str, str]) -> Specification:
    text = EVERY_KIND
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return parse_spec(text, "every kind")


def specifications() -> Iterator[Specification]:
    for unit in ("kg", "lb"):
        yield every_kind(("unit: kg", f"unit: {unit}"))
    yield every_kind(("deload_week: 2, meet: 2027-01-18", "meet: 2027-01-30"))
    yield every_kind((", meet: 2027-01-18", ", effort_as: reps in reserve"))
    from_last_block = ("reps: 10, rpe: 8, pair: a}", "reps: 10, rpe: 8, pair: a, loads: {1: 10}, from_last_block: 10}")
    yield every_kind(("  collars: 5\n", ""), from_last_block)
    for name in (*TEMPLATES, f"general{WITHOUT_BESTS}"):
        yield template_spec(name, "kg")


def said_everywhere(tag: str) -> tuple[set[str], list[Book]]:
    """Every English text that laying out the workbooks asks a catalogue for, and the books, in a language.

    The texts come back marked, ⟦so⟧, in place of a translation: what is not marked was not asked for.
    """
    asked = _Asked()
    books = []
    with mock.patch.object(catalogues, "catalogue", return_value=asked):
        for spec in specifications():
            there = spec.model_copy(update={"lifter": spec.lifter.model_copy(update={"language": tag})})
            books.append(assemble(there, list(_typed_earlier(there))).book)
        block_bytes(there)
        alone = Book()
        with speaking(tag):
            add_meet(alone, every_kind(), 0.4)
            for day in (date(2027, 1, 1), date(2026, 12, 28), date(2026, 12, 1), date(2027, 2, 1)):
                countdown(date(2027, 1, 5), day)
        books.append(alone)
        for book in books:
            for _, formula in book.formulas():
                assert formula.definition.expression
    return asked.texts | {*shipped()} | {*get_args(Muscle)} | literals(), books


def _typed_earlier(spec: Specification) -> Iterator[TypedRow]:
    yield TypedRow("w1.lower.back-squat.1", "Lower", None, "back squat", "Top", load=100.0)
    yield TypedRow("w1.lower.minutes", "Lower", None, AFTER_SESSION, "Minutes", load=60.0)
    if spec.block.meet:
        yield TypedRow(meet_key("meet.squat.1.mark"), "Meet", None, "squat", "first, mark", load="good")
        yield TypedRow(meet_key("meet.squat.2.weight"), "Meet", None, "squat", "second, weight", load=100.0)
        yield TypedRow(meet_key("meet.body_weight"), "Meet", None, "body weight", "", load=100.0)


def literals() -> set[str]:
    """Texts that stand in the code as `say("...")` or `sentence("...")`, as Babel's extractor finds them."""
    package = Path(blockbook.__file__).parent
    keywords = {"say": None, "sentence": None, "means": (2,), "changed_by": None}
    found = chain.from_iterable(
        extract_from_dir(package / part, [("**.py", "python")], keywords=keywords)
        for part in ("spec", "training", "workbook")
    )
    return {str(message) for _, _, message, _, _ in found if message}


class _Asked(dict[str, str]):
    """A catalogue that knows every text, and remembers which it was asked for."""

    def __init__(self) -> None:
        super().__init__()
        self.texts: set[str] = set()

    def get(self, text: str, default: object = None) -> str:
        self.texts.add(text)
        return f"⟦{text}⟧"
