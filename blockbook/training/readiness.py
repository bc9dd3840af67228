"""Does a deload come first? Signs with their figures, each for everybody to check; a stated number must agree."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from blockbook.spec.next_policy import NextPolicy
from blockbook.training.against_target import against_target


@dataclass(frozen=True)
class Sign:
    """One sign. value: what was logged, in words with figures; threshold: from when it speaks for a deload.

    known: whether enough was logged to tell.
    """

    name: str
    value: str
    threshold: str
    agrees: bool
    known: bool
    source: str


PRACTICE = "common practice, no source"
_COACHES = "coaches go by it (Bell et al. 2022, 2024); threshold: common practice"
_FOSTER = "Foster 1998; rise of strain: common practice"
_SLEEP = "sleep: Watson et al. 2015; soreness: common practice"


def effort_sign(over: Sequence[float], on_target: float) -> Sign:
    """Effort over target two working weeks running, and rising. over: mean effort over target by working week."""
    known = len(over) >= 2
    value = against_target(over[-2], over[-1]) if known else "under two weeks logged"
    agrees = known and over[-1] > over[-2] > on_target
    threshold = f"more than {on_target:.1f} over target and rising, two weeks running"
    return Sign("Effort", value, threshold, agrees, known, _COACHES)


def strength_sign(changes: Sequence[float], stall: float, policy: NextPolicy) -> Sign:
    """Estimated maxima falling on most exercises. changes: relative change over the block, by exercise."""
    falling = sum(change < -stall for change in changes)
    value = f"fell on {falling} of {len(changes)} exercises" if changes else "no exercise logged twice"
    agrees = bool(changes) and falling > policy.lifts_falling * len(changes)
    threshold = f"on more than {policy.lifts_falling:.0%}"
    return Sign("Estimated maxima", value, threshold, agrees, bool(changes), _COACHES)


def load_sign(
    monotony: Sequence[float | None], strain: Sequence[float | None], policy: NextPolicy, lacking: str = ""
) -> Sign:
    """Monotony or strain of the last week high; by working week, None where not all sessions say effort and minutes.

    lacking: why the last week's are not known, in words.
    """
    threshold = f"monotony {policy.monotony:g} or more, or strain {policy.strain_rise:.0%} above the weeks before"
    if not monotony or monotony[-1] is None:
        return Sign("Monotony and strain", lacking or "effort and minutes not logged", threshold, False, False, _FOSTER)
    before = [each for each in strain[:-1] if each is not None]
    last = strain[-1]
    usual = fmean(before) if before else 0
    rise = last / usual - 1 if last is not None and usual > 0 else None
    value = f"monotony {monotony[-1]:.1f}" + (f", strain {rise:+.0%}" if rise is not None else "")
    agrees = monotony[-1] >= policy.monotony or (rise is not None and rise >= policy.strain_rise)
    return Sign("Monotony and strain", value, threshold, agrees, True, _FOSTER)


def recovery_sign(soreness: Sequence[float], sleep: Sequence[float], policy: NextPolicy) -> Sign:
    """Sore and short of sleep in the last working week. soreness, sleep: as logged before its sessions."""
    threshold = f"soreness {policy.soreness:g} or more, and sleep under {policy.sleep:g} h"
    if not soreness or not sleep:
        return Sign("Soreness and sleep", "not known", threshold, False, False, _SLEEP)
    sore, slept = fmean(soreness), fmean(sleep)
    agrees = sore >= policy.soreness and slept < policy.sleep
    return Sign("Soreness and sleep", f"{sore:.1f} of 10, {slept:.1f} h", threshold, agrees, True, _SLEEP)


def deload_reason(signs: Sequence[Sign], policy: NextPolicy) -> str:
    """Why a deload comes first, in words with figures; "" where too few signs agree."""
    agreeing = [sign for sign in signs if sign.agrees]
    if len(agreeing) < policy.deload_signs:
        return ""
    said = "; ".join(f"{sign.name.lower()}: {sign.value}" for sign in agreeing)
    return (
        f"{len(agreeing)} of {len(signs)} signs agree in the last working weeks ({policy.deload_signs} needed): {said}."
    )
