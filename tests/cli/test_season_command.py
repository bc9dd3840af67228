"""The season command, and new and next that follow it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook

from blockbook.cli import main
from blockbook.clock import VARIABLE
from blockbook.planning.starting import season_starter
from blockbook.spec import schemas
from blockbook.spec.loading import load_season, load_spec
from blockbook.spec.season import BlockKind, Season, SeasonBlock
from blockbook.spec.templates import starter
from tests.intake.small_block import clean_file
from tests.said import unwrapped
from tests.samples import TEMPLATES, template_spec

PLAIN = ("season", "--meet", "2027-06-05", "--from", "2027-01-04", "--out", "season.yaml")


def run(*arguments: str | Path) -> Result:
    result = CliRunner().invoke(main, [str(argument) for argument in arguments])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def succeeded(*arguments: str | Path) -> str:
    result = run(*arguments)
    assert (result.exit_code, result.stderr) == (0, "")
    return result.stdout


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv(VARIABLE, "2026-11-27")


def test_a_season_is_printed_and_written_with_schema_and_calendar_file() -> None:
    shown = succeeded(*PLAIN, "--away", "2027-03-27..2027-04-04", "--ics", "season.ics", "--lifter", "Robin Sample")
    assert "Season of Robin Sample from Mon 4 January 2027. Meet: Sat 5 June 2027." in shown
    assert "Changed" not in shown
    assert load_season("season.yaml").lifter == "Robin Sample"
    assert Path(schemas.SEASON).exists()
    assert Path("season.ics").read_bytes().startswith(b"BEGIN:VCALENDAR\r\n")


def test_a_first_session_before_the_seasons_first_day_is_said_where_the_block_is_written() -> None:
    """Weeks before a Saturday's meet begin on Saturdays, the first of them here two days before the season."""
    succeeded("season", "--meet", "2027-02-06", "--from", "2027-01-04", "--out", "season.yaml")
    early = "In week 1 Squat (Sat 2 January) falls before the season's first day: train on Mon 4 January or later."
    shown = succeeded("new", "--season", "season.yaml", "--start", "2027-01-04", "--out", "block.yaml")
    assert early in unwrapped(shown)
    assert f"follow it. {early}" in Path("block.yaml").read_text("utf-8").replace("\n# ", " ")
    succeeded("season", "--meet", "2027-02-06", "--from", "2027-01-02", "--out", "season.yaml", "--force")
    assert "In week 1" not in succeeded(
        "new", "--season", "season.yaml", "--start", "2027-01-04", "--out", "block.yaml", "--force"
    )


def test_a_meet_that_is_past_is_said_to_be() -> None:
    result = run("season", "--meet", "2020-06-06", "--out", "season.yaml")
    said = unwrapped(result.stderr)
    assert result.exit_code == 2
    assert "the meet on 2020-06-06 is past, or too near: without --from a season begins next Monday, " in said
    assert said.endswith("Check the year, or name the season's first day.\n")


def test_nothing_is_replaced_without_force() -> None:
    succeeded(*PLAIN)
    before = Path("season.yaml").read_bytes()
    result = run(*PLAIN, "--ics", "season.ics")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "season.yaml: is there already" in result.stderr
    assert Path("season.yaml").read_bytes() == before
    assert not Path("season.ics").exists()


def test_a_moved_meet_keeps_the_rest_and_says_what_changed() -> None:
    succeeded(*PLAIN, "--away", "2027-03-27..2027-04-04")
    shown = succeeded("season", "--meet", "2027-06-12", "--out", "season.yaml", "--force")
    assert "  Meets: 2027-06-05, now 2027-06-12." in shown
    made = load_season("season.yaml")
    assert (str(made.first), [str(days) for days in made.away]) == ("2027-01-04", ["2027-03-27..2027-04-04"])


def test_a_meet_moved_in_the_file_is_counted_back_anew() -> None:
    succeeded(*PLAIN)
    path = Path("season.yaml")
    path.write_text(path.read_text("utf-8").replace("meets: [2027-06-05]", "meets: [2027-06-19]"), "utf-8")
    shown = succeeded("season", "--out", "season.yaml", "--force")
    assert "Peak block before meet 1: 2027-05-08 is now 2027-05-22." in shown
    assert "Nothing: the same season." in succeeded("season", "--out", "season.yaml", "--force")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--out", "s.yaml"), "a season needs the day of a meet"),
        (
            ("--meet", "2027-01-01", "--from", "2027-01-04", "--out", "s.yaml"),
            "does not lie after the season's first day",
        ),
        (("--meet", "2027-06-05", "--meet", "2027-06-05", "--out", "s.yaml"), "does not lie after the meet before it"),
        (("--meet", "2027-06-05", "--away", "March", "--out", "s.yaml"), '"March" is no time away'),
        (("--meet", "2027-06-05", "--away", "2027-03-09..2027-03-01", "--out", "s.yaml"), "lies before the first"),
        (("--meet", "2033-06-05", "--from", "2027-01-04", "--out", "s.yaml"), "more than three years"),
    ],
)
def test_what_makes_no_season_is_refused_in_words(arguments: tuple[str, ...], words: str) -> None:
    result = run("season", *arguments)
    assert (result.exit_code, result.stdout) == (2, "")
    assert words in result.stderr
    assert not Path("s.yaml").exists()


def test_new_and_next_follow_the_season(tmp_path: Path) -> None:
    succeeded(*PLAIN)
    succeeded("new", "--season", "season.yaml", "--start", "2027-01-04", "--out", "block.yaml")
    assert str(load_spec("block.yaml").block.meet) == "2027-06-05"
    succeeded("new", "peak", "--season", "season.yaml", "--start", "2027-01-04", "--out", "peak.yaml")
    assert str(load_spec("peak.yaml").block.start) == "2027-05-08"
    shown = succeeded("next", clean_file(tmp_path), "--season", "season.yaml", "--out", "next.yaml")
    assert "By the season: general" in shown
    assert str(load_spec("next.yaml").block.meet) == "2027-06-05"


def test_a_block_of_somebodys_season_is_written_for_them() -> None:
    succeeded(*PLAIN, "--lifter", "Robin Sample")
    succeeded("new", "--season", "season.yaml", "--start", "2027-01-04", "--out", "block.yaml")
    assert load_spec("block.yaml").lifter.name == "Robin Sample"


def test_a_season_is_not_written_as_a_workbook() -> None:
    result = run("season", "--meet", "2027-06-05", "--out", "season.xlsx")
    assert result.exit_code == 2
    assert "season.xlsx: a season is YAML text" in result.stderr
    assert not Path("season.xlsx").exists()


def test_new_needs_a_template_or_a_season() -> None:
    result = run("new", "--out", "block.yaml")
    assert result.exit_code == 2
    assert "name a TEMPLATE, or a --season to follow" in result.stderr


def test_the_review_shows_the_season_and_says_what_lies_beside_it(tmp_path: Path) -> None:
    returned = clean_file(tmp_path)
    succeeded(*PLAIN)
    assert succeeded("review", returned, "--season", "season.yaml", "--out", "review.xlsx") == "review.xlsx\n"
    rows = list(load_workbook("review.xlsx")["Season"].iter_rows(values_only=True))
    assert [row[3] for row in rows if row[2] == "Small block"] == ["general", "general"]
    assert rows[-1][0] == "Meet"
    succeeded("season", "--meet", "2027-06-05", "--from", "2027-03-06", "--out", "late.yaml")
    result = run("review", returned, "--season", "late.yaml", "--out", "late.xlsx")
    assert (result.exit_code, result.stdout) == (0, "late.xlsx\n")
    assert "blockbook: The season has no block for any week of Small block" in result.stderr
    assert max(map(len, result.stderr.splitlines())) < 80


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ("season --meet 5.6.2027 --out s.yaml", """"5.6.2027" is no date. Write year-month-day, such as 2027-01-04"""),
        ("season --meet 2027-06-05 --from January --out s.yaml", '"January" is no date. Write year-month-day'),
        ("new strength --start 2027-02-30 --out b.yaml", '"2027-02-30" is no date. Write year-month-day'),
        ("season --meet 2027-06-05 --away 3/1 --out s.yaml", '"3/1" is no time away. Write first..last day, such as'),
    ],
)
def test_a_date_in_another_form_is_answered_with_the_one_that_is_taken(arguments: str, said: str) -> None:
    result = run(*arguments.split())
    assert (result.exit_code, list(Path().iterdir())) == (2, [])
    assert said in " ".join(result.stderr.split())


@pytest.mark.parametrize(
    ("kind", "weeks", "deload"),
    [("general", 4, 4), ("general", 3, None), ("strength", 4, None), ("strength", 6, 3), ("volume", 3, None)],
)
def test_a_starter_by_the_season_speaks_of_its_own_deload(kind: BlockKind, weeks: int, deload: int | None) -> None:
    block = SeasonBlock(kind=kind, start=date(2027, 1, 4), weeks=weeks, deload_week=deload)
    season = Season.model_validate({"from": date(2027, 1, 4), "meets": [date(2027, 6, 5)], "blocks": [block]})
    said = [
        line for line in season_starter(season, block).splitlines() if "deload" in line.replace("length, deload", "")
    ]
    head = "deload_week" if deload else "# deload_week"
    assert [line.partition(":")[0].strip() for line in said] == [head]
    assert f": {deload or weeks} " in said[0]


@pytest.mark.parametrize("template", TEMPLATES)
def test_a_template_speaks_of_a_deload_only_where_it_has_one(template: str) -> None:
    described = starter(template, date(2027, 1, 4)).partition("\nblock:")[0]
    has_one = template_spec(template).block.deload_week is not None
    assert ("deload" in described.replace("no deload", "")) == has_one
