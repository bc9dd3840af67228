"""Commands on what came back: read, review, next."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import chain
from textwrap import indent
from typing import TYPE_CHECKING, NamedTuple

import click

from blockbook import clock
from blockbook.cli.options import (
    FORCE,
    PATH,
    PRACTICE,
    PREFER,
    SEASON,
    SPEC,
    each_lifter,
    goes_with,
    lifters_meant,
    needed,
    not_in_a_practice,
    of_one_lifter,
    say_remarks,
)
from blockbook.console import FINDINGS_FOUND, say, then, then_if_watched
from blockbook.errors import BlockbookError

if TYPE_CHECKING:
    from pathlib import Path

    from blockbook.assessment.outcome import NextBlock
    from blockbook.practice.folder import LifterFolder, Practice
    from blockbook.practice.sent_log import Entry

LATE = 3
"""Days from which on a next block that would have begun is said: its log came late, and nobody catches them up."""


@click.command()
@click.argument("files", nargs=-1, type=PATH, metavar="[FILE-or-LIFTER]...")
@click.option("--json", "as_json", is_flag=True, help="Print the whole log and the findings as JSON.")
@click.option("--csv", "csv_folder", type=PATH, help="Also write sets.csv, sessions.csv and findings.csv there.")
@SPEC
@PREFER
@PRACTICE
@FORCE
def read(
    files: tuple[Path, ...],
    as_json: bool,
    csv_folder: Path | None,
    spec: Path | None,
    prefer: Path | None,
    practice: Path | None,
    force: bool,
) -> None:
    """Read returned workbooks: log and findings.

    A FILE is a workbook from any spreadsheet program (.xlsx, .xlsm, .xls, .xlsb, .ods), its
    sheets as .csv, or a folder or .zip of such. Copies of one block are merged, and what they
    disagree about is said.

    Target loads are recomputed from what was typed. Nothing typed is dropped: what cannot be
    understood is kept as it is and reported.

    In a practice, LIFTERs are enough, or none for all: what came back of their current blocks.

    \b
    Examples:
      blockbook read returned.xlsx
      blockbook read robin-sample

    \b
    Exit code 0: clean. 1: findings of severity error. 2: a file cannot be read.
    """
    from blockbook.api import read_apart
    from blockbook.files import refuse_existing, write_text
    from blockbook.intake.report import csv_tables, tables_in
    from blockbook.many import cores

    goes_with("--csv", csv_folder, force=force)
    if csv_folder is not None:
        refuse_existing(tables_in(csv_folder), force)
    failed: list[str] = []
    if meant := lifters_meant(files, practice):
        of_one_lifter(meant[1], spec=spec, prefer=prefer)
        groups, failed = _returned_of(*meant)
    else:
        needed(files, "FILE...")
        groups = [files] if prefer else read_apart(files, spec, cores())
    say_remarks(spec)
    gathered = _Gathered(partial(_told, spec=spec, prefer=prefer, as_json=as_json, tables=csv_folder is not None))
    for text in (_listed if as_json else _apart)(gathered.texts(groups)):
        click.echo(text)
    if csv_folder is not None and gathered.rows:
        tables = csv_tables(gathered.rows)
        for path in tables_in(csv_folder):
            if path.name in tables:
                write_text(path, tables[path.name], force)
            else:
                path.unlink(missing_ok=True)  # of a run before
    if failed := failed + gathered.failed:
        raise BlockbookError("\n".join(failed))
    if gathered.severe:
        raise click.exceptions.Exit(FINDINGS_FOUND)


class _Told(NamedTuple):
    """What is said of some files, so that their logs can be let go: a page or an object a log, rows for tables."""

    texts: list[str]
    rows: list[dict[str, str]]
    failed: list[str]
    severe: bool


def _told(files: tuple[Path, ...], spec: Path | None, prefer: Path | None, as_json: bool, tables: bool) -> _Told:
    from blockbook.api import read_each
    from blockbook.intake.report import csv_rows, json_report, text_report

    logs, errors = read_each(files, spec, prefer)
    return _Told(
        [(json_report if as_json else text_report)(log) for log in logs],
        [csv_rows(log) for log in logs] if tables else [],
        [str(error) for error in errors],
        any(found.severity == "error" for log in logs for found in log.findings),
    )


class _Gathered:
    """What the groups of files have to say, on every core, and what is left of each once it is said."""

    def __init__(self, tell: Callable[[tuple[Path, ...]], _Told]) -> None:
        self.tell = tell
        self.rows: list[dict[str, str]] = []
        self.failed: list[str] = []
        self.severe = False

    def texts(self, groups: Sequence[tuple[Path, ...]]) -> Iterator[str]:
        from blockbook.many import cores, each

        for _, told in each(self.tell, groups, cores()):
            if isinstance(told, BlockbookError):
                self.failed.append(str(told))
                continue
            self.rows += told.rows
            self.failed += told.failed
            self.severe = self.severe or told.severe
            yield from told.texts


def _apart(texts: Iterator[str]) -> Iterator[str]:
    """Pages with a blank line between them."""
    for number, text in enumerate(texts):
        yield f"\n{text}" if number else text


def _listed(texts: Iterator[str]) -> Iterator[str]:
    """One JSON object as it is; several as a list, each as soon as the next is there."""
    held, following = next(texts, None), next(texts, None)
    if held is None or following is None:
        yield from filter(None, [held])
        return
    yield "["
    for text in chain([following], texts):
        yield f"{indent(held, ' ')},"
        held = text
    yield f"{indent(held, ' ')}\n]"


def _returned_of(practice: Practice, lifters: list[LifterFolder]) -> tuple[list[tuple[Path, ...]], list[str]]:
    """The returned files of each lifter's current block, and what is wrong with others."""
    from blockbook.practice.returns import returns_of

    done, wrong = each_lifter(
        practice, lifters, "Looking", lambda lifter: returns_of(lifter, practice.spec_of(lifter.block))
    )
    for lifter, returns in done:
        wrong += returns.problems
        if not returns.files:
            say(f"{lifter.name}: nothing came back yet of the current block.", err=True)
    return [returns.files for _, returns in done if returns.files], wrong


@click.command()
@click.argument("files", nargs=-1, type=PATH, metavar="[FILE-or-LIFTER]...")
@click.option("--out", type=PATH, help="Review workbook to write, such as review.xlsx. Not in a practice.")
@SPEC
@click.option("--season", type=PATH, help="Season the blocks are part of: kinds and weeks to come, sheet Season.")
@PREFER
@PRACTICE
@FORCE
def review(
    files: tuple[Path, ...],
    out: Path | None,
    spec: Path | None,
    season: Path | None,
    prefer: Path | None,
    practice: Path | None,
    force: bool,
) -> None:
    """Write the coach's review workbook.

    It may cover several lifters; of several blocks of one the latest is reviewed, the
    others are its history.

    It says what was done, what is odd, how strength developed, and what to do with each
    exercise. Type your own load, sets or exercise beside a suggestion, or "no" to refuse it:
    first loads, weekly sets per muscle and the sheet What changed follow at once. Type "yes"
    beside a correction of a slip on the sheet Findings. Save, and give the file to
    `blockbook next --review`, with the same FILEs.

    In a practice, LIFTERs are enough, or none for all: a review in each lifter's folder, where
    `next` looks for it. One that holds your word is left alone.

    \b
    Examples:
      blockbook review returned.xlsx --out review.xlsx
      blockbook review robin-sample
    """
    import blockbook

    if out is None and (meant := lifters_meant(files, practice)):
        not_in_a_practice(spec=spec, season=season, prefer=prefer)
        _review_lifters(*meant, force, everyone=not files)
        return
    needed(files, "FILE...")
    needed(out, "--out FILE")
    goes_with("LIFTERs", not out, practice=practice)
    assert out is not None

    def warn(text: str) -> None:
        say(f"blockbook: {text}", err=True)

    made = blockbook.review(list(files), out, force, spec, prefer, season, warn)
    click.echo(made)
    say_remarks(spec)
    returned = files[0] if len(files) == 1 else "FILE..."
    then_if_watched("Say your word in it, save", f"blockbook next {returned} --review {made} --out next.yaml")


def _review_lifters(practice: Practice, lifters: list[LifterFolder], force: bool, everyone: bool) -> None:
    from blockbook.many import cores

    done, wrong = each_lifter(practice, lifters, "Reviewing", partial(_review_one, practice, force, everyone), cores())
    for _, said in done:
        if said:
            say(said)
    if not any(said for _, said in done) and not wrong:
        say("Nothing came back yet of any current block.")
    if wrong:
        raise BlockbookError("\n".join(wrong))


def _review_one(practice: Practice, force: bool, everyone: bool, lifter: LifterFolder) -> str:
    """Review a lifter; the line that says so, empty if there was nothing to do."""
    from blockbook.practice.returns import returns_of
    from blockbook.practice.rounds import holds_a_word, log_of, write_review

    spec = practice.spec_of(lifter.block)
    if everyone and not returns_of(lifter, spec).files:
        return ""
    log, kept = log_of(practice, lifter), lifter.review_of(spec)
    if everyone and not force and kept.exists() and holds_a_word(kept, log):
        return f"{kept} (holds your word: left alone)"
    return str(write_review(lifter, log, force))


@click.command("next")
@click.argument("files", nargs=-1, type=PATH, metavar="[FILE-or-LIFTER]...")
@click.option("--review", type=PATH, help="The review workbook with your word on the suggestions.")
@click.option("--spec", type=PATH, help="Your specification of the returned block, to keep private notes.")
@SEASON
@PREFER
@click.option("--out", type=PATH, help="Specification to write: next.yaml, or next.xlsx. Not in a practice.")
@click.option(
    "--overview", type=PATH, metavar="FILE", help="In a practice: the marked overview; overview.xlsx if left out."
)
@PRACTICE
@FORCE
def next_command(
    files: tuple[Path, ...],
    review: Path | None,
    spec: Path | None,
    season: Path | None,
    prefer: Path | None,
    out: Path | None,
    overview: Path | None,
    practice: Path | None,
    force: bool,
) -> None:
    """Write the next block's specification.

    FILEs are returned blocks of one lifter, or copies of them: the latest block is continued,
    those before it are its history. Structure and order stay yours; first loads, weekly sets,
    exercises that got nowhere for two blocks, tests, bests and a deload first follow what was
    logged, and your word in the review workbook wins. Comments at the top say what changed and why.
    Named .xlsx it is a plan workbook, with what this block showed beside each row.

    In a practice, LIFTERs are enough. With none, it is done for everybody whose Accept? in the
    overview says yes. Each next block waits in its lifter's folder until `mail` or `build` makes it
    the current block.

    \b
    Examples:
      blockbook next returned.xlsx --review review.xlsx --out next.yaml
      blockbook next robin-sample
    """
    import blockbook

    if out is None and (meant := lifters_meant(files, practice)):
        not_in_a_practice(review=review, spec=spec, season=season, prefer=prefer)
        if files and overview:
            raise click.UsageError("--overview says who is meant, and so do LIFTERs. Leave one of them out.")
        _next_of_lifters(*meant, overview, force, marked=not files)
        return
    needed(files, "FILE...")
    needed(out, "--out FILE")
    goes_with("LIFTERs", not out, practice=practice, overview=overview)
    assert out is not None
    made = blockbook.next_block(files, out, review, spec, force, prefer, season)
    say_remarks(spec)
    _say(_next_said(made, " ".join(map(str, files))))
    then(f"{out}: check it", f"blockbook build {out} --out sent")


class _Said(NamedTuple):
    """What is said of a next block: what was left out (on stderr), and why things are as they are, pain first."""

    left_out: str
    remarks: tuple[str, ...]


def _next_said(made: NextBlock, names: str) -> _Said:
    from blockbook.training.doubts_on_dates import doubts_on_meet

    errors = len(made.log.unusable)
    left_out = "error in the log was" if errors == 1 else "errors in the log were"
    text = f"{errors} {left_out} left out: blockbook read {names}"
    used = (f"Used: {found.message}" for found in made.log.findings if found.code == "corrected")
    looks = (f"Look: {said}" for _, said in doubts_on_meet(made.spec))
    return _Said(text if errors else "", (*made.said_first, *used, *made.remarks, *looks))


def _say(said: _Said) -> None:
    if said.left_out:
        say(f"blockbook: {said.left_out}", err=True)
    for remark in said.remarks:
        say(remark)


def _next_of_lifters(
    practice: Practice, lifters: list[LifterFolder], overview: Path | None, force: bool, marked: bool
) -> None:
    from blockbook.many import cores
    from blockbook.practice.folder import OVERVIEW
    from blockbook.practice.rounds import note

    unread: list[str] = []
    if marked:
        lifters, unread = _accepted(practice, overview or practice.root / OVERVIEW, force)
    work = partial(_next_of_one, practice, force)
    done, wrong = each_lifter(practice, lifters, "Deciding", work, cores(), partial(note, practice))
    for lifter, made in done:
        say(made.title)
        _say(_Said(made.said.left_out, tuple(f"{lifter.name}: {remark}" for remark in made.said.remarks)))
    if done:
        say("Look at each lifter's next block if you like, then: blockbook mail")
    if unread or wrong:
        raise BlockbookError("\n".join([*unread, *wrong]))


class _NextOfOne(NamedTuple):
    """What is said of a lifter's next block, and noted of it in the sent log."""

    title: str
    said: _Said
    entries: tuple[Entry, ...]


def _next_of_one(practice: Practice, force: bool, lifter: LifterFolder) -> _NextOfOne:
    from blockbook.practice.rounds import write_next

    decided = write_next(practice, lifter, force)
    made = decided.made
    block = made.spec.block
    said = f"{lifter.name}: {made.spec.short_title}, {block.weeks} weeks from {block.start}"
    if (begun := (clock.today() - block.start).days) >= LATE:
        said += f", {begun} days ago. To begin later, change start in {lifter.next_block}."
    return _NextOfOne(said, _next_said(made, lifter.name), decided.entries)


def _accepted(practice: Practice, overview: Path, force: bool) -> tuple[list[LifterFolder], list[str]]:
    """Those whom the coach said yes to, as things still are; and what is wrong with marks, or the files of others."""
    from blockbook.practice.marks import accepted_now, read_marks

    if not overview.exists():
        raise BlockbookError(f"{overview}: is not there. Name LIFTERs, or: blockbook overview --out {overview.name}")
    marks = read_marks(overview)
    marked = [lifter for lifter in practice.lifters if lifter.name in marks.accepted]
    open_ones = [lifter for lifter in marked if force or not lifter.next_block.exists()]
    seen, unread = each_lifter(practice, open_ones, "Looking", partial(_state_of_one, practice))
    accepted = accepted_now(marks, {lifter.name: state for lifter, state in seen})
    for name, why in accepted.left_out.items():
        say(f"{name}: {why}")
    if len(marked) > len(open_ones):
        say(f"{len(marked) - len(open_ones)} with a next block that waits already.")
    if waiting := [each.name for each in practice.lifters if each.name in marks.passed_over and _waits(practice, each)]:
        say(
            f"Not accepted by the yes at the top, since they need you: {', '.join(waiting)}. Each takes a yes of "
            "their own under Accept?."
        )
    elif not accepted.lifters:
        say(
            f"{'Nobody else' if len(marked) > len(open_ones) else 'Nobody'} is accepted. A lifter who needs you takes "
            "a yes of their own under Accept? in the overview: type it, save, and run next again."
        )
    return [lifter for lifter in open_ones if lifter.name in accepted.lifters], [*marks.mistakes, *unread]


def _waits(practice: Practice, lifter: LifterFolder) -> bool:
    """Whether something came back of a lifter's block and nothing was decided on it."""
    from blockbook.practice.returns import returns_of

    return not lifter.next_block.exists() and bool(returns_of(lifter, practice.spec_of(lifter.block)).files)


def _state_of_one(practice: Practice, lifter: LifterFolder) -> str:
    from blockbook.practice.returns import returns_of

    return returns_of(lifter, practice.spec_of(lifter.block)).state
