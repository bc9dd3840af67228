"""Returned files -> the logs of their blocks: open, find the block, find the rows, understand the cells, check."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TypeAlias

from blockbook.clock import today
from blockbook.cycles import no_search_for_cycles
from blockbook.errors import BlockbookError
from blockbook.intake.copies import merge
from blockbook.intake.earlier import read_earlier
from blockbook.intake.findings import Finding, finding
from blockbook.intake.found import Copy, as_text
from blockbook.intake.log import Accepted, BlockLog, Unplaced
from blockbook.intake.meet_day import meet_keys, said_of_meet
from blockbook.intake.meet_sheet import read_meet
from blockbook.intake.opening import Returned, open_returned
from blockbook.intake.other_workbooks import what_it_is
from blockbook.intake.rows import read_copy, sheets_twice
from blockbook.intake.sent import Sent, manifest_column
from blockbook.intake.spoken import as_spoken, in_language
from blockbook.intake.understanding import Understanding, describer
from blockbook.languages import say, speaking
from blockbook.many import FEW, each
from blockbook.spec.models import Specification
from blockbook.workbook.assemble import BlockBook, assemble
from blockbook.workbook.manifest import Manifest, OtherLayout, digest_of, read_manifest
from blockbook.workbook.row_key import meet_input

_NO_MANIFEST = (
    "this is not a workbook built by blockbook (its hidden manifest is missing). Check that it is the file you mailed; "
    "if a program dropped the hidden sheet, ask for the file as .xlsx, or name the block: --spec block.yaml."
)


_Block: TypeAlias = tuple[str, str, str]
"""Lifter, title and first day: who and which block, the same before and after a block was built again."""


@dataclass(frozen=True)
class _Opened:
    """A returned workbook whose block is known."""

    path: Path
    returned: Returned
    manifest: Manifest
    findings: tuple[Finding, ...]

    @property
    def block(self) -> _Block:
        spec = self.manifest.spec
        return spec.lifter.name.casefold(), spec.block.title.casefold(), spec.block.start.isoformat()

    def is_named(self, name: str | Path) -> bool:
        """Whether a person means this copy: by its file's path, or its name in a folder or archive."""
        return self.path == Path(name) or self.returned.name in (str(name), f"{self.path.name}: {name}")

    def compared_with(self, spec: Specification | None) -> _Opened:
        """With a finding where the coach named the specification of someone else."""
        if spec is None or spec.lifter.name.casefold() == self.manifest.spec.lifter.name.casefold():
            return self
        message = (
            f"The specification named is that of {spec.lifter.name}; the workbook was built for "
            f"{self.manifest.spec.lifter.name}, and read as such."
        )
        return replace(self, findings=(finding("spec-not-used", message),))


def read_workbook(path: str | Path) -> BlockLog:
    """Read one returned workbook. Raises BlockbookError, naming the file, if it is not one of ours."""
    return one_block([path])


def one_block(
    paths: Sequence[str | Path],
    spec: Specification | None = None,
    prefer: str | Path | None = None,
    accepted: Mapping[str, Accepted] | None = None,
) -> BlockLog:
    """The log of one block from its copies.

    Targets and estimates are recomputed from what was typed; cached values in a file are never
    trusted. spec: the block, for files whose hidden manifest is lost; prefer: the file that is
    right where copies differ; accepted: corrections the coach accepted, by input name. Raises
    BlockbookError, naming the file, if one cannot be read or they hold several blocks.
    """
    logs, errors = read_files(paths, spec, prefer, accepted)
    if errors:
        raise errors[0]
    if len(logs) > 1:
        names = ", ".join(map(str, paths))
        blocks = "; ".join(f"{log.spec.lifter.name}, {log.spec.block.title} ({log.file})" for log in logs)
        raise BlockbookError(f"{names}: {len(logs)} blocks where one is wanted: {blocks}. Name the files of one.")
    return logs[0]


def read_files(
    paths: Sequence[str | Path],
    spec: Specification | None = None,
    prefer: str | Path | None = None,
    accepted: Mapping[str, Accepted] | None = None,
) -> tuple[list[BlockLog], list[BlockbookError]]:
    """The logs of all blocks in the files, and what is wrong with files that cannot be read.

    Copies of one block are merged. spec, prefer, accepted: as in `one_block`.
    """
    opened: list[_Opened] = []
    errors: list[BlockbookError] = []
    for path in dict.fromkeys(map(Path, paths)):
        try:
            opened += _opened(path, spec)
        except BlockbookError as error:
            errors.append(error)
    if prefer is not None and not any(one.is_named(prefer) for one in opened):
        raise BlockbookError(f"{prefer}: is not among the files that were read, so it cannot be preferred.")
    blocks: dict[_Block, list[_Opened]] = {}
    for one in opened:
        blocks.setdefault(one.block, []).append(one)
    logs = []
    for copies in blocks.values():
        try:
            logs.append(_read_block(copies, prefer, accepted or {}))
        except BlockbookError as error:
            errors.append(error)
    return logs, errors


def read_apart(
    paths: Sequence[str | Path], spec: Specification | None = None, workers: int = 1
) -> list[tuple[Path, ...]]:
    """Files that can be read apart from the others, since no block is in two of the groups; in the order given.

    A log takes some 10 MB, so of many files only a group's are to be held at once. A few are one group.
    workers, and what it asks of a program: as in `many.each`.
    """
    every = list(dict.fromkeys(map(Path, paths)))
    if len(every) < FEW:
        return [tuple(every)]
    groups: list[tuple[set[_Block], list[Path]]] = []
    for path, found in each(partial(_blocks_in, spec=spec), every, workers):
        blocks = set() if isinstance(found, BlockbookError) else found  # it will say so when it is read
        shared = [group for group in groups if group[0] & blocks]
        into = shared[0] if shared else (set(), [])
        for group in shared[1:]:
            into[0].update(group[0])
            into[1].extend(group[1])
            groups.remove(group)
        if not shared:
            groups.append(into)
        into[0].update(blocks)
        into[1].append(path)
    return [tuple(sorted(files, key=every.index)) for _, files in groups]


def _blocks_in(path: Path, spec: Specification | None) -> set[_Block]:
    return {opened.block for opened in _opened(path, spec)}


@no_search_for_cycles()
def _opened(path: Path, spec: Specification | None) -> list[_Opened]:
    """The workbooks in a file. Of several, those that are none of ours are passed over, and that is said."""
    every = open_returned(path)
    if len(every) == 1:
        return [_identified(path, every[0], spec)]
    ours, strays = [], []
    for returned in every:
        try:
            ours.append(_identified(path, returned, spec))
        except BlockbookError as error:
            strays.append((returned.name, error))
    if not ours:
        raise strays[0][1]
    passed_over = tuple(
        finding("left-aside", f"{name} is no workbook that blockbook built, or has lost its manifest.")
        for name, _ in strays
    )
    return [replace(ours[0], findings=ours[0].findings + passed_over), *ours[1:]]


def manifest_in(returned: Returned) -> Manifest:
    """Which block of which lifter an opened workbook is. Raises BlockbookError if it does not say."""
    column = manifest_column(returned.grids)
    if column is None:
        said = what_it_is(returned.grids)
        raise BlockbookError(f"{said} Name the workbook that came back." if said else _NO_MANIFEST)
    return read_manifest(column)


def _identified(path: Path, returned: Returned, spec: Specification | None) -> _Opened:
    """The block that a workbook belongs to: by its manifest, else the one the coach names."""
    where = path if returned.name == path.name else f"{path.parent / returned.name}"
    try:
        return _Opened(path, returned, manifest_in(returned), ()).compared_with(spec)
    except BlockbookError as error:
        if spec is None or isinstance(error, OtherLayout):
            raise BlockbookError(f"{where}: {error}") from None
        for_lifter = as_spoken(spec.for_lifter(), returned.grids.values())
        manifest = Manifest(for_lifter, digest_of(for_lifter))
        reason = "missing" if manifest_column(returned.grids) is None else "damaged or changed"
        message = f"The hidden manifest is {reason}. The file was read as the block {spec.block.title}, as you said."
        return _Opened(path, returned, manifest, (finding("manifest-missing", message),))


@no_search_for_cycles()
def _read_block(opened: Sequence[_Opened], prefer: str | Path | None, accepted: Mapping[str, Accepted]) -> BlockLog:
    """One block's log from all its copies. Where it was built again in between, the newest copy's block counts."""
    newest = max(enumerate(opened), key=lambda pair: (_saved(pair[1]), pair[0]))[1]
    manifest, workbook = newest.manifest, assemble(newest.manifest.spec)
    sent = {manifest.spec.lifter.language: Sent.of(workbook)}
    several = len(opened) > 1
    copies, findings = [], []
    for one in opened:
        language = one.manifest.spec.lifter.language
        if language not in sent:  # the block was built again in another one
            sent[language] = Sent.of(assemble(in_language(manifest.spec, language)))
        copy = read_copy(one.returned, sent[language], several)
        if one.manifest.digest != manifest.digest:
            copy = _as_rebuilt(copy, one, workbook)
        prefix = f"{one.returned.name}: " if several else ""
        findings += [replace(found, message=prefix + found.message) for found in one.findings]
        findings += [finding("left-aside", f"{prefix}{remark}") for remark in one.returned.remarks]
        findings += [*_another_lifter(one, prefix), *copy.findings, *sheets_twice(copy)]
        copies.append(replace(copy, preferred=prefer is not None and one.is_named(prefer)))
    if not any(copy.rows or copy.unplaced for copy in copies):
        names = ", ".join(str(one.path) for one in opened)
        raise BlockbookError(
            f"{names}: no row of the block {manifest.spec.block.title} of {manifest.spec.lifter.name} was found in it. "
            "Check that it is the workbook you mailed."
        )
    keys = [*sent[manifest.spec.lifter.language].places, *meet_keys(workbook)]
    rows, differences = merge(copies, keys, manifest.spec.block, describer(workbook))
    unplaced = tuple(kept for copy in copies for kept in copy.unplaced)
    earlier = tuple(dict.fromkeys(row for one in opened for row in read_earlier(one.returned.grids)))
    file = ", ".join(one.returned.name for one in opened)
    found = findings + differences
    return Understanding(file, manifest, workbook, rows, found, unplaced, earlier, accepted, today()).read()


def _saved(opened: _Opened) -> str:
    saved = opened.returned.saved
    return saved.replace(tzinfo=None).isoformat() if saved else ""


def _as_rebuilt(copy: Copy, opened: _Opened, now: BlockBook) -> Copy:
    """A copy from before the block was built again, without the rows whose exercise is another one now."""
    then = assemble(opened.manifest.spec)
    was, is_now = _exercises(then), _exercises(now)
    moved = [key for key in copy.rows if key in was and was[key] != is_now.get(key)]
    unplaced, findings = list(copy.unplaced), list(copy.findings)
    if not meet_keys(now):
        of_meet = read_meet(opened.returned, then)
        unplaced += of_meet.left
        findings += of_meet.findings
        for key, found in of_meet.rows.items():
            for cell in (row.cells["load"] for row in found):
                typed = {meet_input(key): as_text(cell.value)}
                unplaced.append(Unplaced(cell.sheet, cell.address, typed))
                message = f"The block has no Meet sheet any more; {said_of_meet(key)}, {as_text(cell.value)}, is kept."
                findings.append(finding("row-unplaced", message, cell.sheet, cell.address, key))
    for key in moved:
        for row in copy.rows[key]:
            typed = {name: as_text(cell.value) for name, cell in row.cells.items() if not cell.empty}
            if typed:
                first = next(cell for cell in row.cells.values() if not cell.empty)
                unplaced.append(Unplaced(first.sheet, first.address, {"exercise": was[key], **typed}))
                message = (
                    f"{was[key]} is not in the block any more; what was logged ({', '.join(typed.values())}) is kept."
                )
                findings.append(finding("row-unplaced", message, first.sheet, first.address, key))
    rows = {key: found for key, found in copy.rows.items() if key not in moved}
    return replace(copy, rows=rows, unplaced=tuple(unplaced), findings=tuple(findings))


def _exercises(workbook: BlockBook) -> dict[str, str]:
    return {planned.key: line.line.exercise.name for place in workbook.sessions for line, planned in place.sets}


def _another_lifter(opened: _Opened, prefix: str) -> Iterator[Finding]:
    """Says when the Start sheet bears another name than the block inside."""
    expected = opened.manifest.spec.lifter.name
    with speaking(opened.manifest.spec.lifter.language):
        labels = {"Lifter", say("Lifter")}
    for sheet, grid in opened.returned.grids.items():
        for number, row in enumerate(grid[:12]):
            if len(row) > 1 and row[0] in labels and as_text(row[1]) not in ("", expected):
                message = f'The sheet names "{as_text(row[1])}" as the lifter; the block was built for {expected}.'
                yield finding("lifter-differs", message, prefix + sheet, f"B{number + 1}", as_text(row[1]))
