"""The review's sheet Season: each lifter's weeks over all blocks that came back, and those still planned.

Numbers of a returned week are those of its workbook (sets, tonnage, session load) and of the sheet
Trends (estimated maxima of weeks that tell of strength); elsewhere the cell stays empty, so that a chart has a gap
there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from blockbook.assessment.history import LineHistory, histories
from blockbook.intake.log import BlockLog
from blockbook.sheet.book import Book, Cell, Chart, Content, Series, Sheet
from blockbook.sheet.fitting import height, pixels
from blockbook.spec.models import Unit
from blockbook.spec.season import Season
from blockbook.training import volume
from blockbook.training.loading import to_kg, to_lb
from blockbook.training.meet_numbers import LIFTS
from blockbook.training.prescription import Line, week_start, weeks_out
from blockbook.training.season import DAY, MIDDLE, WEEK, iso_week
from blockbook.training.season_calendar import TAPER, KeyDay, key_days, spans
from blockbook.workbook.week_words import capital

SEASON = "Season"
_MOST_LIFTS = 6
_MOST_OF_A_WEEK = 4
"""Days of a week in the taper from which it is a taper week."""


@dataclass(frozen=True)
class SeasonWeek:
    """One week, or the day of a meet that lies in none (no title). None: nothing is planned, logged or known.

    planned, done: work sets; load: session effort x minutes, summed; tonnage and bests (lift -> best
    estimated one-rep maximum, where the week tells of strength) in the unit of the latest block.
    """

    start: date
    title: str
    kind: str = ""
    mark: str = ""
    weeks_out: int | None = None
    planned: int | None = None
    done: int | None = None
    hard_planned: int | None = None
    hard_done: int | None = None
    load: float | None = None
    tonnage: float | None = None
    bests: Mapping[str, float] = field(default_factory=dict)

    @property
    def label(self) -> str:
        """ "W01": the week of ISO 8601 in which most of its days lie; "Meet" for the day of a meet."""
        return iso_week(self.start + MIDDLE) if self.title else "Meet"


def season_weeks(logs: Sequence[BlockLog], season: Season | None = None) -> tuple[SeasonWeek, ...]:
    """The weeks of a lifter's returned blocks, those of the season after the latest, times without a block, and meets.

    logs: in order of date, one at least.
    """
    calendar = _Calendar.of(logs, season_of(logs, season))
    weeks = [week for log in logs for week in _returned(log, logs, calendar)]
    weeks += calendar.planned(week_start(logs[-1].spec, logs[-1].spec.block.weeks + 1))
    weeks += calendar.without_a_block(weeks)
    alone = [
        SeasonWeek(meet, "", mark="meet", weeks_out=0)
        for meet in calendar.meets
        if meet >= weeks[0].start and not any(week.start <= meet < week.start + WEEK for week in weeks)
    ]
    return tuple(sorted([*weeks, *alone], key=lambda week: week.start))


def main_lifts(logs: Sequence[BlockLog]) -> tuple[str, ...]:
    """The lifts of a meet that a lifter has trained, else the first exercise of each session."""
    lines = [line for log in logs for session in log.workbook.weeks[0] for line in session.session.lines]
    trained = {line.exercise.name for line in lines}
    found = [name for name in LIFTS.values() if name in trained]
    return tuple(found or dict.fromkeys(line.exercise.name for line in lines if line.depth == 1))[:_MOST_LIFTS]


def season_of(logs: Sequence[BlockLog], season: Season | None) -> Season | None:
    """The season, unless it names another lifter."""
    if season is None or not season.lifter:
        return season
    return season if season.lifter.casefold() == logs[-1].spec.lifter.name.casefold() else None


def beside_the_season(logs: Sequence[BlockLog], season: Season | None) -> Iterator[str]:
    """What of a lifter's blocks has no place in the season, in sentences."""
    if season is None:
        return
    name = logs[-1].spec.lifter.name
    if season_of(logs, season) is None:
        yield f"The season is {season.lifter}'s: the weeks of {name} are shown without it."
        return
    for log in logs:
        block = log.spec.block
        starts = [week_start(log.spec, week) for week in range(1, block.weeks + 1)]
        outside = [week for week, start in enumerate(starts, start=1) if season.block_on(start) is None]
        if outside:
            which = "any week" if len(outside) == block.weeks else f"week {', '.join(map(str, outside))}"
            yield (
                f"The season has no block for {which} of {block.title} from {block.start} ({name}), so no kind is "
                "shown there. Check the season's dates."
            )


@dataclass(frozen=True)
class _Calendar:
    """What dates alone say of a week. meets: in order of date."""

    season: Season | None
    meets: tuple[date, ...]

    @classmethod
    def of(cls, logs: Sequence[BlockLog], season: Season | None) -> _Calendar:
        """With the season's meets, or those that the blocks name."""
        named = {log.spec.block.meet for log in logs} - {None}
        return cls(season, season.meets if season else tuple(sorted(meet for meet in named if meet)))

    def kind(self, day: date) -> str:
        block = self.season.block_on(day) if self.season else None
        return block.kind if block else ""

    def weeks_out(self, start: date) -> int | None:
        meet = next((meet for meet in self.meets if meet >= start), None)
        return None if meet is None else weeks_out(meet, start)

    def mark(self, start: date, deload: bool) -> str:
        marks = ["deload"] if deload else []
        if self.season and any(day.title == TAPER and _lies_in(start, day) for day in key_days(self.season)):
            marks.append("taper")
        if any(start <= meet < start + WEEK for meet in self.meets):
            marks.append("meet")
        return ", ".join(marks)

    def planned(self, first: date) -> Iterator[SeasonWeek]:
        """The season's weeks that begin on a day or later."""
        for block in self.season.blocks if self.season else ():
            for week in range(1, block.weeks + 1):
                start = block.week_start(week)
                if start >= first:
                    mark = self.mark(start, week == block.deload_week)
                    yield SeasonWeek(start, "Still planned", block.kind, mark, self.weeks_out(start))

    def without_a_block(self, weeks: Sequence[SeasonWeek]) -> Iterator[SeasonWeek]:
        """Weeks away, to recover or free, from the first of the weeks on."""
        for span in spans(self.season) if self.season else ():
            if span.kind in ("away", "recovery", "free"):
                for days in range(0, (span.last - span.first).days - MIDDLE.days + 1, WEEK.days):
                    start = span.first + days * DAY
                    taken = any(abs(week.start - start) <= MIDDLE for week in weeks)
                    if start >= weeks[0].start and not taken:
                        yield SeasonWeek(start, span.title, weeks_out=self.weeks_out(start))


def _lies_in(start: date, taper: KeyDay) -> bool:
    """Whether most of the week from a day on lies in the taper."""
    return sum(taper.first <= start + offset * DAY <= taper.last for offset in range(7)) >= _MOST_OF_A_WEEK


def _returned(log: BlockLog, logs: Sequence[BlockLog], calendar: _Calendar) -> Iterator[SeasonWeek]:
    """The weeks of one of a lifter's blocks."""
    spec, lifts, unit = log.spec, main_lifts(logs), logs[-1].spec.block.unit
    every = histories(log)
    bests = _bests(every, lifts)
    for week, places in enumerate(log.workbook.weeks, start=1):
        start = week_start(spec, week)
        lines = [line for place in places for line in place.session.lines]
        loads = _numbers(log, [place.load_cell for place in places])
        begun = week <= log.begun_weeks
        of_week = [each for history in every for each in history.weeks if each.week == week]
        done, hard, tonnage = (
            sum(_numbers(log, [log.workbook.workings.cell(line, name) for line in lines]))
            for name in ("done", "hard", "tonnage")
        )
        yield SeasonWeek(
            start=start,
            title=spec.block.title,
            kind=calendar.kind(start),
            mark=calendar.mark(start, week == spec.block.deload_week),
            weeks_out=calendar.weeks_out(start),
            planned=sum(each.planned_sets for each in of_week),
            done=int(done) if begun else None,
            hard_planned=planned_hard_sets(lines, spec.policy.hard_set_rpe),
            hard_done=int(hard) if begun else None,
            load=sum(loads) if loads else None,
            tonnage=_in_unit(tonnage, spec.block.unit, unit) if begun else None,
            bests={lift: _in_unit(best, spec.block.unit, unit) for lift, best in bests.get(week, {}).items()},
        )


def planned_hard_sets(lines: Sequence[Line], hard_set_rpe: float) -> int:
    """Work sets with the target effort of a hard set or above; those without a target are not among them."""
    sets = [planned for line in lines for planned in line.work_sets]
    reps, efforts = tuple(planned.reps for planned in sets), tuple(planned.rpe for planned in sets)
    return int(volume.hard_sets.value(reps, efforts, hard_set_rpe) or 0)


def _bests(every: Sequence[LineHistory], lifts: Sequence[str]) -> dict[int, dict[str, float]]:
    """Week -> lift -> best estimated maximum of all sessions, of the weeks that tell of strength."""
    found: dict[int, dict[str, float]] = {}
    for history in every:
        name = history.line.exercise.name
        for each in history.judged_weeks if name in lifts else ():
            if each.best is not None:
                bests = found.setdefault(each.week, {})
                bests[name] = max(each.best, bests.get(name, each.best))
    return found


def _numbers(log: BlockLog, cells: Sequence[Cell]) -> list[float]:
    values = [log.calculation.number(cell) for cell in cells]
    return [value for value in values if value is not None]


def _in_unit(load: float, unit: Unit, wanted: Unit) -> float:
    if unit == wanted:
        return load
    return to_kg(load) if wanted == "kg" else to_lb(load)


# The sheet --------------------------------------------------------------------------------------

_PLAIN: tuple[tuple[str, float], ...] = (
    ("ISO week", 8), ("Begins", 17), ("Block", 26), ("Kind", 10), ("Weeks out", 8), ("Mark", 13),
    ("Sets planned", 10), ("Sets done", 10), ("Hard sets planned", 10), ("Hard sets done", 10), ("Session load", 10),
    ("Tonnage", 10),
)  # fmt: skip
_PLANNED, _DONE, _HARD, _LOAD, _TONNAGE = 6, 7, 9, 10, 11
_FIRST_LIFT, _LEAST_LIFTS = len(_PLAIN), 3
_TEXTS = ("ISO week", "Begins", "Block", "Kind", "Mark")
_CHART_ROWS, _CHART_HEIGHT = 16, 300
_RIGHT = 6
"""Column in which the chart on the right begins."""


def add_season(book: Book, every: Sequence[Sequence[BlockLog]], season: Season | None = None) -> None:
    """every: the blocks of each lifter, in order of date."""
    sheet = book.add(SEASON)
    last = _FIRST_LIFT - 1 + max(_LEAST_LIFTS, *(len(main_lifts(logs)) for logs in every))
    sheet.title("Season: week by week, block after block", last)
    sheet.landscape = True
    sheet.widths = {column: width for column, (_, width) in enumerate(_PLAIN)}
    sheet.widths |= dict.fromkeys(range(_FIRST_LIFT, last + 1), 11.0)
    for row, text in enumerate(_HINTS, start=1):
        sheet.put(row, 0, text, "hint")
    row = len(_HINTS) + 2
    for logs in every:
        row = _add_lifter(sheet, row, last, logs, season)
    if len(every) == 1:  # a season is seen best on one page
        sheet.one_page, sheet.kept_together = True, []


_HINTS = (
    "Sets: all but feelers. Hard sets planned: those with a target effort of a hard set or above; sets without a "
    "target effort count once they are done, by the effort logged. Session load: effort x minutes, summed.",
    "Best estimated 1RM of each week that tells of strength: no deload, no taper, no light set alone. Empty: no such "
    "week, nothing logged, or the block is not written yet. Weeks out: whole weeks from the first day to the meet.",
)


def _add_lifter(sheet: Sheet, row: int, last: int, logs: Sequence[BlockLog], season: Season | None) -> int:
    """A lifter's table with charts below it; the row after. last: the sheet's last column."""
    spec, lifts, weeks, top = logs[-1].spec, main_lifts(logs), season_weeks(logs, season), row
    unit = spec.block.unit
    sheet.across(row, 0, last, spec.lifter.name, "section")
    row += 1
    for remark in beside_the_season(logs, season):
        sheet.across(row, 0, last, remark, "alert")
        row += 1
    headings = [name for name, _ in _PLAIN]
    headings[_TONNAGE] = f"Tonnage, {unit}"
    for column, heading in enumerate((*headings, *(f"{capital(lift)}, {unit}" for lift in lifts))):
        sheet.put(row, column, heading, "heading left" if heading in _TEXTS else "heading")
    sheet.heights[row] = 30
    first = row + 1
    for row, week in enumerate(weeks, start=first):
        _add_week(sheet, row, week, lifts)
    charts = row + 2
    behind = _add_charts(sheet, _Drawn(spec.lifter.name, unit, first, row, lifts, weeks), charts)
    rows_of_charts = range(charts, behind - 1, _CHART_ROWS)
    sheet.kept_together.append([(top, charts - 1), *((each, each + _CHART_ROWS - 1) for each in rows_of_charts)])
    return behind


def _add_week(sheet: Sheet, row: int, week: SeasonWeek, lifts: Sequence[str]) -> None:
    numbers = (week.planned, week.done, week.hard_planned, week.hard_done, week.load, week.tonnage)
    cells: tuple[tuple[Content, str], ...] = (
        (week.label, "set"), (week.start, "date"), (week.title, "set wrapped"), (week.kind, "set"),
        (week.weeks_out, "whole"), (week.mark, "set"), *((number, "whole") for number in numbers),
        *((week.bests.get(lift), "one place") for lift in lifts),
    )  # fmt: skip
    for column, (value, style) in enumerate(cells):
        sheet.put(row, column, value, style)
    sheet.heights[row] = height([(week.title, sheet.widths[2])])


@dataclass(frozen=True)
class _Drawn:
    """A lifter's table, for its charts. first, last: its rows."""

    name: str
    unit: str
    first: int
    last: int
    lifts: tuple[str, ...]
    weeks: tuple[SeasonWeek, ...]

    def series(self, name: str, column: int) -> Series:
        return Series(name, self._rows(0), self._rows(column))

    def _rows(self, column: int) -> tuple[str, int, int, int, int]:
        return (SEASON, self.first, column, self.last, column)


def _add_charts(sheet: Sheet, drawn: _Drawn, row: int) -> int:
    """The charts that have something to show, two side by side and one below; the row after."""
    name = drawn.name
    widths = [sheet.widths[column] for column in sorted(sheet.widths)]
    left, right = pixels(widths[:_RIGHT]), pixels(widths[_RIGHT:])
    sets = (drawn.series("Planned", _PLANNED), drawn.series("Done", _DONE), drawn.series("Hard sets done", _HARD))
    sheet.charts.append(
        Chart("column", f"Weekly sets · {name}",
              f"Column chart: sets of {name} planned and done in each week, and the hard ones among those done.",
              "sets", sets, row, 0, left, _CHART_HEIGHT, from_zero=True)
    )  # fmt: skip
    if any(week.load is not None for week in drawn.weeks):
        sheet.charts.append(
            Chart("column", f"Weekly session load · {name}",
                  f"Column chart: session effort times minutes of {name}, summed, for each week.",
                  "effort x minutes", (drawn.series("Session load", _LOAD),), row, _RIGHT, right, _CHART_HEIGHT,
                  from_zero=True)
        )  # fmt: skip
    row += _CHART_ROWS
    best = tuple(
        drawn.series(capital(lift), column)
        for column, lift in enumerate(drawn.lifts, start=_FIRST_LIFT)
        if any(lift in week.bests for week in drawn.weeks)
    )
    if best:
        lifts = ", ".join(series.name for series in best)
        sheet.charts.append(
            Chart("line", f"Best estimated 1RM · {name}",
                  f"Line chart: best estimated one-rep maximum of {name} in each week: {lifts}.",
                  drawn.unit, best, row, 0, left + right, _CHART_HEIGHT, near_lowest=True)
        )  # fmt: skip
        row += _CHART_ROWS
    return row + 1
