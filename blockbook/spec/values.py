"""Small value types of the specification: per-week values, repetitions, best lifts, slugs."""

from __future__ import annotations

import re
import unicodedata
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Annotated, Any, NamedTuple, Never, TypeVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, PlainSerializer, WithJsonSchema

T = TypeVar("T")

KG_PER_LB = 0.45359237
"""The international avoirdupois pound, exact (agreement of 1959)."""

MOST_LOAD = 2000
MOST_SETS, MOST_REPS_PLANNED = 20, 50
LEAST_EFFORT, MOST_EFFORT = 5, 10
EFFORT_STEP = 0.5
LEAST_PERCENT, MOST_PERCENT = 20, 110
LEAST_DROP, MOST_DROP = 1, 50
MOST_RESERVE = 5
WEEKLY_FIELDS = ("sets", "reps", "rpe", "percent", "load")
BACK_OFF_WEEKLY_FIELDS = ("sets", "reps", "rpe")
"""Fields of a slot and of its back-off sets that take one value or one a week."""


BLANKS_THAT_BREAK_NO_LINE = "\u00a0\u202f"
"""As text from a page has them."""


def single_blanks(value: Any) -> Any:
    """A text with one plain blank for several, of whatever kind."""
    return re.sub(f"[ {BLANKS_THAT_BREAK_NO_LINE}]+", " ", value) if isinstance(value, str) else value


ExerciseName = Annotated[str, BeforeValidator(single_blanks)]
"""A name by which an exercise is found: two blanks in it are one, of whatever kind."""


class Reps(NamedTuple):
    """Target repetitions: low = high for a plain number, else a range to climb through."""

    low: int
    high: int

    def __str__(self) -> str:
        return str(self.low) if self.low == self.high else f"{self.low}-{self.high}"


_REPS = re.compile(r"\s*(\d{1,3})(?:\s*(?:[-–]|to)\s*(\d{1,3}))?\s*")


def _parse_reps(value: Any) -> Any:
    if isinstance(value, Reps):
        return value
    match = _REPS.fullmatch(str(value))
    if not match:
        raise ValueError("should be a whole number such as 5, or a range such as 8-12")
    low = int(match[1])
    high = int(match[2] or low)
    if not 1 <= low <= high <= MOST_REPS_PLANNED:
        raise ValueError(f"should lie between 1 and {MOST_REPS_PLANNED}, a range from low to high")
    return Reps(low, high)


def _dump_reps(reps: Reps) -> int | str:
    return reps.low if reps.low == reps.high else str(reps)


def _as_tuple(value: Any) -> Any:
    if isinstance(value, list):
        return tuple(value)
    return value if isinstance(value, tuple) and not isinstance(value, Reps) else (value,)


def _scalar_if_one(values: tuple[Any, ...]) -> Any:
    plain = [_dump_reps(value) if isinstance(value, Reps) else value for value in values]
    return plain[0] if len(plain) == 1 else plain


def _one_or_a_list(item: dict[str, Any]) -> WithJsonSchema:
    return WithJsonSchema({"anyOf": [item, {"type": "array", "items": item, "minItems": 1}]})


_PER_WEEK = (BeforeValidator(_as_tuple), PlainSerializer(_scalar_if_one))

WeeklyReps = Annotated[
    tuple[Annotated[Reps, BeforeValidator(_parse_reps)], ...],
    *_PER_WEEK,
    _one_or_a_list({"anyOf": [{"type": "integer"}, {"type": "string", "pattern": "^[0-9]+-[0-9]+$"}]}),
]
WeeklySets = Annotated[
    tuple[Annotated[int, Field(ge=0, le=MOST_SETS)], ...],
    *_PER_WEEK,
    _one_or_a_list({"type": "integer", "minimum": 0, "maximum": MOST_SETS}),
]
WeeklyEffort = Annotated[
    tuple[Annotated[float, Field(ge=LEAST_EFFORT, le=MOST_EFFORT, multiple_of=EFFORT_STEP)], ...],
    *_PER_WEEK,
    _one_or_a_list({"type": "number", "minimum": LEAST_EFFORT, "maximum": MOST_EFFORT, "multipleOf": EFFORT_STEP}),
]
WeeklyLoad = Annotated[
    tuple[Annotated[float, Field(ge=0, le=MOST_LOAD)], ...],
    *_PER_WEEK,
    _one_or_a_list({"type": "number", "minimum": 0, "maximum": MOST_LOAD}),
]
WeeklyPercent = Annotated[
    tuple[Annotated[float, Field(ge=LEAST_PERCENT, le=MOST_PERCENT)], ...],
    *_PER_WEEK,
    _one_or_a_list({"type": "number", "minimum": LEAST_PERCENT, "maximum": MOST_PERCENT}),
]


def in_week(values: tuple[T, ...], week: int) -> T:
    """The value for a week (from 1) of a single value or one value a week."""
    return values[0] if len(values) == 1 else values[week - 1]


def _parse_date(value: Any) -> Any:
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    try:
        return date.fromisoformat(value) if re.fullmatch(r"\d{4}-\d{2}-\d{2}", value) else _no_date()
    except (TypeError, ValueError):
        return _no_date()


def _no_date() -> Never:
    raise ValueError("should be a date such as 2027-01-04")


PlainDate = Annotated[date, BeforeValidator(_parse_date)]


def percent_alone(text: str) -> str:
    """What to write for a number with its sign, "75 %"; "" for other text."""
    share = re.fullmatch(r"(\d+(?:[.,]\d*)?)\s*%", text.strip())
    return f"should be the number alone, {without_comma(share[1])}" if share else ""


def unit_meant(text: str) -> str | None:
    """The unit of weight that a word such as "lbs" or "KG" says; None for other words."""
    said = text.strip().casefold().rstrip(".").removesuffix("s")
    return {"kg": "kg", "kilo": "kg", "kilogram": "kg", "lb": "lb", "pound": "lb"}.get(said)


def number_alone(text: str, unit: str | None, is_weight: bool) -> str:
    """What to write for a number with a unit of weight, "100 kg"; "" for other text.

    unit: what the block counts in, None where that is not known; is_weight: whether what is asked for is one, so that
    it can be converted.
    """
    found = re.fullmatch(r"([1-9]\d{0,2}(?:,\d{3})+|\d+(?:[.,]\d*)?)\s*(kg|lb)s?", text.strip(), re.IGNORECASE)
    if not found:
        return ""
    written, other = without_comma(found[1]), found[2].casefold()
    if other == unit or not is_weight:
        return f"should be the number alone, {written}"
    if unit is None:
        return "should be the number alone, in the unit of the block"
    number = float(written) * (KG_PER_LB if other == "lb" else 1 / KG_PER_LB)
    about = round(number) if number >= _ROUNDED_FROM else round(number, 1)
    return f"should be the number alone, {about:g}: the block counts in {unit}"


def without_comma(number: str) -> str:
    """Digits with a comma as Python takes them: before three digits it parts thousands, else it is a decimal comma."""
    return number.replace(",", "" if PARTED_IN_THOUSANDS.fullmatch(number) else ".")


PARTED_IN_THOUSANDS = re.compile(r"\+?[1-9]\d{0,2}(,\d{3})+")
_ROUNDED_FROM = 20


class InWeeks:
    """What begins on a day and lasts whole weeks."""

    if TYPE_CHECKING:
        start: date
        weeks: int

    @property
    def end(self) -> date:
        """The day after the last."""
        return self.start + timedelta(weeks=self.weeks)

    @property
    def last(self) -> date:
        return self.end - timedelta(days=1)

    def week_start(self, week: int) -> date:
        """First day of a week, counted from 1."""
        return self.start + timedelta(weeks=week - 1)


class Best(BaseModel):
    """A recent best: load x reps at an effort. A plain number is a one-rep maximum."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    load: float = Field(
        ge=0,
        le=MOST_LOAD,
        description="Load in the block's unit: per hand for dumbbells, what hangs on the lifter (0: nothing) for "
        "body-weight exercises",
    )
    reps: int = Field(1, ge=1, le=20)
    rpe: float = Field(10, ge=5, le=10, description="Effort (RPE) of that set; 10 left nothing in reserve")
    spread: float | None = Field(
        None, gt=0, le=0.5, description="How sure it is, where it was learned from logs: 0.02 is give or take 2 %"
    )
    on: PlainDate | None = Field(None, description="Day of the last log it was learned from")


def _parse_best(value: Any) -> Any:
    return value if isinstance(value, (dict, Best)) else {"load": value}


def _dump_best(best: Best) -> Any:
    given = best.model_dump(exclude_defaults=True)
    return best.load if given.keys() == {"load"} else given


BestOrNumber = Annotated[
    Best,
    BeforeValidator(_parse_best),
    PlainSerializer(_dump_best),
    WithJsonSchema(
        {
            "anyOf": [{"type": "number", "minimum": 0}, Best.model_json_schema()],
            "description": "A one-rep maximum, or a recent {load, reps, rpe}, or {load, spread, on} learned from logs",
        }
    ),
]


def slug(text: str) -> str:
    """Lower-case letters, digits and hyphens: safe in keys and file names everywhere.

    Other alphabets are written as they sound.
    """
    if not text.isascii():
        from anyascii import anyascii  # noqa: PLC0415  # only for those: its tables take a while to load

        text = anyascii("".join(character for character in text if unicodedata.category(character) != "So"))
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-") or "x"
