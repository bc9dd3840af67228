"""Seeded damage to files of ours: same seed, same file."""

from __future__ import annotations

import io
import re
import warnings
import zipfile
from collections.abc import Callable
from functools import cache
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import NamedTuple

from blockbook.intake.opening import open_grids
from blockbook.plan.plan_workbook import plan_bytes
from tests.intake.packages import csv_of, ods_of, zipped
from tests.intake.small_block import SMALL_BLOCK, clean_file, spec_from

FILES = {"xlsx": "file.xlsx", "ods": "file.ods", "csv": "file.zip", "yaml": "file.yaml", "plan": "plan.xlsx"}
KINDS = tuple(FILES)

_NASTY = (
    "", "-1", "0", "NaN", "inf", "1e308", "1e999", "9" * 30, "2147483648", "A0", "XFD1048576", "ZZZZ9", "true",
    "x" * 40_000, "../../x", "/etc/hostname", "&#0;", "&x;", "&#x10FFFF;", "<", "]]>", "\x00", "\x1b[31m", "日本",
    "=1+1", "s", "str", "b", "e", "d", "date", "percentage", "P1Y", "2027-13-45", "w1.lower.squat.1", "'", '"', "\n",
    "🏋", "٣", "1,5", "*a", "&a 1", "!!str 1", "{", "[[", "- ", "? ", "\t", "%TAG", "|", ">",
)  # fmt: skip


class Mutation(NamedTuple):
    """file: its name, which says how it is read. how: what was done to it."""

    file: str
    content: bytes
    how: str


def mutation(seed: int) -> Mutation:
    """One damaged file; every kind comes round, some with several kinds of damage."""
    random = Random(seed)
    kind = KINDS[seed % len(KINDS)]
    content = _clean()[kind]
    done = []
    for _ in range(random.choice((1, 1, 1, 2, 4))):
        how = random.choice(_DAMAGE[kind])
        content = how(content, random)
        done.append(how.__name__.strip("_").replace("_", " "))
    return Mutation(FILES[kind], content, ", ".join(done))


@cache
def _clean() -> dict[str, bytes]:
    with TemporaryDirectory() as folder:
        path = clean_file(Path(folder))
        grids = {name: [list(row) for row in grid] for name, grid in open_grids(path).items()}
        workbook = path.read_bytes()
    tables = zipped({f"{name}.csv": csv_of(grid, ";") for name, grid in grids.items()})
    return {
        "xlsx": workbook, "ods": ods_of(grids), "csv": tables, "yaml": SMALL_BLOCK.encode(),
        "plan": plan_bytes(spec_from()),
    }  # fmt: skip


# Bytes -----------------------------------------------------------------------------------------


def _bits_flipped(content: bytes, random: Random) -> bytes:
    changed = bytearray(content)
    for _ in range(random.choice((1, 3, 20)) if changed else 0):
        changed[random.randrange(len(changed))] ^= 1 << random.randrange(8)
    return bytes(changed)


def _cut_short(content: bytes, random: Random) -> bytes:
    return content[: random.randrange(len(content) + 1)]


def _piece_moved(content: bytes, random: Random) -> bytes:
    start, length = random.randrange(len(content) + 1), random.choice((1, 50, 3_000))
    to = random.randrange(len(content) + 1)
    return content[:to] + content[start : start + length] + content[to + random.choice((0, length)) :]


# Parts of a package ----------------------------------------------------------------------------


def _in_a_part(damage: Callable[[bytes, Random], bytes]) -> Callable[[bytes, Random], bytes]:
    """The damage done to one part, the package whole around it."""

    def change(content: bytes, random: Random) -> bytes:
        parts = _parts(content)
        if parts:
            name = random.choice(list(parts))
            parts[name] = damage(parts[name], random)
        return _packed(list(parts.items())) if parts else content

    change.__name__ = f"{damage.__name__} in a part"
    return change


def _part_dropped(content: bytes, random: Random) -> bytes:
    parts = list(_parts(content).items())
    if parts:
        parts.pop(random.randrange(len(parts)))
    return _packed(parts)


def _part_doubled(content: bytes, random: Random) -> bytes:
    parts = list(_parts(content).items())
    return _packed([*parts, (random.choice(parts)[0], random.choice(parts)[1])]) if parts else content


def _parts_swapped(content: bytes, random: Random) -> bytes:
    parts = _parts(content)
    if parts:
        one, other = random.choice(list(parts)), random.choice(list(parts))
        parts[one], parts[other] = parts[other], parts[one]
    return _packed(list(parts.items()))


def _parts(content: bytes) -> dict[str, bytes]:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            return {entry.filename: archive.read(entry) for entry in archive.infolist()}
    except Exception:  # damaged before: nothing to unpack
        return {}


def _packed(parts: list[tuple[str, bytes]]) -> bytes:
    buffer = io.BytesIO()
    with warnings.catch_warnings(), zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        warnings.simplefilter("ignore")
        for name, content in parts:
            archive.writestr(zipfile.ZipInfo(name), content, zipfile.ZIP_DEFLATED)
    return buffer.getvalue()


# Text ------------------------------------------------------------------------------------------


def _one_of(pattern: bytes, content: bytes, random: Random) -> re.Match[bytes] | None:
    found = list(re.finditer(pattern, content))
    return random.choice(found) if found else None


def _replaced(found: re.Match[bytes] | None, content: bytes, by: bytes) -> bytes:
    return content[: found.start()] + by + content[found.end() :] if found else content


def _value_edited(content: bytes, random: Random) -> bytes:
    """An attribute's value, or a text between tags."""
    found = _one_of(rb'(?<=")[^"<>]*(?=")|(?<=>)[^<>]+(?=<)|(?<=[;,\n: ])[^;,\n: ]+(?=[;,\r\n])', content, random)
    return _replaced(found, content, random.choice(_NASTY).encode())


def _value_of_another(content: bytes, random: Random) -> bytes:
    pattern = rb'(?<=")[^"<>]*(?=")|(?<=>)[^<>]+(?=<)'
    other = _one_of(pattern, content, random)
    return _replaced(_one_of(pattern, content, random), content, other.group() if other else b"")


def _number_grown(content: bytes, random: Random) -> bytes:
    found = _one_of(rb"[0-9]+", content, random)
    return _replaced(found, content, found.group() * random.choice((2, 5, 40)) if found else b"")


def _tag_dropped(content: bytes, random: Random) -> bytes:
    return _replaced(_one_of(rb"</?[^<>]+>", content, random), content, b"")


def _tag_doubled(content: bytes, random: Random) -> bytes:
    found = _one_of(rb"</?[^<>]+>", content, random)
    return _replaced(found, content, found.group() * random.choice((2, 300)) if found else b"")


def _line_dropped(content: bytes, random: Random) -> bytes:
    lines = content.splitlines(keepends=True)
    if lines:
        lines.pop(random.randrange(len(lines)))
    return b"".join(lines)


def _line_doubled(content: bytes, random: Random) -> bytes:
    lines = content.splitlines(keepends=True)
    if lines:
        lines.insert(random.randrange(len(lines)), random.choice(lines))
    return b"".join(lines)


def _line_indented(content: bytes, random: Random) -> bytes:
    lines = content.splitlines(keepends=True)
    if lines:
        number = random.randrange(len(lines))
        lines[number] = random.choice((b"  ", b" ", b"\t", b"      ")) + lines[number].lstrip(b" ")
    return b"".join(lines)


def _written_in_sixteen_bits(content: bytes, _random: Random) -> bytes:
    return content.decode("utf-8", "replace").encode("utf-16")


_BYTES = (_bits_flipped, _cut_short, _piece_moved)
_MARKUP = (_value_edited, _value_of_another, _number_grown, _tag_dropped, _tag_doubled)
_LINES = (_value_edited, _number_grown, _line_dropped, _line_doubled, _line_indented, _written_in_sixteen_bits)
_PACKAGE = (_part_dropped, _part_doubled, _parts_swapped)
_DOCUMENT = (*_BYTES, *_PACKAGE, *map(_in_a_part, _BYTES), *map(_in_a_part, _MARKUP * 2))
_DAMAGE: dict[str, tuple[Callable[[bytes, Random], bytes], ...]] = {
    "xlsx": _DOCUMENT,
    "ods": _DOCUMENT,
    "plan": _DOCUMENT,
    "csv": (*_BYTES, *_PACKAGE, *map(_in_a_part, _BYTES), *map(_in_a_part, _LINES)),
    "yaml": (*_BYTES, *_LINES * 2),
}
