"""One definition, two readings: formula text and Python value."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockbook.formula import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    and_,
    begins_with,
    call,
    choose,
    if_,
    is_number,
    join,
    look_up,
    maximum,
    piece,
    place_among,
    position_of,
    round_,
    same,
    sum_of_products,
    total,
)
from blockbook.formula.functions import as_text, round_half_away


@definition
def half_of(load: Expression) -> Expression:
    return if_(is_number(load), load / 2, BLANK)


def test_a_definition_writes_a_formula_and_computes_the_same() -> None:
    assert half_of.formula({"load": "F12"}) == 'IF(ISNUMBER(F12),F12/2,"")'
    assert half_of.value(100) == 50
    assert half_of.value(None) == ""
    assert half_of.value("84 kg") == ""


def test_definitions_compose_into_one_formula() -> None:
    @definition
    def quarter_of(load: Expression) -> Expression:
        return half_of(load) / 2

    assert quarter_of.formula({"load": "A1"}) == 'IF(ISNUMBER(A1),A1/2,"")/2'
    assert quarter_of.value(100) == 25


def test_brackets_appear_only_where_they_are_needed() -> None:
    @definition
    def mixed(a: Expression, b: Expression, c: Expression) -> Expression:
        return (a + b) * c - (a - (b - c)) / (a * b)

    assert mixed.formula({"a": "A1", "b": "B1", "c": "C1"}) == "(A1+B1)*C1-(A1-(B1-C1))/(A1*B1)"
    assert mixed.value(2, 3, 4) == (2 + 3) * 4 - (2 - (3 - 4)) / (2 * 3)


def test_text_constants_are_quoted_and_braces_survive() -> None:
    @definition
    def said(name: Expression) -> Expression:
        return join('He said "', name, '" {twice}')

    assert said.formula({"name": "B2"}) == '"He said """&B2&""" {twice}"'
    assert said.value("up") == 'He said "up" {twice}'


def test_choose_reads_from_the_top() -> None:
    @definition
    def size(x: Expression) -> Expression:
        return choose((x > 10, "big"), (x > 5, "middle"), otherwise="small")

    assert [size.value(x) for x in (11, 6, 1)] == ["big", "middle", "small"]


def test_runs_pass_over_text_and_blanks() -> None:
    @definition
    def summed(cells: Expression) -> Expression:
        return total(cells) + maximum(cells)

    assert summed.value((1, None, "", "x", 2)) == 5
    assert definition(sum_of_products).value((1, "x", 3), (2, 2, 2)) == 8


def test_equality_is_that_of_spreadsheets() -> None:
    @definition
    def equal(a: Expression, b: Expression) -> Expression:
        return if_(same(a, b), "yes", "no")

    assert equal.value("None", "none") == "yes"
    assert equal.value(None, "") == "yes"
    assert equal.value(None, 0) == "yes"
    assert equal.value("1", 1) == "no"


def test_later_conditions_are_not_reached_with_text() -> None:
    @definition
    def above(x: Expression) -> Expression:
        return if_(and_(is_number(x), x >= 5), 1, 0)

    assert above.value("abc") == 0


def test_a_position_below_the_first_is_an_error_not_a_guess() -> None:
    with pytest.raises(ValueError, match="below the first"):
        definition(position_of).value(1, (2, 3))


def test_a_table_is_looked_up_in_the_row_of_the_last_entry_that_is_not_above() -> None:
    table = ((1, 5, 10), ("one", "five", "ten"))
    word = definition(lambda value, table: look_up(value, table, 2))
    assert [word.value(value, table) for value in (1, 4.9, 5, 99)] == ["one", "one", "five", "ten"]
    assert word.formula({"value": "A1", "table": "C1:D3"}) == "VLOOKUP(A1,C1:D3,2,1)"


@pytest.mark.parametrize(
    ("value", "digits", "rounded"),
    [(2.5, 0, 3), (-2.5, 0, -3), (1.005, 2, 1.01), (0.285, 2, 0.29), (81.25, 1, 81.3), (1e-9, 6, 0)],
)
def test_halves_round_away_from_zero(value: float, digits: int, rounded: float) -> None:
    assert round_half_away(value, digits) == rounded
    assert definition(lambda x: round_(x, digits)).value(value) == rounded


@given(st.decimals(-1000, 1000, places=4))
def test_numbers_join_text_without_trailing_zeros(value: object) -> None:
    text = as_text(float(str(value)))
    assert float(text) == float(str(value))
    assert "." not in text or not text.endswith("0")


def test_text_functions_take_a_number_for_its_digits() -> None:
    @definition
    def second(text: Expression, sign: Expression) -> Expression:
        return piece(text, 2, sign)

    @definition
    def begins(text: Expression) -> Expression:
        return begins_with(text, "1")

    @definition
    def twice(text: Expression) -> Expression:
        return call("REPT", text, 2)

    assert (second.value(80.5, "."), second.value(80.5, 0), second.value(None, ";")) == ("5", ".5", "")
    assert (begins.value(12.0), begins.value(21), begins.value(None)) == (True, False, False)
    assert (twice.value(12.0), twice.value(None)) == ("1212", "")


@pytest.mark.parametrize(("value", "place"), [("bench", 2), ("BENCH", 2), ("squat", 1), ("row", "none"), (5, 3)])
def test_a_place_among_cells_is_that_of_the_first_that_is_the_same(value: str | float, place: int | str) -> None:
    @definition
    def place_or_none(value: Expression, cells: Expression) -> Expression:
        found = place_among(value, cells)
        return if_(is_number(found), found, "none")

    assert place_or_none.value(value, ("Squat", "bench", 5, None, "squat", "")) == place
