"""The coach's word in a review workbook: loads, sets, corrections accepted; how they are written and read back."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from blockbook.assessment.next_block import Override
from blockbook.errors import BlockbookError, each_and_mistakes, each_or_all_mistakes
from blockbook.intake import cells
from blockbook.intake.findings import Finding
from blockbook.intake.log import Accepted, BlockLog
from blockbook.intake.opening import open_grids
from blockbook.intake.other_workbooks import what_it_is
from blockbook.intake.sent import REVIEW_HEADINGS
from blockbook.sheet.book import column_letters
from blockbook.spec.answers import NO, YES, NeitherYesNorNo, yes_or_no
from blockbook.spec.models import Unit
from blockbook.spec.values import MOST_LOAD, MOST_SETS

REVIEW, FINDINGS = "Review", "Findings"
ACCEPT, YOUR_LOAD, YOUR_SETS = REVIEW_HEADINGS
KEY, YOUR_CHOICE, CORRECTION = "Key", "Your choice", "Correction"
"""Headings by which the columns are found again."""

_WHOLE_BLOCK = "block"
"""Behind a block's digest: the row on the whole block, where the coach answers to a deload first."""

_READ_BY_HEADING = {
    KEY: "key", ACCEPT: "accept", YOUR_LOAD: "own", YOUR_SETS: "own_sets", YOUR_CHOICE: "choice",
}  # fmt: skip
_LONGEST_CELL = 32_767
"""Characters a spreadsheet cell holds. A correction of more cells than that is for the coach to make."""

_AS_BEFORE = "~"


def whole_block_key(log: BlockLog, earlier: Sequence[BlockLog]) -> str:
    """Key of the row on the whole block, with the digests of the blocks before it."""
    return "+".join([f"{log.digest}/{_WHOLE_BLOCK}", *(each.digest for each in earlier)])


def correction(log: BlockLog, found: Finding) -> str:
    """What was likely meant, for a hidden cell: the block's digest, then name=value<value before; empty for none.

    A finding that stops all decisions has its code behind the digest, so that a no can be told from another's.
    """

    def text(value: Any) -> str:
        return f"{value:.15g}" if isinstance(value, (int, float)) else ""

    names = _shortened(tuple(found.likely))
    likely = found.likely.items()
    pairs = (
        f"{short}={text(value)}<{text(log.number(name))}" for short, (name, value) in zip(names, likely, strict=True)
    )
    head = [log.digest, found.code] if found.stops else [log.digest]
    whole = " ".join([*head, *pairs])
    if len(whole) <= _LONGEST_CELL and found.likely:
        return whole
    return " ".join(head) if found.stops else ""


def _shortened(names: Sequence[str]) -> Iterator[str]:
    """Input names, the part before the number of the set as ~ where it is that of the name before: a log of a
    thousand sets fits into a cell."""
    before = ""
    for name in names:
        start, dot, rest = name.rpartition(".")
        yield f"{_AS_BEFORE}{rest}" if dot and start == before else name
        before = start


def _in_full(names: Iterable[str]) -> Iterator[str]:
    """The names that `_shortened` has shortened."""
    before = ""
    for name in names:
        whole = f"{before}.{name[1:]}" if name.startswith(_AS_BEFORE) else name
        yield whole
        before = whole.rpartition(".")[0]


@dataclass(frozen=True)
class Answers:
    """What the coach said beside the findings of a block.

    accepted: input name -> the correction; settled: codes of findings on the whole log that were answered.
    """

    accepted: Mapping[str, Accepted]
    settled: frozenset[str]

    def __bool__(self) -> bool:
        return bool(self.accepted or self.settled)


NOTHING_SAID = Answers({}, frozenset())


@dataclass(frozen=True)
class CoachWord:
    """What a review workbook says of one block.

    deload: the coach's "yes" or "no" to a deload first, "" for none; earlier: digests of the blocks before it;
    mistakes: sentences on cells of the whole block that are not understood; on_findings: the same of corrections.
    Those on an exercise stand in its override.
    """

    overrides: Mapping[str, Override]
    deload: str = ""
    earlier: tuple[str, ...] = ()
    mistakes: tuple[str, ...] = ()
    on_findings: tuple[str, ...] = ()

    @property
    def every_mistake(self) -> tuple[str, ...]:
        """In order of sheets and rows."""
        of_exercises = (own.mistake for own in self.overrides.values() if own.mistake)
        return (*self.mistakes, *of_exercises, *self.on_findings)

    def refuse_mistakes(self) -> None:
        """Raises BlockbookError where there are any."""
        if self.every_mistake:
            raise BlockbookError("\n".join(self.every_mistake))


def read_word(path: Path, digest: str, unit: Unit) -> CoachWord:
    """The coach's word on the block with this digest, and what in it is not understood.

    Raises BlockbookError if the file is no review workbook, or does not hold this block.
    """
    grids = open_grids(path)
    for sheet, grid in grids.items():
        for number, row in enumerate(grid[:200]):
            columns = {_READ_BY_HEADING[text]: i for i, text in enumerate(row) if text in _READ_BY_HEADING}
            if len(columns) == len(_READ_BY_HEADING):
                table = _Table(path, sheet, grid[number + 1 :], columns, digest, number + 2, unit)
                return table.word()
    said = what_it_is(grids) or "this is no review workbook."
    raise BlockbookError(f"{path}: {said} A review is wanted here: `blockbook review` writes one.")


def read_answers(path: Path, digest: str) -> Answers:
    """What the coach said beside the findings of the block with this digest.

    Raises BlockbookError for all answers that are neither yes nor no, or accept what offers no correction.
    """
    rows: dict[int, tuple[Any, Any]] = {}
    for grid in open_grids(path).values():
        columns: dict[Any, int] = {}
        for number, row in enumerate(grid, start=1):
            if ACCEPT in row and CORRECTION in row:
                columns = {text: position for position, text in enumerate(row)}
            elif columns:
                rows[number] = row[columns[ACCEPT]], row[columns[CORRECTION]]
    said = each_or_all_mistakes(rows, lambda number: _answered(path, number, digest, *rows[number])).values()
    accepted = {name: value for each in said for name, value in each.accepted.items()}
    return Answers(accepted, frozenset().union(*(each.settled for each in said)))


def _answered(path: Path, number: int, digest: str, typed: Any, correction: Any) -> Answers:
    """What the coach said in a row of the findings."""
    found, *parts = str(correction).split() or [""]
    pairs = [part for part in parts if "=" in part]
    place = f"{path}: sheet {FINDINGS}, row {number}"
    yes = _answer(f"{place}, {ACCEPT}", typed)
    if yes and not pairs:
        other = ", or write no to go on with what was typed" if parts else ""
        raise BlockbookError(f"{place}, {ACCEPT}: there is no correction to accept. Correct the file{other}.")
    if found != digest or yes is None:
        return NOTHING_SAID
    try:
        accepted = _pairs(pairs) if yes else {}
    except ValueError:
        raise BlockbookError(f"{place}: its hidden correction was changed. Review the log anew.") from None
    return Answers(accepted, frozenset(part for part in parts if "=" not in part))


def _pairs(texts: Sequence[str]) -> dict[str, Accepted]:
    """Those of name=value<value before, as `correction` writes them."""
    accepted = {}
    names = _in_full(text.rpartition("=")[0] for text in texts)
    for name, text in zip(names, texts, strict=True):
        value, before = (float(number) if number else None for number in text.rpartition("=")[2].split("<"))
        accepted[name] = Accepted(value, before)
    return accepted


def _answer(place: str, typed: Any) -> bool | None:
    try:
        return yes_or_no(typed, true_is_yes=False)  # the sheet's formulas look for the words
    except NeitherYesNorNo as error:
        raise BlockbookError(f"{place}: {error} Write yes or no, or leave it empty.") from None


@dataclass(frozen=True)
class _Table:
    """The rows under the headings of the sheet Review. first_row: number of the first, from 1."""

    path: Path
    sheet: str
    rows: Sequence[Sequence[Any]]
    columns: Mapping[str, int]
    digest: str
    first_row: int
    unit: Unit

    def word(self) -> CoachWord:
        """Raises BlockbookError where the block is not there."""
        rows = {key: (number, row) for number, row, key in self._of_block()}
        whole = next((key for key in rows if key.split("+")[0] == _WHOLE_BLOCK), None)
        if rows.keys() <= {whole}:
            raise BlockbookError(f"{self.path}: holds no review of this block. Run `blockbook review` on it first.")
        said, mistakes = each_and_mistakes(
            rows, lambda key: self._deload(*rows[key]) if key == whole else self._override(*rows[key])
        )
        overrides = {key: own for key, own in said.items() if isinstance(own, Override)}
        return CoachWord(overrides, str(said.get(whole or "", "")), tuple((whole or "").split("+")[1:]), mistakes)

    def _override(self, number: int, row: Sequence[Any]) -> Override:
        readers: dict[str, Callable[[int, Sequence[Any]], Any]]
        readers = {"load": self._own_load, "sets": self._own_sets, "accept": self._accept}
        said, mistakes = each_and_mistakes(readers, lambda name: readers[name](number, row))
        return Override(
            accept=said.get("accept", True),
            load=said.get("load"),
            sets=said.get("sets"),
            choice=str(self._cell(row, "choice")).strip(),
            place=self._place(number, "own", YOUR_LOAD),
            choice_place=self._place(number, "choice", YOUR_CHOICE),
            mistake="\n".join(mistakes),
        )

    def _own_load(self, number: int, row: Sequence[Any]) -> float | None:
        place = self._place(number, "own", YOUR_LOAD)
        read = cells.read_load(self._cell(row, "own"), self.unit)
        if read.code == "unit-converted":
            raise BlockbookError(
                f'{place}: "{read.raw}" is not in {self.unit}, as the block is. Write it in {self.unit}.'
            )
        return _number(place, read, MOST_LOAD)

    def _own_sets(self, number: int, row: Sequence[Any]) -> int | None:
        place = self._place(number, "own_sets", YOUR_SETS)
        sets = _number(place, cells.read_number(self._cell(row, "own_sets")), MOST_SETS)
        if sets is not None and sets != int(sets):
            raise BlockbookError(f"{place}: sets are counted whole. Write a whole number, or leave it empty.")
        return None if sets is None else int(sets)

    def _accept(self, number: int, row: Sequence[Any]) -> bool:
        return _answer(self._place(number, "accept", ACCEPT), self._cell(row, "accept")) is not False

    def _deload(self, number: int, row: Sequence[Any]) -> str:
        """The answer to a deload first."""
        yes = _answer(self._place(number, "choice", YOUR_CHOICE), self._cell(row, "choice"))
        return {None: "", True: YES[0], False: NO[0]}[yes]

    def _of_block(self) -> Iterator[tuple[int, Sequence[Any], str]]:
        for number, row in enumerate(self.rows, start=self.first_row):
            digest, _, key = str(self._cell(row, "key")).partition("/")
            if digest == self.digest and key:
                yield number, row, key

    def _cell(self, row: Sequence[Any], name: str) -> Any:
        return row[self.columns[name]] if self.columns[name] < len(row) else ""

    def _place(self, number: int, name: str, heading: str) -> str:
        letters = column_letters(self.columns[name])
        return f"{self.path}: sheet {self.sheet}, row {number}, {heading} (cell {letters}{number})"


def _number(place: str, reading: cells.Reading, most: float) -> float | None:
    if reading.raw and reading.value is None:
        raise BlockbookError(f'{place}: "{reading.raw}" is not a number. Write one, or leave it empty.')
    if reading.value is not None and not 0 <= reading.value <= most:
        raise BlockbookError(
            f"{place}: {reading.value:g} should lie between 0 and {most:g}. Correct it, or leave it empty."
        )
    return reading.value
