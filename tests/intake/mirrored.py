"""The small block for a lifter who types reps left: the same block and log as in effort, seen in a mirror. Invented."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

LEFT = ("  weeks: 2\n", "  weeks: 2\n  effort_as: reps in reserve\n")
"""The change of the small block's text."""


def mirrored(typed: Mapping[str, Any]) -> dict[str, Any]:
    """What is typed for the same log: 2 left for effort 8."""
    return {
        name: 10 - value if name.endswith("/rpe") and isinstance(value, (int, float)) else value
        for name, value in typed.items()
    }
