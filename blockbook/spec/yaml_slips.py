"""What was probably mistyped where a text is no YAML: for people who have never heard of it.

A parser says what it expected where it could go on no more; what is wrong often stands lines above. So the lines down
to there are looked through for the slips that people make, and the first is told.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
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
    """A line that says something. indent: blanks before it; text: without comment, quoted text blotted out."""

    number: int
    indent: int
    text: str


class Bracket(NamedTuple):
    sign: str
    line: int


class Slip(NamedTuple):
    line: int
    said: str


def slip_in(text: str, line: int) -> Slip | None:
    """The slip that keeps a text from being read beyond a line (from 1); None where none is recognised."""
    lines = [each for each in _lines(text) if each.number <= line]
    opened: list[Bracket] = []
    for each in lines:
        for look in () if opened else _LOOKS:  # what stands in brackets may go on over several lines
            if said := look(each.text):
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


def _lines(text: str) -> Iterator[Line]:
    """Lines with content; what a > or | begins is text and holds no slips."""
    inside: int | None = None
    for number, raw in enumerate(text.splitlines(), start=1):
        bare = _COMMENT.sub("", _QUOTED.sub(lambda found: _HELD * len(found[0]), raw[:_LONGEST_LINE])).rstrip(" \r")
        if not bare.strip():
            continue
        indent = len(bare) - len(bare.lstrip(" "))
        if inside is not None and indent > inside:
            continue
        inside = indent if _BLOCK_TEXT.search(bare) else None
        yield Line(number, indent, bare)


# Slips that one line shows


def _tab(text: str) -> str:
    return "a tab stands at the beginning. Indent with spaces, as the lines around." if re.match(r" *\t", text) else ""


def _odd_blank(text: str) -> str:
    if _ODD_BLANKS.match(text.lstrip(" ")) or re.search(rf":{_ODD_BLANKS.pattern}", text):
        return "a blank here is no plain space, as in text copied from a page. Delete it and type a space."
    return ""


def _wide_colon(text: str) -> str:
    if "：" in text:
        return 'the colon is not the plain one. Type it anew: ":" and a space.'
    return ""


def _bullet(text: str) -> str:
    sign = text.lstrip(" ")[0]
    if sign in _BULLETS and text.lstrip(" ")[1:2] == " ":
        return f'an entry of a list begins with a plain hyphen and a space: "- ", not "{sign} ".'
    return ""


def _hyphen(text: str) -> str:
    if found := re.match(r" *-(\w[^:]*:(?: .*)?)$", text):
        return f'a space is missing behind the hyphen: "- {_shown(found[1])}".'
    return ""


def _another_document(text: str) -> str:
    return "three hyphens begin another document, and a file is one. Delete the line." if text.startswith("---") else ""


def _no_space(text: str) -> str:
    found = re.match(r" *(?:- +)?([A-Za-z_]\w*):([^\s:/].*)", text)
    return f'a space is missing behind the colon: "{found[1]}: {_shown(found[2])}".' if found else ""


def _no_colon(text: str) -> str:
    """Not within text or a list that goes on over several lines: those do not begin with a name and a value."""
    if found := re.fullmatch(r" *(?:- +)?([a-z_]+)(?: *[=;] *| +|)([^\s:,{}\[\]]+( min)?|)", text):
        value = found[2] and f" {_shown(found[2])}"
        return f'a colon is missing behind the field\'s name: "{found[1]}:{value}".'
    return ""


def _quote(text: str) -> str:
    value = _value(text)
    if value[:1] in ('"', "'"):
        return f"a quote ({value[0]}) is opened here and not closed. Close it at the end of the text."
    if re.match(rf"{_HELD}+ *[^\s{_HELD},}}\]:]", value):
        return (
            "text stands behind a closing quote. Put all of it in one pair of quotes, without the same quotes inside."
        )
    return ""


def _begins_oddly(text: str) -> str:
    value = _value(text)
    if value[:1] and value[0] in _NOT_AT_THE_BEGINNING and not _BLOCK_TEXT.search(text):
        return f'text that begins with {value[0]} has to stand in quotes: "{_shown(value)}".'
    return ""


def _second_colon(text: str) -> str:
    value = _value(text)
    if value[:1] in ("{", "[", "") or not re.search(r":(\s|$)", value):
        return ""
    if value[0] == "(":
        return "fields on one line stand in { and }, not in ( and )."
    if value[0] in CURLED_QUOTES:
        return 'text with a colon has to stand in plain quotes, ", not in curled ones. Type them anew.'
    return f'there are two colons. Put text that holds one in quotes: "{_shown(value)}".'


def _no_comma(text: str) -> str:
    found = re.search(r"[{,]\s*\w+: +([^\s,{}\[\]]+) +(\w+): ", text)
    return f"a comma is missing between two fields, before {found[2]}." if found else ""


def _bracket_too_many(text: str) -> str:
    for opening, closing in _CLOSING.items():
        if re.search(r"[{\[]", text) and text.count(closing) > text.count(opening):
            return f"there is a {closing} too many, or a {opening} is missing before it."
    return ""


_LOOKS: tuple[Callable[[str], str], ...] = (
    _tab, _odd_blank, _wide_colon, _bullet, _hyphen, _another_document, _no_space, _no_colon, _quote, _begins_oddly,
    _second_colon, _no_comma, _bracket_too_many,
)  # fmt: skip


def _value(text: str) -> str:
    """What stands behind the name of a field; "" where there is none."""
    found = _FIELD.fullmatch(text.strip())
    return found["value"].strip() if found else ""


def _shown(value: str) -> str:
    """A text as it may be told; of one that is long the beginning."""
    plain = value.replace(_HELD, "").strip()
    return plain if len(plain) <= _LONG else f"{plain[:_LONG]}..."


_LONG = 40


# Slips that several lines show


def _depth(lines: Sequence[Line]) -> Slip | None:
    """Lines that belong together and do not begin at one depth."""
    if len(lines) < 2:
        return None
    *above, last = lines
    return _entry_and_field(above, last) or _first_without_hyphen(above, last) or _too_deep(above[-1], last)


def _entry_and_field(above: Sequence[Line], last: Line) -> Slip | None:
    alike = next((line for line in reversed(above) if line.indent <= last.indent), above[-1])
    if _is_entry(last) or alike.indent != last.indent or not _is_entry(alike):
        return None
    said = f"line {alike.number} begins an entry of a list with a hyphen; this line is as deep and has none."
    return Slip(last.number, f"{said} Indent it by two more, to be of that entry, or take that hyphen away.")


def _first_without_hyphen(above: Sequence[Line], last: Line) -> Slip | None:
    first = last
    for line in reversed(above):
        if line.indent < last.indent:
            break
        first = line
    if not _is_entry(last) or _is_entry(first):
        return None
    said = f"a list begins here, as line {last.number} shows, and its first entry has no hyphen."
    return Slip(first.number, f'{said} Write "- " before it.')


def _too_deep(before: Line, last: Line) -> Slip:
    said = f"this line begins {_spaces(last.indent)} deep, and line {before.number} above it {_spaces(before.indent)}."
    if last.indent > before.indent and _value(before.text):
        said = f"this line is indented below line {before.number}, which has a value of its own."
    return Slip(last.number, f"{said} Lines that belong together begin at the same depth.")


def _is_entry(line: Line) -> bool:
    return line.text.lstrip(" ").startswith("- ")


def _spaces(count: int) -> str:
    return "1 space" if count == 1 else f"{count} spaces"
