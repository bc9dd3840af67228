"""What people do to a workbook, and what must still be known of it afterwards. All of it is invented."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from blockbook.workbook.layout import COLUMN, HEADING_ROW, MANIFEST, PLATES, START, SUMMARY, TABLES, WORKINGS
from tests.intake.small_block import BENCH, PRESS, TOP, sessions_of
from tests.programs.jobs import EXCELJS, GNUMERIC, LIBREOFFICE, OPENPYXL, SHEETJS, Step
from tests.programs.sent import place_of, typed, workbook

SAVED = {
    LIBREOFFICE: ("xlsx", "ods", "xls", "csv"),
    GNUMERIC: ("xlsx", "ods", "xls", "csv"),
    EXCELJS: ("xlsx", "csv"),
    SHEETJS: ("xlsx", "ods", "csv"),
    OPENPYXL: ("xlsx",),
}
"""What each program can save."""

W1, W2 = "Week 1", "Week 2"
KEY, LABEL, TODAY, LOAD, REPS, EFFORT, NOTE, ESTIMATE, VERDICT = (
    COLUMN[name]
    for name in ("key", "label", "target", "load", "reps", "rpe", "note", "one_rep_max", "verdict")
)  # fmt: skip
BACK_OFFS = ("w1.lower.squat.2", "w1.lower.squat.3")
TOP_ROW, FIRST_BACK_OFF, LAST_BACK_OFF = (place_of(f"{key}/load").row for key in (TOP, *BACK_OFFS))


@dataclass(frozen=True)
class Case:
    """One thing done to the file that was sent, by each of some programs, saved in each of some kinds.

    typed: what an input holds after it instead of what was sent; None: nothing, and it was never typed.
    guessed: inputs that can only be found by guessing; gone: deleted with their row, column or sheet.
    Both must be told. unknowable: inputs of which nobody can say any more which set they belong to.
    rivals: a second value for an input, typed in another copy of its sheet. beside: texts typed where
    nothing is asked. with_spec: the coach passes the specification, as the file does not have it.
    """

    what: str
    by: tuple[str, ...]
    steps: tuple[Step, ...] = ()
    kinds: tuple[str, ...] = ("xlsx",)
    typed: Mapping[str, Any] = field(default_factory=dict)
    guessed: frozenset[str] = frozenset()
    gone: frozenset[str] = frozenset()
    unknowable: frozenset[str] = frozenset()
    rivals: Mapping[str, Any] = field(default_factory=dict)
    beside: tuple[str, ...] = ()
    with_spec: bool = False

    @property
    def expected(self) -> dict[str, Any]:
        """Input name -> what was typed and can still be in the file."""
        every = {**typed(), **self.typed}
        return {name: value for name, value in every.items() if value is not None and name not in self.gone}


def inputs_at(
    sheet: str, *, rows: tuple[int, ...] = (), column: int | None = None, sets: bool = False
) -> frozenset[str]:
    """The filled inputs that stand on a sheet: in some of its rows, in one column, or those of sets only."""
    return frozenset(
        name
        for name in typed()
        if (place := place_of(name)).sheet == sheet
        and (not rows or place.row in rows)
        and (column is None or ("/" in name and place.column == column))
        and (not sets or "/" in name)
    )


BINARY = tuple(Case("saved", (SHEETJS,), kinds=(kind,)) for kind in ("xls", "xlsb"))
"""It cuts long texts in .xls, so the manifest is damaged, and writes .xlsb in a way that hardly anything reads."""


def _saved() -> Iterator[Case]:
    for program, kinds in SAVED.items():
        yield Case("saved", (program,), kinds=kinds)


# Sheets -----------------------------------------------------------------------------------------

ALL_SHEETS = (START, W1, W2, SUMMARY, PLATES, TABLES, WORKINGS, MANIFEST)


Table = tuple[str, str, int, int]
"""A table for `split`: its sheet's name, its title, first and last row."""


def _tables() -> tuple[Table, ...]:
    """Each session of week 1 as a table."""
    return tuple(
        (f"{place.session.name} day", f"Robin, week 1, {place.session.name}", place.title_row, place.load_row)
        for place in sessions_of(workbook())
        if place.sheet == W1
    )


def _tables_by_exercise() -> tuple[Table, ...]:
    """Each exercise of week 1, and what is noted after a session, as a table of its own."""
    tables: list[Table] = []
    for place in (place for place in sessions_of(workbook()) if place.sheet == W1):
        session = place.session.name
        for line in place.lines:
            name = line.line.exercise.name.capitalize()
            tables.append((name, f"Week 1, {session}: {name}", line.title_row, max(line.set_rows.values())))
        date_row = place.input_rows["date"]
        tables.append((f"Before {session}", f"Week 1, {session}: before the session", date_row, date_row))
        rows = [row for row in place.input_rows.values() if row > place.after_row]
        tables.append((f"After {session}", f"Week 1, {session}: after the session", min(rows), max(rows)))
    return tuple(tables)


SHEETS = (
    Case(
        "a sheet renamed, one moved to the front",
        (LIBREOFFICE, SHEETJS),
        (("rename", W1, "Robin's first"), ("move", W2, 0)),
    ),
    Case("every sheet renamed", (OPENPYXL,), tuple(("rename", name, f"S{n}") for n, name in enumerate(ALL_SHEETS))),
    Case("hidden sheets shown", (EXCELJS,), (("show sheets",),)),
    Case("a week's sheet duplicated", (OPENPYXL,), (("duplicate", W1, "Week 1 (2)"),)),
    Case(
        "a week's sheet duplicated and gone on with in the copy",
        (SHEETJS, OPENPYXL),
        (("duplicate", W1, "Week 1 (2)"), ("enter", "Week 1 (2)", TOP_ROW, LOAD, 107.5)),
        rivals={f"{TOP}/load": 107.5},
    ),
    Case("a week's sheet deleted", (EXCELJS,), (("delete sheet", W2),), gone=inputs_at(W2)),
    Case(
        "all but the weeks deleted",
        (SHEETJS,),
        tuple(("delete sheet", name) for name in (START, SUMMARY, PLATES, TABLES, WORKINGS)),
    ),
    Case("the manifest deleted", (SHEETJS,), (("delete sheet", MANIFEST),), with_spec=True),
    Case("the manifest typed over", (OPENPYXL,), (("enter", MANIFEST, 3, 0, "nothing to see"),), with_spec=True),
    Case(
        "one week sent alone",
        (EXCELJS,),
        tuple(("delete sheet", name) for name in ALL_SHEETS if name != W1),
        kinds=("csv",),
        gone=inputs_at(W2),
        with_spec=True,
    ),
    Case("a table a sheet below a title", (SHEETJS,), (("split", W1, _tables(), KEY),)),
    Case(
        "a table a sheet below a title, without keys",
        (SHEETJS,),
        (("split", W1, _tables(), LABEL),),
        guessed=inputs_at(W1),
    ),
    Case(
        "an exercise a sheet below a title, without keys",
        (SHEETJS,),
        (("split", W1, _tables_by_exercise(), LABEL),),
        guessed=inputs_at(W1),
    ),
)

# Rows -------------------------------------------------------------------------------------------

_FIRST, _LAST = HEADING_ROW + 1, max(place_of(name).row for name in inputs_at(W1))
SQUAT_ROWS = (TOP_ROW, FIRST_BACK_OFF, LAST_BACK_OFF)

ROWS = (
    Case("an empty row inserted between sets", (EXCELJS,), (("insert rows", W1, LAST_BACK_OFF, 1),)),
    Case("rows inserted on top", (OPENPYXL,), (("insert rows", W1, 0, 3), ("insert rows", W2, 0, 1))),
    Case(
        "a set more than asked, in an inserted row",
        (LIBREOFFICE, SHEETJS),
        (
            ("insert rows", W1, LAST_BACK_OFF + 1, 1),
            ("enter", W1, LAST_BACK_OFF + 1, LOAD, 61.25),
            ("enter", W1, LAST_BACK_OFF + 1, REPS, 14),
            ("enter", W1, LAST_BACK_OFF + 1, EFFORT, 9.5),
            ("enter", W1, LAST_BACK_OFF + 1, NOTE, "one more for fun"),
        ),
        beside=("61.25", "14", "9.5", "one more for fun"),
    ),
    Case(
        "a set's row deleted",
        (LIBREOFFICE, EXCELJS),
        (("delete rows", W1, FIRST_BACK_OFF, 1),),
        gone=inputs_at(W1, rows=(FIRST_BACK_OFF,)),
    ),
    Case("the heading row deleted", (SHEETJS,), (("delete rows", W1, HEADING_ROW, 1),)),
    Case(
        "rows sorted by load",
        (LIBREOFFICE,),
        (("sort", W1, LOAD, KEY, (_FIRST, _LAST)), ("sort", W2, LOAD, KEY, (_FIRST, 53))),
        kinds=("ods",),
    ),
    Case("rows sorted by their texts", (LIBREOFFICE,), (("sort", W1, LABEL, KEY, (_FIRST, _LAST)),)),
    Case(
        "rows sorted by load while the hidden keys stayed",
        (LIBREOFFICE,),
        (("sort", W1, LOAD, LABEL, (_FIRST, _LAST)),),
        guessed=inputs_at(W1),
        unknowable=inputs_at(W1),
    ),
    Case(
        "the sets of one exercise sorted while the hidden keys stayed",
        (LIBREOFFICE,),
        (("sort", W1, LOAD, LABEL, (TOP_ROW, LAST_BACK_OFF)),),
        guessed=inputs_at(W1, rows=SQUAT_ROWS),
        unknowable=inputs_at(W1, rows=SQUAT_ROWS[1:]),  # its label tells the top set
    ),
    Case(
        "rows sorted by load, then the keys deleted",
        (LIBREOFFICE,),
        (("sort", W1, LOAD, KEY, (_FIRST, _LAST)), ("delete columns", W1, KEY, 1)),
        guessed=inputs_at(W1),
        unknowable=inputs_at(W1),
    ),
    Case("rows filtered", (LIBREOFFICE,), (("filter rows", W1, LOAD, 90),)),
    Case("rows hidden", (EXCELJS,), (("hide rows", W1, TOP_ROW, 2),)),
)

# Columns ----------------------------------------------------------------------------------------

IN_GERMAN = {LOAD: "Gewicht", REPS: "Wdh.", EFFORT: "RPE", NOTE: "Bemerkung"}
IN_OTHER_WORDS = {LOAD: "Weight", REPS: "Reps", EFFORT: "RPE", NOTE: "Comments"}


def _headings(words: Mapping[int, str]) -> tuple[Step, ...]:
    return tuple(("enter", W1, HEADING_ROW, column, word) for column, word in words.items())


COLUMNS = (
    Case("columns inserted on the left", (EXCELJS,), (("insert columns", W1, KEY, 2),)),
    Case("a column inserted between load and reps", (SHEETJS, OPENPYXL), (("insert columns", W1, REPS, 1),)),
    Case("the note moved before the load", (LIBREOFFICE,), (("move column", W1, NOTE, LOAD),)),
    Case("load, reps and effort in another order", (LIBREOFFICE,), (("move column", W1, EFFORT, LOAD),)),
    Case("the keys moved to the right", (SHEETJS,), (("move column", W1, KEY, VERDICT + 1),)),
    Case("hidden columns shown", (EXCELJS,), (("show columns", W1),)),
    Case("the note hidden", (OPENPYXL,), (("hide columns", W1, NOTE, 1),)),
    Case(
        "the key column deleted",
        (EXCELJS,),
        (("delete columns", W1, KEY, 1), ("delete columns", W2, KEY, 1)),
        guessed=inputs_at(W1) | inputs_at(W2),
    ),
    Case("the key column cleared", (OPENPYXL,), (("clear column", W1, KEY),), guessed=inputs_at(W1)),
    *(
        Case("the key column deleted", (by,), (("delete columns", W1, KEY, 1),), kinds=(kind,), guessed=inputs_at(W1))
        for by, kind in ((LIBREOFFICE, "ods"), (SHEETJS, "csv"))
    ),
    Case("the note deleted", (SHEETJS,), (("delete columns", W1, NOTE, 1),), gone=inputs_at(W1, column=NOTE)),
    Case("the effort deleted", (LIBREOFFICE,), (("delete columns", W1, EFFORT, 1),), gone=inputs_at(W1, column=EFFORT)),
    Case("headings in other words", (EXCELJS,), _headings(IN_OTHER_WORDS)),
    Case(
        "headings in German, keys cleared",
        (OPENPYXL,),
        (*_headings(IN_GERMAN), ("clear column", W1, KEY)),
        guessed=inputs_at(W1),
    ),
    Case(
        "headings in German, a column inserted between load and reps",
        (SHEETJS,),
        (*_headings(IN_GERMAN), ("insert columns", W1, REPS, 1)),
        guessed=inputs_at(W1, sets=True),
    ),
)

# Cells ------------------------------------------------------------------------------------------

_BACK_OFF_LOADS = [typed()[f"{key}/load"] for key in BACK_OFFS]

CELLS = (
    Case(
        "the note merged with the cells beside it",
        (EXCELJS,),
        (("merge", W1, (TOP_ROW, NOTE), (TOP_ROW, NOTE + 1)),),
    ),
    Case(
        "the load of two sets in one merged cell",
        (OPENPYXL,),
        (("merge", W1, (FIRST_BACK_OFF, LOAD), (LAST_BACK_OFF, LOAD)),),
        typed={f"{BACK_OFFS[1]}/load": None},
    ),
    Case(
        "formulas typed over with numbers",
        (EXCELJS,),
        (("enter", W1, TOP_ROW, TODAY, 96.25), ("enter", W1, TOP_ROW, ESTIMATE, 118.75)),
        beside=("96.25", "118.75"),
    ),
    Case(
        "loads typed where the target stands",
        (SHEETJS, OPENPYXL),
        tuple(
            step
            for row, load in zip((FIRST_BACK_OFF, LAST_BACK_OFF), (91.25, 93.75), strict=True)
            for step in (("enter", W1, row, TODAY, load), ("enter", W1, row, LOAD, None))
        ),
        typed={f"{BACK_OFFS[0]}/load": 91.25, f"{BACK_OFFS[1]}/load": 93.75},
        guessed=frozenset(f"{key}/load" for key in BACK_OFFS),
    ),
    Case("everything pasted as text", (LIBREOFFICE,), (("paste as text", W1),), kinds=("ods",)),
    Case("everything pasted as text", (SHEETJS,), (("paste as text", W1), ("paste as text", W2))),
    Case(
        "a day where 8-10 was typed",
        (EXCELJS, SHEETJS),
        (("enter day", W1, place_of(f"{PRESS}/reps").row, REPS, "2027-08-10"),),
        typed={f"{PRESS}/reps": date(2027, 8, 10)},
    ),
    Case(
        "comments on cells",
        (EXCELJS, SHEETJS, OPENPYXL),
        (
            ("comment", W1, TOP_ROW, LOAD, "belt was too tight"),
            ("comment", W1, place_of(f"{BENCH}/reps").row, REPS, "spotter touched it"),
            ("comment", W1, place_of("w1.lower.sleep").row, LOAD, "neighbours had a party"),
        ),
        beside=("belt was too tight", "spotter touched it", "neighbours had a party"),
    ),
    Case(
        "comments on cells",
        (LIBREOFFICE,),
        (("comment", W1, TOP_ROW, LOAD, "belt was too tight"),),
        kinds=("ods",),
        beside=("belt was too tight",),
    ),
    Case(
        "a remark typed beside the table",
        (SHEETJS,),
        (("enter", W1, TOP_ROW, 24, "borrowed a belt"),),
        beside=("borrowed a belt",),
    ),
)

CASES = (*_saved(), *SHEETS, *ROWS, *COLUMNS, *CELLS)
