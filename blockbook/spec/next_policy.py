"""Every number behind the next block, in one object that a specification can override."""

from __future__ import annotations

from typing import Annotated, Any, Self

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, PlainSerializer, WithJsonSchema, model_validator

from blockbook.spec.catalogue import Muscle


class SetRange(BaseModel):
    """Weekly sets of a muscle, least and most; written "8-16"."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    low: int = Field(ge=0, le=60)
    high: int = Field(ge=0, le=60)

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.high < self.low:
            raise ValueError(f"should go from the least to the most, such as 8-16, not {self}")
        return self

    def __str__(self) -> str:
        return f"{self.low}-{self.high}"


def _parse_range(value: Any) -> Any:
    if isinstance(value, (SetRange, dict)):
        return value
    low, dash, high = str(value).partition("-")
    if not (dash and low.strip().isdigit() and high.strip().isdigit()):
        raise ValueError("should be the least and the most weekly sets, such as 8-16")
    return {"low": int(low), "high": int(high)}


_Range = Annotated[
    SetRange,
    BeforeValidator(_parse_range),
    PlainSerializer(str, return_type=str),
    WithJsonSchema({"type": "string", "pattern": "^[0-9]+-[0-9]+$"}),
]


class NextPolicy(BaseModel):
    """Numbers of the decisions from block to block. Shares are fractions: 0.02 is 2 %.

    Common practice, no source, unless a field says otherwise. Which signs speak for a deload follows
    what coaches and lifters say they go by (Bell et al. 2022, Front Sports Act Living 4:1073223; 2023,
    Sports Med Open 9:87; 2024, Sports Med Open 10:26); none of them gives thresholds.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    # Deload first
    deload_signs: int = Field(2, ge=1, le=4, description="A deload comes first where so many of the four signs agree")
    lifts_falling: float = Field(
        0.5, ge=0, le=1, description="Sign: estimated maxima fall on more than this share of the exercises"
    )
    monotony: float = Field(
        2, ge=1, le=5, description="Sign: monotony of a week, this or more (Foster 1998, as it is commonly quoted)"
    )
    strain_rise: float = Field(
        0.3,
        ge=0,
        le=2,
        description="Sign: strain of a week above the mean of the weeks before by this share. Foster 1998 has a "
        "threshold for each athlete; the share is common practice",
    )
    soreness: float = Field(6, ge=0, le=10, description="Sign, with sleep: soreness before sessions, 0-10, or more")
    sleep: float = Field(
        7, ge=0, le=12, description="Sign, with soreness: sleep below so many hours (Watson et al. 2015: 7 or more)"
    )

    # Loads: raised, held, lowered, reset
    reset_sessions: int = Field(3, ge=2, le=12, description="A reset takes so many sessions over target, or")
    reset_clearly: float = Field(1, ge=0.5, le=5, description="a mean effort this far over it")

    # Exercises: kept, varied, replaced
    least_gain: float = Field(0.002, ge=0, le=0.05, description="Weekly gain from which an exercise makes progress")
    trend_confidence: float = Field(
        0.9, ge=0.5, lt=1, description="Confidence of the interval of the slope over two blocks (Sen 1968)"
    )
    fewest_weeks: int = Field(6, ge=3, le=20, description="Logged weeks that a slope over two blocks needs")
    session_minutes: int | None = Field(
        None, ge=10, le=300, description="Minutes a session may take; left out, time is not judged"
    )

    # Weekly sets
    most_sets: int = Field(6, ge=1, le=20, description="No exercise of a session is given more sets than this")
    fewest_sets: int = Field(2, ge=1, le=10, description="No exercise of a session is cut below so many sets")
    muscle_sets: dict[Muscle, _Range] = Field(
        default_factory=dict, description="Muscle -> weekly sets, least and most, such as chest: 8-16"
    )

    # Tests, and the coach's own loads
    test_spread: float = Field(
        0.05, ge=0.005, le=0.5, description="An exercise whose maximum has a larger spread is tested in the next block"
    )
    most_own_load: float = Field(
        1.5, ge=1, le=5, description="A load of the coach's above so many estimated maxima is taken for a slip"
    )
