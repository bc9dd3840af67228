"""First loads that were decided for other reps or another effort than a block now asks for."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import NamedTuple

from blockbook.assessment.first_loads import in_first_week, slot_keys
from blockbook.spec.models import Session, Slot, Specification
from blockbook.training.effort import load_for, percent_of_max
from blockbook.training.loading import NO_CEILING, ladder, loadable, looked_up
from blockbook.training.prescription import Line, weeks


class Fitted(NamedTuple):
    """A first load that was decided for what `was` asks, and the heaviest that is no harder where `now` is asked.

    is_lightest: even the lightest that can be made would be harder.
    """

    was: Line
    now: Line
    decided: float
    no_harder: float
    is_lightest: bool


def keyed_slots(spec: Specification, keys_of: Specification) -> dict[str, Slot]:
    """The exercises of a block by the keys that the block before it has; both have them in one order."""
    return dict(zip(slot_keys(keys_of), spec.slots, strict=True))


def fitted_loads(
    before: Specification, after: Specification, keys_of: Specification, held: Mapping[str, float]
) -> dict[str, Fitted]:
    """Every first load that stands in `after` as it was decided for other reps or another effort in `before`.

    No harder is at most the load that was decided, one believed to be as hard, and what the sheet itself would make
    of what is believed. held: loads to go by in place of those that stand there, by key.
    """
    lines = [
        dict(zip(slot_keys(keys_of), (line for session in weeks(spec)[0] for line in session.lines), strict=True))
        for spec in (before, after)
    ]
    moved = {
        key: (was, now)
        for key, was in lines[0].items()
        if 1 in (now := lines[1][key]).slot.loads and _asked(was) != _asked(now)
    }
    believed = in_first_week(after, keys_of) if moved else {}
    found = {}
    for key, (was, now) in moved.items():
        decided = held.get(key, now.slot.loads[1])
        sheet = believed[key].load if key in believed else None
        most = min(decided, _as_hard(decided, was, now, after), NO_CEILING if sheet is None else sheet)
        made = decided if most == decided else _made(most, now, after)
        found[key] = Fitted(was, now, decided, made, round(made - most, 6) > 0)
    return found


def with_first_loads(
    spec: Specification, keys_of: Specification, fitted: Mapping[str, Fitted], typed: Collection[str]
) -> Specification:
    """The block with loads that are no harder than decided. typed: keys of loads in the coach's own numbers, which
    stay."""
    keys = iter(slot_keys(keys_of))

    def with_load(slot: Slot) -> Slot:
        key = next(keys)
        if key not in fitted or key in typed:
            return slot
        load = fitted[key].no_harder
        worked_out = None if slot.from_last_block is None else load
        update = {"loads": {**slot.loads, 1: load}, "from_last_block": worked_out, "extra_from_last_block": None}
        return slot.model_copy(update=update)

    def with_loads(session: Session) -> Session:
        return session.model_copy(update={"slots": tuple(with_load(slot) for slot in session.slots)})

    return spec.model_copy(update={"sessions": tuple(with_loads(session) for session in spec.sessions)})


def _asked(line: Line) -> tuple[int, float, float | None]:
    return line.reps.low, line.rpe, line.percent


def _as_hard(load: float, was: Line, now: Line, spec: Specification) -> float:
    """The load that is as hard as another with its reps and effort, by the lifter's curve alone."""
    curve, body_load = spec.lifter.curve, spec.body_load(now.exercise)
    maximum = (load + body_load) / float(percent_of_max.value(was.reps.low + 10 - was.rpe, curve) or 1)
    return float(load_for.value(maximum, now.reps.low, now.rpe, body_load, curve) or 0)


def _made(load: float, line: Line, spec: Specification) -> float:
    """The heaviest load that can be made and is not above; the lightest where all are."""
    loads = looked_up(ladder(line.exercise.implement, spec.equipment))
    return float(loadable.value(load, NO_CEILING, 0, 1, loads) or 0)
