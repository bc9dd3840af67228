"""Commands on the practice as a whole: init, overview."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import TYPE_CHECKING, Literal

import click

from blockbook import clock
from blockbook.cli.options import FORCE, PATH, PRACTICE, QUIET, each_lifter, goes_with
from blockbook.console import say, then
from blockbook.errors import BlockbookError

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from blockbook.practice.folder import LifterFolder, Practice
    from blockbook.practice.standing import Known, Standing


@click.command()
@click.argument("folder", type=PATH, metavar="DIR")
@click.option("--coach", default="", metavar="NAME", help="Your name, under every letter.")
@click.option("--mail", metavar="ADDRESS", help="Your address, the sender of every letter.")
@click.option("--unit", type=click.Choice(["kg", "lb"]), default="kg", show_default=True, help="Unit of new blocks.")
@FORCE
def init(folder: Path, coach: str, mail: str | None, unit: Literal["kg", "lb"], force: bool) -> None:
    """Make a folder for a whole practice.

    Every other command works inside it without naming files: settings, letters, and a folder
    for each lifter, all plain files.

    \b
    Example:
      blockbook init practice --coach "Kim Muster" --mail kim@example.org
      cd practice
      blockbook new strength --lifter "Robin Sample" --mail robin@example.org
    """
    import blockbook

    made = blockbook.init(folder, coach, mail, unit, force)
    then(f"{made.root}: look at settings.yaml, go inside", "blockbook new strength --lifter NAME")


@click.command()
@click.argument("lifters", nargs=-1, metavar="[LIFTER]...")
@click.option("--out", type=PATH, help="Also write a workbook there, such as overview.xlsx.")
@PRACTICE
@QUIET
@FORCE
def overview(lifters: tuple[str, ...], out: Path | None, practice: Path | None, quiet: bool, force: bool) -> None:
    """Say who needs you, the most first, then who is fine.

    Of all lifters, or of those named.

    First pain, then overdue logs, unreadable files, blocks to write, findings, effort over
    target two weeks running, stalled lifts, sets left out, a block that is not all there,
    a meet that is near.

    With --out it is a workbook too: filters, small trends, links to the reviews, and a column
    Accept?. Type yes, save, and `blockbook next` writes those next blocks; one yes at the top
    accepts all routine ones.

    \b
    Examples:
      blockbook overview --out overview.xlsx
      blockbook overview robin-sample
    """
    import sys

    from blockbook.files import write_whole
    from blockbook.many import cores
    from blockbook.practice.folder import open_practice
    from blockbook.practice.overview_text import show, where_to_answer
    from blockbook.practice.standing import all_known, ranked

    goes_with("--out", out, force=force)
    opened = open_practice(practice or ".")
    known = all_known(opened, out)
    work = partial(_standing_of_one, opened, clock.today(), known.of)
    done, wrong = each_lifter(opened, opened.named(lifters), "Looking", work, cores())
    every = ranked(each for _, each in done)
    show(every, sys.stdout, quiet)
    if reviews := where_to_answer(every):
        click.echo()
        say("Your word goes into their reviews; what is odd stands there on Findings:")
        for review in reviews:
            click.echo(f"    {review}")
    if any(each.open_needs and each.returned and not each.review for each in every):
        click.echo()
        then("For what to decide on each", "blockbook review")
    if known.unsorted and not lifters:
        click.echo()
        held = f"unsorted/ holds {known.unsorted} that could not be filed; the reason is beside each."
        say(f"{held} Delete both when it is settled.")
    if out is not None:
        from blockbook.practice.marks import next_by
        from blockbook.practice.overview_workbook import overview_bytes, refuse_open_marks

        refuse_open_marks(opened, out, every, force)
        write_whole(out, overview_bytes(every, opened, out), force=True)
        click.echo()
        then(f"{out}: mark Accept?, save", next_by(opened, out))
    if wrong:
        raise BlockbookError("\n".join(wrong))


def _standing_of_one(
    practice: Practice,
    today: date,
    known: Mapping[str, Known],
    lifter: LifterFolder,
) -> Standing:
    from blockbook.practice.standing import standing

    return standing(practice, lifter, today, known[lifter.name])
