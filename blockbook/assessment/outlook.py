"""What is suggested for the block after a returned one, as data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from blockbook.training.readiness import Sign
from blockbook.training.robust_slope import Slope

Action = Literal["raise", "hold", "lower", "as written", "reset", "change the exercise", "deload first"]
Kept = Literal["kept", "varied", "replaced"]


@dataclass(frozen=True)
class Choice:
    """Whether an exercise stays. exercise: the next block's; why: in a sentence; options: others that would do."""

    kind: Kept
    exercise: str
    why: str = ""
    options: tuple[str, ...] = ()


@dataclass(frozen=True)
class Suggestion:
    """One exercise's way into the next block. Loads in the block's unit.

    reason: the decision in a sentence; figures: the numbers behind it, in words.
    pain: it hurts, by the last that was heard of it; near_pain: the exercise that hurts and of which this one
    is a close relative, "" for none; pain_instead: what was done in its place on days on which it was noted.
    believed_max: estimated one-rep maximum at the block's end, body load included, and its
    spread (one standard deviation); trend: weekly gain of the estimated maxima, in logs, over so many
    logged weeks in `blocks` blocks.
    first_load: for week 1 of the next block, None where a load is not decided here, and
    the reps above the base that it goes with (extra); deload_load: the same if
    that week is a deload; most_load: above it the rise is too large, None for none.
    share_done: of all sets up to where the log has come, a stand-in's counted in; share_done_there: of those whose
    session was trained; done_itself: whether any set was of the exercise itself.
    sets and next_sets: work sets of week 1, this block and next; test_week: week of a test of the maximum.
    overran: the session's minutes where they were too many and this is its last exercise; written: its loads are
    the coach's, in percent or fixed; held_by: why its first load is no higher than this block's, in words; alarm:
    something noted asks for a physician first, so that nothing is changed.
    """

    key: str
    session: str
    exercise: str
    action: Action
    reason: str
    figures: str
    pain: bool
    near_pain: str
    pain_instead: tuple[str, ...]
    start_load: float | None
    last_load: float | None
    first_load: float | None
    extra: int | None
    deload_load: float | None
    most_load: float | None
    believed_max: float | None
    spread: float | None
    change: float | None
    trend: Slope | None
    trend_weeks: int
    blocks: int
    mean_over: float | None
    share_done: float | None
    share_done_there: float | None
    done_itself: bool
    sets: int
    next_sets: int
    choice: Choice
    overran: float | None = None
    written: bool = False
    held_by: str = ""
    test_week: int | None = None
    alarm: bool = False

    @property
    def held(self) -> bool:
        """Whether nothing may be raised, because it or a close relative hurts, or a physician has the next word."""
        return self.pain or bool(self.near_pain) or self.alarm

    def week_one(self, deload_first: bool) -> float | None:
        """The suggested load of week 1, light where that is a deload; None where none is decided here."""
        return self.deload_load if deload_first else self.first_load


@dataclass(frozen=True)
class Ahead:
    """What the sheet says of an exercise one week after the block, asked for week 1's prescription.

    believed: one-rep maximum, tiredness of the exercises before it left out; spread: its standard
    deviation in logs; planned: load, None where it is not decided here; extra, effort: the reps
    above the base and the effort that it goes with; hurts: pain was
    the last thing heard of it; near_pain: the exercise that hurts and is its close relative; curve: the
    fitted rep curve all of this rests on; missed_at_meet: attempts missed at the meet have lowered what is believed;
    alarm: something noted asks for a physician first.
    """

    believed: float | None
    spread: float
    planned: float | None
    extra: int
    effort: float
    hurts: bool
    near_pain: str
    curve: float
    missed_at_meet: bool = False
    alarm: bool = False

    @property
    def held(self) -> bool:
        return self.hurts or bool(self.near_pain) or self.alarm


@dataclass(frozen=True)
class Outlook:
    """The whole block's suggestions, what was learned of the lifter, and why a deload comes first ("" if not).

    curve: fitted rep curve; effort_bias: reps left beyond those reported, None without a test of
    effort, and the number of tests behind it; signs: what speaks for a deload and what does not; blocks:
    how many blocks all of this rests on.
    """

    suggestions: tuple[Suggestion, ...]
    curve: float
    deload_reason: str
    effort_bias: float | None
    effort_tests: float
    signs: tuple[Sign, ...] = ()
    blocks: int = 1
