"""Rows without keys: which row of the block each must be, by what its label says and the order of all.

The rows of a sheet and the rows of the block are two sequences. They are laid beside one another so that
the sum of likenesses is greatest and the order of both is kept, as in the alignment of two texts
(Needleman and Wunsch 1970); rows that were added or deleted stay without a partner.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NamedTuple

from rapidfuzz import fuzz

_TITLE_ALIKE = 70
"""Likeness in percent from which a title is taken for one of ours, retyped or shortened."""

_INPUT_ALIKE = 80
_LONG_ENOUGH = 4
"""Letters of a name that may be told inside another text."""


class ExpectedRow(NamedTuple):
    """A row of the block. label: what its label column shows; name: of the exercise or session, in its title;
    asked: reps and effort asked of a set, as text."""

    kind: Literal["title", "set", "input"]
    key: str
    label: str
    name: str = ""
    asked: tuple[str, str] = ("", "")


class Candidate(NamedTuple):
    """A row of a sheet. key: the one it still has, or ""."""

    number: int
    key: str
    label: str
    asked: tuple[str, str]


class Match(NamedTuple):
    """sure: it stands under a title of ours, and what is asked of the set, if there, is the same."""

    key: str
    sure: bool


def recover(candidates: Sequence[Candidate], expected: Sequence[ExpectedRow]) -> tuple[float, dict[int, Match]]:
    """How alike the rows are altogether; row number -> the key it must have, of the rows that have none."""
    rows = [row for row in candidates if row.label or row.key]
    likeness = [[_likeness(row, wanted) for wanted in expected] for row in rows]
    found: dict[int, Match] = {}
    titled = False
    pairs = _aligned(likeness)
    for i, j in pairs:
        wanted = expected[j]
        if wanted.kind == "title":
            titled = True
        elif not rows[i].key:
            whole = all(here in ("", there) for here, there in zip(rows[i].asked, wanted.asked, strict=True))
            found[rows[i].number] = Match(wanted.key, titled and whole)
    return sum(likeness[i][j] for i, j in pairs), found


def _likeness(row: Candidate, wanted: ExpectedRow) -> float:
    """0 for rows that cannot be the same; more, the more they have in common."""
    if row.key:
        return 10 if row.key == wanted.key else 0
    if wanted.kind == "set":
        if row.label.casefold() != wanted.label.casefold():
            return 0
        return 1 + sum(0.5 for here, there in zip(row.asked, wanted.asked, strict=True) if here == there)
    alike = fuzz.ratio(row.label.casefold(), wanted.label.casefold())
    if wanted.kind == "input":
        return 2 * alike / 100 if alike >= _INPUT_ALIKE else 0
    if len(wanted.name) >= _LONG_ENOUGH:
        alike = max(alike, 0.95 * fuzz.partial_ratio(wanted.name.casefold(), row.label.casefold()))
    return 3 * alike / 100 if alike >= _TITLE_ALIKE and len(row.label) > 2 else 0


def _aligned(likeness: Sequence[Sequence[float]]) -> list[tuple[int, int]]:
    """Pairs (row, expected row), both ascending, with the greatest sum of likeness."""
    columns = len(likeness[0]) if likeness else 0
    best = [[0.0] * (columns + 1)]
    for line in likeness:
        above, here = best[-1], [0.0]
        for j, alike in enumerate(line):
            here.append(max(above[j + 1], here[j], above[j] + alike if alike else 0.0))
        best.append(here)
    pairs = []
    i, j = len(likeness), columns
    while i and j:
        # Of equals the earliest rows are paired, so that what belongs together stays together.
        if best[i][j] == best[i][j - 1]:
            j -= 1
        elif best[i][j] == best[i - 1][j]:
            i -= 1
        else:
            i, j = i - 1, j - 1
            pairs.append((i, j))
    return pairs[::-1]
