"""Whatever was done to the file: all that was typed is in the log, at its set, and what was guessed is told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

import blockbook
from blockbook.errors import BlockbookError
from blockbook.intake.findings import Finding
from blockbook.intake.log import BlockLog
from tests.programs import entries
from tests.programs.cases import BINARY, CASES, SHEETS, Case
from tests.programs.jobs import Job, Step, carry_out
from tests.programs.judging import lost, silent, unheard, unplaced_rows, untold
from tests.programs.sent import SPEC, content, typed


@dataclass(frozen=True)
class Returned:
    """One file to be made: by which program, what is done, how it is saved."""

    program: str
    kind: str
    steps: tuple[Step, ...]

    @property
    def group(self) -> pytest.MarkDecorator:
        """Keeps the tests of one program on one worker, so that it is started once."""
        return pytest.mark.xdist_group(self.program)


@dataclass
class Workshop:
    """Makes the files that the chosen tests ask for, those of one program in one go, and reads each once."""

    folder: Path
    wanted: Sequence[Returned]
    paths: dict[Returned, Path] = field(default_factory=dict)
    logs: dict[tuple[Returned, bool], BlockLog] = field(default_factory=dict)
    failed: dict[str, BaseException] = field(default_factory=dict)

    def file(self, returned: Returned) -> Path:
        program = returned.program
        if program in self.failed:
            raise self.failed[program]
        if returned not in self.paths:
            try:
                self._make(program)
            except BaseException as error:  # a skip as well: no program is started twice
                self.failed[program] = error
                raise
        return self.paths[returned]

    def log(self, returned: Returned, with_spec: bool) -> BlockLog:
        path = self.file(returned)
        if (returned, with_spec) not in self.logs:
            given = {"spec": SPEC} if with_spec else {}
            self.logs[returned, with_spec] = blockbook.read(path, **given)
        return self.logs[returned, with_spec]

    def _make(self, program: str) -> None:
        sent = self.folder / "robin.xlsx"
        sent.write_bytes(content())
        folder = self.folder / program
        folder.mkdir()
        every = [returned for returned in dict.fromkeys(self.wanted) if returned.program == program]
        paths = {
            one: folder / f"{number}{'' if one.kind == 'csv' else '.' + one.kind}" for number, one in enumerate(every)
        }
        carry_out(program, [Job(str(sent), one.steps, one.kind, str(path)) for one, path in paths.items()])
        self.paths |= paths


@pytest.fixture(scope="session")
def workshop(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Workshop:
    asked = (getattr(item, "callspec", None) for item in request.session.items)
    wanted = [spec.params["returned"] for spec in asked if spec and isinstance(spec.params.get("returned"), Returned)]
    return Workshop(tmp_path_factory.mktemp("programs"), wanted)


@pytest.fixture(scope="session")
def usual(tmp_path_factory: pytest.TempPathFactory) -> tuple[Finding, ...]:
    """The findings of the file as it was sent back, untouched by any program."""
    path = tmp_path_factory.mktemp("untouched") / "robin.xlsx"
    path.write_bytes(content())
    log: BlockLog = blockbook.read(path)
    assert (lost(log, typed()), silent(log, typed())) == ([], [])
    return log.findings


def _cases(cases: Sequence[Case]) -> Iterator[Any]:
    for case in cases:
        for program in case.by:
            for kind in case.kinds:
                returned = Returned(program, kind, case.steps)
                yield pytest.param(returned, case, id=f"{program}, {kind}: {case.what}", marks=returned.group)


@pytest.mark.parametrize(("returned", "case"), [*_cases(CASES)])
def test_nothing_typed_is_lost(workshop: Workshop, returned: Returned, case: Case) -> None:
    log = workshop.log(returned, case.with_spec)
    expected = {name: value for name, value in case.expected.items() if name not in case.rivals}
    assert lost(log, expected, case.unknowable) == []
    assert unheard(log, case.beside) == []
    for name, rival in case.rivals.items():
        values = [case.expected[name], rival]
        kept = [value for value in values if not lost(log, {name: value})]
        assert len(kept) == 1
        assert unheard(log, [f"{value:g}" for value in values if value not in kept]) == []


@pytest.mark.parametrize(("returned", "case"), [*_cases(CASES)])
def test_nothing_is_changed_or_guessed_in_silence(
    workshop: Workshop, usual: tuple[Finding, ...], returned: Returned, case: Case
) -> None:
    log = workshop.log(returned, case.with_spec)
    placed = {
        name: value for name, value in case.expected.items() if name not in case.unknowable or not unplaced_rows(log)
    }
    assert silent(log, placed, usual) == []
    assert untold(log, sorted(case.guessed | case.gone), usual) == []


@pytest.mark.parametrize(("returned", "case"), [*_cases([case for case in CASES if case.what == "saved"])])
def test_a_file_that_was_only_saved_again_gives_the_same_findings(
    workshop: Workshop, usual: tuple[Finding, ...], returned: Returned, case: Case
) -> None:
    new = [found for found in workshop.log(returned, case.with_spec).findings if found not in usual]
    assert [found for found in new if found.severity != "note"] == []


@pytest.mark.parametrize(("returned", "case"), [*_cases(BINARY)])
def test_a_binary_workbook_is_read_whole_or_refused(workshop: Workshop, returned: Returned, case: Case) -> None:
    try:
        log = workshop.log(returned, case.with_spec)
    except BlockbookError:
        return
    assert (lost(log, case.expected), silent(log, case.expected)) == ([], [])


WITHOUT_MANIFEST = [case for case in SHEETS if case.with_spec]


@pytest.mark.parametrize(("returned", "case"), [*_cases(WITHOUT_MANIFEST)])
def test_a_file_without_its_manifest_is_refused_with_the_way_out(
    workshop: Workshop, returned: Returned, case: Case
) -> None:
    with pytest.raises(BlockbookError, match="--spec"):
        workshop.log(returned, not case.with_spec)


def _entries() -> Iterator[Any]:
    for program in entries.BY:
        returned = Returned(program, "xlsx", entries.STEPS)
        for name, text in entries.ENTRIES.items():
            yield pytest.param(returned, name, id=f"{program}: {text!r} in {name}", marks=returned.group)


@pytest.mark.parametrize(("returned", "name"), [*_entries()])
def test_an_entry_that_is_no_plain_number_is_kept_and_told(workshop: Workshop, returned: Returned, name: str) -> None:
    log = workshop.log(returned, with_spec=False)
    stands = {name: entries.stands(returned.program, name)}
    assert lost(log, stands) == []
    assert [one for one in silent(log, stands) if one.startswith(f"{name}:")] == []
