"""Commands on the way to the platform: season, meet."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

import click

from blockbook.cli.options import DATE, FORCE, PATH, PREFER, SPEC, day, say_remarks
from blockbook.console import say, then

if TYPE_CHECKING:
    from pathlib import Path


class _DaysAway(click.ParamType[tuple[date, date]]):
    name = "START..END"

    def convert(self, value: Any, param: click.Parameter | None, context: click.Context | None) -> tuple[date, date]:
        first, _, last = str(value).partition("..")
        try:
            return day(first), day(last or first)
        except ValueError:
            self.fail(
                f'"{value}" is no time away. Write first..last day, such as 2027-02-15..2027-02-21.', param, context
            )


@click.command()
@click.option("--meet", "meets", type=DATE, multiple=True, help="Day of a meet, as 2027-06-05; repeat for several.")
@click.option("--from", "first", type=DATE, help="First day of the season, as 2027-01-04; next Monday if left out.")
@click.option("--away", type=_DaysAway(), multiple=True, help="Holiday or travel, first..last day; repeat for several.")
@click.option("--lifter", help="Whose season it is: in the calendar, and in its blocks.")
@click.option("--out", type=PATH, required=True, help="File to write, such as season.yaml.")
@click.option("--ics", type=PATH, help="Also write a calendar file there, such as season.ics.")
@FORCE
def season(
    meets: tuple[date, ...],
    first: date | None,
    away: tuple[tuple[date, date], ...],
    lifter: str | None,
    out: Path,
    ics: Path | None,
    force: bool,
) -> None:
    """Count a season back from the meet: which blocks, how long, when.

    Prints the season as a calendar and writes it as text (YAML) to edit; `new --season` and
    `next --season` follow it. Run it again with --force to count back anew: what you leave out
    stays as the file has it, and what changed is said.

    \b
    Examples:
      blockbook season --meet 2027-06-05 --from 2027-01-04 --out season.yaml
      blockbook season --meet 2027-06-12 --out season.yaml --force    meet moved
    """
    import blockbook

    made = blockbook.season(meets, out, first, away or None, lifter, ics, force)
    click.echo(made.calendar())
    if made.changes is not None:
        click.echo("\nChanged")
        for change in made.changes or ("Nothing: the same season.",):
            say(f"  {change}")
    if ics is not None:
        click.echo()
        say(f"{ics}: import it into a calendar program")
    click.echo()
    then(f"{out}: edit it", f"blockbook new --season {out} --out block.yaml")


@click.command()
@click.argument("files", nargs=-1, required=True, type=PATH, metavar="SPEC-or-FILE...")
@click.option("--out", type=PATH, required=True, help="Workbook to write, such as meet.xlsx.")
@click.option("--start", help="When the flight begins, such as 09:30.")
@click.option("--place", type=int, help="The lifter's place in the flight's order, from 1.")
@click.option("--increment", type=float, default=2.5, show_default=True, help="Attempts are multiples of it, in kg.")
@click.option("--review", type=PATH, help="The review workbook: corrections that you accepted count.")
@SPEC
@PREFER
@FORCE
def meet(
    files: tuple[Path, ...],
    out: Path,
    start: str | None,
    place: int | None,
    increment: float,
    review: Path | None,
    spec: Path | None,
    prefer: Path | None,
    force: bool,
) -> None:
    """Write the sheet for the day of a meet.

    Attempts from the bests of a specification (YAML or plan workbook) or the log of a returned workbook,
    or of several copies of it: type what was lifted or missed and the next attempts follow. Totals, goals,
    points, warm-up and times on one page.

    \b
    Examples:
      blockbook meet block.yaml --out meet.xlsx --start 09:30 --place 4
      blockbook meet returned.xlsx --review review.xlsx --out meet.xlsx
    """
    import blockbook
    from blockbook.plan.files import is_specification

    def warn(text: str) -> None:
        say(f"blockbook: {text}", err=True)

    click.echo(blockbook.meet(files, out, start, place, increment, force, warn, review, spec, prefer))
    for plan in filter(is_specification, files):
        say_remarks(plan)
    say_remarks(spec)
