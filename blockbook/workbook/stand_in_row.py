"""The row in which another exercise is chosen for today, and the load of each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from blockbook.formula.definition import Definition
from blockbook.languages import say
from blockbook.sheet.book import Book, Cell, Reference, Sheet, Validation
from blockbook.spec.catalogue import Exercise, shown_name
from blockbook.spec.models import Specification
from blockbook.training import stand_ins
from blockbook.training.loading import NO_CEILING
from blockbook.training.maximum import far_too_heavy, is_guess, start_maximum
from blockbook.training.prescription import Line, PlannedSet
from blockbook.workbook.layout import (
    COLUMN,
    INSTEAD,
    INSTEAD_HINT,
    OF_THE_CHOICE,
    ROW_TO_TAP,
    STAND_IN_LOADS,
    LinePlace,
    SessionPlace,
)
from blockbook.workbook.steps import Workings
from blockbook.workbook.tables import Tables
from blockbook.workbook.week_words import WORK_UP, how_loaded


@dataclass(frozen=True)
class StandIns:
    """The stand-ins of an exercise in one week. before: the last time that it was planned, None for the first.

    week: the week's sessions, this one among them.
    """

    book: Book
    sheet: Sheet
    spec: Specification
    tables: Tables
    workings: Workings
    week: Sequence[SessionPlace]
    place: LinePlace
    before: LinePlace | None

    def choice(self, row: int, planned: Mapping[str, Reference]) -> None:
        """The cell to choose in, and what holds for the exercise done today.

        planned: what its first set's judgement needs, for the planned exercise itself.
        """
        self._cell_to_choose_in(row)
        of_one = stand_ins.of_the_choice
        counted = [how_loaded(exercise) for _, exercise in self._each]
        self._choose(row, COLUMN["note"], of_one, counted, "hint", planned=say(INSTEAD_HINT), another="")
        learned = [self._learned_before(number) for number, _ in self._each]
        self._of_the_choice("learned", of_one, learned, planned="", another="")
        starts = [start_maximum(self.spec, exercise) for _, exercise in self._each]
        known: list[Reference] = ["" if start is None else start for start in starts]
        self._of_the_choice("known", stand_ins.known_of_choice, known, planned=planned["prior_for_slips"])
        self._of_the_choice("exposures", stand_ins.exposures_of_choice, [], planned=planned["exposures_for_slips"])
        for name, each, another in (
            ("guessed", [int(is_guess(self.spec, exercise)) for _, exercise in self._each], 1),
            ("body_load", [self.spec.body_load(exercise) for _, exercise in self._each], 0),
            ("per_hand", [int(exercise.is_per_hand) for _, exercise in self._each], 0),
            ("far_too_heavy", [far_too_heavy(self.spec, exercise) for _, exercise in self._each], NO_CEILING),
        ):
            self._of_the_choice(name, of_one, each, planned=planned[name], another=another)
        bars = [int(exercise.implement == "barbell") for _, exercise in self._each]
        own = int(self.place.line.exercise.implement == "barbell")
        self._of_the_choice("on_barbell", of_one, bars, planned=own, another=0)
        pains = [self._last_heard(exercise) for _, exercise in self._each]
        self._of_the_choice("hurts", of_one, pains, planned=0, another=0)
        self._what_it_shows(planned)

    def _last_heard(self, exercise: Exercise) -> Reference:
        """Above 0 where pain was the last thing heard of a stand-in that the week asks for as well."""
        heard = [
            self.workings.cell(line, "pain_after" if done else "last_pain") for line, done in self._planned(exercise)
        ]
        return heard[-1] if heard else 0

    def _planned(self, exercise: Exercise) -> list[tuple[Line, bool]]:
        """Where the week asks for a stand-in as well, and whether in a session before this one."""
        here = next(each.session.number for each in self.week if self.place.line in each.session.lines)
        return [
            (line, each.session.number < here)
            for each in self.week
            for line in each.session.lines
            if line.exercise == exercise
        ]

    def _believed_where_planned(self, exercise: Exercise) -> dict[str, Reference]:
        """What was believed of a stand-in when it was last done where the week asks for it."""
        places = self._planned(exercise)
        done = [line for line, earlier in places if earlier]
        if not places:
            return {"where_planned": "", "exposures": 0, "logged": ""}
        row = self.workings.row(done[-1] if done else places[-1][0])
        return {
            "where_planned": row["capacity" if done else "prior"],
            "exposures": row["exposures"],
            "logged": row["logged_load"] if done else "",
        }

    def _what_it_shows(self, planned: Mapping[str, Reference]) -> None:
        """The maximum that today's first set shows, and what that leaves known of each stand-in."""
        at, first = self.place.of_the_choice, self.place.line.work_sets[0]
        names: dict[str, Reference] = {**self.place.cells[first.number], **at, "curve": self.tables.curve}
        names |= {"load": self.place.typed_cell("load", first.number), "pain": planned["pain"]}
        names["target_rpe"] = "" if self.place.line.percent is not None else first.rpe or self.place.line.rpe
        names["share"] = stand_ins.share_asked(self.spec, self.place.line, first)
        self._fill(at["shown"], stand_ins.maximum_shown, names)
        names |= {"first_target": self.place.cell("target", first.number), "most": stand_ins.MOST_OFF}
        self._fill(at["percent_off"], stand_ins.percent_off, names)
        for number, _ in self._each:
            names = {**at, "number": number, "before": self._learned_before(number)}
            self._fill(_learned_cell(self.place, number), stand_ins.learned_after, names)

    def _learned_before(self, number: int) -> Reference:
        return _learned_cell(self.before, number) if self.before else ""

    def target(self, row: int, planned: PlannedSet, today: Cell) -> None:
        """The load of a set, be it the planned exercise's (today) or a stand-in's."""
        line, work_up = self.place.line, say(WORK_UP)
        names: dict[str, Reference] = {
            "today": today,
            "chosen": self.place.chosen or 0,
            "none": work_up if line.exercise.implement in self.tables.ladders else "",
            "another": work_up,
            **stand_ins.padded([self._load(row, number, exercise, planned) for number, exercise in self._each]),
        }
        self.sheet.formula(row, COLUMN["target"], stand_ins.target, names, "target")

    def _load(self, row: int, number: int, exercise: Exercise, planned: PlannedSet) -> Reference:
        """The load of one stand-in for a set: where it is worked out, or what it is."""
        line = self.place.line
        load = stand_ins.first_load(self.spec, exercise, line, planned)
        first: Reference = say(WORK_UP) if load is None else load
        loads = self.tables.ladders.get(exercise.implement)
        if self.before is None or loads is None or line.kind == "fixed":
            return first
        names: dict[str, Reference] = {
            "learned": self._learned_before(number),
            "share": stand_ins.share_asked(self.spec, line, planned),
            "body_load": self.spec.body_load(exercise),
            "otherwise": first,
            "loads": loads,
            **self._believed_where_planned(exercise),
        }
        return self.sheet.formula(row, COLUMN[STAND_IN_LOADS[number - 1].name], stand_ins.load_by_log, names, "working")

    @property
    def _each(self) -> Iterator[tuple[int, Exercise]]:
        """The stand-ins with their numbers, from 1."""
        return enumerate(map(self.spec.exercise, self.place.line.slot.stand_ins), start=1)

    def _of_the_choice(self, name: str, definition: Definition, each: Sequence[Reference], **own: Reference) -> None:
        at = self.place.of_the_choice
        own |= {"learned": at["learned"]}
        self._choose(at[name].row, COLUMN[OF_THE_CHOICE[name]], definition, each, "working", **own)

    def _choose(
        self, row: int, column: int, definition: Definition, each: Sequence[Reference], style: str, **own: Reference
    ) -> None:
        names: dict[str, Reference] = {"chosen": self.place.chosen or 0, **stand_ins.padded(each), **own}
        self.sheet.formula(row, column, definition, names, style)

    def _fill(self, cell: Cell, definition: Definition, names: Mapping[str, Reference]) -> None:
        self.sheet.formula(cell.row, cell.column, definition, names, "working")

    def _cell_to_choose_in(self, row: int) -> None:
        sheet, place = self.sheet, self.place
        sheet.heights[row] = ROW_TO_TAP
        sheet.put(row, COLUMN["key"], place.instead_key, "key")
        sheet.put(row, COLUMN["label"], say(INSTEAD), "text")
        sheet.merge(row, COLUMN["label"], COLUMN["target"])
        cell = self.book.put_input(sheet, row, COLUMN["load"], place.instead_key, "typed text")
        for column in range(COLUMN["load"] + 1, COLUMN["note"]):
            sheet.put(row, column, None, "typed text")
        sheet.merge(row, COLUMN["load"], COLUMN["note"] - 1)
        names = [shown_name(exercise) for _, exercise in self._each]
        typed: dict[str, Reference] = {"typed": cell, "planned": shown_name(place.line.exercise)}
        typed |= stand_ins.padded(names)
        sheet.formula(row, COLUMN[OF_THE_CHOICE["chosen"]], stand_ins.chosen, typed, "working")
        sheet.validations.append(
            Validation((cell,), {"validate": "list", "source": names, "error_title": say(INSTEAD),
                                 "error_message": say("None of the coach's exercises for this. Keep it anyway?")})
        )  # fmt: skip


def _learned_cell(place: LinePlace, number: int) -> Cell:
    """Where the maximum stands that a stand-in's logs show after a week."""
    assert place.instead_row is not None
    return Cell(place.sheet, place.instead_row, COLUMN[STAND_IN_LOADS[number - 1].name])
