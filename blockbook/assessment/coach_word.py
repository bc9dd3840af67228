"""The coach's word in a review workbook: loads, sets, corrections accepted; how they are written and read back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from blockbook.assessment.next_block import Override
from blockbook.errors import BlockbookError
from blockbook.intake import cells
from blockbook.intake.findings import Finding
from blockbook.intake.log import Accepted, BlockLog
from blockbook.intake.opening import open_grids
from blockbook.intake.sent import REVIEW_HEADINGS
from blockbook.spec.models import Unit
from blockbook.spec.values import MOST_LOAD, MOST_SETS

REVIEW, FINDINGS = "Review", "Findings"
ACCEPT, YOUR_LOAD, YOUR_SETS = REVIEW_HEADINGS
KEY, CORRECTION = "Key", "Correction"
"""Headings by which the columns are found again."""

_READ_BY_HEADING = {KEY: "key", ACCEPT: "accept", YOUR_LOAD: "own", YOUR_SETS: "own_sets"}
_LONGEST_CELL = 32_767
"""Characters a spreadsheet cell holds. A correction of more cells than that is for the coach to make."""


def correction(log: BlockLog, found: Finding) -> str:
    """What was likely meant, for a hidden cell: the block's digest, then name=value<value before; empty for none."""

    def text(value: Any) -> str:
        return f"{value:.15g}" if isinstance(value, (int, float)) else ""

    pairs = (f"{name}={text(value)}<{text(log.inputs.get(name))}" for name, value in found.likely.items())
    whole = " ".join([log.digest, *pairs])
    return whole if found.likely and len(whole) <= _LONGEST_CELL else ""


def read_overrides(path: Path, digest: str, unit: Unit) -> dict[str, Override]:
    """Exercise key -> the coach's word, for the block with this digest.

    Raises BlockbookError if the file is no review workbook, does not hold this block, or a
    number in it is not understood.
    """
    for grid in open_grids(path).values():
        for number, row in enumerate(grid[:200]):
            columns = {_READ_BY_HEADING[text]: i for i, text in enumerate(row) if text in _READ_BY_HEADING}
            if len(columns) == len(_READ_BY_HEADING):
                found = dict(_overrides(path, grid[number + 1 :], columns, digest, number + 2, unit))
                if not found:
                    raise BlockbookError(f"{path}: holds no review of this block. Run `blockbook review` on it first.")
                return found
    raise BlockbookError(f"{path}: is not a review workbook written by `blockbook review`.")


def read_accepted(path: Path, digest: str) -> dict[str, Accepted]:
    """Input name -> the correction the coach accepted, for the block with this digest; empty without any.

    Raises BlockbookError if an answer is neither yes nor no, or accepts what offers no correction.
    """
    accepted: dict[str, Accepted] = {}
    for grid in open_grids(path).values():
        columns: dict[Any, int] = {}
        for number, row in enumerate(grid, start=1):
            if ACCEPT in row and CORRECTION in row:
                columns = {text: position for position, text in enumerate(row)}
            elif columns:
                found, *pairs = str(row[columns[CORRECTION]]).split() or [""]
                place = f"{path}: sheet {FINDINGS}, row {number}"
                yes = _says_yes(place, row[columns[ACCEPT]])
                if yes and not found:
                    raise BlockbookError(f"{place}, {ACCEPT}: there is no correction to accept. Correct the file.")
                if yes and found == digest:
                    try:
                        accepted |= dict(map(_pair, pairs))
                    except ValueError:
                        raise BlockbookError(
                            f"{place}: its hidden correction was changed. Review the log anew."
                        ) from None
    return accepted


def _pair(text: str) -> tuple[str, Accepted]:
    """name=value<value before, as `correction` writes it."""
    name, _, values = text.rpartition("=")
    value, before = (float(number) if number else None for number in values.split("<"))
    return name, Accepted(value, before)


def _says_yes(place: str, answer: Any) -> bool:
    said = str(answer).strip().casefold()
    if said not in ("", "yes", "y", "no", "n"):
        raise BlockbookError(f'{place}, {ACCEPT}: "{said}" is neither yes nor no.')
    return said in ("yes", "y")


def _overrides(
    path: Path, rows: Sequence[Sequence[Any]], columns: Mapping[str, int], digest: str, first_row: int, unit: Unit
) -> Iterator[tuple[str, Override]]:
    for number, row in enumerate(rows, start=first_row):
        key = str(row[columns["key"]]) if columns["key"] < len(row) else ""
        if not key.startswith(f"{digest}/"):
            continue
        place = f"{path}: sheet {REVIEW}, row {number}"
        own = _number(f"{place}, {YOUR_LOAD}", cells.read_load(row[columns["own"]], unit), MOST_LOAD)
        sets = _number(f"{place}, {YOUR_SETS}", cells.read_number(row[columns["own_sets"]]), MOST_SETS)
        if sets is not None and sets != int(sets):
            raise BlockbookError(f"{place}, {YOUR_SETS}: sets are counted whole.")
        answer = row[columns["accept"]]
        accept = _says_yes(place, answer) or not str(answer).strip()
        yield key.split("/", 1)[1], Override(accept, own, None if sets is None else int(sets))


def _number(place: str, reading: cells.Reading, most: float) -> float | None:
    if reading.raw and reading.value is None:
        raise BlockbookError(f'{place}: "{reading.raw}" is not a number.')
    if reading.value is not None and not 0 <= reading.value <= most:
        raise BlockbookError(f"{place}: {reading.value:g} should lie between 0 and {most:g}.")
    return reading.value
