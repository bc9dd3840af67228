"""Expressions over named quantities, built with ordinary Python operators.

Only operators and functions that Excel 2010, LibreOffice, Gnumeric and browser programs
share are offered, so whatever can be written here calculates alike everywhere.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from blockbook.languages import say

Operand: TypeAlias = "Expression | float | int | str"


class Expression:
    """One node of a formula. Combine nodes with + - * / and < <= > >=."""

    def __add__(self, other: Operand) -> Expression:
        return Operation("+", self, lift(other))

    def __radd__(self, other: Operand) -> Expression:
        return Operation("+", lift(other), self)

    def __sub__(self, other: Operand) -> Expression:
        return Operation("-", self, lift(other))

    def __rsub__(self, other: Operand) -> Expression:
        return Operation("-", lift(other), self)

    def __mul__(self, other: Operand) -> Expression:
        return Operation("*", self, lift(other))

    def __rmul__(self, other: Operand) -> Expression:
        return Operation("*", lift(other), self)

    def __truediv__(self, other: Operand) -> Expression:
        return Operation("/", self, lift(other))

    def __rtruediv__(self, other: Operand) -> Expression:
        return Operation("/", lift(other), self)

    def __lt__(self, other: Operand) -> Expression:
        return Operation("<", self, lift(other))

    def __le__(self, other: Operand) -> Expression:
        return Operation("<=", self, lift(other))

    def __gt__(self, other: Operand) -> Expression:
        return Operation(">", self, lift(other))

    def __ge__(self, other: Operand) -> Expression:
        return Operation(">=", self, lift(other))


@dataclass(frozen=True)
class Name(Expression):
    """A named quantity: one cell, or a run of cells for functions that take many."""

    name: str


@dataclass(frozen=True)
class Constant(Expression):
    value: float | int | str


@dataclass(frozen=True)
class Operation(Expression):
    symbol: str
    left: Expression
    right: Expression


@dataclass(frozen=True)
class Call(Expression):
    function: str
    arguments: tuple[Expression, ...]


def lift(operand: Operand) -> Expression:
    return operand if isinstance(operand, Expression) else Constant(operand)


def call(function: str, *operands: Operand) -> Expression:
    return Call(function, tuple(lift(operand) for operand in operands))


BLANK = Constant("")


def if_(condition: Expression, then: Operand, otherwise: Operand) -> Expression:
    return call("IF", condition, then, otherwise)


def choose(*cases: tuple[Expression, Operand], otherwise: Operand) -> Expression:
    """The value of the first case whose condition holds: nested IFs, read from the top."""
    result = lift(otherwise)
    for condition, value in reversed(cases):
        result = if_(condition, value, result)
    return result


def and_(*conditions: Expression) -> Expression:
    return call("AND", *conditions)


def or_(*conditions: Expression) -> Expression:
    return call("OR", *conditions)


def not_(condition: Expression) -> Expression:
    return call("NOT", condition)


def is_number(operand: Operand) -> Expression:
    return call("ISNUMBER", operand)


def is_text(operand: Operand) -> Expression:
    return call("ISTEXT", operand)


def all_numbers(*operands: Operand) -> Expression:
    return and_(*(is_number(operand) for operand in operands))


def same(left: Operand, right: Operand) -> Expression:
    """Equality as spreadsheets have it: text without regard to case, a blank equals ""."""
    return Operation("=", lift(left), lift(right))


def lower(text: Operand) -> Expression:
    """The text in small letters."""
    return call("LOWER", text)


def one_of(text: Operand, words: Sequence[str]) -> Expression:
    """Whether a text is one of these words, in large letters or small: it stands between bars in "|none|no|nope|"."""
    said = join("|", lower(trimmed(text)), "|")
    return or_(*(differs(substituted(listed, said, ""), listed) for listed in _in_bars(words)))


def _in_bars(words: Sequence[str]) -> list[str]:
    """The words in as few texts as a formula takes."""
    texts = ["|"]
    for word in words:
        if len(texts[-1]) + len(word) >= _LONGEST_TEXT:
            texts.append("|")
        texts[-1] += f"{word}|"
    return texts


_LONGEST_TEXT = 250
"""Characters that a text within a formula may have, and a few less."""


def trimmed(text: Operand) -> Expression:
    """The text without blanks at its ends."""
    return call("TRIM", text)


def piece(text: Operand, number: Operand, *parting: Operand) -> Expression:
    """The piece at a position (from 1) of a text in pieces, without blanks at its ends; "" where there are fewer.

    parting: the signs between pieces. Each becomes so many blanks that a piece stands in a window of its own.
    """
    for sign in parting:
        text = substituted(text, sign, call("REPT", " ", _WINDOW))
    return trimmed(call("MID", text, (lift(number) - 1) * _WINDOW + 1, _WINDOW))


def from_digits(text: Operand) -> Expression:
    """The number that a text of digits and the program's own decimal mark says; for other text ask is_number of it.

    A program takes dates, shares and money for numbers, but not with an exponent behind them.
    """
    return call("VALUE", join(text, "e0"))


def decimal_mark() -> Expression:
    """The one that the program writes numbers with."""
    return call("MID", join(0.5, ""), 2, 1)


def rows_in(cells: Operand) -> Expression:
    """How many rows a run of cells has now, those included that were put in since."""
    return call("ROWS", cells)


def substituted(text: Operand, old: Operand, new: Operand) -> Expression:
    """The text with every `old` in it replaced, in the same letters."""
    return call("SUBSTITUTE", text, old, new)


def begins_with_digit(text: Operand) -> Expression:
    return is_number(from_digits(call("MID", text, 1, 1)))


def begins_with(text: Operand, sign: str) -> Expression:
    return same(call("MID", text, 1, len(sign)), sign)


_WINDOW = 500
"""Characters; all pieces together are shorter."""

LINE_BREAK = call("CHAR", 10)


def means(cell: Operand, word: str) -> Expression:
    """Whether a cell holds a word, in English or in the language spoken."""
    words, said = dict.fromkeys((word, say(word))), trimmed(cell)
    return same(said, word) if len(words) == 1 else or_(*(same(said, each) for each in words))


def differs(left: Operand, right: Operand) -> Expression:
    return Operation("<>", lift(left), lift(right))


def join(*pieces: Operand) -> Expression:
    """Text made of texts and numbers. Round the numbers first: no number format applies."""
    first, *rest = (lift(piece) for piece in pieces)
    for piece in rest:
        first = Operation("&", first, piece)
    return first


def sentence(text: str, **pieces: Operand) -> Expression:
    """A whole text in the language spoken, with expressions in its {places}: "{over} over the target effort."."""
    said = say(text)
    for name, piece in pieces.items():
        said = said.replace(f"{{{name}}}", piece) if isinstance(piece, str) else said
    parts = [part for part in re.split(r"(\{\w+\})", said) if part]
    return join(*(pieces[part[1:-1]] if part.startswith("{") else part for part in parts))


def minimum(*operands: Operand) -> Expression:
    return call("MIN", *operands)


def maximum(*operands: Operand) -> Expression:
    return call("MAX", *operands)


def total(*operands: Operand) -> Expression:
    return call("SUM", *operands)


def count(*operands: Operand) -> Expression:
    """How many numbers there are; texts and blanks do not count."""
    return call("COUNT", *operands)


def average(*operands: Operand) -> Expression:
    return call("AVERAGE", *operands)


def sum_of_products(left: Operand, right: Operand) -> Expression:
    return call("SUMPRODUCT", left, right)


def count_where(*ranges_and_criteria: Operand) -> Expression:
    return call("COUNTIFS", *ranges_and_criteria)


def absolute(operand: Operand) -> Expression:
    return call("ABS", operand)


def round_(operand: Operand, digits: int) -> Expression:
    return call("ROUND", operand, digits)


def ln(operand: Operand) -> Expression:
    return call("LN", operand)


def exp(operand: Operand) -> Expression:
    return call("EXP", operand)


def square_root(operand: Operand) -> Expression:
    return call("SQRT", operand)


def at(cells: Operand, position: Operand) -> Expression:
    """The cell at a position (from 1) of a run of cells."""
    return call("INDEX", cells, position)


def look_up(value: Operand, table: Operand, column: int) -> Expression:
    """The entry in a column (from 1) of a table, in the row of the last of its ascending first column that is <= value.

    Phones read a long run for every INDEX of it; of this they read a few cells.
    """
    return call("VLOOKUP", value, table, column, 1)


def position_of(value: Operand, ascending: Operand) -> Expression:
    """Position (from 1) of the last of the ascending numbers that is <= value."""
    return call("MATCH", value, ascending, 1)


def place_among(value: Operand, cells: Operand) -> Expression:
    """Position (from 1) of the first of the cells that is the same; no number where there is none: ask is_number."""
    return call("MATCH", value, cells, 0)
