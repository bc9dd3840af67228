"""Where a lifter stands, and what of it needs the coach: the lines of the overview."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from math import exp, log
from pathlib import Path
from statistics import fmean
from typing import Literal

from blockbook import clock
from blockbook.api import file_name
from blockbook.assessment.history import LineHistory, histories, share_done
from blockbook.assessment.readiness import deload_reason, deload_signs, ended_light, weekly_over
from blockbook.errors import BlockbookError
from blockbook.intake.findings import ALARM_CARRIED, ALARMS, PAIN
from blockbook.intake.how_far import weeks_begun, what_came
from blockbook.intake.log import BlockLog
from blockbook.languages import day_text
from blockbook.practice.collecting import unsorted_by_lifter
from blockbook.practice.folder import LifterFolder, Practice, open_practice
from blockbook.practice.marks import states_accepted
from blockbook.practice.returns import Returns, is_folder_of, returns_of
from blockbook.practice.rounds import built_by_lifter, decided_by_lifter, decided_from, unsent_by_lifter
from blockbook.practice.sent_log import Entry
from blockbook.spec.models import Specification
from blockbook.training.against_target import against_target
from blockbook.training.doubts_on_bests import are_still_the_examples
from blockbook.workbook.manifest import digest_of

BuiltVersion = Literal["never", "before it was changed", "as it is"]
"""Which version of a block a workbook was made of here."""

Kind = Literal[
    "alarm",
    "pain",
    "overdue",
    "unreadable",
    "unwritten",
    "findings",
    "effort",
    "stalled",
    "adherence",
    "unfinished",
    "meet",
]
KINDS: tuple[Kind, ...] = (
    "alarm", "pain", "overdue", "unreadable", "unwritten", "findings", "effort", "stalled", "adherence", "unfinished",
    "meet",
)  # fmt: skip
"""What can need the coach, the most pressing first. Common practice, no source."""

_FOR_INFORMATION = ("meet",)
"""Kinds that a next block may be written under without being looked at one by one."""

_OPEN_STILL = ("alarm", "unreadable", "meet")
"""Kinds that the coach's decision on a log leaves open."""

_NAMED = 3
"""So many lifts are named in a line of the overview."""

_STALLED_SHARE = 0.5
"""From this share of the judged exercises on, stalled lifts are more than one bad exercise."""


@dataclass(frozen=True)
class Need:
    """One thing that needs the coach. weight: for the order among lifters with the same kind."""

    kind: Kind
    text: str
    weight: float = 1


@dataclass(frozen=True)
class Known:
    """What the practice knows of a lifter beside what lies in the folder.

    unsorted: files that came from the lifter's address and could not be filed; built: version of a block -> the
    workbook of it that is there; unsent: versions whose draft was not sent from here; decided: what is noted of next
    blocks, in order; accepted: every state that the coach said yes to in an overview.
    """

    unsorted: int = 0
    built: Mapping[str, str] = field(default_factory=dict)
    unsent: frozenset[str] = frozenset()
    decided: tuple[Entry, ...] = ()
    accepted: frozenset[str] = frozenset()


@dataclass(frozen=True)
class AllKnown:
    """The same of every lifter, by folder. unsorted: files of all senders that could not be filed."""

    of: Mapping[str, Known]
    unsorted: int


def all_known(practice: Practice, marked: Path | None = None) -> AllKnown:
    """marked: an overview with the coach's marks, beside the practice's own. Raises BlockbookError for a sent log that
    cannot be read.
    """
    unsorted, built, decided = unsorted_by_lifter(practice), built_by_lifter(practice), decided_by_lifter(practice)
    accepted, unsent = states_accepted(practice, marked), unsent_by_lifter(practice)
    nothing: frozenset[str] = frozenset()
    known = {
        name: Known(
            unsorted.get(name, 0),
            built[name],
            unsent.get(name, nothing),
            decided.get(name, ()),
            accepted.get(name, nothing),
        )
        for name in (lifter.name for lifter in practice.lifters)
    }
    return AllKnown(known, sum(unsorted.values()))


Waiting = Literal["", "accepted", "decided", "before it changed"]
"""What became of a log: the coach said yes to it as it is; its next block waits, made from it as it is, or from
something else than what is there now."""


@dataclass(frozen=True)
class Standing:
    """One lifter. over: mean effort over target; strength: change of estimated maxima since the first week, both a
    working week each; share: sets done of those planned so far; whole: whether all of the block came back; built:
    whether a workbook of the block, as it is now, was made here; unsent: whether its draft was not sent from here;
    state: changes with the block or what came back.
    """

    lifter: LifterFolder
    name: str
    title: str
    progress: str
    needs: tuple[Need, ...]
    over: tuple[float, ...] = ()
    strength: tuple[float, ...] = ()
    share: float | None = None
    returned: bool = False
    whole: bool = False
    built: BuiltVersion = "never"
    unsent: bool = False
    waiting: Waiting = ""
    meet: date | None = None
    state: str = ""
    review: str = ""

    @property
    def routine(self) -> bool:
        """Whether the next block may be written as suggested without looking closer."""
        return self.whole and all(need.kind in _FOR_INFORMATION for need in self.needs)

    @property
    def open_needs(self) -> tuple[Need, ...]:
        """What still needs the coach, who may have decided already on what came back."""
        if self.waiting not in ("accepted", "decided"):
            return self.needs
        return tuple(need for need in self.needs if need.kind in _OPEN_STILL)

    @property
    def next_waits(self) -> bool:
        """Whether a next block lies there."""
        return self.waiting in ("decided", "before it changed")

    @property
    def going_on(self) -> str:
        """What comes next, in words."""
        if self.waiting:
            return _WAITING[self.waiting]
        if self.whole:
            return "ready"
        if self.built == "before it was changed":
            return "changed since it was built"
        if self.returned:
            return "training: logged so far"
        if self.built != "as it is":
            return "not built yet"
        return "a draft in drafts/: send it, or delete it once sent" if self.unsent else "training"

    @property
    def said(self) -> tuple[str, ...]:
        """Every open need, then what comes next where nothing is open or the coach has decided something."""
        needs = tuple(need.text for need in self.open_needs)
        return needs if needs and not self.waiting else (*needs, self.going_on)

    @property
    def rank(self) -> tuple[float, ...]:
        """The larger, the more in need: kind by kind."""
        return tuple(sum(need.weight for need in self.open_needs if need.kind == kind) for kind in KINDS)


_WAITING: dict[Waiting, str] = {
    "accepted": "accepted: blockbook next",
    "decided": "next block waits: blockbook mail",
    "before it changed": "next block waits, made before the log, review or block changed",
}


def overview(practice: str | Path = ".", today: date | None = None) -> list[Standing]:
    """Every lifter of a practice, most in need of the coach first.

    today: decides what is overdue and near, and which dates in a log lie ahead. A lifter whose files cannot be read is
    a line, never an error. Raises BlockbookError for a sent log that cannot be read.
    """
    opened = open_practice(practice)
    known = all_known(opened).of
    return ranked(standing(opened, lifter, today or clock.today(), known[lifter.name]) for lifter in opened.lifters)


def ranked(every: Iterable[Standing]) -> list[Standing]:
    """Most in need first, then by name."""
    return sorted(every, key=lambda each: ([-weight for weight in each.rank], each.name.casefold()))


def standing(practice: Practice, lifter: LifterFolder, today: date, known: Known) -> Standing:
    """One lifter. today: as in `overview`."""
    try:
        spec = practice.spec_of(lifter.block)
        returns = returns_of(lifter, spec)
    except (BlockbookError, OSError) as error:
        return Standing(lifter, lifter.name, "", "", (Need("unreadable", str(error).splitlines()[0]),))
    with clock.as_of(today):
        found, problems = returns.log()
    every = histories(found) if found else ()
    overdue = list(_overdue(practice, spec, found, today))
    needs = [
        *_alarm(spec, found),
        *_pain(found),
        *overdue,
        *_unreadable(problems, known.unsorted),
        *_unwritten(spec, found),
        *(_of_log(found, every, practice) if found else ()),
        *([] if overdue else _unfinished(spec, found, today)),
        *_meet_near(practice, spec, today),
    ]
    review = lifter.review_of(spec)
    return Standing(
        lifter,
        spec.lifter.name,
        spec.block.title,
        _progress(spec, found, today),
        tuple(needs),
        tuple(weekly_over(every)),
        _strength(every),
        share_done(every),
        found is not None,
        found is not None and _is_whole(found),
        _built(spec, known.built),
        digest_of(spec) in known.unsent,
        _waiting(lifter, spec, found, returns, known),
        spec.block.meet,
        returns.state,
        review.relative_to(practice.root).as_posix() if review.exists() else "",
    )


def _waiting(
    lifter: LifterFolder, spec: Specification, found: BlockLog | None, returns: Returns, known: Known
) -> Waiting:
    if not lifter.next_block.exists():
        return "accepted" if found is not None and returns.state in known.accepted else ""
    of_block = [entry.digest for entry in known.decided if is_folder_of(entry.block, spec)]
    if not of_block:  # written by hand
        return "decided"
    now = decided_from(returns, found, lifter.review_of(spec)) if found is not None else ""
    return "decided" if of_block[-1] == now else "before it changed"


def _built(spec: Specification, built: Mapping[str, str]) -> BuiltVersion:
    if digest_of(spec) in built:
        return "as it is"
    stem = Path(file_name(spec)).stem
    return "before it was changed" if any(name.startswith(stem) for name in built.values()) else "never"


def _progress(spec: Specification, found: BlockLog | None, today: date) -> str:
    if found is not None:
        return weeks_begun(found)
    if today < spec.block.start:
        return f"from {day_text(spec.block.start)}"
    return f"due {day_text(spec.block.last)}"


def _alarm(spec: Specification, found: BlockLog | None) -> Iterator[Need]:
    """What asks for a physician, until the lifter's sheet says that it is well: no decision of the coach ends it."""
    if found is None and spec.block.alarm_open:
        yield Need("alarm", f"{ALARM_CARRIED}. A physician decides first; `mail` leaves the lifter out unless named")
    if found is not None and found.alarm_open:
        alarms = [each for each in found.findings if each.code in ALARMS]
        said = f"{alarms[0].message} {alarms[0].hint}{_more(alarms)}" if alarms else ""
        yield Need("alarm", said or f"{ALARM_CARRIED}. A physician decides first")


def _pain(found: BlockLog | None) -> Iterator[Need]:
    findings = found.findings if found else ()
    told = ALARMS if found and found.alarm_open else ()
    if pains := [each for each in findings if each.code in PAIN and each.code not in told]:
        yield Need("pain", f"{pains[0].message}{_more(pains)}", len(pains))


def _more(every: Sequence[object]) -> str:
    """How many there are beside the first."""
    return f" (and {len(every) - 1} more)" if len(every) > 1 else ""


def _overdue(practice: Practice, spec: Specification, found: BlockLog | None, today: date) -> Iterator[Need]:
    late = (today - spec.block.last).days
    if late > practice.settings.overdue_days and (found is None or not _is_whole(found)):
        what = "nothing came back" if found is None else what_came(found)
        yield Need("overdue", f"{late} days overdue: {what}", late)


def _unreadable(problems: Sequence[str], unsorted: int) -> Iterator[Need]:
    if problems:
        yield Need("unreadable", f"unreadable: {problems[0].splitlines()[0]}{_more(problems)}", len(problems))
    if unsorted:
        files = "a file" if unsorted == 1 else f"{unsorted} files"
        yield Need("unreadable", f"{files} from this address in unsorted/", unsorted)


def _unwritten(spec: Specification, found: BlockLog | None) -> Iterator[Need]:
    if found is None and are_still_the_examples(spec):
        yield Need("unwritten", "block to write: its bests are still the example's")


def _of_log(found: BlockLog, every: Sequence[LineHistory], practice: Practice) -> Iterator[Need]:
    grave = found.unusable
    doubts = [each for each in found.findings if each.severity == "warning" and each.code not in PAIN]
    if grave or doubts:
        counts = ((len(grave), "error"), (len(doubts), "warning"))
        said = ", ".join(f"{n} {what}{'s' if n > 1 else ''}" for n, what in counts if n)
        said += " beside the pain" if any(each.code in PAIN for each in found.findings) else ""
        yield Need("findings", f"{said}: {(grave or doubts)[0].message}", 1000 * len(grave) + len(doubts))
    policy = found.spec.policy
    over = weekly_over(every)
    if len(over) > 1 and min(over[-2:]) > policy.on_target:
        said = against_target(over[-2], over[-1])
        yield Need("effort", f"effort {said} in the last two weeks", sum(over[-2:]))
    elif signs := deload_reason(found, deload_signs(found, every)):
        yield Need("effort", signs)
    judged = [each for each in every if len(each.bests) >= 3]
    stalled = [each for each in judged if (each.change or 0) < policy.stall_gain]
    if judged and len(stalled) >= _STALLED_SHARE * len(judged):
        said = _first_few([each.line.exercise.name for each in stalled])
        yield Need("stalled", f"{len(stalled)} of {len(judged)} lifts stalled: {said}", len(stalled))
    share = share_done(every)
    if share is not None and share < practice.settings.low_adherence:
        yield Need("adherence", f"{share:.0%} of sets done", 1 - share)


def _first_few(names: Sequence[str]) -> str:
    """The first of many names, and how many more there are; one that comes on several days stands once."""
    counted = Counter(names)
    few = list(counted.items())[:_NAMED]
    said = ", ".join(name if often == 1 else f"{name} (on {often} days)" for name, often in few)
    more = len(names) - sum(often for _, often in few)
    return f"{said} and {more} more" if more else said


def _is_whole(found: BlockLog) -> bool:
    """Whether every session of the last week is begun, or of the one before a light last week, which may be left out.

    A next block begins as if all of this one were done.
    """
    weeks = found.spec.block.weeks
    last = weeks - 1 if ended_light(found) else weeks
    planned = {logged.session for logged in found.sets if logged.week == last}
    begun = {logged.session for logged in found.sets if logged.week == last and logged.started}
    return planned == begun


def _unfinished(spec: Specification, found: BlockLog | None, today: date) -> Iterator[Need]:
    if found is not None and (found.begun_weeks == 0 or (today > spec.block.last and not _is_whole(found))):
        yield Need("unfinished", what_came(found))


def _meet_near(practice: Practice, spec: Specification, today: date) -> Iterator[Need]:
    days = (spec.block.meet - today).days if spec.block.meet else -1
    if 0 <= days <= practice.settings.meet_near_days:
        yield Need("meet", f"meet in {days} day{'' if days == 1 else 's'}", 1000 - days)


def _strength(every: Sequence[LineHistory]) -> tuple[float, ...]:
    """Mean relative change of the best estimates since each exercise's first, a working week each."""
    by_week: dict[int, list[float]] = {}
    for history in every:
        known = [(week.week, week.best) for week in history.judged_weeks if week.best]
        for week, best in known:
            by_week.setdefault(week, []).append(log(best / known[0][1]))
    return tuple(exp(fmean(by_week[week])) - 1 for week in sorted(by_week))
