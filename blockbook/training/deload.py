"""How a lighter week is made from the usual one (common practice, no source; numbers in the policy)."""

from __future__ import annotations

from blockbook.spec.policy import Policy

LIGHTEST_PERCENT = 20
"""The least that a specification may ask for in percent of the one-rep maximum."""


def lighter_sets(number: int, policy: Policy) -> int:
    return max(1, int(number * policy.deload_sets + 0.5)) if number else 0


def lighter_effort(rpe: float, policy: Policy) -> float:
    return min(rpe, policy.deload_rpe)


def lighter_load(load: float, policy: Policy) -> float:
    return load * policy.deload_percent


def lighter_percent(percent: float, policy: Policy) -> float:
    return max(LIGHTEST_PERCENT, percent * policy.deload_percent)
