"""Several returned blocks: whose they are, which is the latest, and what the coach corrected in each."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

from blockbook.assessment.coach_word import read_accepted
from blockbook.errors import BlockbookError
from blockbook.intake.log import BlockLog
from blockbook.intake.reading import read_files
from blockbook.spec.models import Specification


def by_lifter(logs: Sequence[BlockLog]) -> list[list[BlockLog]]:
    """Each lifter's blocks in order of date, lifters in the order given.

    Raises BlockbookError for two blocks of a lifter that begin on the same day.
    """
    found: dict[str, list[BlockLog]] = {}
    for log in logs:
        found.setdefault(log.spec.lifter.name.casefold(), []).append(log)
    return [_in_order(blocks) for blocks in found.values()]


def one_lifter(logs: Sequence[BlockLog]) -> list[BlockLog]:
    """The blocks of one lifter in order of date. Raises BlockbookError where they are of several, or of none."""
    every = by_lifter(logs)
    if not every:
        raise BlockbookError("no returned workbook was named, so there is no block to continue.")
    if len(every) > 1:
        names = "; ".join(f"{blocks[0].spec.lifter.name} ({blocks[0].file})" for blocks in every)
        raise BlockbookError(
            f"blocks of {len(every)} lifters where those of one are wanted: {names}. Name one's files."
        )
    return every[0]


def with_accepted(
    logs: Sequence[BlockLog],
    review: Path,
    paths: Sequence[str | Path],
    spec: Specification | None,
    prefer: str | Path | None,
) -> list[BlockLog]:
    """The blocks read again with the corrections that the coach accepted for each."""
    result = []
    for log in logs:
        accepted = read_accepted(review, log.digest)
        again = read_files(paths, spec, prefer, accepted)[0] if accepted else [log]
        result.append(next(each for each in again if each.digest == log.digest))
    return result


def _in_order(blocks: list[BlockLog]) -> list[BlockLog]:
    ordered = sorted(blocks, key=lambda log: log.spec.block.start)
    for one, other in pairwise(ordered):
        if one.spec.block.start == other.spec.block.start:
            raise BlockbookError(
                f"{one.file} and {other.file}: two blocks of {one.spec.lifter.name} that begin on "
                f"{one.spec.block.start}: {one.spec.block.title} and {other.spec.block.title}. Leave one out."
            )
    return ordered
