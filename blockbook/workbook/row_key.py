"""What a row key says: w1.lower.squat.2 is the second set of a slot, w1.lower.pain what is noted once a session."""

from __future__ import annotations

PATTERN = r"w\d{1,2}\.[a-z0-9-]+\.[a-z0-9_-]+(?:\.[a-z0-9-]+)?"


def week_of(key: str) -> int:
    return int(key[1 : key.index(".")])


def session_of(key: str) -> str:
    """Key of the session: "w1.lower"."""
    return ".".join(key.split(".")[:2])


def slot_of(key: str) -> str:
    """Key of a set's slot in its week: "w1.lower.squat"."""
    return key.rpartition(".")[0]


def is_set(key: str) -> bool:
    return key.count(".") == 3
