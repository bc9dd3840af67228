"""The belief and the choice of load against general statistics: statsmodels, scipy, direct integration."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np
import pytest
from scipy import integrate, optimize, stats
from statsmodels.tsa.statespace.structural import UnobservedComponents  # type: ignore[import-untyped]

from blockbook.formula.definition import Definition
from blockbook.formula.functions import Value
from blockbook.training import belief, calibration, progression
from blockbook.training.effort import percent_of_max, reps_to_failure
from blockbook.training.loading import NO_CEILING, Loadable, looked_up

from .published import Published, each


def number(definition: Definition, *values: Value, **named: Value) -> float:
    value = definition.value(*values, **named)
    assert isinstance(value, (int, float))
    return value


# The filter: local level model -------------------------------------------------------------------

START: Final = 150.0
START_SD: Final = 0.05
DRIFT_SD: Final = 0.008
EXERCISE_SD: Final = 0.015
WEIGHT: Final = 1 / 0.02**2
"""Say of a session's sets, 1 / variance in logs."""

SEEN: Final = {
    "as believed": (150.0, 151.0, 149.5, 150.5, 152.0, 150.0),
    "rising": (148.0, 151.5, 153.0, 156.0, 157.5, 161.0, 163.0, 166.5),
    "started far too high": (121.0, 123.5, 122.0, 125.0, 126.0),
    "one slip": (150.0, 153.0, 118.0, 154.0, 155.0, 156.0),
    "weeks without a log": (150.0, math.nan, 152.0, math.nan, math.nan, 155.0),
}


@dataclass
class Filtered:
    """What our definitions give, week by week, in logs."""

    state: list[float] = field(default_factory=list)
    variance: list[float] = field(default_factory=list)
    gain: list[float] = field(default_factory=list)
    likelihood: list[float] = field(default_factory=list)


def ours(seen: Sequence[float]) -> Filtered:
    """Predict, observe, learn; without expected gain, and without a day shared by exercises."""
    result = Filtered()
    seen_variance = number(belief.observed_variance, (WEIGHT,), EXERCISE_SD)
    capacity: float | str = ""
    variance = number(belief.first_variance, START_SD)
    for week, logged in enumerate(seen):
        observed: float | str = "" if math.isnan(logged) else logged
        prior = number(
            belief.predicted, capacity_before=capacity, trained_before=1, first_prior=START, exposures=week,
            first_jump=0, idle_weeks=0, weekly_gain=0, gap_loss=0,
        )  # fmt: skip
        prior_variance = number(
            belief.predicted_variance, variance_before=variance, exposures=week, first_jump=0, idle_weeks=0,
            drift_sd=DRIFT_SD,
        )  # fmt: skip
        innovation = belief.innovation.value(prior, observed)
        precision = number(belief.precision, prior, observed, prior_variance, seen_variance)
        capacity = number(
            belief.learned, prior=prior, seen=observed, prior_variance=prior_variance, precision=precision,
            pull=belief.pull.value(prior, observed, precision), shared=0, gain_shared=0, none_up="",
        )  # fmt: skip
        variance = number(
            belief.learned_variance, prior=prior, seen=observed, seen_variance=seen_variance,
            prior_variance=prior_variance, precision=precision, shared_left=0,
        )  # fmt: skip
        result.state.append(math.log(capacity))
        result.variance.append(variance)
        result.gain.append(prior_variance * precision)
        told = isinstance(innovation, (int, float))
        result.likelihood.append(float(stats.norm.logpdf(innovation, 0, precision**-0.5)) if told else 0)
    return result


@pytest.mark.parametrize("seen", SEEN.values(), ids=SEEN)
def test_belief_is_that_of_a_local_level_model(seen: tuple[float, ...]) -> None:
    # statsmodels UnobservedComponents, local level with fixed variances and a known start; NaN is missing.
    model = UnobservedComponents(np.log(seen), level="llevel")
    model.ssm.initialize_known(np.array([math.log(START)]), np.array([[START_SD**2]]))
    theirs = model.smooth([1 / WEIGHT + EXERCISE_SD**2, DRIFT_SD**2]).filter_results
    filtered = ours(seen)
    assert filtered.state == pytest.approx(theirs.filtered_state[0], abs=1e-12)
    assert filtered.variance == pytest.approx(theirs.filtered_state_cov[0, 0], abs=1e-15)
    assert filtered.gain == pytest.approx(theirs.kalman_gain[0, 0], abs=1e-12)
    assert filtered.likelihood == pytest.approx(theirs.llf_obs, abs=1e-9)


def test_first_log_without_a_belief_is_believed_as_it_is() -> None:
    # Computed: a local level model with a diffuse start takes its first observation for the state, its variance too.
    assert belief.learned.value("", 140, "", 0, 0, 0, 0, "") == 140
    assert belief.learned_variance.value("", 140, 0.0004, "", 0, 0) == 0.0004


# Today's form: one effect shared by a session's exercises ------------------------------------------

SESSIONS: Final = {
    "one exercise": ([0.03], [0.04]),
    "a bad day": ([-0.05, -0.03, -0.06, -0.02], [0.03, 0.04, 0.05, 0.04]),
    "they contradict one another": ([0.04, -0.05, 0.01], [0.03, 0.03, 0.1]),
}


@pytest.mark.parametrize(("innovations", "spreads"), SESSIONS.values(), ids=SESSIONS)
@pytest.mark.parametrize("day_sd", [0.01, 0.03, 0.1])
def test_shared_shift_is_the_posterior_of_the_day(
    innovations: list[float], spreads: list[float], day_sd: float
) -> None:
    # Conditioning a multivariate normal (numpy): the day is normal around 0, each innovation is day plus its own.
    precisions = tuple(spread**-2 for spread in spreads)
    pulls = tuple(
        number(belief.pull, START, START * math.exp(seen), told)
        for seen, told in zip(innovations, precisions, strict=True)
    )
    with_day = np.full(len(spreads), day_sd**2)
    covariance = np.diag(np.square(spreads)) + day_sd**2
    weights = np.linalg.solve(covariance, with_day)
    assert number(belief.shared_shift, precisions, pulls, day_sd) == pytest.approx(weights @ innovations, rel=1e-10)
    left = day_sd**2 - weights @ with_day
    assert number(belief.shared_variance, precisions, day_sd) == pytest.approx(left, rel=1e-10)


def test_nothing_logged_says_nothing_of_the_day() -> None:
    # Computed: the posterior of no data is the prior.
    assert belief.shared_shift.value((0, 0), (0, 0), 0.03) == 0
    assert number(belief.shared_variance, (0, 0), 0.03) == pytest.approx(0.03**2)


# How well effort is judged ---------------------------------------------------------------------------


@pytest.mark.parametrize("gaps", [(), (1.0,), (-0.5, 0.5), (2.0, 1.5, 2.5, 1.0, 3.0), (-4.0, -3.0)])
@pytest.mark.parametrize(("prior", "prior_sd", "test_sd"), [(0.15, 0.6, 0.6), (0.0, 0.3, 1.0), (1.0, 2.0, 0.5)])
def test_effort_bias_is_the_posterior_mean(
    gaps: tuple[float, ...], prior: float, prior_sd: float, test_sd: float
) -> None:
    # Bayes by numerical integration (scipy): normal prior, tests normal around the lifter's bias.
    tests = number(calibration.tests_so_far, gaps, 0)
    total = number(calibration.gaps_so_far, gaps, 0)
    grid = np.linspace(prior - 12 * prior_sd, prior + 12 * prior_sd, 20_001)
    log_density = stats.norm.logpdf(grid, prior, prior_sd)
    log_density += sum((stats.norm.logpdf(gap, grid, test_sd) for gap in gaps), start=np.zeros_like(grid))
    density = np.exp(log_density - log_density.max())
    mean = integrate.simpson(grid * density, x=grid) / integrate.simpson(density, x=grid)
    assert number(calibration.bias, tests, total, prior, prior_sd, test_sd) == pytest.approx(mean, abs=1e-6)


# The load of least expected cost ---------------------------------------------------------------------

AIM: Final = 100.0
SPREADS: Final = (0.015, 0.04, 0.1)
OVER_COSTS: Final = (1.0, 1.6, 3.0)
BODY_LOADS: Final = (0.0, 70.0)


def two_sided(load: float, spread: float, body_load: float, over_cost: float) -> float:
    """Numerical expectation of the cost, in scales of the logistic distribution that has this spread."""
    scale = spread * math.sqrt(3) / math.pi
    believed = stats.logistic(math.log(AIM + body_load), scale)
    chosen = math.log(load + body_load)

    lower = np.linspace(min(believed.ppf(1e-13), chosen), chosen, 2001)
    upper = np.linspace(chosen, max(believed.isf(1e-13), chosen), 2001)
    too_heavy = integrate.simpson((chosen - lower) * believed.pdf(lower), x=lower)
    too_light = integrate.simpson((upper - chosen) * believed.pdf(upper), x=upper)
    return float(over_cost * too_heavy + too_light) / scale


def test_scale_gives_the_logistic_distribution_its_spread() -> None:
    # scipy.stats.logistic: standard deviation 1 at scale sqrt(3) / pi.
    assert stats.logistic(0, progression.LOGISTIC_SCALE).std() == pytest.approx(1, abs=1e-4)


@pytest.mark.parametrize("spread", SPREADS)
@pytest.mark.parametrize("over_cost", OVER_COSTS)
@pytest.mark.parametrize("body_load", BODY_LOADS)
@pytest.mark.parametrize("load", [92.5, 97.5, 100, 104])
def test_expected_cost_is_the_expectation(load: float, spread: float, body_load: float, over_cost: float) -> None:
    # scipy: the cost integrated over scipy.stats.logistic.
    cost = number(progression.expected_cost, load, AIM, spread, body_load, over_cost)
    assert cost == pytest.approx(two_sided(load, spread, body_load, over_cost), rel=5e-4)


@pytest.mark.parametrize("spread", SPREADS)
@pytest.mark.parametrize("over_cost", OVER_COSTS)
@pytest.mark.parametrize("body_load", BODY_LOADS)
def test_careful_load_is_where_the_expected_cost_is_least(spread: float, body_load: float, over_cost: float) -> None:
    # scipy.optimize on the integrated cost; and the quantile of scipy.stats.logistic that is known for this cost.
    load = number(progression.careful, AIM, spread, body_load, over_cost)
    found = optimize.minimize_scalar(
        two_sided, bounds=(60, 140), args=(spread, body_load, over_cost), method="bounded", options={"xatol": 1e-6}
    )
    assert load == pytest.approx(found.x, abs=0.02)
    share = stats.logistic(0, progression.LOGISTIC_SCALE * spread).ppf(1 / (1 + over_cost))
    assert load + body_load == pytest.approx((AIM + body_load) * math.exp(share), rel=1e-12)


@pytest.mark.parametrize("step", [1.0, 2.5, 7.0])
@pytest.mark.parametrize("spread", SPREADS)
@pytest.mark.parametrize("over_cost", OVER_COSTS)
def test_chosen_load_is_the_cheapest_that_can_be_made(step: float, spread: float, over_cost: float) -> None:
    # scipy: the integrated cost of every load that can be made, without guards.
    loads = tuple(float(load) for load in np.arange(20, 200, step))
    careful = progression.careful_load.value(AIM, spread, 0, over_cost, NO_CEILING, 0)
    rungs = looked_up([Loadable(load) for load in loads])
    under, over = (beside.value(careful, rungs) for beside in (progression.rung_under, progression.rung_over))
    chosen = progression.cheapest.value(under, over, AIM, spread, 0, over_cost, NO_CEILING, 0)
    costs = {load: two_sided(load, spread, 0, over_cost) for load in loads if 60 < load < 140}
    assert chosen == min(costs, key=lambda load: costs[load])


# Reps and share of the maximum -------------------------------------------------------------------------


@pytest.mark.parametrize("curve", [0.8, 1.0, 1.25])
@pytest.mark.parametrize("reps", [1, 2, 5, 9.5, 10, 10.5, 12, 20])
def test_reps_to_failure_turn_the_rep_curve_round(reps: float, curve: float) -> None:
    # scipy.optimize: the reps at which percent_of_max gives this share.
    share = number(percent_of_max, reps, curve)
    root = optimize.brentq(lambda n: number(percent_of_max, n, curve) - share, 0.5, 30)
    assert number(reps_to_failure, share, curve) == pytest.approx(root, abs=1e-6) == pytest.approx(reps, abs=1e-6)


@each("percent_reps")
def test_reps_to_failure_are_near_the_training_load_chart(row: Published) -> None:
    # NSCA training load chart. Largest differences: 0.86 reps at 70 % (12.9 against 12), 0.8 at 95 % (2.8 against 2).
    reps = number(reps_to_failure, row.result / 100, 1)
    assert reps == pytest.approx(row.number("reps"), abs=0.9)
    assert number(percent_of_max, reps, 1) == pytest.approx(row.result / 100)
