"""A book -> an .xlsx file, with every formula's value stored beside it."""

from __future__ import annotations

import io
import math
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from tempfile import TemporaryDirectory
from typing import Any

import xlsxwriter
from xlsxwriter.utility import xl_rowcol_to_cell
from xlsxwriter.workbook import Workbook
from xlsxwriter.worksheet import Worksheet

from blockbook.errors import BlockbookError
from blockbook.formula.functions import Scalar
from blockbook.languages import say, speaking
from blockbook.sheet.book import (
    Book,
    Cell,
    Chart,
    Content,
    Formula,
    Input,
    Run,
    Sheet,
    formula_text,
    reference_text,
)
from blockbook.sheet.calculation import Calculation
from blockbook.spec.models import Specification
from blockbook.workbook import looks
from blockbook.workbook.assemble import assemble
from blockbook.workbook.earlier import TypedRow
from blockbook.workbook.paging import MARGINS, paging

_OPEN_TO_PROTECTION = {
    "format_columns": True,
    "format_rows": True,
    "format_cells": True,
    "select_locked_cells": True,
}
_CHART_MARKERS = ("circle", "square", "diamond", "triangle", "x", "plus")
_CHART_DASHES = ("solid", "dash", "long_dash_dot", "round_dot", "long_dash", "dash_dot")
_LARGE = 50
"""From such numbers on, an axis begins at a ten."""
_LONGEST_TEXT = 32_767
"""More characters no cell of a spreadsheet holds."""


class _LeanSheet(Worksheet):  # type: ignore[misc]
    """XlsxWriter's sheet without what a block does not need."""

    def _prepare_formula(self, formula: str, _expand_future_functions: bool = False) -> str:
        """Our formulas hold no newer functions, so the search for those is skipped: most of the run."""
        return formula.lstrip("=")


def block_bytes(
    spec: Specification, inputs: Mapping[str, Any] | None = None, earlier: Sequence[TypedRow] = ()
) -> bytes:
    """A block's workbook as a file's content, with `inputs` typed in already (input name -> value).

    earlier: what was logged before the block was changed and has no row in it any more.
    """
    made, block = assemble(spec, earlier), spec.block
    with speaking(spec.lifter.language):
        return workbook_bytes(made.book, {**made.typed, **(inputs or {})}, block.unit, block.title, block.start)


def workbook_bytes(book: Book, inputs: Mapping[str, Scalar], unit: str, title: str, created: date) -> bytes:
    """The file's content. Same book and inputs, same bytes.

    inputs: input name -> what is typed in already (usually nothing); created: the date
    written into the document's properties. Paper, footer and charts are those of the language spoken.
    """
    buffer = io.BytesIO()
    with TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        # Each row goes to a temporary file as soon as the next begins: cells are never all in memory.
        options = {"constant_memory": True, "tmpdir": folder, "strings_to_formulas": False, "strings_to_urls": False}
        workbook = xlsxwriter.Workbook(buffer, options)
        workbook.set_properties({"title": title, "created": datetime(created.year, created.month, created.day)})
        workbook.set_calc_mode("auto")
        writer = _Writer(workbook, Calculation(book, inputs), inputs, unit, book.tabs, book.about)
        for sheet in book.sheets.values():
            writer.write(sheet)
        workbook.close()
    # They hold each other, and garbage in circles is found late while the search for it rests (cycles.py).
    for part in (*workbook.worksheets(), workbook):
        vars(part).clear()
    return buffer.getvalue()


class _Writer:
    def __init__(
        self,
        workbook: Workbook,
        calculation: Calculation,
        inputs: Mapping[str, Scalar],
        unit: str,
        tabs: Mapping[str, str],
        about: str,
    ) -> None:
        self.workbook, self.calculation, self.inputs, self.tabs = workbook, calculation, inputs, tabs
        self.formats = {name: workbook.add_format(properties) for name, properties in looks.styles().items()}
        self.marks = {name: workbook.add_format(properties) for name, properties in looks.marks().items()}
        self.paper = looks.paper_number(unit)
        self.about = about.replace("&", "&&") or "&F"

    def write(self, sheet: Sheet) -> None:
        worksheet = self.workbook.add_worksheet(self.tabs[sheet.name], worksheet_class=_LeanSheet)
        self._lay_out(worksheet, sheet)
        lasts = {(row, first): last for row, first, last in sheet.merges}
        behind = {(row, column) for (row, first), last in lasts.items() for column in range(first + 1, last + 1)}
        for place in sorted(sheet.contents.keys() - behind):
            if place in lasts:
                worksheet.merge_range(*place, place[0], lasts[place], "", self.formats[sheet.styles[place]])
            self._write_cell(worksheet, sheet, *place, sheet.contents[place])
        for validation in sheet.validations:
            self._offer(worksheet, sheet.name, validation.cells, dict(validation.options))
        for mark in sheet.marks:
            cells = (mark.row, mark.first, mark.last_row, mark.last)
            holds = f"={xl_rowcol_to_cell(mark.when.row, mark.when.column, True, True)}>0"
            looks_then = {"type": "formula", "criteria": holds, "format": self.marks[mark.style]}
            worksheet.conditional_format(*cells, looks_then)
        for chart in sheet.charts:
            self._chart(worksheet, chart)

    def _write_cell(self, worksheet: Worksheet, sheet: Sheet, row: int, column: int, content: Content) -> None:
        style = self.formats[sheet.styles[row, column]]
        match content:
            case Formula():
                value = self.calculation.value(Cell(sheet.name, row, column))
                worksheet.write_formula(row, column, formula_text(content, sheet.name, self.tabs), style, value)
            case Input(name):
                value = self.inputs.get(name)
                if kind := looks.TYPED_AS.get(type(value)):
                    style = self.formats[kind]
                self._write_value(worksheet, row, column, value, style)
            case _:
                self._write_value(worksheet, row, column, content, style)

    @staticmethod
    def _write_value(worksheet: Worksheet, row: int, column: int, value: Any, style: Any) -> None:
        if value is None or value == "":
            worksheet.write_blank(row, column, None, style)
        elif isinstance(value, str):
            if len(value) > _LONGEST_TEXT:
                raise BlockbookError(
                    f"{worksheet.name}: a cell would hold {len(value):,} characters, a spreadsheet's takes "
                    f"{_LONGEST_TEXT:,}. Shorten the text that begins {value[:40]!r}."
                )
            worksheet.write_string(row, column, value, style)
        elif isinstance(value, bool):
            worksheet.write_boolean(row, column, value, style)
        elif isinstance(value, (date, time, timedelta)):
            worksheet.write_datetime(row, column, value, style)
        elif not math.isfinite(value):
            worksheet.write_string(row, column, str(value), style)
        else:
            worksheet.write_number(row, column, value, style)

    def _lay_out(self, worksheet: Worksheet, sheet: Sheet) -> None:
        for column, width in sheet.widths.items():
            options: dict[str, Any] = {"hidden": True} if column in sheet.hidden_columns else {}
            if any(first <= column <= last for first, last in sheet.folded_columns):
                options = {"level": 1, "hidden": True}
            worksheet.set_column(column, column, width, None, options)
        for row, height in sheet.heights.items():
            worksheet.set_row(row, height)
        if sheet.frozen != (0, 0):
            worksheet.freeze_panes(*sheet.frozen)
        if sheet.protected:
            worksheet.protect("", _OPEN_TO_PROTECTION)
        if sheet.very_hidden:
            worksheet.very_hidden()
        elif sheet.hidden:
            worksheet.hide()
        worksheet.hide_gridlines(2)
        self._lay_out_pages(worksheet, sheet)

    def _lay_out_pages(self, worksheet: Worksheet, sheet: Sheet) -> None:
        worksheet.set_paper(self.paper)
        worksheet.set_margins(**MARGINS)
        if sheet.kept_together:  # fitted to pages, a program may pay no heed to our breaks
            pages = paging(sheet, self.paper)
            worksheet.set_print_scale(pages.percent)
            worksheet.set_h_pagebreaks(pages.breaks)
        else:
            worksheet.fit_to_pages(sheet.pages_wide, int(sheet.one_page))
            if sheet.pages_wide > 1:  # what stands side by side comes one after the other
                worksheet.print_across()
        page = say("Page {page} of {pages}", page="&P", pages="&N")
        worksheet.set_footer(f"&L&8 {self.about} · &A&R&8 {page}")
        if sheet.printed_to:
            worksheet.print_area(0, 0, *sheet.printed_to)
        if not sheet.printed:  # an empty cell is all there is to print
            below = 2 + max(row for row, _ in sheet.contents)
            worksheet.print_area(below, 0, below, 0)
        if sheet.landscape:
            worksheet.set_landscape()
        if sheet.repeat_rows:
            worksheet.repeat_rows(*sheet.repeat_rows)
        if sheet.repeat_columns:
            worksheet.repeat_columns(*sheet.repeat_columns)

    def _offer(self, worksheet: Worksheet, sheet: str, cells: tuple[Cell, ...], options: dict[str, Any]) -> None:
        if not cells:
            return
        if isinstance(options.get("source"), Run):
            options["source"] = "=" + reference_text(options["source"], sheet, self.tabs)
        options["error_type"] = "warning"
        first, *others = cells
        if others:
            options["other_cells"] = [[cell.row, cell.column, cell.row, cell.column] for cell in others]
        worksheet.data_validation(first.row, first.column, first.row, first.column, options)

    def _chart(self, worksheet: Worksheet, chart: Chart) -> None:
        drawn = self.workbook.add_chart({"type": chart.kind})
        for position, series in enumerate(chart.series):
            colours = looks.CHART_LINES if chart.kind == "line" else looks.CHART_COLUMNS
            colour = colours[position % len(colours)]
            options: dict[str, Any] = {
                "name": series.name, "categories": self._cells(series.categories),
                "values": self._cells(series.values),
                "categories_data": self._values(series.categories), "values_data": self._values(series.values),
            }  # fmt: skip
            if chart.kind == "line":
                marker = {"type": _CHART_MARKERS[position % len(_CHART_MARKERS)], "size": 6,
                          "fill": {"color": colour}, "border": {"color": colour}}  # fmt: skip
                dash = _CHART_DASHES[position % len(_CHART_DASHES)]
                options |= {"line": {"color": colour, "width": 2, "dash_type": dash}, "marker": marker}
            else:
                options |= {"fill": {"color": colour}, "border": {"color": looks.INK}, "gap": 80}
            drawn.add_series(options)
        drawn.set_title({"name": chart.title, "name_font": {"size": 12}})
        drawn.set_x_axis({"name": say("Week"), "label_position": "low"})
        grid = {"visible": True, "line": {"color": "#D5DCE2"}}
        lowest = 0 if chart.from_zero else self._near_lowest(chart) if chart.near_lowest else None
        drawn.set_y_axis({"name": chart.y_title, "major_gridlines": grid, "min": lowest})
        drawn.set_legend({"position": "bottom"} if len(chart.series) > 1 else {"none": True})
        drawn.show_blanks_as("gap")
        drawn.set_size({"width": chart.width, "height": chart.height})
        worksheet.insert_chart(chart.row, chart.column, drawn, {"description": chart.description, "object_position": 1})

    def _near_lowest(self, chart: Chart) -> int | None:
        """A round number not far below the lowest one of a chart; None where it has no number."""
        drawn = [value for series in chart.series for value in self._values(series.values)]
        numbers = [value for value in drawn if isinstance(value, (int, float))]
        if not numbers:
            return None
        step = 10 if max(numbers) >= _LARGE else 1
        return max(0, step * math.floor((min(numbers) - step / 2) / step))

    def _cells(self, place: tuple[str, int, int, int, int]) -> list[str | int]:
        return [self.tabs[place[0]], *place[1:]]

    def _values(self, place: tuple[str, int, int, int, int]) -> list[Scalar]:
        """What a chart shows before any program has drawn it anew."""
        sheet, first_row, first, last_row, last = place
        rows, columns = range(first_row, last_row + 1), range(first, last + 1)
        return [self.calculation.value(Cell(sheet, row, column)) for row in rows for column in columns]
