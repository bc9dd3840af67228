"""What belongs together stays on one printed page, worked out from heights as a person would with a ruler."""

from __future__ import annotations

import pytest

from blockbook.sheet.book import Sheet
from blockbook.workbook.assemble import assemble
from blockbook.workbook.paging import paging
from tests.samples import TEMPLATES, template_spec

A4, LETTER = 9, 1


def _sheet(*wholes: list[tuple[int, int]]) -> Sheet:
    """Rows of 30 points, about 25 on a page of A4 in full size and 41 in the smallest."""
    sheet = Sheet("Week 1", kept_together=list(wholes))
    sheet.widths = {0: 60}
    sheet.heights = dict.fromkeys(range(200), 30)
    return sheet


def test_nothing_is_broken_or_shrunk_that_fits() -> None:
    assert paging(_sheet([(0, 10)], [(11, 23)]), A4) == (100, (), 0)


def test_a_sheet_is_shrunk_no_further_than_saves_a_page() -> None:
    pages = paging(_sheet([(0, 14)], [(15, 29)]), A4)
    assert pages.breaks == ()
    assert 75 < pages.percent < 85


def test_a_whole_that_would_be_torn_begins_a_page_in_full_size() -> None:
    assert paging(_sheet([(0, 23)], [(24, 47)]), A4) == (100, (24,), 0)


def test_a_whole_that_fits_on_a_page_of_smaller_print_is_not_torn() -> None:
    pages = paging(_sheet([(0, 10), (11, 35)], [(36, 60)]), A4)
    assert (pages.breaks, pages.torn) == ((36,), 0)
    assert 60 < pages.percent < 75


def test_a_whole_longer_than_any_page_is_torn_between_its_parts() -> None:
    assert paging(_sheet([(0, 20), (21, 40), (41, 45), (46, 50)]), A4).breaks in ((41,), (21,))


def test_a_title_never_stands_on_a_page_of_its_own() -> None:
    assert 2 not in paging(_sheet([(2, 20), (21, 42)], [(43, 60)]), A4).breaks


def test_a_wide_sheet_is_shrunk_to_the_page() -> None:
    sheet = _sheet([(0, 10)])
    sheet.widths = {0: 60, 1: 90}
    assert paging(sheet, A4).percent < 70


def test_a_sheet_that_lies_is_wider_and_shorter() -> None:
    sheet = _sheet([(0, 10)], [(11, 23)])
    sheet.landscape = True
    assert paging(sheet, A4).percent < 80
    sheet.widths = {0: 110}
    assert paging(sheet, LETTER).torn == 0


@pytest.mark.parametrize("paper", [A4, LETTER])
def test_no_exercise_or_superset_of_any_template_is_torn(paper: int) -> None:
    for name in TEMPLATES:
        workbook = assemble(template_spec(name))
        for place in workbook.sessions:
            sheet = workbook.book.sheets[place.sheet]
            inside = {row for first, last in place.parts for row in range(first + 1, last + 1)}
            assert not inside & set(paging(sheet, paper).breaks)


@pytest.mark.parametrize("name", ["strength", "general", "peak"])
def test_a_session_prints_on_one_page(name: str) -> None:
    sheets = assemble(template_spec(name)).book.sheets.values()
    weeks = [(sheet, paging(sheet, A4)) for sheet in sheets if sheet.name.startswith("Week")]
    assert all(pages.torn == 0 for _, pages in weeks)
    assert all(len(pages.breaks) < len(sheet.kept_together) for sheet, pages in weeks)


def test_a_superset_is_one_part() -> None:
    place = next(place for place in assemble(template_spec("strength")).sessions if place.lines[-1].line.label == "D2")
    assert place.parts[-2] == (place.lines[-2].title_row, place.after_row - 1)
