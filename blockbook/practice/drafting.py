"""Workbooks that are due, as drafts that any mail program opens: nothing is sent here."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from email import message_from_bytes, policy
from email.headerregistry import Address
from email.message import EmailMessage
from functools import partial
from pathlib import Path
from typing import Literal, TypeAlias

from blockbook.api import file_name
from blockbook.errors import BlockbookError
from blockbook.files import write_whole
from blockbook.intake.findings import ALARM_CARRIED
from blockbook.practice.folder import DRAFTS, LifterFolder, Practice, block_folder, open_practice
from blockbook.practice.letters import letter, one_line
from blockbook.practice.outdated import withdraw
from blockbook.practice.returns import came_back
from blockbook.practice.rounds import Built, build_current, note, promote, sent_log
from blockbook.practice.sent_log import Entry, drafts
from blockbook.spec.models import Specification
from blockbook.spec.settings import Contact, plain_address
from blockbook.training.doubts_on_bests import are_still_the_examples
from blockbook.workbook.manifest import digest_of

DIGEST = "X-Blockbook-Digest"
LeftOut: TypeAlias = Literal["", "example", "alarm"]
WHY_LEFT_OUT: Mapping[LeftOut, str] = {
    "example": "all bests are still the example's",
    "alarm": ALARM_CARRIED,
}
"""Why a block is not mailed together with the others, but only by its lifter's name."""

_XLSX = ("application", "vnd.openxmlformats-officedocument.spreadsheetml.sheet")


@dataclass(frozen=True)
class Draft:
    """A mail that waits to be sent. new: False if it was drafted or sent before, or the block came back already.

    returned: the latter; left_out: why nothing was drafted of a lifter who was not named, "" for nothing.
    remarks: on what was carried into the workbook. entries: what `note` adds to the sent log.
    """

    lifter: LifterFolder
    spec: Specification
    digest: str
    path: Path
    to: str
    new: bool
    returned: bool = False
    left_out: LeftOut = ""
    remarks: tuple[str, ...] = ()
    entries: tuple[Entry, ...] = ()

    @property
    def title(self) -> str:
        return self.spec.block.title


def mail(lifters: Sequence[str] = (), practice: str | Path = ".", again: bool = False) -> list[Draft]:
    """Build what is due and write a draft a lifter; nothing is sent.

    Due is a block whose current version was not drafted or sent before and did not come back yet. lifters: by name;
    all if left out, but for those whose numbers are still the starter's or whose last block ended with an alarm that
    is still open. again: draft it anew. Raises BlockbookError for the first lifter with whom something is wrong.
    """
    opened = open_practice(practice)
    with opened.locked():
        return [_noted(opened, lifter, again, bool(lifters)) for lifter in opened.named(lifters)]


def _noted(practice: Practice, lifter: LifterFolder, again: bool, named: bool) -> Draft:
    made = draft(practice, again, named, lifter)
    note(practice, made)
    return made


def draft(practice: Practice, again: bool, named: bool, lifter: LifterFolder) -> Draft:
    """The draft for a lifter's current block. named: the coach asked for this lifter. The sent log is left to `note`.

    Raises BlockbookError for a faulty specification, contact or letter.
    """
    promote(practice, lifter)
    spec, contact = practice.spec_of(lifter.block), lifter.contact()
    digest = digest_of(spec)
    path = practice.root / DRAFTS / f"{lifter.name}-{block_folder(spec)}-{digest[:6]}.eml"
    log = sent_log(practice).of(lifter.name)
    what = [entry.what for entry in log if entry.digest == digest]
    was_sent = "sent" in what or "sending" in what
    was_drafted = digest in [entry.digest for entry in drafts(log)]
    made = Draft(lifter, spec, digest, path, contact.mail or "", new=True)
    came_by_itself = not was_sent and came_back(lifter, spec)
    if not again and (was_sent or came_by_itself or was_drafted):
        withdrawn = withdraw(practice, log, lifter, digest)
        return replace(made, new=False, returned=came_by_itself, entries=withdrawn)
    if not named and (why := _left_out(spec)):
        return replace(made, new=False, left_out=why, entries=withdraw(practice, log, lifter, digest))
    write = partial(letter, practice, contact.language or spec.lifter.language or practice.settings.language, spec)
    write(file_name(spec))  # a mistake in it is told before anything is built
    built = build_current(practice, lifter)
    message = _message(practice, contact, built, *write(built.path.name))
    write_whole(path, message.as_bytes(), force=True)
    relative = path.relative_to(practice.root).as_posix()
    entry = Entry("drafted", lifter.name, built.digest, relative, contact.mail or "")
    return replace(made, remarks=built.remarks, entries=(*built.entries, entry))


def _left_out(spec: Specification) -> LeftOut:
    if spec.block.alarm_open:
        return "alarm"
    return "example" if are_still_the_examples(spec) else ""


def _message(practice: Practice, contact: Contact, built: Built, subject: str, text: str) -> EmailMessage:
    message = EmailMessage(policy=policy.SMTP)
    message["X-Unsent"] = "1"  # mail programs open it for editing
    message[DIGEST] = built.digest
    if practice.settings.mail:
        message["From"] = Address(one_line(practice.settings.coach), addr_spec=practice.settings.mail)
    if contact.mail:
        message["To"] = Address(one_line(built.spec.lifter.name), addr_spec=contact.mail)
    message["Subject"] = subject
    message.set_content(text)
    message.add_attachment(built.path.read_bytes(), maintype=_XLSX[0], subtype=_XLSX[1], filename=built.path.name)
    return message


def read_draft(path: Path) -> EmailMessage:
    """A draft as it is now, edited or not. Raises BlockbookError if it is no draft of ours any more."""
    try:
        message = message_from_bytes(path.read_bytes(), policy=policy.SMTP)
    except OSError as error:
        raise BlockbookError(f"{path}: cannot be opened ({error.strerror}).") from None
    if not message[DIGEST] or not list(receivers(message)) or not list(message.iter_attachments()):
        raise BlockbookError(f"{path}: has lost its receiver or workbook. Draft it anew: blockbook mail --again LIFTER")
    for address in receivers(message):
        try:
            plain_address(address)
        except ValueError:
            shown = address.encode("ascii", "replace").decode()  # as read, it may hold bytes that are no text
            raise BlockbookError(
                f'{path}: "{shown}" is no plain mail address such as robin@example.org. Correct it in the draft.'
            ) from None
    return message


def receivers(message: EmailMessage) -> Iterator[str]:
    """Every address in To, Cc and Bcc."""
    for name in ("To", "Cc", "Bcc"):
        for header in message.get_all(name, []):
            yield from (address.addr_spec for address in header.addresses)
