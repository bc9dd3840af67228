"""How long a typed cell recalculates on a stand-in for a phone, and a whole workbook in LibreOffice.

HyperFormula (npm, GPL-3, run by Node) is a test-only stand-in for a phone's spreadsheet program:
like one it recalculates what depends on the typed cell. It is fetched, in a pinned version, on demand.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
import tempfile
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from statistics import median
from typing import Any

from blockbook.demonstration import fill_in
from blockbook.formula.functions import day_number
from blockbook.sheet.book import Book, Cell, Formula, Run, Table, formula_text
from blockbook.sheet.calculation import Calculation
from blockbook.spec.loading import parse_spec
from blockbook.spec.models import Specification
from blockbook.spec.templates import starter
from blockbook.workbook.assemble import BlockBook, assemble
from blockbook.workbook.layout import SessionPlace, input_name
from blockbook.workbook.write import block_bytes
from tests.samples import START

HYPERFORMULA = "hyperformula@3.5.0"
TARGET_ENTRY = 50
"""Milliseconds that an entry should recalculate in, at most."""

TARGET_WORKBOOK = 1500
"""Milliseconds that a hard recalculation of the whole workbook should take, at most."""

LATER_WEEK = 4
TEST_WEEK = 2
"""Where the volume template tests how effort is judged: what is typed there moves everything after it."""

_HERE = Path(__file__).resolve().parent
_HARD_RECALCULATIONS = 5
_MACRO = """<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE script:module PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "module.dtd">
<script:module xmlns:script="http://openoffice.org/2000/script" script:name="Module1" script:language="StarBasic">
Sub Measure(source As String, result As String)
  Dim hidden(0) As New com.sun.star.beans.PropertyValue
  hidden(0).Name = "Hidden"
  hidden(0).Value = True
  book = StarDesktop.loadComponentFromURL(source, "_blank", 0, hidden())
  out = FreeFile
  Open result For Output As #out
  For i = 1 To {rounds}
    started = GetSystemTicks()
    book.calculateAll()
    Print #out, GetSystemTicks() - started
  Next i
  Close #out
  book.close(True)
End Sub
</script:module>
"""
Address = tuple[str, int, int]
Entry = tuple[Address, Any]


@dataclass(frozen=True)
class Typed:
    """A run of entries as Node measured it: one number for each."""

    name: str
    milliseconds: list[float]
    changed: list[int]
    reached: list[int]


def main() -> None:
    typical = {
        "strength template, 5 weeks": parse_spec(starter("strength", START)),
        "volume template made 6 weeks of 4 sessions": six_weeks(),
    }
    for name, spec in typical.items():
        workbook = assemble(spec)
        typed = fill_in(workbook)
        print(f"\n{name}: {sum(1 for _ in workbook.book.formulas()):,} formulas")
        print_entries(workbook, typed)
        print_hard_recalculation(block_bytes(spec, typed))


def six_weeks() -> Specification:
    """The volume template with its fourth week done twice."""
    text = starter("volume", START).replace("weeks: 5", "weeks: 6").replace("deload_week: 5", "deload_week: 6")
    return parse_spec(re.sub(r"\[([^\[\],]+,){4}[^\[\],]+\]", _repeat_fourth, text))


def _repeat_fourth(values: re.Match[str]) -> str:
    *others, last = values[0].strip("[]").split(",")
    return f"[{','.join([*others, others[-1], last])}]"


# Typing, on a stand-in for a phone -------------------------------------------------------------


def print_entries(workbook: BlockBook, typed: dict[str, Any]) -> None:
    if not (node := shutil.which("node")) or not fetch_hyperformula():
        print("  node or npm is missing: entries were NOT timed", file=sys.stderr)
        return
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "workbook.json"
        path.write_text(json.dumps(exported(workbook, typed)))
        command = [node, str(_HERE / "recalculate.mjs"), str(path)]
        result = json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
    print(f"  opened in {result['opened']:,.0f} ms; one entry, target {TARGET_ENTRY} ms:")
    for run in (Typed(**run) for run in result["runs"]):
        slow = sum(taken > TARGET_ENTRY for taken in run.milliseconds)
        print(
            f"  {run.name:30} median {median(run.milliseconds):6.1f} ms, worst {max(run.milliseconds):6.1f}, "
            f"{slow:3} of {len(run.milliseconds)} slower; "
            f"cells changed: median {median(run.changed):,.0f}, most {max(run.changed):,}; "
            f"reached: median {median(run.reached):,.0f}, most {max(run.reached):,}"
        )
    print(f"  formula cells that differ from ours, all filled in: {len(result['different'])}")
    for found in result["different"][:10]:
        print(f"    {found['where']}: {found['ours']!r} here, {found['theirs']!r} there: {found['formula'][:150]}")


def fetch_hyperformula() -> bool:
    """Whether the package is there, fetched if need be."""
    wanted = HYPERFORMULA.rsplit("@", maxsplit=1)[1]
    description = _HERE / "node_modules" / "hyperformula" / "package.json"
    if description.exists() and json.loads(description.read_text("utf-8"))["version"] == wanted:
        return True
    if not (npm := shutil.which("npm")):
        return False
    command = [npm, "install", "--no-save", "--no-package-lock", "--no-audit", "--no-fund", "--silent"]
    return subprocess.run([*command, "--prefix", str(_HERE), HYPERFORMULA], check=False).returncode == 0


def exported(workbook: BlockBook, typed: dict[str, Any]) -> dict[str, Any]:
    """The workbook and what is to be typed, as recalculate.mjs reads it."""
    calculation = Calculation(workbook.book, typed)
    log = [(_address(workbook.book.inputs[name]), plain(value)) for name, value in typed.items() if value is not None]
    values = [(_address(cell), calculation.value(cell)) for cell, _ in workbook.book.formulas()]
    sheets = dict(grids(workbook.book))
    return {"sheets": sheets, "values": values, "log": log, **runs(workbook, log)}


def runs(workbook: BlockBook, log: list[Entry]) -> dict[str, list[dict[str, Any]]]:
    """The first session of week 1 and of a later week, and one with a test of effort if there is one.

    Typed as the block goes, and corrected at its end.
    """
    positions = {address: position for position, (address, _) in enumerate(log)}
    depends = dependants(workbook.book)
    typed, corrected = [], []
    first, later = workbook.weeks[0][0], workbook.weeks[LATER_WEEK - 1][0]
    tests = [s for s in workbook.weeks[TEST_WEEK - 1] if any(line.tests_effort for line in s.session.lines)]
    named = (
        ("week 1", first),
        *(("a test of effort", session) for session in tests[:1]),
        (f"week {LATER_WEEK}", later),
    )
    for name, session in named:
        cells = [cell for cell in typed_cells(workbook, session) if cell in positions]
        entries = [log[positions[cell]] for cell in cells]
        reached = [len(reach(depends, Cell(*cell))) for cell in cells]
        typed.append({"name": f"{name}, as the block goes", "before": positions[cells[0]], "entries": entries,
                      "reached": reached})  # fmt: skip
        lower = [(cell, value * 0.975 if value > 20 else max(1, value - 0.5)) for cell, value in entries]
        corrected.append({"name": f"{name}, corrected at the end", "before": len(log), "entries": lower,
                          "reached": reached})  # fmt: skip
    return {"typed": typed, "corrected": corrected}


def dependants(book: Book) -> dict[Cell | Run, set[Cell | Run]]:
    """Which formulas, and runs they read, look at a cell or run."""
    found: dict[Cell | Run, set[Cell | Run]] = defaultdict(set)
    for cell, formula in book.formulas():
        for reference in formula.references:
            match reference:
                case Cell() as source:
                    found[source].add(cell)
                case Run() as run:
                    found[run].add(cell)
                    for source in run.cells():
                        found[source].add(run)
                case tuple() as several if not isinstance(several, Table):
                    for source in several:
                        found[source].add(cell)
    return found


def reach(depends: Mapping[Cell | Run, set[Cell | Run]], typed: Cell) -> set[Cell | Run]:
    """What a program walks through once a cell is typed, changed or not."""
    reached: set[Cell | Run] = set()
    waiting: list[Cell | Run] = [typed]
    while waiting:
        new = depends.get(waiting.pop(), set()) - reached
        reached |= new
        waiting += new
    return reached


def typed_cells(workbook: BlockBook, session: SessionPlace) -> Iterator[Address]:
    for line in session.session.lines:
        for planned in line.sets:
            for column in ("load", "reps", "rpe"):
                yield _address(workbook.book.inputs[input_name(planned.key, column)])


def grids(book: Book) -> Iterator[tuple[str, list[list[Any]]]]:
    """Each sheet as rows of formula texts and values."""
    for sheet in book.sheets.values():
        rows = 1 + max(row for row, _ in sheet.contents)
        columns = 1 + max(column for _, column in sheet.contents)
        grid: list[list[Any]] = [[None] * columns for _ in range(rows)]
        for (row, column), content in sheet.contents.items():
            if isinstance(content, Formula):
                grid[row][column] = formula_text(content, sheet.name)
            elif isinstance(content, (int, float, str, date)):
                grid[row][column] = plain(content)
        yield sheet.name, grid


def plain(value: Any) -> Any:
    return day_number(value) if isinstance(value, date) else value


def _address(cell: Cell) -> Address:
    return cell.sheet, cell.row, cell.column


# The whole workbook, in LibreOffice ------------------------------------------------------------


def print_hard_recalculation(content: bytes) -> None:
    if not (soffice := shutil.which("soffice")):
        print("  soffice is missing: the whole workbook was NOT timed", file=sys.stderr)
        return
    taken = hard_recalculations(soffice, content)
    if not taken:
        print("  soffice ran no macro: the whole workbook was NOT timed", file=sys.stderr)
        return
    print(
        f"  LibreOffice, hard recalculation of the whole workbook: median {median(taken):,.0f} ms, "
        f"worst {max(taken):,.0f}; target {TARGET_WORKBOOK:,} ms"
    )


def hard_recalculations(soffice: str, content: bytes) -> list[float]:
    """Milliseconds of each of a few, by a macro within LibreOffice, so that loading does not count."""
    with tempfile.TemporaryDirectory() as home:
        folder = Path(home)
        source, result = folder / "workbook.xlsx", folder / "result.txt"
        source.write_bytes(content)
        command = [soffice, f"-env:UserInstallation={folder.as_uri()}", "--headless", "--norestore"]
        run_quietly([*command, "--terminate_after_init"])  # the first start lays out the user's folder
        module = folder / "user" / "basic" / "Standard" / "Module1.xba"
        if module.exists():
            module.write_text(_MACRO.replace("{rounds}", str(_HARD_RECALCULATIONS)))
            run_quietly([*command, f"macro:///Standard.Module1.Measure({source.as_uri()},{result})"])
        return [float(line) for line in result.read_text().split()] if result.exists() else []


def run_quietly(command: list[str]) -> None:
    subprocess.run(command, check=False, capture_output=True, timeout=300)


if __name__ == "__main__":
    main()
