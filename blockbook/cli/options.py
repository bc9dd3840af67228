"""Arguments and options that several commands share, said once."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date, datetime
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from pathlib import Path

    from blockbook.practice.folder import LifterFolder, Practice
    from blockbook.practice.rounds import Noted
    from blockbook.spec.models import Specification

T = TypeVar("T")

MANY = 4
"""From so many lifters on, what is said of each is said in short: what is odd about a plan, or that it is left out."""


class _Path(click.Path):
    """As click's own, with pathlib loaded once there is a path: importing it is a twentieth of all that --help does."""

    def convert(self, value: Any, param: click.Parameter | None, context: click.Context | None) -> Path:
        from pathlib import Path

        return Path(os.fsdecode(super().convert(value, param, context)))


PATH = _Path()


class _Day(click.ParamType[date]):
    name = "DATE"

    def convert(self, value: Any, param: click.Parameter | None, context: click.Context | None) -> date:
        if isinstance(value, date):
            return value
        try:
            return day(str(value))
        except ValueError:
            self.fail(
                f'"{value}" is no date. Write year-month-day, such as 2027-01-04 for 4 January 2027.', param, context
            )


def day(text: str) -> date:
    """A date as commands take it, 2027-01-04. Raises ValueError for any other form."""
    return datetime.strptime(text.strip(), "%Y-%m-%d").date()


DATE = _Day()

FORCE = click.option("--force", is_flag=True, help="Replace files that are there already.")
SPEC = click.option("--spec", type=PATH, help="Specification of the block, for a file whose hidden manifest is lost.")
SEASON = click.option("--season", type=PATH, help="Season to follow: dates, length, deload week and meet.")
PREFER = click.option(
    "--prefer", type=PATH, metavar="FILE", help="The one of several copies that is right where they differ."
)
PRACTICE = click.option(
    "--practice", type=PATH, metavar="DIR", help="The practice's folder, where you are not inside it."
)
QUIET = click.option("--quiet", "-q", is_flag=True, help="Say only what needs you.")


def lifters_meant(files: Sequence[Path], folder: Path | None) -> tuple[Practice, list[LifterFolder]] | None:
    """The lifters that a command's arguments name, all if it has none; None where they are files of their own."""
    from blockbook.practice.folder import find_practice, open_practice

    practice = open_practice(folder) if folder else find_practice()
    if practice is None:
        return None
    own = next((path for path in files if path.exists() and practice.find(str(path)) is None), None)
    if own is not None and folder is not None:
        raise click.UsageError(f"--practice goes with LIFTERs, and {own} is a file. Leave --practice out for a file.")
    if own is not None:
        return None
    return practice, practice.named([str(path) for path in files])


@contextmanager
def at_work(practice: Practice, items: Iterable[T], label: str, length: int) -> Iterator[Iterable[T]]:
    """The items with a progress bar on a terminal, while no other run changes the practice."""
    import sys

    hidden = length < 4 or not sys.stderr.isatty()
    with (
        practice.locked(),
        click.progressbar(items, label=label, length=length, hidden=hidden, file=sys.stderr) as bar,
    ):
        yield bar


def each_lifter(
    practice: Practice,
    lifters: Sequence[LifterFolder],
    label: str,
    work: Callable[[LifterFolder], T],
    workers: int = 1,
    afterwards: Callable[[T], None] | None = None,
) -> tuple[list[tuple[LifterFolder, T]], list[str]]:
    """What was done for each, and what went wrong: one lifter's mistake does not stop the others.

    workers: as in `many.each`; only for work that writes nothing but its own lifter's files. afterwards: what is
    still to be done for each that went well, once none is at work any more.
    """
    from blockbook.errors import BlockbookError
    from blockbook.many import each

    done: list[tuple[LifterFolder, T]] = []
    wrong: list[str] = []
    with at_work(practice, each(work, lifters, workers), label, len(lifters)) as bar:
        try:
            for lifter, came in bar:
                if isinstance(came, BlockbookError):
                    wrong.append(str(came))
                else:
                    done.append((lifter, came))
        finally:  # also where the coach stops it
            for _, made in done:
                if afterwards is not None:
                    afterwards(made)
    return done, wrong


def say_doubts(spec: Specification, path: Path, in_short: str = "") -> None:
    """What looks like a slip, on stderr: the workbook is built all the same.

    path: where the specification was read from, which may say what had to be understood; in_short: among many lifters,
    only the first is said, and this command says the others.
    """
    from blockbook.console import say
    from blockbook.plan.files import looked_at

    every = looked_at(path, spec)
    if in_short and len(every) > 1:
        every = (f"{every[0]} And {len(every) - 1} more: `{in_short}`",)
    for doubt in every:
        say(f"  Look: {doubt}", err=True)


def say_remarks(path: Path | None) -> None:
    """What had to be understood in a specification that was read, on stderr."""
    from blockbook.console import say
    from blockbook.plan.files import remarks_on

    for remark in () if path is None else remarks_on(path):
        say(f"  Look: {remark}", err=True)


def say_withdrawn(done: Iterable[Noted]) -> None:
    """Which drafts were put aside, so that nobody sends them."""
    from blockbook.console import say
    from blockbook.practice.outdated import said_of

    if withdrawn := [entry.file for made in done for entry in made.entries if entry.what == "withdrawn"]:
        say(said_of(withdrawn))


def needed(value: Any, option: str) -> None:
    """Outside a practice an option may not be left out."""
    if not value:
        raise click.UsageError(f"Missing {option} (in a practice it may be left out: `blockbook init` makes one).")


def goes_with(partner: str, there: Any, **given: Any) -> None:
    """Options that would go unheard without their partner are refused, so that nobody believes they were followed."""
    for option, value in given.items():
        if value and not there:
            raise click.UsageError(f"--{option} goes with {partner}. Leave it out, or name {partner}.")


def of_one_lifter(lifters: Sequence[LifterFolder], **given: Any) -> None:
    """Options that name a file of one lifter's block can be followed for no other."""
    for option, value in given.items():
        if value and len(lifters) > 1:
            raise click.UsageError(f"--{option} is of one lifter's block. Name that LIFTER alone, or leave it out.")


def not_in_a_practice(**given: Any) -> None:
    """Options that name files of one block make no sense for LIFTERs, whose folders hold them."""
    for option, value in given.items():
        if value:
            raise click.UsageError(
                f"--{option} goes with FILEs and --out. For LIFTERs it is taken from their folder in the practice."
            )
