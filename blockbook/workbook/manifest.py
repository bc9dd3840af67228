"""The hidden manifest: the specification a workbook was built from, carried inside it.

One column of text: a marker, the layout version, a digest, then the payload in chunks. The
payload is compact JSON, compressed and base64-coded, so it has no blanks a program could trim.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
import re
import zlib
from collections.abc import Sequence
from dataclasses import dataclass

from pydantic import ValidationError

from blockbook.errors import BlockbookError
from blockbook.sheet.book import Book
from blockbook.spec.models import Specification
from blockbook.workbook.layout import LAYOUT_VERSION, MANIFEST

MARKER = "blockbook manifest"
_WAY_OUT = "Ask for the file again, or an earlier copy, or name its block: --spec block.yaml."
_CHUNK = 30_000
_PAYLOAD_LIMIT = 5_000_000


class OtherLayout(BlockbookError):
    """A workbook of an older or newer blockbook: its cells would be taken for others, whatever block is named."""


@dataclass(frozen=True)
class Manifest:
    """spec as the lifter may see it; digest tells one block's workbooks from another's."""

    spec: Specification
    digest: str


def digest_of(spec: Specification) -> str:
    return hashlib.sha256(_plain(spec)).hexdigest()[:16]


def add_manifest(book: Book, spec: Specification) -> None:
    sheet = book.add(MANIFEST)
    sheet.very_hidden = True
    payload = base64.b64encode(zlib.compress(_plain(spec), 9)).decode("ascii")
    chunks = [payload[i : i + _CHUNK] for i in range(0, len(payload), _CHUNK)]
    for row, text in enumerate([MARKER, str(LAYOUT_VERSION), digest_of(spec), *chunks]):
        sheet.put(row, 0, text)


def read_manifest(column: Sequence[object]) -> Manifest:
    """The manifest from the texts of its column.

    Raises OtherLayout if it is of another layout, BlockbookError if it is damaged.
    """
    texts = [_whole(text) for text in column]
    while texts and not texts[-1]:
        texts.pop()
    if len(texts) < 4 or texts[0] != MARKER:
        raise BlockbookError(f"the hidden manifest is incomplete. {_WAY_OUT}")
    if not re.fullmatch("[0-9]{1,6}", texts[1]) or int(texts[1]) > LAYOUT_VERSION:
        raise OtherLayout(
            f"this workbook has layout {texts[1]}, this program knows up to {LAYOUT_VERSION}. Update blockbook."
        )
    if int(texts[1]) < LAYOUT_VERSION:
        raise OtherLayout(
            f"this workbook was built by an older blockbook (layout {texts[1]}), which set other loads. Read it with "
            "that version, or build the block again and let the lifter go on in the new workbook."
        )
    try:
        unpacker = zlib.decompressobj()
        plain = unpacker.decompress(base64.b64decode("".join(texts[3:]), validate=True), _PAYLOAD_LIMIT)
        spec = Specification.model_validate(json.loads(plain))
    except (binascii.Error, zlib.error, ValueError, ValidationError):
        raise BlockbookError(f"the hidden manifest is damaged. {_WAY_OUT}") from None
    if digest_of(spec) != texts[2]:
        raise BlockbookError(f"the hidden manifest was changed. {_WAY_OUT}")
    return Manifest(spec, texts[2])


def _plain(spec: Specification) -> bytes:
    data = spec.for_lifter().model_dump(mode="json", exclude_defaults=True)
    return json.dumps(data, ensure_ascii=True, separators=(",", ":"), sort_keys=False).encode("ascii")


def _whole(text: object) -> str:
    """Programs that store numbers give the version back as 1.0."""
    return str(int(text)) if isinstance(text, float) and text.is_integer() else str(text or "").strip()
