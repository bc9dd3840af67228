"""The one error a user meets: what is wrong, where, and what to do."""

from __future__ import annotations


class BlockbookError(Exception):
    """Something the user can mend. Its text is ready to be shown as it is.

    The text names the file, the sheet and cell or the line, what is wrong, and what to do.
    """
