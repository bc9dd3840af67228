"""The day of a meet: what was lifted so far, and what a goal asks for. Weights in kg."""

from __future__ import annotations

from blockbook.formula.definition import definition
from blockbook.formula.expression import (
    BLANK,
    Expression,
    Operand,
    absolute,
    all_numbers,
    and_,
    at,
    choose,
    differs,
    exp,
    if_,
    is_number,
    join,
    maximum,
    means,
    minimum,
    not_,
    one_of,
    or_,
    round_,
    same,
    sentence,
    total,
    trimmed,
)
from blockbook.languages import say
from blockbook.spec.values import KG_PER_LB
from blockbook.training.attempts import chance_of, next_above, second_attempt, third_attempt

_NO_DIFFERENCE = 0.02
"""So many kg between two maxima come from rounding."""


@definition
def believed_fresh(
    capacity: Expression, exercises_above: Expression, depth_loss: Expression, to_kg: Expression
) -> Expression:
    """A lift's believed maximum in kg, without the tiredness of exercises before it; "" where nothing is known.

    capacity: what is believed once its last session is typed, in the block's unit, tiredness included.
    """
    return if_(is_number(capacity), capacity * exp(depth_loss * exercises_above) * to_kg, BLANK)


@definition
def attempt_shift(
    believed: Expression, start: Expression, increment: Expression, least: Expression, most: Expression
) -> Expression:
    """What a table of attempts for the maximum `start` is moved by, in kg, once more or less is believed.

    The multiple of the increment at or below the difference, from `least` to `most` (multiples themselves,
    least 0 or below); 0 where nothing is believed. A moved table is what `attempt_table` gives for the
    moved maximum and the same spread, but for the stake of a lift without a good attempt, which is a
    share of the maximum: its attempts differ by an increment at most, and an opener's chance not at all.
    """
    moved = maximum(minimum(believed - start + _NO_DIFFERENCE, most), least)
    whole = next_above(moved - least + increment, increment) - 2 * increment + least
    return if_(is_number(believed), round_(whole, 6), 0)


@definition
def shifted(weight: Expression, shift: Expression) -> Expression:
    """A weight of the table as it stands on the sheet."""
    return weight + shift


@definition
def passed(typed: Expression) -> Expression:
    """Whether an attempt was left out on purpose."""
    return or_(means(typed, "pass"), one_of(typed, ("pass", "passed", "left out", "skip", "skipped", "-")))


@definition
def good_mark(mark: Expression) -> Expression:
    """1 for a good lift, 0 for a missed one or one left out, "" for none yet, "?" for anything else."""
    return choose(
        (or_(means(mark, "good"), same(trimmed(mark), "g")), 1),
        (or_(means(mark, "miss"), same(trimmed(mark), "m"), passed(mark)), 0),
        (same(mark, ""), BLANK),
        otherwise="?",
    )


@definition
def attempt_mark(mark: Expression, typed: Expression) -> Expression:
    """The same of an attempt, whose weight (typed) may say that it was left out."""
    return if_(passed(typed), 0, good_mark(mark))


@definition
def weight_meant(typed: Expression, opener: Expression) -> Expression:
    """A weight as it was typed; "" for one so far above the planned opener that it is a slip, or in lb."""
    return if_(is_number(typed), if_(typed > FAR_ABOVE_OPENER * opener, BLANK, typed), BLANK)


@definition
def taken(typed: Expression, planned: Expression) -> Expression:
    """The weight typed, else the planned one."""
    return if_(is_number(typed), typed, planned)


@definition
def assumed_good(good: Expression) -> Expression:
    """What is not lifted yet is taken to be good."""
    return if_(is_number(good), good, 1)


@definition
def plan_second(
    opener: Expression, typed: Expression, good: Expression, increment: Expression, weights: Expression,
    after_good: Expression, shift: Expression,
) -> Expression:  # fmt: skip
    """A plan's second attempt, after what was lifted where it is known. shift: of the table, in kg."""
    first = taken(typed, opener) - shift
    return second_attempt(first, assumed_good(good), increment, weights, after_good) + shift


@definition
def plan_third(
    opener: Expression, typed: Expression, good: Expression, second: Expression, second_typed: Expression,
    second_good: Expression, increment: Expression, weights: Expression, after_good: Expression, above: Expression,
    shift: Expression,
) -> Expression:  # fmt: skip
    """A plan's third attempt, after what was lifted where it is known. shift: of the table, in kg."""
    first, then = taken(typed, opener) - shift, taken(second_typed, second) - shift
    good_marks = assumed_good(good), assumed_good(second_good)
    third = third_attempt(first, good_marks[0], then, good_marks[1], increment, weights, after_good, above)
    return third + shift


FAR_ABOVE_OPENER = 1.5
"""No third attempt is so many times the opener; a weight in lb is 2.2 times as much."""


_NO_WEIGHT = 0.001
"""So many kg come from rounding where a weight is compared with a multiple of the increment."""

FAR_OFF_BELOW, FAR_OFF_ABOVE = 0.85, 1.25
"""A weight below this share of the planned one, or so many times the planned opener (third attempts are 1.1 to 1.2
times theirs), is asked about, and counts all the same. Common practice, no source."""

_BETWEEN_STEPS, _FAR_OFF, _FAR_ABOVE, _NO_NUMBER = 1, 2, 3, 4
"""What may be wrong with a weight typed, the worst last. The first two count all the same."""


@definition
def weight_doubt(typed: Expression, planned: Expression, opener: Expression, increment: Expression) -> Expression:
    """0, or what to look at in a weight typed: no multiple of the increment (1), far from the one planned (2), so far
    above the planned opener that it is a slip (3), no number (4). A record may be between steps."""
    beside = absolute(next_above(typed, increment) - increment - typed) > _NO_WEIGHT
    doubt = choose(
        (or_(typed <= 0, typed > FAR_ABOVE_OPENER * opener), _FAR_ABOVE),
        (or_(typed < FAR_OFF_BELOW * planned, typed > FAR_OFF_ABOVE * opener), _FAR_OFF),
        (beside, _BETWEEN_STEPS),
        otherwise=0,
    )
    return if_(is_number(typed), doubt, if_(or_(same(typed, ""), passed(typed)), 0, _NO_NUMBER))


@definition
def weights_read(doubts: Expression, taken: Expression, pain: Expression) -> Expression:
    """ "so far", or what to look at in a lift's weights, the worst first; then whether pain was noted in it.

    doubts: `weight_doubt` of each; taken: the weights as typed, else as planned; pain: `pain_said`.
    """
    return choose(
        (maximum(doubts) >= _NO_NUMBER, say("number?")),
        (maximum(doubts) >= _FAR_ABOVE, say("in kg?")),
        (or_(lighter(taken, 2), lighter(taken, 3)), say("lighter?")),
        (maximum(doubts) >= _FAR_OFF, say("far off?")),
        (maximum(doubts) >= _BETWEEN_STEPS, say("step?")),
        (differs(pain, ""), say("pain?")),
        otherwise=say("so far"),
    )


def lighter(taken: Expression, number: int) -> Expression:
    """Whether an attempt is lighter than the one before it: the bar never goes down (every rule book; from memory)."""
    return at(taken, number) < at(taken, number - 1)


@definition
def best_good(weights: Expression, goods: Expression) -> Expression:
    """The heaviest good lift of three; 0 where there is none yet."""
    return maximum(*(if_(same(at(goods, n), 1), at(weights, n), 0) for n in (1, 2, 3)))


@definition
def out(goods: Expression) -> Expression:
    """1 where three attempts were missed, else 0."""
    missed = [if_(is_number(at(goods, n)), if_(at(goods, n) < 1, 1, 0), 0) for n in (1, 2, 3)]
    return if_(total(*missed) > 2, 1, 0)


@definition
def possible(best: Expression, third: Expression, third_good: Expression) -> Expression:
    """What a lift ends with if the attempts still open are good."""
    return if_(is_number(third_good), best, maximum(best, third))


@definition
def total_of(lifts: Expression, outs: Expression, bench: Expression, event: Expression) -> Expression:
    """The lifts added up, 0 where one of them has no good attempt; the bench alone where only that is lifted."""
    return if_(means(event, "bench"), bench, if_(total(outs) > 0, 0, total(lifts)))


ALARMED = (
    " Chest pain, dizziness, fainting, numbness or the like was noted: do not lift before a physician has cleared you."
)


@definition
def pain_said(own: Expression, near: Expression, alarm: Expression, lift: Expression) -> Expression:
    """That a lift, or what trains the same, hurt when it was last heard of; else "". own, near: 1 for each that did.

    alarm: above 0 where what was noted asks for a physician: that comes first.
    """
    return choose(
        (alarm > 0, say(ALARMED)),
        (total(own) > 0, sentence(" Pain was noted in the {lift}: ask your coach before you lift it.", lift=lift)),
        (total(near) > 0, sentence(" Pain was noted in an exercise like the {lift}: ask your coach before you lift it.",
                                   lift=lift)),
        otherwise=BLANK,
    )  # fmt: skip


@definition
def attempt_ahead(
    weights: Expression, goods: Expression, doubts: Expression, increment: Expression, lift: Expression,
    heading: Expression,
) -> Expression:  # fmt: skip
    """A lift's next attempt in words, as planned or typed, or what to check before it; "" after the third.

    Runs of three; doubts: `weight_doubt`; lift, heading: its name within a sentence, and at its beginning.
    """
    cases: list[tuple[Expression, Operand]] = []
    attempts = (1, 2, 3)
    far_off = or_(*(same(at(doubts, number), _FAR_OFF) for number in attempts))
    for number, word in enumerate(("first", "second", "third"), start=1):
        weight, doubt, good = (at(run, number) for run in (weights, doubts, goods))
        open_still = not_(is_number(good))
        passed_by = or_(same(good, "?"), *(and_(open_still, differs(at(goods, n), "")) for n in attempts if n > number))
        cases += [
            (doubt >= _FAR_ABOVE, sentence("{lift}, {attempt}: check the weight typed. {kg} kg is counted.",
                                           lift=heading, attempt=say(word), kg=round_(weight, 2))),
            (passed_by, sentence("{lift}, {attempt}: mark it good or miss.", lift=heading, attempt=say(word))),
        ]  # fmt: skip
        if number > 1:
            goes_down = sentence("{lift}, {attempt}: the bar never goes down. Check it.",
                                 lift=heading, attempt=say(word))  # fmt: skip
            cases.append((and_(open_still, lighter(weights, number)), goes_down))
        said = sentence("Next: {lift}, {attempt}: {kg} kg ({lb} lb).", lift=lift, attempt=say(word),
                        kg=round_(weight, 2), lb=round_(weight / KG_PER_LB, 1))  # fmt: skip
        between = sentence(" Weights go up in steps of {step} kg: check it.", step=increment)
        beside = choose(
            (far_off, say(" A weight typed is far from the plan: check it.")),
            (same(doubt, _BETWEEN_STEPS), between),
            otherwise=BLANK,
        )
        cases.append((open_still, join(said, beside)))
    return choose(*cases, otherwise=BLANK)


@definition
def lift_said(ahead: Expression, out: Expression, pain: Expression, lift: Expression) -> Expression:
    """What there is to say of a lift: `attempt_ahead` with `pain_said`, or that it is lost; "" once it is done.

    Where a physician has the next word, that alone.
    """
    lost = sentence("Three misses in the {lift}: no total.", lift=lift)
    said = if_(same(pain, say(ALARMED)), trimmed(pain), join(ahead, pain))
    return choose((same(out, 1), lost), (same(ahead, ""), BLANK), otherwise=said)


@definition
def next_up(squat: Expression, bench: Expression, deadlift: Expression, event: Expression) -> Expression:
    """What there is to say of the first lift that is not done. Lifts: `lift_said`."""
    bench_only, done = means(event, "bench"), say("All attempts done.")
    after = if_(bench_only, done, if_(differs(deadlift, ""), deadlift, done))
    from_bench = if_(differs(bench, ""), bench, after)
    return if_(bench_only, from_bench, if_(differs(squat, ""), squat, from_bench))


@definition
def last_deadlift(
    goal: Expression, squat: Expression, bench: Expression, increment: Expression, event: Expression
) -> Expression:
    """The lightest deadlift, as a multiple of the increment, that brings the goal; none where only the bench counts."""
    wanted = maximum(next_above(goal - squat - bench - 0.0001, increment), 0)
    known = if_(all_numbers(goal, increment), if_(increment > 0, wanted, BLANK), BLANK)
    return if_(means(event, "bench"), BLANK, known)


@definition
def goal_chance(
    deadlift: Expression, best: Expression, third_good: Expression, weights: Expression, chances: Expression,
    shift: Expression,
) -> Expression:  # fmt: skip
    """Chance of being strong enough for that deadlift, technique aside; 1 where it is done, 0 where it is too late."""
    lifted = if_(best > 0, best - shift, 0)
    open_still = if_(is_number(third_good), 0, chance_of(deadlift - shift, lifted, weights, chances))
    return if_(is_number(deadlift), if_(deadlift <= best, 1, open_still), BLANK)


MOST_APART = 1.5
"""A body weight so many times the one the block was planned with, either way, is a slip or in lb; a class so many
times the body weight is none of the lifter's. Making weight is a tenth at most. Common practice, no source."""


def _near(number: Expression, other: Expression) -> Expression:
    return and_(number <= MOST_APART * other, other <= MOST_APART * number)


@definition
def body_weight_meant(typed: Expression, planned: Expression) -> Expression:
    """A body weight as it was typed; "" for one so far from the one planned with that it is a slip, or in lb."""
    return if_(is_number(typed), if_(_near(typed, planned), typed, BLANK), BLANK)


@definition
def weigh_in_said(typed: Expression, meant: Expression, planned: Expression, limit: Expression) -> Expression:
    """How far from the class, or what to look at. meant: `body_weight_meant`."""
    room = round_(limit - meant, 2)
    said = if_(room < 0, sentence("{kg} kg over", kg=0 - room), sentence("{kg} kg to spare", kg=room))
    return choose(
        (same(typed, ""), BLANK),
        (not_(is_number(typed)), say("number?")),
        (not_(is_number(meant)), sentence("in kg? {kg} expected", kg=planned)),
        (same(limit, ""), BLANK),
        (is_number(limit), if_(_near(limit, meant), said, say("class in kg?"))),
        otherwise=BLANK,
    )


@definition
def in_pounds(kilograms: Expression) -> Expression:
    return if_(is_number(kilograms), kilograms / KG_PER_LB, BLANK)


@definition
def in_kilograms(pounds: Expression) -> Expression:
    return if_(is_number(pounds), pounds * KG_PER_LB, BLANK)
