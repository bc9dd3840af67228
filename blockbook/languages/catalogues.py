"""The catalogues: one .po file a language, English as its msgid. Read when first asked for."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib.resources import files


@cache
def catalogue(language: str) -> Mapping[str, str]:
    """English text -> the same in a language; none for English."""
    if language == "en":
        return {}
    from babel.messages.pofile import read_po

    with (files("blockbook.languages") / f"{language}.po").open("rb") as file:
        return {str(message.id): str(message.string) for message in read_po(file) if message.id}
