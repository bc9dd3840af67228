"""The package that a workbook or an archive is: its parts, unpacked in memory within limits.

Nothing is ever written to a disk, so a part's name cannot lead anywhere.
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from xml.etree.ElementTree import Element, ParseError

import defusedxml.ElementTree as SafeTree
from defusedxml import DefusedXmlException

from blockbook.errors import BlockbookError
from blockbook.intake.limits import (
    DEPTH_LIMIT,
    MARKUP_LIMIT,
    PARTS_LIMIT,
    SMALL_PART_LIMIT,
    TAG_LIMIT,
    UNPACKED_LIMIT,
)
from blockbook.intake.returned import damaged, too_large

_LONG_TAG = re.compile(rb"<[^<]{%d}" % TAG_LIMIT)


@dataclass
class Package:
    """A workbook's or archive's entries. names: in their order; saved: the newest time among them."""

    archive: zipfile.ZipFile
    entries: dict[str, zipfile.ZipInfo]
    unpacked: int = field(default=0)
    tags: int = field(default=0)

    @property
    def names(self) -> list[str]:
        return list(self.entries)

    def read(self, name: str, limit: int = UNPACKED_LIMIT) -> bytes:
        """One entry, unpacked. Raises BlockbookError if it is damaged, locked, or over the limit."""
        entry = self.entries[name]
        if entry.flag_bits & 0x1:
            raise BlockbookError("is locked with a password. Ask for a copy without one.")
        if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise damaged("packed in a way that no spreadsheet program uses")
        with unpacking(), self.archive.open(entry) as part:
            content = part.read(limit + 1)
        self.unpacked += len(content)
        if len(content) > limit or self.unpacked > UNPACKED_LIMIT:
            raise too_large(f"unpacks to over {min(limit, UNPACKED_LIMIT) // 1_000_000} MB")
        return content

    def xml(self, name: str, limit: int = UNPACKED_LIMIT) -> bytes:
        """One part of XML, as UTF-8 and with nothing in it that could grow or lead elsewhere."""
        content = _as_utf8(self.read(name, limit))
        if b"<!DOCTYPE" in content or b"<!ENTITY" in content:
            raise BlockbookError(
                "holds definitions that could lead to other files or grow without end, as no spreadsheet program "
                "writes them. It was not read. Ask where the file comes from."
            )
        self.tags += content.count(b"<")
        if self.tags > MARKUP_LIMIT:
            raise too_large("it holds more cells and looks than can be read")
        return content

    def tree(self, name: str) -> Element | None:
        """A small part as a tree; None if the package has no such part."""
        if name not in self.entries:
            return None
        root: Element | None = None
        for event, element in elements(self.xml(name, SMALL_PART_LIMIT)):
            if root is None and event == "start":
                root = element
        return root

    @property
    def saved(self) -> datetime | None:
        """The newest time that an entry says it was packed at; many programs write 1980."""
        times = [time for entry in self.entries.values() if (time := packed_at(entry))]
        return max(times, default=None)


def open_package(content: bytes) -> Package:
    """Raises BlockbookError for what is no whole package."""
    with unpacking():
        archive = zipfile.ZipFile(io.BytesIO(content))
    entries: dict[str, zipfile.ZipInfo] = {}
    seen: set[str] = set()
    listed = archive.infolist()
    if len(listed) > PARTS_LIMIT:
        raise too_large(f"it has {len(listed):,} parts")
    for entry in listed:
        if entry.is_dir():
            continue
        steps = entry.filename.replace("\\", "/").split("/")
        name = "/".join(step for step in steps if step not in ("", ".", ".."))
        if name.casefold() in seen:
            raise damaged("it holds a part twice, and which one counts is not clear")
        seen.add(name.casefold())
        entries[name] = entry
    return Package(archive, entries)


def packed_at(entry: zipfile.ZipInfo) -> datetime | None:
    try:
        time = datetime(*entry.date_time)
    except ValueError:
        return None
    return time if sensible(time) and time.year > 1980 else None


def sensible(time: datetime) -> bool:
    return 1980 <= time.year < 2100


def packed(parts: dict[str, bytes]) -> io.BytesIO:
    """A plain package of checked parts: what a library is given instead of the file itself."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        for name, content in parts.items():
            archive.writestr(zipfile.ZipInfo(name), content)
    buffer.seek(0)
    return buffer


@contextmanager
def unpacking() -> Iterator[None]:
    try:
        yield
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, OSError, ValueError, EOFError, RuntimeError) as error:
        raise damaged(error) from None


def elements(xml: bytes) -> Iterator[tuple[str, Element]]:
    """("start" or "end", element) through a part; raises BlockbookError where it is no XML.

    Whoever reads much of it drops what is done with from its parent.
    """
    if _LONG_TAG.search(xml):
        raise damaged("a cell or tag without end")
    depth = 0
    try:
        parsed: Any = SafeTree.iterparse(io.BytesIO(xml), events=("start", "end"), forbid_dtd=True)
        for event, element in parsed:
            depth += 1 if event == "start" else -1
            if depth > DEPTH_LIMIT:
                raise damaged("nested too deep")
            yield event, element
    except (ParseError, DefusedXmlException, ValueError, LookupError) as error:
        raise damaged(error) from None


def local(element: Element) -> str:
    """An element's name without its namespace."""
    return str(element.tag).rpartition("}")[2]


def attribute(element: Element, name: str) -> str:
    """An attribute by its name without namespace; "" if it is not there."""
    found = element.get(name)
    if found is not None:
        return found
    return next((value for key, value in element.attrib.items() if key.rpartition("}")[2] == name), "")


def texts(element: Element, left_out: Callable[[Element], bool] = lambda _: False) -> str:
    """All text below an element, leaving out some of its children."""
    pieces = [element.text or ""]
    for child in element:
        if not left_out(child):
            pieces.append(texts(child, left_out))
        pieces.append(child.tail or "")
    return "".join(pieces)


def time_of(text: str | None) -> datetime | None:
    """A moment as documents write it, "2027-01-05T10:11:12.123456789Z"; the zone is dropped."""
    try:
        time = datetime.fromisoformat((text or "").strip()[:19])
    except ValueError:
        return None
    return time if sensible(time) else None


def _as_utf8(content: bytes) -> bytes:
    """XML may stand in UTF-16; everything that looks for its signs expects UTF-8."""
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        text = content.decode("utf-16", "replace")
    elif content[:2] in (b"<\x00", b"\x00<"):
        text = content.decode("utf-16-le" if content[0] else "utf-16-be", "replace")
    else:
        return content.removeprefix(b"\xef\xbb\xbf")
    return re.sub(r"^<\?xml.*?\?>", "", text, count=1, flags=re.DOTALL).encode("utf-8")
