"""How far a log has come is worded in one place, from which every report takes it. All of it is invented."""

from __future__ import annotations

from pathlib import Path

import pytest

from blockbook.intake.how_far import half_way, so_far, up_to, weeks_begun, what_came
from tests.intake.meet_block import LIFTED, meet_spec
from tests.intake.small_block import clean_inputs, log_of, spec_from


@pytest.mark.parametrize(
    ("weeks", "said"),
    [
        ((), ("0 of 2 weeks", " so far", ", nothing logged yet", "it came back with nothing logged", "Nothing is")),
        (
            ("w1",),
            (
                "1 of 2 weeks",
                " in the week logged",
                ", logged up to week 1 of 2",
                "only 1 of 2 weeks came back",
                "Only 1",
            ),
        ),
        (("w1", "w2"), ("2 of 2 weeks", "", "", "the last week is not whole", "")),
    ],
)
def test_a_log_is_as_far_as_its_last_week_begun(tmp_path: Path, weeks: tuple[str, ...], said: tuple[str, ...]) -> None:
    log = log_of(tmp_path, spec_from(), {name: value for name, value in clean_inputs().items() if name[:2] in weeks})
    *short, longest = said
    assert (weeks_begun(log), so_far(log), up_to(log), what_came(log)) == tuple(short)
    assert half_way(log).startswith(longest)
    assert bool(half_way(log)) == bool(longest)


def test_a_meet_alone_is_not_nothing(tmp_path: Path) -> None:
    log = log_of(tmp_path, meet_spec(), LIFTED)
    assert (up_to(log), what_came(log)) == (", of the meet alone", "it came back with the meet alone")
    assert half_way(log).startswith("Of the sets nothing is logged, only the meet, and ")
