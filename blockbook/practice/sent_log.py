"""sent-log.jsonl: what was decided, built, drafted, withdrawn and sent, to whom. Lines are added, never changed.

A line "sending" is written before a message is handed over and "sent" or "refused" after it, so that a run that
breaks off in between leaves a question, never a second copy.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Literal, get_args

from blockbook.errors import BlockbookError

Event = Literal["decided", "built", "drafted", "withdrawn", "sending", "sent", "refused"]


@dataclass(frozen=True)
class Entry:
    """One line. lifter: the folder's name; digest: of the block as sent, or the state that a next block was decided
    from; file: from the practice's folder; block: the one before it, of a next block that was decided.
    """

    what: Event
    lifter: str
    digest: str
    file: str = ""
    to: str = ""
    message_id: str = ""
    said: str = ""
    block: str = ""
    at: str = ""


@dataclass(frozen=True)
class SentLog:
    path: Path

    def entries(self, lifter: str, digest: str) -> list[Entry]:
        """What happened to one version of a lifter's block, in order."""
        return [entry for entry in self.every() if (entry.lifter, entry.digest) == (lifter, digest)]

    def of(self, lifter: str) -> list[Entry]:
        """What happened to all blocks of a lifter, in order."""
        return [entry for entry in self.every() if entry.lifter == lifter]

    def lifter_of(self, digest: str) -> str | None:
        """Whose block it is that was built with this digest."""
        return next((entry.lifter for entry in self.every() if entry.digest == digest), None)

    def add(self, entry: Entry) -> None:
        """Raises BlockbookError if the line cannot be written: nothing is sent unlogged."""
        data = {**asdict(entry), "at": datetime.now().astimezone().isoformat(timespec="seconds")}
        line = json.dumps({name: value for name, value in data.items() if value}, ensure_ascii=False)
        try:
            torn = self.path.exists() and self.path.stat().st_size and not self.path.read_bytes().endswith(b"\n")
            with self.path.open("a", encoding="utf-8", newline="\n") as file:
                file.write("\n" * bool(torn) + line + "\n")
                file.flush()
                os.fsync(file.fileno())
        except OSError as error:
            raise BlockbookError(f"{self.path}: cannot be written ({error.strerror}). Nothing was sent.") from None

    def every(self) -> Iterator[Entry]:
        """All lines. Raises BlockbookError for one that is none, and where the log cannot be read."""
        if not self.path.exists():
            return
        try:
            lines = self.path.read_text("utf-8").split("\n")  # not at the other signs that end a line in a text
        except (OSError, UnicodeDecodeError):
            raise BlockbookError(f"{self.path}: cannot be read. Without it, what was sent is not known.") from None
        for number, line in enumerate(lines, start=1):
            if line.strip():
                yield self._entry(number, line)

    def _entry(self, number: int, line: str) -> Entry:
        try:
            entry = Entry(**json.loads(line))
            if entry.what in get_args(Event):
                return entry
        except (ValueError, TypeError):
            pass
        raise BlockbookError(
            f"{self.path}: line {number}: is no line of this log. Mend it from a copy, or take it out if it was torn."
        )


def workbooks(entries: Iterable[Entry]) -> list[Entry]:
    """What was built last into each file: the version that stands there."""
    return _last_of_each(entries, "built")


def drafts(entries: Iterable[Entry]) -> list[Entry]:
    """Drafts that were not withdrawn."""
    return [entry for entry in _last_of_each(entries, "drafted", "withdrawn") if entry.what == "drafted"]


def _last_of_each(entries: Iterable[Entry], *what: Event) -> list[Entry]:
    return list({entry.file: entry for entry in entries if entry.what in what}.values())
