"""The one error a user meets: what is wrong, where, and what to do."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import TypeVar

Key = TypeVar("Key")
Value = TypeVar("Value")


class BlockbookError(Exception):
    """Something the user can mend. Its text is ready to be shown as it is.

    The text names the file, the sheet and cell or the line, what is wrong, and what to do.
    """


def each_or_all_mistakes(keys: Iterable[Key], make: Callable[[Key], Value]) -> Mapping[Key, Value]:
    """What is made of each, by key. Raises BlockbookError with the mistakes of all: they are mended in one go."""
    made, mistakes = each_and_mistakes(keys, make)
    if mistakes:
        raise BlockbookError("\n".join(mistakes))
    return made


def each_and_mistakes(keys: Iterable[Key], make: Callable[[Key], Value]) -> tuple[Mapping[Key, Value], tuple[str, ...]]:
    """What is made of each, by key, of those that nothing is wrong with; and what is wrong with the others."""
    made: dict[Key, Value] = {}
    mistakes: list[str] = []
    for key in keys:
        try:
            made[key] = make(key)
        except BlockbookError as error:
            mistakes.append(str(error))
    return made, tuple(mistakes)


DEBUG = "BLOCKBOOK_DEBUG"
"""Set in the environment: an error that nobody foresaw shows where it happened."""


def unexpected(error: Exception) -> str:
    """A sentence on an error that nobody foresaw."""
    return (
        f"something unexpected went wrong ({type(error).__name__}: {error}). "
        f"Please report it with the command and file; {DEBUG}=1 shows where it happened."
    )
