"""Files are written whole or not at all, and never over another without being told to."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path

from blockbook.errors import BlockbookError

_PORTS = (f"{port}{number}" for port in ("com", "lpt") for number in range(1, 10))
RESERVED_NAMES = frozenset({"con", "prn", "aux", "nul", *_PORTS})
"""Names that no file may have on Windows, whatever their ending; in small letters."""


def refuse_odd_name(path: Path) -> None:
    """Raise BlockbookError for a name that not every system can hold: files travel between them."""
    first = path.name.partition(".")[0].strip().casefold()
    if first in RESERVED_NAMES:
        raise BlockbookError(f"{path}: no file can be called {first} on Windows. Choose another name.")
    if path.name != path.name.rstrip(". "):
        raise BlockbookError(f"{path}: the name ends in a blank or a dot, which Windows drops. Choose another name.")


def free(path: Path, content: bytes, making_room: Sequence[Path] = ()) -> Path:
    """The path, or with -2, -3 ... behind its name while another content has it. making_room: what may be replaced."""
    number, found = 1, path
    while found not in making_room and found.exists() and found.read_bytes() != content:
        number += 1
        found = path.with_name(f"{path.stem}-{number}{path.suffix}")
    return found


def refuse_existing(paths: Iterable[Path], force: bool) -> None:
    """Raise BlockbookError if a file is there already, before anything is written."""
    for path in paths:
        if path.exists() and not force:
            raise BlockbookError(f"{path}: is there already and was left alone. Use --force to replace it.")


def refuse_other_ending(path: Path, ending: str) -> None:
    """Raise BlockbookError if a file is to have a name that says it is of another kind than what is written."""
    if path.suffix.lower() != ending:
        raise BlockbookError(
            f"{path}: what is written is an {ending} workbook. Name it {path.with_suffix(ending).name}."
        )


def write_text(path: Path, text: str, force: bool) -> Path:
    return write_whole(path, text.encode("utf-8"), force)


def write_whole(path: Path, content: bytes, force: bool) -> Path:
    """Write to a temporary file beside the target, then rename.

    Raises BlockbookError if the file is there already and `force` is not set, or if it
    cannot be written, or has a name that some system cannot hold.
    """
    refuse_odd_name(path)
    refuse_existing([path], force)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".part")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
            os.chmod(temporary, 0o666 & ~_umask())
            os.replace(temporary, path)
        except BaseException:
            Path(temporary).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise BlockbookError(f"{path}: cannot be written ({error.strerror}). Check folder and permissions.") from None
    return path


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
