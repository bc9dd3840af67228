"""What was typed, as text: as it stands in the cell, and cleaned of what typing and programs leave in it."""

from __future__ import annotations

import unicodedata
from typing import Any


def as_typed(raw: Any) -> str:
    if raw is None or (isinstance(raw, str) and not clean(raw)):
        return ""
    return f"{raw:.15g}" if isinstance(raw, float) else str(raw)


def clean(typed: str) -> str:
    """The text in small letters, with ASCII digits, single blanks, one kind of dash, nothing invisible."""
    text = " ".join("".join(map(_clean_character, typed)).casefold().split())
    return text.lstrip("'’").strip() or text


def _clean_character(character: str) -> str:
    category = unicodedata.category(character)
    if category == "Nd":
        return str(unicodedata.decimal(character))
    if character == "\ufe0f":  # asks for a sign in colour
        return ""
    if category in ("Cf", "Pd") or character == "−":
        return "" if category == "Cf" else "-"
    if category == "No":
        # A raised 2 is a footnote or a square, not a digit of the number before it.
        is_fraction = unicodedata.decomposition(character).startswith("<fraction>")
        return f" {unicodedata.normalize('NFKC', character)}" if is_fraction else character
    return {"٫": ".", "،": ","}.get(character) or unicodedata.normalize("NFKC", character)
