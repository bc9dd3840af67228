"""The small block, ending in a meet: squat and bench are trained in it, the deadlift is not. All of it is invented."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from blockbook.intake.log import BlockLog
from blockbook.intake.reading import read_workbook
from blockbook.spec.models import Specification
from blockbook.workbook.write import block_bytes
from tests.intake.small_block import followed, spec_from

WITH_A_DEADLIFT = ("back squat: 120,", "back squat: 120, deadlift: 150,")
MEET_DAY = ("  weeks: 2\n", "  weeks: 2\n  meet: 2027-01-18\n")

LIFTED: dict[str, Any] = {
    "meet.body_weight": 69.4,
    "meet.squat.1.mark": "good",
    "meet.squat.2.weight": 110,
    "meet.squat.2.mark": "miss",
    "meet.squat.3.weight": "110 kg",
    "meet.squat.3.mark": "g",
    "meet.bench.1.weight": "165 lb",
    "meet.bench.1.mark": "three whites",
    "meet.goal.wanted": 300,
}


@cache
def meet_spec(*changes: tuple[str, str]) -> Specification:
    return spec_from(WITH_A_DEADLIFT, MEET_DAY, *changes)


@cache
def logged() -> Mapping[str, Any]:
    """Every set of the block, a little easier than planned."""
    return followed(meet_spec(), lambda _place, _planned: -0.5)


def meet_file(folder: Path, typed: Mapping[str, Any], name: str = "returned.xlsx") -> Path:
    path = folder / name
    path.write_bytes(block_bytes(meet_spec(), {**logged(), **typed}))
    return path


def meet_log(folder: Path, typed: Mapping[str, Any]) -> BlockLog:
    return read_workbook(meet_file(folder, typed))
