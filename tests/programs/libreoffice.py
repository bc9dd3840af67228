"""Run by a Python that has LibreOffice's `uno`: starts LibreOffice once, does the jobs of a file, ends it.

`python3 libreoffice.py JOBS.json`, with jobs as in `tests.programs.jobs`. Rows and columns count from 0.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import uno  # type: ignore[import-not-found]

FILTERS = {
    "xlsx": ("Calc MS Excel 2007 XML", ""),
    "ods": ("calc8", ""),
    "xls": ("MS Excel 97", ""),
    "csv": ("Text - txt - csv (StarCalc)", "44,34,76,1,,0,false,false,true,false,false,-1"),
}
"""Kind of file -> the program's name for it and its options: for CSV comma, UTF-8, as shown, every sheet."""

_NUMBERS_DATES_TEXTS_FORMULAS = 1 | 2 | 4 | 16
_PATIENCE = 60


def main(jobs: Path) -> None:
    with _Office() as desktop:
        for job in json.loads(jobs.read_text("utf-8")):
            book = desktop.loadComponentFromURL(_url(job["source"]), "_blank", 0, _properties(Hidden=True))
            for sheet in book.Sheets:
                sheet.unprotect("")
            for do, *given in job["steps"]:
                STEPS[do](book, *given)
            name, options = FILTERS[job["kind"]]
            result = Path(job["result"])
            if job["kind"] == "csv":
                result.mkdir()
                result /= "block.csv"
            book.storeToURL(_url(str(result)), _properties(FilterName=name, FilterOptions=options))
            book.close(True)


class _Office:
    """A LibreOffice of our own, with a profile of its own; its desktop while it runs."""

    def __enter__(self) -> Any:
        self.home = tempfile.TemporaryDirectory()
        pipe = f"blockbook{Path(self.home.name).name}"
        command = ["soffice", f"-env:UserInstallation={_url(self.home.name)}", "--headless", "--norestore", "--nologo"]
        self.process = subprocess.Popen(
            [*command, f"--accept=pipe,name={pipe};urp;"],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        self.desktop = _connected(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        return self.desktop

    def __exit__(self, *_error: object) -> None:
        os.killpg(self.process.pid, signal.SIGKILL)  # soffice is a script; the program is its child
        self.process.wait(_PATIENCE)
        self.home.cleanup()


def _connected(where: str) -> Any:
    here = uno.getComponentContext()
    resolver = here.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", here)
    give_up = time.monotonic() + _PATIENCE
    while True:
        try:
            context = resolver.resolve(where)
            return context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
        except uno.getClass("com.sun.star.connection.NoConnectException"):
            if time.monotonic() > give_up:
                raise
            time.sleep(0.1)


def _url(path: str) -> str:
    return str(uno.systemPathToFileUrl(path))


def _properties(**values: Any) -> tuple[Any, ...]:
    return tuple(_struct("com.sun.star.beans.PropertyValue", Name=name, Value=value) for name, value in values.items())


def _struct(kind: str, **values: Any) -> Any:
    made = uno.createUnoStruct(kind)
    for name, value in values.items():
        setattr(made, name, value)
    return made


# Sheets


def rename(book: Any, sheet: str, to: str) -> None:
    book.Sheets[sheet].Name = to


def move(book: Any, sheet: str, position: int) -> None:
    book.Sheets.moveByName(sheet, position)


# Rows and columns


def insert_rows(book: Any, sheet: str, row: int, count: int) -> None:
    book.Sheets[sheet].Rows.insertByIndex(row, count)


def copy_down(book: Any, sheet: str, row: int, column: int) -> None:
    """Copy a cell into the one below it, formula and all."""
    here = book.Sheets[sheet]
    source = here.getCellRangeByPosition(column, row, column, row).RangeAddress
    here.copyRange(here.getCellByPosition(column, row + 1).CellAddress, source)


def delete_rows(book: Any, sheet: str, row: int, count: int) -> None:
    book.Sheets[sheet].Rows.removeByIndex(row, count)


def delete_columns(book: Any, sheet: str, column: int, count: int) -> None:
    book.Sheets[sheet].Columns.removeByIndex(column, count)


def move_column(book: Any, sheet: str, column: int, to: int) -> None:
    """Cut the column and insert it before column `to`, as both are counted before."""
    here = book.Sheets[sheet]
    _unmerge(here)
    here.Columns.insertByIndex(to, 1)
    cut = column + (to <= column)
    last = _end(here)[1]
    source = here.getCellRangeByPosition(cut, 0, cut, last).RangeAddress
    here.moveRange(here.getCellByPosition(to, 0).CellAddress, source)
    here.Columns.removeByIndex(cut, 1)


def sort(book: Any, sheet: str, column: int, first: int, rows: tuple[int, int]) -> None:
    """Sort rows by a column; columns left of `first` stay as they are. Merged cells are split, or it is refused."""
    here = book.Sheets[sheet]
    _unmerge(here)
    field = _struct("com.sun.star.table.TableSortField", Field=column - first, IsAscending=True)
    fields = uno.Any("[]com.sun.star.table.TableSortField", (field,))
    cells = here.getCellRangeByPosition(first, rows[0], _end(here)[0], rows[1])
    cells.sort(_properties(SortFields=fields, ContainsHeader=False))


def filter_rows(book: Any, sheet: str, column: int, least: float) -> None:
    """Show only rows with at least this number in the column."""
    here = book.Sheets[sheet]
    cells = here.getCellRangeByPosition(0, 1, *_end(here))
    wanted = cells.createFilterDescriptor(True)
    greater_or_equal = uno.Enum("com.sun.star.sheet.FilterOperator", "GREATER_EQUAL")
    field = _struct("com.sun.star.sheet.TableFilterField", Field=column, IsNumeric=True, NumericValue=least,
                    Operator=greater_or_equal)  # fmt: skip
    uno.invoke(wanted, "setFilterFields", (uno.Any("[]com.sun.star.sheet.TableFilterField", (field,)),))
    wanted.ContainsHeader = True
    cells.filter(wanted)


# Cells


def enter(book: Any, sheet: str, row: int, column: int, value: Any) -> None:
    """Type into a cell, as from the keyboard; None empties it."""
    cell = book.Sheets[sheet].getCellByPosition(column, row)
    if value is None:
        cell.clearContents(_NUMBERS_DATES_TEXTS_FORMULAS)
    elif isinstance(value, str):
        cell.FormulaLocal = value
    else:
        cell.Value = value


def comment(book: Any, sheet: str, row: int, column: int, text: str) -> None:
    here = book.Sheets[sheet]
    here.Annotations.insertNew(here.getCellByPosition(column, row).CellAddress, text)


def paste_as_text(book: Any, sheet: str) -> None:
    """Every cell holds what it showed, as a text."""
    here = book.Sheets[sheet]
    columns, rows = _end(here)
    shown = [[here.getCellByPosition(column, row).String for column in range(columns + 1)] for row in range(rows + 1)]
    cells = here.getCellRangeByPosition(0, 0, columns, rows)
    _unmerge(here)
    cells.clearContents(_NUMBERS_DATES_TEXTS_FORMULAS)
    cells.NumberFormat = book.NumberFormats.queryKey("@", _struct("com.sun.star.lang.Locale"), False)
    cells.setDataArray(tuple(map(tuple, shown)))


def _unmerge(sheet: Any) -> None:
    sheet.getCellRangeByPosition(0, 0, *_end(sheet)).merge(False)


def _end(sheet: Any) -> tuple[int, int]:
    """Last used column and row."""
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    return cursor.RangeAddress.EndColumn, cursor.RangeAddress.EndRow


STEPS = {
    function.__name__.replace("_", " "): function
    for function in (
        rename, move, insert_rows, copy_down, delete_rows, delete_columns, move_column, sort, filter_rows, enter,
        comment, paste_as_text,
    )
}  # fmt: skip


if __name__ == "__main__":
    main(Path(sys.argv[1]))
