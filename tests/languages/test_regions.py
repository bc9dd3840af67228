"""What follows from a language tag: paper, decimal mark, days; and what is refused."""

from __future__ import annotations

import subprocess
import sys
from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import load_workbook

from blockbook.errors import BlockbookError
from blockbook.languages import (
    day_text,
    long_day_text,
    number_text,
    parse_tag,
    session_day_text,
    speaking,
    weekday_text,
)
from blockbook.spec.loading import parse_spec
from blockbook.workbook.looks import PAPER_SIZE
from blockbook.workbook.write import block_bytes
from tests.cli.test_commands import run
from tests.intake.small_block import SMALL_BLOCK, spec_from

SATURDAY = date(2027, 1, 2)


@pytest.mark.parametrize(
    ("tag", "unit", "paper"),
    [("en-US", "kg", "Letter"), ("es-MX", "kg", "Letter"), ("en-CA", "lb", "Letter"), ("en-GB", "lb", "A4"),
     ("de-AT", "kg", "A4"), ("es-AR", "lb", "A4"), ("de-ZZ", "lb", "A4"), ("de", "kg", "A4"), ("de", "lb", "Letter"),
     ("en", "kg", "A4")],
)  # fmt: skip
def test_paper_is_that_of_the_region_or_else_of_the_unit(tag: str, unit: str, paper: str) -> None:
    spec = spec_from(("name: Robin Sample", f"name: Robin Sample\n  language: {tag}"), ("unit: kg", f"unit: {unit}"))
    book = load_workbook(BytesIO(block_bytes(spec)))
    assert {sheet.page_setup.paperSize for sheet in book} == {PAPER_SIZE[paper]}


@pytest.mark.parametrize(
    ("tag", "mark"),
    [("en", "."), ("en-US", "."), ("en-ZA", ","), ("de", ","), ("de-AT", ","), ("de-CH", "."), ("de-ZZ", ","),
     ("es", ","), ("es-MX", "."), ("es-419", ".")],
)  # fmt: skip
def test_the_decimal_mark_is_that_of_the_region(tag: str, mark: str) -> None:
    with speaking(tag):
        assert number_text(2.5) == f"2{mark}5"
        assert number_text(20.0) == "20"


@pytest.mark.parametrize(
    ("tag", "said"),
    [
        (None, ("2 Jan 2027", "Sat 2 Jan 2027", "Saturday", "Saturday 2 Jan")),
        ("en-GB", ("2 Jan 2027", "Sat 2 Jan 2027", "Saturday", "Saturday 2 Jan")),
        ("de", ("2. Jan. 2027", "Sa., 2. Jan. 2027", "Samstag", "Samstag, 2. Jan.")),
        ("de-AT", ("2. Jän. 2027", "Sa., 2. Jän. 2027", "Samstag", "Samstag, 2. Jän.")),
        ("es", ("2 ene 2027", "sáb, 2 ene 2027", "sábado", "sábado, 2 ene")),
    ],
)
def test_days_are_written_as_there(tag: str | None, said: tuple[str, ...]) -> None:
    with speaking(tag):
        assert tuple(write(SATURDAY) for write in (day_text, long_day_text, weekday_text, session_day_text)) == said


def test_english_is_spoken_again_afterwards_and_a_tag_takes_any_case() -> None:
    with speaking("DE-at"):
        pass
    assert day_text(SATURDAY) == "2 Jan 2027"
    assert str(parse_tag("DE-at")) == "de-AT"


@pytest.mark.parametrize("tag", ["fr", "german", "de-", "de-AT-1", "1", ""])
def test_a_language_that_is_none_is_refused_with_those_there_are(tag: str) -> None:
    text = SMALL_BLOCK.replace("name: Robin Sample", f'name: Robin Sample\n  language: "{tag}"')
    with pytest.raises(
        BlockbookError, match=r"line 10: lifter\.language: should be one of en \(English\), de \(German\)"
    ):
        parse_spec(text, "block.yaml")


def test_new_writes_the_language(tmp_path: Path) -> None:
    out = tmp_path / "block.yaml"
    assert run("new", "strength", "--language", "es-mx", "--out", out).exit_code == 0
    assert parse_spec(out.read_text("utf-8")).lifter.language == "es-MX"
    result = run("new", "strength", "--language", "fr", "--out", tmp_path / "other.yaml")
    assert (result.exit_code, '"fr" should be one of en (English)' in result.stderr) == (2, True)


@pytest.mark.parametrize("command", [["--help"], ["templates"], ["schema"]])
def test_what_speaks_english_never_loads_babel(command: list[str]) -> None:
    code = (
        "import sys; from blockbook.cli import main; "
        f"main({command}, standalone_mode=False); print('babel' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout.splitlines()[-1] == "False"


def test_an_english_workbook_is_built_and_read_without_babel(tmp_path: Path) -> None:
    path = tmp_path / "sent.xlsx"
    path.write_bytes(block_bytes(spec_from()))
    code = (
        "import sys, blockbook; from blockbook.workbook.write import block_bytes; "
        f"log = blockbook.read({str(path)!r}); block_bytes(log.spec); print('babel' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout.strip() == "False"
