"""A season as a calendar at 80 columns, as commented YAML, and what changed against an earlier one."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from textwrap import wrap

from blockbook.spec.documents import dump_yaml
from blockbook.spec.schemas import SEASON_SCHEMA_LINE
from blockbook.spec.season import Season
from blockbook.training.prescription import weeks_out
from blockbook.training.season import MIDDLE, iso_week, names
from blockbook.training.season_calendar import Span, day_said, given_up, key_days, spans, weeks_begin

WIDTH = 80


def calendar(season: Season) -> str:
    """The season as text, no line over 80 columns; weeks are ISO weeks and weeks to the next meet."""
    lines = _filled(_heading(season), "") + _filled(weeks_begin(season), "")
    lines += ["", f"{'From':<12}{'to':<12}{'ISO weeks':<11}{'Weeks out':<11}"]
    year = None
    for span in spans(season):
        if span.first.year != year:
            year = span.first.year
            lines.append(f"{year}")
        lines += _span_lines(season, span)
    lines += ["", "Days to know"]
    lines += [f"  {_line(day.first, day.last)}  {day.title}" for day in key_days(season)]
    if lacking := given_up(season):
        lines += ["", "Given up, or worth a look"]
        lines += [line for text in lacking for line in _filled(text, "  ")]
    return "\n".join(line.rstrip() for line in lines)


def _heading(season: Season) -> str:
    whose = f"Season of {season.lifter}" if season.lifter else "Season"
    meets = ", ".join(_day(meet) for meet in season.meets)
    return f"{whose} from {_day(season.first)}. {'Meets' if len(season.meets) > 1 else 'Meet'}: {meets}."


def _day(day: date) -> str:
    """ "Mon 4 January 2027"."""
    return f"{day_said(day)} {day.year}"


def _span_lines(season: Season, span: Span) -> list[str]:
    weeks, out = iso_weeks(span.first, span.last), ""
    if span.block and (meet := season.next_meet(span.last)):
        first, last = weeks_out(meet, span.first), weeks_out(meet, span.block.week_start(span.block.weeks))
        out = f"{first}" if first == last else f"{first}-{last}"
    head = f"{_line(span.first, span.last)}  {weeks:<11}{out:<7}{span.title}"
    return [head, *_filled(span.why, " " * 24)] if span.why else [head]


def _line(first: date, last: date) -> str:
    if first == last:
        return f"{first:%a %d %b}".ljust(22)
    return f"{first:%a %d %b}  {last:%a %d %b}"


def iso_weeks(first: date, last: date) -> str:
    """ "W01-W04": the ISO 8601 weeks in which most of the first and of the last seven days lie."""
    begin, end = iso_week(min(first + MIDDLE, last)), iso_week(max(last - MIDDLE, first))
    return begin if begin == end else f"{begin}-{end}"


def _filled(text: str, indent: str) -> list[str]:
    return wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent)


_HEAD = """\
A season, counted back from the meet. Change whatever you like: `blockbook new --season` and
`blockbook next --season` follow what stands here. Dates are year-month-day.
To move a meet: change its date here, then `blockbook season --out` this file `--force` counts
back anew (your changes to the blocks are then gone; what changed is said)."""

_FIELDS = {
    "lifter": "Whose season it is; shown in the calendar.",
    "from": "The first day.",
    "meets": "Days of the meets, in order.",
    "away": "Holidays and travel, first..last day. No training is planned in a week mostly away.",
    "policy": "Numbers of the plan that differ from the usual ones.",
}


def season_yaml(season: Season) -> str:
    """The season as commented YAML that reads back as an equal one."""
    data = season.to_data()
    blocks = data.pop("blocks", [])
    policy = data.pop("policy", None)
    lines = [SEASON_SCHEMA_LINE, *(f"# {line}" for line in _HEAD.splitlines())]
    for field, value in data.items():
        lines += ["", f"# {_FIELDS[field]}", dump_yaml({field: value}).rstrip()]
    lines += [
        "",
        "# kind: general, volume, strength or peak. start: the first day of week 1. weeks: its length.",
        "# deload_week: its lighter week, counted from 1; leave it out for none.",
    ]
    lines += [f"# {line}" for line in wrap(weeks_begin(season), 94)]
    lines.append("blocks:" if blocks else "blocks: []")
    why = {span.block.start: span.why for span in spans(season) if span.block}
    for block, item in zip(season.blocks, blocks, strict=True):
        lines += [f"  # {line}" for line in wrap(f"To {_day(block.last)}. {why[block.start]}", 92)]
        fields = ", ".join(f"{name}: {value}" for name, value in item.items())
        lines.append(f"  - {{{fields}}}")
    if policy:
        lines += ["", f"# {_FIELDS['policy']}", dump_yaml({"policy": policy}).rstrip()]
    return "\n".join(lines) + "\n"


def changes(old: Season, new: Season) -> list[str]:
    """What is different in a new season, in sentences; nothing for equal ones."""
    said = []
    if old.first != new.first:
        said.append(f"First day: {old.first}, now {new.first}.")
    if old.meets != new.meets:
        said.append(f"Meets: {_dates(old.meets)}, now {_dates(new.meets)}.")
    if old.away != new.away:
        ranges = [" ".join(map(str, season.away)) or "never" for season in (old, new)]
        said.append(f"Away: {ranges[0]}, now {ranges[1]}.")
    before, after = names(old), names(new)
    known = {*before, *after}
    for name, block in before.items():
        what = _block_name(name, known)
        if name not in after:
            said.append(f"{what}, from {block.start}: no longer there.")
        elif (now := after[name]) != block:
            parts = [f"{block.start} is now {now.start}"] if now.start != block.start else []
            if now.weeks != block.weeks:
                parts.append(f"{block.weeks} week{'s' if block.weeks > 1 else ''}, now {now.weeks}")
            if now.deload_week != block.deload_week:
                parts.append(f"deload week {block.deload_week or 'none'}, now {now.deload_week or 'none'}")
            said.append(f"{what}: {'; '.join(parts)}.")
    said += [
        f"{_block_name(name, known)}, from {block.start}: new." for name, block in after.items() if name not in before
    ]
    return said


def _dates(days: tuple[date, ...]) -> str:
    return " ".join(str(day) for day in days)


def _block_name(name: str, known: Collection[str]) -> str:
    """ "meet-1-volume-2" as "2nd last volume block before meet 1"; the only one of its kind has no number."""
    _, meet, kind, count = name.split("-")
    if f"meet-{meet}-{kind}-2" not in known:
        return f"{kind.capitalize()} block before meet {meet}"
    place = {"1": "Last", "2": "2nd last", "3": "3rd last"}.get(count, f"{count}th last")
    return f"{place} {kind} block before meet {meet}"
