"""How much is read from a file that came from outside. A training log stays far below all of it.

The longest block (16 weeks, five sessions of eight exercises) fills up to two thirds of each.
"""

from __future__ import annotations

SIZE_LIMIT = 30_000_000
"""Bytes of one file. Pictures in a workbook count here, and nowhere else."""

FILES_LIMIT = 200
"""Files in one folder or archive."""

PARTS_LIMIT = 5_000
"""Entries in the package that a workbook is, or in an archive."""

UNPACKED_LIMIT = 40_000_000
"""Bytes of all parts of one workbook that are read, once unpacked, whatever the package says of itself."""

HANDED_LIMIT = 20_000_000
"""Bytes of the parts that are handed to a library, which copies them more than once."""

SHARED_TEXT_LIMIT = 10_000_000
"""Bytes of the part with the texts that cells share."""

MARKUP_LIMIT = 800_000
"""Tags in all parts of one workbook that are read; a cell takes two to six."""

TAG_LIMIT = 500_000
"""Bytes from one < to the next: one tag with its attributes, or the text behind it."""

DEPTH_LIMIT = 100
"""How deep elements may stand in each other. Spreadsheet programs stay below 20."""

SMALL_PART_LIMIT = 2_000_000
"""Bytes of a part that only describes the workbook: properties, relations, comments."""

SHEETS_LIMIT = 200
"""Sheets of one workbook."""

ROW_LIMIT = 5_000
"""Rows kept of a sheet. What stands below is left out, and said so."""

COLUMN_LIMIT = 256
"""Columns kept of a sheet. What stands to the right is left out, and said so."""

AREA_LIMIT = 2_000_000
"""Cells, empty ones between others included, of everything that one file, folder or archive holds."""

TEXT_LIMIT = 25_000_000
"""Characters in all cells of the same."""
