"""What stands below a session on its week sheet: what is noted after it, and how it went."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blockbook.formula.functions import day_number
from blockbook.languages import day_to_type, say
from blockbook.sheet.book import Book, Cell, Mark, Reference, Sheet
from blockbook.spec.catalogue import shown_name
from blockbook.spec.models import Specification
from blockbook.training import session_load, session_said, volume
from blockbook.training.prescription import Line
from blockbook.workbook.layout import (
    AFTER_SESSION,
    COLUMN,
    ROW_TO_TAP,
    SESSION_INPUTS,
    SESSION_LOAD,
    SessionInput,
    SessionPlace,
    session_input_key,
)
from blockbook.workbook.meet_in_block import has_meet_sheet
from blockbook.workbook.steps import Workings
from blockbook.workbook.tables import Tables
from blockbook.workbook.week_words import capital

_FIRST = COLUMN["label"]
_STYLES = {"date": "typed date", "pain": "typed few words", "where": "typed note"}
_HEIGHTS = {"pain": 27.0, "where": 36.0}
"""Room for two lines of a few words, and for three of what a lifter writes about a pain."""

_OF_THE_SESSION = (
    ("done", "plausible", volume.summed, "logged"),
    ("to_look_at", "all_out", volume.summed, "to_look_at"),
    ("pains", "reserve", volume.summed, "pain"),
    ("noted", "trusted", volume.largest, "noted"),
    ("still_open", "lifted", volume.summed, "pain_open"),
    ("over", "overshoot", volume.mean, "felt_over"),
    ("most_over", "weight", volume.largest, "felt_over"),
    ("least_over", "judged", volume.smallest, "felt_over"),
)
"""What its exercises come to together: by what name `session_said` knows it, in which folded column of the row it
stands, and of what in each exercise."""


@dataclass(frozen=True)
class AfterSession:
    book: Book
    sheet: Sheet
    spec: Specification
    tables: Tables
    workings: Workings
    last: bool
    """Whether it is the week's last session."""
    ahead: frozenset[str]
    """Keys of the slots that next week has sets of."""

    def fill(self, place: SessionPlace) -> None:
        self.sheet.across(
            place.after_row,
            _FIRST,
            COLUMN["note"],
            f"{say(AFTER_SESSION)} · {place.session.number} · {place.session.name}",
            "after",
        )
        unit = self.spec.block.unit
        for asked in SESSION_INPUTS:
            row = place.input_rows[asked.name]
            key = session_input_key(place.session.key, asked.name)
            self.sheet.heights[row] = _HEIGHTS.get(asked.name, ROW_TO_TAP)
            self.sheet.put(row, COLUMN["key"], key, "key")
            label = f"{say(asked.label)}, {unit}" if asked.name == "body_weight" else say(asked.label)
            self.sheet.put(row, _FIRST, label, "text")
            self.sheet.merge(row, _FIRST, COLUMN["target"])
            style = _STYLES.get(asked.name, "typed number")
            self.book.put_input(self.sheet, row, COLUMN["load"], key, style)
            beside = COLUMN["reps"]
            if asked.name == "where":  # words need room
                beside = COLUMN["note"]
                for column in range(COLUMN["reps"], beside):
                    self.sheet.fill(row, column, None, style)
                self.sheet.merge(row, COLUMN["load"], beside - 1)
            self._hint(place, asked, beside)
        self.sheet.put(place.load_row, _FIRST, say(SESSION_LOAD), "soft")
        self.sheet.merge(place.load_row, _FIRST, COLUMN["target"])
        names: dict[str, Reference] = {name: place.input_cell(name) for name in ("effort", "minutes")}
        self.sheet.formula(place.load_row, COLUMN["load"], session_load.session_load, names, "whole")
        self._said(place)

    def _hint(self, place: SessionPlace, asked: SessionInput, column: int) -> None:
        """What to type, and a word on what cannot be counted: nobody looks at an empty cell elsewhere."""
        row, hint = place.input_rows[asked.name], say(asked.hint)
        if within := asked.within(self.spec.lifter.body_weight):
            typed: dict[str, Reference] = {"typed": place.input_cell(asked.name), "hint": hint}
            typed |= dict(zip(("least", "most"), within, strict=True))
            self.sheet.formula(row, column, session_said.number_hint, typed, "hint beside")
        elif asked.name == "date":
            day: dict[str, Reference] = {"typed": place.input_cell(asked.name), "hint": hint}
            done = tuple(self.workings.cell(line.line, "logged") for line in place.lines)
            day |= {"planned": day_number(place.session.day), "done": done or 0}
            day["example"] = say("type it as {day}", day=day_to_type(place.session.day))
            self.sheet.formula(row, column, session_said.date_hint, day, "hint beside")
        elif asked.name == "pain" and place.lines:
            pains, before = (
                tuple(self.workings.cell(line.line, name) for line in place.lines) for name in ("pain", "last_pain")
            )
            before += tuple(self.workings.cell(each.line, "held") for each in place.lines if each.line.slot.held_for)
            noted: dict[str, Reference] = {"pains": pains, "before": before, "hint": hint, "exercises": len(pains)}
            noted["alarm_open"] = self.workings.cell(place.lines[0].line, "alarm_open")
            self.sheet.formula(row, column, session_said.pain_hint, noted, "hint beside")
        else:
            self.sheet.put(row, column, hint, "hint beside")

    def _said(self, place: SessionPlace) -> None:
        """How the session went, and the next step of its first exercises."""
        lines = [line.line for line in place.lines]
        if not lines:
            return

        def of_all(name: str) -> tuple[Cell, ...]:
            return tuple(self.workings.cell(line, name) for line in lines)

        row = place.said_row
        of_the_session = {
            name: self.sheet.formula(row, COLUMN[column], definition, {"values": of_all(each)}, "working")
            for name, column, definition, each in _OF_THE_SESSION
        }
        alarm = self.workings.cell(lines[0], "alarm_open")
        names: dict[str, Reference] = {
            **of_the_session,
            "asked": sum(len(line.work_sets) for line in lines),
            "effort": place.input_cell("effort"),
            "harder": self.workings.cell(lines[0], "harder"),
            "effort_check": self.workings.cell(lines[0], "effort_check"),
            "other_scale": say(session_said.OTHER_SCALE[self.spec.block.effort_as]),
            "pain_cell": place.input_cell("pain"),
            "alarm_open": alarm,
            "on_target": self.tables.policy["on_target"],
        }
        week, block = place.session.week + 1, self.spec.block
        if week > block.weeks:
            meet_ahead = block.meet and place.session.day < block.meet and has_meet_sheet(self.spec)
            last = session_said.BEFORE_THE_MEET if meet_ahead else session_said.LAST_SESSION
            names["ahead"] = say(last) if self.last else ""
        elif week == block.deload_week:
            names["ahead"] = say(session_said.DELOAD_AHEAD)
        else:
            steps = self._steps(lines) | {"effort_check": names["effort_check"]}
            names["ahead"] = self.sheet.formula(row, COLUMN["failed"], session_said.next_steps, steps, "working text")
        self.sheet.across(row, _FIRST, COLUMN["rpe"], "", "said")
        self.sheet.formula(row, _FIRST, session_said.said, names, "said")
        hurts = self.sheet.formula(row, COLUMN["counts"], session_said.speaks_of_pain, names, "working")
        self.sheet.marks.append(Mark(hurts, "hurts", row, _FIRST, COLUMN["rpe"], row))
        self.sheet.heights[row] = 12.75 * 5

    def _steps(self, lines: Sequence[Line]) -> dict[str, Reference]:
        """What next week's rows say of the first exercises whose load is decided from what was logged."""
        decided = [line for line in lines if line.decided and line.coach_load is None]
        follow = [line for line in decided if line.slot_key in self.ahead]
        rows = [(line, row) for line in follow if (row := self.workings.row_after(line)) is not None]
        names: dict[str, Reference] = {}
        for position, place in enumerate(("first", "second", "third")):
            line, row = rows[position] if position < len(rows) else (None, None)
            names[place] = capital(shown_name(line.exercise)) if line else ""
            names[f"{place}_step"] = row["step"] if row else ""
            names[f"{place}_pain"] = row["holding_pain"] if row else ""
        names["alarm_ahead"] = rows[0][1]["alarm_open"] if rows else ""
        return names
