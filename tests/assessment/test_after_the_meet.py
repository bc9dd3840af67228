"""The block after a meet: what was lifted there is said and believed, and another peak is not taken for granted."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

import blockbook
from blockbook.assessment.meet_result import Shown
from blockbook.assessment.next_block import next_block
from blockbook.assessment.outcome import NextBlock
from blockbook.assessment.suggestions import suggest
from blockbook.spec.season import Season, SeasonBlock
from tests.intake.meet_block import meet_file, meet_log

MEET = date(2027, 1, 18)


def attempts(lift: str, *tries: tuple[float, str]) -> dict[str, Any]:
    return {
        f"meet.{lift}.{number}.{part}": value
        for number, each in enumerate(tries, start=1)
        for part, value in zip(("weight", "mark"), each, strict=True)
    }


LIFTED = (
    attempts("squat", (110, "miss"), (110, "miss"), (110, "miss"))
    | attempts("bench", (82.5, "good"), (92.5, "good"), (95, "miss"))
    | attempts("deadlift", (140, "good"), (160, "good"))
)


def after(folder: Path, typed: dict[str, Any], season: Season | None = None) -> NextBlock:
    made: NextBlock = blockbook.next_block(meet_file(folder, typed), folder / "next.yaml", season=season)
    return made


def test_what_was_lifted_is_said_first(tmp_path: Path) -> None:
    made = after(tmp_path, LIFTED)
    said = (
        "At the meet, in kg: squat 110 missed three times; bench 82.5 good, 92.5 good, 95 missed; "
        "deadlift 140 good, 160 good."
    )
    assert next(made.above_all) == said
    assert f"# {said}" in made.to_yaml()


def test_a_good_attempt_is_a_best_at_least_and_a_missed_weight_is_one_at_most(tmp_path: Path) -> None:
    bests = after(tmp_path, LIFTED).spec.lifter.bests
    assert bests["back squat"].load == 110  # never lifted, though 125 was believed
    assert 92.5 <= bests["bench press"].load <= 95
    assert bests["deadlift"].load == 160  # not trained in the block, 150 before
    assert {bests[name].on for name in ("back squat", "bench press", "deadlift")} == {MEET}


def test_the_first_load_comes_down_with_what_is_believed(tmp_path: Path) -> None:
    missed, good = (
        suggest(meet_log(tmp_path, attempts("squat", (weight, mark)))).suggestions[0]
        for weight, mark in ((110, "miss"), (115, "good"))
    )
    assert missed.believed_max == 110
    assert missed.first_load is not None
    assert good.first_load is not None
    assert missed.first_load < good.first_load


def test_a_miss_does_not_take_away_what_went_up_in_the_block(tmp_path: Path) -> None:
    """Misses may be of technique: what is believed after them is at least what was lifted, and less sure."""
    openers = attempts("squat", (90, "miss"), (90, "miss"), (90, "miss"))
    before, after_it = (suggest(meet_log(tmp_path, typed)).suggestions[0] for typed in ({}, openers))
    assert after_it.believed_max == max(s.load or 0 for s in meet_log(tmp_path, {}).sets if s.exercise == "back squat")
    assert after_it.spread is not None
    assert before.spread is not None
    assert after_it.spread / (after_it.believed_max or 1) > before.spread / (before.believed_max or 1)
    assert "since less is believed after what was missed at the meet" in after_it.reason


@pytest.mark.parametrize(("shown", "believed"), [((160, None), 160), ((None, 135), 135), ((130, 160), 150)])
def test_what_is_shown_moves_what_is_believed_only_where_they_disagree(
    shown: tuple[float | None, float | None], believed: float
) -> None:
    assert Shown(*shown).allows(150) == believed


def test_another_peak_is_said_to_be_unusual_unless_a_season_says_what_comes(tmp_path: Path) -> None:
    made = after(tmp_path, LIFTED)
    (said,) = made.remarks
    assert said.startswith("The meet of 2027-01-18 is over,")
    assert "blockbook new general" in said
    (tmp_path / "next.yaml").unlink()
    blocks = (SeasonBlock(kind="general", start=date(2027, 1, 25), weeks=4),)
    season = Season.model_validate({"from": date(2027, 1, 4), "meets": [MEET, date(2027, 6, 5)], "blocks": blocks})
    followed = after(tmp_path, LIFTED, season)
    assert followed.spec.block.title == "Small block 2"
    assert followed.remarks[0].startswith("By the season: general from 2027-01-25")
    assert not any("unusual" in remark for remark in followed.remarks)


def test_the_block_after_a_meet_begins_behind_it(tmp_path: Path) -> None:
    """The meet is on the day after the last week; before it nothing is changed."""
    before, later = (next_block(meet_log(tmp_path, typed)).spec.block for typed in ({}, LIFTED))
    assert (before.start, before.meet) == (MEET, MEET)
    assert (later.start, later.meet) == (date(2027, 1, 25), None)
