"""What was carried over into a changed block, in a few lines for the coach."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import groupby

from blockbook.intake.carrying import Carried
from blockbook.workbook.earlier import TypedRow
from blockbook.workbook.layout import AFTER_SESSION, EARLIER


def carry_report(carried: Carried) -> str:
    """ "43 sets carried, 4 to the sheet Earlier log:" and for each exercise where they stood and why they moved."""
    if not carried.rows and not carried.left:
        return "\n".join(["Nothing was logged yet, so nothing was carried.", *carried.remarks])
    head = f"{_counted(carried.rows)} carried"
    if carried.left:
        head += f", {_counted(carried.earlier)} to the sheet {EARLIER}:"
    return "\n".join([head, *_left(carried), *carried.remarks])


def _left(carried: Carried) -> Iterator[str]:
    def group(item: tuple[TypedRow, str]) -> tuple[int, str, str, str]:
        row, why = item
        return row.week, row.session, row.exercise, why

    for (week, session, exercise, why), items in groupby(carried.left, group):
        rows = [row for row, _ in items]
        what = ", ".join(row.set for row in rows) if exercise == AFTER_SESSION else f"{exercise}, {_counted(rows)}"
        yield f"  {f'Week {week} ' if week else ''}{session}: {what} ({why})"


def _counted(rows: Iterable[TypedRow]) -> str:
    """ "43 sets, 6 session entries and 2 meet entries"."""
    kinds = Counter("meet" if row.is_of_meet else "session" if row.is_of_session else "set" for row in rows)
    sets = kinds.pop("set", 0)
    said = [f"{sets} set{'' if sets == 1 else 's'}"] if sets or not kinds else []
    said += [f"{number} {kind} {'entry' if number == 1 else 'entries'}" for kind, number in kinds.items()]
    return " and ".join(filter(None, (", ".join(said[:-1]), said[-1])))
