"""The next block: the coach's structure with what was learned, and the coach's own word above all."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

import blockbook
from blockbook.assessment.coach_word import REVIEW, read_word
from blockbook.assessment.next_block import Override, next_block, restore_private_notes
from blockbook.assessment.outcome import NextBlock
from blockbook.assessment.replaced import starts
from blockbook.assessment.review_headlines import headlines
from blockbook.assessment.suggestions import suggest
from blockbook.errors import BlockbookError
from blockbook.intake.reading import read_workbook
from blockbook.sheet.book import Cell
from blockbook.sheet.calculation import Calculation
from blockbook.spec.loading import load_spec, parse_spec
from blockbook.spec.models import Slot, Specification
from blockbook.training.alarm import STILL_ALARMED
from blockbook.training.prescription import PlannedSet
from blockbook.workbook.assemble import assemble
from blockbook.workbook.layout import COLUMN, LinePlace
from tests.intake.small_block import (
    PRIVATE_NOTES,
    TOP,
    clean_file,
    clean_inputs,
    edited,
    followed,
    log_of,
    plain_bytes,
    retyped,
    set_of,
    spec_from,
    worn_out,
)

SQUAT, PRESS, BAND, BENCH = "lower.squat", "lower.leg-press", "lower.band-pull-apart", "upper.bench-press"
PULL_UP = "upper.pull-up"


def following(folder: Path, typed: dict[str, Any], spec: Specification | None = None) -> NextBlock:
    return next_block(log_of(folder, spec or spec_from(), typed))


def slots_of(spec: Specification) -> dict[str, Slot]:
    keys = (SQUAT, PRESS, BAND, BENCH, PULL_UP)
    return dict(zip(keys, spec.slots, strict=True))


def held_for(spec: Specification) -> dict[str, str]:
    """What each exercise is held for, of those that are."""
    return {slot.exercise: slot.held_for for slot in spec.slots if slot.held_for}


def test_structure_order_ids_and_cues_stay_the_coachs(tmp_path: Path) -> None:
    made, own = following(tmp_path, clean_inputs()).spec, spec_from().for_lifter()
    assert [session.model_copy(update={"slots": ()}) for session in made.sessions] == [
        session.model_copy(update={"slots": ()}) for session in own.sessions
    ]
    for key, slot in slots_of(made).items():
        before = slots_of(own)[key]
        assert slot.model_copy(update={"loads": {}, "from_last_block": None, "extra_from_last_block": None}) == before
    assert slots_of(made)[SQUAT].id == "squat"
    assert slots_of(made)[SQUAT].cue == "Brace before every rep"
    assert (made.equipment, made.policy, made.exercises) == (own.equipment, own.policy, own.exercises)


def test_it_begins_the_day_after_and_is_numbered(tmp_path: Path) -> None:
    block = following(tmp_path, clean_inputs()).spec.block
    assert block.start == date(2027, 1, 18)
    assert (block.title, block.weeks, block.deload_week) == ("Small block 2", 2, None)


@pytest.mark.parametrize(
    ("title", "after"), [("Block 3", "Block 4"), ("Strength", "Strength 2"), ("Block 9", "Block 10"), ("x" * 80, None)]
)
def test_the_title_counts_on(tmp_path: Path, title: str, after: str | None) -> None:
    change = ("title: Small block", f"title: {title}")
    made = following(tmp_path, clean_inputs(change), spec_from(change)).spec.block.title
    assert len(made) <= 80
    assert after is None or made == after


def test_the_first_load_is_the_suggestion(tmp_path: Path) -> None:
    made = following(tmp_path, followed(spec_from(), lambda _place, _planned: -2))
    slots = slots_of(made.spec)
    assert made.outlook.suggestions[0].action == "raise"
    for suggestion in made.outlook.suggestions:
        expected = {} if suggestion.first_load is None else {1: suggestion.first_load}
        assert slots[suggestion.key].loads == expected


def test_week_1_of_the_new_workbook_asks_for_that_load(tmp_path: Path) -> None:
    made = following(tmp_path, clean_inputs())
    targets = blockbook.targets(made.spec, {})
    for suggestion in made.outlook.suggestions:
        assert targets[f"w1.{suggestion.key}.1"] == suggestion.first_load


def said_in_week_1(spec: Specification) -> dict[str, str]:
    """What the lifter's sheet says of each load of week 1."""
    workbook = assemble(spec)
    lines = [place for session in workbook.weeks[0] for place in session.lines]
    calculation = Calculation(workbook.book, {})
    said = {each.line.slot_key: Cell(each.sheet, each.reason_row, COLUMN["label"]) for each in lines}
    return {key: str(calculation.value(cell)) for key, cell in said.items()}


def test_the_lifter_reads_that_a_first_load_comes_from_the_last_block_or_that_the_coach_set_it(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), clean_inputs())
    made = next_block(log, {BENCH: Override(load=62.5), PULL_UP: Override(accept=False), PRESS: Override(sets=3)}).spec
    said = said_in_week_1(made)
    assert said[SQUAT] == said[PRESS] == "This load comes from your last block."
    assert said[BENCH] == said[PULL_UP] == "Your coach set this load."
    before = slots_of(made)[SQUAT].loads[1]
    by_hand = made.model_dump(mode="json")
    by_hand["sessions"][0]["slots"][0]["loads"] = {1: before - 2.5}
    assert said_in_week_1(Specification.model_validate(by_hand))[SQUAT] == "Your coach set this load."


def test_the_review_says_where_an_exercise_that_takes_anothers_place_starts(tmp_path: Path) -> None:
    once = f"w1.{PRESS}.1/"
    made = following(tmp_path, {name: v for name, v in clean_inputs().items() if PRESS not in name or once in name})
    start = blockbook.targets(made.spec, {})["w1.lower.hack-squat.1"]
    said = starts(made.log, made.outlook)[PRESS]["hack squat"].said
    assert said == f"Hack squat: the sheet starts it at {start:g} kg."


def test_next_says_at_which_load_the_sheet_starts_an_exercise_of_the_coachs_choice(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), clean_inputs())
    made = next_block(log, {PULL_UP: Override(choice="front squat"), PRESS: Override(choice="stiff-leg deadlift")})
    start = blockbook.targets(made.spec, {})["w1.upper.front-squat.1"]
    shown = made.to_yaml()
    assert f"pull-up -> front squat: the sheet starts it at {start:g} kg, 2 sets" in shown
    assert "leg press -> stiff-leg deadlift: the sheet asks to work up to its first load, 2 sets" in shown


def test_bests_body_weight_and_curve_follow_the_log(tmp_path: Path) -> None:
    made = following(tmp_path, {**clean_inputs(), "w2.upper.body_weight": 71.26})
    lifter = made.spec.lifter
    believed = {suggestion.exercise: suggestion.believed_max for suggestion in made.outlook.suggestions}
    assert lifter.body_weight == 71.3
    assert lifter.curve == made.outlook.curve
    assert lifter.bests["back squat"].load == pytest.approx(believed["back squat"], abs=0.051)
    # The load hung on was observed on the body weight of this block.
    assert lifter.bests["pull-up"].load == pytest.approx((believed["pull-up"] or 0) - 70, abs=0.051)


def test_a_deload_comes_first_where_the_signs_agree(tmp_path: Path) -> None:
    made = following(tmp_path, worn_out())
    assert made.outlook.deload_reason
    block = made.spec.block
    assert (block.deload_week, block.weeks) == (1, 3)
    bench = slots_of(made.spec)[BENCH]
    assert bench.rpe == (6, 7.5, 8)
    assert "Deload first (week 1)" in made.to_yaml()
    assert parse_spec(made.to_yaml()) == made.spec


@pytest.mark.parametrize("typed", [clean_inputs, worn_out, dict], ids=["clean", "worn out", "empty"])
def test_the_yaml_is_an_equal_specification_and_builds(tmp_path: Path, typed: Callable[[], dict[str, Any]]) -> None:
    made = following(tmp_path, typed())
    read_back = parse_spec(made.to_yaml(), "next.yaml")
    assert read_back == made.spec
    (tmp_path / "next.xlsx").write_bytes(plain_bytes(read_back))
    assert read_workbook(tmp_path / "next.xlsx").spec == made.spec


def test_pain_is_held_in_the_next_block_until_the_lifter_says_it_is_gone(tmp_path: Path) -> None:
    made = following(tmp_path, {**clean_inputs(), "w2.lower.pain": "A"}).spec
    assert [slot.exercise for slot in made.slots if slot.hurts] == ["back squat"]
    workbook = assemble(made)
    squat = workbook.weeks[1][0].lines[0].line
    for said, held in ((None, True), ("none", False)):
        calculation = Calculation(workbook.book, {"w1.lower.pain": said})
        assert bool(calculation.number(workbook.workings.cell(squat, "last_pain"))) == held


def test_what_trains_the_same_is_held_where_another_takes_the_place_of_what_hurts(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), {**clean_inputs(), "w2.lower.pain": "B"})
    made = next_block(log, {PRESS: Override(choice="hack squat")})
    assert held_for(made.spec) == {"back squat": "leg press", "hack squat": "leg press"}
    assert "Out of the block though it hurt: leg press. What trains the same is held" in made.to_yaml()
    other = next_block(log, {PRESS: Override(choice="lateral raise")}).spec
    assert held_for(other) == {"back squat": "leg press"}


def test_what_is_held_for_one_that_is_gone_says_so_and_is_free_once_it_is_answered(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), {**clean_inputs(), "w2.lower.pain": "B"})
    made = next_block(log, {PRESS: Override(choice="lateral raise")}).spec
    workbook = assemble(made)
    squat = workbook.weeks[1][0].lines[0].line
    told = str(Calculation(workbook.book, {}).value(workbook.workings.cell(squat, "plan_reason")))
    assert told.startswith("Pain was reported for leg press before this block: no increase here")
    for said, held in ((None, True), ("none", False), ("A", True)):
        calculation = Calculation(workbook.book, {"w1.lower.pain": said})
        assert bool(calculation.number(workbook.workings.cell(squat, "holding_pain"))) == held


def test_one_answer_frees_all_that_is_held_for_the_same(tmp_path: Path) -> None:
    """In the sessions after it, whichever was asked; that it hurts here as well frees this one alone."""
    held = "held_for: hack squat"
    in_both = (
        ("id: squat\n", f"id: squat\n        {held}\n"),
        ("exercise: bench press\n", f"exercise: bench press\n        {held}\n"),
    )
    workbook = assemble(spec_from(*in_both))
    squat, bench = (place.lines[0].line for place in workbook.weeks[1])
    for answers, expected in (
        ({}, (1, 1)),
        ({"w1.upper.pain": "none"}, (0, 0)),
        ({"w1.lower.pain": "none"}, (0, 0)),
        ({"w2.lower.pain": "none"}, (1, 0)),
        ({"w1.lower.pain": "A"}, (0, 1)),
    ):
        calculation = Calculation(workbook.book, answers)
        assert tuple(calculation.number(workbook.workings.cell(line, "held")) for line in (squat, bench)) == expected


def test_what_comes_back_holds_by_its_own_pain(tmp_path: Path) -> None:
    (first := tmp_path / "first").mkdir()
    log = log_of(first, spec_from(), {**clean_inputs(), "w2.lower.pain": "B"})
    spec = next_block(log, {PRESS: Override(choice="lateral raise")}).spec
    unsaid = {name: None for name in clean_inputs() if name.endswith(".pain")}
    log = log_of(tmp_path, spec, {**clean_inputs(), **unsaid})
    raise_key = next(made.key for made in suggest(log).suggestions if made.exercise == "lateral raise")
    made = next_block(log, {raise_key: Override(choice="leg press")}).spec
    assert (held_for(made), [slot.exercise for slot in made.slots if slot.hurts]) == ({}, ["leg press"])


@pytest.mark.parametrize("word", ["dizzy", "chest pain"])
def test_an_alarm_that_nobody_answered_goes_into_the_next_block(tmp_path: Path, word: str) -> None:
    """Nothing is raised or exchanged anywhere, and the lifter's next sheet begins with it."""
    unsaid = {name: None for name in clean_inputs() if name.endswith(".pain")}
    alarm = {**clean_inputs(), **unsaid, "w2.lower.squat.1/note": word}
    made = following(tmp_path, alarm)
    assert made.spec.block.alarm_open
    assert all(each.suggestion.reason.startswith("A physician has the next word") for each in made.decisions)
    assert [each.load for each in made.decisions] == [each.suggestion.week_one(False) for each in made.decisions]
    assert not any(each.suggestion.choice.options for each in made.decisions)
    assert "# A physician has the next word: on the lifter's next sheet" in made.to_yaml()
    workbook = assemble(made.spec)
    first = workbook.weeks[0][0]
    for said, alarmed in ((None, True), ("none", False)):
        calculation = Calculation(workbook.book, {"w1.lower.pain": said})
        assert (calculation.value(Cell(first.sheet, first.said_row, COLUMN["label"])) == STILL_ALARMED) == alarmed
    (answered := tmp_path / "answered").mkdir()
    assert not following(answered, {**alarm, "w2.upper.pain": "none"}).spec.block.alarm_open


@pytest.mark.parametrize(
    ("said", "why", "after"),
    [
        (
            None,
            "Leg press hurt before this block, trains the same and was not said to be well",
            {"back squat": "leg press"},
        ),
        ("none", "", {}),
    ],
)
def test_a_hold_for_one_that_is_gone_goes_on_until_it_is_answered(
    tmp_path: Path, said: str | None, why: str, after: dict[str, str]
) -> None:
    """It takes no set away, as pain of its own would, and what hurt is offered to nobody."""
    (first := tmp_path / "first").mkdir()
    log = log_of(first, spec_from(), {**clean_inputs(), "w2.lower.pain": "B"})
    spec = next_block(log, {PRESS: Override(choice="lateral raise")}).spec
    unsaid = {name: None for name in clean_inputs() if name.endswith(".pain")}
    made = following(tmp_path, {**clean_inputs(), **unsaid, "w1.lower.pain": said}, spec)
    squat = made.decisions[0].suggestion
    assert (squat.near_pain != "", squat.pain, why in squat.reason) == (bool(after), False, True)
    assert squat.next_sets >= squat.sets
    assert "leg press" not in squat.choice.options
    assert held_for(made.spec) == after


def test_a_block_trained_later_than_planned_is_followed_by_one_behind_its_last_session(tmp_path: Path) -> None:
    late = {**clean_inputs(), "w2.lower.date": date(2027, 1, 18), "w2.upper.date": date(2027, 1, 21)}
    made = following(tmp_path, late)
    assert made.spec.block.start == date(2027, 1, 25)
    assert "It was trained until 21 January, later than planned" in made.to_yaml()
    slip = {**clean_inputs(), "w2.upper.date": date(2028, 1, 14)}
    assert following(tmp_path, slip).spec.block.start == date(2027, 1, 18)


def test_a_first_week_that_was_missed_lends_its_load_to_no_other(tmp_path: Path) -> None:
    """The bench press of week 2 was for another effort: the coach's no keeps no load of it for week 1, and the one
    suggested stays."""
    log = log_of(tmp_path, spec_from(), {name: v for name, v in clean_inputs().items() if f"w1.{BENCH}" not in name})
    made = next_block(log, {BENCH: Override(accept=False)})
    suggested = made.outlook.suggestions[3]
    assert suggested.start_load is None
    bench = slots_of(made.spec)[BENCH]
    assert (bench.loads, bench.from_last_block) == ({1: suggested.first_load}, suggested.first_load)


def test_a_session_that_begins_in_week_2_is_decided_as_others_are(tmp_path: Path) -> None:
    later = (
        ("exercise: bench press\n        sets: 3", "exercise: bench press\n        sets: [0, 3]"),
        ("exercise: pull-up\n        sets: 2", "exercise: pull-up\n        sets: [0, 2]"),
    )
    spec = spec_from(*later)
    limit = spec.model_copy(update={"next_block": spec.next_block.model_copy(update={"session_minutes": 40})})
    overran = [made.overran for made in following(tmp_path, followed(limit), limit).outlook.suggestions]
    assert overran == [None, None, 55, None, 55]


def test_loads_that_were_not_typed_are_no_band(tmp_path: Path) -> None:
    without = ("bests: {back squat: 120, bench press: 80, pull-up: 25}", "bests: {}")
    typed = {name: value for name, value in clean_inputs().items() if not name.endswith("/load")}
    reasons = [made.reason for made in following(tmp_path, typed, spec_from(without)).outlook.suggestions]
    assert reasons[0] == "Hold: no load that counts was logged, so none is decided."
    assert reasons[2] == "Hold: a band has no load."


def test_a_best_that_the_log_disproves_is_gone(tmp_path: Path) -> None:
    """Not one rep with body weight alone in four weeks: nothing is left of what went up on top of it."""
    four = ("weeks: 2", "weeks: 4"), ("rpe: [7.5, 8]", "rpe: 8"), ("pull-up: 25", "pull-up: 5")
    typed = followed(spec_from(*four))
    of_it = [name for name in typed if name.split("/")[0].rpartition(".")[0].endswith(PULL_UP)]
    failed = {name: 10 if name.endswith("/rpe") else 0 for name in of_it}
    made = following(tmp_path, {**typed, **failed}, spec_from(*four))
    assert "pull-up" not in made.spec.lifter.bests
    assert made.decisions[4].suggestion.reason.startswith("Change the exercise: not one rep of it went up.")


def test_reps_go_on_where_the_load_stays(tmp_path: Path) -> None:
    """At the top of its range at the old load, since the next is a big step: the new block does not begin anew."""
    coarse = (("stack: {lightest: 5, heaviest: 200, step: 5}", "stack: {lightest: 40, heaviest: 200, step: 40}"),
              ("reps: 8-10", "reps: 6-12"))  # fmt: skip
    spec = spec_from(*coarse)
    typed = followed(spec)
    made = following(tmp_path, typed, spec).spec
    workbook = assemble(made)
    press = workbook.weeks[0][0].lines[1]
    calculation = Calculation(workbook.book, {})
    assert calculation.number(press.cell("target", 1)) == typed[f"w2.{PRESS}.1/load"]
    reps = calculation.number(press.cell("target_reps", 1)) or 0
    assert reps >= typed[f"w2.{PRESS}.1/reps"] > 6


def test_reps_do_not_grow_into_the_next_block_after_sets_that_were_too_hard(tmp_path: Path) -> None:
    def too_hard(place: LinePlace, _planned: PlannedSet) -> float:
        return 2 if place.line.week == 2 else 0

    typed = followed(spec_from(), too_hard)
    made = following(tmp_path, typed).spec
    press = assemble(made).weeks[0][0].lines[1]
    asked = Calculation(assemble(made).book, {}).number(press.cell("target_reps", 1)) or 0
    assert asked <= typed[f"w2.{PRESS}.1/reps"]


def test_slips_of_a_stand_in_make_no_best(tmp_path: Path) -> None:
    spec = spec_from(("exercise: leg press\n", "exercise: leg press\n        stand_ins: [hack squat]\n"))
    typed = {**clean_inputs(), f"w2.{PRESS}_instead": "hack squat"}
    typed |= {name: 1000 for name in clean_inputs() if name.startswith(f"w2.{PRESS}.") and name.endswith("/load")}
    assert "hack squat" not in following(tmp_path, typed, spec).spec.lifter.bests
    sound = {**typed, f"w2.{PRESS}.1/load": 70}
    best = following(tmp_path, sound, spec).spec.lifter.bests["hack squat"]
    assert best.load < 120


def test_the_yaml_says_why_with_pain_first(tmp_path: Path) -> None:
    made = following(tmp_path, {**clean_inputs(), "w2.upper.pain": "B"})
    comments = [line for line in made.to_yaml().splitlines() if line.startswith("#  ") and ":" in line]
    assert comments[0].startswith("#  Upper, pull-up: ")
    assert "Pain was reported: ask the lifter first." in comments[0]
    for suggestion in made.outlook.suggestions:
        assert suggestion.reason in made.to_yaml()


@pytest.mark.parametrize("name", ['"Lower\\nUpper"', "'# Lower: heavy'", "'- Lower'", "'Lower: {a'"])
def test_odd_session_names_do_not_break_the_yaml(tmp_path: Path, name: str) -> None:
    spec = spec_from(("name: Lower\n", f"name: {name}\n    id: lower\n"))
    made = following(tmp_path, clean_inputs(), spec)
    assert parse_spec(made.to_yaml()) == made.spec


def test_sets_that_were_taken_away_are_back_off_sets(tmp_path: Path) -> None:
    change = ("back_off: {sets: 2,", "back_off: {sets: 5,")
    spec = spec_from(change)
    hard = followed(spec, lambda place, _planned: 2 if place.line.slot_key == SQUAT else 0)
    squat = slots_of(following(tmp_path, hard, spec).spec)[SQUAT]
    assert squat.sets == (1,)
    assert squat.back_off is not None
    assert squat.back_off.sets == (4,)


def test_a_best_that_build_would_refuse_is_refused_by_next(tmp_path: Path) -> None:
    """As after a log in another unit of a lift that nothing was known of."""
    unknown = ("bests: {back squat: 120, bench press", "bests: {bench press")
    typed = {**clean_inputs(unknown)}
    typed |= {f"w{week}.lower.squat.{number}/load": 500 for week in (1, 2) for number in (1, 2, 3)}
    log = log_of(tmp_path, spec_from(unknown), typed)
    with pytest.raises(BlockbookError) as refused:
        next_block(log)
    said = str(refused.value)
    assert said.startswith("the next block cannot be written: lifter.bests.back squat: ")
    assert "more than anybody lifts. Check the digits, the unit and body_weight. Change the numbers in" in said
    assert "correct what was logged" in said
    assert "{" not in said


def test_a_part_that_cannot_be_written_is_named_as_people_count_and_a_week_by_its_number(tmp_path: Path) -> None:
    """Of an exercise that nothing is known of, no load is absurd in itself."""
    log = log_of(tmp_path, spec_from(), {})
    with pytest.raises(BlockbookError) as refused:
        next_block(log, {PRESS: Override(load=1_000_000)})
    assert str(refused.value).startswith("the next block cannot be written: sessions[1].slots[2].loads.1: ")


# The coach's word -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("override", "load", "sets"),
    [
        (Override(), "suggested", 2),
        (Override(load=40), 40, 2),
        (Override(sets=5), "suggested", 5),
        (Override(load=20, sets=1), 20, 1),
        (Override(accept=False), "as this block began", 2),
        (Override(accept=False, load=15), 15, 2),
    ],
)
def test_an_override_wins(tmp_path: Path, override: Override, load: float | str, sets: int) -> None:
    log = read_workbook(clean_file(tmp_path))
    suggestion = next_block(log).outlook.suggestions[-1]
    known = {"suggested": suggestion.first_load, "as this block began": suggestion.start_load}
    assert known["suggested"] != known["as this block began"]
    expected = known[load] if isinstance(load, str) else load
    made = next_block(log, {PULL_UP: override})
    pull_up = slots_of(made.spec)[PULL_UP]
    assert (pull_up.loads, pull_up.sets) == ({1: expected}, (sets,))
    last = made.decisions[-1]
    assert (last.suggestion, last.load, last.sets) == (suggestion, expected, sets)


def test_the_coachs_sets_of_a_top_set_with_back_off_count_both(tmp_path: Path) -> None:
    squat = slots_of(next_block(read_workbook(clean_file(tmp_path)), {SQUAT: Override(sets=5)}).spec)[SQUAT]
    assert squat.sets == (1,)
    assert squat.back_off is not None
    assert squat.back_off.sets == (4,)


def reviewed(folder: Path, edit: Callable[[Any], None] | None = None) -> Path:
    """The review workbook of a clean block, as the coach saved it after `edit`."""
    path = blockbook.review(clean_file(folder), folder / "review.xlsx", force=True)
    return edited(path, edit) if edit else path


def typing(exercise: str, **typed: Any) -> Callable[[Any], None]:
    """An edit that types into the row of an exercise: accept, own load, own sets."""
    headings = {"accept": "Accept?", "own": "Your load", "own_sets": "Your sets"}

    def edit(book: Any) -> None:
        sheet = book[REVIEW]
        row, columns = review_row(sheet, exercise)
        for name, value in typed.items():
            sheet.cell(row, columns[headings[name]]).value = value

    return edit


def review_row(sheet: Any, exercise: str) -> tuple[int, dict[str, int]]:
    """Row of an exercise and column of each heading, both from 1."""
    for row in sheet.iter_rows():
        columns = {cell.value: cell.column for cell in row if cell.value}
        if "Accept?" in columns:
            break
    for row in range(1, sheet.max_row + 1):
        if str(sheet.cell(row, columns["Exercise"]).value).casefold() == exercise.casefold():
            return row, columns
    raise LookupError(exercise)


def after_review(folder: Path, edit: Callable[[Any], None] | None = None) -> NextBlock:
    review = reviewed(folder, edit)
    made: NextBlock = blockbook.next_block(clean_file(folder), folder / "next.yaml", review=review)
    return made


def test_a_review_left_as_it_is_changes_nothing(tmp_path: Path) -> None:
    assert after_review(tmp_path).spec == next_block(read_workbook(clean_file(tmp_path))).spec
    digest = read_workbook(clean_file(tmp_path)).digest
    assert set(read_word(reviewed(tmp_path), digest, "kg").overrides.values()) == {Override()}


def test_the_coachs_load_wins(tmp_path: Path) -> None:
    made = after_review(tmp_path, typing("back squat", own=112.5))
    assert slots_of(made.spec)[SQUAT].loads == {1: 112.5}
    assert load_spec(tmp_path / "next.yaml") == made.spec


def test_the_coachs_sets_win(tmp_path: Path) -> None:
    made = after_review(tmp_path, typing("leg press", own_sets=4))
    assert slots_of(made.spec)[PRESS].sets == (4,)
    assert "4 sets" in next(line for line in made.to_yaml().splitlines() if "leg press:" in line)


@pytest.mark.parametrize("answer", ["no", "No ", "n"])
def test_no_keeps_what_this_block_began_with(tmp_path: Path, answer: str) -> None:
    start = clean_inputs()["w1.upper.pull-up.1/load"]
    usual = slots_of(after_review(tmp_path).spec)[PULL_UP]
    (tmp_path / "next.yaml").unlink()
    refused = slots_of(after_review(tmp_path, typing("pull-up", accept=answer)).spec)[PULL_UP]
    assert refused.loads == {1: start}
    assert usual.loads != refused.loads


@pytest.mark.parametrize("typed", ["112,5", "112.5"])
def test_a_load_typed_as_text_is_understood(tmp_path: Path, typed: str) -> None:
    made = after_review(tmp_path, typing("back squat", own=typed))
    assert slots_of(made.spec)[SQUAT].loads == {1: 112.5}


def test_sorted_review_rows_and_renamed_sheets_are_read_by_key(tmp_path: Path) -> None:
    def edit(book: Any) -> None:
        typing("pull-up", own=30)(book)
        sheet = book[REVIEW]
        sheet.title = "My review"
        row, _ = review_row(sheet, "back squat")
        last, _ = review_row(sheet, "pull-up")
        values = [[cell.value for cell in cells] for cells in sheet.iter_rows(min_row=row, max_row=last)]
        for number, line in enumerate(reversed(values), start=row):
            for column, value in enumerate(line, start=1):
                sheet.cell(number, column).value = value

    made = after_review(tmp_path, edit)
    assert slots_of(made.spec)[PULL_UP].loads == {1: 30}
    assert slots_of(made.spec)[SQUAT].loads == {1: made.outlook.suggestions[0].first_load}


WRONG = [
    ("own", "heavy", "Your load"),
    ("own", -5, "Your load"),
    ("own", 5000, "Your load"),
    ("own_sets", "many", "Your sets"),
    ("own_sets", 200, "Your sets"),
    ("own_sets", -1, "Your sets"),
    ("own_sets", 2.5, "Your sets"),
]


@pytest.mark.parametrize(("column", "value", "heading"), WRONG)
def test_a_word_that_cannot_be_used_names_sheet_and_row(tmp_path: Path, column: str, value: Any, heading: str) -> None:
    review = reviewed(tmp_path, typing("leg press", **{column: value}))
    row, _ = review_row(load_workbook(review)[REVIEW], "leg press")
    with pytest.raises(BlockbookError) as refused:
        blockbook.next_block(clean_file(tmp_path), tmp_path / "next.yaml", review=review)
    said = str(refused.value)
    assert said.startswith(f"{review}: ")
    assert f"sheet {REVIEW}, row {row}, {heading}" in said
    assert not (tmp_path / "next.yaml").exists()


def test_every_mistake_of_a_review_is_told_in_order_of_its_rows(tmp_path: Path) -> None:
    """On the whole block and its exercises, understood or not, and behind them those on the sheet Findings."""
    returned = retyped(clean_file(tmp_path), {f"{TOP}/reps": "✓"})
    review = answered(blockbook.review(returned, tmp_path / "review.xlsx"), "perhaps")
    book: Any = load_workbook(review)
    sheet = book[REVIEW]
    for exercise, heading, word in (
        ("Deload first?", "Your choice", "maybe"),
        ("leg press", "Your choice", "drop"),
        ("leg press", "Your load", 0),
        ("back squat", "Your load", 5000),
        ("band pull-apart", "Your load", 10),
        ("pull-up", "Your sets", "many"),
    ):
        row, columns = review_row(sheet, exercise)
        sheet.cell(row, columns[heading]).value = word
    book.save(review)
    with pytest.raises(BlockbookError) as refused:
        blockbook.next_block(returned, tmp_path / "next.yaml", review=review)
    said = [line.removeprefix(f"{review}: sheet ").partition(": ") for line in str(refused.value).splitlines()]
    first = review_row(sheet, "back squat")[0]
    assert [place.partition(" (")[0] for place, _, _ in said] == [
        f"Review, row {first - 1}, Your choice",
        f"Review, row {first}, Your load",
        f"Review, row {first + 1}, Your choice",
        f"Review, row {first + 2}, Your load",
        f"Review, row {first + 4}, Your sets",
        "Findings, row 3, Accept?",
    ]
    assert said[2][2].startswith('no exercise is called "drop"')


@pytest.mark.parametrize(
    ("equipment", "choice", "why"),
    [
        ("", "drop", 'no exercise is called "drop"'),
        ("  stack: {lightest: 5, heaviest: 200, step: 5}\n", "lat pulldown", "lat pulldown is loaded on a stack"),
    ],
    ids=["unknown", "not loaded here"],
)
def test_a_load_beyond_any_in_the_gym_is_told_beside_a_replacement_that_cannot_be(
    tmp_path: Path, equipment: str, choice: str, why: str
) -> None:
    """Which maximum it would be held to is not known; that nobody means it is."""
    free = ("exercise: leg press", "exercise: front squat")
    spec = spec_from(free, (equipment, "")) if equipment else spec_from(free)
    log = log_of(tmp_path, spec, followed(spec))
    with pytest.raises(BlockbookError) as refused:
        next_block(log, {"lower.front-squat": Override(choice=choice, load=5000)})
    of_choice, of_load = str(refused.value).splitlines()
    assert why in of_choice
    heaviest = 20 + 2 * (3 * 25 + 20 + 10 + 5 + 2.5 + 1.25)  # the bar with all plates
    assert of_load == (
        f"Lower, front squat: 5000 kg is far above all that the equipment makes, {heaviest:g} kg at most. Is a decimal "
        "point missing? Correct the load, or leave it empty."
    )
    with pytest.raises(BlockbookError) as refused:
        next_block(log, {"lower.front-squat": Override(choice=choice, load=heaviest + 20)})
    assert str(refused.value) == of_choice


def test_an_exercise_that_does_not_fit_is_refused_in_whole_sentences(tmp_path: Path) -> None:
    review = reviewed(tmp_path)
    book: Any = load_workbook(review)
    row, columns = review_row(book[REVIEW], "back squat")
    book[REVIEW].cell(row, columns["Your choice"]).value = "band pull-apart"
    book.save(review)
    with pytest.raises(BlockbookError) as refused:
        blockbook.next_block(clean_file(tmp_path), tmp_path / "next.yaml", review=review)
    place, _, said = str(refused.value).partition("): ")
    assert place.startswith(f"{review}: sheet {REVIEW}, row {row}, Your choice (cell ")
    assert said == (
        "band pull-apart does not fit here. A band has no load: leave out load, loads, percent, back_off and feeler. "
        "Choose another exercise, write keep, or leave it empty."
    )


def test_a_load_for_a_band_is_refused_in_a_sentence(tmp_path: Path) -> None:
    review = reviewed(tmp_path, typing("band pull-apart", own=10))
    with pytest.raises(BlockbookError, match="band"):
        blockbook.next_block(clean_file(tmp_path), tmp_path / "next.yaml", review=review)


def test_decided_sets_are_the_sets_of_the_new_block(tmp_path: Path) -> None:
    """An exercise with one top set cannot go below it, and what is said about it agrees."""
    made = after_review(tmp_path, typing("leg press", own_sets=0))
    said = next(each.sets for each in made.decisions if each.suggestion.key == PRESS)
    assert slots_of(made.spec)[PRESS].sets == (said,)


def test_the_review_of_another_block_is_refused(tmp_path: Path) -> None:
    another = spec_from(("title: Small block", "title: Another block"))
    (tmp_path / "another.xlsx").write_bytes(plain_bytes(another, clean_inputs()))
    review = blockbook.review(tmp_path / "another.xlsx", tmp_path / "review.xlsx")
    with pytest.raises(BlockbookError, match="holds no review of this block") as refused:
        blockbook.next_block(clean_file(tmp_path), tmp_path / "next.yaml", review=review)
    assert str(review) in str(refused.value)


def test_one_review_of_two_blocks_serves_both(tmp_path: Path) -> None:
    another = spec_from(("name: Robin Sample", "name: Kim Invented"))
    (tmp_path / "kim.xlsx").write_bytes(plain_bytes(another, clean_inputs()))
    files = [clean_file(tmp_path), tmp_path / "kim.xlsx"]
    review = blockbook.review(files, tmp_path / "review.xlsx")
    digests = [log.digest for log in blockbook.read(files)]
    assert len(set(digests)) == 2
    assert [set(read_word(review, digest, "kg").overrides) for digest in digests] == [set(slots_of(another))] * 2


def test_what_is_no_review_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BlockbookError, match=r"this is a lifter's workbook.*A review is wanted here"):
        read_word(clean_file(tmp_path), "any", "kg")


def test_a_review_tells_pain_before_anything_else(tmp_path: Path) -> None:
    path = tmp_path / "hurt.xlsx"
    path.write_bytes(plain_bytes(spec_from(), {**clean_inputs(), "w2.upper.pain": "B", "w2.upper.where": "elbow"}))
    sheet = load_workbook(blockbook.review(path, tmp_path / "review.xlsx"), data_only=True)[REVIEW]
    texts = [str(row[4].value) for row in sheet.iter_rows() if row[4].value]
    at = texts.index("Robin Sample · Small block · 2 weeks from 4 Jan 2027")
    assert texts[at + 1].startswith("First: Pain in week 2, Upper")
    assert "elbow" in texts[at + 1]
    row, columns = review_row(sheet, "pull-up")
    assert row < review_row(sheet, "back squat")[0]
    assert sheet.cell(row, columns["What to do"]).value == "hold (pain)"


def test_several_pains_are_told_in_one_breath(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), {**clean_inputs(), "w2.upper.pain": "B", "w2.lower.pain": "A"})
    (first,) = (text for _, text in headlines(log, (), suggest(log), None) if text.startswith("First: "))
    assert "Pain in week 2, Lower (A, back squat). Pain in week 2, Upper (B, pull-up). Talk" in first


# Private notes --------------------------------------------------------------------------------


def test_private_notes_come_back_from_the_coachs_own_file(tmp_path: Path) -> None:
    without = blockbook.next_block(clean_file(tmp_path), tmp_path / "without.yaml")
    assert not [note for note in PRIVATE_NOTES if note in without.to_yaml()]
    made = blockbook.next_block(clean_file(tmp_path), tmp_path / "next.yaml", spec=spec_from())
    assert made.spec.block.private_note == PRIVATE_NOTES[0]
    assert slots_of(made.spec)[SQUAT].private_note == PRIVATE_NOTES[1]
    assert made.spec.for_lifter() == without.spec
    assert load_spec(tmp_path / "next.yaml") == made.spec


def test_each_slot_gets_its_own_private_note_back() -> None:
    """The same exercise twice in a session, with one note each."""
    slots = (
        "      - {exercise: bench press, reps: 3, rpe: 8, private_note: Heavy single if it flies.}\n"
        "      - {exercise: bench press, reps: 8, rpe: 7, private_note: Stop at the first grind.}\n"
        "      - {exercise: bench press, reps: 12, rpe: 7}\n"
    )
    own = spec_from(("  - name: Lower\n", f"  - name: Press\n    slots:\n{slots}  - name: Lower\n"))
    restored = restore_private_notes(own.for_lifter(), own)
    assert [slot.private_note for slot in restored.sessions[0].slots] == [
        "Heavy single if it flies.", "Stop at the first grind.", "",
    ]  # fmt: skip


# Corrections -----------------------------------------------------------------------------------


@pytest.mark.parametrize(("answer", "reps"), [("yes", 5), ("", None), ("no", None)])
def test_an_accepted_correction_is_used_and_what_was_typed_is_kept(
    tmp_path: Path, answer: str, reps: float | None
) -> None:
    returned = retyped(clean_file(tmp_path), {f"{TOP}/reps": "✓"})
    review = answered(blockbook.review(returned, tmp_path / "review.xlsx"), answer)
    log = blockbook.next_block(returned, tmp_path / "next.yaml", review=review).log
    assert set_of(log, TOP).reps == reps
    assert set_of(log, TOP).raw == {"reps": "✓"}
    assert ("corrected" in {found.code for found in log.findings}) == (answer == "yes")


@pytest.mark.parametrize("sets", [None, 2])
def test_what_a_correction_moves_is_said(tmp_path: Path, sets: int | None) -> None:
    """Of an exercise, too, that the coach had a word on, if it was on its sets alone."""
    typed = {"w2.lower.squat.1/load": 1075, "w2.lower.squat.1/rpe": 9.5}
    returned = retyped(clean_file(tmp_path), typed)
    review = blockbook.review(returned, tmp_path / "review.xlsx")
    book: Any = load_workbook(review)
    (accept,) = [row for row in book["Findings"].iter_rows() if row[2].value == "digit slip"]
    accept[8].value = "yes"
    if sets is not None:
        typing("back squat", own_sets=sets)(book)
    book.save(review)
    before = blockbook.next_block(returned, tmp_path / "before.yaml")
    after = blockbook.next_block(returned, tmp_path / "after.yaml", review=review)
    was, now = (made.outlook.suggestions[0].first_load for made in (before, after))
    assert was != now
    (said,) = after.remarks
    assert said.startswith("Other than the review showed, after the corrections you accepted: back squat (Lower) ")
    assert f"{was:g} to {now:g} kg" in said
    assert before.remarks == ()


def test_a_correction_is_not_used_on_what_was_typed_since(tmp_path: Path) -> None:
    returned = retyped(clean_file(tmp_path), {f"{TOP}/reps": "✓"})
    review = answered(blockbook.review(returned, tmp_path / "review.xlsx"), "yes")
    again = retyped(clean_file(tmp_path), {f"{TOP}/reps": 4})
    log = blockbook.next_block(again, tmp_path / "next.yaml", review=review).log
    assert set_of(log, TOP).reps == 4
    assert "correction-outdated" in {found.code for found in log.findings}


def answered(review: Path, answer: str) -> Path:
    """The review with the coach's answer to the only correction it offers: 5 reps for a tick."""
    book: Any = load_workbook(review)
    sheet = book["Findings"]
    columns = {cell.value: cell.column for cell in sheet[2]}
    (row,) = [row for row in range(3, sheet.max_row + 1) if sheet.cell(row, columns["Likely meant"]).value]
    assert sheet.cell(row, columns["Likely meant"]).value == "reps 5"
    sheet.cell(row, columns["Accept?"]).value = answer
    book.save(review)
    return review


def test_an_answer_that_is_neither_yes_nor_no_names_the_row(tmp_path: Path) -> None:
    returned = retyped(clean_file(tmp_path), {f"{TOP}/reps": "✓"})
    review = answered(blockbook.review(returned, tmp_path / "review.xlsx"), "perhaps")
    with pytest.raises(BlockbookError, match=r'sheet Findings, row 3, Accept\?: "perhaps" is neither yes nor no'):
        blockbook.next_block(returned, tmp_path / "next.yaml", review=review)


def test_a_block_that_came_back_half_way_is_said_to_be_half_way(tmp_path: Path) -> None:
    first_week = {name: value for name, value in clean_inputs().items() if name.startswith("w1.")}
    made = next_block(log_of(tmp_path, spec_from(), first_week))
    assert "Only 1 of 2 weeks is logged" in next(iter(made.above_all))
    assert "# Only 1 of 2 weeks is logged" in made.to_yaml()
    whole = next_block(log_of(tmp_path, spec_from(), clean_inputs()))
    assert not any("is logged" in said for said in whole.above_all)
