"""What a coach is told about a mistake in a specification: the line, the field, and what would be right."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import NamedTuple

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from blockbook.errors import BlockbookError
from blockbook.spec.documents import DEPTH_LIMIT, SIZE_LIMIT
from blockbook.spec.loading import load_spec, parse_spec
from blockbook.spec.models import Specification
from blockbook.spec.templates import starter
from blockbook.spec.values import Best
from tests.intake.small_block import SMALL_BLOCK

BLOCK = """\
block:
  title: Spring block
  start: 2027-01-04
  weeks: 2
lifter:
  name: Robin Sample
  body_weight: 70
  bests: {back squat: 120, bench press: 80}
equipment:
  bar: 20
  plates: {25: 3, 20: 1, 10: 1, 5: 1, 2.5: 1, 1.25: 1}
  dumbbells: {lightest: 2, heaviest: 40, step: 2}
  stack: {lightest: 5, heaviest: 200, step: 5}
  added_weight: {lightest: 0, heaviest: 60, step: 1.25}
sessions:
  - name: Lower
    slots:
      - exercise: back squat
        sets: 3
        reps: 5
        rpe: [7.5, 8]
      - exercise: leg press
        reps: 8-10
        rpe: 8
  - name: Upper
    slots:
      - exercise: bench press
        reps: 6
        rpe: 7
      - exercise: band pull-apart
        reps: 15
        rpe: 6.5
"""


class Mistake(NamedTuple):
    """A piece of the block above, what stands there instead, the line named for it, and words of the message."""

    old: str
    new: str
    line: int
    words: tuple[str, ...]


MISTAKES: dict[str, Mistake] = {
    # Fields
    "misspelt field": Mistake("  title:", "  titel:", 2, ("block.titel", "not a field here", "spelling")),
    "misspelt field of an exercise": Mistake(
        "reps: 8-10", "repps: 8-10", 23, ("sessions[1].slots[2].repps", "not a field here")
    ),
    "field missing": Mistake("  body_weight: 70\n", "", 5, ("lifter.body_weight", "is missing")),
    "part missing": Mistake("lifter:", "athlete:", 1, ("lifter", "is missing")),
    "a field's name that is a number": Mistake("  title:", "  7:", 2, ("block", "7")),
    "value for a part": Mistake("sets: 3", "back_off: 3", 19, ("sessions[1].slots[1].back_off", "fields", '"3"')),
    "value for a list": Mistake("sessions:\n", "sessions: none\nslots:\n", 15, ("sessions", "a list")),
    # Types and values
    "word for a number": Mistake("bar: 20", "bar: twenty", 10, ("equipment.bar", "a number", '"twenty"')),
    "half a week": Mistake("weeks: 2", "weeks: 2.5", 4, ("block.weeks", "a whole number", '"2.5"')),
    "number for text": Mistake("title: Spring block", "title: 5", 2, ("block.title", "text", '"5"')),
    "word for true or false": Mistake(
        "sets: 3", "feeler: maybe", 19, ("sessions[1].slots[1].feeler", "true or false", '"maybe"')
    ),
    "unknown unit": Mistake("weeks: 2", "unit: stone\n  weeks: 2", 4, ("block.unit", "'kg' or 'lb'", '"stone"')),
    "nothing behind the colon": Mistake("weeks: 2", "weeks:", 4, ("block.weeks", "whole number")),
    "leading zero": Mistake("sets: 3", "sets: 08x", 19, ("sessions[1].slots[1].sets", "whole number", '"08x"')),
    "day that no month has": Mistake("2027-01-04", "2027-02-30", 3, ("block.start", "a date such as", '"2027-02-30"')),
    "date in words": Mistake("2027-01-04", "4 Jan 2027", 3, ("block.start", "a date such as", '"4 Jan 2027"')),
    "date without hyphens": Mistake("2027-01-04", "20270104", 3, ("block.start", "a date such as", '"20270104"')),
    "date with a time": Mistake("2027-01-04", "2027-01-04T10:00", 3, ("block.start", "a date such as")),
    "number of days for a date": Mistake("2027-01-04", "86400", 3, ("block.start", "a date such as", '"86400"')),
    "time of day for reps": Mistake(
        "reps: 6\n", "reps: 2:30\n", 28, ("sessions[2].slots[1].reps", "a range such as", '"2:30"')
    ),
    "range from high to low": Mistake("8-10", "10-8", 23, ("sessions[1].slots[2].reps", "from low to high", '"10-8"')),
    "best that nobody lifts": Mistake(
        "back squat: 120", "back squat: 1200", 8, ("lifter.bests.back squat", "17 times the body weight", "digits")
    ),
    "percent as a share of one": Mistake(
        "rpe: 7\n",
        "percent: 0.75\n",
        29,
        ("sessions[2].slots[1].percent", "in percent, without the sign: 75", '"0.75"'),
    ),
    "tempo in words": Mistake(
        "sets: 3", "sets: 3\n        tempo: slow", 20, ("sessions[1].slots[1].tempo", "such as 3-1-1", '"slow"')
    ),
    "effort beyond 10": Mistake("rpe: 7\n", "rpe: 11\n", 29, ("sessions[2].slots[1].rpe", "10", '"11"')),
    "effort beyond 10 in one week": Mistake(
        "[7.5, 8]", "[7.5, 10.5]", 21, ("sessions[1].slots[1].rpe[2]", "10", '"10.5"')
    ),
    "effort between halves": Mistake("rpe: 7\n", "rpe: 7.3\n", 29, ("sessions[2].slots[1].rpe", "0.5", '"7.3"')),
    "stack that ends below its start": Mistake(
        "heaviest: 200", "heaviest: 2", 13, ("equipment.stack", "heaviest", "lightest")
    ),
    "no plates": Mistake("{25: 3, 20: 1, 10: 1, 5: 1, 2.5: 1, 1.25: 1}", "{25: 0}", 11, ("plates", "at least one")),
    # Parts that have to agree
    "unknown exercise": Mistake(
        "exercise: leg press", "exercise: leg pres", 22, ("slots[2].exercise", '"leg pres"', "Did you mean leg press")
    ),
    "an implement that is left out": Mistake(
        "  stack: {lightest: 5, heaviest: 200, step: 5}\n",
        "",
        21,
        ("sessions[1].slots[2].exercise", "leg press needs equipment: stack", "Write its loads there"),
    ),
    "unknown exercise without a near one": Mistake(
        "exercise: leg press", "exercise: qqqqqq", 22, ("slots[2].exercise", '"qqqqqq"', "exercises")
    ),
    "best of 0": Mistake(
        "bench press: 80", "bench press: 0", 8, ("lifter.bests.bench press", "goes with exercises that lift the body")
    ),
    "best of an unknown exercise": Mistake(
        "bench press: 80", "bench pres: 80", 8, ("lifter.bests.bench pres", "Did you mean bench press")
    ),
    "a best twice, but for a blank": Mistake(
        "bench press: 80", '"back  squat": 150', 8, ("lifter.bests", '"back squat" stands here twice')
    ),
    "too many weeks in a list": Mistake(
        "rpe: [7.5, 8]", "rpe: [7.5, 8, 8.5]", 21, ("sessions[1].slots[1].rpe[3]", "no week 3")
    ),
    "a list for back-off sets": Mistake(
        "sets: 3",
        "back_off: {sets: [3, 3, 3], reps: 5, drop: 10}",
        19,
        ("slots[1].back_off.sets[3]", "no week 3"),
    ),
    "load for a week too late": Mistake("sets: 3", "loads: {3: 100}", 19, ("loads.3", "2 weeks", "week 3")),
    "deload week too late": Mistake(
        "weeks: 2", "weeks: 2\n  deload_week: 3", 5, ("block.deload_week", "2 weeks", "week 3")
    ),
    "deload week 0": Mistake("weeks: 2", "weeks: 2\n  deload_week: 0", 5, ("block.deload_week", "1", '"0"')),
    "two prescriptions": Mistake(
        "rpe: 7\n", "percent: 70\n        load: 50\n", 30, ("slots[1].load", "percent and load", "Keep one")
    ),
    "no effort": Mistake("        rpe: 7\n", "", 27, ("sessions[2].slots[1]", "rpe is missing", "for example")),
    "effort beside reserve": Mistake(
        "rpe: 7\n", "rpe: 7\n        reserve: 1\n", 29, ("slots[1].rpe", "leave it out", "from reserve")
    ),
    "range in percent": Mistake(
        "rpe: 8\n", "percent: 70\n", 23, ("slots[2].reps", "range", "percent", "Write one number")
    ),
    "band with a load": Mistake("rpe: 6.5", "load: 20", 30, ("slots[2].exercise", "a band has no load")),
    "band with a load for one week": Mistake(
        "rpe: 6.5", "rpe: 6.5\n        loads: {1: 20}", 30, ("slots[2].exercise", "a band has no load")
    ),
    "same id for two sessions": Mistake(
        "  - name: Upper\n",
        "  - name: Upper\n    id: lower\n",
        26,
        ("sessions[2].id", 'the id "lower" is taken'),
    ),
    "same id for two exercises": Mistake(
        "sets: 3",
        "id: legs\n        reps: 4\n        rpe: 7\n      - exercise: pause squat\n        id: legs",
        23,
        ("sessions[1].slots[2].id", 'the id "legs" is taken'),
    ),
    "own exercise related to an unknown one": Mistake(
        "sessions:\n",
        "exercises:\n  - {name: belt squat, implement: stack, direct: [quadriceps], related: back squatt}\nsessions:\n",
        16,
        ("exercises[1].related", '"back squatt"', "Did you mean back squat"),
    ),
    "muscle that is not counted": Mistake(
        "sessions:\n",
        "exercises:\n  - {name: belt squat, implement: stack, direct: [legs]}\nsessions:\n",
        16,
        ("exercises[1].direct[1]", "quadriceps", '"legs"'),
    ),
    # YAML
    "field twice": Mistake("weeks: 2", "weeks: 2\n  weeks: 3", 5, ('"weeks"', "twice")),
    "plate twice": Mistake("{25: 3,", "{25: 3, 25: 4,", 11, ('"25"', "twice")),
    "plate twice in other digits": Mistake("{25: 3,", "{25: 3, 25.0: 4,", 11, ("25", "twice")),
    "best twice in other letters": Mistake("bench press: 80", "Back Squat: 130", 8, ("Back Squat", "twice")),
    "tab": Mistake("  weeks: 2", "\tweeks: 2", 4, ("a tab stands at the beginning", "Indent with spaces")),
    "bracket left open": Mistake("[7.5, 8]", "[7.5, 8", 21, ("a [ is opened here", "a ] is missing")),
    "anchor": Mistake("rpe: 7\n", "rpe: &usual 7\n", 29, ("anchors (&)", "Write the value out")),
    "alias": Mistake("rpe: 7\n", "rpe: *usual\n", 29, ("aliases (*)", "Write the value out")),
    "tag": Mistake("weeks: 2", "weeks: !!int 2", 4, ("tags (!)", "plain value")),
    "object tag": Mistake("weeks: 2", "weeks: !!python/object:os.system 2", 4, ("tags (!)", "plain value")),
    "list for a field's name": Mistake("weeks: 2", "weeks: 2\n  ? [a]\n  : 2", 5, ("field's name",)),
    "two documents": Mistake("lifter:", "---\nlifter:", 5, ("another document",)),
    "nested too deep": Mistake(
        "weeks: 2", f"weeks: {'[' * DEPTH_LIMIT}{']' * DEPTH_LIMIT}", 4, (f"more than {DEPTH_LIMIT} levels deep",)
    ),
}

JARGON = ("None", "tuple", "dict", "pydantic", "Traceback", "datetime", "integer")
"""Words of programmers that a coach should not meet."""


def message_for(text: str) -> str:
    with pytest.raises(BlockbookError) as caught:
        parse_spec(text, "block.yaml")
    return str(caught.value)


def test_the_block_that_the_mistakes_are_made_in_is_right() -> None:
    assert parse_spec(BLOCK).lifter.name == "Robin Sample"


@pytest.mark.parametrize("mistake", MISTAKES.values(), ids=MISTAKES)
def test_a_mistake_is_named_with_its_line_and_field(mistake: Mistake) -> None:
    assert BLOCK.count(mistake.old) == 1
    message = message_for(BLOCK.replace(mistake.old, mistake.new))
    start = f"block.yaml: line {mistake.line}"
    lines = [line for line in message.splitlines() if line.startswith((f"{start}: ", f"{start}, "))]
    assert lines, message
    assert any(all(word in line for word in mistake.words) for line in lines), message
    assert not [word for word in JARGON if word in message]


@pytest.mark.parametrize("value", ["08", "09"])
def test_a_number_with_a_leading_zero_is_a_number_or_named_with_its_line(value: str) -> None:
    text = BLOCK.replace("sets: 3", f"sets: {value}")
    try:
        sets = parse_spec(text, "block.yaml").sessions[0].slots[0].sets
    except BlockbookError as error:
        assert str(error).startswith("block.yaml: line 19: ")  # noqa: PT017
    else:
        assert sets == (int(value),)


def test_every_mistake_has_a_line_of_its_own_in_the_order_of_the_file() -> None:
    text = BLOCK.replace("weeks: 2", "weeks: two").replace("bar: 20", "bar: twenty").replace("8-10", "10-8")
    starts = [line.split(": ")[1] for line in message_for(text).splitlines()]
    assert starts == ["line 4", "line 10", "line 23"]


def test_the_same_exercise_twice_in_a_session_needs_no_ids() -> None:
    spec = parse_spec(BLOCK.replace("exercise: leg press", "exercise: back squat"))
    assert [slot.exercise for slot in spec.sessions[0].slots] == ["back squat", "back squat"]


@pytest.mark.parametrize("text", ["", "\n\n", "# only a comment\n", "- a\n- list\n", "a word", "12", "[]", "null"])
def test_what_is_no_set_of_fields_is_told_what_a_specification_needs(text: str) -> None:
    message = message_for(text)
    assert message.startswith("block.yaml: line 1: ")
    assert all(part in message for part in ("block:", "lifter:", "equipment:", "sessions:", "blockbook new"))


def test_a_text_far_too_long_is_refused_unread() -> None:
    padding = "# " + "x" * (SIZE_LIMIT - len(BLOCK) - 3) + "\n"
    assert parse_spec(BLOCK + padding) == parse_spec(BLOCK)
    assert f"{SIZE_LIMIT:,} characters" in message_for(BLOCK + padding + "#")


# Files


def latin_1(path: Path) -> None:
    path.write_bytes("block:\n  title: Kräftigung\n".encode("latin-1"))


def utf_16(path: Path) -> None:
    path.write_bytes(BLOCK.encode("utf-16"))


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda path: None, "cannot be opened"),
        (Path.mkdir, "cannot be opened"),
        (latin_1, "not a text file in UTF-8"),
        (utf_16, "not a text file in UTF-8"),
        (Path.touch, "not a block specification"),
    ],
    ids=["missing", "folder", "Latin-1", "UTF-16", "empty"],
)
def test_a_file_that_is_no_text_is_named(tmp_path: Path, make: Callable[[Path], None], words: str) -> None:
    path = tmp_path / "block.yaml"
    make(path)
    with pytest.raises(BlockbookError) as caught:
        load_spec(path)
    assert str(caught.value).startswith(f"{path}: ")
    assert words in str(caught.value)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("heaviest: 40, step: 2}", "heaviest: 40, step: 2, roughly}", "dumbbells.roughly: is not a field here; check "
         "spelling and indentation; there are heaviest, lightest, step. Text that holds a comma stands in quotes."),
        ("    day: mon", "    muscles: [chest]", "sessions[1].muscles: is not a field here; check "
         "spelling and indentation; there are day, id, name, slots."),
        ("    day: mon", "    dya: mon", "did you mean day?"),
    ],
)  # fmt: skip
def test_a_field_that_is_none_is_answered_with_those_of_its_place(old: str, new: str, said: str) -> None:
    with pytest.raises(BlockbookError) as raised:
        parse_spec(SMALL_BLOCK.replace(old, new), "block.yaml")
    assert said in str(raised.value)


def test_a_workbook_with_a_best_that_nobody_lifts_is_read_all_the_same() -> None:
    """It may have been mailed before the coach saw it: what came back must not be lost."""
    spec = parse_spec(BLOCK)
    lifter = spec.lifter.model_copy(update={"bests": {"back squat": Best(load=1200)}})
    sent = spec.model_copy(update={"lifter": lifter})
    assert Specification.model_validate(sent.to_data()).lifter.bests["back squat"].load == 1200


@pytest.mark.parametrize("day", ["Mon", "monday", " MONDAY "])
def test_a_weekday_may_be_written_out(day: str) -> None:
    spec = parse_spec(SMALL_BLOCK.replace("day: mon", f'day: "{day}"'), "block.yaml")
    assert spec.sessions[0].day == "mon"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_a_file_saved_by_any_editor_loads(tmp_path: Path, encoding: str, newline: str) -> None:
    path = tmp_path / "block.yaml"
    path.write_bytes(BLOCK.replace("Spring block", "Frühling").replace("\n", newline).encode(encoding))
    assert load_spec(path).block.title == "Frühling"


# Any text


def loads_or_is_refused(text: str) -> None:
    try:
        loaded: object = parse_spec(text)
    except BlockbookError as error:
        assert str(error).startswith("specification: ")  # noqa: PT017
    else:
        assert isinstance(loaded, Specification)


@settings(deadline=None)
@given(st.text())
@example("\x00")
@example("\ud800")
@example("? [a]\n: b")
@example("[" * 5000)
@example("a: " + "9" * 5000)
@example("~: 1\n1: 2\ntrue: 3\n1.5: 4")
@example("<<: {a: 1}\n=: 2")
@example("%YAML 9.9\n---\n")
def test_any_text_loads_or_is_refused_in_words(text: str) -> None:
    loads_or_is_refused(text)


_VALUES = st.sampled_from(
    ["", "~", "true", "-1", "0", "08", "1.e999", "9" * 400, "[]", "{}", "[[]]", "{1: 2}", "x", "8-12", "'", "- a", "\t"]
)


@settings(deadline=None)
@given(st.data())
def test_any_value_at_any_field_loads_or_is_refused_in_words(data: st.DataObject) -> None:
    lines = BLOCK.splitlines()
    for _ in range(data.draw(st.integers(1, 3))):
        number = data.draw(st.integers(0, len(lines) - 1))
        field, colon, _ = lines[number].partition(":")
        lines[number] = f"{field}{colon} {data.draw(_VALUES | st.text(max_size=8))}"
    loads_or_is_refused("\n".join(lines))


@settings(deadline=None)
@given(st.data())
def test_a_block_cut_or_mixed_up_anywhere_loads_or_is_refused_in_words(data: st.DataObject) -> None:
    start, end = sorted(data.draw(st.tuples(*[st.integers(0, len(BLOCK))] * 2)))
    loads_or_is_refused(BLOCK[:start] + data.draw(st.text(max_size=5)) + BLOCK[end:])


@pytest.mark.parametrize(
    ("unit", "typed", "said"),
    [
        (
            "lb",
            "100kg",
            'lifter.bests.back squat: should be the number alone, 220: the block counts in lb (it says "100kg")',
        ),
        ("lb", "100 lbs", 'should be the number alone, 100 (it says "100 lbs")'),
        ("kg", "225 lb", 'should be the number alone, 102: the block counts in kg (it says "225 lb")'),
        ("kg", "7,5 kg", 'should be the number alone, 7.5 (it says "7,5 kg")'),
        ("kg", "1,000 lb", 'should be the number alone, 454: the block counts in kg (it says "1,000 lb").'),
        ("lb", "1,000 lb", 'should be the number alone, 1000 (it says "1,000 lb").'),
        ("kg", "0,125 kg", 'should be the number alone, 0.125 (it says "0,125 kg")'),
        ("lbs", "225 lb", 'should be the number alone, 225 (it says "225 lb")'),
        ("stone", "225 lb", 'should be the number alone, in the unit of the block (it says "225 lb")'),
        ("kg", "100 stone", 'should be a number such as 7.5 (it says "100 stone")'),
    ],
)
def test_a_weight_with_its_unit_is_told_in_the_blocks(unit: str, typed: str, said: str) -> None:
    text = BLOCK.replace("weeks: 2", f"weeks: 2\n  unit: {unit}").replace("back squat: 120", f'back squat: "{typed}"')
    with pytest.raises(BlockbookError) as told:
        parse_spec(text)
    assert said in str(told.value)
    assert ("Decimals take a point" in str(told.value)) == ("," in typed and not typed.startswith("1,000"))


@pytest.mark.parametrize(
    ("field", "with_unit", "said"),
    [
        ("weeks: 2", 'weeks: "4 lb"', "block.weeks: should be the number alone, 4"),
        ("sets: 3", "sets: 3 lb", "sets: should be the number alone, 3"),
        ("rpe: 7\n", "rpe: 8 lb\n", "rpe: should be the number alone, 8"),
        ("rpe: 7\n", "percent: 75 lb\n", "percent: should be the number alone, 75"),
        ("rpe: 7\n", "load: 155 lb\n", "load: should be the number alone, 70: the block counts in kg"),
        ("rpe: 7\n", "load: [155 lb, 70]\n", "should be the number alone, 70: the block counts in kg"),
        ("rpe: 7\n", "rpe: 7\n        loads: {2: 155 lb}\n", "should be the number alone, 70: the block counts in kg"),
        ("bar: 20", "bar: 45 lb", "equipment.bar: should be the number alone, 20: the block counts in kg"),
    ],
)  # fmt: skip
def test_only_a_weight_is_converted(field: str, with_unit: str, said: str) -> None:
    assert BLOCK.count(field) == 1
    with pytest.raises(BlockbookError) as told:
        parse_spec(BLOCK.replace(field, with_unit))
    assert f"{said} (it says" in str(told.value)


@pytest.mark.parametrize(
    ("field", "said"),
    [
        ("rpe: 80 %\n", 'rpe: should be a number such as 7.5 (it says "80 %")'),
        ("rpe: 7\n        reserve: 50%\n", 'reserve: should be a number such as 7.5 (it says "50%")'),
        ("percent: 75 %\n", 'percent: should be the number alone, 75 (it says "75 %")'),
        ("percent: [75 %, 80]\n", 'should be the number alone, 75 (it says "75 %")'),
    ],
)
def test_a_number_with_the_sign_of_a_percent_is_one_in_a_percent_only(field: str, said: str) -> None:
    with pytest.raises(BlockbookError) as told:
        parse_spec(BLOCK.replace("rpe: 7\n", field))
    assert said in str(told.value)


@pytest.mark.parametrize("name", ["{load} press", "{rpe}", "the {back_off} row"])
def test_what_a_coach_has_written_in_braces_is_shown_so(name: str) -> None:
    with pytest.raises(BlockbookError) as told:
        parse_spec(BLOCK.replace("bench press", f'"{name}"'))
    assert f'no exercise is called "{name}".' in str(told.value)


@pytest.mark.parametrize(
    ("own", "said"),
    [
        ("implement: dumbbells, direct: [quadriceps]", 'should be dumbbell, perhaps (it says "dumbbells")'),
        ("implement: stack, direct: [bicep]", 'should be biceps, perhaps (it says "bicep")'),
        ("implement: stack, direct: [quads]", 'should be quadriceps, perhaps (it says "quads")'),
        ("implement: stack, direct: [Abs]", 'should be abdominals, perhaps (it says "Abs")'),
        ("implement: stack, direct: [legs]", "'quadriceps'"),
    ],
)
def test_of_many_words_the_one_that_was_meant_is_told(own: str, said: str) -> None:
    with pytest.raises(BlockbookError) as told:
        parse_spec(f"{BLOCK}exercises: [{{name: sled push, {own}}}]\n")
    assert said in str(told.value)


OWN = "exercises: [{name: belt squat, implement: stack, direct: [legs]}]\n"
"""One of the coach's own with a muscle that there is not."""


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("exercise: leg press", "exercise: leg pres", 'no exercise is called "leg pres"'),
        ("        rpe: 7\n", "", "rpe is missing"),
        ("sets: 3", "sets: three\n        stand_ins: [leg pres]", 'no exercise is called "leg pres"'),
        ("sets: 3", "sets: three\n        loads: {3: 100}", "the block has 2 weeks, so week 3 is not in it"),
        ("weeks: 2", "weeks: 2\n  deload_week: 3", "the block has 2 weeks, so week 3 is not in it"),
        ("weeks: 2", "weeks: 2\n  unit: stone\n  deload_week: 3", "the block has 2 weeks, so week 3 is not in it"),
        ("{25: 3, 20: 1, 10: 1, 5: 1, 2.5: 1, 1.25: 1}", "{25: 0}", "at least one pair of plates is needed"),
        ("  stack: {lightest: 5, heaviest: 200, step: 5}\n", "", "leg press needs equipment: stack"),
        ("back squat: 120", "back squat: 1200", "17 times the body weight"),
        ("bench press: 80", "bench pres: 80", "Did you mean bench press"),
        ("  - name: Upper\n", "  - name: Upper\n    id: lower\n", 'the id "lower" is taken'),
        ("exercise: leg press", "exercise: leg press\n        id: back-squat", 'the id "back-squat" is taken'),
        ("weeks: 2", "weeks: two", "should be a whole number"),
    ],
)
def test_what_is_wrong_elsewhere_is_told_beside_a_wrong_exercise(old: str, new: str, said: str) -> None:
    assert BLOCK.count(old) == 1
    message = message_for(BLOCK.replace(old, new) + OWN)
    assert said in message
    assert '(it says "legs")' in message


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("exercise: leg press", "exercise: belt squat"),  # a name that there is, whatever else is wrong with it
        ("rpe: 7\n", "rpe: hard\n"),
        ("rpe: 7\n", "percent: heavy\n"),
        ("rpe: 7\n", "rpee: 7\n"),
        ("weeks: 2", "weeks: two"),
        ("exercise: leg press", "exercize: leg press"),
    ],
)
def test_nothing_is_told_that_only_follows_from_another_mistake(old: str, new: str) -> None:
    lines = message_for(BLOCK.replace(old, new) + OWN).splitlines()
    assert len(lines) == (1 if "belt" in new else 2), lines


def test_a_block_that_was_made_shorter_is_one_mistake_with_all_its_places() -> None:
    text = starter("strength", date(2027, 1, 4)).replace("weeks: 5", "weeks: 3", 1)
    with pytest.raises(BlockbookError) as raised:
        parse_spec(text, "block.yaml")
    told = [line for line in str(raised.value).splitlines() if "so there is no week 4" in line]
    assert len(told) == 1
    assert " more places: line " in told[0]


def test_a_template_as_it_is_shipped_is_called_one() -> None:
    with pytest.raises(BlockbookError, match=r"strength.yaml: is a template .* `blockbook new` makes a block of it"):
        parse_spec("block: {weeks: 4}\n$lifter\n", "strength.yaml")
