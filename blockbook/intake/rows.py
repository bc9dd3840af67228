"""One copy of a workbook -> its rows: by key, never by position; what has no place is kept beside."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field

from blockbook.intake.columns import Table, locate
from blockbook.intake.earlier import holds_earlier
from blockbook.intake.findings import Finding, finding
from blockbook.intake.found import Copy, FoundCell, FoundRow, as_text, is_blank
from blockbook.intake.log import Unplaced
from blockbook.intake.meet_sheet import is_meet_sheet, read_meet
from blockbook.intake.opening import Grid, Place, Returned
from blockbook.intake.recovery import Candidate, Match, recover
from blockbook.intake.sent import Sent
from blockbook.languages import say, speaking
from blockbook.sheet.book import Formula, column_letters
from blockbook.workbook.layout import TYPED, WITH_STAND_INS, heading_of, is_feeler, week_columns
from blockbook.workbook.row_key import PATTERN, is_set, slot_of, week_of

_KEY = re.compile(PATTERN)
_WEEK, _NUMBER = re.escape("{week}"), r"(\d{1,2})"
_MOST_OFF = 0.2
"""Share of keyed rows whose label may be another's before no key of the sheet is believed."""

_MORE_THAN_A_WEEK = 1.5
"""So much more alike to all weeks than to one is a sheet that holds several."""

_TOGETHER = 0.75
"""Share of the typed rows of a sheet that must find their place for the order of its rows to be believed."""

_MOST_ROWS_NAMED = 5
_SURE = 0.9
"""Share of recovered rows that fit in every respect, from which a recovery is called sure."""


def read_copy(returned: Returned, sent: Sent, several: bool) -> Copy:
    """All rows of the block that a file holds. several: name the file wherever a sheet is named."""
    reader = _CopyReader(returned, sent, f"{returned.name}: " if several else "")
    with speaking(sent.workbook.spec.lifter.language):
        reader.read()
    return Copy(returned.name, returned.saved, dict(reader.rows), tuple(reader.unplaced), tuple(reader.findings))


class _CopyReader:
    def __init__(self, returned: Returned, sent: Sent, prefix: str) -> None:
        self.returned, self.sent, self.prefix = returned, sent, prefix
        self.block = sent.workbook.spec.block
        self.rows: dict[str, list[FoundRow]] = defaultdict(list)
        self.unplaced: list[Unplaced] = []
        self.findings: list[Finding] = []

    def read(self) -> None:
        columns = (*week_columns(self.block), *(WITH_STAND_INS if self.sent.has_stand_ins else ()))
        sheets = [
            _Sheet(self.prefix + name, name, grid, table)
            for name, grid in self.returned.grids.items()
            if not holds_earlier(grid)
            and not is_meet_sheet(grid)
            and (table := locate(grid, self.sent.places, self.sent.texts, columns)) is not None
        ]
        for sheet in sheets:
            self._read_keyed(sheet)
        missing = [key for key in self.sent.places if key not in self.rows]
        for sheet in sheets:
            found = self._recover(sheet, missing) if missing else {}
            missing = [key for key in missing if key not in found]
            self._keep_the_rest(sheet)
        for sheet in sheets:
            self._report_columns(sheet)
        meet = read_meet(self.returned, self.sent.workbook, self.prefix)
        self.rows |= meet.rows
        self.unplaced += meet.left
        self.findings += meet.findings

    # Rows with a key

    def _read_keyed(self, sheet: _Sheet) -> None:
        keys = {number: sheet.text(number, sheet.table.key) for number in range(len(sheet.grid))}
        known = {number: key for number, key in keys.items() if key in self.sent.places}
        for number, key in self._trusted(sheet, known).items():
            self.rows[key].append(self._row(sheet, number, key))
            sheet.taken[number] = key
        for number, key in keys.items():
            if number not in known and _KEY.fullmatch(key):
                self._unknown(sheet, number, key)

    def _trusted(self, sheet: _Sheet, keys: dict[int, str]) -> dict[int, str]:
        """Row -> key, where a row's label is the key's; rows may be sorted while the hidden keys stay behind.

        The sets of one exercise that changed places are told by their labels. Where many rows are off,
        no key of the sheet says anything.
        """
        label = sheet.table.columns.get("label")
        said = {number: text.casefold() for number in keys if (text := sheet.text(number, label))}
        expected = {key: as_text(self.sent.content(key, "label")).casefold() for key in keys.values()}
        off = [number for number, text in said.items() if text != expected[keys[number]]]
        if not off:
            return keys
        if len(off) > _MOST_OFF * len(keys):
            message = "The rows were sorted and their hidden keys were not, so the keys say nothing any more."
            self.findings.append(finding("keys-moved", message, sheet.label))
            return {}
        trusted = {number: key for number, key in keys.items() if number not in off}
        for slot in sorted({slot_of(keys[number]) for number in off}):
            moved = [number for number in keys if slot_of(keys[number]) == slot]
            labels = [expected[keys[number]] for number in moved]
            for number in moved:
                trusted.pop(number, None)
                if labels.count(said.get(number, "")) == 1:
                    trusted[number] = next(keys[other] for other in moved if expected[keys[other]] == said[number])
                else:
                    sheet.unsure.add(number)
            message = f"The sets of {slot} were sorted and their hidden keys were not; labels tell them where they can."
            self.findings.append(finding("keys-moved", message, sheet.label))
        return trusted

    def _row(self, sheet: _Sheet, number: int, key: str) -> FoundRow:
        columns = sheet.table.columns
        asked = TYPED if is_set(key) else ("load",)
        cells = {name: sheet.cell(number, columns[name]) for name in asked if name in columns}
        beside = {
            heading: sheet.cell(number, column) for column, heading in self._typed_beside(sheet, number, key, asked)
        }
        comments = tuple(
            FoundCell(text, sheet.label, f"{column_letters(column)}{line + 1}")
            for (line, column), text in self.returned.comments.get(sheet.name, {}).items()
            if line == number
        )
        return FoundRow(cells, beside, comments)

    def _typed_beside(self, sheet: _Sheet, number: int, key: str, asked: Sequence[str]) -> Iterator[tuple[int, str]]:
        """Columns, and under which heading, that the lifter filled in though nothing is asked for there.

        Where a formula was, a value counts; not where all formulas are gone, as values were pasted then.
        """
        formulas = (self.returned.formulas or {}).get(sheet.name, frozenset())
        values_pasted = len(formulas) <= len(sheet.grid)
        repeated = {sheet.text(number, sheet.table.columns.get("label"))}
        if not is_set(key):
            repeated.add(sheet.text(number, sheet.table.columns.get("load")))
        for column, value in enumerate(sheet.grid[number]):
            name = sheet.names.get(column)
            if is_blank(value) or name in asked or name == "key":
                continue
            if name is None:
                heading = sheet.heading(column) if column > min(sheet.names) else ""
            elif isinstance(expected := self.sent.content(key, name), Formula):
                heading = "" if values_pasted or (number, column) in formulas else name
            elif name == "target_reps" and is_feeler(key):
                heading = ""  # how many it asks for has changed since earlier versions
            else:
                ours = as_text(float(expected) if isinstance(expected, int) else expected)
                heading = "" if as_text(value) == ours else name
            # Some programs repeat what is in a cell in all cells that it was merged over.
            if heading and as_text(value) not in repeated:
                yield column, heading

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
        wanted = {*missing, *sheet.taken.values()}
        candidates = [
            Candidate(number, sheet.taken.get(number, ""), sheet.text(number, columns["label"]),
                      (sheet.text(number, columns.get("target_reps")), sheet.text(number, columns.get("target_rpe"))))
            for number in range(len(sheet.grid))
            if number not in sheet.unsure
        ]  # fmt: skip
        weeks, matches = self._best_match(candidates, weeks, wanted)
        found = {number: match for number, match in matches.items() if number not in sheet.taken}
        if not self._holds_together(sheet, found):
            return set()
        for number, match in found.items():
            self.rows[match.key].append(self._row(sheet, number, match.key))
            sheet.taken[number] = match.key
        if found:
            sure = sum(match.sure for match in found.values())
            self.findings.append(_recovered(sheet, len(found), sure, told, weeks))
        return {match.key for match in found.values()}

    def _holds_together(self, sheet: _Sheet, found: Collection[int]) -> bool:
        """Whether rows that were typed in found their place; if not, their order was changed and tells nothing."""
        columns = [sheet.table.columns[name] for name in ("load", "reps", "rpe") if name in sheet.table.columns]
        typed = [
            number
            for number, row in enumerate(sheet.grid)
            if number not in sheet.taken and any(isinstance(row[c], float) for c in columns if c < len(row))
        ]
        return sum(number in found for number in typed) >= _TOGETHER * len(typed)

    def _best_match(
        self, candidates: Sequence[Candidate], weeks: list[int], wanted: Collection[str]
    ) -> tuple[list[int], dict[int, Match]]:
        """The week that a sheet is most like, or all of them where it clearly holds more than one; and its rows.

        wanted: the keys that may stand on the sheet: those of no other sheet.
        """
        expected = {
            week: [row for row in self.sent.rows_of(week) if not row.key or row.key in wanted] for week in weeks
        }
        tried = [([week], *recover(candidates, expected[week])) for week in weeks]
        one, likeness, matches = max(tried, key=lambda found: found[1])
        if len(weeks) > 1:
            whole, all_matches = recover(candidates, [row for week in weeks for row in expected[week]])
            if whole > _MORE_THAN_A_WEEK * likeness:
                return weeks, all_matches
        return one, matches

    def _weeks_of(self, sheet: _Sheet, missing: Collection[str]) -> tuple[list[int], bool]:
        """The weeks whose rows may stand on a sheet, and whether it says so itself."""
        open_weeks = sorted({week_of(key) for key in missing})
        keyed = {week_of(key) for key in sheet.taken.values() if key in self.sent.places}
        if keyed:
            return [week for week in open_weeks if week in keyed], True
        heads = [sheet.name, *(as_text(value) for row in sheet.grid[:4] for value in row[:6])]
        named = [week for text in heads if (week := _week_named(text))]
        said = [week for week in open_weeks if week in named[:1]]
        return (said, True) if said else (open_weeks, False)

    def _keep_the_rest(self, sheet: _Sheet) -> None:
        """What stands in rows that belong to no set: kept, and said where it looks typed."""
        label = sheet.table.columns.get("label")
        formulas = (self.returned.formulas or {}).get(sheet.name, frozenset())
        left: list[Unplaced] = []
        for number in range(len(sheet.grid)):
            if (
                number in sheet.taken
                or number == sheet.table.heading_row
                or sheet.text(number, label) in self.sent.session_loads
            ):
                continue
            # Without formulas there is no telling a sentence of ours in the label column from a typed one.
            names = ("label", *TYPED) if formulas else TYPED
            if kept := self._keep(sheet, number, names, formulas):
                left.append(kept)
        left += self._beside(sheet, formulas)
        for kept in left[:_MOST_ROWS_NAMED]:
            words = ", ".join(kept.texts.values())
            message = f'A cell that belongs to no set holds "{words}". It is kept in the log and not used.'
            self.findings.append(finding("row-unplaced", message, kept.sheet, kept.cell, words))
        if (more := len(left) - _MOST_ROWS_NAMED) > 0:
            message = f"{more} more such rows on this sheet are kept in the log and not used: see unplaced in --json."
            self.findings.append(finding("row-unplaced", message, sheet.label))

    def _keep(
        self, sheet: _Sheet, number: int, names: Sequence[str], formulas: Collection[Place] = ()
    ) -> Unplaced | None:
        """What a row holds in these columns that is neither ours nor a formula's; None if nothing."""
        label = sheet.text(number, sheet.table.columns.get("label"))
        found = {
            name: sheet.cell(number, column)
            for name in names
            if (column := sheet.table.columns.get(name)) is not None
            and (number, column) not in formulas
            and (text := sheet.text(number, column))
            and not self.sent.says(text)
            and (name == "label" or text != label)  # some programs repeat a label in all cells it was merged over
        }
        if not found:
            return None
        first = next(iter(found.values()))
        kept = Unplaced(sheet.label, first.address, {name: as_text(cell.value) for name, cell in found.items()})
        self.unplaced.append(kept)
        return kept

    def _beside(self, sheet: _Sheet, formulas: Collection[Place]) -> list[Unplaced]:
        """Words where nothing is typed. Without formulas there is no telling them from what we worked out."""
        seen_to, label = ("key", "label", *TYPED), sheet.table.columns.get("label")
        found = [
            Unplaced(sheet.label, sheet.cell(number, column).address, {sheet.heading(column): value.strip()})
            for number, row in enumerate(sheet.grid if formulas else [])
            if number != sheet.table.heading_row
            for column, value in enumerate(row)
            if isinstance(value, str)
            and value.strip()
            and (number, column) not in formulas
            and not (column in sheet.names if number in sheet.taken else sheet.names.get(column) in seen_to)
            and not self.sent.says(value.strip())
            and value.strip() != sheet.text(number, label)  # repeated over what was merged
        ]
        self.unplaced += found
        return found

    def _report_columns(self, sheet: _Sheet) -> None:
        if not sheet.taken:
            return
        table = sheet.table
        for name in TYPED:
            if name not in table.columns:
                message = f'The column "{heading_of(name, self.block)}" is not on this sheet any more.'
                self.findings.append(finding("column-missing", message, sheet.label))
            elif name in table.guessed and table.heading_row is not None:
                cell = sheet.cell(table.heading_row, table.columns[name])
                heading = as_text(cell.value)
                ours = heading_of(name, self.block)
                message = f'The column at {cell.address}, "{heading}", was taken for "{ours}" by its place.'
                self.findings.append(finding("column-guessed", message, sheet.label, "", heading))


@dataclass
class _Sheet:
    """A sheet with our table on it.

    label: its name as findings show it; taken: row -> its key; unsure: rows whose key is another's.
    """

    label: str
    name: str
    grid: Grid
    table: Table
    taken: dict[int, str] = field(default_factory=dict)
    unsure: set[int] = field(default_factory=set)

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


def _week_named(text: str) -> int | None:
    """The week that a title or the name of a sheet tells, in English or the language spoken: "Woche 2 von 5"."""
    for said in (say("Week {week}"), "Week {week}"):
        if found := re.search(rf"\b{re.escape(said).replace(_WEEK, _NUMBER)}\b", text, re.IGNORECASE):
            return int(found[1])
    return None


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
