"""One slip each, put into an honest log: realistic, and large enough that a check could in principle see it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import chain, pairwise
from statistics import fmean
from typing import TypeVar

import numpy as np

from blockbook.intake.believable.strength import loads_made
from blockbook.training.effort import percent_of_max
from blockbook.training.prescription import PlannedSet
from blockbook.training.simulated import POPULATIONS
from blockbook.workbook.assemble import BlockBook
from blockbook.workbook.layout import LinePlace, SessionPlace, input_name, session_input_key
from tests.slips.logs import Typed

Choice = TypeVar("Choice")

COLUMNS = ("load", "reps", "rpe")

LEAST_CHANGE = 0.2
"""In logs, what a slip in one set changes at least in its estimate; less drowns in the noise of effort."""

LEAST_CHANGE_OF_EFFORT = 0.14
"""The same for a reserve typed as effort: 10 - 8.5 for 8.5 in a set of five."""


@dataclass
class Sheet:
    """A workbook that was filled in, with what injectors look for."""

    workbook: BlockBook
    typed: Typed
    chance: np.random.Generator

    def places(self) -> list[SessionPlace]:
        """Sessions that were done, in order."""
        places = chain.from_iterable(self.workbook.weeks)
        return [place for place in places if self.typed.get(session_input_key(place.session.key, "date"))]

    def sets(self, place: SessionPlace) -> Iterator[tuple[LinePlace, PlannedSet]]:
        return ((line, planned) for line in place.lines for planned in line.line.sets)

    def done(self) -> list[tuple[LinePlace, PlannedSet]]:
        """Working sets with load, reps and effort, bands apart, of exercises that have others to compare with."""
        every = [
            (line, planned)
            for place in self.places()
            for line, planned in self.sets(place)
            if planned.number and all(self.value(planned.key, column) is not None for column in COLUMNS)
        ]
        counts: dict[str, int] = {}
        for line, _ in every:
            counts[line.line.exercise.name] = counts.get(line.line.exercise.name, 0) + 1
        return [(line, planned) for line, planned in every if counts[line.line.exercise.name] > 3]

    def value(self, key: str, column: str) -> float | None:
        return self.typed.get(input_name(key, column))

    def estimate(self, line: LinePlace, load: float, reps: float, rpe: float) -> float:
        total = load + self.workbook.spec.body_load(line.line.exercise)
        share = percent_of_max.value(max(reps, 1) + 10 - rpe, self.workbook.spec.lifter.curve)
        return math.log(total / float(share)) if total > 0 else -math.inf  # type: ignore[arg-type]

    def pick(self, choices: list[Choice]) -> Choice | None:
        return choices[int(self.chance.integers(len(choices)))] if choices else None


Injector = Callable[[Sheet], Typed | None]
"""What is typed instead, by input name; None where the log has no place for the slip."""


def _one_set(sheet: Sheet, slip: Callable[[float, float, float], tuple[float, float, float] | None],
             least: float = LEAST_CHANGE) -> Typed | None:  # fmt: skip
    """A slip in one set, of those where it changes enough."""
    choices = []
    for line, planned in sheet.done():
        load, reps, rpe = (sheet.value(planned.key, column) or 0 for column in COLUMNS)
        typed = slip(load, reps, rpe)
        if typed is None or not load:
            continue
        if abs(sheet.estimate(line, *typed) - sheet.estimate(line, load, reps, rpe)) >= least:
            choices.append({input_name(planned.key, c): v for c, v in zip(COLUMNS, typed, strict=True)})
    picked = sheet.pick(choices)
    return picked and {name: value for name, value in picked.items() if value != sheet.typed.get(name)}


def point_lost(sheet: Sheet) -> Typed | None:
    """1075 for 107.5, or 1000 for 100."""
    return _one_set(sheet, lambda load, reps, rpe: (load * 10, reps, rpe))


def digit_missing(sheet: Sheet) -> Typed | None:
    """12 for 120, 8.5 for 85."""
    return _one_set(sheet, lambda load, reps, rpe: (round(load / 10, 4), reps, rpe))


def digits_turned(sheet: Sheet) -> Typed | None:
    """152 for 125."""

    def turned(load: float, reps: float, rpe: float) -> tuple[float, float, float] | None:
        whole, _, part = f"{load:g}".partition(".")
        if len(whole) < 2:
            return None
        at = int(sheet.chance.integers(len(whole) - 1))
        text = whole[:at] + whole[at + 1] + whole[at] + whole[at + 2 :] + (f".{part}" if part else "")
        return None if text.startswith("0") or text == f"{load:g}" else (float(text), reps, rpe)

    return _one_set(sheet, turned)


def digit_doubled(sheet: Sheet) -> Typed | None:
    """1200 or 1220 for 120, 225 for 25."""

    def doubled(load: float, reps: float, rpe: float) -> tuple[float, float, float]:
        text = f"{load:g}"
        at = int(sheet.chance.choice([i for i, digit in enumerate(text) if digit.isdigit()]))
        return float(text[:at] + text[at] + text[at:]), reps, rpe

    return _one_set(sheet, doubled)


def reps_doubled(sheet: Sheet) -> Typed | None:
    """55 reps for 5."""
    return _one_set(sheet, lambda load, reps, rpe: (load, reps * 11, rpe) if 1 < reps < 10 else None)


def swapped(sheet: Sheet) -> Typed | None:
    """5 and 100 for 100 and 5."""
    return _one_set(sheet, lambda load, reps, rpe: (reps, load, rpe) if reps else None)


def _factor(sheet: Sheet) -> float:
    return 2.2046 if sheet.workbook.spec.block.unit == "kg" else 1 / 2.2046


def _converted(sheet: Sheet, load: float) -> float:
    return round(load * _factor(sheet) * 2) / 2


def unit_of_a_set(sheet: Sheet) -> Typed | None:
    return _one_set(sheet, lambda load, reps, rpe: (_converted(sheet, load), reps, rpe))


def _in_other_unit(sheet: Sheet, places: list[SessionPlace]) -> Typed:
    names = [input_name(planned.key, "load") for place in places for _, planned in sheet.sets(place)]
    return {name: _converted(sheet, sheet.typed[name]) for name in names if sheet.typed.get(name)}


def unit_of_a_session(sheet: Sheet) -> Typed | None:
    place = sheet.pick(sheet.places())
    return _in_other_unit(sheet, [place]) if place else None


def unit_of_the_log(sheet: Sheet) -> Typed | None:
    """All loads; without any best nobody can tell."""
    if not sheet.workbook.spec.lifter.bests:
        return None
    return _in_other_unit(sheet, sheet.places())


def both_hands_in_a_session(sheet: Sheet) -> Typed | None:
    """All sets of a dumbbell exercise in a session, at the load of both hands together."""
    choices = []
    for place in sheet.places():
        for line in place.lines:
            exercise = line.line.exercise
            names = [input_name(planned.key, "load") for planned in line.line.sets]
            loads = {name: 2 * sheet.typed[name] for name in names if sheet.typed.get(name)}
            if exercise.is_per_hand and len(loads) > 1:
                choices.append(loads)
    return sheet.pick(choices)


def reserve_in_a_set(sheet: Sheet) -> Typed | None:
    """2 for 8, in one set felt at 7.5 to 9."""
    return _one_set(
        sheet, lambda load, reps, rpe: (load, reps, 10 - rpe) if 7.5 <= rpe <= 9 else None, LEAST_CHANGE_OF_EFFORT
    )


def _as_reserves(sheet: Sheet, places: list[SessionPlace]) -> Typed:
    names = [input_name(planned.key, "rpe") for place in places for _, planned in sheet.sets(place)]
    return {name: 10 - sheet.typed[name] for name in names if sheet.typed.get(name) is not None}


def reserves_in_a_session(sheet: Sheet) -> Typed | None:
    """A session of 1, 2, 2.5 for 9, 8, 7.5; not one so easy that reserve and effort are both about 5."""
    changed = [_as_reserves(sheet, [place]) for place in sheet.places()]
    return sheet.pick([typed for typed in changed if len(typed) >= 4 and fmean(typed.values()) <= 3])


def reserves_in_the_log(sheet: Sheet) -> Typed | None:
    return _as_reserves(sheet, sheet.places())


def _shifted(sheet: Sheet, step: int) -> Typed | None:
    """All rows of a session of two exercises and more, one row down (1) or up (-1); what falls off is lost."""
    places = [place for place in sheet.places() if len(place.lines) >= 3]
    place = sheet.pick(places)
    if place is None:
        return None
    keys = [planned.key for _, planned in sheet.sets(place)]
    rows: list[list[float | None]] = [[sheet.value(key, column) for column in COLUMNS] for key in keys]
    moved: list[list[float | None]] = [[None] * 3, *rows[:-1]] if step > 0 else [*rows[1:], [None] * 3]
    return {
        input_name(key, column): value
        for key, row in zip(keys, moved, strict=True)
        for column, value in zip(COLUMNS, row, strict=True)
    }


def rows_down(sheet: Sheet) -> Typed | None:
    return _shifted(sheet, 1)


def rows_up(sheet: Sheet) -> Typed | None:
    return _shifted(sheet, -1)


def last_week_copied(sheet: Sheet) -> Typed | None:
    """A session with everything from the week before, where at least six sets with effort were done then."""
    choices = []
    for place in sheet.places():
        changed: Typed = {}
        for _, planned in sheet.sets(place):
            before = f"w{place.session.week - 1}.{planned.key.split('.', 1)[1]}"
            if input_name(before, "load") in sheet.typed:
                changed |= {input_name(planned.key, c): sheet.value(before, c) for c in COLUMNS}
        if sum(value is not None for name, value in changed.items() if name.endswith("/rpe")) >= 6:
            choices.append(changed)
    return sheet.pick(choices)


def effort_constant(sheet: Sheet) -> Typed | None:
    """The same effort throughout."""
    effort = float(sheet.chance.choice([7, 7.5, 8, 9]))
    return {name: effort for name, value in sheet.typed.items() if name.endswith("/rpe") and value is not None}


def effort_falls(sheet: Sheet) -> Typed | None:
    """A session in which equal sets are said to get a point easier each time."""
    choices = []
    for place in sheet.places():
        lines: dict[tuple[str, float | None, float | None], list[str]] = {}
        for line, planned in sheet.sets(place):
            if planned.number and sheet.value(planned.key, "rpe") is not None:
                same = (line.line.slot_key, sheet.value(planned.key, "load"), sheet.value(planned.key, "reps"))
                lines.setdefault(same, []).append(planned.key)
        equal = [keys for keys in lines.values() if len(keys) >= 2]
        if sum(len(keys) >= 3 for keys in equal) >= 2:
            choices.append({input_name(k, "rpe"): max(5.0, 9.0 - i) for keys in equal for i, k in enumerate(keys)})
    return sheet.pick(choices)


def most_gain(weeks: int) -> float:
    """In logs, what the fastest of all simulated lifters may seem to have gained: trend, first-time jump, two days."""
    return max(
        (people.gain[0] + 2 * people.gain[1]) * weeks
        + 3 * people.jump
        + 2 * math.sqrt(2) * math.hypot(people.day, people.own)
        for people in POPULATIONS.values()
    )


def impossible_progress(sheet: Sheet) -> Typed | None:
    """An exercise whose loads grow by a further 10 % a week, with reps and efforts as they were.

    Only where the log then says more than `most_gain`: after loads that fell, or where the equipment
    ends, a tenth more a week is what some lifter gains.
    """
    exercises: dict[str, list[tuple[LinePlace, PlannedSet]]] = {}
    for line, planned in sheet.done():
        if (sheet.value(planned.key, "rpe") or 0) >= 7 and not sheet.workbook.spec.body_load(line.line.exercise):
            exercises.setdefault(line.line.exercise.name, []).append((line, planned))
    return sheet.pick([typed for sets in exercises.values() if (typed := _grown(sheet, sets))])


def _grown(sheet: Sheet, judged: list[tuple[LinePlace, PlannedSet]]) -> Typed | None:
    """All loads of the exercise of these sets, grown; None where that is no impossible progress."""
    exercise, changed = judged[0][0].line.exercise, {}
    made = loads_made(sheet.workbook.spec)[exercise.implement]
    for place in sheet.places():
        for line, planned in sheet.sets(place):
            load = sheet.value(planned.key, "load")
            if line.line.exercise.name == exercise.name and load:
                wanted = load * 1.1 ** (line.line.week - 1)
                changed[input_name(planned.key, "load")] = min(made, key=lambda rung: abs(rung - wanted))
    said: dict[int, list[float]] = {}
    for line, planned in judged:
        reps, rpe = (sheet.value(planned.key, column) or 0 for column in ("reps", "rpe"))
        estimate = sheet.estimate(line, changed[input_name(planned.key, "load")], reps, rpe)
        said.setdefault(line.line.week, []).append(estimate)
    weeks = sorted(week for week, estimates in said.items() if len(estimates) >= 2)
    if len(weeks) < 3 or weeks[-1] - weeks[0] < 3:
        return None
    gain = fmean(said[weeks[-1]]) - fmean(said[weeks[0]])
    return changed if gain > most_gain(weeks[-1] - weeks[0]) else None


def wrong_number(sheet: Sheet) -> Typed | None:
    """A load a third off in one set that no digit explains: another exercise's, or plates miscounted."""
    made = sorted(set().union(*loads_made(sheet.workbook.spec).values()))

    def other(load: float, reps: float, rpe: float) -> tuple[float, float, float]:
        wanted = load * (1.38 if sheet.chance.random() < 0.5 else 0.68)
        return min(made, key=lambda rung: abs(rung - wanted)), reps, rpe

    return _one_set(sheet, other, 0.3)


def missed_at_low_effort(sheet: Sheet) -> Typed | None:
    """Two reps short of the range at effort 6 to 7.5."""
    sets = [(line, planned) for line, planned in sheet.done() if planned.reps >= 3 and planned.kind != "max reps"]
    picked = sheet.pick(sets)
    if picked is None:
        return None
    key = picked[1].key
    effort = float(sheet.chance.choice([6, 6.5, 7, 7.5]))
    return {input_name(key, "reps"): picked[1].reps - 2, input_name(key, "rpe"): effort}


def session_effort(sheet: Sheet) -> Typed | None:
    """1 or 2 after a session of hard sets."""
    hard = []
    for place in sheet.places():
        efforts = [sheet.value(planned.key, "rpe") for _, planned in sheet.sets(place)]
        known = [effort for effort in efforts if effort is not None]
        if len(known) >= 4 and fmean(known) >= 7:
            hard.append(place)
    picked = sheet.pick(hard)
    if picked is None:
        return None
    return {session_input_key(picked.session.key, "effort"): float(sheet.chance.integers(1, 3))}


def _date_name(place: SessionPlace) -> str:
    return session_input_key(place.session.key, "date")


def date_of_another_year(sheet: Sheet) -> Typed | None:
    place = sheet.pick(sheet.places())
    if place is None:
        return None
    day: date = sheet.typed[_date_name(place)]
    return {_date_name(place): day.replace(year=day.year + int(sheet.chance.choice([-1, 1])), day=min(28, day.day))}


def date_weeks_off(sheet: Sheet) -> Typed | None:
    """Two weeks early or late, with sessions of other weeks passed over."""
    choices = []
    places = sheet.places()
    for place in places:
        for weeks in (-2, 2):
            day = sheet.typed[_date_name(place)] + timedelta(7 * weeks)
            between = [
                other
                for other in places
                if (other.session.week - place.session.week) * weeks > 0
                and (day - sheet.typed[_date_name(other)]).days * weeks > 0
            ]
            if between:
                choices.append({_date_name(place): day})
    return sheet.pick(choices)


def same_day(sheet: Sheet) -> Typed | None:
    """The date of the session before."""
    places = sheet.places()
    choices = [
        {_date_name(place): sheet.typed[_date_name(before)]}
        for before, place in pairwise(places)
        if before.session.week == place.session.week
    ]
    return sheet.pick(choices)


def minutes(sheet: Sheet) -> Typed | None:
    """A digit missing, or hours where minutes were asked; a digit too many is caught by the range."""
    choices = []
    for place in sheet.places():
        name = session_input_key(place.session.key, "minutes")
        value = sheet.typed[name]
        done = sum((sheet.value(planned.key, "reps") or 0) > 0 for _, planned in sheet.sets(place))
        choices += [{name: typed} for typed in (value // 10, round(value / 60, 1)) if 1 <= typed < 0.7 * done]
    return sheet.pick(choices)


def body_weight(sheet: Sheet) -> Typed | None:
    """6 to 15 % off, still within the 20 % beyond which any number is out of range."""
    place = sheet.pick(sheet.places()[1:])
    if place is None:
        return None
    name = session_input_key(place.session.key, "body_weight")
    off = (0.06 + 0.09 * sheet.chance.random()) * sheet.chance.choice([-1, 1])
    return {name: round(sheet.typed[name] * (1 + off), 1)}


PAIN_NOTES = (
    "sharp in left knee", "elbow pinches at the bottom", "tweaked my back on rep 3", "shoulder hurts", "hip aches",
    "no warm-up, knee pain", "felt a twinge", "wrist was painful", "not heavy but hurt", "Schulter schmerzt",
    "Knie zwickt", "douleur au genou", "me duele el codo", "mi fa male la spalla", "pijn in de knie",
    "grip fine. lower back ache", "pulled something in the groin", "sharp pain, stopped", "numb fingers",
)  # fmt: skip


def pain_in_a_note(sheet: Sheet) -> Typed | None:
    picked = sheet.pick(sheet.done())
    return picked and {f"{picked[1].key}/note": str(sheet.chance.choice(PAIN_NOTES))}
