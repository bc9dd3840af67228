"""How a lighter week is made from the usual one (common practice, no source; numbers in the policy)."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

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


def lighter_fields(policy: Policy) -> dict[str, Callable[[Any], Any]]:
    """What a deload week makes of a value, for each field that takes one value a week."""
    return {
        "sets": lambda number: lighter_sets(number, policy),
        "reps": lambda reps: reps,
        "rpe": lambda rpe: lighter_effort(rpe, policy),
        "percent": lambda percent: lighter_percent(percent, policy),
        "load": lambda load: lighter_load(load, policy),
    }
