"""Which session each row of the Plan was written for, and what that tells of rows that were deleted or moved."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from blockbook.intake.opening import Grid
from blockbook.plan.columns import OF_NO_SESSION, ROW_SESSION, SPARE_ROWS
from blockbook.spec.values import single_blanks, slug

BELOW_EMPTY_ROWS = (
    "is empty below empty rows. Write the name of the session that this exercise belongs to, or move its row up."
)
_FIRST_ROW_GONE = (
    'is empty, and the row that named the session of this exercise ("{session}") is gone. Write here the name of the '
    "session that it belongs to: its own, or the one above."
)


@dataclass
class RowSessions:
    """The rows of a Plan as they are gone through from the top.

    written_for: row -> id of a session, where its hidden cell is there and says one; named: those that a row names.
    moved: name of a session and id of another -> rows of the second that stand in the first.
    """

    written_for: Mapping[int, str]
    named: set[str]
    current: str | None = None
    moved: defaultdict[tuple[str, str], list[int]] = field(default_factory=lambda: defaultdict(list))

    @classmethod
    def of(cls, grid: Grid, key_row: int, name_column: int) -> RowSessions:
        if ROW_SESSION not in grid[key_row]:
            return cls({}, set())
        column = grid[key_row].index(ROW_SESSION)
        rows = {row: grid[row] for row in range(key_row + 1, len(grid)) if len(grid[row]) > max(column, name_column)}
        written = {row: str(values[column] or "") for row, values in rows.items()}
        written_for = {row: said for row, said in written.items() if said not in ("", OF_NO_SESSION)}
        return cls(
            written_for, {said for row, said in written_for.items() if str(rows[row][name_column] or "").strip()}
        )

    def begins(self, row: int, name: Any, name_above: Any, empty_above: int) -> bool:
        """Whether a session begins in a row that names one: below an empty row, or with another name than above.

        With the same name if both were written as sessions of that name.
        """
        if name is None:
            return False
        of_row, of_that_name = self.written_for.get(row), rf"{slug(str(name))}(-\d+)?"
        are_two = of_row is not None and of_row != self.current and re.fullmatch(of_that_name, of_row)
        return bool(empty_above or not same_name(name, name_above) or are_two)

    def begin(self, row: int) -> None:
        self.current = self.written_for.get(row)
        if self.current:
            self.named.add(self.current)

    def go_on(self, row: int, name: Any, session: str, empty_above: int) -> str | None:
        """Take a row as one of the session above; what to ask instead where it is not clear that it is.

        What is asked of a session that no row names any more is asked once. Rows that came from another are noted.
        """
        of_row = self.written_for.get(row)
        is_unnamed = of_row is not None and of_row not in self.named
        if of_row:
            self.named.add(of_row)
        # A row that the coach put in, or one at the end, stands apart already below one empty row.
        most = SPARE_ROWS if of_row or not self.written_for else 1
        if name is None and empty_above >= most:
            return BELOW_EMPTY_ROWS
        if is_unnamed:
            return _FIRST_ROW_GONE.format(session=of_row)
        if of_row and of_row != self.current:
            self.moved[session, of_row].append(row)
        return None

    def moves(self) -> Iterator[tuple[int, str]]:
        """Rows that stand in another session than they were written for: the first of them, and what to say."""
        for (session, of_row), rows in self.moved.items():
            many = "this row was" if len(rows) == 1 else f"this row and {len(rows) - 1} more were"
            yield rows[0], f'{many} written for the session "{of_row}", now in {session}.'


def same_name(one: Any, other: Any) -> bool:
    """Whether two rows name one session, as the sheet compares them."""
    return bool(_folded(one) == _folded(other))


def _folded(name: Any) -> Any:
    return single_blanks(name).strip().casefold() if isinstance(name, str) else name
