"""The block templates that ship, and starter specifications made from them.

A template is YAML text with placeholders: $start (date), $unit, $lifter, which stands for the lifter and equipment
parts in that unit (lifter_kg.yaml, lifter_lb.yaml), and $kg_82_5 for a load such as 82.5 kg in that unit.
What a lifter reads of it stands in other languages in words/, a file a language.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from functools import cache
from pathlib import Path
from string import Template as Text
from textwrap import fill
from typing import TYPE_CHECKING, NamedTuple

from blockbook.errors import BlockbookError
from blockbook.spec.schemas import SCHEMA_LINE

if TYPE_CHECKING:  # to list the templates, no specification need be understood: that would be most of the time
    from blockbook.spec.models import Lifter, Unit


class Template(NamedTuple):
    """A block template that ships: its name and one line that describes it."""

    name: str
    description: str


def _folder() -> Path:
    """Beside the package in a checkout, inside it in an installed wheel."""
    inside = Path(__file__).resolve().parent.parent / "templates_yaml"
    return inside if inside.is_dir() else inside.parent.parent / "templates_yaml"


def templates() -> list[Template]:
    """The templates that ship, by name, each with one line of description."""
    found = []
    for path in sorted(_folder().glob("*.yaml")):
        if not path.name.startswith("lifter_"):
            first_line = path.read_text("utf-8").splitlines()[0]
            found.append(Template(path.stem, first_line.lstrip("# ").strip()))
    return found


def starter(name: str, start: date, unit: Unit = "kg") -> str:
    """A commented starter specification from a template: YAML text, buildable as it is.

    start: first day of week 1. Raises BlockbookError for an unknown template.
    """

    known = [template.name for template in templates()]
    if name not in known:
        raise BlockbookError(f'no template is called "{name}". There are: {", ".join(known)}.')
    lifter = (_folder() / f"lifter_{unit}.yaml").read_text("utf-8").strip()
    template = Text((_folder() / f"{name}.yaml").read_text("utf-8"))
    filled = {"start": start.isoformat(), "unit": unit, "lifter": lifter}
    return f"{SCHEMA_LINE}\n" + template.substitute(_Filled(filled))


@cache
def example_lifter(unit: Unit) -> Lifter:
    """The invented lifter of every starter."""
    from blockbook.spec.loading import parse_spec  # noqa: PLC0415  # for the same reason

    return parse_spec(starter(templates()[0].name, date(2027, 1, 4), unit)).lifter


class _Filled(dict[str, str]):
    """What stands for the placeholders; those of a load, such as kg_82_5, are worked out."""

    def __missing__(self, name: str) -> str:
        kg = float(name.removeprefix("kg_").replace("_", "."))
        return f"{kg if self['unit'] == 'kg' else 5 * round(2.2 * kg / 5):g}"  # in lb to common plates


def named(text: str, lifter: str) -> str:
    """A starter for a lifter of this name."""
    from blockbook.spec.documents import dump_yaml  # noqa: PLC0415  # for the same reason

    called = dump_yaml({"name": lifter}).strip()
    return re.sub(r"^  name: [^\n]*", lambda _: f"  {called}", text, count=1, flags=re.MULTILINE)


def in_language(text: str, language: str) -> str:
    """A starter for a lifter who reads a language such as de or es-MX, which it names.

    Raises BlockbookError for a language that there is not.
    """
    from blockbook.languages import parse_tag  # noqa: PLC0415  # for the same reason

    try:
        tag = parse_tag(language)
    except ValueError as error:
        raise BlockbookError(f'language: "{language}" {error}.') from None
    text = re.sub(r"^(  name: [^\n]*\n)", rf"\g<1>  language: {tag}\n", text, count=1, flags=re.MULTILINE)
    return in_words_of(text, tag.language)


def in_words_of(text: str, language: str) -> str:
    """A starter with title, note, names of sessions and cues in a language; comments are the coach's and stay."""
    if not (words := words_of(language)):
        return text

    def said(lines: str, field: str, known: Mapping[str, str]) -> str:
        """The text with a field's words put for those of the template, a comment behind them kept."""
        pattern = rf"^( *(?:- )?{field}: )(.+?)(?=\s*$|\s+#)"
        return re.sub(pattern, lambda found: found[1] + known.get(found[2], found[2]), lines, flags=re.MULTILINE)

    title = re.search(r"^  title: (.+?)(?=\s*$|\s+#)", text, re.MULTILINE)
    if title and (block := words.blocks.get(title[1])):
        note = fill(block["note"], 98, initial_indent="    ", subsequent_indent="    ")
        text = re.sub(r"^  note: >\n(?:    .*\n)+", lambda _: f"  note: >\n{note}\n", text, flags=re.MULTILINE)
        text = said(text, "title", {title[1]: block["title"]})
    return said(said(text, "name", words.sessions), "cue", words.cues)


TITLES = {
    "general": "General strength", "peak": "Peak for the meet", "strength": "Strength block", "volume": "Volume block",
}  # fmt: skip
"""The titles of the templates."""


class Words(NamedTuple):
    """What a lifter reads of the templates, by what it is in English. blocks: by title, each with title and note."""

    blocks: Mapping[str, Mapping[str, str]]
    sessions: Mapping[str, str]
    cues: Mapping[str, str]


@cache
def words_of(language: str) -> Words | None:
    """In a language; None where the templates' own are as good as any."""
    from blockbook.spec.documents import parse_yaml  # noqa: PLC0415  # for the same reason

    path = _folder() / "words" / f"{language}.yaml"
    return Words(**parse_yaml(path.read_text("utf-8"))) if path.is_file() else None
