"""The Workings sheet: the load decision, one row an exercise and week, every step in a column.

The rows of an exercise stand beneath one another, so a coach can follow a load back
through the weeks. Columns are named as in `training.progression`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field

from blockbook.formula.definition import Definition
from blockbook.sheet.book import Book, Cell, Reference, Sheet
from blockbook.spec.models import Specification
from blockbook.training import belief, loading, progression, volume
from blockbook.training.maximum import is_guess, start_maximum
from blockbook.training.prescription import Line
from blockbook.workbook.layout import COLUMN, WORKINGS, LinePlace, SessionPlace
from blockbook.workbook.tables import Ladder, Tables

COLUMNS: tuple[tuple[str, str], ...] = (
    ("slot_key", "Exercise key"),
    ("exercise", "Exercise"),
    ("week", "Week"),
    ("reps", "Base reps"),
    ("rpe", "Target effort"),
    ("range_width", "Width of rep range"),
    ("body_load", "Body load"),
    ("progress", "Progresses by"),
    ("start_maximum", "1RM at the start"),
    ("guessed", "It is a guess"),
    ("last_load", "Last load"),
    ("last_reps", "Last base reps"),
    ("last_rpe", "Last target effort"),
    ("last_overshoot", "Last over target"),
    ("last_extra", "Last extra reps"),
    ("last_pain", "Pain carried"),
    ("exposures", "Earlier logs"),
    ("prior", "1RM believed before"),
    ("seen", "1RM observed"),
    ("innovation", "Observed against believed"),
    ("precision", "Its precision"),
    ("pull", "Precision x innovation"),
    ("feeler_innovation", "Feeler against believed"),
    ("day", "Day effect here"),
    ("shared", "Shift shared by session"),
    ("capacity", "1RM believed after"),
    ("cap", "Cap on the rise"),
    ("reference", "Last load, comparable"),
    ("coarse", "Step larger than cap"),
    ("floored", "No step down"),
    ("room", "Room for reps"),
    ("step_due", "One step is due"),
    ("extra", "Extra reps"),
    ("target_reps", "Target reps"),
    ("aim", "Load aimed at"),
    ("wanted", "Load wanted"),
    ("ceiling", "Ceiling"),
    ("floor", "Floor"),
    ("round_down", "Rounds down"),
    ("plan_raw", "Plan, guarded"),
    ("planned", "Plan"),
    ("ceiling_today", "Ceiling today"),
    ("today_raw", "Today, guarded"),
    ("target", "Today"),
    ("back_off_plan", "Back-off, plan"),
    ("back_off_target", "Back-off, today"),
    ("feeler_target", "Feeler"),
    ("logged_load", "Load lifted"),
    ("logged_overshoot", "Over target, largest"),
    ("mean_overshoot", "Over target, mean"),
    ("best", "Best est. 1RM"),
    ("done", "Sets done"),
    ("hard", "Hard sets"),
    ("tonnage", "Tonnage"),
    ("named", "Pain names it"),
    ("pain", "Pain"),
)
POSITION = {name: position for position, (name, _) in enumerate(COLUMNS)}
_TEXT_COLUMNS = ("slot_key", "exercise", "progress")
_FIRST_ROW = 2


@dataclass(frozen=True)
class Workings:
    """Finds the cell of a quantity by exercise key and week."""

    rows: Mapping[tuple[str, int], int]

    def cell(self, line: Line, name: str) -> Cell:
        return Cell(WORKINGS, self.rows[line.slot_key, line.week], POSITION[name])


def place_workings(weeks: tuple[tuple[SessionPlace, ...], ...]) -> Workings:
    """A row for every exercise and week, the weeks of an exercise beneath one another."""
    by_slot: dict[str, list[Line]] = defaultdict(list)
    for sessions in weeks:
        for place in sessions:
            for line in place.session.lines:
                by_slot[line.slot_key].append(line)
    lines = [line for slot_lines in by_slot.values() for line in slot_lines]
    return Workings({(line.slot_key, line.week): row for row, line in enumerate(lines, start=_FIRST_ROW)})


def add_workings(
    book: Book,
    spec: Specification,
    tables: Tables,
    weeks: tuple[tuple[SessionPlace, ...], ...],
    workings: Workings,
) -> None:
    sheet = book.add(WORKINGS)
    sheet.put(0, 0, "Workings: how each load is decided, step by step", "title")
    for position, (name, heading) in enumerate(COLUMNS):
        sheet.put(1, position, heading, "heading")
        sheet.widths[position] = {"slot_key": 26, "exercise": 24}.get(name, 10)
    sheet.frozen = (2, 3)
    sheet.landscape = True
    for sessions in weeks:
        for place in sessions:
            placed = {line_place.line.slot_key: line_place for line_place in place.lines}
            for line in place.session.lines:
                _Row(sheet, spec, tables, workings, place, line, placed.get(line.slot_key)).fill()


@dataclass
class _Row:
    """One exercise in one week. `names` says which cell each quantity stands in."""

    sheet: Sheet
    spec: Specification
    tables: Tables
    workings: Workings
    session: SessionPlace
    line: Line
    place: LinePlace | None
    names: dict[str, Reference] = field(default_factory=dict)

    def fill(self) -> None:
        self.names = {**self.tables.policy, "curve": self.tables.curve}
        self.names |= {name: self._cell(name) for name in POSITION}
        self.names["policy_extra_reps"] = self.tables.policy["extra_reps"]
        if len(self.line.slot.reps) > 1:  # reps written week by week are the coach's plan
            self.names |= {"policy_extra_reps": 0, "fewer_reps": 0}
        self.names["depth_share"] = self.tables.policy[_DEPTHS[min(self.line.depth, len(_DEPTHS)) - 1]]
        if self._ladder is not None:
            self.names["loads"] = self._ladder.loads
        self._fill_what_is_given()
        self._fill_what_is_carried()
        self._fill_what_was_done()
        self._fill_belief()
        self._fill_target()

    # Given by the specification

    def _fill_what_is_given(self) -> None:
        line = self.line
        self._put("slot_key", line.slot_key)
        self._put("exercise", line.exercise.name)
        self._put("week", line.week)
        self._put("reps", line.reps.low)
        self._put("rpe", line.rpe)
        self._put("range_width", line.reps.high - line.reps.low)
        self._put("body_load", self.spec.body_load(line.exercise))
        self._put("progress", "deload" if line.deload else line.progress)
        self._put("guessed", int(is_guess(self.spec, line.exercise)))
        known = start_maximum(self.spec, line.exercise)
        if known is None:
            self._blank("start_maximum")
        else:
            self._put("start_maximum", known)

    # Carried from the week before

    def _fill_what_is_carried(self) -> None:
        if self.line.week == 1:
            self._blank("last_load", "last_reps", "last_rpe", "last_overshoot")
            for name in ("last_extra", "last_pain", "exposures"):
                self._put(name, 0)
            return
        before = {name: self._cell(name, weeks_back=1) for name in POSITION}
        # A deload says little about strength: what came before it stays the yardstick.
        deload_before = self.line.week - 1 == self.spec.block.deload_week
        logged: Reference = "" if deload_before else before["logged_load"]
        for name, source in _CARRIED.items():
            self._define(name, belief.carried, logged_load=logged, then=before[source], before=before[name])
        pain = {"pain": before["pain"], "before": before["last_pain"]}
        self._define("last_pain", belief.pain_carried, logged_load=logged, **pain)
        self._define("exposures", belief.exposures, logged_load=logged, before=before["exposures"])
        self.names["capacity_before"] = before["capacity"]
        self.names["seen_before"] = "" if deload_before else before["seen"]

    # What the lifter logged

    def _fill_what_was_done(self) -> None:
        place = self.place
        pain, where = self.session.input_cell("pain"), self.session.input_cell("where")
        self._define("named", belief.pain_named, pain=pain, label=self.line.label)
        all_named = tuple(self.workings.cell(line, "named") for line in self.session.session.lines)
        self._define("pain", belief.painful, pain=pain, where=where, all_named=all_named)
        reps, top_loads, overshoots = (
            (place.run("reps"), place.top_run("lifted"), place.run("overshoot")) if place else (None, None, None)
        )
        if place is None or reps is None or top_loads is None or overshoots is None:
            self._blank("seen", "logged_load", "logged_overshoot", "mean_overshoot", "best")
            for name in ("done", "hard", "tonnage"):
                self._put(name, 0)
            return
        runs = {name: run for name in COLUMN if (run := place.run(name))}
        self._define("seen", belief.observed, weights=runs["weight"], weighted=runs["weighted"])
        self._define("logged_load", volume.largest, values=top_loads)
        self._define("logged_overshoot", volume.largest, values=overshoots)
        self._define("mean_overshoot", volume.mean, values=overshoots)
        self._define("best", volume.largest, values=runs["trusted"])
        self._define("done", volume.sets_done, reps=reps)
        self._define("hard", volume.hard_sets, reps=reps, rpe=runs["rpe"])
        if runs["load"].is_one_cell:
            load, done = runs["load"].cells()[0], reps.cells()[0]
            self._define("tonnage", volume.tonnage_of_one, load=load, reps=done)
        else:
            self._define("tonnage", volume.tonnage, loads=runs["load"], reps=reps)

    # What is believed

    def _fill_belief(self) -> None:
        if self.line.week == 1:
            self._define("prior", belief.as_is, value=self._cell("start_maximum"))
        else:
            self._define("prior", belief.predicted)
        self._define("innovation", belief.innovation)
        self._define("precision", belief.precision)
        self._define("pull", belief.pull)
        lines = self.session.session.lines
        above = lines[: self.line.depth - 1]
        if self.line.steered and (above or self._has_feeler):
            precisions = tuple(self.workings.cell(line, "precision") for line in above) or 0
            pulls = tuple(self.workings.cell(line, "pull") for line in above) or 0
            feeler = self._feeler_innovation()
            self._define("day", belief.day_effect, precisions=precisions, pulls=pulls, feeler_innovation=feeler)
        else:
            self._put("day", 0)
        self._define(
            "shared",
            belief.shared_shift,
            precisions=tuple(self.workings.cell(line, "precision") for line in lines),
            pulls=tuple(self.workings.cell(line, "pull") for line in lines),
        )
        if self.line.deload:
            self._define("capacity", belief.as_is, value=self._cell("prior"))
        else:
            self._define("capacity", belief.learned)

    @property
    def _has_feeler(self) -> bool:
        return self.place is not None and 0 in self.place.set_rows

    def _feeler_innovation(self) -> Reference:
        if self.place is None or not self._has_feeler:
            return ""
        self._define("feeler_innovation", belief.innovation, seen=self.place.cell("trusted", 0))
        return self._cell("feeler_innovation")

    # What to load

    def _fill_target(self) -> None:
        line = self.line
        if self._ladder is None:
            self._blank("planned", "target")
            self._put("target_reps", line.reps.low)
            self._put("extra", 0)
            return
        if line.decided:
            self._fill_decision()
        else:
            self._put("extra", 0)
            self._put("target_reps", line.reps.low)
        if line.coach_load is not None:
            self._put("planned", line.coach_load)
            self._put("target", line.coach_load)
        elif line.decided:
            self._define("plan_raw", progression.guarded, day=0)
            self._define("planned", loading.loadable, load=self._cell("plan_raw"))
            self._define("ceiling_today", progression.day_ceiling)
            ceiling = self._cell("ceiling_today")
            self._define("today_raw", progression.guarded, ceiling=ceiling)
            self._define("target", loading.loadable, load=self._cell("today_raw"), ceiling=ceiling, round_down=0)
        else:
            if line.percent is not None:
                self._define("aim", progression.percent_load, percent=line.percent)
            elif line.lightened_load is not None:
                self._put("aim", line.lightened_load)
            for name in ("planned", "target"):
                self._define(name, loading.nearest, load=self._cell("aim"))
        self._fill_back_off()
        if self._has_feeler:
            self._define("feeler_target", progression.feeler_load)

    def _fill_decision(self) -> None:
        on_body = self.line.exercise.implement == "bodyweight"
        aim = progression.aim_from_body_weight if on_body else progression.aim
        for name, definition in (
            ("cap", progression.cap),
            ("reference", progression.reference),
            ("coarse", progression.coarse),
            ("floored", progression.floored),
            ("room", progression.rep_room),
            ("step_due", progression.step_due),
            ("extra", progression.extra_reps),
            ("target_reps", progression.target_reps),
            ("aim", aim),
            ("wanted", progression.wanted),
            ("ceiling", progression.ceiling),
            ("floor", progression.floor),
            ("round_down", progression.rounds_down),
        ):
            self._define(name, definition)

    def _fill_back_off(self) -> None:
        back_off = self.line.slot.back_off
        if back_off is None:
            return
        planned = self._cell("planned")
        self._define("back_off_plan", progression.back_off_load, logged_load="", target=planned, drop=back_off.drop)
        self._define("back_off_target", progression.back_off_load, drop=back_off.drop)

    @property
    def _ladder(self) -> Ladder | None:
        return self.tables.ladders.get(self.line.exercise.implement)

    # Putting

    def _cell(self, name: str, weeks_back: int = 0) -> Cell:
        row = self.workings.rows[self.line.slot_key, self.line.week - weeks_back]
        return Cell(WORKINGS, row, POSITION[name])

    def _put(self, name: str, content: float | int | str) -> None:
        cell = self._cell(name)
        self.sheet.put(cell.row, cell.column, content, "working text" if name in _TEXT_COLUMNS else "working")

    def _define(self, name: str, definition: Definition, **own: Reference) -> None:
        cell = self._cell(name)
        references = {used: own[used] if used in own else self.names[used] for used in definition.names}
        self.sheet.formula(cell.row, cell.column, definition, references, "working")

    def _blank(self, *names: str) -> None:
        for name in names:
            self._define(name, belief.nothing)


_DEPTHS = ("depth_first", "depth_second", "depth_third", "depth_later")
_CARRIED = {
    "last_load": "logged_load",
    "last_reps": "reps",
    "last_rpe": "rpe",
    "last_overshoot": "logged_overshoot",
    "last_extra": "extra",
}
