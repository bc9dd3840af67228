"""How one value stands in a cell, and what a cell says: the pair that makes a conversion lossless."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

from blockbook.spec.answers import OFFERED, NeitherYesNorNo, yes_or_no
from blockbook.spec.values import PARTED_IN_THOUSANDS, Reps

_MOMENTS = (date, time, timedelta)
"""What a program makes of text that looks like a day, a time or a duration."""

_EARLIEST_DAY = date(1901, 1, 1)
"""Days before it are text: programs do not agree on them."""


class NotSaid(ValueError):
    """A cell that cannot be understood: what is wrong, and what to do."""


@dataclass(frozen=True)
class Form:
    """A kind of cell. style: of `looks`; write: value -> content; read: content -> plain data for the model."""

    style: str
    write: Callable[[Any], Any]
    read: Callable[[Any], Any]
    offers: tuple[str, ...] = ()


# Text -------------------------------------------------------------------------------------------

_LOST_IN_CELLS = re.compile(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]|_x[0-9A-Fa-f]{4}_")

_LIKE_A_KEY = re.compile(r"(session|slot|row|field|block|lifter|best|equipment|plate|own|policy|next_block)\.\w.*")
"""Text that could be taken for one of the hidden keys of `columns`."""


def text_content(text: str) -> str:
    """The text itself, or in quotes as JSON has it where programs would change it: empty, with odd signs or edges."""
    if _is_safe(text) and read_text(text) == text:
        return text
    quoted = json.dumps(text, ensure_ascii=False)
    return _LOST_IN_CELLS.sub(lambda found: f"\\u{ord(found[0][0]):04x}{found[0][1:]}", quoted)


def read_text(content: Any) -> Any:
    if isinstance(content, _MOMENTS):
        raise NotSaid("the program made a date or time of what was typed. Format the cell as text, then type it again.")
    if isinstance(content, bool):
        return "true" if content else "false"
    if isinstance(content, (int, float)):
        return f"{content:.15g}"
    if isinstance(content, str) and len(content) > 1 and content[0] == content[-1] == '"':
        try:
            meant = json.loads(content)
        except ValueError:
            return content
        if isinstance(meant, str) and (not _is_safe(meant) or _quoted(meant)):
            return meant
    return content


def _is_safe(text: str) -> bool:
    odd = text != text.strip() or _LOST_IN_CELLS.search(text) or _LIKE_A_KEY.fullmatch(text)
    return bool(text) and not odd


def _quoted(text: str) -> bool:
    return len(text) > 1 and text[0] == text[-1] == '"'


# Numbers, days, yes and no ----------------------------------------------------------------------


def number_content(value: Any) -> Any:
    """The number, or its digits as text where a cell would keep fewer of them."""
    if isinstance(value, float) and float(f"{value:.15g}") != value:
        return repr(value)
    return value


def read_number(content: Any) -> Any:
    """A number also where it was typed as text, with point or comma; whole ones as such; other text as it is."""
    if isinstance(content, _MOMENTS):
        raise NotSaid("the program made a date of what was typed. Format the cell as a number, then type it again.")
    value = content
    if isinstance(content, str):
        if not re.fullmatch(r"[-+]?(\d+([.,]\d*)?|[.,]\d+)([eE][-+]?\d+)?", content.strip()):
            return content.strip()
        if PARTED_IN_THOUSANDS.fullmatch(content.strip()):
            raise NotSaid(f'may be a thousand or a decimal (it says "{content.strip()}"). Write it without a comma.')
        value = float(content.strip().replace(",", "."))
    return int(value) if isinstance(value, float) and value.is_integer() else value


def said_date(day: date) -> str:
    """ "8 Dec 2026", in English whatever the system speaks."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def _date_content(value: date) -> Any:
    return value if value >= _EARLIEST_DAY else value.isoformat()


def _read_date(content: Any) -> Any:
    if isinstance(content, datetime):
        return content.date().isoformat()
    return content.isoformat() if isinstance(content, date) else content


def _yes_no(value: bool) -> str:
    return OFFERED[0] if value else OFFERED[1]


def _read_yes_no(content: Any) -> Any:
    try:
        return yes_or_no(content)
    except NeitherYesNorNo:
        raise NotSaid(f'should be yes or no (it says "{content}").') from None


# Repetitions, lists of weeks, words ---------------------------------------------------------------


def _reps_content(value: Reps) -> Any:
    return value.low if value.low == value.high else str(value)


def _read_reps(content: Any) -> Any:
    """A range that a program took for a date is the range again: it goes from low to high, whatever the order.

    Not on the first of a month: where days stand before months, 8-15 becomes August 2015.
    """
    if isinstance(content, date):
        if content.day == 1 or (isinstance(content, datetime) and content.time() != time()):
            raise NotSaid(
                f"the program made a date of what was typed, {said_date(content)}. Format the cell as text, then type "
                "it again."
            )
        low, high = sorted((content.day, content.month))
        return f"{low}-{high}"
    number = read_number(content)
    return content.strip() if isinstance(content, str) and isinstance(number, float) else str(number)


def _weeks_content(weeks: tuple[int, ...]) -> Any:
    return ", ".join(map(str, weeks))


def _read_weeks(content: Any) -> Any:
    if isinstance(content, str):
        return [read_number(part) for part in re.split(r"[,;+&\s]+", content.strip()) if part]
    return [read_number(content)]


def _names_content(names: tuple[str, ...]) -> Any:
    """ "leg press; goblet squat", or a list as JSON has it where a name holds what parts them, or odd signs."""
    listed = "; ".join(names)
    plain = all(text_content(name) == name for name in names)
    return listed if plain and _read_names(listed) == list(names) else json.dumps(list(names))


def _read_names(content: Any) -> Any:
    text = read_text(content)
    if isinstance(text, str) and text.startswith("["):
        try:
            listed = json.loads(text)
        except ValueError:
            listed = None
        if isinstance(listed, list):
            return listed
    return [part.strip() for part in re.split(r"[;,\n]", str(text)) if part.strip()]


def choice(*offers: str) -> Form:
    """A word of a few; small or capital letters do not matter."""

    def read(content: Any) -> Any:
        said = " ".join(str(read_text(content)).split())
        return next((offer for offer in offers if offer.casefold() == said.casefold()), said)

    return Form("typed word", str, read, offers)


TEXT = Form("typed words", text_content, read_text)
NOTE = Form("typed text", text_content, read_text)
LONG_TEXT = Form("typed long", text_content, read_text)
WORD = Form("typed word", text_content, read_text)
"""Short text that programs would like to turn into a date or a number."""

NUMBER = Form("typed number", number_content, read_number)
DATE = Form("typed long day", _date_content, _read_date)
YES_NO = Form("typed word", _yes_no, _read_yes_no, OFFERED)
REPS = Form("typed word", _reps_content, _read_reps)
NAMES = Form("typed text", _names_content, _read_names)
WEEKS = Form("typed word", _weeks_content, _read_weeks)
SET_RANGE = Form("typed word", str, _read_reps)
