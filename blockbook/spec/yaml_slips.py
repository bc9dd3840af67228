"""What was probably mistyped where a text is no YAML: for people who have never heard of it.

A parser says what it expected where it could go on no more; what is wrong often stands lines above. So the lines down
to there are looked through for the slips that people make, and the first is told.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import takewhile
from typing import NamedTuple

_QUOTED = re.compile(r"""(?<![\w.)”])("(?:[^"\\]|\\.)*"|'(?:[^']|'')*')""")
_COMMENT = re.compile(r"(^|\s)#.*")
_FIELD = re.compile(r"(?P<hyphen>- +)?(?P<name>[^\s:{}\[\],\"'#-][^:{}\[\],\"'#]*):(?P<value>.*)")
_BLOCK_TEXT = re.compile(r":\s+[>|][-+0-9]*$")
_HELD = "\x00"
"""Stands for each sign within quotes."""

_ODD_BLANKS = re.compile("[\u00a0\u2000-\u200b\u202f\u3000\ufeff]")
_BULLETS = "–—•·*"
_NOT_AT_THE_BEGINNING = "@`%*&!|>"
CURLED_QUOTES = "“”„‟‘’‚«»"
_CLOSING = {"{": "}", "[": "]"}


_LONGEST_LINE = 2_000
"""Characters of a line that are looked at: no line of a person's has more."""


class Line(NamedTuple):
    """A line that says something. indent: blanks before it; text: without comment, quoted text blotted out; written:
    the same as it was typed."""

    number: int
    indent: int
    text: str
    written: str


class Extent(NamedTuple):
    """Where a text begins and ends: lines and columns, from 0."""

    line: int
    column: int
    last_line: int
    end: int


class Bracket(NamedTuple):
    sign: str
    line: int


class Slip(NamedTuple):
    line: int
    said: str


def slip_in(text: str, line: int, read: Iterable[Extent] = ()) -> Slip | None:
    """The slip that keeps a text from being read beyond a line (from 1); None where none is recognised.

    read: values over several lines that a parser has read before, which hold no slips.
    """
    lines = [each for each in _lines(_without(text.splitlines(), read)) if each.number <= line]
    opened: list[Bracket] = []
    for each in lines:
        for look in () if opened else _LOOKS:  # what stands in brackets may go on over several lines
            if said := look(each):
                return Slip(each.number, said)
        _go_through(each, opened)
    if opened:
        sign, number = opened[-1]
        return Slip(number, f"a {sign} is opened here and not closed: a {_CLOSING[sign]} is missing.")
    return _depth(lines)


def _go_through(line: Line, opened: list[Bracket]) -> None:
    """Open and close the brackets of a line."""
    for sign in line.text:
        if sign in _CLOSING:
            opened.append(Bracket(sign, line.number))
        elif opened and sign == _CLOSING[opened[-1].sign]:
            opened.pop()


def _without(rows: list[str], read: Iterable[Extent]) -> list[str]:
    """Lines without the values over several of them. One with more behind it took in too much: it was not closed."""
    for line, column, last_line, end in read:
        behind = rows[last_line][end:]
        if behind.strip()[:1] in ("", "#", ",", "]", "}"):
            rows[line : last_line + 1] = [
                f"{rows[line][:column]}...",
                *[""] * (last_line - line - 1),
                " " * end + behind,
            ]
    return rows


def _lines(rows: Iterable[str]) -> Iterator[Line]:
    """Lines with content; what a > or | begins is text and holds no slips."""
    inside: int | None = None
    for number, raw in enumerate(rows, start=1):
        bare = _COMMENT.sub("", _QUOTED.sub(lambda found: _HELD * len(found[0]), raw[:_LONGEST_LINE])).rstrip()
        if not bare.strip():
            continue
        indent = len(bare) - len(bare.lstrip(" "))
        if inside is not None and indent > inside:
            continue
        inside = indent if _BLOCK_TEXT.search(bare) else None
        yield Line(number, indent, bare, raw[: len(bare)])


# Slips that one line shows


def _tab(line: Line) -> str:
    if re.match(r" *\t", line.text):
        return "a tab stands at the beginning. Indent with spaces, as the lines around."
    return ""


def _odd_blank(line: Line) -> str:
    if _ODD_BLANKS.match(line.text.lstrip(" ")) or re.search(rf":{_ODD_BLANKS.pattern}", line.text):
        return "a blank here is no plain space, as in text copied from a page. Delete it and type a space."
    return ""


def _wide_colon(line: Line) -> str:
    if "：" in line.text:
        return 'the colon is not the plain one. Type it anew: ":" and a space.'
    return ""


def _bullet(line: Line) -> str:
    sign = line.text.lstrip(" ")[0]
    if sign in _BULLETS and line.text.lstrip(" ")[1:2] == " ":
        return f'an entry of a list begins with a plain hyphen and a space: "- ", not "{sign} ".'
    return ""


def _hyphen(line: Line) -> str:
    if found := re.match(r" *-(\w[^:]*:(?: .*)?)$", line.text):
        return f'a space is missing behind the hyphen: "- {_shown(line, found[1])}".'
    return ""


def _another_document(line: Line) -> str:
    if line.text.startswith("---"):
        return "three hyphens begin another document, and a file is one. Delete the line."
    return ""


def _no_space(line: Line) -> str:
    found = re.match(r" *(?:- +)?([A-Za-z_]\w*):([^\s:/].*)", line.text)
    return f'a space is missing behind the colon: "{found[1]}: {_shown(line, found[2])}".' if found else ""


def _no_colon(line: Line) -> str:
    """Not within text or a list that goes on over several lines: those do not begin with a name and a value."""
    if found := re.fullmatch(r" *(?:- +)?([a-z_]+)(?: *[=;] *| +|)([^\s:,{}\[\]]+( min)?|)", line.text):
        value = found[2] and f" {_shown(line, found[2])}"
        return f'a colon is missing behind the field\'s name: "{found[1]}:{value}".'
    return ""


def _quote(line: Line) -> str:
    value = _value(line.text)
    if value[:1] in ('"', "'"):
        return f"a quote ({value[0]}) is opened here and not closed. Close it at the end of the text."
    if re.match(rf"{_HELD}+ *[^\s{_HELD},}}\]:]", value):
        whole = _as_written(line, value)
        inside = whole[1:-1] if whole[0] == whole[-1] else whole
        return f"text stands behind a closing quote. Put all of it in one pair of quotes: {_in_quotes(inside)}."
    return ""


def _hyphen_behind_colon(line: Line) -> str:
    value = _value(line.text)
    if not value.startswith("- "):
        return ""
    quoted = _in_quotes(_as_written(line, value))
    return (
        f"a hyphen stands behind the colon. Put text that begins with one in quotes, {quoted}; a list begins on the "
        "line below."
    )


def _begins_oddly(line: Line) -> str:
    value = _value(line.text)
    if value[:1] and value[0] in _NOT_AT_THE_BEGINNING and not _BLOCK_TEXT.search(line.text):
        return f"text that begins with {value[0]} has to stand in quotes: {_in_quotes(_as_written(line, value))}."
    return ""


def _second_colon(line: Line) -> str:
    value = _value(line.text)
    if value[:1] in ("{", "[", "") or not re.search(r":(\s|$)", value):
        return ""
    if value[0] == "(":
        return "fields on one line stand in { and }, not in ( and )."
    if value[0] in CURLED_QUOTES:
        return 'text with a colon has to stand in plain quotes, ", not in curled ones. Type them anew.'
    return f"there are two colons. Put text that holds one in quotes: {_in_quotes(_as_written(line, value))}."


def _no_comma(line: Line) -> str:
    found = re.search(r"[{,]\s*\w+: +([^\s,{}\[\]]+) +(\w+): ", line.text)
    return f"a comma is missing between two fields, before {found[2]}." if found else ""


def _bracket_too_many(line: Line) -> str:
    for opening, closing in _CLOSING.items():
        if re.search(r"[{\[]", line.text) and line.text.count(closing) > line.text.count(opening):
            return f"there is a {closing} too many, or a {opening} is missing before it."
    return ""


_LOOKS: tuple[Callable[[Line], str], ...] = (
    _tab, _odd_blank, _wide_colon, _bullet, _hyphen, _another_document, _no_space, _no_colon, _quote,
    _hyphen_behind_colon, _begins_oddly, _second_colon, _no_comma, _bracket_too_many,
)  # fmt: skip


def _value(text: str) -> str:
    """What stands behind the name of a field; "" where there is none."""
    found = _FIELD.fullmatch(text.strip())
    return found["value"].strip() if found else ""


def _as_written(line: Line, end: str) -> str:
    """The end of a line's text as it was typed, with what stands in quotes."""
    return line.written[len(line.text) - len(end) :]


def _shown(line: Line, end: str) -> str:
    return _short(_as_written(line, end).strip())


def _short(text: str) -> str:
    """A text as it may be told; of one that is long the beginning."""
    return text if len(text) <= _LONG else f"{text[:_LONG]}..."


def _in_quotes(text: str) -> str:
    """As it may be written instead: in single quotes, which take what stands in them as it is, where it needs them."""
    if '"' in text or "\\" in text:
        doubled = _short(text).replace("'", "''")
        return f"'{doubled}'"
    return f'"{_short(text)}"'


_LONG = 40


# Slips that several lines show


def _depth(lines: Sequence[Line]) -> Slip | None:
    """Lines that belong together and do not begin at one depth."""
    if len(lines) < 2:
        return None
    *above, last = lines
    looks = (_entry_and_field, _first_without_hyphen, _entry_beside, _too_deep)
    return next((slip for look in looks if (slip := look(above, last))), None)


def _entry_and_field(above: Sequence[Line], last: Line) -> Slip | None:
    alike = next((line for line in reversed(above) if line.indent <= last.indent), above[-1])
    if _is_entry(last) or alike.indent != last.indent or not _is_entry(alike):
        return None
    said = f"line {alike.number} begins an entry of a list with a hyphen; this line is as deep and has none."
    return Slip(last.number, f"{said} Indent it by two more, to be of that entry, or take that hyphen away.")


def _first_without_hyphen(above: Sequence[Line], last: Line) -> Slip | None:
    def is_below(line: Line) -> bool:
        """Not the field that the list is of, which may stand as deep."""
        is_owner = line.text.endswith(":") and not _is_entry(line)
        return line.indent > last.indent or (line.indent == last.indent and not is_owner)

    inside = list(takewhile(is_below, reversed(above)))
    first = inside[-1] if inside else last
    is_of_entry = len(inside) < len(above) and _is_entry(above[-len(inside) - 1])
    if not _is_entry(last) or _is_entry(first) or is_of_entry:
        return None
    said = f"a list begins here, as line {last.number} shows, and its first entry has no hyphen."
    return Slip(first.number, f'{said} Write "- " before it.')


def _entry_beside(above: Sequence[Line], last: Line) -> Slip | None:
    """An entry that is not as deep as those of its list: the last that begins with the same field, if there is one."""
    beside = [line for line in reversed(above) if _is_entry(line) and 0 < abs(line.indent - last.indent) <= _NEAR]
    if not _is_entry(last) or not beside:
        return None
    meant = next((line for line in beside if _first_field(line) == _first_field(last)), beside[0])
    off = last.indent - meant.indent
    how = "deep" if off > 0 else "near the edge"
    said = f"the hyphen here stands {_spaces(abs(off))} too {how}: that of line {meant.number} has "
    return Slip(
        last.number, f"{said}{_spaces(meant.indent)} before it. The entries of one list begin at the same depth."
    )


_NEAR = 2
"""An entry so many blanks off another is meant to be as deep."""


def _too_deep(above: Sequence[Line], last: Line) -> Slip | None:
    before = above[-1]
    if last.indent == before.indent:
        return None
    said = f"this line begins {_spaces(last.indent)} deep, and line {before.number} above it {_spaces(before.indent)}."
    if last.indent > before.indent and _value(before.text):
        said = f"this line is indented below line {before.number}, which has a value of its own."
    return Slip(last.number, f"{said} Lines that belong together begin at the same depth.")


def _is_entry(line: Line) -> bool:
    return line.text.lstrip(" ").startswith("- ")


def _first_field(entry: Line) -> str:
    found = _FIELD.fullmatch(entry.text.strip())
    return found["name"] if found else ""


def _spaces(count: int) -> str:
    return "1 space" if count == 1 else f"{count} spaces"
