"""The reading over arrays agrees with the reading cell by cell, lifter by lifter."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from blockbook.rehearsal.playing import Playing, invited, play
from blockbook.sheet.calculation import Calculation
from blockbook.training.simulated import POPULATIONS
from blockbook.workbook.assemble import BlockBook, assemble
from blockbook.workbook.steps import POSITION
from tests.load_decision.block import block

LIFTERS = 5


@pytest.mark.parametrize("coarse", [False, True])
def test_every_step_of_the_decision_is_the_same_for_each_lifter(coarse: bool) -> None:
    workbook = assemble(block(coarse, feeler=True))
    *_, played = play(workbook, invited(workbook.spec, POPULATIONS["sloppy reporter"], LIFTERS, 3))
    for lifter in range(LIFTERS):
        typed = {name: plain(values[lifter]) for name, values in played.typed.items()}
        assert differences(workbook, played, Calculation(workbook.book, typed), lifter) == []


def differences(workbook: BlockBook, played: Playing, alone: Calculation, lifter: int) -> list[Any]:
    found = []
    for week in workbook.weeks:
        for place in week:
            for line in place.session.lines:
                for name in POSITION:
                    cell = workbook.workings.cell(line, name)
                    one, many = alone.number(cell), plain(played.sheet.numbers(cell)[lifter])
                    if (one is None) != (many is None) or (one is not None and not np.isclose(one, many or 0)):
                        found.append((line.slot_key, line.week, name, one, many))
    return found


def plain(value: float) -> float | None:
    return None if math.isnan(value) else float(value)
