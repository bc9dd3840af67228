"""From YAML to a plan workbook and back nothing is lost, whatever was written."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

import blockbook
from blockbook.errors import BlockbookError
from blockbook.plan.cells import number_content, read_number, read_text, text_content
from blockbook.plan.columns import PLAN, PLAN_COLUMNS
from blockbook.plan.plan_workbook import plan_book, plan_bytes, typed_sheets
from blockbook.plan.reading import plan_in, read_plan
from blockbook.sheet.book import Formula
from blockbook.spec.documents import dump_yaml
from blockbook.spec.loading import parse_spec
from blockbook.spec.models import Specification
from tests.plan.small_plan import grids_of
from tests.plan.specifications import ODD_TEXT, specifications
from tests.samples import TEMPLATES, template_spec

WITHOUT_SHRINKING = (Phase.explicit, Phase.reuse, Phase.generate)
"""A whole specification shrinks for minutes."""


@settings(max_examples=15, deadline=None, phases=WITHOUT_SHRINKING, suppress_health_check=list(HealthCheck))
@given(specifications())
def test_every_field_survives_the_way_there_and_back(spec: Specification) -> None:
    from_yaml = parse_spec(dump_yaml(spec.to_data()))
    again = plan_in(grids_of(typed_sheets(from_yaml)), "plan.xlsx").spec
    assert again == from_yaml
    assert parse_spec(dump_yaml(again.to_data())) == from_yaml


@settings(max_examples=4, deadline=None, phases=WITHOUT_SHRINKING, suppress_health_check=list(HealthCheck))
@given(spec=specifications())
def test_every_field_survives_the_way_through_a_file(tmp_path_factory: pytest.TempPathFactory, spec: Any) -> None:
    path = tmp_path_factory.mktemp("plan") / "plan.xlsx"
    path.write_bytes(plan_bytes(spec))
    assert read_plan(path) == spec


@pytest.mark.parametrize(("name", "unit"), [*((name, "kg") for name in TEMPLATES), ("peak", "lb")])
def test_a_template_is_the_same_in_both_forms(tmp_path: Path, name: str, unit: Any) -> None:
    yaml, sheet, again = tmp_path / "block.yaml", tmp_path / "plan.xlsx", tmp_path / "again.yaml"
    blockbook.new(name, yaml, unit=unit)
    blockbook.convert(yaml, sheet)
    blockbook.convert(sheet, again)
    assert blockbook.load_spec(sheet) == blockbook.load_spec(yaml) == blockbook.load_spec(again)


@given(st.text(st.characters(exclude_categories=["Cs"])) | st.sampled_from(ODD_TEXT))
def test_any_text_is_read_as_it_was_written(text: str) -> None:
    assert read_text(text_content(text)) == text


@pytest.mark.parametrize("text", ["Brace", "say no", "5 kg", "3-1-1", 'say "no"', '"quoted"'])
def test_usual_text_stands_in_its_cell_as_it_is(text: str) -> None:
    assert text_content(text) == text


@pytest.mark.parametrize(("text", "content"), [("", '""'), ("a\tb", '"a\\tb"'), (" x", '" x"'), ('""', '"\\"\\""')])
def test_text_that_programs_change_stands_in_quotes(text: str, content: str) -> None:
    assert text_content(text) == content


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_any_number_keeps_its_digits(number: float) -> None:
    assert read_number(number_content(number)) == number


@pytest.mark.parametrize(("typed", "number"), [("62,5", 62.5), (" 62.5 ", 62.5), (5.0, 5), ("5", 5), ("-.5", -0.5)])
def test_numbers_are_read_as_people_type_them(typed: Any, number: float) -> None:
    assert read_number(typed) == number
    assert isinstance(read_number(typed), type(number))


def test_no_text_becomes_a_formula(tmp_path: Path) -> None:
    spec = template_spec("strength")
    typed = spec.model_copy(update={"block": spec.block.model_copy(update={"title": "=1+1", "note": "@SUM(A1)"})})
    formulas = {content.definition.name for sheet in plan_book(typed).sheets.values()
                for content in sheet.contents.values() if isinstance(content, Formula)}  # fmt: skip
    assert formulas == {content.definition.name for sheet in plan_book(spec).sheets.values()
                        for content in sheet.contents.values() if isinstance(content, Formula)}  # fmt: skip
    path = tmp_path / "plan.xlsx"
    path.write_bytes(plan_bytes(typed))
    assert read_plan(path) == typed


def test_a_file_that_is_no_text_of_ours_is_not_called_bad_yaml(tmp_path: Path) -> None:
    for name, content in (("block.pdf", b"%PDF-1.4\n1 0 obj"), ("notes.md", b"# A note: of: mine")):
        path = tmp_path / name
        path.write_bytes(content)
        with pytest.raises(BlockbookError, match="is it a specification"):
            blockbook.load_spec(path)


@pytest.mark.parametrize("weeks", [1, 2, 3, 5, 8, 16])
def test_a_heading_above_the_weeks_is_as_wide_as_its_words(weeks: int) -> None:
    """In the columns that are shown; of a field that nobody filled in there is none."""
    data = template_spec("strength").to_data()
    data["block"] |= {"weeks": weeks, "deload_week": None}
    data["sessions"] = [{"name": "All", "slots": [
        {"exercise": "back squat", "reps": 5, "rpe": 8, "back_off": {"sets": 2, "reps": 5, "drop": 10, "rpe": 7}},
        {"exercise": "leg press", "reps": 8, "percent": 70, "loads": {1: 100}},
        {"exercise": "leg curl", "reps": 8, "load": 40},
    ]}]  # fmt: skip
    made = typed_sheets(Specification.model_validate(data))
    sheet, columns = made.book.sheets[PLAN], made.plan.columns
    folded = {column for first, last in sheet.folded_columns for column in range(first, last + 1)}
    headings = {column.key: column.heading for column in PLAN_COLUMNS if column.spread}
    for key, heading in headings.items():
        shown = [at for name, at in columns.items() if re.fullmatch(rf"{key}\.\d+", name) and at not in folded]
        assert len(shown) == weeks
        assert sum(sheet.widths[at] for at in shown) > 0.8 * len(heading), heading
