"""Many specifications built by a program of its own: seconds each, cores at work, memory of a process."""

from __future__ import annotations

import re
import subprocess
import sys
import tempfile
import time
from datetime import date
from pathlib import Path

from blockbook.api import build_each
from blockbook.many import cores
from blockbook.spec.templates import starter
from tests.bench.memory import most_resident

SPECIFICATIONS = 40
TEMPLATE, START = "volume", date(2027, 1, 4)


def main(count: int = SPECIFICATIONS) -> None:
    """A quarter of them first, so that it shows whether time and memory grow with their number."""
    print("many specifications, built and written:")
    for number, workers in ((count, 1), (max(1, count // 4), cores()), (count, cores())):
        print(f"  {number:5} on {workers} of {cores()} cores: {measured(number, workers)}")


def measured(number: int, workers: int) -> str:
    with tempfile.TemporaryDirectory() as folder:
        for spec in range(number):
            (Path(folder) / f"{spec}.yaml").write_text(numbered(spec), "utf-8")
        run = [sys.executable, "-m", "tests.bench.many", folder, str(workers)]
        return subprocess.run(run, check=True, capture_output=True, text=True).stdout.strip()


def numbered(number: int) -> str:
    """The specification of an invented lifter who is called by a number."""
    return re.sub("name: .*", f"name: Lifter {number}", starter(TEMPLATE, START), count=1)


def build(folder: Path, workers: int) -> str:
    import resource  # noqa: PLC0415  # not there on Windows

    specs = sorted(folder.glob("*.yaml"))
    started = time.perf_counter()
    built = sum(isinstance(made, Path) for made in build_each(specs, folder / "sent", workers=workers))
    wall = time.perf_counter() - started
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    work = sum(each.ru_utime + each.ru_stime for each in used)
    largest = used[1].ru_maxrss * (1e-6 if sys.platform == "darwin" else 1024 / 1e6)  # bytes there, KiB elsewhere
    return (
        f"{built} built, {wall / built:.3f} s each, {work / built:.3f} s of a core each, "
        f"{work / wall:.1f} cores used; at most {most_resident():.0f} MB in the first process, {largest:.0f} MB "
        "in another"
    )


if __name__ == "__main__":
    print(build(Path(sys.argv[1]), int(sys.argv[2])))
