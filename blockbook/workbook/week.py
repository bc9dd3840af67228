"""A week sheet: what the lifter reads and fills in between sets, on a phone."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product

from blockbook.formula.definition import Definition
from blockbook.languages import long_day_text, say, session_day_text
from blockbook.sheet.book import Book, Cell, Mark, Reference, Sheet, Validation
from blockbook.spec.catalogue import shown_name
from blockbook.spec.models import EffortAs, Specification
from blockbook.training import (
    belief,
    calibration,
    effort,
    logged_set,
    other_sets,
    plausibility,
    reasons,
    stand_ins,
    telling,
    verdict,
    volume,
    warm_up,
)
from blockbook.training.maximum import far_too_heavy, is_guess, start_maximum
from blockbook.training.prescription import Line, PlannedSet, countdown, first_session_day, week_start
from blockbook.workbook.after_session import AfterSession
from blockbook.workbook.layout import (
    COLUMN,
    FIRST_ROW,
    HEADING_ROW,
    OWN_LOAD,
    ROW_TO_TAP,
    TYPED,
    WITH_STAND_INS,
    LinePlace,
    SessionPlace,
    input_name,
    shown_heading,
    week_columns,
    week_sheet,
)
from blockbook.workbook.stand_in_row import StandIns
from blockbook.workbook.start import scale_in_short
from blockbook.workbook.steps import Workings
from blockbook.workbook.tables import Tables
from blockbook.workbook.week_words import (
    VERDICT_WITH_PLATES,
    VERDICT_WITH_PLATES_OR_NONE,
    capital,
    reason_of,
    set_label,
    shown_target,
    title_of,
)

_FIRST, _LAST = COLUMN["label"], COLUMN["note"]
_TEXT_LAST = COLUMN["rpe"]
_TARGET_COLUMNS = {
    "work": ("planned", "target"),
    "top": ("planned", "target"),
    "max reps": ("planned", "target"),
    "back-off": ("back_off_plan", "back_off_target"),
    "feeler": ("feeler_target", "feeler_target"),
}
_OF_THE_WEEK = ("body_load", "prior", "exposures", "guessed", "bias", "pain")
"""What the judgement of a set needs of Workings."""

_REPS_ASKED = ("work", "top", "back-off")
"""Kinds of sets of which reps beyond those asked were still left; of the others as many are done as go."""

_OFF_SCALE: dict[EffortAs, tuple[str, str]] = {
    "rpe": ("Effort", "Effort runs from 1 to 10, halves allowed. Keep it anyway?"),
    "reps in reserve": ("Reps left", "Reps left run from 0 to 9, halves allowed. Keep it anyway?"),
}


def add_week(
    book: Book,
    spec: Specification,
    week: int,
    places: tuple[SessionPlace, ...],
    tables: Tables,
    workings: Workings,
    before: tuple[SessionPlace, ...] = (),
    after: tuple[SessionPlace, ...] = (),
) -> None:
    """before, after: the sessions of the weeks before, and of the next one."""
    sheet = book.add(week_sheet(week), say("Week {week}", week=week))
    lines = {line.line.slot_key: line for place in before for line in place.lines}
    _Week(book, sheet, spec, tables, workings, places, lines, _keys(after)).fill(week)


def _keys(places: tuple[SessionPlace, ...]) -> frozenset[str]:
    return frozenset(line.line.slot_key for place in places for line in place.lines)


class _Week:
    def __init__(
        self,
        book: Book,
        sheet: Sheet,
        spec: Specification,
        tables: Tables,
        workings: Workings,
        places: tuple[SessionPlace, ...],
        before: Mapping[str, LinePlace],
        ahead: frozenset[str],
    ) -> None:
        self.book, self.sheet, self.spec, self.tables, self.workings = book, sheet, spec, tables, workings
        self.places, self.before, self.ahead = places, before, ahead

    def fill(self, week: int) -> None:
        self._head(week)
        trained = [place for place in self.places if place.lines]
        for place in self.places:
            self._session(place, last=place in trained[-1:])
        self._offer_choices(self.places)

    def _head(self, week: int) -> None:
        block = self.spec.block
        first = week_start(self.spec, week)
        begins = first_session_day(self.spec, week)
        title = say("Week {week} of {weeks} · from {day}", week=week, weeks=block.weeks, day=long_day_text(begins))
        if week == block.deload_week:
            title += f" · {say('deload')}"
        if block.meet:
            title += f" · {countdown(block.meet, first)}"
        self._across(0, title, "title", _LAST)
        columns = week_columns(block)
        for position, column in enumerate(columns):
            self.sheet.widths[position] = column.width
            self.sheet.put(HEADING_ROW, position, shown_heading(column, block.unit), "heading")
        self.sheet.heights |= {0: 24, HEADING_ROW: 30}
        self.sheet.hidden_columns = (COLUMN["key"],)
        last = len(columns) - 1
        if any(slot.stand_ins for slot in self.spec.slots):
            for column in WITH_STAND_INS:
                last = COLUMN[column.name]
                self.sheet.widths[last] = column.width
                self.sheet.put(HEADING_ROW, last, say(column.heading), "heading")
        self.sheet.folded_columns.append((COLUMN["plausible"], last))
        self.sheet.frozen = (FIRST_ROW, 0)
        self.sheet.repeat_rows = (HEADING_ROW, HEADING_ROW)

    def _across(self, row: int, text: str, style: str, last: int = _TEXT_LAST) -> None:
        self.sheet.across(row, _FIRST, last, text, style)

    # One session

    def _session(self, place: SessionPlace, last: bool) -> None:
        session = place.session
        self._across(
            place.title_row, f"{session.number} · {session.name} — {session_day_text(session.day)}",
            "session", _LAST,
        )  # fmt: skip
        self.sheet.heights[place.title_row] = 21
        if place.lines:
            alarm = self._alarm(place)
            for line_place in place.lines:
                self._line(line_place, alarm)
        for row, line in place.left_out:
            name = f"{line.label}  {capital(shown_name(line.exercise))}"
            self._across(row, say("{exercise} · not this week", exercise=name), "soft")
        AfterSession(self.book, self.sheet, self.spec, self.tables, self.workings, last, self.ahead).fill(place)
        self.sheet.kept_together.append(place.parts)

    def _alarm(self, place: SessionPlace) -> Cell:
        """Beside the session's title, since what a mark looks at stands on its own sheet."""
        names: dict[str, Reference] = {"value": self.workings.cell(place.lines[0].line, "alarm_open")}
        return self.sheet.formula(place.title_row, COLUMN["plausible"], belief.as_is, names, "working")

    def _line(self, place: LinePlace, alarm: Cell) -> None:
        line = place.line
        self._across(place.title_row, title_of(line), "exercise", _LAST)
        self.sheet.heights[place.title_row] = 19
        if place.cue_row is not None:
            cue = say("Cue: {cue}", cue=line.slot.cue)
            self._across(place.cue_row, cue, "cue")
            self.sheet.heights[place.cue_row] = 13 * _lines_needed(cue) + 2
        if place.warm_up_row is not None:
            self._across(place.warm_up_row, "", "cue")
            first = place.cell("target", line.work_sets[0].number)
            towards: dict[str, Reference] = {"target": first, "loads": self.tables.ladders["barbell"]}
            way_up = warm_up.warm_up
            if place.chosen:
                towards["on_barbell"], way_up = place.of_the_choice["on_barbell"], warm_up.warm_up_or_none
            self.sheet.formula(place.warm_up_row, _FIRST, way_up, towards, "cue")
        self._across(place.reason_row, "", "reason")
        of_the_line = self._of_the_line(line)
        if place.instead_row is not None:
            self._stand_ins(place).choice(place.instead_row, of_the_line)
        self._reason(place, alarm)
        self.sheet.heights[place.reason_row] = 12.5 * (3 if _may_be_long(line) else 2)
        for planned in line.sets:
            self._set(place, planned, of_the_line)

    def _reason(self, place: LinePlace, alarm: Cell) -> None:
        line = place.line
        kind, own = reason_of(line, self.spec.block.effort_as)
        given: dict[str, Reference] = {**self.tables.policy, "unit": self.spec.block.unit, **own}
        if place.chosen:
            about: dict[str, Reference] = {
                **place.of_the_choice,
                "exercise": Cell(self.sheet.name, place.chosen.row, COLUMN["load"]),
                "shown": place.cell("target", min(place.set_rows)),
            }
            instead = self.sheet.formula(place.reason_row, COLUMN["all_out"], stand_ins.instead, about, "working text")
            given |= {"chosen": place.chosen, "instead": instead}
        definition = reasons.reason(kind, place.chosen is not None, line.slot.back_off is not None)
        references = {name: given[name] if name in given else self.workings.cell(line, name)
                      for name in definition.names}  # fmt: skip
        self.sheet.formula(place.reason_row, _FIRST, definition, references, "reason")
        self._mark(place, alarm)

    def _mark(self, place: LinePlace, alarm: Cell) -> None:
        """The reason stands out where it speaks of pain; loads that nobody is to lift are struck out."""
        row = place.reason_row
        heard = tuple(self.workings.cell(place.line, name) for name in ("pain", "holding_pain", "alarm_open"))
        speaks_of = (*heard, place.of_the_choice["hurts"]) if place.chosen else heard
        hurts = self.sheet.formula(row, COLUMN["plausible"], volume.summed, {"values": speaks_of}, "working")
        self.sheet.marks.append(Mark(hurts, "hurts", row, _FIRST, _TEXT_LAST, row))
        rows = list(place.set_rows.values())
        loads, plates = (COLUMN["planned"], COLUMN["target"]), (COLUMN["verdict"], COLUMN["verdict"])
        struck = [(rows[0], rows[-1], *columns) for columns in (loads, plates)]
        if place.warm_up_row is not None:
            struck.append((place.warm_up_row, place.warm_up_row, _FIRST, _TEXT_LAST))
        whens = [alarm, place.of_the_choice["hurts"]] if place.chosen else [alarm]
        for when, (first_row, last_row, first, last) in product(whens, struck):
            self.sheet.marks.append(Mark(when, "not to be lifted", first_row, first, last, last_row))

    def _set(self, place: LinePlace, planned: PlannedSet, of_the_line: dict[str, Reference]) -> None:
        line, row = place.line, place.set_rows[planned.number]
        sheet, column = self.sheet, COLUMN
        sheet.heights[row] = ROW_TO_TAP
        sheet.put(row, column["key"], planned.key, "key")
        sheet.put(row, column["label"], set_label(planned), "set label")
        base: Reference = planned.reps
        if planned.kind in ("work", "top") or (planned.kind == "max reps" and line.kind != "max_reps"):
            base = self.workings.cell(line, "target_reps")
            if place.chosen:
                another = stand_ins.reps_asked(line, planned)
                reps: dict[str, Reference] = {"chosen": place.chosen, "planned": base, "base": another}
                self._define(row, "target_reps", stand_ins.reps_of_choice, reps, "number")
            else:
                self._copy(row, "target_reps", base, "number")
        else:
            sheet.put(row, column["target_reps"], planned.reps, "number")
        asked = "–" if planned.rpe is None else self.spec.block.as_typed(planned.rpe)
        sheet.put(row, column["target_rpe"], asked, "number")
        plan, today = _TARGET_COLUMNS[planned.kind]
        self._copy(row, "planned", self.workings.cell(line, plan), "planned")
        self._target(place, planned, row, self.workings.cell(line, today))
        for name in TYPED:
            style = "typed note" if name == "note" else "typed number"
            self.book.put_input(sheet, row, column[name], input_name(planned.key, name), style)
        self._judge(place, planned, row, of_the_line)

    def _target(self, place: LinePlace, planned: PlannedSet, row: int, today: Cell) -> None:
        """Today's load; of a later set that of the one above, unless it says otherwise."""
        line = place.line
        ladder = self.tables.ladders.get(line.exercise.implement)
        backs_off = planned.kind == "back-off"
        kinds = {each.number: each.kind for each in line.sets}
        like_above = backs_off and kinds[planned.number - 1] == "back-off"
        later = like_above or (planned.kind in ("work", "top") and planned.number > 1)
        follows = line.decided or line.kind == "percent"
        if not (ladder and follows and later and line.coach_load is None):
            if place.chosen:
                self._stand_ins(place).target(row, planned, today)
                return
            definition = shown_target if ladder else belief.as_is
            self.sheet.formula(row, COLUMN["target"], definition, {"value": today}, "target")
            return
        above = place.cells[planned.number - 1]
        names: dict[str, Reference] = {
            "target": above["target"],
            "load": above["lifted"],
            "reps": above["reps"],
            "estimate": above["trusted"],
            "came_in_over": above["overshoot"],
            "set_number": planned.number,
            "fatigue_per_set": self.tables.policy["fatigue_per_set"],
            "target_reps": Cell(self.sheet.name, row, COLUMN["target_reps"]),
            "target_rpe": planned.rpe if backs_off and planned.rpe is not None else line.rpe,
            "body_load": self.workings.cell(line, "body_load"),
            "floor": 0 if backs_off or not line.decided else self.workings.cell(line, "floor"),
            "curve": self.tables.curve,
            "ease_overshoot": self.tables.policy["ease_overshoot"],
            "loads": ladder,
        }
        self.sheet.formula(row, COLUMN["target"], other_sets.following_load, names, "target")

    def _stand_ins(self, place: LinePlace) -> StandIns:
        before = self.before.get(place.line.slot_key)
        return StandIns(self.book, self.sheet, self.spec, self.tables, self.workings, self.places, place, before)

    def _starts_known(self, line: Line) -> bool:
        start = start_maximum(self.spec, line.exercise)
        return start is not None and not is_guess(self.spec, line.exercise)

    def _least_reps(self, line: Line) -> int:
        """The fewest reps that an exercise may be asked for."""
        in_range = line.reps.low < line.reps.high or len(line.slot.reps) > 1
        return line.reps.low if in_range else max(1, line.reps.low - self.spec.policy.fewer_reps)

    def _copy(self, row: int, column: str, source: Cell, style: str) -> None:
        self.sheet.formula(row, COLUMN[column], belief.as_is, {"value": source}, style)

    def _of_the_line(self, line: Line) -> dict[str, Reference]:
        """What the judgement of each of its sets needs."""
        cells = self.workings.row(line)
        names: dict[str, Reference] = {**self.tables.policy, "curve": self.tables.curve, "before": ""}
        names |= {name: cells[name] for name in _OF_THE_WEEK}
        # Against a known start, slips are told as well as against this week's belief, and what was
        # lifted does not hang on all that was believed before: a phone has less to recalculate.
        known, of_week_1 = self._starts_known(line), self.workings.rows[line.slot_key, 1]
        names["prior_for_slips"] = cells["first_prior" if known else "prior"]
        names["exposures_for_slips"] = 1 if known else cells["exposures"]
        names["spread_for_slips"] = (of_week_1 if known else cells)["spread_plan"]
        done = [line.exercise, *map(self.spec.exercise, line.slot.stand_ins)]
        if any(exercise.implement == "barbell" for exercise in done):
            names["loads"] = self.tables.ladders["barbell"]
        names["far_too_heavy"] = far_too_heavy(self.spec, line.exercise)
        names["per_hand"] = int(line.exercise.is_per_hand)
        names["typed_in_other"] = plausibility.TYPED_IN_OTHER[self.spec.block.unit]
        return names

    def _judge(self, place: LinePlace, planned: PlannedSet, row: int, of_the_line: dict[str, Reference]) -> None:
        names: dict[str, Reference] = {**place.cells[planned.number], **of_the_line}
        names |= {
            "load_above": self._load_above(place, planned.number),
            "load_before": self._load_before(place, planned.number),
            "usual_rpe": place.line.rpe if planned.rpe is None else planned.rpe,
            "more_counts": int(planned.kind in _REPS_ASKED),
            "test": int(planned.goes_all_out),
            "set_number": max(1, planned.number),
        }
        way = self.spec.block.effort_as
        if self.spec.block.in_reserve:
            self._define(row, "effort", effort.effort_of_reserve, {"left": place.typed_cell("rpe", planned.number)},
                         "working")  # fmt: skip
            names["target_rpe"] = "–" if planned.rpe is None else planned.rpe
        told = names | {"spare": verdict.ABOUT_AS_MANY if planned.kind == "max reps" else 0}
        in_words = (VERDICT_WITH_PLATES if "loads" in names else verdict.VERDICT)[way]
        if place.chosen:
            own: dict[str, Reference] = {"load": place.typed_cell("load", planned.number), "chosen": place.chosen}
            self._define(row, OWN_LOAD.name, stand_ins.own_load, own, "working")
            told = told | own
            if "loads" in names:
                told["on_barbell"], in_words = place.of_the_choice["on_barbell"], VERDICT_WITH_PLATES_OR_NONE[way]
        self._define(row, "verdict", in_words, told, "verdict")
        for_slips: dict[str, Reference] = {
            "prior": names["prior_for_slips"],
            "exposures": names["exposures_for_slips"],
            "spread": names["spread_for_slips"],
            "reps_asked": names["target_reps"],
        }
        if planned.kind == "max reps":
            for_slips["target_reps"] = plausibility.MOST_REPS
        if place.chosen:
            for_slips |= {**place.of_the_choice, "load": own["load"], "prior": place.of_the_choice["known"]}
        self._define(row, "plausible", plausibility.plausible, names | for_slips, "working")
        self._define(row, "one_rep_max", logged_set.estimate_of_set, names, "one place")
        # A test teaches all sessions after it: it hangs on what was typed alone, or they would hang on all before.
        missed_below = {"target_reps": self._least_reps(place.line)} if place.line.tests_effort else {}
        self._define(row, "all_out", logged_set.all_out, names | missed_below, "working")
        self._define(row, "reserve", logged_set.reserve, names, "working")
        self._define(row, "trusted", logged_set.trusted_estimate, names, "working")
        self._define(row, "weight", logged_set.weight, names, "working")
        if planned.number:
            self._define(row, "lifted", logged_set.lifted_load, names, "working")
            if planned.kind != "back-off":
                rungs = self.tables.ladders.get(place.line.exercise.implement)
                counted = logged_set.load_that_counts if rungs else belief.as_is
                own = {"rungs": rungs or "", "value": place.cells[planned.number]["lifted"]}
                own["beside"] = self._loads_beside(place, planned.number)
                self._define(row, "counts", counted, names | own, "working")
            self._define(row, "overshoot", logged_set.overshoot, names, "working")
            self._define(row, "judged", calibration.judged, names, "working")
            self._define(row, "failed", calibration.failed, names, "working")
            names["estimate"] = place.cells[planned.number]["one_rep_max"]
            self._define(row, "tells", telling.estimate_that_tells, names, "working")

    @staticmethod
    def _load_above(place: LinePlace, number: int) -> Cell | str:
        """What was lifted in the set above; "" for the first."""
        above = [other for other in place.set_rows if other < number]
        return place.cell("load", max(above)) if above else ""

    @staticmethod
    def _loads_beside(place: LinePlace, number: int) -> Reference:
        """What was lifted in the sets above and below, of those that decide the next load; its own where none is."""
        decide = [planned.number for planned in place.line.top_sets]
        beside = [place.cell("lifted", other) for other in (number - 1, number + 1) if other in decide]
        return tuple(beside or [place.cell("lifted", number)])

    def _load_before(self, place: LinePlace, number: int) -> Cell | str:
        """The load typed for that set the week before, or for the last one there was; "" where there is none."""
        before = self.before.get(place.line.slot_key)
        return before.typed_cell("load", min(number, max(before.set_rows))) if before and before.set_rows else ""

    def _define(self, row: int, column: str, definition: Definition, names: dict[str, Reference], style: str) -> None:
        self.sheet.formula(row, COLUMN[column], definition, names, style)

    def _offer_choices(self, places: tuple[SessionPlace, ...]) -> None:
        """Lists and gentle warnings on entry; nothing is refused."""
        sets = [(place, n) for session in places for place in session.lines for n in place.set_rows]
        efforts = tuple(place.typed_cell("rpe", n) for place, n in sets)
        reps = tuple(place.cell("reps", n) for place, n in sets)
        loads = tuple(place.typed_cell("load", n) for place, n in sets)
        title, off_scale = _OFF_SCALE[self.spec.block.effort_as]
        self.sheet.validations += [
            Validation(efforts, {"validate": "list", "source": self.tables.efforts, "error_title": say(title),
                                 "error_message": say(off_scale), "input_title": say(title),
                                 "input_message": scale_in_short(self.spec.block)}),
            Validation(reps, {"validate": "integer", "criteria": "between", "minimum": 0, "maximum": 100,
                              "error_title": say("Reps"),
                              "error_message": say("Reps are a whole number. Keep it anyway?")}),
            Validation(loads, {"validate": "decimal", "criteria": "between", "minimum": 0, "maximum": 1500,
                               "error_title": say("Load"),
                               "error_message": say("A load is a number only. Keep it anyway?")}),
        ]  # fmt: skip
        for session in places:
            labels = [say("none"), *(place.line.label for place in session.lines), say("all")]
            self.sheet.validations.append(
                Validation((session.input_cell("pain"),), {"validate": "list", "source": labels,
                           "error_title": say("Pain"),
                           "error_message": say("none, all, or an exercise's letter. Keep it?")})
            )  # fmt: skip


def _may_be_long(line: Line) -> bool:
    """Whether the sentence on a load may take three lines: what was before and what today changed, say.

    A load that the coach set says so, in one.
    """
    if line.coach_load is not None and not line.slot.stand_ins:
        return False
    moved_today = line.steered and line.depth > 1
    return bool(line.week > 1 or moved_today or line.slot.back_off or line.slot.stand_ins)


def _lines_needed(text: str) -> int:
    return 1 + len(text) // 56
