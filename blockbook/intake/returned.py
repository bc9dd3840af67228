"""What a file from outside is turned into, and the error for what is no spreadsheet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, TypeAlias

from blockbook.errors import BlockbookError
from blockbook.intake.limits import AREA_LIMIT, COLUMN_LIMIT, ROW_LIMIT, TEXT_LIMIT
from blockbook.sheet.book import column_letters

Grid: TypeAlias = list[list[Any]]
"""Rows of cell values from A1 on, as python-calamine gives them: text, numbers, dates, ""."""

Place: TypeAlias = tuple[int, int]
"""Row and column of a cell, counted from 0."""


@dataclass(frozen=True)
class Returned:
    """One workbook as it came back: what stands in its cells, nothing run or followed.

    name: what findings and errors call it, a file name or "mail.zip: robin.xlsx". saved: when it was
    last saved, as far as known, without a time zone. formulas: where a formula stands, by sheet; None
    where a format does not tell (CSV). comments: comments on cells, by sheet and place. remarks:
    sentences on what was left out, such as macros.
    """

    name: str
    grids: Mapping[str, Grid]
    saved: datetime | None = None
    formulas: Mapping[str, frozenset[Place]] | None = None
    comments: Mapping[str, Mapping[Place, str]] = field(default_factory=dict)
    remarks: tuple[str, ...] = ()


class NoSpreadsheet(BlockbookError):
    """The file is something else altogether: in a folder of files it is passed over."""


def damaged(reason: object) -> BlockbookError:
    """The refusal of a spreadsheet that cannot be read, whatever library gave up on it."""
    said = str(reason).strip() or type(reason).__name__
    return BlockbookError(
        f"cannot be read as a spreadsheet ({shown(said.splitlines()[0])}). Open it in a spreadsheet program and save "
        "it again as .xlsx, or ask for the file once more."
    )


def too_large(what: str, what_to_do: str = "Copy the sheets you need into a new workbook.") -> BlockbookError:
    return BlockbookError(f"{what}, far more than a training log. It was not read. {what_to_do}")


def beyond(sheet: str, place: Place) -> str:
    """The remark on cells that stand too far out to be read."""
    row, column = place
    return (
        f"{shown(sheet)}: what stands beyond row {ROW_LIMIT:,} or column {column_letters(COLUMN_LIMIT - 1)} was left "
        f"out, first in {column_letters(column)}{row + 1}."
    )


def refuse_too_much(grids: Mapping[str, Grid]) -> None:
    """Raise BlockbookError if the sheets together hold more than is read."""
    area = letters = 0
    for grid in grids.values():
        for row in grid:
            area += len(row)
            letters += sum([len(value) for value in row if value.__class__ is str])
    if area > AREA_LIMIT or letters > TEXT_LIMIT:
        raise too_large(f"it holds {area:,} cells with {letters:,} characters")


def shown(text: str) -> str:
    """Text from a file as it can stand in a message: one line, printable, short."""
    plain = "".join(sign if sign.isprintable() else "?" for sign in text[:200])
    return plain if len(plain) <= 120 else f"{plain[:117]}..."
