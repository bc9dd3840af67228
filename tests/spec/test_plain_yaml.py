"""Plain YAML values mean what a coach takes them to mean: no word turns into a number, date or truth value."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blockbook.spec.documents import dump_yaml, parse_document, parse_yaml


@pytest.mark.parametrize(
    "text",
    [
        "2:30", "1:30:00", "no", "No", "yes", "on", "off", "y", "n", "2027-01-04", "2027-01-04 10:00", "8-12", "3-1-1",
        "1-2-X", "1_000", "0x1F", "0b11", "5 kg", "90 s", "80 %", "=", "<<", "1,5", "nan", ".inf", "-",
    ],
)  # fmt: skip
def test_words_stay_text(text: str) -> None:
    assert parse_yaml(f"value: {text} # comment" if text != "-" else "value: '-'") == {"value": text}


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("5", 5), ("-5", -5), ("+5", 5), ("0", 0), ("2.5", 2.5), (".5", 0.5), ("5.", 5.0), ("2.5e1", 25.0),
        ("true", True), ("False", False), ("~", None), ("null", None), ("", None), ("'5'", "5"), ('"true"', "true"),
        ("[1, 2.5, a]", [1, 2.5, "a"]), ("{2.5: 1}", {2.5: 1}),
    ],
)  # fmt: skip
def test_numbers_and_truth_values_are_read_as_such(text: str, value: Any) -> None:
    read = parse_yaml(f"value: {text}")["value"]
    assert read == value
    assert type(read) is type(value)


@pytest.mark.parametrize("text", ["010", "017", "08", "-010"])
def test_a_leading_zero_does_not_change_a_number(text: str) -> None:
    assert parse_yaml(f"value: {text}")["value"] in (int(text), text)


def test_parts_are_found_by_line() -> None:
    document = parse_document("a:\n  - b: 1\n    c: [1,\n        2]\n  - {d: 4}\n")
    assert document.find(("a",)) == (1, ["a"])
    assert document.find(("a", 0, "c")) == (3, ["a", 0, "c"])
    assert document.find(("a", 0, "c", 1)) == (4, ["a", 0, "c", 1])
    assert document.find(("a", 1, "d")) == (5, ["a", 1, "d"])
    assert document.find(("a", 1, "missing")) == (5, ["a", 1])
    assert document.find(("a", 7)) == (1, ["a"])


PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers(-10**6, 10**6) | st.text(max_size=12)
    | st.integers(-4000, 4000).map(lambda n: n / 8)
    | st.sampled_from(["2:30", "no", "8-12", "2027-01-04", "1.5e5", "-.5", "010", "~", "", "# x", "a: b", "- a", "é"]),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=6), inner, max_size=4),
    max_leaves=12,
)  # fmt: skip


@settings(deadline=None)
@given(st.dictionaries(st.text(max_size=6), PLAIN, max_size=4))
def test_what_is_written_reads_the_same(data: dict[str, Any]) -> None:
    assert parse_yaml(dump_yaml(data)) == data


@pytest.mark.parametrize("value", [0.00001, 0.0001, 0.005, 1.25, 142.5, 100.0, 2000.0])
def test_numbers_of_any_size_are_written_plainly(value: float) -> None:
    text = dump_yaml({"value": value})
    assert "!" not in text
    assert float(parse_yaml(text)["value"]) == value


def test_short_lists_stand_on_one_line_and_whole_numbers_without_a_point() -> None:
    assert dump_yaml({"rpe": [7.0, 7.5], "reps": 5, "slots": [{"load": 100.0}]}) == (
        "rpe: [7, 7.5]\nreps: 5\nslots:\n  - load: 100\n"
    )
