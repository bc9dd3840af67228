"""The overview on a terminal: 80 columns, plain where it is piped or NO_COLOR is set."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TextIO

from rich.console import Console
from rich.table import Table
from rich.text import Text

from blockbook.practice.standing import Standing

_WIDTH = 80
_FIRST = ("pain", "overdue", "unreadable")


def show(every: Sequence[Standing], out: TextIO, quiet: bool = False) -> None:
    """Print who needs the coach and why, then who is fine. quiet: only the former."""
    console = Console(file=out, width=_WIDTH, highlight=False, emoji=False, markup=False)
    console.print(_table("Needs you", [each for each in every if each.needs]))
    fine = [each for each in every if not each.needs]
    if fine and not quiet:
        console.print(_table("Fine", fine))


def _table(title: str, every: Sequence[Standing]) -> Table:
    table = Table(box=None, pad_edge=False, show_edge=False, width=_WIDTH, padding=(0, 1, 0, 0), header_style="bold")
    table.add_column(f"{title} ({len(every)})", width=20, overflow="fold")
    table.add_column("Log", width=12, overflow="fold")
    table.add_column("1RM", width=6, justify="right")
    table.add_column("Why", overflow="fold")
    for each in every:
        change = f"{each.strength[-1]:+.1%}" if len(each.strength) > 1 else ""
        table.add_row(each.name, each.progress, change, _why(each))
    return table


def _why(each: Standing) -> Text:
    said = Text()
    for need in each.needs:
        said.append("\n" * bool(said.plain))
        said.append(need.text, style="bold red" if need.kind in _FIRST else "yellow" if need.kind != "meet" else "")
    if not each.needs:
        said.append("next block waits to be mailed" if each.next_waits else "ready" if each.returned else "training")
    return said
