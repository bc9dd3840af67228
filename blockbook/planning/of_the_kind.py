"""A next block of another kind than the one before: prescriptions as the kind's template has them.

Common practice, no source: exercises, order, pairings and wording stay the coach's. An exercise that
the template trains too is prescribed as there, its first time in the week as the template's first
time, and so on; of the others only the sets follow, week by week as those of the template's others do.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence

from blockbook.spec.models import Session, Slot
from blockbook.spec.values import in_week

_PRESCRIPTION = ("sets", "reps", "rpe", "back_off", "percent", "load", "reserve", "rest", "feeler", "test_weeks")


def of_the_kind(
    sessions: Sequence[Session], template: Sequence[Session], weeks: int, held: Collection[tuple[str, str]] = ()
) -> tuple[tuple[Session, ...], tuple[str, ...]]:
    """The sessions with the prescriptions of a template of as many weeks, and which exercises took theirs over.

    A slot with a fixed load keeps all of it. A first load that was decided goes, since it was decided for other
    reps: the workbook works it out anew from the belief. held: (session, exercise) whose first load stays, since
    the coach said it or it hurts.
    """
    ours = {_name(slot) for slot in _slots(sessions) if slot.kind != "fixed"}
    as_there: dict[str, list[Slot]] = defaultdict(list)
    others = []
    for slot in _slots(template):
        if _name(slot) in ours:
            as_there[_name(slot)].append(slot)
        else:
            others.append(slot)
    shares = _shares(others, weeks)
    taken: dict[str, str] = {}

    def prescribed(session: Session, slot: Slot) -> Slot:
        if slot.kind == "fixed":
            return slot
        if not (known := as_there[_name(slot)]):
            return _with_shares(slot, shares)
        taken[_name(slot)] = slot.exercise
        there = known.pop(0) if len(known) > 1 else known[0]
        update = {name: getattr(there, name) for name in _PRESCRIPTION}
        if (session.name, slot.exercise) not in held:
            update |= {"loads": {}, "from_last_block": None, "extra_from_last_block": None}
        return slot.model_copy(update=update)

    made = []
    for session in sessions:
        slots = tuple(prescribed(session, slot) for slot in session.slots)
        made.append(session.model_copy(update={"slots": slots}))
    return tuple(made), tuple(taken.values())


def _slots(sessions: Iterable[Session]) -> Iterable[Slot]:
    return (slot for session in sessions for slot in session.slots)


def _name(slot: Slot) -> str:
    return slot.exercise.casefold()


def _shares(slots: Sequence[Slot], weeks: int) -> list[float]:
    """Sets of each week as a share of the fullest week's."""
    sets = [sum(in_week(slot.sets, week) for slot in slots) for week in range(1, weeks + 1)]
    fullest = max(sets, default=0)
    return [number / fullest if fullest else 1.0 for number in sets]


def _with_shares(slot: Slot, shares: Sequence[float]) -> Slot:
    """The slot with its fullest week's sets cut to each week's share, half a set counting as one."""
    if all(share == 1 for share in shares):
        return slot

    def cut(sets: Sequence[int]) -> tuple[int, ...]:
        return tuple(int(max(sets) * share + 0.5) for share in shares)

    back_off = slot.back_off and slot.back_off.model_copy(update={"sets": cut(slot.back_off.sets)})
    return slot.model_copy(update={"sets": cut(slot.sets), "back_off": back_off})
