"""Which language is spoken, and texts in it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from blockbook.languages import catalogues
from blockbook.languages.tags import ENGLISH, Tag, parse_tag

_SPOKEN: ContextVar[Tag] = ContextVar("spoken", default=ENGLISH)

spoken_tag = _SPOKEN.get
"""The tag of the language that is spoken now; English unless `speaking` says otherwise."""


@contextmanager
def speaking(tag: str | Tag | None) -> Iterator[None]:
    """Speak a language, in one thread and until the end of the block. None: English."""
    token = _SPOKEN.set(tag if isinstance(tag, Tag) else parse_tag(tag) if tag else ENGLISH)
    try:
        yield
    finally:
        _SPOKEN.reset(token)


def say(text: str, **values: object) -> str:
    """A whole text in the language spoken, its {places} filled. What has no translation stays English.

    Without values the {places} are left, for whoever fills them.
    """
    tag = _SPOKEN.get()
    said = text if tag.language == "en" else catalogues.catalogue(tag.language).get(text, text)
    return said.format(**values) if values else said


def number_text(number: float, form: str = "g") -> str:
    """A number in a text, with the decimal mark of the region; form: as for `format`."""
    return f"{number:{form}}".replace(".", _SPOKEN.get().decimal_mark)
