"""Specifications: the templates load, survive being written, and leave private notes with the coach."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

import blockbook
from blockbook.errors import BlockbookError
from blockbook.spec import schemas
from blockbook.spec.documents import dump_yaml, parse_yaml
from blockbook.spec.loading import parse_spec
from blockbook.spec.models import Specification, Unit, session_ids, slot_ids
from blockbook.spec.templates import starter, templates
from blockbook.spec.values import Reps, slug
from tests.samples import START, TEMPLATES, UNITS, template_spec
from tests.schemas import MODELS, made

BOTH = [(name, unit) for name in TEMPLATES for unit in UNITS]
SPRING_BLOCK = """\
block: {title: Spring block, start: 2027-01-04, weeks: 2, private_note: Quiet first week}
lifter: {name: Robin Sample, body_weight: 70, bests: {back squat: {load: 100, reps: 5, rpe: 8}, bench press: 80}}
equipment:
  bar: 20
  plates: {20: 3, 2.5: 1}
  dumbbells: {lightest: 2, heaviest: 40, step: 2}
  stack: {lightest: 5, heaviest: 200, step: 5}
  added_weight: {lightest: 0, heaviest: 60, step: 1.25}
sessions:
  - name: Lower
    slots:
      - {exercise: back squat, reps: 5, rpe: [7.5, 8], loads: {2: 102.5}, rest: 3 min, private_note: Left knee}
      - {exercise: leg press, sets: [2, 3], reps: [8-10, 12], rpe: 8, tempo: 3-1-1}
policy: {hold_band: 0.01}
"""


def spring_block(**block: Any) -> Specification:
    data = parse_yaml(SPRING_BLOCK)
    return Specification.model_validate({**data, "block": {**data["block"], **block}})


# Templates


def test_loads_in_a_starters_comments_are_in_its_unit() -> None:
    kg, lb = (starter("strength", START, unit) for unit in UNITS)
    assert "# loads: {4: 140}       # your own load for a week, here 140 in week 4;" in kg
    assert "write load in place of percent, in kg:\n        # load: [80, 82.5, 85, 87.5, 80]" in kg
    assert "# loads: {4: 310}       # your own load for a week, here 310 in week 4;" in lb
    assert "write load in place of percent, in lb:\n        # load: [175, 180, 185, 195, 175]" in lb


def test_four_templates_ship_each_with_a_line_on_what_it_is() -> None:
    assert [template.name for template in templates()] == ["general", "peak", "strength", "volume"]
    assert all(20 < len(template.description) < 80 for template in templates())


@pytest.mark.parametrize(("name", "unit"), BOTH)
def test_a_template_loads_as_it_is(name: str, unit: Unit) -> None:
    spec = parse_spec(starter(name, date(2028, 2, 28), unit), name)
    assert (spec.block.start, spec.block.unit) == (date(2028, 2, 28), unit)
    assert spec.block.private_note
    assert 3 <= len(spec.sessions) <= 4


@pytest.mark.parametrize("name", TEMPLATES)
def test_the_units_of_a_template_differ_in_lifter_and_equipment_only(name: str) -> None:
    in_kg, in_lb = template_spec(name, "kg"), template_spec(name, "lb")
    assert in_kg.sessions == in_lb.sessions
    assert in_kg.equipment.bar < in_lb.equipment.bar
    assert in_kg.lifter.body_weight < in_lb.lifter.body_weight


def test_an_unknown_template_is_told_the_known_ones() -> None:
    with pytest.raises(BlockbookError, match=r'"bulk".*general, peak, strength, volume'):
        starter("bulk", START)


# Writing


@pytest.mark.parametrize(("name", "unit"), BOTH)
def test_a_template_written_and_read_again_is_equal(name: str, unit: Unit) -> None:
    spec = template_spec(name, unit)
    assert parse_spec(dump_yaml(spec.to_data())) == spec


def test_every_way_of_writing_a_value_survives() -> None:
    spec = parse_spec(SPRING_BLOCK)
    again = parse_spec(dump_yaml(spec.to_data()))
    assert again == spec
    assert again.sessions[0].slots[1].reps == (Reps(8, 10), Reps(12, 12))
    assert again.lifter.bests["back squat"].reps == 5
    assert again.policy.hold_band == 0.01


def test_only_what_differs_from_usual_is_written() -> None:
    data = parse_spec(SPRING_BLOCK).to_data()
    assert set(data) == {"block", "lifter", "equipment", "sessions", "policy"}
    assert data["policy"] == {"hold_band": 0.01}
    assert data["sessions"][0]["slots"][1] == {
        "exercise": "leg press", "sets": [2, 3], "reps": ["8-10", 12], "rpe": 8.0, "tempo": "3-1-1",
    }  # fmt: skip
    assert data["lifter"]["bests"]["bench press"] == 80


@settings(deadline=None)
@given(
    st.text(min_size=1, max_size=80).filter(lambda text: text.strip())
    | st.sampled_from(["no", "2:30", "1.5e5", "-.5", "010", "2027", "~", "null", "- a", "a: b", "#1", "'", '"', "&a"])
)
def test_any_title_survives(title: str) -> None:
    spec = spring_block(title=title, note=title)
    assert parse_spec(dump_yaml(spec.to_data())) == spec


# Private notes


@pytest.mark.parametrize("name", TEMPLATES)
def test_the_lifters_copy_holds_no_private_note(name: str) -> None:
    spec = template_spec(name)
    assert dump_yaml(spec.to_data()).count("private_note") >= 2
    assert "private_note" not in dump_yaml(spec.for_lifter().to_data())


def test_the_lifters_copy_is_the_same_block_otherwise() -> None:
    data, own = parse_spec(SPRING_BLOCK).for_lifter().to_data(), parse_spec(SPRING_BLOCK).to_data()
    del own["block"]["private_note"], own["sessions"][0]["slots"][0]["private_note"]
    assert data == own


# Ids


def test_ids_are_the_coachs_own_or_made_from_names() -> None:
    spec = template_spec("general")
    assert session_ids(spec) == ["full-body-1", "full-body-2", "full-body-3"]
    assert slot_ids(spec.sessions[0])[:3] == ["back-squat", "bench-press", "cable-row"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Back squat", "back-squat"),
        ("Kräftigung & Ausdauer", "kraftigung-ausdauer"),
        ("../etc/x", "etc-x"),
        ("Пётр Образцов", "petr-obraztsov"),
        ("Λένα Παράδειγμα", "lena-paradeigma"),
        ("力", "li"),
        ("5×5 · straße", "5-5-strasse"),
        ("🏋", "x"),
        ("", "x"),
        (" - ", "x"),
    ],
)
def test_a_slug_is_safe_in_file_names(text: str, expected: str) -> None:
    assert slug(text) == expected


# Schema


def test_the_schema_names_every_part_and_the_ones_that_must_be_there() -> None:
    schema = blockbook.schema()
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert list(schema["properties"]) == list(Specification.model_fields)
    assert schema["required"] == ["block", "lifter", "equipment", "sessions"]


def test_the_schemas_that_ship_are_those_of_the_models() -> None:
    """`python -m tests.schemas` makes them anew."""
    assert {name: schemas.schema_text(name) for name in MODELS} == {name: made(model) for name, model in MODELS.items()}


def violations(text: str) -> list[str]:
    """Where a specification breaks the schema, as an editor would mark it."""
    checked = Draft202012Validator(blockbook.schema()).iter_errors(parse_yaml(text))
    return [f"{error.json_path}: {error.message}" for error in checked]


@pytest.mark.parametrize(("name", "unit"), BOTH)
def test_a_template_keeps_to_the_schema(name: str, unit: Unit) -> None:
    assert violations(starter(name, START, unit)) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("weeks: 2", "weeks: two"),
        ("title:", "titel:"),
        ("rpe: 8,", "rpe: hard,"),
        ("bar: 20", "bar: heavy"),
        ("start: 2027-01-04, ", ""),
    ],
)
def test_a_mistake_breaks_the_schema(old: str, new: str) -> None:
    assert violations(SPRING_BLOCK) == []
    assert violations(SPRING_BLOCK.replace(old, new, 1)) != []


@pytest.mark.parametrize(
    ("title", "beside_the_name"),
    [
        ("Spring block", "Spring block"),
        ("Robin Sample, strength block", "Strength block"),
        ("robin sample: peak", "Peak"),
        ("Spring block – Robin Sample", "Spring block"),
        ("Robin Sample", "Robin Sample"),
        ("Robin Samples block", "Robin Samples block"),
    ],
)
def test_a_title_beside_the_name_does_not_repeat_it(title: str, beside_the_name: str) -> None:
    assert spring_block(title=title).short_title == beside_the_name
