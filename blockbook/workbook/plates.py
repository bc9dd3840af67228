"""The Plates sheet: any load as plates per side, and a load, reps and effort calculator."""

from __future__ import annotations

from blockbook.languages import number_text, say
from blockbook.sheet.book import Book, Reference, Sheet
from blockbook.spec.models import EffortAs, Specification
from blockbook.training.effort import asked_load, asked_load_by_reserve, one_rep_max, one_rep_max_by_reserve
from blockbook.training.loading import ladder, made_load, nearest, plates_for
from blockbook.workbook.layout import PLATES
from blockbook.workbook.tables import Tables

TOOLS = ("plates.load", "from.load", "from.reps", "from.rpe", "to.reps", "to.rpe")
"""Names of the cells a lifter may type in here; they are not part of the log."""

_CALCULATOR: dict[EffortAs, tuple[str, ...]] = {
    "rpe": ("Load you lifted", "Reps you did", "Effort you felt", "Reps you want", "Effort you want"),
    "reps in reserve": ("Load you lifted", "Reps you did", "Reps you had left", "Reps you want", "Reps to leave"),
}


def add_plates(book: Book, spec: Specification, tables: Tables) -> None:
    sheet = book.add(PLATES)
    unit = spec.block.unit
    sheet.widths = {0: 34, 1: 12, 2: 34}
    sheet.title(say("Plates and loads ({unit})", unit=unit), 2)
    _plates_of_a_load(book, sheet, tables)
    _calculator(book, sheet, tables, spec.block.effort_as)
    _all_loads(sheet, spec)


def _plates_of_a_load(book: Book, sheet: Sheet, tables: Tables) -> None:
    barbell = tables.ladders["barbell"]
    _section(sheet, 2, "What goes on the bar")
    sheet.put(3, 0, say("Load wanted"), "text")
    asked = book.put_input(sheet, 3, 1, "plates.load", "typed number")
    sheet.put(4, 0, say("Can be made, not above it"), "text")
    names: dict[str, Reference] = {"load": asked, "loads": barbell}
    made = sheet.formula(4, 1, made_load, names, "target")
    sheet.put(5, 0, say("On each side"), "text")
    sheet.formula(5, 1, plates_for, {**names, "load": made}, "bold")


def _calculator(book: Book, sheet: Sheet, tables: Tables, way: EffortAs) -> None:
    _section(sheet, 7, "From one set to another")
    asked, labels = {}, _CALCULATOR[way]
    for row, (name, label) in enumerate(zip(TOOLS[1:], labels, strict=True), start=8):
        sheet.put(row, 0, say(label), "text")
        asked[name] = book.put_input(sheet, row, 1, name, "typed number")
    sheet.put(13, 0, say("Estimated one-rep maximum"), "text")
    estimate = sheet.formula(13, 1, one_rep_max if way == "rpe" else one_rep_max_by_reserve, {
        "load": asked["from.load"], "reps": asked["from.reps"], "rpe": asked["from.rpe"], "body_load": 0,
        "curve": tables.curve, "estimate_reps_limit": tables.policy["estimate_reps_limit"],
    }, "one place")  # fmt: skip
    sheet.put(14, 0, say("Load for what you want"), "text")
    wanted = sheet.formula(14, 1, asked_load if way == "rpe" else asked_load_by_reserve, {
        "maximum_load": estimate, "reps": asked["to.reps"], "rpe": asked["to.rpe"], "curve": tables.curve,
    }, "one place")  # fmt: skip
    sheet.put(15, 0, say("Nearest on the bar"), "text")
    sheet.formula(15, 1, nearest, {"load": wanted, "loads": tables.ladders["barbell"]}, "target")


def _all_loads(sheet: Sheet, spec: Specification) -> None:
    equipment, unit = spec.equipment, spec.block.unit
    _section(sheet, 17, "Your bar and plates")
    bar, collars = number_text(equipment.bar), number_text(equipment.collars)
    said = "Bar {bar} {unit}, both collars {collars} {unit}" if equipment.collars else "Bar {bar} {unit}"
    sheet.put(18, 0, say(said, bar=bar, unit=unit, collars=collars), "text")
    pairs = ", ".join(f"{number_text(plate)} x {n}" for plate, n in sorted(equipment.plates.items(), reverse=True) if n)
    sheet.put(19, 0, say("Pairs of plates: {pairs}", pairs=pairs), "text")
    rungs = len(ladder("barbell", equipment))
    text = "All {loads} loads that can be made stand on the Tables sheet, with their plates."
    sheet.put(20, 0, say(text, loads=rungs), "soft")


def _section(sheet: Sheet, row: int, text: str) -> None:
    sheet.across(row, 0, 2, say(text), "section")
