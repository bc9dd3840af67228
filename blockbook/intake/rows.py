"""Find the rows of a block in the grids of a returned file: by key, never by position."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from blockbook.intake.findings import Finding, finding
from blockbook.intake.opening import Grid
from blockbook.sheet.book import column_letters
from blockbook.workbook.layout import COLUMN, TYPED, WEEK_COLUMNS
from blockbook.workbook.manifest import MARKER

_KEY = re.compile(r"w\d{1,2}\.[a-z0-9-]+\.[a-z0-9_-]+(\.[a-z0-9-]+)?")
_HEADINGS = {column.heading.casefold(): column.name for column in WEEK_COLUMNS if column.name in TYPED}


@dataclass(frozen=True)
class FoundRow:
    """One keyed row: the typed cells' raw values and where each stands."""

    sheet: str
    raw: Mapping[str, Any]
    cells: Mapping[str, str]

    @property
    def filled(self) -> int:
        return sum(1 for value in self.raw.values() if value not in (None, ""))


def manifest_column(grids: Mapping[str, Grid]) -> list[Any] | None:
    """The texts of the manifest, wherever its sheet now is; None if there is none."""
    for grid in grids.values():
        for number, row in enumerate(grid[:20]):
            for column, value in enumerate(row[:20]):
                if isinstance(value, str) and value.strip() == MARKER:
                    return [below[column] if column < len(below) else None for below in grid[number:]]
    return None


def find_rows(grids: Mapping[str, Grid], expected: Collection[str]) -> tuple[dict[str, FoundRow], list[Finding]]:
    """Key -> its row, and findings on duplicate and unknown rows."""
    found: dict[str, FoundRow] = {}
    findings: list[Finding] = []
    for sheet, grid in grids.items():
        key_column = _key_column(grid, expected)
        if key_column is None:
            continue
        columns = _typed_columns(grid, key_column)
        for number, row in enumerate(grid):
            key = row[key_column] if key_column < len(row) else ""
            if not isinstance(key, str) or not _KEY.fullmatch(key.strip()):
                continue
            key = key.strip()
            here = FoundRow(
                sheet,
                {name: row[column] if column < len(row) else "" for name, column in columns.items()},
                {name: f"{column_letters(column)}{number + 1}" for name, column in columns.items()},
            )
            if key not in expected:
                findings.append(_unknown(key, here))
            elif key in found:
                findings.append(_duplicate(key, found[key], here))
                found[key] = max(found[key], here, key=lambda candidate: candidate.filled)
            else:
                found[key] = here
    return found, findings


def _key_column(grid: Grid, expected: Collection[str]) -> int | None:
    """The column in which most of our keys stand."""
    counts = Counter(
        column
        for row in grid
        for column, value in enumerate(row)
        if isinstance(value, str) and value.strip() in expected
    )
    return counts.most_common(1)[0][0] if counts else None


def _typed_columns(grid: Grid, key_column: int) -> dict[str, int]:
    """Where load, reps, effort and note are typed: by heading, else by distance from the keys."""
    by_heading: dict[str, int] = {}
    for row in grid[:10]:
        named = {
            _HEADINGS[text]: column
            for column, value in enumerate(row)
            if isinstance(value, str) and (text := " ".join(value.split()).casefold()) in _HEADINGS
        }
        if len(named) > len(by_heading):
            by_heading = named
    by_distance = {name: key_column + COLUMN[name] - COLUMN["key"] for name in TYPED}
    return {**by_distance, **by_heading}


def _unknown(key: str, row: FoundRow) -> Finding:
    return finding(
        "row-unknown", f'A row has the key "{key}", which is not in this block.', row.sheet, row.cells["load"], key
    )


def _duplicate(key: str, first: FoundRow, second: FoundRow) -> Finding:
    return finding(
        "row-duplicate",
        f"The row {key} stands twice: {first.sheet} {first.cells['load']} and {second.sheet} {second.cells['load']}.",
        second.sheet,
        second.cells["load"],
        key,
    )
