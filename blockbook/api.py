"""One function a command. Each takes paths or objects, returns objects, and never prints."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias, overload

from blockbook import clock
from blockbook.errors import BlockbookError
from blockbook.files import refuse_existing, refuse_other_ending, write_text, write_whole
from blockbook.many import each
from blockbook.spec import schemas
from blockbook.spec.documents import dump_yaml
from blockbook.spec.loading import load_season, parse_spec
from blockbook.spec.models import Specification, Unit
from blockbook.spec.schemas import SCHEMA_LINE
from blockbook.spec.season import Season
from blockbook.spec.templates import in_language, starter
from blockbook.spec.values import slug

if TYPE_CHECKING:
    from blockbook.assessment.coach_word import CoachWord
    from blockbook.assessment.outcome import NextBlock
    from blockbook.assessment.returned_blocks import UnderReview
    from blockbook.demonstration import Demo
    from blockbook.intake.carrying import Carried
    from blockbook.intake.log import BlockLog
    from blockbook.plan.last_block import LastBlock
    from blockbook.planning.making import MadeSeason
    from blockbook.rehearsal.report import Rehearsal

SpecOrPath: TypeAlias = Specification | str | Path
SeasonOrPath: TypeAlias = Season | str | Path
Logged: TypeAlias = Mapping[str, tuple[float | None, float | None, float | None]]


def new(
    template: str | None,
    out: str | Path,
    start: date | None = None,
    unit: Unit = "kg",
    force: bool = False,
    season: SeasonOrPath | None = None,
    language: str | None = None,
) -> Path:
    """Write a starter specification: commented YAML with the schema its first line names beside it, or a workbook.

    out: a name that ends in .xlsx makes it a plan workbook. start: first day of week 1, next Monday if left
    out. season: the block that it has on `start` (today if left out) or next, with its dates and length;
    template then asks for one kind and may be None. language: of the lifter's workbook, such as de or es-MX. Raises
    BlockbookError for an unknown template or language, no template and no season, a season without such a block, or
    a file that is there already.
    """
    text = starter_text(template, start, unit, season, language)
    return write_spec(Path(out), parse_spec(text, "template"), text, force, [INVENTED])


def starter_text(
    template: str | None,
    start: date | None,
    unit: Unit,
    season: SeasonOrPath | None,
    language: str | None,
) -> str:
    """What `new` writes, as YAML text. Raises BlockbookError as it does."""
    if season is not None:
        from blockbook.planning.starting import block_on, season_starter

        known = as_season(season)
        text = season_starter(known, block_on(known, start or clock.today(), template), unit)
    elif template is not None:
        text = starter(template, start or _next_monday(clock.today()), unit)
    else:
        raise BlockbookError("name a template (`blockbook templates` lists them), or a season to follow.")
    return text if language is None else in_language(text, language)


INVENTED = "An example to replace: the lifter, bests and loads are invented."


def convert(source: str | Path, out: str | Path, force: bool = False) -> Path:
    """Write a specification in the other form, YAML or plan workbook, equal in every field; the suffix says which.

    Comments of a YAML file are no fields and stay behind. Raises BlockbookError for a faulty specification, two
    names that ask for one form, or a file that is there already.
    """
    from blockbook.plan.files import is_workbook

    if is_workbook(source) == is_workbook(out):
        raise BlockbookError(
            f"{out}: has the same form as {source}. Convert between YAML (.yaml) and a plan workbook (.xlsx)."
        )
    spec = as_spec(source)
    return write_spec(Path(out), spec, f"{SCHEMA_LINE}\n\n{dump_yaml(spec.to_data())}", force)


def write_spec(
    out: Path,
    spec: Specification,
    text: str,
    force: bool,
    remarks: Sequence[str] = (),
    last: Callable[[], LastBlock] | None = None,
) -> Path:
    """As the suffix says: YAML text with its schema beside it, or a plan workbook with remarks and the last block."""
    from blockbook.plan.files import is_workbook, refuse_other_workbooks

    refuse_other_workbooks(out)
    if is_workbook(out):
        from blockbook.plan.plan_workbook import plan_bytes

        return write_whole(out, plan_bytes(spec, remarks, last() if last else None), force)
    write_text(out, text, force)
    _write_schema_beside(out, force)
    return out


def season(
    meets: Sequence[date],
    out: str | Path,
    first: date | None = None,
    away: Sequence[tuple[date, date]] | None = None,
    lifter: str | None = None,
    ics: str | Path | None = None,
    force: bool = False,
) -> MadeSeason:
    """Count a season back from its meets, and write it as YAML to edit; the season and what changed.

    away: first and last day of each time away. ics: also write a calendar file there. What is left
    out (meets may be empty) stays as in a season that is replaced; the first day is next Monday
    where there is none. Raises BlockbookError for dates that make no season, or a file that is there
    already and `force` not set.
    """
    from blockbook.plan.files import is_workbook
    from blockbook.planning.making import make_season

    out = Path(out)
    if is_workbook(out):
        raise BlockbookError(f"{out}: a season is YAML text. Give its file the end .yaml, such as season.yaml.")
    refuse_existing([out] if ics is None else [out, Path(ics)], force)
    made = make_season(out, meets, first, away, lifter, _next_monday(clock.today()))
    write_text(out, made.to_yaml(), force)
    _write_schema_beside(out, force, schemas.SEASON)
    if ics is not None:
        from blockbook.planning.calendar_file import calendar_bytes

        write_whole(Path(ics), calendar_bytes(made.season), force)
    return made


def _write_schema_beside(path: Path, force: bool, name: str = schemas.SPECIFICATION) -> None:
    """The schema that a file's first line names, so that editors complete its fields."""
    beside = path.parent / name
    if force or not beside.exists():
        write_text(beside, schemas.schema_text(name), force)


def build(
    specs: SpecOrPath | Sequence[SpecOrPath], out: str | Path, force: bool = False, workers: int = 1
) -> list[Path]:
    """One workbook for each specification, in the folder `out`; their paths.

    workers: processes that build at once, for many specifications; a program that asks for several needs its
    `if __name__ == "__main__":`. Raises BlockbookError for a faulty specification, a workbook that is there
    already, or `out` that names a file.
    """
    every = [specs] if isinstance(specs, (Specification, str, Path)) else specs
    built = []
    for made in build_each(every, Path(out), force, workers):
        if isinstance(made, BlockbookError):
            raise made
        built.append(made)
    return built


def build_each(
    specs: Sequence[SpecOrPath], out: Path, force: bool = False, workers: int = 1
) -> Iterator[Path | BlockbookError]:
    """For each specification, in order and as it is done: the path of its workbook, or what is wrong."""
    if out.suffix.casefold() in (".xlsx", ".ods") and not out.is_dir():
        raise BlockbookError(f"{out}: out is the folder for workbooks, which have names of their own. Write a folder.")
    written: set[Path] = set()
    for spec, made in each(_named_workbook, specs, workers):
        try:
            if isinstance(made, BlockbookError):
                raise made
            name, content = made
            path = out / name
            if path in written:
                raise BlockbookError(
                    f"{spec if isinstance(spec, (str, Path)) else path}: another specification of this run has the "
                    "same lifter, title and start, so its workbook would be lost. Change the title."
                )
            written.add(write_whole(path, content, force))
            yield path
        except BlockbookError as error:
            yield error


def _named_workbook(spec: SpecOrPath) -> tuple[str, bytes]:
    """A block's file name and content."""
    from blockbook.workbook.write import block_bytes

    loaded = as_spec(spec)
    return file_name(loaded), block_bytes(loaded)


@dataclass(frozen=True)
class Rebuilt:
    """The workbook of a changed block, and what was carried into it."""

    path: Path
    carried: Carried


def rebuild(
    spec: SpecOrPath, returned: str | Path | Sequence[str | Path], out: str | Path, force: bool = False
) -> Rebuilt:
    """The workbook of a block that was changed half-way, in the folder `out`, with what was logged in its cells.

    returned: the workbook, or several copies of it, that came back so far; later ones win cell by cell. What
    has no place any more stands on a sheet of its own, Earlier log. Raises BlockbookError for another lifter's
    or block's workbook, another unit, and a workbook that is there already.
    """
    from blockbook.intake.carrying import carry
    from blockbook.workbook.write import block_bytes

    loaded = as_spec(spec)
    files = [Path(file) for file in ([returned] if isinstance(returned, (str, Path)) else returned)]
    path = Path(out) / file_name(loaded)
    if any(path.exists() and file.exists() and path.samefile(file) for file in files):
        raise BlockbookError(f"{path}: is the returned workbook itself. Choose another folder, so that it stays.")
    # One by one: each copy may be of another version of the block, and `carry` puts them together.
    carried = carry([log for file in files for log in read([file])], loaded)
    return Rebuilt(write_whole(path, block_bytes(loaded, carried.typed, carried.earlier), force), carried)


def rehearse(
    spec: SpecOrPath,
    lifters: int = 200,
    seed: int = 1,
    out: str | Path | None = None,
    force: bool = False,
    after_week: Callable[[int], None] | None = None,
) -> Rehearsal:
    """What a block is likely to bring: trained by invented lifters around this lifter's numbers.

    lifters: 10 to 5000; same specification, lifters and seed, same numbers. out: a workbook to
    write besides. after_week: called with each week's number once it is played. Raises
    BlockbookError for a faulty specification or a workbook that is there already.
    """
    from blockbook.rehearsal.rehearsal_workbook import rehearsal_bytes
    from blockbook.rehearsal.report import rehearsal_of

    if out is not None:
        refuse_other_ending(Path(out), ".xlsx")
        refuse_existing([Path(out)], force)
    rehearsal = rehearsal_of(as_spec(spec), lifters, seed, after_week)
    if out is not None:
        write_whole(Path(out), rehearsal_bytes(rehearsal), force)
    return rehearsal


def targets(spec: SpecOrPath, logged: Logged) -> dict[str, float | None]:
    """Target load of every set once `logged` is typed into the workbook built from `spec`.

    logged: set key -> (load, reps, rpe); entries and numbers may be missing (None). Loads in
    the block's unit; None where the sheet shows none. Same expressions as the sheet.
    """
    from blockbook.sheet.calculation import Calculation
    from blockbook.workbook.assemble import assemble
    from blockbook.workbook.layout import as_typed, input_name

    workbook = assemble(as_spec(spec))
    inputs = {
        input_name(key, column): as_typed(input_name(key, column), value, workbook.spec.block)
        for key, typed in logged.items()
        for column, value in zip(("load", "reps", "rpe"), typed, strict=True)
        if value is not None
    }
    calculation = Calculation(workbook.book, inputs)
    return {
        planned.key: calculation.number(place.cell("target", planned.number))
        for session in workbook.sessions
        for place, planned in session.sets
    }


@overload
def read(  # type: ignore[overload-overlap]
    files: str | Path, spec: SpecOrPath | None = None, prefer: str | Path | None = None, today: date | None = None
) -> BlockLog: ...
@overload
def read(
    files: Sequence[str | Path],
    spec: SpecOrPath | None = None,
    prefer: str | Path | None = None,
    today: date | None = None,
) -> list[BlockLog]: ...
def read(
    files: str | Path | Sequence[str | Path],
    spec: SpecOrPath | None = None,
    prefer: str | Path | None = None,
    today: date | None = None,
) -> BlockLog | list[BlockLog]:
    """The log of a returned workbook with its findings; for a list of files a list of logs, one a block.

    A file may be a spreadsheet, a folder or a .zip of such; copies of one block are merged. spec: the
    block, for files that lost their hidden manifest. prefer: the file that is right where copies
    differ. today: the day by which a session lies ahead, for another than it is. Raises BlockbookError for a file
    that cannot be read or is not one of our workbooks.
    """
    from blockbook.intake.reading import one_block

    with clock.as_of(today):
        if isinstance(files, (str, Path)):
            return one_block([files], None if spec is None else as_spec(spec), prefer)
        logs, errors = read_each(files, spec, prefer)
    if errors:
        raise errors[0]
    return logs


def read_each(
    files: Sequence[str | Path], spec: SpecOrPath | None = None, prefer: str | Path | None = None
) -> tuple[list[BlockLog], list[BlockbookError]]:
    """The logs of all blocks in the files as `read` gives them, and what is wrong with the other files."""
    from blockbook.intake.reading import read_files

    return read_files(files, None if spec is None else as_spec(spec), prefer)


def read_apart(files: Sequence[str | Path], spec: SpecOrPath | None = None, workers: int = 1) -> list[tuple[Path, ...]]:
    """Many files in groups that share no block, so that `read` need not hold all at once. workers: as in `build`."""
    from blockbook.intake import reading

    return reading.read_apart(files, None if spec is None else as_spec(spec), workers)


def review(
    files: str | Path | Sequence[str | Path],
    out: str | Path,
    force: bool = False,
    spec: SpecOrPath | None = None,
    prefer: str | Path | None = None,
    season: SeasonOrPath | None = None,
    warn: Callable[[str], None] | None = None,
) -> Path:
    """Write the coach's review workbook of one or more returned workbooks; its path. spec, prefer: as in `read`.

    Of several blocks of one lifter the latest is reviewed, the others are its history. season: what the blocks
    are part of, for the sheet Season. warn: called with a sentence for what has no place in it.
    """
    from blockbook.assessment.returned_blocks import by_lifter
    from blockbook.assessment.review_workbook import review_book, reviewed
    from blockbook.assessment.season_page import beside_the_season
    from blockbook.workbook.write import workbook_bytes

    refuse_other_ending(Path(out), ".xlsx")
    logs = read(_paths(files), spec, prefer)
    if not logs:
        raise BlockbookError("no returned workbook was named, so there is nothing to review.")
    lifters, known = by_lifter(logs), None if season is None else as_season(season)
    every = [reviewed(latest, earlier) for *earlier, latest in lifters]
    first = logs[0].spec.block
    content = workbook_bytes(review_book(every, known), {}, first.unit, "Review", first.start)
    written = write_whole(Path(out), content, force)
    for remark in (remark for blocks in lifters for remark in beside_the_season(blocks, known)):
        if warn is not None:
            warn(remark)
    return written


def next_block(
    files: str | Path | Sequence[str | Path],
    out: str | Path,
    review: str | Path | None = None,
    spec: SpecOrPath | None = None,
    force: bool = False,
    prefer: str | Path | None = None,
    season: SeasonOrPath | None = None,
) -> NextBlock:
    """Write the specification of the block after a returned one, buildable as it is, as YAML or a plan workbook.

    files: the returned workbook, or copies of it; of several blocks of one lifter the latest is
    continued, the others are its history. review: the coach's review workbook, whose overrides and
    accepted corrections win. spec: the coach's own specification of the returned block, to take the
    private notes from (a workbook holds none). prefer: as in `read`. season: gives the block its start,
    length, deload week and meet, and says which kind is due. Raises BlockbookError for blocks of
    several lifters, or two that begin on one day.
    """
    from blockbook.plan.last_block import last_block

    made = decide_next(files, review, spec, prefer, season)
    write_spec(Path(out), made.spec, made.to_yaml(), force, last=lambda: last_block(made))
    return made


def decide_next(
    files: str | Path | Sequence[str | Path],
    review: str | Path | None = None,
    spec: SpecOrPath | None = None,
    prefer: str | Path | None = None,
    season: SeasonOrPath | None = None,
) -> NextBlock:
    """The same without writing it. Raises BlockbookError as `next_block` does."""
    from blockbook.assessment.meet_result import after_the_meet
    from blockbook.assessment.next_block import next_block as decide
    from blockbook.assessment.next_block import restore_private_notes
    from blockbook.assessment.outcome import moved_by_corrections

    own = None if spec is None else as_spec(spec)
    read_as, word = _as_reviewed(_paths(files), own, prefer, review)
    try:
        made = decide(read_as.log, word.overrides, read_as.earlier, word.deload)
    except BlockbookError as error:  # what is not understood, and what is and cannot be done: all in one go
        raise BlockbookError("\n".join([*word.mistakes, str(error), *word.on_findings])) from error
    word.refuse_mistakes()
    if moved := moved_by_corrections(made, read_as.shown):
        made = replace(made, remarks=(*made.remarks, moved))
    if own is not None:
        made = replace(made, spec=restore_private_notes(made.spec, own, read_as.log.spec))
    if season is not None:
        from blockbook.planning.following import follow_season

        made = follow_season(made, as_season(season))
    elif over := after_the_meet(made.log):
        made = replace(made, remarks=(*made.remarks, over))
    return made


def _paths(files: str | Path | Sequence[str | Path]) -> list[str | Path]:
    return [files] if isinstance(files, (str, Path)) else list(files)


def _as_reviewed(
    paths: Sequence[str | Path], own: Specification | None, prefer: str | Path | None, review: str | Path | None
) -> tuple[UnderReview, CoachWord]:
    """A lifter's blocks with the corrections accepted in their review, and its word."""
    from blockbook.assessment.coach_word import CoachWord
    from blockbook.assessment.returned_blocks import UnderReview, one_lifter, under_review

    logs = one_lifter(read(paths, own, prefer))
    if review is None:
        return UnderReview(tuple(logs)), CoachWord({})
    return under_review(logs, Path(review), paths, own, prefer)


def meet(
    files: SpecOrPath | Sequence[str | Path],
    out: str | Path,
    start: str | None = None,
    place: int | None = None,
    increment: float = 2.5,
    force: bool = False,
    warn: Callable[[str], None] | None = None,
    review: str | Path | None = None,
    spec: SpecOrPath | None = None,
    prefer: str | Path | None = None,
) -> Path:
    """Write the sheet for a meet's day: attempts, goals, warm-up; its path.

    files: a specification (YAML or plan workbook), whose bests are believed, or returned workbooks, whose log
    is. start: when the flight begins, "HH:MM"; place: in the flight's order, from 1; increment: what attempts
    are multiples of, in kg. warn: called with a sentence where the log holds errors. review, prefer: as in
    `next_block`; spec: as in `read`. Raises BlockbookError for what cannot be read or a lift that nothing is
    known of.
    """
    from blockbook.languages import say, speaking
    from blockbook.sheet.book import Book
    from blockbook.workbook.meet import add_meet, part_of_day
    from blockbook.workbook.write import workbook_bytes

    refuse_other_ending(Path(out), ".xlsx")
    refuse_existing([Path(out)], force)
    if place is not None and not 1 <= place <= 100:
        raise BlockbookError(f"place {place} should be 1 to 100: the lifter's place in the flight's order.")
    begins = None if start is None else part_of_day(start)
    if (written := _specification_among(files)) is not None:
        if (review, spec, prefer) != (None, None, None):
            raise BlockbookError("review, spec and prefer go with a returned workbook, not with a specification.")
        known = as_spec(written)
    else:
        assert not isinstance(files, Specification)
        own = None if spec is None else as_spec(spec)
        read_as, word = _as_reviewed(_paths(files), own, prefer, review)
        word.refuse_mistakes()
        known = _learned_for_the_meet(read_as.log, read_as.earlier, warn)
    book = Book()
    with speaking(known.lifter.language):
        typed = add_meet(book, known.for_lifter(), begins, place, increment)
        content = workbook_bytes(book, typed, known.block.unit, say("Meet"), known.block.meet or known.block.start)
    return write_whole(Path(out), content, force)


def _specification_among(files: SpecOrPath | Sequence[str | Path]) -> SpecOrPath | None:
    """The specification that was named; None where returned workbooks were. Raises BlockbookError for both."""
    if isinstance(files, Specification):
        return files
    from blockbook.plan.files import is_specification

    paths = _paths(files)
    written = [path for path in paths if is_specification(path)]
    if written and len(paths) > 1:
        raise BlockbookError(
            f"{written[0]}: is a specification, and stands alone. With a returned workbook name it as --spec."
        )
    return written[0] if written else None


def _learned_for_the_meet(
    log: BlockLog, earlier: Sequence[BlockLog], warn: Callable[[str], None] | None
) -> Specification:
    from blockbook.assessment.next_block import for_the_meet

    wrong = log.unusable
    if wrong and warn is not None:
        warn(
            f"{len(wrong)} error{'s' if len(wrong) > 1 else ''} in the log, the first: {wrong[0].message} Attempts "
            "rest on the other sets. Settle them first: blockbook review, then meet --review."
        )
    return for_the_meet(log, earlier)


def demo(out: str | Path, force: bool = False) -> Demo:
    """A short season on an invented lifter, in the folder `out`; what was done and where it is."""
    from blockbook.demonstration import play

    return play(Path(out), force)


def as_spec(spec: SpecOrPath) -> Specification:
    from blockbook.plan.files import load_spec

    return spec if isinstance(spec, Specification) else load_spec(spec)


def as_season(season: SeasonOrPath) -> Season:
    return season if isinstance(season, Season) else load_season(season)


def file_name(spec: Specification) -> str:
    """lifter-title-start.xlsx, safe on every system."""
    return f"{slug(spec.lifter.name)}-{slug(spec.short_title)}-{spec.block.start}.xlsx"


def _next_monday(day: date) -> date:
    return day + timedelta(days=7 - day.weekday())
