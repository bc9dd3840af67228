"""Session load (Foster et al. 2001, J Strength Cond Res 15(1):109-115), monotony and strain (Foster 1998, Med Sci
Sports Exerc 30(7):1164-1168).

The day's load is 0 where nothing was trained. Foster 1998 does not say which standard
deviation it means: the population's is used, as the output says.
"""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    all_numbers,
    and_,
    count,
    if_,
    is_number,
    or_,
    round_,
    square_root,
    sum_of_products,
    total,
)


@definition
def session_load(effort: Expression, minutes: Expression) -> Expression:
    """Session effort (0 to 10) x minutes, in arbitrary units; "" unless both were logged and can be."""
    sound = and_(effort >= 0, effort <= 10, minutes >= 0)
    return if_(all_numbers(effort, minutes), if_(sound, effort * minutes, BLANK), BLANK)


@definition
def monotony(days: Expression) -> Expression:
    """Mean daily load over its standard deviation, seven days; "" where the days do not differ."""
    daily_mean = total(days) / 7
    variance = sum_of_products(days, days) / 7 - daily_mean * daily_mean
    return if_(round_(variance, 6) > 0, daily_mean / square_root(variance), BLANK)


@definition
def monotony_of_week(days: Expression, sessions: Expression, planned: Expression, later: Expression) -> Expression:
    """Monotony once a week is over: all its sessions were logged, or one of a later week was."""
    over = or_(count(sessions) >= planned, count(later) > 0)
    return if_(over, monotony(days), BLANK)


@definition
def strain(days: Expression, monotony: Expression) -> Expression:
    """Weekly load x monotony."""
    return if_(is_number(monotony), total(days) * monotony, BLANK)
