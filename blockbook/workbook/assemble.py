"""A specification -> the whole workbook as data, every cell in place."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import chain

from blockbook.cycles import no_search_for_cycles
from blockbook.formula.functions import Scalar
from blockbook.languages import speaking
from blockbook.sheet.book import Book
from blockbook.spec.models import Specification
from blockbook.training import prescription
from blockbook.workbook.earlier import TypedRow, add_earlier
from blockbook.workbook.layout import (
    EARLIER,
    MANIFEST,
    PLATES,
    START,
    SUMMARY,
    TABLES,
    WORKINGS,
    SessionPlace,
    place_week,
    week_sheet,
)
from blockbook.workbook.manifest import add_manifest
from blockbook.workbook.meet_cells import MEET, MEET_TABLES
from blockbook.workbook.meet_in_block import add_meet_to_block, has_meet_sheet
from blockbook.workbook.plates import add_plates
from blockbook.workbook.start import add_start
from blockbook.workbook.steps import Workings, place_workings
from blockbook.workbook.summary import add_summary
from blockbook.workbook.tables import add_tables
from blockbook.workbook.week import add_week
from blockbook.workbook.workings import add_workings

_AT_THE_FOOT = 36
"""So many letters of the lifter's name, and of the block's, have room at the foot of a page."""


@dataclass(frozen=True)
class BlockBook:
    """A block's workbook as data, and where its sessions, lines and workings stand.

    typed: what stands in its inputs before anyone types (input name -> value).
    """

    spec: Specification
    book: Book
    weeks: tuple[tuple[SessionPlace, ...], ...]
    workings: Workings
    typed: Mapping[str, Scalar] = field(default_factory=dict)

    @property
    def sessions(self) -> Iterator[SessionPlace]:
        """Every session of every week, in order."""
        return chain.from_iterable(self.weeks)


@no_search_for_cycles()
def assemble(spec: Specification, earlier: Sequence[TypedRow] = ()) -> BlockBook:
    """Lay out and fill every sheet, in the lifter's language. Private notes never get in.

    earlier: rows logged before the block was changed, for a sheet of their own.
    """
    with speaking(spec.lifter.language):
        return _assembled(spec.for_lifter(), earlier)


@no_search_for_cycles()
def decision_alone(spec: Specification) -> BlockBook:
    """The load decision with nothing on the sheets that show it: its loads while nothing is typed, in half the time."""
    book = Book()
    weeks = tuple(place_week(sessions, spec.block) for sessions in prescription.weeks(spec))
    for week in range(1, len(weeks) + 1):
        book.add(week_sheet(week))
    workings = place_workings(weeks)
    add_workings(book, spec, add_tables(book, spec), weeks, workings)
    return BlockBook(spec, book, weeks, workings)


def _shortened(text: str) -> str:
    return text if len(text) <= _AT_THE_FOOT else f"{text[: _AT_THE_FOOT - 1].rstrip()}…"


def _assembled(spec: Specification, earlier: Sequence[TypedRow]) -> BlockBook:
    book = Book(about=" · ".join(map(_shortened, (spec.lifter.name, spec.short_title))))
    weeks = tuple(place_week(sessions, spec.block) for sessions in prescription.weeks(spec))
    workings = place_workings(weeks)
    tables = add_tables(book, spec)
    add_start(book, spec)
    for week, places in enumerate(weeks, start=1):
        before, after = tuple(chain.from_iterable(weeks[: week - 1])), weeks[week : week + 1]
        add_week(book, spec, week, places, tables, workings, before, tuple(chain.from_iterable(after)))
    add_workings(book, spec, tables, weeks, workings)
    add_summary(book, spec, weeks, workings, tables)
    meet = has_meet_sheet(spec)
    typed = add_meet_to_block(book, spec, weeks, workings, tables) if meet else {}
    if earlier:
        add_earlier(book, earlier, spec.block)
    add_plates(book, spec, tables)
    add_manifest(book, spec)
    names = [
        START,
        *(week_sheet(week) for week in range(1, len(weeks) + 1)),
        SUMMARY,
        *([MEET] if meet else []),
        *([EARLIER] if earlier else []),
        PLATES,
        TABLES,
        *([MEET_TABLES] if meet else []),
        WORKINGS,
        MANIFEST,
    ]
    book.sheets = {name: book.sheets[name] for name in names}
    return BlockBook(spec, book, weeks, workings, typed)
