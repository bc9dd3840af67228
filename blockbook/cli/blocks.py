"""Commands before a block is mailed: templates, new, convert, schema, build, rehearse."""

from __future__ import annotations

import sys
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, Literal

import click

from blockbook.cli.options import (
    DATE,
    FORCE,
    MANY,
    PATH,
    PRACTICE,
    SEASON,
    each_lifter,
    goes_with,
    lifters_meant,
    needed,
    say_doubts,
    say_remarks,
    say_withdrawn,
)
from blockbook.console import CLEAR_LINE, say, then, then_if_watched
from blockbook.errors import BlockbookError

if TYPE_CHECKING:
    from pathlib import Path

    from blockbook.practice.folder import LifterFolder, Practice
    from blockbook.practice.rounds import Built


@click.command()
@click.option("--exercises", is_flag=True, help="List the exercises of the catalogue instead.")
def templates(exercises: bool) -> None:
    """List the block templates that ship, one line each."""
    import blockbook

    if exercises:
        from blockbook.spec.catalogue import shipped

        for exercise in sorted(shipped().values(), key=lambda exercise: exercise.name):
            say(f"{exercise.name:<28} {exercise.implement:<10} {', '.join(exercise.direct)}")
        return
    for template in blockbook.templates():
        click.echo(f"{template.name:<10} {template.description}")


@click.command()
@click.argument("template", required=False)
@click.option("--out", type=PATH, help="File to write: block.yaml, or plan.xlsx for a spreadsheet. Not with --lifter.")
@click.option(
    "--start",
    type=DATE,
    help="First day of week 1, as 2027-01-04; next Monday if left out. With --season: the day to plan.",
)
@SEASON
@click.option("--unit", type=click.Choice(["kg", "lb"]), help="Unit of every load; kg, or what the practice has.")
@click.option("--lifter", metavar="NAME", help="Take this lifter into the practice, with a folder of their own.")
@click.option("--workbook", is_flag=True, help="With --lifter: block.xlsx, for a spreadsheet, instead of block.yaml.")
@click.option("--mail", metavar="ADDRESS", help="With --lifter: where their workbooks go.")
@click.option("--language", metavar="TAG", help="Language of the lifter's workbook: en, de, es, de-AT, es-MX, ...")
@PRACTICE
@FORCE
def new(
    template: str | None,
    out: Path | None,
    start: date | None,
    season: Path | None,
    unit: Literal["kg", "lb"] | None,
    lifter: str | None,
    workbook: bool,
    mail: str | None,
    language: str | None,
    practice: Path | None,
    force: bool,
) -> None:
    """Write a starter specification from TEMPLATE.

    With --season it is the block that the season has today, or next: kind, dates, length, deload
    week and meet come from there.

    The file is plain text (YAML) with comments: edit it, then `blockbook build` it. Its first
    line names the schema written beside it, so that editors complete and check the fields.
    Named .xlsx it is a workbook to fill in: a row an exercise, lists to choose from, checks as
    you type.

    \b
    Examples:
      blockbook new volume --unit lb --start 2027-01-04 --out block.yaml
      blockbook new volume --out plan.xlsx
      blockbook new --season season.yaml --out block.yaml
      blockbook new strength --lifter "Robin Sample" --mail robin@example.org
    """
    import blockbook

    if template is None and season is None:
        raise click.UsageError("name a TEMPLATE, or a --season to follow.")
    if lifter is not None and out is None:
        goes_with("--out", out, force=force)
        from blockbook.practice.folder import open_practice
        from blockbook.practice.starting import add_lifter

        opened = open_practice(practice or ".")
        with opened.locked():
            added = add_lifter(opened, lifter, template, start, unit, mail, season, language, workbook)
        _say_early(season, added.block)
        then(f"{added.block}: edit it", "blockbook mail")
        return
    if out is None or lifter is not None:
        raise click.UsageError("Name --out for a file, or --lifter for someone in a practice: one of the two.")
    if mail or practice or workbook:
        raise click.UsageError(
            "--mail, --practice and --workbook go with --lifter. Leave them out, or name --lifter for --out."
        )
    path = blockbook.new(template, out, start, unit or "kg", force, season, language)
    _say_early(season, path)
    then(f"{path}: edit lifter, equipment and sessions", f"blockbook build {path} --out sent")


def _say_early(season: Path | None, made: Path) -> None:
    """Which sessions of a season's first block lie before the season."""
    from blockbook.plan.files import load_spec
    from blockbook.planning.starting import before_first_day
    from blockbook.spec.loading import load_season

    if season is not None and (said := before_first_day(load_season(season), load_spec(made))):
        say(said)


@click.command()
@click.argument("source", type=PATH, metavar="A")
@click.argument("out", type=PATH, metavar="B")
@FORCE
def convert(source: Path, out: Path, force: bool) -> None:
    """Write the specification A in the other form, as B.

    Forms are YAML (.yaml) and plan workbook (.xlsx). Every field is the same in both. Comments
    in YAML are no fields: they stay in A.

    \b
    Examples:
      blockbook convert block.yaml plan.xlsx
      blockbook convert plan.xlsx block.yaml
    """
    import blockbook

    click.echo(blockbook.convert(source, out, force))
    say_remarks(source)


@click.command()
def schema() -> None:
    """Print the specification's JSON Schema."""
    from blockbook.spec.schemas import schema_text

    click.echo(schema_text(), nl=False)


@click.command()
@click.argument("specs", nargs=-1, type=PATH, metavar="[SPEC-or-LIFTER]...")
@click.option("--out", type=PATH, help="Folder for the workbooks; made if it is not there. Not in a practice.")
@click.option(
    "--carry", type=PATH, multiple=True, metavar="RETURNED",
    help="The block's workbook as it came back half-way: what was logged is carried over. Repeat it for other copies.",
)  # fmt: skip
@PRACTICE
@FORCE
def build(
    specs: tuple[Path, ...], out: Path | None, carry: tuple[Path, ...], practice: Path | None, force: bool
) -> None:
    """Write one workbook for each SPEC into a folder.

    A faulty specification is reported with file, line and field; the others are still built.

    To change a block half-way, edit its SPEC and build it with --carry: every logged set keeps its
    place by session, exercise and set, whatever their order; what has no place any more goes to
    a sheet Earlier log.

    In a practice, LIFTERs are enough, or none for all: each workbook goes into its lifter's
    folder, a waiting next block becomes the current one, and what came back of an earlier
    version of the block is carried over by itself.

    \b
    Examples:
      blockbook build block.yaml --out sent
      blockbook build robin-sample
      blockbook build block.yaml --carry returned.xlsx --out sent-again
    """
    from blockbook.api import build_each
    from blockbook.many import cores
    from blockbook.plan.files import load_spec

    meant = None if out or carry else lifters_meant(specs, practice)
    if meant:
        _build_lifters(*meant, force, named=bool(specs))
        return
    needed(specs, "SPEC...")
    needed(out, "--out DIR")
    assert out is not None
    if practice:
        raise click.UsageError("--practice goes with LIFTERs, --out and --carry with SPECs: one or the other.")
    if carry:
        _rebuild(specs, carry, out, force)
        return

    failed = []
    hidden = len(specs) < 4 or not sys.stderr.isatty()
    results = build_each(specs, out, force, cores())
    with click.progressbar(results, label="Building", length=len(specs), hidden=hidden, file=sys.stderr) as bar:
        for made, spec in zip(bar, specs, strict=True):
            if isinstance(made, BlockbookError):
                failed.append(str(made))
                continue
            if not hidden:
                click.echo(CLEAR_LINE, err=True, nl=False)
            click.echo(made)
            say_doubts(load_spec(spec), spec)
    if len(failed) < len(specs):
        then_if_watched("Mail it, and when it came back", "blockbook read returned.xlsx")
    if failed:
        raise BlockbookError("\n".join(failed))


def _build_lifters(practice: Practice, lifters: list[LifterFolder], force: bool, named: bool) -> None:
    from blockbook.many import cores
    from blockbook.practice.rounds import note

    work = partial(_build_one, practice, force)
    done, wrong = each_lifter(practice, lifters, "Building", work, cores(), partial(note, practice))
    for lifter, built in done:
        remark = ("" if built.new else " (as before)") + (" (with what was logged so far)" if built.carried else "")
        say(f"{built.path}{remark}")
        for line in built.remarks:
            say(f"  {line}")
        if built.new or named:
            say_doubts(built.spec, lifter.block, f"blockbook build {lifter.name}" if len(done) >= MANY else "")
    say_withdrawn(built for _, built in done)
    if wrong:
        raise BlockbookError("\n".join(wrong))


def _build_one(practice: Practice, force: bool, lifter: LifterFolder) -> Built:
    from blockbook.practice.rounds import build_current

    return build_current(practice, lifter, force)


def _rebuild(specs: tuple[Path, ...], returned: tuple[Path, ...], out: Path, force: bool) -> None:
    import blockbook
    from blockbook.intake.carry_report import carry_report
    from blockbook.plan.files import load_spec

    if len(specs) != 1:
        raise click.UsageError("With --carry, name one SPEC, and --carry again before each further returned workbook.")
    rebuilt = blockbook.rebuild(specs[0], returned, out, force)
    for line in (str(rebuilt.path), *carry_report(rebuilt.carried).splitlines()):
        say(line)
    say_doubts(load_spec(specs[0]), specs[0])


@click.command()
@click.argument("spec", type=PATH)
@click.option("--lifters", type=int, default=200, show_default=True, help="How many invented lifters, 10 to 5000.")
@click.option("--seed", type=int, default=1, show_default=True, help="Another seed, other lifters and days.")
@click.option("--out", type=PATH, help="Also write a workbook with tables and charts there, such as rehearsal.xlsx.")
@FORCE
def rehearse(spec: Path, lifters: int, seed: int, out: Path | None, force: bool) -> None:
    """Try out the block of SPEC on invented lifters.

    They start around this lifter's numbers: 40 % or more steady, a tenth each of novices, sloppy
    reporters, lifters who under- or over-report effort, older and returning ones. You see what
    the plan asks for that is unlikely, weekly volume, and likely loads and efforts.

    \b
    Example:
      blockbook rehearse block.yaml --out rehearsal.xlsx
    """
    import blockbook
    from blockbook.rehearsal.report_text import text_report

    goes_with("--out", out, force=force)
    loaded = blockbook.load_spec(spec)
    say_remarks(spec)
    with click.progressbar(
        length=loaded.block.weeks, label="Rehearsing, week by week", hidden=not sys.stderr.isatty(), file=sys.stderr
    ) as bar:
        rehearsal = blockbook.rehearse(loaded, lifters, seed, out, force, after_week=lambda _: bar.update(1))
    click.echo(text_report(rehearsal))
    if out is not None:
        click.echo(f"\n{out}")
