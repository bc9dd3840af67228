"""The block specification: what the coach writes, as frozen pydantic models."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from datetime import timedelta
from functools import cached_property
from typing import Annotated, Any, Literal, Self

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationInfo,
    WithJsonSchema,
    model_validator,
)

from blockbook.languages import parse_tag
from blockbook.spec import catalogue
from blockbook.spec.catalogue import Exercise, Implement
from blockbook.spec.mistakes import AS_WRITTEN, SpecMistakes, mistakes, unlikely
from blockbook.spec.next_policy import NextPolicy
from blockbook.spec.policy import Policy
from blockbook.spec.values import (
    LEAST_DROP,
    MOST_DROP,
    MOST_LOAD,
    MOST_RESERVE,
    BestOrNumber,
    ExerciseName,
    InWeeks,
    PlainDate,
    WeeklyEffort,
    WeeklyLoad,
    WeeklyPercent,
    WeeklyReps,
    WeeklySets,
    single_blanks,
    slug,
)

Unit = Literal["kg", "lb"]
Day = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
Progress = Literal["load", "reps", "tempo", "hold"]
EffortAs = Literal["rpe", "reps in reserve"]
Kind = Literal["effort", "top_set", "percent", "fixed", "range", "max_reps"]
KIND_WORDS: dict[Kind, str] = {
    "effort": "straight sets",
    "range": "rep range",
    "top_set": "top set",
    "percent": "percent",
    "fixed": "fixed load",
    "max_reps": "max reps",
}
"""Kinds of prescription as a plan calls them."""

DAYS: tuple[Day, ...] = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
TITLE_LIMIT = 80
MOST_WEEKS = 16
MOST_STAND_INS = 5
MEET_AFTER = timedelta(weeks=1)
"""A meet so long after a block's last day still ends it."""

ID_PATTERN, PAIR_PATTERN = r"^[a-z0-9-]{1,40}$", r"^[a-z0-9]{1,10}$"
TEMPO_PATTERN = r"^[0-9X]+(-[0-9X]+){1,3}$"
LABELS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def _short_day(value: object) -> object:
    """ "Thursday", "Thurs." and "Th" are thu."""
    said = str(value).strip().casefold().removesuffix(".")
    meant = [day for day, name in zip(DAYS, _DAY_NAMES, strict=True) if len(said) > 1 and name.startswith(said)]
    return meant[0] if meant else value


_DAY_NAMES = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_Text = Annotated[str, BeforeValidator(lambda value: str(value) if isinstance(value, (int, float)) else value)]


def _language(text: str) -> str:
    return str(parse_tag(text))


def _each_name_once(bests: Any) -> Any:
    """Names that differ in blanks alone would become one, and a best of the two be lost."""
    if isinstance(bests, dict):
        called = Counter(map(single_blanks, bests))
        for name, times in called.items():
            if times > 1:
                raise ValueError(f'"{name}" stands here twice. Keep one')
    return bests


Language = Annotated[str, AfterValidator(_language), WithJsonSchema({"type": "string", "examples": ["de", "en-US"]})]
"""A tag such as de or de-AT, of a language that there is."""


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


class Block(_Part, InWeeks):
    title: str = Field(min_length=1, max_length=TITLE_LIMIT, description="Title of the block, on every sheet")
    start: PlainDate = Field(description="First day of week 1, as 2027-01-04; a Monday is usual")
    weeks: int = Field(ge=1, le=MOST_WEEKS, description="Length in weeks")
    unit: Unit = Field("kg", description="Unit of every load in this specification and in the workbook")
    deload_week: int | None = Field(None, ge=1, le=MOST_WEEKS, description="A lighter week, counted from 1")
    deload_added: bool = Field(
        False, description="Week 1 is a deload put in front of the block's own weeks: the block after it has none"
    )
    alarm_open: bool = Field(
        False,
        description="Chest pain, dizziness or the like was noted in the last block and not answered: loads are struck "
        "out until the lifter, cleared by a physician, types none under Pain. Written by next",
    )
    meet: PlainDate | None = Field(None, description="Day of the meet, if one is set: weeks out are shown")
    steer_by_day: bool = Field(True, description="Later targets of a session follow how its first sets went")
    effort_as: EffortAs = Field(
        "rpe", description="How the lifter types effort: RPE, or the reps left in reserve. Here it is RPE either way"
    )
    note: str = Field("", max_length=600, description="A word to the lifter, on the Start sheet")
    private_note: str = Field("", max_length=4000, description="For the coach only: never in a workbook")

    @property
    def first_own_week(self) -> int:
        """The first week that the block after this one has, too, counted from 1."""
        return 2 if self.deload_added else 1

    @property
    def ends_in_meet(self) -> bool:
        """Whether the meet falls in the last week, or within a week after it."""
        return self.meet is not None and self.week_start(self.weeks) <= self.meet <= self.last + MEET_AFTER

    @property
    def in_reserve(self) -> bool:
        """Whether the lifter types reps left in reserve in place of effort."""
        return self.effort_as == "reps in reserve"

    def as_typed(self, effort: float) -> float:
        """What the lifter types for an effort (RPE); and, as each is 10 less the other, the effort of what is typed."""
        return round(10 - effort, 6) if self.in_reserve else effort


class Lifter(_Part):
    name: str = Field(min_length=1, max_length=60)
    sex: Literal["female", "male"] | None = Field(None, description="For the points at a meet; decides no load")
    body_weight: float = Field(gt=20, le=660, description="In the block's unit")
    birth_year: int | None = Field(None, ge=1900, le=2100, description="Goes into the log; decides nothing here")
    language: Language | None = Field(
        None,
        description="Language of the workbook, perhaps with a region: en, de, es, de-AT, es-MX, en-US. Left out: "
        "English, or the practice's",
    )
    curve: float = Field(
        1,
        ge=0.5,
        le=2,
        description="The lifter's own rep curve: 1 is the standard one, below 1 more reps at a load",
    )
    effort_bias: float | None = Field(
        None, ge=-4, le=4, description="Reps left beyond those reported, as past tests to failure showed"
    )
    effort_tests: float = Field(0, ge=0, le=1000, description="How many tests stand behind that")
    bests: Annotated[dict[ExerciseName, BestOrNumber], BeforeValidator(_each_name_once)] = Field(
        default_factory=dict,
        description="Exercise -> one-rep maximum, a recent {load, reps, rpe}, or {load, spread, on} from logs",
    )


class Steps(_Part):
    """Loads that come in even steps, such as a dumbbell rack or a weight stack."""

    lightest: float = Field(ge=0, le=500)
    heaviest: float = Field(gt=0, le=1000)
    step: float = Field(ge=0.1, le=100)

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.heaviest < self.lightest:
            raise ValueError("heaviest should not be below lightest")
        return self


class Equipment(_Part):
    """What the lifter's gym can load, in the block's unit."""

    bar: float = Field(gt=0, le=200, description="Weight of the bar")
    collars: float = Field(0, ge=0, le=20, description="Weight of both collars together; 0 if not counted")
    plates: dict[Annotated[float, Field(gt=0, le=100)], Annotated[int, Field(ge=0, le=20)]] = Field(
        min_length=1, max_length=15, description="Plate weight -> number of pairs"
    )
    dumbbells: Steps | None = Field(None, description="Dumbbell weights, per hand; left out where there are none")
    stack: Steps | None = Field(None, description="Machine and cable stacks; left out where there are none")
    added_weight: Steps | None = Field(
        None, description="Weight that can be hung on for pull-ups and dips; left out where there is none"
    )

    def has(self, implement: Implement) -> bool:
        """Whether the gym has an implement to train with. A bar and bands are always there."""
        given = {"dumbbell": self.dumbbells, "stack": self.stack}
        return implement not in given or given[implement] is not None


class BackOff(_Part):
    sets: WeeklySets = Field(description="Number of back-off sets")
    reps: WeeklyReps = Field(description="Reps of each")
    drop: float = Field(ge=LEAST_DROP, le=MOST_DROP, description="Percent taken off the top set, such as 10")
    rpe: WeeklyEffort | None = Field(None, description="Target effort, if the coach wants it judged")


class Slot(_Part):
    """One exercise in a session. What is filled in says which kind of prescription it is."""

    exercise: ExerciseName = Field(min_length=1, description="Name from the catalogue or from `exercises` below")
    id: str | None = Field(None, pattern=ID_PATTERN, description="Stable id; made from the name if left out")
    sets: WeeklySets = Field((1,), description="Number of sets, one value or one a week")
    reps: WeeklyReps = Field(description="Reps, or a range such as 8-12; one value or one a week")
    rpe: WeeklyEffort | None = Field(None, description="Target effort (RPE 5 to 10), one value or one a week")
    back_off: BackOff | None = Field(None, description="Back-off sets after a top set")
    percent: WeeklyPercent | None = Field(None, description="Load in percent of the one-rep maximum")
    load: WeeklyLoad | None = Field(None, description="Fixed load")
    reserve: float | None = Field(
        None, ge=0, le=MOST_RESERVE, description="As many reps as possible, stopping with this many in reserve"
    )
    pair: str | None = Field(None, pattern=PAIR_PATTERN, description="Neighbours with the same word are a superset")
    tempo: _Text | None = Field(
        None, pattern=TEMPO_PATTERN, description="Seconds down-pause-up, such as 3-1-1 (X: fast)"
    )
    rest: _Text | None = Field(None, max_length=20, description="Rest between sets, such as 3 min")
    cue: str | None = Field(None, max_length=200, description="A word on how to do it")
    progress: Progress | None = Field(None, description="How it progresses; left out: load, deep in the session reps")
    loads: dict[Annotated[int, Field(ge=1, le=MOST_WEEKS)], Annotated[float, Field(ge=0, le=MOST_LOAD)]] = Field(
        default_factory=dict, description="Week -> load: the coach's own load for that week"
    )
    test_weeks: tuple[Annotated[int, Field(ge=1, le=MOST_WEEKS)], ...] = Field(
        (),
        description="Weeks in which the last set is as many reps as possible: shows how well effort is judged. "
        "For lifts that can be failed safely",
    )
    feeler: bool | None = Field(
        None,
        description="A first set near the day's load, logged with its effort, tunes it. Left out: in week 1, where the "
        "maximum is not sure",
    )
    steer_by_day: bool | None = Field(None, description="Overrides the block's setting for this exercise")
    stand_ins: tuple[Annotated[ExerciseName, Field(min_length=1)], ...] = Field(
        (),
        max_length=MOST_STAND_INS,
        description="Exercises to choose from on a day when this one cannot be done, by name, up to five",
    )
    hurts: bool = Field(
        False,
        description="Pain was the last thing heard of it: nothing is raised here, nor on close relatives, until the "
        "lifter types none under Pain. Written by next",
    )
    held_for: ExerciseName = Field(
        "",
        description="What hurt before this block, has left it and trains the same: nothing is raised here until the "
        "lifter types none under Pain. Written by next",
    )
    from_last_block: float | None = Field(
        None,
        ge=0,
        le=MOST_LOAD,
        description="Week 1's load under loads as next worked it out: while it stands there, the lifter reads where it "
        "comes from. Written by next",
    )
    extra_from_last_block: int | None = Field(
        None,
        ge=-20,
        le=20,
        description="Reps above the base that week 1 asks with that load. Written by next",
    )
    private_note: str = Field("", max_length=4000, description="For the coach only: never in a workbook")

    @property
    def kind(self) -> Kind:
        if self.back_off is not None:
            return "top_set"
        if self.percent is not None:
            return "percent"
        if self.load is not None:
            return "fixed"
        if self.reserve is not None:
            return "max_reps"
        return "range" if any(reps.low < reps.high for reps in self.reps) else "effort"

    def was_worked_out(self, week: int) -> bool:
        """Whether the load of a week is the one that `next` worked out, which the coach has not changed since."""
        return week == 1 and self.from_last_block is not None and self.loads.get(1) == self.from_last_block


class Session(_Part):
    name: str = Field(min_length=1, max_length=60)
    id: str | None = Field(None, pattern=ID_PATTERN, description="Stable id; made from the name if left out")
    day: Annotated[Day | None, BeforeValidator(_short_day)] = Field(
        None, description="Planned weekday; spread over the week if left out"
    )
    slots: tuple[Slot, ...] = Field(min_length=1, max_length=20, description="Exercises in order")


class Specification(_Part):
    """A training block for one lifter, as the coach writes it."""

    block: Block
    lifter: Lifter
    equipment: Equipment
    sessions: tuple[Session, ...] = Field(min_length=1, max_length=7, description="Sessions of a week, in order")
    policy: Policy = Field(default_factory=Policy, description="Numbers of the load decision to override")
    next_block: NextPolicy = Field(
        default_factory=NextPolicy, description="Numbers of the decisions from block to block to override"
    )
    exercises: tuple[Exercise, ...] = Field((), description="The coach's own exercises")

    @model_validator(mode="after")
    def _parts_agree(self, info: ValidationInfo) -> Self:
        found = list(mistakes(self))
        if info.context == AS_WRITTEN:
            found += unlikely(self.lifter, self.block.unit, self.catalogue)
        if found:
            raise SpecMistakes(found)
        return self

    @property
    def short_title(self) -> str:
        """The block's title as it reads beside the lifter's name: "Mara Holt, strength block" is "Strength block"."""
        name, between = re.escape(self.lifter.name), r"[\s,;:·–-]+"
        short = re.sub(rf"^{name}{between}|{between}{name}$", "", self.block.title, flags=re.IGNORECASE)
        return short[:1].upper() + short[1:] if short != self.block.title else short

    @property
    def slots(self) -> Iterator[Slot]:
        """The exercise slots of all sessions, in order."""
        return (slot for session in self.sessions for slot in session.slots)

    @cached_property
    def catalogue(self) -> dict[str, Exercise]:
        """Exercises by lower-case name: the catalogue that ships, then the coach's own."""
        return {**catalogue.shipped(), **catalogue.by_name(self.exercises)}

    def exercise(self, name: str) -> Exercise:
        return self.catalogue[name.casefold()]

    def body_load(self, exercise: Exercise) -> float:
        """The part of the body weight that an exercise lifts along, in the block's unit."""
        return exercise.body_share * self.lifter.body_weight

    def for_lifter(self) -> Specification:
        """The same block without the coach's private notes: what a workbook may carry."""
        sessions = tuple(
            session.model_copy(
                update={"slots": tuple(slot.model_copy(update={"private_note": ""}) for slot in session.slots)}
            )
            for session in self.sessions
        )
        block = self.block.model_copy(update={"private_note": ""})
        return self.model_copy(update={"block": block, "sessions": sessions})

    def to_data(self) -> dict[str, Any]:
        """Plain data that loads again as an equal specification; defaults left out, but for a number of sets.

        One set that nobody wrote is a doubt, so one that was written stays written.
        """
        data = self.model_dump(exclude_defaults=True)
        for session, written in zip(self.sessions, data["sessions"], strict=True):
            for slot, fields in zip(session.slots, written["slots"], strict=True):
                if "sets" in slot.model_fields_set:
                    fields["sets"] = slot.sets[0] if len(slot.sets) == 1 else list(slot.sets)
        return data


def session_ids(spec: Specification) -> list[str]:
    """Ids of the sessions in order: the coach's own, or made from the name."""
    return _unique([session.id or slug(session.name) for session in spec.sessions])


def slot_ids(session: Session) -> list[str]:
    """Ids of a session's slots in order: the coach's own, or made from the exercise."""
    return _unique([slot.id or slug(slot.exercise) for slot in session.slots])


def _unique(names: list[str]) -> list[str]:
    seen: Counter[str] = Counter()
    result = []
    for name in names:
        seen[name] += 1
        result.append(name if seen[name] == 1 else f"{name}-{seen[name]}")
    return result
