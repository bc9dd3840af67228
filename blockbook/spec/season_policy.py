"""Every number of the season plan, each with its source."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field


class SeasonPolicy(BaseModel):
    """Numbers that a season is counted back with; a season file can override them under `policy`.

    Common practice, no source, unless a field says otherwise. Lengths of the blocks are those of
    the templates that ship, and the peak template trains on the days before the meet given here:
    other days move the calendar's entries, and the coach moves the block's sessions.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    # Lengths
    peak_weeks: int = Field(4, ge=2, le=6, description="Weeks of a peak block, the last of them the taper")
    block_weeks: int = Field(5, ge=3, le=7, description="Usual weeks of the other blocks, the last a deload")
    shortest_volume: int = Field(4, ge=3, le=6, description="No volume block before a meet with fewer weeks than this")
    volume_peak: int = Field(
        8,
        ge=6,
        le=8,
        description="The week with most work begins so many weeks before the meet (Travis et al. 2021: 5-8; "
        "Pritchard et al. 2016: 5.2 +- 1.7)",
    )
    most_weeks_of_work: int = Field(
        7, ge=4, le=7, description="Weeks of work without a deload at most (Bell et al. 2024: every 5.6 +- 2.3 weeks)"
    )

    # The last weeks
    taper_days: int = Field(7, ge=7, le=10, description="Days of the taper (Travis et al. 2021: 7-10)")
    intensity_peak: int = Field(
        2,
        ge=1,
        le=2,
        description="The heaviest week begins so many weeks before the meet (Travis et al. 2021: 2; Pritchard et al. "
        "2016: 1.9 +- 0.8)",
    )
    last_heavy_squat: int = Field(7, ge=7, le=10, description="Days before the meet (Travis et al. 2021: 7-10)")
    last_heavy_bench: int = Field(5, ge=1, le=6, description="Days before the meet (Travis et al. 2021: under 7)")
    last_heavy_deadlift: int = Field(10, ge=7, le=10, description="Days before the meet (Travis et al. 2021: 7-10)")
    last_session: int = Field(3, ge=3, le=5, description="Days before the meet (Pritchard et al. 2016: 3.7 +- 1.6)")
    least_volume_cut: float = Field(
        0.41, ge=0.3, le=0.7, description="Sets cut in the taper, share at least (Travis et al. 2021: 41-50 %)"
    )
    most_volume_cut: float = Field(
        0.67, ge=0.3, le=0.7, description="The same, at most (Pritchard et al. 2016: 58.9 +- 8.4 %)"
    )

    # Days off
    recovery_days: int = Field(7, ge=0, le=28, description="Easy days after a meet, before the next block")
    away_days: int = Field(4, ge=1, le=7, description="A week with so many days away holds no training")
    early_days: int = Field(2, ge=0, le=3, description="The first week may begin so many days before the first day")
