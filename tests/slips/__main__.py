"""The benchmark of slips.

python -m tests.slips             each kind of slip: injected, found, called; false warnings of clean logs
python -m tests.slips --tune      the same on the seed that the numbers were tuned on
python -m tests.slips --show 3    with examples of slips not found and of false warnings
python -m tests.slips --lifters 5 --kind "wrong number" "clean logs"    only these, more of them
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from itertools import chain

from blockbook.spec.models import Specification
from tests.samples import TEMPLATES, WITHOUT_BESTS, template_spec
from tests.slips.logs import Group, play_group
from tests.slips.measure import (
    KINDS,
    LIFTER,
    OURS,
    PLAN,
    Kind,
    Slipped,
    Tally,
    believable_codes,
    clean,
    count,
    injected,
    plan_copied,
    wrong_lifters,
)

TUNING_SEED, REPORT_SEED = 11, 2027
"""Numbers were tuned on the first; the table of DEVELOPERS.md is of the second."""

CLEAN = "clean logs"
"""Asks for the false warnings, as a kind's name asks for the kind."""


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.slips")
    parser.add_argument("--lifters", type=int, default=10, help="lifters a population and template")
    parser.add_argument("--tune", action="store_true")
    parser.add_argument("--show", type=int, default=0, help="examples of what went wrong, a kind")
    parser.add_argument("--kind", nargs="*", default=[""], help="only kinds with one of these in their name")
    asked = parser.parse_args()
    seed = TUNING_SEED if asked.tune else REPORT_SEED
    groups = [play_group(spec, asked.lifters, seed) for spec in specifications()]
    print(f"{asked.lifters} lifters of each population on {len(groups)} blocks, seed {seed} (tuned on {TUNING_SEED})\n")
    names = [kind.name for kind in (*KINDS, PLAN, LIFTER)] + [CLEAN]
    wanted = {name for name in names if any(part in name for part in asked.kind)}
    if not wanted:
        parser.error(f"no such kind; there are: {', '.join(names)}")
    if wanted != {CLEAN}:
        slips(groups, asked.lifters, seed, asked.show, wanted)
    if CLEAN in wanted:
        false_warnings(groups, asked.show)


def specifications() -> list[Specification]:
    """Every template in kg, one in lb, and one of a lifter of whom no best is known."""
    specs = [template_spec(name) for name in TEMPLATES]
    return [*specs, template_spec("strength", "lb"), template_spec("general" + WITHOUT_BESTS)]


def slips(groups: list[Group], lifters: int, seed: int, show: int, wanted: Collection[str]) -> None:
    kinds = [kind for kind in KINDS if kind.name in wanted]
    tallies = {kind.name: Tally() for kind in (*KINDS, PLAN, LIFTER) if kind.name in wanted}
    shown: Counter[str] = Counter()
    for slipped in chain.from_iterable(all_slips(group, kinds, wanted, lifters, seed) for group in groups):
        findings = believable_codes(slipped.log)
        if not count(tallies[slipped.kind.name], slipped, findings):
            shown[slipped.kind.name] += 1
            if shown[slipped.kind.name] <= show:
                changed = dict(list(slipped.changed.items())[:3])
                print(f"   not called {slipped.kind.code}: {changed}; {[found.message for found in findings]}")
    print(f"{'slip':25}{'injected':>9}{'found':>8}{'by name':>9}{'corrected':>11}{'rightly':>9}  called")
    for name, tally in tallies.items():
        said = ", ".join(f"{code} {number}" for code, number in tally.called.most_common(4))
        n = max(1, tally.injected)
        print(
            f"{name:25}{tally.injected:9}{tally.found / n:8.1%}{tally.named / n:9.1%}"
            f"{tally.corrected / n:11.1%}{tally.right / max(1, tally.corrected):9.1%}  {said}"
        )


def all_slips(
    group: Group, kinds: Sequence[Kind], wanted: Collection[str], lifters: int, seed: int
) -> Iterator[Slipped]:
    yield from injected(group, kinds, seed)
    if PLAN.name in wanted:
        yield from plan_copied(group, lifters, seed)
    if LIFTER.name in wanted and group.spec.lifter.bests:
        yield from wrong_lifters(group, lifters, seed)


def false_warnings(groups: list[Group], show: int) -> None:
    sets: Counter[str] = Counter()
    loud: Counter[str] = Counter()
    soft: Counter[str] = Counter()
    codes: Counter[str] = Counter()
    for group in groups:
        for population, done, findings in clean(group):
            sets[population] += done
            for found in findings:
                (soft if found.severity == "note" else loud)[population] += 1
                codes[found.code] += 1
                if codes[found.code] <= show:
                    print(f"   false ({population}): {found.message}")
    print(f"\n{'clean logs':25}{'sets':>9}{'warnings / 200 sets':>21}{'notes / 200 sets':>18}")
    for population in sets:
        n = sets[population] / 200
        print(f"{population:25}{sets[population]:9}{loud[population] / n:21.2f}{soft[population] / n:18.2f}")
    n = sets.total() / 200
    print(f"{'all':25}{sets.total():9}{loud.total() / n:21.2f}{soft.total() / n:18.2f}")
    print("of which: " + ", ".join(f"{code} {number / n:.3f}" for code, number in codes.most_common()))
    print(f"codes counted: {', '.join(sorted(OURS))}")


if __name__ == "__main__":
    main()
