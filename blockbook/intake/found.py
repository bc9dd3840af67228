"""What was found in a returned file: cells, rows, and the copy of a block they stand in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from blockbook.intake.findings import Finding
from blockbook.intake.log import Unplaced


@dataclass(frozen=True)
class FoundCell:
    """A typed cell: its value as it stands in the file, and where."""

    value: Any
    sheet: str
    address: str

    @property
    def empty(self) -> bool:
        return is_blank(self.value)


@dataclass(frozen=True)
class FoundRow:
    """A row of the block. cells: the typed columns, those of the file that are there.

    beside: what was typed where nothing is asked for, by heading or column letter: a formula typed
    over, a column of the lifter's own; comments: comments on its cells.
    """

    cells: Mapping[str, FoundCell]
    beside: Mapping[str, FoundCell] = field(default_factory=dict)
    comments: tuple[FoundCell, ...] = ()

    @property
    def filled(self) -> int:
        return sum(1 for cell in self.cells.values() if not cell.empty)


@dataclass(frozen=True)
class Copy:
    """What one file holds of a block. rows: of a key all that were found, in the order of the file.

    preferred: the coach says that this copy is right.
    """

    name: str
    saved: datetime | None
    rows: Mapping[str, Sequence[FoundRow]]
    unplaced: tuple[Unplaced, ...] = ()
    findings: tuple[Finding, ...] = ()
    preferred: bool = False


def is_blank(value: Any) -> bool:
    return value is None or (isinstance(value, str) and not value.strip())


def as_text(value: Any) -> str:
    """A cell's value as a person would type it."""
    if isinstance(value, float):
        return f"{value:.15g}"
    return "" if value is None else str(value).strip()
