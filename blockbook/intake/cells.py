"""One typed cell -> what it says: a load, reps, effort or another number.

Only what can mean one thing is understood. Whether the number makes sense is judged elsewhere.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from typing import Any, Literal, NamedTuple

from blockbook.formula.functions import DAY_ZERO
from blockbook.intake.dates import FIRST_DAY, LAST_DAY
from blockbook.intake.typed_text import as_typed, clean
from blockbook.spec.models import Block
from blockbook.training.loading import to_kg, to_lb
from blockbook.training.verdict import NOT_DONE

Understood = Literal["number-understood", "date-for-number", "unit-converted", "range-for-number"]
Code = Literal["", "not-a-number", "not-done", "tick", "corrected"] | Understood
Unit = Literal["kg", "lb"]


@dataclass(frozen=True)
class Reading:
    """What a cell was taken to say.

    value: the number, finite, or None. raw: the text as typed, "" if the cell is empty.
    remark: "" when plain, else a short sentence on how it was understood or why it was not.
    code: a kind of finding, or "".
    """

    value: float | None
    raw: str
    remark: str = ""
    code: Code = ""


class _Taken(NamedTuple):
    """A number found in a cell. how: "" for the usual remark, 'read "84,5" as 84.5'."""

    value: float
    how: str = ""
    code: Understood = "number-understood"


_FromText = Callable[[str], _Taken | None]
_FromDate = Callable[[datetime], _Taken | None]

_PART = r"(?:[0-9]{1,9} [0-9]{1,2}/|(?:[0-9]{1,9} )?[0-9]{1,2}⁄)[0-9]{1,2}"
_NUMBER = rf"(?:{_PART}|[0-9]{{1,9}}(?:[.,][0-9]{{0,20}})?|[.,][0-9]{{1,20}})"
_FRACTION = re.compile(r"(?:([0-9]+) )?([0-9]+)[/⁄]([0-9]+)")
_SIGNED = re.compile(rf"([+-]?) ?({_NUMBER})")
_RANGE = re.compile(rf"({_NUMBER}) ?(?:-|to) ?({_NUMBER})")
_SLASH = re.compile(r"^([0-9]) ?/ ?([0-9])$")
_OUT_OF_TEN = re.compile(r"([0-9](?:[.,][05])?|10) ?/ ?10")
_HOURS = re.compile(r" ?(?:h|hrs?|hours?|std|stunden?|horas?)\.?$")
_PLAIN = re.compile(r"-?[0-9]{1,9}(?:\.[0-9]{1,20})?")
_THOUSANDS = re.compile(r"([1-9])[.,]([0-9]{3})")
"""1,234 may be 1234 or 1.234. With more digits in front it would be over ten thousand, which no log holds."""

_WITH_REST = re.compile(r"(.*?) ?\(([^()]*)\)")
_KG, _LB = "kg|kgs|kilo|kilos|kilograms?|kilogramm|kilogramos?", "lb|lbs|pounds?|libras?"
_UNIT_WORD = re.compile(r"(?<![a-z])(?:kg|kilo|lb|pound)")
_LOAD = re.compile(
    r"(?P<body>bw|body ?-?weight|körpergewicht|peso corporal)? ?"
    rf"(?P<number>[+-]? ?{_NUMBER})? ?(?:(?P<kg>{_KG})|(?P<lb>{_LB}))?"
)
_REPS_WORDS = re.compile(r"^[x×] ?| ?(?:x|×|reps?|wdh\.?|wiederholung(?:en)?|repetici(?:ón|ones))$")
_EFFORT_WORDS = re.compile(r"^(?:@ ?)?(?:rpe ?:? ?)?| ?rpe$")
_RESERVE_WORDS = re.compile(
    r"^(?:rir ?:? ?|noch |quedan? |quedaban )"
    r"| ?(?:reps? )?(?:left|rir|in reserve|in the tank|übrig|en reserva|de sobra)$"
)

_PER_HAND = re.compile(
    r"2 ?[x×*] ?(?P<of_two>.+)"
    r"|(?P<each>.+?) ?(?:each|each hand|per hand|je|je hand|cada una|por mano)"
    r"|(?P<left>[^ /+]+) ?[/+] ?(?P=left)"
)
_TICKS = {"✓", "✔", "☑", "✅", "√", "ok", "okay", "done", "yes", "ja", "erledigt", "gemacht",
          "sí", "si", "hecho", "hecha"}  # fmt: skip
_SAME = {"same", "same as above", "as above", "ditto", "do.", '"', "''", "〃", "″", "=", "idem", "dto", "dto.",
         "gleich", "dito", "wie oben", "igual", "ídem", "lo mismo"}  # fmt: skip
_TO_FAILURE = {"fail", "failed", "failure", "to failure", "max", "none left", "nothing left",
               "versagen", "muskelversagen", "bis zum versagen", "nicht geschafft",
               "fallida", "fallo", "al fallo", "hasta el fallo"}  # fmt: skip

_NIGHT = (2, 12)
"""Hours that a night's sleep has, from and up to: other shares of a day are taken as typed."""

_LONGEST_SESSION = 8 * 60
"""Minutes up to which a time of day in their cell is a length."""

_FIRST_SERIAL, _END_OF_SERIALS = 40_000, 70_000
"""How programs count the days of the years 2009 to 2091."""

_LAST_YEAR_OF_REPS = 2020
"""Ends on more reps than a range has; a later year is no upper end of one, but the year that a program adds."""

MOST = 1e6
"""No number in a training log is this large; one that is was not meant as a number."""


def read_load(raw: Any, unit: Unit, per_hand: bool = False) -> Reading:
    """A load in `unit`, to 0.01 where converted; "bw+20" is the 20 on top of body weight. Raises nothing.

    per_hand: a load counted per hand, where "2x20", "20 each" and "20/20" are two dumbbells of 20.
    """
    return _read(raw, lambda text: _load(text, unit, per_hand), _number_shown_as_date, weighed=True)


def read_reps(raw: Any) -> Reading:
    """Repetitions done; the lower number of a range, as the lifter is sure of those. Raises nothing."""
    return _read(_as_day(raw), _reps, _reps_from_date)


def _as_day(raw: Any) -> Any:
    """The day behind a number that only a program's date can be: "6/6" in a cell that shows plain numbers."""
    if not isinstance(raw, (int, float)) or isinstance(raw, bool) or not _FIRST_SERIAL <= raw < _END_OF_SERIALS:
        return raw
    return datetime.combine(DAY_ZERO, time()) + timedelta(days=int(raw)) if raw == int(raw) else raw


def read_effort(raw: Any, in_reserve: bool = False) -> Reading:
    """Effort as RPE; the middle of a range, 10 less reps in reserve where those are named. Raises nothing.

    in_reserve: a cell that asks for reps left, where a bare number is those.
    """
    if not in_reserve:
        return _read(raw, _effort, _effort_from_date)
    reading = _read(raw, _left, _left_from_date)
    effort = None if reading.value is None else round(10 - reading.value, 6)
    return replace(reading, value=effort)


def read_typed(column: str, raw: Any, block: Block) -> Reading:
    """A load, reps or "rpe" (an effort, in whatever way the block's lifter types it). Raises nothing."""
    if column == "rpe":
        return read_effort(raw, block.in_reserve)
    return read_reps(raw) if column == "reps" else read_load(raw, block.unit)


def read_number(raw: Any) -> Reading:
    """Any other number, in the unit of its column: minutes, body weight, sleep, soreness. Raises nothing."""
    return _read(raw, _plain_or_minutes, _number_shown_as_date, weighed=True)


def read_hours(raw: Any) -> Reading:
    """A number of hours, "7h" or "7,5 hours"; 7:30, which a program keeps as a share of the day. Raises nothing."""
    hours = _hours_of_day(raw)
    if hours is not None:
        return Reading(hours, as_typed(raw), f"read as {hours:g} hours", "number-understood")
    return _read(raw, lambda text: _plain_or_minutes(_HOURS.sub("", text)), _number_shown_as_date)


def read_minutes(raw: Any) -> Reading:
    """A number of minutes; 1:10, which a program keeps as a share of the day, is 70. Raises nothing."""
    minutes = _minutes_of_clock(raw)
    if minutes is not None:
        typed = raw if isinstance(raw, str) else f"{minutes // 60:.0f}:{minutes % 60:02.0f}"
        return Reading(minutes, as_typed(typed), f"read as {minutes:g} minutes", "number-understood")
    return read_number(raw)


def _minutes_of_clock(raw: Any) -> float | None:
    """70 of 1:10 or 1h10, 60 of 1h, in any form that can only be hours and minutes; not of 45:00, which may be both."""
    if isinstance(raw, str):
        clock = re.fullmatch(r"(\d)(?::| ?h ?)([0-5]\d)(?::\d\d| ?min\.?)?", clean(raw))
        hours = re.fullmatch(r"(\d) ?(?:h|hours?|hrs?|std\.?|stunden?|horas?)", clean(raw))
        if hours:
            return 60.0 * int(hours[1])
        return 60.0 * int(clock[1]) + int(clock[2]) if clock else None
    if isinstance(raw, (time, timedelta)):
        spent = raw if isinstance(raw, timedelta) else timedelta(hours=raw.hour, minutes=raw.minute)
        minutes = float(round(spent.total_seconds() / 60))
        return minutes if 0 < minutes < _LONGEST_SESSION else None
    minutes = 24 * 60 * raw if isinstance(raw, float) and raw > 0 else 0.0
    return float(round(minutes)) if 1 <= minutes < _LONGEST_SESSION and abs(minutes - round(minutes)) < 1e-6 else None


def _hours_of_day(raw: Any) -> float | None:
    """7.5 of 7:30 or 7h30 in any form: text, a time, a span, or the share of a day that a sleeper's night is."""
    if isinstance(raw, str) and (clock := re.fullmatch(r"(\d{1,2})[:h](\d\d)(?::\d\d)?", clean(raw))):
        return round(int(clock[1]) + int(clock[2]) / 60, 2)
    if isinstance(raw, time):
        return round(raw.hour + raw.minute / 60, 2)
    if isinstance(raw, timedelta):
        return round(raw.total_seconds() / 3600, 2)
    is_share = isinstance(raw, float) and _NIGHT[0] <= 24 * raw < _NIGHT[1]
    return round(24 * raw, 2) if is_share else None


def means_same(raw: Any) -> bool:
    """Whether a cell says that the set above goes for this one too."""
    return isinstance(raw, str) and (clean(raw) in _SAME or raw.strip() in _SAME)


def says_not_done(raw: Any) -> bool:
    """Whether a cell says that the set was not done: "skip", a dash."""
    return isinstance(raw, str) and clean(raw) in NOT_DONE


def _read(raw: Any, from_text: _FromText, from_date: _FromDate, *, weighed: bool = False) -> Reading:
    """weighed: whether the column can hold a weight, so that a unit in the cell matters."""
    typed = as_typed(raw)
    if not typed:
        return Reading(None, "")
    if isinstance(raw, str):
        return _read_text(typed, from_text, weighed)
    if isinstance(raw, date):
        taken = from_date(raw if isinstance(raw, datetime) else datetime.combine(raw, time()))
        if taken is None:
            return _not_understood(typed, "a date, not a number", "date-for-number")
        return Reading(taken.value, typed, f"a date, {taken.how}", "date-for-number")
    if isinstance(raw, (int, float)) and not isinstance(raw, bool) and abs(raw) < MOST:
        return Reading(float(raw), typed)
    return _not_understood(typed, "not a number")


def _read_text(typed: str, from_text: _FromText, weighed: bool) -> Reading:
    if _PLAIN.fullmatch(typed) and (number := _number(typed)) is not None:
        return Reading(number, typed) if abs(number) < MOST else _not_understood(typed, "far too large a number")
    text = clean(typed)
    if text in NOT_DONE:
        return _not_understood(typed, "a sign that it was not done", "not-done")
    if text in _TICKS:
        return _not_understood(typed, "a tick, not a number", "tick")
    taken = from_text(text)
    if taken is None and (with_rest := _WITH_REST.fullmatch(text)):
        taken = _without_rest(with_rest[1], with_rest[2], from_text, weighed)
    if taken is not None and abs(taken.value) < MOST:
        usual = f'read "{" ".join(typed.split())}" as {taken.value:.15g}'
        return Reading(taken.value, typed, taken.how or usual, taken.code)
    if unclear := re.search(rf"(?<![0-9.,]){_THOUSANDS.pattern}(?![0-9.,])", text):
        return _not_understood(typed, "not used: it could be {0}{1} or {0}.{1}".format(*unclear.groups()))
    return _not_understood(typed, "not a number")


def _without_rest(head: str, rest: str, from_text: _FromText, weighed: bool) -> _Taken | None:
    """What a text with words in brackets says: "100 (lb)" in one, else "8 (grinder)" without the words."""
    if rest[:1].isalpha() and (taken := from_text(f"{head} {rest}".strip())):
        return taken
    # A unit among the words may belong to the number, so the number alone could be wrong.
    if (weighed and _UNIT_WORD.search(rest)) or not (taken := from_text(head)):
        return None
    how = taken.how or f'read "{head}" as {taken.value:.15g}'
    return taken._replace(how=f"{how}; the rest is kept as typed")


def _not_understood(typed: str, remark: str, code: Code = "not-a-number") -> Reading:
    return Reading(None, typed, remark, code)


def _number(text: str) -> float | None:
    """The number a cleaned text is, or None: 84.5, 84,5, 84., 82 1/2, -5, +5."""
    match = _SIGNED.fullmatch(text.removesuffix("."))
    if not match or _THOUSANDS.fullmatch(match[2]):
        return None
    sign = -1 if match[1] == "-" else 1
    if fraction := _FRACTION.fullmatch(match[2]):
        whole, part, parts = (int(digits or 0) for digits in fraction.groups())
        return sign * (whole + part / parts) if 0 < part < parts <= 10 else None
    return sign * float(match[2].replace(",", "."))


def _span(text: str) -> tuple[float, float] | None:
    """Both ends of "8-9", the lower first; a single number twice; None for anything else."""
    match = _RANGE.fullmatch(text.removesuffix("."))
    first, second = (_number(match[1]), _number(match[2])) if match else (_number(text), _number(text))
    return None if first is None or second is None else (min(first, second), max(first, second))


def _load(text: str, unit: Unit, per_hand: bool = False) -> _Taken | None:
    if per_hand and (pair := _PER_HAND.fullmatch(text)):
        each = _load(pair["of_two"] or pair["each"] or pair["left"], unit)
        return each and each._replace(
            how=", ".join(filter(None, (each.how, f"taken as {each.value:.15g} in each hand")))
        )
    match = _LOAD.fullmatch(text.removesuffix("."))
    if not match or not (match["body"] or match["number"]):
        return None
    if match["number"] is None:
        return None if match["kg"] or match["lb"] else _Taken(0.0, "taken as body weight with nothing added")
    number = _number(match["number"])
    signed = match["number"][0] in "+-"
    if number is None or (match["body"] and not signed):
        return None
    typed_unit: Unit = "lb" if match["lb"] else "kg" if match["kg"] else unit
    taken = _Taken(number)
    if typed_unit != unit:
        value = to_kg(number) if unit == "kg" else to_lb(number)
        taken = _Taken(round(value, 2), f"converted from {number:.15g} {typed_unit}", "unit-converted")
    if not match["body"] and match["number"][0] != "+":
        return taken
    added = f"taken as {abs(taken.value):.15g} {'more' if number >= 0 else 'less'} than body weight"
    return taken._replace(how=", ".join(filter(None, (taken.how, added))))


def _reps(text: str) -> _Taken | None:
    span = _span(_REPS_WORDS.sub("", text))
    if span is None or span[0] == span[1]:
        return _Taken(span[0]) if span else None
    return _Taken(span[0], f"took the lower number of {span[0]:.15g}-{span[1]:.15g}", "range-for-number")


def _effort(text: str) -> _Taken | None:
    if text in _TO_FAILURE:
        return _Taken(10.0, "taken as 10, nothing left")
    reserve, named = _RESERVE_WORDS.subn("", text)
    if named:
        span = _span(reserve)
        sensible = span and 0 <= span[0] <= span[1] <= 9
        return _Taken(10 - sum(span) / 2, "taken as reps in reserve") if span and sensible else None
    scale = _EFFORT_WORDS.sub("", text)
    if share := _OUT_OF_TEN.fullmatch(scale):
        return _Taken(float(share[1].replace(",", ".")), f"taken as {share[1]} out of 10")
    span = _span(_SLASH.sub(r"\1-\2", scale))
    if span is None or span[0] == span[1]:
        return _Taken(span[0]) if span else None
    if not 1 <= span[0] <= span[1] <= 10:
        return None
    return _Taken(sum(span) / 2, f"took the middle of {span[0]:.15g}-{span[1]:.15g}", "range-for-number")


def _left(text: str) -> _Taken | None:
    """Reps left; an effort only where it is called one, since a bare number is reps left here."""
    if text in _TO_FAILURE:
        return _Taken(0.0, "taken as 0, nothing left")
    if _EFFORT_WORDS.sub("", text) != text or _OUT_OF_TEN.fullmatch(text):
        effort = _effort(text)
        return effort and _Taken(10 - effort.value, f"taken as effort {effort.value:.15g}", effort.code)
    left = _RESERVE_WORDS.sub("", text)
    span = _span(left if left == "1/2" else _SLASH.sub(r"\1-\2", left))  # 1/2 may be a half or 1-2
    if span is None or span[0] == span[1]:
        return _Taken(span[0]) if span else None
    if not 0 <= span[0] <= span[1] <= 9:
        return None
    return _Taken(sum(span) / 2, f"took the middle of {span[0]:.15g}-{span[1]:.15g}", "range-for-number")


def _left_from_date(moment: datetime) -> _Taken | None:
    low, high = sorted((moment.day, moment.month))
    # Where days are written with a dot, 3.5 becomes 3 May just as 3-5 may elsewhere (4.5 and 4-5 say the same),
    # and 1/2 may be a half as well as 1-2.
    unclear = (moment.month == 5 and moment.day != 4) or (low, high) == (1, 2)
    if not _typed_as_day_and_month(moment) or unclear or high > 9 or high - low > 2:
        return None
    return _Taken((low + high) / 2, f"taken as {low}-{high}, so {(low + high) / 2:.15g}")


def _plain_or_minutes(text: str) -> _Taken | None:
    number = _number(re.sub(r" ?(?:min|mins|minutes?|minuten|minutos?)$", "", text.removesuffix(".")))
    return None if number is None else _Taken(number)


def _reps_from_date(moment: datetime) -> _Taken | None:
    low, high = sorted((moment.day, moment.month))
    # 12-15 may become December 2015, which is the first of it: 1-12 may be that day as well.
    may_be_a_month = moment.day == 1 and moment.year <= _LAST_YEAR_OF_REPS
    plausible = _typed_as_day_and_month(moment) and high <= 15 and not may_be_a_month
    return _Taken(float(low), f"taken as {low}-{high}, so {low}") if plausible else None


def _effort_from_date(moment: datetime) -> _Taken | None:
    low, high = sorted((moment.day, moment.month))
    # Where days are written with a dot, 7.5 becomes 7 May just as 5-7 may elsewhere, and 8/10 may be
    # 8 out of 10 as well as 8-10: no telling which, and the difference is a point of effort or more.
    unclear = moment.month == 5 < moment.day or (low, high) == (8, 10)
    if not _typed_as_day_and_month(moment) or unclear or high > 10 or high - low > 2:
        return None
    return _Taken((low + high) / 2, f"taken as {low}-{high}, so {(low + high) / 2:.15g}")


def _typed_as_day_and_month(moment: datetime) -> bool:
    return moment.time() == time() and FIRST_DAY <= moment.date() < LAST_DAY


def _number_shown_as_date(moment: datetime) -> _Taken | None:
    """The number in a cell that merely looks like a date, as 84.5 looks like 24 March 1900 at noon.

    Below 61 programs disagree about the day by one, so those are not taken.
    """
    if not date(1900, 3, 1) <= moment.date() < date(1906, 1, 1):
        return None
    number = round((moment - datetime.combine(DAY_ZERO, time())) / timedelta(days=1), 4)
    return _Taken(number, f"behind which stands the number {number:.15g}")
