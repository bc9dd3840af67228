"""The one error a user meets: what is wrong, where, and what to do."""

from __future__ import annotations


class BlockbookError(Exception):
    """Something the user can mend. Its text is ready to be shown as it is.

    The text names the file, the sheet and cell or the line, what is wrong, and what to do.
    """


DEBUG = "BLOCKBOOK_DEBUG"
"""Set in the environment: an error that nobody foresaw shows where it happened."""


def unexpected(error: Exception) -> str:
    """A sentence on an error that nobody foresaw."""
    return (
        f"something unexpected went wrong ({type(error).__name__}: {error}). "
        f"Please report it with the command and file; {DEBUG}=1 shows where it happened."
    )
