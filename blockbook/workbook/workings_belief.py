"""What is believed of an exercise: how well effort is judged, the one-rep maximum, what today is like."""

from __future__ import annotations

from collections.abc import Sequence

from blockbook.sheet.book import Reference
from blockbook.training import belief, calibration
from blockbook.training.maximum import start_spread
from blockbook.training.prescription import Line, exercises_above
from blockbook.workbook.workings_row import Row


def fill_judgement(row: Row, taught: Sequence[Line]) -> None:
    """The tests of effort so far, and the bias they show: the same for all exercises of a session."""
    if row.line is not row.session.session.lines[0]:
        return
    if row.line.week == 1:
        lifter = row.spec.lifter
        tests: Reference = lifter.effort_tests if lifter.effort_bias is not None else 0
        gaps: Reference = lifter.effort_tests * (lifter.effort_bias or 0)
    else:
        before = row.workings.row(row.line, weeks_back=1)
        tests, gaps = before["tests"], before["gaps"]
    if shown := tuple(row.workings.cell(line, "test_gap") for line in taught):
        row.define("tests", calibration.tests_so_far, gaps=shown, before=tests)
        row.define("gaps", calibration.gaps_so_far, gaps=shown, before=gaps)
    else:
        row.define("tests", belief.as_is, value=tests)
        row.define("gaps", belief.as_is, value=gaps)
    row.define("bias", calibration.bias)


def fill_belief(row: Row) -> None:
    """The one-rep maximum before and after this session."""
    if row.line.week == 1:
        row.define("prior", belief.as_is, value=row.cell("first_prior"))
        spread = start_spread(row.spec, row.line.exercise)
        row.define("prior_variance", belief.first_variance, start_spread=spread)
    else:
        row.define("prior", belief.predicted)
        row.define("prior_variance", belief.predicted_variance)
    row.define("precision", belief.precision)
    row.define("pull", belief.pull)
    if row.line is row.session.session.lines[0]:
        every = row.signals(row.session.session.lines)
        row.define("shared", belief.shared_shift, **every)
        row.define("shared_left", belief.shared_variance, precisions=every["precisions"])
    if row.line.deload:
        row.define("capacity", belief.as_is, value=row.cell("prior"))
        row.define("variance", belief.as_is, value=row.cell("prior_variance"))
    else:
        row.define("capacity", belief.learned)
        row.define("variance", belief.learned_variance)


def fill_to_plan_from(row: Row, shown_elsewhere: Reference) -> None:
    """The maximum to plan from, and what the exercise shows to other sessions of the week that have it, too."""
    if not row.again:
        row.define("to_plan_from", belief.to_plan_from)
        return
    above = {"exercises_above": exercises_above(row.line)}
    row.define("to_plan_from", belief.to_plan_from_again, shown_elsewhere=shown_elsewhere, **above)
    if row.line.deload:
        row.define("shown", belief.as_is, value=shown_elsewhere)
    else:
        row.define("shown", belief.shown_fresh, before=shown_elsewhere, **above)


def fill_today(row: Row) -> None:
    """How the day moves what is believed, by what was done before this exercise."""
    row.define("spread_plan", belief.spread_of_plan)
    if not row.has_signs:
        return
    above = row.signals(row.session.session.lines[: row.line.depth - 1])
    if row.place is not None and row.has_feeler:
        felt: dict[str, Reference] = {"felt": row.place.cell("trusted", 0), "weight": row.place.cell("weight", 0)}
        row.define("day_above", belief.day_above, **above)
        row.define("feeler_innovation", belief.feeler_innovation, **felt)
        row.define("feeler_gain", belief.feeler_gain, **felt)
        row.define("day", belief.day_effect)
    else:
        row.put("feeler_gain", 0)
        row.define("day", belief.day_above, **above)
    row.define("spread", belief.spread, precisions=above["precisions"])
