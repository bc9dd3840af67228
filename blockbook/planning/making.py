"""A season made, or made anew in place of an earlier one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from pydantic import ValidationError

from blockbook.errors import BlockbookError
from blockbook.planning.season_text import calendar, changes, season_yaml
from blockbook.spec.loading import load_season
from blockbook.spec.season import DateRange, Season
from blockbook.training.season import count_back


@dataclass(frozen=True)
class MadeSeason:
    """The season, and what is different from the one it replaces (None where there was none)."""

    season: Season
    changes: tuple[str, ...] | None

    def to_yaml(self) -> str:
        return season_yaml(self.season)

    def calendar(self) -> str:
        """The season as text of 80 columns."""
        return calendar(self.season)


def make_season(
    out: Path,
    meets: Sequence[date],
    first: date | None,
    away: Sequence[tuple[date, date]] | None,
    lifter: str | None,
    usual_first: date,
) -> MadeSeason:
    """Count back; what is not given is taken from the season in the file `out`, if it is there.

    Raises BlockbookError for dates that make no season.
    """
    old = load_season(out) if out.exists() else None
    if not meets and old is None:
        raise BlockbookError("a season needs the day of a meet: --meet 2027-06-05.")
    if old is None and first is None:
        _refuse_past(meets, usual_first)
    try:
        ranges = None if away is None else [DateRange(first=begin, last=end) for begin, end in away]
        made = count_back(
            meets or (old.meets if old else ()),
            first or (old.first if old else usual_first),
            ranges if ranges is not None else (old.away if old else ()),
            old.policy if old else None,
            lifter if lifter is not None else (old.lifter if old else ""),
        )
    except ValidationError as error:
        said = dict.fromkeys(str(detail["msg"]).removeprefix("Value error, ") for detail in error.errors())
        raise BlockbookError(f"no season: {'; '.join(said)}") from None
    return MadeSeason(made, tuple(changes(old, made)) if old else None)


def _refuse_past(meets: Sequence[date], usual_first: date) -> None:
    """No season leads to a meet before it begins; of a first day that nobody named, more is to be said."""
    for meet in meets:
        if meet <= usual_first:
            raise BlockbookError(
                f"no season: the meet on {meet} is past, or too near: without --from a season begins next Monday, "
                f"{usual_first}. Check the year, or name the season's first day."
            )
