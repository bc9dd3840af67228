"""What a plan asks for while it is being typed: sets and hard sets a week, minutes, and what a row lacks.

Cells of a plan may hold anything, and be gone, since coaches delete rows: what was worked out from them is an error
then, of which is_text and is_number say no. So what other rows lean on asks one of them before anything else.
Minutes are common practice, no source: enough to see that a session is too long. A set without a target effort (a
percent, a fixed load) counts as hard, as the coach meant it to work.
"""

from __future__ import annotations

from typing import get_args

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    LINE_BREAK,
    Expression,
    Operand,
    and_,
    at,
    begins_with,
    choose,
    count,
    differs,
    if_,
    is_number,
    is_text,
    join,
    maximum,
    minimum,
    not_,
    or_,
    piece,
    place_among,
    round_,
    same,
    sum_of_products,
    total,
    trimmed,
)
from blockbook.spec.catalogue import Implement
from blockbook.spec.models import KIND_WORDS
from blockbook.spec.values import (
    LEAST_DROP,
    LEAST_EFFORT,
    LEAST_PERCENT,
    MOST_DROP,
    MOST_EFFORT,
    MOST_LOAD,
    MOST_PERCENT,
    MOST_REPS_PLANNED,
    MOST_RESERVE,
    MOST_SETS,
)
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
    sets: Expression, rest: Expression, rests: Expression, minutes: Expression, pair: Expression
) -> Expression:
    """Minutes of an exercise's sets with their rests. rests: texts that are known, minutes: what they are."""
    known = place_among(rest, rests)
    usual = if_(differs(pair, ""), CHANGE_MINUTES, REST_MINUTES)
    resting = if_(differs(rest, ""), if_(is_number(known), at(minutes, known), usual), usual)
    return if_(sets > 0, sets * (SET_MINUTES + resting), 0)


def _holds(cell: Expression) -> Expression:
    """1 for a text; 0 for an empty one, and where there is none since the row is gone."""
    return if_(is_text(cell), if_(same(trimmed(cell), ""), 0, 1), 0)


@definition
def empty_rows(of: Expression, name: Expression, exercise: Expression, above: Expression) -> Expression:
    """How many rows are empty from here up; one that was deleted counts for none. of: whose row it is, text always."""
    return if_(is_text(of), if_(_holds(name) + _holds(exercise) > 0, 0, above + 1), above)


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

    It is below as many empty rows as part sessions (one at the end), or no row names the session any more that it
    was written for.
    named: sessions that rows name; none: what the rows at the end are written for.
    """
    unnamed = if_(or_(same(of, none), same(of, "")), 0, if_(is_number(place_among(of, named)), 0, 1))
    most = if_(same(of, none), 1, spare)
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
def filled(values: Expression) -> Expression:
    """How many cells hold a number."""
    return count(values)


@definition
def ways_filled(drop: Expression, percent: Expression, load: Expression, reserve: Expression) -> Expression:
    """How many kinds of prescription a row has begun: percent and load as counts, drop and reserve as typed."""
    back_off, left = if_(is_number(drop), 1, 0), if_(is_number(reserve), 1, 0)
    return back_off + left + if_(percent > 0, 1, 0) + if_(load > 0, 1, 0)


@definition
def back_off_filled(drop: Expression, sets: Expression, reps: Expression) -> Expression:
    """How many of the three parts of back-off sets a row has: percent off, sets (a count) and reps."""
    return if_(is_number(drop), 1, 0) + if_(sets > 0, 1, 0) + if_(differs(reps, ""), 1, 0)


@definition
def ill_spread(written: Expression, first: Expression, weeks: Expression) -> Expression:
    """1 where neither the first week alone nor every week of the block is filled in."""
    alone = if_(same(written, 1), if_(is_number(first), 0, 1), 1)
    return if_(written > 0, if_(same(written, weeks), 0, alone), 0)


@definition
def not_within(cell: Expression, least: Expression, most: Expression) -> Expression:
    """1 where a cell holds anything but a number within bounds, else ""."""
    return _odd(cell, or_(cell < least, cell > most), 1)


@definition
def not_in_steps(cell: Expression, least: Expression, most: Expression, step: Expression) -> Expression:
    """The same where the number has to be of whole steps."""
    return _odd(cell, _between_steps(cell, least, most, step), 1)


@definition
def no_reps(cell: Expression, counts: Expression) -> Expression:
    """1 where a cell holds neither a whole number of reps nor a range from low to high, else "".

    counts: the numbers that reps may be, as text and from 1 on, so that each is where it says.
    """
    low, high, further = (piece(cell, number, "-", "–") for number in (1, 2, 3))
    first, last = place_among(low, counts), place_among(high, counts)
    falls = or_(first > last, differs(further, ""))
    no_range = if_(is_number(first), if_(is_number(last), if_(falls, 1, BLANK), 1), 1)
    no_text = if_(same(trimmed(cell), low), if_(is_number(first), BLANK, 1), no_range)
    return _odd(cell, _between_steps(cell, 1, MOST_REPS_PLANNED, 1), no_text)


def _odd(cell: Expression, odd_number: Expression, odd_text: Operand) -> Expression:
    """1 where what a cell holds is odd, else "", as for an empty one."""
    return if_(is_number(cell), if_(odd_number, 1, BLANK), if_(same(trimmed(cell), ""), BLANK, odd_text))


def _between_steps(cell: Expression, least: Operand, most: Operand, step: Operand) -> Expression:
    return or_(cell < least, cell > most, differs(round_(cell / step, 0), cell / step))


@definition
def stand_in_unknown(names: Expression, number: Expression, catalogue: Expression, own: Expression) -> Expression:
    """1 where one of the stand-ins, counted from 1, is no exercise that there is, else "".

    A list as JSON has it, for names that hold what parts others, is left to the reader.
    """
    name = piece(names, number, LINE_BREAK, ",", ";")
    known = or_(
        begins_with(names, "["),
        same(name, ""),
        is_number(place_among(name, own)),
        is_number(place_among(name, catalogue)),
    )
    return if_(is_text(names), if_(known, BLANK, 1), BLANK)


@definition
def odd_field(
    sets: Expression,
    reps: Expression,
    effort: Expression,
    percent: Expression,
    load: Expression,
    drop: Expression,
    reserve: Expression,
) -> Expression:
    """What the first field may hold that holds something else, "" where none does; each is above 0 where it does."""
    return choose(
        (sets > 0, f"! Sets: whole, 0 to {MOST_SETS}"),
        (reps > 0, f"! Reps: 1 to {MOST_REPS_PLANNED}, or 8-12"),
        (effort > 0, f"! Effort: {LEAST_EFFORT} to {MOST_EFFORT} in halves"),
        (percent > 0, f"! Percent: {LEAST_PERCENT} to {MOST_PERCENT}"),
        (load > 0, f"! Load: 0 to {MOST_LOAD}"),
        (drop > 0, f"! Percent off: {LEAST_DROP} to {MOST_DROP}"),
        (reserve > 0, f"! Leave: 0 to {MOST_RESERVE}"),
        otherwise=BLANK,
    )


@definition
def kind_lacks(
    kind: Expression,
    parts: Expression,
    drop: Expression,
    percent: Expression,
    load: Expression,
    reserve: Expression,
    reps: Expression,
    reps_written: Expression,
) -> Expression:
    """What a kind that was chosen asks for and is not filled in, or is there against it; "" where nothing is.

    parts: how many of the back-off sets' are filled in; percent, load: in how many weeks; reps_written: in how many
    weeks reps are one number.
    """
    said = trimmed(kind)
    # A kind that the columns which are filled in do not make.
    filled_in = (
        (KIND_WORDS["top_set"], is_number(drop)), (KIND_WORDS["percent"], percent > 0),
        (KIND_WORDS["fixed"], load > 0), (KIND_WORDS["max_reps"], is_number(reserve)),
    )  # fmt: skip
    other = [and_(is_filled, differs(said, name)) for name, is_filled in filled_in]
    no_range = and_(same(said, KIND_WORDS["range"]), is_number(reps), reps_written < 2)
    a_range = and_(same(said, KIND_WORDS["effort"]), differs(reps, ""), not_(is_number(reps)))
    lacking = choose(
        (and_(same(said, KIND_WORDS["top_set"]), same(parts, 0)), "! Back-off: sets, reps, off?"),
        (and_(same(said, KIND_WORDS["percent"]), same(percent, 0)), "! Percent missing"),
        (and_(same(said, KIND_WORDS["fixed"]), same(load, 0)), "! Fixed load missing"),
        (and_(same(said, KIND_WORDS["max_reps"]), not_(is_number(reserve))), "! Max reps: how many left?"),
        (not_(or_(*(same(said, each) for each in KIND_WORDS.values()))), "! Kind: one of the list"),
        (or_(*other, no_range, a_range), "! Kind says otherwise"),
        otherwise=BLANK,
    )
    return if_(same(said, ""), BLANK, lacking)


@definition
def row_lacks(
    exercise: Expression,
    position: Expression,
    typed: Expression,
    unclear: Expression,
    sets: Expression,
    reps: Expression,
    effort: Expression,
    ill: Expression,
    odd: Expression,
    ways: Expression,
    parts: Expression,
    of_kind: Expression,
    odd_stand_ins: Expression,
) -> Expression:
    """What is missing or odd in a row, the first of it; "ok" where nothing is, "" for an empty row.

    typed: how much is filled in at all; unclear, odd_stand_ins: above 0 where the session is, or a stand-in; ill: how
    many fields are filled in for some weeks only; ways: how many of back-off, percent, load and reserve are filled in;
    parts: how many of the back-off sets'; odd, of_kind: what the fields and the kind say themselves. Where a kind was
    chosen, what belongs to it is asked for, and no other.
    """
    lacking = choose(
        (unclear > 0, "! Which session?"),
        (not_(is_number(position)), "! Not in the list: see Exercises"),
        (same(sets, 0), "! Sets missing (1 is taken)"),
        (same(reps, ""), "! Reps missing"),
        (ill > 0, "! Fill in week 1, or every week"),
        (differs(odd, ""), odd),
        (ways > 1, "! Back-off, percent, load: one"),
        (and_(parts > 0, parts < 3), "! Back-off: sets, reps, off?"),
        (differs(of_kind, ""), of_kind),
        (and_(same(ways, 0), same(effort, 0)), "! Effort missing"),
        (and_(parts > 0, same(effort, 0)), "! Effort of the top set?"),
        (odd_stand_ins > 0, "! Stand-in: see Exercises"),
        otherwise="ok",
    )
    return if_(same(trimmed(exercise), ""), if_(typed > 0, "! Which exercise?", BLANK), lacking)


@definition
def copied(cell: Expression) -> Expression:
    """What text stands in another cell; "" for an empty one, which a program would copy as 0, or one that is gone."""
    return if_(is_text(cell), cell, BLANK)


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
def in_use(own: Expression, usual: Expression) -> Expression:
    """The coach's own number, else the usual one."""
    return if_(is_number(own), own, usual)


@definition
def fullest(values: Expression) -> Expression:
    return maximum(values)


@definition
def own_exercise_lacks(
    name: Expression,
    implement: Expression,
    first: Expression,
    second: Expression,
    third: Expression,
    fourth: Expression,
    indirect: Expression,
    also: Expression,
    further: Expression,
    last: Expression,
    related: Expression,
    muscles: Expression,
    catalogue: Expression,
    own: Expression,
) -> Expression:
    """What is missing or odd in a row of the coach's own exercises; "ok" where nothing is, "" for an empty row."""

    def typed(cell: Expression) -> Expression:
        return differs(trimmed(cell), "")

    def unknown(cell: Expression, *lists: Expression) -> Expression:
        return and_(typed(cell), *(not_(is_number(place_among(trimmed(cell), names))) for names in lists))

    direct = (first, second, third, fourth)
    worked = (*direct, indirect, also, further, last)
    loaded = or_(*(same(trimmed(implement), each) for each in get_args(Implement)))
    lacking = choose(
        (not_(typed(implement)), "! What is loaded?"),
        (not_(loaded), "! Loaded: one of the list"),
        (not_(or_(*map(typed, direct))), "! Which muscles?"),
        (or_(*(unknown(muscle, muscles) for muscle in worked)), "! Muscle: one of the list"),
        (unknown(related, catalogue, own), "! Related lift: see Lists"),
        otherwise="ok",
    )
    begun = or_(*map(typed, (implement, *worked, related)))
    return if_(typed(name), lacking, if_(begun, "! Name missing", BLANK))
