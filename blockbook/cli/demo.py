"""The demonstration as a command."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from blockbook.cli.options import FORCE, PATH
from blockbook.console import say

if TYPE_CHECKING:
    from pathlib import Path


@click.command()
@click.option("--out", type=PATH, required=True, help="Folder for the files; made if it is not there.")
@FORCE
def demo(out: Path, force: bool) -> None:
    """Play a short season on an invented lifter: two blocks and a meet.

    Says what each step did and where its file is.

    \b
    Example:
      blockbook demo --out demo
    """
    import blockbook

    done = blockbook.demo(out, force)
    for text, path in done.steps:
        say(f"{text}:")
        click.echo(f"    {path}")
    click.echo("Lifter, loads and dates are invented.")
