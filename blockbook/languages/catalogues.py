"""The catalogues: one .po file a language, English as its msgid. Read when first asked for."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib.resources import files

from blockbook.languages.tags import LANGUAGE_NAMES


@cache
def catalogue(language: str) -> Mapping[str, str]:
    """English text -> the same in a language; none for English."""
    if language == "en":
        return {}
    from babel.messages.pofile import read_po

    with (files("blockbook.languages") / f"{language}.po").open("rb") as file:
        return {str(message.id): str(message.string) for message in read_po(file) if message.id}


@cache
def every_wording(text: str) -> frozenset[str]:
    """A text in all languages, for finding it again in a file of any."""
    return frozenset((text, *(catalogue(language).get(text, text) for language in LANGUAGE_NAMES)))
