"""How many lines a text takes in a column, so that a row is as high as what stands in it."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import Any

_LETTERS = 1.12
"""Letters of a text that fit into a unit of a column's width, that of a digit; somewhat fewer than are usual."""
_LINE = 15.0
"""Points that a line of 11 points takes."""


def lines(text: Any, width: float) -> int:
    """Lines that a text takes in a column of this width, words whole where they fit; 1 for all else."""
    if not isinstance(text, str):
        return 1
    letters = max(1, int(_LETTERS * width))
    return max(1, sum(max(1, len(wrap(part, letters))) for part in text.split("\n")))


def height(texts: Sequence[tuple[Any, float]], least: int = 1) -> float:
    """Of a row with these texts in columns of these widths, in points."""
    return _LINE * max(least, *(lines(text, width) for text, width in texts)) + 1


def pixels(widths: Sequence[float]) -> int:
    """How wide columns are together, on a screen: a character takes 7, the air of a column 5."""
    return sum(int(7 * width + 5) for width in widths)
