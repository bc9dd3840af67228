"""Tests of the maximum in the next block, where little is certain and a set can be failed safely."""

from __future__ import annotations

from pathlib import Path

from blockbook.assessment.next_block import next_block
from blockbook.spec.loading import parse_spec
from tests.intake.small_block import clean_inputs, log_of, spec_from

UNSURE = ("sessions:\n", "next_block: {test_spread: 0.005}\nsessions:\n")


def test_what_is_sure_is_not_tested(tmp_path: Path) -> None:
    spec = spec_from(("sessions:\n", "next_block: {test_spread: 0.5}\nsessions:\n"))
    made = next_block(log_of(tmp_path, spec, clean_inputs()))
    assert not [slot for session in made.spec.sessions for slot in session.slots if slot.test_weeks]


def test_the_unsure_is_tested_on_stacks_and_body_weight_and_said_of_the_others(tmp_path: Path) -> None:
    made = next_block(log_of(tmp_path, spec_from(UNSURE), clean_inputs()))
    tested = {slot.exercise: slot.test_weeks for session in made.spec.sessions for slot in session.slots}
    assert tested == {
        "back squat": (), "leg press": (2,), "band pull-apart": (), "bench press": (), "pull-up": (2,),
    }  # fmt: skip
    reasons = {each.suggestion.exercise: each.suggestion.reason for each in made.decisions}
    assert "a test in week 2, the last set all out." in reasons["pull-up"]
    assert "a test would tell, with spotter or safeties (Test weeks)." in reasons["bench press"]
    assert parse_spec(made.to_yaml()) == made.spec


def test_what_hurts_is_not_tested(tmp_path: Path) -> None:
    made = next_block(log_of(tmp_path, spec_from(UNSURE), {**clean_inputs(), "w2.lower.pain": "A"}))
    assert [slot.test_weeks for slot in made.spec.sessions[0].slots] == [(), (), ()]


def test_a_deload_week_holds_no_test(tmp_path: Path) -> None:
    change = ("  unit: kg\n", "  unit: kg\n  deload_week: 2\n")
    made = next_block(log_of(tmp_path, spec_from(UNSURE, change), clean_inputs(change)))
    assert not [slot for session in made.spec.sessions for slot in session.slots if slot.test_weeks]
