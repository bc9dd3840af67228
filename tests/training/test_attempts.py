"""Attempts: against brute force, and what must hold whatever is believed."""

from __future__ import annotations

import itertools
import math
from statistics import NormalDist

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blockbook import BlockbookError, attempts, next_attempt
from blockbook.training.attempt_tables import AT_STAKE, OPENER_CHANCE, TECHNICAL_MISS, attempt_plan, attempt_table
from blockbook.training.attempts import PLANS, chance_of
from tests.meets.simulated import bombed_out_and_total

STEP = 10
"""A coarse increment, so that every way through a meet can be tried."""


def expected(ways: dict[tuple[bool, ...], float], mean: float, sd: float) -> float:
    """Expected best lift plus what is at stake, where `ways` says the next weight after good (True) or missed.

    Played out over every outcome: how strong the lifter is today by equal shares of the normal, and
    which of the three attempts would fail on technique.
    """
    normal, shares = NormalDist(mean, sd), 1_000
    total = 0.0
    todays = [normal.inv_cdf((i + 0.5) / shares) for i in range(shares)]
    for slips in itertools.product((False, True), repeat=3):
        likely = math.prod(TECHNICAL_MISS if slip else 1 - TECHNICAL_MISS for slip in slips)
        for today in todays:
            best = 0.0
            so_far: tuple[bool, ...] = ()
            for slip in slips:
                weight = ways[so_far]
                good = today >= weight and not slip
                best = weight if good else best
                so_far = (*so_far, good)
            total += likely / shares * (best + AT_STAKE * mean if best else 0)
    return total


def test_no_other_way_through_the_three_attempts_has_a_greater_expected_total() -> None:
    """Brute force: every rule that says the next weights after a good opener; a missed weight is taken again."""
    mean, sd = 200, 12
    weights = [170, 180, 190, 200, 210]
    opener = next_attempt(mean, sd, (), STEP)
    ours: dict[tuple[bool, ...], float] = {(): opener}
    for first in (True, False):
        ours[first,] = next_attempt(mean, sd, [(opener, first)], STEP)
        for second in (True, False):
            ours[first, second] = next_attempt(mean, sd, [(opener, first), (ours[first,], second)], STEP)
    best = expected(ours, mean, sd)
    more = [
        expected({**ours, (True,): second, (True, True): third, (True, False): second}, mean, sd) - best
        for second, third in itertools.product(weights, repeat=2)
        if opener <= second <= third
    ]
    assert len(more) > 10
    assert max(more) <= 0.02


def test_no_other_opener_that_is_sure_enough_has_a_greater_expected_total() -> None:
    mean, sd = 200, 12
    values = {}
    for opener in range(150, 190, STEP):
        ways: dict[tuple[bool, ...], float] = {(): opener}
        for first in (True, False):
            ways[first,] = next_attempt(mean, sd, [(opener, first)], STEP)
            for second in (True, False):
                ways[first, second] = next_attempt(mean, sd, [(opener, first), (ways[first,], second)], STEP)
        if 1 - NormalDist(mean, sd).cdf(opener) >= OPENER_CHANCE:
            values[opener] = expected(ways, mean, sd)
    assert len(values) >= 3
    assert max(values, key=lambda opener: values[opener]) == attempts(mean, sd, STEP)[0]


def test_an_example() -> None:
    """A believed maximum of 200 kg, give or take 7: an invented lifter."""
    assert attempts(200, 7) == (177.5, 192.5, 200)
    assert next_attempt(200, 7, [(177.5, False)]) == 177.5
    assert next_attempt(200, 7, [(177.5, True), (192.5, False)]) == 192.5
    assert attempt_plan(200, 7, "safe") < attempt_plan(200, 7, "planned") < attempt_plan(200, 7, "reach")


@settings(max_examples=60, deadline=None)
@given(
    st.floats(30, 450),
    st.floats(0, 0.1),
    st.sampled_from([2.5, 5, 1, 0.5]),
    st.sampled_from(list(PLANS)),
    st.lists(st.booleans(), min_size=2, max_size=2),
)
def test_weights_are_multiples_and_never_go_down(
    mean: float, share: float, increment: float, plan: str, good: list[bool]
) -> None:
    sd = share * mean
    results: list[tuple[float, bool]] = []
    for outcome in [*good, True]:
        weight = next_attempt(mean, sd, results, increment, plan)
        assert weight / increment == pytest.approx(round(weight / increment))
        if results:
            last, lifted = results[-1]
            assert weight > last if lifted else weight == last
        results.append((weight, outcome))
    if sd:
        assert 1 - NormalDist(mean, sd).cdf(results[0][0]) >= OPENER_CHANCE


def test_a_weight_nobody_planned_is_taken_as_it_is() -> None:
    assert next_attempt(200, 7, [(181, False)]) == 181
    assert next_attempt(200, 7, [(181, True)]) % 2.5 == 0
    assert next_attempt(200, 7, [(400, True)]) == 402.5
    assert next_attempt(200, 7, [(20, True)]) > 100


def test_a_missed_weight_is_taken_again_however_much_is_believed() -> None:
    assert next_attempt(200, 7, [(90, False)]) == 90
    assert next_attempt(200, 7, [(90, False), (92.5, False)]) == 92.5


@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize(("mean", "sd"), [(200, 7), (150, 9), (147.3, 8.1), (60, 5.5)])
def test_after_a_missed_opener_was_taken_again_the_third_is_what_was_planned_as_second(
    mean: float, sd: float, plan: str
) -> None:
    opener, second, third = attempt_plan(mean, sd, plan)
    late = next_attempt(mean, sd, [(opener, False), (opener, True)], plan=plan)
    assert late == second < third


def test_after_a_missed_opener_a_heavier_one_counts_as_the_opener() -> None:
    as_opener = next_attempt(200, 7, [(182.5, True)])
    assert next_attempt(200, 7, [(177.5, False), (182.5, True)]) == as_opener


def test_a_good_lift_raises_the_chance_of_the_next_weight() -> None:
    table = attempt_table(200, 7)
    alone, after = (chance_of.value(200, best, table.weights, table.chances) for best in (0, 195))
    assert isinstance(alone, float)
    assert isinstance(after, float)
    assert alone == pytest.approx(0.5)
    assert after == pytest.approx(0.5 / NormalDist().cdf(5 / 7))


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: attempts(0, 5), "mean 0"),
        (lambda: attempts(200, -1), "sd -1"),
        (lambda: attempts(200, 90), "a third of the mean"),
        (lambda: attempts(200, float("nan")), "sd nan"),
        (lambda: attempts(200, 5, 0), "increment 0"),
        (lambda: attempts(200, 60, 0.1), "too fine"),
        (lambda: attempts(10, 3, 10), "this unsure"),
        (lambda: next_attempt(200, 5, [(190, True), (180, True)]), "never go down"),
        (lambda: next_attempt(200, 5, [(180, True)] * 3), "no next attempt"),
        (lambda: next_attempt(200, 5, [], plan="brave"), "safe, planned, reach"),
    ],
)
def test_what_makes_no_plan_is_said(call: object, said: str) -> None:
    assert callable(call)
    with pytest.raises(BlockbookError, match=said):
        call()


def test_more_is_lifted_than_by_fixed_shares_and_no_more_meets_are_lost() -> None:
    """A small run of `python -m tests.meets`: same lifters, same days, same slips of technique."""
    (bombed, total), (bombed_fixed, total_fixed) = bombed_out_and_total(seed=11, lifters=40, meets=5, spread=0.04)
    assert total > total_fixed
    assert bombed <= bombed_fixed


@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize("steps", [-10, -3, 1, 4, 9])
@pytest.mark.parametrize(("mean", "sd"), [(150.0, 7.5), (92.6, 4.1), (203.7, 10.2), (60.0, 5.5)])
def test_a_table_moved_by_whole_steps_is_the_one_decided_anew_but_for_the_stake(
    mean: float, sd: float, steps: int, plan: str
) -> None:
    """The Meet sheet of a block moves its tables: within a step of new ones, the opener's chance as it was."""
    moved = steps * 2.5
    before, anew = attempt_table(mean, sd, plan), attempt_table(mean + moved, sd, plan)
    assert abs(anew.opener - (before.opener + moved)) <= 2.5
    mean_of_plan = mean + moved + PLANS[plan if plan != "reach" else "planned"] * sd
    assert 1 - NormalDist(mean_of_plan, sd).cdf(before.opener + moved) >= OPENER_CHANCE
    rows = {weight: row for row, weight in enumerate(anew.weights)}
    for name in ("after_good", "above"):
        for weight, attempt in zip(before.weights, getattr(before, name), strict=True):
            row = rows.get(weight + moved)
            if row is not None and anew.chances[row] > 0.01:
                assert abs(getattr(anew, name)[row] - (attempt + moved)) <= 2.5
