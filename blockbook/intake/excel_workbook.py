"""An .xlsx or .xlsm package, or the binary .xlsb: grids, formulas, comments and when it was saved."""

from __future__ import annotations

import io
import posixpath
import re
from collections.abc import Iterator, Mapping
from datetime import datetime
from math import isfinite
from typing import Any, NamedTuple

from python_calamine import CalamineWorkbook, PasswordError, SheetTypeEnum

from blockbook.errors import BlockbookError
from blockbook.intake.binary_cells import check_xlsb
from blockbook.intake.limits import AREA_LIMIT, HANDED_LIMIT, SHARED_TEXT_LIMIT, SHEETS_LIMIT, TAG_LIMIT, TEXT_LIMIT
from blockbook.intake.package import Package, attribute, local, packed, texts, time_of
from blockbook.intake.returned import Grid, Place, Returned, beyond, damaged, too_large
from blockbook.intake.sheet_xml import SheetXml, checked, is_reading_aid, place_of, rewritten

_WORKBOOK = "xl/workbook.xml"
_READ_BY_LIBRARY = re.compile(r"(\[Content_Types\]\.xml|_rels/\.rels|xl/(_rels/workbook\.xml\.rels|workbook\.xml"
                              r"|sharedStrings\.xml|styles\.xml))", re.IGNORECASE)  # fmt: skip
_BINARY = re.compile(r"(\[Content_Types\]\.xml|_rels/\.rels|xl/(_rels/)?[^/]+|xl/worksheets/[^/]+\.bin)", re.IGNORECASE)
_LONG_TEXT = 512
WORKINGS_NAMES = ("Workings", "Rechenweg", "Cálculos")
"""What the sheet of workings is called, in every language: the catalogues are not opened to read a file."""

_REMARKS = {
    "xl/vbaproject.bin": "Its macros were not looked at.",
    "xl/externallinks/": "Its links to other files were not followed.",
    "xl/connections.": "Its connections to other sources were not followed.",
    "xl/querytables/": "Its queries were not run.",
}


class Sheet(NamedTuple):
    name: str
    part: str


def read_xlsx(name: str, package: Package) -> Returned:
    """All but the Workings: nothing is typed there, and what its formulas show is worked out anew.

    Raises BlockbookError for a package that is no whole workbook or holds too much.
    """
    parts = {part: package.xml(part) for part in package.names if _READ_BY_LIBRARY.fullmatch(part)}
    every = _sheets(package)
    for sheet in every:
        if sheet.part not in package.entries:
            raise damaged(f"its sheet {sheet.name} is missing")
    if len(every) > SHEETS_LIMIT:
        raise too_large(f"it has {len(every):,} sheets")
    sheets = [sheet for sheet in every if sheet.name not in WORKINGS_NAMES]
    seen = {sheet.part: checked(package.xml(sheet.part, HANDED_LIMIT)) for sheet in sheets}
    if package.unpacked > HANDED_LIMIT:
        raise too_large(f"its cells take {package.unpacked // 1_000_000} MB")
    _refuse_repeated_text(parts, seen)
    if sum(found.area for found in seen.values()) > AREA_LIMIT:
        raise too_large("its cells stand too far apart")
    parts |= {part: found.xml for part, found in seen.items()}
    try:
        grids = grids_of(packed(parts))
    except BlockbookError:  # one number that is no day in a cell for dates, say
        grids = grids_of(packed(parts | {part: rewritten(found.xml).xml for part, found in seen.items()}))
    comments = dict(_comments(package, sheets))
    remarks = remarks_on(package)
    remarks += [beyond(sheet.name, cut) for sheet in sheets if (cut := seen[sheet.part].cut)]
    return Returned(
        name,
        grids,
        saved_in(package),
        {sheet.name: seen[sheet.part].formulas for sheet in sheets if sheet.name in grids},
        comments,
        tuple(remarks),
    )


def read_xlsb(name: str, package: Package) -> Returned:
    """The same of a binary workbook, whose formulas and comments are not looked at."""
    parts = {part: package.read(part) for part in package.names if _BINARY.fullmatch(part)}
    if package.unpacked > HANDED_LIMIT:
        raise too_large(f"its cells take {package.unpacked // 1_000_000} MB")
    check_xlsb([content for part, content in parts.items() if part.startswith("xl/worksheets/")])
    return Returned(name, grids_of(packed(parts)), saved_in(package), remarks=tuple(remarks_on(package)))


def grids_of(file: io.BytesIO) -> dict[str, Grid]:
    """Sheet name -> grid, without the Workings, read by python-calamine, which may give up in ways of its own."""
    try:
        workbook = CalamineWorkbook.from_filelike(file)
        grids: dict[str, Grid] = {}
        for number, sheet in enumerate(workbook.sheets_metadata):
            if sheet.typ == SheetTypeEnum.WorkSheet and sheet.name not in WORKINGS_NAMES:
                grid = workbook.get_sheet_by_index(number).to_python(skip_empty_area=False)
                grids[free_name(sheet.name, grids)] = _finite(grid)
    except (KeyboardInterrupt, SystemExit, MemoryError):
        raise
    except PasswordError:
        raise BlockbookError("is locked with a password. Ask for a copy without one.") from None
    except BaseException as error:  # a panic of the library is no Exception
        raise damaged(error) from None
    return grids


def free_name(name: str, taken: Mapping[str, Any]) -> str:
    number = 2
    free = name
    while free in taken:
        free, number = f"{name} ({number})", number + 1
    return free


def _finite(grid: Grid) -> Grid:
    """Numbers that are none (infinity, "nan") as text, so that nobody calculates with them."""
    for row in grid:
        if isfinite(sum([value for value in row if value.__class__ is float])):  # so all are
            continue
        for column, value in enumerate(row):
            if value.__class__ is float and not isfinite(value):
                row[column] = str(value)
    return grid


def remarks_on(package: Package) -> list[str]:
    """What a workbook brings along that is never run or followed."""
    names = [name.casefold() for name in package.names]
    return [remark for start, remark in _REMARKS.items() if any(name.startswith(start) for name in names)]


# Sheets and what belongs to them ---------------------------------------------------------------


def _sheets(package: Package) -> list[Sheet]:
    workbook = package.tree(_WORKBOOK)
    if workbook is None:
        raise damaged("its list of sheets is missing")
    targets = _relations(package, _WORKBOOK)
    found: dict[str, Sheet] = {}
    for element in workbook.iter():
        if local(element) == "sheet":
            target = targets.get(attribute(element, "id"), _Relation("", ""))
            if target.kind == "worksheet":
                name = free_name(attribute(element, "name"), found)
                found[name] = Sheet(name, target.part)
    return list(found.values())


class _Relation(NamedTuple):
    kind: str
    part: str


def _relations(package: Package, part: str) -> dict[str, _Relation]:
    """Id -> the kind and the part of this package that a part refers to; whatever lies outside is left out."""
    folder, _, file = part.rpartition("/")
    tree = package.tree(f"{folder}/_rels/{file}.rels")
    found = {}
    for element in tree if tree is not None else ():
        if attribute(element, "TargetMode") != "External":
            target = posixpath.normpath(posixpath.join("/", folder, attribute(element, "Target"))).lstrip("/")
            found[attribute(element, "Id")] = _Relation(attribute(element, "Type").rpartition("/")[2], target)
    return found


def _comments(package: Package, sheets: list[Sheet]) -> Iterator[tuple[str, dict[Place, str]]]:
    """Sheet name -> place -> comment. A thread stands for the plain comment that repeats it."""
    for sheet in sheets:
        plain: dict[Place, str] = {}
        threads: dict[Place, str] = {}
        for relation in _relations(package, sheet.part).values():
            if relation.part in package.entries and relation.kind in ("comments", "threadedComment"):
                into = plain if relation.kind == "comments" else threads
                for place, text in _comments_in(package, relation.part):
                    into[place] = f"{into[place]}\n{text}" if place in into else text
        if plain or threads:
            yield sheet.name, plain | threads


def _comments_in(package: Package, part: str) -> Iterator[tuple[Place, str]]:
    tree = package.tree(part)
    for element in tree.iter() if tree is not None else ():
        if local(element) in ("comment", "threadedComment"):
            place = place_of(attribute(element, "ref"))
            text = "".join(texts(child, is_reading_aid) for child in element if local(child) == "text").strip()
            if place and text:
                yield place, text


def saved_in(package: Package) -> datetime | None:
    """When the workbook was last saved, as it says of itself, else by the times in its package."""
    core = package.tree("docProps/core.xml")
    told = {local(element): time_of(element.text) for element in core} if core is not None else {}
    return told_time(told.get("modified"), told.get("created")) or package.saved


def told_time(modified: datetime | None, created: datetime | None) -> datetime | None:
    """What a document says; None where that is only the date our builder writes into every workbook."""
    untouched = modified is not None and modified == created and modified.time() == datetime.min.time()
    return None if untouched else modified


# Text that many cells share --------------------------------------------------------------------


def _refuse_repeated_text(parts: dict[str, bytes], sheets: dict[str, SheetXml]) -> None:
    """A text stands once in the package and is copied into each cell that refers to it."""
    shared = next((content for part, content in parts.items() if part.casefold() == "xl/sharedstrings.xml"), b"")
    pieces = re.split(rb"</(?:[^\s<>/:]+:)?si\s*>", shared)
    long = {number: len(piece) for number, piece in enumerate(pieces) if len(piece) > _LONG_TEXT}
    if len(shared) > SHARED_TEXT_LIMIT:
        raise too_large(f"its texts alone have {len(shared) // 1_000_000} MB")
    if max(long.values(), default=0) > TAG_LIMIT:
        raise damaged("a text longer than a cell can hold")
    cells = sum(sheet.cells for sheet in sheets.values())
    letters = cells * max((len(piece) for piece in pieces if len(piece) <= _LONG_TEXT), default=0)
    if long and cells * max(long.values()) > TEXT_LIMIT:
        refers = re.compile(rb">[\s0+]*(%s)\s*<" % b"|".join(str(number).encode() for number in long))
        for sheet in sheets.values():
            letters += sum(long[int(number)] for number in refers.findall(sheet.xml))
    if letters > TEXT_LIMIT:
        letters = sum(_letters(rewritten(sheet.xml).xml, pieces) for sheet in sheets.values())
    if letters > TEXT_LIMIT:
        raise too_large(f"its cells hold {letters:,} characters")


def _letters(xml: bytes, pieces: list[bytes]) -> int:
    """Characters that the cells of a rewritten sheet take from the shared texts, counted exactly."""
    references = re.findall(rb't="s"[^>]*><v>\s*\+?([0-9]{1,9})', xml)
    return sum(len(pieces[int(number)]) for number in references if int(number) < len(pieces))
