"""Yes and no by example: the same words in every workbook of the coach's."""

from __future__ import annotations

from typing import Any

import pytest

from blockbook.assessment.decided import deload_used
from blockbook.spec.answers import NeitherYesNorNo, yes_or_no


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("yes", True),
        (" Y ", True),
        (True, True),
        ("No", False),
        ("n", False),
        ("FALSE", False),
        ("", None),
        (None, None),
    ],
)
def test_an_answer_is_understood(typed: Any, meant: bool | None) -> None:
    assert yes_or_no(typed) is meant


@pytest.mark.parametrize("typed", ["maybe", 1, "yess", "ok"])
def test_what_is_no_answer_is_quoted(typed: Any) -> None:
    with pytest.raises(NeitherYesNorNo, match=f'"{typed}" is neither yes nor no'):
        yes_or_no(typed)


def test_where_formulas_look_for_words_a_truth_value_is_no_answer() -> None:
    with pytest.raises(NeitherYesNorNo):
        yes_or_no(True, true_is_yes=False)


@pytest.mark.parametrize("word", ["yes", "Y", "no", "n"])
def test_formulas_know_the_same_words(word: str) -> None:
    assert deload_used.value(word, "as suggested") == ("yes" if yes_or_no(word) else "no")
