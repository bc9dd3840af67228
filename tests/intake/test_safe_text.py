"""What people write stays what it is: private notes with the coach, text that looks like a formula as text."""

from __future__ import annotations

import base64
import io
import zipfile
import zlib
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

import blockbook
from blockbook.intake.reading import read_workbook
from blockbook.spec.models import Specification, session_ids
from blockbook.workbook.layout import MANIFEST
from blockbook.workbook.manifest import read_manifest
from blockbook.workbook.write import block_bytes
from tests.intake.small_block import PRIVATE_NOTES, TOP, clean_file, clean_inputs, find, log_of, set_of, spec_from

FORMULAS = ["=1+1", '=HYPERLINK("http://example.invalid","open")', "+1+1", "@SUM(1)", "{=1+1}"]


def texts_of(content: bytes) -> dict[str, str]:
    """Every text cell of a workbook: address with sheet -> text."""
    book = load_workbook(io.BytesIO(content))
    return {
        f"{sheet.title}!{cell.coordinate}": cell.value
        for sheet in book.worksheets
        for row in sheet.iter_rows()
        for cell in row
        if isinstance(cell.value, str)
    }


def manifest_text(content: bytes) -> str:
    sheet = load_workbook(io.BytesIO(content))[MANIFEST]
    chunks = [str(row[0]) for row in sheet.iter_rows(min_row=4, max_col=1, values_only=True)]
    return zlib.decompress(base64.b64decode("".join(chunks))).decode()


def test_no_private_note_is_anywhere_in_the_workbook() -> None:
    content = block_bytes(spec_from())
    texts = texts_of(content)
    inside = manifest_text(content)
    assert "Brace before every rep" in inside
    assert any("Brace before every rep" in text for text in texts.values())
    for note in PRIVATE_NOTES:
        assert note not in inside
        assert not [place for place, text in texts.items() if note in text]


def test_no_private_note_is_in_any_part_of_the_file() -> None:
    with zipfile.ZipFile(io.BytesIO(block_bytes(spec_from()))) as archive:
        parts = [archive.read(name).decode("utf-8") for name in archive.namelist()]
    assert any("Log each set before the next one." in part for part in parts)
    assert not [note for note in PRIVATE_NOTES for part in parts if note in part]


def test_the_specification_in_a_workbook_is_the_coachs_without_the_private_notes() -> None:
    sheet = load_workbook(io.BytesIO(block_bytes(spec_from())))[MANIFEST]
    column = [row[0] for row in sheet.iter_rows(max_col=1, values_only=True)]
    assert read_manifest(column).spec == spec_from().for_lifter()
    assert spec_from().block.private_note == PRIVATE_NOTES[0]


def spec_that_says(text: str) -> Specification:
    """The small block with the same text wherever the coach writes words that are shown."""
    spec = spec_from()
    block = spec.block.model_copy(update={"title": text, "note": text})
    lifter = spec.lifter.model_copy(update={"name": text})
    sessions = tuple(
        session.model_copy(
            update={
                "name": f"{text} {number}",
                "slots": tuple(slot.model_copy(update={"cue": text, "rest": text[:20]}) for slot in session.slots),
            }
        )
        for number, session in enumerate(spec.sessions)
    )
    changed = spec.model_copy(update={"block": block, "lifter": lifter, "sessions": sessions})
    return Specification.model_validate(changed.model_dump())


def cells_saying(content: bytes, text: str) -> list[Any]:
    book = load_workbook(io.BytesIO(content))
    return [
        cell
        for sheet in book.worksheets
        for row in sheet.iter_rows()
        for cell in row
        if isinstance(cell.value, str) and cell.value.startswith(text)
    ]


@pytest.mark.parametrize("text", FORMULAS)
def test_the_coachs_words_are_never_a_formula(text: str) -> None:
    found = cells_saying(block_bytes(spec_that_says(text)), text)
    assert len(found) >= 2
    assert {cell.data_type for cell in found} == {"s"}
    assert not any(cell.hyperlink for cell in found)


def test_an_exercise_named_like_a_formula_is_no_formula_in_sheets_or_charts() -> None:
    own = "\nexercises:\n  - {name: '=1+1', implement: stack, direct: [glutes]}\n"
    spec = spec_from(("exercise: leg press", "exercise: '=1+1'"), ("sessions:\n", f"{own}sessions:\n"))
    content = block_bytes(spec, {"w1.lower.1-1.1/load": 50, "w1.lower.1-1.1/reps": 8, "w1.lower.1-1.1/rpe": 8})
    assert {cell.data_type for cell in cells_saying(content, "=1+1")} == {"s"}
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        charts = [archive.read(name).decode() for name in archive.namelist() if "charts/chart" in name]
    assert charts
    assert not any("<c:f>1+1" in chart for chart in charts)


@pytest.mark.parametrize("text", FORMULAS)
def test_the_lifters_words_are_never_a_formula_and_come_back(tmp_path: Path, text: str) -> None:
    typed = {**clean_inputs(), f"{TOP}/note": text, "w1.upper.where": text}
    content = block_bytes(spec_from(), typed)
    book = load_workbook(io.BytesIO(content))
    for name in (f"{TOP}/note", "w1.upper.where"):
        cell = find(book, name)
        assert (cell.value, cell.data_type) == (text, "s")
    assert set_of(log_of(tmp_path, spec_from(), typed), TOP).note == text


@pytest.mark.parametrize("text", FORMULAS)
def test_the_lifters_words_are_no_formula_in_the_review(tmp_path: Path, text: str) -> None:
    typed = {**clean_inputs(), f"{TOP}/note": text, f"{TOP}/load": text, "w1.upper.where": text}
    (tmp_path / "returned.xlsx").write_bytes(
        block_bytes(spec_that_says(text), with_keys_of(spec_that_says(text), typed))
    )
    review = blockbook.review(tmp_path / "returned.xlsx", tmp_path / "review.xlsx")
    found = cells_saying(review.read_bytes(), text)
    assert len(found) >= 3
    assert {cell.data_type for cell in found} == {"s"}


def with_keys_of(spec: Specification, typed: dict[str, Any]) -> dict[str, Any]:
    """The same inputs under the keys that another specification's session names make."""
    lower, upper = session_ids(spec)
    return {
        name.replace(".lower.", f".{lower}.").replace(".upper.", f".{upper}."): value for name, value in typed.items()
    }


def test_reading_leaves_the_file_as_it_was(tmp_path: Path) -> None:
    path = clean_file(tmp_path)
    before = path.read_bytes()
    read_workbook(path)
    assert path.read_bytes() == before
