"""What a plan workbook says, where each part of it stands, and how a mistake in it is told."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from blockbook.plan.columns import PLAN, STEPS
from blockbook.plan.keys import SHEET_OF, heading_for, heading_of
from blockbook.sheet.book import Cell
from blockbook.spec.documents import Location
from blockbook.spec.messages import (
    IS_MISSING,
    MISSING_EFFORT,
    NO_EQUIPMENT,
    NO_SUCH_EXERCISE,
    NOTHING_WRITTEN,
    SHOULD_BE_TEXT,
    UNEVEN_WEEKS,
    UNKNOWN_EXERCISE,
    Message,
)

_LONGEST_HEADING = 60
"""As much of a heading is told: enough to know it again."""


class Place(NamedTuple):
    """A cell, by the order of its sheet, with the heading that people see."""

    order: int
    cell: Cell
    heading: str

    @property
    def sheet_in_words(self) -> str:
        return f"'{self.cell.sheet}'" if " " in self.cell.sheet else self.cell.sheet

    def __str__(self) -> str:
        heading = textwrap.shorten(self.heading, _LONGEST_HEADING, placeholder=" ...")
        return f"{self.sheet_in_words}!{self.cell.address} ({heading})"


NOWHERE = Place(-1, Cell("", 0, 0), "")
"""Of what no cell was found for: a whole sheet that is missing."""

UNREADABLE = object()
"""Stands in the data for a cell that says nothing that can be read, so that its part counts as unsound and not as
left out."""


@dataclass
class PlanSource:
    """What a plan workbook says, as plain data, and where each part of it stands."""

    data: dict[str, Any] = field(default_factory=dict)
    places: dict[tuple[str, ...], Place] = field(default_factory=dict)
    mistakes: list[tuple[Place, str]] = field(default_factory=list)
    kinds: dict[tuple[int, int], tuple[Place, Any]] = field(default_factory=dict)
    keys: dict[str, Place] = field(default_factory=dict)
    remarks: list[tuple[Place, str]] = field(default_factory=list)

    def find(self, location: Location) -> tuple[Any, Location]:
        held: tuple[str, ...] = ()
        for step in map(str, location):
            if (*held, step) in self.places:
                held = (*held, step)
        return self.places.get(held, NOWHERE), held

    def is_told(self, place: Place, content: Any) -> bool:
        """Whether a mistake only repeats what was found when its cell was read."""
        return content is UNREADABLE or any(place == other for other, _ in self.mistakes)

    def put(self, location: Location, place: Place) -> None:
        """Where a part stands; what it belongs to stands where the first of its parts does, until told otherwise."""
        steps = tuple(map(str, location))
        for length in range(1, len(steps)):
            self.places.setdefault(steps[:length], place)
        self.places[steps] = place

    def at(self, location: Location) -> Place:
        return self.places[tuple(map(str, location))]

    def put_first(self, location: Location, place: Place) -> None:
        """The place of a part is that of the first of its fields."""
        self.places.setdefault(tuple(map(str, location)), place)

    def told(self, place: Place, part: Location, message: str) -> str:
        if place == NOWHERE:
            sheet = SHEET_OF.get(str(part[0]), PLAN) if part else PLAN
            return one_line(f"{sheet}: {_with_headings(message)} {_SHEET_GONE}")
        if part and tuple(map(str, part)) not in self.places:  # that had no cell, so its neighbour's is known
            return one_line(f"{place.sheet_in_words} ({heading_of(part)}): {_CELLS_GONE}")
        return one_line(f"{place}: {_as_seen(message, part)}")

    def shown(self, content: Any) -> str:
        """A share looks like a percentage where a program made one of it."""
        share = isinstance(content, float) and 0 < content < _MOST_OF_A_SHARE
        return f"{100 * content:g} %, or {content:g}" if share else f'"{content}"'


_MOST_OF_A_SHARE = 1.5

PUT_BACK = "Put it back, from an earlier copy say."
_CELLS_GONE = f"is missing, and so is its place: a row, a column or a hidden key is gone. {PUT_BACK}"
_SHEET_GONE = (
    "The sheet, or the hidden keys on it, are gone. Take them from an earlier copy, or from a new plan (blockbook new)."
)


def _as_seen(message: str, part: Location) -> str:
    """What is said of a specification in YAML, put for somebody who looks at a sheet."""
    if message in (f"{IS_MISSING}.", f"{SHOULD_BE_TEXT}; {NOTHING_WRITTEN}."):
        return _missing(part)
    return _with_headings(message).replace(NOTHING_WRITTEN, "nothing stands here")


def _with_headings(message: str) -> str:
    """A message that calls other fields as they are called on the sheets."""
    if not isinstance(message, Message):
        return message
    return message.said(_quoted, _SAID_FOR_CELLS.get(message.template, ""))


def _quoted(name: str) -> str:
    return f'"{heading_for(name)}"'


def _missing(part: Location) -> str:
    if "back_off" in part:
        return "is missing, and other back-off columns are filled in. Fill it in, or empty those."
    if len(part) > 2 and part[1] in STEPS:
        return f"is missing. Fill it in, or empty all three of {STEPS[str(part[1])]}."
    in_a_row = part and part[0] in ("sessions", "exercises")
    return f"{IS_MISSING}. Fill it in{'; a row that is not wanted has to be empty' if in_a_row else ''}."


_SAID_FOR_CELLS = {
    MISSING_EFFORT: "the target effort is missing. Write 8, say, or one value a week; a percent, a fixed load or max "
    "reps would do as well.",
    UNKNOWN_EXERCISE: f"{NO_SUCH_EXERCISE} The sheet Lists has all; add your own on the sheet Exercises.",
    NO_EQUIPMENT: "{exercise} needs {implement}. Write its loads on the sheet Equipment, or choose another exercise.",
    UNEVEN_WEEKS: f"{UNEVEN_WEEKS} Is a week's cell empty, or its column gone?",
}
"""Template of a message -> another for the same words."""


def one_line(message: str) -> str:
    """What a cell holds may have line breaks and signs that no terminal should get."""
    return "".join(sign if sign.isprintable() else "?" for sign in message)
