"""YAML text <-> plain data, with line numbers. Safe by construction: no tags, anchors or aliases."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

import yaml

from blockbook.errors import BlockbookError
from blockbook.spec.messages import NOTHING_WRITTEN
from blockbook.spec.yaml_slips import Extent, slip_in

SIZE_LIMIT = 200_000
"""Characters of a document. A long specification has 20,000."""

VALUES_LIMIT = 20_000
"""Names and values in a document. A long specification has 2,000."""

DEPTH_LIMIT = 20
"""How deep lists and fields may stand in each other. A specification needs seven."""

DECIMAL_HINT = " Decimals take a point: 62.5, not 62,5."

_ENDLESS_NUMBER = re.compile(r"[-+]?[0-9]{400,}")

Location = Sequence[int | str]


class _PlainLoader(getattr(yaml, "CSafeLoader", yaml.SafeLoader)):  # type: ignore[misc]
    """Plain scalars as YAML 1.2 has them: "no" is a word, "2:30" and dates stay text."""

    yaml_implicit_resolvers: dict[str, Any] = {}  # noqa: RUF012


for _tag, _pattern in {
    "null": r"~|null|Null|NULL|",
    "bool": r"true|True|TRUE|false|False|FALSE",
    "int": r"[-+]?[0-9]+",
    "float": r"[-+]?(\.[0-9]+|[0-9]+\.[0-9]*)([eE][-+]?[0-9]+)?",
}.items():
    _PlainLoader.add_implicit_resolver(f"tag:yaml.org,2002:{_tag}", re.compile(rf"^(?:{_pattern})$"), None)
_PlainLoader.add_constructor("tag:yaml.org,2002:int", lambda _, node: int(node.value))
_PlainLoader.add_constructor("tag:yaml.org,2002:float", lambda _, node: float(node.value))


@dataclass(frozen=True)
class Document:
    """Plain data read from YAML, and where each part of it stands."""

    data: Any
    root: yaml.Node | None
    lines: tuple[str, ...] = ()
    mistakes: tuple[tuple[int, str], ...] = ()

    def is_told(self, place: int, content: Any) -> bool:
        """Nothing is: text that cannot be read at all is refused whole."""
        return False

    def told(self, line: int, part: Location, message: str) -> str:
        """A mistake in a part of the text, with where it stands."""
        hints = f"{self.decimal_comma(line)}{self.hidden(line, message)}"
        return f"line {line}: {field_path(part)}{message}{hints}"

    def hidden(self, line: int, message: str) -> str:
        """A hint if the value that is missing stands in the line, behind the sign that begins a comment."""
        text = self.lines[line - 1] if line <= len(self.lines) else ""
        is_hidden = NOTHING_WRITTEN in message and re.search(r":\s+#\S", text)
        return " A # begins a comment: text that holds one stands in quotes." if is_hidden else ""

    def shown(self, content: Any) -> str:
        """What is written, as it looks there."""
        return f'"{content}"'

    def decimal_comma(self, line: int) -> str:
        """A hint if the line holds what looks like a decimal comma, not one that parts thousands; else ""."""
        text = self.lines[line - 1] if line <= len(self.lines) else ""
        return DECIMAL_HINT if re.search(r"\d,(?!\d{3}(?!\d))\d|\b0,\d", text) else ""

    def find(self, location: Location) -> tuple[int, Location]:
        """Line (from 1) of the deepest part of the location that the text holds, and that part.

        Steps that only the model knows (a single value read as a list) are left out.
        """
        node, line = self.root, 1
        held: list[int | str] = []
        for step in location:
            match node:
                case yaml.MappingNode():
                    found = next(((k, v) for k, v in node.value if k.value == str(step)), None)
                    if found is None:
                        continue  # a step of the model, not of the text
                    key, node = found
                    held.append(str(step))
                    line = key.start_mark.line + 1
                case yaml.SequenceNode() if isinstance(step, int) and step < len(node.value):
                    node = node.value[step]
                    held.append(step)
                    line = node.start_mark.line + 1
                case _:
                    break
        return line, held


def field_path(location: Location) -> str:
    """sessions[2].slots[1].reps, counted from 1 as people do."""
    text = ""
    for step in location:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{step}"
    return f"{text.lstrip('.')}: " if text else ""


def parse_yaml(text: str) -> Any:
    return parse_document(text).data


def parse_document(text: str) -> Document:
    """Read YAML as plain data.

    Raises BlockbookError naming the line for broken YAML, tags, anchors, aliases, duplicate
    keys, and documents too large or too deep to be a specification.
    """
    if len(text) > SIZE_LIMIT:
        raise BlockbookError(f"this is over {SIZE_LIMIT:,} characters long, far more than a block needs")
    try:
        _refuse_what_can_grow(text)
        loader = _PlainLoader(text)
        node = loader.get_single_node()
        if node is None:
            return Document(None, None)
        _refuse_duplicate_keys(node)
        return Document(loader.construct_document(node), node, tuple(text.splitlines()))
    except yaml.MarkedYAMLError as error:
        raise BlockbookError(_refusal(text, error.problem_mark or error.context_mark)) from None
    except yaml.reader.ReaderError as error:
        line = text.encode("utf-8", "replace")[: error.position].count(b"\n") + 1
        raise BlockbookError(
            f"line {line}: not valid YAML: {error.reason}. Save the file as plain UTF-8 text."
        ) from None
    except (yaml.YAMLError, ValueError) as error:
        first_line = str(error).splitlines()[0]
        raise BlockbookError(f"not valid YAML: {first_line}. Save the file as plain UTF-8 text.") from None


def _refusal(text: str, mark: Any) -> str:
    """What is wrong with a text that a parser could read up to a mark."""
    if mark is None:
        return f"not valid YAML. {_CHECK}"
    if slip := slip_in(text, mark.line + 1, _read_over_lines(text)):
        return f"line {slip.line}: {slip.said}"
    return f"line {mark.line + 1}, column {mark.column + 1}: not valid YAML, here or in the line above. {_CHECK}"


def _read_over_lines(text: str) -> Iterator[Extent]:
    """Values over several lines, as far as a parser can read; not those that > or | begin."""
    try:
        for event in yaml.parse(text, Loader=_PlainLoader):
            begin, end = event.start_mark, event.end_mark
            is_text = isinstance(event, yaml.ScalarEvent) and event.style not in (">", "|")
            if is_text and begin and end and begin.line < end.line:
                yield Extent(begin.line, begin.column, end.line, end.column)
    except yaml.YAMLError:
        return


_CHECK = "Check indentation (spaces, no tabs), colons with a space behind, brackets and quotes."


def _refuse_what_can_grow(text: str) -> None:
    depth = values = 0
    for event in yaml.parse(text, Loader=_PlainLoader):
        line = (event.start_mark.line if event.start_mark else 0) + 1
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
            raise BlockbookError(
                f"line {line}: anchors (&) and aliases (*) are not used here. Write the value "
                "out; text that begins with such a sign stands in quotes."
            )
        if getattr(event, "tag", None):
            raise BlockbookError(
                f"line {line}: tags (!) are not used here. Write the plain value; text that "
                "begins with ! stands in quotes."
            )
        depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        if depth > DEPTH_LIMIT:
            raise BlockbookError(f"line {line}: nested more than {DEPTH_LIMIT} levels deep")
        values += isinstance(event, yaml.ScalarEvent)
        if values > VALUES_LIMIT:
            raise BlockbookError(f"line {line}: over {VALUES_LIMIT:,} values, far more than a block needs")
        if isinstance(event, yaml.ScalarEvent) and _ENDLESS_NUMBER.fullmatch(event.value):
            raise BlockbookError(f"line {line}: a number of {len(event.value):,} digits. Check what was typed.")


def _refuse_duplicate_keys(node: yaml.Node) -> None:
    if isinstance(node, yaml.SequenceNode):
        for item in node.value:
            _refuse_duplicate_keys(item)
    if isinstance(node, yaml.MappingNode):
        seen: set[str | float] = set()
        for key, value in node.value:
            line = key.start_mark.line + 1
            if not isinstance(key, yaml.ScalarNode):
                raise BlockbookError(f"line {line}: a field's name must be a single word or number")
            number = key.tag.endswith((":int", ":float"))
            name = float(key.value) if number else key.value
            if name in seen:
                hint = DECIMAL_HINT if number else ""
                raise BlockbookError(f'line {line}: "{key.value}" stands here twice. Keep one.{hint}')
            seen.add(name)
            _refuse_duplicate_keys(value)


class _PlainDumper(yaml.SafeDumper):
    """Writes what the loader reads back as the same: quotes go by the loader's plain scalars."""

    yaml_implicit_resolvers = _PlainLoader.yaml_implicit_resolvers

    def ignore_aliases(self, data: Any) -> bool:
        """The same date twice is written twice: the loader takes no aliases."""
        return True

    def increase_indent(self, flow: bool = False, indentless: bool = False) -> None:
        super().increase_indent(flow, False)


def dump_yaml(data: Any) -> str:
    """Plain data as YAML text: given order, short lists on one line."""
    return yaml.dump(
        data, Dumper=_PlainDumper, sort_keys=False, allow_unicode=True, width=100, default_flow_style=False
    )


def _represent_list(dumper: yaml.SafeDumper, values: Sequence[Any]) -> yaml.Node:
    flat = all(not isinstance(value, (list, dict)) for value in values)
    return dumper.represent_sequence("tag:yaml.org,2002:seq", values, flow_style=flat)


def _represent_float(dumper: yaml.SafeDumper, value: float) -> yaml.Node:
    if value == int(value):
        return dumper.represent_int(int(value))
    return dumper.represent_scalar("tag:yaml.org,2002:float", f"{Decimal(repr(value)):f}")


def _represent_date(dumper: yaml.SafeDumper, value: date) -> yaml.Node:
    return dumper.represent_str(value.isoformat())


def _represent_text(dumper: yaml.SafeDumper, text: str) -> yaml.Node:
    breaks = any(sign in text for sign in "\x85\u2028\u2029")  # only double quotes keep these
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style='"' if breaks else None)


_PlainDumper.add_representer(str, _represent_text)
_PlainDumper.add_representer(list, _represent_list)
_PlainDumper.add_representer(tuple, _represent_list)
_PlainDumper.add_representer(float, _represent_float)
_PlainDumper.add_representer(date, _represent_date)
