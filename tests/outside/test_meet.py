"""Points and attempts against published coefficients, worked examples and counts from meets."""

from __future__ import annotations

from typing import Final

import pytest

from blockbook import BlockbookError, attempts, next_attempt, points
from blockbook.training.attempts import ATTEMPTS, INCREMENT
from blockbook.training.points import DOTS, IPF_GL, LIGHTEST_IPF_GL, columns, dots, ipf_gl

from .published import Published, each, published

SEX: Final = {"M": "male", "F": "female"}


# Points ------------------------------------------------------------------------------------


@each("ipf_gl_coefficient")
def test_the_ipf_gl_coefficients_are_the_published_ones(row: Published) -> None:
    # In force from 1 May 2020, as the source of a public archive of meet results has them.
    given = row.given
    (found,) = [one for one in IPF_GL if one[:3] == (SEX[given["sex"]], given["equipment"], given["event"])]
    assert getattr(found, given["coefficient"].lower()) == row.result


@each("ipf_gl")
def test_ipf_gl_points(row: Published) -> None:
    # Two worked examples of the federation itself, with two decimals; the others computed from its formula.
    given = row.given
    made = points(
        "ipf_gl",
        SEX[given["sex"]],
        row.number("bodyweight_kg"),
        row.number("total_kg"),
        equipped=given["equipment"] == "equipped",
        bench_only=given["event"] == "bench",
    )
    assert made == pytest.approx(row.result, abs=0.005 if row.confidence == "verified" else 0.00005)


@each("dots_coefficient")
def test_the_dots_coefficients_are_the_published_ones(row: Published) -> None:
    # Of the German federation, as the source of a public archive of meet results has them.
    name = row.given["coefficient"].split("_")[0].lower()
    (found,) = [one for one in DOTS if one.sex == SEX[row.given["sex"]]]
    assert getattr(found, name) == row.result


@each("dots_clamp")
def test_dots_takes_body_weights_outside_its_range_as_its_ends(row: Published) -> None:
    sex = SEX[row.given["sex"]]
    beyond = row.result - 5 if row.given["clamp"] == "min" else row.result + 5
    assert points("dots", sex, beyond, 500) == points("dots", sex, row.result, 500)


@each("dots")
def test_dots_points(row: Published) -> None:
    # Computed from the published coefficients.
    made = points("dots", SEX[row.given["sex"]], row.number("bodyweight_kg"), row.number("total_kg"))
    assert made == pytest.approx(row.result, abs=0.00005)


def test_dots_is_the_same_in_every_equipment_and_event() -> None:
    assert points("dots", "male", 93, 750, equipped=True, bench_only=True) == points("dots", "male", 93, 750)


def test_no_lift_no_points() -> None:
    assert points("ipf_gl", "female", 63, 0) == points("dots", "female", 63, 0) == 0


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("wilks", "male", 93, 750), 'no system "wilks"'),
        (("ipf_gl", "x", 93, 750), '"female" or "male"'),
        (("dots", "male", 0, 750), "body weight 0"),
        (("dots", "male", float("nan"), 750), "body weight nan"),
        (("dots", "male", "93", 750), "body weight 93"),
        (("dots", "male", 93, -1), "total -1"),
        # The archive gives 0 points below 35 kg, a bound of its own; we say that there are none.
        (("ipf_gl", "female", LIGHTEST_IPF_GL - 1, 200), "body weight 34 should be 35 to 400"),
    ],
)
def test_what_has_no_points_is_said(arguments: tuple[str, str, float, float], said: str) -> None:
    with pytest.raises(BlockbookError, match=said):
        points(*arguments)


def test_the_sheet_shows_nothing_where_something_is_missing() -> None:
    table = columns(IPF_GL)
    assert ipf_gl.value(None, 750, 1, **table) == ipf_gl.value(93, "", 1, **table) == ""
    assert ipf_gl.value(93, 750, "", **table) == ipf_gl.value(30, 750, 1, **table) == ""
    assert dots.value(93, 750, "", **columns(DOTS)) == ""


# Attempts ----------------------------------------------------------------------------------


def test_the_rules_that_attempts_keep() -> None:
    # IPF technical rules 2007, rule 1(d), and IPL rule book 2019, 6.1.1, both from stored copies.
    rules = {row.given["quantity"]: row.expected for row in published("meet_rule")}
    assert float(rules["attempts_per_lift"]) == ATTEMPTS
    assert float(rules["increment"]) == INCREMENT
    assert rules["next_attempt_less_than_failed"] == "not allowed"
    for weight in (150, 172.5, 190, 215):
        assert next_attempt(200, 6, [(weight, False)]) >= weight


@pytest.mark.parametrize("mean", [150, 200, 250, 300])
def test_attempts_of_a_well_known_lifter_are_like_those_of_the_best(mean: float) -> None:
    # Elite classic lifters who made all nine attempts: the opener about 91 % of the third, then about 5 %
    # and 3 % more (rounded figures of an abstract). Such lifters know their maximum: a spread of 2 %.
    opener, second, third = attempts(mean, 0.02 * mean)
    share, first_step, second_step = (row.result for row in published("attempt_share"))
    assert 100 * opener / third == pytest.approx(share, abs=2)
    assert 100 * (second / opener - 1) == pytest.approx(first_step, abs=1.5)
    assert 100 * (third / second - 1) == pytest.approx(second_step, abs=1.5)
