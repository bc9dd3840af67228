"""The way up to a load, as a coach would write it."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockbook.spec.models import Equipment
from blockbook.training import meet_warm_up
from blockbook.training.loading import Ladder, ladder, looked_up
from blockbook.training.warm_up import REPS, WAYS, warm_up
from tests.samples import template_spec


def _plates(equipment: Equipment) -> Ladder:
    return looked_up(ladder("barbell", equipment))


KG, LB = (_plates(template_spec("strength", unit).equipment) for unit in ("kg", "lb"))
"""A bar of 20 kg and plates down to 1.25 kg; a bar of 45 lb and plates down to 2.5 lb."""

LIGHT_BAR = _plates(Equipment(bar=15, plates={20: 2, 10: 1, 5: 1, 2.5: 1, 1.25: 1}))
BIG_PLATES_ALONE = _plates(Equipment(bar=20, plates={20: 6, 10: 1}))


def steps(target: float, plates: Ladder) -> list[tuple[float, int]]:
    """Load and reps of each step."""
    said = str(warm_up.value(target, plates))
    pairs = (step.split(" x ") for step in said.removeprefix("Warm-up: ").split(", ") if step)
    return [(float(load), int(reps)) for load, reps in pairs]


@pytest.mark.parametrize(
    ("target", "said"),
    [
        (300, "Warm-up: 20 x 8, 90 x 5, 140 x 3, 185 x 2, 227.5 x 1, 262.5 x 1"),
        (120, "Warm-up: 20 x 8, 47.5 x 5, 67.5 x 3, 87.5 x 2, 102.5 x 1"),
        (80, "Warm-up: 20 x 8, 40 x 5, 52.5 x 3, 65 x 2"),
        (52.5, "Warm-up: 20 x 8, 30 x 5, 40 x 3"),
        (40, "Warm-up: 20 x 8, 30 x 5"),
        (30, "Warm-up: 20 x 8"),  # not 20 and 22.5
        (25, ""),
        (20, ""),
        ("", ""),
        ("work up", ""),
    ],
)
def test_the_way_up_is_made_from_the_plates(target: float | str, said: str) -> None:
    assert warm_up.value(target, KG) == said


@pytest.mark.parametrize(("plates", "heaviest"), [(KG, 300), (LB, 660), (LIGHT_BAR, 160), (BIG_PLATES_ALONE, 280)])
def test_steps_are_few_go_up_and_end_well_below_the_set(plates: Ladder, heaviest: int) -> None:
    bar, loads = plates[1][0], plates[1]
    for target in (load for load in loads if load <= heaviest):
        made = steps(target, plates)
        if target < 1.3 * bar:
            assert made == []
            continue
        weights, reps = zip(*made, strict=True)
        assert set(weights) <= set(loads)
        assert weights[0] == bar
        assert reps[0] == REPS[0]
        assert list(reps) == sorted(reps, reverse=True)
        assert len(made) <= (2 if target < 2.5 * bar else 3 if target < 4 * bar else 6)
        assert all(lighter < heavier for lighter, heavier in pairwise(weights))
        assert weights[-1] <= 0.9 * target


@pytest.mark.parametrize(("plates", "least", "most"), [(KG, 10, 75), (LB, 15, 160)])
def test_no_jump_is_too_small_to_be_worth_it_or_a_third_of_the_load(plates: Ladder, least: int, most: int) -> None:
    for target in (load for load in plates[1] if 2 * plates[1][0] <= load <= 300 * (1 if plates is KG else 2.2)):
        way = [load for load, _ in steps(target, plates)] + [target]
        jumps = [heavier - lighter for lighter, heavier in pairwise(way)]
        assert least <= min(jumps), (target, way)
        assert max(jumps) <= most, (target, way)
        assert max(jumps[1:]) <= target / 3, (target, way)


def test_ways_at_a_meet_take_a_step_more_than_before_work_sets() -> None:
    at_meet = dict(meet_warm_up.WAYS)
    assert all(len(at_meet.get(bars, ())) >= min(len(shares) + 1, 5) for bars, shares in WAYS if bars in at_meet)
    for way in (*WAYS, *meet_warm_up.WAYS):
        assert list(way[1]) == sorted(way[1])
        assert len(way[1]) < len(REPS) <= len(meet_warm_up.MINUTES)


def test_rows_of_a_way_stand_at_the_end() -> None:
    for number, (_, shares) in enumerate(meet_warm_up.WAYS):
        column = [row.shares[number] for row in meet_warm_up.rows()]
        assert column == [meet_warm_up.NO_STEP] * (5 - len(shares)) + [0, *shares]


# Plates of a bar


POUNDS = Equipment(bar=45, plates={45: 5, 35: 1, 25: 1, 10: 2, 5: 1, 2.5: 1})


def test_a_little_more_is_a_small_plate_more() -> None:
    sides = {rung.load: rung.per_side for rung in ladder("barbell", POUNDS)}
    assert (sides[245], sides[255]) == ((45, 45, 10), (45, 45, 10, 5))  # not 45, 35, 25: the bar stays as it is loaded


def test_many_small_plates_are_not_hung_where_two_do() -> None:
    sides = {rung.load: rung.per_side for rung in ladder("barbell", Equipment(bar=20, plates={20: 1, 15: 2, 2.5: 4}))}
    assert sides[80] == (15, 15)


@given(st.dictionaries(st.sampled_from([0.5, 1.25, 2.5, 5, 10, 15, 20, 25]), st.integers(0, 3), min_size=1))
def test_no_bar_takes_more_plates_than_there_are(plates: dict[float, int]) -> None:
    for rung in ladder("barbell", Equipment(bar=20, plates=plates)):
        assert 20 + 2 * sum(rung.per_side) == pytest.approx(rung.load)
        assert all(rung.per_side.count(plate) <= plates[plate] for plate in rung.per_side)
