"""Can what was logged be believed? Findings with figures, most with what was likely meant.

SLIPS are run in turn, the widest explanation first: what one explains the next ones do not see
(`checks.py`), so that a set is spoken of once. EFFORTS look at what is left, DOUBTS at the whole log.
"""

from blockbook.intake.believable.copies import copied_last_week, copied_plan
from blockbook.intake.believable.effort import (
    effort_constant,
    effort_falls,
    efforts_on_other_scale,
    missed_reps,
    missed_reps_low_effort,
    progress_possible,
    session_effort_contradicts,
)
from blockbook.intake.believable.hands import both_hands_together
from blockbook.intake.believable.notes import illness_in_notes, pain_in_notes, sets_in_notes
from blockbook.intake.believable.other_unit import exercises_in_other_unit, log_in_other_unit, sessions_in_other_unit
from blockbook.intake.believable.sessions import (
    body_weight_jumps,
    dates_in_order,
    dates_inside_block,
    dates_not_to_come,
    minutes_possible,
    one_session_a_day,
)
from blockbook.intake.believable.slips import (
    plain_swaps,
    reserves_for_efforts,
    rows_shifted,
    single_reserves,
    single_slips,
    wrong_lifter,
)
from blockbook.intake.believable.unexplained import off_own_trend

SLIPS = (
    plain_swaps,  # certain whatever else is wrong
    log_in_other_unit,
    wrong_lifter,
    sessions_in_other_unit,
    rows_shifted,
    exercises_in_other_unit,
    both_hands_together,
    reserves_for_efforts,
    single_reserves,
    single_slips,
    off_own_trend,
)

EFFORTS = (
    efforts_on_other_scale,
    copied_plan,
    copied_last_week,
    effort_constant,
    effort_falls,
    missed_reps_low_effort,
    session_effort_contradicts,
    progress_possible,
)

DOUBTS = (
    pain_in_notes,
    illness_in_notes,
    sets_in_notes,
    dates_inside_block,
    dates_not_to_come,
    dates_in_order,
    one_session_a_day,
    minutes_possible,
    body_weight_jumps,
    missed_reps,
)

__all__ = ["DOUBTS", "EFFORTS", "SLIPS"]
