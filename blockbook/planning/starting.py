"""A starter specification for a block of the season: a template's text with its dates, length and days."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from functools import partial
from textwrap import fill

from blockbook.errors import BlockbookError
from blockbook.spec.loading import parse_spec
from blockbook.spec.models import DAYS, Day, Specification, Unit
from blockbook.spec.policy import Policy
from blockbook.spec.schemas import SCHEMA_LINE
from blockbook.spec.season import Season, SeasonBlock
from blockbook.spec.templates import named, starter
from blockbook.training.block_length import Length, fitted
from blockbook.training.deload import lighter_fields
from blockbook.training.prescription import countdown, weeks
from blockbook.training.season_calendar import day_said

_FOLLOWS = "# follow it.\n"


def block_on(season: Season, day: date, kind: str | None = None) -> SeasonBlock:
    """The block that holds a day, else the next one; of one kind, if that is given.

    Raises BlockbookError where none is left.
    """
    for block in season.blocks:
        if block.end > day and kind in (None, block.kind):
            return block
    raise none_left(day, kind)


def none_left(day: date, kind: str | None = None) -> BlockbookError:
    """That a season has no block, or none of a kind, on a day or later."""
    what = f"{kind} block" if kind else "block"
    return BlockbookError(
        f"the season has no {what} on {day} or later. Add one under blocks:, or count back anew: blockbook season."
    )


def season_starter(season: Season, block: SeasonBlock, unit: Unit = "kg") -> str:
    """A commented starter specification for a block of the season: YAML text, buildable as it is."""
    text = starter(block.kind, block.start, unit)
    spec = parse_spec(text, block.kind)
    old, new = Length(spec.block.weeks, spec.block.deload_week), Length(block.weeks, block.deload_week)
    given = [session.day for session in spec.sessions if session.day]
    days = iter(days_apart(given, block.start) if block.kind == "peak" else days_in_order(given, block.start))
    text = _with_weeks(text, old, new, spec.policy, ends_in_meet=block.kind == "peak")
    text = re.sub(r"^    day: \w{3}", lambda _: f"    day: {next(days)}", text, flags=re.MULTILINE)
    text = _with_head(text, block, season.next_meet(block.start))
    if early := before_first_day(season, parse_spec(text, block.kind)):
        text = text.replace(_FOLLOWS, f"{_FOLLOWS}{fill(early, 98, initial_indent='# ', subsequent_indent='# ')}\n", 1)
    return named(text, season.lifter) if season.lifter else text


def before_first_day(season: Season, spec: Specification) -> str:
    """What to do with sessions of week 1 that fall before the season's first day; "" where none does."""
    early = [session for session in weeks(spec)[0] if session.day < season.first]
    if not early:
        return ""
    which = ", ".join(f"{session.name} ({day_said(session.day)})" for session in early)
    falls = "falls" if len(early) == 1 else "fall"
    return f"In week 1 {which} {falls} before the season's first day: train on {day_said(season.first)} or later."


def days_in_order(days: Sequence[Day], start: date) -> list[Day]:
    """The same weekdays, in the order in which they come in a week that begins on `start`."""
    return sorted(days, key=lambda day: (DAYS.index(day) - start.weekday()) % 7)


def days_apart(days: Sequence[Day], start: date) -> list[Day]:
    """Weekdays of a week from Monday, moved along with its first day: they stay as far from the meet."""
    return [DAYS[(DAYS.index(day) + start.weekday()) % 7] for day in days]


def _with_head(text: str, block: SeasonBlock, meet: date | None) -> str:
    """Length, deload week and meet on their lines of the block's head, and where all this comes from."""

    def line(pattern: str, put: str) -> None:
        nonlocal text
        text = re.sub(rf"^  {pattern}", put, text, count=1, flags=re.MULTILINE)

    if meet:
        line(r"# meet: .*\n", "")
    line(r"(start: \S+).*", r"  \1         # first day of week 1; weeks are counted back from the meet")
    line(
        r"weeks: \d+.*",
        f"  weeks: {block.weeks}" + (f"\n  meet: {meet}              # weeks out are shown" * bool(meet)),
    )
    # With the lines that explain it: they speak of the template's deload, or of its having none.
    line(r"(?:# )?deload_week: .*\n(?:  +# .*\n)*?(?=  \S)", f"  {_deload_line(block)}\n")
    out = f", {countdown(meet, block.start)}" if meet else ""
    length = f"{block.weeks} week{'s' if block.weeks > 1 else ''}"
    said = (
        f"# By the season: {block.kind}, {length} from {block.start}{out}. Start, length, deload, meet and weekdays\n"
        f"{_FOLLOWS}#\n"
    )
    # In place of the line that describes the template as it ships, with its weeks and deload.
    return re.sub(rf"^{re.escape(SCHEMA_LINE)}\n# .*\n#\n", lambda _: f"{SCHEMA_LINE}\n{said}", text, count=1)


def _deload_line(block: SeasonBlock) -> str:
    if block.deload_week:
        return f"deload_week: {block.deload_week}                # a lighter week, by the season"
    return f"# deload_week: {block.weeks}              # take the # away to make week {block.weeks} a lighter one"


def _with_weeks(text: str, old: Length, new: Length, policy: Policy, ends_in_meet: bool) -> str:
    """The text with every list of one value a week fitted to the new length."""
    lighter = lighter_fields(policy)

    def light(field: str, value: str) -> str:
        if field == "reps":
            return value
        return f"{lighter[field](int(value) if field == 'sets' else float(value)):g}"

    def fit(found: re.Match[str]) -> str:
        field, values = found[1], found[2].split(", ")
        if len(values) != old.weeks:
            return found[0]
        return f"{field}: [{', '.join(fitted(values, old, new, partial(light, field), ends_in_meet))}]"

    text = re.sub(r"\b(sets|reps|rpe|percent|load): \[([^\]\n]*)\]", fit, text)
    return re.sub(
        r"\btest_weeks: \[(\d+)\]", lambda found: found[0] if int(found[1]) <= new.weeks else "test_weeks: []", text
    )
