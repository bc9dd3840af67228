"""Which exercise was done in place of the planned one, by what was typed."""

from __future__ import annotations

from collections.abc import Mapping

from rapidfuzz import fuzz

_ENOUGH = 4
"""Letters of a part of a name that may tell it: "goblet"."""

_ALIKE = 80
"""Likeness in percent from which a name is taken for a stand-in's."""


def _is_part(text: str, *names: str) -> bool:
    return any(f" {text} " in f" {name.casefold()} " for name in names)


def stand_in_meant(typed: str, said: Mapping[str, str]) -> tuple[str | None, bool]:
    """The stand-in that a text means, and whether it had to be understood; None for another exercise.

    said: each stand-in's name, and the same as the list in the workbook has it.
    """
    text = " ".join(typed.casefold().split())
    for name, shown in said.items():
        if text in (shown.casefold(), name.casefold()):
            return name, text != shown.casefold()
    words = [name for name, shown in said.items() if len(text) >= _ENOUGH and _is_part(text, name, shown)]
    if len(words) == 1:
        return words[0], True
    alike = {name: max(fuzz.ratio(text, each.casefold()) for each in (name, shown)) for name, shown in said.items()}
    best = sorted(alike, key=alike.__getitem__, reverse=True)
    clear = bool(best) and alike[best[0]] >= _ALIKE and (len(best) < 2 or alike[best[1]] < alike[best[0]])
    return (best[0], True) if clear else (None, False)
