"""What a command costs before it does anything: processes against one that imports click, turn by turn."""

from __future__ import annotations

import subprocess
import sys
import time
from statistics import median

ROUNDS = 20
PEER = ("-c", "import click")
COMMANDS = {("--help",): 1.5, ("templates",): 2.5, ("schema",): 2.5}
"""Arguments -> how many times the peer's time they should take at most."""


def main() -> None:
    for arguments, target in COMMANDS.items():
        own = ("-c", "from blockbook.cli import main; main()", *arguments)  # as the installed command does
        rounds = [(seconds(own), seconds(PEER)) for _ in range(ROUNDS)]
        ratio = median(ours / other for ours, other in rounds)
        name = f"blockbook {' '.join(arguments)}"
        print(
            f"{name:30} {median(ours for ours, _ in rounds):6.3f} s = {ratio:.2f} x importing click "
            f"(target {target:.1f} x)"
        )


def seconds(arguments: tuple[str, ...]) -> float:
    start = time.perf_counter()
    subprocess.run([sys.executable, *arguments], check=True, capture_output=True)
    return time.perf_counter() - start


if __name__ == "__main__":
    main()
