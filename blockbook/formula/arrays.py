"""The third reading of a definition: over NumPy arrays, one entry a simulated lifter.

A number may be an array (one value a lifter) or plain. An empty cell or text that is the
result of a calculation is NaN; text given to a calculation stays text.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cached_property, reduce
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from blockbook.formula.definition import Definition
from blockbook.formula.expression import Call, Constant, Expression, Name, Operation
from blockbook.formula.functions import as_text, round_half_away, trimmed

Numbers: TypeAlias = npt.NDArray[np.float64]
Many: TypeAlias = "Numbers | float | str"


class Together(tuple[Many, ...]):
    """A run of cells."""

    @cached_property
    def array(self) -> Numbers:
        """A run of plain numbers as one array: a table to look up in."""
        return np.asarray(self, dtype=float)

    @cached_property
    def how_many(self) -> int:
        """How many numbers there are in a run of plain numbers."""
        return int(np.count_nonzero(~np.isnan(self.array)))


def read_over_arrays(definition: Definition) -> Callable[..., Many]:
    """The definition as a function of arrays, quantities in the order of its names; compiled once."""
    if definition not in _COMPILED:
        source = f"lambda {', '.join(definition.names)}: {_code(definition.expression)}"
        _COMPILED[definition] = eval(source, dict(_NAMESPACE))  # our own tree, no outside text
    return _COMPILED[definition]


_COMPILED: dict[Definition, Callable[..., Many]] = {}


def as_number(value: object) -> Many:
    """What a plain cell holds: a number, text, or NaN for nothing."""
    if value is None or value == "":
        return np.nan
    return value if isinstance(value, str) else float(value)  # type: ignore[arg-type]


def _code(node: Expression) -> str:
    match node:
        case Name(name):
            return name
        case Constant(value):
            return "nan" if value == "" else repr(value)
        case Operation("=", left, right):
            return f"same({_code(left)}, {_code(right)})"
        case Operation("<>", left, right):
            return f"np.logical_not(same({_code(left)}, {_code(right)}))"
        case Operation("&", left, right):
            return f"join({_code(left)}, {_code(right)})"
        case Operation(symbol, left, right):
            return f"({_number_code(left)} {symbol} {_number_code(right)})"
        case Call("IF", (condition, then, otherwise)):
            return f"if_({_code(condition)}, lambda: {_code(then)}, lambda: {_code(otherwise)})"
        case Call("AND", arguments):
            return "(" + " & ".join(map(_code, arguments)) + ")"
        case Call("OR", arguments):
            return "(" + " | ".join(map(_code, arguments)) + ")"
        case Call(function, arguments):
            return f"{function}({', '.join(map(_code, arguments))})"
    raise TypeError(f"not an expression: {node!r}")


def _number_code(node: Expression) -> str:
    return f"plain({node.name})" if isinstance(node, Name) else _code(node)


def _if(condition: Any, then: Callable[[], Any], otherwise: Callable[[], Any]) -> Any:
    """Both sides only where the lifters differ."""
    if not isinstance(condition, np.ndarray):
        return then() if condition else otherwise()
    if condition.all():
        return then()
    if not condition.any():
        return otherwise()
    return np.where(condition, _plain(then()), _plain(otherwise()))


def _plain(value: Any) -> Any:
    return np.nan if isinstance(value, str) else value


def _same(left: Any, right: Any) -> Any:
    if isinstance(left, str) or isinstance(right, str):
        return isinstance(left, str) and isinstance(right, str) and left.casefold() == right.casefold()
    return (left == right) | (np.isnan(left) & np.isnan(right))


def _join(left: Any, right: Any) -> Any:
    """Text only of what is the same for all lifters; sentences are not calculated for many."""
    if isinstance(left, np.ndarray) or isinstance(right, np.ndarray):
        return np.nan
    return "".join(as_text(value) if isinstance(value, str) or not np.isnan(value) else "" for value in (left, right))


def _trimmed(value: Any) -> Any:
    return (trimmed(value) or np.nan) if isinstance(value, str) else value


def _substituted(text: Any, old: Any, new: Any) -> Any:
    """Of plain text alone; of nothing it is nothing."""
    return as_text(text).replace(as_text(old), as_text(new)) if isinstance(text, str) else np.nan


def _lower(text: Any) -> Any:
    """Of plain text alone."""
    return text.lower() if isinstance(text, str) else np.nan


def _is_text(value: Any) -> bool:
    return isinstance(value, str)


def _piece(text: Any, first: Any, length: Any) -> Any:
    """MID of plain text."""
    return text[int(first) - 1 : int(first) - 1 + int(length)] or np.nan if isinstance(text, str) else np.nan


def _is_number(value: Any) -> Any:
    return False if isinstance(value, str) else ~np.isnan(value)


def _numbers(values: tuple[Any, ...]) -> Iterator[Any]:
    for value in values:
        if isinstance(value, tuple):
            yield from _numbers(value)
        elif not isinstance(value, str):
            yield value


def _sum(*values: Any) -> Any:
    return sum(np.nan_to_num(value) for value in _numbers(values))


def _largest(*values: Any) -> Any:
    return np.nan_to_num(reduce(np.fmax, _numbers(values), np.nan))


def _smallest(*values: Any) -> Any:
    return np.nan_to_num(reduce(np.fmin, _numbers(values), np.nan))


def _count(*values: Any) -> Any:
    if len(values) == 1 and isinstance(values[0], Together) and not _by_lifter(values[0]):
        return values[0].how_many
    return sum(~np.isnan(value) * 1 for value in _numbers(values))


def _by_lifter(cells: tuple[Many, ...]) -> bool:
    return any(isinstance(cell, np.ndarray) for cell in cells)


def _average(*values: Any) -> Any:
    return _sum(*values) / _count(*values)


def _sum_of_products(left: tuple[Any, ...], right: tuple[Any, ...]) -> Any:
    pairs = zip(left, right, strict=True)
    return sum(np.nan_to_num(_plain(a) * _plain(b)) for a, b in pairs)


def _count_where(*ranges_and_criteria: Any) -> Any:
    """COUNTIFS with the criteria we write."""
    found: Any = 0
    ranges, criteria = ranges_and_criteria[::2], ranges_and_criteria[1::2]
    for row in zip(*ranges, strict=True):
        tests = [_meets(cell, text) for cell, text in zip(row, criteria, strict=True)]
        found = found + reduce(np.logical_and, tests) * 1
    return found


def _meets(cell: Any, criterion: str) -> Any:
    cell = _plain(cell)
    bound = float(criterion.lstrip(">="))
    return cell >= bound if criterion.startswith(">=") else cell > bound


def _round(value: Any, digits: int) -> Any:
    if not isinstance(value, np.ndarray):
        return np.nan if np.isnan(value) else round_half_away(value, digits)
    scaled = np.abs(value) * 10**digits
    nudged = scaled * (1 + 4e-16)  # a half that a spreadsheet sees on 15 digits counts as one
    return np.copysign(np.floor(nudged + 0.5) / 10**digits, value) + 0.0


def _at(cells: Together, position: Any) -> Any:
    if not isinstance(position, np.ndarray):
        return np.nan if np.isnan(position) else cells[int(position) - 1]
    entries = np.clip(np.nan_to_num(position, nan=1).astype(int) - 1, 0, len(cells) - 1)
    return np.where(np.isnan(position), np.nan, cells.array[entries])


def _position_of(value: Any, ascending: Together, _kind: int) -> Any:
    """MATCH among ascending numbers; what simulated lifters calculate looks for no equal text."""
    found = np.searchsorted(ascending.array, value, side="right")
    if not isinstance(value, np.ndarray):
        return float(found)
    return np.where(np.isnan(value) | (found < 1), np.nan, found)


def _look_up(value: Any, table: tuple[Together, ...], column: int, kind: int) -> Any:
    return _at(table[column - 1], _position_of(value, table[0], kind))


_NAMESPACE: dict[str, object] = {
    "np": np, "nan": np.nan, "same": _same, "join": _join, "plain": _plain, "if_": _if, "NOT": np.logical_not,
    "ISNUMBER": _is_number, "ISTEXT": _is_text, "TRIM": _trimmed, "LOWER": _lower, "SUBSTITUTE": _substituted,
    "MID": _piece, "SUM": _sum, "MAX": _largest, "MIN": _smallest, "COUNT": _count, "AVERAGE": _average,
    "SUMPRODUCT": _sum_of_products, "COUNTIFS": _count_where, "ABS": np.abs, "ROUND": _round, "LN": np.log,
    "EXP": np.exp, "SQRT": np.sqrt, "INDEX": _at, "MATCH": _position_of, "VLOOKUP": _look_up,
}  # fmt: skip
