"""The one door for files from outside: a file, folder or archive -> the workbooks in it, as rows of values.

What a file is, is seen in its content (`kinds`). Packages are unpacked in memory within `limits`
(`package`) and checked part by part before a library builds grids from them. Nothing in a file is
run, followed or written anywhere.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path, PurePosixPath

from blockbook.errors import BlockbookError
from blockbook.intake.binary_cells import check_xls, workbook_stream
from blockbook.intake.csv_files import read_csv
from blockbook.intake.excel_workbook import free_name, grids_of, read_xlsb, read_xlsx
from blockbook.intake.kinds import Kind, kind_of, kind_of_package
from blockbook.intake.limits import FILES_LIMIT, SIZE_LIMIT
from blockbook.intake.open_document import read_ods
from blockbook.intake.package import Package, open_package, packed_at
from blockbook.intake.returned import (
    Grid,
    NoSpreadsheet,
    Place,
    Returned,
    beyond,
    damaged,
    refuse_too_much,
    shown,
    too_large,
)

__all__ = ["Grid", "Place", "Returned", "open_content", "open_grids", "open_one", "open_returned"]

_PASSED_OVER_SILENTLY = (".", "~$", "__MACOSX", "Thumbs.db", "desktop.ini")


def open_returned(path: Path) -> list[Returned]:
    """The workbooks in a file, a folder or a .zip archive.

    The CSV files in one folder are the sheets of one workbook. Formulas, macros and links are never
    followed. Raises BlockbookError, naming the file, for anything that is no readable spreadsheet.
    """
    path = Path(path)
    with _said_of(str(path)):
        if path.is_dir():
            return _together(path.name or str(path), _files_in_folder(path), inside_archive=False)
        file = _File(path.name, lambda: _content_of(path), _changed(path))
        return _open(path.name, file, inside_archive=False)


def open_content(name: str, content: bytes) -> list[Returned]:
    """The same for a file that is not on disk, such as one attached to a mail; name: as it calls itself."""
    with _said_of(shown(name)):
        if len(content) > SIZE_LIMIT:
            raise too_large(f"it has {len(content) // 1_000_000:,} MB")
        return _open(shown(name), _File(name, lambda: content, None), inside_archive=False)


@contextmanager
def _said_of(name: str) -> Iterator[None]:
    """Whatever goes wrong inside becomes one sentence that names the file."""
    try:
        yield
    except BlockbookError as error:
        raise type(error)(_joined(name, str(error))) from None
    except (KeyboardInterrupt, SystemExit):
        raise
    except OSError as error:
        raise BlockbookError(f"{name}: cannot be opened ({error.strerror}). Check name, folder and rights.") from None
    except BaseException as error:  # whatever a library does on a file that was made to break it
        raise BlockbookError(f"{name}: {damaged(error)}") from None


def open_grids(path: Path) -> Mapping[str, Grid]:
    """Sheet name -> its grid, every sheet of the one workbook in a file, in order.

    Raises BlockbookError, naming the file, for anything that is not one readable spreadsheet.
    """
    return open_one(path).grids


def open_one(path: Path) -> Returned:
    """The one workbook in a file. Raises BlockbookError as `open_grids` does."""
    found = open_returned(path)
    if len(found) > 1:
        raise BlockbookError(f"{path}: holds {len(found)} workbooks. Name the one you mean.")
    return found[0]


@dataclass(frozen=True)
class _File:
    """A file on disk or in an archive; its content is read only when its turn comes."""

    name: str
    content: Callable[[], bytes]
    saved: datetime | None

    @property
    def suffix(self) -> str:
        return PurePosixPath(self.name).suffix.lower()


def _joined(name: str, sentence: str) -> str:
    """ "robin.xlsx: is a PDF" reads better as "robin.xlsx: this is a PDF"."""
    verbs = ("is ", "holds ", "unpacks ")
    return f"{name}: this {sentence}" if sentence.startswith(verbs) else f"{name}: {sentence}"


def _content_of(path: Path) -> bytes:
    if not path.exists():
        raise BlockbookError("there is no such file. Check name and folder.")
    if not path.is_file():
        raise NoSpreadsheet("is no file that can be read.")
    size = path.stat().st_size
    if size > SIZE_LIMIT:
        raise too_large(f"it has {size // 1_000_000:,} MB")
    return path.read_bytes()


def _changed(path: Path) -> datetime | None:
    try:
        return datetime.fromtimestamp(int(path.stat().st_mtime))
    except (OSError, OverflowError, ValueError):
        return None


# One file --------------------------------------------------------------------------------------


def _open(name: str, file: _File, inside_archive: bool) -> list[Returned]:
    content = file.content()
    if not content:
        raise BlockbookError("the file is empty. Ask the lifter to send it again.")
    kind: Kind = kind_of(content, file.suffix)
    if kind == "csv":
        return [_workbook_of_csv(name, [file], {file.name: content})]
    if kind == "xls":
        check_xls(workbook_stream(content))
        return [Returned(name, grids_of(io.BytesIO(content)), file.saved)]
    package = open_package(content)
    del content
    kind = kind_of_package(package, file.suffix)
    if kind == "zip":
        if inside_archive:
            raise BlockbookError("is an archive in an archive. Unpack the outer one and name this one.")
        return _together(name, _files_in_archive(package), inside_archive=True)
    returned = {"xlsx": read_xlsx, "xlsb": read_xlsb, "ods": read_ods}[kind](name, package)
    return [returned if returned.saved else replace(returned, saved=file.saved)]


def _workbook_of_csv(name: str, files: list[_File], contents: Mapping[str, bytes]) -> Returned:
    """CSV files that belong together, a sheet each, called as the file is."""
    grids: dict[str, Grid] = {}
    remarks = []
    for file in files:
        sheet = free_name(shown(PurePosixPath(file.name).stem), grids)
        grids[sheet], cut = read_csv(contents[file.name])
        if cut:
            remarks.append(beyond(sheet, cut))
    times = [file.saved for file in files if file.saved]
    return Returned(name, grids, max(times, default=None), remarks=tuple(remarks))


# Many files ------------------------------------------------------------------------------------


@dataclass
class _Together:
    """What a folder or archive turned out to hold."""

    workbooks: list[Returned] = field(default_factory=list)
    tables: dict[str, list[_File]] = field(default_factory=dict)
    contents: dict[str, bytes] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)


def _together(name: str, files: Iterator[_File], inside_archive: bool) -> list[Returned]:
    """The workbooks of a folder or archive; what is no spreadsheet is passed over with a remark."""
    found = _Together()
    for number, file in enumerate(files):
        if number >= FILES_LIMIT:
            raise too_large(f"it has over {FILES_LIMIT:,} files", "Name the workbooks one by one.")
        _add(found, name, file, inside_archive)
    for folder, tables in found.tables.items():
        called = name if folder == "." else f"{name}: {shown(folder)}"
        found.workbooks.append(_workbook_of_csv(called, tables, found.contents))
        _refuse_too_much_together(found)
    if not found.workbooks:
        passed = f" {' '.join(found.remarks[:3])}" if found.remarks else ""
        raise BlockbookError(f"there is no spreadsheet in it. Name the returned workbook itself.{passed}")
    first, *others = found.workbooks
    return [replace(first, remarks=(*first.remarks, *found.remarks)), *others]


def _add(found: _Together, name: str, file: _File, inside_archive: bool) -> None:
    called = shown(file.name)
    try:
        if _is_csv(file):
            content = file.content()
            if content and kind_of(content, file.suffix) == "csv":
                found.tables.setdefault(str(PurePosixPath(file.name).parent), []).append(file)
                found.contents[file.name] = content
                if sum(map(len, found.contents.values())) > SIZE_LIMIT:
                    raise too_large("it and the tables before it are too long", "Name the tables of one log at a time.")
            return
        found.workbooks += _open(f"{name}: {called}", file, inside_archive)
        _refuse_too_much_together(found)
    except NoSpreadsheet as error:
        found.remarks.append(f"{_joined(called, str(error)).split('. ')[0]} and was passed over.")
    except BlockbookError as error:
        raise BlockbookError(_joined(called, str(error))) from None


def _is_csv(file: _File) -> bool:
    return file.suffix in (".csv", ".tsv", ".tab")


def _refuse_too_much_together(found: _Together) -> None:
    if len(found.workbooks) > 1:
        refuse_too_much(
            {
                f"{number} {sheet}": grid
                for number, book in enumerate(found.workbooks)
                for sheet, grid in book.grids.items()
            }
        )


def _files_in_folder(folder: Path) -> Iterator[_File]:
    for path in sorted(folder.iterdir()):
        if not path.name.startswith(_PASSED_OVER_SILENTLY):
            yield _File(path.name, lambda path=path: _content_of(path), _changed(path))  # type: ignore[misc]


def _files_in_archive(package: Package) -> Iterator[_File]:
    for name, entry in package.entries.items():
        if not any(part.startswith(_PASSED_OVER_SILENTLY) for part in name.split("/")):
            yield _File(name, lambda name=name: package.read(name, SIZE_LIMIT), packed_at(entry))  # type: ignore[misc]
