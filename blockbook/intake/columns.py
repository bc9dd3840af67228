"""Which column of a sheet holds what: by its heading, else by its place between the others."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import get_args

from rapidfuzz import fuzz

from blockbook.intake.opening import Grid
from blockbook.languages import say
from blockbook.spec.models import Unit
from blockbook.workbook.layout import COLUMN, TYPED, WEEK_COLUMNS, WITH_UNIT, Column

_HEADS_WITHIN = 15
"""Rows from the top in which the headings are looked for: a title and notes may stand above them."""

_ENOUGH_HEADINGS = 2
_ENOUGH_TITLES = 2
_ENOUGH_WORDS = 4


@dataclass(frozen=True)
class Table:
    """Where things stand on a week sheet. columns: name -> column, without those that are gone.

    key: the key column, None where it is lost; heading_row: None where no headings were found;
    guessed: the columns found by their place alone.
    """

    key: int | None
    columns: Mapping[str, int]
    heading_row: int | None
    guessed: frozenset[str] = frozenset()


def locate(
    grid: Grid, keys: Collection[str], texts: Collection[str], wanted: Sequence[Column] = WEEK_COLUMNS
) -> Table | None:
    """The table of a week sheet; None if the sheet is none.

    keys: the row keys of the block; texts: the fixed texts of its week sheets, titles among them; wanted: the
    columns of those.
    """
    ours = {column.name: column.heading for column in wanted}
    key = _most_common_column(grid, keys)
    heading_row, headed = _headings(grid, ours)
    if key is None and len([name for name in headed if name in TYPED]) < _ENOUGH_HEADINGS:
        titles = {text for text in texts if len(text) > 12}
        label = _most_common_column(grid, titles, _ENOUGH_TITLES)
        if label is None:
            return None
        headed, heading_row = {"label": label}, _row_of_words(grid)
    anchors = {**headed} if key is None else {**headed, "key": key}
    columns, guessed = dict(headed), set()
    for name, heading in ours.items():
        if name not in anchors and (column := _by_place(name, heading, anchors, grid, heading_row)) is not None:
            columns[name] = column
            guessed.add(name)
    columns.pop("key", None)
    return Table(key, columns, heading_row, frozenset(guessed))


def _most_common_column(grid: Grid, wanted: Collection[str], least: int = 1) -> int | None:
    counts = Counter(
        column for row in grid for column, value in enumerate(row) if isinstance(value, str) and value.strip() in wanted
    )
    ((column, number),) = counts.most_common(1) or ((0, 0),)
    return column if number >= least else None


def _headings(grid: Grid, ours: Mapping[str, str]) -> tuple[int | None, dict[str, int]]:
    """The row near the top with most of our headings, in English or the language spoken, and where each stands."""
    by_heading = {said.casefold(): name for name, heading in ours.items() for said in (say(heading), heading)}
    by_heading |= {
        f"{heading}, {unit}": name
        for heading, name in by_heading.items()
        if name == WITH_UNIT
        for unit in get_args(Unit)
    }
    best: dict[str, int] = {}
    heading_row = None
    for number, row in enumerate(grid[:_HEADS_WITHIN]):
        named = {
            by_heading[text]: column
            for column, value in enumerate(row)
            if isinstance(value, str) and (text := " ".join(value.split()).casefold()) in by_heading
        }
        if len(named) > max(1, len(best)):
            best, heading_row = named, number
    return heading_row, best


def _row_of_words(grid: Grid) -> int | None:
    """The row near the top that looks like headings of whatever language: several words and no number."""
    for number, row in enumerate(grid[:_HEADS_WITHIN]):
        values = [value for value in row if value not in (None, "")]
        if len(values) > _ENOUGH_WORDS and all(isinstance(value, str) for value in values):
            return number
    return None


def _by_place(name: str, heading: str, anchors: Mapping[str, int], grid: Grid, heading_row: int | None) -> int | None:
    """The column between its neighbours; None where the neighbours have closed up: it was deleted."""
    place = COLUMN[name]
    left = max((other for other in anchors if COLUMN[other] < place), key=COLUMN.__getitem__, default=None)
    right = min((other for other in anchors if COLUMN[other] > place), key=COLUMN.__getitem__, default=None)
    if left is None and right is None:
        return None
    if left is None:
        assert right is not None
        column = anchors[right] - (COLUMN[right] - place)
        return column if column >= 0 else None
    if right is None:
        return anchors[left] + place - COLUMN[left]
    if anchors[right] < anchors[left]:  # a column was moved: no telling what stands between
        return None
    between = range(anchors[left] + 1, anchors[right])
    if len(between) == COLUMN[right] - COLUMN[left] - 1:
        return anchors[left] + place - COLUMN[left]
    filled = [column for column in between if _is_filled(grid, column, heading_row or 0)]
    if len(filled) == COLUMN[right] - COLUMN[left] - 1:  # empty columns were put in
        return filled[place - COLUMN[left] - 1]
    return _most_alike(heading, between, grid, heading_row)


def _is_filled(grid: Grid, column: int, heading_row: int) -> bool:
    """Whether more than a stray word or two stands below the heading."""
    values = [row[column] for row in grid[heading_row + 1 :] if column < len(row)]
    return sum(value not in (None, "") for value in values) > 2


def _most_alike(ours: str, columns: range, grid: Grid, heading_row: int | None) -> int | None:
    """Of several columns that may be it, the one whose heading is most like ours."""
    if heading_row is None or not columns:
        return None
    headings = {column: str(grid[heading_row][column]).casefold() for column in columns}
    likeness = {column: fuzz.ratio(ours.casefold(), heading) for column, heading in headings.items()}
    best = max(columns, key=likeness.__getitem__)
    return best if likeness[best] > 50 else None
