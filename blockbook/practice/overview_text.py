"""The overview on a terminal: 80 columns, plain where it is piped or NO_COLOR is set."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import TextIO

from rich.console import Console, JustifyMethod
from rich.table import Table
from rich.text import Text

from blockbook.practice.standing import Kind, Standing

_WIDTH = 80
_WIDTHS = (20, 16, 6, 34)
"""The second holds "from 14 Jan 2027" and "12 of 12 weeks" on one line."""
_FIRST = ("alarm", "pain", "overdue", "unreadable")


def show(every: Sequence[Standing], out: TextIO, quiet: bool = False) -> None:
    """Print who needs the coach and why, then who is fine. quiet: only the former."""
    console = Console(file=out, width=_WIDTH, highlight=False, emoji=False, markup=False)
    needing = [each for each in every if each.open_needs]
    if needing:
        console.print(_table("Needs you", needing))
    elif not quiet:
        console.print("Nobody needs you.")
    fine = [each for each in every if not each.open_needs]
    if fine and not quiet:
        console.print(_table("Fine", fine))


def where_to_answer(every: Sequence[Standing]) -> list[str]:
    """The reviews of those who need the coach, as paths in the practice."""
    return [each.review for each in every if each.open_needs and each.review]


def _table(title: str, every: Sequence[Standing]) -> Table:
    table = Table(box=None, pad_edge=False, show_edge=False, padding=(0, 1, 0, 0), header_style="bold")
    for heading, width in zip((f"{title} ({len(every)})", "Log", "1RM", "Why"), _WIDTHS, strict=True):
        # A least width too, or one lifter's long name would squeeze the columns of all.
        justify: JustifyMethod = "right" if heading == "1RM" else "left"
        table.add_column(heading, width=width, min_width=width, overflow="fold", justify=justify)
    for each in every:
        change = f"{each.strength[-1]:+.1%}" if len(each.strength) > 1 else ""
        table.add_row(_broken_where_it_may_be(each.name), each.progress, change, _why(each))
    return table


def _broken_where_it_may_be(name: str) -> str:
    """A long name in lines that end at a blank or hyphen, where it has one."""
    return "\n".join(wrap(name, _WIDTHS[0], break_long_words=False))


def _why(each: Standing) -> Text:
    said = Text("\n").join(Text(need.text, style=_style(need.kind)) for need in each.open_needs)
    for text in each.said[len(each.open_needs) :]:
        said.append("\n" * bool(said.plain) + text)
    return said


def _style(kind: Kind) -> str:
    return "bold red" if kind in _FIRST else "yellow" if kind != "meet" else ""
