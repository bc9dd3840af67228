"""New and next blocks that follow a season."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

import blockbook
from blockbook.assessment.next_block import Override, next_block
from blockbook.errors import BlockbookError
from blockbook.intake.log import BlockLog
from blockbook.planning.following import follow_season
from blockbook.planning.of_the_kind import of_the_kind
from blockbook.planning.starting import block_on, season_starter
from blockbook.spec.loading import load_spec, parse_spec
from blockbook.spec.models import Session, Slot, Specification
from blockbook.spec.season import BlockKind, DateRange, Season, SeasonBlock
from blockbook.spec.values import Reps, in_week
from blockbook.training.block_length import Length, fitted
from blockbook.training.effort import load_for, percent_of_max
from blockbook.training.prescription import Line
from blockbook.training.prescription import weeks as planned_weeks
from blockbook.training.season import count_back
from blockbook.workbook.assemble import assemble
from tests.intake.small_block import clean_file, clean_inputs, followed, log_of, spec_from, worn_out

MEET = date(2027, 6, 5)
SEASON = count_back([MEET], date(2027, 1, 4))
KINDS: tuple[BlockKind, ...] = ("general", "volume", "strength", "peak")


def season_of(*blocks: tuple[BlockKind, date, int, int | None], meet: date = MEET) -> Season:
    made = tuple(SeasonBlock(kind=kind, start=start, weeks=n, deload_week=deload) for kind, start, n, deload in blocks)
    return Season(first=date(2027, 1, 4), meets=(meet,), blocks=made)


# Another length


@pytest.mark.parametrize(
    ("new", "ends_in_meet", "expected"),
    [
        (Length(5, 5), False, (1, 2, 3, 4, 0)),
        (Length(4, 4), False, (1, 2, 3, 0)),
        (Length(4, None), False, (1, 2, 3, 4)),
        (Length(2, None), False, (1, 2)),
        (Length(6, 6), False, (1, 1, 2, 3, 4, 0)),
        (Length(5, 1), False, (0, 1, 2, 3, 4)),
        (Length(1, 1), False, (0,)),
        (Length(2, None), True, (3, 4)),
    ],
)
def test_one_value_a_week_is_fitted_to_another_length(
    new: Length, ends_in_meet: bool, expected: tuple[int, ...]
) -> None:
    assert fitted((1, 2, 3, 4, 0), Length(5, 5), new, lambda _: 9, ends_in_meet) == expected


def test_a_block_without_a_deload_gets_a_lighter_last_week() -> None:
    assert fitted((5, 6, 7, 8), Length(4, None), Length(4, 4), lambda value: value - 2) == (5, 6, 7, 6)


# A new block


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("weeks", [1, 2, 4, 6])
@pytest.mark.parametrize("deload", [True, False])
@pytest.mark.parametrize("start", [date(2027, 2, 1), date(2027, 2, 3), date(2027, 2, 6)], ids=lambda day: f"{day:%a}")
def test_a_template_of_any_length_reads_and_begins_as_planned(
    kind: BlockKind, weeks: int, deload: bool, start: date
) -> None:
    season = season_of((kind, start, weeks, weeks if deload else None))
    spec = parse_spec(season_starter(season, season.blocks[0]))
    head = spec.block
    assert (head.start, head.weeks, head.deload_week, head.meet) == (start, weeks, weeks if deload else None, MEET)
    days = [session.day for session in next(iter(planned_weeks(spec)))]
    assert days == sorted(set(days))


def test_weeks_out_stand_on_every_week_sheet() -> None:
    spec = parse_spec(season_starter(SEASON, SEASON.blocks[-1]))
    sheets = [sheet for sheet in assemble(spec).book.sheets.values() if sheet.name.startswith("Week ")]
    titles = [next(str(text) for place, text in sheet.contents.items() if place[0] == 0) for sheet in sheets]
    assert [title.split(" · ")[-1] for title in titles] == ["4 weeks out", "3 weeks out", "2 weeks out", "1 week out"]


def test_a_deload_added_to_a_template_is_lighter() -> None:
    season = season_of(("general", date(2027, 2, 1), 4, 4))
    slot = parse_spec(season_starter(season, season.blocks[0])).sessions[0].slots[0]
    assert [in_week(slot.rpe or (), week) for week in (1, 2, 3, 4)] == [7, 7.5, 8, 6]


def test_the_block_of_a_day_or_the_next_one() -> None:
    first, second = SEASON.blocks[:2]
    assert block_on(SEASON, first.last) == first
    assert block_on(SEASON, first.end) == second
    assert block_on(SEASON, first.start, "peak").kind == "peak"
    with pytest.raises(BlockbookError, match="no block on 2027-06-05 or later"):
        block_on(SEASON, MEET)


# The next block: the small block returned runs for two weeks from 4 January


@pytest.mark.parametrize("days", [9, 10, 21])
def test_after_a_long_holiday_the_first_loads_are_worked_out_anew(tmp_path: Path, days: int) -> None:
    """As no load rises after ten days without the exercise within a block. The coach's word, and pain, stay."""
    log = log_of(tmp_path, spec_from(), {**clean_inputs(), "w2.upper.pain": "B"})
    start = date(2027, 1, 18) + timedelta(days=days)
    away = DateRange(first=date(2027, 1, 18), last=start - timedelta(days=1))
    planned = season_of(("strength", date(2027, 1, 4), 2, None), ("strength", start, 4, None))
    season = planned.model_copy(update={"away": (away,)})
    at_once = next_block(log, {"lower.leg-press": Override(load=100)})
    made = follow_season(at_once, season)
    before, after = (
        {slot.exercise: slot for session in each.spec.sessions for slot in session.slots} for each in (at_once, made)
    )
    assert {name for name, slot in after.items() if slot.loads} == (
        {"leg press", "pull-up"} if days >= 10 else {"back squat", "leg press", "bench press", "pull-up"}
    )
    assert all(slot.loads == before[name].loads for name, slot in after.items() if slot.loads)
    said = " ".join(made.remarks)
    assert f"nothing is planned: away 18 {'January - ' if days == 21 else '- '}" in said
    assert (f"After {days} days without a block its sheet works out the first loads anew" in said) == (days >= 10)
    if days >= 10:
        squat = blockbook.targets(made.spec, {})["w1.lower.squat.1"]
        assert squat is not None
        assert squat <= before["back squat"].loads[1]


def next_by(season: Season, folder: Path) -> tuple[Specification, str]:
    folder.mkdir(exist_ok=True)
    out = folder / "next.yaml"
    blockbook.next_block(clean_file(folder), out, season=season)
    return load_spec(out), out.read_text("utf-8")


def test_the_next_block_has_dates_length_deload_and_meet_of_the_season(tmp_path: Path) -> None:
    season = season_of(("strength", date(2027, 1, 4), 2, None), ("strength", date(2027, 1, 23), 4, 4))
    spec, text = next_by(season, tmp_path)
    head = spec.block
    assert (head.start, head.weeks, head.deload_week, head.meet) == (date(2027, 1, 23), 4, 4, MEET)
    assert "# By the season: strength from 2027-01-23, weeks: 4, deload in week 4, 19 weeks out." in text
    assert "In the season" not in text
    assert [slot.exercise for session in spec.sessions for slot in session.slots] == [
        slot.exercise for session in spec_from().sessions for slot in session.slots
    ]
    blockbook.build(spec, tmp_path / "sent")


TO_THE_PEAK = season_of(
    ("volume", date(2027, 1, 4), 2, None), ("peak", date(2027, 1, 18), 4, None), meet=date(2027, 2, 15)
)


def slots_by_name(spec: Specification) -> dict[str, Slot]:
    return {slot.exercise: slot for session in spec.sessions for slot in session.slots}


def test_another_kind_is_said_and_exercises_order_and_wording_stay(tmp_path: Path) -> None:
    spec, text = next_by(TO_THE_PEAK, tmp_path)
    assert "# In the season the block before was volume, and this one is peak." in text
    assert "of back squat, band pull-apart, bench press are now the peak template's" in text
    assert [(s.exercise, s.cue, s.pair) for s in slots_by_name(spec).values()] == [
        (s.exercise, s.cue, s.pair) for s in slots_by_name(spec_from()).values()
    ]
    blockbook.build(spec, tmp_path / "sent")


def test_a_peak_after_a_volume_block_prescribes_the_lifts_as_the_peak_template_does(tmp_path: Path) -> None:
    spec, _ = next_by(TO_THE_PEAK, tmp_path)
    template = parse_spec(season_starter(TO_THE_PEAK, TO_THE_PEAK.blocks[1]))
    squat, there = slots_by_name(spec)["back squat"], template.sessions[0].slots[0]
    assert there.exercise == "back squat"
    assert (squat.sets, squat.reps, squat.rpe, squat.back_off) == (there.sets, there.reps, there.rpe, there.back_off)
    assert not squat.loads, "a load for fives is none for singles"


def test_a_first_load_that_is_held_stays_whatever_the_kind() -> None:
    squat = Slot(exercise="back squat", reps=(Reps(low=5, high=5),), rpe=(8.0,), loads={1: 100})
    session = Session(name="Lower", slots=(squat,))
    template = parse_spec(season_starter(TO_THE_PEAK, TO_THE_PEAK.blocks[1])).sessions
    ((made,), _) = of_the_kind([session], template, 4, {("Lower", "back squat")})
    assert made.slots[0].loads == {1: 100}
    assert made.slots[0].reps == template[0].slots[0].reps


def test_in_a_peak_the_sets_of_other_exercises_fall_to_the_taper(tmp_path: Path) -> None:
    spec, _ = next_by(TO_THE_PEAK, tmp_path)
    press = slots_by_name(spec)["leg press"]
    sets = [in_week(press.sets, week) for week in (1, 2, 3, 4)]
    assert sets == sorted(sets, reverse=True)
    assert sets[0] > sets[3] == 0
    assert press.reps == slots_by_name(spec_from())["leg press"].reps


def test_from_volume_to_strength_the_other_exercises_stay_as_they_are(tmp_path: Path) -> None:
    first, due = date(2027, 1, 4), date(2027, 1, 18)
    volume, _ = next_by(season_of(("volume", first, 2, None), ("volume", due, 2, None)), tmp_path / "volume")
    strength, _ = next_by(season_of(("volume", first, 2, None), ("strength", due, 2, None)), tmp_path / "strength")
    assert slots_by_name(strength)["band pull-apart"] == slots_by_name(volume)["band pull-apart"]
    assert slots_by_name(strength)["back squat"] != slots_by_name(volume)["back squat"]


def test_a_block_that_came_back_late_gets_the_whole_weeks_that_are_left(tmp_path: Path) -> None:
    season = season_of(("strength", date(2027, 1, 4), 5, 5))
    spec, _ = next_by(season, tmp_path)
    assert (spec.block.start, spec.block.weeks, spec.block.deload_week) == (date(2027, 1, 18), 3, 3)


def test_a_deload_that_the_log_asks_for_comes_first_and_the_dates_hold(tmp_path: Path) -> None:
    season = season_of(("strength", date(2027, 1, 4), 2, None), ("strength", date(2027, 1, 18), 4, 4))
    log_of(tmp_path, spec_from(), worn_out())
    made = blockbook.next_block(tmp_path / "returned.xlsx", tmp_path / "next.yaml", season=season)
    assert made.outlook.deload_reason
    assert (made.spec.block.weeks, made.spec.block.deload_week) == (4, 1)
    assert made.spec.block.start + timedelta(weeks=4) == season.blocks[-1].end
    assert "the log asks for it now" in " ".join(made.remarks)


def test_a_season_that_is_over_is_said(tmp_path: Path) -> None:
    with pytest.raises(BlockbookError, match="no block on 2027-01-18 or later"):
        next_by(season_of(("peak", date(2027, 1, 4), 2, None), meet=date(2027, 1, 18)), tmp_path)
    assert not (tmp_path / "next.yaml").exists()


@pytest.mark.parametrize(
    ("title", "kind", "expected"),
    [
        ("Strength block", "peak", "Peak block"),
        ("Strength block 2", "volume", "Volume block"),
        ("Kraftblock 2", "volume", "Volumenblock"),
        ("Bloque de fuerza", "peak", "Puesta a punto para la competición"),
        ("Strength block", "strength", "Strength block 2"),
        ("General strength", "strength", "Strength block"),
        ("Peak for the meet", "general", "General block"),
        ("volume 3", "strength", "Strength block"),
        ("Winter with Robin", "peak", "Winter with Robin 2"),
        ("Heavy strength block", "peak", "Heavy strength block 2"),
    ],
)
def test_a_title_that_only_named_the_kind_names_the_kind_that_is_due(
    tmp_path: Path, title: str, kind: BlockKind, expected: str
) -> None:
    season = season_of((kind, date(2027, 1, 18), 4, None))
    change = ("title: Small block", f"title: {title}")
    made = blockbook.next_block(clean_file(tmp_path, change), tmp_path / "next.yaml", season=season)
    assert made.spec.block.title == expected


def test_the_coachs_word_against_a_deload_keeps_the_seasons(tmp_path: Path) -> None:
    season = season_of(("strength", date(2027, 1, 4), 2, None), ("strength", date(2027, 1, 18), 4, 4))
    made = next_block(log_of(tmp_path, spec_from(), worn_out()), own_deload="no")
    assert follow_season(made, season).spec.block.deload_week == 4


# A load that is held, and the coach's word, where reps become others


TO_MORE_REPS = season_of(("strength", date(2027, 1, 4), 2, None), ("volume", date(2027, 1, 18), 2, None))
SQUAT, BENCH = "lower.squat", "upper.bench-press"


def hurting(folder: Path) -> BlockLog:
    """Squats hurt at the end of a block in which they were topped at five reps."""
    return log_of(folder, spec_from(), {**clean_inputs(), "w2.lower.pain": "A"})


def first_week_of(spec: Specification, key: str) -> Line:
    return next(line for session in planned_weeks(spec)[0] for line in session.lines if line.slot_key == key)


def implied_maximum(line: Line, load: float, spec: Specification) -> float:
    return load / float(percent_of_max.value(line.reps.low + 10 - line.rpe, spec.lifter.curve) or 0)


@pytest.mark.parametrize("own", [Override(), Override(accept=False), Override(sets=2)], ids=["", "no", "sets"])
def test_what_hurts_is_no_harder_for_the_reps_of_another_kind(tmp_path: Path, own: Override) -> None:
    log = hurting(tmp_path)
    at_once = next_block(log, {SQUAT: own})
    made = follow_season(at_once, TO_MORE_REPS)
    was, now = (first_week_of(each.spec, SQUAT) for each in (at_once, made))
    held, load = was.slot.loads[1], now.slot.loads[1]
    assert now.reps.low > was.reps.low
    assert load < held
    assert implied_maximum(now, load, made.spec) <= implied_maximum(was, held, made.spec)
    believed = made.spec.lifter.bests["back squat"].load
    assert load <= float(load_for.value(believed, now.reps.low, now.rpe, 0, made.spec.lifter.curve) or 0)
    (decision,) = (each for each in made.decisions if each.suggestion.key == SQUAT)
    assert decision.load == load
    assert f"{held:g} kg was for 5 reps at effort 8; for 8 reps at effort 7 no harder is {load:g} kg." in " ".join(
        made.said_first
    )
    assert f"Lower, back squat: {load:g} kg, " in made.to_yaml()


def test_what_hurts_does_not_rise_where_fewer_reps_are_asked(tmp_path: Path) -> None:
    made = follow_season(next_block(hurting(tmp_path)), TO_THE_PEAK)
    (decision,) = (each for each in made.decisions if each.suggestion.key == SQUAT)
    assert decision.load is not None
    assert decision.load <= float(decision.suggestion.first_load or 0)


def test_a_load_that_the_coach_typed_stays_and_what_would_be_no_harder_is_said(tmp_path: Path) -> None:
    log = hurting(tmp_path)
    own, held = (
        follow_season(next_block(log, {SQUAT: each}), TO_MORE_REPS) for each in (Override(load=105), Override())
    )
    assert first_week_of(own.spec, SQUAT).slot.loads == {1: 105}
    no_harder = first_week_of(held.spec, SQUAT).slot.loads[1]
    said = " ".join(own.said_first)
    assert "Your 105 kg stays for 8 reps at effort 7, though it hurts: no harder than " in said
    assert f"would be {no_harder:g} kg." in said


def test_sets_of_the_coachs_word_count_under_the_template_and_what_it_replaced_is_said(tmp_path: Path) -> None:
    change = ("        reps: 5\n        rpe: [7.5, 8]", "        reps: 5\n        percent: [75, 78]")
    spec = spec_from(change)
    log = log_of(tmp_path, spec, clean_inputs() | followed(spec))
    plain = follow_season(next_block(log), TO_MORE_REPS)
    made = follow_season(next_block(log, {BENCH: Override(sets=5)}), TO_MORE_REPS)
    usual, own = (slots_by_name(each.spec)["bench press"].sets for each in (plain, made))
    assert in_week(own, 1) == 5
    assert [in_week(own, week) - in_week(usual, week) for week in (1, 2)] == [5 - in_week(usual, 1)] * 2
    assert slots_by_name(made.spec)["bench press"].percent is None
    said = next(made.why(each) for each in made.decisions if each.suggestion.key == BENCH)
    assert "By the volume template now 5/6 x 8 at effort 7/7.5, in place of 3 x 5 at 75/78 %." in said
    assert "5 sets in the first week are your word; the other weeks move along." in said
    assert said.index("By the volume template") < said.index("For the reps until now it was: Your word; suggested was:")
    assert "bench press: the sheet starts it at" in made.to_yaml()


@pytest.mark.parametrize("own", [Override(sets=0), Override(accept=False)], ids=["left out", "no"])
def test_no_sets_and_those_of_before_are_a_word_too(tmp_path: Path, own: Override) -> None:
    log = log_of(tmp_path, spec_from(), clean_inputs())
    made = follow_season(next_block(log, {BENCH: own}), TO_MORE_REPS)
    assert in_week(slots_by_name(made.spec)["bench press"].sets, 1) == (0 if own.sets == 0 else 3)
    (decision,) = (each for each in made.decisions if each.suggestion.key == BENCH)
    assert decision.sets == (0 if own.sets == 0 else 3)


def test_what_was_said_before_the_season_came_stays_said(tmp_path: Path) -> None:
    made = replace(next_block(hurting(tmp_path)), remarks=("Other than the review showed.",))
    assert "Other than the review showed." in follow_season(made, TO_MORE_REPS).remarks


def test_where_nothing_lighter_can_be_made_it_is_said(tmp_path: Path) -> None:
    spec = spec_from(("pull-up: 25", "pull-up: 3"))
    log = log_of(tmp_path, spec, {**followed(spec), "w2.upper.pain": "B"})
    season = season_of(("strength", date(2027, 1, 4), 2, None), ("strength", date(2027, 1, 18), 3, 1))
    made = follow_season(next_block(log), season)
    (decision,) = (each for each in made.decisions if each.exercise == "pull-up")
    assert decision.load == 0
    assert made.why(decision).endswith(
        "Body weight alone was for 6 reps at effort 8; for 6 reps at effort 6 it is body weight alone: nothing lighter "
        "can be made."
    )
    assert first_week_of(made.spec, "lower.squat").slot.loads, "a lighter week of the season takes no load away"
