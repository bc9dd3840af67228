"""Several copies of a block -> one set of rows, cell by cell; where they differ, both are said."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from blockbook.intake import cells, dates
from blockbook.intake.findings import Finding, finding
from blockbook.intake.found import Copy, FoundCell, FoundRow, as_text
from blockbook.spec.models import Block
from blockbook.workbook.layout import session_input_key
from blockbook.workbook.row_key import session_of

Describe = Callable[[str, str], str]
"""A row key and a column -> words such as "back squat, set 1, load"."""


@dataclass(frozen=True)
class _Source:
    """A row and what speaks for its copy. given: place in the order of the files."""

    row: FoundRow
    copy: Copy
    day: date | None
    given: int

    @property
    def rank(self) -> tuple[bool, date, datetime, int, int]:
        """The greatest is kept: preferred, later session, later saved, given later, fuller."""
        saved = self.copy.saved or datetime.min
        return self.copy.preferred, self.day or date.min, saved.replace(tzinfo=None), self.given, self.row.filled

    def why_before(self, other: _Source) -> str:
        if self.copy.preferred != other.copy.preferred:
            return _PREFERRED
        if self.day != other.day:
            return "its session has the later date"
        if self.copy.saved != other.copy.saved:
            return "its file was saved later"
        if self.given != other.given:
            return "its file was named later"
        return "its row is filled in further" if self.row.filled != other.row.filled else "it stands further up"


_PREFERRED = "you prefer its file"


def merge(
    copies: Sequence[Copy], keys: Sequence[str], block: Block, describe: Describe
) -> tuple[dict[str, FoundRow], list[Finding]]:
    """Row key -> one row of all copies, and a finding for every cell in which they differ."""
    rows: dict[str, FoundRow] = {}
    findings: list[Finding] = []
    sessions = {session_of(key) for key in keys}
    days = [{session: _day_of(copy, session) for session in sessions} for copy in copies]
    for key in keys:
        sources = [
            _Source(row, copy, days[number][session_of(key)], number)
            for number, copy in enumerate(copies)
            for row in copy.rows.get(key, ())
        ]
        if sources:
            rows[key] = sources[0].row if len(sources) == 1 else _merged(key, sources, block, describe, findings)
    return rows, findings


def _day_of(copy: Copy, session: str) -> date | None:
    """The date that a copy gives for a session."""
    rows = copy.rows.get(session_input_key(session, "date"), ())
    days = (dates.read_date(row.cells["load"].value)[0] for row in rows if "load" in row.cells)
    return max((day for day in days if day), default=None)


def _merged(
    key: str, sources: Sequence[_Source], block: Block, describe: Describe, findings: list[Finding]
) -> FoundRow:
    ranked = sorted(sources, key=lambda source: source.rank, reverse=True)
    kept: dict[str, FoundCell] = {}
    for column in dict.fromkeys(name for source in sources for name in source.row.cells):
        filled = [source for source in ranked if column in source.row.cells and not source.row.cells[column].empty]
        first = (filled or [s for s in ranked if column in s.row.cells])[0].row.cells[column]
        same = []
        for other in filled:
            cell = other.row.cells[column]
            if _same(first.value, cell.value, column, block):
                same.append(cell)
            else:
                findings.append(_differ(describe(key, column), first, cell, filled[0].why_before(other)))
        kept[column] = next((cell for cell in same if isinstance(cell.value, float)), first)
    beside = {name: cell for source in reversed(ranked) for name, cell in source.row.beside.items()}
    comments = dict.fromkeys(comment for source in sources for comment in source.row.comments)
    return FoundRow(kept, beside, tuple({comment.value: comment for comment in comments}.values()))


def _same(one: Any, other: Any, column: str, block: Block) -> bool:
    if as_text(one).casefold() == as_text(other).casefold():
        return True
    if column == "note":
        return False
    first, second = (cells.read_typed(column, raw, block).value for raw in (one, other))
    return first is not None and first == second


def _differ(what: str, kept: FoundCell, other: FoundCell, why: str) -> Finding:
    message = (
        f'{what}: "{as_text(kept.value)}" in {_where(kept)}, "{as_text(other.value)}" in {_where(other)}. '
        f"Kept the first: {why}."
    )
    code = "copies-preferred" if why == _PREFERRED else "copies-differ"
    return finding(code, message, kept.sheet, kept.address, as_text(other.value))


def _where(cell: FoundCell) -> str:
    return f"{cell.sheet} {cell.address}"
