"""The signs for a deload, one by one and together."""

from __future__ import annotations

import pytest

from blockbook.spec.next_policy import NextPolicy
from blockbook.training.against_target import against_target
from blockbook.training.readiness import (
    Sign,
    deload_reason,
    effort_sign,
    load_sign,
    recovery_sign,
    strength_sign,
)

POLICY = NextPolicy()


@pytest.mark.parametrize(
    ("over", "agrees"),
    [
        ([0.6, 1.2], True),
        ([0.0, 0.6, 1.2], True),
        ([1.2, 0.6], False),
        ([0.4, 1.2], False),
        ([2.0], False),
        ([], False),
    ],
)
def test_effort_speaks_where_it_is_over_target_and_rising(over: list[float], agrees: bool) -> None:
    assert effort_sign(over, 0.5).agrees == agrees


@pytest.mark.parametrize(
    ("changes", "agrees"),
    [([-0.02, -0.02, 0.01], True), ([-0.02, 0.01], False), ([-0.001, -0.001, -0.001], False), ([], False)],
)
def test_strength_speaks_where_most_exercises_fell(changes: list[float], agrees: bool) -> None:
    assert strength_sign(changes, 0.005, POLICY).agrees == agrees


@pytest.mark.parametrize(
    ("monotony", "strain", "agrees", "known"),
    [
        ([1.0, 2.0], [900, 900], True, True),
        ([1.0, 1.2], [1000, 1300], True, True),
        ([1.0, 1.2], [1000, 1250], False, True),
        ([1.0, None], [1000, None], False, False),
        ([1.0], [1000], False, True),
        ([], [], False, False),
    ],
)
def test_load_speaks_by_monotony_or_by_a_rise_of_strain(
    monotony: list[float | None], strain: list[float | None], agrees: bool, known: bool
) -> None:
    sign = load_sign(monotony, strain, POLICY)
    assert (sign.agrees, sign.known) == (agrees, known)


@pytest.mark.parametrize(
    ("soreness", "sleep", "agrees"),
    [([7, 6], [6, 6.5], True), ([7, 6], [7.5], False), ([3], [5], False), ([], [5], False), ([8], [], False)],
)
def test_recovery_speaks_where_the_lifter_is_sore_and_short_of_sleep(
    soreness: list[float], sleep: list[float], agrees: bool
) -> None:
    assert recovery_sign(soreness, sleep, POLICY).agrees == agrees


def test_a_stated_number_of_signs_must_agree_and_each_is_told_with_its_figure() -> None:
    yes = recovery_sign([7], [6], POLICY)
    signs = [yes, effort_sign([0.6, 1.2], 0.5), Sign("Other", "", "", False, True, "")]
    assert deload_reason([yes], POLICY) == ""
    assert deload_reason(signs, NextPolicy(deload_signs=3)) == ""
    said = deload_reason(signs, POLICY)
    assert said.startswith("2 of 3 signs agree")
    assert "soreness and sleep: 7.0 of 10, 6.0 h" in said
    assert "0.6, then 1.2 over target" in said


@pytest.mark.parametrize(
    ("over", "said"),
    [
        ([-0.7], "0.7 under target"),
        ([0.04], "on target"),
        ([1.2, 2.1], "1.2, then 2.1 over target"),
        ([-0.3, 1.2], "0.3 under, then 1.2 over target"),
    ],
)
def test_an_effort_easier_than_asked_is_under_its_target(over: list[float], said: str) -> None:
    assert against_target(*over) == said


@pytest.mark.parametrize(
    "sign", [effort_sign([1, 2], 0.5), strength_sign([0.1], 0.005, POLICY), load_sign([1], [1], POLICY),
             recovery_sign([1], [8], POLICY)]
)  # fmt: skip
def test_every_sign_names_its_threshold_and_its_source(sign: Sign) -> None:
    assert sign.threshold
    assert "et al." in sign.source or "Foster 1998" in sign.source
