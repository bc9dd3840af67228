"""The published values, each with its source and how sure it is.

Confidence: "verified" was seen in the source or a copy of it, "second-hand" in a text that quotes
it, "computed" from the source's formula or rule; "memory" was written down from memory.
"""

from __future__ import annotations

import csv
from pathlib import Path
from typing import NamedTuple

import pytest


class Published(NamedTuple):
    topic: str
    source: str
    input: str
    expected: str
    unit: str
    confidence: str

    @property
    def given(self) -> dict[str, str]:
        """ "reps=5;rpe=8" as a mapping."""
        return dict(pair.split("=") for pair in self.input.split(";"))

    def number(self, name: str) -> float:
        return float(self.given[name])

    @property
    def series(self) -> tuple[float, ...]:
        """Seven days' loads, "300|0|..."."""
        return tuple(float(part) for part in self.given["daily_load"].split("|"))

    @property
    def result(self) -> float:
        return float(self.expected)


def published(topic: str) -> list[Published]:
    with (Path(__file__).parent / "published_values.csv").open(encoding="utf-8", newline="") as file:
        found = [Published(*row) for row in csv.reader(file) if row[0] == topic]
    assert found, f"nothing published on {topic}"
    return found


def each(topic: str) -> pytest.MarkDecorator:
    """Run a test once for each published value of a topic."""
    rows = published(topic)
    return pytest.mark.parametrize("row", rows, ids=[f"{row.topic} {row.input}" for row in rows])
