"""Commands on what came back: read, review, next."""

from __future__ import annotations

import json
from pathlib import Path

import click

from blockbook.cli.options import EXISTING, FORCE, OUT, PREFER, SEASON, SPEC
from blockbook.console import FINDINGS_FOUND, say
from blockbook.errors import BlockbookError


@click.command()
@click.argument("files", nargs=-1, required=True, type=EXISTING, metavar="FILE...")
@click.option("--json", "as_json", is_flag=True, help="Print the whole log and the findings as JSON.")
@click.option("--csv", "csv_folder", type=OUT, help="Also write sets.csv, sessions.csv and findings.csv there.")
@SPEC
@PREFER
@FORCE
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


@click.command()
@click.argument("files", nargs=-1, required=True, type=EXISTING, metavar="FILE...")
@click.option("--out", type=OUT, required=True, help="Review workbook to write, such as review.xlsx.")
@SPEC
@click.option("--season", type=EXISTING, help="Season the blocks are part of: kinds and weeks to come, sheet Season.")
@PREFER
@FORCE
def review(
    files: tuple[Path, ...], out: Path, spec: Path | None, season: Path | None, prefer: Path | None, force: bool
) -> None:
    """Write the coach's review workbook.

    It may cover several lifters; of several blocks of one the latest is reviewed, the
    others are its history.

    It says what was done, what is odd, how strength developed, and what to do with each
    exercise. Type your own load, sets or exercise beside a suggestion, or "no" to refuse it:
    first loads, weekly sets per muscle and the sheet What changed follow at once. Type "yes"
    beside a correction of a slip on the sheet Findings. Save, and give the file to
    `blockbook next --review`, with the same FILEs.
    """
    import blockbook

    def warn(text: str) -> None:
        say(f"blockbook: {text}", err=True)

    click.echo(blockbook.review(list(files), out, force, spec, prefer, season, warn))


@click.command("next")
@click.argument("files", nargs=-1, required=True, type=EXISTING, metavar="FILE...")
@click.option("--review", type=EXISTING, help="The review workbook with your word on the suggestions.")
@click.option("--spec", type=EXISTING, help="Your specification of the returned block, to keep private notes.")
@SEASON
@PREFER
@click.option("--out", type=OUT, required=True, help="Specification to write, such as next.yaml.")
@FORCE
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

    FILEs are returned blocks of one lifter, or copies of them: the latest block is continued,
    those before it are its history. Structure and order stay yours; first loads, weekly sets,
    exercises that got nowhere for two blocks, tests, bests and a deload first follow what was
    logged, and your word in the review workbook wins. Comments at the top say what changed and why.
    """
    import blockbook

    made = blockbook.next_block(files, out, review, spec, force, prefer, season)
    errors = sum(found.severity == "error" for found in made.log.findings)
    if errors:
        names = " ".join(map(str, files))
        message = f"{errors} error{'s' if errors > 1 else ''} in the log were left out: blockbook read {names}"
        click.echo(f"blockbook: {message}", err=True)
    for remark in made.said_first:
        say(remark)
    for remark in made.remarks:
        say(remark)
    click.echo(f"{out}: check it, then: blockbook build {out} --out sent")
