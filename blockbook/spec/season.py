"""A season: meets, days away and the blocks between, as frozen pydantic models the coach can edit."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Annotated, Any, Literal, Self

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, PlainSerializer, WithJsonSchema, model_validator

from blockbook.spec.documents import Location
from blockbook.spec.mistakes import SpecMistakes
from blockbook.spec.models import MOST_WEEKS
from blockbook.spec.season_policy import SeasonPolicy
from blockbook.spec.values import InWeeks, PlainDate

BlockKind = Literal["general", "volume", "strength", "peak"]
"""The templates that ship, by name."""

MOST_MEETS = 12
MOST_BLOCKS = 60
LONGEST_SEASON = timedelta(weeks=156)


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True, populate_by_name=True)


class DateRange(_Part):
    """Days from first to last, both among them."""

    first: PlainDate
    last: PlainDate

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.last < self.first:
            raise ValueError(f"the last day lies before the first: {self.first} to {self.last}")
        return self

    def __str__(self) -> str:
        return f"{self.first}" if self.first == self.last else f"{self.first}..{self.last}"

    def days_in(self, first: date, last: date) -> range:
        """Its days from `first` to `last`, as ordinals."""
        return range(max(first, self.first).toordinal(), min(last, self.last).toordinal() + 1)


def parse_range(text: str) -> dict[str, str]:
    """ "2027-02-15..2027-02-21" or a single day, as the fields of a DateRange."""
    first, _, last = text.partition("..")
    return {"first": first.strip(), "last": (last or first).strip()}


_Range = Annotated[
    DateRange,
    BeforeValidator(lambda value: parse_range(value) if isinstance(value, str) else value),
    PlainSerializer(str, return_type=str),
    WithJsonSchema({"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}(\.\.\d{4}-\d{2}-\d{2})?$"}),
]


class SeasonBlock(_Part, InWeeks):
    """One block of the season."""

    kind: BlockKind = Field(description="Template: general, volume, strength or peak")
    start: PlainDate = Field(description="First day of week 1")
    weeks: int = Field(ge=1, le=MOST_WEEKS, description="Length in weeks")
    deload_week: int | None = Field(None, ge=1, le=MOST_WEEKS, description="A lighter week, counted from 1")


class Season(_Part):
    """The way to one meet or several, block by block."""

    lifter: str = Field("", max_length=60, description="Whose season it is, if you like")
    first: PlainDate = Field(alias="from", description="First day of the season")
    meets: tuple[PlainDate, ...] = Field(min_length=1, max_length=MOST_MEETS, description="Days of the meets, in order")
    away: tuple[_Range, ...] = Field((), max_length=60, description="Holidays and travel, as 2027-02-15..2027-02-21")
    blocks: tuple[SeasonBlock, ...] = Field((), max_length=MOST_BLOCKS, description="Blocks in order of date")
    policy: SeasonPolicy = Field(default_factory=SeasonPolicy, description="Numbers of the plan to override")

    @model_validator(mode="after")
    def _parts_agree(self) -> Self:
        mistakes = list(_mistakes(self))
        if mistakes:
            raise SpecMistakes(mistakes)
        return self

    def next_meet(self, day: date) -> date | None:
        """The first meet on a day or after it."""
        return next((meet for meet in self.meets if meet >= day), None)

    def block_on(self, day: date) -> SeasonBlock | None:
        """The block that a day lies in."""
        return next((block for block in self.blocks if block.start <= day < block.end), None)

    def days_away(self, first: date, last: date) -> int:
        """How many days from `first` to `last` are away; a day in two ranges counts once."""
        return len({day for days in self.away for day in days.days_in(first, last)})

    def to_data(self) -> dict[str, Any]:
        """Plain data that loads again as an equal season; defaults left out."""
        return self.model_dump(by_alias=True, exclude_defaults=True)


def _mistakes(season: Season) -> Iterator[tuple[Location, str]]:
    earlier = season.first
    for position, meet in enumerate(season.meets):
        if meet <= earlier:
            than = f"the meet before it, {earlier}" if position else f"the season's first day, {earlier}"
            yield ("meets", position), f"{meet} does not lie after {than}. Write meets in order of date."
        elif meet - season.first > LONGEST_SEASON:
            yield ("meets", position), f"{meet} lies more than three years after the first day. Check the year."
        earlier = meet
    before: SeasonBlock | None = None
    for position, block in enumerate(season.blocks):
        place: Location = ("blocks", position)
        if block.deload_week and block.deload_week > block.weeks:
            yield (
                (*place, "deload_week"),
                f"the block has {block.weeks} weeks, so week {block.deload_week} is not in it",
            )
        if before and block.start < before.end:
            yield (
                (*place, "start"),
                f"{block.start} lies before the end of the {before.kind} block above, which runs to {before.last}",
            )
        meet_inside = next((meet for meet in season.meets if block.start <= meet < block.last), None)
        if meet_inside:
            yield (
                (*place, "weeks"),
                f"the block runs to {block.last}, past the meet on {meet_inside}. Shorten it or move its start.",
            )
        before = block
