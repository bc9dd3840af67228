"""The Summary sheet as a lifter reads it on a phone or on paper: nothing cut, what matters first."""

from __future__ import annotations

from functools import cache

import pytest

from blockbook.languages import LANGUAGE_NAMES
from blockbook.sheet.book import Sheet
from blockbook.workbook.assemble import assemble
from blockbook.workbook.layout import SUMMARY
from tests.samples import TEMPLATES, template_spec

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
def test_what_is_likely_stands_before_what_a_step_a_week_would_be(name: str) -> None:
    sheet = _summary(name)
    (row,) = [row for (row, _), text in sheet.contents.items() if str(text).startswith("Looking ahead to week")]
    heads = [sheet.contents.get((row, column)) for column in range(1, 7)]
    last = str(sheet.contents[row, 0]).split()[-2].strip(",")
    assert heads == ["Week 1", f"Week {last}, likely", "Rise", "A step a week", "Rise", "A step every week is"]


@pytest.mark.parametrize("name", TEMPLATES)
def test_all_that_is_said_stands_within_the_page(name: str) -> None:
    sheet = _summary(name)
    last = max(sheet.widths)
    assert all(column <= last for _, column in sheet.contents)
    said = [place for place, style in sheet.styles.items() if place[1] == 6 and style == "set"]
    assert said
    assert all((row, column, 8) in sheet.merges for row, column in said)


@pytest.mark.parametrize("language", LANGUAGE_NAMES)
@pytest.mark.parametrize("effort_as", ["rpe", "reps in reserve"])
def test_no_label_is_cut(language: str, effort_as: str) -> None:
    sheet = _summary("strength", language, effort_as=effort_as)
    labels = {place: text for place, text in sheet.contents.items() if 1 < place[0] < 12 and isinstance(text, str)}
    assert len(labels) > 9
    assert not [text for place, text in labels.items() if len(text) > CHARACTERS * _room(sheet, *place)]
