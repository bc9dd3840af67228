"""The command line: a thin layer that parses, calls one public function, and prints."""

from __future__ import annotations

import json
import sys
from datetime import date, datetime
from pathlib import Path
from typing import Any

import click

from blockbook.console import FINDINGS_FOUND, Commands, say
from blockbook.errors import BlockbookError

_EXISTING = click.Path(path_type=Path)
_OUT = click.Path(path_type=Path)
_force = click.option("--force", is_flag=True, help="Replace files that are there already.")


_spec = click.option(
    "--spec", type=_EXISTING, help="Specification of the block, for a file whose hidden manifest is lost."
)
_season = click.option("--season", type=_EXISTING, help="Season to follow: dates, length, deload week and meet.")
_DATE = click.DateTime(["%Y-%m-%d"])
_prefer = click.option(
    "--prefer", type=_EXISTING, metavar="FILE", help="The one of several copies that is right where they differ."
)


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 88})
@click.version_option(package_name="blockbook", message="blockbook %(version)s")
def main() -> None:
    """Training blocks as workbooks: write, mail, read back, decide, write the next.

    \b
    The loop:
      blockbook new strength --out block.yaml    a block specification to edit
      blockbook build block.yaml --out sent      the workbook to mail
      blockbook read returned.xlsx               what was lifted, what is odd
      blockbook review returned.xlsx --out review.xlsx
      blockbook next returned.xlsx --review review.xlsx --out next.yaml
      blockbook build next.yaml --out sent       and round again

    Errors go to stderr. Exit codes: 0 fine, 1 a log holds findings of severity error,
    2 something could not be read or done. Heavy lifting can injure: the loads are
    suggestions, a coach decides.
    """


@main.command()
@click.option("--exercises", is_flag=True, help="List the exercises of the catalogue instead.")
def templates(exercises: bool) -> None:
    """List the block templates that ship, one line each."""
    import blockbook

    if exercises:
        from blockbook.spec.catalogue import shipped

        for exercise in sorted(shipped().values(), key=lambda exercise: exercise.name):
            click.echo(f"{exercise.name:<32} {exercise.implement:<11} {', '.join(exercise.direct)}")
        return
    for template in blockbook.templates():
        click.echo(f"{template.name:<10} {template.description}")


@main.command()
@click.argument("template", required=False)
@click.option("--out", type=_OUT, required=True, help="File to write, such as block.yaml.")
@click.option(
    "--start", type=_DATE, help="First day of week 1; next Monday if left out. With --season: the day to plan."
)
@_season
@click.option("--unit", type=click.Choice(["kg", "lb"]), default="kg", show_default=True, help="Unit of every load.")
@_force
def new(template: str | None, out: Path, start: datetime | None, season: Path | None, unit: str, force: bool) -> None:
    """Write a commented starter specification from TEMPLATE.

    With --season it is the block that the season has today, or next: kind, dates, length, deload
    week and meet come from there.

    The file is plain text (YAML): edit it, then `blockbook build` it. Its first line names
    the schema written beside it, so that editors complete and check the fields.

    \b
    Example:
      blockbook new volume --unit lb --start 2027-01-04 --out block.yaml
      blockbook new --season season.yaml --out block.yaml
    """
    import blockbook

    if template is None and season is None:
        raise click.UsageError("name a TEMPLATE, or a --season to follow.")
    path = blockbook.new(template, out, start.date() if start else None, unit, force, season)
    click.echo(f"{path}: edit lifter, equipment and sessions, then: blockbook build {path} --out sent")


@main.command()
def schema() -> None:
    """Print the specification's JSON Schema."""
    import blockbook

    click.echo(json.dumps(blockbook.schema(), indent=1))


@main.command()
@click.argument("specs", nargs=-1, required=True, type=_EXISTING, metavar="SPEC...")
@click.option("--out", type=_OUT, required=True, help="Folder for the workbooks; made if it is not there.")
@click.option(
    "--carry", type=_EXISTING, multiple=True, metavar="RETURNED",
    help="The block's workbook as it came back half-way: what was logged is carried over. Repeat it for other copies.",
)  # fmt: skip
@_force
def build(specs: tuple[Path, ...], out: Path, carry: tuple[Path, ...], force: bool) -> None:
    """Write one workbook for each SPEC into a folder.

    A faulty specification is reported with file, line and field; the others are still built.

    To change a block half-way, edit its SPEC and build it with --carry: every logged set keeps its
    place by session, exercise and set, whatever their order; what has no place any more goes to
    a sheet Earlier log.

    \b
    Examples:
      blockbook build block.yaml --out sent
      blockbook build block.yaml --carry returned.xlsx --out sent-again
    """
    from blockbook.api import build_each

    if carry:
        _rebuild(specs, carry, out, force)
        return

    results = build_each(specs, out, force)
    with click.progressbar(results, label="Building", length=len(specs), hidden=len(specs) < 4, file=sys.stderr) as bar:
        made = list(bar)
    built = [path for path in made if isinstance(path, Path)]
    failed = [str(error) for error in made if isinstance(error, BlockbookError)]
    for path in built:
        click.echo(path)
    if failed:
        raise BlockbookError("\n".join(failed))


def _rebuild(specs: tuple[Path, ...], returned: tuple[Path, ...], out: Path, force: bool) -> None:
    import blockbook
    from blockbook.intake.carry_report import carry_report

    if len(specs) != 1:
        raise click.UsageError("With --carry, name one SPEC, and --carry again before each further returned workbook.")
    rebuilt = blockbook.rebuild(specs[0], returned, out, force)
    click.echo(f"{rebuilt.path}\n{carry_report(rebuilt.carried)}")


@main.command()
@click.argument("spec", type=_EXISTING)
@click.option("--lifters", type=int, default=200, show_default=True, help="How many invented lifters, 10 to 5000.")
@click.option("--seed", type=int, default=1, show_default=True, help="Another seed, other lifters and days.")
@click.option("--out", type=_OUT, help="Also write a workbook with tables and charts there, such as rehearsal.xlsx.")
@_force
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
    from blockbook.rehearsal.report import text_report

    loaded = blockbook.load_spec(spec)
    with click.progressbar(
        length=loaded.block.weeks, label="Rehearsing, week by week", hidden=not sys.stderr.isatty(), file=sys.stderr
    ) as bar:
        rehearsal = blockbook.rehearse(loaded, lifters, seed, out, force, after_week=lambda _: bar.update(1))
    click.echo(text_report(rehearsal))
    if out is not None:
        click.echo(f"\n{out}")


@main.command()
@click.argument("files", nargs=-1, required=True, type=_EXISTING, metavar="FILE...")
@click.option("--json", "as_json", is_flag=True, help="Print the whole log and the findings as JSON.")
@click.option("--csv", "csv_folder", type=_OUT, help="Also write sets.csv, sessions.csv and findings.csv there.")
@_spec
@_prefer
@_force
def read(
    files: tuple[Path, ...],
    as_json: bool,
    csv_folder: Path | None,
    spec: Path | None,
    prefer: Path | None,
    force: bool,
) -> None:
    """Read returned workbooks: log and findings.

    A FILE is a workbook from any spreadsheet program (.xlsx, .xlsm, .xls, .xlsb, .ods), its
    sheets as .csv, or a folder or .zip of such. Copies of one block are merged, and what they
    disagree about is said.

    Target loads are recomputed from what was typed. Nothing typed is dropped: what cannot be
    understood is kept as it is and reported.

    \b
    Exit code 0: clean. 1: findings of severity error. 2: a file cannot be read.
    """
    from blockbook.api import read_each
    from blockbook.intake.report import csv_tables, text_report

    logs, errors = read_each(files, spec, prefer)
    failed = [str(error) for error in errors]
    if csv_folder is not None and logs:
        from blockbook.files import refuse_existing, write_text

        tables = {csv_folder / name: text for name, text in csv_tables(logs).items()}
        refuse_existing(tables, force)
        for table, text in tables.items():
            write_text(table, text, force)
    if as_json and logs:
        data = [log.to_data() for log in logs]
        click.echo(json.dumps(data[0] if len(data) == 1 else data, indent=1, ensure_ascii=False))
    elif logs:
        click.echo("\n\n".join(text_report(log) for log in logs))
    if failed:
        raise BlockbookError("\n".join(failed))
    if any(found.severity == "error" for log in logs for found in log.findings):
        raise click.exceptions.Exit(FINDINGS_FOUND)


@main.command()
@click.argument("files", nargs=-1, required=True, type=_EXISTING, metavar="FILE...")
@click.option("--out", type=_OUT, required=True, help="Review workbook to write, such as review.xlsx.")
@_spec
@_prefer
@_force
def review(files: tuple[Path, ...], out: Path, spec: Path | None, prefer: Path | None, force: bool) -> None:
    """Write the coach's review workbook.

    It may cover several returned workbooks.

    It says what was done, what is odd, how strength developed, and what to do with each
    exercise. Type your own load or sets beside a suggestion, or "no" to refuse it; type "yes"
    beside a correction of a slip on the sheet Findings. Save, and give the file to
    `blockbook next --review`.
    """
    import blockbook

    click.echo(blockbook.review(list(files), out, force, spec, prefer))


@main.command("next")
@click.argument("files", nargs=-1, required=True, type=_EXISTING, metavar="FILE...")
@click.option("--review", type=_EXISTING, help="The review workbook with your word on the suggestions.")
@click.option("--spec", type=_EXISTING, help="Your specification of the returned block, to keep private notes.")
@_season
@_prefer
@click.option("--out", type=_OUT, required=True, help="Specification to write, such as next.yaml.")
@_force
def next_command(
    files: tuple[Path, ...],
    review: Path | None,
    spec: Path | None,
    season: Path | None,
    prefer: Path | None,
    out: Path,
    force: bool,
) -> None:
    """Write the next block's specification.

    Several FILEs are copies of one returned block. Structure and order stay yours; first loads,
    bests and sets follow what was logged, and your word in the review workbook wins. Comments at
    the top say what was decided and why.
    """
    import blockbook

    made = blockbook.next_block(files, out, review, spec, force, prefer, season)
    errors = sum(found.severity == "error" for found in made.log.findings)
    if errors:
        names = " ".join(map(str, files))
        message = f"{errors} error{'s' if errors > 1 else ''} in the log were left out: blockbook read {names}"
        click.echo(f"blockbook: {message}", err=True)
    for suggestion, _, _ in made.decisions:
        if suggestion.pain:
            text = f"First: {suggestion.exercise} ({suggestion.session}): {suggestion.reason}"
            say(text)
    for remark in made.remarks:
        click.echo(remark)
    click.echo(f"{out}: check it, then: blockbook build {out} --out sent")


class _DaysAway(click.ParamType[tuple[date, date]]):
    name = "START..END"

    def convert(self, value: Any, param: click.Parameter | None, context: click.Context | None) -> tuple[date, date]:
        first, _, last = str(value).partition("..")
        try:
            return date.fromisoformat(first), date.fromisoformat(last or first)
        except ValueError:
            self.fail(f'"{value}" is not a time away such as 2027-02-15..2027-02-21.', param, context)


@main.command()
@click.option("--meet", "meets", type=_DATE, multiple=True, help="Day of a meet, as 2027-06-05; repeat for several.")
@click.option("--from", "first", type=_DATE, help="First day of the season; next Monday if left out.")
@click.option("--away", type=_DaysAway(), multiple=True, help="Holiday or travel, first..last day; repeat for several.")
@click.option("--lifter", help="Whose season it is: shown in the calendar.")
@click.option("--out", type=_OUT, required=True, help="File to write, such as season.yaml.")
@click.option("--ics", type=_OUT, help="Also write a calendar file there, such as season.ics.")
@_force
def season(
    meets: tuple[datetime, ...],
    first: datetime | None,
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
      blockbook season --meet 2027-06-12 --out season.yaml --force     the meet was moved
    """
    import blockbook

    days = [meet.date() for meet in meets]
    made = blockbook.season(days, out, first.date() if first else None, away or None, lifter, ics, force)
    click.echo(made.calendar())
    if made.changes is not None:
        click.echo("\nChanged")
        for change in made.changes or ("Nothing: the same season.",):
            click.echo(f"  {change}")
    if ics is not None:
        click.echo(f"\n{ics}: import it into a calendar program")
    click.echo(f"\n{out}: edit it, then: blockbook new --season {out} --out block.yaml")


@main.command()
@click.argument("file", type=_EXISTING, metavar="SPEC-or-RETURNED")
@click.option("--out", type=_OUT, required=True, help="Workbook to write, such as meet.xlsx.")
@click.option("--start", help="When the flight begins, such as 09:30.")
@click.option("--place", type=int, help="The lifter's place in the flight's order, from 1.")
@click.option("--increment", type=float, default=2.5, show_default=True, help="Attempts are multiples of it, in kg.")
@_force
def meet(file: Path, out: Path, start: str | None, place: int | None, increment: float, force: bool) -> None:
    """Write the sheet for the day of a meet.

    Attempts from the bests of a specification (.yaml) or the log of a returned workbook: type what was
    lifted or missed and the next attempts follow. Totals, goals, points, warm-up and times on one page.

    \b
    Example:
      blockbook meet block.yaml --out meet.xlsx --start 09:30 --place 4
    """
    import blockbook

    def warn(text: str) -> None:
        say(f"blockbook: {text}", err=True)

    click.echo(blockbook.meet(file, out, start, place, increment, force, warn))


@main.command()
@click.option("--out", type=_OUT, required=True, help="Folder for the files; made if it is not there.")
@_force
def demo(out: Path, force: bool) -> None:
    """Play the whole loop on an invented lifter.

    Says what each step did and where its file is.
    """
    import blockbook

    done = blockbook.demo(out, force)
    for text, path in done.steps:
        click.echo(f"{text}:\n    {path}")
    click.echo("Lifter, loads and dates are invented.")


if __name__ == "__main__":
    main()
