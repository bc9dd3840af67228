"""Thousands of damaged files of ours, and files made to break a reader, each read in a process with limits.

python -m tests.fuzz [--mutations 5000] [--seed 1] [--workers 2]

Prints a table; exits with 1 if any file led to a traceback, the end of a process, or over 5 s or 300 MB.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.fuzz.hostile import HOSTILE
from tests.fuzz.running import MEGABYTES, SECONDS, Outcome, case

_BATCH = 200
_COLUMNS = {"read": 7, "refused": 9, "traceback": 11, "died": 6}


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz")
    parser.add_argument("--mutations", type=int, default=5000)
    parser.add_argument("--seed", type=int, default=1, help="the first seed is a million times this")
    parser.add_argument("--workers", type=int, default=2)
    asked = parser.parse_args()
    first = asked.seed * 1_000_000
    mutations = range(first, first + asked.mutations)
    batches = [mutations[start : start + _BATCH] for start in range(0, asked.mutations, _BATCH)]
    # Each hostile file gets a process of its own, so that the memory seen is what it took.
    batches += [range(-1 - number, -2 - number, -1) for number in range(len(HOSTILE))]
    with ThreadPoolExecutor(asked.workers) as pool:
        every = [found for batch in pool.map(lambda numbers: list(read_batch(numbers)), batches) for found in batch]
    report(every)
    return int(any(found.failed for found in every))


def read_batch(numbers: Sequence[int]) -> Iterator[Outcome]:
    """The outcomes of some cases; a process that ends early is started again behind the file that ended it."""
    with TemporaryDirectory() as folder:
        lines = []
        for number in numbers:
            kind, name, made = case(number)
            path = Path(folder) / str(number)
            path.write_bytes(made.content)
            lines.append(json.dumps([kind, name, made.file, str(path)]))
            del made
        while lines:
            worker = [sys.executable, "-m", "tests.fuzz.running"]
            done = subprocess.run(worker, input="\n".join(lines), capture_output=True, text=True, check=False)
            printed = [Outcome(*json.loads(line)) for line in done.stdout.splitlines()]
            yield from printed
            lines = lines[len(printed) :]
            if lines:
                kind, name, *_ = json.loads(lines.pop(0))
                yield Outcome(kind, name, "died", f"status {done.returncode}: {done.stderr[-300:]}")


def report(every: Sequence[Outcome]) -> None:
    by_kind: dict[str, list[Outcome]] = defaultdict(list)
    for found in every:
        by_kind[found.kind].append(found)
    print(f"{'':9}{'files':>7}{'read':>7}{'refused':>9}{'traceback':>11}{'died':>6}{'slowest':>10}{'memory':>9}")
    for kind, outcomes in [*by_kind.items(), ("all", list(every))]:
        results = Counter(found.result for found in outcomes)
        counts = "".join(f"{results[result]:{width}}" for result, width in _COLUMNS.items())
        slowest = max(found.seconds for found in outcomes)
        memory = max(found.megabytes for found in outcomes)
        print(f"{kind:9}{len(outcomes):7}{counts}{slowest:8.2f} s{memory:6.0f} MB")
    for found in [found for found in every if found.failed][:20]:
        print(f"\n{found.kind}, {found.name}: {found.result}, {found.seconds:.2f} s, {found.megabytes:.0f} MB")
        print(found.said)
    print(f"\nlimits: {SECONDS:.0f} s and {MEGABYTES} MB a file")


if __name__ == "__main__":
    sys.exit(main())
