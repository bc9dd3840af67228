"""A workbook in another language, filled in by a lifter who types as at home, says the same as its English twin."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from blockbook.intake.believable.notes import word_of_pain
from blockbook.intake.excel_workbook import WORKINGS_NAMES
from blockbook.intake.log import BlockLog
from blockbook.intake.reading import one_block, read_workbook
from blockbook.languages import LANGUAGE_NAMES, say, speaking
from blockbook.spec.models import Specification
from blockbook.workbook.layout import WORKINGS
from blockbook.workbook.manifest import MARKER
from tests.intake.small_block import BENCH, PRESS, TOP, clean_file, edited, find, retyped, set_of, spec_from
from tests.oracles.programs import libreoffice

NAME = "name: Robin Sample"
OTHERS = sorted(set(LANGUAGE_NAMES) - {"en"})
REGIONS = {"de": "de-DE", "es": "es-ES"}


def changes(language: str) -> tuple[tuple[str, str], ...]:
    return () if language == "en" else ((NAME, f"{NAME}\n  language: {language}"),)


def spec_in(language: str) -> Specification:
    return spec_from(*changes(language))


def said(log: BlockLog) -> tuple[Any, ...]:
    """What was lifted, without where it stands."""
    return tuple((s.key, s.load, s.reps, s.rpe, s.one_rep_max, s.target_load) for s in log.sets), [
        (s.key, s.date, s.effort, s.minutes, s.body_weight, s.pain in ("none", ""), s.load) for s in log.sessions
    ]


@pytest.fixture(scope="module", name="twin")
def _twin(tmp_path_factory: pytest.TempPathFactory) -> BlockLog:
    return read_workbook(clean_file(tmp_path_factory.mktemp("english")))


@pytest.mark.parametrize("language", OTHERS)
def test_it_reads_as_its_twin(tmp_path: Path, language: str, twin: BlockLog) -> None:
    log = read_workbook(clean_file(tmp_path, *changes(language)))
    assert (said(log), log.findings) == (said(twin), ())


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("kind", ["xlsx", "ods"])
def test_saved_by_a_program_of_that_region(tmp_path: Path, language: str, kind: str, twin: BlockLog) -> None:
    (saved,) = libreoffice([clean_file(tmp_path, *changes(language))], tmp_path / "saved", kind, REGIONS[language])
    log = read_workbook(saved)
    assert said(log) == said(twin)
    assert {found.code for found in log.findings} <= {"left-aside"}


@pytest.mark.parametrize("language", OTHERS)
def test_rows_are_found_again_without_their_keys(tmp_path: Path, language: str, twin: BlockLog) -> None:
    def lose_keys(book: Any) -> None:
        for sheet in book.worksheets[1:3]:
            sheet.delete_cols(1)

    log = read_workbook(edited(clean_file(tmp_path, *changes(language)), lose_keys))
    assert said(log)[0] == said(twin)[0]
    assert {found.code for found in log.findings} == {"rows-recovered"}


def lose_manifest(book: Any) -> None:
    for sheet in list(book):
        if any(cell.value == MARKER for row in sheet.iter_rows(max_row=3) for cell in row):
            book.remove(sheet)


@pytest.mark.parametrize("language", LANGUAGE_NAMES)
@pytest.mark.parametrize("named", LANGUAGE_NAMES)
def test_a_lost_manifest_is_told_by_the_specification(
    tmp_path: Path, language: str, named: str, twin: BlockLog
) -> None:
    """Whose language counts for nothing: it may be the practice's, or another since."""
    log = one_block([edited(clean_file(tmp_path, *changes(language)), lose_manifest)], spec_in(named))
    assert said(log) == said(twin)
    assert {found.code for found in log.findings} == {"manifest-missing"}


@pytest.mark.parametrize("language", OTHERS)
def test_manifest_and_keys_lost_together(tmp_path: Path, language: str, twin: BlockLog) -> None:
    def lose_both(book: Any) -> None:
        lose_manifest(book)
        for sheet in book.worksheets[1:3]:
            sheet.delete_cols(1)

    log = one_block([edited(clean_file(tmp_path, *changes(language)), lose_both)], spec_in("en"))
    assert said(log)[0] == said(twin)[0]
    assert {found.code for found in log.findings} == {"manifest-missing", "rows-recovered"}


def test_copies_of_a_block_built_again_in_another_language(tmp_path: Path, twin: BlockLog) -> None:
    copies = []
    for language in LANGUAGE_NAMES:
        (folder := tmp_path / language).mkdir()
        copies.append(clean_file(folder, *changes(language)))
    log = one_block(copies)
    assert said(log)[0] == said(twin)[0]
    assert log.unplaced == ()


def test_every_sheet_as_csv_of_that_region(tmp_path: Path, twin: BlockLog) -> None:
    """With semicolons and decimal commas; the manifest is not among them, so the coach names the block."""
    path = clean_file(tmp_path, *changes("de"))
    out = tmp_path / "saved"
    libreoffice(
        [path], out, "csv:Text - txt - csv (StarCalc):59,34,76,1,,1031,false,true,false,false,false,-1", "de-DE"
    )
    (weeks := tmp_path / "weeks").mkdir()
    assert re.search(r";\d+,\d+;", next(out.glob("*Woche 1*.csv")).read_text("utf-8"))
    for sheet in out.glob("*Woche*.csv"):
        sheet.rename(weeks / sheet.name)
    log = one_block(sorted(weeks.iterdir()), spec_in("en"))
    assert said(log)[0] == said(twin)[0]


TYPED = [
    ("de", "82,5 kg", "load", 82.5), ("de", "180 Pounds", "load", 81.65), ("de", "8 Wdh.", "reps", 8),
    ("de", "noch 2", "rpe", 8), ("de", "2 übrig", "rpe", 8), ("de", "bis zum Versagen", "rpe", 10),
    ("es", "82,5 kg", "load", 82.5), ("es", "180 libras", "load", 81.65), ("es", "8 repeticiones", "reps", 8),
    ("es", "quedan 2", "rpe", 8), ("es", "2 en reserva", "rpe", 8), ("es", "al fallo", "rpe", 10),
    ("de", "nicht geschafft", "rpe", 10), ("es", "fallida", "rpe", 10),
]  # fmt: skip


@pytest.mark.parametrize(("language", "text", "column", "number"), TYPED)
def test_words_as_lifters_type_them(tmp_path: Path, language: str, text: str, column: str, number: float) -> None:
    path = retyped(clean_file(tmp_path, *changes(language)), {f"{PRESS}/{column}": text})
    logged = set_of(read_workbook(path), PRESS)
    assert (getattr(logged, column), logged.raw[column]) == (number, text)


@pytest.mark.parametrize(("text", "code"), [("ausgelassen", "not-done"), ("saltado", "not-done"), ("erledigt", "tick")])
def test_what_is_no_number_is_told_from_one(tmp_path: Path, text: str, code: str) -> None:
    log = read_workbook(retyped(clean_file(tmp_path), {f"{TOP}/load": text}))
    assert code in {found.code for found in log.findings}


@pytest.mark.parametrize(("language", "text"), [("de", "keine"), ("de", "nein"), ("es", "ninguno"), ("es", "no")])
def test_no_pain_in_their_own_words(tmp_path: Path, language: str, text: str) -> None:
    log = read_workbook(retyped(clean_file(tmp_path, *changes(language)), {"w1.lower.pain": text}))
    assert not any(session.hurts for session in log.sessions)
    assert not [found for found in log.findings if found.code.startswith("pain")]


@pytest.mark.parametrize(("language", "text"), [("de", "leichter Schmerz links"), ("es", "un tirón en la espalda")])
def test_pain_in_a_note_is_told(tmp_path: Path, language: str, text: str) -> None:
    log = read_workbook(retyped(clean_file(tmp_path, *changes(language)), {f"{BENCH}/note": text}))
    assert log.findings[0].code == "pain-in-note"


@pytest.mark.parametrize(
    "text",
    ["Schulter tat weh", "leichtes Ziehen im Oberschenkel", "es sticht", "me dolía el hombro", "me duelen las rodillas",
     "algo agudo en la rodilla"],
)  # fmt: skip
def test_words_of_pain(text: str) -> None:
    assert word_of_pain(text)


@pytest.mark.parametrize(
    "text",
    ["tut nicht weh", "ohne Ziehen", "explosiv ziehen", "sin dolor", "no me duele", "Stange gezogen bis zur Hüfte",
     "pull to the hip", "we had a good day", "dole out the rest"],
)  # fmt: skip
def test_words_that_are_no_pain(text: str) -> None:
    assert not word_of_pain(text)


@pytest.mark.parametrize(
    ("language", "paper"), [("de", 9), ("de-AT", 9), ("es-MX", 1), ("en-US", 1), ("en-GB", 9), ("en", 9)]
)
def test_paper_and_decimal_mark_follow_the_region(tmp_path: Path, language: str, paper: int) -> None:
    book = load_workbook(clean_file(tmp_path, (NAME, f"{NAME}\n  language: {language}")))
    assert {sheet.page_setup.paperSize for sheet in book} == {paper}


def test_the_workings_are_passed_over_in_every_language() -> None:
    names = []
    for language in LANGUAGE_NAMES:
        with speaking(language):
            names.append(say(WORKINGS))
    assert sorted(names) == sorted(WORKINGS_NAMES)


def test_the_pain_cell_offers_words_of_the_language(tmp_path: Path) -> None:
    book = load_workbook(clean_file(tmp_path, *changes("de")))
    sheet = book["Woche 1"]
    offered = [found.formula1 for found in sheet.data_validations.dataValidation if "keine" in str(found.formula1)]
    assert offered == ['"keine,A,B,C,alle"', '"keine,A,B,alle"']
    assert find(book, "w1.lower.pain").value == "none"
