"""The Workings sheet: the load decision, one row an exercise and week, every step in a column.

The rows of an exercise stand beneath one another, so a coach can follow a load back
through the weeks. Columns are named as in `training.progression`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import chain

from blockbook.formula.definition import Definition
from blockbook.formula.functions import day_number
from blockbook.languages import say
from blockbook.sheet.book import Book, Cell, Formula, Reference, Sheet, Table
from blockbook.spec.catalogue import shown_name
from blockbook.spec.models import Specification
from blockbook.training import belief, calibration, loading, pain, progression, reasons, rep_growth, volume
from blockbook.training.maximum import is_guess, is_learned, start_maximum, start_spread
from blockbook.training.prescription import Line, exercises_above
from blockbook.workbook.layout import WORKINGS, LinePlace, SessionPlace
from blockbook.workbook.steps import COLUMNS, Workings, style_of
from blockbook.workbook.tables import Tables

_CARRIED = {
    "last_load": "logged_load",
    "earlier_load": "last_load",
    "last_overshoot": "logged_overshoot",
    "last_extra": "extra",
    "last_none_up": "none_up",
}
_CARRIED_BACK_OFF = {
    "last_back_off_over": "back_off_over",
    "last_back_off_seen": "back_off_seen",
}
_STEPS = (
    "careful", "lower", "upper", "cheap", "sure", "fits", "above", "fitting", "half", "filled",
)  # fmt: skip
"""The steps to a load, taken for the plan and again for today (`..._today`)."""

_NOTHING_DONE = (
    "seen", "seen_variance", "logged_load", "none_up", "logged_overshoot", "mean_overshoot", "best", "test_gap",
)  # fmt: skip
_RUNS = ("rpe", "one_rep_max", "judged", "failed")
"""Columns of the week sheet that are looked at for all working sets together."""


def add_workings(
    book: Book,
    spec: Specification,
    tables: Tables,
    weeks: tuple[tuple[SessionPlace, ...], ...],
    workings: Workings,
) -> None:
    sheet = book.add(WORKINGS)
    sheet.put(0, 0, say("Workings: how each load is decided, step by step"), "title")
    for position, (name, heading) in enumerate(COLUMNS):
        sheet.put(1, position, say(heading), "heading")
        sheet.widths[position] = {"slot_key": 26, "exercise": 24}.get(name, 10)
    sheet.frozen = (2, 3)
    sheet.landscape = True
    taught: dict[int, list[Line]] = defaultdict(list)
    related = _related(weeks[0])
    for place in chain.from_iterable(weeks):
        placed = {line_place.line.slot_key: line_place for line_place in place.lines}
        for line in place.session.lines:
            row = _Row(sheet, spec, tables, workings, place, line, placed.get(line.slot_key))
            row.fill(taught[place.session.number], _pain_nearby(line, place, workings, related[line.slot_key]))
        _teach(taught, place, len(weeks[0]))


def _related(week: Sequence[SessionPlace]) -> dict[str, list[tuple[int, str]]]:
    """The close relatives of each slot among the others of the week: number of the session and key of the slot."""
    every = [(place.session.number, line) for place in week for line in place.session.lines]
    return {
        line.slot_key: [
            (number, other.slot_key)
            for number, other in every
            if other is not line and pain.close_relatives(line.exercise, other.exercise)
        ]
        for _, line in every
    }


def _pain_nearby(line: Line, place: SessionPlace, workings: Workings, related: Sequence[tuple[int, str]]) -> list[Cell]:
    """What was last heard of an exercise's relatives: this week in sessions before this one, else the week before."""
    return [
        workings.rows[key, line.week]["pain_after" if number < place.session.number else "last_pain"]
        for number, key in related
    ]


def _teach(taught: dict[int, list[Line]], place: SessionPlace, sessions: int) -> None:
    """Note which exercises of a session may show later ones how effort is judged; taught: by session of the week.

    A planned test teaches every session after it; a set that failed by chance only the same session
    of the next weeks. So a typed set moves few cells, unless it belongs to a test: a phone recalculates them all.
    """
    lines = place.session.lines
    for number in range(1, sessions + 1):
        taught[number] = (
            list(lines)
            if number == place.session.number
            else [*taught[number], *(line for line in lines if line.tests_effort)]
        )


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

    def fill(self, taught: Sequence[Line], relatives: Sequence[Cell]) -> None:
        """taught: whose tests of effort count from this session on; relatives: as in `_fill_pain`."""
        self.names = {**self.tables.policy, "curve": self.tables.curve, **self.workings.row(self.line)}
        self.names["policy_extra_reps"] = self.tables.policy["extra_reps"]
        if len(self.line.slot.reps) > 1:  # reps written week by week are the coach's plan
            self.names |= {"policy_extra_reps": 0, "fewer_reps": 0}
        if self._ladder is not None:
            self.names["loads"] = self._ladder
        self._fill_what_is_given()
        self._fill_what_is_carried()
        self._fill_pain(relatives)
        self._fill_what_was_done()
        self._fill_judgement(taught)
        self._fill_belief()
        self._fill_today()
        self._fill_target()

    # Given by the specification

    def _fill_what_is_given(self) -> None:
        line = self.line
        self._put("slot_key", line.slot_key)
        self._put("exercise", shown_name(line.exercise))
        self._put("week", line.week)
        self._put("reps", line.reps.low)
        self._put("rpe", line.rpe)
        self._put("range_width", line.reps.high - line.reps.low)
        self._put("body_load", self.spec.body_load(line.exercise))
        self._put("progress", "deload" if line.deload else line.progress)
        self._put("guessed", int(is_guess(self.spec, line.exercise)))
        known = start_maximum(self.spec, line.exercise)
        self._define("first_prior", belief.first_prior, start_maximum="" if known is None else known,
                     exercises_above=exercises_above(line))  # fmt: skip
        typed = self.session.input_cell("date")
        self._define("day_number", belief.day_number, typed=typed, planned=day_number(self.session.session.day))

    # Carried from the week before

    def _fill_what_is_carried(self) -> None:
        if self.line.week == 1:
            self._blank("last_load", "earlier_load", "last_demand", "last_overshoot", "last_none_up", "days")
            if self.line.slot.back_off:
                self._blank(*_CARRIED_BACK_OFF)
            for name in ("last_extra", "exposures", "idle_weeks"):
                self._put(name, 0)
            self._put("last_pain", int(self.line.slot.hurts))
            self.names["pain_before"] = 0
            return
        before = self.workings.row(self.line, weeks_back=1)
        # A deload says little about strength: what came before it stays the yardstick.
        deload_before = self.line.week - 1 == self.spec.block.deload_week
        logged: Reference = "" if deload_before else before["logged_load"]
        for name, source in _CARRIED.items():
            self._define(name, belief.carried, logged_load=logged, then=before[source], before=before[name])
        if self.line.slot.back_off:
            behind: Reference = "" if deload_before else before["back_off_over"]
            for name, source in _CARRIED_BACK_OFF.items():
                self._define(name, belief.carried, logged_load=behind, then=before[source], before=before[name])
        self._define("last_demand", progression.last_demand, logged_load=logged, reps_then=before["target_reps"],
                     rpe_then=before["rpe"], before=before["last_demand"])  # fmt: skip
        self._define("last_pain", belief.as_is, value=before["pain_after"])
        self.names["pain_before"] = before["holding_pain"]
        self._define("exposures", belief.exposures, logged_load=logged, before=before["exposures"])
        self.names |= {
            "trained_before": before["prior"] if deload_before else before["logged_load"],
            "day_before": before["day_number"],
            "days_before": before["days"],
            "first_jump": self._first_jump,
        }
        self._define("days", belief.days_since)
        self._define("idle_weeks", belief.idle_weeks)
        self.names |= {"capacity_before": before["capacity"], "variance_before": before["variance"]}

    @property
    def _first_jump(self) -> Reference:
        """The gain from the first time to the second; an exercise from the last block is not new to the lifter."""
        if is_learned(self.spec, self.line.exercise):
            return 0
        return self.tables.policy["first_gain_high" if self.line.reps.low >= 8 else "first_gain"]

    # What hurts

    def _fill_pain(self, relatives: Sequence[Cell]) -> None:
        """relatives: what was last heard of the exercise's close relatives before this session."""
        typed, where = self.session.input_cell("pain"), self.session.input_cell("where")
        all_named = tuple(self.workings.cell(line, "named") for line in self.session.session.lines)
        self._define("named", pain.pain_named, pain=typed, label=self.line.label, group=self.line.group)
        self._define("pain", pain.painful, pain=typed, where=where, all_named=all_named)
        self._define("pain_after", pain.pain_carried, before=self._cell("last_pain"))
        self._define("holding_pain", pain.pain_that_holds, pains=(self._cell("last_pain"), *relatives))

    # What the lifter logged

    def _fill_what_was_done(self) -> None:
        place = self.place
        reps, top_loads, overshoots = (
            (place.run("reps"), place.top_run("counts"), place.run("overshoot")) if place else (None, None, None)
        )
        behind = [planned.number for planned in self.line.sets if planned.kind == "back-off"]
        if place and behind:
            self._observe("back_off_seen", place, behind)
            of_those = {"overshoots": place.run("overshoot", behind) or "", "reps": place.run("reps", behind) or ""}
            self._define("back_off_over", volume.over_in_all, **of_those)
        elif self.line.slot.back_off:
            self._blank(*_CARRIED_BACK_OFF.values())
        if place is None or reps is None or top_loads is None or overshoots is None:
            self._blank(*_NOTHING_DONE)
            for name in ("logged", "done", "hard", "tonnage"):
                self._put(name, 0)
            return
        runs = {name: run for name in _RUNS if (run := place.run(name))}
        self._observe("seen", place, list(place.set_rows))
        self._define("seen_variance", belief.observed_variance, weights=place.run("weight", list(place.set_rows)) or "")
        self._define("logged_load", volume.largest, values=top_loads)
        tried = {"estimates": place.top_run("trusted") or "", "reps": place.top_run("reps") or ""}
        self._define("none_up", volume.none_went_up, **tried)
        first = place.cell("overshoot", 1)
        judged = place.run("all_out", [p.number for p in self.line.work_sets if p.kind != "max reps"]) or 0
        self._define("logged_overshoot", volume.came_in_over, values=overshoots, first=first, failures=judged)
        self._define("mean_overshoot", volume.mean, values=overshoots)
        self._define("test_gap", calibration.test_gap, failed=runs["failed"], judged=runs["judged"],
                     pain=self._cell("pain"))  # fmt: skip
        self._define("best", volume.largest, values=runs["one_rep_max"])
        self._define("logged", volume.sets_logged, reps=reps)
        self._define("done", volume.sets_done, reps=reps)
        self._define("hard", volume.hard_sets, reps=reps, rpe=runs["rpe"])
        loads, typed = place.run("lifted") or reps, place.typed_run("load") or reps
        chosen = place.chosen or 0
        if loads.is_one_cell:
            load, instead, done = (run.cells()[0] for run in (loads, typed, reps))
            self._define("tonnage", volume.tonnage_of_one, load=load, typed=instead, reps=done, chosen=chosen)
        else:
            self._define("tonnage", volume.tonnage, loads=loads, typed=typed, reps=reps, chosen=chosen)

    def _observe(self, name: str, place: LinePlace, numbers: list[int]) -> None:
        """The one-rep maximum that these sets speak for."""
        weights, estimates = (place.run(column, numbers) or "" for column in ("weight", "trusted"))
        if len(numbers) > 1:
            self._define(name, belief.observed, weights=weights, estimates=estimates)
        else:
            only = place.cells[numbers[0]]
            self._define(name, belief.observed_once, weight=only["weight"], estimate=only["trusted"])

    # How well effort is judged

    def _fill_judgement(self, taught: Sequence[Line]) -> None:
        """The tests of effort so far, and the bias they show: the same for all exercises of a session."""
        if self.line is not self.session.session.lines[0]:
            return
        if self.line.week == 1:
            lifter = self.spec.lifter
            tests: Reference = lifter.effort_tests if lifter.effort_bias is not None else 0
            gaps: Reference = lifter.effort_tests * (lifter.effort_bias or 0)
        else:
            before = self.workings.row(self.line, weeks_back=1)
            tests, gaps = before["tests"], before["gaps"]
        if shown := tuple(self.workings.cell(line, "test_gap") for line in taught):
            self._define("tests", calibration.tests_so_far, gaps=shown, before=tests)
            self._define("gaps", calibration.gaps_so_far, gaps=shown, before=gaps)
        else:
            self._define("tests", belief.as_is, value=tests)
            self._define("gaps", belief.as_is, value=gaps)
        self._define("bias", calibration.bias)

    # What is believed

    def _fill_belief(self) -> None:
        if self.line.week == 1:
            self._define("prior", belief.as_is, value=self._cell("first_prior"))
            spread = start_spread(self.spec, self.line.exercise)
            self._define("prior_variance", belief.first_variance, start_spread=spread)
        else:
            self._define("prior", belief.predicted)
            self._define("prior_variance", belief.predicted_variance)
        self._define("precision", belief.precision)
        self._define("pull", belief.pull)
        if self.line is self.session.session.lines[0]:
            every = self._signals(self.session.session.lines)
            self._define("shared", belief.shared_shift, **every)
            self._define("shared_left", belief.shared_variance, precisions=every["precisions"])
        if self.line.deload:
            self._define("capacity", belief.as_is, value=self._cell("prior"))
            self._define("variance", belief.as_is, value=self._cell("prior_variance"))
        else:
            self._define("capacity", belief.learned)
            self._define("variance", belief.learned_variance)

    def _signals(self, lines: Sequence[Line]) -> dict[str, Reference]:
        """What a session's exercises said, of those that said something."""
        return {
            "precisions": tuple(self.workings.cell(line, "precision") for line in lines) or 0,
            "pulls": tuple(self.workings.cell(line, "pull") for line in lines) or 0,
        }

    # What today is like

    def _fill_today(self) -> None:
        self._define("spread_plan", belief.spread_of_plan)
        if not self._has_signs:
            return
        above = self._signals(self.session.session.lines[: self.line.depth - 1])
        if self.place is not None and self._has_feeler:
            felt: dict[str, Reference] = {"felt": self.place.cell("trusted", 0), "weight": self.place.cell("weight", 0)}
            self._define("day_above", belief.day_above, **above)
            self._define("feeler_innovation", belief.feeler_innovation, **felt)
            self._define("feeler_gain", belief.feeler_gain, **felt)
            self._define("day", belief.day_effect)
        else:
            self._put("feeler_gain", 0)
            self._define("day", belief.day_above, **above)
        self._define("spread", belief.spread, precisions=above["precisions"])

    @property
    def _has_signs(self) -> bool:
        """Whether anything can say what today is like before this exercise."""
        return self.line.steered and (self.line.depth > 1 or self._has_feeler)

    @property
    def _has_feeler(self) -> bool:
        return self.place is not None and 0 in self.place.set_rows

    # What to load

    def _fill_target(self) -> None:
        line = self.line
        week_before = self.workings.row(line, weeks_back=1) if line.week > 1 else {}
        self.names["last_planned"] = week_before.get("planned", "")
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
            self._fill_decided_loads()
        else:
            if line.percent is not None:
                self._define("aim", progression.percent_load, percent=line.percent,
                             start_maximum=self._stated_maximum)  # fmt: skip
                self._define("ceiling", progression.percent_ceiling, percent=line.percent)
                self._define("careful", progression.lesser)
            elif line.lightened_load is not None:
                self._put("careful", line.lightened_load)
            for name in ("planned", "target"):
                self._define(name, loading.nearest, load=self._cell("careful"))
        self._fill_back_off()
        if self._has_feeler:
            self._define("feeler_target", progression.feeler_load)

    @property
    def _stated_maximum(self) -> float | str:
        known = start_maximum(self.spec, self.line.exercise)
        return "" if known is None else known

    def _fill_decision(self) -> None:
        self._define("share", progression.asked_share, fewer=0)
        for name, definition in (
            ("fewer", rep_growth.fewer_room),
            ("ceiling", progression.ceiling),
            ("floor", progression.floor),
            ("room", rep_growth.rep_room),
        ):
            self._define(name, definition)
        if self.line.progress in ("hold", "tempo"):
            self._define("reference", progression.reference)
        if self._grows:
            self._define("share_reps", progression.asked_share)
            self._define("ceiling_reps", progression.ceiling, share=self._cell("share_reps"))
        self._define("aim", progression.aim, able=self._cell("prior"))
        if self._grows and self.line.coach_load is None:
            able: Reference = self._cell("sure_today") if self._has_signs else ""
            self._define("extra", rep_growth.extra_reps, able=able, able_plan=self._cell("sure"))
        else:
            self._put("by_reps", 0)
            self._put("extra", 0)
        self._define("target_reps", rep_growth.target_reps)
        self._fill_reason()

    def _fill_reason(self) -> None:
        line = self.line
        last_shared: Reference = 0
        last_left: Reference = 1
        last_own: Reference = 0
        if line.week > 1 and line.week - 1 != self.spec.block.deload_week:
            before = self.workings.row(line, weeks_back=1)
            last_shared, last_left, last_own = before["shared"], before["shared_left"], before["precision"]
        given: dict[str, Reference] = {
            "unit": self.spec.block.unit,
            "first_reason": reasons.first_reason(line.exercise, self.spec),
            "lightest": loading.ladder(line.exercise.implement, self.spec.equipment)[0].load if self._ladder else "",
            "first_jump": 0 if line.week == 1 else self._first_jump,
            "last_shared": last_shared,
            "last_shared_left": last_left,
            "last_precision": last_own,
        }
        self._define("plan_reason", reasons.PLAN_REASON[self.spec.block.effort_as], **given)

    def _fill_decided_loads(self) -> None:
        """The plan and today's load, the same steps for both."""
        if self._grows and self.line.progress == "reps":
            self._define("last_made", progression.rung_under, load=self._cell("last_load"))
            self._define("last_above", progression.rung_over, load=self._cell("last_load"))
        plan = {name: self._cell(name) for name in _STEPS}
        nothing_added: Reference = 0 if self.line.exercise.implement == "bodyweight" else self._cell("last_load")
        self._fill_load(
            "planned", plan | {"able": self._cell("prior"), "spread": self._cell("spread_plan")}, nothing_added
        )
        if not self._has_signs:
            self._define("target", belief.as_is, value=self._cell("planned"))
            return
        self._define("able", progression.maximum_today)
        self._define("aim_today", progression.aim)
        today = {name: self._cell(f"{name}_today") for name in _STEPS}
        self._fill_load("target", today | {"aim": self._cell("aim_today")}, self._cell("planned"))

    def _fill_load(self, result: str, cells: dict[str, Cell], otherwise: Reference) -> None:
        """One load, step by step. cells: where the steps stand, and what differs between plan and today."""

        def step(name: str, definition: Definition, **own: Reference) -> None:
            self._define_at(cells[name], definition, {**cells, "otherwise": otherwise, **own})

        step("careful", progression.careful_load)
        step("lower", progression.rung_under, load=cells["careful"])
        step("upper", progression.rung_over, load=cells["careful"])
        step("cheap", progression.cheapest)
        cells |= {result: self._cell(result), "by_reps": self._cell("by_reps")}
        if self._grows:
            if result == "planned":
                step("by_reps", rep_growth.by_reps)
            step("sure", progression.maximum_for_reps)
            cells["able"] = cells["sure"]
            highest = self._cell("ceiling_reps")
            step("fits", rep_growth.fits, ceiling=highest)
            step("above", progression.rung_over, load=cells["fits"])
            step("fitting", rep_growth.fitting_load, ceiling=highest)
        if self._grows and self.line.progress == "reps":
            step("half", rep_growth.half_range_load)
            step("filled", rep_growth.load_by_reps)
            cells["fitting"] = cells["filled"]
        if self.line.progress in ("hold", "tempo") and not self.line.deload:
            step(result, progression.held_load)
        else:
            step(result, progression.decided_load, filled=cells["fitting"])

    @property
    def _grows(self) -> bool:
        """Whether reps may ever fill what the load cannot."""
        line, policy = self.line, self.spec.policy
        if line.deload or line.progress in ("hold", "tempo") or line.kind == "max_reps":
            return False
        in_range = line.reps.low < line.reps.high
        return in_range or (
            len(line.slot.reps) == 1 and line.reps.low >= policy.extra_reps_from and policy.extra_reps > 0
        )

    def _fill_back_off(self) -> None:
        back_off = self.line.slot.back_off
        if back_off is None:
            return
        self.names["drop"] = back_off.drop
        asked = next((planned for planned in self.line.sets if planned.kind == "back-off"), None)
        if asked:
            rpe = self.line.rpe if asked.rpe is None else asked.rpe
            self._define("back_off_most", progression.back_off_most, reps=asked.reps, rpe=rpe)
        self._define("back_off_reason", reasons.back_off_reason)
        self._define("back_off_plan", progression.back_off_load, back_off_from=self._cell("planned"))
        top = self.place.cells[self.line.top_sets[0].number] if self.place else {}
        lifted = {"estimate": top.get("trusted", ""), "came_in_over": top.get("overshoot", "")}
        self._define("back_off_from", progression.back_off_from, **lifted)
        self._define("back_off_target", progression.back_off_load)

    @property
    def _ladder(self) -> Table | None:
        return self.tables.ladders.get(self.line.exercise.implement)

    # Putting

    def _cell(self, name: str) -> Cell:
        return self._cells[name]

    @cached_property
    def _cells(self) -> Mapping[str, Cell]:
        return self.workings.row(self.line)

    def _put(self, name: str, content: float | int | str) -> None:
        cell = self._cell(name)
        self.sheet.put(cell.row, cell.column, content, style_of(name))

    def _define(self, name: str, definition: Definition, **own: Reference) -> None:
        self._define_at(self._cell(name), definition, own, style_of(name))

    def _define_at(
        self, cell: Cell, definition: Definition, own: Mapping[str, Reference], style: str = "working"
    ) -> None:
        """own: what names stand for here; the others are those of the row."""
        names = self.names
        references = tuple([own[used] if used in own else names[used] for used in definition.names])
        self.sheet.fill(cell.row, cell.column, Formula(definition.spoken(), references), style)

    def _blank(self, *names: str) -> None:
        for name in names:
            self._define(name, belief.nothing)
