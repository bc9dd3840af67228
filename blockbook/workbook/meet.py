"""The Meet sheet: attempts, totals, goals and warm-up on one page, and the tables behind them.

The left half is as wide as a phone: what is needed between attempts. Weights are in kg, as on the platform.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from blockbook.errors import BlockbookError
from blockbook.formula.definition import Definition
from blockbook.formula.functions import Scalar
from blockbook.languages import long_day_text, number_text, say
from blockbook.sheet.book import Book, Cell, Reference, Run, Sheet, Table, Validation
from blockbook.spec.models import Specification
from blockbook.spec.values import KG_PER_LB
from blockbook.training import meet_day
from blockbook.training.attempts import INCREMENT, PLANS, AttemptTable
from blockbook.training.loading import ladder, looked_up, plates_for
from blockbook.training.meet_numbers import LIFTS, Believed, Plans, believed, plans_of
from blockbook.training.points import DOTS, IPF_GL, columns, dots, dots_row, ipf_gl, ipf_gl_row

MEET, MEET_TABLES = "Meet", "Meet tables"
RIGHT_HALF = 7
_LAST, _RIGHT, _END = 5, RIGHT_HALF, 11
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
    "costs the total. Safe and Reach: half a spread below and above what is believed.",
)


class Live(NamedTuple):
    """A definition of what is believed of a lift now, in kg, and what its names stand for."""

    definition: Definition
    references: Mapping[str, Reference]


@dataclass(frozen=True)
class _Lift:
    """Where a lift's numbers stand. goods: marks as 1, 0 or ""; thirds: the third attempt by plan."""

    opener: Cell
    taken: Run
    goods: Run
    best: Cell
    out: Cell
    possible: Mapping[str, Cell]
    table: Mapping[str, Run]
    shift: Cell


def planned_cell(lift: str, number: int) -> Cell:
    """Where the planned weight of an attempt stands; number from 1."""
    return Cell(MEET, _FIRST + _APART * list(LIFTS).index(lift) + number, 2)


def part_of_day(clock: str) -> float:
    """ "09:30" as a spreadsheet keeps it, a part of a day. Raises BlockbookError for what is no time."""
    try:
        moment = datetime.strptime(clock, "%H:%M")
    except ValueError:
        raise BlockbookError(f'start "{clock}" should be a time such as 09:30.') from None
    return (moment.hour * 60 + moment.minute) / 1440


def add_meet(
    book: Book,
    spec: Specification,
    start: float | None = None,
    place: int | None = None,
    increment: float = INCREMENT,
    live: Mapping[str, Live] | None = None,
) -> dict[str, Scalar]:
    """Add the sheets; returns what is typed in already (input name -> value).

    start: when the flight begins, as part of a day; place: in the flight's order, from 1; increment: what
    attempts are multiples of, in kg; live: lift -> what is believed of it now, within a block. The tables are
    those of the specification's numbers; what is believed now moves their attempts up and down, while the
    spread stays: a log makes a lift surer, so openers err to the light side. Raises BlockbookError where a
    lift is not known; the book is as it was then.
    """
    numbers = believed(spec)
    plans = plans_of(numbers, increment)
    sheet, tables = book.add(MEET), book.add(MEET_TABLES)
    builder = _Meet(book, sheet, tables, spec, increment, live or {})
    builder.fill(numbers, plans)
    to_kg = KG_PER_LB if spec.block.unit == "lb" else 1
    return {
        "meet.start.squat": start,
        "meet.place": place or 1,
        "meet.lifters": 10,
        "meet.minutes": 1,
        "meet.body_weight": round(spec.lifter.body_weight * to_kg, 1),
        "meet.sex": say(spec.lifter.sex) if spec.lifter.sex else None,
        "meet.equipment": say("classic"),
        "meet.event": say("full"),
        "meet.step.wanted": increment,
        "meet.step.qualifying": increment,
        "meet.step.record": 0.5,
    }


class _Meet:
    def __init__(
        self,
        book: Book,
        sheet: Sheet,
        tables: Sheet,
        spec: Specification,
        increment: float,
        live: Mapping[str, Live],
    ) -> None:
        self.book, self.sheet, self.tables, self.spec = book, sheet, tables, spec
        self.increment, self.live = increment, live
        self.next_column = 0

    def fill(self, numbers: Mapping[str, Believed], plans: Plans) -> None:
        sheet, block = self.sheet, self.spec.block
        sheet.widths = {0: 9.5, 1: 8.3, 2: 8.3, 3: 8.3, 4: 8.3, 5: 8.3, 6: 2, 7: 11, 8: 8, 9: 8, 10: 8, 11: 21}
        sheet.one_page = True
        self.tables.title(say("Meet tables: nothing to fill in"), 8)
        self.tables.frozen = (2, 0)
        self.tables.hidden = True
        sheet.title(f"{say('Meet')} · {self.spec.lifter.name}", _LAST)
        sheet.across(0, _LAST + 1, _END, long_day_text(block.meet) if block.meet else "", "title")
        in_block = "In kg, from your log so far. Type what was lifted, good or miss."
        alone = "Weights in kg. Type what was lifted, good or miss."
        sheet.across(1, 0, _LAST, say(in_block if self.live else alone), "hint")
        sheet.across(2, 0, _LAST, say("No weight typed: as planned. No mark: not lifted yet."), "hint")
        sheet.heights |= dict.fromkeys(range(1, 36), 18.5)
        lifts = {}
        for position, (lift, number) in enumerate(numbers.items()):
            lifts[lift] = self._lift(_FIRST + _APART * position, lift, number, plans[lift])
        total, planned = self._totals(18, lifts)
        self._goals(22, lifts)
        self._weigh_in(27, total, planned)
        self._times(3, lifts)
        self._texts(36)

    # Attempts

    def _lift(self, row: int, lift: str, number: Believed, plans: Mapping[str, AttemptTable]) -> _Lift:
        self._heads(row, 0, (lift.capitalize(), "Safe", "Planned", "Reach", "Lifted", "Mark"))
        shift = self._shift(lift, number, plans)
        runs = {plan: self._table(f"{lift.capitalize()}, {plan}", table) for plan, table in plans.items()}
        name = f"meet.{lift}"
        typed = [self._typed(row + n, 4, f"{name}.{n}.weight", "typed number") for n in (1, 2, 3)]
        marks = [self._typed(row + n, 5, f"{name}.{n}.mark", "typed text") for n in (1, 2, 3)]
        self._offer(tuple(marks), (say("good"), say("miss")))
        self.sheet.validations.append(Validation(tuple(typed), {"validate": "decimal", "criteria": ">", "value": 0}))
        meant = self._worked(
            f"{lift}, typed",
            [(meet_day.weight_meant, {"typed": cell, "opener": planned_cell(lift, 1)}) for cell in typed],
        ).cells()
        goods = self._worked(f"{lift}, good", [(meet_day.good_mark, {"mark": mark}) for mark in marks])
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
                "above": runs[plan]["above"],
            }, "target")  # fmt: skip
        planned = [Cell(MEET, row + n, 2) for n in (1, 2, 3)]
        taken = self._worked(
            f"{lift}, taken",
            [(meet_day.taken, {"typed": t, "planned": p}) for t, p in zip(meant, planned, strict=True)],
        )
        self.sheet.put(row + 4, 0, say("Ends with"), "soft")
        best = self.sheet.formula(row + 4, 4, meet_day.best_good, {"weights": taken, "goods": goods}, "number")
        read: dict[str, Reference] = dict(zip(("first", "second", "third"), typed, strict=True))
        read["opener"] = planned[0]
        self.sheet.formula(row + 4, 5, meet_day.weights_read, read, "soft")
        out = self._worked(f"{lift}, out", [(meet_day.out, {"goods": goods})]).cells()[0]
        possible = {
            plan: self.sheet.formula(row + 4, column, meet_day.possible, {
                "best": best, "third": Cell(MEET, row + 3, column), "third_good": good[2],
            }, "number")
            for column, plan in enumerate(plans, start=1)
        }  # fmt: skip
        return _Lift(planned[0], taken, goods, best, out, possible, runs["planned"], shift)

    def _shift(self, lift: str, number: Believed, plans: Mapping[str, AttemptTable]) -> Cell:
        """The one cell through which what is believed now reaches a lift's attempts; openers stay above 0."""
        column, step = self._head(f"{lift.capitalize()}, believed now; shift"), self.increment
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
        self._heads(row, 0, ("Totals", "Safe", "Planned", "Reach", "So far", ""))
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
        names: dict[str, Reference] = {"event": _EVENT}
        for name, lift in lifts.items():
            names |= {name: lift.taken, f"{name}_goods": lift.goods}
        self.sheet.across(row + 3, 0, _LAST, None, "next")
        self.sheet.formula(row + 3, 0, meet_day.next_up, names, "next")
        return made["Total", "so far"], made["Total", "planned"]

    def _goals(self, row: int, lifts: Mapping[str, _Lift]) -> None:
        self._heads(row, 0, ("Goals", "Total", "Deadlift", "Chance", "Steps of", ""))
        deadlift = lifts["deadlift"]
        for offset, (name, label) in enumerate(
            (("wanted", "Wanted"), ("qualifying", "Qualifying"), ("record", "Record")), start=1
        ):
            self.sheet.put(row + offset, 0, say(label), "set label")
            goal = self._typed(row + offset, 1, f"meet.goal.{name}", "typed number")
            by = self._typed(row + offset, 4, f"meet.step.{name}", "typed number")
            needed = self.sheet.formula(row + offset, 2, meet_day.last_deadlift, {
                "goal": goal, "squat": lifts["squat"].possible["planned"],
                "bench": lifts["bench"].possible["planned"], "increment": by, "event": _EVENT,
            }, "target")  # fmt: skip
            self.sheet.formula(row + offset, 3, meet_day.goal_chance, {
                "deadlift": needed, "best": deadlift.best, "third_good": deadlift.goods.cells()[2],
                "weights": deadlift.table["weights"], "chances": deadlift.table["chances"], "shift": deadlift.shift,
            }, "share")  # fmt: skip
        text = say("The deadlift it takes; squat and bench as planned until lifted.")
        self.sheet.across(row + 4, 0, _LAST, text, "hint")

    # Points and body weight

    def _weigh_in(self, row: int, so_far: Cell, planned: Cell) -> None:
        sheet = self.sheet
        self._heads(row, 0, ("Weigh-in", "Body", "Class", "", "", ""))
        sheet.put(row + 1, 0, "kg", "set label")
        body = self._typed(row + 1, 1, "meet.body_weight", "typed number")
        limit = self._typed(row + 1, 2, "meet.class", "typed number")
        sheet.across(row + 1, 3, _LAST, None, "set")
        sheet.formula(row + 1, 3, meet_day.room_in_class, {"body_weight": body, "limit": limit}, "set")
        self._heads(row + 2, 0, ("Points", "IPF GL", "DOTS", "Sex", "Gear", "Event"))
        choices = {"sex": ("female", "male"), "equipment": ("classic", "equipped"), "event": ("full", "bench")}
        asked = {}
        for column, (name, options) in enumerate(choices.items(), start=3):
            asked[name] = self._typed(row + 3, column, f"meet.{name}", "typed text")
            self._offer((asked[name],), tuple(map(say, options)))
            sheet.put(row + 4, column, None, "set")
        rows: dict[str, Reference] = {
            "gl": self._worked("IPF GL row", [(ipf_gl_row, dict(asked))]).cells()[0],
            "dots": self._worked("DOTS row", [(dots_row, {"sex": asked["sex"]})]).cells()[0],
        }
        gl = {name: self._column(f"IPF GL {name}", values) for name, values in columns(IPF_GL).items()}
        dot = {name: self._column(f"DOTS {name}", values) for name, values in columns(DOTS).items()}
        for offset, (label, total) in enumerate((("So far", so_far), ("Planned", planned)), start=3):
            sheet.put(row + offset, 0, say(label), "set label")
            same: dict[str, Reference] = {"body_weight": body, "total": total}
            sheet.formula(row + offset, 1, ipf_gl, {**same, "row": rows["gl"], **gl}, "two places")
            sheet.formula(row + offset, 2, dots, {**same, "row": rows["dots"], **dot}, "two places")
        self._heads(row + 5, 0, ("kg and lb", "kg", "in lb", "", "lb", "in kg"))
        for column, name, made in ((1, "kg", meet_day.in_pounds), (4, "lb", meet_day.in_kilograms)):
            typed = self._typed(row + 6, column, f"meet.convert.{name}", "typed number")
            sheet.formula(row + 6, column + 1, made, {made.names[0]: typed}, "one place")

    # Times and warm-up

    def _times(self, row: int, lifts: Mapping[str, _Lift]) -> None:
        sheet = self.sheet
        self._heads(row, _RIGHT, ("Times", "", "", "Typed", "Used; a guess if not typed"))
        asked = {}
        for offset, (name, label) in enumerate((("lifters", "Lifters in the flight"), ("place", "Your place in order"),
                                                ("minutes", "Minutes an attempt")), start=1):  # fmt: skip
            sheet.across(row + offset, _RIGHT, _RIGHT + 2, say(label), "set")
            asked[name] = self._typed(row + offset, _RIGHT + 3, f"meet.{name}", "typed number")
            sheet.put(row + offset, _END, None, "set")
        before: Reference = ""
        loads = self._loads()
        per_kg = 1 / KG_PER_LB if self.spec.block.unit == "lb" else 1
        for offset, (lift, where) in enumerate(lifts.items(), start=4):
            begins = say("{lift}: first lifter's opener", lift=say(lift.capitalize()))
            sheet.across(row + offset, _RIGHT, _RIGHT + 2, begins, "set")
            typed = self._typed(row + offset, _RIGHT + 3, f"meet.start.{lift}", "typed clock")
            starts = sheet.formula(row + offset, _END, meet_day.start_of_lift, {
                "typed": typed, "before": before, "lifters": asked["lifters"], "minutes": asked["minutes"],
            }, "clock")  # fmt: skip
            before = starts
            top = row + 8 + 8 * (offset - 4)
            heads = (lift.capitalize(), "Before", self.spec.block.unit, "Reps", "Warm-up: each side")
            self._heads(top, _RIGHT, heads)
            opener = where.taken.cells()[0]
            for step, (share, reps, minutes) in enumerate((*meet_day.WARM_UP, (None, None, 0)), start=1):
                at = top + step
                sheet.formula(at, _RIGHT, meet_day.clock, {
                    "start": starts, "place": asked["place"], "minutes": asked["minutes"], "before": minutes,
                }, "clock")  # fmt: skip
                sheet.put(at, _RIGHT + 1, say("{minutes} min", minutes=minutes) if minutes else "", "number")
                if share is None:
                    shown: dict[str, Reference] = {"opener": opener, "per_kg": per_kg}
                    sheet.formula(at, _RIGHT + 2, meet_day.opener_load, shown, "target")
                    sheet.put(at, _RIGHT + 3, 1, "number")
                    sheet.formula(at, _END, meet_day.opener_said, {"opener": opener}, "set")
                    continue
                load = sheet.formula(at, _RIGHT + 2, meet_day.warm_up_load, {
                    "opener": opener, "share": share, "per_kg": per_kg, "loads": loads,
                }, "number")  # fmt: skip
                sheet.put(at, _RIGHT + 3, reps, "number")
                sheet.formula(at, _END, plates_for, {"load": load, "loads": loads}, "set")
        first = Cell(MEET, row + 4, _END)
        for column, (label, hours) in enumerate((("Weigh-in from", 2.0), ("to", 0.5))):
            sheet.put(1 + column, _RIGHT, say(label), "soft")
            sheet.formula(1 + column, _RIGHT + 1, meet_day.hours_before, {"start": first, "hours": hours}, "clock")
        sheet.across(1, _RIGHT + 2, _END, say("usual: two hours to half an hour before the start;"), "hint")
        sheet.across(2, _RIGHT + 2, _END, say("the meet's own time-table decides"), "hint")

    def _loads(self) -> Table:
        at_least, made, above, sides = looked_up(ladder("barbell", self.spec.equipment))
        first = self._column("From", at_least)
        self._column("Loads", made)
        self._column("Next above", above)
        last = self._column("On each side", sides)
        return Table(MEET_TABLES, first.first_row, last.last_row, first.column, last.column)

    def _texts(self, row: int) -> None:
        self.sheet.across(row, 0, _LAST, say("Take care"), "section")
        self.sheet.across(row, _RIGHT, _END, say("Rules, and what to bring"), "section")
        rules = [say(rule, increment=number_text(self.increment)) for rule in RULES]
        for offset, (caution, rule) in enumerate(zip(map(say, CAUTIONS), rules, strict=True), start=1):
            self.sheet.across(row + offset, 0, _LAST, caution, "caution")
            self.sheet.across(row + offset, _RIGHT, _END, rule, "wrapped")
            self.sheet.heights[row + offset] = 15.5 * max(1 + len(caution) // 58, 1 + len(rule) // 62)

    # Parts

    def _heads(self, row: int, column: int, texts: tuple[str, ...]) -> None:
        for offset, text in enumerate(texts):
            self.sheet.put(row, column + offset, say(text), "heading" if offset else "heading left")

    def _typed(self, row: int, column: int, name: str, style: str) -> Cell:
        return self.book.put_input(self.sheet, row, column, name, style)

    def _offer(self, cells: tuple[Cell, ...], options: tuple[str, ...]) -> None:
        self.sheet.validations.append(Validation(cells, {"validate": "list", "source": list(options)}))

    def _column(self, heading: str, values: Sequence[float | str]) -> Run:
        """A column of constants on the tables sheet."""
        column = self._head(heading)
        for row, value in enumerate(values, start=2):
            self.tables.put(row, column, value, "working text" if isinstance(value, str) else "working")
        return Run(MEET_TABLES, 2, 1 + len(values), column)

    def _worked(self, heading: str, formulas: list[tuple[Definition, Mapping[str, Reference]]]) -> Run:
        """A column of formulas on the tables sheet."""
        column = self._head(heading)
        for row, (made, names) in enumerate(formulas, start=2):
            self.tables.formula(row, column, made, names, "working")
        return Run(MEET_TABLES, 2, 1 + len(formulas), column)

    def _head(self, heading: str) -> int:
        column = self.next_column
        self.next_column += 1
        self.tables.put(1, column, heading, "heading")
        self.tables.widths[column] = 11
        return column

    def _table(self, heading: str, table: AttemptTable) -> dict[str, Run]:
        named = {"weights": table.weights, "chances": table.chances, "after_good": table.after_good,
                 "above": table.above}  # fmt: skip
        says = ("kg", "strong enough", "2nd after good", "3rd above best")
        return {name: self._column(f"{heading}: {said}", values)
                for (name, values), said in zip(named.items(), says, strict=True)}  # fmt: skip
