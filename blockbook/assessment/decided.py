"""The coach's word over a suggestion: what the review workbook's cells calculate and `next` writes.

The same expressions are the workbook's formulas and `next`'s decisions.
"""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    absolute,
    all_numbers,
    and_,
    at,
    call,
    choose,
    decimal_mark,
    differs,
    if_,
    is_number,
    join,
    lower,
    not_,
    or_,
    place_among,
    round_,
    same,
    total,
    trimmed,
)
from blockbook.spec.answers import NO, YES
from blockbook.spec.values import MOST_SETS
from blockbook.training.loading import nearest
from blockbook.training.plan_cells import number_said

NONE = "–"
"""Shown where no load is decided here."""

SEE_WHY = "see Why"
"""Shown for a load that nobody can know before the next block is made: the sentence beside it says what its sheet does.
"""


NOTHING_KEPT = "No load of week 1 to keep: the one suggested stays."
"""Where a suggestion is refused and this block's first week was not logged."""


def says_no(answer: Expression) -> Expression:
    return or_(*(same(trimmed(answer), word) for word in NO))


def _says_yes(answer: Expression) -> Expression:
    return or_(*(same(trimmed(answer), word) for word in YES))


def _is_understood(answer: Expression) -> Expression:
    return or_(same(trimmed(answer), ""), _says_yes(answer), says_no(answer))


@definition
def deload_used(own: Expression, suggested: Expression) -> Expression:
    """Whether week 1 is a deload: "yes" or "no", the coach's answer first."""
    return if_(_says_yes(own), "yes", if_(says_no(own), "no", suggested))


@definition
def exercise_used(accept: Expression, own: Expression, suggested: Expression, kept: Expression) -> Expression:
    """The exercise of the next block: the coach's own, "keep" for this block's, else the suggestion if accepted."""
    said = trimmed(own)
    keeps = or_(same(said, "keep"), same(said, "kept"))
    return choose(
        (keeps, kept),
        (differs(said, ""), said),
        otherwise=if_(says_no(accept), kept, suggested),
    )


@definition
def decided(accept: Expression, own: Expression, suggested: Expression, kept: Expression) -> Expression:
    """The coach's own number, else the suggestion, or what was kept if it was not accepted."""
    return if_(is_number(own), own, if_(says_no(accept), kept, suggested))


@definition
def week_one_load(deload: Expression, light: Expression, usual: Expression) -> Expression:
    """The suggested load of week 1, light where that is a deload."""
    return if_(same(deload, "yes"), light, usual)


@definition
def load_used(
    accept: Expression,
    own: Expression,
    suggested: Expression,
    kept: Expression,
    exercise: Expression,
    before: Expression,
    start: Expression,
) -> Expression:
    """Week 1's load: the coach's own; for another exercise where its sheet starts it.

    A refused suggestion keeps this block's first load. Where that week was not logged there is none to keep, and the
    one suggested stays: left open, the sheet would start anew, above what is held where something hurts.
    """
    refused = if_(is_number(kept), kept, suggested)
    return if_(is_number(own), own, if_(differs(exercise, before), start, if_(says_no(accept), refused, suggested)))


@definition
def start_load(
    exercise: Expression,
    deload: Expression,
    first: Expression,
    second: Expression,
    third: Expression,
    fourth: Expression,
    fifth: Expression,
    usual_first: Expression,
    usual_second: Expression,
    usual_third: Expression,
    usual_fourth: Expression,
    usual_fifth: Expression,
    light_first: Expression,
    light_second: Expression,
    light_third: Expression,
    light_fourth: Expression,
    light_fifth: Expression,
) -> Expression:
    """The load at which the next sheet starts an exercise that takes another's place.

    first and so on: those offered, "" for none; usual_first, light_first: the load of each, without and with a deload.
    """
    offered = (
        (first, usual_first, light_first),
        (second, usual_second, light_second),
        (third, usual_third, light_third),
        (fourth, usual_fourth, light_fourth),
        (fifth, usual_fifth, light_fifth),
    )
    known = ((same(exercise, name), if_(same(deload, YES[0]), light, usual)) for name, usual, light in offered)
    return choose(*known, otherwise=SEE_WHY)


@definition
def load_typed(own: Expression, unit: Expression) -> Expression:
    """The number in the coach's own load, also with the block's unit behind it or as text; other text as it is."""
    text = lower(trimmed(own))
    for written in (join(unit, "s"), unit):
        text = call("SUBSTITUTE", text, written, "")
    number = number_said(trimmed(text), decimal_mark())
    return if_(is_number(own), own, if_(is_number(number), number, trimmed(own)))


# Guards ---------------------------------------------------------------------------------------


@definition
def load_flag(
    own: Expression,
    start: Expression,
    most: Expression,
    least: Expression,
    limit: Expression,
    held: Expression,
    held_at: Expression,
    exercise: Expression,
    before: Expression,
    body_load: Expression,
    most_rise: Expression,
    most_own_load: Expression,
) -> Expression:
    """Which guard the coach's own load breaks; "" for none. Up to the limit it is done all the same.

    limit: of `most_own_load` estimated maxima.
    """
    over_maximum = round_(most_own_load * (own + body_load) - (limit + body_load), 6) > 0
    above_half = if_(is_number(start), 2 * (own + body_load) - (start + body_load), 0)
    beyond = if_(is_number(most), if_(round_(own - most, 6) > 0, 1, 0), 0)
    raised = if_(is_number(start), if_(round_(own - start, 6) > 0, 1, 0), beyond)
    above_held = if_(is_number(held_at), if_(round_(own - held_at, 6) > 0, 1, 0), raised)
    hurts = and_(held > 0, above_held > 0)
    share = join(round_(100 * most_rise, 1), " %.")
    return choose(
        (
            and_(not_(is_number(own)), differs(own, "")),
            "Text, which no cell here follows: type the number alone.",
        ),
        (not_(is_number(own)), BLANK),
        (differs(exercise, before), BLANK),
        (round_(own - least, 6) < 0, "Lighter than can be loaded: next refuses it."),
        (round_(own - limit, 6) > 0, "Far above the estimated 1RM: next refuses it."),
        (round_(above_half, 6) < 0, "Under half of this block's first load."),
        (and_(hurts, over_maximum), "Raised though it hurts, and above the estimated 1RM."),
        (over_maximum, "Above the estimated 1RM."),
        (and_(hurts, beyond > 0), join("Raised though it hurts, and by more than ", share)),
        (and_(hurts, raised > 0), "Raised though it hurts."),
        (hurts, "Above the load held, though it hurts."),
        (beyond > 0, join("Raised by more than ", share)),
        otherwise=BLANK,
    )


@definition
def kept_flag(
    accept: Expression,
    own: Expression,
    start: Expression,
    kept: Expression,
    held: Expression,
    held_at: Expression,
    exercise: Expression,
    before: Expression,
) -> Expression:
    """That a refused suggestion keeps a load above the one that is held because something hurts, or that there is none
    to keep; "" for neither."""
    keeps = and_(says_no(accept), not_(is_number(own)), not_(differs(exercise, before)))
    above = if_(all_numbers(kept, held_at), if_(round_(kept - held_at, 6) > 0, 1, 0), 0)
    return choose(
        (not_(keeps), BLANK),
        (and_(held > 0, above > 0), "No keeps a load above the one held, though it hurts."),
        (and_(is_number(start), not_(is_number(kept))), NOTHING_KEPT),
        otherwise=BLANK,
    )


@definition
def unmade_flag(
    own: Expression, exercise: Expression, before: Expression, unit: Expression, loads: Expression
) -> Expression:
    """That the lifter's equipment does not make the coach's own load; "" where it does, or the exercise changes."""
    made = nearest(own, loads)
    said = join("The equipment does not make ", round_(own, 3), " ", unit, "; nearest is ", round_(made, 3), ".")
    return choose(
        (not_(is_number(own)), BLANK),
        (differs(exercise, before), BLANK),
        (same(round_(made - own, 6), 0), BLANK),
        otherwise=said,
    )


@definition
def sets_flag(own: Expression, before: Expression, most: Expression, held: Expression) -> Expression:
    """Which guard the coach's own sets break; "" for none."""
    return choose(
        (not_(is_number(own)), if_(differs(own, ""), "Sets: the number alone.", BLANK)),
        (or_(own < 0, own > MOST_SETS), f"Sets: 0 to {MOST_SETS}; next refuses it."),
        (differs(round_(own, 0), own), "Sets are counted whole: next refuses it."),
        (and_(own < 1, before > 0), "Left out of the next block."),
        (and_(own > before, held > 0), "More sets though it hurts."),
        (and_(own > most, own > before), "Many sets for one session."),
        otherwise=BLANK,
    )


@definition
def exercise_flag(exercise: Expression, before: Expression, held: Expression, row: Expression) -> Expression:
    """What to look at where the exercise changes; "" where it does not."""
    return choose(
        (not_(is_number(row)), "No exercise of that name is known."),
        (not_(differs(exercise, before)), BLANK),
        (held > 0, "The new exercise trains what hurts: ask first."),
        otherwise=BLANK,
    )


def _accept_flag(accept: Expression) -> Expression:
    return if_(_is_understood(accept), BLANK, "Accept? takes yes or no: next refuses it.")


@definition
def deload_flag(own: Expression) -> Expression:
    """Where the coach's answer to a deload is none; "" where it is."""
    return if_(_is_understood(own), BLANK, "This takes yes or no: next refuses it.")


@definition
def flags(
    accept: Expression,
    own: Expression,
    own_sets: Expression,
    exercise: Expression,
    before: Expression,
    sets_before: Expression,
    start: Expression,
    kept: Expression,
    most: Expression,
    least: Expression,
    limit: Expression,
    most_sets: Expression,
    held: Expression,
    held_at: Expression,
    row: Expression,
    unmade: Expression,
    body_load: Expression,
    most_rise: Expression,
    most_own_load: Expression,
) -> Expression:
    """Every guard that the coach's word breaks, in words; "" for none.

    accept, own, own_sets: as typed; start: this block's first load, else the suggested one; kept: this block's, no
    number for none; most: the load above which the rise is too large; least: the lightest that can be loaded, 0 for
    none; limit: the load above which none is taken; most_sets: sets without breaking a guard; held: 1 where it or a
    close relative hurts; held_at: the load it is then held at, no number for none; row: of the exercise in the list of
    those known; unmade: what `unmade_flag` says; body_load: the part of the body weight that is lifted along;
    most_rise: the share that a load may rise by; most_own_load: the estimated maxima that limit stands for.
    """
    said = (
        _accept_flag(accept),
        exercise_flag(exercise, before, held, row),
        load_flag(own, start, most, least, limit, held, held_at, exercise, before, body_load, most_rise, most_own_load),
        kept_flag(accept, own, start, kept, held, held_at, exercise, before),
        sets_flag(own_sets, sets_before, most_sets, held),
        unmade,
    )
    return trimmed(join(*(piece for each in said for piece in (each, " "))))


# Weekly sets ----------------------------------------------------------------------------------


@definition
def catalogue_row(exercise: Expression, names: Expression) -> Expression:
    """Row of an exercise in the list of those known; "" for an unknown one."""
    found = place_among(exercise, names)
    return if_(is_number(found), found, BLANK)


@definition
def sets_for_muscle(row: Expression, sets: Expression, shares: Expression) -> Expression:
    """What an exercise's sets count for a muscle."""
    return if_(all_numbers(row, sets), sets * at(shares, row), 0)


@definition
def shown(value: Expression) -> Expression:
    """What stands in another cell."""
    return value


@definition
def muscle_total(parts: Expression) -> Expression:
    return total(parts)


@definition
def relative_change(before: Expression, after: Expression) -> Expression:
    return if_(all_numbers(before, after), if_(before > 0, after / before - 1, BLANK), BLANK)


@definition
def muscle_flag(
    before: Expression, after: Expression, low: Expression, high: Expression, most: Expression
) -> Expression:
    """Which limit a muscle's weekly sets break; "" for none."""
    return choose(
        (round_(after - high, 6) > 0, "Above your limit."),
        (round_(low - after, 6) > 0, "Below your limit."),
        (round_(absolute(after - before) - most * before, 6) > 0, "A larger change than from block to block is usual."),
        otherwise=BLANK,
    )
