"""Every number of the load decision, in one object that a specification can override."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field


class Policy(BaseModel):
    """Numbers of the load decision. Shares are fractions: 0.02 is 2 %.

    Common practice, no source, unless a field says otherwise.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    # What a logged set says
    estimate_reps_limit: float = Field(
        20,
        ge=5,
        le=40,
        description="Sets further from a maximum than this many reps (done + left) give no estimate",
    )
    fatigue_per_set: float = Field(
        0.012, ge=0, le=0.1, description="Each set of an exercise costs the next about this share of strength"
    )
    implausible: float = Field(
        0.5, ge=0.2, le=2, description="A set this far off what is believed (in logs) is not used; twice that at first"
    )
    reserve_underrated: float = Field(
        0.1,
        ge=-0.5,
        le=1,
        description="Reps in reserve are more than reported by this share (direction: Halperin et al. 2022)",
    )
    set_sd: float = Field(0.018, gt=0, le=0.2, description="Spread of what one set says of strength, at failure")
    reserve_sd: float = Field(0.004, ge=0, le=0.1, description="The same, added for each rep left in reserve")

    # How well the lifter judges effort
    effort_bias: float = Field(
        0.05, ge=-2, le=2, description="Reps that a lifter is taken to leave beyond those reported, to begin with"
    )
    effort_bias_sd: float = Field(0.6, ge=0, le=3, description="How far lifters differ in that, in reps")
    effort_test_sd: float = Field(0.6, gt=0, le=5, description="How far off one set to failure shows it, in reps")
    all_out_reserve: float = Field(0.3, ge=0, le=1, description="Reserve of a set that went to failure, in part reps")
    judged_reserve: float = Field(4, ge=1, le=8, description="Sets with more reported reserve are no judgement")

    # Belief and its spread
    known_sd: float = Field(0.04, gt=0, le=0.3, description="Spread of a maximum stated in the specification")
    guess_sd: float = Field(0.12, gt=0, le=0.5, description="Spread of a maximum guessed from a related lift")
    depth_loss: float = Field(
        0.015, ge=0, le=0.1, description="A first load allows for this share of tiredness per exercise before it"
    )
    drift_sd: float = Field(0.012, ge=0, le=0.1, description="Spread that a week adds to a believed maximum")
    exercise_sd: float = Field(0.015, gt=0, le=0.2, description="Spread of one exercise's form from session to session")
    day_sd: float = Field(0.03, gt=0, le=0.2, description="Spread of a day's form, shared by its exercises")
    gain_shared: float = Field(0.25, ge=0, le=1, description="How much of a shift shared by the session is kept")

    # Expected progress
    weekly_gain: float = Field(0.01, ge=0, le=0.05, description="Expected weekly gain")
    first_gain: float = Field(0.012, ge=0, le=0.1, description="More from the first to the second time, sets up to 7")
    first_gain_high: float = Field(0.03, ge=0, le=0.1, description="The same, sets of 8 and more")
    gap_days: int = Field(10, ge=8, le=60, description="So many days without an exercise are a gap: no rise after it")
    gap_loss: float = Field(0.01, ge=0, le=0.1, description="Loss expected for each idle week")

    # The day
    day_up_limit: float = Field(0.05, ge=0, le=0.1, description="The sets above raise a target by at most this share")
    day_down_limit: float = Field(0.08, ge=0, le=0.2, description="The sets above lower it by at most this share")
    feeler_share: float = Field(0.97, ge=0.5, le=1, description="Load of the last warm-up set, of the planned load")
    feeler_limit: float = Field(0.15, ge=0, le=0.2, description="A feeler moves its exercise by at most this share")
    feeler_from: float = Field(
        0.035, ge=0, le=0.5, description="A maximum with this spread or more gets a feeler in week 1"
    )

    # The load. ACSM 2009: raise by 2-10 % once the lifter can do one or two reps over target.
    over_cost: float = Field(
        1.6, ge=0.5, le=5, description="A rep over the target effort is as bad as so many under it"
    )
    most_rise: float = Field(
        0.1, ge=0, le=0.1, description="Most that a load rises from one session to the next (ACSM 2009: 2-10 %)"
    )
    hold_overshoot: float = Field(
        1, ge=0.5, le=1, description="Last time this far over the target effort: the load does not rise"
    )
    ease_overshoot: float = Field(
        1.5, ge=0.5, le=5, description="A set this far over its target effort lightens the sets after it"
    )
    hold_band: float = Field(
        0.035, ge=0, le=0.1, description="A load held on purpose comes down only for a drop larger than this share"
    )
    lowest_step: float = Field(0.9, ge=0.5, le=1, description="A load never falls below this share of the last one")

    # Progress without load
    coarse_step: float = Field(
        0.05, ge=0, le=0.2, description="A step larger than this share of the load is coarse: reps fill it"
    )
    extra_reps: int = Field(
        2, ge=0, le=5, description="Reps added at most where steps are coarse; ranges have their own"
    )
    fewer_reps: int = Field(2, ge=0, le=5, description="Reps taken off at most where steps are coarse")
    extra_reps_from: int = Field(4, ge=1, le=20, description="Sets of fewer reps than this neither gain nor lose a rep")
    load_slots: int = Field(3, ge=1, le=10, description="Exercises deeper than this progress by reps unless told")

    # Deload week
    deload_sets: float = Field(0.6, gt=0, le=1, description="Sets of a deload week, share of the usual")
    deload_rpe: float = Field(6, ge=5, le=8, multiple_of=0.5, description="Target effort of a deload week at most")
    deload_percent: float = Field(0.9, gt=0, le=1, description="Loads set in percent or kg/lb, share in a deload week")

    # Counting and judging
    hard_set_rpe: float = Field(6, ge=5, le=9, description="A set at this effort or above is a hard set")
    on_target: float = Field(0.5, ge=0, le=1, description="Effort this near the target counts as on target")
    curve_prior: float = Field(
        0.5, ge=0, description="How firmly the lifter's own rep curve is held at the standard one (larger: firmer)"
    )
    reset_share: float = Field(0.95, ge=0.8, le=1, description="A reset starts at this share of the decided load")
    reset_effort: float = Field(0.75, ge=0.25, le=3, description="Mean effort error that asks for a reset")
    stall_gain: float = Field(0.005, ge=0, le=0.05, description="Less gain than this over the block is a stall")
    poor_share_done: float = Field(0.5, ge=0, le=1, description="Share of sets done below which the exercise changes")
    sets_change: float = Field(0.2, ge=0, le=0.2, description="Most that weekly sets change from block to block")
