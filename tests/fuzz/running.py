"""Damaged files read one by one, and what came of it."""

from __future__ import annotations

import json
import re
import resource
import signal
import sys
import time
import traceback
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

import blockbook
from blockbook.errors import BlockbookError
from tests.fuzz.hostile import HOSTILE
from tests.fuzz.mutations import FILES, Mutation, mutation

SECONDS = 5.0
MEGABYTES = 300
_ADDRESS_SPACE = 3_000_000_000


class Outcome(NamedTuple):
    """kind: xlsx, ods, csv, yaml, plan or hostile. result: read, refused, traceback or died. seconds: of the
    processor. megabytes: the most this process has held so far."""

    kind: str
    name: str
    result: str
    said: str = ""
    seconds: float = 0.0
    megabytes: float = 0.0

    @property
    def failed(self) -> bool:
        return self.result in ("traceback", "died") or self.seconds > SECONDS or self.megabytes > MEGABYTES


def outcome(kind: str, name: str, file: Mutation, folder: Path) -> Outcome:
    """Read one file through the public functions."""
    path = folder / file.file
    path.write_bytes(file.content)
    start = time.process_time()
    result, said = "read", ""
    try:
        if path.name in (FILES["yaml"], FILES["plan"]):
            blockbook.load_spec(path)
        else:
            blockbook.read(path)
    except BlockbookError as error:
        result, said = "refused", str(error).removeprefix(str(folder))
        if not str(error).startswith(str(path)):
            result = "traceback"  # an error that does not name its file is as bad
    except BaseException:
        result, said = "traceback", traceback.format_exc()
    return Outcome(kind, name, result, said, time.process_time() - start, most_memory())


def most_memory() -> float:
    """Megabytes of memory this process has held at most (Linux; 0 elsewhere)."""
    status = Path("/proc/self/status")
    found = re.search(r"VmHWM:\s+(\d+) kB", status.read_text()) if status.exists() else None
    return int(found[1]) / 1024 if found else 0.0


def case(number: int) -> tuple[str, str, Mutation]:
    """Kind, name and file: a seed from 0 on, or one of the hostile files from -1 on."""
    if number < 0:
        name = list(HOSTILE)[-1 - number]
        suffix = {"archive": "zip", "document": "ods"}.get(name.split()[0], "xlsx")
        return "hostile", name, Mutation(f"file.{suffix}", HOSTILE[name](), name)
    made = mutation(number)
    return next(kind for kind, file in FILES.items() if file == made.file), f"seed {number}: {made.how}", made


def main() -> None:
    """A worker: reads case files made before, a path a line on standard input, and prints outcomes."""
    resource.setrlimit(resource.RLIMIT_AS, (_ADDRESS_SPACE, _ADDRESS_SPACE))
    signal.signal(signal.SIGALRM, signal.SIG_DFL)
    with TemporaryDirectory() as folder:
        for line in sys.stdin:
            kind, name, file, made = json.loads(line)
            content = Path(made).read_bytes()
            signal.setitimer(signal.ITIMER_REAL, SECONDS * 20)
            print(json.dumps(outcome(kind, name, Mutation(file, content, ""), Path(folder))), flush=True)
            signal.setitimer(signal.ITIMER_REAL, 0)


if __name__ == "__main__":
    main()
