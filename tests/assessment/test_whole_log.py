"""A whole log in doubt: nothing is decided from it before the coach has said yes or no on the sheet Findings."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

import blockbook
from blockbook.assessment.coach_word import correction, read_answers
from blockbook.assessment.next_block import next_block
from blockbook.assessment.suggestions import suggest
from blockbook.demonstration import fill_in
from blockbook.errors import BlockbookError
from blockbook.intake.findings import finding
from blockbook.intake.reading import read_workbook
from blockbook.spec.models import Specification
from blockbook.spec.values import WEEKLY_FIELDS
from blockbook.workbook.assemble import assemble
from tests.intake.small_block import clean_inputs, log_of, plain_bytes, spec_from
from tests.samples import template_spec

STRONGER = ("back squat: 120, bench press: 80, pull-up: 25", "back squat: 190, bench press: 130, pull-up: 70")


def in_pounds() -> dict[str, Any]:
    return {name: round(value * 2.2046) if name.endswith("/load") else value for name, value in clean_inputs().items()}


def as_reserves() -> dict[str, Any]:
    return {name: 10 - value if name.endswith("/rpe") else value for name, value in clean_inputs().items()}


DOUBTED = {
    "unit-mixed-up": in_pounds(),
    "reserve-for-effort": as_reserves(),
    "wrong-lifter": clean_inputs(STRONGER),
}


def returned(folder: Path, code: str) -> Path:
    log_of(folder, spec_from(), DOUBTED[code])
    return folder / "returned.xlsx"


def answered(files: Path, folder: Path, code: str, answer: str) -> Path:
    review = Path(blockbook.review(files, folder / "review.xlsx"))
    book: Any = load_workbook(review)
    columns = {cell.value: cell.column for cell in book["Findings"][2]}
    kind = code.replace("-", " ")
    (row,) = [row for row in book["Findings"].iter_rows(min_row=3) if row[columns["Kind"] - 1].value == kind]
    row[columns["Accept?"] - 1].value = answer
    book.save(review)
    return review


@pytest.mark.parametrize("code", DOUBTED)
def test_nothing_is_decided_from_a_log_in_doubt(tmp_path: Path, code: str) -> None:
    log = log_of(tmp_path, spec_from(), DOUBTED[code])
    assert {made.first_load for made in suggest(log).suggestions} == {None}
    assert all("sheet Findings" in made.reason for made in suggest(log).suggestions)
    review = Path(blockbook.review(tmp_path / "returned.xlsx", tmp_path / "review.xlsx"))
    cells = [cell.value for row in load_workbook(review)["Review"].iter_rows() for cell in row]
    assert cells.count("Not decided: the whole log is in doubt (sheet Findings).") == 1 + len(suggest(log).suggestions)
    with pytest.raises(BlockbookError, match=r"returned\.xlsx: .* Write a review with `blockbook review`"):
        next_block(log)
    with pytest.raises(BlockbookError, match="Nothing is decided"):
        blockbook.meet([tmp_path / "returned.xlsx"], tmp_path / "meet.xlsx")


def test_a_block_before_it_in_doubt_is_no_history(tmp_path: Path) -> None:
    before = log_of(tmp_path, spec_from(), DOUBTED["unit-mixed-up"])
    latest = log_of(tmp_path, spec_from(("start: 2027-01-04", "start: 2027-02-01")), clean_inputs())
    with pytest.raises(BlockbookError, match="fit lb, not kg"):
        next_block(latest, earlier=[before])


@pytest.mark.parametrize("code", ["unit-mixed-up", "reserve-for-effort"])
def test_yes_decides_from_what_was_likely_meant(tmp_path: Path, code: str) -> None:
    files = returned(tmp_path, code)
    made = blockbook.next_block(files, tmp_path / "next.yaml", answered(files, tmp_path, code, "yes"))
    honest = next_block(log_of(tmp_path, spec_from(), clean_inputs()))
    assert [slot.loads for s in made.spec.sessions for slot in s.slots] == [
        slot.loads for s in honest.spec.sessions for slot in s.slots
    ]


@pytest.mark.parametrize("code", DOUBTED)
def test_no_goes_on_with_what_was_typed(tmp_path: Path, code: str) -> None:
    files = returned(tmp_path, code)
    made = blockbook.next_block(files, tmp_path / "next.yaml", answered(files, tmp_path, code, "no"))
    assert {name: made.log.inputs[name] for name in DOUBTED[code] if "/" in name} == {
        name: value for name, value in DOUBTED[code].items() if "/" in name
    }


def test_another_lifters_log_offers_no_correction(tmp_path: Path) -> None:
    files = returned(tmp_path, "wrong-lifter")
    review = answered(files, tmp_path, "wrong-lifter", "yes")
    with pytest.raises(BlockbookError, match="Correct the file, or write no to go on with what was typed"):
        blockbook.next_block(files, tmp_path / "next.yaml", review)


def test_no_to_a_set_settles_nothing_of_the_whole_log(tmp_path: Path) -> None:
    log = read_workbook(returned(tmp_path, "unit-mixed-up"))
    one = finding("unit-mixed-up", "One set.", "Week 1", "G5", "226", {"w1.lower.squat.1/load": 102.5})
    assert not one.stops
    assert correction(log, one).split()[1:] == ["w1.lower.squat.1/load=102.5<226"]
    assert correction(log, log.findings[0]).split()[1] == "unit-mixed-up"


def twelve_weeks_of_strength() -> Specification:
    """The template's four sessions over its first weeks again and again, with the deload at the end."""
    data = template_spec("strength").to_data()
    data["block"] |= {"weeks": 12, "deload_week": 12}
    for slot in (slot for session in data["sessions"] for slot in session["slots"]):
        for part in (slot, slot.get("back_off", {})):
            weekly = {name: part[name] for name in WEEKLY_FIELDS if isinstance(part.get(name), list)}
            part |= {name: [*values[:4], *values[:4], *values[:3], values[4]] for name, values in weekly.items()}
    return Specification.model_validate(data)


def test_the_correction_of_a_long_log_fits_into_a_cell(tmp_path: Path) -> None:
    """Some eight hundred loads."""
    spec = twelve_weeks_of_strength()
    typed = fill_in(assemble(spec))
    path = tmp_path / "returned.xlsx"
    pounds = {
        name: round(value * 2.2046) if name.endswith("/load") and value else value for name, value in typed.items()
    }
    path.write_bytes(plain_bytes(spec, pounds))
    log = read_workbook(path)
    (found,) = (each for each in log.findings if each.code == "unit-mixed-up")
    assert len(found.likely) > 800
    assert len(correction(log, found)) < 32_767
    review = answered(path, tmp_path, "unit-mixed-up", "yes")
    accepted = read_answers(review, log.digest).accepted
    assert {name: value.value for name, value in accepted.items()} == dict(found.likely)
