"""What a block leaves behind when it is changed or over, and may be mailed by mistake: workbooks and drafts.

A workbook that was never mailed makes room for the one built instead. A draft may have been edited, so it is only put
where nobody sends it by mistake.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from blockbook.errors import BlockbookError
from blockbook.files import free
from blockbook.intake.opening import open_returned
from blockbook.intake.reading import manifest_in
from blockbook.practice.folder import DRAFTS, LifterFolder, Practice
from blockbook.practice.returns import came_back, same_block
from blockbook.practice.sent_log import Entry, drafts, workbooks
from blockbook.spec.models import Specification

OUTDATED = "outdated"
"""The folder in drafts/ that takes them."""


def never_mailed(
    practice: Practice, entries: Sequence[Entry], lifter: LifterFolder, spec: Specification
) -> Iterator[Path]:
    """Workbooks of any version of a block that were built and neither mailed nor answered, by a lifter's sent log.

    A draft that the coach took away was sent by hand. Drafts are looked for, so ask before `withdraw`.
    """
    return (path for path, sent in _never_mailed(practice, entries, lifter) if same_block(sent, spec))


def left_beside(
    practice: Practice, entries: Sequence[Entry], lifter: LifterFolder, spec: Specification
) -> Iterator[Path]:
    """Those of the same title that begin too far off to be this block for sure: they stay, and are told."""
    for path, sent in _never_mailed(practice, entries, lifter):
        if sent.block.title.casefold() == spec.block.title.casefold() and not same_block(sent, spec):
            yield path


def _never_mailed(
    practice: Practice, entries: Sequence[Entry], lifter: LifterFolder
) -> Iterator[tuple[Path, Specification]]:
    by_hand = [entry.digest for entry in drafts(entries) if not (practice.root / entry.file).exists()]
    handed_over = {entry.digest: entry.what for entry in entries if entry.what in ("sending", "sent", "refused")}
    for entry in workbooks(entries):
        path = built_at(practice, lifter, entry)
        mailed = entry.digest in by_hand or handed_over.get(entry.digest, "refused") != "refused"
        if path is not None and not mailed:
            with suppress(BlockbookError):  # what cannot be read any more is left alone
                sent = manifest_in(open_returned(path)[0]).spec
                if not came_back(lifter, sent):
                    yield path, sent


def built_at(practice: Practice, lifter: LifterFolder, entry: Entry) -> Path | None:
    """The workbook that an entry of the log tells of, if it is there: in sent/, whatever the log may say."""
    path = practice.root / entry.file
    return path if path.resolve().parent == lifter.sent.resolve() and path.is_file() else None


def withdraw(practice: Practice, entries: Sequence[Entry], lifter: LifterFolder, digest: str) -> tuple[Entry, ...]:
    """Put aside every draft of a lifter but that of the current version; what is to be noted of it."""
    folder = practice.root / DRAFTS
    withdrawn = []
    for entry in drafts(entries):
        path = practice.root / entry.file
        if entry.digest != digest and path.resolve().parent == folder.resolve() and path.is_file():
            put = free(folder / OUTDATED / path.name, path.read_bytes())
            try:
                put.parent.mkdir(exist_ok=True)
                os.replace(path, put)
            except OSError as error:
                raise BlockbookError(
                    f"{path}: is of a block that is not current any more, and cannot be moved to {put.parent} "
                    f"({error.strerror}). Take it away, so that nobody sends it."
                ) from None
            withdrawn.append(replace(entry, what="withdrawn", said="", at=""))
    return tuple(withdrawn)


def said_of(withdrawn: Sequence[str]) -> str:
    """A sentence on drafts that were put aside."""
    if len(withdrawn) > 1:
        return f"{len(withdrawn)} drafts are not of a current block any more, and were put into {DRAFTS}/{OUTDATED}/."
    return f"{withdrawn[0]}: is not of the current block any more, and was put into {DRAFTS}/{OUTDATED}/."


def take_away(paths: Sequence[Path]) -> None:
    """Raises BlockbookError for a file that stays, before anything takes its place."""
    for path in paths:
        try:
            path.unlink()
        except OSError as error:
            raise BlockbookError(
                f"{path}: is of a version that was changed, and cannot be taken away ({error.strerror}). Close it, or "
                "delete it, so that nobody mails it."
            ) from None
