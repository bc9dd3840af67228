"""The search that found the policy's numbers: one number after the other, on lifters kept for tuning."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor

import numpy as np

from blockbook.spec.policy import Policy as Numbers
from tests.load_decision.measure import EVERY_POPULATION, measure, ours

TUNING_SEED = 11

CANDIDATES: dict[str, tuple[float, ...]] = {
    "over_cost": (1.0, 1.3, 1.6, 2.0),
    "set_sd": (0.008, 0.013, 0.018, 0.025),
    "reserve_sd": (0.004, 0.006, 0.009, 0.012),
    "reserve_underrated": (0.0, 0.1, 0.15, 0.2, 0.3),
    "effort_bias": (0.0, 0.15, 0.3),
    "effort_bias_sd": (0.3, 0.6, 0.9),
    "known_sd": (0.03, 0.04, 0.05, 0.06),
    "depth_loss": (0.009, 0.015, 0.021),
    "fatigue_per_set": (0.008, 0.012, 0.016),
    "drift_sd": (0.004, 0.008, 0.012, 0.018),
    "exercise_sd": (0.01, 0.015, 0.02),
    "day_sd": (0.02, 0.025, 0.03, 0.04),
    "gain_shared": (0.1, 0.25, 0.4, 0.6),
    "weekly_gain": (0.004, 0.007, 0.01),
    "first_gain": (0.006, 0.012, 0.018),
    "first_gain_high": (0.02, 0.03, 0.04),
    "feeler_share": (0.92, 0.95, 0.97, 1.0),
    "feeler_limit": (0.08, 0.1, 0.15),
    "judged_reserve": (2, 3, 4),
    "coarse_step": (0.025, 0.03, 0.04, 0.05),
}
"""Values tried for each number. Guards (most_rise, hold_overshoot, lowest_step) are not tuned: they are for safety."""

_WORTH_A_CHANGE = 0.002
_LEAST_GAINED, _GAIN_WORTH = 0.061, 20
"""Nine tenths of what the oracle gains (6.6 %) and a little; a percent less is as bad as 0.2 reps a set."""


def tune(lifters: int) -> None:
    """Improve one number after the other until a whole round changes nothing; print the way."""
    numbers: dict[str, float] = {name: getattr(Numbers(), name) for name in CANDIDATES}
    with ProcessPoolExecutor() as pool:
        best = _pooled_cost(pool, numbers, lifters)
        print(f"start {best:.4f}", flush=True)
        improved = True
        while improved:
            improved = False
            for name, values in CANDIDATES.items():
                for value in values:
                    tried = {**numbers, name: value}
                    cost = best if tried == numbers else _pooled_cost(pool, tried, lifters)
                    if cost < best - _WORTH_A_CHANGE:
                        numbers, best, improved = tried, cost, True
                        print(f"{name} = {value:g}: {best:.4f}", flush=True)
    print({name: value for name, value in numbers.items() if value != getattr(Numbers(), name)} or "nothing to change")


def _pooled_cost(pool: ProcessPoolExecutor, numbers: dict[str, float], lifters: int) -> float:
    """Mean cost over the populations, and more where less load is gained than an oracle gains."""
    policy = ours("tried", numbers)
    work = [pool.submit(measure, policy, population, lifters, TUNING_SEED) for population in EVERY_POPULATION]
    taken = [done.result() for done in work]
    cost, gained = (float(np.mean([np.nanmean(getattr(one, what)) for one in taken])) for what in ("cost", "gained"))
    return cost + _GAIN_WORTH * max(0.0, _LEAST_GAINED - gained)
