"""Which language a returned workbook speaks, for one that lost the manifest that says so."""

from __future__ import annotations

from collections.abc import Iterable

from blockbook.intake.found import as_text
from blockbook.intake.opening import Grid
from blockbook.languages import LANGUAGE_NAMES, parse_tag, say, speaking
from blockbook.spec.models import Specification
from blockbook.workbook.layout import RESERVE_COLUMNS, SESSION_INPUTS, WEEK_COLUMNS

_TELL = tuple(part.heading for part in (*WEEK_COLUMNS, *RESERVE_COLUMNS)) + tuple(part.label for part in SESSION_INPUTS)
"""Texts that stand on every week sheet, in English."""


def as_spoken(spec: Specification, grids: Iterable[Grid]) -> Specification:
    """The specification in the language of a workbook's sheets; as it is where they do not tell another."""
    own = parse_tag(spec.lifter.language or "en").language
    every = [" ".join(as_text(value).split()) for grid in grids for row in grid for value in row]
    counted = {language: sum(map(_texts(language).__contains__, every)) for language in LANGUAGE_NAMES}
    most = max(counted, key=counted.__getitem__)
    return in_language(spec, most) if counted[most] > counted[own] else spec


def in_language(spec: Specification, language: str | None) -> Specification:
    return spec.model_copy(update={"lifter": spec.lifter.model_copy(update={"language": language})})


def _texts(language: str) -> frozenset[str]:
    with speaking(language):
        return frozenset(filter(None, map(say, _TELL)))
