"""What each spreadsheet function returns, in Python.

Values are numbers, text, or None for an empty cell; a run of cells is a tuple of values.
Texts and blanks inside a run are passed over by SUM, MAX, COUNT and their like, as
spreadsheet programs do.
"""

from __future__ import annotations

import math
import re
from bisect import bisect_right
from collections.abc import Callable, Iterable
from datetime import date, datetime, time, timedelta
from typing import Any, TypeAlias

Scalar: TypeAlias = "float | int | str | None"
Value: TypeAlias = "Scalar | tuple[Scalar, ...] | tuple[tuple[Scalar, ...], ...]"


DAY_ZERO = date(1899, 12, 30)
_NUMBERS = frozenset((int, float))
"""A truth value is none, though Python takes it for one."""


def day_number(day: date) -> int:
    """The number that spreadsheet programs keep for a day."""
    return (day - DAY_ZERO).days


def moment_number(moment: date | time | timedelta) -> float:
    """The number that spreadsheet programs keep for a day, a time of the day or a duration: days, whole or not."""
    if isinstance(moment, timedelta):
        return moment / timedelta(days=1)
    if isinstance(moment, time):
        moment = datetime.combine(DAY_ZERO, moment)
    if isinstance(moment, datetime):
        return (moment - datetime.combine(DAY_ZERO, time())) / timedelta(days=1)
    return day_number(moment)


def is_number(value: object) -> bool:
    return value.__class__ in _NUMBERS


def is_text(value: object) -> bool:
    return isinstance(value, str)


def numbers(values: Iterable[Value]) -> list[float]:
    """The numbers among values and runs of values."""
    found: list[float] = []
    for value in values:
        if value.__class__ in _NUMBERS:
            found.append(value)  # type: ignore[arg-type]
        elif isinstance(value, tuple):
            found += [each for each in value if each.__class__ in _NUMBERS]  # type: ignore[misc]
    return found


def same(left: Scalar, right: Scalar) -> bool:
    if left is None and right is None:
        return True
    if left is None or right is None:
        return (right if left is None else left) in ("", 0)
    if isinstance(left, str) and isinstance(right, str):
        return left.casefold() == right.casefold()
    return left == right


def differs(left: Scalar, right: Scalar) -> bool:
    return not same(left, right)


def number_in(text: Scalar) -> float | None:
    """VALUE, of digits and a decimal point; None for other text, where a program may give an error."""
    found = re.fullmatch(r"[-+]?(\d+\.?\d*|\.\d+)(e\d+)?", as_text(text), re.ASCII)
    return float(found[0]) if found else None


def as_text(value: Scalar) -> str:
    """A value as joining (&) shows it: 15 significant digits, no trailing zeros."""
    if value is None:
        return ""
    return value if isinstance(value, str) else f"{value:.15g}"


def join(left: Scalar, right: Scalar) -> str:
    return as_text(left) + as_text(right)


def join_with_comma(left: Scalar, right: Scalar) -> str:
    """The same where numbers are written with a comma, as a program there joins them."""
    return "".join(value if isinstance(value, str) else as_text(value).replace(".", ",") for value in (left, right))


def trimmed(value: Scalar) -> str:
    """A text without blanks at its ends, as a phone's keyboard leaves them, and with single ones inside."""
    return " ".join(part for part in as_text(value).split(" ") if part)


def total(*values: Value) -> float:
    return sum(numbers(values))


def largest(*values: Value) -> float:
    return max(numbers(values), default=0)


def smallest(*values: Value) -> float:
    return min(numbers(values), default=0)


def count(*values: Value) -> int:
    return len(numbers(values))


def average(*values: Value) -> float:
    found = list(numbers(values))
    return sum(found) / len(found)


def sum_of_products(left: tuple[Scalar, ...], right: tuple[Scalar, ...]) -> float:
    """Products of the pairs that are both numbers, summed."""
    result = 0.0
    for a, b in zip(left, right, strict=True):
        if isinstance(a, (int, float)) and isinstance(b, (int, float)):
            result += a * b
    return result


def count_where(*ranges_and_criteria: Value) -> int:
    """COUNTIFS with the criteria we write: ">x" and ">=x" of numbers."""
    ranges = ranges_and_criteria[::2]
    tests = [criterion_holds(str(criterion)) for criterion in ranges_and_criteria[1::2]]
    rows = zip(*(cells for cells in ranges if isinstance(cells, tuple)), strict=True)
    return sum(all(test(cell) for test, cell in zip(tests, row, strict=True)) for row in rows)


def criterion_holds(text: str) -> Callable[[Scalar], bool]:
    """Whether a cell meets a criterion, as one of COUNTIFS."""
    inclusive = text.startswith(">=")
    bound = float(text.lstrip(">=").replace(",", "."))

    def holds(cell: Scalar) -> bool:
        if not isinstance(cell, (int, float)):
            return False
        return cell >= bound if inclusive else cell > bound

    return holds


def round_half_away(value: float, digits: int) -> float:
    """ROUND: halves go away from zero, judged on 15 significant digits as programs do."""
    scaled = float(f"{abs(value) * 10**digits:.15g}")
    return math.copysign(math.floor(scaled + 0.5) / 10**digits, value) + 0.0  # no negative zero


def at(cells: tuple[Scalar, ...], position: float) -> Scalar:
    return cells[int(position) - 1]


def position_of(value: Any, cells: tuple[Any, ...], kind: int) -> int | None:
    """MATCH: kind 1 finds the last of ascending numbers that is <= value, kind 0 the first that is the same.

    Where a program gives an error for kind 0, so that ISNUMBER says no, this is None.
    """
    if kind == 0:
        found = (number for number, cell in enumerate(cells, start=1) if cell is not None and same(value, cell))
        return next(found, None)
    return _last_up_to(value, cells)


def _last_up_to(value: Any, ascending: tuple[Any, ...]) -> int:
    found = bisect_right(ascending, value)
    if not found:
        raise ValueError(f"{value} lies below the first entry {ascending[0]}")
    return found


def look_up(value: float, table: tuple[tuple[Any, ...], ...], column: int, _kind: int) -> Scalar:
    found: Scalar = table[column - 1][_last_up_to(value, table[0]) - 1]
    return found


PYTHON_OF: dict[str, Callable[..., Value]] = {
    "ISNUMBER": is_number,
    "ISTEXT": is_text,
    "SUBSTITUTE": lambda text, old, new: as_text(text).replace(as_text(old), as_text(new)),
    "REPT": lambda text, times: as_text(text) * int(times),
    "MID": lambda text, first, length: as_text(text)[int(first) - 1 : int(first) - 1 + int(length)],
    "CHAR": chr,
    "TRIM": trimmed,
    "LOWER": lambda text: as_text(text).lower(),
    "VALUE": number_in,
    "SUM": total,
    "MAX": largest,
    "MIN": smallest,
    "COUNT": count,
    "AVERAGE": average,
    "SUMPRODUCT": sum_of_products,
    "COUNTIFS": count_where,
    "ABS": abs,
    "ROUND": round_half_away,
    "ROWS": len,
    "LN": math.log,
    "EXP": math.exp,
    "SQRT": math.sqrt,
    "INDEX": at,
    "MATCH": position_of,
    "VLOOKUP": look_up,
}
"""Spreadsheet function -> its Python reading. IF, AND, OR, NOT are Python's own."""
