"""The next block as it was decided, and its YAML text: what changed and why as comments above it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from blockbook.assessment import decided, decided_said, pain
from blockbook.assessment.first_loads import Start, first_loads
from blockbook.assessment.meet_result import meet_held
from blockbook.assessment.outlook import Outlook, Suggestion
from blockbook.assessment.suggestions import suggest
from blockbook.intake.findings import ALARMS
from blockbook.intake.how_far import half_way, so_far
from blockbook.intake.log import BlockLog
from blockbook.spec.answers import OFFERED
from blockbook.spec.catalogue import Muscle
from blockbook.spec.documents import dump_yaml
from blockbook.spec.models import Lifter, Specification
from blockbook.spec.schemas import SCHEMA_LINE
from blockbook.training.volume import SHARES


@dataclass(frozen=True)
class Decision:
    """One exercise of the next block, the coach's word taken.

    is_own: the coach said something; is_own_load, is_own_sets: that the load or the sets are the coach's, too, a number
    or those of before; is_typed_load: that the load is a number of the coach's; flags: guards that this breaks, "" for
    none; by_season: what a season made of it, in sentences.
    """

    suggestion: Suggestion
    exercise: str
    load: float | None
    sets: int
    test_week: int | None = None
    is_own: bool = False
    is_own_load: bool = False
    is_own_sets: bool = False
    is_typed_load: bool = False
    flags: str = ""
    by_season: str = ""


@dataclass(frozen=True)
class MuscleSets:
    """Weekly sets of a muscle, this block and next. flag: which limit they break, "" for none."""

    muscle: Muscle
    before: float
    after: float
    flag: str


@dataclass(frozen=True)
class NextBlock:
    """The specification, what was decided per exercise, and from which log.

    deload_first: week 1 is a deload that the log, or the coach, asks for; own_deload: the coach's answer to
    that, "" for none; remarks: what a season has to say about the block.
    """

    spec: Specification
    decisions: tuple[Decision, ...]
    outlook: Outlook
    log: BlockLog
    deload_first: bool = False
    own_deload: str = ""
    muscles: tuple[MuscleSets, ...] = ()
    remarks: tuple[str, ...] = ()

    def why(self, decision: Decision) -> str:
        """Why it was decided so, as the coach's word on the exercise and on a deload leaves it, and a season."""
        if not decision.by_season or decision.suggestion.held:  # pain comes before anything else
            return " ".join(filter(None, (self._why(decision), decision.by_season)))
        return f"{decision.by_season} For the reps until now it was: {self._why(decision)}"

    def _why(self, decision: Decision) -> str:
        made = decision.suggestion
        answers = (OFFERED[not self.deload_first], OFFERED[not self.outlook.deload_reason])
        hurts = (int(made.held), int(made.pain))
        return str(decided_said.why.value(made.reason, "", *answers, *hurts, int(decision.is_own)))

    @property
    def flags(self) -> Iterator[str]:
        """Sentences on the coach's word where it breaks a guard. It is done all the same."""
        for each in self.decisions:
            if each.flags:
                made = each.suggestion
                yield f"Your word, done all the same: {made.exercise} ({made.session}): {each.flags}"
        for flag in dict.fromkeys(muscle.flag for muscle in self.muscles if muscle.flag):
            which = ", ".join(
                f"{each.muscle} {each.before:g} to {each.after:g}" for each in self.muscles if each.flag == flag
            )
            yield f"Weekly sets of {which}: {flag[0].lower()}{flag[1:]}"

    @property
    def said_first(self) -> Iterator[str]:
        """What the coach should see before anything else: pain, and then what stands above all exercises."""
        for each in self.decisions:
            if each.suggestion.pain:
                made = each.suggestion
                said = filter(None, (f"{made.reason}{self._own_word(each)}", each.by_season))
                yield f"First: {made.exercise} ({made.session}). {' '.join(said)}"
        yield from self.above_all

    def _own_word(self, decision: Decision) -> str:
        if not decision.is_own:
            return ""
        return f" By your word instead: {decision.exercise}, {self.load_said(decision)}, {decision.sets} sets."

    @cached_property
    def _sheet_starts(self) -> dict[str, Start]:
        """Key of each exercise whose load the sheet works out anew -> where it starts it."""
        names = {each.suggestion.key: each.exercise for each in self.decisions
                 if each.load is None and _is_worked_out_anew(each)}  # fmt: skip
        return first_loads(self.spec, self.log.spec, names) if names else {}

    def load_said(self, decision: Decision) -> str:
        """Week 1's load: "80 kg"; of another exercise, what the sheet does: "the sheet starts it at 60 kg"."""
        if decision.load is not None:
            return f"{decision.load:g} {self.spec.block.unit}"
        if start := self._sheet_starts.get(decision.suggestion.key):
            return f"the sheet {start.said}"
        if decision.by_season:
            return "no load in week 1"
        return "load as written" if decision.suggestion.written else "no load"

    def changed(self, decision: Decision) -> str:
        """What of an exercise is another than in this block, in words: "exercise, load"; "as before"."""
        made, start = decision.suggestion, self._sheet_starts.get(decision.suggestion.key)
        load = start.load if start else decision.load
        loads = [decided.NONE if each is None else each for each in (made.start_load, load)]
        names = (made.exercise, decision.exercise, *loads, made.sets, decision.sets)
        return str(decided_said.changed_words.value(*names))

    @property
    def above_all(self) -> Iterator[str]:
        """What holds for more than one exercise: what asks for a physician, pain and its relatives, a deload; then what
        was done instead, changes, and guards broken.
        """
        yield from (f"{found.message} {found.hint}" for found in self.log.findings if found.code in ALARMS)
        if self.spec.block.alarm_open:
            yield (
                "A physician has the next word: on the lifter's next sheet all loads are struck out until none is "
                "typed under Pain (alarm_open)."
            )
        late, planned = self.log.trained_until, self.log.spec.block.last
        if late and late > planned and self.spec.block.start > late:
            yield f"It was trained until {late.day} {late:%B}, later than planned: this block begins after that."
        if said := half_way(self.log):
            yield said
        if lifted := meet_held(self.log):
            yield lifted
        for session in pain.unnamed(self.log):
            yield f"{session}: the pain names no exercise, so every exercise of that session is held."
        near = (each for each in self.decisions if each.suggestion.near_pain and not _is_above_the_held(each))
        relatives = dict.fromkeys(each.suggestion.exercise for each in near)
        if relatives:
            yield f"Close relatives of what hurts, not raised either: {', '.join(relatives)}."
        if left := left_with_pain(self.decisions):
            yield (
                f"Out of the block though it hurt: {', '.join(left)}. What trains the same is held until the lifter "
                "types none under Pain in a session that has one of those."
            )
        yield from _deload(self)
        if tested := effort_tested(self.outlook, self.log.spec.lifter):
            yield tested
        yield from (found.message for found in self.log.findings if found.code == "stand-in-used")
        for each in self.decisions:
            if each.exercise != each.suggestion.exercise:
                yield f"Another exercise: {each.suggestion.exercise} -> {each.exercise} ({each.suggestion.session})."
        yield from self.flags

    def to_yaml(self) -> str:
        """YAML text with a comment for every exercise that says what was decided and why."""
        # A line break in a name must not end the comment.
        comments = ["# " + re.sub(r"[\x00-\x1f\x85\u2028\u2029]+", " ", line) for line in _head(self)]
        return "\n".join([SCHEMA_LINE, *comments]) + "\n\n" + dump_yaml(self.spec.to_data())


def _is_above_the_held(decision: Decision) -> bool:
    """Whether the coach's word brings a load above the one that is held because something hurts."""
    held, load = decision.suggestion.first_load, decision.load
    return None not in (held, load) and round((load or 0) - (held or 0), 6) > 0


def _is_worked_out_anew(decision: Decision) -> bool:
    """Whether no load of this block goes for it: the exercise is another, or a season asks for other reps."""
    made = decision.suggestion
    return decision.exercise != made.exercise or bool(decision.by_season) or made.first_load is not None


def moved_by_corrections(made: NextBlock, shown: Sequence[BlockLog]) -> str:
    """Which suggestions are others than the review showed, since corrections were accepted in it, but for what the
    coach had a word on; "" for none."""
    if not shown:
        return ""
    *earlier, latest = shown
    before = {each.key: each for each in suggest(latest, earlier).suggestions}
    unit = made.spec.block.unit
    said = []
    for decision in made.decisions:
        now = decision.suggestion
        was = before[now.key]
        loads, sets = (was.first_load, now.first_load), (was.next_sets, now.next_sets)
        moved = []
        if loads[0] != loads[1] and not decision.is_own_load:
            moved.append(f"{_or_none(loads[0])} to {_or_none(loads[1])} {unit}")
        if sets[0] != sets[1] and not decision.is_own_sets:
            moved.append(f"{sets[0]} to {sets[1]} sets")
        if moved:
            said.append(f"{now.exercise} ({now.session}) {', '.join(moved)}")
    return f"Other than the review showed, after the corrections you accepted: {'; '.join(said)}." if said else ""


def _or_none(load: float | None) -> str:
    return "none" if load is None else f"{load:g}"


def effort_tested(outlook: Outlook, before: Lifter) -> str:
    """What this block's sets to failure showed of how effort is judged; "" without one."""
    new = outlook.effort_tests - (before.effort_tests if before.effort_bias is not None else 0)
    if new <= 0 or outlook.effort_bias is None:
        return ""
    gap, tests = outlook.effort_bias, outlook.effort_tests
    found = f"{abs(gap):.1f} reps {'more' if gap > 0 else 'fewer'} left than reported"
    found = found if round(abs(gap), 1) else "as many reps left as reported"
    over = f", over all {tests:g} tests so far" if tests > new else ""
    which = "an exercise taken to failure" if new == 1 else f"exercises taken to failure, {new:g} times in all,"
    return f"Effort: {which} showed {found}{over}; later loads allow for a part of it."


def left_with_pain(decisions: Iterable[Decision]) -> list[str]:
    """The exercises that hurt and that others have taken the place of."""
    painful = ((each.suggestion.exercise, each.exercise) for each in decisions if each.suggestion.pain)
    return list(dict.fromkeys(was for was, now in painful if now != was))


def _head(made: NextBlock) -> Iterator[str]:
    before = made.log.spec.block
    last = before.last
    ends = "ends" if so_far(made.log) else "ended"
    history = f" from {made.outlook.blocks} blocks" if made.outlook.blocks > 1 else ""
    yield from made.remarks
    yield f"The block after {before.title}, which {ends} on {last.day} {last:%B %Y}. Decided{history}:"
    yield from made.above_all
    yield from _signs(made)
    moved = [each for each in made.muscles if abs(each.after - each.before) > 1e-9]
    if moved:
        said = ", ".join(f"{each.muscle} {each.before:g} -> {each.after:g}" for each in moved)
        yield f"Weekly sets per muscle ({SHARES}): {said}. The others stay."
    for decision in sorted(made.decisions, key=lambda decision: not decision.suggestion.pain):
        yield from _exercise(decision, made)


def _deload(made: NextBlock) -> Iterator[str]:
    """That a deload comes first and why, or the coach's word on it."""
    reason = made.outlook.deload_reason
    if made.own_deload:
        said = "a deload first (week 1)" if made.deload_first else "no deload first"
        yield f"Your word: {said}. {reason or 'Too few signs ask for one.'}"
    elif reason:
        yield f"Deload first (week 1): {reason}"
    now, before = made.spec.block, made.log.spec.block
    if now.deload_added:
        yield f"It is put in front: {now.weeks} weeks in all, and the block after this one has {now.weeks - 1} again."
    elif before.deload_added and now.weeks == before.weeks - 1:
        yield f"The deload that was put in front of the last block is left out again: {now.weeks} weeks in all."


def _signs(made: NextBlock) -> Iterator[str]:
    for sign in made.outlook.signs:
        agrees = "speaks for a deload" if sign.agrees else "does not" if sign.known else "not known"
        yield f"Sign {sign.name.lower()}: {sign.value} (threshold: {sign.threshold}): {agrees}. Source: {sign.source}."


def _exercise(decision: Decision, whole: NextBlock) -> Iterator[str]:
    made = decision.suggestion
    name = made.exercise if decision.exercise == made.exercise else f"{made.exercise} -> {decision.exercise}"
    changed = whole.changed(decision)
    changed = "what is asked" if changed == "as before" and decision.by_season else changed
    said = changed if changed == "as before" else f"changed: {changed}"
    yield f" {made.session}, {name}: {whole.load_said(decision)}, {decision.sets} sets ({said}). {whole.why(decision)}"
    if made.figures:
        yield f"     {made.figures}"
