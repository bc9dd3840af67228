"""A day on which an exercise cannot be done: another in its place, with a load of its own, judged by itself."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from blockbook.assessment.history import histories, share_done
from blockbook.assessment.next_block import Override, next_block
from blockbook.assessment.outlook import Suggestion
from blockbook.assessment.review_headlines import headlines
from blockbook.assessment.suggestions import suggest
from blockbook.errors import BlockbookError
from blockbook.intake.carrying import carry
from blockbook.intake.log import BlockLog
from blockbook.intake.reading import read_workbook
from blockbook.sheet.book import Cell
from blockbook.sheet.calculation import Calculation
from blockbook.spec.loading import parse_spec
from blockbook.training.stand_ins import ANOTHER, first_load
from blockbook.workbook.assemble import BlockBook, assemble
from blockbook.workbook.layout import COLUMN, LinePlace
from blockbook.workbook.write import block_bytes
from tests.intake.small_block import BENCH, SMALL_BLOCK, clean_inputs, edited, find, plain_bytes, set_of, spec_from
from tests.oracles.programs import cell_values, gnumeric, libreoffice
from tests.oracles.test_parity import equal, stored

WITH_STAND_INS = ("id: squat\n", "id: squat\n        stand_ins: [leg press, goblet squat, band pull-apart]\n")
CHOICE = "w1.lower.squat_instead"
SPEC = spec_from(WITH_STAND_INS)
MADE = assemble(SPEC)


def squat(week: int, made: BlockBook = MADE) -> LinePlace:
    return made.weeks[week - 1][0].lines[0]


def calculated(**typed: Any) -> Calculation:
    return Calculation(MADE.book, {**clean_inputs(WITH_STAND_INS), **typed})


def log_of(folder: Path, choice: Any, **typed: Any) -> BlockLog:
    path = folder / "robin.xlsx"
    path.write_bytes(plain_bytes(SPEC, {**clean_inputs(WITH_STAND_INS), CHOICE: choice, **typed}))
    return read_workbook(path)


# On the sheet


def test_without_stand_ins_nothing_is_there() -> None:
    place = squat(1, assemble(spec_from()))
    assert (place.instead_row, place.chosen) == (None, None)


@pytest.mark.parametrize(
    ("typed", "chosen"),
    [
        (None, 0),
        ("-", 0),
        ("back squat", 0),
        ("none", 0),
        ("leg press", 1),
        ("leg press ", 1),
        (" Goblet Squat", 2),
        ("hack squat", ANOTHER),
    ],
)
def test_the_choice_is_told_by_its_name(typed: str | None, chosen: int) -> None:
    cell = squat(1).chosen
    assert cell
    assert calculated(**{CHOICE: typed}).value(cell) == chosen


def test_a_stand_in_has_a_load_of_its_own() -> None:
    """Leg press from the squat's best by the catalogue's ratio, careful; a goblet squat is one dumbbell."""
    line = squat(1).line
    press = first_load(SPEC, SPEC.exercise("leg press"), line, line.work_sets[0])
    calculation = calculated(**{CHOICE: "leg press"})
    assert calculation.value(squat(1).cell("target", 1)) == press
    assert press is not None
    assert press % 5 == 0  # the stack's steps
    assert calculated(**{CHOICE: "band pull-apart"}).value(squat(1).cell("target", 1)) == "work up"
    assert calculated(**{CHOICE: "hack squat"}).value(squat(1).cell("target", 1)) == "work up"


def test_how_its_load_is_counted_stands_beside_the_choice() -> None:
    said = spec_from(("id: squat\n", "id: squat\n        stand_ins: [leg press, pull-up, dumbbell bench press]\n"))
    made = assemble(said)
    row = squat(1, made).instead_row
    assert row
    beside = Cell("Week 1", row, COLUMN["note"])
    expected = {None: "empty: as planned", "leg press": "", "hack squat": "", "dumbbell bench press": "load per hand",
                "pull-up": "load added to body weight, 0 for none"}  # fmt: skip
    shown = {choice: Calculation(made.book, {CHOICE: choice}).value(beside) for choice in expected}
    assert {choice: text or "" for choice, text in shown.items()} == expected


def test_a_load_that_would_be_too_heavy_is_none() -> None:
    light = spec_from(WITH_STAND_INS, ("lightest: 5, heaviest: 200", "lightest: 150, heaviest: 200"))
    line = squat(1, assemble(light)).line
    assert first_load(light, light.exercise("leg press"), line, line.work_sets[0]) is None


def test_the_sentence_names_it() -> None:
    place = squat(1)
    said = calculated(**{CHOICE: "leg press"}).value(Cell(place.sheet, place.reason_row, COLUMN["label"]))
    assert str(said).startswith("Instead: leg press. Begin with the load shown")


def test_back_off_sets_have_theirs() -> None:
    calculation = calculated(**{CHOICE: "leg press"})
    top, lighter = (calculation.number(squat(1).cell("target", number)) for number in (1, 2))
    assert top is not None
    assert lighter is not None
    assert lighter < top


def test_nothing_of_it_counts_for_the_planned_exercise() -> None:
    """Next week's squat is what it would be had it been left out."""
    sets = [planned.key for planned in squat(1).line.sets]
    lifted = {f"{key}/load": 200 for key in sets}
    left_out = {f"{key}/{name}": None for key in sets for name in ("load", "reps", "rpe")}
    with_it = calculated(**{CHOICE: "leg press"}, **lifted)
    without = calculated(**left_out)
    for column in ("planned", "target", "target_reps"):
        assert with_it.value(squat(2).cell(column, 1)) == without.value(squat(2).cell(column, 1))


def test_its_work_counts_for_the_session() -> None:
    calculation = calculated(**{CHOICE: "leg press"}, **{f"w1.lower.squat.{n}/load": 200 for n in (1, 2, 3)})
    row = MADE.workings.row(squat(1).line)
    assert calculation.value(row["done"]) == 3
    reps = [calculation.number(squat(1).cell("reps", n)) or 0 for n in (1, 2, 3)]
    assert calculation.value(row["tonnage"]) == 200 * sum(reps)


AGAIN = {"w2.lower.squat_instead": "leg press"}


def first_set(load: float, reps: float, rpe: float | None) -> dict[str, Any]:
    """A leg press in the first week, and again in the second."""
    typed = {"load": load, "reps": reps, "rpe": rpe}
    return {CHOICE: "leg press", **AGAIN, **{f"w1.lower.squat.1/{name}": value for name, value in typed.items()}}


@pytest.mark.parametrize(
    ("logged", "then"),
    [
        ((100, 5, 8), 100),  # as asked: the same again
        ((100, 5, 10), 90),  # two reps over: what it showed, rounded down
        ((100, 3, 10), 85),  # and short of its reps as well
        ((100, 5, 6), 100),  # easy: a rep's worth, which is less than a step of this stack
        ((180, 5, 5), 185),
        ((100, 5, None), 100),  # no effort: as asked
        ((120, 5, 8), 120),  # heavier than shown, and as hard as asked
    ],
)
def test_its_load_follows_the_last_time_it_was_done(logged: tuple[float, float, float | None], then: float) -> None:
    """Five reps at effort 8 are asked for both weeks."""
    assert calculated(**first_set(*logged)).value(squat(2).cell("target", 1)) == then


def test_it_is_not_asked_for_what_it_has_just_failed_where_the_week_asks_for_it() -> None:
    """Leg press is planned that day as well; a guess from the squat's best would ask for more than it has shown."""
    weak = {f"w1.lower.leg-press.{n}/{name}": value for n in (1, 2)
            for name, value in (("load", 75), ("reps", 5), ("rpe", 10))}  # fmt: skip
    cell = squat(2).cell("target", 1)
    usual, after = (calculated(**AGAIN, **typed).number(cell) or 0 for typed in ({}, weak))
    assert after < usual


def test_the_sentence_says_so() -> None:
    place = squat(2)
    said = calculated(**first_set(100, 5, 8)).value(Cell(place.sheet, place.reason_row, COLUMN["label"]))
    assert str(said).startswith("Instead: leg press. The load follows the last time you did it, not today's sets.")


def sentence(place: LinePlace, typed: dict[str, Any]) -> str:
    return str(calculated(**typed).value(Cell(place.sheet, place.reason_row, COLUMN["label"])))


@pytest.mark.parametrize(
    ("logged", "said"),
    [
        ((105, 5, 8), "Begin with the load shown"),
        ((130, 5, 8), "Begin with the load shown"),
        ((105, 5, 10), "After the first set, about 5 % less than is shown below is right for the others."),
        ((105, 2, 10), "After the first set, about 15 % less than is shown below is right for the others."),
        ((105, 1, None), "After the first set, about 15 % less than is shown below is right for the others."),
    ],
)
def test_a_first_set_that_was_too_hard_says_how_much_lighter_to_go(
    logged: tuple[float, float, float | None], said: str
) -> None:
    assert said in sentence(squat(1), first_set(*logged))


def test_what_hurts_itself_is_no_way_out() -> None:
    """The leg press is in the block as well, and hurt: loads are struck out where it is chosen instead."""
    typed = {"w1.lower.pain": "B", **AGAIN}
    assert sentence(squat(2), typed) == (
        "Pain was reported for leg press: ask your coach before you lift this. Not leg press today: it hurt when you "
        "last wrote of it. Choose another exercise, or ask your coach first."
    )
    hurts = squat(2).of_the_choice["hurts"]
    struck = [mark.row for mark in MADE.book.sheets[squat(2).sheet].marks if mark.when == hurts]
    assert struck[0] == min(squat(2).set_rows.values())
    assert calculated(**{**typed, "w2.lower.squat_instead": "goblet squat"}).number(hurts) == 0


def test_back_off_sets_follow_it_too() -> None:
    calculation = calculated(**first_set(100, 5, 8))
    top, lighter = (calculation.number(squat(2).cell("target", number)) for number in (1, 2))
    assert (top, lighter) == (100, 90)


def test_where_it_hurt_nothing_rises() -> None:
    """Known from the first week, easy in the second, and painful then: the third week asks for no more."""
    long = (("weeks: 2", "weeks: 3"), ("rpe: [7.5, 8]", "rpe: [7.5, 8, 8]"))
    made = assemble(spec_from(WITH_STAND_INS, *long))
    weeks = {f"w{week}.lower.squat_instead": "leg press" for week in (1, 2, 3)}
    sets = {f"w{week}.lower.squat.1/{name}": value for week in (1, 2)
            for name, value in (("load", 180), ("reps", 5), ("rpe", 8 if week == 1 else 5))}  # fmt: skip

    def third(**typed: Any) -> Any:
        return Calculation(made.book, {**weeks, **sets, **typed}).value(made.weeks[2][0].lines[0].cell("target", 1))

    assert third() == 185
    assert third(**{"w2.lower.pain": "A"}) == 180


@pytest.mark.parametrize("rpe", [None, 5, 8])
@pytest.mark.parametrize(("percent", "reps"), [(80, 8), (65, 5), (75, 5)])
def test_in_place_of_a_lift_in_percent_the_same_is_asked_for_again(percent: int, reps: int, rpe: float | None) -> None:
    """No effort is asked for there: what was done as asked says what was known."""
    fields = ("id: squat", "stand_ins: [leg press]", "sets: 3", f"reps: {reps}", f"percent: {percent}")
    slot = "\n        ".join(fields) + "\n"
    text = re.sub(r"id: squat\n.*?(?=      - exercise)", slot, SMALL_BLOCK, count=1, flags=re.S)
    made = assemble(parse_spec(text, "small.yaml"))
    places = [week[0].lines[0] for week in made.weeks]
    chosen: dict[str, Any] = {place.instead_key: "leg press" for place in places}
    load = Calculation(made.book, chosen).number(places[0].cell("target", 1))
    done = {"load": load, "reps": reps, "rpe": rpe}
    logged = {f"{places[0].line.work_sets[0].key}/{name}": value for name, value in done.items()}
    assert Calculation(made.book, chosen | logged).number(places[1].cell("target", 1)) == load


def test_zeros_of_a_stand_in_and_pain_the_first_time_raise_nothing() -> None:
    zeros = calculated(**first_set(0, 0, None)).value(squat(2).cell("target", 1))
    assert zeros == calculated(**AGAIN).value(squat(2).cell("target", 1))
    known = calculated(**first_set(130, 5, 8)).number(squat(1).of_the_choice["known"])
    hurting = calculated(**first_set(130, 5, 8), **{"w1.lower.pain": "A"})
    assert known is not None
    assert hurting.number(squat(2).of_the_choice["learned"]) == known


def test_it_is_asked_for_the_base_reps() -> None:
    """The planned exercise's may have grown; the load is one for the base."""
    long = ("reps: 8-10", "reps: 8-10\n        stand_ins: [front squat]")
    made = assemble(spec_from(long))
    place = made.weeks[1][0].lines[1]
    easy = {
        f"{planned.key}/{name}": value
        for planned in made.weeks[0][0].lines[1].line.work_sets
        for name, value in (("load", 90), ("reps", 9), ("rpe", 7))
    }
    grown = Calculation(made.book, easy).number(place.cell("target_reps", 1)) or 0
    instead = Calculation(made.book, easy | {place.instead_key: "front squat"}).number(place.cell("target_reps", 1))
    assert instead == 8 < grown


def test_in_place_of_a_double_it_is_asked_for_five() -> None:
    made = assemble(
        spec_from(WITH_STAND_INS, ("        reps: 5\n        rpe: 8\n", "        reps: 2\n        rpe: 8\n"))
    )
    place = squat(1, made)
    asked = {choice: Calculation(made.book, {CHOICE: choice}) for choice in ("", "leg press")}
    assert [each.number(place.cell("target_reps", 1)) for each in asked.values()] == [2, 5]
    five = squat(1)
    press = calculated(**{CHOICE: "leg press"}).number(five.cell("target", 1))
    assert asked["leg press"].number(place.cell("target", 1)) == press


def test_in_place_of_a_single_in_percent_it_is_asked_for_a_single() -> None:
    written = ("        reps: 5\n        rpe: 8\n        back_off: {sets: 2, reps: 6, drop: 10, rpe: 7}\n",
               "        reps: 1\n        percent: 95\n")  # fmt: skip
    made = assemble(spec_from(WITH_STAND_INS, written))
    place = squat(1, made)
    assert Calculation(made.book, {CHOICE: "leg press"}).number(place.cell("target_reps", 1)) == 1


def test_after_another_exercise_a_first_load_waits_where_it_was() -> None:
    """Who did a leg press in week 1 is not sent to week 2's heavier squat without a squat before it."""
    made = assemble(spec_from(WITH_STAND_INS, ("reps: 5\n        rpe: 8", "reps: [5, 3]\n        rpe: [8, 9]")))
    nothing = Calculation(made.book, {})
    planned = [nothing.number(squat(week, made).cell("planned", 1)) or 0 for week in (1, 2)]
    instead = Calculation(made.book, {CHOICE: "leg press", "w1.lower.squat.1/load": 100, "w1.lower.squat.1/reps": 5})
    assert (instead.number(squat(2, made).cell("planned", 1)) or 0) <= planned[0] < planned[1]


def test_one_stand_in_says_nothing_of_another() -> None:
    typed = {**first_set(100, 5, 8), "w2.lower.squat_instead": "goblet squat"}
    alone = calculated(**{"w2.lower.squat_instead": "goblet squat"})
    assert calculated(**typed).value(squat(2).cell("target", 1)) == alone.value(squat(2).cell("target", 1))


def test_a_slip_is_told_and_not_followed(tmp_path: Path) -> None:
    """1000 for 100: the sheet asks at once, the next load is the first one, and the coach reads of it."""
    calculation = calculated(**first_set(1000, 5, 8))
    assert calculation.value(squat(1).cell("verdict", 1)) == "check load and reps"
    first = calculated(**AGAIN).value(squat(2).cell("target", 1))
    assert calculation.value(squat(2).cell("target", 1)) == first
    log = log_of(tmp_path, "leg press", **{"w1.lower.squat.1/load": 1000})
    told = next(found for found in log.findings if found.code == "load-implausible")
    assert told.message == (
        "leg press, set 1, in place of back squat: 1000 kg is far off what is known of it, so its next load does not "
        "follow from it. If it is right, write its best for the next block."
    )


def test_pain_is_told_of_what_was_done(tmp_path: Path) -> None:
    log = log_of(tmp_path, "leg press", **{"w1.lower.pain": "A"})
    assert log.findings[0].message == "Pain in week 1, Lower (A, leg press in place of back squat)."


def test_it_is_judged_by_its_effort() -> None:
    hard = calculated(**{CHOICE: "leg press", "w1.lower.squat.1/load": 200, "w1.lower.squat.1/rpe": 9.5})
    assert hard.value(squat(1).cell("verdict", 1)) == "heavier, 1.5 over"


def test_one_on_a_barbell_has_its_plates_and_warm_up() -> None:
    """Whatever the planned exercise is done with: a leg press has none, a front squat in its place has."""
    for planned in ("back squat", "leg press"):
        spec = spec_from(
            ("exercise: back squat", f"exercise: {planned}"),
            ("id: squat\n", "id: squat\n        stand_ins: [front squat, goblet squat]\n"),
        )
        made = assemble(spec)
        place = squat(1, made)
        for instead, on_barbell in ((None, planned == "back squat"), ("front squat", True), ("goblet squat", False)):
            now = Calculation(made.book, {CHOICE: instead})
            verdict = str(now.value(place.cell("verdict", 1)))
            assert (" + " in verdict) == on_barbell, (planned, instead, verdict)
            if place.warm_up_row is not None:
                row = Cell(place.sheet, place.warm_up_row, COLUMN["label"])
                assert bool(now.value(row)) == on_barbell


# Coming back


def test_the_log_says_what_was_done(tmp_path: Path) -> None:
    log = log_of(tmp_path, "leg press", **{"w1.lower.squat.1/load": 200})
    logged = set_of(log, "w1.lower.squat.1")
    assert (logged.exercise, logged.instead, logged.load) == ("back squat", "leg press", 200)
    assert logged.to_data()["instead"] == "leg press"
    (found,) = log.findings
    assert (found.code, found.message) == (
        "stand-in-used",
        "back squat: leg press in its place in 1 of 2 weeks.",
    )


@pytest.mark.parametrize(
    ("typed", "instead", "code"),
    [
        ("Leg Pres", "leg press", "stand-in-understood"),
        ("hack squat machine", "hack squat machine", "stand-in-unknown"),
        ("goblet", "goblet squat", "stand-in-understood"),
        ("Deadlift", "deadlift", "stand-in-unknown"),
        ("Back squat", "", ""),
        ("hack squat", "hack squat", "stand-in-unknown"),
        ("-", "", ""),
    ],
)
def test_what_was_typed_is_understood_or_kept(tmp_path: Path, typed: str, instead: str, code: str) -> None:
    log = log_of(tmp_path, typed)
    assert set_of(log, "w1.lower.squat.1").instead == instead
    assert code in {"", *(found.code for found in log.findings)}


def test_more_often_than_not_is_said(tmp_path: Path) -> None:
    log = log_of(tmp_path, "leg press", **{"w2.lower.squat_instead": "leg press"})
    assert log.findings[0].message.endswith("should it be the exercise?")


def test_once_is_not_more_often_than_not(tmp_path: Path) -> None:
    left_out = {key: None for key in clean_inputs(WITH_STAND_INS) if key.startswith("w2.")}
    log = log_of(tmp_path, "leg press", **left_out)
    assert log.findings[0].message == "back squat: leg press in its place in 1 of 1 weeks."


def test_a_slip_of_a_stand_in_is_no_slip_of_the_exercise(tmp_path: Path) -> None:
    log = log_of(tmp_path, "leg press", **{f"w1.lower.squat.{n}/load": 320 for n in (1, 2, 3)})
    told = {found.code: found.message for found in log.findings}
    assert set(told) == {"stand-in-used", "load-implausible"}
    assert told["load-implausible"].startswith("leg press, set 1, in place of back squat: 320 kg")


def test_a_stand_in_that_hurts_is_named_and_not_recommended(tmp_path: Path) -> None:
    """The exercise that something else was done in place of is held; what hurt is no way out."""

    def squat_of(**typed: str) -> Suggestion:
        path = tmp_path / "robin.xlsx"
        path.write_bytes(plain_bytes(spec_from(offering), {**clean_inputs(offering), **typed}))
        return suggest(read_workbook(path)).suggestions[0]

    offering = WITH_STAND_INS
    stand_in = squat_of().choice.options[0]
    offering = ("id: squat\n", f"id: squat\n        stand_ins: [{stand_in}]\n")
    made = squat_of(**{"w2.lower.pain": "A", "w2.lower.squat_instead": stand_in})
    assert (made.pain, made.pain_instead) == (True, (stand_in,))
    assert made.reason.startswith(f"Pain was reported with {stand_in} in its place: ask the lifter first which of them")
    assert stand_in not in made.choice.options


def test_it_is_found_again_without_keys(tmp_path: Path) -> None:
    path = tmp_path / "robin.xlsx"
    path.write_bytes(plain_bytes(SPEC, {**clean_inputs(WITH_STAND_INS), CHOICE: "leg press"}))

    def lose_keys(book: Any) -> None:
        for sheet in book.worksheets[1:3]:
            sheet["A1"].value = None
            for row in sheet.iter_rows(min_col=1, max_col=1):
                row[0].value = None

    assert set_of(read_workbook(edited(path, lose_keys)), "w1.lower.squat.1").instead == "leg press"


def test_it_is_carried_into_a_changed_block(tmp_path: Path) -> None:
    log = log_of(tmp_path, "leg press")
    changed = spec_from(WITH_STAND_INS, ("cue: Chin over the bar", "cue: All the way down"))
    assert carry([log], changed).typed[CHOICE] == "leg press"


def test_its_sets_do_not_stay_where_it_may_not_be_chosen_any_more(tmp_path: Path) -> None:
    carried = carry([log_of(tmp_path, "leg press")], spec_from())
    assert not [row for row in carried.rows if row.key.startswith("w1.lower.squat")]
    assert {row.exercise for row, _ in carried.left if row.key.startswith("w1.lower.squat.")} == {"leg press"}


# Into the next block


def test_a_first_maximum_of_it_is_learned(tmp_path: Path) -> None:
    made = next_block(log_of(tmp_path, "goblet squat", **{f"w1.lower.squat.{n}/load": 30 for n in (1, 2, 3)}))
    best = made.spec.lifter.bests["goblet squat"]
    assert best.spread == SPEC.policy.guess_sd
    assert 30 < best.load < 50
    assert made.spec.sessions[0].slots[0].stand_ins == ("leg press", "goblet squat", "band pull-apart")


def test_what_was_done_instead_stands_above_the_next_block(tmp_path: Path) -> None:
    log = log_of(tmp_path, "leg press", **{"w2.lower.squat_instead": "leg press"})
    said = "back squat: leg press in its place in 2 of 2 weeks. That is more often than not: should it be the exercise?"
    made = next_block(log)
    assert said in list(made.said_first)
    assert f"# {said}\n" in made.to_yaml()


def test_its_sets_were_done_and_the_exercise_itself_was_not(tmp_path: Path) -> None:
    """What the lifter chose counts in sets: nothing was left out, so neither sets nor exercise change."""
    log = log_of(tmp_path, "leg press", **{"w2.lower.squat_instead": "leg press"})
    squat_now = next(made for made in next_block(log).outlook.suggestions if made.key == "lower.squat")
    assert (squat_now.share_done, squat_now.share_done_there, squat_now.done_itself) == (1, 1, False)
    assert squat_now.reason == "No set of the exercise itself was done, others in its place: nothing to decide from."
    assert (squat_now.next_sets, squat_now.choice.kind) == (squat_now.sets, "kept")


@pytest.mark.parametrize("weeks", [1, 2])
def test_every_share_of_sets_done_counts_them_alike(tmp_path: Path, weeks: int) -> None:
    log = log_of(tmp_path, "leg press", **({"w2.lower.squat_instead": "leg press"} if weeks == 2 else {}))
    work = [each for each in log.sets if each.set]
    assert all(each.done for each in work)
    assert share_done(histories(log)) == 1
    (summary,) = (text for _, text in headlines(log, [], suggest(log), None) if "sets done" in text)
    assert summary.startswith(f"{len(work)} of {len(work)} sets done")


def test_a_stand_in_that_becomes_the_exercise_is_none_any_more(tmp_path: Path) -> None:
    made = next_block(log_of(tmp_path, "leg press"), {"lower.squat": Override(choice="goblet squat")})
    slot = made.spec.sessions[0].slots[0]
    assert (slot.exercise, slot.stand_ins) == ("goblet squat", ("leg press", "band pull-apart"))


def test_the_lists_offer_them(tmp_path: Path) -> None:
    path = tmp_path / "sent.xlsx"
    path.write_bytes(block_bytes(SPEC))
    book = load_workbook(path)
    offered = [found.formula1 for found in book["Week 1"].data_validations.dataValidation]
    assert '"leg press,goblet squat,band pull-apart"' in offered
    assert not find(book, CHOICE).protection.locked


# Every program


@pytest.mark.parametrize("choice", ["leg press", "hack squat"])
def test_every_formula_is_the_same_in_every_program(tmp_path: Path, choice: str) -> None:
    inputs = {**clean_inputs(WITH_STAND_INS), CHOICE: choice, "w2.lower.squat_instead": choice}
    path = tmp_path / "returned.xlsx"
    path.write_bytes(block_bytes(SPEC, inputs))
    calculation = Calculation(MADE.book, inputs)
    theirs = [*libreoffice([path], tmp_path / "libreoffice"), *gnumeric([path], tmp_path / "gnumeric")]
    for file in (path, *theirs):
        grids = cell_values(file)
        for cell, _ in MADE.book.formulas():
            assert equal(calculation.value(cell), stored(grids[cell.sheet], cell)), (file, cell)


# Written wrongly


@pytest.mark.parametrize(
    ("stand_ins", "said"),
    [
        ("[back squat]", "is the exercise itself"),
        ("[leg press, Leg Press]", "stands here twice"),
        ("[leg pres]", "Did you mean leg press"),
        ("[leg press, goblet squat, bench press, deadlift, front squat, pull-up]", "5 at most"),
    ],
)
def test_a_mistake_is_told(stand_ins: str, said: str) -> None:
    text = SMALL_BLOCK.replace("id: squat\n", f"id: squat\n        stand_ins: {stand_ins}\n")
    with pytest.raises(BlockbookError, match=said):
        parse_spec(text, "small.yaml")


def test_the_bench_is_untouched() -> None:
    assert calculated(**{CHOICE: "leg press"}).value(MADE.weeks[0][1].lines[0].cell("target", 1)) is not None
    assert BENCH in {planned.key for place in MADE.sessions for _, planned in place.sets}
