"""Build and read a workbook, with a peer doing the bare equivalent in the same run; then recalculate."""

from __future__ import annotations

import gc
import io
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from statistics import median

import odf.opendocument
import xlsxwriter
from openpyxl import load_workbook

from blockbook.intake.reading import read_workbook
from blockbook.sheet.book import Book, Formula, formula_text
from blockbook.sheet.calculation import Calculation
from blockbook.spec.loading import parse_spec
from blockbook.spec.templates import starter
from blockbook.workbook.assemble import assemble
from blockbook.workbook.write import block_bytes
from tests.bench import many, recalculation, returned, startup
from tests.samples import START, typed

ROUNDS = 5
TEMPLATE = "volume"
MOST_BUILD, MOST_READ, MOST_READ_ODS, MOST_MEMORY = 0.5, 0.5, 1.0, 60


def main() -> None:
    text = starter(TEMPLATE, START)
    spec = parse_spec(text)
    book = assemble(spec).book
    calculation = Calculation(book, {})
    values = {(cell.sheet, cell.row, cell.column): calculation.value(cell) for cell, _ in book.formulas()}
    content = block_bytes(spec)
    cells = sum(len(sheet.contents) for sheet in book.sheets.values())
    print(f"{TEMPLATE} template: {cells:,} cells, {len(values):,} formulas, {len(content) / 1000:,.0f} kB")
    build = compared(lambda: block_bytes(parse_spec(text)), lambda: write_bare(book, values))
    show("build, YAML to bytes", build, "bare XlsxWriter, same cells", MOST_BUILD)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "returned.xlsx"
        path.write_bytes(block_bytes(spec, typed(TEMPLATE, "kg", "filled")))
        read = compared(lambda: read_workbook(path), lambda: load_workbook(path))
        show("read .xlsx, file to findings", read, "openpyxl.load_workbook", MOST_READ)
        as_ods = saved_as_ods(path)
        if as_ods is None:
            print("NOT TIMED: reading .ods, since there is no soffice to make the file")
        else:
            read = compared(lambda: read_workbook(as_ods), lambda: odf.opendocument.load(str(as_ods)))
            show("read .ods, file to findings", read, "odfpy's load", MOST_READ_ODS)
    most = memory_of_a_build()
    print(f"build in a fresh process: {most:.0f} MB resident at most (target {MOST_MEMORY} MB; Linux alone counts it)")
    startup.main()
    for work in (many, returned):
        work.main(int(sys.argv[1]) if len(sys.argv) > 1 else many.SPECIFICATIONS)
    recalculation.main()


def compared(ours: Callable[[], object], bare: Callable[[], object]) -> tuple[float, float]:
    """Median seconds of our work, and the median of its ratio to the peer's of the same round.

    One round holds both, since a shared machine is faster one minute than the next. Garbage left
    by one is cleared before the other's clock starts.
    """
    rounds = [(seconds(ours), seconds(bare)) for _ in range(ROUNDS)]
    return median(own for own, _ in rounds), median(own / other for own, other in rounds)


def seconds(work: Callable[[], object]) -> float:
    gc.collect()
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def show(what: str, measured: tuple[float, float], peer: str, target: float) -> None:
    own, ratio = measured
    print(f"{what:30} {own:6.3f} s = {ratio:.2f} x {peer} (target {target:.1f} x)")


def saved_as_ods(path: Path) -> Path | None:
    """The workbook as LibreOffice saves it; None without LibreOffice."""
    office = shutil.which("soffice")
    if office is None:
        return None
    profile = f"-env:UserInstallation={(path.parent / 'profile').as_uri()}"
    command = [office, profile, "--headless", "--convert-to", "ods", "--outdir", str(path.parent), str(path)]
    subprocess.run(command, check=True, capture_output=True, timeout=180)
    return path.with_suffix(".ods")


def memory_of_a_build() -> float:
    """Most memory resident, in MB, in a fresh process that builds one workbook."""
    code = (
        "import sys; from tests.bench.memory import most_resident\n"
        "from blockbook.spec.loading import parse_spec; from blockbook.workbook.write import block_bytes\n"
        "block_bytes(parse_spec(sys.stdin.read()))\n"
        "print(most_resident())\n"
    )
    run = [sys.executable, "-c", code]
    done = subprocess.run(run, input=starter(TEMPLATE, START), text=True, capture_output=True, check=True)
    return float(done.stdout)


def write_bare(book: Book, values: Mapping[tuple[str, int, int], object]) -> None:
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
