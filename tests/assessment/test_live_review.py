"""The review workbook calculates what `next` then writes, whatever the coach types."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook

import blockbook
from blockbook.assessment import decided_said
from blockbook.assessment.changes_page import CHANGES
from blockbook.assessment.coach_word import REVIEW, read_word
from blockbook.assessment.decided import deload_flag
from blockbook.assessment.next_block import Override, next_block
from blockbook.assessment.outcome import NextBlock
from blockbook.assessment.review_tables import LOG, TRENDS
from blockbook.assessment.review_workbook import review_book, reviewed
from blockbook.assessment.season_page import SEASON
from blockbook.assessment.suggestions import suggest
from blockbook.assessment.wording import load_said
from blockbook.errors import BlockbookError
from blockbook.formula.functions import PYTHON_OF
from blockbook.intake.log import BlockLog
from blockbook.sheet.book import Book, Cell, formula_text
from blockbook.sheet.calculation import Calculation
from blockbook.sheet.fitting import pixels
from blockbook.spec.models import session_ids, slot_ids
from blockbook.spec.season import BlockKind, Season, SeasonBlock
from blockbook.workbook.write import workbook_bytes
from tests.assessment.live_review import (
    BENCH,
    PRESS,
    PULL_UP,
    SQUAT,
    WORDS,
    book_of,
    column,
    overrides,
    rows,
    shown,
    shown_muscles,
    typed,
)
from tests.intake.small_block import clean_inputs, followed, log_of, spec_from, worn_out

HURT = {**clean_inputs(), "w2.lower.pain": "A"}


def reviewed_with(folder: Path, log: BlockLog, said: Mapping[str, Any]) -> Path:
    """The review as the coach saved it, with a word of theirs in its cells."""
    path = folder / "review.xlsx"
    inputs = {f"{log.digest}/{name}": value for name, value in said.items()}
    path.write_bytes(workbook_bytes(book_of(log), inputs, "kg", "Review", log.spec.block.start))
    return path


@cache
def block(name: str) -> BlockLog:
    """The small block as it came back: clean, hurt, worn out or empty."""
    typed_in = {"clean": clean_inputs(), "hurt": HURT, "worn out": worn_out(), "empty": {}}[name]
    with TemporaryDirectory() as folder:
        return log_of(Path(folder), spec_from(), typed_in)


def said_of(log: BlockLog, key: str, name: str, value: Any) -> NextBlock:
    """The next block after one word of the coach on an exercise, as read from a review."""
    return next_block(log, {key: replace(Override(), **{name: value})})


def decided_by(folder: Path, log: BlockLog, said: Mapping[str, Any]) -> NextBlock:
    word = read_word(reviewed_with(folder, log, said), log.digest, "kg")
    word.refuse_mistakes()
    return next_block(log, word.overrides, own_deload=word.deload)


@pytest.fixture(scope="module", params=["worn out", "hurt", "empty"])
def reviewed_block(request: pytest.FixtureRequest) -> tuple[BlockLog, Book]:
    return block(request.param), book_of(block(request.param))


@pytest.mark.parametrize("word", WORDS)
def test_every_cell_shows_what_next_writes(reviewed_block: tuple[BlockLog, Book], word: str) -> None:
    log, book = reviewed_block
    calculation = Calculation(book, typed(log, word))
    said, own_deload = overrides(word)
    made = next_block(log, said, own_deload=own_deload)
    assert shown(book, calculation, "block", "Exercise used") == ("yes" if made.deload_first else "no")
    for decision in made.decisions:
        key = decision.suggestion.key
        load = shown(book, calculation, key, "Load used")
        if decision.exercise == decision.suggestion.exercise or decision.load is not None:
            assert (load if load != "–" else None) == decision.load
        assert shown(book, calculation, key, "Sets used") == decision.sets
        assert str(shown(book, calculation, key, "Exercise used")).casefold() == decision.exercise.casefold()
        assert decision.flags.startswith(str(shown(book, calculation, key, "Look at")))
    muscles = shown_muscles(book, calculation)
    for muscle in made.muscles:
        assert muscles[muscle.muscle] == (muscle.after, muscle.flag)


@pytest.mark.parametrize("deload", ["", "yes", "no"])
@pytest.mark.parametrize("name", ["clean", "worn out", "hurt"])
def test_the_load_used_of_another_exercise_is_the_one_that_the_next_sheet_starts_it_with(
    name: str, deload: str
) -> None:
    log = block(name)
    book, offered = book_of(log), reviewed(log).starts
    others = {key: list(there)[-1] for key, there in offered.items() if there} | {BENCH: "front squat"}
    calculation = Calculation(
        book,
        {f"{log.digest}/{key}/choice": other for key, other in others.items()} | {f"{log.digest}/block/choice": deload},
    )
    made = next_block(log, {key: Override(choice=other) for key, other in others.items()}, own_deload=deload)
    targets = blockbook.targets(made.spec, {})
    sessions = zip(session_ids(made.spec), made.spec.sessions, strict=True)
    new_keys = [f"{session_id}.{slot_id}" for session_id, session in sessions for slot_id in slot_ids(session)]
    asked = dict(zip((each.suggestion.key for each in made.decisions), new_keys, strict=True))
    assert {key: shown(book, calculation, key, "Load used") for key in others} == {
        key: targets[f"w1.{asked[key]}.1"] if key != BENCH else "see Why" for key in others
    }
    assert len(others) >= 3


def test_formulas_use_only_functions_that_every_program_has() -> None:
    for cell, formula in book_of(block("hurt")).formulas():
        text = formula_text(formula, cell.sheet)
        assert set(re.findall(r"([A-Z]+)\(", re.sub(r'"[^"]*"', '""', text))) <= {*PYTHON_OF, "IF", "AND", "OR", "NOT"}
        assert len(text) < 8192
        assert all(len(piece) < 255 for piece in re.findall(r'"([^"]*)"', text))


def test_the_sheet_what_changed_follows_the_coach() -> None:
    log = block("clean")
    book = book_of(log)

    def changed(word: str) -> list[Any]:
        calculation = Calculation(book, typed(log, word))
        sheet = book.sheets[CHANGES]
        found = [place[0] for place, text in sheet.contents.items() if place[1] == 1 and text == "Leg press"]
        return [calculation.value(Cell(CHANGES, found[0], at)) for at in (2, 4, 6, 7)]

    assert changed("exercise with a load") == ["hack squat", 60, 3, "exercise, load, sets"]
    assert changed("refused")[-1] == "as before"


# What is refused, and what is done and said ---------------------------------------------------


@pytest.mark.parametrize(
    ("name", "value", "heading", "what"),
    [
        ("own", 1000, "Your load", "far above the estimated 1RM of back squat"),
        ("own", 2, "Your load", "less than the lightest that can be loaded for back squat, 20 kg"),
        ("own", -100, "Your load", "should lie between 0 and 2000"),
        ("choice", "squatt", "Your choice", 'no exercise is called "squatt"'),
        ("accept", "maybe", "Accept?", "neither yes nor no"),
    ],
)
def test_an_absurd_word_names_its_cell_and_what_to_do(
    tmp_path: Path, name: str, value: Any, heading: str, what: str
) -> None:
    log = log_of(tmp_path, spec_from(), clean_inputs())
    review = reviewed_with(tmp_path, log, {f"{SQUAT}/{name}": value})
    row = rows(book_of(log))[SQUAT] + 1
    with pytest.raises(BlockbookError) as refused:
        blockbook.next_block(tmp_path / "returned.xlsx", tmp_path / "next.yaml", review=review)
    said = str(refused.value)
    assert f"{review}: sheet {REVIEW}, row {row}, {heading} (cell " in said
    assert what in said
    cell = said.partition("(cell ")[2].partition(")")[0]
    assert load_workbook(review)[REVIEW][cell].value == value
    assert not (tmp_path / "next.yaml").exists()


@pytest.mark.parametrize(("load", "accept"), [(1000, "yes"), (-100, "maybe")])
def test_every_word_that_cannot_be_taken_is_told_at_once(tmp_path: Path, load: float, accept: str) -> None:
    log = log_of(tmp_path, spec_from(), clean_inputs())
    words = {f"{SQUAT}/own": load, f"{BENCH}/own": 1000, f"{PRESS}/accept": accept}
    review = reviewed_with(tmp_path, log, words)
    with pytest.raises(BlockbookError) as refused:
        blockbook.next_block(tmp_path / "returned.xlsx", tmp_path / "next.yaml", review=review)
    assert len(str(refused.value).splitlines()) == (2 if accept == "yes" else 3)


def test_every_cell_of_a_row_that_is_not_understood_is_told(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), clean_inputs())
    words = {"block/choice": "later", f"{SQUAT}/own": "a lot", f"{SQUAT}/own_sets": 2.5, f"{SQUAT}/accept": "maybe"}
    with pytest.raises(BlockbookError) as refused:
        decided_by(tmp_path, log, words)
    said = str(refused.value).splitlines()
    headings = ("Your choice", "Your load", "Your sets", "Accept?")
    assert [heading in line for line, heading in zip(said, headings, strict=True)] == [True] * 4


def test_an_exercise_that_the_gym_cannot_load_is_refused(tmp_path: Path) -> None:
    gym = spec_from(("  dumbbells: {lightest: 2, heaviest: 40, step: 2}\n", ""))
    with pytest.raises(BlockbookError, match="goblet squat is loaded on a dumbbell, which the equipment of the block"):
        said_of(log_of(tmp_path, gym, {}), PRESS, "choice", "goblet squat")


def test_a_deload_answer_that_is_none_names_its_cell(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), clean_inputs())
    with pytest.raises(BlockbookError, match=r'Your choice \(cell L\d+\): "later" is neither yes nor no'):
        decided_by(tmp_path, log, {"block/choice": "later"})


@pytest.mark.parametrize(
    ("name", "key", "word", "value", "flag"),
    [
        ("clean", SQUAT, "load", 120, "Raised by more than 10 %."),
        ("hurt", SQUAT, "load", 105, "Raised though it hurts."),
        ("hurt", PRESS, "load", 100, "Raised though it hurts."),
        ("hurt", SQUAT, "load", 117.5, "Raised though it hurts, and by more than 10 %."),
        ("hurt", SQUAT, "load", 140, "Raised though it hurts, and above the estimated 1RM."),
        ("clean", SQUAT, "load", 140, "Above the estimated 1RM."),
        ("clean", SQUAT, "sets", 0, "Left out of the next block."),
        ("hurt", SQUAT, "sets", 5, "More sets though it hurts."),
        ("hurt", SQUAT, "choice", "box squat", "The new exercise trains what hurts: ask first."),
        ("clean", BENCH, "sets", 8, "Many sets for one session."),
        ("clean", BENCH, "load", 61, "The equipment does not make 61 kg; nearest is 60."),
        ("clean", SQUAT, "load", 20, "Under half of this block's first load."),
    ],
)
def test_a_word_that_breaks_a_guard_is_done_and_flagged(name: str, key: str, word: str, value: Any, flag: str) -> None:
    made = said_of(block(name), key, word, value)
    decision = next(each for each in made.decisions if each.suggestion.key == key)
    assert value in (decision.load, decision.sets, decision.exercise)
    assert flag in decision.flags
    assert any(flag in remark for remark in made.flags)
    assert f"Your word, done all the same: {decision.suggestion.exercise}" in made.to_yaml()


@pytest.mark.parametrize(
    ("key", "load", "flag"),
    [
        (BENCH, 61, "The equipment does not make 61 kg; nearest is 60."),
        (
            BENCH,
            131,
            "Far above the estimated 1RM: next refuses it. The equipment does not make 131 kg; nearest is 130.",
        ),
        (SQUAT, 122.5, "Raised by more than 10 %."),
        (SQUAT, 20, "Under half of this block's first load."),
        (SQUAT, 102.5, ""),
        (PULL_UP, 3, "The equipment does not make 3 kg; nearest is 2.5."),
    ],
)
def test_a_load_of_the_coachs_own_is_judged_beside_its_cell(key: str, load: float, flag: str) -> None:
    log = block("clean")
    book = book_of(log)
    calculation = Calculation(book, {f"{log.digest}/{key}/own": load})
    assert shown(book, calculation, key, "Look at") == flag


@pytest.mark.parametrize(
    ("column", "typed", "flag"),
    [
        ("accept", "maybe", "Accept? takes yes or no: next refuses it."),
        ("accept", "No", ""),
        ("accept", "no ", ""),
        ("choice", "leg press ", ""),
        ("choice", "keep ", ""),
        ("own", 5, "Lighter than can be loaded: next refuses it. The equipment does not make 5 kg; nearest is 20."),
        ("own", "60kg", ""),
        ("own", "130 lb", "Text, which no cell here follows: type the number alone."),
        ("own_sets", 25, "Sets: 0 to 20; next refuses it."),
        ("own_sets", -1, "Sets: 0 to 20; next refuses it."),
        ("own_sets", 2.5, "Sets are counted whole: next refuses it."),
        ("own_sets", "three", "Sets: the number alone."),
    ],
)
def test_what_next_would_refuse_is_said_beside_the_cells(column: str, typed: Any, flag: str) -> None:
    log = block("clean")
    book = book_of(log)
    calculation = Calculation(book, {f"{log.digest}/{SQUAT}/{column}": typed})
    assert shown(book, calculation, SQUAT, "Look at") == flag


@pytest.mark.parametrize("typed", ["112.5 kg", "112,5", "112.5KGS", " 112.5 "])
def test_a_load_with_the_blocks_unit_is_followed_on_the_sheet_as_next_follows_it(tmp_path: Path, typed: str) -> None:
    log = block("clean")
    book = book_of(log)
    calculation = Calculation(book, {f"{log.digest}/{SQUAT}/own": typed})
    number = Calculation(book, {f"{log.digest}/{SQUAT}/own": 112.5})
    for heading in ("What to do", "Load used", "Look at", "Why"):
        assert shown(book, calculation, SQUAT, heading) == shown(book, number, SQUAT, heading)
    assert decided_by(tmp_path, log, {f"{SQUAT}/own": typed}).decisions[0].load == 112.5


def test_a_load_in_another_unit_than_the_blocks_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BlockbookError) as refused:
        decided_by(tmp_path, block("clean"), {f"{SQUAT}/own": "250 lb"})
    assert '"250 lb" is not in kg, as the block is. Write it in kg.' in str(refused.value)


@pytest.mark.parametrize(("typed", "flag"), [("", ""), ("yes ", ""), ("N", ""), ("maybe", "This takes yes or no")])
def test_an_answer_to_a_deload_is_checked_too(typed: str, flag: str) -> None:
    assert str(deload_flag.value(typed)).partition(":")[0] == flag


def test_why_follows_the_coachs_word_on_a_deload() -> None:
    log = block("clean")
    book = book_of(log)

    def why(word: str) -> str:
        calculation = Calculation(book, typed(log, word))
        return str(calculation.value(next(cell for cell in texts if cell.sheet == CHANGES and cell.column == 10)))

    texts = [cell for cell, _ in book.formulas()]
    added = next_block(log, own_deload="yes")
    assert why("nothing") == why("no deload") == added.decisions[0].suggestion.reason
    assert why("deload") == f"Your word: a deload first. Without one: {why('nothing')}"
    assert why("deload") in added.to_yaml()
    refused = next_block(block("worn out"), own_deload="no").to_yaml()
    assert "Your word: no deload first. With one: Deload first: week 1 at" in refused
    both = next_block(log, {SQUAT: Override(load=100)}, own_deload="yes").to_yaml()
    assert f"Your word; suggested was: {why('nothing')}" in both


def test_why_says_where_an_exercise_of_the_coachs_choice_starts() -> None:
    log = block("clean")
    book, start = book_of(log), reviewed(log).starts[PULL_UP]["chin-up"].said
    calculation = Calculation(book, typed(log, "exercises"))
    assert start == "Chin-up: the sheet starts it at body weight alone."
    assert str(shown(book, calculation, PULL_UP, "Why")).startswith(f"Your word. {start} Suggested was: ")
    assert "the sheet starts it" not in str(shown(book, calculation, SQUAT, "Why"))
    load = Calculation(book, typed(log, "exercise with a load"))
    assert "the sheet starts it" not in str(shown(book, load, PRESS, "Why"))


def test_pain_comes_before_the_coachs_own_word() -> None:
    made = next_block(block("hurt"), {SQUAT: Override(load=90, sets=4)})
    reason = made.decisions[0].suggestion.reason
    assert reason.startswith("Pain was reported")
    assert next(made.said_first) == (
        f"First: back squat (Lower). {reason} By your word instead: back squat, 90 kg, 4 sets."
    )
    assert f"{reason} Your word instead." in made.to_yaml()


def test_the_share_that_a_rise_is_flagged_at_is_the_policys(tmp_path: Path) -> None:
    careful = spec_from(("lifter:\n", "policy: {most_rise: 0.05}\nlifter:\n"))
    made = said_of(log_of(tmp_path, careful, followed(careful)), SQUAT, "load", 120)
    assert made.decisions[0].flags == "Raised by more than 5 %."


@pytest.mark.parametrize(("pain", "held"), [("A", (SQUAT, PRESS)), ("B", (SQUAT, PRESS)), ("none", ())])
def test_a_refused_deload_leaves_no_reason_for_another_load(tmp_path: Path, pain: str, held: tuple[str, ...]) -> None:
    log = log_of(tmp_path, spec_from(), {**worn_out(), "w2.lower.pain": pain})
    book = book_of(log)
    calculation = Calculation(book, typed(log, "no deload"))
    for key in (SQUAT, PRESS, BENCH):
        why, load = (shown(book, calculation, key, heading) for heading in ("Why", "Load used"))
        assert f" {load:g} kg; at " in why if key in held else why.startswith("Your word: no deload first. With ")
    assert shown(book, calculation, BENCH, "What to do") == "no deload"


def test_where_another_exercise_starts_is_said_only_of_the_deload_it_was_worked_out_for() -> None:
    said = ("It hurts: replaced by hack squat.", "Its sheet starts it at 60 kg.")
    assert decided_said.why.value(*said, "yes", "yes", 1, 0, 0) == " ".join(said)
    assert decided_said.why.value(*said, "no", "yes", 1, 0, 0) == said[0]
    suggested = f"Suggested was: {said[0]}"
    assert decided_said.why.value(*said, "yes", "yes", 1, 0, 1) == f"Your word. {said[1]} {suggested}"
    assert decided_said.why.value(*said, "no", "yes", 1, 0, 1) == (
        f"Your word. With a deload first: {said[1]} {suggested}"
    )


@pytest.mark.parametrize(
    "typed", [{"accept": "no"}, {"own": 50}, {"own": "50 kg"}, {"own_sets": 2}, {"choice": "keep"}, {"choice": "dip"}]
)
@pytest.mark.parametrize(("name", "key"), [("hurt", SQUAT), ("hurt", BENCH), ("clean", PULL_UP)])
def test_why_says_that_the_coachs_word_stands_in_the_place_of_the_suggestion(
    tmp_path: Path, name: str, key: str, typed: dict[str, Any]
) -> None:
    log = block(name)
    book = book_of(log)
    calculation = Calculation(book, {f"{log.digest}/{key}/{field}": value for field, value in typed.items()})
    suggestion = next(made for made in suggest(log).suggestions if made.key == key)
    said = str(shown(book, calculation, key, "Why"))
    instead = f"{suggestion.reason} Your word instead."
    other = "choice" in typed and typed["choice"] != "keep" and not suggestion.pain
    was = f"uggested was: {suggestion.reason}"
    assert said.startswith(instead if suggestion.pain else "Your word. dip: " if other else f"Your word; s{was}")
    assert suggestion.pain or said.endswith(was)
    if "dip" not in typed.values():
        word = decided_by(tmp_path, log, {f"{key}/{field}": value for field, value in typed.items()})
        assert said == next(word.why(each) for each in word.decisions if each.suggestion.key == key)
    assert str(shown(book, Calculation(book, {}), key, "Why")) == suggestion.reason


def eased_off(folder: Path) -> BlockLog:
    """The squat hurts after it came down: what is held lies below this block's first load."""
    log = block("hurt")
    first = next(each for each in suggest(log).suggestions if each.key == SQUAT).start_load
    typed_in = dict(HURT)
    for number in (1, 2, 3):
        typed_in[f"w2.lower.squat.{number}/load"] = 80
    eased = log_of(folder, spec_from(), typed_in)
    held = next(each for each in suggest(eased).suggestions if each.key == SQUAT)
    assert first is not None
    assert (held.first_load or 0) + 2.5 < first
    return eased


def test_a_load_above_the_one_that_is_held_is_flagged_though_it_is_below_the_first(tmp_path: Path) -> None:
    log = eased_off(tmp_path)
    book = book_of(log)
    made = next(each for each in suggest(log).suggestions if each.key == SQUAT)
    held, first = float(made.first_load or 0), float(made.start_load or 0)
    above = "Above the load held, though it hurts."
    for load, flag in ((held, ""), (held + 2.5, above), (first, above)):
        calculation = Calculation(book, {f"{log.digest}/{SQUAT}/own": load})
        assert shown(book, calculation, SQUAT, "Look at") == flag
        assert next_block(log, {SQUAT: Override(load=load)}).decisions[0].flags == flag
    flag = "No keeps a load above the one held, though it hurts."
    assert shown(book, Calculation(book, {f"{log.digest}/{SQUAT}/accept": "no"}), SQUAT, "Look at") == flag
    assert any(flag in said for said in next_block(log, {SQUAT: Override(accept=False)}).flags)


def test_a_word_above_the_held_load_is_said_alike_wherever_it_is_read(tmp_path: Path) -> None:
    log = eased_off(tmp_path)
    book = book_of(log)
    calculation = Calculation(book, {f"{log.digest}/{SQUAT}/accept": "no"})
    (row,) = (at[0] for at, text in book.sheets[CHANGES].contents.items() if at[1] == 1 and text == "Back squat")
    flag = "No keeps a load above the one held, though it hurts."
    assert calculation.value(Cell(CHANGES, row, 8)) == flag
    assert flag in next_block(log, {SQUAT: Override(accept=False)}).to_yaml()


def front_squat_in_place_of_the_press(folder: Path, typed_in: Mapping[str, Any]) -> BlockLog:
    """The back squat hurts; the front squat, a close relative, was logged in its second week alone."""
    spec = spec_from(("exercise: leg press", "exercise: front squat"))
    kept = {name: value for name, value in typed_in.items() if ".leg-press" not in name}
    second = {f"w2.lower.front-squat.{n}/{what}": value for n in (1, 2, 3)
              for what, value in (("load", 70), ("reps", 10), ("rpe", 8))}  # fmt: skip
    return log_of(folder, spec, {**kept, **second})


@pytest.mark.parametrize("word", ["no", "yes"])
def test_what_is_held_stays_held_after_no_where_there_is_no_first_week_to_keep(tmp_path: Path, word: str) -> None:
    key = "lower.front-squat"
    log = front_squat_in_place_of_the_press(tmp_path, HURT)
    made = next(each for each in suggest(log).suggestions if each.key == key)
    assert (made.start_load, made.near_pain) == (None, "back squat")
    book = book_of(log)
    calculation = Calculation(book, {f"{log.digest}/{key}/accept": word})
    assert shown(book, calculation, key, "Load used") == made.first_load
    nothing_to_keep = "No load of week 1 to keep: the one suggested stays." if word == "no" else ""
    assert shown(book, calculation, key, "Look at") == nothing_to_keep
    after = next_block(log, {key: Override(accept=word == "yes")})
    assert any("not raised either: front squat." in said for said in after.said_first)
    assert blockbook.targets(after.spec, {})[f"w1.{key}.1"] == made.first_load
    raised = next_block(log, {key: Override(load=(made.first_load or 0) + 5)})
    assert not any("not raised either" in said for said in raised.said_first)
    assert any("Raised though it hurts" in said for said in raised.said_first)


def test_no_says_of_a_load_that_was_not_logged_what_next_says_of_it(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), {k: v for k, v in clean_inputs().items() if f"w1.{BENCH}" not in k})
    book = book_of(log)
    calculation = Calculation(book, {f"{log.digest}/{BENCH}/accept": "no"})
    after = next_block(log, {BENCH: Override(accept=False)})
    (decision,) = (each for each in after.decisions if each.suggestion.key == BENCH)
    assert shown(book, calculation, BENCH, "Load used") == decision.load
    (row,) = (at[0] for at, text in book.sheets[CHANGES].contents.items() if at[1] == 1 and text == "Bench press")
    assert calculation.value(Cell(CHANGES, row, 7)) == after.changed(decision) == "load"


def test_a_held_load_for_a_deload_is_named_as_the_answer_to_it() -> None:
    made = next(each for each in suggest(block("hurt")).suggestions if each.key == SQUAT)
    assert f"(held at {made.first_load:g} kg; at {made.deload_load:g} kg if a deload comes first)" in made.reason


def test_a_reason_names_a_load_as_the_cell_beside_it_does() -> None:
    log = block("worn out")
    book = book_of(log)
    calculation = Calculation(book, typed(log, "no deload"))
    assert shown(book, calculation, PULL_UP, "Load used") == 3.75
    exercise = log.spec.exercise("pull-up")
    assert load_said(3.75, exercise, log.spec) == "body weight + 3.75 kg"


def test_the_cells_to_type_in_stand_side_by_side_behind_what_is_suggested() -> None:
    book = book_of(block("clean"))
    own = [column(book, heading) for heading in ("Accept?", "Your load", "Your sets", "Your choice")]
    assert own == list(range(own[0], own[0] + 4))
    before, after = ("Week 1 load", "Sets", "Kept, varied, replaced"), ("Why", "Load used", "Sets used", "Look at")
    assert max(column(book, heading) for heading in before) < own[0]
    assert own[-1] < min(column(book, heading) for heading in after)


@pytest.mark.parametrize("lifters", [1, 2])
def test_what_is_typed_and_what_it_breaks_is_seen_on_a_laptop_without_scrolling(lifters: int) -> None:
    book = review_book([reviewed(block("clean")), reviewed(block("hurt"))][:lifters])
    sheet = book.sheets[REVIEW]
    seen = [at for at in range(column(book, "Look at") + 1) if at not in sheet.hidden_columns]
    assert pixels([sheet.widths[at] for at in seen]) <= 1366 - 60  # less the numbers of rows and the bar to scroll
    assert sheet.frozen[0] == 1 + next(row for (row, _), text in sheet.contents.items() if text == "Look at")


def test_what_to_do_and_what_is_kept_follow_the_coachs_word() -> None:
    log = block("clean")
    book = book_of(log)

    def says(key: str, **typed_in: Any) -> tuple[Any, Any]:
        calculation = Calculation(book, {f"{log.digest}/{key}/{name}": value for name, value in typed_in.items()})
        return tuple(shown(book, calculation, key, heading) for heading in ("What to do", "Kept, varied, replaced"))

    made = next(each for each in suggest(log).suggestions if each.key == SQUAT)
    assert says(SQUAT) == (made.action, "kept")
    assert says(SQUAT, choice="Front squat") == ("change the exercise", "replaced: Front squat")
    assert says(SQUAT, choice="keep", own=made.start_load) == ("hold", "kept")
    assert says(SQUAT, own=(made.start_load or 0) - 10) == ("lower", "kept")
    assert says(SQUAT, own=(made.start_load or 0) + 5) == ("raise", "kept")
    assert says(SQUAT, own_sets=1) == (made.action, "kept")


@pytest.mark.parametrize("lifters", [1, 2])
def test_no_headline_begins_in_a_column_that_every_printed_page_repeats_and_ends_in_another(lifters: int) -> None:
    """What begins there would stand on the next page again, cut off where the repeated columns end."""
    sheet = review_book([reviewed(block(name)) for name in ("hurt", "clean")[:lifters]]).sheets[REVIEW]
    assert sheet.repeat_columns
    repeated = sheet.repeat_columns[1]
    across = [(row, first, last) for row, first, last in sheet.merges if first <= repeated < last]
    assert across == [(0, 0, max(sheet.widths))]  # the bar of the title alone, which is short
    room = sum(sheet.widths[at] for at in range(repeated + 1) if at not in sheet.hidden_columns)
    letters = {1: len(str(sheet.contents[0, 0])) * 15 / 11}
    head = next(row for (row, _), text in sheet.contents.items() if text == "Exercise")
    letters |= {row: len(str(text)) for (row, at), text in sheet.contents.items() if at <= repeated and 0 < row < head}
    assert max(letters.values()) < room


def test_a_review_with_its_columns_in_an_older_order_is_read(tmp_path: Path) -> None:
    log = block("clean")
    review = reviewed_with(tmp_path, log, {f"{SQUAT}/own": 105, f"{SQUAT}/choice": "keep", f"{PRESS}/own_sets": 3})
    old = Workbook()
    sheet = old.create_sheet("Older review")
    for row in load_workbook(review)[REVIEW].iter_rows(values_only=True):
        sheet.append([row[at] for at in (*range(7), 9, 10, 13, 7, 11, 14, 16, 8, 12, 15)])
    old.save(review)
    word = read_word(review, log.digest, "kg")
    assert (word.overrides[SQUAT].load, word.overrides[SQUAT].choice) == (105, "keep")
    assert word.overrides[PRESS].sets == 3


@pytest.mark.parametrize(
    ("weeks", "said", "counted"),
    [
        ("w1", "Only 1 of 2 weeks is logged: what is said is of that one", "12 of 12 sets done in the week logged."),
        ("", "Nothing is logged yet", "0 of 24 sets done so far."),
        ("w1 w2", "", "24 of 24 sets done."),
    ],
)
def test_a_review_half_way_says_how_much_it_speaks_of(tmp_path: Path, weeks: str, said: str, counted: str) -> None:
    log = log_of(tmp_path, spec_from(), {name: on for name, on in clean_inputs().items() if name[:2] in weeks})
    texts = [str(text) for text in book_of(log).sheets[REVIEW].contents.values()]
    assert any(text.startswith(counted) for text in texts)
    half_way = [text for text in texts if "the next block begins as if all" in text]
    assert [text.startswith(said) for text in half_way] == [True] * bool(said)


def test_a_review_of_nothing_says_so_once_and_lists_no_set_that_was_not_done(tmp_path: Path) -> None:
    book = book_of(log_of(tmp_path, spec_from(), {}))
    assert shown(book, Calculation(book, {}), SQUAT, "What to do") == "nothing logged"
    for sheet in (LOG, TRENDS):
        texts = [text for text in book.sheets[sheet].contents.values() if text]
        assert "Nothing is logged yet." in texts
        assert not {"Back squat", "Leg press"} & set(texts)


def test_all_sheets_of_a_review_have_the_lifters_in_one_order() -> None:
    alex = spec_from(("Robin Sample", "Alex Example"))
    with TemporaryDirectory() as folder:
        calm = log_of(Path(folder), alex, clean_inputs(("Robin Sample", "Alex Example")))
    book = review_book([reviewed(calm), reviewed(block("hurt"))])
    for sheet in (REVIEW, CHANGES, TRENDS, SEASON):
        texts = " ".join(str(text) for _, text in sorted(book.sheets[sheet].contents.items()) if text)
        assert texts.index("Robin Sample") < texts.index("Alex Example")


def test_one_week_shows_no_trend(tmp_path: Path) -> None:
    def changes(weeks: str) -> list[Any]:
        log = log_of(tmp_path, spec_from(), {name: on for name, on in clean_inputs().items() if name[:2] in weeks})
        book = book_of(log)
        calculation = Calculation(book, {})
        return [calculation.value(Cell(TRENDS, row, 4)) for row in (5, 6, 7)]

    assert changes("w1") == ["one week", "one week", None]
    assert [isinstance(change, float) for change in changes("w1 w2")] == [True, True, False]


def test_pain_is_said_before_a_word_on_a_deload() -> None:
    made = next_block(block("hurt"), own_deload="yes")
    assert "Lower, back squat: " in made.to_yaml()
    assert "Without one: Pain" not in made.to_yaml()


def test_written_loads_of_another_exercise_are_flagged(tmp_path: Path) -> None:
    spec = spec_from(("sets: 2\n        reps: 6\n        rpe: 8", "sets: 2\n        reps: 6\n        load: 20"))
    made = said_of(log_of(tmp_path, spec, {}), PULL_UP, "choice", "chin-up")
    assert made.decisions[-1].flags == "Its loads were written for another exercise: check them."


def test_an_exercise_that_a_slot_cannot_hold_is_refused_in_a_sentence() -> None:
    with pytest.raises(
        BlockbookError, match=r"^Upper, bench press: band pushdown does not fit here\. A band has no load"
    ):
        said_of(block("clean"), BENCH, "choice", "band pushdown")


def test_every_exercise_that_does_not_fit_is_told_with_its_cell(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), clean_inputs())
    words = {f"{SQUAT}/choice": "band pushdown", f"{BENCH}/choice": "band pushdown", f"{PRESS}/own": 5000}
    review = reviewed_with(tmp_path, log, words)
    with pytest.raises(BlockbookError) as refused:
        blockbook.next_block(tmp_path / "returned.xlsx", tmp_path / "next.yaml", review=review)
    said = str(refused.value).splitlines()
    first = rows(book_of(log))[SQUAT] + 1
    assert [f"row {first}, Your choice" in said[0], f"row {first + 1}, Your load" in said[1]] == [True, True]
    assert f"row {rows(book_of(log))[BENCH] + 1}, Your choice" in said[2]
    assert "band pushdown does not fit here. A band has no load" in said[2]


def test_weekly_sets_beyond_a_fifth_are_said() -> None:
    made = said_of(block("clean"), BENCH, "sets", 5)
    (said,) = (flag for flag in made.flags if flag.startswith("Weekly sets of"))
    assert said.startswith("Weekly sets of chest 3 to 5, triceps")
    assert said.endswith(": a larger change than from block to block is usual.")
    assert said in made.to_yaml()


def test_the_coach_may_add_a_deload_or_leave_it_out() -> None:
    added = next_block(block("clean"), own_deload="yes")
    assert (added.spec.block.deload_week, added.spec.block.weeks) == (1, 3)
    assert "Your word: a deload first (week 1). Too few signs ask for one." in added.to_yaml()
    left_out = next_block(block("worn out"), own_deload="no")
    assert (left_out.spec.block.deload_week, left_out.spec.block.weeks) == (None, 2)
    assert "Your word: no deload first. 2 of 4 signs agree" in left_out.to_yaml()


def test_another_exercise_starts_without_a_load_of_the_old_one() -> None:
    made = said_of(block("clean"), PULL_UP, "choice", "Chin-Up")
    slot = made.spec.sessions[1].slots[1]
    assert (slot.exercise, slot.loads, slot.cue) == ("chin-up", {}, "Chin over the bar")
    assert "pull-up -> chin-up: the sheet starts it at body weight alone, 2 sets" in made.to_yaml()
    assert blockbook.targets(made.spec, {})["w1.upper.chin-up.1"] is not None


def test_private_notes_stay_with_an_exercise_that_was_changed(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), clean_inputs())
    review = reviewed_with(tmp_path, log, {f"{PRESS}/choice": "hack squat", f"{SQUAT}/choice": "front squat"})
    made = blockbook.next_block(tmp_path / "returned.xlsx", tmp_path / "next.yaml", review, spec_from())
    assert made.spec.sessions[0].slots[0].exercise == "front squat"
    assert made.spec.sessions[0].slots[0].private_note == "Watch the left knee cave in."


def test_pain_that_names_no_exercise_holds_all_and_says_so(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), {**clean_inputs(), "w2.lower.pain": "Z"})
    made = next_block(log)
    assert [each.suggestion.pain for each in made.decisions] == [True, True, True, False, False]
    said = "Lower, week 2: the pain names no exercise, so every exercise of that session is held."
    assert said in made.said_first
    sheet = book_of(log).sheets[REVIEW]
    assert any("the pain names no exercise" in str(text) for text in sheet.contents.values())


def test_the_same_exercise_in_another_session_is_held_too(tmp_path: Path) -> None:
    spec = spec_from(("exercise: pull-up", "exercise: back squat\n        id: light-squat"))
    made = next_block(log_of(tmp_path, spec, {**followed(spec), "w2.lower.pain": "A"}))
    light = made.decisions[-1].suggestion
    assert (light.action, light.near_pain) == ("lower", "back squat")
    assert light.reason.startswith("Back squat hurts in another session: nothing is raised here either")


def test_a_printed_page_has_the_headings_and_what_follows_from_a_word_comes_next_to_it(tmp_path: Path) -> None:
    sheet = load_workbook(reviewed_with(tmp_path, block("hurt"), {}))[REVIEW]
    (heading,) = (row[0].row for row in sheet.iter_rows() if "Your load" in {cell.value for cell in row})
    assert sheet.print_title_rows == f"${heading}:${heading}"
    assert sheet.print_title_cols == "$B:$D"
    assert sheet.page_setup.pageOrder == "overThenDown"


def test_a_deload_that_was_not_trained_yet_is_not_said_to_have_ended_the_block(tmp_path: Path) -> None:
    spec = spec_from(("  weeks: 2\n", "  weeks: 2\n  deload_week: 2\n"))
    trained = followed(spec)
    begun = {name: value for name, value in trained.items() if name.startswith("w1.")}

    def said(typed_in: dict[str, Any]) -> str:
        log = log_of(tmp_path, spec, typed_in)
        book = book_of(log)
        return str(book.sheets[REVIEW].contents[rows(book)["lower.squat"] - 1, column(book, "Why")])

    assert said(trained).endswith("This block ended with a deload.")
    assert said(begun).endswith("Its last week, not logged, is a deload: it counts as rest, so none is suggested.")


@pytest.mark.parametrize(("kind", "due"), [("volume", True), ("strength", False)])
def test_the_review_says_that_the_season_has_another_kind_next(kind: BlockKind, due: bool) -> None:
    blocks = tuple(
        SeasonBlock(kind=each, start=start, weeks=weeks)
        for each, start, weeks in (("strength", date(2027, 1, 4), 2), (kind, date(2027, 1, 18), 4))
    )
    season = Season(first=date(2027, 1, 4), meets=(date(2027, 6, 5),), blocks=blocks)
    book = review_book([reviewed(block("hurt"))], season)
    texts = " ".join(str(text) for text in book.sheets[REVIEW].contents.values())
    assert ("By the season volume comes next, from 18 Jan 2027: sets, reps and efforts are then" in texts) == due
    assert ("Week 1 load, Sets, Load used, Weekly sets and What changed are for a block like" in texts) == due
    other = season.model_copy(update={"lifter": "Kim Muster"})
    assert "By the season" not in str(review_book([reviewed(block("hurt"))], other).sheets[REVIEW].contents)
