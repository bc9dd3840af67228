"""What effort means, on the first sheet and at the cells where it is typed. Lifters and loads are invented."""

from __future__ import annotations

import io
import re

import pytest
from openpyxl import load_workbook

from blockbook.languages import LANGUAGE_NAMES, say, speaking
from blockbook.spec.models import Specification
from blockbook.workbook.layout import START
from blockbook.workbook.start import EFFORT_WORDS, LIGHT_EFFORT, WORDS, WORDS_IN_RESERVE, scale_in_short
from blockbook.workbook.write import block_bytes
from tests.intake.mirrored import LEFT
from tests.intake.small_block import spec_from

_LONGEST_TITLE, _LONGEST_MESSAGE = 32, 255
"""Characters that a spreadsheet shows at a cell that is chosen; with more, XlsxWriter leaves the list out."""


def in_language(tag: str, *changed: tuple[str, str]) -> Specification:
    spec = spec_from(*changed)
    return spec.model_copy(update={"lifter": spec.lifter.model_copy(update={"language": tag})})


def test_the_start_sheet_explains_the_whole_scale() -> None:
    rows = load_workbook(io.BytesIO(block_bytes(spec_from())))[START].iter_rows(values_only=True)
    scale = {effort: words for effort, words, *_ in rows if words}
    assert [scale[effort] for effort, _ in (*EFFORT_WORDS, *LIGHT_EFFORT)] == [
        "maximum effort: no further rep, no more load", "no further rep, perhaps a little more load", "1 rep left",
        "1 or 2 reps left", "2 reps left", "2 or 3 reps left", "3 reps left", "4 to 6 reps left", "light effort",
        "little to no effort",
    ]  # fmt: skip


def test_in_short_it_is_the_same_scale() -> None:
    numbers = {effort: re.findall(r"\d", words) for effort, words in (*EFFORT_WORDS, *LIGHT_EFFORT)}
    short = dict(re.findall(r"(\d[\d.-]*): (.*?)\.(?: |$)", scale_in_short(spec_from().block)))
    assert {effort: re.findall(r"\d", words) for effort, words in short.items()} == {
        f"{effort}": found for effort, found in numbers.items()
    }


@pytest.mark.parametrize("changed", [(), (LEFT,)], ids=["effort", "reps left"])
@pytest.mark.parametrize("tag", LANGUAGE_NAMES)
def test_a_cell_for_effort_says_what_its_numbers_mean(tag: str, changed: tuple[tuple[str, str], ...]) -> None:
    book = load_workbook(io.BytesIO(block_bytes(in_language(tag, *changed))))
    for sheet in book.worksheets[1:3]:
        (told,) = [offered for offered in sheet.data_validations.dataValidation if offered.prompt]
        assert told.type == "list"
        assert "10: " in told.prompt or "0: " in told.prompt
        assert len(told.promptTitle) <= _LONGEST_TITLE
        assert len(told.prompt) <= _LONGEST_MESSAGE


@pytest.mark.parametrize("language", LANGUAGE_NAMES)
@pytest.mark.parametrize(("words", "heading"), [(WORDS, None), (WORDS_IN_RESERVE, "Reps left")])
def test_what_the_start_sheet_explains_is_called_so_on_the_week_sheets(
    language: str, words: tuple[str, ...], heading: str | None
) -> None:
    with speaking(language):
        explained = " ".join(map(say, words))
        on_the_sheets = [say(word) for word in ("Feeler", "Top", "Back-off", "Max", *([heading] if heading else []))]
    assert [word for word in on_the_sheets if f"{word}: " not in explained] == []
