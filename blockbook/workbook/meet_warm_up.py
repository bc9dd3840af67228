"""The right half of the Meet sheet: when each lift begins, and the warm-up for its opener."""

from __future__ import annotations

from collections.abc import Mapping

from blockbook.languages import say
from blockbook.sheet.book import Cell, Reference, Run
from blockbook.spec.models import Specification
from blockbook.training import meet_warm_up
from blockbook.training.loading import ladder
from blockbook.workbook.meet_cells import MEET, RIGHT_END, RIGHT_HALF, MeetCells

_TYPED, _LOAD, _REPS = RIGHT_HALF + 3, RIGHT_HALF + 2, RIGHT_HALF + 3


def add_warm_up(
    cells: MeetCells, row: int, spec: Specification, openers: Mapping[str, Cell], times_known: bool
) -> None:
    """When each lift begins, and the way up to its opener.

    openers: lift -> its opener as typed, else as planned; times_known: whether a start is typed in already.
    """
    _WarmUp(cells, spec, times_known).fill(row, openers)


class _WarmUp:
    def __init__(self, cells: MeetCells, spec: Specification, times_known: bool) -> None:
        self.cells, self.sheet, self.spec = cells, cells.sheet, spec
        # As a time a 9.5 would be shown as noon: a cell in which nothing stands yet takes what is typed as it is.
        self.of_a_start = "typed clock" if times_known else "typed number"
        self.asked: dict[str, Cell] = {}
        self.room: dict[str, Reference] = {}
        self.rows = meet_warm_up.rows()

    def fill(self, row: int, openers: Mapping[str, Cell]) -> None:
        self.cells.heads(row, RIGHT_HALF, ("Times", "", "", "Typed", "As typed, else a guess"))
        for offset, (name, label) in enumerate((("lifters", "Lifters in the flight"), ("place", "Your place in order"),
                                                ("minutes", "Minutes an attempt")), start=1):  # fmt: skip
            self.asked[name] = self._ask(row + offset, say(label), f"meet.{name}", "typed number")
            self.sheet.put(row + offset, RIGHT_END, None, "set")
        starts = self._starts(row + 4, list(openers))
        bar = self._plates(row + 7)
        bars = self.cells.column("From so many empty bars on", [bars for bars, _ in meet_warm_up.WAYS])
        shares = [self.cells.column(f"Step {n}, share", each.shares) for n, each in enumerate(self.rows, start=1)]
        reps = [self.cells.column(f"Step {n}, reps", each.reps) for n, each in enumerate(self.rows, start=1)]
        for position, (lift, opener) in enumerate(openers.items()):
            top = row + 8 + (len(self.rows) + 2) * position
            self.cells.heads(top, RIGHT_HALF, (lift.capitalize(), "Opener in", "", "Reps", "Warm-up: each side"))
            self.sheet.formula(top, _LOAD, meet_warm_up.unit_of, {"lb": self.room["lb"]}, "heading")
            at_end = self._opener(top + 1 + len(self.rows), opener, starts[lift])
            way = self.cells.worked(f"{lift.capitalize()}, way up", [
                (meet_warm_up.way_of, {"opener": at_end, "bar": bar, "bars": bars}),
            ]).cells()[0]  # fmt: skip
            for number in range(len(self.rows)):
                names: dict[str, Reference] = {"opener": at_end, "way": way, "shares": shares[number]}
                self._step(top + 1, number, names, reps[number], starts[lift])

    def _ask(self, row: int, label: str, name: str, style: str) -> Cell:
        self.sheet.across(row, RIGHT_HALF, RIGHT_HALF + 2, label, "set")
        return self.cells.typed(row, _TYPED, name, style)

    def _starts(self, row: int, lifts: list[str]) -> dict[str, Cell]:
        """When each lift begins, and the weigh-in before the first."""
        starts: dict[str, Cell] = {}
        before: Reference = ""
        for at, lift in enumerate(lifts, start=row):
            label = say("{lift}: first lifter's opener", lift=say(lift.capitalize()))
            typed = self._ask(at, label, f"meet.start.{lift}", self.of_a_start)
            before = starts[lift] = self.sheet.formula(at, RIGHT_END, meet_warm_up.start_of_lift, {
                "typed": typed, "before": before, "lifters": self.asked["lifters"], "minutes": self.asked["minutes"],
            }, "clock")  # fmt: skip
        for at, (label, hours) in enumerate((("Weigh-in from", 2.0), ("to", 0.5)), start=1):
            self.sheet.put(at, RIGHT_HALF, say(label), "set name")
            self.sheet.formula(at, RIGHT_HALF + 1, meet_warm_up.hours_before,
                               {"start": starts[lifts[0]], "hours": hours}, "clock")  # fmt: skip
        self.sheet.across(
            1, RIGHT_HALF + 2, RIGHT_END, say("as usual; the meet's own time-table decides"), "hint beside"
        )
        return starts

    def _plates(self, row: int) -> Cell:
        """Asks in which unit the plates of the warm-up room are; the empty bar there."""
        typed = self._ask(row, say("Warm-up plates, kg or lb"), "meet.plates", "typed word of a list")
        self.cells.offer((typed,), ("kg", "lb"))
        lb = self.cells.worked("Plates in lb", [(meet_warm_up.in_lb, {"plates": typed})]).cells()[0]
        own, unit = self.spec.equipment, self.spec.block.unit
        ladders = {
            name: ladder("barbell", own if name == unit else room) for name, room in meet_warm_up.WARM_UP_ROOM.items()
        }
        self.room["lb"] = lb
        self.room |= {f"{name}_loads": self.cells.loads(rungs) for name, rungs in ladders.items()}
        lightest: dict[str, Reference] = {f"{name}_bar": rungs[0].load for name, rungs in ladders.items()}
        made = [(meet_warm_up.empty_bar, {"lb": lb, **lightest})]
        bar = self.cells.worked("Empty bar", made).cells()[0]
        self.sheet.formula(row, RIGHT_END, meet_warm_up.bar_said, {"bar": bar, "lb": lb}, "set")
        return bar

    def _step(self, first: int, number: int, names: dict[str, Reference], reps: Run, start: Cell) -> None:
        at, minutes = first + number, self.rows[number].minutes
        above: Reference = Run(MEET, first, at - 1, _LOAD) if number else 0
        load = self.sheet.formula(at, _LOAD, meet_warm_up.step_load, {**names, "above": above, **self.room}, "number")
        self._clock(at, load, start, minutes)
        said = say("{minutes} min", minutes=minutes)
        self.sheet.formula(at, RIGHT_HALF + 1, meet_warm_up.step_minutes, {"load": load, "said": said}, "number")
        done: dict[str, Reference] = {"load": load, "way": names["way"], "reps": reps}
        self.sheet.formula(at, _REPS, meet_warm_up.step_reps, done, "number")
        self.sheet.formula(at, RIGHT_END, meet_warm_up.step_plates, done | self.room, "set")

    def _opener(self, row: int, opener: Cell, start: Cell) -> Cell:
        """The last row of a lift's warm-up; returns where the opener stands in the unit of the plates."""
        names: dict[str, Reference] = {"opener": opener, "lb": self.room["lb"]}
        load = self.sheet.formula(row, _LOAD, meet_warm_up.opener_load, names, "target")
        self._clock(row, load, start, 0)
        self.sheet.put(row, RIGHT_HALF + 1, "", "number")
        self.sheet.put(row, _REPS, 1, "number")
        self.sheet.formula(row, RIGHT_END, meet_warm_up.opener_said, {"opener": opener}, "set")
        return load

    def _clock(self, row: int, load: Cell, start: Cell, minutes: int) -> None:
        self.sheet.formula(row, RIGHT_HALF, meet_warm_up.clock, {
            "load": load, "start": start, "place": self.asked["place"], "minutes": self.asked["minutes"],
            "before": minutes,
        }, "clock")  # fmt: skip
