"""What stands in a season day by day, and why: every day belongs to one span."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Literal, NamedTuple

from blockbook.spec.policy import Policy
from blockbook.spec.season import Season, SeasonBlock
from blockbook.training.prescription import weeks_out
from blockbook.training.season import DAY, WEEK, names

TAPER = "Taper"
"""Title of the key day that stands for the days of the taper."""

SpanKind = Literal["block", "away", "recovery", "before", "free", "meet"]


class Span(NamedTuple):
    """Neighbouring days, first to last, with what they are for in a sentence or two."""

    kind: SpanKind
    first: date
    last: date
    title: str
    why: str
    block: SeasonBlock | None = None


class KeyDay(NamedTuple):
    """A day or days to know; name: the same whatever its date."""

    name: str
    first: date
    last: date
    title: str
    why: str


def spans(season: Season) -> list[Span]:
    """Every day from the first to the last meet, or to the end of the last block, without overlap."""
    found: list[Span] = []
    fixed = [(block.start, _block_span(season, block)) for block in season.blocks]
    fixed += [(meet, _meet_span(meet)) for meet in season.meets]
    day = season.first
    for start, span in sorted(fixed, key=lambda pair: (pair[0], pair[1].kind == "meet")):
        if start > day:
            found.append(_gap(season, day, start - DAY, found[-1] if found else None))
        if span.kind == "meet" and found and found[-1].last >= start:  # a block that ends on the day of the meet
            found[-1] = found[-1]._replace(last=start - DAY)
        found.append(span)
        day = span.last + DAY
    return found


def weeks_begin(season: Season) -> str:
    """On which day weeks begin and why, and what becomes of days of week 1 that lie before the season; "" where
    weeks begin on Monday and with the season, as anybody would think."""
    if not season.blocks:
        return ""
    said = []
    first, days = season.blocks[0], {f"{block.start:%A}" for block in season.blocks}
    early = first.start < season.first
    if days != {"Monday"} or early:
        meets = [(block.start, season.next_meet(block.start)) for block in season.blocks]
        counted = all(meet and meet.weekday() == start.weekday() for start, meet in meets)
        if len(days) == 1:
            said.append(f"Weeks begin on {min(days)}{', the weekday of the meet' if counted else ''}.")
        elif counted:
            said.append("Weeks begin on the weekday of the meet they lead up to.")
    if early:
        start, train = (day_said(day) for day in (first.start, season.first))
        said.append(f"Week 1 is counted from {start}; what falls before {train} is trained then or later.")
    return " ".join(said)


def key_days(season: Season) -> list[KeyDay]:
    """Deload weeks, taper, last heavy days and meets, in order of date."""
    found = [
        KeyDay(f"{name}-deload", first, first + WEEK - DAY, "Deload week", _deload_why(block))
        for name, block in names(season).items()
        if block.deload_week
        for first in [block.week_start(block.deload_week)]
    ]
    for number, meet in enumerate(season.meets, start=1):
        if peak := _peak_before(season, meet):
            days = [_taper(season, meet, number), *(day for day, _ in _last_days(season, meet, number, peak))]
            found += [day for day in days if day and day.first >= peak.start]
        found.append(KeyDay(f"meet-{number}", meet, meet, "Meet", "Your federation's current rule book decides."))
    return sorted(found, key=lambda day: (day.first, day.last, day.name))


def _taper(season: Season, meet: date, number: int) -> KeyDay:
    first = meet - season.policy.taper_days * DAY
    return KeyDay(f"meet-{number}-taper", first, meet - DAY, TAPER, _taper_why(season))


def _last_days(season: Season, meet: date, number: int, peak: SeasonBlock) -> Iterator[tuple[KeyDay | None, str]]:
    """Last heavy days and last session before a meet, each on a day at home, and what to say of one that is moved
    for days away ("" for none); None where the peak block has no such day."""
    policy = season.policy
    for name, title, days, source in (
        ("deadlift", "Last heavy deadlift", policy.last_heavy_deadlift, "(7-10: Travis et al. 2021)."),
        ("squat", "Last heavy squat", policy.last_heavy_squat, "(7-10: Travis et al. 2021)."),
        ("bench", "Last heavy bench press", policy.last_heavy_bench, "(under 7: Travis et al. 2021)."),
        ("session", "Last session", policy.last_session, "(3.7 +- 1.6: Pritchard et al. 2016)."),
    ):
        usual = day = meet - days * DAY
        while season.days_away(day, day):
            day -= DAY
        lost = f"{title[0].lower()}{title[1:]}" if peak.start <= usual != day else ""
        if day < peak.start:
            yield None, lost and f"no {lost} (away on {_day(usual)})."
        else:
            easy = "Short and easy, " if name == "session" else ""
            why = f"{easy}{(meet - day).days} days before the meet {source}"
            key_day = KeyDay(f"meet-{number}-{name}", day, day, title, why)
            yield key_day, lost and f"{lost} on {_day(day)}, since {_day(usual)} is away."


def given_up(season: Season) -> list[str]:
    """What a season lacks: what there is no time for, a taper missed, too long without a deload."""
    said: list[str] = []
    before: date | None = None
    for number, meet in enumerate(season.meets, start=1):
        blocks = [block for block in season.blocks if (before is None or block.start > before) and block.start < meet]
        said += [f"Meet on {_day(meet)} {meet.year}: {text}" for text in _lacking(season, meet, blocks)]
        if peak := _peak_before(season, meet):
            texts = (text for _, text in _last_days(season, meet, number, peak) if text)
            said += [f"Meet on {_day(meet)} {meet.year}: {text}" for text in texts]
        before = meet
    weeks = longest_work(season)
    if weeks > season.policy.most_weeks_of_work:
        said.append(
            f"{weeks} weeks of work without a deload, more than {season.policy.most_weeks_of_work} "
            "(every 5.6 +- 2.3 weeks: Bell et al. 2024)."
        )
    return said


def _lacking(season: Season, meet: date, blocks: Sequence[SeasonBlock]) -> Iterator[str]:
    policy = season.policy
    if not blocks:
        yield "no block fits before it. Short, easy sessions only; what was built before carries over."
        return
    peak = _peak_before(season, meet)
    if not peak:
        yield "no peak block ends in it, so there is no planned taper and no last heavy days."
    elif peak.weeks == 1:
        yield "time for the taper only; the heavy weeks of the peak block are given up."
    elif peak.weeks < policy.peak_weeks:
        yield f"the peak block has {peak.weeks} weeks instead of {policy.peak_weeks}; its first weeks are given up."
    kinds = {block.kind for block in blocks}
    missing = [kind for kind in ("volume", "strength") if kind not in kinds]
    if missing and peak and peak.weeks <= policy.peak_weeks + 1:
        time = "too near" if meet - blocks[0].start < (policy.volume_peak + 3) * WEEK else "so planned"
        yield f"no {' and no '.join(missing)} block ({time})."
    volume = next((block for block in reversed(blocks) if block.kind == "volume"), None)
    if volume and not _LEAST_PEAK <= (out := most_work_out(volume, meet)) <= _MOST_PEAK:
        yield f"the week with most sets begins {out} weeks before it (5-8: Travis et al. 2021)."


_LEAST_PEAK, _MOST_PEAK = 5, 8


def most_work_out(volume: SeasonBlock, meet: date) -> int:
    """Weeks from the start of a volume block's last week of work to the meet."""
    week = volume.weeks - 1 if volume.deload_week == volume.weeks and volume.weeks > 1 else volume.weeks
    return weeks_out(meet, volume.week_start(week))


def longest_work(season: Season) -> int:
    """Most weeks of work in a row; a deload, the taper or five free days end a row."""
    longest = row = 0
    before: date | None = None
    for block in season.blocks:
        if before and (block.start - before).days >= _REST_DAYS:
            row = 0
        peak_ends = block.kind == "peak" and _meet_of(season, block) is not None
        for week in range(1, block.weeks + 1):
            row = 0 if week == block.deload_week or (peak_ends and week == block.weeks) else row + 1
            longest = max(longest, row)
        before = block.end
    return longest


_REST_DAYS = 5


def _meet_of(season: Season, block: SeasonBlock) -> date | None:
    """The meet a block leads straight into, a few days at most behind its end."""
    meet = season.next_meet(block.last)
    return meet if meet and (meet - block.last).days <= _REST_DAYS else None


def _peak_before(season: Season, meet: date) -> SeasonBlock | None:
    return next((b for b in season.blocks if b.kind == "peak" and _meet_of(season, b) == meet), None)


def _block_span(season: Season, block: SeasonBlock) -> Span:
    title = f"{block.kind.capitalize()}, {block.weeks} week{'s' if block.weeks > 1 else ''}"
    if block.deload_week:
        title += f", deload week {block.deload_week}"
    why = _block_why(season, block)
    if block.deload_week:
        first = block.week_start(block.deload_week)
        why += f" Deload {_days(first, first + WEEK - DAY)}."
    if away := season.days_away(block.start, block.last):
        why += f" {away} days away fall into it: " if away > 1 else " A day away falls into it: "
        why += "move what is planned on them." if away > 1 else "move what is planned on it."
    return Span("block", block.start, block.last, title, why, block)


def _block_why(season: Season, block: SeasonBlock) -> str:
    meet = season.next_meet(block.last)
    if block.kind == "general":
        return "All-round work at moderate effort, as a base for what follows."
    if block.kind == "strength":
        return "Fewer reps, heavier top sets: what was built is turned into strength."
    if block.kind == "volume":
        if meet and _LEAST_PEAK <= (out := most_work_out(block, meet)) <= _MOST_PEAK:
            return f"Most sets of all; the fullest week begins {out} weeks out (5-8: Travis et al. 2021)."
        return "More and more sets, to build muscle."
    if not _meet_of(season, block):
        return "Down to singles while sets fall, then a rest."
    if block.weeks == 1:
        return "The taper only: few sets, loads kept up."
    return (
        f"Down to singles while sets fall. The heaviest week begins {season.policy.intensity_peak} weeks out "
        f"(1.9 +- 0.8: Pritchard et al. 2016); the last week is the taper."
    )


def _taper_why(season: Season) -> str:
    cut = f"{season.policy.least_volume_cut:.0%} to {season.policy.most_volume_cut:.0%}".replace("%", " %")
    return f"Sets are cut by {cut}, loads stay high (Travis et al. 2021; Pritchard et al. 2016)."


def _deload_why(block: SeasonBlock) -> str:
    return f"Week {block.deload_week} of the {block.kind} block: fewer sets, less effort, the same days."


def _meet_span(meet: date) -> Span:
    return Span("meet", meet, meet, "Meet", "")


def _gap(season: Season, first: date, last: date, before: Span | None) -> Span:
    """Days without a block, and the reason for them."""
    days, away = (last - first).days + 1, season.days_away(first, last)
    if before and before.kind == "meet":
        why = "Easy days after the meet, until whole weeks to the next one begin."
        if away:
            why += f" {away} of {days} days away."
        return Span("recovery", first, last, "Recovery", why)
    if away:
        why = f"{days_away_said(season, first, last)}: rest, or what is at hand. It stands for a deload."
        if days >= LONG_GAP:
            why += f" After {days} days the next block works out its first loads anew."
        home = days - away
        some = "" if not home else f" {home} days at home are too few for a block: train easily."
        some = some if home != 1 else " A day at home is too short for a block: train easily."
        return Span("away", first, last, "Away", why + some)
    if before is None:
        return Span("before", first, last, "Before the first week", "Train as before: whole weeks are counted back.")
    return Span("free", first, last, "Free", "No block is planned. Easy sessions, or move a block here.")


LONG_GAP = Policy().gap_days
"""From so many days between two blocks on, what the one before showed does not set the first loads of the other: the
days after which no load rises within a block."""


def days_away_said(season: Season, first: date, last: date) -> str:
    """The days away that fall between two days, as the coach wrote them: "8 - 28 March"."""
    away = (days for days in season.away if any(days.days_in(first, last)))
    return ", ".join(_days(each.first, each.last) if each.first < each.last else _day(each.first) for each in away)


def _days(first: date, last: date) -> str:
    """ "1 - 7 May", "29 May - 4 June"."""
    return f"{first.day if first.month == last.month else _day(first)} - {_day(last)}"


def day_said(day: date) -> str:
    """ "Sat 6 February"."""
    return f"{day:%a} {_day(day)}"


def _day(day: date) -> str:
    return f"{day.day} {day:%B}"
