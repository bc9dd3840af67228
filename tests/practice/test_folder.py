"""The folder of a practice by example: made, filled, built, kept from two runs at once."""

from __future__ import annotations

import threading
from datetime import date
from pathlib import Path

import pytest
from filelock import FileLock

import blockbook
from blockbook.errors import BlockbookError
from blockbook.plan.files import load_spec
from blockbook.practice import folder as folder_module
from blockbook.practice.folder import LOCK, LifterFolder, block_folder, find_practice, folder_name, open_practice
from blockbook.practice.rounds import build_current
from blockbook.practice.starting import add_lifter, init
from blockbook.spec.settings import plain_address
from blockbook.workbook.manifest import digest_of
from blockbook.workbook.write import block_bytes
from tests.intake.small_block import TOP, spec_from
from tests.practice.small_practice import add, build_noted, returned, run, small_practice, spec_of, succeeded
from tests.said import unwrapped


def test_init_makes_a_folder_that_explains_itself(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    shown = succeeded(
        "init", "practice", "--coach", 'Kim "K" Muster: coach', "--mail", "kim@example.org", "--unit", "lb"
    )
    assert shown.startswith("practice: look at settings.yaml")
    root = tmp_path / "practice"
    settings = open_practice(root).settings
    assert (settings.coach, settings.mail, settings.unit) == ('Kim "K" Muster: coach', "kim@example.org", "lb")
    assert (
        (root / "settings.yaml").read_text("utf-8").splitlines()[0].endswith("$schema=blockbook-settings.schema.json")
    )
    assert all(
        name in (root / "README.txt").read_text("utf-8") for name in ("block.yaml", "unsorted/", "Sunday evening")
    )
    assert "pain" in (root / "letters" / "en.txt").read_text("utf-8")
    again = run("init", "practice")
    assert (again.exit_code, "is there already" in again.stderr) == (2, True)


def test_a_mistake_in_the_settings_is_told_with_its_line(tmp_path: Path) -> None:
    practice = small_practice(tmp_path / "p", ())
    path = practice.root / "settings.yaml"
    path.write_text("coach: Kim\nunits: kg\nsmtp: {host: h, port: many}\n", "utf-8")
    with pytest.raises(BlockbookError) as raised:
        _ = open_practice(practice.root).settings
    assert "line 2: units: is not a field here; check spelling and indentation; did you mean unit?" in str(raised.value)
    assert "line 3: smtp.port: should be a whole number" in str(raised.value)


def test_new_takes_a_lifter_in_with_the_practices_unit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    blockbook.init(tmp_path / "p", unit="lb")
    monkeypatch.chdir(tmp_path / "p" / "lifters")
    shown = succeeded("new", "volume", "--lifter", "Zoë: O'Example", "--mail", "zoe@example.org")
    assert "edit it, then: blockbook mail" in unwrapped(shown)
    lifter = tmp_path / "p" / "lifters" / "zoe-o-example"
    spec = load_spec(lifter / "block.yaml")
    assert (spec.lifter.name, spec.block.unit) == ("Zoë: O'Example", "lb")
    assert "zoe@example.org" not in (lifter / "block.yaml").read_text("utf-8")
    again = run("new", "volume", "--lifter", "Zoë: O'Example")
    assert "is there already" in again.stderr


def test_the_season_a_lifter_is_taken_in_with_lies_beside_the_block(tmp_path: Path) -> None:
    """So that `next` follows it without being told where it is."""
    practice = small_practice(tmp_path / "p", ())
    season = tmp_path / "season.yaml"
    blockbook.season([date(2027, 6, 5)], season, date(2027, 1, 4))
    lifter = add_lifter(practice, "Robin Sample", None, season=season)
    assert lifter.season is not None
    assert lifter.season.read_bytes() == season.read_bytes()


def test_two_lifters_who_are_written_alike_get_folders_of_their_own(tmp_path: Path) -> None:
    practice = small_practice(tmp_path / "p", ())
    names = ["Jörg Sample", "Jorg Sample", "李", "Ли", "王", "Con"]
    made = [add_lifter(open_practice(practice.root), name, "strength").name for name in names]
    assert made == ["jorg-sample", "jorg-sample-2", "li", "li-2", "wang", "con-x"]
    practice = open_practice(practice.root)
    assert [practice.named([name])[0].name for name in names] == made


@pytest.mark.parametrize("name", ["???", "", " . "])
def test_a_name_without_a_letter_is_asked_for_again(tmp_path: Path, name: str) -> None:
    practice = small_practice(tmp_path / "p", ())
    with pytest.raises(BlockbookError, match="with a letter or a digit in it"):
        add_lifter(practice, name, "strength")
    assert list((practice.root / "lifters").iterdir()) == []


def test_a_broken_specification_keeps_nobody_of_a_like_name_out(tmp_path: Path) -> None:
    practice = small_practice(tmp_path / "p", ("Jo Beispiel",))
    practice.lifters[0].block.write_text("block: {", "utf-8")
    assert add_lifter(open_practice(practice.root), "Jo: Beispiel", "strength").name == "jo-beispiel-2"


def test_a_wrong_address_leaves_no_lifter_behind(tmp_path: Path) -> None:
    practice = small_practice(tmp_path / "p", ())
    for wrong in (
        "a@example.org\nBcc: all@example.org",
        "robin.@example.org",
        ".robin@example.org",
        "a..b@example.org",
        "robin@exampleorg",
    ):
        with pytest.raises(BlockbookError, match="one plain mail address"):
            add_lifter(practice, "Robin Sample", "strength", mail=wrong)
    with pytest.raises(BlockbookError, match="no longer than 60"):
        add_lifter(practice, "R" * 200, "strength")
    assert list((practice.root / "lifters").iterdir()) == []


def test_an_address_on_this_computer_needs_no_dot() -> None:
    assert plain_address("robin@localhost") == "robin@localhost"


def test_a_wrong_address_of_the_coach_leaves_no_practice_behind(tmp_path: Path) -> None:
    with pytest.raises(BlockbookError, match="one plain mail address"):
        init(tmp_path / "p", mail="nonsense")
    assert not (tmp_path / "p").exists()


@pytest.mark.parametrize("name", ["../../etc", "..", "C:\\x", "a/b", ".hidden", "nul", "x" * 500])
def test_no_name_leads_out_of_its_folder(name: str) -> None:
    made = folder_name(name)
    assert made == Path(made).name
    assert made.strip(". ") == made
    assert 0 < len(made) <= 62
    assert made != "nul"


def test_a_practice_is_found_from_below_and_by_option(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    practice = small_practice(tmp_path / "p", ("Robin Sample",))
    monkeypatch.chdir(practice.root / "lifters" / "robin-sample")
    assert succeeded("build").strip().endswith(".xlsx")
    monkeypatch.chdir(tmp_path)
    assert find_practice(tmp_path) is None
    assert "(as before)" in unwrapped(succeeded("build", "--practice", "p"))
    missing = run("overview")
    assert "is not inside a practice" in missing.stderr
    assert "Error: Missing SPEC..." in run("build").stderr


def test_lifters_are_named_by_folder_path_or_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    practice = small_practice(tmp_path / "p", ("Robin Sample", "Jo Beispiel"))
    monkeypatch.chdir(practice.root)
    for said in ("robin-sample", "Robin Sample", "lifters/robin-sample", "lifters/robin-sample/block.yaml"):
        assert succeeded("build", said).startswith("lifters/robin-sample/sent/robin-sample-small-block-2027-01-04.xlsx")
    wrong = run("build", "robbin")
    assert 'no lifter is called "robbin"' in wrong.stderr
    assert wrong.exit_code == 2


@pytest.mark.parametrize(("typed", "meant"), [("robin", "robin-sample"), ("jo-beispil", "jo-beispiel")])
def test_a_lifters_name_typed_in_part_is_answered_with_the_folders(tmp_path: Path, typed: str, meant: str) -> None:
    practice = small_practice(tmp_path / "p", ("Robin Sample", "Jo Beispiel"))
    with pytest.raises(BlockbookError, match=rf"and there is no such file. Did you mean {meant}\?"):
        practice.named([typed])


def test_a_single_file_still_works_inside_a_practice(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    practice = small_practice(tmp_path / "p", ("Robin Sample",))
    monkeypatch.chdir(practice.root)
    Path("other.xlsx").write_bytes(returned("Robin Sample"))
    assert succeeded("read", "other.xlsx").startswith("Robin Sample · Small block")
    assert succeeded("build", "lifters/robin-sample/block.yaml", "--out", "elsewhere").startswith("elsewhere/robin")


def test_one_broken_specification_does_not_stop_the_others(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    practice = small_practice(tmp_path / "p", ("Robin Sample",))
    add(practice.root, "Jo Beispiel", ("bar: 20", "bar: twenty"))
    monkeypatch.chdir(practice.root)
    result = run("build")
    assert result.exit_code == 2
    assert "jo-beispiel/block.yaml: line 13: equipment.bar" in result.stderr
    assert len(result.stdout.splitlines()) == 1


def test_the_practices_policy_counts_where_a_specification_says_nothing(tmp_path: Path) -> None:
    practice = small_practice(tmp_path / "p", ())
    settings = practice.root / "settings.yaml"
    text = settings.read_text("utf-8")
    settings.write_text(text.replace("policy: {}", "policy: {fatigue_per_set: 0.03, set_sd: 0.02}"), "utf-8")
    own = spec_from(("exercise: pull-up", "exercise: pull-up"))
    own = own.model_copy(update={"policy": own.policy.model_copy(update={"set_sd": 0.025})})
    house = open_practice(practice.root).settings
    applied = house.applied_to(own)
    assert (applied.policy.fatigue_per_set, applied.policy.set_sd) == (0.03, 0.025)
    assert house.taken_from(applied) == own


def test_options_that_name_files_go_with_files_only(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    practice = small_practice(tmp_path / "p", ("Robin Sample",))
    monkeypatch.chdir(practice.root)
    wrong = run("next", "robin-sample", "--review", "review.xlsx")
    assert (wrong.exit_code, "--review goes with FILEs and --out" in " ".join(wrong.stderr.split())) == (2, True)


@pytest.mark.parametrize(
    "asked",
    [
        ("build", "robin-sample", "--practice", ".", "--out", "sent"),
        ("new", "strength", "--out", "block.yaml", "--mail", "robin@example.org"),
        ("new", "strength", "--out", "block.yaml", "--practice", "."),
    ],
    ids=" ".join,
)
def test_an_option_that_would_go_unheard_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, asked: tuple[str, ...]
) -> None:
    monkeypatch.chdir(small_practice(tmp_path / "practice").root)
    done = run(*asked)
    assert done.exit_code == 2
    assert "--practice" in done.stderr
    assert not Path("block.yaml").exists()


def test_a_changed_block_is_built_beside_the_earlier_one_with_what_was_logged(tmp_path: Path) -> None:
    practice = small_practice(tmp_path / "p", ("Robin Sample",))
    (lifter,) = practice.lifters
    first = build_noted(practice, lifter)
    filed = lifter.returned / block_folder(first.spec)
    filed.mkdir(parents=True)
    (filed / "half.xlsx").write_bytes(returned("Robin Sample", {f"{TOP}/load": 97.5}))
    assert not build_noted(practice, lifter).new
    lifter.block.write_text(lifter.block.read_text("utf-8").replace("reps: 8-10", "reps: 10-12"), "utf-8")
    second = build_noted(practice, lifter)
    assert (second.new, second.carried) == (True, True)
    assert second.path.name == "robin-sample-small-block-2027-01-04-2.xlsx"
    assert first.path.exists()
    log = blockbook.read(second.path)
    assert log.digest == second.digest != first.digest
    assert log.logged[TOP][0] == 97.5


def test_a_waiting_next_block_becomes_current_and_the_last_is_kept(tmp_path: Path) -> None:
    practice = small_practice(tmp_path / "p", ("Robin Sample",))
    (lifter,) = practice.lifters
    before = lifter.block.read_bytes()
    changed = before.decode().replace("Small block", "Small block 2").replace("2027-01-04", "2027-01-18")
    lifter.next_block.write_text("block: {", "utf-8")
    with pytest.raises(BlockbookError, match=r"next\.yaml"):
        build_noted(practice, lifter)
    assert lifter.block.read_bytes() == before
    lifter.next_block.write_text(changed, "utf-8")
    assert build_noted(practice, lifter).spec.block.title == "Small block 2"
    assert not lifter.next_block.exists()
    assert (lifter.earlier / "small-block-2027-01-04.yaml").read_bytes() == before


def test_a_coach_of_spreadsheets_needs_no_yaml(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The plan workbook of a lifter is built, answered by next in the same form, and kept once the next is current."""
    practice = small_practice(tmp_path / "practice", ("Jo Beispiel",))
    monkeypatch.chdir(practice.root)
    succeeded("new", "strength", "--lifter", "Robin Sample", "--workbook")
    folder = practice.root / "lifters" / "robin-sample"
    assert load_spec(folder / "block.xlsx").lifter.name == "Robin Sample"
    assert not (folder / "block.yaml").exists()
    robin = LifterFolder(folder)
    built = build_current(practice, robin)
    (folder / "returned").mkdir()
    (folder / "returned" / "log.xlsx").write_bytes(
        block_bytes(built.spec, {"w1.squat.back-squat.1/load": 100, "w1.squat.back-squat.1/reps": 5})
    )
    succeeded("next", "robin-sample")
    assert load_spec(folder / "next.xlsx").block.start > built.spec.block.start
    assert build_current(practice, robin).spec.block.start > built.spec.block.start
    kept = [path.name for path in (folder / "earlier").iterdir()]
    assert (kept, robin.block.name, robin.next_block.exists()) == (
        [f"{block_folder(built.spec)}.xlsx"],
        "block.xlsx",
        False,
    )


def test_a_block_written_in_both_forms_is_asked_about(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    practice = small_practice(tmp_path / "practice", ("Jo Beispiel",))
    monkeypatch.chdir(practice.root)
    folder = practice.root / "lifters" / "jo-beispiel"
    blockbook.convert(folder / "block.yaml", folder / "block.xlsx")
    wrong = run("build", "jo-beispiel")
    assert wrong.exit_code == 2
    assert "holds block.yaml and block.xlsx. Keep the one that counts." in " ".join(wrong.stderr.split())


def test_two_runs_at_once_do_not_mix(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    practice = small_practice(tmp_path / "p", ("Robin Sample",))
    monkeypatch.chdir(practice.root)
    monkeypatch.setattr(folder_module, "_PATIENCE", 0.05)
    with FileLock(practice.root / LOCK):
        busy = run("build")
    assert (busy.exit_code, busy.stdout) == (2, "")
    assert "another run of blockbook is at work here" in busy.stderr
    monkeypatch.setattr(folder_module, "_PATIENCE", 60)
    runs = [threading.Thread(target=build_all, args=(practice.root,)) for _ in range(3)]
    for each in runs:
        each.start()
    for each in runs:
        each.join()
    log = (practice.root / "sent-log.jsonl").read_text("utf-8").splitlines()
    assert len(log) == 1
    assert digest_of(spec_of("Robin Sample")) in log[0]


def build_all(root: Path) -> None:
    practice = open_practice(root)
    with practice.locked():
        for lifter in practice.lifters:
            build_noted(practice, lifter)
