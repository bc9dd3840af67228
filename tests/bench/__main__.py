"""Build and read a workbook, with a peer doing the bare equivalent in the same run; then recalculate."""

from __future__ import annotations

import io
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median

import xlsxwriter
from openpyxl import load_workbook

from blockbook.intake.reading import read_workbook
from blockbook.sheet.book import Book, Formula, formula_text
from blockbook.sheet.calculation import Calculation
from blockbook.spec.loading import parse_spec
from blockbook.spec.templates import starter
from blockbook.workbook.assemble import assemble
from blockbook.workbook.write import block_bytes
from tests.bench import recalculation
from tests.samples import START

ROUNDS = 5


def main() -> None:
    text = starter("volume", START)
    spec = parse_spec(text)
    book = assemble(spec).book
    content = block_bytes(spec)
    calculation = Calculation(book, {})
    values = {cell: calculation.value(cell) for cell, _ in book.formulas()}
    cells = sum(len(sheet.contents) for sheet in book.sheets.values())
    print(f"volume template: {cells:,} cells, {len(values):,} formulas, {len(content) / 1000:,.0f} kB")
    build = timed(lambda: block_bytes(parse_spec(text)))
    bare_write = timed(lambda: write_bare(book, {(c.sheet, c.row, c.column): v for c, v in values.items()}))
    print(f"build, YAML to bytes        {build:6.3f} s = {build / bare_write:.2f} x bare XlsxWriter, same cells")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "returned.xlsx"
        path.write_bytes(content)
        read = timed(lambda: read_workbook(path))
        bare_read = timed(lambda: load_workbook(path))
    print(f"read, file to findings      {read:6.3f} s = {read / bare_read:.2f} x openpyxl.load_workbook")
    recalculation.main()


def timed(work: Callable[[], object]) -> float:
    """Median seconds of a few rounds."""
    seconds = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        seconds.append(time.perf_counter() - start)
    return median(seconds)


def write_bare(book: Book, values: dict[tuple[str, int, int], object]) -> None:
    """The same cells, formulas and stored values through XlsxWriter, without looks."""
    workbook = xlsxwriter.Workbook(io.BytesIO(), {"in_memory": True})
    for sheet in book.sheets.values():
        worksheet = workbook.add_worksheet(sheet.name)
        for (row, column), content in sheet.contents.items():
            if isinstance(content, Formula):
                text = formula_text(content, sheet.name)
                worksheet.write_formula(row, column, text, None, values[sheet.name, row, column])
            elif isinstance(content, (int, float, str)):
                worksheet.write(row, column, content)
    workbook.close()


if __name__ == "__main__":
    main()
