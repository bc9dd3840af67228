"""What was typed on a block's Meet sheet comes back: understood, said, merged, carried; never lost, never a set."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.comments import Comment

import blockbook
from blockbook.intake.carry_report import carry_report
from blockbook.intake.carrying import carry
from blockbook.intake.log import BlockLog
from blockbook.intake.reading import one_block, read_workbook
from blockbook.intake.report import csv_rows, csv_tables, text_report
from blockbook.workbook.meet_cells import MEET
from blockbook.workbook.write import block_bytes
from tests.intake.meet_block import LIFTED, WITH_A_DEADLIFT, meet_file, meet_log, meet_spec
from tests.intake.small_block import spec_from


def attempts(log: BlockLog) -> list[tuple[str, int, float | None, bool | None]]:
    assert log.meet is not None
    return [(each.lift, each.number, each.weight, each.good) for each in log.meet.attempts]


LIFTED_THEN = [
    ("squat", 1, 107.5, True),  # marked, no weight typed: as planned
    ("squat", 2, 110.0, False),
    ("squat", 3, 110.0, True),
    ("bench", 1, 74.84, None),
]


def retyped(path: Path, change: Callable[[Workbook], None]) -> BlockLog:
    book = load_workbook(path)
    change(book)
    book.save(path)
    return read_workbook(path)


def meet_cells(log: BlockLog) -> dict[str, Any]:
    return {name: value for name, value in log.typed.items() if name.startswith("meet.")}


@pytest.mark.parametrize(
    ("typed", "weight", "said"),
    [({"weight": "pass"}, None, "pass"), ({"mark": "pass", "weight": 110.0}, 110, "110 pass")],
)
def test_an_attempt_that_was_left_out_is_neither_good_nor_missed(
    tmp_path: Path, typed: dict[str, Any], weight: float | None, said: str
) -> None:
    log = meet_log(tmp_path, {"meet.squat.1.mark": "good", **{f"meet.squat.2.{part}": typed[part] for part in typed}})
    assert attempts(log)[1] == ("squat", 2, weight, None)
    assert f"squat 107.5 good, {said}." in text_report(log)
    assert not [found for found in log.findings if found.sheet == MEET]


def test_attempts_are_in_the_log_as_typed_and_understood_and_are_no_sets(tmp_path: Path) -> None:
    log = meet_log(tmp_path, LIFTED)
    assert log.meet is not None
    assert attempts(log) == LIFTED_THEN
    assert (log.meet.total, log.meet.body_weight) == (110, 69.4)
    assert log.meet.attempts[3].raw == {"weight": "165 lb", "mark": "three whites"}
    assert log.meet.raw["meet.goal.wanted"] == "300"
    assert log.sets == meet_log(tmp_path, {}).sets


def test_what_is_not_understood_is_said(tmp_path: Path) -> None:
    found = {finding.code: finding for finding in meet_log(tmp_path, LIFTED).findings}
    assert found.keys() == {"mark-unclear", "number-understood", "unit-converted"}
    assert "bench, first, mark" in found["mark-unclear"].message
    assert (found["mark-unclear"].sheet, found["mark-unclear"].cell) == (MEET, "F10")


def said_of_numbers(log: BlockLog) -> list[str]:
    return [found.message for found in log.findings if found.code == "number-out-of-range"]


@pytest.mark.parametrize("typed", [830, 8.3, 154])
def test_a_body_weight_that_cannot_be_meant_is_said_and_not_used(tmp_path: Path, typed: float) -> None:
    log = meet_log(tmp_path, {"meet.body_weight": typed})
    assert log.meet is not None
    assert (log.meet.body_weight, log.meet.raw["meet.body_weight"]) == (None, f"{typed:g}")
    (said,) = said_of_numbers(log)
    assert said.startswith(f"body weight: {typed:g} kg is too far from the 70 kg of the block")


def test_a_body_weight_typed_with_its_unit_is_converted_and_taken(tmp_path: Path) -> None:
    log = meet_log(tmp_path, {"meet.body_weight": "154 lb"})
    assert log.meet is not None
    assert log.meet.body_weight == pytest.approx(69.85, abs=0.01)
    assert not said_of_numbers(log)


def test_an_attempt_lighter_than_the_one_before_is_said_and_kept(tmp_path: Path) -> None:
    typed = {"meet.squat.1.weight": 110, "meet.squat.1.mark": "miss", "meet.squat.2.weight": 105}
    for mark in ("good", ""):
        log = meet_log(tmp_path, typed | {"meet.squat.2.mark": mark})
        assert attempts(log)[1] == ("squat", 2, 105, True if mark else None)
        (said,) = said_of_numbers(log)
        assert said.startswith("squat, second, weight: 105 kg is lighter than the attempt before it, 110 kg")


def test_an_attempt_in_lb_is_no_maximum(tmp_path: Path) -> None:
    log = meet_log(tmp_path, {"meet.squat.1.weight": 240, "meet.squat.1.mark": "good"})
    assert attempts(log) == [("squat", 1, None, True)]
    (said,) = said_of_numbers(log)
    assert said == "squat, first, weight: 240 kg is far above the planned opener, 107.5 kg: in lb? It is not used."


def test_plates_of_the_warm_up_room_are_read(tmp_path: Path) -> None:
    log = meet_log(tmp_path, {"meet.plates": "lb"})
    assert log.meet is not None
    assert log.meet.raw == {"meet.plates": "lb"}
    assert not log.findings


def test_where_nothing_was_typed_there_is_no_meet_day(tmp_path: Path) -> None:
    log = meet_log(tmp_path, {})
    assert log.meet is None
    assert "meet_day" not in log.to_data()
    assert not log.findings


@pytest.mark.parametrize("as_prefilled", ["70", "70,0", 70, 70.0])
def test_what_was_filled_in_before_is_not_taken_for_typed(tmp_path: Path, as_prefilled: Any) -> None:
    assert meet_log(tmp_path, {"meet.body_weight": as_prefilled}).meet is None


def test_a_body_weight_that_was_taken_out_is_gone(tmp_path: Path) -> None:
    log = retyped(meet_file(tmp_path, {}), lambda book: book[MEET].__setitem__("B29", None))
    assert (log.meet, log.inputs["meet.body_weight"]) == (None, None)


def test_reports_show_it(tmp_path: Path) -> None:
    log = meet_log(tmp_path, LIFTED)
    said = " ".join(text_report(log).split())
    assert "Meet, in kg: squat 107.5 good, 110 miss, 110 good; bench 74.84 three whites." in said
    assert "Total 110. Body weight 69.4. Also typed: goal wanted 300." in said
    assert log.to_data()["meet_day"]["attempts"][1] == {
        "lift": "squat", "number": 2, "weight": 110, "good": False, "raw": {"weight": "110", "mark": "miss"},
    }  # fmt: skip
    rows = list(csv.DictReader(io.StringIO(csv_tables([csv_rows(log)])["attempts.csv"])))
    assert [row["lift"] for row in rows] == ["squat", "squat", "squat", "bench"]


def test_the_sheet_is_found_under_another_name_and_with_rows_put_in(tmp_path: Path) -> None:
    def change(book: Workbook) -> None:
        book[MEET].title = "Saturday"
        for merged in list(book["Saturday"].merged_cells.ranges):
            book["Saturday"].unmerge_cells(str(merged))
        book["Saturday"].insert_rows(1, 2)
        book["Saturday"].insert_rows(12)

    log = retyped(meet_file(tmp_path, LIFTED), change)
    assert [each[:2] for each in attempts(log)] == [each[:2] for each in LIFTED_THEN]
    assert meet_cells(log) == meet_cells(meet_log(tmp_path, LIFTED))


def test_what_is_typed_where_nothing_is_asked_for_is_kept(tmp_path: Path) -> None:
    def change(book: Workbook) -> None:
        book[MEET]["F13"] = "new best"
        book[MEET]["C5"] = 111
        book[MEET]["E6"].comment = Comment("two reds, depth", "Robin")

    log = retyped(meet_file(tmp_path, LIFTED), change)
    kept = {(each.cell, *each.texts.values()) for each in log.unplaced}
    assert kept == {("C5", "111"), ("E6", "two reds, depth"), ("F13", "new best")}
    assert {"typed-beside", "comment-on-cell"} <= {finding.code for finding in log.findings}


def test_a_file_without_the_sheet_is_read_as_ever(tmp_path: Path) -> None:
    log = retyped(meet_file(tmp_path, LIFTED), lambda book: book.remove(book[MEET]))
    assert (log.meet, log.findings) == (None, ())


def test_copies_are_merged_and_differences_said(tmp_path: Path) -> None:
    first = meet_file(tmp_path, {"meet.squat.1.mark": "good", "meet.squat.2.weight": 110}, "a.xlsx")
    second = meet_file(tmp_path, {"meet.squat.2.weight": 112.5, "meet.squat.2.mark": "miss"}, "b.xlsx")
    log = one_block([first, second], prefer=first)
    assert attempts(log) == [("squat", 1, 107.5, True), ("squat", 2, 110.0, False)]
    (differing,) = [finding for finding in log.findings if finding.code == "copies-preferred"]
    assert differing.message.startswith("Meet, squat, second, weight: ")


AS_PLANNED = {"meet.squat.1.weight": 107.5}
"""A mark without a weight: what was planned there is carried as a weight, since a changed block plans another."""


def attempts_of(log: BlockLog) -> list[tuple[str, int, float | None, bool | None]]:
    assert log.meet is not None
    return [(each.lift, each.number, each.weight, each.good) for each in log.meet.attempts]


def test_a_changed_block_takes_it_over(tmp_path: Path) -> None:
    log = meet_log(tmp_path, LIFTED)
    built = blockbook.rebuild(meet_spec(("reps: 8-10", "reps: 6-8")), tmp_path / "returned.xlsx", tmp_path / "new")
    assert "10 meet entries carried" in carry_report(built.carried)
    again = read_workbook(built.path)
    assert attempts_of(again) == attempts_of(log)
    assert meet_cells(again) == meet_cells(log) | AS_PLANNED


def test_a_block_without_a_meet_keeps_it_on_the_earlier_log_and_gives_it_back(tmp_path: Path) -> None:
    log = meet_log(tmp_path, LIFTED)
    without = carry([log], spec_from(WITH_A_DEADLIFT))
    assert "Meet: squat, 6 meet entries (the block does not end in a meet now)" in carry_report(without)
    path = tmp_path / "without.xlsx"
    path.write_bytes(block_bytes(spec_from(WITH_A_DEADLIFT), without.typed, without.earlier))
    back = carry([read_workbook(path)], meet_spec())
    assert {name: value for name, value in back.typed.items() if name.startswith("meet.")} == meet_cells(
        log
    ) | AS_PLANNED
    assert not back.left


def test_a_copy_from_before_the_meet_was_taken_out_loses_nothing(tmp_path: Path) -> None:
    before = meet_file(tmp_path, {"meet.squat.1.mark": "good"})
    after = tmp_path / "zz.xlsx"
    after.write_bytes(block_bytes(spec_from(WITH_A_DEADLIFT)))
    log = one_block([before, after])
    assert ("good",) in [tuple(each.texts.values()) for each in log.unplaced]
    assert any("no Meet sheet any more" in finding.message for finding in log.findings)


@pytest.mark.parametrize("typed", [{"meet.start.squat": 0.4}, {"meet.body_weight": "69,4 kg"}, {"meet.class": 74}])
def test_whatever_else_is_typed_is_kept(tmp_path: Path, typed: dict[str, Any]) -> None:
    log = meet_log(tmp_path, typed)
    assert log.meet is not None
    assert list(log.meet.raw) == list(typed)
