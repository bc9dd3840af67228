"""How far a log has come, in words: how many of its weeks are begun, and what that means for what is said of it."""

from __future__ import annotations

from blockbook.intake.log import BlockLog


def weeks_begun(log: BlockLog) -> str:
    """ "2 of 5 weeks"."""
    return f"{log.begun_weeks} of {log.spec.block.weeks} weeks"


def up_to(log: BlockLog) -> str:
    """Behind the name of a file: ", logged up to week 2 of 5"; "" where the last week was begun."""
    begun, weeks = log.begun_weeks, log.spec.block.weeks
    if begun == 0:
        return ", of the meet alone" if log.meet else ", nothing logged yet"
    return "" if begun == weeks else f", logged up to week {begun} of {weeks}"


def so_far(log: BlockLog) -> str:
    """Behind a figure: " in the 2 weeks logged" where others are to come, " so far" before the first, else ""."""
    logged = log.logged_weeks
    if log.begun_weeks == log.spec.block.weeks:
        return ""
    return f" in the {logged} weeks logged" if logged > 1 else " in the week logged" if logged else " so far"


def what_came(log: BlockLog) -> str:
    """What is missing of a log that should be whole: "only 2 of 5 weeks came back"."""
    if log.begun_weeks == 0:
        return "it came back with the meet alone" if log.meet else "it came back with nothing logged"
    if log.begun_weeks < log.spec.block.weeks:
        return f"only {weeks_begun(log)} came back"
    return "the last week is not whole"


def half_way(log: BlockLog) -> str:
    """That weeks are still to come, and what that means for the next block; "" where the last was begun."""
    begun, weeks = log.begun_weeks, log.spec.block.weeks
    if begun == weeks:
        return ""
    if not begun:
        logged = "Of the sets nothing is logged, only the meet," if log.meet else "Nothing is logged yet,"
        return f"{logged} and the next block begins as if all weeks were done."
    few = log.logged_weeks
    early = " After one week no sets are moved, save where it hurts." if begun == 1 else ""
    return (
        f"Only {few} of {weeks} weeks {'is' if few == 1 else 'are'} logged: what is said is of "
        f"{'that one' if few == 1 else 'those'}, and the next block begins as if all were done.{early} "
        "To change this one half-way instead: blockbook build SPEC --carry RETURNED."
    )
