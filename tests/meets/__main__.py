"""python -m tests.meets: mean totals and lost meets, on seeds that nothing was tuned on.

Nothing is tuned here at all: the attempts follow from the spread. A technical miss is taken for 5 % of
attempts; the last two rows have other lifters. Intervals: 95 %, bootstrap over lifters.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tests.meets.simulated import ELITE, FIXED, Meets, Rule, heaviest_sure_opener, invent, ours, totals

SEED = 60_601
LIFTERS, MEETS = 400, 10
RESAMPLES = 2_000
SETTINGS = ((0.015, 0.05), (0.025, 0.05), (0.04, 0.05), (0.06, 0.05), (0.08, 0.05), (0.04, 0.01), (0.04, 0.10))
RULES: dict[str, Rule] = {
    "ours": ours,
    "91/96/100 %": FIXED,
    "91/95.5/98.4 %": ELITE,
    "heaviest opener of 97 %": heaviest_sure_opener,
}


def main() -> None:
    print(f"{LIFTERS} lifters x {MEETS} meets a row; total in kg; difference: ours less the rule")
    print("\n| spread | technical | rule | mean total | no total | total: difference | no total: difference |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    for number, (spread, slips) in enumerate(SETTINGS):
        meets = invent(SEED + number, LIFTERS, MEETS, spread, slips)
        base = totals(meets, ours)
        for name, rule in RULES.items():
            found = base if rule is ours else totals(meets, rule)
            compared = "| | |" if rule is ours else f"| {_gain(base, found)} | {_lost(base, found)} |"
            print(f"| {spread:.1%} | {slips:.0%} | {name} | {found.mean():.1f} | {(found == 0).mean():.2%} {compared}")
        best = today_known(meets)
        print(f"| {spread:.1%} | {slips:.0%} | today's maximum known | {best:.1f} | | | |", flush=True)


def today_known(meets: Meets) -> float:
    """Mean total of whoever knows what they can lift today and takes it three times."""
    slipped_all = meets.slips.all(axis=3)
    best = np.where(slipped_all, 0, 2.5 * np.floor(meets.today / 2.5))
    return float(np.where((best > 0).all(axis=2), best.sum(axis=2), 0).mean())


def _gain(base: NDArray[np.float64], other: NDArray[np.float64]) -> str:
    low, high = _interval((base - other).mean(axis=1))
    return f"{(base - other).mean():+.1f} ({low:+.1f} to {high:+.1f})"


def _lost(base: NDArray[np.float64], other: NDArray[np.float64]) -> str:
    difference = 100 * ((base == 0).astype(float) - (other == 0))
    low, high = _interval(difference.mean(axis=1))
    return f"{difference.mean():+.2f} ({low:+.2f} to {high:+.2f}) points"


def _interval(by_lifter: NDArray[np.float64]) -> tuple[float, float]:
    random = np.random.default_rng(1)
    means = by_lifter[random.integers(0, len(by_lifter), (RESAMPLES, len(by_lifter)))].mean(axis=1)
    low, high = np.percentile(means, (2.5, 97.5))
    return float(low), float(high)


if __name__ == "__main__":
    main()
