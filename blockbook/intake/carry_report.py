"""What was carried over into a changed block, in a few lines for the coach."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import groupby

from blockbook.intake.carrying import Carried
from blockbook.workbook.earlier import TypedRow
from blockbook.workbook.layout import AFTER_SESSION, EARLIER, is_feeler


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
    """ "43 sets, 4 feelers, 6 session entries and 2 meet entries"."""
    kinds = Counter(map(_kind, rows)) or Counter({_SET: 0})
    said = [f"{kinds[kind]} {kind[kinds[kind] != 1]}" for kind in (_SET, *_OTHERS) if kind in kinds]
    return " and ".join(filter(None, (", ".join(said[:-1]), said[-1])))


_SET = ("set", "sets")
_OTHERS = _FEELER, _OF_SESSION, _OF_MEET = (
    ("feeler", "feelers"),
    ("session entry", "session entries"),
    ("meet entry", "meet entries"),
)
"""What else is carried: one of them, and several."""


def _kind(row: TypedRow) -> tuple[str, str]:
    if row.is_of_meet:
        return _OF_MEET
    if row.is_of_session:
        return _OF_SESSION
    return _FEELER if is_feeler(row.key) else _SET
