"""The invented blocks that the benchmark plays: two sessions a week, five exercises each."""

from __future__ import annotations

from datetime import date
from typing import Any

from blockbook.spec.models import Specification

_FINE = {
    "bar": 20,
    "plates": {25: 6, 20: 2, 15: 1, 10: 2, 5: 2, 2.5: 2, 1.25: 2},
    "dumbbells": {"lightest": 4, "heaviest": 60, "step": 2},
    "stack": {"lightest": 5, "heaviest": 400, "step": 5},
    "added_weight": {"lightest": 0, "heaviest": 60, "step": 1.25},
}
_COARSE = {
    "bar": 20,
    "plates": {25: 6, 20: 2, 15: 1, 10: 2, 5: 2, 2.5: 2},
    "dumbbells": {"lightest": 5, "heaviest": 60, "step": 5},
    "stack": {"lightest": 7, "heaviest": 399, "step": 7},
    "added_weight": {"lightest": 0, "heaviest": 60, "step": 2.5},
}
_EFFORTS = [7.5, 8, 8, 8.5, 8.5, 9]
_BESTS = {
    "back squat": 150, "bench press": 105, "deadlift": 180, "overhead press": 65, "barbell row": 95,
    "leg press": 260, "leg curl": 75, "lat pulldown": 90, "dumbbell bench press": 42,
}  # fmt: skip


def _slot(exercise: str, reps: Any, sets: int = 3, **more: Any) -> dict[str, Any]:
    return {"exercise": exercise, "reps": reps, "sets": sets, "rpe": _EFFORTS, **more}


def block(
    coarse: bool = False, feeler: bool = False, policy: dict[str, float] | None = None, steer: bool = True
) -> Specification:
    """Six weeks, effort 7.5 to 9. Barbell lifts in sets of 4 to 6, the others 8 to 12."""
    return Specification.model_validate(
        {
            "block": {"title": "Benchmark", "start": date(2027, 1, 4), "weeks": 6, "steer_by_day": steer},
            "lifter": {"name": "Invented", "body_weight": 85, "bests": _BESTS},
            "equipment": _COARSE if coarse else _FINE,
            "policy": policy or {},
            "sessions": [
                {
                    "name": "One",
                    "slots": [
                        _slot("back squat", 5, 1, back_off={"sets": 2, "reps": 5, "drop": 10}, feeler=feeler),
                        _slot("bench press", 4),
                        _slot("barbell row", 8),
                        _slot("leg curl", "10-12", test_weeks=[2]),
                        _slot("dumbbell curl", "12-16", 2, test_weeks=[2]),
                    ],
                },
                {
                    "name": "Two",
                    "slots": [
                        _slot("deadlift", 4, 2, feeler=feeler),
                        _slot("overhead press", 6),
                        _slot("dumbbell bench press", "8-10"),
                        _slot("lat pulldown", "10-12", test_weeks=[2]),
                        _slot("leg press", 10, 2, test_weeks=[2]),
                    ],
                },
            ],
        }
    )
