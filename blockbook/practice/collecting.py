"""Returned workbooks out of the mail, each filed under its lifter; what cannot be goes to unsorted/ with the reason."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

from blockbook.errors import BlockbookError
from blockbook.files import write_text, write_whole
from blockbook.intake.kinds import CSV_SUFFIXES, SPREADSHEET_SUFFIXES
from blockbook.intake.opening import open_content
from blockbook.intake.reading import manifest_in, read_files
from blockbook.intake.returned import NoSpreadsheet, shown
from blockbook.many import each
from blockbook.practice.folder import UNSORTED, LifterFolder, Practice, block_folder, open_practice
from blockbook.practice.messages import Attachment, Counted, attachments
from blockbook.practice.returns import same_block
from blockbook.practice.rounds import sent_log
from blockbook.spec.models import Specification
from blockbook.spec.values import slug
from blockbook.workbook.manifest import Manifest

_KEPT_SUFFIXES = (*SPREADSHEET_SUFFIXES, *CSV_SUFFIXES, ".zip", ".pdf", ".png", ".jpg", ".jpeg", ".heic", ".txt")
"""What a file may go on being called; anything else could be a program, and is called .bin."""

_IN_THE_NAME = 12
"""So many digits of what a file held when it came stand in its name."""

_WHY = "Why: "
PERHAPS = "Perhaps of: "
"""Begins the line of a reason that says which lifter's address it came from."""


@dataclass(frozen=True)
class Filed:
    """A workbook that was filed. name: as it was called in the mail; remark: where no next block follows from it."""

    lifter: LifterFolder
    title: str
    path: Path
    name: str
    remark: str = ""


@dataclass(frozen=True)
class Unsorted:
    """What could not be filed: where it and the reason are now. perhaps: whose it is by the sender, easily forged."""

    path: Path
    name: str
    reason: str
    perhaps: str = ""


@dataclass
class Collected:
    """What came of it. known: already there; passed_over: pictures and the like within messages; words: sentences on
    mails of lifters without a workbook; alarms: lifters of whom something filed asks for a physician and was not
    answered; wrong: mails that could not be opened.
    """

    filed: list[Filed] = field(default_factory=list)
    unsorted: list[Unsorted] = field(default_factory=list)
    known: list[str] = field(default_factory=list)
    passed_over: list[str] = field(default_factory=list)
    counted: Counted = field(default_factory=Counted)
    words: list[str] = field(default_factory=list)
    alarms: list[LifterFolder] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)


def collect(mails: Sequence[str | Path], practice: str | Path = ".", workers: int = 1) -> Collected:
    """File every returned workbook in the mails under its lifter, once, as it came.

    mails: .eml files, mbox files, Maildirs, folders and archives. Lifter and block are told by the hidden manifest,
    never by sender or file name. What cannot be opened is told in `wrong`; the rest is collected all the same.
    workers, and what it asks of a program: as in `many.each`.
    """
    opened = open_practice(practice)
    with opened.locked():
        collecting = _Collecting(opened)
        for path in map(Path, mails):
            try:
                for attachment in attachments(path, collecting.done.counted):
                    collecting.take(attachment)
            except BlockbookError as error:
                collecting.done.wrong.append(str(error))
        collecting.note_words()
        collecting.note_alarms(workers)
    return collecting.done


def _alarm_in(folder: Path) -> bool:
    """Whether what was filed there, taken together, asks for a physician and nobody answered."""
    logs, _ = read_files(sorted(path for path in folder.iterdir() if path.is_file()))
    return any(log.alarm_open for log in logs)


class _Collecting:
    def __init__(self, practice: Practice) -> None:
        self.practice = practice
        self.done = Collected()
        self.log = sent_log(practice)
        self.names: dict[str, list[LifterFolder]] = {}
        for name, lifter in _names(practice):
            self.names.setdefault(name, []).append(lifter)
        self.digests: dict[Path, set[str]] = {}

    def note_words(self) -> None:
        """Mails of lifters that no workbook came with."""
        for origin in self.done.counted.bare:
            if lifter := self._by_address(origin.address):
                subject = f', "{origin.subject}"' if origin.subject else ""
                self.done.words.append(f"{lifter.name}: a mail without a workbook ({origin.place}{subject}). Read it.")

    def note_alarms(self, workers: int) -> None:
        """Nobody waits for a review with what asks for a physician. What cannot be read is told by the overview."""
        lifter_of = {filed.path.parent: filed.lifter for filed in self.done.filed}
        found = each(_alarm_in, list(lifter_of), workers)
        self.done.alarms = [lifter_of[folder] for folder, alarm in found if alarm is True]

    def take(self, attachment: Attachment) -> None:
        if attachment.content.startswith(_WHY.encode()):  # a reason of ours, where unsorted/ is collected again
            return
        digest = hashlib.sha256(attachment.content or repr(attachment.origin).encode()).hexdigest()
        try:
            if attachment.refused:
                raise BlockbookError(attachment.refused)
            if self._is_known(digest):
                self.done.known.append(_called(attachment))
                return
            manifest = self._manifest(attachment)
            self._file(attachment, digest, manifest)
        except NoSpreadsheet as error:
            if attachment.attached:
                self._set_aside(attachment, digest, str(error))
            else:
                self.done.passed_over.append(_called(attachment))
        except BlockbookError as error:
            self._set_aside(attachment, digest, str(error))

    def _manifest(self, attachment: Attachment) -> Manifest:
        every = open_content(attachment.name or "attachment", attachment.content)
        if len(every) > 1:
            raise BlockbookError("It holds several workbooks. Unpack it and collect the folder.")
        return manifest_in(every[0])

    def _file(self, attachment: Attachment, digest: str, manifest: Manifest) -> None:
        spec = manifest.spec
        lifter = self._lifter(manifest)
        folder = lifter.returned / block_folder(spec)
        held = f"{digest[:_IN_THE_NAME]}{_suffix(attachment.name, '.xlsx')}"
        path = folder / f"{_stem(attachment, 'log')}-{held}"
        write_whole(path, attachment.content, force=True)
        self._known(lifter.returned).add(digest)
        for aside in (self.practice.root / UNSORTED).glob(f"{digest[:_IN_THE_NAME]}-*"):  # it found its place after all
            aside.unlink()
        remark = self._remark(lifter, spec, folder)
        self.done.filed.append(Filed(lifter, spec.short_title, path, shown(attachment.name), remark))

    def _remark(self, lifter: LifterFolder, spec: Specification, folder: Path) -> str:
        """What becomes of a workbook that no next block will follow from by itself; "" for the others."""
        try:
            current = self.practice.spec_of(lifter.block)
        except BlockbookError:  # nobody knows which block is current: overview says so
            return ""
        if same_block(spec, current):
            if not lifter.next_block.exists():
                return ""
            anew = f"`blockbook next {lifter.name} --force` writes it anew, without your changes to it."
            return f"the next block waits already and knows nothing of this. {anew}"
        look = f"Look: `blockbook read {folder}`"
        now = f"the current one is {current.short_title} from {current.block.start}"
        if spec.block.start < current.block.start:
            return f"an earlier block, {now}. Kept as history: no next block follows from it. {look}"
        return f"another block, {now}. Kept, but not read. {look}"

    def _lifter(self, manifest: Manifest) -> LifterFolder:
        name = manifest.spec.lifter.name
        folder = self.log.lifter_of(manifest.digest)
        built = next((lifter for lifter in self.practice.lifters if lifter.name == folder), None)
        if built is not None:
            return built
        found = self.names.get(name.casefold(), [])
        if len(found) > 1:
            names = " and ".join(lifter.name for lifter in found)
            raise BlockbookError(f"It is a workbook for {shown(name)}, and {names} are both called so.")
        if not found:
            raise BlockbookError(
                f"It is a workbook for {shown(name)}, who has no folder in lifters/. Make one, then collect it again."
            )
        return found[0]

    def _is_known(self, digest: str) -> bool:
        known = (self._known(lifter.returned) for lifter in self.practice.lifters)
        return any({digest, digest[:_IN_THE_NAME]} & digests for digests in known)

    def _known(self, folder: Path) -> set[str]:
        """Digests of the files below a folder: once by content, whatever they are called; and those in their names, or
        a cell that the coach corrected would be lost when the same mail is collected again.
        """
        if folder not in self.digests:
            files = [path for path in folder.rglob("*") if path.is_file()]
            self.digests[folder] = {hashlib.sha256(path.read_bytes()).hexdigest() for path in files}
            self.digests[folder] |= {path.stem.rpartition("-")[2] for path in files}
        return self.digests[folder]

    def _set_aside(self, attachment: Attachment, digest: str, reason: str) -> None:
        folder = self.practice.root / UNSORTED
        suffix = _suffix(attachment.name) if attachment.content else ".txt"
        path = folder / f"{digest[:_IN_THE_NAME]}-{_stem(attachment, 'message')}{suffix}"
        why = path if not attachment.content else path.with_name(f"{path.name}.txt")
        if any(folder.glob(f"{digest[:_IN_THE_NAME]}-*")):
            self.done.known.append(_called(attachment))
            return
        if attachment.content:
            write_whole(path, attachment.content, force=True)
        perhaps = self._by_address(attachment.origin.address)
        write_text(why, _reason(attachment, reason, perhaps), force=True)
        whose = perhaps.name if perhaps else attachment.origin.sender
        self.done.unsorted.append(Unsorted(path, _called(attachment), reason, whose))

    def _by_address(self, address: str) -> LifterFolder | None:
        """Only a hint for the coach: a sender's address is easily forged."""
        for lifter in self.practice.lifters if address else ():
            try:
                if (lifter.contact().mail or "").casefold() == address:
                    return lifter
            except BlockbookError:
                continue
        return None


def _names(practice: Practice) -> Iterator[tuple[str, LifterFolder]]:
    """Lifters by the name in their specification, else by what their folder is called."""
    for lifter in practice.lifters:
        try:
            yield practice.spec_of(lifter.block).lifter.name.casefold(), lifter
        except BlockbookError:
            yield lifter.name.replace("-", " "), lifter


def _called(attachment: Attachment) -> str:
    """In a line: "log.xlsx (inbox.mbox, message 3)"."""
    return f"{shown(attachment.name) or 'a part'} ({attachment.origin.place})"


def _stem(attachment: Attachment, otherwise: str) -> str:
    """What it was called, safe in a file's name."""
    return slug(PurePosixPath(attachment.name.replace("\\", "/")).stem)[:40] if attachment.name else otherwise


def _suffix(name: str, otherwise: str = ".bin") -> str:
    suffix = PurePosixPath(name.replace("\\", "/")).suffix.lower()
    return suffix if suffix in _KEPT_SUFFIXES else otherwise


def _reason(attachment: Attachment, reason: str, perhaps: LifterFolder | None) -> str:
    origin = attachment.origin
    lines = [
        f"{_WHY}{reason}",
        f"File: {shown(attachment.name)}" if attachment.name else "",
        f"Came in: {origin.place}",
        f"From: {origin.sender}" if origin.sender else "",
        f"Subject: {origin.subject}" if origin.subject else "",
        f"Date: {origin.date}" if origin.date else "",
        f"{PERHAPS}{perhaps.name} (by the sender's address, which anybody can forge)" if perhaps else "",
        "Nothing in it was run or followed. If you know whose it is, look at it, then put it into that lifter's",
        "returned/ folder. Delete this text with the file when it is settled.",
    ]
    return "\n".join(line for line in lines if line) + "\n"


def unsorted_by_lifter(practice: Practice) -> dict[str, int]:
    """Lifter -> how many files in unsorted/ came from their address; "" for the others."""
    counts: dict[str, int] = {}
    for path in sorted((practice.root / UNSORTED).glob("*.txt")):
        text = path.read_text("utf-8", "replace")
        if text.startswith(_WHY):
            found = re.search(rf"^{PERHAPS}(\S+)", text, re.MULTILINE)
            lifter = found[1] if found else ""
            counts[lifter] = counts.get(lifter, 0) + 1
    return counts
