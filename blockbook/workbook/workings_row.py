"""One exercise in one week of the Workings sheet: where its quantities stand, and how a step is written there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from blockbook.formula.definition import Definition
from blockbook.sheet.book import Cell, Formula, Reference, Sheet, Table
from blockbook.spec.models import Specification
from blockbook.training import belief
from blockbook.training.loading import ladder
from blockbook.training.maximum import is_learned
from blockbook.training.prescription import Line
from blockbook.workbook.layout import LinePlace, SessionPlace
from blockbook.workbook.steps import Workings, style_of
from blockbook.workbook.tables import Tables


@dataclass
class Row:
    """`names` says which cell each quantity stands in; before: where this place of the exercise last
    stood on a week sheet; again: whether the week has the exercise in another session, too.
    """

    sheet: Sheet
    spec: Specification
    tables: Tables
    workings: Workings
    session: SessionPlace
    line: Line
    place: LinePlace | None
    before: LinePlace | None
    again: bool
    names: dict[str, Reference] = field(init=False)

    def __post_init__(self) -> None:
        self.names = {**self.tables.policy, "curve": self.tables.curve, **self.workings.row(self.line)}
        self.names["policy_extra_reps"] = self.tables.policy["extra_reps"]
        if len(self.line.slot.reps) > 1:  # reps written week by week are the coach's plan
            self.names |= {"policy_extra_reps": 0, "fewer_reps": 0}
        self.names["lightest"] = ""
        if self.ladder is not None:
            self.names["loads"] = self.ladder
            self.names["lightest"] = ladder(self.line.exercise.implement, self.spec.equipment)[0].load

    @property
    def first_jump(self) -> Reference:
        """The gain from the first time to the second; an exercise from the last block is not new to the lifter."""
        if is_learned(self.spec, self.line.exercise):
            return 0
        return self.tables.policy["first_gain_high" if self.line.reps.low >= 8 else "first_gain"]

    @property
    def has_signs(self) -> bool:
        """Whether anything can say what today is like before this exercise."""
        return self.line.steered and (self.line.depth > 1 or self.has_feeler)

    @property
    def has_feeler(self) -> bool:
        return self.place is not None and 0 in self.place.set_rows

    def signals(self, lines: Sequence[Line]) -> dict[str, Reference]:
        """What a session's exercises said, of those that said something."""
        return {
            "precisions": tuple(self.workings.cell(line, "precision") for line in lines) or 0,
            "pulls": tuple(self.workings.cell(line, "pull") for line in lines) or 0,
        }

    @property
    def ladder(self) -> Table | None:
        return self.tables.ladders.get(self.line.exercise.implement)

    def cell(self, name: str) -> Cell:
        return self._cells[name]

    @cached_property
    def _cells(self) -> Mapping[str, Cell]:
        return self.workings.row(self.line)

    def put(self, name: str, content: float | int | str) -> None:
        cell = self.cell(name)
        self.sheet.put(cell.row, cell.column, content, style_of(name))

    def define(self, name: str, definition: Definition, **own: Reference) -> None:
        self.define_at(self.cell(name), definition, own, style_of(name))

    def define_at(
        self, cell: Cell, definition: Definition, own: Mapping[str, Reference], style: str = "working"
    ) -> None:
        """own: what names stand for here; the others are those of the row."""
        names = self.names
        references = tuple([own[used] if used in own else names[used] for used in definition.names])
        self.sheet.fill(cell.row, cell.column, Formula(definition.spoken(), references), style)

    def blank(self, *names: str) -> None:
        for name in names:
            self.define(name, belief.nothing)
