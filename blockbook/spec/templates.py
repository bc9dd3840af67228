"""The block templates that ship, and starter specifications made from them.

A template is YAML text with placeholders: $start (date), $unit, $lifter, which stands for the lifter and equipment
parts in that unit (lifter_kg.yaml, lifter_lb.yaml), and $kg_82_5 for a load such as 82.5 kg in that unit.
"""

from __future__ import annotations

import re
from datetime import date
from functools import cache
from pathlib import Path
from string import Template as Text
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
    """A starter for a lifter who reads a language such as de or es-MX. Raises BlockbookError for one there is not."""
    from blockbook.languages import parse_tag  # noqa: PLC0415  # for the same reason

    try:
        tag = parse_tag(language)
    except ValueError as error:
        raise BlockbookError(f'language: "{language}" {error}.') from None
    return re.sub(r"^(  name: [^\n]*\n)", rf"\g<1>  language: {tag}\n", text, count=1, flags=re.MULTILINE)
