"""The review's sheet Season: the weeks of all blocks, and those still to come. All of it is invented."""

from __future__ import annotations

import re
import zipfile
from datetime import date
from pathlib import Path

import pytest
from openpyxl import load_workbook

import blockbook
from blockbook.assessment.history import histories
from blockbook.assessment.review_tables import TRENDS
from blockbook.assessment.review_workbook import review_book, reviewed
from blockbook.assessment.season_page import SEASON, SeasonWeek, beside_the_season, main_lifts, season_weeks
from blockbook.intake.log import BlockLog
from blockbook.sheet.book import Cell
from blockbook.spec.season import DateRange, Season, SeasonBlock
from blockbook.training.loading import to_kg
from blockbook.workbook.layout import SUMMARY
from tests.intake.small_block import clean_file, clean_inputs, log_of, plain_bytes, spec_from

BEFORE = (("title: Small block", "title: Block before"), ("start: 2027-01-04", "start: 2026-12-21"))
FILLED_IN = Season(
    first=date(2027, 1, 4),
    meets=(date(2027, 2, 8),),
    blocks=(
        SeasonBlock(kind="strength", start=date(2027, 1, 4), weeks=2),
        SeasonBlock(kind="peak", start=date(2027, 1, 18), weeks=3, deload_week=1),
    ),
)


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> BlockLog:
    return log_of(tmp_path_factory.mktemp("log"), spec_from(), clean_inputs())


@pytest.fixture(scope="module")
def unfinished(tmp_path_factory: pytest.TempPathFactory) -> BlockLog:
    typed = {name: value for name, value in clean_inputs().items() if name.startswith("w1.")}
    return log_of(tmp_path_factory.mktemp("unfinished"), spec_from(), typed)


def before(folder: Path, *changes: tuple[str, str]) -> BlockLog:
    changes = (*BEFORE, *changes)
    return log_of(folder, spec_from(*changes), clean_inputs(*changes))


def on_summary(log: BlockLog, label: str, week: int, table: str = "Weeks at a glance") -> object:
    labels = {row: text for (row, column), text in log.workbook.book.sheets[SUMMARY].contents.items() if column == 0}
    top = next(row for row, text in labels.items() if text == table)
    row = min(row for row, text in labels.items() if text == label and row > top)
    return log.calculation.value(Cell(SUMMARY, row, week))


def test_the_numbers_are_those_of_the_workbook_that_came_back(log: BlockLog) -> None:
    for number, week in enumerate(season_weeks([log]), start=1):
        shown = {
            "Sets planned": week.planned, "Sets done": week.done, "Hard sets (effort 6 up)": week.hard_done,
            "Weekly load (effort x minutes)": week.load, "Tonnage, kg": week.tonnage,
        }  # fmt: skip
        assert shown == {label: pytest.approx(on_summary(log, label, number)) for label in shown}
        for lift in ("back squat", "bench press"):
            best = on_summary(log, lift.capitalize(), number, "Best estimated 1RM, kg")
            assert week.bests[lift] == pytest.approx(best)


def test_a_set_without_a_target_effort_is_planned_but_not_as_a_hard_one(log: BlockLog, tmp_path: Path) -> None:
    week = season_weeks([log])[0]
    assert (week.planned, week.hard_planned) == (1 + 2 + 2 + 2 + 3 + 2, 12)
    felt = ("drop: 10, rpe: 7", "drop: 10")
    week = season_weeks([log_of(tmp_path, spec_from(felt), {})])[0]
    assert (week.planned, week.hard_planned) == (12, 10)


def test_blocks_stand_in_order_with_iso_weeks(log: BlockLog, tmp_path: Path) -> None:
    weeks = season_weeks([before(tmp_path), log])
    assert [(week.label, week.title) for week in weeks] == [
        ("W52", "Block before"), ("W53", "Block before"), ("W01", "Small block"), ("W02", "Small block"),
    ]  # fmt: skip
    assert {(week.kind, week.mark, week.weeks_out) for week in weeks} == {("", "", None)}


def test_a_week_is_named_after_most_of_its_days() -> None:
    assert SeasonWeek(date(2027, 1, 2), "Small block").label == "W01"
    assert SeasonWeek(date(2026, 12, 31), "Small block").label == "W53"


def test_the_season_adds_kinds_weeks_to_come_and_the_meet(log: BlockLog) -> None:
    shown = [(str(w.start), w.kind, w.mark, w.weeks_out) for w in season_weeks([log], FILLED_IN)]
    assert shown == [
        ("2027-01-04", "strength", "", 5),
        ("2027-01-11", "strength", "", 4),
        ("2027-01-18", "peak", "deload", 3),
        ("2027-01-25", "peak", "", 2),
        ("2027-02-01", "peak", "taper", 1),
        ("2027-02-08", "", "meet", 0),
    ]
    to_come = season_weeks([log], FILLED_IN)[2]
    assert (to_come.title, to_come.planned, to_come.done, to_come.load, to_come.bests) == (
        "Still planned", None, None, None, {}
    )  # fmt: skip


def test_time_away_after_the_block_has_a_row_of_its_own(log: BlockLog) -> None:
    after_two = FILLED_IN.blocks[1].model_copy(update={"start": date(2027, 2, 1), "weeks": 1, "deload_week": None})
    away = DateRange(first=date(2027, 1, 18), last=date(2027, 1, 31))
    season = FILLED_IN.model_copy(update={"away": (away,), "blocks": (FILLED_IN.blocks[0], after_two)})
    shown = [(week.start.day, week.label, week.title) for week in season_weeks([log], season)][2:5]
    assert shown == [(18, "W03", "Away"), (25, "W04", "Away"), (1, "W05", "Still planned")]


def test_a_meet_and_a_deload_that_the_block_itself_names_are_marked(tmp_path: Path) -> None:
    spec = spec_from(("  weeks: 2\n", "  weeks: 2\n  deload_week: 2\n  meet: 2027-01-16\n"))
    weeks = season_weeks([log_of(tmp_path, spec, {})])
    assert [(week.mark, week.weeks_out) for week in weeks] == [("", 1), ("deload, meet", 0)]


def test_what_was_not_logged_stays_an_empty_cell(unfinished: BlockLog, tmp_path: Path) -> None:
    week = season_weeks([unfinished])[1]
    assert week.planned == 12
    assert (week.done, week.hard_done, week.load, week.tonnage, week.bests) == (None, None, None, None, {})
    typed = {name: value for name, value in clean_inputs().items() if name.startswith("w1.")}
    file = tmp_path / "robin.xlsx"
    file.write_bytes(plain_bytes(spec_from(), typed))
    sheet = load_workbook(blockbook.review(file, tmp_path / "review.xlsx"))[SEASON]
    rows = {str(row[0].value): row for row in sheet.iter_rows()}
    assert [cell.value for cell in rows["W02"][6:14]] == [12, None, 12, None, None, None, None, None]
    assert all(cell.data_type == "n" for cell in rows["W02"][6:14])
    assert rows["W01"][7].value == 12


def test_loads_of_a_block_in_pounds_are_shown_in_the_unit_of_the_latest(log: BlockLog, tmp_path: Path) -> None:
    pounds = before(tmp_path, ("unit: kg", "unit: lb"))
    week = season_weeks([pounds, log])[0]
    squat = next(history for history in histories(pounds) if history.line.exercise.name == "back squat")
    assert squat.weeks[0].best is not None
    assert week.bests["back squat"] == pytest.approx(to_kg(squat.weeks[0].best))
    tonnage = on_summary(pounds, "Tonnage, lb", 1)
    assert isinstance(tonnage, float)
    assert week.tonnage == pytest.approx(to_kg(tonnage))


def test_a_light_week_is_no_point_that_plunges(tmp_path: Path) -> None:
    """Sets in percent at effort 5.5: the maximum is at least what they show, and may be far above."""
    percent = ("rpe: [7.5, 8]", "percent: 60")
    typed = clean_inputs(percent)
    for number in (1, 2, 3):
        hard, light = f"w1.upper.bench-press.{number}", f"w2.upper.bench-press.{number}"
        typed |= {f"{hard}/load": 70, f"{hard}/rpe": 8.5, f"{light}/load": 45, f"{light}/rpe": 5.5}
    log = log_of(tmp_path, spec_from(percent), typed)
    bests = [week.bests.get("bench press") for week in season_weeks([log])]
    assert bests == [pytest.approx(82.6, abs=0.1), None]
    trends = review_book([reviewed(log)]).sheets[TRENDS].contents
    row = next(row for (row, column), text in trends.items() if column == 1 and text == "Bench press")
    assert [trends[row, column] for column in (2, 3, 4)] == [bests[0], None, "one week"]


def test_without_a_lift_of_the_meet_the_first_exercises_are_followed(log: BlockLog, tmp_path: Path) -> None:
    other = (("exercise: back squat", "exercise: front squat"), ("exercise: bench press", "exercise: overhead press"))
    assert main_lifts([log]) == ("back squat", "bench press")
    assert main_lifts([log_of(tmp_path, spec_from(*other), {})]) == ("front squat", "overhead press")


def test_charts_show_sets_load_and_maxima_with_units_and_words_for_who_cannot_see_them(
    log: BlockLog, tmp_path: Path
) -> None:
    charts = review_book([reviewed(log)]).sheets[SEASON].charts
    assert [(chart.kind, chart.title, chart.y_title, chart.from_zero) for chart in charts] == [
        ("column", "Weekly sets · Robin Sample", "sets", True),
        ("column", "Weekly session load · Robin Sample", "effort x minutes", True),
        ("line", "Best estimated 1RM · Robin Sample", "kg", False),
    ]
    assert [[series.name for series in chart.series] for chart in charts] == [
        ["Planned", "Done", "Hard sets done"], ["Session load"], ["Back squat", "Bench press"]
    ]  # fmt: skip
    assert all("Robin Sample" in chart.description for chart in charts)
    with zipfile.ZipFile(blockbook.review(clean_file(tmp_path), tmp_path / "review.xlsx")) as review:
        written = [review.read(name).decode() for name in review.namelist() if name.startswith("xl/charts/chart")]
    ours = [text for text in written if "&apos;Season&apos;" in text or "Season!" in text]
    assert len(ours) == 3
    assert sum('<c:min val="0"/>' in text for text in ours) == 2
    (lines,) = (text for text in ours if "lineChart" in text)
    lowest = min(best for week in season_weeks([log]) for best in week.bests.values())
    begins = int(re.search(r'<c:min val="(\d+)"/>', lines)[1])  # type: ignore[index]
    assert 0 < begins < lowest <= begins + 15  # so that lines that stay are seen to move


def test_a_block_with_nothing_in_it_has_no_chart_of_load_or_maxima(tmp_path: Path) -> None:
    empty = log_of(tmp_path, spec_from(), {})
    charts = review_book([reviewed(empty)], FILLED_IN).sheets[SEASON].charts
    assert [chart.title for chart in charts] == ["Weekly sets · Robin Sample"]


def test_a_block_beside_the_season_is_said_on_the_sheet(log: BlockLog, tmp_path: Path) -> None:
    assert list(beside_the_season([log], FILLED_IN)) == []
    assert list(beside_the_season([log], None)) == []
    late = FILLED_IN.model_copy(update={"blocks": FILLED_IN.blocks[1:]})
    (remark,) = beside_the_season([log], late)
    assert remark.startswith("The season has no block for any week of Small block from 2027-01-04 (Robin Sample)")
    contents = review_book([reviewed(log)], late).sheets[SEASON].contents
    assert remark in contents.values()
    half = late.model_copy(update={"blocks": (SeasonBlock(kind="general", start=date(2027, 1, 11), weeks=1),)})
    (remark,) = beside_the_season([log], half)
    assert "for week 1 of Small block" in remark


def test_the_season_of_another_lifter_is_not_used(log: BlockLog) -> None:
    other = FILLED_IN.model_copy(update={"lifter": "Kim Invented"})
    assert season_weeks([log], other) == season_weeks([log])
    (remark,) = beside_the_season([log], other)
    assert remark == "The season is Kim Invented's: the weeks of Robin Sample are shown without it."
    assert season_weeks([log], other.model_copy(update={"lifter": "robin sample"}))[0].kind == "strength"
