"""What lifters type into a cell, and what is made of it."""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from typing import Any, Final

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from blockbook.intake.cells import Reading, Unit, means_same, read_effort, read_load, read_number, read_reps
from blockbook.intake.dates import read_date
from blockbook.intake.findings import KINDS

UNDERSTOOD: Final = "number-understood"
CONVERTED: Final = "unit-converted"
RANGE: Final = "range-for-number"
DATE: Final = "date-for-number"
NO_NUMBER: Final = "not-a-number"


def load_in_kg(raw: Any) -> Reading:
    return read_load(raw, "kg")


READERS: list[Callable[[Any], Reading]] = [load_in_kg, read_reps, read_effort, read_number]


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize("raw", [None, "", " ", "\u00a0\u202f", "\u200b", "\n\t"])
def test_an_empty_cell_is_plain(read: Callable[[Any], Reading], raw: Any) -> None:
    assert read(raw) == Reading(None, "", "", "")


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize(
    ("raw", "value", "typed"),
    [
        (8, 8, "8"),
        (8.5, 8.5, "8.5"),
        (0.1 + 0.2, 0.1 + 0.2, "0.3"),
        (-3, -3, "-3"),
        (0, 0, "0"),
        ("8", 8, "8"),
        ("84.5", 84.5, "84.5"),
        ("-2.5", -2.5, "-2.5"),
    ],
)
def test_a_plain_number_needs_no_remark(read: Callable[[Any], Reading], raw: Any, value: float, typed: str) -> None:
    assert read(raw) == Reading(value, typed)


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize(
    ("raw", "value"),
    [
        ("84,5", 84.5),
        ("84,125", 84.125),
        ("0,125", 0.125),
        (",5", 0.5),
        (" 84.5", 84.5),
        ("84.5\u00a0", 84.5),
        ("\u202f84.5\u200b", 84.5),
        ("８４．５", 84.5),
        ("٨٤٫٥", 84.5),
        ("८", 8),
        ("'84.5", 84.5),
        ("84.", 84),
        ("−5", -5),
        ("82 1/2", 82.5),
        ("82½", 82.5),
        ("82 ½", 82.5),
        ("½", 0.5),
        ("8 (grinder)", 8),
        ("8(grinder)", 8),
        ("8 (9 at most)", 8),
        ("8,5 (8 before)", 8.5),
    ],
)
def test_an_odd_but_clear_number_is_understood_and_noted(
    read: Callable[[Any], Reading], raw: str, value: float
) -> None:
    reading = read(raw)
    assert (reading.value, reading.raw, reading.code) == (value, raw, UNDERSTOOD)
    assert reading.value is not None
    assert reading.remark


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize("raw", ["-", "–", "skip", "Skipped", "n/a", "not done"])
def test_a_sign_for_not_done_is_no_number_and_no_mistake(read: Callable[[Any], Reading], raw: str) -> None:
    reading = read(raw)
    assert (reading.value, reading.raw, reading.code) == (None, raw, "not-done")


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize("raw", ["✓", "✔", "✔\ufe0f", "✅", "done", "ok"])
def test_a_tick_is_no_number(read: Callable[[Any], Reading], raw: str) -> None:
    reading = read(raw)
    assert (reading.value, reading.raw, reading.code) == (None, raw, "tick")


@pytest.mark.parametrize("raw", ["fail", "to failure", "Max"])
def test_failure_is_an_effort_of_ten_and_says_nothing_of_reps(raw: str) -> None:
    assert read_effort(raw).value == 10
    assert read_reps(raw).value is None


@pytest.mark.parametrize(
    ("raw", "load"),
    [("2x20", 20), ("2 x 22,5", 22.5), ("2×20kg", 20), ("30 each", 30), ("30/30", 30), ("22,5 + 22,5", 22.5)],
)
def test_a_load_for_each_hand_is_taken_only_where_loads_are_per_hand(raw: str, load: float) -> None:
    assert read_load(raw, "kg", per_hand=True).value == load
    assert read_load(raw, "kg").value is None


@pytest.mark.parametrize("raw", ["same", "Same as above", "ditto", '"', "″", "idem"])
def test_the_same_as_above_is_told_from_other_words(raw: str) -> None:
    assert means_same(raw)
    assert not means_same(f"{raw} but slower")


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize(
    "raw",
    [
        "x", "same", "?", "8?", "8 9", "8 grinder", "(8)", "3x5", "80%", "1e5", "nan",
        "inf", "1,234", "1.234", "1.234,5", "1,234.5", "1 234", "1'234", "8²", "82 3/2", "82 1/0",
        "5.5.5", "--5", "#REF!", "Ⅷ", "9" * 400, "'",
    ],
)  # fmt: skip
def test_what_may_mean_something_else_is_kept_and_not_used(read: Callable[[Any], Reading], raw: str) -> None:
    reading = read(raw)
    assert (reading.value, reading.raw, reading.code) == (None, raw, NO_NUMBER)
    assert reading.remark


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize(
    ("raw", "typed"),
    [
        (True, "True"),
        (False, "False"),
        (time(8, 30), "08:30:00"),
        (timedelta(hours=1, minutes=15), "1:15:00"),
        (math.nan, "nan"),
        (math.inf, "inf"),
        (10**400, str(10**400)),
    ],
)
def test_a_value_that_is_no_number_is_kept_and_not_used(read: Callable[[Any], Reading], raw: Any, typed: str) -> None:
    reading = read(raw)
    assert (reading.value, reading.raw, reading.code) == (None, typed, NO_NUMBER)


@pytest.mark.parametrize(
    ("raw", "unit", "value", "remark", "code"),
    [
        ("84.5 kg", "kg", 84.5, 'read "84.5 kg" as 84.5', UNDERSTOOD),
        ("85kg", "kg", 85, 'read "85kg" as 85', UNDERSTOOD),
        ("85 KG.", "kg", 85, 'read "85 KG." as 85', UNDERSTOOD),
        ("85㎏", "kg", 85, 'read "85㎏" as 85', UNDERSTOOD),
        ("185 lb", "lb", 185, 'read "185 lb" as 185', UNDERSTOOD),
        ("185 lb", "kg", 83.91, "converted from 185 lb", CONVERTED),
        ("185lbs", "kg", 83.91, "converted from 185 lb", CONVERTED),
        ("185 (lb)", "kg", 83.91, "converted from 185 lb", CONVERTED),
        ("82,5 kg", "lb", 181.88, "converted from 82.5 kg", CONVERTED),
        ("185 lb (belt)", "kg", 83.91, "converted from 185 lb; the rest is kept as typed", CONVERTED),
        ("bw", "kg", 0, "taken as body weight with nothing added", UNDERSTOOD),
        ("Bodyweight", "kg", 0, "taken as body weight with nothing added", UNDERSTOOD),
        ("BW+20", "kg", 20, "taken as 20 more than body weight", UNDERSTOOD),
        ("bw + 20 kg", "kg", 20, "taken as 20 more than body weight", UNDERSTOOD),
        ("+20", "kg", 20, "taken as 20 more than body weight", UNDERSTOOD),
        ("bw-15", "kg", -15, "taken as 15 less than body weight", UNDERSTOOD),
        ("+45 lb", "kg", 20.41, "converted from 45 lb, taken as 20.41 more than body weight", CONVERTED),
    ],
)
def test_loads(raw: str, unit: Unit, value: float, remark: str, code: str) -> None:
    reading = read_load(raw, unit)
    assert (reading.value, reading.raw, reading.remark, reading.code) == (value, raw, remark, code)


@pytest.mark.parametrize("raw", ["kg", "bw 20", "80-85", "2x20", "20 each", "100 (in lbs)", "220 (100 kg)", "5 reps"])
def test_a_load_that_is_not_clear(raw: str) -> None:
    assert read_load(raw, "kg") == Reading(None, raw, "not a number", NO_NUMBER)


@pytest.mark.parametrize(
    ("raw", "value", "remark", "code"),
    [
        ("5 reps", 5, 'read "5 reps" as 5', UNDERSTOOD),
        ("1 rep", 1, 'read "1 rep" as 1', UNDERSTOOD),
        ("x5", 5, 'read "x5" as 5', UNDERSTOOD),
        ("5x", 5, 'read "5x" as 5', UNDERSTOOD),
        ("×5", 5, 'read "×5" as 5', UNDERSTOOD),
        ("8-9", 8, "took the lower number of 8-9", RANGE),
        ("9 – 8 reps", 8, "took the lower number of 8-9", RANGE),
        ("8-8", 8, 'read "8-8" as 8', UNDERSTOOD),
        (datetime(2025, 9, 8), 8, "a date, taken as 8-9, so 8", DATE),
        (date(2025, 8, 9), 8, "a date, taken as 8-9, so 8", DATE),
        (date(2025, 12, 15), 12, "a date, taken as 12-15, so 12", DATE),
    ],
)
def test_reps(raw: Any, value: float, remark: str, code: str) -> None:
    reading = read_reps(raw)
    assert (reading.value, reading.remark, reading.code) == (value, remark, code)


@pytest.mark.parametrize(
    ("raw", "value", "remark", "code"),
    [
        ("@8", 8, 'read "@8" as 8', UNDERSTOOD),
        ("＠ ８", 8, 'read "＠ ８" as 8', UNDERSTOOD),
        ("RPE 8", 8, 'read "RPE 8" as 8', UNDERSTOOD),
        ("rpe8,5", 8.5, 'read "rpe8,5" as 8.5', UNDERSTOOD),
        ("8 rpe", 8, 'read "8 rpe" as 8', UNDERSTOOD),
        ("8-9", 8.5, "took the middle of 8-9", RANGE),
        ("8 - 9", 8.5, "took the middle of 8-9", RANGE),
        ("8–9", 8.5, "took the middle of 8-9", RANGE),
        ("8/9", 8.5, "took the middle of 8-9", RANGE),
        ("@8 to 9", 8.5, "took the middle of 8-9", RANGE),
        ("8/10", 8, "taken as 8 out of 10", UNDERSTOOD),
        ("2 left", 8, "taken as reps in reserve", UNDERSTOOD),
        ("2 RIR", 8, "taken as reps in reserve", UNDERSTOOD),
        ("rir: 2", 8, "taken as reps in reserve", UNDERSTOOD),
        ("2 (left)", 8, "taken as reps in reserve", UNDERSTOOD),
        ("1-2 reps left", 8.5, "taken as reps in reserve", UNDERSTOOD),
        ("8 (left knee)", 8, 'read "8" as 8; the rest is kept as typed', UNDERSTOOD),
        (datetime(2025, 9, 8), 8.5, "a date, taken as 8-9, so 8.5", DATE),
        (date(2025, 8, 9), 8.5, "a date, taken as 8-9, so 8.5", DATE),
        (date(2025, 9, 7), 8, "a date, taken as 7-9, so 8", DATE),
    ],
)
def test_effort(raw: Any, value: float, remark: str, code: str) -> None:
    reading = read_effort(raw)
    assert (reading.value, reading.remark, reading.code) == (value, remark, code)


@pytest.mark.parametrize("raw", ["12 left", "80-90", "0-5", "left", "rpe", "@", "11/10", "8+"])
def test_an_effort_that_is_not_clear(raw: str) -> None:
    assert read_effort(raw) == Reading(None, raw, "not a number", NO_NUMBER)


@pytest.mark.parametrize(
    ("read", "raw"),
    [
        (read_reps, date(2015, 12, 1)),
        (read_reps, datetime(2015, 8, 1)),
        (read_effort, date(2025, 5, 8)),
        (read_effort, date(2025, 10, 8)),
        (read_effort, date(2025, 12, 11)),
        (read_effort, date(2025, 1, 9)),
        (read_effort, date(1900, 1, 8)),
        (read_effort, datetime(2025, 9, 8, 17, 30)),
        (read_reps, date(2025, 9, 28)),
        (read_reps, date(1900, 1, 8)),
        (load_in_kg, date(2025, 9, 8)),
        (load_in_kg, date(1900, 1, 8)),
        (read_number, date(2025, 9, 8)),
    ],
)
def test_a_date_that_may_have_been_anything_is_not_used(read: Callable[[Any], Reading], raw: date) -> None:
    assert read(raw) == Reading(None, str(raw), "a date, not a number", DATE)


@pytest.mark.parametrize("read", [load_in_kg, read_number])
def test_a_number_that_only_looks_like_a_date_is_used(read: Callable[[Any], Reading]) -> None:
    reading = read(datetime(1900, 3, 24, 12))
    assert (reading.value, reading.code) == (84.5, DATE)
    assert reading.remark == "a date, behind which stands the number 84.5"


def test_minutes_may_be_named() -> None:
    assert read_number("75 min").value == 75
    assert read_number("75 kg").value is None


def test_remarks_say_what_was_read() -> None:
    assert read_number("84,5").remark == 'read "84,5" as 84.5'
    assert read_effort("8 (grinder)").remark == 'read "8" as 8; the rest is kept as typed'
    assert read_number("1,234").remark == "not used: it could be 1234 or 1.234"


@pytest.mark.parametrize(
    ("raw", "day"),
    [
        (datetime(2025, 9, 8, 17, 30), date(2025, 9, 8)),
        (date(2025, 9, 8), date(2025, 9, 8)),
        ("2025-09-08", date(2025, 9, 8)),
        (" 2025-09-08T00:00:00 ", date(2025, 9, 8)),
        ("8.9.2025", date(2025, 9, 8)),
        ("08. 09. 2025", date(2025, 9, 8)),
        ("15/09/2025", date(2025, 9, 15)),
        ("09/15/2025", date(2025, 9, 15)),
        ("15-09-2025", date(2025, 9, 15)),
        ("8/8/2025", date(2025, 8, 8)),
        (45908, date(2025, 9, 8)),
        (45908.75, date(2025, 9, 8)),
        (36526, date(2000, 1, 1)),
        (73050, date(2099, 12, 31)),
    ],
)
def test_dates(raw: Any, day: date) -> None:
    assert read_date(raw) == (day, "")


@pytest.mark.parametrize(
    ("raw", "typed"),
    [
        (None, ""),
        (" ", ""),
        ("8/9/2025", "8/9/2025"),
        ("31.2.2025", "31.2.2025"),
        ("13/13/2025", "13/13/2025"),
        ("0/5/2026", "0/5/2026"),
        ("1/2/0000", "1/2/0000"),
        ("8.9.", "8.9."),
        ("8.9.25", "8.9.25"),
        ("Monday", "Monday"),
        (36525, "36525"),
        (73051, "73051"),
        (math.nan, "nan"),
        (True, "True"),
        (time(8), "08:00:00"),
        (date(1900, 1, 8), "1900-01-08"),
    ],
)
def test_what_is_no_clear_date_is_kept(raw: Any, typed: str) -> None:
    assert read_date(raw) == (None, typed)
    assert read_date(raw, near=date(2025, 6, 1))[0] in (None, date(2025, 9, 8))  # near gives a bare day its year


NUMBERS = st.floats() | st.integers() | st.booleans()
NEAR_NUMBERS = st.text(st.sampled_from("0123456789 .,-+/()xX@½⁄²lbkgrpeiwt'８٨\u00a0\u200b"), max_size=12)


@pytest.mark.parametrize("text", ["Monday 2 Nov", "Mon, 2 Nov", "Mo 2. Nov", "lunes 2 de nov", "2 Nov", "2/11", "11/2"])
def test_a_day_as_a_session_is_headed(text: str) -> None:
    """ "2/11" is in November where the session was planned there, whichever comes first."""
    assert read_date(text, near=date(2026, 11, 3)) == (date(2026, 11, 2), "")
    assert read_date(text) == (None, text)


@pytest.mark.parametrize("read", READERS)
@given(text=st.text() | NEAR_NUMBERS)
@example(text="00000")
def test_no_text_is_lost_and_none_fails(read: Callable[[Any], Reading], text: str) -> None:
    reading = read(text)
    seen = any(not mark.isspace() and unicodedata.category(mark) != "Cf" and mark != "\ufe0f" for mark in text)
    assert reading.raw == (text if seen else "")
    assert reading.value is None or math.isfinite(reading.value)
    assert reading.value is not None or not seen or reading.code
    assert reading.code == "" or reading.code in KINDS
    assert bool(reading.remark) == bool(reading.code)
    assert read_date(text)[1] in ("", text)


@pytest.mark.parametrize("read", READERS)
@given(raw=NUMBERS | st.datetimes() | st.dates() | st.times() | st.timedeltas())
def test_no_value_fails(read: Callable[[Any], Reading], raw: Any) -> None:
    reading = read(raw)
    assert reading.raw
    assert reading.value is None or math.isfinite(reading.value)
    assert reading.value is not None or reading.code
    read_date(raw)


@given(st.floats(-9999, 9999).map(lambda number: round(number, 2)))
def test_a_number_is_the_same_with_comma_unit_or_blanks(number: float) -> None:
    text = f"{number:.2f}"
    for typed in (text, text.replace(".", ","), f"{text} kg", f" {text}\u00a0"):
        assert read_load(typed, "kg").value == number
