"""Where each step of the load decision stands: a column a step, a row an exercise and week of the Workings sheet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import chain

from blockbook.sheet.book import Cell, Run
from blockbook.training.prescription import Line
from blockbook.workbook.layout import WORKINGS, SessionPlace

COLUMNS: tuple[tuple[str, str], ...] = (
    ("slot_key", "Exercise key"),
    ("exercise", "Exercise"),
    ("week", "Week"),
    ("reps", "Base reps"),
    ("rpe", "Target effort"),
    ("range_width", "Width of rep range"),
    ("body_load", "Body load"),
    ("progress", "Progresses by"),
    ("first_prior", "1RM at the start"),
    ("guessed", "It is a guess"),
    ("last_load", "Last load"),
    ("earlier_load", "Load before it"),
    ("last_heaviest", "Heaviest set of last time"),
    ("last_overshoot", "Last over target"),
    ("last_extra", "Last extra reps"),
    ("last_none_up", "Last 1RM at most"),
    ("last_failed", "1RM by last sets, all failed"),
    ("last_short", "Heaviest that failed last time"),
    ("last_back_off_over", "Last back-off sets over target"),
    ("last_back_off_seen", "1RM by those"),
    ("last_back_off_lifted", "Load of those"),
    ("last_back_off_failed", "Lightest of those that failed"),
    ("last_pain", "Pain carried"),
    ("held", "Held for another"),
    ("holding_pain", "Pain that holds"),
    ("sore", "Where that is"),
    ("pain_before", "Pain last week"),
    ("exposures", "Earlier logs"),
    ("day_number", "Day"),
    ("trained_on", "Last logged on"),
    ("days", "Days since"),
    ("idle_weeks", "Idle weeks"),
    ("bias", "Reps left unreported"),
    ("prior", "1RM believed before"),
    ("prior_variance", "Its variance"),
    ("to_plan_from", "1RM to plan from"),
    ("seen", "1RM observed"),
    ("seen_variance", "Its variance"),
    ("precision", "Precision, against believed"),
    ("pull", "Precision x ln(observed / believed)"),
    ("day_above", "Day, by the sets above"),
    ("feeler_innovation", "Feeler against believed"),
    ("feeler_gain", "Believed of the feeler"),
    ("day", "Day effect here"),
    ("shared", "Shift shared by session"),
    ("shared_left", "Still open of it"),
    ("capacity", "1RM believed after"),
    ("variance", "Its variance"),
    ("shown", "1RM shown last, fresh"),
    ("spread_plan", "Spread, plan"),
    ("spread", "Spread, today"),
    ("fewer", "Reps fewer at most"),
    ("last_demand", "Last load's demand"),
    ("share", "Share of 1RM asked"),
    ("share_reps", "The same, reps fewer"),
    ("reference", "Last load, comparable"),
    ("ceiling", "Ceiling"),
    ("ceiling_reps", "Ceiling, reps fewer"),
    ("floor", "Floor"),
    ("room", "Room for reps"),
    ("aim", "Aim, plan"),
    ("careful", "Careful, plan"),
    ("lower", "Load under, plan"),
    ("upper", "Load over, plan"),
    ("cheap", "Least cost, plan"),
    ("by_reps", "Reps fill the step"),
    ("sure", "1RM for reps, plan"),
    ("fits", "Load that fits, plan"),
    ("above", "Load above it, plan"),
    ("fitting", "Chosen of both, plan"),
    ("last_made", "Last load, loadable"),
    ("last_above", "Load above it"),
    ("half", "Half the range, plan"),
    ("filled", "Load by reps, plan"),
    ("planned", "Plan"),
    ("ceiling_today", "Ceiling, today"),
    ("ceiling_reps_today", "The same, reps fewer"),
    ("able", "1RM today"),
    ("aim_today", "Aim, today"),
    ("careful_today", "Careful, today"),
    ("lower_today", "Load under, today"),
    ("upper_today", "Load over, today"),
    ("cheap_today", "Least cost, today"),
    ("sure_today", "1RM for reps, today"),
    ("fits_today", "Load that fits, today"),
    ("above_today", "Load above it, today"),
    ("fitting_today", "Chosen of both, today"),
    ("half_today", "Half the range, today"),
    ("filled_today", "Load by reps, today"),
    ("target", "Today"),
    ("extra_plan", "Extra reps, plan"),
    ("extra", "Extra reps, today"),
    ("target_reps", "Target reps"),
    ("step", "Against last time, in words"),
    ("plan_reason", "Plan, in words"),
    ("back_off_most", "Back-off at most"),
    ("back_off_plan", "Back-off, plan"),
    ("back_off_from", "Back-off counted from"),
    ("back_off_target", "Back-off, today"),
    ("back_off_reason", "Back-off, in words"),
    ("feeler_target", "Feeler"),
    ("top", "Load of the top sets"),
    ("logged_load", "Load lifted"),
    ("heaviest", "Heaviest set"),
    ("none_up", "1RM at most"),
    ("failed", "1RM by sets that all failed"),
    ("short", "Heaviest set that failed"),
    ("logged_overshoot", "Over target"),
    ("mean_overshoot", "Over target, mean"),
    ("back_off_over", "Back-off sets over target"),
    ("back_off_seen", "1RM by the back-off sets"),
    ("back_off_lifted", "Load of the back-off sets"),
    ("back_off_failed", "Lightest that failed"),
    ("test_gap", "Test of effort, reps"),
    ("tests", "Tests so far"),
    ("gaps", "Their sum"),
    ("best", "Best est. 1RM"),
    ("logged", "Sets logged"),
    ("to_look_at", "Of these to look at"),
    ("felt_over", "Over target, as told"),
    ("doubted", "Efforts doubted"),
    ("effort_check", "Efforts to check"),
    ("harder", "Harder on the whole"),
    ("done", "Sets done"),
    ("hard", "Hard sets"),
    ("tonnage", "Tonnage"),
    ("pain_typed", "Pain typed"),
    ("letters", "Letters with pain"),
    ("pain_answer", "Pain answered"),
    ("typed_plain", "Pain and where"),
    ("typed_alike", "Those, in one form"),
    ("typed_bare", "Those, in short"),
    ("typed_turned", "Those, what came back"),
    ("typed_cues_apart", "Those, cues apart"),
    ("typed_denied", "Those, a no taken"),
    ("typed_words", "What those say"),
    ("alarm", "Physician, typed"),
    ("alarm_words", "Of the session, ordinary apart"),
    ("heart_heard", "Of heart or breath"),
    ("alarm_heard", "Physician, noted"),
    ("alarm_noted", "Physician, or in a note"),
    ("alarm_open", "Physician, not answered"),
    ("alarm_answered", "Physician, answered now"),
    ("alarmed_in", "Physician, last session open"),
    ("named", "Pain names it"),
    ("notes_plain", "Notes"),
    ("notes_alike", "Notes in one form"),
    ("notes_bare", "Notes in short"),
    ("notes_turned", "Notes, what came back"),
    ("notes_cues_apart", "Notes, cues apart"),
    ("notes_denied", "Notes, a no taken"),
    ("words", "What notes say"),
    ("words_so_far", "Of the session so far"),
    ("noted", "Notes speak of it"),
    ("pain", "Pain"),
    ("pain_open", "Pain not answered"),
    ("pain_after", "Pain after it"),
    ("held_after", "Held after it"),
    ("others_held", "Others held after it"),
)
POSITION = {name: position for position, (name, _) in enumerate(COLUMNS)}

_DAY_COLUMNS = ("day_number", "trained_on", "days")
"""Shown as plain numbers: a program left to choose would show a date."""

_TEXT_COLUMNS = (
    "slot_key", "exercise", "progress", "pain_typed", "letters", "typed_plain", "typed_alike",
    "typed_bare", "typed_turned", "typed_cues_apart", "typed_denied", "typed_words", "alarm_words", "notes_plain",
    "notes_alike", "notes_bare", "notes_turned", "notes_cues_apart", "notes_denied", "words", "words_so_far", "sore",
    "step",
)  # fmt: skip

_OF_NOTES = (
    "notes_plain", "notes_alike", "notes_bare", "notes_turned", "notes_cues_apart", "notes_denied", "words",
    "words_so_far", "noted",
)  # fmt: skip
_OF_ANSWERS = (
    "typed_plain", "typed_alike", "typed_bare", "typed_turned", "typed_cues_apart", "typed_denied", "typed_words",
    "alarm", "alarm_words", "heart_heard", "alarm_heard",
)  # fmt: skip
_TABLE_OF = dict.fromkeys(_OF_NOTES, 1) | dict.fromkeys(_OF_ANSWERS, 2)
"""Steps with long formulas stand in tables below the first: a file is packed well where rows are short."""

_OF_THE_SESSION = (
    "tests", "gaps", "bias", "shared", "shared_left", "pain_typed", "letters", "pain_answer", *_OF_ANSWERS,
    "alarm_noted", "alarm_open", "alarm_answered", "alarmed_in", "effort_check", "harder",
)  # fmt: skip
"""Stand once, in the row of a session's first exercise."""

_FIRST_ROW = 2


def style_of(name: str) -> str:
    if name in _DAY_COLUMNS:
        return "working day"
    return "working text" if name in _TEXT_COLUMNS else "working"


@dataclass(frozen=True)
class Workings:
    """Finds the cell of a quantity by exercise key and week.

    rows: exercise key and week -> where each quantity stands. Every cell is made once, here: thousands
    of formulas point to it.
    """

    rows: Mapping[tuple[str, int], Mapping[str, Cell]]

    def row(self, line: Line, weeks_back: int = 0) -> Mapping[str, Cell]:
        return self.rows[line.slot_key, line.week - weeks_back]

    def row_after(self, line: Line) -> Mapping[str, Cell] | None:
        """The same exercise's next week; None where it has none."""
        return self.rows.get((line.slot_key, line.week + 1))

    def cell(self, line: Line, name: str) -> Cell:
        return self.row(line)[name]

    def number(self, line: Line) -> int:
        """The place of a row among all, from 1."""
        return self.cell(line, "exercise").row - _FIRST_ROW + 1

    @property
    def headings(self) -> Iterator[tuple[Cell, str]]:
        """What stands above each column of each table."""
        for name, heading in COLUMNS:
            yield Cell(WORKINGS, _FIRST_ROW - 1 + _table_at(name, len(self.rows)), POSITION[name]), heading

    @property
    def labels(self) -> Iterator[tuple[Cell, str]]:
        """The exercise and week of each row of the tables below the first."""
        for (key, week), cells in self.rows.items():
            for name in ("noted", "alarm"):
                if cells[name].row == cells["exercise"].row + _table_at(name, len(self.rows)):
                    yield Cell(WORKINGS, cells[name].row, POSITION["slot_key"]), f"{key}, {week}"

    @cached_property
    def exercises(self) -> Run:
        """The names of the exercises by `number`."""
        return Run(WORKINGS, _FIRST_ROW, _FIRST_ROW + len(self.rows) - 1, POSITION["exercise"])


def _table_at(name: str, lines: int) -> int:
    """By how many rows a step's table stands below the first."""
    return _TABLE_OF.get(name, 0) * (lines + 2)


def place_workings(weeks: tuple[tuple[SessionPlace, ...], ...]) -> Workings:
    """A row for every exercise and week, the weeks of an exercise beneath one another."""
    by_slot: dict[str, list[Line]] = defaultdict(list)
    for sessions in weeks:
        for place in sessions:
            for line in place.session.lines:
                by_slot[line.slot_key].append(line)
    lines = [line for slot_lines in by_slot.values() for line in slot_lines]
    rows = {
        (line.slot_key, line.week): {
            name: Cell(WORKINGS, row + _table_at(name, len(lines)), column) for name, column in POSITION.items()
        }
        for row, line in enumerate(lines, start=_FIRST_ROW)
    }
    for places in chain.from_iterable(weeks):
        for line in places.session.lines:
            first = rows[places.session.lines[0].slot_key, line.week]
            rows[line.slot_key, line.week] |= {name: first[name] for name in _OF_THE_SESSION}
    return Workings(rows)
