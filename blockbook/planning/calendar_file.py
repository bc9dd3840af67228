"""A season as an iCalendar file (RFC 5545): all-day events for any calendar program."""

from __future__ import annotations

from datetime import UTC, datetime, time

from icalendar import Calendar, Event

from blockbook.spec.season import Season
from blockbook.spec.values import slug
from blockbook.training.season import DAY, names
from blockbook.training.season_calendar import KeyDay, key_days, spans, weeks_begin


def calendar_bytes(season: Season) -> bytes:
    """Blocks, deload weeks, tapers, last heavy days and meets; the same season gives the same bytes.

    An event keeps its identity when its date moves, so that a calendar program that imports the
    file again moves it rather than showing it twice.
    """
    whose = f"{season.lifter}: " if season.lifter else ""
    calendar = Calendar()
    calendar.add("prodid", "-//blockbook//season//EN")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", f"Season of {season.lifter}" if season.lifter else "Season")
    if said := weeks_begin(season):
        calendar.add("x-wr-caldesc", said)
    block_names = {block.start: name for name, block in names(season).items()}
    events = [KeyDay(block_names[each.first], *each[1:5]) for each in spans(season) if each.block]
    for day in [*events, *key_days(season)]:
        calendar.add_component(_event(season, day, whose))
    return bytes(calendar.to_ical())


def _event(season: Season, day: KeyDay, whose: str) -> Event:
    event = Event()
    event.add("uid", f"{slug(season.lifter or 'season')}-{season.first:%Y}-{day.name}@blockbook")
    event.add("dtstamp", datetime.combine(season.first, time(), UTC))
    event.add("dtstart", day.first)
    event.add("dtend", day.last + DAY)  # the day after the last, as the standard has it
    event.add("summary", f"{whose}{day.title}")
    if day.why:
        event.add("description", day.why)
    event.add("transp", "TRANSPARENT")  # does not make the day busy
    return event
