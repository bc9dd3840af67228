"""What was typed on a block's Meet sheet, wherever that now is: by its headings, each with the cells under it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, time, timedelta
from typing import Any, NamedTuple

from blockbook.formula.functions import Scalar, moment_number, same
from blockbook.intake import cells
from blockbook.intake.findings import Finding, finding
from blockbook.intake.found import FoundCell, FoundRow, as_text, is_blank
from blockbook.intake.log import Unplaced
from blockbook.intake.opening import Grid, Place, Returned
from blockbook.languages import say, speaking
from blockbook.sheet.book import Formula, Input, Sheet, column_letters
from blockbook.workbook.assemble import BlockBook
from blockbook.workbook.meet_cells import MEET, RIGHT_HALF
from blockbook.workbook.row_key import meet_key

_MARKS_IT = (("Squat", "Safe"), ("Deadlift", "Safe"))
"""Two headings and what stands beside them: a sheet with both is the Meet sheet."""


@dataclass
class MeetFound:
    """rows: row key -> what was typed there, once for each such sheet; left: what was typed where nothing is asked."""

    rows: dict[str, list[FoundRow]] = field(default_factory=dict)
    left: list[Unplaced] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


class _Section(NamedTuple):
    """The rows below a heading: where it was as sent, and where it is now."""

    sent: Place
    now: Place


_WITHIN = 100
"""Rows and columns of a sheet in which its headings are looked for."""

_ROWS_BELOW = 10
_MOST_NAMED = 5


def is_meet_sheet(grid: Grid) -> bool:
    """Whether a sheet is a Meet sheet in the language spoken."""
    marks = {(say(heading), say(beside)) for heading, beside in _MARKS_IT}
    headings = {heading for heading, _ in marks}
    rows = [row[:_WITHIN] for row in grid[:_WITHIN] if not headings.isdisjoint(_stripped(row))]
    return marks <= {pair for row in rows for pair in _pairs(row)}


def _stripped(row: list[Any]) -> Iterator[str]:
    return (value.strip() for value in row if isinstance(value, str))


def read_meet(returned: Returned, workbook: BlockBook, prefix: str = "") -> MeetFound:
    """What was typed on the Meet sheets of a file. Prefilled cells count where something else stands there now."""
    found = MeetFound()
    if MEET not in workbook.book.sheets:
        return found
    with speaking(workbook.spec.lifter.language):
        ours = {name: grid for name, grid in returned.grids.items() if is_meet_sheet(grid)}
    for name, grid in ours.items():
        reader = _Reader(workbook.book.sheets[MEET], workbook.typed, grid, prefix + name)
        formulas = (returned.formulas or {}).get(name, frozenset())
        reader.read(found, formulas, returned.comments.get(name, {}))
    return found


def _pairs(row: list[Any]) -> Iterator[tuple[str, str]]:
    texts = [as_text(value) for value in row]
    return zip(texts, [*texts[1:], ""], strict=True)


class _Reader:
    def __init__(self, sent: Sheet, prefilled: Mapping[str, Scalar], grid: Grid, label: str) -> None:
        self.sent, self.prefilled, self.grid, self.label = sent, prefilled, grid, label
        self.sections = list(self._sections())

    def read(self, found: MeetFound, formulas: Collection[Place], comments: Mapping[Place, str]) -> None:
        """formulas: where a formula stands now; with most of ours gone, what stands there tells nothing."""
        known: set[Place] = set()
        ours_now: set[Place] = set()
        for (row, column), content in self.sent.contents.items():
            here = self._now((row, column))
            value = self._value(here)
            if isinstance(content, Input):
                known.add(here)
                if not _same(value, self.prefilled.get(content.name)):
                    cell = FoundCell(value, self.label, _address(here))
                    found.rows.setdefault(meet_key(content.name), []).append(FoundRow({"load": cell}))
            elif isinstance(content, Formula):
                ours_now.add(here)
            elif _words(value) == _words(content):
                known.add(here)
        left = ours_now.intersection(formulas)
        known |= left if len(left) > len(ours_now) / 2 else ours_now
        self._keep(found, "typed", dict(self._beside(known)), "typed-beside",
                   '"{0}" stands where nothing is asked for. It is kept in the log.')  # fmt: skip
        self._keep(found, "comment", comments, "comment-on-cell", 'A comment says "{0}". It is kept in the log.')

    def _beside(self, known: Collection[Place]) -> Iterator[tuple[Place, str]]:
        texts = {_words(content) for content in self.sent.contents.values() if isinstance(content, str)}
        for row, values in enumerate(self.grid):
            for column, value in enumerate(values):
                ours = is_blank(value) or (row, column) in known or _words(value) in texts
                if not ours and not self._repeats(row, column, known):
                    yield (row, column), as_text(value)

    def _keep(self, found: MeetFound, what: str, texts: Mapping[Place, str], code: str, message: str) -> None:
        for number, (place, text) in enumerate(texts.items(), start=1):
            found.left.append(Unplaced(self.label, _address(place), {what: text}))
            if number <= _MOST_NAMED:
                found.findings.append(finding(code, message.format(text), self.label, _address(place), text))
        if (more := len(texts) - _MOST_NAMED) > 0:
            said = f"{more} more such cells on this sheet are kept in the log: see unplaced in --json."
            found.findings.append(finding(code, said, self.label))

    def _repeats(self, row: int, column: int, known: Collection[Place]) -> bool:
        """Whether a cell says what one of ours in its row says: some programs fill all cells of a merged one."""
        return any(self.grid[row][other] == self.grid[row][column] for other in range(column) if (row, other) in known)

    def _sections(self) -> Iterator[_Section]:
        """Every heading of the sheet as sent that is still there; with what stands beside it, each is one of its kind.

        A Meet sheet has some by definition.
        """
        now: dict[tuple[str, str], Place] = {}
        for row, values in enumerate(self.grid):
            for column, pair in enumerate(_pairs(values)):
                now.setdefault(pair, (row, column))
        for (row, column), content in self.sent.contents.items():
            if column in (0, RIGHT_HALF) and self.sent.styles[row, column] == "heading left":
                beside = as_text(self.sent.contents.get((row, column + 1)))
                if (place := now.get((as_text(content), beside))) is not None:
                    yield _Section((row, column), place)

    def _now(self, place: Place) -> Place:
        """Where a cell of the sheet as sent stands now: in the row that says what its row said, below its heading."""
        row, column = place
        half = column >= RIGHT_HALF
        above = [s for s in self.sections if s.sent[0] <= row and (s.sent[1] >= RIGHT_HALF) == half]
        section = max(above, key=lambda each: each.sent[0], default=self.sections[0])
        moved = row + section.now[0] - section.sent[0]
        label = _words(self.sent.contents.get((row, section.sent[1])))
        below = range(section.now[0], section.now[0] + _ROWS_BELOW)
        rows = [other for other in below if label and _words(self._value((other, section.now[1]))) == label]
        return rows[0] if rows else moved, column + section.now[1] - section.sent[1]

    def _value(self, place: Place) -> Any:
        row, column = place
        inside = 0 <= row < len(self.grid) and 0 <= column < len(self.grid[row])
        return self.grid[row][column] if inside else ""


def _same(value: Any, prefilled: Scalar) -> bool:
    if is_blank(value) or is_blank(prefilled):
        return is_blank(value) and is_blank(prefilled)
    plain = moment_number(value) if isinstance(value, (date, time, timedelta)) else value
    if isinstance(prefilled, (int, float)):
        number = cells.read_load(plain, "kg").value if isinstance(plain, str) else plain
        return isinstance(number, (int, float)) and abs(number - prefilled) < 1e-9
    return same(as_text(plain), as_text(prefilled))


def _words(value: Any) -> str:
    return " ".join(as_text(value).split())


def _address(place: Place) -> str:
    return f"{column_letters(place[1])}{place[0] + 1}"
