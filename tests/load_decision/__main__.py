"""The benchmark of the load decision.

python -m tests.load_decision             the table: policies x populations, and the bar
python -m tests.load_decision --ablation  what each part of the decision earns, what each guard costs
python -m tests.load_decision --tune      the search that found the policy's numbers
"""

from __future__ import annotations

import argparse

import numpy as np

from tests.load_decision.measure import (
    DAY_ORACLE,
    EVERY_POPULATION,
    ORACLE,
    OURS,
    RULES,
    Policy,
    Table,
    estimate,
    ours,
)
from tests.load_decision.tune import TUNING_SEED, tune

REPORT_SEED = 2027
"""Lifters that no number was tuned on."""

ABLATION = (
    OURS,
    ours("no day steering", {}, feelers=False, steer=False),
    ours("no feelers", {"feeler_from": 0.5}, feelers=False),
    ours("feelers in week 1 only", {}, feelers=False),
    ours("aim at the mean, not at least cost", {"over_cost": 1}),
    ours("effort believed as reported", {"reserve_underrated": 0, "effort_bias": 0, "effort_bias_sd": 0}),
    ours("no tests of effort", {"effort_bias_sd": 0}),
    ours("near and far from failure alike", {"reserve_sd": 0, "set_sd": 0.02}),
    ours("no reps where steps are coarse", {"coarse_step": 0.2, "extra_reps": 0, "fewer_reps": 0}),
    ours("a shared shift is all day", {"gain_shared": 0}),
    ours("a shared shift is all trend", {"gain_shared": 1}),
    ours("no gain expected", {"weekly_gain": 0, "first_gain": 0, "first_gain_high": 0}),
    ours("no tiredness expected", {"depth_loss": 0, "fatigue_per_set": 0}),
    ours("spread never grows", {"drift_sd": 0}),
    ours("rise of 5 % at most", {"most_rise": 0.05}),
    ours("rise of 2.5 % at most", {"most_rise": 0.025}),
)


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.load_decision")
    parser.add_argument("--lifters", type=int, default=200, help="lifters a population")
    parser.add_argument("--ablation", action="store_true")
    parser.add_argument("--tune", action="store_true")
    asked = parser.parse_args()
    if asked.tune:
        tune(asked.lifters)
        return
    table = Table(asked.lifters, REPORT_SEED)
    print(f"{asked.lifters} simulated lifters a population, six weeks, seed {REPORT_SEED} (tuned on {TUNING_SEED})\n")
    if asked.ablation:
        ablation(table)
    else:
        report(table)
        bar(table)


def report(table: Table) -> None:
    """Policies x populations, each figure with its bootstrap 95 % interval."""
    for population in (*EVERY_POPULATION,):
        print(population)
        print(f"  {'':26} {'cost':>17} {'missed reps %':>18} {'reps over':>19} {'gained %':>18}")
        for policy in (*RULES, OURS, ORACLE, DAY_ORACLE):
            taken = table.take(policy, population)
            columns = (taken.cost, 100 * taken.missed, taken.error, 100 * taken.gained)
            print(f"  {policy.name:26} " + "  ".join(str(estimate(values)) for values in columns))


def ablation(table: Table) -> None:
    print(f"{'pooled over populations':38} {'cost':>6} {'missed reps %':>14} {'reps over':>10} {'gained %':>9}")
    for policy in (ORACLE, *ABLATION):
        cost, missed, error, gained = (table.pooled(policy, what) for what in ("cost", "missed", "error", "gained"))
        print(f"{policy.name:38} {cost:6.3f} {100 * missed:14.2f} {error:10.2f} {100 * gained:9.1f}")


def bar(table: Table) -> None:
    """What was asked of the load decision, and what it does."""
    oracle, best = table.pooled(ORACLE, "cost"), min(RULES, key=lambda rule: table.pooled(rule, "cost"))
    excess = table.pooled(OURS, "cost") - oracle
    rule_excess = table.pooled(best, "cost") - oracle
    print(f"\nPooled cost: oracle {oracle:.3f}, ours {oracle + excess:.3f}, {best.name} {oracle + rule_excess:.3f}")
    print(f"  excess over the oracle: {excess / rule_excess:.0%} of the best rule's (bar: 25 %)")
    late = [name for name in EVERY_POPULATION if _late(table, OURS, name) < _late(table, ORACLE, name)]
    print(f"  from the second exercise on, better than the day-blind oracle: {', '.join(late) or 'nowhere'}")
    print(f"  populations where a rule beats ours beyond its interval: {', '.join(_beaten(table)) or 'none'}")
    fewest = min(RULES, key=lambda rule: table.pooled(rule, "missed"))
    print(
        f"  missed target reps: ours {table.pooled(OURS, 'missed'):.2%}, the rule with fewest ({fewest.name}) "
        f"{table.pooled(fewest, 'missed'):.2%}"
    )
    gained, possible = table.pooled(OURS, "gained"), table.pooled(ORACLE, "gained")
    print(f"  gained load: ours {gained:.1%}, oracle {possible:.1%}: {gained / possible:.0%}")


def _late(table: Table, policy: Policy, population: str) -> float:
    return float(np.nanmean(table.take(policy, population).late_cost))


def _beaten(table: Table) -> list[str]:
    """Populations and rules whose cost is below ours by more than chance (paired, 95 %)."""
    found = []
    for population in EVERY_POPULATION:
        for rule in RULES:
            gain = estimate(table.take(OURS, population).cost - table.take(rule, population).cost)
            if gain.low > 0:
                found.append(f"{population} ({rule.name})")
    return found


if __name__ == "__main__":
    main()
