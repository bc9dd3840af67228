"""The workbook as it was sent, for finding its rows again in what comes back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from blockbook.intake.found import as_text
from blockbook.intake.opening import Grid
from blockbook.intake.recovery import ExpectedRow
from blockbook.workbook.assemble import BlockBook
from blockbook.workbook.layout import (
    BEFORE_SESSION,
    COLUMN,
    SESSION_INPUTS,
    SESSION_LOAD,
    session_input_key,
    week_sheet,
)
from blockbook.workbook.manifest import MARKER

REVIEW_HEADINGS = ("Accept?", "Your load", "Your sets")
"""The headings of a review workbook that the coach types under."""


def manifest_column(grids: Mapping[str, Grid]) -> list[Any] | None:
    """The texts of the manifest, wherever its sheet now is; None if there is none."""
    for grid in grids.values():
        for number, row in enumerate(grid[:20]):
            for column, value in enumerate(row[:20]):
                if isinstance(value, str) and value.strip() == MARKER:
                    return [below[column] if column < len(below) else None for below in grid[number:]]
    return None


def is_review(grids: Mapping[str, Grid]) -> bool:
    """Whether the sheets are those of our own review workbook, by the headings that the coach types under."""
    return any(set(REVIEW_HEADINGS) <= set(map(as_text, row)) for grid in grids.values() for row in grid[:200])


def _of_earlier_versions(workbook: BlockBook) -> Iterator[str]:
    """What stood on week sheets that were sent before this version, and is ours as well."""
    yield from ("After the session", "Nach der Einheit", "Después de la sesión")
    for place in workbook.weeks[0]:
        for went_on in ("continued", "Fortsetzung", "continuación"):
            yield f"{place.session.number} · {place.session.name}, {went_on}"


@dataclass(frozen=True)
class Sent:
    """The workbook as it was sent: where each key stands, and the fixed texts of its week sheets."""

    workbook: BlockBook
    places: Mapping[str, tuple[str, int]]
    texts: frozenset[str]

    @classmethod
    def of(cls, workbook: BlockBook) -> Sent:
        places: dict[str, tuple[str, int]] = {}
        for place in workbook.sessions:
            for name, row in place.input_rows.items():
                places[session_input_key(place.session.key, name)] = (place.sheet, row)
            for line in place.lines:
                if line.instead_row is not None:
                    places[line.instead_key] = (line.sheet, line.instead_row)
                places |= {planned.key: (line.sheet, line.set_rows[planned.number]) for planned in line.line.sets}
        sheets = (workbook.book.sheets[week_sheet(week)] for week in range(1, len(workbook.weeks) + 1))
        texts = (value for sheet in sheets for value in sheet.contents.values() if isinstance(value, str))
        own = (*texts, *_of_earlier_versions(workbook))
        return cls(workbook, places, frozenset(" ".join(text.split()) for text in own))

    @cached_property
    def session_loads(self) -> frozenset[str]:
        """Labels of the rows that a session ends with, as they were sent and in English."""
        places = self.workbook.sessions
        said = (as_text(self.workbook.book.sheets[p.sheet].contents.get((p.load_row, COLUMN["label"]))) for p in places)
        return frozenset((SESSION_LOAD, *said))

    @property
    def has_stand_ins(self) -> bool:
        return any(line.chosen for place in self.workbook.sessions for line in place.lines)

    def says(self, text: str) -> bool:
        """Whether a text is one of ours: a title, a heading, a hint. A number may be anybody's."""
        return " ".join(text.split()) in self.texts and not text.replace(".", "").isdigit()

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
            noted = {
                asked.name: ExpectedRow("input", session_input_key(place.session.key, asked.name),
                                        label(place.input_rows[asked.name]))
                for asked in SESSION_INPUTS
            }  # fmt: skip
            yield ExpectedRow("title", "", label(place.title_row), place.session.name)
            yield from (noted.pop(name) for name in BEFORE_SESSION)
            for line in place.lines:
                yield ExpectedRow("title", "", label(line.title_row), line.line.exercise.name)
                if line.instead_row is not None:
                    yield ExpectedRow("input", line.instead_key, label(line.instead_row))
                for planned in line.line.sets:
                    row = line.set_rows[planned.number]
                    effort = (
                        "" if planned.rpe is None else as_text(float(self.workbook.spec.block.as_typed(planned.rpe)))
                    )
                    yield ExpectedRow("set", planned.key, label(row), asked=(as_text(float(planned.reps)), effort))
            yield from noted.values()
