"""The Meet sheet: attempts, totals, goals and warm-up on one page, and the tables behind them.

The left half is as wide as a phone: what is needed between attempts. Weights are in kg, as on the platform.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from blockbook.errors import BlockbookError
from blockbook.formula.definition import Definition
from blockbook.formula.functions import Scalar
from blockbook.languages import long_day_text, number_text, say
from blockbook.sheet.book import Book, Cell, Reference, Run, Validation
from blockbook.spec.models import Specification
from blockbook.spec.values import KG_PER_LB
from blockbook.training import meet_day
from blockbook.training.attempts import INCREMENT, PLANS, AttemptTable
from blockbook.training.meet_numbers import LIFTS, Believed, Plans, believed, plans_of
from blockbook.training.meet_warm_up import MINUTE
from blockbook.training.pain import close_relatives
from blockbook.workbook.meet_cells import LEFT_END, MEET, MEET_TABLES, RIGHT_END, RIGHT_HALF, MeetCells
from blockbook.workbook.meet_points import add_weigh_in
from blockbook.workbook.meet_warm_up import add_warm_up

_FIRST, _APART = 3, 5
"""Row of the first lift's heading, and rows from one lift to the next."""

_EVENT = Cell(MEET, 30, 5)
"""Where "full" or "bench" is typed: more above follows from it than stands beside it."""

SO_FAR = Cell(MEET, 20, 4)
"""The total lifted so far."""

_MOST_ADDED = 0.15
"""More than this share above the maximum a block starts from is not believed for attempts: a best typed wrong,
or a slip. Downwards there is no such limit. Common practice, no source."""

CAUTIONS = (
    "Spotters and safeties for every warm-up squat and bench; collars on every bar.",
    "Sharp or growing pain: stop, tell your coach, leave the lift. Chest pain, fainting, numbness: medical help at "
    "once.",
    "Making weight: no more than common medical guidance, never by dehydration without a physician. Under 18: never.",
    "Ill, injured, pregnant, on heart or blood-pressure medicine: a physician clears you first.",
)
RULES = (
    "Check your federation's current rule book: it decides, not this sheet. Disc colours, clothing and commands "
    "stand there.",
    "Taken here: three attempts a lift; steps of {increment} kg, records may differ; one minute to hand in the next "
    "attempt; never lighter than the last one.",
    "Bring: passport or card, singlet, belt, sleeves, wraps, shoes, long socks; chalk, food, water; this page and a "
    "pen.",
    "Openers need a chance of 97 % (technique aside), and are lighter where that pays: a lift without a good attempt "
    "costs the total. Safe counts on a little less strength than Planned does, Reach on a little more.",
)


USUAL_FLIGHT = 10
"""Lifters in a flight, until the lifter or coach types how many (common practice, no source)."""


class Live(NamedTuple):
    """A definition of what is believed of a lift now, in kg, and what its names stand for."""

    definition: Definition
    references: Mapping[str, Reference]


class Pain(NamedTuple):
    """1 for each that hurt when it was last heard of: the lift itself, and what trains the same.

    alarm: above 0 where a physician has the next word.
    """

    own: Reference
    near: Reference
    alarm: Reference


@dataclass(frozen=True)
class _Lift:
    """Where a lift's numbers stand. goods: marks as 1, 0 or ""; said: what there is to say of it."""

    opener: Cell
    taken: Run
    goods: Run
    best: Cell
    out: Cell
    possible: Mapping[str, Cell]
    table: Mapping[str, Run]
    shift: Cell
    said: Cell


def planned_cell(lift: str, number: int) -> Cell:
    """Where the planned weight of an attempt stands; number from 1."""
    return Cell(MEET, _FIRST + _APART * list(LIFTS).index(lift) + number, 2)


def planned_body_weight(spec: Specification) -> float:
    """The body weight that a block was planned with, in kg."""
    return round(spec.lifter.body_weight * (KG_PER_LB if spec.block.unit == "lb" else 1), 1)


def part_of_day(clock: str) -> float:
    """ "09:30", 9.30 or 930 as a spreadsheet keeps it, a part of a day. Raises BlockbookError for what is no time."""
    found = re.fullmatch(r"(\d{1,2})[:.]?(\d\d)", clock.strip())
    hour, minute = (int(found[1]), int(found[2])) if found else (99, 0)
    if hour >= 24 or minute >= 60:
        raise BlockbookError(f'start "{clock}" should be a time such as 09:30.')
    return (60 * hour + minute) * MINUTE


def add_meet(
    book: Book,
    spec: Specification,
    start: float | None = None,
    place: int | None = None,
    increment: float = INCREMENT,
    live: Mapping[str, Live] | None = None,
    pains: Mapping[str, Pain] | None = None,
) -> dict[str, Scalar]:
    """Add the sheets; returns what is typed in already (input name -> value).

    start: when the flight begins, as part of a day; place: in the flight's order, from 1; increment: what
    attempts are multiples of, in kg; live: lift -> what is believed of it now, within a block; pains: lift ->
    what hurts now, else what hurt when the specification was written. The tables are those of the specification's
    numbers; what is believed now moves their attempts up and down, while the spread stays: a log makes a lift surer,
    so openers err to the light side. Raises BlockbookError where a lift is not known; the book is as it was then.
    """
    numbers = believed(spec)
    plans = plans_of(numbers, increment)
    _Meet(book, spec, increment, live or {}, pains or _written_pains(spec), start is not None).fill(numbers, plans)
    return {
        "meet.start.squat": start,
        "meet.place": place or 1,
        "meet.lifters": max(USUAL_FLIGHT, place or 1),
        "meet.minutes": 1,
        "meet.plates": "kg",
        "meet.body_weight": planned_body_weight(spec),
        "meet.sex": say(spec.lifter.sex) if spec.lifter.sex else None,
        "meet.equipment": say("classic"),
        "meet.event": say("full"),
        "meet.step.wanted": increment,
        "meet.step.qualifying": increment,
        "meet.step.record": 0.5,
    }


def _written_pains(spec: Specification) -> dict[str, Pain]:
    hurting = [spec.exercise(slot.exercise) for slot in spec.slots if slot.hurts]
    held = {spec.exercise(slot.exercise).name for slot in spec.slots if slot.held_for}
    found = {}
    for lift, name in LIFTS.items():
        one = spec.exercise(name)
        near = name in held or any(close_relatives(one, other) for other in hurting if other.name != name)
        found[lift] = Pain(int(any(other.name == name for other in hurting)), int(near), int(spec.block.alarm_open))
    return found


class _Meet:
    def __init__(
        self,
        book: Book,
        spec: Specification,
        increment: float,
        live: Mapping[str, Live],
        pains: Mapping[str, Pain],
        times_known: bool,
    ) -> None:
        self.cells, self.spec, self.increment, self.live, self.pains = MeetCells(book), spec, increment, live, pains
        self.times_known = times_known
        self.sheet, self.tables = self.cells.sheet, self.cells.tables

    def fill(self, numbers: Mapping[str, Believed], plans: Plans) -> None:
        sheet, block = self.sheet, self.spec.block
        sheet.widths = {0: 9.5, 1: 8.3, 2: 8.3, 3: 8.3, 4: 8.3, 5: 8.3, 6: 2, 7: 11, 8: 9, 9: 8, 10: 8, 11: 21}
        sheet.one_page = True
        named = (say("Meet"), self.spec.lifter.name, *((long_day_text(block.meet),) if block.meet else ()))
        sheet.title(" · ".join(named), RIGHT_END)
        in_block = "In kg, from your log so far. Type what was lifted, good or miss."
        alone = "Weights in kg. Type what was lifted, good or miss."
        sheet.across(1, 0, LEFT_END, say(in_block if self.live else alone), "hint across")
        choice = "No weight typed: Planned counts. On a bad day take Safe, on a good one Reach."
        sheet.across(2, 0, LEFT_END, say(choice), "hint across")
        sheet.heights |= dict.fromkeys(range(1, 36), 18.5)
        lifts = {}
        for position, (lift, number) in enumerate(numbers.items()):
            lifts[lift] = self._lift(_FIRST + _APART * position, lift, number, plans[lift])
        total, planned = self._totals(18, lifts)
        self._goals(22, lifts)
        add_weigh_in(self.cells, 27, planned_body_weight(self.spec), total, planned)
        openers = {name: lift.taken.cells()[0] for name, lift in lifts.items()}
        add_warm_up(self.cells, 3, self.spec, openers, self.times_known)
        self._texts(36)

    # Attempts

    def _lift(self, row: int, lift: str, number: Believed, plans: Mapping[str, AttemptTable]) -> _Lift:
        self.cells.heads(row, 0, (lift.capitalize(), "Safe", "Planned", "Reach", "Lifted", "Mark"))
        shift = self._shift(lift, number, plans)
        runs = {plan: self.cells.table(f"{lift.capitalize()}, {plan}", table) for plan, table in plans.items()}
        name = f"meet.{lift}"
        typed = [self.cells.typed(row + n, 4, f"{name}.{n}.weight", "typed number") for n in (1, 2, 3)]
        marks = [self.cells.typed(row + n, 5, f"{name}.{n}.mark", "typed word of a list") for n in (1, 2, 3)]
        self.cells.offer(tuple(marks), (say("good"), say("miss"), say("pass")))
        self.sheet.validations.append(Validation(tuple(typed), {"validate": "decimal", "criteria": ">", "value": 0}))
        meant = self.cells.worked(
            f"{lift}, typed",
            [(meet_day.weight_meant, {"typed": cell, "opener": planned_cell(lift, 1)}) for cell in typed],
        ).cells()
        both = zip(marks, typed, strict=True)
        goods = self.cells.worked(
            f"{lift}, good", [(meet_day.attempt_mark, {"mark": mark, "typed": cell}) for mark, cell in both]
        )
        good = goods.cells()
        for n, label in enumerate(("First", "Second", "Third"), start=1):
            self.sheet.put(row + n, 0, say(label), "set label")
        for column, (plan, table) in enumerate(plans.items(), start=1):
            opener = self.sheet.formula(row + 1, column, meet_day.shifted,
                                        {"weight": table.opener, "shift": shift}, "target")  # fmt: skip
            same: dict[str, Reference] = {"opener": opener, "typed": meant[0], "good": good[0],
                                          "increment": self.increment, "weights": runs[plan]["weights"],
                                          "shift": shift}  # fmt: skip
            second = self.sheet.formula(row + 2, column, meet_day.plan_second, {
                **same, "after_good": runs[plan]["after_good"],
            }, "target")  # fmt: skip
            self.sheet.formula(row + 3, column, meet_day.plan_third, {
                **same, "second": second, "second_typed": meant[1], "second_good": good[1],
                "after_good": runs[plan]["after_good"], "above": runs[plan]["above"],
            }, "target")  # fmt: skip
        planned = [Cell(MEET, row + n, 2) for n in (1, 2, 3)]
        taken = self.cells.worked(
            f"{lift}, taken",
            [(meet_day.taken, {"typed": t, "planned": p}) for t, p in zip(meant, planned, strict=True)],
        )
        self.sheet.put(row + 4, 0, say("Ends with"), "soft")
        best = self.sheet.formula(row + 4, 4, meet_day.best_good, {"weights": taken, "goods": goods}, "number")
        doubt: dict[str, Reference] = {"opener": planned[0], "increment": self.increment}
        doubts = self.cells.worked(
            f"{lift}, doubts",
            [(meet_day.weight_doubt, {"typed": t, "planned": p, **doubt}) for t, p in zip(typed, planned, strict=True)],
        )
        out = self.cells.worked(f"{lift}, out", [(meet_day.out, {"goods": goods})]).cells()[0]
        pain = self._pain(lift)
        read: dict[str, Reference] = {"doubts": doubts, "taken": taken, "pain": pain}
        self.sheet.formula(row + 4, 5, meet_day.weights_read, read, "soft")
        said = self._said(lift, {"weights": taken, "goods": goods, "doubts": doubts}, out, pain)
        possible = {
            plan: self.sheet.formula(row + 4, column, meet_day.possible, {
                "best": best, "third": Cell(MEET, row + 3, column), "third_good": good[2],
            }, "number")
            for column, plan in enumerate(plans, start=1)
        }  # fmt: skip
        return _Lift(planned[0], taken, goods, best, out, possible, runs["planned"], shift, said)

    def _pain(self, lift: str) -> Cell:
        names: dict[str, Reference] = {**self.pains[lift]._asdict(), "lift": say(lift)}
        return self.cells.worked(f"{lift}, pain", [(meet_day.pain_said, names)]).cells()[0]

    def _said(self, lift: str, attempts: Mapping[str, Reference], out: Cell, pain: Cell) -> Cell:
        """What there is to say of a lift. attempts: its weights, goods and doubts."""
        name: dict[str, Reference] = {"lift": say(lift)}
        names = {**attempts, **name, "increment": self.increment, "heading": say(lift.capitalize())}
        ahead = self.cells.worked(f"{lift}, ahead", [(meet_day.attempt_ahead, names)]).cells()[0]
        said = {**name, "ahead": ahead, "out": out, "pain": pain}
        return self.cells.worked(f"{lift}, said", [(meet_day.lift_said, said)]).cells()[0]

    def _shift(self, lift: str, number: Believed, plans: Mapping[str, AttemptTable]) -> Cell:
        """The one cell through which what is believed now reaches a lift's attempts; openers stay above 0."""
        column, step = self.cells.head(f"{lift.capitalize()}, believed now; shift"), self.increment
        now = Cell(MEET_TABLES, 2, column)
        if lift in self.live:
            self.tables.formula(now.row, column, *self.live[lift], "working")
        else:
            self.tables.put(now.row, column, number.mean, "working")
        lightest = min(table.opener for table in plans.values())
        return self.tables.formula(now.row + 1, column, meet_day.attempt_shift, {
            "believed": now, "start": number.mean, "increment": step,
            "least": round(step - lightest, 6), "most": round(step * math.floor(_MOST_ADDED * number.mean / step), 6),
        }, "working")  # fmt: skip

    def _totals(self, row: int, lifts: Mapping[str, _Lift]) -> tuple[Cell, Cell]:
        self.cells.heads(row, 0, ("Totals", "Safe", "Planned", "Reach", "So far", ""))
        made = {}
        for offset, (label, of) in enumerate((("Subtotal", ("squat", "bench")), ("Total", tuple(lifts))), start=1):
            self.sheet.put(row + offset, 0, say(label), "set label")
            ends = {plan: {name: lift.possible[plan] for name, lift in lifts.items()} for plan in PLANS}
            ends["so far"] = {name: lift.best for name, lift in lifts.items()}
            for column, (plan, cells) in enumerate(ends.items(), start=1):
                made[label, plan] = self.sheet.formula(row + offset, column, meet_day.total_of, {
                    "lifts": tuple(cells[lift] for lift in of), "outs": tuple(lifts[lift].out for lift in of),
                    "bench": cells["bench"], "event": _EVENT,
                }, "target")  # fmt: skip
        names: dict[str, Reference] = {"event": _EVENT, **{name: lift.said for name, lift in lifts.items()}}
        self.sheet.across(row + 3, 0, LEFT_END, None, "next")
        self.sheet.formula(row + 3, 0, meet_day.next_up, names, "next")
        self.sheet.heights[row + 3] = 15 * (3 if any(any(pain) for pain in self.pains.values()) else 2)
        return made["Total", "so far"], made["Total", "planned"]

    def _goals(self, row: int, lifts: Mapping[str, _Lift]) -> None:
        self.cells.heads(row, 0, ("Goals", "Total", "Deadlift", "How likely", "Steps of", ""))
        deadlift = lifts["deadlift"]
        for offset, (name, label) in enumerate(
            (("wanted", "Wanted"), ("qualifying", "Qualifying"), ("record", "Record")), start=1
        ):
            self.sheet.put(row + offset, 0, say(label), "set label")
            goal = self.cells.typed(row + offset, 1, f"meet.goal.{name}", "typed number")
            by = self.cells.typed(row + offset, 4, f"meet.step.{name}", "typed number")
            needed = self.sheet.formula(row + offset, 2, meet_day.last_deadlift, {
                "goal": goal, "squat": lifts["squat"].possible["planned"],
                "bench": lifts["bench"].possible["planned"], "increment": by, "event": _EVENT,
            }, "target")  # fmt: skip
            self.sheet.formula(row + offset, 3, meet_day.goal_chance, {
                "deadlift": needed, "best": deadlift.best, "third_good": deadlift.goods.cells()[2],
                "weights": deadlift.table["weights"], "chances": deadlift.table["chances"], "shift": deadlift.shift,
            }, "share")  # fmt: skip
        text = say("The deadlift it takes; squat and bench as planned until lifted.")
        self.sheet.across(row + 4, 0, LEFT_END, text, "hint across")

    def _texts(self, row: int) -> None:
        self.sheet.across(row, 0, LEFT_END, say("Take care"), "section")
        self.sheet.across(row, RIGHT_HALF, RIGHT_END, say("Rules, and what to bring"), "section")
        rules = [say(rule, increment=number_text(self.increment)) for rule in RULES]
        for offset, (caution, rule) in enumerate(zip(map(say, CAUTIONS), rules, strict=True), start=1):
            self.sheet.across(row + offset, 0, LEFT_END, caution, "caution")
            self.sheet.across(row + offset, RIGHT_HALF, RIGHT_END, rule, "paragraph")
            self.sheet.heights[row + offset] = 15 * max(1 + len(caution) // 58, 1 + len(rule) // 62) + 4
