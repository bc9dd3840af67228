"""How much memory a process took at most."""

from __future__ import annotations

from pathlib import Path

_STATUS = Path("/proc/self/status")


def most_resident() -> float:
    """Most memory that this process had resident, in MB; nan where only Linux would count it.

    From Linux's own count: what getrusage gives a process includes the size of the one that started it.
    """
    if not _STATUS.exists():
        return float("nan")
    return int(_STATUS.read_text().split("VmHWM:")[1].split()[0]) * 1024 / 1e6
