"""What a log shows, exercise by exercise: strength, effort, adherence, week by week."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from statistics import fmean

from blockbook.intake.log import BlockLog, LoggedSet
from blockbook.training import telling
from blockbook.training.prescription import Line
from blockbook.training.session_checks import bad_day


@dataclass(frozen=True)
class WeekOfLine:
    """One exercise in one week; None where nothing was logged.

    reached: whether the log has come so far; there: whether anything of its session was logged; tried: whether a set
    of it was, be it of no rep; deload: a week to recover in, a deload or a taper; done_sets: sets done, those of a
    stand-in too; own_sets: those of the exercise itself; best: best estimated one-rep maximum;
    at_least: it comes from a set so easy that the maximum may be far above; over: mean effort over target, reps missed
    counted in; too_hard: the same, where reps fewer than asked are as asked if the coach's reps allow them; load: the
    heaviest work load; bad_day: the whole session went badly.
    """

    week: int
    reached: bool
    there: bool
    tried: bool
    deload: bool
    planned_sets: int
    done_sets: int
    own_sets: int
    best: float | None
    at_least: bool
    over: float | None
    too_hard: float | None
    worst_over: float | None
    load: float | None
    bad_day: bool


@dataclass(frozen=True)
class LineHistory:
    """One exercise of one session through the block. line: its first week's.

    A deload that was put in front of the block is no first week; the block after it has none. own_from: the position
    of the first week after such a one, from 0.
    """

    line: Line
    weeks: tuple[WeekOfLine, ...]
    own_from: int = 0

    @property
    def key(self) -> str:
        return self.line.slot_key

    @property
    def working_weeks(self) -> list[WeekOfLine]:
        """Weeks with a log that are neither deload nor taper."""
        return [week for week in self.weeks if not week.deload and week.own_sets]

    @property
    def usual_sets(self) -> int:
        """Work sets of the first week that is not the deload."""
        return next((week.planned_sets for week in self.weeks if not week.deload), self.weeks[0].planned_sets)

    @property
    def share_done(self) -> float | None:
        """Sets done of those planned up to where the log has come, a stand-in's counted in."""
        return share_done([self])

    @property
    def to_come(self) -> bool:
        """Whether all its sets lie in weeks that the log has not come to."""
        return not self.tried and not any(week.planned_sets for week in self.weeks if week.reached)

    @property
    def tried(self) -> bool:
        """Whether anything was lifted or tried to be, so that there is something to decide from."""
        return any(week.tried or week.own_sets for week in self.weeks)

    @property
    def done_itself(self) -> bool:
        """Whether any set was done of the exercise itself, and not of a stand-in alone."""
        return any(week.own_sets for week in self.weeks if week.reached)

    @property
    def share_done_there(self) -> float | None:
        """The same of the weeks whose session was trained at all: a missed session says nothing of its exercises."""
        done, planned = _sets_done([week for week in self.weeks if week.there])
        return done / planned if planned else None

    @property
    def sessions_short(self) -> int:
        """In how many sessions that were trained some of its sets were left out."""
        return sum(week.there and week.done_sets < week.planned_sets for week in self.weeks)

    @property
    def sessions_without_a_rep(self) -> int:
        """In how many sessions it was tried and not one rep went up."""
        return sum(week.tried and not week.own_sets for week in self.weeks)

    @property
    def mean_over(self) -> float | None:
        """Mean effort over target of the working weeks."""
        over = [week.over for week in self.working_weeks if week.over is not None]
        return sum(over) / len(over) if over else None

    @property
    def judged_weeks(self) -> list[WeekOfLine]:
        """Working weeks that tell of strength: an easy one says "at least", and is no sign of a loss.

        Where all were easy, none tells how strong the lifter is.
        """
        known = [week for week in self.working_weeks if week.best is not None]
        if all(week.at_least for week in known):
            return []

        def higher(week: WeekOfLine) -> bool:
            others = (other for other in known if not other.at_least or other.week < week.week)
            return any((other.best or 0) > (week.best or 0) for other in others)

        return [week for week in known if not (week.at_least and higher(week))]

    @property
    def too_hard(self) -> list[float]:
        """How far over target the working weeks were too hard, of those that tell."""
        return [week.too_hard for week in self.working_weeks if week.too_hard is not None]

    @property
    def bests(self) -> list[float]:
        return [week.best for week in self.judged_weeks if week.best is not None]

    @property
    def change(self) -> float | None:
        """Relative change of the best estimated maximum, first to last working week."""
        bests = self.bests
        return bests[-1] / bests[0] - 1 if len(bests) > 1 else None

    @property
    def first_load(self) -> float | None:
        """The load lifted in the first week that asked for any: that of another week was for other reps and effort."""
        return next((week.load for week in self.weeks[self.own_from :] if week.planned_sets), None)

    @property
    def earliest_load(self) -> float | None:
        """The first load of the block that was logged, whichever week it was for."""
        return next((week.load for week in self.weeks[self.own_from :] if week.load is not None), None)

    @property
    def heaviest(self) -> float | None:
        """The heaviest load of the block."""
        return max((week.load for week in self.weeks if week.load is not None), default=None)

    @property
    def last_load(self) -> float | None:
        return next((week.load for week in reversed(self.weeks) if week.load is not None and not week.deload), None)


def share_done(every: Sequence[LineHistory]) -> float | None:
    """Sets done of those planned up to where the log has come, over several exercises; None where none were."""
    done, planned = sets_done(every)
    return done / planned if planned else None


def sets_done(every: Sequence[LineHistory]) -> tuple[int, int]:
    """Sets done, whatever stood in for an exercise, and those planned, up to where the log has come."""
    return _sets_done([week for history in every for week in history.weeks if week.reached])


def _sets_done(weeks: Sequence[WeekOfLine]) -> tuple[int, int]:
    return sum(week.done_sets for week in weeks), sum(week.planned_sets for week in weeks)


def histories(log: BlockLog) -> tuple[LineHistory, ...]:
    """Every exercise line of the block, in order."""
    by_key: dict[str, list[tuple[Line, WeekOfLine]]] = {}
    taper = taper_week(log)
    trained = {(each.week, each.session) for each in log.sets if each.started}
    reached = _reached(log)
    for line in _lines(log):
        come = (line.week, line.slot_key) in reached
        there = come and (line.week, line.session_id) in trained
        week = _week(log, line, come, there, line.deload or line.week == taper)
        by_key.setdefault(line.slot_key, []).append((line, week))
    own = log.spec.block.first_own_week - 1
    return tuple(LineHistory(weeks[own][0], tuple(week for _, week in weeks), own) for weeks in by_key.values())


def taper_week(log: BlockLog) -> int | None:
    """The last week if it is a taper, else None."""
    return telling.taper_week(_lines(log), log.spec.block)


def _reached(log: BlockLog) -> set[tuple[int, str]]:
    """Week and key of each exercise that the log has come to: in the block's order, all up to the last set logged.

    An exercise that the log breaks off in is not among them. In a block whose last week was begun, all are: it is taken
    to be over.
    """
    every = [(line.week, line.slot_key) for line in _lines(log)]
    if log.begun_weeks == log.spec.block.weeks:
        return set(every)
    sets = [each for each in log.sets if each.set]
    last = max((place for place, each in enumerate(sets) if each.started), default=-1)
    ahead = {(each.week, f"{each.session}.{each.slot}") for each in sets[last + 1 :]}
    return set(every) - ahead


def _lines(log: BlockLog) -> Iterator[Line]:
    for places in log.workbook.weeks:
        for place in places:
            yield from place.session.lines


def _week(log: BlockLog, line: Line, reached: bool, there: bool, to_recover: bool) -> WeekOfLine:
    def number(name: str) -> float | None:
        return log.calculation.number(log.workbook.workings.cell(line, name))

    sets = [s for s in log.sets if s.week == line.week and f"{s.session}.{s.slot}" == line.slot_key and s.set]
    others = [s for s in sets if s.instead]
    sets = [s for s in sets if not s.instead]
    done = int(number("done") or 0)
    # Slips stay in the log; a set whose reps could not be read was done all the same.
    estimates = [
        (s.one_rep_max, _is_easy(s, log.spec.policy.judged_reserve))
        for s in sets
        if s.plausible and s.one_rep_max is not None
    ]
    best, at_least = max(estimates, default=(None, False))
    too_hard = [each for s in sets if s.plausible and (each := _too_hard(s, line)) is not None]
    return WeekOfLine(
        week=line.week,
        reached=reached,
        there=there,
        tried=any(s.load is not None and s.reps is not None for s in sets),
        deload=to_recover,
        planned_sets=len(line.work_sets),
        done_sets=done + _unread(others) + _unread(sets),
        own_sets=done - sum(s.done for s in others) + _unread(sets),
        best=best,
        at_least=at_least,
        over=number("mean_overshoot"),
        too_hard=fmean(too_hard) if too_hard else None,
        worst_over=number("logged_overshoot"),
        bad_day=_bad_day(log, number),
        load=number("logged_load"),
    )


def _bad_day(log: BlockLog, number: Callable[[str], float | None]) -> bool:
    """As the lifter's next sheet has it."""
    said = [number(name) for name in ("shared", "shared_left", "precision", "harder")]
    return None not in said and bad_day.value(*said, log.spec.policy.day_sd) == 1


def _unread(sets: Sequence[LoggedSet]) -> int:
    """How many sets were done whose reps could not be read."""
    return sum(s.reps is None and s.raw.get("reps", "") != "" and s.load is not None for s in sets)


def _is_easy(logged: LoggedSet, judged_reserve: float) -> bool:
    """Whether a set was so easy that it says of strength no more than at least."""
    return telling.says_at_least.value(logged.rpe, logged.target_rpe, judged_reserve) == 1


def _too_hard(logged: LoggedSet, line: Line) -> float | None:
    """How far over its target a set was, reps beyond or missed counted in, but none missed within the coach's reps."""
    if logged.rpe is None or logged.target_rpe is None or logged.reps is None:
        return None
    least = min(line.reps.low, logged.target_reps)
    missed, beyond = max(0, least - logged.reps), max(0, logged.reps - logged.target_reps)
    return logged.rpe - logged.target_rpe + missed - beyond
