"""What came back from a lifter, of the block that is current."""

from __future__ import annotations

import hashlib
import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

from blockbook.errors import BlockbookError
from blockbook.intake.log import BlockLog
from blockbook.intake.opening import open_returned
from blockbook.intake.reading import manifest_in, read_files
from blockbook.practice.folder import LifterFolder, folder_name
from blockbook.spec.models import Specification
from blockbook.workbook.manifest import digest_of

BLOCKS_BEFORE = 2
"""Blocks that are read as history: enough for a trend, and an evening stays an evening."""

MOST_MOVED = timedelta(days=13)
"""A block of the same title that begins so much earlier or later is the same one, moved; further off it is another."""

_DATED = re.compile(r".*-(\d{4}-\d{2}-\d{2})")


@dataclass(frozen=True)
class Returns:
    """The files of one block, and what is wrong with others. state: changes with spec, files or history."""

    files: tuple[Path, ...]
    problems: tuple[str, ...]
    state: str

    def log(self) -> tuple[BlockLog | None, tuple[str, ...]]:
        """The log, if anything was readable, and everything that was not."""
        logs, errors = read_files(self.files)
        return (logs[0] if logs else None), (*self.problems, *map(str, errors))


def same_block(one: Specification, other: Specification) -> bool:
    """Whether two specifications are of one lifter's one block, before and after a change of its title or start."""
    if one.lifter.name.casefold() != other.lifter.name.casefold():
        return False
    same_title = one.block.title.casefold() == other.block.title.casefold()
    return _is_near(one.block.start, other.block.start, same_title)


def _is_near(start: date, other: date, same_title: bool) -> bool:
    return abs(start - other) <= (MOST_MOVED if same_title else timedelta())


def returns_of(lifter: LifterFolder, spec: Specification) -> Returns:
    """What was filed under a block by `collect`, and what lies loose in returned/ and belongs to it."""
    files, problems = [path for folder in _folders_of(lifter, spec) for path in _files_in(folder)], []
    for path in _files_in(lifter.returned):
        try:
            if any(same_block(manifest_in(returned).spec, spec) for returned in open_returned(path)):
                files.append(path)
        except BlockbookError as error:
            text = str(error)
            problems.append(text if text.startswith(str(path)) else f"{path}: {text}")
    contents = sorted(hashlib.sha256(path.read_bytes()).hexdigest() for path in [*files, *history_of(lifter, spec)])
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
    """The returned files of the blocks before a block, the oldest block first: what its trends are judged by."""
    own = _folders_of(lifter, spec)
    by_start = {
        start: folder for folder, start in _dated_folders(lifter) if start < spec.block.start and folder not in own
    }
    return tuple(path for day in sorted(by_start)[-BLOCKS_BEFORE:] for path in _files_in(by_start[day]))


def saved_at(path: Path) -> datetime:
    """When a returned file was saved, as it says itself; else when it came."""
    told: list[datetime] = []
    with suppress(BlockbookError):
        told = [returned.saved.replace(tzinfo=None) for returned in open_returned(path) if returned.saved]
    return max(told, default=datetime.fromtimestamp(path.stat().st_mtime))


def is_folder_of(name: str, spec: Specification) -> bool:
    """Whether a folder of returned files is a block's, also from before its title or start was changed."""
    start = _start_in(name)
    return start is not None and _is_near(start, spec.block.start, name == f"{folder_name(spec.block.title)}-{start}")


def _folders_of(lifter: LifterFolder, spec: Specification) -> list[Path]:
    """Where `collect` filed what came back of a block."""
    return [folder for folder, _ in _dated_folders(lifter) if is_folder_of(folder.name, spec)]


def _dated_folders(lifter: LifterFolder) -> list[tuple[Path, date]]:
    folders = sorted(lifter.returned.iterdir()) if lifter.returned.is_dir() else ()
    return [(folder, start) for folder in folders if folder.is_dir() and (start := _start_in(folder.name))]


def _start_in(name: str) -> date | None:
    """The start of the block that a folder is named after."""
    dated = _DATED.fullmatch(name)
    with suppress(ValueError):
        return date.fromisoformat(dated[1]) if dated else None
    return None


def _files_in(folder: Path) -> list[Path]:
    if not folder.is_dir():
        return []
    return [path for path in sorted(folder.iterdir()) if path.is_file() and not path.name.startswith((".", "~$"))]
