"""The overview by example: who needs the coach and why, the workbook with its marks, and what a mark does."""

from __future__ import annotations

import shutil
import sys
import zipfile
from collections.abc import Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

import blockbook
from blockbook.assessment.coach_word import read_word
from blockbook.errors import BlockbookError
from blockbook.practice.folder import Practice, block_folder, open_practice
from blockbook.practice.marks import ACCEPT, KEY, ROUTINE, ROUTINE_ONE, read_marks
from blockbook.practice.overview_text import show
from blockbook.practice.standing import KINDS, Standing, _first_few, overview
from blockbook.spec.loading import load_spec
from blockbook.spec.settings import Settings
from tests.intake.small_block import TOP, clean_inputs, edited, plain_bytes, worn_out
from tests.practice.small_practice import AFTER, START, add, returned, run, small_practice, succeeded
from tests.said import unwrapped

NAMES = ("Robin Sample", "Jo Beispiel", "Kim Muster")
FILED = Path("returned") / "small-block-2027-01-04"


@pytest.fixture(name="practice")
def _practice(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Practice:
    practice = small_practice(tmp_path / "practice", NAMES)
    monkeypatch.chdir(practice.root)
    return practice


pytestmark = pytest.mark.filterwarnings("ignore:Sparkline Group extension")  # openpyxl only reads the marks here


def came_back(practice: Practice, name: str, typed: Mapping[str, Any] | None = None, called: str = "log.xlsx") -> None:
    folder = practice.root / "lifters" / name.lower().replace(" ", "-") / FILED
    folder.mkdir(parents=True, exist_ok=True)
    (folder / called).write_bytes(returned(name, typed))


def line_of(practice: Practice, name: str, today: date = AFTER) -> Standing:
    return next(each for each in overview(practice.root, today) if each.name == name)


def needs(standing: Standing) -> dict[str, str]:
    return {need.kind: need.text for need in standing.needs}


PAIN = {"w2.lower.pain": "A", "w2.lower.where": "left knee"}


def half_done() -> dict[str, Any]:
    """The second set of every exercise left out, so that sets are missing and no week is."""
    return {
        name: None for name in clean_inputs() if "/" in name and not name.rpartition("/")[0].endswith((".1", "feeler"))
    }


@pytest.mark.parametrize(
    ("typed", "kind", "said"),
    [
        (PAIN, "pain", "left knee"),
        ({f"{TOP}/load": "heavy"}, "findings", '1 error: back squat, set 1, load: "heavy" is not a number'),
        (worn_out(), "effort", "effort 1.0, then 2.1 over target in the last two weeks"),
        (half_done(), "adherence", "of sets done"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_stands_in_a_log_needs_the_coach(
    practice: Practice, typed: Mapping[str, Any], kind: str, said: str
) -> None:
    came_back(practice, "Robin Sample", typed)
    standing = line_of(practice, "Robin Sample")
    assert said in needs(standing)[kind]
    assert not standing.routine
    assert overview(practice.root, AFTER)[0].name == "Robin Sample"


def test_lifts_that_stall_for_three_weeks_are_named(practice: Practice) -> None:
    add(practice.root, "Alex Example", ("weeks: 2", "weeks: 3"), ("rpe: [7.5, 8]", "rpe: 8"))
    folder = practice.root / "lifters" / "alex-example" / FILED
    folder.mkdir(parents=True)
    changes = (("weeks: 2", "weeks: 3"), ("rpe: [7.5, 8]", "rpe: 8"))
    weeks = {
        name.replace("w1.", f"w{week}.", 1): value
        for name, value in clean_inputs().items()
        if name.startswith("w1.") and not name.endswith(".date")
        for week in (1, 2, 3)
    }
    (folder / "log.xlsx").write_bytes(returned("Alex Example", weeks, *changes))
    standing = line_of(practice, "Alex Example", START + timedelta(weeks=3))
    assert needs(standing)["stalled"] == ("4 of 4 lifts stalled: back squat, leg press, bench press and 1 more")
    assert standing.strength == (0, 0, 0)


def test_of_many_stalled_lifts_the_first_are_named_and_all_are_counted() -> None:
    assert _first_few(["squat", "press"]) == "squat, press"
    assert _first_few(["squat", "press", "squat", "row", "dip", "dip"]) == "squat (on 2 days), press, row and 2 more"


def test_a_log_mailed_in_the_middle_of_a_week_has_left_out_nothing(practice: Practice) -> None:
    changes = (("weeks: 2", "weeks: 3"), ("rpe: [7.5, 8]", "rpe: 8"))
    add(practice.root, "Alex Example", *changes)
    folder = practice.root / "lifters" / "alex-example" / FILED
    folder.mkdir(parents=True)
    to_come = dict.fromkeys(name for name in clean_inputs() if name.startswith("w2.upper"))
    (folder / "log.xlsx").write_bytes(returned("Alex Example", {**clean_inputs(), **to_come}, *changes))
    standing = line_of(practice, "Alex Example", START + timedelta(days=9))
    assert standing.progress == "2 of 3 weeks"
    assert standing.share == 1
    assert "adherence" not in needs(standing)


def test_a_log_is_overdue_some_days_after_the_block_and_until_it_is_whole(practice: Practice) -> None:
    assert needs(line_of(practice, "Jo Beispiel", AFTER + timedelta(days=2))) == {}
    late = AFTER + timedelta(days=3)
    assert needs(line_of(practice, "Jo Beispiel", late)) == {"overdue": "4 days overdue: nothing came back"}
    came_back(practice, "Jo Beispiel", {name: None for name in clean_inputs() if name.startswith("w2.")})
    assert needs(line_of(practice, "Jo Beispiel", late))["overdue"] == "4 days overdue: only 1 of 2 weeks came back"
    came_back(practice, "Jo Beispiel", called="whole.xlsx")
    assert "overdue" not in needs(line_of(practice, "Jo Beispiel", late))


def test_what_cannot_be_read_is_a_line_and_no_error(practice: Practice) -> None:
    lifters = practice.root / "lifters"
    (lifters / "robin-sample" / "block.yaml").write_text("block: {", "utf-8")
    (lifters / "jo-beispiel" / "returned").mkdir()
    (lifters / "jo-beispiel" / "returned" / "photo.xlsx").write_bytes(b"\x89PNG")
    (practice.root / "unsorted" / "x.pdf.txt").write_text(
        "Why: it is a PDF\nPerhaps of: kim-muster (by ...)\n", "utf-8"
    )
    every = {each.lifter.name: needs(each) for each in overview(practice.root, AFTER)}
    assert "robin-sample/block.yaml: line 1: a { is opened" in every["robin-sample"]["unreadable"]
    assert "photo.xlsx: this is a picture" in every["jo-beispiel"]["unreadable"]
    assert every["kim-muster"] == {"unreadable": "a file from this address in unsorted/"}
    assert "Needs you (3)" in succeeded("overview")


def test_a_file_put_there_by_hand_counts_if_it_is_of_the_block(practice: Practice) -> None:
    folder = practice.root / "lifters" / "jo-beispiel" / "returned"
    folder.mkdir()
    (folder / "by hand.xlsx").write_bytes(returned("Jo Beispiel"))
    (folder / "of another.xlsx").write_bytes(returned("Robin Sample"))
    standing = line_of(practice, "Jo Beispiel")
    assert (standing.returned, standing.routine, standing.progress) == (True, True, "2 of 2 weeks")


def test_a_block_that_is_still_the_example_is_to_be_written(practice: Practice) -> None:
    succeeded("new", "strength", "--lifter", "Alex Example")
    assert needs(line_of(practice, "Alex Example")) == {
        "unwritten": "block to write: its bests are still the example's"
    }


def test_a_log_that_is_not_whole_is_never_routine(practice: Practice) -> None:
    """A next block begins as if all of this one were done."""
    only = {name: None for name in clean_inputs() if name.startswith("w2.")}
    came_back(practice, "Jo Beispiel", only)
    under_way, over = (line_of(practice, "Jo Beispiel", day) for day in (START + timedelta(days=8), AFTER))
    assert (under_way.needs, under_way.routine) == ((), False)
    assert (needs(over), over.routine) == ({"unfinished": "only 1 of 2 weeks came back"}, False)
    came_back(practice, "Jo Beispiel", {name: None for name in clean_inputs() if name.startswith("w2.upper")})
    half_a_week = line_of(practice, "Jo Beispiel")
    assert (needs(half_a_week), half_a_week.routine) == ({"unfinished": "the last week is not whole"}, False)
    came_back(practice, "Kim Muster", dict.fromkeys(clean_inputs()))
    empty = line_of(practice, "Kim Muster")
    assert (needs(empty), empty.routine) == ({"unfinished": "it came back with nothing logged"}, False)


def test_nobody_is_said_to_train_whose_block_was_never_built(practice: Practice) -> None:
    before = succeeded("overview")
    succeeded("build", "jo-beispiel")
    after = succeeded("overview")
    assert [said.count("not built yet") for said in (before, after)] == [3, 2]
    assert [said.count("training") for said in (before, after)] == [0, 1]


def test_what_is_built_is_what_mail_takes_for_built(practice: Practice) -> None:
    """By the sent log: a file in sent/ that it does not know is none of ours."""
    lifter = practice.root / "lifters" / "jo-beispiel"
    succeeded("build", "lifters/jo-beispiel/block.yaml", "--out", "lifters/jo-beispiel/sent")
    assert line_of(practice, "Jo Beispiel").built == "never"
    succeeded("build", "jo-beispiel")
    assert line_of(practice, "Jo Beispiel").built == "as it is"
    block = lifter / "block.yaml"
    block.write_text(block.read_text("utf-8").replace("reps: 8-10", "reps: 10-12"), "utf-8")
    assert line_of(practice, "Jo Beispiel").built == "before it was changed"
    assert succeeded("overview").count("changed since it was built") == 1
    shutil.rmtree(lifter / "sent")
    assert line_of(practice, "Jo Beispiel").built == "never"


def test_a_near_meet_is_shown_and_keeps_nobody_from_being_routine(practice: Practice) -> None:
    add(practice.root, "Alex Example", ("weeks: 2", "weeks: 2\n  meet: 2027-02-01"))
    folder = practice.root / "lifters" / "alex-example" / FILED
    folder.mkdir(parents=True)
    (folder / "log.xlsx").write_bytes(returned("Alex Example", None, ("weeks: 2", "weeks: 2\n  meet: 2027-02-01")))
    standing = line_of(practice, "Alex Example")
    assert (needs(standing), standing.routine) == ({"meet": "meet in 14 days"}, True)
    assert needs(line_of(practice, "Alex Example", START))["meet"] == "meet in 28 days"
    assert "meet" not in needs(line_of(practice, "Alex Example", START - timedelta(days=1)))


def test_the_most_in_need_come_first_kind_by_kind(practice: Practice) -> None:
    assert KINDS[:5] == ("alarm", "pain", "overdue", "unreadable", "unwritten")
    came_back(practice, "Kim Muster", PAIN)
    came_back(practice, "Robin Sample", {f"{TOP}/load": "heavy"})
    late = AFTER + timedelta(days=10)
    assert [each.name for each in overview(practice.root, late)] == ["Kim Muster", "Jo Beispiel", "Robin Sample"]


def test_the_screen_says_where_the_answer_goes(practice: Practice) -> None:
    came_back(practice, "Kim Muster", PAIN)
    assert succeeded("overview").endswith("For what to decide on each, then: blockbook review\n")
    succeeded("review", "kim-muster")
    *_, lead, path = succeeded("overview").splitlines()
    assert lead == "Your word goes into their reviews; what is odd stands there on Findings:"
    assert (practice.root / path.strip()).is_file()


ALARM = {"w2.lower.leg-press.1/note": "chest pain, stopped", "w2.lower.pain": None, "w2.upper.pain": None}


def test_an_alarm_needs_the_coach_until_the_lifter_answers_it(practice: Practice) -> None:
    """Neither a decided next block nor a new one ends it, nor one that was trained all the same."""
    came_back(practice, "Kim Muster", ALARM)
    assert "no training before a physician has seen them" in needs(line_of(practice, "Kim Muster"))["alarm"]
    succeeded("review", "kim-muster")
    succeeded("next", "kim-muster")
    assert [need.kind for need in line_of(practice, "Kim Muster").open_needs] == ["alarm"]
    succeeded("mail", "--quiet")
    written = line_of(practice, "Kim Muster")
    assert (written.returned, "is still open" in needs(written)["alarm"]) == (False, True)
    spec = load_spec(written.lifter.block)
    folder = written.lifter.returned / block_folder(spec)
    folder.mkdir()
    for answer, still_open in ((None, True), ("none", False)):
        typed = {"w1.lower.squat.1/load": 60, "w1.lower.squat.1/reps": 5, "w1.lower.squat.1/rpe": 7}
        (folder / "log.xlsx").write_bytes(plain_bytes(spec, {**typed, "w1.lower.pain": answer}))
        trained = line_of(practice, "Kim Muster", spec.block.start)
        assert ("alarm" in [need.kind for need in trained.open_needs]) == still_open
    assert not any(slot.hurts for slot in spec.slots)


def test_the_terminal_is_plain_and_80_wide_where_it_is_piped(practice: Practice) -> None:
    came_back(practice, "Kim Muster", PAIN)
    add(practice.root, "[red]" + "Long Name " * 5)
    shown = succeeded("overview")
    assert "\x1b" not in shown
    assert max(map(len, shown.splitlines())) <= 80
    assert shown.index("Kim Muster") < shown.index("Fine (")
    assert "[red]" in shown
    assert "Fine (" not in succeeded("overview", "--quiet")


def test_what_the_log_is_at_stands_on_one_line(practice: Practice, capsys: pytest.CaptureFixture[str]) -> None:
    came_back(practice, "Kim Muster", PAIN)
    for today in (START - timedelta(days=1), START):
        show(overview(practice.root, today), sys.stdout)
    shown = capsys.readouterr().out
    for log in ("from 4 Jan 2027", "due 17 Jan 2027", "2 of 2 weeks"):
        assert f" {log} " in shown


# The workbook and its marks


def marked(path: Path, marks: Mapping[str, str]) -> Path:
    """The overview after the coach typed under Accept?, beside a lifter or the routine ones."""
    book = load_workbook(path)
    sheet: Any = book.active
    head = next(row for row in sheet.iter_rows() if KEY in [cell.value for cell in row])
    column = next(cell.column for cell in head if cell.value == ACCEPT)
    for row in sheet.iter_rows():
        if row[0].value in marks:
            sheet.cell(row[0].row, column).value = marks[row[0].value]
    book.save(path)
    return path


def test_the_workbook_has_filters_trends_and_links(practice: Practice) -> None:
    came_back(practice, "Kim Muster", PAIN)
    succeeded("review")
    succeeded("overview", "--out", "overview.xlsx")
    sheet: Any = load_workbook("overview.xlsx").active
    assert [sheet.cell(row, 1).value for row in range(5, 8)] == ["Kim Muster", "Jo Beispiel", "Robin Sample"]
    assert sheet.auto_filter.ref == "A4:M7"
    review = "lifters/kim-muster/reviews/small-block-2027-01-04.xlsx"
    assert [sheet.cell(row, 13).value for row in range(5, 8)] == [f'=HYPERLINK("{review}","open")', "", ""]
    assert Path(review).exists()
    assert b"sparklineGroup" in part("overview.xlsx", "xl/worksheets/sheet1.xml")


def test_the_workbook_prints_one_page_wide_on_the_practices_paper(practice: Practice) -> None:
    succeeded("overview", "--out", "overview.xlsx")
    sheets: Any = load_workbook("overview.xlsx")
    sheet, trends = sheets
    assert (sheet.page_setup.orientation, sheet.page_setup.paperSize) == ("landscape", 9)
    assert sheet.sheet_properties.pageSetUpPr.fitToPage
    assert sheet.oddFooter.right.text == "Page &P of &N"
    assert trends.sheet_state == "hidden"  # only the small charts need it


def test_rows_are_as_high_as_their_texts(practice: Practice) -> None:
    add(practice.root, "Maximiliana Wolkenstein-Hohenfeldberger")
    succeeded("overview", "--out", "overview.xlsx")
    sheet: Any = load_workbook("overview.xlsx").active
    heights = {row[0].value: sheet.row_dimensions[row[0].row].height for row in sheet.iter_rows(min_row=5)}
    assert heights["Maximiliana Wolkenstein-Hohenfeldberger"] >= 2 * heights["Jo Beispiel"] - 1


def test_an_overview_of_those_named_leaves_the_marks_of_others_alone(seen: Path, tmp_path: Path) -> None:
    root = Path(shutil.copytree(seen, tmp_path / "practice"))
    shown = succeeded("overview", "jo-beispiel", "Kim Muster", "--practice", root)
    assert "Jo Beispiel" in shown
    assert "Robin Sample" not in shown
    marked(root / "overview.xlsx", {"Robin Sample": "yes"})
    done = run("overview", "jo-beispiel", "--practice", root, "--out", root / "overview.xlsx")
    assert "holds marks that were not followed yet (robin-sample)" in unwrapped(done.stderr)


def part(path: str, name: str) -> bytes:
    with zipfile.ZipFile(path) as package:
        return package.read(name)


@pytest.fixture(name="seen", scope="module")
def _seen(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A practice in which everybody sent a log, one with pain, and its overview."""
    practice = small_practice(tmp_path_factory.mktemp("seen") / "practice", NAMES)
    for name in NAMES:
        came_back(practice, name, PAIN if name == "Kim Muster" else None)
    succeeded("overview", "--practice", practice.root, "--out", practice.root / "overview.xlsx")
    return practice.root


@pytest.mark.parametrize(
    ("marks", "written"),
    [
        ({ROUTINE: "yes"}, ["jo-beispiel", "robin-sample"]),
        ({ROUTINE: "yes", "Jo Beispiel": "No", "Robin Sample": "n", "Kim Muster": "Y"}, ["kim-muster"]),
        ({}, []),
    ],
    ids=["the routine ones", "one by one", "nobody"],
)
def test_next_follows_the_marks_and_pain_is_never_routine(
    tmp_path: Path, seen: Path, monkeypatch: pytest.MonkeyPatch, marks: dict[str, str], written: list[str]
) -> None:
    root = Path(shutil.copytree(seen, tmp_path / "practice"))
    monkeypatch.chdir(root)
    marked(root / "overview.xlsx", marks)
    shown = succeeded("next")
    assert sorted(path.parent.name for path in root.glob("lifters/*/next.yaml")) == written
    assert ("kim-muster: First: back squat (Lower). Pain was" in unwrapped(shown)) == ("kim-muster" in written)
    passed_over = "Not accepted by the yes at the top, since they need you: kim-muster. Each takes a yes of their own"
    assert (passed_over in unwrapped(shown)) == (marks == {ROUTINE: "yes"})
    if not written:
        assert "Nobody is accepted" in shown


def test_what_came_back_since_is_not_accepted_unseen(practice: Practice) -> None:
    came_back(practice, "Robin Sample")
    succeeded("overview", "--out", "overview.xlsx")
    marked(practice.root / "overview.xlsx", {"Robin Sample": "yes"})
    came_back(practice, "Robin Sample", PAIN, called="later.xlsx")
    assert "robin-sample: came back or was changed since the overview" in succeeded("next")
    assert not list(practice.root.glob("lifters/*/next.yaml"))


def test_the_word_in_a_review_wins_and_is_never_lost(practice: Practice) -> None:
    came_back(practice, "Robin Sample")
    succeeded("review")
    review = practice.root / "lifters" / "robin-sample" / "reviews" / "small-block-2027-01-04.xlsx"
    say_in_review(review, 90)
    before = review.read_bytes()
    assert "(holds your word: left alone)" in unwrapped(succeeded("review"))
    assert "Use --force" in run("review", "robin-sample").stderr
    assert review.read_bytes() == before
    shown = succeeded("next", "robin-sample")
    assert "robin-sample: Small block 2, 2 weeks from 2027-01-18" in shown
    spec = load_spec(practice.root / "lifters" / "robin-sample" / "next.yaml")
    assert spec.sessions[0].slots[0].loads == {1: 90}
    assert spec.sessions[0].slots[0].private_note == "Watch the left knee cave in."


def test_next_of_a_lifter_whose_log_is_missing_or_whose_next_waits_says_so(practice: Practice) -> None:
    assert "nothing came back yet of Small block" in run("next", "robin-sample").stderr
    came_back(practice, "Robin Sample")
    succeeded("next", "robin-sample")
    assert "next.yaml: is there already" in run("next", "robin-sample").stderr
    succeeded("next", "robin-sample", "--force")


def test_a_next_block_that_would_have_begun_long_ago_is_said(practice: Practice) -> None:
    """As after a log that came late: the start is the coach's to move."""
    long_ago = ("start: 2027-01-04", "start: 2020-01-06")
    lifter = add(practice.root, "Alex Example", long_ago)
    (lifter / "returned").mkdir()
    dated = {name: None for name in clean_inputs() if name.endswith(".date")}
    (lifter / "returned" / "log.xlsx").write_bytes(returned("Alex Example", dated, long_ago))
    days = (AFTER - date(2020, 1, 20)).days
    assert unwrapped(succeeded("next", "alex-example")).startswith(
        f"alex-example: Small block 2, 2 weeks from 2020-01-20, {days} days ago. To begin later, change start in "
        "lifters/alex-example/next.yaml.\n"
    )


def test_the_house_policy_stays_in_the_settings(practice: Practice) -> None:
    path = practice.root / "settings.yaml"
    path.write_text(path.read_text("utf-8").replace("policy: {}", "policy: {set_sd: 0.025}"), "utf-8")
    succeeded("build", "robin-sample")
    (sent,) = practice.root.glob("lifters/robin-sample/sent/*.xlsx")
    assert blockbook.read(sent).spec.policy.set_sd == 0.025
    (practice.root / "lifters" / "robin-sample" / "returned").mkdir()
    (practice.root / "lifters" / "robin-sample" / "returned" / "log.xlsx").write_bytes(sent.read_bytes())
    succeeded("next", "robin-sample")
    assert "set_sd" not in (practice.root / "lifters" / "robin-sample" / "next.yaml").read_text("utf-8")
    assert isinstance(open_practice(practice.root).settings, Settings)


def test_a_lifter_whom_the_coach_has_decided_on_needs_nobody_and_what_is_next_is_said(practice: Practice) -> None:
    came_back(practice, "Kim Muster", PAIN)
    assert "left knee" in unwrapped(succeeded("overview", "--out", "overview.xlsx"))
    marked(practice.root / "overview.xlsx", {"Kim Muster": "yes"})
    shown = unwrapped(succeeded("overview"))
    assert ("Nobody needs you." in shown, "accepted: blockbook next" in shown) == (True, True)
    succeeded("next")
    shown = unwrapped(succeeded("overview", "--out", "overview.xlsx"))
    assert ("Nobody needs you." in shown, "next block waits: blockbook mail" in shown) == (True, True)
    sheet: Any = load_workbook("overview.xlsx").active
    (row,) = [row for row in sheet.iter_rows(values_only=True) if row[0] == "Kim Muster"]
    assert row[5:7] == ("fine", "next block waits: blockbook mail")
    assert row[4] == "no"  # pain is never routine
    succeeded("mail", "kim-muster")
    after = line_of(practice, "Kim Muster")
    lies = "a draft in drafts/: send it, or delete it once sent"
    assert (after.waiting, after.said, after.progress) == ("", (lies,), "due 31 Jan 2027")
    for draft in (practice.root / "drafts").glob("kim-muster*.eml"):
        draft.unlink()
    assert line_of(practice, "Kim Muster").said == ("training",)


def test_a_log_that_changed_after_its_next_block_was_decided_needs_the_coach_again(practice: Practice) -> None:
    came_back(practice, "Kim Muster")
    succeeded("next", "kim-muster")
    assert line_of(practice, "Kim Muster").said == ("next block waits: blockbook mail",)
    came_back(practice, "Kim Muster", PAIN, called="later.xlsx")
    pain, *_, waits = line_of(practice, "Kim Muster").said
    assert "left knee" in pain
    assert waits == MADE_BEFORE


MADE_BEFORE = "next block waits, made before the log, review or block changed"


def say_in_review(review: Path, load: float) -> None:
    """The coach's own load for the back squat."""
    book = load_workbook(review)
    sheet: Any = book.active
    head = next(row for row in sheet.iter_rows() if row[0].value == "Key")
    own = next(cell.column for cell in head if cell.value == "Your load")
    row = next(row[0].row for row in sheet.iter_rows() if str(row[0].value).endswith("/lower.squat"))
    sheet.cell(row, own).value = load
    book.save(review)


def test_a_word_in_the_review_after_its_next_block_was_decided_is_no_part_of_it(practice: Practice) -> None:
    came_back(practice, "Kim Muster")
    succeeded("review")
    review = practice.root / "lifters" / "kim-muster" / "reviews" / "small-block-2027-01-04.xlsx"
    succeeded("next", "kim-muster")
    for load in (90, 92.5):
        say_in_review(review, load)
        assert line_of(practice, "Kim Muster").said == (MADE_BEFORE,)
        succeeded("next", "kim-muster", "--force")
        assert line_of(practice, "Kim Muster").waiting == "decided"
    review.unlink()
    assert line_of(practice, "Kim Muster").waiting == "before it changed"
    review.mkdir()  # what is there can be read by nobody
    assert line_of(practice, "Kim Muster").waiting == "before it changed"


def test_a_review_that_says_nothing_changes_nothing_decided_or_accepted(practice: Practice) -> None:
    """Only `next` follows a review: a yes in the overview is to the log, whatever the review comes to say."""
    came_back(practice, "Kim Muster")
    came_back(practice, "Robin Sample")
    succeeded("overview", "--out", "overview.xlsx")
    marked(practice.root / "overview.xlsx", {"Robin Sample": "yes"})
    succeeded("next", "kim-muster")
    succeeded("review")
    say_in_review(practice.root / "lifters" / "robin-sample" / "reviews" / "small-block-2027-01-04.xlsx", 90)
    assert line_of(practice, "Kim Muster").waiting == "decided"
    assert line_of(practice, "Robin Sample").waiting == "accepted"
    assert "robin-sample: Small block 2" in succeeded("next")


def test_a_next_block_written_by_hand_is_none_that_was_decided_for_a_block_before(practice: Practice) -> None:
    lifter = practice.root / "lifters" / "kim-muster"
    came_back(practice, "Kim Muster")
    succeeded("next", "kim-muster")
    succeeded("mail", "kim-muster")
    (lifter / "next.yaml").write_text((lifter / "block.yaml").read_text("utf-8"), "utf-8")
    assert line_of(practice, "Kim Muster").waiting == "decided"


def test_a_block_whose_title_changed_after_its_next_was_decided_is_still_that_block(practice: Practice) -> None:
    came_back(practice, "Kim Muster")
    succeeded("next", "kim-muster")
    block = practice.root / "lifters" / "kim-muster" / "block.yaml"
    block.write_text(block.read_text("utf-8").replace("title: Small block", "title: Renamed"), "utf-8")
    assert line_of(practice, "Kim Muster").waiting == "before it changed"


def test_a_log_is_read_on_the_day_that_the_overview_is_asked_for(practice: Practice) -> None:
    """A week before the block, every date in its log lies ahead."""
    came_back(practice, "Kim Muster")
    assert needs(line_of(practice, "Kim Muster")) == {}
    before = needs(line_of(practice, "Kim Muster", START - timedelta(days=7)))
    said = "1 warning: All dates lie ahead: the first is 4 Jan 2027, and today is 28 Dec 2026."
    assert before["findings"].startswith(said)


@pytest.mark.parametrize("named", ["overview.xlsx", "evening.xlsx"])
def test_a_yes_is_seen_in_the_overview_that_is_named(practice: Practice, named: str) -> None:
    came_back(practice, "Kim Muster", PAIN)
    follow = "blockbook next" if named == "overview.xlsx" else f"blockbook next --overview {named}"
    assert unwrapped(succeeded("overview", "--out", named)).endswith(f"{named}: mark Accept?, save, then: {follow}\n")
    marked(practice.root / named, {"Kim Muster": "yes"})
    again = run("overview", "--out", named)
    assert "accepted: blockbook next" in again.stdout
    assert f"Run `{follow}` first" in unwrapped(again.stderr)
    succeeded(*follow.split()[1:])
    assert "next block waits: blockbook mail" in unwrapped(succeeded("overview", "--out", named))


def test_a_yes_of_before_in_one_overview_hides_none_in_another(practice: Practice) -> None:
    came_back(practice, "Kim Muster")
    succeeded("overview", "--out", "evening.xlsx")
    marked(practice.root / "evening.xlsx", {"Kim Muster": "yes"})
    came_back(practice, "Kim Muster", PAIN, called="later.xlsx")
    succeeded("overview", "--out", "overview.xlsx")
    marked(practice.root / "overview.xlsx", {"Kim Muster": "yes"})
    assert "accepted: blockbook next" in unwrapped(succeeded("overview", "--out", "evening.xlsx"))


def test_a_program_is_told_of_a_yes_as_the_command_is(practice: Practice) -> None:
    came_back(practice, "Kim Muster", PAIN)
    succeeded("overview", "--out", "overview.xlsx")
    marked(practice.root / "overview.xlsx", {"Kim Muster": "yes"})
    kim = line_of(practice, "Kim Muster")
    assert (kim.waiting, kim.said) == ("accepted", ("accepted: blockbook next",))


def test_files_of_unknown_senders_are_counted_too(practice: Practice) -> None:
    for number, of in enumerate(("Perhaps of: kim-muster (by ...)\n", "")):
        (practice.root / "unsorted" / f"{number}.pdf.txt").write_text(f"Why: it is a PDF\n{of}", "utf-8")
    assert "unsorted/ holds 2 that could not be filed" in unwrapped(succeeded("overview"))


def test_a_yes_to_a_log_that_never_came_decides_nothing(practice: Practice) -> None:
    succeeded("overview", "--out", "overview.xlsx")
    marked(practice.root / "overview.xlsx", {"Kim Muster": "yes"})
    assert "accepted" not in succeeded("overview")


def test_marks_that_were_not_followed_are_not_overwritten(practice: Practice) -> None:
    came_back(practice, "Robin Sample")
    succeeded("overview", "--out", "overview.xlsx")
    succeeded("overview", "--out", "overview.xlsx")
    marked(practice.root / "overview.xlsx", {"Robin Sample": "yes"})
    kept = run("overview", "--out", "overview.xlsx")
    assert "holds marks that were not followed yet (Robin Sample)" in kept.stderr
    assert read_marks(practice.root / "overview.xlsx").accepted.keys() == {"robin-sample"}
    succeeded("next")
    succeeded("overview", "--out", "overview.xlsx")


@pytest.mark.parametrize(
    ("mark", "said"), [("maybe", 'row 5, Accept?: "maybe" is neither yes nor no'), (7, '"7.0" is')]
)
def test_a_mark_that_is_neither_yes_nor_no_is_told(practice: Practice, mark: Any, said: str) -> None:
    succeeded("overview", "--out", "overview.xlsx")
    marked(practice.root / "overview.xlsx", {"Jo Beispiel": mark})
    result = run("next")
    assert (result.exit_code, said in result.stderr) == (2, True)


def test_one_mark_that_is_not_understood_stops_nobody_else(practice: Practice) -> None:
    came_back(practice, "Robin Sample")
    came_back(practice, "Jo Beispiel")
    succeeded("overview", "--out", "overview.xlsx")
    marked(practice.root / "overview.xlsx", {"Robin Sample": "yes", "Jo Beispiel": "ja"})
    result = run("next")
    assert result.exit_code == 2
    assert "robin-sample: Small block 2" in result.stdout
    assert '"ja" is neither yes nor no' in unwrapped(result.stderr)
    assert not (practice.root / "lifters" / "jo-beispiel" / "next.yaml").exists()


def test_a_heading_that_is_gone_is_told(practice: Practice) -> None:
    succeeded("overview", "--out", "overview.xlsx")
    path = edited(practice.root / "overview.xlsx", lambda book: _retype(book, ROUTINE_ONE, "Usual"))
    with pytest.raises(BlockbookError, match=f'the heading "{ROUTINE_ONE}" is gone'):
        read_marks(path)


def _retype(book: Any, old: str, new: str) -> None:
    (cell,) = [cell for row in book["Overview"].iter_rows() for cell in row if cell.value == old]
    cell.value = new


def test_one_broken_specification_stops_nobody_else_whose_mark_says_yes(practice: Practice) -> None:
    came_back(practice, "Robin Sample")
    came_back(practice, "Jo Beispiel")
    succeeded("overview", "--out", "overview.xlsx")
    marked(practice.root / "overview.xlsx", {"Robin Sample": "yes", "Jo Beispiel": "yes"})
    (practice.root / "lifters" / "jo-beispiel" / "block.yaml").write_text("block: {", "utf-8")
    result = run("next")
    assert (result.exit_code, "jo-beispiel/block.yaml" in result.stderr) == (2, True)
    assert "robin-sample: Small block 2" in result.stdout
    for command in ("overview", "mail"):
        assert "obin" in run(command).stdout
    assert "robin-sample-small-block-2-" in " ".join(path.name for path in Path("drafts").iterdir())


def test_another_workbook_is_no_overview(practice: Practice) -> None:
    Path("other.xlsx").write_bytes(returned("Robin Sample"))
    assert "An overview is wanted here" in run("next", "--overview", "other.xlsx").stderr
    assert "overview.xlsx: is not there" in run("next").stderr


def test_blocks_before_the_current_one_are_its_history(practice: Practice) -> None:
    lifter = practice.root / "lifters" / "robin-sample"
    for number, start in enumerate(("2026-10-12", "2026-11-09", "2026-12-07", "2027-03-01")):
        change = (("start: 2027-01-04", f"start: {start}"), ("title: Small block", f"title: Part {number}"))
        folder = lifter / "returned" / f"part-{number}-{start}"
        folder.mkdir(parents=True)
        dated = {name: None for name in clean_inputs() if name.endswith(".date")}
        (folder / "log.xlsx").write_bytes(returned("Robin Sample", dated, *change))
    came_back(practice, "Robin Sample")
    succeeded("review", "robin-sample")
    log = blockbook.read(lifter / FILED / "log.xlsx")
    word = read_word(lifter / "reviews" / "small-block-2027-01-04.xlsx", log.digest, "kg")
    assert len(word.earlier) == 2
    assert "Small block 2, 2 weeks" in succeeded("next", "robin-sample")
