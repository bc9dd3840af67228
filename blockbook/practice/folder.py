"""The practice as a folder: what lies where, which lifters there are, and who works in it."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property
from pathlib import Path

from filelock import FileLock, Timeout

from blockbook.errors import BlockbookError
from blockbook.files import RESERVED_NAMES
from blockbook.plan.files import load_spec
from blockbook.spec.loading import load_contact, load_settings
from blockbook.spec.models import Specification
from blockbook.spec.settings import Contact, Settings
from blockbook.spec.values import slug

SETTINGS, LIFTERS, UNSORTED, DRAFTS, SENT_LOG = "settings.yaml", "lifters", "unsorted", "drafts", "sent-log.jsonl"
OVERVIEW = "overview.xlsx"
"""Where `next` looks for the coach's marks, if no other overview is named."""
LOCK = ".blockbook.lock"
_PATIENCE = 20
"""Seconds to wait for another run in the same folder."""


@dataclass(frozen=True)
class LifterFolder:
    """One lifter's files. The name of the folder is how commands call the lifter."""

    path: Path

    def __str__(self) -> str:
        return str(self.path)

    @property
    def name(self) -> str:
        return self.path.name

    @property
    def block(self) -> Path:
        """The current block's specification: block.xlsx, a plan workbook, where there is one, else block.yaml."""
        return self._written("block", ".yaml")

    @property
    def next_block(self) -> Path:
        """The block after it, in the same form, waiting to be built: then it becomes the current one."""
        return self._written("next", self.block.suffix)

    def forms(self, name: str) -> list[Path]:
        """Where a block may be written: a plan workbook, or YAML."""
        return [self.path / f"{name}{suffix}" for suffix in (".xlsx", ".yaml")]

    def _written(self, name: str, usual: str) -> Path:
        return next((path for path in self.forms(name) if path.exists()), self.path / f"{name}{usual}")

    def is_of(self, name: str) -> bool:
        """Whether the current block is of a lifter of this name; False where it cannot be read."""
        try:
            return load_spec(self.block).lifter.name.casefold() == name.casefold()
        except BlockbookError:
            return False

    def refuse_both_forms(self) -> None:
        """Raise BlockbookError where a block is written twice: nobody could tell which counts."""
        for name in ("block", "next"):
            if all(path.exists() for path in self.forms(name)):
                raise BlockbookError(f"{self.path}: holds {name}.yaml and {name}.xlsx. Keep the one that counts.")

    @property
    def contact_file(self) -> Path:
        return self.path / "contact.yaml"

    @property
    def season_file(self) -> Path:
        return self.path / "season.yaml"

    @property
    def season(self) -> Path | None:
        return self.season_file if self.season_file.exists() else None

    @property
    def sent(self) -> Path:
        return self.path / "sent"

    @property
    def returned(self) -> Path:
        return self.path / "returned"

    @property
    def earlier(self) -> Path:
        """Specifications of the blocks before."""
        return self.path / "earlier"

    def contact(self) -> Contact:
        """How the lifter is reached; nothing known if there is no contact.yaml."""
        return load_contact(self.contact_file) if self.contact_file.exists() else Contact()

    def review_of(self, spec: Specification) -> Path:
        """The coach's review workbook of a block."""
        return self.path / "reviews" / f"{block_folder(spec)}.xlsx"


@dataclass(frozen=True)
class Practice:
    """The folder of a whole practice."""

    root: Path

    @cached_property
    def settings(self) -> Settings:
        return load_settings(self.root / SETTINGS)

    @cached_property
    def lifters(self) -> tuple[LifterFolder, ...]:
        """Every lifter, by the folder's name."""
        folders = (self.root / LIFTERS).iterdir()
        return tuple(LifterFolder(path) for path in sorted(folders) if path.is_dir() and not path.name.startswith("."))

    def named(self, names: Sequence[str]) -> list[LifterFolder]:
        """The lifters meant, each once; all if none is named. Raises BlockbookError for one who is not there."""
        if not names:
            if not self.lifters:
                raise BlockbookError(
                    f"{self.root / LIFTERS}: holds no lifter yet. Add one: blockbook new strength --lifter NAME"
                )
            return list(self.lifters)
        return list({lifter.name: lifter for lifter in (self._one(name) for name in names)}.values())

    def _one(self, name: str) -> LifterFolder:
        found = self.find(name)
        if found is None:
            known = ", ".join(lifter.name for lifter in self.lifters[:8]) or "nobody yet"
            meant = " or ".join(self._like(name))
            raise BlockbookError(
                f'no lifter is called "{name}" in {self.root / LIFTERS} ({known}), and there is no such file.'
                + (f" Did you mean {meant}?" if meant else "")
            )
        return found

    def _like(self, name: str) -> list[str]:
        """Folders whose name begins with, or nearly is, what was typed: the first few."""
        names = [lifter.name for lifter in self.lifters]
        typed = lifter_folder(name)
        return [each for each in names if each.startswith(f"{typed}-")][:3] or get_close_matches(typed, names, n=3)

    def find(self, name: str) -> LifterFolder | None:
        """By the folder's name, its path, or the lifter's own name. Raises BlockbookError where two have that name."""
        asked = Path(name).resolve()
        for lifter in self.lifters:
            if (
                name.casefold() == lifter.name.casefold()
                or name == str(lifter.path)
                or asked in (lifter.path.resolve(), *(path.resolve() for path in lifter.forms("block")))
            ):
                return lifter
        alike = [each for each in self.lifters if re.fullmatch(rf"{re.escape(lifter_folder(name))}(-\d+)?", each.name)]
        called = [lifter for lifter in alike if lifter.is_of(name)]
        if not called:  # a folder may have been given another name
            called = [lifter for lifter in self.lifters if lifter.is_of(name)]
        if len(called) > 1:
            folders = " and ".join(lifter.name for lifter in called)
            raise BlockbookError(f'"{name}" is the name of several lifters: use a folder\'s name, {folders}.')
        return called[0] if called else None

    def spec_of(self, path: Path) -> Specification:
        """A lifter's specification, with the practice's policy and language where it says nothing itself."""
        lifter = LifterFolder(path.parent)
        lifter.refuse_both_forms()
        return self.settings.applied_to(load_spec(path), lifter.contact().language)

    @contextmanager
    def locked(self) -> Iterator[None]:
        """Only one run at a time changes a practice. Raises BlockbookError if another keeps at it."""
        try:
            with FileLock(self.root / LOCK, timeout=_PATIENCE):
                yield
        except Timeout:
            raise BlockbookError(
                f"{self.root}: another run of blockbook is at work here. Wait for it to end, then try again."
            ) from None
        except PermissionError as error:
            raise BlockbookError(f"{self.root}: cannot be written ({error.strerror}). Check its rights.") from None


def is_practice(folder: Path) -> bool:
    return (folder / SETTINGS).is_file() and (folder / LIFTERS).is_dir()


def find_practice(start: Path = Path()) -> Practice | None:
    """The practice that a folder lies in, if it does; that one stands in if no folder is given."""
    start = start.resolve()
    return next((Practice(_as_typed(folder)) for folder in (start, *start.parents) if is_practice(folder)), None)


def _as_typed(folder: Path) -> Path:
    """The path from where one stands: what is printed stays short."""
    try:
        return Path(os.path.relpath(folder))
    except ValueError:  # on another drive
        return folder


def open_practice(folder: str | Path) -> Practice:
    """The practice in a folder or around it. Raises BlockbookError if there is none."""
    found = find_practice(Path(folder))
    if found is None:
        raise BlockbookError(
            f"{Path(folder).resolve()}: is not inside a practice. Make one: blockbook init DIR; or name one: "
            "--practice DIR."
        )
    return found


def folder_name(name: str) -> str:
    """A lifter's or block's name as a folder's name, safe on every system."""
    plain = slug(name)[:60].strip("-")
    return f"{plain}-x" if plain in RESERVED_NAMES else plain


def lifter_folder(name: str) -> str:
    """The same for a lifter; "lifter" for a name without letters or digits."""
    plain = folder_name(name)
    return plain if plain != slug("") else "lifter"


def block_folder(spec: Specification) -> str:
    """Where a block's returned files lie: title and start, the same however often the block is changed."""
    return f"{folder_name(spec.block.title)}-{spec.block.start}"
