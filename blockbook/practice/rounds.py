"""The steps of the loop for a lifter of the practice: build, review, next."""

from __future__ import annotations

import hashlib
import os
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Protocol

from blockbook import api
from blockbook.assessment.coach_word import read_answers, read_word
from blockbook.assessment.next_block import Override
from blockbook.assessment.outcome import NextBlock
from blockbook.assessment.review_workbook import review_book, reviewed
from blockbook.errors import BlockbookError
from blockbook.files import free, refuse_existing, write_whole
from blockbook.intake.carry_report import carry_report
from blockbook.intake.carrying import carry
from blockbook.intake.log import BlockLog
from blockbook.intake.reading import read_files
from blockbook.plan.files import load_spec
from blockbook.plan.last_block import last_block
from blockbook.practice.folder import SENT_LOG, LifterFolder, Practice, block_folder
from blockbook.practice.outdated import built_at, left_beside, never_mailed, take_away, withdraw
from blockbook.practice.returns import Returns, history_of, returns_of, saved_at
from blockbook.practice.sent_log import Entry, SentLog, drafts, workbooks
from blockbook.spec.loading import load_season
from blockbook.spec.models import Specification
from blockbook.workbook.manifest import digest_of
from blockbook.workbook.write import block_bytes, workbook_bytes


@dataclass(frozen=True)
class Built:
    """A lifter's current workbook. new: False if this version of the block had been built before.

    carried: whether it holds what had come back of an earlier version of the block. remarks: sentences on what was
    carried, what could not be read, and what was replaced. entries: what `note` adds to the sent log.
    """

    lifter: LifterFolder
    spec: Specification
    digest: str
    path: Path
    new: bool
    carried: bool = False
    remarks: tuple[str, ...] = ()
    entries: tuple[Entry, ...] = ()


class Noted(Protocol):
    """Work that the sent log is to tell of."""

    @property
    def entries(self) -> tuple[Entry, ...]: ...


def sent_log(practice: Practice) -> SentLog:
    return SentLog(practice.root / SENT_LOG)


def note(practice: Practice, done: Noted) -> None:
    """Add to the sent log what was done. Several lifters' work may be done at once; this is for one at a time."""
    for entry in done.entries:
        sent_log(practice).add(entry)


def build_current(practice: Practice, lifter: LifterFolder, force: bool = False) -> Built:
    """Build the current block, unless just this version of it is there; a waiting next block becomes current first.

    What came back of an earlier version of the same block is carried into the workbook. A workbook of an earlier
    version stays if it was mailed or came back, else the new one takes its place; drafts of other versions are put
    aside. The sent log is left to `note`. force: build it anew. Raises BlockbookError for a faulty or missing
    specification.
    """
    promote(practice, lifter)
    spec = practice.spec_of(lifter.block)
    digest, log = digest_of(spec), sent_log(practice).of(lifter.name)
    there = [path for entry in workbooks(log) if entry.digest == digest and (path := built_at(practice, lifter, entry))]
    if there and not force:
        return Built(lifter, spec, digest, there[-1], new=False, entries=withdraw(practice, log, lifter, digest))
    returned, unread = _returned_so_far(lifter, spec)
    carried = carry(returned, spec) if returned else None
    remarks = (*unread, *(carry_report(carried).splitlines() if carried else ()))
    content = block_bytes(spec, carried.typed, carried.earlier) if carried else block_bytes(spec)
    replaced = list(never_mailed(practice, log, lifter, spec))
    beside = list(left_beside(practice, log, lifter, spec))
    path = free(lifter.sent / api.file_name(spec), content, replaced)
    take_away([old for old in replaced if old != path])
    write_whole(path, content, force=True)
    withdrawn = withdraw(practice, log, lifter, digest)
    remarks += tuple(f"Takes the place of {old.name}, which was never mailed." for old in replaced if old not in there)
    remarks += tuple(
        f"{old.name} stays beside it: never mailed either, but far off. Delete it if it is no block of its own."
        for old in beside
    )
    entry = Entry("built", lifter.name, digest, path.relative_to(practice.root).as_posix())
    return Built(lifter, spec, digest, path, True, carried is not None, remarks, (entry, *withdrawn))


def built_by_lifter(practice: Practice) -> dict[str, dict[str, str]]:
    """Lifter -> version of a block -> the workbook of it that is there, by the sent log."""
    built: dict[str, dict[str, str]] = {}
    entries = workbooks(sent_log(practice).every())
    for lifter in practice.lifters:
        own = (entry for entry in entries if entry.lifter == lifter.name)
        paths = {entry.digest: built_at(practice, lifter, entry) for entry in own}
        built[lifter.name] = {digest: path.name for digest, path in paths.items() if path}
    return built


def unsent_by_lifter(practice: Practice) -> dict[str, frozenset[str]]:
    """Lifter -> versions of blocks whose draft lies in drafts/ and was not sent from here."""
    entries = list(sent_log(practice).every())
    gone = {(entry.lifter, entry.digest) for entry in entries if entry.what in ("sending", "sent")}
    lying = (entry for entry in drafts(entries) if (practice.root / entry.file).exists())
    unsent: dict[str, frozenset[str]] = {}
    for entry in lying:
        if (entry.lifter, entry.digest) not in gone:
            unsent[entry.lifter] = unsent.get(entry.lifter, frozenset()) | {entry.digest}
    return unsent


def decided_by_lifter(practice: Practice) -> dict[str, tuple[Entry, ...]]:
    """Lifter -> what the sent log says of next blocks that were decided, in order."""
    decided: dict[str, tuple[Entry, ...]] = {}
    for entry in sent_log(practice).every():
        if entry.what == "decided":
            decided[entry.lifter] = (*decided.get(entry.lifter, ()), entry)
    return decided


def decided_from(returns: Returns, log: BlockLog, review: Path) -> str:
    """What a next block is decided from: block, returned files and history, and a review that says anything."""
    if not review.exists() or not holds_a_word(review, log):
        return returns.state
    try:
        word = hashlib.sha256(review.read_bytes()).hexdigest()[:16]
    except OSError:  # held by another program: what it says is not known
        word = "unread"
    return f"{returns.state}+{word}"


def _returned_so_far(lifter: LifterFolder, spec: Specification) -> tuple[list[BlockLog], list[str]]:
    """The logs of a block, the oldest first, and what could not be read.

    One by one: each copy may be of another version of the block, and `carry` puts them together.
    """
    returns = returns_of(lifter, spec)
    logs: list[BlockLog] = []
    unread = list(returns.problems)
    for file in sorted(returns.files, key=saved_at):
        read, errors = read_files([file])
        logs += read
        unread += map(str, errors)
    return logs, [f"Not carried, since it cannot be read: {said}" for said in unread]


def promote(practice: Practice, lifter: LifterFolder) -> bool:
    """Let the next block become the current one; the specification before it is kept in earlier/."""
    if not lifter.next_block.exists():
        return False
    practice.spec_of(lifter.next_block)  # a faulty one is reported before anything moves
    if lifter.block.exists():
        before = load_spec(lifter.block)
        text = lifter.block.read_bytes()
        kept = lifter.earlier / f"{block_folder(before)}{lifter.block.suffix}"
        write_whole(free(kept, text), text, force=True)
    old, block = lifter.block, lifter.path / f"block{lifter.next_block.suffix}"
    try:
        os.replace(lifter.next_block, block)
        if block != old:  # it went from one form to the other
            old.unlink(missing_ok=True)
    except OSError as error:
        raise BlockbookError(f"{block}: cannot be written ({error.strerror}).") from None
    return True


def log_of(practice: Practice, lifter: LifterFolder) -> BlockLog:
    """The log of the current block. Raises BlockbookError if nothing readable came back of it."""
    spec = practice.spec_of(lifter.block)
    log, problems = returns_of(lifter, spec).log()
    if problems:
        raise BlockbookError("\n".join([*problems, f"{lifter.name}: take it out of {lifter.returned}, or replace it."]))
    if log is None:
        raise BlockbookError(f"{lifter.name}: nothing came back yet of {spec.block.title}.")
    return log


def write_review(lifter: LifterFolder, log: BlockLog, force: bool = False) -> Path:
    """The review workbook of a lifter's log. Raises BlockbookError if one is there that holds the coach's word."""
    path = lifter.review_of(log.spec)
    if path.exists() and not force and holds_a_word(path, log):
        raise BlockbookError(f"{path}: holds your word and was left alone. Use --force to replace it.")
    block = log.spec.block
    earlier = read_files(history_of(lifter, log.spec))[0]
    season = load_season(lifter.season) if lifter.season else None
    content = workbook_bytes(review_book([reviewed(log, earlier)], season), {}, block.unit, "Review", block.start)
    return write_whole(path, content, force=True)


def holds_a_word(review: Path, log: BlockLog) -> bool:
    """Whether a review workbook says anything that is not in a fresh one; a review of another version does."""
    try:
        word = read_word(review, log.digest, log.spec.block.unit)
        said = any(each != Override() for each in word.overrides.values()) or bool(word.deload or word.every_mistake)
        return said or bool(read_answers(review, log.digest))
    except BlockbookError:
        return True


@dataclass(frozen=True)
class Decided:
    """A lifter's next block, which waits. entries: what `note` adds to the sent log."""

    made: NextBlock
    entries: tuple[Entry, ...]


def write_next(practice: Practice, lifter: LifterFolder, force: bool = False) -> Decided:
    """The block after the current one, in the same form: by the review if there is one, the season if there is one.

    Raises BlockbookError if nothing came back, or a next block is waiting already and `force` not set.
    """
    own = practice.spec_of(lifter.block)
    returns = returns_of(lifter, own)
    if not returns.files:
        raise BlockbookError(f"{lifter.name}: nothing came back yet of {own.block.title}.")
    refuse_existing([lifter.next_block], force)
    review = lifter.review_of(own)
    returned = [*history_of(lifter, own), *returns.files]
    decided = api.decide_next(returned, review if review.exists() else None, own, season=lifter.season)
    made = replace(decided, spec=practice.settings.taken_from(decided.spec, lifter.contact().language))
    api.write_spec(lifter.next_block, made.spec, made.to_yaml(), force, last=lambda: last_block(made))
    path = lifter.next_block.relative_to(practice.root).as_posix()
    entry = Entry("decided", lifter.name, decided_from(returns, made.log, review), path, block=block_folder(own))
    return Decided(made, (entry,))
