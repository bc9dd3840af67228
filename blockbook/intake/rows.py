"""One copy of a workbook -> its rows: by key, never by position; what has no place is kept beside."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from itertools import chain
from typing import Any

from blockbook.intake.columns import Table, locate
from blockbook.intake.findings import Finding, finding
from blockbook.intake.log import Unplaced
from blockbook.intake.opening import Grid, Returned
from blockbook.intake.recovery import Candidate, ExpectedRow, recover
from blockbook.sheet.book import Formula, column_letters
from blockbook.workbook.assemble import BlockBook
from blockbook.workbook.layout import (
    COLUMN,
    SESSION_INPUTS,
    TYPED,
    WEEK_COLUMNS,
    session_input_key,
    week_sheet,
)
from blockbook.workbook.manifest import MARKER

_KEY = re.compile(r"w\d{1,2}\.[a-z0-9-]+\.[a-z0-9_-]+(\.[a-z0-9-]+)?")
_WEEK = re.compile(r"\bweek (\d{1,2})\b", re.IGNORECASE)
_NAMES = tuple(column.name for column in WEEK_COLUMNS)
_SURE = 0.9
"""Share of recovered rows that fit in every respect, from which a recovery is called sure."""


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
    """What one file holds of a block. rows: of a key all that were found, in the order of the file."""

    name: str
    saved: datetime | None
    rows: Mapping[str, Sequence[FoundRow]]
    unplaced: tuple[Unplaced, ...] = ()
    findings: tuple[Finding, ...] = ()


def is_blank(value: Any) -> bool:
    return value is None or (isinstance(value, str) and not value.strip())


def as_text(value: Any) -> str:
    """A cell's value as a person would type it."""
    if isinstance(value, float):
        return f"{value:.15g}"
    return "" if value is None else str(value).strip()


def manifest_column(grids: Mapping[str, Grid]) -> list[Any] | None:
    """The texts of the manifest, wherever its sheet now is; None if there is none."""
    for grid in grids.values():
        for number, row in enumerate(grid[:20]):
            for column, value in enumerate(row[:20]):
                if isinstance(value, str) and value.strip() == MARKER:
                    return [below[column] if column < len(below) else None for below in grid[number:]]
    return None


@dataclass(frozen=True)
class Sent:
    """The workbook as it was sent: where each key stands, and the fixed texts of its week sheets."""

    workbook: BlockBook
    places: Mapping[str, tuple[str, int]]
    texts: frozenset[str]

    @classmethod
    def of(cls, workbook: BlockBook) -> Sent:
        places: dict[str, tuple[str, int]] = {}
        for place in chain.from_iterable(workbook.weeks):
            for name, row in place.input_rows.items():
                places[session_input_key(place.session.key, name)] = (place.sheet, row)
            for line in place.lines:
                places |= {planned.key: (line.sheet, line.set_rows[planned.number]) for planned in line.line.sets}
        sheets = (workbook.book.sheets[week_sheet(week)] for week in range(1, len(workbook.weeks) + 1))
        texts = (value for sheet in sheets for value in sheet.contents.values() if isinstance(value, str))
        return cls(workbook, places, frozenset(" ".join(text.split()) for text in texts))

    def content(self, key: str, column: str) -> Any:
        sheet, row = self.places[key]
        return self.workbook.book.sheets[sheet].contents.get((row, COLUMN[column]))

    def rows_of(self, week: int) -> Iterator[ExpectedRow]:
        """The rows of a week from top to bottom, as their label column shows them."""
        sheet = self.workbook.book.sheets[week_sheet(week)]

        def label(row: int) -> str:
            return as_text(sheet.contents.get((row, COLUMN["label"])))

        yield ExpectedRow("title", "", label(0))
        for place in self.workbook.weeks[week - 1]:
            yield ExpectedRow("title", "", label(place.title_row))
            for line in place.lines:
                yield ExpectedRow("title", "", label(line.title_row), line.line.exercise.name)
                for planned in line.line.sets:
                    row = line.set_rows[planned.number]
                    asked = (as_text(float(planned.reps)), "" if planned.rpe is None else as_text(float(planned.rpe)))
                    yield ExpectedRow("set", planned.key, label(row), asked=asked)
            for asked_input in SESSION_INPUTS:
                key = session_input_key(place.session.key, asked_input.name)
                yield ExpectedRow("input", key, label(place.input_rows[asked_input.name]))


def read_copy(returned: Returned, sent: Sent, several: bool) -> Copy:
    """All rows of the block that a file holds. several: name the file wherever a sheet is named."""
    reader = _CopyReader(returned, sent, f"{returned.name}: " if several else "")
    reader.read()
    return Copy(returned.name, returned.saved, dict(reader.rows), tuple(reader.unplaced), tuple(reader.findings))


class _CopyReader:
    def __init__(self, returned: Returned, sent: Sent, prefix: str) -> None:
        self.returned, self.sent, self.prefix = returned, sent, prefix
        self.rows: dict[str, list[FoundRow]] = defaultdict(list)
        self.unplaced: list[Unplaced] = []
        self.findings: list[Finding] = []

    def read(self) -> None:
        tables = [
            (_Sheet(self.prefix + name, name, grid, table), table)
            for name, grid in self.returned.grids.items()
            if (table := locate(grid, self.sent.places, self.sent.texts)) is not None
        ]
        for sheet, _ in tables:
            self._read_keyed(sheet)
        missing = [key for key in self.sent.places if key not in self.rows]
        for sheet, _ in tables:
            found = self._recover(sheet, missing) if missing else {}
            missing = [key for key in missing if key not in found]
            self._keep_the_rest(sheet)
        for sheet, table in tables:
            self._report_columns(sheet, table)

    # Rows with a key

    def _read_keyed(self, sheet: _Sheet) -> None:
        if sheet.table.key is None:
            return
        for number, row in enumerate(sheet.grid):
            key = as_text(row[sheet.table.key]) if sheet.table.key < len(row) else ""
            if key in self.sent.places:
                self.rows[key].append(self._row(sheet, number, key))
                sheet.taken[number] = key
            elif _KEY.fullmatch(key):
                self._unknown(sheet, number, key)

    def _row(self, sheet: _Sheet, number: int, key: str) -> FoundRow:
        row = sheet.grid[number]
        columns = sheet.table.columns
        asked = TYPED if key.count(".") == 3 else ("load",)
        cells = {name: sheet.cell(number, columns[name]) for name in asked if name in columns}
        beside = {
            heading: sheet.cell(number, column)
            for column, value in enumerate(row)
            if not is_blank(value) and (heading := self._typed_beside(sheet, number, column, key, asked))
        }
        comments = tuple(
            FoundCell(text, sheet.label, f"{column_letters(column)}{line + 1}")
            for (line, column), text in self.returned.comments.get(sheet.name, {}).items()
            if line == number
        )
        return FoundRow(cells, beside, comments)

    def _typed_beside(self, sheet: _Sheet, number: int, column: int, key: str, asked: Sequence[str]) -> str:
        """Under which heading a cell stands that the lifter filled in though nothing is asked for there; else ""."""
        name = sheet.names.get(column)
        if name in asked or name == "key":
            return ""
        value = sheet.grid[number][column]
        if name is None:
            return sheet.heading(column) if column > min(sheet.names) else ""
        expected = self.sent.content(key, name)
        if isinstance(expected, Formula):
            return name if self._typed_over(sheet, number, column) else ""
        return "" if as_text(value) == as_text(_as_stored(expected)) else name

    def _typed_over(self, sheet: _Sheet, number: int, column: int) -> bool:
        """Whether a value stands where a formula was; not where all formulas are gone, as values were pasted then."""
        formulas = (self.returned.formulas or {}).get(sheet.name, frozenset())
        return len(formulas) > len(sheet.grid) and (number, column) not in formulas

    def _unknown(self, sheet: _Sheet, number: int, key: str) -> None:
        sheet.taken[number] = key
        kept = self._keep(sheet, number, TYPED)
        message = f'A row has the key "{key}", which is not in this block.'
        self.findings.append(
            finding("row-unknown", message, sheet.label, f"A{number + 1}" if kept is None else kept.cell, key)
        )

    # Rows without one

    def _recover(self, sheet: _Sheet, missing: Collection[str]) -> set[str]:
        """Give rows that lost their key the one they must have had, by headings, names and order."""
        weeks, told = self._weeks_of(sheet, missing)
        columns = sheet.table.columns
        if not weeks or "label" not in columns:
            return set()
        candidates = [
            Candidate(number, sheet.taken.get(number, ""), sheet.text(number, columns["label"]),
                      (sheet.text(number, columns.get("target_reps")), sheet.text(number, columns.get("target_rpe"))))
            for number in range(len(sheet.grid))
        ]  # fmt: skip
        expected = [row for week in weeks for row in self.sent.rows_of(week)]
        wanted = set(missing)
        found = {
            number: match for number, match in recover(candidates, expected).items()
            if match.key in wanted and number not in sheet.taken
        }  # fmt: skip
        for number, match in found.items():
            self.rows[match.key].append(self._row(sheet, number, match.key))
            sheet.taken[number] = match.key
        if found:
            sure = sum(match.sure for match in found.values())
            self.findings.append(_recovered(sheet, len(found), sure, told, weeks))
        return {match.key for match in found.values()}

    def _weeks_of(self, sheet: _Sheet, missing: Collection[str]) -> tuple[list[int], bool]:
        """The weeks whose rows may stand on a sheet, and whether it says so itself."""
        open_weeks = sorted({int(key[1 : key.index(".")]) for key in missing})
        keyed = {int(key[1 : key.index(".")]) for key in sheet.taken.values() if key in self.sent.places}
        if keyed:
            return [week for week in open_weeks if week in keyed], True
        heads = [sheet.name, *(as_text(value) for row in sheet.grid[:4] for value in row[:6])]
        named = [int(found[1]) for text in heads if (found := _WEEK.search(text))]
        said = [week for week in open_weeks if week in named[:1]]
        return (said, True) if said else (open_weeks, False)

    def _keep_the_rest(self, sheet: _Sheet) -> None:
        """What stands in rows that belong to no set: kept, and said where it looks typed."""
        label = sheet.table.columns.get("label")
        formulas = (self.returned.formulas or {}).get(sheet.name, frozenset())
        for number, row in enumerate(sheet.grid):
            if number in sheet.taken or number == sheet.table.heading_row:
                continue
            if label is not None and " ".join(sheet.text(number, label).split()) in self.sent.texts:
                continue  # a row of ours: a title, a cue, the session load
            if label is not None and (number, label) in formulas:
                continue  # the sentence on a load
            if any((number, column) in formulas for column in range(len(row))):
                continue
            names = TYPED if label is None or not formulas else ("label", *TYPED)
            if kept := self._keep(sheet, number, names):
                words = ", ".join(kept.texts.values())
                message = f'A row that belongs to no set holds "{words}". It is kept in the log and not used.'
                self.findings.append(finding("row-unplaced", message, kept.sheet, kept.cell, words))

    def _keep(self, sheet: _Sheet, number: int, names: Sequence[str]) -> Unplaced | None:
        found = {
            name: sheet.cell(number, sheet.table.columns[name])
            for name in names
            if name in sheet.table.columns and sheet.text(number, sheet.table.columns[name])
        }
        if not found:
            return None
        first = next(iter(found.values()))
        kept = Unplaced(sheet.label, first.address, {name: as_text(cell.value) for name, cell in found.items()})
        self.unplaced.append(kept)
        return kept

    def _report_columns(self, sheet: _Sheet, table: Table) -> None:
        if not sheet.taken:
            return
        words = {column.name: column.heading for column in WEEK_COLUMNS}
        for name in TYPED:
            if name not in table.columns:
                message = f'The column "{words[name]}" is not on this sheet any more.'
                self.findings.append(finding("column-missing", message, sheet.label))
            elif name in table.guessed:
                letters = column_letters(table.columns[name])
                heading = sheet.text(table.heading_row, table.columns[name]) if table.heading_row is not None else ""
                message = f'Column {letters}, headed "{heading}", was taken for "{words[name]}" by its place.'
                self.findings.append(finding("column-guessed", message, sheet.label, f"{letters}1", heading))


@dataclass
class _Sheet:
    """A sheet with our table on it. label: its name as findings show it; taken: row -> its key."""

    label: str
    name: str
    grid: Grid
    table: Table
    taken: dict[int, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.names = {column: name for name, column in self.table.columns.items()}
        if self.table.key is not None:
            self.names[self.table.key] = "key"

    def text(self, row: int, column: int | None) -> str:
        if column is None or not 0 <= row < len(self.grid) or column >= len(self.grid[row]):
            return ""
        return as_text(self.grid[row][column])

    def cell(self, row: int, column: int) -> FoundCell:
        values = self.grid[row]
        value = values[column] if column < len(values) else ""
        return FoundCell(value, self.label, f"{column_letters(column)}{row + 1}")

    def heading(self, column: int) -> str:
        above = "" if self.table.heading_row is None else self.text(self.table.heading_row, column)
        return above or f"column {column_letters(column)}"


def _as_stored(content: Any) -> Any:
    """A fixed content as a file gives it back: every number a float."""
    return float(content) if isinstance(content, int) else content


def _recovered(sheet: _Sheet, found: int, sure: int, told: bool, weeks: Sequence[int]) -> Finding:
    share = sure / found
    how_sure = "surely" if share >= _SURE and told else "probably" if share >= 0.5 else "perhaps"
    which = f"week {weeks[0]}" if len(weeks) == 1 else f"weeks {weeks[0]} to {weeks[-1]}"
    by_order = "" if told else " The sheet does not say its week; it was told by the order of the rows."
    message = (
        f"{found} rows have lost their key. They were recognised by exercise names, headings and order as rows of "
        f"{which}: {how_sure} right, {sure} of {found} fit in every respect.{by_order}"
    )
    return finding("rows-recovered", message, sheet.label)


def sheets_twice(copy: Copy) -> Iterator[Finding]:
    """Says once which sheets hold the same rows, as a sheet that was copied does."""
    pairs: dict[tuple[str, str], list[tuple[str, FoundCell]]] = defaultdict(list)
    for key, rows in copy.rows.items():
        cells = [next(iter(row.cells.values())) for row in rows if row.cells]
        for again in cells[1:]:
            pairs[cells[0].sheet, again.sheet].append((key, again))
    for (first, second), found in pairs.items():
        where = f"twice on {first}" if first == second else f"on {first} and on {second}"
        key, cell = found[0]
        which = f"The row {key} stands" if len(found) == 1 else f"{len(found)} rows stand"
        message = f"{which} {where}: put together cell by cell."
        yield finding("row-duplicate", message, second, cell.address, key if len(found) == 1 else "")
