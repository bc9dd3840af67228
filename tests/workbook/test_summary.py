"""The Summary sheet as a lifter reads it on a phone or on paper: nothing cut, what matters first."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from itertools import count, takewhile
from typing import Any

import pytest

from blockbook.formula.functions import Scalar
from blockbook.languages import LANGUAGE_NAMES
from blockbook.sheet.book import Book, Cell, Sheet
from blockbook.sheet.calculation import Calculation
from blockbook.spec.catalogue import shown_name
from blockbook.workbook.assemble import assemble
from blockbook.workbook.layout import SUMMARY
from tests.samples import TEMPLATES, template_spec, typed

CHARACTERS = 1.25
"""So many characters of a text are as wide as one figure, by which widths are counted: about, in the font we use."""


@cache
def _summary(name: str, language: str = "en", **block: str) -> Sheet:
    spec = template_spec(name)
    lifter = spec.lifter.model_copy(update={"language": language})
    made = spec.model_copy(update={"lifter": lifter, "block": spec.block.model_copy(update=block)})
    return assemble(made).book.sheets[SUMMARY]


def _room(sheet: Sheet, row: int, column: int) -> float:
    last = next((last for at, first, last in sheet.merges if (at, first) == (row, column)), column)
    return sum(sheet.widths[each] for each in range(column, last + 1))


@pytest.mark.parametrize("name", TEMPLATES)
def test_the_last_week_stands_before_what_a_step_a_week_would_be(name: str) -> None:
    sheet = _summary(name)
    (row,) = [row for (row, _), text in sheet.contents.items() if str(text).startswith("Looking ahead to week")]
    heads = [sheet.contents.get((row, column)) for column in range(1, 7)]
    last = str(sheet.contents[row, 0]).split()[-2].strip(",")
    then = f"Week {last}, as it stands"
    stepped = ("With one step a week", "Rise by steps", "One step every week comes to")
    assert heads == ["Week 1", then, "Rise until then", *stepped]


def _looking_ahead(book: Book, inputs: Mapping[str, Any]) -> dict[str, Scalar]:
    """Exercise -> what Summary shows for the last week."""
    sheet, calculation = book.sheets[SUMMARY], Calculation(book, inputs)
    (top,) = [row for (row, _), text in sheet.contents.items() if str(text).startswith("Looking ahead to week")]
    rows = takewhile(lambda row: (row, 0) in sheet.contents, count(top + 1))
    return {str(sheet.contents[row, 0]).casefold(): calculation.value(Cell(SUMMARY, row, 2)) for row in rows}


@pytest.mark.parametrize("how_much", ["empty", "half filled", "filled"])
@pytest.mark.parametrize("name", TEMPLATES)
def test_the_last_week_is_what_its_own_sheet_holds(name: str, how_much: str) -> None:
    """Logged, else planned as it stands there: one fact in both places."""
    made = assemble(template_spec(name))
    inputs = {**made.typed, **typed(name, "kg", how_much)}
    calculation, compared = Calculation(made.book, inputs), 0
    ahead = _looking_ahead(made.book, inputs)
    last = made.weeks[-2 if template_spec(name).block.deload_week == len(made.weeks) else -1]
    for line in (line for place in last for line in place.lines if line.line.decided):
        sets = [line.cells[planned.number] for planned in line.line.top_sets]
        logged = [load for each in sets if isinstance(load := calculation.value(each["load"]), (int, float))]
        stands = max(logged, default=calculation.value(sets[0]["planned"]))
        shown = shown_name(line.line.exercise).casefold()
        assert ahead.get(shown, stands) == stands
        compared += shown in ahead
    assert compared > 1
    assert how_much != "filled" or calculation.value(last[0].lines[0].cell("load", 1)) != ""


@pytest.mark.parametrize("name", TEMPLATES)
def test_all_that_is_said_stands_within_the_page(name: str) -> None:
    sheet = _summary(name)
    last = max(sheet.widths)
    assert all(column <= last for _, column in sheet.contents)
    said = [
        place for place, style in sheet.styles.items() if place[1] == 6 and style == "set" and sheet.contents[place]
    ]
    assert said
    assert all((row, column, 8) in sheet.merges for row, column in said)


@pytest.mark.parametrize("language", LANGUAGE_NAMES)
@pytest.mark.parametrize("effort_as", ["rpe", "reps in reserve"])
def test_no_label_is_cut(language: str, effort_as: str) -> None:
    sheet = _summary("strength", language, effort_as=effort_as)
    labels = {place: text for place, text in sheet.contents.items() if 1 < place[0] < 12 and isinstance(text, str)}
    assert len(labels) > 9
    assert not [text for place, text in labels.items() if len(text) > CHARACTERS * _room(sheet, *place)]


@pytest.mark.parametrize("name", TEMPLATES)
def test_where_reps_grow_first_no_step_a_week_is_held_against_the_plan(name: str) -> None:
    made = assemble(template_spec(name))
    sheet, calculation = made.book.sheets[SUMMARY], Calculation(made.book, {})
    by_reps = {shown_name(line.line.exercise).casefold() for place in made.weeks[0] for line in place.lines
               if line.line.progress == "reps"}  # fmt: skip
    judged = [row for (row, column) in sheet.contents if column == 6]
    rows = [row for row in judged if calculation.value(Cell(SUMMARY, row, 6)) == "its reps grow first"]
    assert by_reps or not rows
    for row in rows:
        assert any(str(sheet.contents[row, 0]).casefold().startswith(exercise) for exercise in by_reps)
        assert (sheet.contents[row, 4], sheet.contents[row, 5]) == (None, None)


def test_what_pain_holds_is_not_said_to_grow() -> None:
    made = assemble(template_spec("general"))
    session = made.weeks[0][0].session
    sheet, calculation = made.book.sheets[SUMMARY], Calculation(made.book, {f"{session.key}.pain": "all"})
    said = {
        str(sheet.contents[row, 0]): calculation.value(Cell(SUMMARY, row, 6))
        for row, column in sheet.contents
        if column == 6 and (row, 0) in sheet.contents
    }
    by_reps = [shown_name(line.exercise) for line in session.lines if line.decided and line.progress == "reps"]
    held = {text for name, text in said.items() if name.split(",")[0].casefold() in map(str.casefold, by_reps)}
    assert held == {"held: pain or the like was noted"}


def test_a_change_says_which_weeks_it_compares_and_leaves_deload_and_taper_out() -> None:
    assert "Change, week 1 to 3" in _summary("peak").contents.values()
    assert "Change, week 1 to 4" in _summary("strength").contents.values()


def _best_of_bench_press(inputs: Mapping[str, Any]) -> list[Scalar]:
    made = assemble(template_spec("strength"))
    sheet, calculation = made.book.sheets[SUMMARY], Calculation(made.book, inputs)
    (top,) = [row for (row, _), text in sheet.contents.items() if str(text).startswith("Best estimated 1RM, kg")]
    (row,) = [row for row in range(top, top + 20) if sheet.contents.get((row, 0)) == "Bench press"]
    return [calculation.value(Cell(SUMMARY, row, week)) for week in range(1, 6)]


def test_a_light_week_draws_no_lift_down() -> None:
    """With six reps left a set says of the maximum no more than "at least"."""
    usual = typed("strength", "kg", "filled")
    light = {name: 4 for name in usual if name.startswith("w3.") and "bench-press" in name and name.endswith("/rpe")}
    first, second, third, *_ = _best_of_bench_press({**usual, **light})
    assert isinstance(first, float)
    assert isinstance(second, float)
    assert third == ""


def test_hard_sets_a_week_are_those_of_the_weeks_that_were_logged() -> None:
    """Half-way through a block a lifter on plan would else read as half of the plan."""
    spec = template_spec("general")
    book, one_week = assemble(spec).book, typed("general", "kg", "filled")
    first = {key: value for key, value in one_week.items() if key.startswith("w1.")}
    sheet, calculation = book.sheets[SUMMARY], Calculation(book, first)
    (top,) = [row for (row, _), text in sheet.contents.items() if str(text).startswith("Hard sets per muscle")]
    rows = list(takewhile(lambda row: (row, 0) in sheet.contents, count(top + 1)))
    of_week_1, a_week = (
        [calculation.value(Cell(SUMMARY, row, column)) for row in rows] for column in (1, spec.block.weeks + 1)
    )
    assert of_week_1 == a_week
    assert any(of_week_1)


def test_an_alarm_stands_before_all_numbers_until_it_is_answered() -> None:
    workbook = assemble(template_spec("general"))
    session = workbook.weeks[1][0].session.key
    noted = {f"{session}.pain": "chest pain"}
    answered = {**noted, f"{workbook.weeks[2][0].session.key}.pain": "none"}
    said = [Calculation(workbook.book, typed).value(Cell(SUMMARY, 1, 0)) for typed in ({}, noted, answered)]
    assert (said[0], said[2]) == ("", "")
    assert "no training before a physician has seen you" in str(said[1])


def test_charts_that_have_nothing_to_draw_say_when_they_will() -> None:
    made = assemble(template_spec("strength"))
    sheet = made.book.sheets[SUMMARY]
    above = Cell(SUMMARY, min(chart.row for chart in sheet.charts) - 1, 0)
    assert Calculation(made.book, {}).value(above) == "The charts below fill as you log."
    assert Calculation(made.book, typed("strength", "kg", "half filled")).value(above) == ""


def test_nothing_is_printed_beside_the_tables() -> None:
    sheet = _summary("strength")
    assert sheet.printed_to == (sheet.kept_together[-1][-1][1], max(sheet.widths))
