"""A season counted back from its meets: which blocks, how long, with which deload weeks.

Weeks are counted back from the day before the meet, so that a week begins on the weekday of the
meet and "8 weeks out" is exact. Whole weeks are filled from the meet: a peak block that ends in
the taper, strength work before it, and before that a volume block whose hardest week lies as far
from the meet as the policy says. What time is left goes to further blocks, general work first.
The order of blocks is common practice, no source; the numbers have theirs in the policy.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import NamedTuple

from blockbook.spec.season import BlockKind, DateRange, Season, SeasonBlock
from blockbook.spec.season_policy import SeasonPolicy

WEEK = timedelta(weeks=1)
DAY = timedelta(days=1)
MIDDLE = 3 * DAY
"""From the first of seven days to the middle one."""

LEAST_WITH_DELOAD = 3
"""Weeks of a block from which it gets a deload week of its own."""


def iso_week(day: date) -> str:
    """ "W01", the week of ISO 8601 a day lies in. Most of seven days lie in that of their middle one."""
    return f"W{day.isocalendar().week:02d}"


class _Part(NamedTuple):
    """Neighbouring weeks of one kind; deload: whether the last of them is one."""

    kind: BlockKind
    weeks: int
    deload: bool = False


def count_back(
    meets: Sequence[date],
    first: date,
    away: Sequence[DateRange] = (),
    policy: SeasonPolicy | None = None,
    lifter: str = "",
) -> Season:
    """The season from its first day to the last meet.

    Raises pydantic's ValidationError (a ValueError) where a meet is not after the first day.
    """
    numbers = policy or SeasonPolicy()
    empty = Season(lifter=lifter, first=first, meets=tuple(sorted(meets)), away=tuple(away), policy=numbers)
    blocks: list[SeasonBlock] = []
    free_from = first
    for number, meet in enumerate(empty.meets):
        earliest = free_from if number else free_from - numbers.early_days * DAY
        blocks += _before_meet(empty, meet, earliest)
        free_from = meet + (1 + numbers.recovery_days) * DAY
    return Season.model_validate({**empty.model_dump(), "blocks": tuple(blocks)})


def _before_meet(season: Season, meet: date, earliest: date) -> list[SeasonBlock]:
    """The blocks between the earliest day and a meet, around the weeks away."""
    whole = max(0, (meet - earliest) // WEEK)
    at_home = [not _is_away(season, meet - out * WEEK) for out in range(whole, 0, -1)]
    blocks: list[SeasonBlock] = []
    end = whole
    while end:
        start = end
        while start and at_home[start - 1]:
            start -= 1
        if weeks := end - start:
            later = {block.kind for block in blocks}
            parts = (
                _to_the_meet(weeks, season.policy)
                if end == whole
                else _to_days_off(weeks, whole - end, later, season.policy)
            )
            blocks = _dated(parts, meet - (whole - start) * WEEK) + blocks
        end = start - 1 if start else 0
    return _general_first(blocks)


def _is_away(season: Season, week_start: date) -> bool:
    return season.days_away(week_start, week_start + WEEK - DAY) >= season.policy.away_days


def _to_the_meet(weeks: int, policy: SeasonPolicy) -> list[_Part]:
    """Blocks that fill so many weeks and end on the day before the meet."""
    heavy = policy.volume_peak - 2  # behind the week with most work and the deload after it
    building = weeks - heavy
    if building < policy.shortest_volume:
        return _heavy(weeks, policy)
    volume = building if building <= policy.block_weeks + 1 else policy.block_weeks
    behind = [_Part("volume", volume, deload=True), *_heavy(heavy, policy)]
    return [*_in_turn(building - volume, "strength", policy), *behind]


def _heavy(weeks: int, policy: SeasonPolicy) -> list[_Part]:
    """Strength and peak. A single week before the peak makes the peak longer."""
    strength = weeks - policy.peak_weeks
    if strength < 2:
        return [_Part("peak", weeks)]
    return [_Part("strength", strength, deload=strength > LEAST_WITH_DELOAD), _Part("peak", policy.peak_weeks)]


def _to_days_off(weeks: int, weeks_out: int, later: set[BlockKind], policy: SeasonPolicy) -> list[_Part]:
    """Blocks that end in days away, which stand for the deload of the last; one week is no block.

    weeks_out: from the end of these weeks to the meet. Near the meet they are those of a season
    without the days away, cut there, so that most work still lies where it should.
    """
    if weeks < 2:
        return []
    if "volume" not in later and weeks_out <= policy.volume_peak:
        parts = _cut(_to_the_meet(weeks + weeks_out, policy), weeks)
    else:
        parts = _in_turn(weeks, "strength" if "volume" in later else "volume", policy)
    return _rested([*parts[:-1], parts[-1]._replace(deload=False)], policy)


def _rested(parts: Sequence[_Part], policy: SeasonPolicy) -> list[_Part]:
    """The parts with a deload before each that would make the weeks of work without one too many."""
    kept: list[_Part] = []
    work = 0
    for part in parts:
        if kept and work + part.weeks - part.deload > policy.most_weeks_of_work:
            kept[-1] = kept[-1]._replace(deload=True)
            work = 0
        kept.append(part)
        work = 0 if part.deload else work + part.weeks
    return kept


def _cut(parts: Sequence[_Part], weeks: int) -> list[_Part]:
    """The first `weeks` weeks. A single week joins the block before; a peak without its meet is strength."""
    kept: list[_Part] = []
    for part in parts:
        if left := min(part.weeks, weeks - sum(before.weeks for before in kept)):
            kind = "strength" if part.kind == "peak" else part.kind
            joins = kept and (left == 1 or (kept[-1].kind == kind and not kept[-1].deload))
            before = kept.pop() if joins else _Part(kind, 0)
            kept.append(_Part(before.kind, before.weeks + left, part.deload and left == part.weeks and not joins))
    return kept


def _in_turn(weeks: int, last: BlockKind, policy: SeasonPolicy) -> list[_Part]:
    """Blocks of about the usual length, volume and strength in turn, each with a deload."""
    if not weeks:
        return []
    number = max(1, -(-(weeks - 1) // policy.block_weeks))
    short, longer = divmod(weeks, number)
    other: BlockKind = "volume" if last == "strength" else "strength"
    return [
        _Part(
            last if (number - position) % 2 else other,
            length := short + (position >= number - longer),
            deload=length >= LEAST_WITH_DELOAD,
        )
        for position in range(number)
    ]


def _dated(parts: Sequence[_Part], start: date) -> list[SeasonBlock]:
    blocks = []
    for part in parts:
        deload = part.weeks if part.deload else None
        blocks.append(SeasonBlock(kind=part.kind, start=start, weeks=part.weeks, deload_week=deload))
        start = blocks[-1].end
    return blocks


def _general_first(blocks: list[SeasonBlock]) -> list[SeasonBlock]:
    """The first block is general work, where another volume block follows it."""
    if any(block.kind == "volume" for block in blocks[1:]):
        return [blocks[0].model_copy(update={"kind": "general"}), *blocks[1:]]
    return blocks


def what_is_left(season: Season, day: date) -> SeasonBlock | None:
    """The season's block from a day on: whole if it is still to come, else its last whole weeks; None for none."""
    for block in season.blocks:
        if block.start >= day:
            return block
        if (left := (block.end - day) // WEEK) > 0:
            gone = block.weeks - left
            deload = block.deload_week - gone if block.deload_week and block.deload_week > gone else None
            return block.model_copy(update={"start": block.end - left * WEEK, "weeks": left, "deload_week": deload})
    return None


def names(season: Season) -> dict[str, SeasonBlock]:
    """ "meet-1-volume-2" -> block: the second volume block counted back from the first meet.

    A name stays the same when the date of the meet moves.
    """
    found: dict[str, SeasonBlock] = {}
    for block in reversed(season.blocks):
        number = sum(meet < block.end for meet in season.meets) + 1
        number -= block.last in season.meets  # a block may end on the day of the meet
        count = sum(name.startswith(f"meet-{number}-{block.kind}-") for name in found) + 1
        found[f"meet-{number}-{block.kind}-{count}"] = block
    return dict(reversed(found.items()))
