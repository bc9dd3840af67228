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
    sure_effort: float = Field(
        6,
        ge=1,
        le=8,
        description="Below this effort reserve is a guess: such a set may raise what is believed only",
    )
    reserve_weight: float = Field(
        0.8, gt=0, le=1, description="A set's say is multiplied by this for each rep left in reserve"
    )

    # Today or trend
    day_sd: float = Field(0.02, gt=0, le=0.2, description="Spread of a day's form, shared by its exercises")
    exercise_sd: float = Field(0.03, gt=0, le=0.2, description="Spread of one exercise around its believed 1RM")
    first_sd: float = Field(0.08, gt=0, le=0.5, description="The same before anything was logged in this block")
    day_up_limit: float = Field(0.03, ge=0, le=0.1, description="The day raises a target by at most this share")
    day_down_limit: float = Field(0.06, ge=0, le=0.2, description="The day lowers a target by at most this share")
    gain_shared: float = Field(0.6, ge=0, le=1, description="How much of a shift shared by the session is kept")
    gain_own: float = Field(0.55, ge=0, le=1, description="How much of an exercise's own shift is kept")
    gain_first: float = Field(0.8, ge=0, le=1, description="How much of the shift is kept at the first exposure")
    gain_guess: float = Field(0.95, ge=0, le=1, description="The same where the belief was a guess from a related lift")
    feeler_share: float = Field(0.92, ge=0.5, le=1, description="Load of the last warm-up set, of the planned load")

    # Expected progress a week
    weekly_gain_heavy: float = Field(0.004, ge=0, le=0.05, description="Expected weekly gain, sets of up to 3")
    weekly_gain_middle: float = Field(0.006, ge=0, le=0.05, description="Expected weekly gain, sets of 4 to 7")
    weekly_gain_high: float = Field(0.01, ge=0, le=0.05, description="Expected weekly gain, sets of 8 and more")
    second_exposure_factor: float = Field(
        2, ge=1, le=5, description="The first gain, from first to second exposure, is this many times larger"
    )

    # Guards. ACSM 2009: raise by 2-10 % once the lifter can do one or two reps over target;
    # a doubled cap stays within that.
    cap_heavy: float = Field(0.02, ge=0, le=0.05, description="Most a load rises in a week, sets of up to 3")
    cap_middle: float = Field(0.03, ge=0, le=0.05, description="Most a load rises in a week, sets of 4 to 7")
    cap_high: float = Field(0.05, ge=0, le=0.05, description="Most a load rises in a week, sets of 8 and more")
    depth_first: float = Field(1, ge=0, le=1, description="Share of cap and gain kept by the session's 1st exercise")
    depth_second: float = Field(0.9, ge=0, le=1, description="The same, 2nd exercise")
    depth_third: float = Field(0.8, ge=0, le=1, description="The same, 3rd exercise")
    depth_later: float = Field(0.5, ge=0, le=1, description="The same, 4th exercise and deeper")
    easy_effort: float = Field(
        1.5, ge=0.5, le=5, description="Last time this far under the target effort: the cap doubles"
    )
    ease_overshoot: float = Field(
        1.5, ge=0.5, le=5, description="A set this far over its target effort lightens the sets after it"
    )
    first_round_up: float = Field(
        0.05, ge=0, le=0.2, description="A first load is rounded up to what can be made by at most this share"
    )
    hold_overshoot: float = Field(
        1, ge=0.5, le=3, description="Last time this far over the target effort: the load does not rise"
    )
    hold_band: float = Field(
        0.035,
        ge=0,
        le=0.1,
        description="A calculated drop smaller than this share is not made while no less is asked",
    )
    lowest_step: float = Field(0.9, ge=0.5, le=1, description="A load never falls below this share of the last one")

    # Progress without load
    extra_reps: int = Field(2, ge=0, le=5, description="Reps added at the same load before tempo takes over")
    fewer_reps: int = Field(2, ge=0, le=5, description="Reps taken off at most where the load has no step down")
    extra_reps_from: int = Field(4, ge=1, le=20, description="Sets of fewer reps than this neither gain nor lose a rep")
    full_range_step: float = Field(
        0.1, ge=0, le=0.1, description="Largest step once reps are full or it was far too easy (ACSM 2009: 2-10 %)"
    )
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
    clear_loss: float = Field(0.02, ge=0, le=0.2, description="A loss over the block that asks for another exercise")
    poor_share_done: float = Field(0.5, ge=0, le=1, description="Share of sets done below which the exercise changes")
    sets_change: float = Field(0.2, ge=0, le=0.2, description="Most that weekly sets change from block to block")
