"""The demonstration's lifter follows the sheet: every load typed is the load the sheet asked for."""

from __future__ import annotations

import pytest

from blockbook.sheet.calculation import Calculation
from blockbook.workbook.assemble import assemble
from blockbook.workbook.layout import input_name
from tests.samples import TEMPLATES, template_spec, typed


@pytest.mark.parametrize("name", TEMPLATES)
def test_the_loads_typed_are_the_targets_of_the_finished_sheet(name: str) -> None:
    inputs = typed(name, "kg", "filled")
    workbook = assemble(template_spec(name))
    calculation = Calculation(workbook.book, inputs)
    compared = 0
    for week in workbook.weeks:
        for session in week:
            for place in session.lines:
                for planned in place.line.sets:
                    target = calculation.number(place.cell("target", planned.number))
                    assert inputs.get(input_name(planned.key, "load")) == target
                    compared += target is not None
    assert compared > 100
