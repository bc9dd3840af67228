"""How cells look: one dictionary of styles, by name. Font colours stand on explicit fills.

Input cells carry one pale fill and a border; everything is understandable without colour.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Any

from blockbook.languages import Paper, spoken_tag

INK = "#1F2933"
SOFT = "#52606D"
PAPER = "#FFFFFF"
ACCENT = "#1F4E5F"
BAND = "#DCE7EA"
FIELD = "#FFF6D6"
LINE = "#9AA5B1"
FONT = "Calibri"

CHART_LINES = (ACCENT, "#C2571A", "#5B2A7A", "#3F7D20", "#333333", "#6B7785")
"""Lines carry dashes and markers of different shapes too, so that no one has to tell colours apart."""
CHART_COLUMNS = (ACCENT, "#F0C27B", "#965690", "#E3EFD6", "#1A1A1A", "#AEBAC4")
"""Dark and light in turn, edged in ink: neighbours differ in grey as they do in colour, and no two greys are alike."""

_BASE: dict[str, Any] = {
    "font_name": FONT, "font_size": 11, "font_color": INK, "bg_color": PAPER, "valign": "vcenter",
}  # fmt: skip
_CELL = {"bottom": 1, "bottom_color": "#D5DCE2"}
_TYPED = {"bg_color": FIELD, "border": 1, "border_color": LINE, "locked": False}
_CENTRE = {"align": "center"}

PLAIN = "General"
ONE_PLACE = "0.0"
_DAY = "d mmm"
_LONG_DAY = "ddd d mmm yyyy"
_CLOCK = "h:mm"
_DURATION = "[h]:mm"


def styles() -> dict[str, dict[str, Any]]:
    """Style name -> cell format properties."""
    made: dict[str, dict[str, Any]] = {
        "text": {},
        "wrapped": {"text_wrap": True, "valign": "top"},
        "paragraph": {"text_wrap": True},
        "soft": {"font_color": SOFT},
        "hint": {"font_color": SOFT, "font_size": 9, "italic": True},
        "hint across": {"font_color": SOFT, "font_size": 9, "italic": True, "shrink": True},
        "hint beside": {"font_color": SOFT, "font_size": 9, "italic": True, "indent": 1},
        "bold": {"bold": True},
        "label": {"bold": True, "text_wrap": True},
        "title": {"bold": True, "font_size": 15, "font_color": PAPER, "bg_color": ACCENT, "shrink": True},
        "heading": {
            "bold": True,
            "font_size": 10,
            "text_wrap": True,
            "align": "center",
            "bg_color": BAND,
            "bottom": 1,
        },
        "heading small": {
            "bold": True,
            "font_size": 9,
            "text_wrap": True,
            "align": "center",
            "bg_color": BAND,
            "bottom": 1,
        },
        "heading left": {"bold": True, "font_size": 10, "bg_color": BAND, "bottom": 1, "text_wrap": True},
        "section": {
            "bold": True,
            "font_size": 12,
            "font_color": ACCENT,
            "bottom": 2,
            "bottom_color": ACCENT,
            "valign": "bottom",
            "text_wrap": True,
        },
        "session": {"bold": True, "font_size": 13, "font_color": PAPER, "bg_color": ACCENT, "shrink": True},
        "after": {"bold": True, "font_size": 10, "bg_color": BAND},
        "exercise": {"bold": True, "font_size": 12, "top": 1, "top_color": LINE, "shrink": True},
        "cue": {"font_size": 10, "font_color": SOFT, "text_wrap": True, "valign": "top"},
        "reason": {"font_size": 9, "italic": True, "text_wrap": True, "valign": "top"},
        "said": {"font_size": 10, "bold": True, "font_color": ACCENT, "text_wrap": True, "valign": "top"},
        "key": {"font_color": SOFT, "font_size": 8},
        "set": {**_CELL},
        "set name": {**_CELL, "shrink": True},
        "set wrapped": {**_CELL, "text_wrap": True},
        "set label": {**_CELL, "font_size": 10},
        "number": {**_CELL, **_CENTRE, "num_format": PLAIN},
        "from number": {**_CELL, **_CENTRE, "num_format": f'[<-99999]"–";{PLAIN}'},
        "planned": {**_CELL, **_CENTRE, "num_format": PLAIN, "font_color": SOFT},
        "target": {**_CELL, **_CENTRE, "num_format": PLAIN, "bold": True, "font_size": 12, "shrink": True},
        "one place": {**_CELL, **_CENTRE, "num_format": ONE_PLACE},
        "whole": {**_CELL, **_CENTRE, "num_format": "#,##0"},
        "percent": {**_CELL, **_CENTRE, "num_format": "0.0%"},
        "share": {**_CELL, **_CENTRE, "num_format": "0%"},
        "signed": {**_CELL, **_CENTRE, "num_format": "+0.0;-0.0;0.0"},
        "number or none": {**_CELL, **_CENTRE, "num_format": "General;-General;"},
        "verdict": {**_CELL, "font_size": 10, "indent": 1},
        "date": {**_CELL, "num_format": _LONG_DAY, "align": "left"},
        "day": {**_CELL, **_CENTRE, "num_format": _DAY},
        "clock": {**_CELL, **_CENTRE, "num_format": _CLOCK},
        "duration": {**_CELL, **_CENTRE, "num_format": _DURATION},
        "working": {"font_size": 9, "font_color": SOFT, "num_format": PLAIN},
        "working day": {"font_size": 9, "font_color": SOFT, "num_format": "0"},
        "working text": {"font_size": 9, "font_color": SOFT},
        "typed number": {**_TYPED, **_CENTRE, "num_format": PLAIN, "font_size": 12},
        "typed text": {**_TYPED, "align": "left", "indent": 1},
        "typed note": {**_TYPED, "align": "left", "valign": "top", "indent": 1, "font_size": 9, "text_wrap": True},
        "typed word of a list": {**_TYPED, **_CENTRE, "shrink": True},
        "typed few words": {**_TYPED, **_CENTRE, "font_size": 10, "text_wrap": True},
        "typed date": {**_TYPED, **_CENTRE, "num_format": _DAY},
        "typed clock": {**_TYPED, **_CENTRE, "num_format": _CLOCK},
        "typed duration": {**_TYPED, **_CENTRE, "num_format": _DURATION},
        "typed words": {**_TYPED, "align": "left", "indent": 1, "num_format": "@"},
        "typed word": {**_TYPED, **_CENTRE, "num_format": "@"},
        "typed session": {**_TYPED, "align": "left", "num_format": "@", "bold": True, "font_color": ACCENT},
        "typed long": {**_TYPED, "align": "left", "text_wrap": True, "valign": "top"},
        "typed long day": {**_TYPED, "num_format": _LONG_DAY, "align": "left"},
        "group": {"bold": True, "font_size": 10, "align": "center", "bg_color": BAND, "left": 1, "left_color": LINE},
        "next": {
            "bold": True,
            "font_color": ACCENT,
            "top": 2,
            "top_color": ACCENT,
            "text_wrap": True,
            "valign": "top",
        },
        "two places": {**_CELL, **_CENTRE, "num_format": "0.00"},
        "caution": {"text_wrap": True, "indent": 1, "bg_color": "#FBEAEA", "left": 5, "left_color": "#9B2C2C"},
        "alert": {"bold": True, "font_color": "#7B1E1E", "text_wrap": True, "valign": "top"},
    }
    return {name: {**_BASE, **properties} for name, properties in made.items()}


def marks() -> dict[str, dict[str, Any]]:
    """Name -> what changes of a cell's look while something holds: for the eye, as the text says it, too."""
    return {
        "hurts": {"bold": True, "italic": False, "font_color": "#7B1E1E", "bg_color": "#FBEAEA"},
        "not to be lifted": {"font_strikeout": True, "font_color": SOFT, "bg_color": PAPER},
    }


TYPED_AS: dict[type, str] = {
    date: "typed date", datetime: "typed date", time: "typed clock", timedelta: "typed duration",
}  # fmt: skip
"""Style of a typed cell that holds a day or a time, whatever it was meant for: else it would show a bare number."""

PAPER_SIZE = {"A4": 9, "Letter": 1}
"""The number that spreadsheets have for a paper."""

USUAL_PAPER: dict[str, Paper] = {"kg": "A4", "lb": "Letter"}
"""By unit, where the lifter's language names no region."""


def paper_number(unit: str) -> int:
    """The paper of the language spoken, else of the unit, as spreadsheets number it."""
    return PAPER_SIZE[spoken_tag().paper or USUAL_PAPER[unit]]
