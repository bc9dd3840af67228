"""The two binary workbook formats, .xls and .xlsb: how far out their cells stand.

Only the records that say where a cell is are looked at; python-calamine reads the rest.
Record numbers: Microsoft's open specifications [MS-XLS] and [MS-XLSB].
"""

from __future__ import annotations

import io
import struct
from collections.abc import Iterator, Sequence

import olefile

from blockbook.errors import BlockbookError
from blockbook.intake.limits import AREA_LIMIT, COLUMN_LIMIT, ROW_LIMIT
from blockbook.intake.returned import NoSpreadsheet, damaged, too_large

_XLS_LOCKED = 0x2F
_XLS_SHEET_BEGINS = 0x809
_XLS_EXTENT = 0x200
_XLS_CELLS = {0x06, 0xD6, 0xBD, 0x203, 0x204, 0x205, 0x27E, 0xFD}
_XLSB_ROW = 0
_XLSB_CELLS = range(2, 12)


def workbook_stream(content: bytes) -> bytes:
    """The stream of an OLE container that holds an .xls; raises BlockbookError for what else it may be."""
    try:
        with olefile.OleFileIO(io.BytesIO(content)) as container:
            names = {"/".join(entry).casefold(): entry for entry in container.listdir()}
            if "encryptedpackage" in names:
                raise BlockbookError("is locked with a password. Ask for a copy without one.")
            if any(name.startswith("__properties_version") for name in names):
                raise NoSpreadsheet("is a mail message. Save the workbook attached to it, and name that file.")
            stream = names.get("workbook") or names.get("book")
            if stream is None:
                raise NoSpreadsheet("is an old office document but no spreadsheet. Ask for the workbook itself.")
            found: bytes = container.openstream(stream).read()
            return found
    except (BlockbookError, KeyboardInterrupt, MemoryError):
        raise
    except Exception as error:  # the library meets damage in many ways
        raise damaged(error) from None


def check_xls(stream: bytes) -> None:
    """Raise BlockbookError for an .xls that is locked, or holds cells too far out or too many of them."""
    area = rows = columns = position = 0
    while position + 4 <= len(stream):
        record, length = struct.unpack_from("<HH", stream, position)
        if record == _XLS_LOCKED:
            raise BlockbookError("is locked with a password. Ask for a copy without one.")
        if record == _XLS_EXTENT:
            _refuse_false_extent(stream[position + 4 : position + 4 + length])
        elif record == _XLS_SHEET_BEGINS:
            area, rows, columns = area + rows * columns, 0, 0
        elif record in _XLS_CELLS and position + 8 <= len(stream):
            row, column = struct.unpack_from("<HH", stream, position + 4)
            rows, columns = max(rows, row + 1), max(columns, column + 1)
            if record == 0xBD:  # several cells side by side
                columns = max(columns, column + length // 6)
            _refuse_far(rows, columns)
        position += 4 + length
    if area + rows * columns > AREA_LIMIT:
        raise too_large("its cells stand too far apart")


def _refuse_false_extent(record: bytes) -> None:
    """A sheet says how far it goes, and room is made for that much before a cell is read."""
    if len(record) >= 12:
        first_row, last_row, first_column, last_column = struct.unpack_from("<IIHH", record)
    elif len(record) >= 8:
        first_row, last_row, first_column, last_column = struct.unpack_from("<HHHH", record)
    else:
        return
    if not (first_row <= last_row <= 65_536 and first_column <= last_column <= 256):
        raise damaged("a sheet larger than any can be")


_XLSB_SHORT_CELLS = range(12, 19)
"""Cells without their column, as some programs write them; the library passes over them without a word."""


def check_xlsb(sheets: Sequence[bytes]) -> None:
    """The same for the sheets of an .xlsb."""
    area = 0
    for sheet in sheets:
        rows = columns = row = 0
        for record, start, length in _xlsb_records(sheet):
            if record == _XLSB_ROW and length >= 4:
                (row,) = struct.unpack_from("<I", sheet, start)
            elif record in _XLSB_SHORT_CELLS:
                raise BlockbookError("holds cells in a short form that cannot be read here. Save it as .xlsx.")
            elif record in _XLSB_CELLS and length >= 4:
                (column,) = struct.unpack_from("<I", sheet, start)
                rows, columns = max(rows, row + 1), max(columns, column + 1)
                _refuse_far(rows, columns)
        area += rows * columns
    if area > AREA_LIMIT:
        raise too_large("its cells stand too far apart")


def _xlsb_records(sheet: bytes) -> Iterator[tuple[int, int, int]]:
    """Record number, where its content starts, and how long that is."""
    position = 0
    while position + 2 <= len(sheet):
        record = sheet[position]
        position += 1
        if record & 0x80:
            record = record & 0x7F | (sheet[position] & 0x7F) << 7
            position += 1
        length = 0
        for shift in (0, 7, 14, 21):
            if position >= len(sheet):
                return
            digit = sheet[position]
            position += 1
            length |= (digit & 0x7F) << shift
            if not digit & 0x80:
                break
        yield record, position, min(length, len(sheet) - position)
        position += length


def _refuse_far(rows: int, columns: int) -> None:
    if rows > ROW_LIMIT or columns > COLUMN_LIMIT:
        raise too_large(f"a cell stands in row {rows:,}, column {columns:,}")
