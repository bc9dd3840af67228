"""Language tags such as de-AT (BCP 47: a language, perhaps a region), and what follows from the region."""

from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import dataclass
from functools import cache, cached_property
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from babel import Locale

LANGUAGE_NAMES = {"en": "English", "de": "German", "es": "Spanish"}
"""The languages there are. Each but English has a catalogue beside this file."""

_TAG = re.compile(r"([A-Za-z]{2,3})(?:[-_]([A-Za-z]{2}|[0-9]{3}))?")

_LETTER = frozenset(
    ("BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE")
)  # fmt: skip
"""Territories that print on US Letter; all others on A4 (Unicode CLDR 48.2, supplemental/measurementData.json)."""

Paper = Literal["A4", "Letter"]


@dataclass(frozen=True)
class Tag:
    """language: of the catalogue to use; region: a territory, or "" where none is named."""

    language: str
    region: str = ""

    def __str__(self) -> str:
        return f"{self.language}-{self.region}" if self.region else self.language

    @property
    def paper(self) -> Paper | None:
        """What is printed on there; None where no region is named."""
        return None if not self.region else "Letter" if self.region in _LETTER else "A4"

    @cached_property
    def decimal_mark(self) -> str:
        """ "." or ",", as the region writes numbers (CLDR); of a language alone, as its main region does."""
        if not self.region and self.language == "en":
            return "."
        from babel.numbers import get_decimal_symbol

        return "," if get_decimal_symbol(self.locale) == "," else "."

    @cached_property
    def locale(self) -> Locale:
        """What CLDR knows of it; of the language alone where it knows nothing of the region."""
        from babel import Locale, UnknownLocaleError

        try:
            return Locale(self.language, self.region or None)
        except UnknownLocaleError:
            return Locale(self.language)


ENGLISH = Tag("en")


@cache
def parse_tag(text: str) -> Tag:
    """The tag of a text such as "de-AT", in whatever case. Raises ValueError, naming the languages there are."""
    found = _TAG.fullmatch(text)
    if not found or found[1].lower() not in LANGUAGE_NAMES:
        known = ", ".join(f"{language} ({name})" for language, name in LANGUAGE_NAMES.items())
        raise ValueError(f"should be one of {known}, with or without a region such as de-AT or en-US")
    tag = Tag(found[1].lower(), (found[2] or "").upper())
    return ENGLISH if tag == ENGLISH else tag


def nearest_tag(text: str) -> Tag | None:
    """The same of any tag: of a variant such as es-latam the language alone; None for a language there is not."""
    for known in (text, text.partition("-")[0]):
        with suppress(ValueError):
            return parse_tag(known)
    return None
