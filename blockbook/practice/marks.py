"""The coach's marks in an overview: whose next block was accepted, and what a mark comes to later."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from blockbook.errors import BlockbookError, each_and_mistakes
from blockbook.intake.opening import open_grids
from blockbook.intake.other_workbooks import OVERVIEW_HEADINGS, what_it_is
from blockbook.practice.folder import OVERVIEW, Practice
from blockbook.spec.answers import YES, NeitherYesNorNo, yes_or_no

SHEET = "Overview"
ACCEPT, ROUTINE_ONE, KEY = OVERVIEW_HEADINGS
ROUTINE = "Accept all routine ones?"
"""Beside this text stands the one mark for every lifter whose column Accept? is empty and who is routine."""


@dataclass(frozen=True)
class Marks:
    """accepted: lifter -> the state that was accepted, of those the coach said yes to.

    passed_over: lifters whom the one yes at the top does not accept, and whose own mark is empty; mistakes: sentences
    on marks that are neither yes nor no, which accept nobody.
    """

    accepted: Mapping[str, str]
    mistakes: tuple[str, ...] = ()
    passed_over: tuple[str, ...] = ()


def read_marks(path: Path) -> Marks:
    """The coach's marks in an overview. Raises BlockbookError for a file that is none."""
    grids = open_grids(path)
    grid = grids.get(SHEET, [])
    head = next((number for number, row in enumerate(grid[:50]) if KEY in row and ACCEPT in row), None)
    if head is None:
        said = what_it_is(grids) or "this is no overview."
        raise BlockbookError(f"{path}: {said} An overview is wanted here: `blockbook overview` writes one.")
    columns = {text: position for position, text in enumerate(grid[head])}
    if ROUTINE_ONE not in columns:
        raise BlockbookError(f'{path}: row {head + 1}: the heading "{ROUTINE_ONE}" is gone. Write it back, and save.')
    rows = dict(enumerate(grid, start=1))
    of_everybody = [number for number in rows if number <= head and ROUTINE in rows[number]]
    keys = {number: _text(row, columns[KEY]) for number, row in rows.items() if number > head + 1}
    marked = (*of_everybody, *(number for number, key in keys.items() if key))
    marks, mistakes = each_and_mistakes(marked, lambda number: _mark(path, number, rows[number], columns[ACCEPT]))
    everybody = any(marks.get(number) for number in of_everybody)
    accepted, passed_over = {}, []
    for number, mark in marks.items():
        lifter, _, state = keys.get(number, "").partition("/")
        routine = everybody and _text(rows[number], columns[ROUTINE_ONE]) == YES[0]
        if lifter and (mark or (mark is None and routine)):
            accepted[lifter] = state
        elif lifter and mark is None and everybody:
            passed_over.append(lifter)
    return Marks(accepted, mistakes, tuple(passed_over))


def _text(row: Sequence[Any], column: int) -> str:
    return str(row[column]) if column < len(row) else ""


def _mark(path: Path, number: int, row: Sequence[Any], column: int) -> bool | None:
    typed = row[column] if column < len(row) else None
    try:
        return yes_or_no(typed)
    except NeitherYesNorNo as error:
        place = f"{path}: sheet {SHEET}, row {number}, {ACCEPT}"
        raise BlockbookError(f"{place}: {error} Write yes or no, or leave it empty.") from None


def states_accepted(practice: Practice, other: Path | None = None) -> dict[str, frozenset[str]]:
    """Lifter -> every state that the coach said yes to, in the practice's overview and in another.

    One that is not there, or is none, accepts nobody: `next` says what is wrong with it.
    """
    states: dict[str, frozenset[str]] = {}
    for path in dict.fromkeys((practice.root / OVERVIEW, other or practice.root / OVERVIEW)):
        try:
            accepted = read_marks(path).accepted if path.exists() else {}
        except BlockbookError:
            continue
        for lifter, state in accepted.items():
            states[lifter] = states.get(lifter, frozenset()) | {state}
    return states


def next_by(practice: Practice, overview: Path) -> str:
    """The command that follows the marks in an overview."""
    usual = overview.resolve() == (practice.root / OVERVIEW).resolve()
    return "blockbook next" if usual else f"blockbook next --overview {overview}"


@dataclass(frozen=True)
class Accepted:
    """What the marks in an overview come to now: whose next block to write, and for whom not, with the reason."""

    lifters: tuple[str, ...]
    left_out: Mapping[str, str]


def accepted_now(marks: Marks, states: Mapping[str, str]) -> Accepted:
    """states: lifter -> how it is now, of those without a next block waiting. What changed since is not accepted."""
    changed = "came back or was changed since the overview: run overview again"
    lifters = tuple(name for name, state in marks.accepted.items() if states.get(name) == state)
    return Accepted(lifters, {name: changed for name in marks.accepted if name in states and name not in lifters})
