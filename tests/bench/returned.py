"""Many returned workbooks collected from mails and read, by a program of its own: seconds each, memory of a process."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
from contextlib import redirect_stdout, suppress
from pathlib import Path

from blockbook.cli import main as blockbook
from blockbook.many import cores, each
from blockbook.practice.folder import LIFTERS
from blockbook.practice.starting import init
from blockbook.spec.loading import parse_spec
from blockbook.workbook.write import block_bytes
from tests.bench.many import SPECIFICATIONS, TEMPLATE, numbered
from tests.bench.memory import most_resident
from tests.practice.small_practice import message
from tests.samples import typed


def main(count: int = SPECIFICATIONS) -> None:
    """A quarter of them first, so that it shows whether time and memory grow with their number."""
    print("many returned workbooks, mailed by as many lifters:")
    with tempfile.TemporaryDirectory() as folder:
        practice, mails = Path(folder) / "practice", Path(folder) / "mails"
        init(practice)
        mails.mkdir()
        for number, mail in each(mail_of, range(count), cores()):
            assert isinstance(mail, bytes)
            (mails / f"{number:05}.eml").write_bytes(mail)
            lifter = practice / LIFTERS / f"lifter-{number}"
            lifter.mkdir()
            (lifter / "block.yaml").write_text(numbered(number), "utf-8")
        for number in (max(1, count // 4), count):
            some = Path(folder) / "some"
            shutil.copytree(practice, some / "practice")
            (some / "mails").mkdir()
            for path in sorted(mails.iterdir())[:number]:
                shutil.copy(path, some / "mails")
            for command in ("collect", "read"):
                run = [sys.executable, "-m", "tests.bench.returned", str(some), command]
                done = subprocess.run(run, check=True, capture_output=True, text=True)
                print(f"  {number:5}, {command:7}: {done.stdout.strip()}")
            shutil.rmtree(some)


def mail_of(number: int) -> bytes:
    """A lifter's filled-in block, attached to a mail."""
    content = block_bytes(parse_spec(numbered(number)), typed(TEMPLATE, "kg", "filled"))
    return message(f"Lifter {number}", (f"block-{number}.xlsx", content)).as_bytes()


def timed(folder: Path, command: str) -> str:
    given = {"collect": ["collect", *map(str, (folder / "mails").iterdir())], "read": ["read"]}[command]
    os.chdir(folder / "practice")
    started = time.perf_counter()
    with open(os.devnull, "w", encoding="utf-8") as nowhere, redirect_stdout(nowhere), suppress(SystemExit):
        blockbook(given)
    seconds = time.perf_counter() - started
    number = len(list((folder / "mails").iterdir()))
    filed = len(list((folder / "practice").rglob("returned/*/*.xlsx")))
    return f"{filed} filed, {seconds / number:.3f} s each on {cores()} cores; at most {most_resident():.0f} MB"


if __name__ == "__main__":
    print(timed(Path(sys.argv[1]), sys.argv[2]))
