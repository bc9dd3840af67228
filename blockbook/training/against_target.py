"""Efforts against their targets, in words."""

from __future__ import annotations

from collections.abc import Iterator


def against_target(*over: float) -> str:
    """Of efforts over target (under: negative): "0.7 under target"; "0.3 under, then 1.2 over target"."""
    return f"{', then '.join(_each(over))} target"


def _each(over: tuple[float, ...]) -> Iterator[str]:
    sides = [_side(each) for each in over]
    for number, side, following in zip(over, sides, (*sides[1:], ""), strict=True):
        words = "" if side == following else f" {side}"
        yield side if side == "on" else f"{abs(number):.1f}{words}"


def _side(over: float) -> str:
    tenths = round(over, 1)
    return "over" if tenths > 0 else "under" if tenths < 0 else "on"
