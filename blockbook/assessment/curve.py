"""The lifter's own rep curve, fitted from a log and held near the standard one."""

from __future__ import annotations

import math
from collections import defaultdict

from blockbook.intake.log import BlockLog
from blockbook.training.effort import percent_of_max

_NARROWEST, _WIDEST = 0.7, 1.4


def fitted_curve(log: BlockLog) -> float:
    """Power s of the standard curve that fits the log best (see `percent_of_max`).

    Within each exercise, log load is regressed on the log of the standard share for reps done
    and left; the slope is shrunk toward 1 by the policy's `curve_prior`. Without sets at
    different reps it is 1.
    """
    points: dict[str, list[tuple[float, float]]] = defaultdict(list)
    for logged in log.sets:
        if logged.one_rep_max is None or logged.load is None or logged.reps is None or logged.rpe is None:
            continue
        if not logged.plausible or 10 - logged.rpe > log.spec.policy.judged_reserve:
            continue
        body_load = log.spec.body_load(log.spec.exercise(logged.exercise))
        share = percent_of_max.value(logged.reps + 10 - logged.rpe, 1)
        if isinstance(share, float) and logged.load + body_load > 0:
            points[f"{logged.session}.{logged.slot}"].append((math.log(share), math.log(logged.load + body_load)))
    prior = log.spec.policy.curve_prior
    xx, xy = prior, prior
    for pairs in points.values():
        mean_x = sum(x for x, _ in pairs) / len(pairs)
        mean_y = sum(y for _, y in pairs) / len(pairs)
        xx += sum((x - mean_x) ** 2 for x, _ in pairs)
        xy += sum((x - mean_x) * (y - mean_y) for x, y in pairs)
    return round(min(_WIDEST, max(_NARROWEST, xy / xx)), 3) if xx > 1e-9 else 1.0
