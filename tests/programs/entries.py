"""What lifters type that is no plain number, each in a cell of its own of one file. All of it is invented."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from types import MappingProxyType
from typing import Any

from tests.intake.small_block import sessions_of
from tests.programs.jobs import EXCELJS, LIBREOFFICE, SHEETJS, Step
from tests.programs.sent import place_of, workbook

BY = (LIBREOFFICE, EXCELJS, SHEETJS)

LOADS: Mapping[str, tuple[str, ...]] = {
    "back squat": ("85kg", "185 lb", "82 1/2", "82,5", "８２．５", "٨٢٫٥", "same"),
    "leg press": ("pin 7", "7th plate", "-", "95 (belt)", "80-85"),
    "band pull-apart": ("red band", "green", "x", "2 bands"),
    "bench press": ("left knee felt odd", "skip", "✓", "fail", "60 each side", "as last week", "   ", "?"),
    "one-arm dumbbell row": ("2x20", "20 per hand", "2 x 20 kg", "20/20", "20s", "two 20s", "20+20"),
    "pull-up": ("bw", "bw+20", "+20", "bodyweight"),
}
"""By exercise, since "2x20" says something with dumbbells only."""

REPS = (
    "8-9", "8 (grinder)", "5+1", "8/10", "3x5", "fail", "x", "８", "٨", "✓", "5 or 6", "left side only", "skip", "-",
    "same", "amrap 9", "5,5",
)  # fmt: skip
EFFORTS = (
    "8-9", "7,5", "2 left", "2 RIR", "@8", "easy", "fail", "８", "٨", "8 (grinder)", "?", "-", "x", "✓", "same",
    "9+", "7/8", " 8 ",
)  # fmt: skip
NOTES = ("105", "8-9", "-", "½ depth", "felt 9", "✓", "last one\nwas slow")
SESSION = {
    "w1.lower.date": "4.1.",
    "w1.lower.effort": "7-8",
    "w1.lower.minutes": "55 min",
    "w1.lower.body_weight": "70,4 kg",
    "w1.lower.sleep": "7h30",
    "w1.lower.soreness": "legs",
    "w1.lower.pain": "left elbow, a bit",
    "w1.upper.date": "Friday",
    "w1.upper.effort": "８",
    "w1.upper.minutes": "1:05",
    "w1.upper.body_weight": "155 lb",
    "w1.upper.sleep": "bad",
    "w1.upper.soreness": "-",
    "w1.upper.where": "nowhere",
}


def _entries() -> dict[str, str]:
    lines = [line for session in sessions_of(workbook()) for line in session.lines]
    keys = [planned.key for line in lines for planned in line.line.sets]
    entries: dict[str, str] = {}
    for exercise, texts in LOADS.items():
        own = [planned.key for line in lines if line.line.exercise.name == exercise for planned in line.line.sets]
        entries |= {f"{key}/load": text for key, text in zip(own, texts, strict=False)}
    for column, texts in (("reps", REPS), ("rpe", EFFORTS), ("note", NOTES)):
        entries |= {f"{key}/{column}": text for key, text in zip(keys, texts, strict=False)}
    return {**entries, **SESSION}


ENTRIES = MappingProxyType(_entries())
"""Input name -> the text that is typed there."""

STEPS: tuple[Step, ...] = tuple(
    ("enter", (place := place_of(name)).sheet, place.row, place.column, text) for name, text in ENTRIES.items()
)

_THIS_YEAR = date.today().year
MADE: Mapping[tuple[str, str], Any] = {
    (LIBREOFFICE, "82 1/2"): 82.5,
    (LIBREOFFICE, "+20"): 20,
    (LIBREOFFICE, "9+"): 9,
    (LIBREOFFICE, "8/10"): date(_THIS_YEAR, 8, 10),
    (LIBREOFFICE, "7/8"): date(_THIS_YEAR, 7, 8),
}
"""What a program makes of a text as it is typed, where it is no longer that text: (program, text) -> value."""


def stands(program: str, name: str) -> Any:
    """What is in the file after an entry."""
    return MADE.get((program, ENTRIES[name]), ENTRIES[name])
