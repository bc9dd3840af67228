"""The Summary sheet: weeks at a glance, exercises, muscles, and three charts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property
from itertools import chain, pairwise
from typing import NamedTuple

from blockbook.formula.definition import Definition
from blockbook.languages import number_text, say, weekday_text
from blockbook.sheet.book import Book, Cell, Chart, Reference, Run, Series, Sheet
from blockbook.spec.catalogue import Muscle, shown_name
from blockbook.spec.models import EffortAs, Specification
from blockbook.training import alarm, session_load, telling, volume
from blockbook.training.prescription import Line, week_start
from blockbook.workbook.layout import SUMMARY, SessionPlace
from blockbook.workbook.outlook import add_outlook
from blockbook.workbook.steps import Workings
from blockbook.workbook.tables import Tables

_CHART_ROWS = 16
_MOST_LINES = 6


class _Words(NamedTuple):
    """How effort is spoken of: labels, and the chart's series, title, what it shows, and unit."""

    hard: str
    target: str
    over: str
    series: str
    title: str
    what: str
    unit: str


_WORDS: dict[EffortAs, _Words] = {
    "rpe": _Words(
        "Hard sets (effort {least} up)",
        "Target effort, mean",
        "Effort over target, mean",
        "Over target",
        "Effort over target",
        "Column chart: mean of logged minus target effort, above zero was harder, for each week.",
        "points of effort",
    ),
    "reps in reserve": _Words(
        "Hard sets (up to {most} left)",
        "Reps to leave, mean",
        "Fewer left than planned",
        "Fewer left",
        "Fewer reps left than planned",
        "Column chart: mean of planned minus logged reps left, above zero was harder, for each week.",
        "reps",
    ),
}


@dataclass(frozen=True)
class Overview:
    """Rows of the weeks-at-a-glance table, for the charts. Column of week w is w."""

    done_row: int
    effort_row: int
    load_row: int


def add_summary(
    book: Book,
    spec: Specification,
    weeks: tuple[tuple[SessionPlace, ...], ...],
    workings: Workings,
    tables: Tables,
) -> None:
    sheet = book.add(SUMMARY)
    _Summary(sheet, spec, weeks, workings, tables).fill()


class _Summary:
    def __init__(
        self,
        sheet: Sheet,
        spec: Specification,
        weeks: tuple[tuple[SessionPlace, ...], ...],
        workings: Workings,
        tables: Tables,
    ) -> None:
        self.tables = tables
        self.sheet, self.spec, self.weeks, self.workings = sheet, spec, weeks, workings
        self.numbers = range(1, len(weeks) + 1)
        self.row = 0
        self._tables: list[int] = []
        self._words = _WORDS[spec.block.effort_as]

    def fill(self) -> None:
        sheet = self.sheet
        last = max(len(self.weeks) + 2, 8)
        sheet.widths = {0: 26} | dict.fromkeys(range(1, last + 1), 9.5)
        sheet.frozen = (0, 1)
        sheet.title(f"{say('Summary')} · {self.spec.block.title} · {self.spec.lifter.name}", last)
        self._alarm(1, last)
        self.row = 2
        overview = self._weeks_at_a_glance()
        self._filled_by_logging(overview)
        charts_row = self.row
        self.row += 2 * _CHART_ROWS + 2
        self._tables = [0, self.row]
        self.row = add_outlook(sheet, self.row, self.spec, self.weeks, self.workings, self.tables)
        best_row = self._exercises()
        self._muscles(overview.effort_row)
        self.row += 1
        end = self.row + 9
        self._session_load(overview.load_row)
        sheet.kept_together = [[(first, behind - 1)] for first, behind in pairwise(dict.fromkeys((*self._tables, end)))]
        sheet.printed_to = (end - 1, last)
        self._charts(charts_row, overview, best_row)

    def _alarm(self, row: int, last: int) -> None:
        """Before all numbers, what asks for a physician; empty otherwise."""
        lines = next((place.session.lines for place in reversed([*chain(*self.weeks)]) if place.session.lines), ())
        if lines:
            self.sheet.across(row, 0, last, None, "alert")
            self.sheet.formula(
                row, 0, alarm.open_alarm, {"alarm_open": self.workings.cell(lines[0], "alarm_open")}, "alert"
            )
            self.sheet.heights[row] = 30

    # Weeks

    def _weeks_at_a_glance(self) -> Overview:
        self._heading(say("Weeks at a glance"), say("All"))
        done = self._weekly(say("Sets done"), self._all("done"), volume.summed, "whole", volume.summed)
        planned_row = self.row
        self._label(say("Sets planned"))
        for week in self.numbers:
            self.sheet.put(self.row, week, sum(len(line.work_sets) for line in self._lines(week)), "whole")
        self._total(planned_row, volume.summed, "whole")
        self.row += 1
        self._label(say("Share done"))
        for column in (*self.numbers, len(self.weeks) + 1):
            names = {"done": Cell(SUMMARY, done, column), "planned": Cell(SUMMARY, planned_row, column)}
            self.sheet.formula(self.row, column, volume.share, names, "share")
        self.row += 1
        least = self.spec.policy.hard_set_rpe
        hard = say(self._words.hard, least=number_text(least), most=number_text(10 - least))
        self._weekly(hard, self._all("hard"), volume.summed, "whole", volume.summed)
        tonnage = say("Tonnage, {unit}", unit=self.spec.block.unit)
        self._weekly(tonnage, self._all("tonnage"), volume.summed, "whole", volume.summed)
        over = say(self._words.over)
        effort_row = self._weekly(over, self._all("mean_overshoot"), volume.mean, "signed", volume.mean)
        load_row = self.row
        self.row += 4  # filled in by _session_load, once the days below have their rows
        return Overview(done, effort_row, load_row)

    def _filled_by_logging(self, overview: Overview) -> None:
        """A word above the charts while there is nothing to draw: a program makes axes up."""
        done = tuple(Cell(SUMMARY, overview.done_row, week) for week in self.numbers)
        self.sheet.across(self.row, 0, 8, None, "hint")
        self.sheet.formula(self.row, 0, telling.charts_to_come, {"done": done}, "hint")
        self.row += 1

    def _session_load(self, load_row: int) -> None:
        self._heading(say("Session load by day (effort x minutes)"), None)
        first_day_row = self.row
        for offset in range(7):
            day = self.spec.block.start + timedelta(days=offset)
            self._label(weekday_text(day))
            for week in self.numbers:
                date = week_start(self.spec, week) + timedelta(days=offset)
                cells = tuple(place.load_cell for place in self.weeks[week - 1] if place.session.day == date)
                if cells:
                    self.sheet.formula(self.row, week, volume.summed, {"values": cells}, "whole")
                else:
                    self.sheet.put(self.row, week, 0, "whole")
            self.row += 1
        days = {week: Run(SUMMARY, first_day_row, first_day_row + 6, week) for week in self.numbers}
        self.row = load_row
        self._weekly(say("Weekly load (effort x minutes)"), lambda week: days[week].cells(), volume.summed, "whole",
                     volume.summed)  # fmt: skip
        self._label(say("Monotony (high: days alike)"))
        for week in self.numbers:
            sessions = tuple(place.load_cell for place in self.weeks[week - 1])
            names: dict[str, Reference] = {
                "days": days[week],
                "sessions": sessions,
                "planned": len(sessions),
                "later": tuple(place.load_cell for later in self.weeks[week:] for place in later) or "",
            }
            self.sheet.formula(self.row, week, session_load.monotony_of_week, names, "one place")
        self.sheet.put(self.row, len(self.weeks) + 1, None, "set")
        self.row += 1
        self._label(say("Strain (load x monotony)"))
        for week in self.numbers:
            names = {"days": days[week], "monotony": Cell(SUMMARY, self.row - 1, week)}
            self.sheet.formula(self.row, week, session_load.strain, names, "whole")
        self.sheet.put(self.row, len(self.weeks) + 1, None, "set")

    # Exercises

    def _exercises(self) -> int:
        unit = self.spec.block.unit
        best_row = self.row + 1
        every = (line for week in self.numbers for line in self._lines(week))
        working = telling.working_weeks(every, self.spec.block)
        change = say("Change, week {first} to {last}", first=working[0], last=working[-1])
        self._heading(say("Best estimated 1RM, {unit}", unit=unit), change)
        for name in self._names():
            row = self._weekly(self._shown[name], self._of(name, "best"), volume.largest, "one place", None)
            ends: dict[str, Reference] = {
                "first": Cell(SUMMARY, row, working[0]),
                "last": Cell(SUMMARY, row, working[-1]),
            }
            self.sheet.formula(row, len(self.weeks) + 1, volume.change, ends, "percent")
        most = number_text(self.spec.policy.judged_reserve)
        left_out = say("Without sets that left more than {most} reps or were far under target.", most=most)
        self.sheet.across(self.row, 0, 8, left_out, "hint")
        self.row += 2
        self._heading(say(self._words.target), say("All"))
        for name in self._names():
            self._label(self._shown[name])
            for week in self.numbers:
                self.sheet.put(self.row, week, self._mean_target(name, week), "one place")
            self._total(self.row, volume.mean, "one place")
            self.row += 1
        self.row += 1
        self._heading(say(self._words.over), say("All"))
        for name in self._names():
            self._weekly(self._shown[name], self._of(name, "mean_overshoot"), volume.mean, "signed", volume.mean)
        self.row += 1
        self._heading(say("Hard sets"), say("All"))
        for name in self._names():
            self._weekly(self._shown[name], self._of(name, "hard"), volume.summed, "whole", volume.summed)
        self.row += 1
        self._heading(say("Tonnage, {unit}", unit=unit), say("All"))
        for name in self._names():
            self._weekly(self._shown[name], self._of(name, "tonnage"), volume.summed, "whole", volume.summed)
        self.row += 1
        return best_row

    def _mean_target(self, name: str, week: int) -> float | str:
        """Mean target effort of the sets that have one; "" where none has."""
        lines = [line for line in self._lines(week) if line.exercise.name == name]
        targets = [planned.rpe for line in lines for planned in line.work_sets if planned.rpe is not None]
        return self.spec.block.as_typed(sum(targets) / len(targets)) if targets else ""

    # Muscles

    def _muscles(self, effort_row: int) -> None:
        efforts = tuple(Cell(SUMMARY, effort_row, week) for week in self.numbers)
        self._heading(say("Hard sets per muscle (direct 1, indirect {half})", half=number_text(0.5)), say("A week"))
        for muscle in self._trained():
            self._label(say(muscle))
            for week in self.numbers:
                direct, indirect = self._sets_of(muscle, week)
                names: dict[str, Reference] = {"direct": direct or 0, "indirect": indirect or 0}
                self.sheet.formula(self.row, week, volume.muscle_sets, names, "one place")
            self._total(self.row, volume.mean_of_logged, "one place", efforts=efforts)
            self.row += 1
        self.row += 1
        self._heading(say("Planned sets per muscle"), say("A week"))
        for muscle in self._trained():
            self._label(say(muscle))
            for week in self.numbers:
                self.sheet.put(self.row, week, planned_muscle_sets(self._lines(week), muscle), "one place")
            self._total(self.row, volume.mean, "one place")
            self.row += 1

    def _trained(self) -> list[Muscle]:
        found = {m for line in self._lines(1) for m in (*line.exercise.direct, *line.exercise.indirect)}
        return sorted(found)

    def _sets_of(self, muscle: Muscle, week: int) -> tuple[tuple[Cell, ...], tuple[Cell, ...]]:
        lines = self._lines(week)
        direct = tuple(self.workings.cell(line, "hard") for line in lines if muscle in line.exercise.direct)
        indirect = tuple(self.workings.cell(line, "hard") for line in lines if muscle in line.exercise.indirect)
        return direct, indirect

    # Charts

    def _charts(self, top: int, overview: Overview, best_row: int) -> None:
        """The first lift of each session, the weekly load, and how effort came in."""
        heading = best_row - 1
        weeks = (1, len(self.weeks))
        main = {line.exercise.name for line in self._lines(1) if line.depth == 1}
        drawn = [(row, name) for row, name in enumerate(self._names(), start=best_row) if name in main][:_MOST_LINES]
        names = [self._shown[name] for _, name in drawn]
        heads = self._across(heading, weeks)
        best = tuple(Series(self._shown[name], heads, self._across(row, weeks)) for row, name in drawn)
        load = Series(say("Weekly load"), heads, self._across(overview.load_row, weeks))
        effort = Series(say(self._words.series), heads, self._across(overview.effort_row, weeks))
        self.sheet.charts += [
            Chart(
                kind="column",
                title=say("Best estimated 1RM, first lift of each session"),
                description=say(
                    "Column chart: best estimated one-rep maximum of {lifts} in each week.", lifts=", ".join(names)
                ),
                y_title=self.spec.block.unit,
                series=best,
                row=top,
                column=0,
                width=700,
                height=300,
            ),
            self._columns(
                say("Weekly load"),
                say("Column chart: session effort times minutes, summed, for each week."),
                say("effort x minutes"),
                load,
                top,
                0,
                from_zero=True,
            ),
            self._columns(
                say(self._words.title),
                say(self._words.what),
                say(self._words.unit),
                effort,
                top,
                3,
            ),
        ]

    @staticmethod
    def _columns(
        title: str, description: str, unit: str, series: Series, top: int, column: int, from_zero: bool = False
    ) -> Chart:
        return Chart(
            kind="column",
            title=title,
            description=description,
            y_title=unit,
            series=(series,),
            row=top + _CHART_ROWS,
            column=column,
            width=322,
            height=300,
            from_zero=from_zero,
        )

    def _across(self, row: int, weeks: tuple[int, int]) -> tuple[str, int, int, int, int]:
        return (SUMMARY, row, weeks[0], row, weeks[1])

    # Parts of a table

    def _heading(self, text: str, last: str | None) -> None:
        """last: what stands above the column behind the weeks; None where there is none."""
        self._tables.append(self.row)
        self.sheet.heights[self.row] = 15 * (1 + max(len(text) // 30, len(last or "") // 12))
        self.sheet.put(self.row, 0, text, "heading left")
        for week in self.numbers:
            self.sheet.put(self.row, week, say("Week {week}", week=week), "heading")
        if last is not None:
            self.sheet.put(self.row, len(self.weeks) + 1, last, "heading")
        self.row += 1

    def _label(self, text: str) -> None:
        self.sheet.put(self.row, 0, text[0].upper() + text[1:], "set name")

    def _weekly(
        self,
        label: str,
        cells: Callable[[int], tuple[Cell, ...]],
        definition: Definition,
        style: str,
        over_all: Definition | None,
    ) -> int:
        """A labelled row with one formula a week and, if wanted, one over all weeks; its row."""
        row = self.row
        self._label(label)
        for week in self.numbers:
            self.sheet.formula(row, week, definition, {"values": cells(week)}, style)
        if over_all:
            self._total(row, over_all, style)
        self.row += 1
        return row

    def _total(self, row: int, definition: Definition, style: str, **more: Reference) -> None:
        cells = tuple(Cell(SUMMARY, row, week) for week in self.numbers)
        self.sheet.formula(row, len(self.weeks) + 1, definition, {"values": cells, **more}, style)

    def _lines(self, week: int) -> list[Line]:
        return [line for place in self.weeks[week - 1] for line in place.session.lines]

    @cached_property
    def _shown(self) -> dict[str, str]:
        """Exercise -> its name as the lifter reads it."""
        return {line.exercise.name: shown_name(line.exercise) for line in self._lines(1)}

    def _names(self) -> list[str]:
        """Exercises in the order in which they first come up."""
        return list(dict.fromkeys(line.exercise.name for line in self._lines(1)))

    def _all(self, name: str) -> Callable[[int], tuple[Cell, ...]]:
        return lambda week: tuple(self.workings.cell(line, name) for line in self._lines(week))

    def _of(self, exercise: str, name: str) -> Callable[[int], tuple[Cell, ...]]:
        return lambda week: tuple(
            self.workings.cell(line, name) for line in self._lines(week) if line.exercise.name == exercise
        )


def planned_muscle_sets(lines: list[Line], muscle: Muscle) -> float:
    """Planned sets of a week for a muscle: direct ones count 1, indirect ones a half."""
    direct = tuple(len(line.work_sets) for line in lines if muscle in line.exercise.direct)
    indirect = tuple(len(line.work_sets) for line in lines if muscle in line.exercise.indirect)
    return float(volume.muscle_sets.value(direct, indirect) or 0)
