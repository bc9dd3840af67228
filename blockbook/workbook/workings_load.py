"""What to load: the decision step by step, for the plan and again for today."""

from __future__ import annotations

from blockbook.formula.definition import Definition
from blockbook.sheet.book import Cell, Reference
from blockbook.training import belief, loading, moves_said, other_sets, pain_said, progression, reasons, rep_growth
from blockbook.training.maximum import start_maximum
from blockbook.workbook.workings_row import Row

_STEPS = (
    "careful", "lower", "upper", "cheap", "sure", "fits", "above", "fitting", "half", "filled",
)  # fmt: skip
"""The steps to a load, taken for the plan and again for today (`..._today`)."""


def fill_target(row: Row) -> None:
    """Loads and reps asked for."""
    line = row.line
    week_before = row.workings.row(line, weeks_back=1) if line.week > 1 else {}
    row.names["last_planned"] = week_before.get("planned", "")
    row.names["stood_in"] = (row.before and row.before.chosen) or 0
    if row.ladder is None:
        row.blank("planned", "target", "step")
        row.put("target_reps", line.reps.low)
        row.put("extra", 0)
        return
    if line.decided:
        _fill_decision(row)
    else:
        row.put("extra", 0)
        row.put("target_reps", line.reps.low)
    if line.coach_load is not None:
        row.put("planned", line.coach_load)
        row.put("target", line.coach_load)
    elif line.decided:
        _fill_decided_loads(row)
    else:
        if line.percent is not None:
            row.define("aim", progression.percent_load, percent=line.percent, start_maximum=_stated_maximum(row))
            row.define("ceiling", progression.percent_ceiling, percent=line.percent)
            row.define("careful", progression.lesser)
        elif line.lightened_load is not None:
            row.put("careful", line.lightened_load)
        for name in ("planned", "target"):
            row.define(name, loading.nearest, load=row.cell("careful"))
    _fill_back_off(row)
    if row.has_feeler:
        row.define("feeler_target", other_sets.feeler_load)


def _stated_maximum(row: Row) -> float | str:
    known = start_maximum(row.spec, row.line.exercise)
    return "" if known is None else known


def _fill_decision(row: Row) -> None:
    row.define("share", progression.asked_share, fewer=0)
    for name, definition in (
        ("fewer", rep_growth.fewer_room),
        ("ceiling", progression.ceiling),
        ("floor", progression.floor),
        ("room", rep_growth.rep_room),
    ):
        row.define(name, definition)
    if row.line.progress in ("hold", "tempo"):
        row.define("reference", progression.reference)
    if _grows(row):
        row.define("share_reps", progression.asked_share)
        row.define("ceiling_reps", progression.ceiling, share=row.cell("share_reps"))
    row.define("aim", progression.aim, able=row.cell("to_plan_from"))
    if _grows(row) and row.line.coach_load is None:
        sure: dict[str, Reference] = {"able": "", "able_plan": row.cell("sure")}
        row.define("extra_plan", rep_growth.extra_reps, target=row.cell("planned"), **sure)
        if row.has_signs:
            row.define("extra", rep_growth.extra_reps, **sure | {"able": row.cell("sure_today")})
        else:
            row.define("extra", belief.as_is, value=row.cell("extra_plan"))
    else:
        row.put("by_reps", 0)
        row.put("extra_plan", _extra_from_last_block(row))
        row.put("extra", _extra_from_last_block(row))
    row.define("target_reps", rep_growth.target_reps)
    _fill_reason(row)


def _extra_from_last_block(row: Row) -> int:
    """Reps above the base, where the last block led to that load with them: they go on from there."""
    slot = row.line.slot
    if not _grows(row) or not slot.was_worked_out(row.line.week) or slot.extra_from_last_block is None:
        return 0
    low, width = row.line.reps.low, row.line.reps.high - row.line.reps.low
    most = width or row.spec.policy.extra_reps
    return max(1 - low, min(most, slot.extra_from_last_block))


def _fill_reason(row: Row) -> None:
    line = row.line
    last_shared: Reference = 0
    shared_before: Reference = 0
    overshoot_before: Reference = ""
    last_harder: Reference = 0
    harder_before: Reference = 0
    last_left: Reference = 1
    last_own: Reference = 0
    doubtful: Reference = 0
    logged: Reference = ""
    if line.week > 1:
        doubtful, logged = (row.workings.row(line, weeks_back=1)[name] for name in ("to_look_at", "logged_load"))
    if line.week > 1 and line.week - 1 != row.spec.block.deload_week:
        before = row.workings.row(line, weeks_back=1)
        last_shared, last_left, last_own = before["shared"], before["shared_left"], before["precision"]
        last_harder = before["harder"]
        if line.week > 2 and line.week - 2 != row.spec.block.deload_week:
            earlier = row.workings.row(line, weeks_back=2)
            shared_before, overshoot_before = earlier["shared"], earlier["logged_overshoot"]
            harder_before = earlier["harder"]
    row.names["unit"] = row.spec.block.unit
    row.define("step", moves_said.moved)
    given: dict[str, Reference] = {
        "first_reason": reasons.first_reason(line.exercise, row.spec),
        "held_reason": pain_said.held_reason(line.slot, line.week, row.spec),
        "first_jump": 0 if line.week == 1 else row.first_jump,
        "last_shared": last_shared,
        "shared_before": shared_before,
        "overshoot_before": overshoot_before,
        "last_harder": last_harder,
        "harder_before": harder_before,
        "last_shared_left": last_left,
        "last_precision": last_own,
        "doubtful_before": doubtful,
        "logged_before": logged,
    }
    row.define("plan_reason", reasons.plan_reason(row.spec.block.effort_as, row.again), **given)


def _fill_decided_loads(row: Row) -> None:
    """The plan and today's load, the same steps for both."""
    if _grows(row) and row.line.progress == "reps":
        row.define("last_made", progression.rung_under, load=row.cell("last_load"))
        row.define("last_above", progression.rung_over, load=row.cell("last_load"))
    plan = {name: row.cell(name) for name in _STEPS}
    nothing_added: Reference = 0 if row.line.exercise.implement == "bodyweight" else row.cell("last_load")
    from_plan = {"able": row.cell("to_plan_from"), "spread": row.cell("spread_plan")}
    _fill_load(row, "planned", plan | from_plan, nothing_added)
    if not row.has_signs:
        row.define("target", belief.as_is, value=row.cell("planned"))
        return
    row.define("able", progression.maximum_today)
    row.define("aim_today", progression.aim)
    highest = ("ceiling", "ceiling_reps") if _grows(row) else ("ceiling",)
    for name in highest:
        row.define(f"{name}_today", progression.ceiling_today, ceiling=row.cell(name))
    today = {name: row.cell(f"{name}_today") for name in (*_STEPS, "aim", *highest)}
    _fill_load(row, "target", today, row.cell("planned"))


def _fill_load(row: Row, result: str, cells: dict[str, Cell], otherwise: Reference) -> None:
    """One load, step by step. cells: where the steps stand, and what differs between plan and today."""

    def step(name: str, definition: Definition, **own: Reference) -> None:
        row.define_at(cells[name], definition, {**cells, "otherwise": otherwise, **own})

    step("careful", progression.careful_load)
    step("lower", progression.rung_under, load=cells["careful"])
    step("upper", progression.rung_over, load=cells["careful"])
    step("cheap", progression.cheapest)
    cells |= {result: row.cell(result), "by_reps": row.cell("by_reps")}
    if _grows(row):
        if result == "planned":
            step("by_reps", rep_growth.by_reps)
        step("sure", progression.maximum_for_reps)
        cells["able"] = cells["sure"]
        highest = cells.get("ceiling_reps", row.cell("ceiling_reps"))
        step("fits", rep_growth.fits, ceiling=highest)
        step("above", progression.rung_over, load=cells["fits"])
        step("fitting", rep_growth.fitting_load, ceiling=highest)
    if _grows(row) and row.line.progress == "reps":
        step("half", rep_growth.half_range_load)
        step("filled", rep_growth.load_by_reps)
        cells["fitting"] = cells["filled"]
    if row.line.progress in ("hold", "tempo") and not row.line.deload:
        step(result, progression.held_load)
    else:
        step(result, progression.decided_load, filled=cells["fitting"])


def _grows(row: Row) -> bool:
    """Whether reps may ever fill what the load cannot."""
    line, policy = row.line, row.spec.policy
    if line.deload or line.progress in ("hold", "tempo") or line.kind == "max_reps":
        return False
    in_range = line.reps.low < line.reps.high
    return in_range or (len(line.slot.reps) == 1 and line.reps.low >= policy.extra_reps_from and policy.extra_reps > 0)


def _fill_back_off(row: Row) -> None:
    back_off = row.line.slot.back_off
    if back_off is None:
        return
    row.names["drop"] = back_off.drop
    asked = next((planned for planned in row.line.sets if planned.kind == "back-off"), None)
    if asked:
        rpe = row.line.rpe if asked.rpe is None else asked.rpe
        row.define("back_off_most", other_sets.back_off_most, reps=asked.reps, rpe=rpe)
        row.define("back_off_reason", reasons.back_off_reason, unit=row.spec.block.unit)
    else:
        row.blank("back_off_reason")
    row.define("back_off_plan", other_sets.back_off_load, back_off_from=row.cell("planned"))
    top = row.place.cells[row.line.top_sets[0].number] if row.place else {}
    lifted = {"estimate": top.get("trusted", ""), "came_in_over": top.get("overshoot", "")}
    # Not the load that the next one is counted from, which looks at the back-off sets.
    lifted["logged_load"] = row.cell("top") if row.place else ""
    row.define("back_off_from", other_sets.back_off_from, **lifted)
    row.define("back_off_target", other_sets.back_off_load)
