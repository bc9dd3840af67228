"""Which exercise was done in place of the planned one, by what was typed."""

from __future__ import annotations

from collections.abc import Mapping

from rapidfuzz import fuzz

from blockbook.training.belief import NO_PAIN

SAYS_AS_PLANNED = NO_PAIN
"""What means that the planned exercise was done: the same as says that nothing hurts."""

_ALIKE = 80
"""Likeness in percent from which a name is taken for a stand-in's."""


def stand_in_meant(typed: str, said: Mapping[str, str]) -> tuple[str | None, bool]:
    """The stand-in that a text means, and whether it had to be understood; None for another exercise.

    said: each stand-in's name, and the same as the list in the workbook has it.
    """
    text = " ".join(typed.casefold().split())
    for name, shown in said.items():
        if text in (shown.casefold(), name.casefold()):
            return name, text != shown.casefold()
    alike = {name: max(fuzz.ratio(text, each.casefold()) for each in (name, shown)) for name, shown in said.items()}
    best = sorted(alike, key=alike.__getitem__, reverse=True)
    clear = bool(best) and alike[best[0]] >= _ALIKE and (len(best) < 2 or alike[best[1]] < alike[best[0]])
    return (best[0], True) if clear else (None, False)
