"""The workbook that the programs get: sent out and filled in by an invented lifter, every set unlike the others."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from itertools import product
from types import MappingProxyType
from typing import Any

from blockbook.sheet.book import Cell
from blockbook.training.prescription import PlannedSet
from blockbook.workbook.assemble import BlockBook, assemble
from blockbook.workbook.layout import LinePlace, input_name
from blockbook.workbook.write import block_bytes
from tests.intake.small_block import followed, sessions_of, spec_from

_PULL_UP = "      - exercise: pull-up\n"
_DUMBBELLS = "      - {exercise: one-arm dumbbell row, id: row, sets: 3, reps: 10, rpe: 8}\n"
SPEC = spec_from((_PULL_UP, _DUMBBELLS + _PULL_UP))
"""The small block with dumbbells, which are logged per hand."""

_WORDS = ("smooth", "slow", "steady", "quick", "heavy", "light", "tidy", "shaky", "strict", "loose")
_WHERE = ("off the floor", "half-way", "at the top", "from the start", "all the way")


@cache
def workbook() -> BlockBook:
    return assemble(SPEC)


@cache
def typed() -> Mapping[str, Any]:
    """Input name -> what the lifter typed: a number, a date or a text. Every set has a note of its own."""
    remarks = (f"{word} {where}" for word, where in product(_WORDS, _WHERE))
    sets = [
        planned.key for session in sessions_of(workbook()) for place in session.lines for planned in place.line.sets
    ]
    notes = {input_name(key, "note"): remark for key, remark in zip(sets, remarks, strict=False)}
    return MappingProxyType({**followed(SPEC, _a_little_off), **notes})


@cache
def content() -> bytes:
    """The file's content."""
    return block_bytes(SPEC, typed())


def place_of(name: str) -> Cell:
    """Where an input stands in the workbook as it was sent."""
    return workbook().book.inputs[name]


def _a_little_off(place: LinePlace, planned: PlannedSet) -> float:
    return (0, 0.5, -0.5)[(planned.number + place.title_row) % 3]
