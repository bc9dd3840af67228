"""One typed cell -> the date it says. Only what can mean one day is understood."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from typing import Any

from blockbook.formula.functions import DAY_ZERO, day_number
from blockbook.intake.typed_text import as_typed, clean

FIRST_DAY, LAST_DAY = date(2000, 1, 1), date(2100, 1, 1)
_ISO = re.compile(r"([0-9]{4})([-/])([0-9]{1,2})\2([0-9]{1,2})(?:[t ][0-9:.]+(?:z|[+-][0-9:]+)?)?")
_MONTHS = {
    "jan": 1, "jän": 1, "ene": 1, "feb": 2, "mar": 3, "mär": 3, "mrz": 3, "apr": 4, "abr": 4, "may": 5, "mai": 5,
    "jun": 6, "jul": 7, "aug": 8, "ago": 8, "sep": 9, "oct": 10, "okt": 10, "nov": 11, "dec": 12, "dez": 12, "dic": 12,
}  # fmt: skip
_AS_SHOWN = re.compile(rf"(?:[a-záäé]{{2,}}[.,]* )?([0-9]{{1,2}})\.? (?:de )?({'|'.join(_MONTHS)})[a-zäé]*\.?")
"""A date as the workbook shows it, "4 Jan": all that a CSV file keeps of it. A session is headed "Monday 4 Jan"."""

_NEAR = timedelta(days=10)
_DAY_COUNT = re.compile(r"[0-9]{5}(?:\.0*)?")
_DAY_AND_MONTH = re.compile(r"([0-9]{1,2})[/-]([0-9]{1,2})")
_DAY_MONTH_YEAR = re.compile(r"([0-9]{1,2})([./-]) ?([0-9]{1,2})\2 ?([0-9]{4})")
_DAY_MONTH = re.compile(r"([0-9]{1,2})\. ?([0-9]{1,2})\.")


def read_date(raw: Any, near: date | None = None) -> tuple[date | None, str]:
    """A date from 2000 to 2099 and "", or None and the text as typed. Raises nothing.

    near: the day it should be about; it gives the year of a bare "30.11.".

    A number is a count of days since 30 December 1899. 05/06/2025 may be May or June: it is taken only where
    one of both is near that day and the other is not.
    """
    day: date | None = None
    if isinstance(raw, date):
        day = raw.date() if isinstance(raw, datetime) else raw
    elif isinstance(raw, str):
        text = clean(raw)
        counted = read_date(float(text))[0] if _DAY_COUNT.fullmatch(text) else None
        day = counted or _date_from_text(text) or (near and (_day_and_month(text, near) or _by_the_plan(text, near)))
    elif isinstance(raw, (int, float)) and 36526 <= raw < 73051:
        day = DAY_ZERO + timedelta(days=int(raw))
    if day is not None and FIRST_DAY <= day < LAST_DAY:
        return day, ""
    return None, as_typed(raw)


def lacks_year(raw: Any) -> bool:
    """Whether a date was typed without its year, "30.11.", so that the year is a guess."""
    return isinstance(raw, str) and _DAY_MONTH.fullmatch(clean(raw)) is not None


def seen_as_day(raw: Any) -> int | None:
    """The number a spreadsheet calculates with for a date cell; None for text, which it does not see."""
    day, _ = read_date(raw)
    return None if day is None or isinstance(raw, str) else day_number(day)


def _by_the_plan(text: str, near: date) -> date | None:
    """05/06/2025, which may be May or June, as the one that lies near the day planned; 5/6 in the year of that day."""
    if match := _DAY_MONTH_YEAR.fullmatch(text):
        first, second, year = int(match[1]), int(match[3]), int(match[4])
    elif match := _DAY_AND_MONTH.fullmatch(text):
        first, second, year = int(match[1]), int(match[2]), near.year
    else:
        return None
    days = [_day(year, second, first), _day(year, first, second)]
    close = [day for day in days if day and abs(day - near) <= _NEAR]
    return close[0] if len(close) == 1 else None


def _day_and_month(text: str, near: date) -> date | None:
    """ "30.11." or "30 Nov" in the year that brings it nearest to `near`."""
    if found := _DAY_MONTH.fullmatch(text):
        month = int(found[2])
    elif found := _AS_SHOWN.fullmatch(text):
        month = _MONTHS[found[2]]
    else:
        return None
    days = [_day(year, month, int(found[1])) for year in (near.year - 1, near.year, near.year + 1)]
    return min((day for day in days if day), key=lambda day: abs(day - near), default=None)


def _date_from_text(text: str) -> date | None:
    if match := _ISO.fullmatch(text):
        year, month, day = int(match[1]), int(match[3]), int(match[4])
    elif match := _DAY_MONTH_YEAR.fullmatch(text):
        day, month, year = int(match[1]), int(match[3]), int(match[4])
        if match[2] != "." and month > 12:
            day, month = month, day
        elif match[2] != "." and day <= 12 and day != month:
            return None
    else:
        return None
    return _day(year, month, day)


def _day(year: int, month: int, day: int) -> date | None:
    """None where there is no such day."""
    try:
        return date(year, month, day)
    except ValueError:
        return None
