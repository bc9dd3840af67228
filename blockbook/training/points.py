"""Points that compare totals across body weights: IPF GL and DOTS.

Body weight and total in kg. Both are written over a row of coefficients: the sheet picks the row
from what is typed, Python from its arguments.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from blockbook.errors import BlockbookError
from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    all_numbers,
    at,
    choose,
    exp,
    if_,
    maximum,
    means,
    minimum,
)


class GoodLift(NamedTuple):
    """One row of IPF GL: points = 100 x total / (a - b x exp(-c x body weight))."""

    sex: str
    equipment: str
    event: str
    a: float
    b: float
    c: float


IPF_GL = (
    GoodLift("male", "classic", "full", 1199.72839, 1025.18162, 0.00921),
    GoodLift("male", "classic", "bench", 320.98041, 281.40258, 0.01008),
    GoodLift("male", "equipped", "full", 1236.25115, 1449.21864, 0.01644),
    GoodLift("male", "equipped", "bench", 381.22073, 733.79378, 0.02398),
    GoodLift("female", "classic", "full", 610.32796, 1045.59282, 0.03048),
    GoodLift("female", "classic", "bench", 142.40398, 442.52671, 0.04724),
    GoodLift("female", "equipped", "full", 758.63878, 949.31382, 0.02435),
    GoodLift("female", "equipped", "bench", 221.82209, 357.00377, 0.02937),
)
"""IPF GL coefficients, valid from 1 May 2020 (as in the source of the OpenPowerlifting results archive)."""

LIGHTEST_IPF_GL = 35
"""Below this body weight (kg) IPF GL means nothing: its denominator runs towards zero. The archive's own bound."""


class Dots(NamedTuple):
    """One row of DOTS: points = 500 x total / (a x^4 + b x^3 + c x^2 + d x + e), x the body weight
    within lightest and heaviest."""

    sex: str
    a: float
    b: float
    c: float
    d: float
    e: float
    lightest: float
    heaviest: float


DOTS = (
    Dots("male", -0.0000010930, 0.0007391293, -0.1918759221, 24.0900756, -307.75076, 40, 210),
    Dots("female", -0.0000010706, 0.0005158568, -0.1126655495, 13.6175032, -57.96288, 40, 150),
)
"""DOTS coefficients of the German federation BVDK (as in the source of the OpenPowerlifting results archive)."""


def columns(rows: Sequence[GoodLift | Dots]) -> dict[str, tuple[float, ...]]:
    """The numbers of a table of coefficients: column name -> one number a row."""
    names = [name for name in rows[0]._fields if not isinstance(getattr(rows[0], name), str)]
    return {name: tuple(getattr(row, name) for row in rows) for name in names}


@definition
def ipf_gl_row(sex: Expression, equipment: Expression, event: Expression) -> Expression:
    """Position (from 1) in `IPF_GL` of what is typed; "" until sex is known. Empty: classic, full meet."""
    row = if_(means(equipment, "equipped"), 2, 0) + if_(means(event, "bench"), 1, 0)
    return choose((means(sex, "male"), row + 1), (means(sex, "female"), row + 5), otherwise=BLANK)


@definition
def ipf_gl(
    body_weight: Expression, total: Expression, row: Expression, a: Expression, b: Expression, c: Expression
) -> Expression:
    """IPF GL points; "" where something is missing. a, b, c: the columns of coefficients."""
    denominator = at(a, row) - at(b, row) * exp((0 - at(c, row)) * body_weight)
    known = if_(body_weight >= LIGHTEST_IPF_GL, 100 * total / denominator, BLANK)
    return if_(all_numbers(body_weight, total, row), known, BLANK)


@definition
def dots_row(sex: Expression) -> Expression:
    """Position (from 1) in `DOTS`; "" until sex is known."""
    return choose((means(sex, "male"), 1), (means(sex, "female"), 2), otherwise=BLANK)


@definition
def dots(
    body_weight: Expression,
    total: Expression,
    row: Expression,
    a: Expression,
    b: Expression,
    c: Expression,
    d: Expression,
    e: Expression,
    lightest: Expression,
    heaviest: Expression,
) -> Expression:
    """DOTS points; "" where something is missing. a to heaviest: the columns of coefficients."""
    x = minimum(maximum(body_weight, at(lightest, row)), at(heaviest, row))
    denominator = (((at(a, row) * x + at(b, row)) * x + at(c, row)) * x + at(d, row)) * x + at(e, row)
    return if_(all_numbers(body_weight, total, row), 500 * total / denominator, BLANK)


_SYSTEMS = ("ipf_gl", "dots")


def points(
    system: str,
    sex: str,
    body_weight: float,
    total: float,
    equipped: bool = False,
    bench_only: bool = False,
) -> float:
    """Points for a total at a body weight, both in kg, unrounded (results lists show two places).

    system: "ipf_gl" or "dots"; sex: "female" or "male". equipped: in supportive equipment; bench_only: a
    bench press meet, `total` its best lift. DOTS makes no difference between those. Raises BlockbookError
    for anything that has no points.
    """
    if system not in _SYSTEMS:
        raise BlockbookError(f'points: no system "{system}". Take one of {", ".join(_SYSTEMS)}.')
    if sex not in ("female", "male"):
        raise BlockbookError(f'points: sex "{sex}" has no coefficients. Write "female" or "male".')
    lightest = LIGHTEST_IPF_GL if system == "ipf_gl" else 20
    if not _is_weight(body_weight) or not lightest <= body_weight <= 400:
        raise BlockbookError(f"points: body weight {body_weight} should be {lightest} to 400, in kg.")
    if not _is_weight(total) or not 0 <= total <= 2000:
        raise BlockbookError(f"points: total {total} should be 0 to 2000, in kg.")
    if system == "ipf_gl":
        kind = "equipped" if equipped else "classic", "bench" if bench_only else "full"
        row = ipf_gl_row.value(sex, *kind)
        return _number(ipf_gl.value(body_weight, total, row, **columns(IPF_GL)))
    return _number(dots.value(body_weight, total, dots_row.value(sex), **columns(DOTS)))


def _is_weight(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value)


def _number(value: object) -> float:
    assert isinstance(value, (int, float))
    return float(value)
