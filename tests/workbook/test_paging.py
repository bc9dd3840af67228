"""What belongs together stays on one printed page, worked out from heights as a person would with a ruler."""

from __future__ import annotations

from blockbook.sheet.book import Sheet
from blockbook.workbook.assemble import assemble
from blockbook.workbook.paging import page_breaks
from tests.samples import TEMPLATES, template_spec

A4 = 9


def _sheet(*wholes: list[tuple[int, int]]) -> Sheet:
    """Rows of 15 points, about 47 on a page of A4."""
    sheet = Sheet("Week 1", kept_together=list(wholes))
    sheet.widths = {0: 60}
    return sheet


def test_nothing_is_broken_that_fits() -> None:
    assert list(page_breaks(_sheet([(0, 20)], [(21, 40)]), A4)) == []


def test_a_whole_that_would_be_torn_begins_a_page() -> None:
    assert list(page_breaks(_sheet([(0, 20)], [(21, 40)], [(41, 60)]), A4)) == [41]


def test_a_whole_longer_than_a_page_is_torn_between_its_parts() -> None:
    assert list(page_breaks(_sheet([(0, 20), (21, 40), (41, 60), (61, 70)]), A4)) == [41]


def test_a_wide_sheet_is_shrunk_so_more_rows_fit() -> None:
    sheet = _sheet([(0, 20)], [(21, 40)], [(41, 60)])
    sheet.widths = {0: 150}
    assert list(page_breaks(sheet, A4)) == []


def test_no_exercise_or_superset_of_any_template_is_torn() -> None:
    for name in TEMPLATES:
        workbook = assemble(template_spec(name))
        for place in workbook.sessions:
            sheet = workbook.book.sheets[place.sheet]
            inside = {row for first, last in place.parts for row in range(first + 1, last + 1)}
            assert not inside & set(page_breaks(sheet, A4))


def test_a_superset_is_one_part() -> None:
    place = next(place for place in assemble(template_spec("strength")).sessions if place.lines[-1].line.label == "D2")
    assert place.parts[-2] == (place.lines[-2].title_row, min(place.input_rows.values()) - 2)
