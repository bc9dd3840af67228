"""What is suggested for the next block, by examples of how a block went."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import cycle, pairwise, product
from pathlib import Path
from typing import Any

import pytest

from blockbook.api import targets
from blockbook.assessment.history import histories
from blockbook.assessment.next_block import next_block
from blockbook.assessment.outlook import Outlook, Suggestion
from blockbook.assessment.readiness import deload_reason, deload_signs, ended_light
from blockbook.assessment.suggestions import suggest
from blockbook.assessment.weekly_sets import weekly_sets
from blockbook.assessment.wording import reason
from blockbook.demonstration import slips
from blockbook.spec.models import Specification
from blockbook.training.loading import ladder
from tests.intake.small_block import Effort, clean_inputs, followed, log_of, on_target, spec_from, worn_out
from tests.samples import TEMPLATES, UNITS, template_spec, typed

LIGHTEST = (("bests: {", "bests: {leg press: 7, "),)


def outlook(folder: Path, inputs: Mapping[str, Any], spec: Specification | None = None) -> Outlook:
    return suggest(log_of(folder, spec or spec_from(), inputs))


def by_key(made: Outlook) -> dict[str, Suggestion]:
    return {suggestion.key: suggestion for suggestion in made.suggestions}


def over(amount: float) -> Effort:
    return lambda _place, _planned: amount


def over_on(slot: str, amount: float) -> Effort:
    return lambda place, _planned: amount if place.line.slot_key == slot else 0


def test_there_is_one_suggestion_an_exercise_in_the_coachs_order(tmp_path: Path) -> None:
    made = outlook(tmp_path, clean_inputs())
    assert [s.exercise for s in made.suggestions] == [
        "back squat", "leg press", "band pull-apart", "bench press", "pull-up",
    ]  # fmt: skip
    assert made.deload_reason == ""
    assert all(s.reason and s.figures for s in made.suggestions)


def test_sessions_under_target_raise_the_load(tmp_path: Path) -> None:
    squat = by_key(outlook(tmp_path, followed(spec_from(), over(-2))))["lower.squat"]
    assert squat.action == "raise"
    assert squat.first_load is not None
    assert squat.start_load is not None
    assert squat.first_load > squat.start_load
    assert squat.reason.startswith(f"Raise: week 1 goes from {squat.start_load:g} kg to {squat.first_load:g} kg.")
    assert squat.mean_over == -2


def test_every_suggested_load_can_be_made(tmp_path: Path) -> None:
    spec = spec_from()
    for amount in (-2, 0, 1.5):
        for made in outlook(tmp_path, followed(spec, over(amount))).suggestions:
            rungs = {rung.load for rung in ladder(spec.exercise(made.exercise).implement, spec.equipment)}
            assert made.first_load is None or made.first_load in rungs


@pytest.mark.parametrize("answer", ["A", "yes"])
def test_pain_holds_the_load_however_easy_it_was(tmp_path: Path, answer: str) -> None:
    easy = followed(spec_from(), over(-2))
    squat = by_key(outlook(tmp_path, {**easy, "w2.lower.pain": answer}))["lower.squat"]
    assert (squat.action, squat.pain) == ("hold", True)
    assert squat.first_load is not None
    assert squat.last_load is not None
    assert squat.first_load <= squat.last_load
    assert squat.next_sets <= squat.sets
    assert squat.reason.startswith("Pain was reported: ask the lifter first. Nothing is raised")


def test_pain_at_one_exercise_holds_its_close_relatives_and_leaves_the_others_alone(tmp_path: Path) -> None:
    made = by_key(outlook(tmp_path, {**followed(spec_from(), over(-2)), "w2.lower.pain": "B"}))
    assert [key for key, suggestion in made.items() if suggestion.pain] == ["lower.leg-press"]
    squat = made["lower.squat"]
    assert (squat.action, squat.near_pain) == ("hold", "leg press")
    assert squat.reason.startswith("Leg press hurts and trains the same: nothing is raised here either")
    assert (squat.first_load or 0) <= (squat.start_load or 0)
    assert squat.next_sets <= squat.sets
    assert made["upper.bench-press"].action == "raise"


def test_pain_comes_before_every_other_reason(tmp_path: Path) -> None:
    hard = followed(spec_from(), over(1.5))
    mostly_out = {name: value for name, value in hard.items() if not name.startswith("w2.lower.squat.")}
    for inputs in (hard, mostly_out):
        made = by_key(outlook(tmp_path, {**inputs, "w2.lower.pain": "A"}))["lower.squat"]
        assert made.action == ("lower" if (made.first_load or 0) < (made.start_load or 0) else "hold")
        assert made.reason.startswith("Pain was reported")


@pytest.mark.parametrize("amount", [1, 1.5, 2])
def test_repeated_overshoot_starts_at_least_one_step_lower(tmp_path: Path, amount: float) -> None:
    squat = by_key(outlook(tmp_path, followed(spec_from(), over_on("lower.squat", amount))))["lower.squat"]
    assert squat.action == "reset"
    assert squat.first_load is not None
    assert squat.start_load is not None
    steps = [rung.load for rung in ladder("barbell", spec_from().equipment) if rung.load < squat.start_load]
    assert squat.first_load <= steps[-1]
    assert f"Start again at {squat.first_load:g} kg" in squat.reason
    assert squat.next_sets <= squat.sets


def test_one_bad_day_of_two_is_no_reset(tmp_path: Path) -> None:
    """Far over target once, as asked the week before: effort did not keep coming in over."""
    once = {**clean_inputs(), **{f"w2.lower.squat.{n}/rpe": 10 for n in (1, 2, 3)}}
    squat = by_key(outlook(tmp_path, once))["lower.squat"]
    assert (squat.mean_over or 0) >= 1
    assert squat.action != "reset"


def test_a_reset_steps_down_even_where_the_decided_load_would_not(tmp_path: Path) -> None:
    """With a belief that no log moves, the decided load stays where the block began."""
    sure = "known_sd: 0.001, drift_sd: 0, day_sd: 0.001, set_sd: 0.2"
    still = f"policy: {{{sure}, gain_shared: 0, weekly_gain: 0, first_gain: 0, reset_share: 1}}"
    spec = spec_from(("sessions:\n", f"{still}\nsessions:\n"))
    inputs = {**followed(spec), **{f"w{week}.lower.squat.{n}/rpe": 9.5 for week in (1, 2) for n in (1, 2, 3)}}
    squat = by_key(outlook(tmp_path, inputs, spec))["lower.squat"]
    assert (squat.action, squat.start_load) == ("reset", 100)
    assert squat.first_load == 97.5


WRITTEN = (
    ("        rpe: [7.5, 8]\n        feeler: true\n", "        percent: [75, 80]\n"),
    ("        reps: 8-10\n        rpe: 8\n", "        reps: 8\n        load: [100, 105]\n"),
)


def test_loads_that_the_coach_wrote_say_what_they_become(tmp_path: Path) -> None:
    spec = spec_from(*WRITTEN)
    log = log_of(tmp_path, spec, followed(spec))
    made = by_key(suggest(log))
    bench, press = made["upper.bench-press"], made["lower.leg-press"]
    asked = targets(next_block(log).spec, {})["w1.upper.bench-press.1"]
    assert (bench.action, press.action) == ("as written", "as written")
    assert bench.reason == f"As you wrote it: 75 % of a 1RM of {bench.believed_max:.1f} kg, {asked:g} kg in week 1."
    assert press.reason == "As you wrote it: 100 kg in week 1."
    assert "bench press: load as written, 3 sets (as before). As you wrote it" in next_block(log).to_yaml()


def test_a_written_load_is_that_of_the_next_blocks_first_week(tmp_path: Path) -> None:
    """A deload in week 1 with its own percentage, and a load of the coach's for this block alone."""
    percent = "        percent: [60, 80]\n        loads: {1: 70}\n"
    spec = spec_from((WRITTEN[0][0], percent), ("  weeks: 2\n", "  weeks: 2\n  deload_week: 1\n"))
    log = log_of(tmp_path, spec, followed(spec))
    asked = targets(next_block(log).spec, {})["w1.upper.bench-press.1"]
    reason = by_key(suggest(log))["upper.bench-press"].reason
    assert reason.startswith("As you wrote it, in a deload week: 60 % of a 1RM of ")
    assert reason.endswith(f"{asked:g} kg in week 1.")
    assert asked is not None
    assert asked < 60


def test_what_holds_or_lowers_a_load_is_named(tmp_path: Path) -> None:
    def of(inputs: Mapping[str, Any]) -> str:
        return by_key(outlook(tmp_path, inputs))["upper.bench-press"].reason

    def light(effort: float) -> dict[str, Any]:
        names = [f"w2.upper.bench-press.{number}" for number in (1, 2, 3)]
        return clean_inputs() | {f"{n}/load": 50 for n in names} | {f"{n}/rpe": effort for n in names}

    assert of(light(7)) == (
        "Lower: week 1 at 55 kg, since the last load was 50 kg, and loads rise from there; this block began at 65 kg."
    )
    assert (
        "since the last session was a light one, 50 kg at effort 3.0 under target, and half the way back is made"
        in of(light(5))
    )
    assert of(light(9.5)).startswith(
        "Lower: week 1 at 50 kg, since the last session came in 1.5 over target, a bad day "
    )


def test_two_sessions_a_little_over_target_are_no_reset_and_three_are(tmp_path: Path) -> None:
    spec = spec_from(("  weeks: 2\n", "  weeks: 3\n"), ("[7.5, 8]", "[7.5, 8, 8]"))
    hard = followed(spec, over_on("upper.bench-press", 0.8))
    hard |= {f"w{w}.upper.bench-press.{n}/rpe": 9 for w in (2, 3) for n in (1, 2, 3)}
    two = {name: value for name, value in hard.items() if not name.startswith("w3")}
    assert by_key(outlook(tmp_path, two, spec))["upper.bench-press"].action != "reset"
    assert by_key(outlook(tmp_path, hard, spec))["upper.bench-press"].action == "reset"


def test_reps_short_of_an_asked_rise_are_no_reason_for_a_reset(tmp_path: Path) -> None:
    """12 of 12 to 15 reps at the target effort, where the sheet asked for 15."""
    spec = spec_from(("reps: 8-10\n        rpe: 8", "reps: 12-15\n        rpe: 8"))
    inputs = followed(spec)
    inputs |= {f"w{w}.lower.leg-press.{n}/{what}": value for w in (1, 2) for n in (1, 2)
               for what, value in (("load", 85), ("reps", 12), ("rpe", 8.5))}  # fmt: skip
    press = by_key(outlook(tmp_path, inputs, spec))["lower.leg-press"]
    assert press.action != "reset"


def test_one_overshoot_that_was_put_right_is_no_reset(tmp_path: Path) -> None:
    def first_week_hard(place: Any, _planned: Any) -> float:
        return 1.5 if place.line.week == 1 and place.line.slot_key == "lower.squat" else 0

    squat = by_key(outlook(tmp_path, followed(spec_from(), first_week_hard)))["lower.squat"]
    assert squat.action in ("lower", "hold", "raise")


def test_overshoot_at_the_lightest_load_asks_for_another_exercise(tmp_path: Path) -> None:
    spec = spec_from(*LIGHTEST)
    press = by_key(outlook(tmp_path, followed(spec, over_on("lower.leg-press", 2)), spec))["lower.leg-press"]
    assert press.start_load == 5
    assert press.action == "change the exercise"
    assert "lightest" in press.reason


def test_an_exercise_mostly_left_out_is_changed(tmp_path: Path) -> None:
    inputs = {
        name: value
        for name, value in clean_inputs().items()
        if ".leg-press." not in name or name.startswith("w1.lower.leg-press.1/")
    }
    press = by_key(outlook(tmp_path, inputs))["lower.leg-press"]
    assert press.share_done == 0.25
    assert press.action == "change the exercise"
    assert press.reason.startswith("Change the exercise: it was mostly left out.")


HALF_WAY = (("  weeks: 2\n", "  weeks: 4\n"), ("[7.5, 8]", "[7.5, 8, 8, 8]"))
"""A block of four weeks, of which two come back."""


def two_weeks(spec: Specification, over: Effort = on_target) -> dict[str, Any]:
    return {name: value for name, value in followed(spec, over).items() if name[:2] in ("w1", "w2")}


def test_half_way_an_exercise_left_out_is_so_in_the_weeks_logged(tmp_path: Path) -> None:
    spec = spec_from(*HALF_WAY)
    inputs = {name: value for name, value in two_weeks(spec).items() if ".leg-press." not in name or "w1" in name}
    press = by_key(outlook(tmp_path, inputs, spec))["lower.leg-press"]
    assert (press.share_done, press.choice.kind) == (0.5, "kept")
    del inputs["w1.lower.leg-press.2/reps"]
    press = by_key(outlook(tmp_path, inputs, spec))["lower.leg-press"]
    assert press.reason.startswith("Change the exercise: it was mostly left out in the 2 weeks logged.")


@pytest.mark.parametrize("last", [".1", ""])
def test_half_way_nothing_is_left_out_that_the_log_has_not_come_to(tmp_path: Path, last: str) -> None:
    """The lifter mailed the log amid the squats of week 2, or between them and the leg press."""
    spec = spec_from(*HALF_WAY)
    so_far = {n: value for n, value in two_weeks(spec).items() if n.startswith(("w1.", f"w2.lower.squat{last}"))}
    del so_far["w1.lower.leg-press.2/reps"]
    made = by_key(outlook(tmp_path, so_far, spec))
    assert (made["lower.squat"].share_done, made["upper.bench-press"].share_done) == (1, 1)
    assert (made["lower.leg-press"].share_done, made["lower.leg-press"].choice.kind) == (0.5, "kept")
    assert made["lower.leg-press"].next_sets == made["lower.leg-press"].sets


def test_half_way_what_begins_later_is_still_to_come(tmp_path: Path) -> None:
    later = ("        sets: 2\n        reps: 6\n", "        sets: [0, 0, 3, 3]\n        reps: 6\n")
    spec = spec_from(*HALF_WAY, later)
    pull_up = by_key(outlook(tmp_path, two_weeks(spec), spec))["upper.pull-up"]
    assert pull_up.reason == "Its sets are still to come: nothing to decide from."


def test_half_way_figures_and_verdicts_speak_of_the_weeks_logged(tmp_path: Path) -> None:
    spec = spec_from(*HALF_WAY, ("sets: 3\n        reps: 5", "sets: 5\n        reps: 5"))
    made = by_key(outlook(tmp_path, two_weeks(spec, over(0.9)), spec))
    bench = made["upper.bench-press"]
    assert "% in the 2 weeks logged; effort 0.9 over target" in bench.figures
    assert "over target in the 2 weeks logged. One set fewer a session." in bench.reason


def test_after_a_block_of_failed_sets_the_next_begins_below_them(tmp_path: Path) -> None:
    failed = {
        name: 0 if ".bench-press." in name and name.endswith("/reps") else v for name, v in clean_inputs().items()
    }
    failed = {name: 10 if ".bench-press." in name and name.endswith("/rpe") else v for name, v in failed.items()}
    bench = by_key(outlook(tmp_path, failed))["upper.bench-press"]
    assert bench.share_done == 0
    assert bench.first_load is not None
    assert bench.first_load < min(float(v) for k, v in failed.items() if ".bench-press." in k and k.endswith("/load"))


def test_an_exercise_never_logged_is_not_decided(tmp_path: Path) -> None:
    inputs = {name: value for name, value in clean_inputs().items() if ".leg-press." not in name}
    press = by_key(outlook(tmp_path, inputs))["lower.leg-press"]
    assert (press.first_load, press.believed_max, press.next_sets) == (None, None, press.sets)
    assert press.reason == "No set was completed in this block: nothing to decide from."


def test_bands_have_no_load_to_decide(tmp_path: Path) -> None:
    band = by_key(outlook(tmp_path, clean_inputs()))["lower.band-pull-apart"]
    assert (band.action, band.first_load, band.start_load) == ("hold", None, None)


# Deload first ---------------------------------------------------------------------------------


def test_rising_effort_and_falling_strength_together_ask_for_a_deload(tmp_path: Path) -> None:
    made = outlook(tmp_path, worn_out())
    assert made.deload_reason.startswith(
        "2 of 4 signs agree in the last working weeks (2 needed): effort: 1.0, then 2.1 over target"
    )
    assert [(sign.name, sign.agrees) for sign in made.signs] == [
        ("Effort", True), ("Estimated maxima", True), ("Monotony and strain", False), ("Soreness and sleep", False),
    ]  # fmt: skip
    squat = by_key(made)["lower.squat"]
    assert squat.action == "deload first"
    assert squat.first_load is not None
    assert squat.start_load is not None
    assert squat.deload_load is not None
    assert squat.deload_load < squat.start_load
    assert squat.reason.startswith("Deload first: week 1 at ")


def test_where_it_hurts_both_loads_are_named_whatever_the_coach_says_of_the_deload(tmp_path: Path) -> None:
    log = log_of(tmp_path, spec_from(), {**worn_out(), "w2.lower.pain": "A"})
    squat = by_key(suggest(log))["lower.squat"]
    assert squat.first_load != squat.deload_load
    for answer in ("yes", "no"):
        made = next_block(log, own_deload=answer)
        decision = next(each for each in made.decisions if each.suggestion.key == "lower.squat")
        assert f"{decision.load:g} kg" in made.why(decision)


def test_loads_of_a_body_weight_exercise_say_so(tmp_path: Path) -> None:
    pull_up = by_key(outlook(tmp_path, clean_inputs()))["upper.pull-up"]
    assert pull_up.reason == "Raise: week 1 goes from body weight + 5 kg to body weight + 7.5 kg, the last load."
    alone = reason(replace(pull_up, first_load=0, start_load=0), spec_from(), deload_first=False)
    assert alone == "Hold: week 1 at body weight alone again."


def test_pain_is_told_even_where_a_deload_comes_first(tmp_path: Path) -> None:
    squat = by_key(outlook(tmp_path, {**worn_out(), "w2.lower.pain": "A"}))["lower.squat"]
    assert squat.action == "lower"
    assert squat.reason.startswith("Pain was reported")
    assert f"down to {squat.first_load:g} kg" in squat.reason


def test_effort_alone_is_no_sign_for_a_deload(tmp_path: Path) -> None:
    """Effort rises over target, but the loads rise with it and so does strength."""
    inputs = worn_out()
    inputs |= {name: value * 1.2 for name, value in inputs.items() if name.startswith("w2.") and name.endswith("/load")}
    assert outlook(tmp_path, inputs).deload_reason == ""


def test_falling_strength_alone_is_no_sign_for_a_deload(tmp_path: Path) -> None:
    inputs = clean_inputs()
    inputs |= {name: value * 0.9 for name, value in inputs.items() if name.startswith("w2.") and name.endswith("/load")}
    assert outlook(tmp_path, inputs).deload_reason == ""


def test_after_a_block_that_ends_with_a_deload_there_is_no_second_one(tmp_path: Path) -> None:
    spec = spec_from(("  unit: kg\n", "  unit: kg\n  deload_week: 2\n"))
    log = log_of(tmp_path, spec, worn_out())
    assert deload_reason(log, deload_signs(log, histories(log))) == ""


def test_a_deload_in_its_last_week_counts_only_once_the_weeks_before_are_done(tmp_path: Path) -> None:
    """A block of three weeks: without the last it is a rest all the same, after one of the others it is not."""
    spec = template_spec("volume", "kg")
    weeks = spec.block.weeks
    assert spec.block.deload_week == weeks
    filled = typed("volume", "kg", "filled")

    def up_to(week: int) -> bool:
        begun = {name: value for name, value in filled.items() if int(name[1 : name.index(".")]) <= week}
        return ended_light(log_of(tmp_path, spec, begun))

    assert [up_to(week) for week in (weeks, weeks - 1, weeks - 2)] == [True, True, False]


# Sets -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "unit"), list(zip(TEMPLATES, cycle(UNITS), strict=False)))
def test_weekly_sets_of_a_muscle_move_by_a_fifth_at_most_in_whole_sets(tmp_path: Path, name: str, unit: Any) -> None:
    spec = template_spec(name, unit)
    for inputs in (typed(name, unit, "half filled"), slips(spec, typed(name, unit, "filled"))):
        every = outlook(tmp_path, inputs, spec).suggestions
        before = weekly_sets([(spec.exercise(each.exercise), each.sets) for each in every])
        after = weekly_sets([(spec.exercise(each.exercise), each.next_sets) for each in every])
        assert all(abs(after[muscle] - before[muscle]) <= 0.2 * before[muscle] + 1e-9 for muscle in before)
        assert all(abs(each.next_sets - each.sets) <= 1 for each in every)
        assert all(each.next_sets <= max(6, each.sets) for each in every)
        assert all(each.next_sets >= min(2, each.sets) for each in every)


def test_an_exercise_that_begins_in_week_two_is_decided_too(tmp_path: Path) -> None:
    spec = spec_from(("exercise: leg press\n        sets: 2", "exercise: leg press\n        sets: [0, 2]"))
    press = by_key(outlook(tmp_path, followed(spec, over(0)), spec))["lower.leg-press"]
    assert press.first_load is not None


FIVE_SETS = (("sets: 3\n        reps: 5", "sets: 5\n        reps: 5"),)


def test_repeated_overshoot_takes_one_set_of_five(tmp_path: Path) -> None:
    spec = spec_from(*FIVE_SETS)
    bench = by_key(outlook(tmp_path, followed(spec, over_on("upper.bench-press", 1.5)), spec))["upper.bench-press"]
    assert (bench.sets, bench.next_sets) == (5, 4)
    assert bench.reason.endswith("One set fewer a session.")


def test_a_stall_that_felt_easy_adds_one_set_to_five(tmp_path: Path) -> None:
    spec = spec_from(*FIVE_SETS, ("weeks: 2", "weeks: 3"), ("rpe: [7.5, 8]", "rpe: [7.5, 8, 8]"))
    inputs = followed(spec, over(0))
    for week, number in product((2, 3), range(1, 6)):
        for column in ("load", "reps", "rpe"):
            inputs[f"w{week}.upper.bench-press.{number}/{column}"] = inputs[f"w1.upper.bench-press.{number}/{column}"]
    bench = by_key(outlook(tmp_path, inputs, spec))["upper.bench-press"]
    assert bench.change == 0
    assert (bench.sets, bench.next_sets) == (5, 6)


def test_few_sets_are_left_as_they_are(tmp_path: Path) -> None:
    made = by_key(outlook(tmp_path, followed(spec_from(), over_on("lower.leg-press", 2))))
    assert made["lower.leg-press"].next_sets == made["lower.leg-press"].sets == 2


def test_harder_blocks_never_lead_to_heavier_starts(tmp_path: Path) -> None:
    """The same loads at more effort: the first load of the next block falls or stays."""
    inputs = clean_inputs()
    starts = []
    for amount in (-2, -1, 0, 1, 2):
        harder = {
            name: max(5.0, min(10.0, value + amount)) if name.endswith("/rpe") else value
            for name, value in inputs.items()
        }
        starts.append(by_key(outlook(tmp_path, harder))["lower.squat"].first_load or 0)
    assert all(lower <= higher for higher, lower in pairwise(starts))
    assert starts[-1] < starts[0]


def test_what_no_lifter_can_mean_is_no_sign_of_poor_recovery(tmp_path: Path) -> None:
    """Eighty hours of sleep and a soreness of 12: not known, and no mean is taken of them."""
    odd = {name: {"sleep": 80, "soreness": 12}.get(name.rpartition(".")[2], v) for name, v in clean_inputs().items()}
    sign = outlook(tmp_path, odd).signs[-1]
    assert (sign.name, sign.value, sign.known) == ("Soreness and sleep", "not known", False)
