"""The Workings sheet: the load decision, one row an exercise and week, every step in a column.

The rows of an exercise stand beneath one another, so a coach can follow a load back
through the weeks. What notes and answers say of pain is worked out in tables below (`steps`).
Columns are named as in `training.progression`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from itertools import chain

from blockbook.languages import say
from blockbook.sheet.book import Book, Cell, Reference
from blockbook.spec.models import Specification
from blockbook.training import pain
from blockbook.training.prescription import Line
from blockbook.workbook.layout import WORKINGS, LinePlace, SessionPlace
from blockbook.workbook.steps import COLUMNS, Workings
from blockbook.workbook.tables import Tables
from blockbook.workbook.workings_belief import fill_belief, fill_judgement, fill_to_plan_from, fill_today
from blockbook.workbook.workings_load import fill_target
from blockbook.workbook.workings_log import fill_pain, fill_what_is_carried, fill_what_is_given, fill_what_was_done
from blockbook.workbook.workings_row import Row


def add_workings(
    book: Book,
    spec: Specification,
    tables: Tables,
    weeks: tuple[tuple[SessionPlace, ...], ...],
    workings: Workings,
) -> None:
    sheet = book.add(WORKINGS)
    sheet.title(say("Workings: how each load is decided, step by step"), 9)
    for cell, heading in workings.headings:
        sheet.put(cell.row, cell.column, say(heading), "heading")
    for cell, label in workings.labels:
        sheet.put(cell.row, cell.column, label, "working text")
    for position, (name, _) in enumerate(COLUMNS):
        sheet.widths[position] = {"slot_key": 26, "exercise": 24}.get(name, 10)
    sheet.frozen = (2, 3)
    sheet.printed = False
    taught: dict[int, list[Line]] = defaultdict(list)
    related, again = _others(weeks[0], _relatives), _others(weeks[0], _the_same)
    decided_again = _others(weeks[0], _the_same_decided)
    earlier: dict[str, LinePlace] = {}
    heard: dict[str, Reference] = {"alarm_before": int(spec.block.alarm_open), "alarmed_before": 0}
    held: dict[str, Cell] = {}
    for place in chain.from_iterable(weeks):
        placed = {line_place.line.slot_key: line_place for line_place in place.lines}
        for line in place.session.lines:
            at, before = placed.get(line.slot_key), earlier.get(line.slot_key)
            row = Row(sheet, spec, tables, workings, place, line, at, before, bool(decided_again[line.slot_key]))
            row.names |= heard
            fill_what_is_given(row)
            fill_what_is_carried(row, _trained_elsewhere(line, place, workings, again[line.slot_key]))
            nearby = _pain_nearby(line, place, workings, related[line.slot_key])
            fill_pain(row, nearby, held.get(line.slot.held_for, 1))
            fill_what_was_done(row)
            fill_judgement(row, taught[place.session.number])
            fill_belief(row)
            fill_to_plan_from(row, _shown_elsewhere(line, place, workings, decided_again[line.slot_key]))
            fill_today(row)
            fill_target(row)
        earlier |= placed
        held |= {
            line.slot.held_for: workings.cell(line, "others_held") for line in place.session.lines if line.slot.held_for
        }
        for line in place.session.lines[:1]:
            of_session = workings.row(line)
            heard = {"alarm_before": of_session["alarm_open"], "alarmed_before": of_session["alarmed_in"]}
        _teach(taught, place, len(weeks[0]))


def _others(week: Sequence[SessionPlace], wanted: Callable[[Line, Line], bool]) -> dict[str, list[tuple[int, str]]]:
    """Of each slot those wanted among the others of the week: number of the session and key of the slot."""
    every = [(place.session.number, line) for place in week for line in place.session.lines]
    return {
        line.slot_key: [
            (number, other.slot_key) for number, other in every if other is not line and wanted(line, other)
        ]
        for _, line in every
    }


def _relatives(line: Line, other: Line) -> bool:
    return pain.close_relatives(line.exercise, other.exercise)


def _the_same(line: Line, other: Line) -> bool:
    return line.exercise.name == other.exercise.name


def _the_same_decided(line: Line, other: Line) -> bool:
    """In another session, both of loads that are decided here: easy sets in percent say little of a maximum."""
    return _the_same(line, other) and line.decided and other.decided and line.session_id != other.session_id


def _trained_elsewhere(
    line: Line, place: SessionPlace, workings: Workings, again: Sequence[tuple[int, str]]
) -> list[Cell]:
    """When an exercise was last trained in its other places: this week in sessions before this one, else before."""
    weeks = [(key, line.week if number < place.session.number else line.week - 1) for number, key in again]
    return [workings.rows[key, week]["trained_on"] for key, week in weeks if week]


def _shown_elsewhere(
    line: Line, place: SessionPlace, workings: Workings, again: Sequence[tuple[int, str]]
) -> Reference:
    """What an exercise showed last by the session before this one that has it: of this week, else of the week before.

    Not in the same session: what the sets of a session show hangs on all its loads.
    """
    earlier = [(key, line.week) for number, key in again if number < place.session.number]
    later = [(key, line.week - 1) for number, key in again if number > place.session.number]
    before = earlier or (later if line.week > 1 else [])
    return workings.rows[before[-1]]["shown"] if before else ""


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
