"""Decided from several blocks: the latest is continued, those before it are its history."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

import blockbook
from blockbook.assessment.coach_word import REVIEW
from blockbook.assessment.next_block import next_block
from blockbook.assessment.trend import Past
from blockbook.errors import BlockbookError
from blockbook.intake.log import BlockLog
from blockbook.spec.models import Specification
from tests.intake.small_block import clean_inputs, edited, followed, log_of, plain_bytes, spec_from

WEEKS = (("  weeks: 2\n", "  weeks: 3\n"), ("rpe: [7.5, 8]", "rpe: [7.5, 8, 8]"))
BEFORE = (*WEEKS, ("title: Small block", "title: Block before"), ("start: 2027-01-04", "start: 2026-12-14"))
PRESS = "lower.leg-press"


def still(spec: Specification, slot: str = PRESS) -> dict[str, Any]:
    """A block done as asked in which one exercise has the same loads, reps and efforts in every week."""
    typed = followed(spec)
    first = {name: value for name, value in typed.items() if name.startswith(f"w1.{slot}.")}
    for week in range(2, spec.block.weeks + 1):
        typed |= {name.replace("w1.", f"w{week}.", 1): value for name, value in first.items()}
    return typed


def two_blocks(folder: Path) -> tuple[BlockLog, BlockLog]:
    before, latest = spec_from(*BEFORE), spec_from(*WEEKS)
    same = still(latest)
    return log_of(folder, before, same), log_of(folder, latest, same)


def files_of(folder: Path) -> tuple[Path, Path]:
    paths = folder / "before.xlsx", folder / "latest.xlsx"
    same = still(spec_from(*WEEKS))
    for path, spec in zip(paths, (spec_from(*BEFORE), spec_from(*WEEKS)), strict=True):
        path.write_bytes(plain_bytes(spec, same))
    return paths


def test_no_progress_over_two_blocks_varies_an_exercise_and_one_block_alone_does_not(tmp_path: Path) -> None:
    before, latest = two_blocks(tmp_path)
    alone = next_block(latest)
    assert {each.exercise for each in alone.decisions} >= {"leg press"}
    made = next_block(latest, earlier=[before])
    press = next(each for each in made.decisions if each.suggestion.key == PRESS)
    assert press.suggestion.choice.kind == "varied"
    assert press.exercise != "leg press"
    assert press.load is None
    assert "No progress over 2 blocks (+0.0 % a week" in press.suggestion.choice.why.replace("-0.0", "+0.0")
    slot = made.spec.sessions[0].slots[1]
    assert (slot.exercise, slot.loads) == (press.exercise, {})
    assert (slot.reps, slot.rpe, slot.sets) == (
        spec_from().sessions[0].slots[1].reps, spec_from().sessions[0].slots[1].rpe, (press.sets,)
    )  # fmt: skip
    exercise, old = made.spec.exercise(press.exercise), made.spec.exercise("leg press")
    assert set(exercise.direct) & set(old.direct)


def test_a_main_lift_that_stands_still_is_told_and_stays(tmp_path: Path) -> None:
    before, latest = spec_from(*BEFORE), spec_from(*WEEKS)
    same = still(latest, "lower.squat")
    made = next_block(log_of(tmp_path, latest, same), earlier=[log_of(tmp_path, before, same)])
    squat = made.decisions[0].suggestion
    assert squat.choice.kind == "kept"
    assert "It is a main lift and stays." in squat.choice.why
    assert squat.choice.why in squat.reason


def test_the_order_of_the_files_does_not_matter_and_the_latest_is_continued(tmp_path: Path) -> None:
    before, latest = files_of(tmp_path)
    one = blockbook.next_block([before, latest], tmp_path / "one.yaml")
    other = blockbook.next_block([latest, before, latest], tmp_path / "other.yaml")
    assert one.spec == other.spec
    assert one.log.spec.block.title == "Small block"
    assert one.outlook.blocks == 2
    assert "Decided from 2 blocks:" in (tmp_path / "one.yaml").read_text("utf-8")


def test_weeks_of_both_blocks_are_counted_from_the_first(tmp_path: Path) -> None:
    trend = Past.of(two_blocks(tmp_path)).trend("leg press")
    assert (trend.weeks, trend.blocks) == (6, 2)


def test_a_block_in_pounds_is_history_of_one_in_kilograms(tmp_path: Path) -> None:
    """The same numbers in another unit are another weight: more than twice as much here."""
    before = spec_from(*BEFORE, ("unit: kg", "unit: lb"))
    logs = log_of(tmp_path, before, still(before)), log_of(tmp_path, spec_from(*WEEKS), still(spec_from(*WEEKS)))
    slope = Past.of(logs).trend("leg press").slope
    assert slope is not None
    assert slope.slope > 0.1


def test_blocks_of_two_lifters_are_refused(tmp_path: Path) -> None:
    _, latest = files_of(tmp_path)
    other = tmp_path / "kim.xlsx"
    other.write_bytes(plain_bytes(spec_from(("name: Robin Sample", "name: Kim Invented")), {}))
    with pytest.raises(BlockbookError, match="blocks of 2 lifters where those of one are wanted") as refused:
        blockbook.next_block([latest, other], tmp_path / "next.yaml")
    assert "Kim Invented (kim.xlsx)" in str(refused.value)


def test_two_blocks_that_begin_on_one_day_are_refused(tmp_path: Path) -> None:
    _, latest = files_of(tmp_path)
    other = tmp_path / "other.xlsx"
    other.write_bytes(plain_bytes(spec_from(("title: Small block", "title: Another one")), clean_inputs()))
    with pytest.raises(BlockbookError, match="two blocks of Robin Sample that begin on 2027-01-04"):
        blockbook.review([latest, other], tmp_path / "review.xlsx")


def test_a_review_of_both_shows_the_latest_and_serves_next_with_the_same_files(tmp_path: Path) -> None:
    files = files_of(tmp_path)
    review = blockbook.review(files, tmp_path / "review.xlsx")
    shown = [row[3].value for row in load_workbook(review)[REVIEW].iter_rows() if row[3].value]
    assert shown.count("Back squat") == 1
    made = blockbook.next_block(files, tmp_path / "next.yaml", review=review)
    assert made.spec == blockbook.next_block(files, tmp_path / "alone.yaml").spec
    with pytest.raises(BlockbookError, match="was made with 1 earlier blocks of the lifter; now there are 0"):
        blockbook.next_block(files[1], tmp_path / "other.yaml", review=review)


def test_the_coach_keeps_an_exercise_that_was_to_be_varied(tmp_path: Path) -> None:
    files = files_of(tmp_path)

    def keep(book: Any) -> None:
        sheet = book[REVIEW]
        heading = next(row for row in sheet.iter_rows() if any(cell.value == "Your choice" for cell in row))
        column = next(cell.column for cell in heading if cell.value == "Your choice")
        row = next(row[0].row for row in sheet.iter_rows() if row[3].value == "Leg press")
        sheet.cell(row, column).value = "Keep"

    review = edited(blockbook.review(files, tmp_path / "review.xlsx"), keep)
    made = blockbook.next_block(files, tmp_path / "next.yaml", review=review)
    press = next(each for each in made.decisions if each.suggestion.key == PRESS)
    assert press.exercise == "leg press"
    assert press.load == press.suggestion.first_load
    assert "Your word; suggested was: Change the exercise" in made.to_yaml()
