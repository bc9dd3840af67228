"""The way up to a load, as a coach would write it."""

from __future__ import annotations

import pytest

from blockbook.training.loading import ladder, looked_up
from blockbook.training.warm_up import STEPS, warm_up
from tests.samples import template_spec

PLATES = looked_up(ladder("barbell", template_spec("strength").equipment))
"""A bar of 20 kg and plates down to 1.25 kg."""


@pytest.mark.parametrize(
    ("target", "said"),
    [
        (120, "Warm-up: 20 x 8, 47.5 x 5, 65 x 3, 82.5 x 2, 95 x 1"),
        (52.5, "Warm-up: 20 x 8, 27.5 x 3, 35 x 2, 40 x 1"),  # 40 % would be no more than the bar
        (25, "Warm-up: 20 x 8"),
        (20, ""),
        ("", ""),
        ("work up", ""),
    ],
)
def test_the_way_up_is_made_from_the_plates(target: float | str, said: str) -> None:
    assert warm_up.value(target, PLATES) == said


def test_every_step_can_be_made_and_is_lighter_than_the_set() -> None:
    loads = PLATES[1]
    for target in range(21, 200):
        said = str(warm_up.value(target, PLATES)).removeprefix("Warm-up: ").split(", ")
        steps = [float(step.split(" x ")[0]) for step in said]
        assert steps == sorted(set(steps))
        assert set(steps) <= set(loads)
        assert steps[-1] < target
        assert len(steps) < len(STEPS)
