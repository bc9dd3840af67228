"""The coach's review workbook: who needs what and why, with room to decide otherwise.

Its formulas are the expressions of `decided`, by which the next block is written.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from blockbook.assessment import decided, decided_said, wording
from blockbook.assessment.changes_page import add_changes
from blockbook.assessment.coach_word import (
    ACCEPT,
    KEY,
    REVIEW,
    YOUR_CHOICE,
    YOUR_LOAD,
    YOUR_SETS,
    whole_block_key,
)
from blockbook.assessment.next_block import lightest_load, most_own_load
from blockbook.assessment.outlook import Outlook, Suggestion
from blockbook.assessment.readiness import ended_light, rest_said
from blockbook.assessment.replaced import Offered, starts
from blockbook.assessment.review_headlines import headlines
from blockbook.assessment.review_rows import Decided, Listed, Loads, list_exercises, or_dash
from blockbook.assessment.review_tables import add_findings, add_log, add_trends
from blockbook.assessment.season_page import add_season
from blockbook.assessment.sets_page import add_weekly_sets
from blockbook.assessment.suggestions import suggest
from blockbook.assessment.wording import IN_DOUBT
from blockbook.intake.findings import PAIN
from blockbook.intake.log import BlockLog
from blockbook.languages import day_text
from blockbook.sheet.book import Book, Cell, Reference, Sheet, Validation
from blockbook.sheet.fitting import height
from blockbook.spec.answers import OFFERED
from blockbook.spec.season import Season
from blockbook.training.stand_ins import padded
from blockbook.workbook.week_words import capital

_LONGEST_LIST = 255
"""Characters that the choices of a drop-down may have together."""


@dataclass(frozen=True)
class Reviewed:
    """A log with what was made of it. earlier: the lifter's blocks before it, in order of date.

    starts: exercise key -> each that is offered in its place -> where the next sheet starts that.
    """

    log: BlockLog
    outlook: Outlook
    earlier: tuple[BlockLog, ...] = ()
    starts: Mapping[str, Mapping[str, Offered]] = field(default_factory=dict)


def reviewed(log: BlockLog, earlier: Sequence[BlockLog] = ()) -> Reviewed:
    outlook = suggest(log, earlier)
    return Reviewed(log, outlook, tuple(earlier), starts(log, outlook))


def review_book(every: Sequence[Reviewed], season: Season | None = None) -> Book:
    """The review workbook of one or more returned blocks, as data. season: what the blocks are part of."""
    book = Book()
    ordered = sorted(every, key=_need, reverse=True)
    logs = [log for item in ordered for log in (*item.earlier, item.log)]
    listed = list_exercises([item.log.spec for item in ordered])
    loads = Loads([item.log.spec for item in ordered])
    rows = _review_sheet(book, ordered, listed, loads, season)
    add_changes(book, rows)
    add_weekly_sets(book, rows, listed)
    add_findings(book, logs)
    add_trends(book, logs)
    add_season(book, [(*item.earlier, item.log) for item in ordered], season)
    add_log(book, logs)
    listed.add_to(book)
    loads.add_to(book)
    return book


# Review ---------------------------------------------------------------------------------------

_COLUMNS: tuple[tuple[str, str, float], ...] = (
    ("key", KEY, 6),
    ("lifter", "Lifter", 15),
    ("session", "Session", 14),
    ("exercise", "Exercise", 20),
    ("action", "What to do", 12),
    ("suggested", "Week 1 load", 8),
    ("sets", "Sets", 6),
    ("choice", "Kept, varied, replaced", 16),
    ("accept", ACCEPT, 8),
    ("own", YOUR_LOAD, 8),
    ("own_sets", YOUR_SETS, 7),
    ("own_choice", YOUR_CHOICE, 16),
    ("flag", "Look at", 28),
    ("reason", "Why", 46),
    ("used", "Load used", 9),
    ("sets_used", "Sets used", 8),
    ("choice_used", "Exercise used", 30),
    ("start", "This block, first", 10),
    ("last", "Last load", 9),
    ("believed", "1RM believed", 10),
    ("spread", "±", 7),
    ("change", "Change", 9),
    ("over", "Against target", 10),
    ("done", "Sets done", 9),
    ("row", "Row in list", 6),
    ("unmade", "Cannot be made", 6),
    ("as_suggested", "Why, as suggested", 6),
    ("starts", "Where it starts", 6),
    ("start_load", "Starts at", 6),
    ("word", "Has a word", 6),
    ("own_load", "Your number", 6),
)
"""Who and what is suggested; the coach's word, its cells side by side, and what to look at in it; why; what follows
from both; the figures. Up to Look at all is seen on a laptop (1366 pixels), and for one lifter most of Why."""

_HIDDEN = ("key", "row", "unmade", "as_suggested", "starts", "start_load", "word", "own_load")
_AT = {name: position for position, (name, _, _) in enumerate(_COLUMNS)}
_WIDTH = {name: width for name, _, width in _COLUMNS}
_TEXT_HEADINGS = ("lifter", "session", "exercise", "action", "choice", "own_choice", "flag", "reason", "choice_used")

_HEADLINES = (_AT["action"], _AT["flag"])
"""Columns that a headline spans: behind those that every printed page repeats, where its beginning alone would stand
again, and within the first page."""
_HEADLINE_WIDTH = sum(width for _, _, width in _COLUMNS[_HEADLINES[0] : _HEADLINES[1] + 1])
_HEADING_ROW = 1


def _review_sheet(
    book: Book, every: Sequence[Reviewed], listed: Listed, loads: Loads, season: Season | None
) -> list[Decided]:
    """The sheet, and where its decisions stand, a block at a time."""
    sheet = book.add(REVIEW)
    for name, _, width in _COLUMNS:
        sheet.widths[_AT[name]] = width
    one_lifter = len({item.log.spec.lifter.name for item in every}) == 1
    sheet.hidden_columns = tuple(_AT[name] for name in (*_HIDDEN, *(["lifter"] if one_lifter else [])))
    sheet.landscape, sheet.pages_wide = True, 2
    sheet.repeat_columns = (_AT["lifter"], _AT["exercise"])
    sheet.repeat_rows = (_HEADING_ROW, _HEADING_ROW)
    sheet.frozen = (_HEADING_ROW + 1, _AT["exercise"] + 1)
    sheet.title("Review: what to do next", len(_COLUMNS) - 1)
    for name, heading, _ in _COLUMNS:
        sheet.put(_HEADING_ROW, _AT[name], heading, "heading left" if name in _TEXT_HEADINGS else "heading")
    sheet.heights[_HEADING_ROW] = 30
    row = _HEADING_ROW + 1
    for text in _HINTS:
        sheet.put(row, _HEADLINES[0], text, "hint")
        row += 1
    made = []
    for item in every:
        row = _headlines(sheet, row + 1, item, season)
        whole = _Whole(book, sheet, item, listed, loads)
        deload = whole.deload_row(row)
        row += 1
        cells = {}
        for suggestion in sorted(item.outlook.suggestions, key=lambda s: not s.pain):
            cells[suggestion.key] = whole.suggestion_row(row, suggestion, deload)
            row += 1
        made.append(Decided(item.log, item.outlook, item.earlier, deload, cells))
    return made


_HINTS = (
    f"{ACCEPT} yes or empty takes the suggestion, no keeps this block's exercise, load and sets. A word of yours wins "
    "over both, cell by cell: all else follows at once.",
    f"{YOUR_CHOICE}: keep, or any exercise of the sheet Exercises; on the first row yes or no to a deload first. A "
    "word that breaks a guard is done all the same.",
)


def _headlines(sheet: Sheet, row: int, item: Reviewed, season: Season | None) -> int:
    """What stands above a lifter's rows; the row after."""
    spec = item.log.spec
    named = f"{spec.lifter.name} · {spec.short_title} · {spec.block.weeks} weeks from {day_text(spec.block.start)}"
    for style, text in (("section", named), *headlines(item.log, item.earlier, item.outlook, season)):
        sheet.across(row, *_HEADLINES, text, style)
        sheet.heights[row] = height([(text, _HEADLINE_WIDTH * _SHARE_OF_STYLE.get(style, 1))])
        row += 1
    return row


_SHARE_OF_STYLE = {"section": 0.85, "alert": 0.93}
"""Letters of what is large or bold that fit, beside those of plain text."""


def _need(item: Reviewed) -> tuple[int, int, int]:
    """How much a lifter needs the coach: pain, deload signs, errors."""
    findings = item.log.findings
    return (
        sum(found.code in PAIN for found in findings),
        bool(item.outlook.deload_reason),
        sum(found.severity == "error" for found in findings),
    )


@dataclass(frozen=True)
class _Whole:
    """The rows of one lifter."""

    book: Book
    sheet: Sheet
    item: Reviewed
    listed: Listed
    loads: Loads

    def deload_row(self, row: int) -> Cell:
        """The row on the whole block; the cell that says whether week 1 is a deload."""
        outlook, policy = self.item.outlook, self.item.log.spec.next_block
        key = whole_block_key(self.item.log, self.item.earlier)
        suggested = "yes" if outlook.deload_reason else "no"
        agreeing = sum(sign.agrees for sign in outlook.signs)
        why = (
            f"{agreeing} of {len(outlook.signs)} signs speak for it, {policy.deload_signs} needed (sheet What changed)."
        )
        if not outlook.signs:
            why = IN_DOUBT
        elif ended_light(self.item.log):
            why += f" {rest_said(self.item.log)}"
        for column in range(1, len(_COLUMNS)):
            self.sheet.put(row, column, None, "set")
        self._who(row, key, "Whole block", "Deload first?")
        own = self._typed(row, "own_choice", key, "choice", OFFERED)
        self.sheet.put(row, _AT["reason"], why, "set wrapped")
        self._set_height(row, reason=why)
        self.sheet.formula(row, _AT["flag"], decided.deload_flag, {"own": own}, "set wrapped")
        names: dict[str, Reference] = {"own": own, "suggested": suggested}
        used = self.sheet.formula(row, _AT["choice_used"], decided.deload_used, names, "set")
        self.sheet.formula(row, _AT["action"], decided_said.deload_to_do, {"deload": used}, "set")
        return used

    def suggestion_row(self, row: int, made: Suggestion, deload: Cell) -> dict[str, Cell]:
        """One exercise's row; the cells that hold what is decided."""
        sheet, key = self.sheet, f"{self.item.log.digest}/{made.key}"
        before, choice = capital(made.exercise), capital(made.choice.exercise)
        self._who(row, key, made.session, before)
        accept = self._typed(row, "accept", key, "accept", OFFERED)
        typed = self.book.put_input(sheet, row, _AT["own"], f"{key}/own", "typed number")
        names: dict[str, Reference] = {"own": typed, "unit": self.item.log.spec.block.unit}
        own = sheet.formula(row, _AT["own_load"], decided.load_typed, names, "number")
        own_sets = self.book.put_input(sheet, row, _AT["own_sets"], f"{key}/own_sets", "typed number")
        choices = ("keep", *(capital(name) for name in made.choice.options if name != made.exercise))
        own_choice = self._typed(row, "own_choice", key, "choice", choices)
        start = sheet.put(row, _AT["start"], or_dash(made.start_load), "number")
        sets = sheet.put(row, _AT["sets"], made.next_sets, "number")
        light, usual = or_dash(made.deload_load), or_dash(made.first_load)
        suggested = sheet.formula(
            row, _AT["suggested"], decided.week_one_load, {"deload": deload, "light": light, "usual": usual}, "number"
        )
        names = {"accept": accept, "own": own_choice, "suggested": choice, "kept": before}
        exercise = sheet.formula(row, _AT["choice_used"], decided.exercise_used, names, "set wrapped")
        names = {
            "exercise": exercise, "before": before, "suggested": choice, "shown": f"{made.choice.kind}: {choice}",
        }  # fmt: skip
        sheet.formula(row, _AT["choice"], decided_said.kept_said, names, "set wrapped")
        names = {
            "accept": accept, "own": own, "suggested": suggested, "kept": start, "exercise": exercise,
            "before": before, "start": self._start_load(row, made, deload, exercise),
        }  # fmt: skip
        load = sheet.formula(row, _AT["used"], decided.load_used, names, "target")
        names = {
            "suggested": wording.to_do(made), "accept": accept, "own": own, "choice": own_choice, "exercise": exercise,
            "before": before, "load": load, "start": start, "deload": deload, "pain": int(made.pain),
        }  # fmt: skip
        sheet.formula(row, _AT["action"], decided_said.to_do, names, "set wrapped")
        names = {"accept": accept, "own": own_sets, "suggested": sets, "kept": made.sets}
        sets_used = sheet.formula(row, _AT["sets_used"], decided.decided, names, "number")
        names = {"exercise": exercise, "names": self.listed.names(self.item.log.spec)}
        place = sheet.formula(row, _AT["row"], decided.catalogue_row, names, "number")
        cells = {"accept": accept, "exercise": exercise, "load": load, "sets": sets_used, "row": place, "start": start}
        cells["flag"] = self._flag(row, made, {**cells, "own": own, "own_sets": own_sets})
        names = {"accept": accept, "own": own, "own_sets": own_sets, "choice": own_choice}
        word = sheet.formula(row, _AT["word"], decided_said.has_word, names, "number")
        cells["why"] = self._why(row, made, deload, {**cells, "own": own, "word": word})
        self._figures(row, made)
        return cells

    def _start_load(self, row: int, made: Suggestion, deload: Cell, exercise: Cell) -> Cell:
        """Where the next sheet starts another exercise, whatever the coach says of a deload."""
        offered = self.item.starts.get(made.key, {})
        names: dict[str, Reference] = {"exercise": exercise, "deload": deload, **padded(list(offered))}
        for of_each in ("usual", "light"):
            loads = padded([or_dash(getattr(each, of_each)) for each in offered.values()])
            names |= {f"{of_each}_{place}": load for place, load in loads.items()}
        return self.sheet.formula(row, _AT["start_load"], decided.start_load, names, "number")

    def _why(self, row: int, made: Suggestion, deload: Cell, cells: Mapping[str, Cell]) -> Cell:
        """Why, as the coach's word on it and on a deload leaves it, and where another exercise starts."""
        said_of = {name: offered.said for name, offered in self.item.starts.get(made.key, {}).items()}
        names: dict[str, Reference] = {"exercise": cells["exercise"], "before": made.exercise, "own": cells["own"]}
        names |= padded(list(said_of))
        names |= {f"of_{place}": said for place, said in padded(list(said_of.values())).items()}
        start = self.sheet.formula(row, _AT["starts"], decided_said.start_said, names, "set")
        said = self.sheet.put(row, _AT["as_suggested"], made.reason, "set")
        names = {
            "reason": said, "start": start, "deload": deload, "held": int(made.held), "pain": int(made.pain),
            "word": cells["word"], "suggested": OFFERED[not self.item.outlook.deload_reason],
        }  # fmt: skip
        self._set_height(row, session=made.session, exercise=made.exercise, reason=wording.as_long_as_it_gets(made))
        return self.sheet.formula(row, _AT["reason"], decided_said.why, names, "set wrapped")

    def _set_height(self, row: int, **texts: str) -> None:
        """As high as the texts of these columns need, and the lifter's name where it shows."""
        texts |= {} if _AT["lifter"] in self.sheet.hidden_columns else {"lifter": self.item.log.spec.lifter.name}
        self.sheet.heights[row] = height([(text, _WIDTH[name]) for name, text in texts.items()])

    def _flag(self, row: int, made: Suggestion, cells: dict[str, Cell]) -> Cell:
        spec = self.item.log.spec
        unmade = self._unmade(row, made, cells)
        names: dict[str, Reference] = {
            "accept": cells["accept"], "own": cells["own"], "own_sets": cells["own_sets"],
            "exercise": cells["exercise"], "row": cells["row"],
            "before": made.exercise, "sets_before": made.sets, "most": or_dash(made.most_load),
            "start": or_dash(made.first_load) if made.start_load is None else cells["start"],
            "kept": cells["start"], "least": lightest_load(spec, made.exercise),
            "limit": most_own_load(spec, made, made.exercise), "most_sets": spec.next_block.most_sets,
            "held": int(made.held), "held_at": or_dash(made.first_load), "unmade": unmade,
            "body_load": spec.body_load(spec.exercise(made.exercise)),
            "most_rise": spec.policy.most_rise,
            "most_own_load": spec.next_block.most_own_load,
        }  # fmt: skip
        return self.sheet.formula(row, _AT["flag"], decided.flags, names, "set wrapped")

    def _unmade(self, row: int, made: Suggestion, cells: dict[str, Cell]) -> Cell | str:
        spec = self.item.log.spec
        loads = self.loads.table(spec, made.exercise)
        if loads is None:
            return ""
        names: dict[str, Reference] = {
            "own": cells["own"], "exercise": cells["exercise"], "before": made.exercise, "unit": spec.block.unit,
            "loads": loads,
        }  # fmt: skip
        return self.sheet.formula(row, _AT["unmade"], decided.unmade_flag, names, "set")

    def _who(self, row: int, key: str, session: str, exercise: str) -> None:
        self.sheet.put(row, _AT["key"], key, "key")
        for column, text in (("lifter", self.item.log.spec.lifter.name), ("session", session), ("exercise", exercise)):
            self.sheet.put(row, _AT[column], text, "set wrapped")

    def _typed(self, row: int, column: str, key: str, name: str, offered: Sequence[str]) -> Cell:
        """A cell to type in that offers a few answers and takes others after a warning."""
        cell = self.book.put_input(self.sheet, row, _AT[column], f"{key}/{name}", "typed text")
        source = list(offered)
        while len(",".join(source)) > _LONGEST_LIST:
            source.pop()
        heading = _COLUMNS[_AT[column]][1]
        said = "Not among those offered. Keep it anyway?"
        options = {"validate": "list", "source": source, "error_title": heading, "error_message": said}
        self.sheet.validations.append(Validation((cell,), options))
        return cell

    def _figures(self, row: int, made: Suggestion) -> None:
        for name, value, style in (
            ("last", made.last_load, "number"),
            ("believed", made.believed_max, "one place"),
            ("spread", made.spread, "one place"),
            ("change", made.change, "percent"),
            ("over", made.mean_over, "signed"),
            ("done", made.share_done, "share"),
        ):
            self.sheet.put(row, _AT[name], or_dash(value), style)
