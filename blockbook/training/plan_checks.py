"""What a row of a plan lacks, or holds that its field cannot hold, while it is being typed.

The first that is wrong is said, in a few words beside the row; whoever reads the plan says it in full.
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
    begins_with,
    call,
    choose,
    differs,
    if_,
    is_number,
    is_text,
    join,
    not_,
    or_,
    piece,
    place_among,
    round_,
    same,
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
from blockbook.training.plan_cells import plain_blanks

_FROM_LOW_TO_HIGH = ("-", "–", "to")
"""What stands between the reps of a range."""

_EARLY_DAY = 36526
"""What a program holds for the first day of 2000: no number of anything in a plan."""


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
    """1 where neither the first week alone nor every week of the block is filled in; 0 where the block does not say in
    a number how many it has."""
    alone = if_(same(written, 1), if_(is_number(first), 0, 1), 1)
    return if_(and_(written > 0, is_number(weeks)), if_(same(written, weeks), 0, alone), 0)


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
    low, high, further = (piece(cell, number, *_FROM_LOW_TO_HIGH) for number in (1, 2, 3))
    first, last = place_among(low, counts), place_among(high, counts)
    falls = or_(first > last, differs(further, ""))
    no_range = if_(is_number(first), if_(is_number(last), if_(falls, 1, BLANK), 1), 1)
    no_text = if_(same(trimmed(cell), low), if_(is_number(first), BLANK, 1), no_range)
    return _odd(cell, _between_steps(cell, 1, MOST_REPS_PLANNED, 1), no_text)


@definition
def is_range(cell: Expression) -> Expression:
    """1 where a cell holds a range of reps, from low to another high, else ""."""
    low, high = (piece(cell, number, *_FROM_LOW_TO_HIGH) for number in (1, 2))
    return if_(is_text(cell), if_(or_(same(high, ""), same(low, high)), BLANK, 1), BLANK)


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
    most_reps: Expression,
    effort: Expression,
    percent: Expression,
    load: Expression,
    drop: Expression,
    reserve: Expression,
) -> Expression:
    """What the first field may hold that holds something else, "" where none does; each is above 0 where it does.

    most_reps: the largest number among the reps; a day is one, and whoever reads the plan takes it as the range that a
    program made it of.
    """
    return choose(
        (sets > 0, f"! Sets: whole number, 0 to {MOST_SETS}"),
        (and_(reps > 0, most_reps >= _EARLY_DAY), "! Reps: a date. A range?"),
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
    ranges: Expression,
) -> Expression:
    """What a kind that was chosen asks for and is not filled in, or is there against it; "" where nothing is.

    parts: how many of the back-off sets' are filled in; percent, load: in how many weeks; ranges: in how many reps are
    a range.
    """
    said = trimmed(kind)
    made = choose(  # as `Slot.kind` has it
        (is_number(drop), KIND_WORDS["top_set"]),
        (percent > 0, KIND_WORDS["percent"]),
        (load > 0, KIND_WORDS["fixed"]),
        (is_number(reserve), KIND_WORDS["max_reps"]),
        (ranges > 0, KIND_WORDS["range"]),
        otherwise=KIND_WORDS["effort"],
    )
    lacking = choose(
        (and_(same(said, KIND_WORDS["top_set"]), same(parts, 0)), "! Back-off: sets, reps, off?"),
        (and_(same(said, KIND_WORDS["percent"]), same(percent, 0)), "! Percent missing"),
        (and_(same(said, KIND_WORDS["fixed"]), same(load, 0)), "! Fixed load missing"),
        (and_(same(said, KIND_WORDS["max_reps"]), not_(is_number(reserve))), "! Max reps: how many left?"),
        (not_(or_(*(same(said, each) for each in KIND_WORDS.values()))), "! Kind: one of the list"),
        (differs(said, made), "! Kind says otherwise"),
        otherwise=BLANK,
    )
    return if_(same(said, ""), BLANK, lacking)


@definition
def one_set_is_meant(drop: Expression, reserve: Expression) -> Expression:
    """1 where sets that nobody wrote are one: a top set, and as many reps as there are; else 0."""
    return if_(is_number(drop), 1, if_(is_number(reserve), 1, 0))


@definition
def row_lacks(
    exercise: Expression,
    position: Expression,
    typed: Expression,
    unclear: Expression,
    sets: Expression,
    one_set: Expression,
    reps: Expression,
    ranges: Expression,
    effort: Expression,
    ill: Expression,
    odd: Expression,
    ways: Expression,
    parts: Expression,
    of_kind: Expression,
    odd_stand_ins: Expression,
) -> Expression:
    """What is missing or odd in a row, the first of it; "ok" where nothing is, "" for an empty row.

    typed: how much is filled in at all; unclear, odd_stand_ins: above 0 where the session is, or a stand-in; one_set:
    above 0 where that is meant without sets; ranges: in how many weeks reps are a range, of back-off sets too; ill: how
    many fields are filled in for some weeks only; ways: how many of back-off, percent, load and reserve are filled in;
    parts: how many of the back-off sets'; odd, of_kind: what the fields and the kind say themselves. Where a kind was
    chosen, what belongs to it is asked for, and no other.
    """
    lacking = choose(
        (unclear > 0, "! Which session?"),
        (not_(is_number(position)), "! Not listed: see Exercises"),
        (differs(odd, ""), odd),  # before what is missing: a word for a number is not one that is missing
        (and_(same(sets, 0), same(one_set, 0)), "! Sets missing (1 is taken)"),
        (same(reps, ""), "! Reps missing"),
        (ill > 0, "! Fill week 1, or every week"),
        (ways > 1, "! Back-off, percent, or load?"),
        (and_(parts > 0, parts < 3), "! Back-off: sets, reps, off?"),
        (and_(ways > 0, ranges > 0), "! A range: with effort alone"),
        (differs(of_kind, ""), of_kind),
        (and_(same(ways, 0), same(effort, 0)), "! Effort missing"),
        (and_(parts > 0, same(effort, 0)), "! Effort of the top set?"),
        (odd_stand_ins > 0, "! Stand-in: see Exercises"),
        otherwise="ok",
    )
    return if_(same(trimmed(exercise), ""), if_(typed > 0, "! Which exercise?", BLANK), lacking)


@definition
def trouble_below(of: Expression, lacks: Expression, further: Expression) -> Expression:
    """What the next row lacks, if it was put in and so has no check beside it; else, and where nothing, what the rows
    behind it do.

    of: what the next row was written for, "" for one that was put in; lacks: what it lacks; further: the same of the
    one behind it.
    """
    return if_(same(of, ""), if_(begins_with(lacks, "!"), lacks, further), BLANK)


@definition
def check_said(lacks: Expression, below: Expression) -> Expression:
    """What stands beside a row: what it lacks itself comes first, then what those below it do that have no check."""
    of_others = join("! Below: ", call("MID", below, 3, LONGEST_CHECK))
    return if_(begins_with(lacks, "!"), lacks, if_(same(below, ""), lacks, of_others))


LONGEST_CHECK = 60
"""No check is longer, in characters."""


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

    def words(cell: Expression) -> Expression:
        return trimmed(plain_blanks(cell))

    def typed(cell: Expression) -> Expression:
        return differs(words(cell), "")

    def unknown(cell: Expression, *lists: Expression) -> Expression:
        return and_(typed(cell), *(not_(is_number(place_among(words(cell), names))) for names in lists))

    direct = (first, second, third, fourth)
    worked = (*direct, indirect, also, further, last)
    loaded = or_(*(same(words(implement), each) for each in get_args(Implement)))
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
