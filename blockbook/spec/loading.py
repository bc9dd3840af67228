"""Specification and season files: read with errors that name file, line and field."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import Any, Protocol, TypeVar

from pydantic import BaseModel, ValidationError

from blockbook.errors import BlockbookError
from blockbook.spec import schemas
from blockbook.spec.documents import SIZE_LIMIT, Location, parse_document
from blockbook.spec.messages import IS_MISSING, NOTHING_WRITTEN, SHOULD_BE_TEXT, NoSuchWeek
from blockbook.spec.mistakes import AS_WRITTEN, SpecMistakes
from blockbook.spec.models import ID_PATTERN, PAIR_PATTERN, TEMPO_PATTERN, Specification
from blockbook.spec.season import Season
from blockbook.spec.settings import Contact, Settings
from blockbook.spec.sound import mistakes_beside
from blockbook.spec.values import MOST_PERCENT, number_alone, percent_alone, unit_meant
from blockbook.spec.yaml_slips import CURLED_QUOTES

_FEW = 12
"""So many fields are named where one is wrong; of more, where they are listed."""

MOST_MISTAKES = 50
"""Mistakes that are told at once."""

Model = TypeVar("Model", bound=BaseModel)

_NOT_ONE: dict[type[BaseModel], str] = {
    Specification: "this is not a block specification. It needs block:, lifter:, equipment: and sessions:. "
    "`blockbook new` writes one to start from.",
    Season: "this is not a season. It needs from:, meets: and blocks:. `blockbook season` writes one to start from.",
    Settings: "these are no settings. They are fields such as coach: and unit:. `blockbook init` writes them.",
    Contact: "this is no contact. It holds mail: and perhaps language:, such as mail: robin@example.org",
}
_KNOWN_BY: tuple[tuple[type[BaseModel], frozenset[str], str], ...] = (
    (Specification, frozenset({"block", "sessions"}), "It is a block's specification: `blockbook build` takes it."),
    (Season, frozenset({"meets", "blocks"}), "It is a season: give it as --season to `new`, `next` or `review`."),
    (Settings, frozenset({"coach", "letter"}), "They are the settings of a practice."),
)
"""What a file is that was named for another, by two of its fields."""

_LISTED_IN: dict[type[BaseModel], str] = {
    Specification: "`blockbook schema` lists the fields.",
    Season: f"{schemas.SEASON} lists the fields.",
    Settings: f"{schemas.SETTINGS} lists the fields.",
    Contact: "there are mail and language.",
}


class Source(Protocol):
    """What was written, as plain data, and where each part of it stands: a text or a workbook."""

    @property
    def data(self) -> Any: ...

    def find(self, location: Location) -> tuple[Any, Location]:
        """The place (it sorts) of the deepest part of the location that was written, and that part."""

    @property
    def mistakes(self) -> Sequence[tuple[Any, str]]:
        """What was wrong already when it was read: a place and a message."""

    def is_told(self, place: Any, content: Any) -> bool:
        """Whether a mistake at a place, in what stands there, follows from one of those."""

    def told(self, place: Any, part: Location, message: str) -> str:
        """The mistake at a place, for people. A `Message` may be said in its own words."""

    def shown(self, content: Any) -> str:
        """What stands at a place, as it looks there."""


def load_spec(path: str | Path) -> Specification:
    """Read a block specification from a YAML file.

    Raises BlockbookError with one line a mistake: file, line, field, what is wrong and what
    would be right.
    """
    return parse_spec(_read_text(Path(path), "A specification"), str(path))


def load_season(path: str | Path) -> Season:
    """Read a season from a YAML file. Raises BlockbookError as `load_spec` does."""
    return parse_season(_read_text(Path(path), "A season"), str(path))


def load_settings(path: str | Path) -> Settings:
    """Read a practice's settings from a YAML file. Raises BlockbookError as `load_spec` does."""
    return parse_settings(_read_text(Path(path), "A settings file"), str(path))


def parse_settings(text: str, name: str = "settings") -> Settings:
    """The same from text; `name` stands for the file in errors."""
    return _parse(text, name, Settings)


def load_contact(path: str | Path) -> Contact:
    """Read how a lifter is reached. Raises BlockbookError as `load_spec` does."""
    return _parse(_read_text(Path(path), "A contact"), str(path), Contact)


def parse_spec(text: str, name: str = "specification") -> Specification:
    """The same from text; `name` stands for the file in errors."""
    return _parse(text, name, Specification)


def parse_season(text: str, name: str = "season") -> Season:
    return _parse(text, name, Season)


def _read_text(path: Path, what: str) -> str:
    try:
        if path.stat().st_size > 4 * SIZE_LIMIT:  # a character takes four bytes at most
            raise BlockbookError(f"{path}: is over {SIZE_LIMIT:,} characters long, far more than {what.lower()} needs.")
        return path.read_text("utf-8-sig")
    except OSError as error:
        raise BlockbookError(f"{path}: cannot be opened ({error.strerror}). Check name and folder.") from None
    except UnicodeDecodeError:
        raise BlockbookError(f"{path}: not a text file in UTF-8. {what} is YAML text: save it anew as UTF-8.") from None


_PLACEHOLDER = re.compile(r"^\$lifter$", re.MULTILINE)
_IS_A_TEMPLATE = "is a template as it is shipped, with parts to fill in. `blockbook new` makes a block of it."


def _parse(text: str, name: str, model: type[Model]) -> Model:
    try:
        document = parse_document(text)
    except BlockbookError as error:
        raise BlockbookError(f"{name}: {_IS_A_TEMPLATE if _PLACEHOLDER.search(text) else error}") from None
    if document.data is None and not any(field.is_required() for field in model.model_fields.values()):
        return model()
    if not isinstance(document.data, dict):
        raise BlockbookError(f"{name}: line 1: {_NOT_ONE[model]}")
    for other, fields, said in _KNOWN_BY:
        if other is not model and fields <= document.data.keys():
            raise BlockbookError(f"{name}: {_NOT_ONE[model]} {said}")
    return validated(document, name, model)


def validated(source: Source, name: str, model: type[Model]) -> Model:
    """The model of what was written, whatever it was written in; `name` stands for the file in errors.

    Raises BlockbookError with one line a mistake, in the order of their places.
    """
    found: list[tuple[Location, str, bool]] = []
    unseen, lists = 0, set[str]()
    try:
        made = model.model_validate(source.data, context=AS_WRITTEN)
        if not source.mistakes:
            return made
    except ValidationError as error:
        details = error.errors()[:MOST_MISTAKES]
        unseen = error.error_count() - len(details)
        found = list(_found(details, source, model))
        literal = [detail for detail in details if detail["type"] == "literal_error"]
        lists = {detail["ctx"]["expected"] for detail in literal if len(_words_of(detail)) > _LISTED}
    lines = dict.fromkeys(_lines(found, unseen, source, name))
    raise BlockbookError("\n".join(_listed_once(list(lines), lists)))


def _found(details: Sequence[Any], source: Source, model: type[BaseModel]) -> Iterator[tuple[Location, str, bool]]:
    """Each mistake: where, what, and whether something is written there."""
    for detail in details:
        cause = detail.get("ctx", {}).get("error")
        if isinstance(cause, SpecMistakes):
            yield from ((location, message, True) for location, message in cause.mistakes)
            return
        is_told = source.is_told(source.find(detail["loc"])[0], detail.get("input"))
        if not is_told and not _follows_from_another(detail, details, model):
            yield (
                detail["loc"],
                _plain(detail, model, source),
                detail["type"] not in ("missing", "extra_forbidden"),
            )
    if model is Specification:
        yield from ((location, message, True) for location, message in mistakes_beside(source.data))


def _lines(found: Sequence[tuple[Location, str, bool]], unseen: int, source: Source, name: str) -> list[str]:
    told = [(place, source.told(place, (), message)) for place, message in source.mistakes]
    shorter: list[tuple[Any, str]] = []
    for location, message, is_written in found:
        place, held = source.find(location)
        line = place, source.told(place, held if is_written else location, message)
        (shorter if isinstance(message, NoSuchWeek) else told).append(line)
    told = sorted([*told, *_as_one(shorter)], key=lambda pair: pair[0])
    said = [f"{name}: {text}" for _, text in told[:MOST_MISTAKES]]
    more = unseen + len(told) - len(said)
    return [*said, f"{name}: and {more:,} more mistakes."] if more else said


def _as_one(told: Sequence[tuple[Any, str]]) -> list[tuple[Any, str]]:
    """Mistakes that come of one number, as where a block was made shorter, as one line with all places."""
    if len(told) < _MANY_ALIKE:
        return list(told)
    (place, text), *others = sorted(told, key=lambda pair: pair[0])
    places = ", ".join(dict.fromkeys(other.partition(": ")[0] for _, other in others))
    return [(place, f"{text} The same in {len(others)} more places: {places}.")]


def _follows_from_another(detail: Any, details: Sequence[Any], model: type[BaseModel]) -> bool:
    """A list counted as too short only because an entry of it is wrong; a field missed that is there misspelt."""
    place = detail["loc"]
    if detail["type"] == "missing":
        beside = (other for other in details if other["type"] == "extra_forbidden" and other["loc"][:-1] == place[:-1])
        return any(_meant(other, model) == place[-1] for other in beside)
    return detail["type"] == "too_short" and any(
        other["loc"][: len(place)] == place and len(other["loc"]) > len(place) for other in details
    )


@cache
def _schema(model: type[BaseModel]) -> dict[str, Any]:
    return model.model_json_schema()


def _fields_at(model: type[BaseModel], location: Location) -> list[str]:
    """Names of the fields that can stand at a place, by the model's schema."""
    parts = [_schema(model)]
    for step in location:
        parts = [deeper for part in _alternatives(model, parts) for deeper in _below(part, step)]
    return sorted({name for part in _alternatives(model, parts) for name in part.get("properties", {})})


def _alternatives(model: type[BaseModel], parts: Sequence[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    for part in parts:
        if "$ref" in part:
            yield from _alternatives(model, [_schema(model)["$defs"][part["$ref"].rpartition("/")[2]]])
        yield from _alternatives(model, [*part.get("anyOf", ()), *part.get("allOf", ())])
        yield part


def _below(part: dict[str, Any], step: str | int) -> Iterator[dict[str, Any]]:
    for deeper in (part.get("properties", {}).get(step), part.get("items"), part.get("additionalProperties")):
        if isinstance(deeper, dict):
            yield deeper


_SAID_PLAINLY = {
    "missing": IS_MISSING,
    "dict_type": "should hold fields, each on a line of its own as name: value",
    "model_type": "should hold fields, each on a line of its own as name: value",
    "tuple_type": "should be a list, each entry beginning with a hyphen",
    "float_parsing": "should be a number such as 7.5",
    "float_type": "should be a number",
    "int_parsing": "should be a whole number",
    "int_type": "should be a whole number",
    "int_from_float": "should be a whole number",
    "bool_parsing": "should be true or false",
    "string_type": SHOULD_BE_TEXT,
}


_MANY_ALIKE = 4
"""So many mistakes that come of one number are told as one."""

_LISTED = 4
"""So many words are all told."""

_NEAR = 0.75
"""How alike a word is to the one that is offered for it alone where there are more."""

_PATTERNS = {
    TEMPO_PATTERN: "should be seconds down, pause and up with hyphens between, such as 3-1-1 (X: fast)",
    PAIR_PATTERN: "should be a short word of small letters and digits, the same for both, such as a",
    ID_PATTERN: "should be of small letters, digits and hyphens",
}


def _of_share(detail: Any) -> str:
    """What to write where a percent was written as a share of 1, as a spreadsheet holds it; "" elsewhere."""
    value = detail.get("input")
    if not _is_percent(detail["loc"]) or not isinstance(value, (int, float)) or not 0 < value <= MOST_PERCENT / 100:
        return ""
    least, meant = detail["ctx"]["ge"], 100 * value
    asked = f"{meant:g}" if meant >= least else f"{least:g} or more"
    return f"should be in percent, without the sign: {asked}"


def _is_percent(location: Location) -> bool:
    return bool({"percent", "drop"} & set(location))


_WEIGHTS = frozenset(
    {"body_weight", "load", "loads", "from_last_block", "bar", "collars", "lightest", "heaviest", "step"}
)
"""Names of fields that hold a weight."""


def _is_weight(location: Location) -> bool:
    """Whether what stands at a place is a weight, by the last of its names."""
    return next((step for step in reversed(location) if isinstance(step, str)), "") in _WEIGHTS


def _unit_of(data: Any) -> str | None:
    """The unit that a specification counts in; None where what it says is none, so that nothing is converted."""
    block = data.get("block") if isinstance(data, dict) else None
    said = block.get("unit", "kg") if isinstance(block, dict) else "kg"
    return unit_meant(said) if isinstance(said, str) else None


def _alone(text: str, location: Location, data: Any) -> str:
    """What to write for a number that stands with its sign or unit; "" for other text."""
    if _is_percent(location) and (said := percent_alone(text)):
        return said
    return number_alone(text, _unit_of(data), _is_weight(location))


def _plain(detail: Any, model: type[BaseModel], source: Source) -> str:
    kind, value = detail["type"], detail.get("input")
    if kind == "extra_forbidden":
        return _no_field(detail, model)
    said = _SAID_PLAINLY.get(kind) or _of_size(detail) or _PATTERNS.get(detail.get("ctx", {}).get("pattern", ""))
    if said is None:
        message = re.sub(r"^Value error, ", "", detail["msg"])
        said = message[0].lower() + message[1:].replace("Input should", "should")
        said = re.sub(r"^input should", "should", said)
    if value is None:
        return f"{said}; {NOTHING_WRITTEN}."
    if kind == "literal_error" and isinstance(value, str):
        known = _words_of(detail)
        near = _likely(value.casefold(), known)
        said = f"should be {near[0]}, perhaps" if near and len(known) > _LISTED else said
    if kind == "greater_than_equal":
        said = _of_share(detail) or said
    if isinstance(value, str) and kind in ("float_parsing", "int_parsing"):
        said = _alone(value, detail["loc"], source.data) or said
    if isinstance(value, str) and len(value) > _LONG:
        value = f"{value[:_LONG]}..."
    if isinstance(value, str) and value and value[0] in CURLED_QUOTES:
        said += ", without quotes: curled ones are part of the text"
    if kind in ("dict_type", "model_type") and 0 < len(known := _fields_at(model, detail["loc"])) <= _FEW:
        said = f"should hold fields, each as name: value. There are {', '.join(known)}"
        said += ". Take the hyphens or the square brackets away" if isinstance(value, (list, tuple)) else ""
    shown = "" if isinstance(value, (dict, list, tuple)) or kind == "missing" else f" (it says {source.shown(value)})"
    return f"{said}{shown}."


def _words_of(detail: Any) -> list[str]:
    """The words that a field can hold."""
    return re.findall(r"'([^']+)'", detail["ctx"]["expected"])


def _likely(said: str, known: Sequence[str]) -> list[str]:
    """The word that was perhaps meant, if any: nearly so spelt, or cut short, as quads and abs are."""
    beginning = said.removesuffix("s")
    cut_short = [word for word in known if len(beginning) > 1 and word.startswith(beginning)]
    return get_close_matches(said, known, n=1, cutoff=_NEAR) or (cut_short if len(cut_short) == 1 else [])


def _listed_once(lines: Sequence[str], lists: Collection[str]) -> Iterator[str]:
    """Lines in which a long list of words is told the first time only."""
    told: set[str] = set()
    for line in lines:
        known = next((each for each in lists if each in line), None)
        yield line.replace(known, "one of the same words") if known in told and known else line
        told |= {known} if known else set()


def _no_field(detail: Any, model: type[BaseModel]) -> str:
    """What is said of a name that no field has."""
    name, known = str(detail["loc"][-1]), _fields_at(model, detail["loc"][:-1])
    if (found := re.fullmatch(r"(\w+):(\S+)", name)) and found[1] in known:
        return f'a space is missing behind the colon: "{found[1]}: {found[2]}".'
    if name.casefold() in known:
        return f'is not a field here; names are in small letters: "{name.casefold()}:".'
    close = _meant(detail, model)
    few = f"there are {', '.join(known)}." if 0 < len(known) <= _FEW else _LISTED_IN[model]
    comma = " Text that holds a comma stands in quotes." if detail.get("input") is None else ""
    return f"is not a field here; check spelling and indentation; {f'did you mean {close}?' if close else few}{comma}"


def _meant(detail: Any, model: type[BaseModel]) -> str:
    """The field whose name a name that is none comes near; "" where there is no such."""
    known = _fields_at(model, detail["loc"][:-1])
    return next(iter(get_close_matches(str(detail["loc"][-1]).partition(":")[0].casefold(), known, n=1)), "")


def _of_size(detail: Any) -> str:
    """What is too long, too short or between two steps; "" for all else."""
    kind, limits, value = detail["type"], detail.get("ctx", {}), detail.get("input")
    if kind == "string_too_long" or (kind == "too_long" and isinstance(value, str)):
        return f"should be no longer than {limits['max_length']} characters, not {len(value)}"
    if kind == "string_too_short":
        return "should not be empty"
    if kind == "too_long":
        return f"should be {limits['max_length']} at most, not {len(value)}"
    if kind == "too_short":
        return "should not be empty: one at least is needed"
    return f"should be in steps of {limits['multiple_of']:g}" if kind == "multiple_of" else ""


_LONG = 60
"""As much of a text is shown."""
