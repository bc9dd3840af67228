"""What a typed cell reaches: a program walks through all of it, changed or not, before the next set."""

from __future__ import annotations

import pytest

from blockbook.workbook.assemble import assemble
from tests.bench.recalculation import dependants, reach
from tests.samples import template_spec


@pytest.mark.parametrize("column", ["load", "rpe"])
def test_a_load_or_effort_decides_nothing_in_sessions_that_share_no_more_than_an_exercise(column: str) -> None:
    workbook = assemble(template_spec("strength"))
    squat, deadlift = (workbook.weeks[0][number].session for number in (0, 2))
    assert {line.exercise.name for line in squat.lines} & {line.exercise.name for line in deadlift.lines}
    depends = dependants(workbook.book)
    typed = [workbook.book.inputs[f"{planned.key}/{column}"] for line in squat.lines for planned in line.sets]
    later = [place.session for week in workbook.weeks[1:] for place in week if place.session.name == deadlift.name]
    decided = {workbook.workings.cell(line, "planned") for session in later for line in session.lines}
    assert typed
    assert decided
    assert not decided & set().union(*(reach(depends, cell) for cell in typed))
