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


# What is typed on the Meet sheet has keys too, in a week 0 that no block has: w0.meet.squat-1-weight.

_OF_MEET = "w0.meet."


def meet_key(input_name: str) -> str:
    """ "meet.squat.1.weight" -> "w0.meet.squat-1-weight"."""
    return _OF_MEET + input_name.removeprefix("meet.").replace(".", "-")


def is_of_meet(key: str) -> bool:
    return key.startswith(_OF_MEET)


def meet_input(key: str) -> str:
    """The input that such a key stands for."""
    return "meet." + key.removeprefix(_OF_MEET).replace("-", ".")
