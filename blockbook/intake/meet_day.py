"""The day of a block's meet as it was typed: weights and marks understood, never taken for sets of the block."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import time, timedelta
from itertools import chain
from typing import Any

from blockbook.formula.functions import Scalar, moment_number
from blockbook.intake import cells
from blockbook.intake.findings import Finding, finding
from blockbook.intake.found import FoundCell, FoundRow, as_text, is_blank
from blockbook.intake.log import Attempt, MeetDay
from blockbook.languages import speaking
from blockbook.sheet.calculation import Calculation
from blockbook.training.attempts import ATTEMPTS
from blockbook.training.meet_day import body_weight_meant, good_mark, passed, weight_meant
from blockbook.training.meet_numbers import LIFTS
from blockbook.workbook.assemble import BlockBook
from blockbook.workbook.meet import SO_FAR, planned_body_weight, planned_cell
from blockbook.workbook.meet_cells import MEET
from blockbook.workbook.row_key import meet_key

_BODY_WEIGHT = "meet.body_weight"
_TEXTS = ("mark", "sex", "equipment", "event", "plates")
_WORDS = {"1": "first", "2": "second", "3": "third"}


def meet_inputs(workbook: BlockBook) -> tuple[str, ...]:
    """Names of what is typed on the Meet sheet; none where the block has none."""
    return tuple(name for name, cell in workbook.book.inputs.items() if cell.sheet == MEET)


def meet_keys(workbook: BlockBook) -> list[str]:
    return [meet_key(name) for name in meet_inputs(workbook)]


def said_of_meet(key: str) -> str:
    """ "squat, first, weight" for w0.meet.squat-1-weight."""
    parts = key.rpartition(".")[2].split("-")
    return ", ".join(_WORDS.get(part, part.replace("_", " ")) for part in parts)


@dataclass
class MeetUnderstanding:
    """Understands what was typed on a block's Meet sheet. typed: as it stood; inputs: for the recalculation."""

    workbook: BlockBook
    rows: Mapping[str, FoundRow]
    inputs: dict[str, Scalar] = field(default_factory=dict)
    typed: dict[str, Any] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)

    def read(self) -> None:
        self.inputs |= self.workbook.typed
        for name in meet_inputs(self.workbook):
            row = self.rows.get(meet_key(name))
            if row is not None:
                cell = row.cells["load"]
                self.typed[name] = cell.value
                self.inputs[name] = self._understood(name, cell)

    def _understood(self, name: str, cell: FoundCell) -> Scalar:
        kind, raw = name.rpartition(".")[2], cell.value
        if kind in _TEXTS:
            if kind == "mark" and self._mark(as_text(raw)) == "?":
                self._say(
                    "mark-unclear", name, cell, f'"{as_text(raw)}" is neither good nor miss; it is kept as typed.'
                )
            return as_text(raw) or None
        if isinstance(raw, (time, timedelta)):  # a clock time
            return moment_number(raw)
        if name.startswith("meet.start."):
            return raw if isinstance(raw, float) else as_text(raw) or None
        if kind == "weight" and self._is_left_out(as_text(raw)):
            return as_text(raw)
        reading = cells.read_load(raw, "lb" if name == "meet.convert.lb" else "kg")
        if reading.code and reading.value is None:
            self._say(reading.code, name, cell, f'"{reading.raw}" is {reading.remark}; it is kept as typed.')
        elif reading.code:
            self._say(reading.code, name, cell, f"{reading.remark}.")
        return reading.value

    def _mark(self, text: str) -> Scalar:
        """A mark in English or the lifter's language, as the sheet understands it."""
        with speaking(self.workbook.spec.lifter.language):
            return good_mark.spoken().value(text)

    def _is_left_out(self, text: str) -> bool:
        """Whether a weight or a mark says that the attempt was left out on purpose: it is neither good nor a miss."""
        with speaking(self.workbook.spec.lifter.language):
            return bool(passed.spoken().value(text))

    def _say(self, code: str, name: str, cell: FoundCell, said: str) -> None:
        message = f"{said_of_meet(meet_key(name))}: {said}"
        self.findings.append(finding(code, message, cell.sheet, cell.address, as_text(cell.value)))

    def day(self, calculation: Calculation) -> MeetDay | None:
        """What was lifted, numbers that cannot be meant left out and said; None where nothing was typed."""
        typed = {name: as_text(value) for name, value in self.typed.items() if as_text(value)}
        if not typed:
            return None
        of_attempts = {name for name in typed if name.endswith((".weight", ".mark"))}
        return MeetDay(
            body_weight=self._body_weight() if _BODY_WEIGHT in typed else None,
            attempts=tuple(chain.from_iterable(self._attempts(calculation, lift, typed) for lift in LIFTS)),
            total=calculation.number(SO_FAR),
            raw={name: text for name, text in typed.items() if name not in of_attempts},
        )

    def _body_weight(self) -> float | None:
        weight, planned = self.inputs.get(_BODY_WEIGHT), planned_body_weight(self.workbook.spec)
        if not isinstance(weight, (int, float)):
            return None
        if is_blank(body_weight_meant.value(weight, planned)):
            said = f"{weight:g} kg is too far from the {planned:g} kg of the block to be meant; it is kept as typed."
            self._doubt(_BODY_WEIGHT, said)
            return None
        return float(weight)

    def _attempts(self, calculation: Calculation, lift: str, typed: Mapping[str, str]) -> Iterator[Attempt]:
        before = 0.0
        for number in range(1, ATTEMPTS + 1):
            names = {part: f"meet.{lift}.{number}.{part}" for part in ("weight", "mark")}
            if not any(name in typed for name in names.values()):
                continue
            left_out = any(self._is_left_out(typed.get(name, "")) for name in names.values())
            mark = "" if left_out else self._mark(typed.get(names["mark"], ""))
            weight = self._weight(calculation, lift, names["weight"])
            if names["weight"] not in typed and mark in (0, 1):
                weight = calculation.number(planned_cell(lift, number))
            if weight is not None and weight < before:
                self._doubt(
                    names["weight"] if names["weight"] in typed else names["mark"],
                    f"{weight:g} kg is lighter than the attempt before it, {before:g} kg, and the bar never goes down "
                    "(the federation's rules decide). It is kept as typed.",
                )
            before = weight or before
            yield Attempt(
                lift=lift,
                number=number,
                weight=weight,
                good=bool(mark) if mark in (0, 1) else None,
                raw={part: typed[name] for part, name in names.items() if name in typed},
            )

    def _weight(self, calculation: Calculation, lift: str, name: str) -> float | None:
        """A weight typed, in kg; None where there is none, or none that can be meant."""
        weight, opener = self.inputs.get(name), calculation.number(planned_cell(lift, 1))
        if not isinstance(weight, (int, float)) or opener is None:
            return None
        if is_blank(weight_meant.value(weight, opener)):
            self._doubt(name, f"{weight:g} kg is far above the planned opener, {opener:g} kg: in lb? It is not used.")
            return None
        return float(weight)

    def _doubt(self, name: str, said: str) -> None:
        self._say("number-out-of-range", name, self.rows[meet_key(name)].cells["load"], said)
