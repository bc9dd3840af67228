"""The workbook as a file: same bytes, what is unlocked, what prints, what never becomes a formula."""

from __future__ import annotations

import io
import itertools
import re
import zipfile
from typing import Any

import colorspacious
import pytest
from openpyxl import load_workbook
from openpyxl.cell.cell import MergedCell

from blockbook.formula.functions import PYTHON_OF
from blockbook.sheet.book import Formula, Input, formula_text
from blockbook.spec.models import Specification
from blockbook.workbook import looks
from blockbook.workbook.assemble import assemble
from blockbook.workbook.layout import HEADING_ROW, START, SUMMARY, TABLES, WEEK_COLUMNS, WORKINGS
from blockbook.workbook.start import CAUTIONS
from blockbook.workbook.write import block_bytes
from tests.samples import IN_RESERVE, TEMPLATES, UNITS, template_spec

ALLOWED = set(PYTHON_OF) | {"IF", "AND", "OR", "NOT"}


def _place(cell: Any) -> tuple[int, int]:
    return cell.row - 1, cell.column - 1


@pytest.mark.parametrize("name", TEMPLATES)
def test_same_specification_same_bytes(name: str) -> None:
    spec = template_spec(name)
    assert block_bytes(spec) == block_bytes(spec.model_copy())


@pytest.mark.parametrize("name", [*TEMPLATES, f"strength{IN_RESERVE}"])
def test_formulas_use_only_functions_that_every_program_has(name: str) -> None:
    for cell, formula in assemble(template_spec(name)).book.formulas():
        written = formula_text(formula, cell.sheet)
        assert len(written) < 8192
        text = re.sub(r'"[^"]*"', '""', written)
        text = re.sub(r"'[^']*'!", "", text)
        assert set(re.findall(r"([A-Z][A-Z0-9.]*)\(", text)) <= ALLOWED
        assert all(len(piece) < 255 for piece in re.findall(r'"([^"]*)"', written))


def test_only_what_the_lifter_types_is_unlocked() -> None:
    spec = template_spec("general")
    book = assemble(spec).book
    opened = load_workbook(io.BytesIO(block_bytes(spec)))
    for sheet in opened:
        assert sheet.protection.sheet
        assert not sheet.protection.password
        for row in sheet.iter_rows():
            for cell in row:
                if isinstance(cell, MergedCell):  # part of the cell that it was joined to
                    continue
                content = book.sheets[sheet.title].contents.get(_place(cell))
                assert (not cell.protection.locked) == isinstance(content, Input)


def test_every_sheet_prints_one_page_wide_on_the_paper_of_its_region() -> None:
    for unit in UNITS:
        for sheet in load_workbook(io.BytesIO(block_bytes(template_spec("peak", unit)))):
            properties = sheet.sheet_properties.pageSetUpPr
            if sheet.title.startswith("Week") or sheet.title == SUMMARY:
                # Fitted to pages, a program may pay no heed to our breaks.
                assert not (properties and properties.fitToPage)
                assert 60 <= (sheet.page_setup.scale or 100) <= 100
            else:
                assert properties
                assert properties.fitToPage
                assert sheet.page_setup.fitToWidth in (None, 1)
                assert sheet.page_setup.fitToHeight in ((None, 1) if sheet.title == START else (0,))
            assert sheet.page_setup.paperSize == looks.PAPER_SIZE[looks.USUAL_PAPER[unit]]


def test_week_sheets_have_frozen_heads_and_named_columns() -> None:
    sheet = load_workbook(io.BytesIO(block_bytes(template_spec("volume"))))["Week 1"]
    assert sheet.freeze_panes == "A3"
    headings = [sheet.cell(HEADING_ROW + 1, column + 1).value for column in range(len(WEEK_COLUMNS))]
    assert headings == [{"Load": "Load, kg"}.get(column.heading, column.heading) for column in WEEK_COLUMNS]
    assert sheet.column_dimensions["A"].hidden


def test_the_sheets_stand_in_the_order_a_lifter_needs_them() -> None:
    names = load_workbook(io.BytesIO(block_bytes(template_spec("peak")))).sheetnames
    assert names == [
        "Start",
        *(f"Week {n}" for n in range(1, 5)),
        "Summary",
        "Plates",
        "Tables",
        "Workings",
        "blockbook",
    ]


def test_the_start_sheet_carries_every_caution() -> None:
    sheet = load_workbook(io.BytesIO(block_bytes(template_spec("peak"))))["Start"]
    texts = {cell.value for row in sheet.iter_rows() for cell in row}
    assert set(CAUTIONS) <= texts
    said = " ".join(CAUTIONS).lower()
    assert all(word in said for word in ("spotter", "safeties", "pain", "under 18", "weight", "federation", "licensed"))


def test_text_from_people_never_becomes_a_formula() -> None:
    spec = template_spec("general")
    evil = '=HYPERLINK("http://example.invalid","x")'
    lifter = spec.lifter.model_copy(update={"name": evil})
    block = spec.block.model_copy(update={"title": "+1+1", "note": "@SUM(1)"})
    opened = load_workbook(io.BytesIO(block_bytes(spec.model_copy(update={"lifter": lifter, "block": block}))))
    book = assemble(spec).book
    for sheet in opened:
        for row in sheet.iter_rows():
            for cell in row:
                content = book.sheets[sheet.title].contents.get(_place(cell))
                assert (cell.data_type == "f") == isinstance(content, Formula)


def test_charts_are_native_and_described() -> None:
    with zipfile.ZipFile(io.BytesIO(block_bytes(template_spec("strength")))) as archive:
        charts = [name for name in archive.namelist() if name.startswith("xl/charts/chart")]
        assert len(charts) == 3
        drawing = archive.read("xl/drawings/drawing1.xml").decode()
        assert drawing.count('descr="') == 3
        for name in charts:
            assert "<c:title>" in archive.read(name).decode()


def _luminance(colour: str) -> float:
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(one: str, other: str) -> float:
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("name", sorted({**looks.styles(), **looks.marks()}))
def test_every_style_can_be_read(name: str) -> None:
    """Contrast of at least 4.5 to 1 (WCAG 2.1, success criterion 1.4.3)."""
    style = {**looks.styles(), **looks.marks()}[name]
    assert _contrast(style["font_color"], style["bg_color"]) >= 4.5


@pytest.mark.parametrize("colour", [*looks.CHART_LINES, looks.INK])
def test_lines_and_edges_of_charts_stand_out_from_the_paper(colour: str) -> None:
    """Contrast of at least 3 to 1 (WCAG 2.1, success criterion 1.4.11)."""
    assert _contrast(colour, looks.PAPER) >= 3


def _neighbours(colours: tuple[str, ...]) -> list[tuple[str, str]]:
    return list(itertools.pairwise(colours))


@pytest.mark.parametrize(("one", "other"), _neighbours(looks.CHART_COLUMNS))
def test_neighbouring_columns_differ_in_grey(one: str, other: str) -> None:
    assert _contrast(one, other) >= 3


def test_no_two_columns_of_a_chart_are_alike_in_grey() -> None:
    for one, other in itertools.combinations(looks.CHART_COLUMNS, 2):
        assert _contrast(one, other) >= 1.15


@pytest.mark.parametrize("blindness", ["deuteranomaly", "protanomaly"])
@pytest.mark.parametrize(("one", "other"), _neighbours(looks.CHART_COLUMNS) + _neighbours(looks.CHART_LINES))
def test_neighbours_in_a_chart_differ_for_the_red_green_blind(one: str, other: str, blindness: str) -> None:
    """Colours as seen without red or green cones (Machado et al. 2009), apart by CAM02-UCS (colorspacious)."""
    space = {"name": "sRGB1+CVD", "cvd_type": blindness, "severity": 100}
    seen = [
        colorspacious.cspace_convert([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)], space, "sRGB1")
        for colour in (one, other)
    ]
    assert colorspacious.deltaE(*seen, input_space="sRGB1") >= 15


def _printed(spec: Specification) -> dict[str, Any]:
    """Sheet -> openpyxl's sheet."""
    return {sheet.title: sheet for sheet in load_workbook(io.BytesIO(block_bytes(spec)))}


def test_what_no_paper_holds_is_not_printed() -> None:
    """The steps of all loads stand in a hundred columns; an empty cell is printed in their place."""
    sheets = _printed(template_spec("peak"))
    only = sheets[WORKINGS].print_area.rsplit("!", 1)[-1].replace("$", "")
    assert sheets[WORKINGS][only].value is None
    assert sheets[TABLES].print_area.rsplit("!", 1)[-1].split(":")[1].startswith("$G$")


def test_the_foot_of_a_page_says_whose_block_it_is_and_has_room_for_it() -> None:
    spec = template_spec("peak")
    lifter = spec.lifter.model_copy(update={"name": "Max & Moritz Wolkenstein-Hohenfeldberger"})
    content = block_bytes(spec.model_copy(update={"lifter": lifter}))
    week = zipfile.ZipFile(io.BytesIO(content)).read("xl/worksheets/sheet2.xml").decode()
    (foot,) = re.findall("<oddFooter>(.*?)</oddFooter>", week)
    about = "Max &amp;&amp; Moritz Wolkenstein-Hohenfeldb… · Peak for the meet"
    assert foot == f"&amp;L&amp;8 {about} · &amp;A&amp;R&amp;8 Page &amp;P of &amp;N"


def test_an_exercise_without_sets_this_week_is_named_with_its_letter() -> None:
    """Else the letters, by which pain is told, seem to begin in the middle."""
    made = assemble(template_spec("peak"))
    said = [text for text in made.book.sheets["Week 4"].contents.values() if str(text).endswith(" · not this week")]
    assert "D  Leg curl · not this week" in said
    letters = [line.line.label for line in made.weeks[3][0].lines]
    assert not set(letters) & {text[0] for text in map(str, said[:2])}
