"""What is odd about the days of a block: when it begins, and where its meet falls."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from blockbook import clock
from blockbook.spec.documents import Location
from blockbook.spec.models import Block, Specification
from blockbook.training.prescription import PlannedSession, weeks
from blockbook.training.season_calendar import day_said

MONTHS = 12

A_WEEK_MISSED = 7
"""So many days less stand between a block and the next where the last week was missed; `next` allows for that."""

LONG_AGO = 60
"""A block that is over and began so many days ago is hardly built today: January's slip, the year before."""


def doubts_on_dates(spec: Specification) -> Iterator[tuple[Location, str]]:
    """The part of the specification that each is on, and a sentence."""
    yield from _another_year(spec.block)
    yield from _long_after_the_last_block(spec)
    yield from doubts_on_meet(spec)


def _another_year(block: Block) -> Iterator[tuple[Location, str]]:
    today = clock.today()
    if turned := _turned_round(block.start, today):
        said = f"The block begins on {day_said(block.start)} {block.start.year}. Are day and month turned round, "
        yield ("block", "start"), f"{said}{day_said(turned)} {turned.year}?"
    elif (ago := (today - block.start).days) > LONG_AGO and block.last < today:
        said = f"The block begins on {day_said(block.start)} {block.start.year}, {ago} days ago. Is another year meant?"
        yield ("block", "start"), said


def _turned_round(start: date, today: date) -> date | None:
    """The day that day and month make the other way round, where that is a Monday, as is usual, and nearer to today."""
    if start.day > MONTHS or start.day == start.month or start.weekday() == 0:
        return None
    turned = date(start.year, start.day, start.month)
    return turned if turned.weekday() == 0 and abs(turned - today) < abs(start - today) else None


def _long_after_the_last_block(spec: Specification) -> Iterator[tuple[Location, str]]:
    """First loads that the last block led to, for a block that was moved so far from it that they have grown old.

    Not while there is time to train in between: a block that came back half-way is still going on.
    """
    days = {name.casefold(): best.on for name, best in spec.lifter.bests.items()}
    slots = [slot for slot in spec.slots if slot.was_worked_out(1)]
    trained = [day for slot in slots if (day := days.get(slot.exercise.casefold()))]
    gap = (spec.block.start - max(trained)).days if trained else 0
    soon = (spec.block.start - clock.today()).days < spec.policy.gap_days
    if soon and gap >= spec.policy.gap_days + A_WEEK_MISSED:
        yield (
            ("block", "start"),
            f"The first loads come from the last block, trained until {day_said(max(trained))}, {gap} days before this "
            "one begins. Take out those of week 1, and its sheet works them out anew.",
        )


def doubts_on_meet(spec: Specification) -> Iterator[tuple[Location, str]]:
    """A meet within the block, before its last week or beside the sessions of that week."""
    block, meet = spec.block, spec.block.meet
    if meet is None:
        return
    if meet < block.week_start(block.weeks):
        week = (meet - block.start).days // 7 + 1
        begin_later = "Begin the block after it, or plan towards it: " if week == 1 else ""
        yield (
            ("block", "meet"),
            f"The meet on {day_said(meet)} falls in week {week} of {block.weeks}: nothing tapers towards it. "
            f"{begin_later}`blockbook season --meet {meet} --out season.yaml` counts back from it.",
        )
    elif beside := ", ".join(_beside(meet, weeks(spec)[-1])):
        yield (
            ("block", "meet"),
            f"The meet is on {day_said(meet)}, and training stands beside it: {beside}. Give these 0 sets in week "
            f"{block.weeks}, or another day.",
        )


def _beside(meet: date, sessions: tuple[PlannedSession, ...]) -> Iterator[str]:
    """ "Press on the day itself": sessions that ask for anything from the day before a meet on."""
    asked = [session for session in sessions if any(line.sets for line in session.lines)]
    for session in sorted(asked, key=lambda session: session.day):
        if session.day >= meet - timedelta(days=1):
            when = {-1: "the day before", 0: "on the day itself"}
            yield f"{session.name} {when.get((session.day - meet).days, 'after it')}"
