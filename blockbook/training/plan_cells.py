"""What stands in the cells of a plan: coaches type anything there, put rows in and delete others.

A cell is found by its place in a run that grows and shrinks with the rows, never by its own address, of which
nothing is left once its row is gone. Of a place behind the end is_text and is_number say no, as of an error.
"""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    Operand,
    and_,
    at,
    call,
    count,
    decimal_mark,
    from_digits,
    if_,
    is_number,
    is_text,
    join,
    lift,
    or_,
    round_,
    rows_in,
    same,
    trimmed,
)
from blockbook.spec.values import BLANKS_THAT_BREAK_NO_LINE


@definition
def stands_at(cells: Expression, position: Expression) -> Expression:
    """What stands at a position (from 1) of a run; "" for an empty cell, which a program would copy as 0, and for
    none. Blanks of a text are plain ones, as `values.single_blanks` has them."""
    cell = at(cells, position)
    return if_(is_number(cell), cell, if_(is_text(cell), plain_blanks(cell), BLANK))


def plain_blanks(text: Operand) -> Expression:
    """A text with plain blanks for those that break no line, as text from a page has them."""
    for blank in BLANKS_THAT_BREAK_NO_LINE:
        text = _replaced(text, blank, " ")
    return lift(text)


@definition
def beside(said: Expression, down_here: Expression, otherwise: Expression) -> Expression:
    """What is said of the row that a formula stands in, whatever row it was moved or copied to.

    said: of every row, from one above the first; down_here: a run from there to the formula's own row; otherwise:
    where there are more rows than are spoken of.
    """
    cell = at(said, rows_in(down_here))
    return if_(or_(is_number(cell), is_text(cell)), cell, otherwise)


@definition
def mark_of_decimals() -> Expression:
    return decimal_mark()


@definition
def number_said(cell: Expression, mark: Expression) -> Expression:
    """The number in a cell, also where it stands there as text, with point or comma; other text as it is.

    As who reads the plan takes it: a comma before three digits may part thousands, so that is no number. mark: the
    one that the program writes decimals with.
    """
    text = trimmed(cell)
    number, without_comma = (
        from_digits(_replaced(_replaced(text, ",", instead), ".", mark)) for instead in (".", "")
    )  # fmt: skip
    # Each is asked whether it is a number before it is compared: an error in one would be one in all.
    parted = if_(is_number(without_comma), if_(same(without_comma, round_(number * 1000, 0)), text, number), number)
    as_text = if_(is_number(number), if_(number >= 1, parted, number), text)
    return if_(is_number(cell), cell, if_(is_text(cell), as_text, BLANK))


@definition
def number_in_week(cell: Expression, mark: Expression, week: Expression, weeks: Expression) -> Expression:
    """The same of a week's cell; "" where the block is over before that week."""
    over = if_(is_number(weeks), if_(week > weeks, 1, 0), 0)
    return if_(over > 0, BLANK, number_said(cell, mark))


def _replaced(text: Operand, old: str, new: Operand) -> Expression:
    return call("SUBSTITUTE", text, old, new)


@definition
def plan_title(title: Expression, lifter: Expression) -> Expression:
    """Whose plan it is, as the other sheets say."""
    return join("Plan · ", title, " · ", lifter)


@definition
def while_it_is(
    name: Expression, was: Expression, best: Expression, best_was: Expression, text: Expression
) -> Expression:
    """The text, until the coach has written another lifter, or another best."""
    return if_(and_(same(name, was), same(best, best_was)), text, BLANK)


@definition
def in_use(own: Expression, usual: Expression, mark: Expression) -> Expression:
    """The coach's own number, else the usual one."""
    said = number_said(own, mark)
    return if_(is_number(said), said, usual)


@definition
def filled(values: Expression) -> Expression:
    """How many cells hold a number."""
    return count(values)
