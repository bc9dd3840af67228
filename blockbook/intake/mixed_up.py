"""Sessions or exercises of the same name, told apart by their order only: whose log is whose once it changes?"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import NamedTuple

from blockbook.spec.models import Session, Slot, Specification, session_ids, slot_ids
from blockbook.spec.values import slug


class _Named(NamedTuple):
    """A session or slot without an id of the coach's. features: what it is like, to tell it from its namesakes."""

    name: str
    features: frozenset[str]


def mixed_up(old: Specification, new: Specification, logged: Collection[str]) -> Iterator[str]:
    """A sentence for each name whose logs would go to another of that name, were they kept by id.

    logged: keys of the rows that hold something. Namesakes whose order stayed the same are fine.
    """
    with_log = {tuple(key.split(".")[1:3]) for key in logged}
    old_sessions = dict(zip(session_ids(old), old.sessions, strict=True))
    new_sessions = dict(zip(session_ids(new), new.sessions, strict=True))
    ids = {session for session, _ in with_log}
    yield from _mixed("The block", "session", _sessions(old_sessions), _sessions(new_sessions), ids)
    for session_id in sorted(old_sessions.keys() & new_sessions.keys()):
        was, now = old_sessions[session_id], new_sessions[session_id]
        ids = {slot for session, slot in with_log if session == session_id}
        yield from _mixed(f"Session {now.name}", "exercise", _slots(was), _slots(now), ids)


def _sessions(sessions: Mapping[str, Session]) -> dict[str, _Named]:
    return {
        session_id: _Named(session.name, frozenset([session.day or "", *(slot.exercise for slot in session.slots)]))
        for session_id, session in sessions.items()
        if session.id is None
    }


def _slots(session: Session) -> dict[str, _Named]:
    return {
        slot_id: _Named(slot.exercise, _prescription(slot))
        for slot_id, slot in zip(slot_ids(session), session.slots, strict=True)
        if slot.id is None
    }


def _prescription(slot: Slot) -> frozenset[str]:
    return frozenset(map(repr, slot.model_dump(exclude={"id", "private_note"}).items()))


def _mixed(
    where: str, kind: str, old: Mapping[str, _Named], new: Mapping[str, _Named], logged: Collection[str]
) -> Iterator[str]:
    """A sentence where an old one is more like a namesake than both are like the ones with their ids."""

    def like(old_id: str, new_id: str) -> int:
        return len(old[old_id].features & new[new_id].features) if old_id in old and new_id in new else 0

    told = set()
    for old_id in old:
        name = slug(old[old_id].name)
        for new_id in new:
            likelier = like(old_id, new_id) > max(like(old_id, old_id), like(new_id, new_id))
            same_name = slug(new[new_id].name) == name and new_id != old_id
            if same_name and likelier and {old_id, new_id} & set(logged) and name not in told:
                told.add(name)
                ids = " and ".join(f"id: {own}" for own in old if slug(old[own].name) == name)
                yield (
                    f"{where} has the {kind} {old[old_id].name} more than once, and their order changed, so it is not "
                    f"clear whose log is whose. Give each an id of its own (in a plan workbook under "
                    f"{kind.capitalize()} id, far right on the Plan); in the returned workbook they are, "
                    f"in order, {ids}."
                )
