"""The one door for files from outside: a file -> the workbooks in it, as rows of values."""

from __future__ import annotations

import zipfile
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any, TypeAlias

from python_calamine import CalamineError, CalamineWorkbook

from blockbook.errors import BlockbookError

Grid: TypeAlias = list[list[Any]]
"""Rows of cell values from A1 on, as python-calamine gives them: text, numbers, dates, ""."""

Place: TypeAlias = tuple[int, int]
"""Row and column of a cell, counted from 0."""

SIZE_LIMIT = 30_000_000
UNPACKED_LIMIT = 200_000_000
_SPREADSHEETS = (".xlsx", ".xlsm", ".ods", ".xls", ".xlsb")


@dataclass(frozen=True)
class Returned:
    """One workbook as it came back: what stands in its cells, nothing run or followed.

    name: what findings and errors call it, a file name or "mail.zip: robin.xlsx". saved: when it was
    last saved, as far as known. formulas: where a formula stands, by sheet; None where a format does
    not tell (CSV). comments: comments on cells, by sheet and place. remarks: sentences on what was
    left out, such as macros.
    """

    name: str
    grids: Mapping[str, Grid]
    saved: datetime | None = None
    formulas: Mapping[str, frozenset[Place]] | None = None
    comments: Mapping[str, Mapping[Place, str]] = field(default_factory=dict)
    remarks: tuple[str, ...] = ()


def open_returned(path: Path) -> list[Returned]:
    """The workbooks in a file.

    Formulas, macros and links are never followed. Raises BlockbookError, naming the file,
    for anything that is no readable spreadsheet.
    """
    return [Returned(path.name, open_grids(path))]


def open_grids(path: Path) -> Mapping[str, Grid]:
    """Sheet name -> its grid, every sheet of the file, in order.

    Formulas, macros and links are never followed. Raises BlockbookError, naming the file,
    for anything that is no readable spreadsheet.
    """
    _refuse_what_cannot_be_one(path)
    try:
        workbook = CalamineWorkbook.from_path(str(path))
        return {
            name: workbook.get_sheet_by_name(name).to_python(skip_empty_area=False) for name in workbook.sheet_names
        }
    except (CalamineError, OSError, ValueError, OverflowError) as error:
        raise _unreadable(path, error) from None


def _refuse_what_cannot_be_one(path: Path) -> None:
    if not path.exists():
        raise BlockbookError(f"{path}: there is no such file. Check name and folder.")
    if not path.is_file():
        raise BlockbookError(f"{path}: this is a folder. Name the returned workbook in it.")
    size = path.stat().st_size
    if size == 0:
        raise BlockbookError(f"{path}: the file is empty. Ask the lifter to send it again.")
    if size > SIZE_LIMIT:
        raise BlockbookError(f"{path}: {size // 1_000_000} MB is far more than a training log. It was not opened.")
    if path.suffix.lower() not in _SPREADSHEETS:
        raise BlockbookError(
            f"{path}: a {path.suffix or 'file without ending'} is not a spreadsheet that can be read here. "
            f"Save it as .xlsx first ({', '.join(_SPREADSHEETS)} work)."
        )
    try:
        if zipfile.is_zipfile(path):
            with zipfile.ZipFile(path) as archive:
                unpacked = sum(part.file_size for part in archive.infolist())
        else:
            unpacked = 0
    except (zipfile.BadZipFile, NotImplementedError, OSError, ValueError) as error:
        raise _unreadable(path, error) from None
    if unpacked > UNPACKED_LIMIT:
        raise BlockbookError(f"{path}: unpacks to far more than a training log. It was not opened.")


def _unreadable(path: Path, error: Exception) -> BlockbookError:
    reason = str(error).splitlines()[0][:120] if str(error) else type(error).__name__
    return BlockbookError(
        f"{path}: cannot be read as a spreadsheet ({reason}). Open it in a spreadsheet program and save it "
        "again as .xlsx, or ask for the file once more."
    )
