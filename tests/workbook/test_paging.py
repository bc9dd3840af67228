"""What belongs together stays on one printed page, worked out from heights as a person would with a ruler."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from blockbook.sheet.book import Sheet
from blockbook.workbook.assemble import assemble
from blockbook.workbook.layout import COLUMN, SessionPlace
from blockbook.workbook.paging import Paging, paging
from tests.samples import TEMPLATES, template_spec

A4, LETTER = 9, 1


def _sheet(*wholes: list[tuple[int, int]]) -> Sheet:
    """Rows of 30 points, about 25 on a page of A4 in full size and 34 in the smallest."""
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
    pages = paging(_sheet([(0, 10), (11, 32)], [(33, 57)]), A4)
    assert (pages.breaks, pages.torn) == ((33,), 0)
    assert 73 <= pages.percent < 80


def test_print_is_not_shrunk_until_it_cannot_be_read_to_keep_a_whole_on_a_page() -> None:
    pages = paging(_sheet([(0, 10), (11, 35)], [(36, 60)]), A4)
    assert pages.torn == 1
    assert pages.percent >= 73


def test_a_whole_longer_than_any_page_is_torn_between_its_parts() -> None:
    assert paging(_sheet([(0, 20), (21, 40), (41, 45), (46, 50)]), A4).breaks in ((41,), (21,))


def test_a_title_never_stands_on_a_page_of_its_own() -> None:
    assert 2 not in paging(_sheet([(2, 20), (21, 42)], [(43, 60)]), A4).breaks


def test_a_wide_sheet_is_shrunk_to_the_page() -> None:
    sheet = _sheet([(0, 10)])
    sheet.widths = {0: 60, 1: 90}
    assert paging(sheet, A4).percent < 70


def test_a_sheet_that_lies_is_wider_and_shorter() -> None:
    sheet = _sheet([(0, 10)], [(11, 22)])
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


def _weeks(name: str, paper: int) -> Iterator[tuple[Sheet, Paging, tuple[SessionPlace, ...]]]:
    spec = template_spec(name)
    tag = {A4: "en-GB", LETTER: "en-US"}[paper]
    workbook = assemble(spec.model_copy(update={"lifter": spec.lifter.model_copy(update={"language": tag})}))
    for places in workbook.weeks:
        sheet = workbook.book.sheets[places[0].sheet]
        yield sheet, paging(sheet, paper), places


@pytest.mark.parametrize("paper", [A4, LETTER])
@pytest.mark.parametrize("name", TEMPLATES)
def test_what_is_lifted_is_printed_in_eight_points_or_more(name: str, paper: int) -> None:
    for _, pages, _ in _weeks(name, paper):
        assert 11 * pages.percent / 100 >= 8


@pytest.mark.parametrize("paper", [A4, LETTER])
@pytest.mark.parametrize("name", TEMPLATES)
def test_a_session_is_on_one_page_or_two_and_its_end_says_whose_it_is(name: str, paper: int) -> None:
    parted = 0
    for sheet, pages, places in _weeks(name, paper):
        for place in places:
            second = [row for row in pages.breaks if place.title_row < row <= place.said_row]
            assert len(second) <= 1
            parted += len(second)
            end = sheet.contents[place.after_row, COLUMN["label"]]
            assert end == f"After the session · {place.session.number} · {place.session.name}"
    assert parted or name == "peak"


def test_nothing_stands_in_the_way_of_an_exercise_s_heading() -> None:
    """What is written at the end of its row on paper would cut it, and be said on a screen, which has no pages."""
    for sheet, _, places in _weeks("strength", LETTER):
        for line in (line for place in places for line in place.lines):
            assert (line.title_row, COLUMN["label"], COLUMN["note"]) in sheet.merges


def test_a_session_that_fits_in_eight_points_is_not_parted() -> None:
    for _, pages, places in _weeks("peak", A4):
        assert pages.torn == 0 or places[0].session.week < 3


def test_a_whole_begins_a_page_where_it_is_on_fewer_then() -> None:
    sheet = _sheet([(0, 9)], [(10, 25), (26, 41), (42, 57), (58, 73)])
    assert paging(sheet, A4).breaks == (10, 42)


def test_a_superset_is_one_part() -> None:
    place = next(place for place in assemble(template_spec("strength")).sessions if place.lines[-1].line.label == "D2")
    assert place.parts[-2] == (place.lines[-2].title_row, place.after_row - 1)
