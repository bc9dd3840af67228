"""A review with a coach's word in its cells, and where its decisions stand. All of it is invented."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from blockbook.assessment.coach_word import REVIEW
from blockbook.assessment.next_block import Override
from blockbook.assessment.review_workbook import Reviewed, review_book, reviewed
from blockbook.assessment.sets_page import WEEKLY_SETS
from blockbook.intake.log import BlockLog
from blockbook.sheet.book import Book, Cell
from blockbook.sheet.calculation import Calculation

SQUAT, PRESS, BENCH, PULL_UP = "lower.squat", "lower.leg-press", "upper.bench-press", "upper.pull-up"

WORDS: dict[str, dict[str, Any]] = {
    "nothing": {},
    "loads": {f"{SQUAT}/own": 112.5, f"{BENCH}/own": 62.5, f"{PULL_UP}/own": 0},
    "sets": {f"{SQUAT}/own_sets": 5, f"{BENCH}/own_sets": 7, f"{PRESS}/own_sets": 3},
    "refused": {f"{key}/accept": "no" for key in (SQUAT, PRESS, BENCH, PULL_UP)},
    "exercises": {f"{PRESS}/choice": "Leg Extension", f"{PULL_UP}/choice": "chin-up", f"{BENCH}/choice": "keep"},
    "exercise with a load": {f"{PRESS}/choice": "hack squat", f"{PRESS}/own": 60, f"{PRESS}/own_sets": 3},
    "deload": {"block/choice": "yes"},
    "deload, refused": {"block/choice": "y", f"{SQUAT}/accept": "n", f"{BENCH}/own": 50},
    "no deload": {"block/choice": "no"},
    "all at once": {f"{SQUAT}/own": 120, f"{SQUAT}/own_sets": 9, f"{PRESS}/choice": "step-up", "block/choice": "yes"},
}
"""What a coach may type: input name without the block's digest -> value."""


def typed(log: BlockLog, word: str) -> dict[str, Any]:
    return {f"{log.digest}/{name}": value for name, value in WORDS[word].items()}


def overrides(word: str) -> tuple[dict[str, Override], str]:
    """The same word as it is read from the cells: exercise key -> override, and the answer to a deload."""
    said: dict[str, Override] = {}
    for name, value in WORDS[word].items():
        key, column_name = name.split("/")
        field = {"own": "load", "own_sets": "sets", "accept": "accept", "choice": "choice"}[column_name]
        changed: dict[str, Any] = {field: False if column_name == "accept" else value}
        said[key] = replace(said.get(key, Override()), **changed)
    deload = said.pop("block", Override()).choice
    return said, {"y": "yes"}.get(deload, deload)


def book_of(log: BlockLog) -> Book:
    """The review of a log; what it is made from is worked out once for each."""
    if id(log) not in _reviewed:
        _reviewed[id(log)] = reviewed(log)
    return review_book([_reviewed[id(log)]])


_reviewed: dict[int, Reviewed] = {}
"""By the log's identity, which stays its own: what was reviewed holds the log."""


def rows(book: Book) -> dict[str, int]:
    """Exercise key -> its row on the sheet Review."""
    keys = {str(text): row for (row, column), text in book.sheets[REVIEW].contents.items() if column == 0}
    return {key.split("/")[1]: row for key, row in keys.items() if "/" in key}


def column(book: Book, heading: str) -> int:
    return next(place[1] for place, text in book.sheets[REVIEW].contents.items() if text == heading)


def shown(book: Book, calculation: Calculation, key: str, heading: str) -> Any:
    """What the sheet Review shows in the row of an exercise."""
    return calculation.value(Cell(REVIEW, rows(book)[key], column(book, heading)))


def shown_muscles(book: Book, calculation: Calculation) -> dict[str, tuple[Any, Any]]:
    """Muscle -> weekly sets of the next block and what to look at, as the sheet Weekly sets shows them."""
    contents = book.sheets[WEEKLY_SETS].contents
    heading = next(row for (row, at), text in contents.items() if at == 1 and text == "Muscle")
    found: dict[str, tuple[Any, Any]] = {}
    for row in range(heading + 1, heading + 17):
        name = str(contents[row, 1]).casefold()
        after, flag = (calculation.value(Cell(WEEKLY_SETS, row, at)) for at in (4, 9))
        found[name] = (after, flag)
    return found
