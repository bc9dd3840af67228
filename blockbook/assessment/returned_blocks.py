"""Several returned blocks: whose they are, which is the latest, and what the coach corrected in each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

from blockbook.assessment.coach_word import NOTHING_SAID, CoachWord, read_answers, read_word
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


@dataclass(frozen=True)
class UnderReview:
    """A lifter's blocks in order of date. shown: as they were before corrections were accepted, if any were."""

    logs: tuple[BlockLog, ...]
    shown: tuple[BlockLog, ...] = ()

    @property
    def earlier(self) -> tuple[BlockLog, ...]:
        return self.logs[:-1]

    @property
    def log(self) -> BlockLog:
        return self.logs[-1]


def under_review(
    logs: Sequence[BlockLog],
    review: Path,
    paths: Sequence[str | Path],
    spec: Specification | None,
    prefer: str | Path | None,
) -> tuple[UnderReview, CoachWord]:
    """The blocks read again with the corrections that the coach accepted for each, and the word on the latest.

    Raises BlockbookError where the review was made with other blocks before the latest: it showed other numbers.
    """
    *earlier, latest = logs
    word = read_word(review, latest.digest, latest.spec.block.unit)
    if set(word.earlier) != {log.digest for log in earlier}:
        raise BlockbookError(
            f"{review}: was made with {len(word.earlier)} earlier blocks of the lifter; now there are {len(earlier)}, "
            "or others. Name the same files as for the review, or make the review anew and type your word again."
        )
    result, shown, corrected, wrong = [], [], False, dict[str, None]()
    for log in logs:
        try:
            said = read_answers(review, log.digest)
        except BlockbookError as error:  # told together with what is wrong on the sheet Review
            said, wrong[str(error)] = NOTHING_SAID, None
        again = read_files(paths, spec, prefer, said.accepted)[0] if said.accepted else [log]
        result.append(next(each for each in again if each.digest == log.digest).settled(said.settled))
        shown.append(log.settled(said.settled))
        corrected = corrected or bool(said.accepted)
    word = replace(word, on_findings=tuple(wrong))
    return UnderReview(tuple(result), tuple(shown) if corrected else ()), word


def _in_order(blocks: list[BlockLog]) -> list[BlockLog]:
    ordered = sorted(blocks, key=lambda log: log.spec.block.start)
    for one, other in pairwise(ordered):
        if one.spec.block.start == other.spec.block.start:
            raise BlockbookError(
                f"{one.file} and {other.file}: two blocks of {one.spec.lifter.name} that begin on "
                f"{one.spec.block.start}: {one.spec.block.title} and {other.spec.block.title}. Leave one out."
            )
    return ordered
