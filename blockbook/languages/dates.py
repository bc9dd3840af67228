"""Days as people write them, in the language spoken."""

from __future__ import annotations

from datetime import date

from blockbook.languages.speaking import spoken_tag


def day_text(day: date) -> str:
    """ "2 Jan 2027"."""
    return _other(day, "yMMMd") or f"{day.day} {day:%b %Y}"


def long_day_text(day: date) -> str:
    """ "Sat 2 Jan 2027"."""
    return _other(day, "yMMMEd") or f"{day:%a} {day.day} {day:%b %Y}"


def full_day_text(day: date) -> str:
    """ "Saturday 2 January 2027"."""
    return _other(day, "full") or f"{day:%A} {day.day} {day:%B %Y}"


def weekday_text(day: date) -> str:
    """ "Saturday"."""
    return _other(day, "EEEE") or f"{day:%A}"


def session_day_text(day: date) -> str:
    """ "Saturday 2 Jan"."""
    short = _other(day, "MMMd")
    return f"{weekday_text(day)}, {short}" if short else f"{day:%A} {day.day} {day:%b}"


def day_to_type(day: date) -> str:
    """ "2 Jan": as a program there takes it for a date."""
    return _other(day, "Md") or f"{day.day} {day:%b}"


def _other(day: date, skeleton: str) -> str:
    """The day as CLDR has it for the parts that a skeleton names; "" for English, which is written above."""
    tag = spoken_tag()
    if tag.language == "en":
        return ""
    from babel.dates import format_date, format_skeleton

    if skeleton in ("EEEE", "full"):  # whole forms; put together from parts, names of days are cut short
        return format_date(day, skeleton, tag.locale)
    return format_skeleton(skeleton, day, locale=tag.locale)
