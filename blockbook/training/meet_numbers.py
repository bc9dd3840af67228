"""What a specification believes of the three lifts on the day of a meet, and the attempts that follow from it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from blockbook.errors import BlockbookError
from blockbook.spec.models import Specification
from blockbook.spec.values import KG_PER_LB
from blockbook.training.attempts import INCREMENT, PLANS, AttemptTable
from blockbook.training.maximum import start_maximum, start_spread

LIFTS = {"squat": "back squat", "bench": "bench press", "deadlift": "deadlift"}


class Believed(NamedTuple):
    """What a lifter can lift once on the day, and its spread, in kg."""

    mean: float
    sd: float


Plans = Mapping[str, Mapping[str, AttemptTable]]
"""Lift -> plan -> its table."""


def believed(spec: Specification) -> dict[str, Believed]:
    """Squat, bench and deadlift as the specification knows them, with the form of the day, in kg."""
    to_kg = KG_PER_LB if spec.block.unit == "lb" else 1
    found = {}
    for lift, name in LIFTS.items():
        exercise = spec.exercise(name)
        maximum = start_maximum(spec, exercise)
        if maximum is None:
            raise BlockbookError(f"nothing is known of the {name}, so it has no attempts. Add a best to the lifter.")
        policy = spec.policy
        share = (start_spread(spec, exercise) ** 2 + policy.day_sd**2 + policy.exercise_sd**2) ** 0.5
        found[lift] = Believed(round(maximum * to_kg, 2), round(share * maximum * to_kg, 3))
    return found


def plans_of(numbers: Mapping[str, Believed], increment: float = INCREMENT) -> Plans:
    """The tables of every lift. Raises BlockbookError as `attempt_table`."""
    from blockbook.training.attempt_tables import attempt_table  # noqa: PLC0415  # brings NumPy, for meets alone

    return {
        lift: {plan: attempt_table(number.mean, number.sd, plan, increment) for plan in PLANS}
        for lift, number in numbers.items()
    }
