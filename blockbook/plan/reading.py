"""A plan workbook -> the specification, with errors that name sheet and cell."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple

from blockbook.errors import BlockbookError
from blockbook.intake.opening import Grid, open_one
from blockbook.intake.other_workbooks import is_plan, what_it_is
from blockbook.plan.sheet_reading import SheetReader
from blockbook.plan.source import Place, PlanSource, one_line
from blockbook.spec.documents import Location
from blockbook.spec.loading import validated
from blockbook.spec.models import KIND_WORDS, Slot, Specification
from blockbook.spec.sound import sound
from blockbook.spec.values import BACK_OFF_WEEKLY_FIELDS, WEEKLY_FIELDS


def read_plan(path: str | Path) -> Specification:
    """The specification in a plan workbook, of any spreadsheet program.

    Raises BlockbookError with one line a mistake: file, sheet and cell, what is wrong and what would be right.
    """
    return open_plan(path).spec


def open_plan(path: str | Path) -> ReadPlan:
    """The same with what had better be looked at."""
    returned = open_one(Path(path))
    return plan_in(returned.grids, str(path), returned.formulas or {})


class ReadPlan(NamedTuple):
    """What a plan workbook says, and where.

    remarks: cells that were understood in a way that the coach had better look at.
    """

    spec: Specification
    remarks: tuple[str, ...]
    source: PlanSource

    def told(self, at: Location, said: str) -> str:
        """A sentence on a part of the specification, with its cell."""
        return one_line(f"{self.source.find(at)[0]}: {said}")


def plan_in(
    grids: Mapping[str, Grid], name: str, formulas: Mapping[str, Collection[tuple[int, int]]] = MappingProxyType({})
) -> ReadPlan:
    """The same from the sheets of an open workbook, and where formulas stand; `name` is the file's in errors."""
    if not is_plan(grids):
        said = what_it_is(grids) or "this is no plan workbook: its hidden keys are missing."
        raise BlockbookError(
            f"{name}: {said} A specification is wanted here: `blockbook new TEMPLATE --out plan.xlsx` writes one."
        )
    source = PlanSource()
    for order, (sheet, grid) in enumerate(grids.items()):
        SheetReader(source, order, sheet, grid, formulas.get(sheet, ())).read()
    source.mistakes += _kinds_contradicted(source)
    source.remarks += _left_out_after_the_block(source)
    spec = validated(source, name, Specification)
    remarks = tuple(one_line(f"{place}: {remark}") for place, remark in sorted(source.remarks))
    return ReadPlan(spec, remarks, source)


def _left_out_after_the_block(source: PlanSource) -> list[tuple[Place, str]]:
    """Take out what stands in weeks that the block does not have, as where a template was made shorter."""
    block = source.data.get("block")
    weeks = block.get("weeks") if isinstance(block, dict) else None
    if not isinstance(block, dict) or not isinstance(weeks, int) or weeks < 1:
        return []
    beyond: list[tuple[Place, int]] = []
    for location, part, name in _weekly_values(source.data.get("sessions")):
        if isinstance(values := part.get(name), list) and len(values) > weeks:
            beyond += [(source.at((*location, name, at)), at + 1) for at in range(weeks, len(values))]
            part[name] = values[:weeks]
    if not beyond:
        return []
    remarks: list[tuple[Place, str]] = []
    if block.get("deload_week") in {week for _, week in beyond}:
        said = f"the block has {weeks} weeks, so there is no deload then: left out. Right? Else type its week."
        remarks.append((source.at(("block", "deload_week")), said))
        del block["deload_week"]
    which = " and ".join(f"week {week}" for week in sorted({week for _, week in beyond}))
    also = f", as are {len(beyond) - 1} more" if len(beyond) > 1 else ""
    said = (
        f"stands in {which}, and the block has {weeks} weeks: left out{also}. Right? Else correct Weeks (sheet Block)."
    )
    return [*remarks, (min(place for place, _ in beyond), said)]


def _weekly_values(sessions: Any) -> Iterator[tuple[Location, dict[str, Any], str]]:
    """Every field of the sessions that may hold a value a week: where its part stands, the part, its name."""
    for at, session in enumerate(sessions if isinstance(sessions, list) else ()):
        for number, slot in enumerate(session["slots"] if isinstance(session.get("slots"), list) else ()):
            where: Location = ("sessions", at, "slots", number)
            yield from ((where, slot, name) for name in WEEKLY_FIELDS)
            if isinstance(back_off := slot.get("back_off"), dict):
                yield from (((*where, "back_off"), back_off, name) for name in BACK_OFF_WEEKLY_FIELDS)


def _with_rising_ranges(slot: Mapping[str, Any]) -> Mapping[str, Any]:
    """A slot in which 5-3 is 3-5: that is a mistake of its own, and says of the kind as much as the right one."""
    reps = slot.get("reps")
    return {**slot, "reps": [_rising(each) for each in reps]} if isinstance(reps, list) else slot


def _rising(reps: Any) -> Any:
    found = re.fullmatch(r"(\d+)-(\d+)", str(reps))
    return "-".join(sorted(found.groups(), key=int)) if found else reps


def _kinds_contradicted(source: PlanSource) -> Iterator[tuple[Place, str]]:
    for (session, position), (place, said) in source.kinds.items():
        words = list(KIND_WORDS.values())
        if said not in words:
            yield place, f'"{said}" is none of {", ".join(words)}. Choose one, or empty this cell.'
            continue
        slot = sound(Slot, _with_rising_ranges(source.data["sessions"][session]["slots"][position]))
        if slot and said != (kind := KIND_WORDS[slot.kind]):
            made = f"says {said}, but what is filled in makes it {kind}"
            yield place, f"{made}. Empty this cell, or change the columns."
