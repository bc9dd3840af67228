"""What hangs on mails: any file or folder from a mail program -> its attachments, one at a time, in memory.

Takes mails (.eml), mailboxes (mbox, Maildir), archives and plain folders. Nothing is run, followed or written,
and a name only ever serves to be shown; limits hold whatever a message says of itself.
"""

from __future__ import annotations

import io
import mailbox
import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from email import message_from_bytes, policy
from email.message import Message
from email.utils import parseaddr
from pathlib import Path, PurePosixPath
from typing import IO, Any, cast

from blockbook.errors import BlockbookError
from blockbook.intake.kinds import CSV_SUFFIXES, is_mail, kind_of_package
from blockbook.intake.limits import FILES_LIMIT, SIZE_LIMIT
from blockbook.intake.package import open_package, packed
from blockbook.intake.returned import NoSpreadsheet, shown

MESSAGE_LIMIT = 60_000_000
"""Bytes of one message, attachments included; coded as text they take a third more than their size."""

NESTED_LIMIT = 4
"""How deep mails and archives may stand in each other: a forwarded mail with a .zip is two."""

HEADER_LIMIT = 1_000_000
"""Bytes in which a message's header has to end."""


@dataclass(frozen=True)
class Origin:
    """The message that something hung on, as it can be shown: one line each, short. Empty where there was none."""

    place: str
    sender: str = ""
    subject: str = ""
    date: str = ""

    @property
    def address(self) -> str:
        return parseaddr(self.sender)[1].casefold()


@dataclass(frozen=True)
class Attachment:
    """One file out of a mail, archive or folder. refused: why it was not taken out, if it was not.

    attached: False for what stands within a message, such as a picture in its text.
    """

    name: str
    content: bytes
    origin: Origin
    attached: bool = True
    refused: str = ""


@dataclass
class Counted:
    """What was gone through. bare: messages that nothing hung on."""

    messages: int = 0
    bare: list[Origin] = field(default_factory=list)


def attachments(path: Path, counted: Counted) -> Iterator[Attachment]:
    """Everything that may be a returned workbook. Raises BlockbookError for what is not there or cannot be opened."""
    try:
        yield from _attachments(path, counted)
    except OSError as error:
        raise BlockbookError(f"{path}: cannot be opened ({error.strerror}). Check name, folder and rights.") from None


def _attachments(path: Path, counted: Counted) -> Iterator[Attachment]:
    if not path.exists():
        raise BlockbookError(f"{path}: there is no such file or folder. Check the name.")
    if path.is_dir() and (path / "cur").is_dir() and (path / "new").is_dir():
        yield from _messages(mailbox.Maildir(path, create=False), path, counted)
    elif path.is_dir():
        for each in sorted(path.rglob("*")):
            hidden = any(part.startswith((".", "~$")) for part in each.relative_to(path).parts)
            if each.is_file() and not each.is_symlink() and not hidden:
                yield from _file(each, counted)
    else:
        yield from _file(path, counted)


def _file(path: Path, counted: Counted) -> Iterator[Attachment]:
    with path.open("rb") as file:
        start = file.read(20_000)
        if start.startswith(b"From ") and is_mail(start.partition(b"\n")[2]):
            yield from _messages(mailbox.mbox(path, create=False), path, counted)
            return
        if path.suffix.lower() == ".eml" or is_mail(start):
            file.seek(0)
            yield from _message(file, Origin(path.name), counted, 0)
            return
        content = start + file.read(MESSAGE_LIMIT + 1 - len(start))
    if len(content) > MESSAGE_LIMIT:
        yield Attachment(path.name, b"", Origin(str(path)), refused="It is far too large for a training log.")
        return
    yield from _unpacked(path.name, content, Origin(path.name), counted, 0, attached=True)


def _messages(box: mailbox.Mailbox[Any], path: Path, counted: Counted) -> Iterator[Attachment]:
    """One message after the other, so that a mailbox of any size fits in memory."""
    for number, key in enumerate(box.iterkeys(), start=1):
        try:
            file = cast(Any, box).get_file(key)
        except (KeyError, OSError):  # moved or deleted by the mail program meanwhile
            continue
        with file:
            yield from _message(file, Origin(f"{path.name}, message {number}"), counted, 0)


def _message(file: IO[bytes], origin: Origin, counted: Counted, depth: int) -> Iterator[Attachment]:
    counted.messages += 1
    content = file.read(MESSAGE_LIMIT + 1)
    head = content[:HEADER_LIMIT] if len(content) > MESSAGE_LIMIT else content
    try:
        message = message_from_bytes(head, policy=policy.default)
        origin = Origin(origin.place, _header(message, "From"), _header(message, "Subject"), _header(message, "Date"))
        if len(content) > MESSAGE_LIMIT:
            limit = MESSAGE_LIMIT // 1_000_000
            yield Attachment("", b"", origin, refused=f"The message has over {limit} MB and was not read. Look at it.")
            return
        found = list(_parts(message, origin))
        if not any(part.attached for part in found):
            counted.bare.append(origin)
    except RecursionError:
        yield Attachment("", b"", origin, refused="The message is nested too deep and was not read. Look at it.")
        return
    except Exception as error:  # whatever the library does on a message made to break it
        why = f"The message is damaged ({type(error).__name__}) and was not read. Look at it."
        yield Attachment("", b"", origin, refused=why)
        return
    for part in _tables_together(found):
        if part.refused:
            yield part
        else:
            yield from _unpacked(part.name, part.content, origin, counted, depth, part.attached)


def _parts(message: Message, origin: Origin) -> Iterator[Attachment]:
    """The leaves of a message that are not its text. A mail within is a leaf of its own."""
    waiting, seen = [message], 0
    while waiting:
        part = waiting.pop(0)
        seen += 1
        if seen > FILES_LIMIT:
            yield Attachment(
                "", b"", origin, refused=f"The message has over {FILES_LIMIT} parts; the rest was not read."
            )
            return
        name = shown(str(part.get_filename() or ""))
        if part.get_content_type() == "message/rfc822":
            inner = part.get_payload()
            for each in inner if isinstance(inner, list) else []:
                yield Attachment(name or "mail.eml", cast(Message, each).as_bytes(policy=policy.compat32), origin)
        elif part.is_multipart():
            waiting += cast(list[Message], part.get_payload())
        elif name or part.get_content_maintype() not in ("text", "multipart"):
            content = part.get_payload(decode=True)
            attached = part.get_content_disposition() == "attachment" or (bool(name) and not part["Content-ID"])
            yield Attachment(name, content if isinstance(content, bytes) else b"", origin, attached)


def _tables_together(parts: list[Attachment]) -> list[Attachment]:
    """Several CSV files in one mail are the sheets of one workbook."""
    tables = {part.name: part for part in parts if PurePosixPath(part.name).suffix.lower() in CSV_SUFFIXES}
    if len(tables) < 2:
        return parts
    first = next(iter(tables.values()))
    archive = packed({name: part.content for name, part in sorted(tables.items())}).getvalue()
    return [part for part in parts if part.name not in tables] + [Attachment("sheets.zip", archive, first.origin)]


def _unpacked(
    name: str, content: bytes, origin: Origin, counted: Counted, depth: int, attached: bool
) -> Iterator[Attachment]:
    """A file, or what is in it if it is a mail or an archive."""
    try:
        if not content and not attached:
            return
        if len(content) > SIZE_LIMIT:
            raise BlockbookError(f"It has over {SIZE_LIMIT // 1_000_000} MB, far more than a training log.")
        if is_mail(content) or name.lower().endswith(".eml"):
            _refuse_deeper(depth)
            yield from _message(_in_memory(content), Origin(f"{origin.place}, {name}"), counted, depth + 1)
            return
        if content.startswith(b"PK") and zipfile.is_zipfile(_in_memory(content)):
            package = open_package(content)
            if kind_of_package(package, PurePosixPath(name).suffix.lower()) == "zip":
                _refuse_deeper(depth)
                if len(package.entries) > FILES_LIMIT:
                    raise BlockbookError(f"It holds over {FILES_LIMIT} files. Unpack it and collect the folder.")
                entries = [
                    Attachment(entry, package.read(entry, SIZE_LIMIT), origin)
                    for entry in package.names
                    if not any(part.startswith((".", "~$", "__MACOSX")) for part in entry.split("/"))
                ]
                if entries and all(PurePosixPath(part.name).suffix.lower() in CSV_SUFFIXES for part in entries):
                    yield Attachment(name, content, origin, attached)  # the sheets of one workbook
                    return
                for part in entries:
                    yield from _unpacked(part.name, part.content, origin, counted, depth + 1, True)
                return
    except BlockbookError as error:
        if attached or not isinstance(error, NoSpreadsheet):
            yield Attachment(name, content, origin, attached, refused=str(error))
        return
    yield Attachment(name, content, origin, attached)


def _refuse_deeper(depth: int) -> None:
    if depth >= NESTED_LIMIT:
        raise BlockbookError("Mails and archives stand in each other too deep. It was not opened.")


def _in_memory(content: bytes) -> IO[bytes]:
    return io.BytesIO(content)


def _header(message: Message, name: str) -> str:
    """A header as one short line; "" for one that is missing or made to break a program."""
    try:
        return shown(re.sub(r"\s+", " ", str(message[name] or "")))
    except Exception:
        return ""
