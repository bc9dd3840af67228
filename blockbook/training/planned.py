"""What a plan asks for while it is being typed: sets and hard sets a week, minutes, and which row is of which session.

What stands in the cells is taken from `plan_cells`: a number, a text, or "" for nothing.
Minutes are common practice, no source: enough to see that a session is too long. A set without a target effort (a
percent, a fixed load) counts as hard, as the coach meant it to work.
"""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    at,
    differs,
    if_,
    is_number,
    is_text,
    join,
    maximum,
    minimum,
    or_,
    place_among,
    round_,
    same,
    sum_of_products,
    total,
    trimmed,
)
from blockbook.spec.answers import YES
from blockbook.training.volume import INDIRECT_SET

WARM_UP_MINUTES = 10
SET_MINUTES = 0.75
REST_MINUTES = 2
"""Where the coach says nothing of the rest."""

CHANGE_MINUTES = 0.5
"""The same within a pair, whose exercises are done in turn."""

USUAL_RESTS = {
    "30 s": 0.5, "45 s": 0.75, "60 s": 1, "90 s": 1.5, "2 min": 2, "3 min": 3, "4 min": 4, "5 min": 5,
}  # fmt: skip
"""What a coach is offered, in minutes."""


@definition
def exercise_position(name: Expression, catalogue: Expression, own: Expression, before: Expression) -> Expression:
    """Position of an exercise in the list of all; the coach's own (after `before` others) win; "" for no such one."""
    said = trimmed(name)
    among_own, among_all = place_among(said, own), place_among(said, catalogue)
    known = if_(is_number(among_own), before + among_own, if_(is_number(among_all), among_all, BLANK))
    return if_(same(said, ""), BLANK, known)


@definition
def muscle_credit(
    muscle: Expression,
    first: Expression,
    second: Expression,
    third: Expression,
    fourth: Expression,
    indirect: Expression,
    also: Expression,
    further: Expression,
    last: Expression,
) -> Expression:
    """What a set of the coach's own exercise counts for a muscle: 1, 0.5 or 0."""
    direct = or_(same(first, muscle), same(second, muscle), same(third, muscle), same(fourth, muscle))
    partly = or_(same(indirect, muscle), same(also, muscle), same(further, muscle), same(last, muscle))
    return if_(direct, 1, if_(partly, INDIRECT_SET, 0))


@definition
def looked_up(position: Expression, entries: Expression) -> Expression:
    """The entry at a position; "" where there is none."""
    return if_(is_number(position), at(entries, position), BLANK)


@definition
def sets_planned(
    position: Expression,
    first: Expression,
    here: Expression,
    written: Expression,
    week: Expression,
    weeks: Expression,
    deload: Expression,
    deload_sets: Expression,
) -> Expression:
    """Sets in a week: its own number, or the first week's for all, which a deload week has fewer of.

    written: how many weeks are filled in. No number at all is one set, as the specification has it.
    """
    lighter = if_(first > 0, maximum(1, round_(first * deload_sets, 0)), 0)
    alike = if_(same(deload, week), lighter, first)
    number = if_(is_number(first), if_(written > 1, if_(is_number(here), here, 0), alike), 1)
    inside = if_(is_number(weeks), if_(weeks >= week, number, 0), 0)
    return if_(is_number(position), inside, 0)


@definition
def back_off_planned(
    top: Expression,
    drop: Expression,
    first: Expression,
    here: Expression,
    written: Expression,
    week: Expression,
    deload: Expression,
    deload_sets: Expression,
) -> Expression:
    """Back-off sets in a week, after `top` sets."""
    lighter = if_(first > 0, maximum(1, round_(first * deload_sets, 0)), 0)
    alike = if_(same(deload, week), lighter, first)
    number = if_(is_number(first), if_(written > 1, if_(is_number(here), here, 0), alike), 0)
    return if_(is_number(drop), if_(top > 0, number, 0), 0)


@definition
def hard_planned(
    sets: Expression,
    first: Expression,
    here: Expression,
    written: Expression,
    reserve: Expression,
    week: Expression,
    deload: Expression,
    deload_rpe: Expression,
    hard_set_rpe: Expression,
) -> Expression:
    """The sets of a week whose target effort makes them hard; a deload week lightens what was written once."""

    def hard(effort: Expression) -> Expression:
        return if_(effort >= hard_set_rpe, sets, 0)

    def lightened(effort: Expression) -> Expression:
        return hard(if_(same(deload, week), minimum(effort, deload_rpe), effort))

    by_reserve = if_(is_number(reserve), lightened(10 - reserve), sets)
    alike = if_(is_number(first), lightened(first), by_reserve)
    return if_(sets > 0, if_(written > 1, if_(is_number(here), hard(here), sets), alike), 0)


@definition
def muscle_total(credits: Expression, hard: Expression, week: Expression, weeks: Expression) -> Expression:
    """Hard sets of a muscle in a week: a set counts 1 directly, 0.5 indirectly."""
    return _within(week, weeks, sum_of_products(credits, hard))


@definition
def week_total(values: Expression, week: Expression, weeks: Expression) -> Expression:
    return _within(week, weeks, total(values))


@definition
def week_heading(week: Expression, weeks: Expression) -> Expression:
    return _within(week, weeks, join("Week ", week))


def _within(week: Expression, weeks: Expression, shown: Expression) -> Expression:
    """Nothing for a week that the block has not."""
    return if_(is_number(weeks), if_(week > weeks, BLANK, shown), shown)


@definition
def row_minutes(
    sets: Expression, feeler: Expression, rest: Expression, rests: Expression, minutes: Expression, pair: Expression
) -> Expression:
    """Minutes of an exercise's sets with their rests, a feeler that the coach asks for included.

    rests: texts that are known, minutes: what they are.
    """
    known = place_among(rest, rests)
    usual = if_(differs(pair, ""), CHANGE_MINUTES, REST_MINUTES)
    resting = if_(differs(rest, ""), if_(is_number(known), at(minutes, known), usual), usual)
    felt_out = if_(or_(*(same(trimmed(feeler), word) for word in YES)), 1, 0)
    return if_(sets > 0, (sets + felt_out) * (SET_MINUTES + resting), 0)


def _holds(cell: Expression) -> Expression:
    """1 for a text; 0 for an empty one."""
    return if_(is_text(cell), if_(same(trimmed(cell), ""), 0, 1), 0)


@definition
def empty_rows(name: Expression, exercise: Expression, above: Expression) -> Expression:
    """How many rows are empty from here up."""
    return if_(_holds(name) + _holds(exercise) > 0, 0, above + 1)


@definition
def session_begins(name: Expression, empty_above: Expression, name_above: Expression) -> Expression:
    """1 where a session begins: a name below an empty row, or another than above."""
    return if_(_holds(name) > 0, if_(or_(empty_above > 0, differs(trimmed(name), name_above)), 1, 0), 0)


@definition
def session_named(name: Expression, of: Expression) -> Expression:
    """The session that a row was written for, where the row says its name."""
    return if_(_holds(name) > 0, of, BLANK)


@definition
def session_unclear(
    name: Expression, of: Expression, named: Expression, none: Expression, empty_above: Expression, spare: Expression
) -> Expression:
    """1 for a row without a name that may be of another session than the row above it.

    It is below as many empty rows as part sessions (one at the end, or in a row that was put in), or no row names the
    session any more that it was written for.
    named: sessions that rows name; none: what the rows at the end are written for.
    """
    of_none = or_(same(of, none), same(of, ""))
    unnamed = if_(of_none, 0, if_(is_number(place_among(of, named)), 0, 1))
    most = if_(of_none, 1, spare)
    return if_(_holds(name) > 0, 0, if_(empty_above >= most, 1, unnamed))


@definition
def session_name(begins: Expression, name: Expression, above: Expression) -> Expression:
    """The session that a row belongs to."""
    return if_(begins > 0, trimmed(name), above)


@definition
def minutes_from_here(minutes: Expression, begins_below: Expression, below: Expression) -> Expression:
    """Minutes of a row and those below it in its session."""
    return minutes + if_(begins_below > 0, 0, below)


@definition
def session_minutes(begins: Expression, minutes: Expression) -> Expression:
    """A session's length, to five minutes; "" in its other rows."""
    whole = round_((WARM_UP_MINUTES + minutes) / 5, 0) * 5
    return if_(begins > 0, if_(minutes > 0, whole, BLANK), BLANK)


@definition
def credit_of(position: Expression, entries: Expression) -> Expression:
    """What a set of an exercise counts for a muscle; 0 where the exercise is not known."""
    return if_(is_number(position), at(entries, position), 0)


@definition
def peak_of(muscle: Expression, muscles: Expression, peaks: Expression) -> Expression:
    """Hard sets of a muscle in its fullest week, "" without a muscle."""
    place = place_among(muscle, muscles)
    return if_(differs(muscle, ""), if_(is_number(place), at(peaks, place), BLANK), BLANK)


@definition
def fullest(values: Expression) -> Expression:
    return maximum(values)
