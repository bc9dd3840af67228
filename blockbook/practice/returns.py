"""What came back from a lifter, of the block that is current."""

from __future__ import annotations

import hashlib
import re
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from blockbook.errors import BlockbookError
from blockbook.intake.log import BlockLog
from blockbook.intake.opening import open_returned
from blockbook.intake.reading import manifest_in, read_files
from blockbook.practice.folder import LifterFolder, block_folder
from blockbook.spec.models import Specification
from blockbook.workbook.manifest import digest_of

BLOCKS_BEFORE = 2
"""Blocks that are read as history: enough for a trend, and an evening stays an evening."""

_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")


@dataclass(frozen=True)
class Returns:
    """The files of one block, oldest first, and what is wrong with others. state: changes with spec or files."""

    files: tuple[Path, ...]
    problems: tuple[str, ...]
    state: str

    def log(self) -> tuple[BlockLog | None, tuple[str, ...]]:
        """The log, if anything was readable, and everything that was not."""
        logs, errors = read_files(self.files)
        return (logs[0] if logs else None), (*self.problems, *map(str, errors))


def same_block(one: Specification, other: Specification) -> bool:
    """Whether two specifications are of one lifter's one block, before and after a change."""

    def identity(spec: Specification) -> tuple[str, str, str]:
        return spec.lifter.name.casefold(), spec.block.title.casefold(), spec.block.start.isoformat()

    return identity(one) == identity(other)


def returns_of(lifter: LifterFolder, spec: Specification) -> Returns:
    """What was filed under a block by `collect`, and what lies loose in returned/ and belongs to it."""
    files, problems = _files_in(lifter.returned / block_folder(spec)), []
    for path in _files_in(lifter.returned):
        try:
            if any(same_block(manifest_in(returned).spec, spec) for returned in open_returned(path)):
                files.append(path)
        except BlockbookError as error:
            text = str(error)
            problems.append(text if text.startswith(str(path)) else f"{path}: {text}")
    contents = sorted(hashlib.sha256(path.read_bytes()).hexdigest() for path in files)
    state = hashlib.sha256(" ".join([digest_of(spec), *contents]).encode("ascii")).hexdigest()[:16]
    return Returns(tuple(files), tuple(problems), state)


def came_back(lifter: LifterFolder, spec: Specification) -> bool:
    """Whether the workbook of just this version of a block came back; a changed one is another workbook."""
    wanted = digest_of(spec)
    for path in returns_of(lifter, spec).files:
        with suppress(BlockbookError):
            if any(manifest_in(returned).digest == wanted for returned in open_returned(path)):
                return True
    return False


def history_of(lifter: LifterFolder, spec: Specification) -> tuple[Path, ...]:
    """The returned files of the blocks before a block, oldest first: what its trends are judged by."""
    by_start: dict[str, Path] = {}
    for folder in sorted(lifter.returned.iterdir()) if lifter.returned.is_dir() else ():
        start = folder.name[-len("2027-01-04") :]
        if folder.is_dir() and _DATE.fullmatch(start) and start < spec.block.start.isoformat():
            by_start[start] = folder
    return tuple(path for day in sorted(by_start)[-BLOCKS_BEFORE:] for path in _files_in(by_start[day]))


def _files_in(folder: Path) -> list[Path]:
    if not folder.is_dir():
        return []
    return [path for path in sorted(folder.iterdir()) if path.is_file() and not path.name.startswith((".", "~$"))]
