"""What a plan workbook says, where each part of it stands, and how a mistake in it is told."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from blockbook.plan.keys import heading_of
from blockbook.sheet.book import Cell
from blockbook.spec.documents import Location, field_path


class Place(NamedTuple):
    """A cell, by the order of its sheet, with the heading that people see."""

    order: int
    cell: Cell
    heading: str

    @property
    def sheet_in_words(self) -> str:
        return f"'{self.cell.sheet}'" if " " in self.cell.sheet else self.cell.sheet

    def __str__(self) -> str:
        return f"{self.sheet_in_words}!{self.cell.address} ({self.heading})"


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
            return one_line(
                f"{field_path(part)}{message} Its sheet, or the hidden keys on that, are gone. Take them from an "
                "earlier copy, or from a new plan (blockbook new)."
            )
        if part and tuple(map(str, part)) not in self.places:  # that had no cell, so its neighbour's is known
            return one_line(f"{place.sheet_in_words} ({heading_of(part)}): {_CELLS_GONE}")
        for yaml_said, said in _SAID_FOR_CELLS:
            message = re.sub(yaml_said, said, message)
        return one_line(f"{place}: {message}")


PUT_BACK = "Put it back, from an earlier copy say."
_CELLS_GONE = f"is missing, and so is its place: a row, a column or a hidden key is gone. {PUT_BACK}"
_SAID_FOR_CELLS = (
    (r"^rpe is missing: .*", "the target effort is missing: 8, say, or one value a week. A percent, a fixed load or "
     "a reserve would do as well."),
    (r"; add your own under `exercises`\.", "; add your own on the sheet Exercises."),
    (r"nothing is written here", "nothing stands here"),
    (r"(has \d+ values; .*)", r"\1. Is a week's cell empty, or its column gone?"),
    (r"^is missing\.$", "is missing. Fill it in; a row that is not wanted has to be empty."),
    (r"(?<!')\brpe\b", "effort"),
    (r"\bback_off\b", "back-off sets"),
    (r"\bloads\b", "your own loads"),
)  # fmt: skip
"""What is said of a specification in YAML, put for somebody who looks at a sheet."""


def one_line(message: str) -> str:
    """What a cell holds may have line breaks and signs that no terminal should get."""
    return "".join(sign if sign.isprintable() else "?" for sign in message)
