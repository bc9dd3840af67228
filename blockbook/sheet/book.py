"""A workbook as data: sheets of cells that hold values, inputs or formulas."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cache, lru_cache
from typing import Any, NamedTuple, TypeAlias

from blockbook.formula.definition import Definition
from blockbook.languages import say


class Cell(NamedTuple):
    """Where a cell stands. row and column count from 0."""

    sheet: str
    row: int
    column: int

    @property
    def address(self) -> str:
        """A1-style address within its sheet."""
        return f"{column_letters(self.column)}{self.row + 1}"


class Run(NamedTuple):
    """A run of cells in one column, first and last row included."""

    sheet: str
    first_row: int
    last_row: int
    column: int

    @property
    def is_one_cell(self) -> bool:
        return self.first_row == self.last_row

    def cells(self) -> tuple[Cell, ...]:
        return _cells_of(self)


class FixedRun(Run):
    """A run that stays where it is when its formula is copied to another row: "C$8:C$60"."""

    __slots__ = ()


class RunDownHere(Run):
    """A run whose last row moves along when its formula is copied to another: "C$8:C12"."""

    __slots__ = ()


@lru_cache(maxsize=8192)
def _cells_of(run: Run) -> tuple[Cell, ...]:
    return tuple([Cell(run.sheet, row, run.column) for row in range(run.first_row, run.last_row + 1)])


class Table(NamedTuple):
    """Columns of equal length side by side, first and last row and column included."""

    sheet: str
    first_row: int
    last_row: int
    first_column: int
    last_column: int

    @property
    def columns(self) -> tuple[Run, ...]:
        return tuple(
            Run(self.sheet, self.first_row, self.last_row, column)
            for column in range(self.first_column, self.last_column + 1)
        )


Reference: TypeAlias = "Cell | Run | Table | tuple[Cell, ...] | float | int | str"
"""What a name in a definition stands for: a cell, a run, a table, several cells, or a constant."""


class Formula(NamedTuple):
    """references: what the names of the definition stand for, in their order."""

    definition: Definition
    references: tuple[Reference, ...]


class Input(NamedTuple):
    """A cell that the person fills in; `name` says which quantity it is."""

    name: str


Content: TypeAlias = "float | int | str | date | Formula | Input | None"


@dataclass(frozen=True)
class Validation:
    """What a program offers or warns about on entry. It never refuses: nothing typed is lost."""

    cells: tuple[Cell, ...]
    options: Mapping[str, Any]


@dataclass(frozen=True)
class Mark:
    """How cells of a row look while another cell of the sheet holds a number above 0: a style of `looks.marks`.

    last_row: where they stand in several rows beneath one another.
    """

    when: Cell
    style: str
    row: int
    first: int
    last: int
    last_row: int


@dataclass
class Sheet:
    """One sheet: contents and style names by (row, column), and how it is laid out.

    name: what the program calls it; tab: what its tab says, in the language of the book.
    """

    name: str
    tab: str = ""
    contents: dict[tuple[int, int], Content] = field(default_factory=dict)
    styles: dict[tuple[int, int], str] = field(default_factory=dict)
    merges: list[tuple[int, int, int]] = field(default_factory=list)
    widths: dict[int, float] = field(default_factory=dict)
    heights: dict[int, float] = field(default_factory=dict)
    folded_columns: list[tuple[int, int]] = field(default_factory=list)
    hidden_columns: tuple[int, ...] = ()
    validations: list[Validation] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)
    charts: list[Chart] = field(default_factory=list)
    frozen: tuple[int, int] = (0, 0)
    repeat_rows: tuple[int, int] | None = None
    repeat_columns: tuple[int, int] | None = None
    kept_together: list[list[tuple[int, int]]] = field(default_factory=list)
    """Wholes not to be torn by the end of a page, each as first and last rows of its parts, between which it may be."""
    printed_to: tuple[int, int] | None = None
    """The last row and column that are printed; else as far as anything stands, and as texts are wide."""
    printed: bool = True
    """Whether it is printed with the others; what is too wide for any paper is for the screen."""
    landscape: bool = False
    pages_wide: int = 1
    one_page: bool = False
    hidden: bool = False
    very_hidden: bool = False
    protected: bool = True

    def fill(self, row: int, column: int, content: Content, style: str) -> None:
        place = (row, column)
        self.contents[place] = content
        self.styles[place] = style

    def put(self, row: int, column: int, content: Content, style: str = "text") -> Cell:
        self.fill(row, column, content, style)
        return Cell(self.name, row, column)

    def formula(
        self,
        row: int,
        column: int,
        definition: Definition,
        names: Mapping[str, Reference],
        style: str = "text",
    ) -> Cell:
        """names: what the names of the definition stand for; others may be among them."""
        references = tuple([names[name] for name in definition.names])
        return self.put(row, column, Formula(definition.spoken(), references), style)

    def across(self, row: int, first: int, last: int, content: Content, style: str) -> None:
        """A content that spans the columns from first to last, joined."""
        self.put(row, first, content, style)
        for column in range(first + 1, last + 1):
            self.fill(row, column, None, style)
        self.merge(row, first, last)

    def title(self, text: str, last: int) -> None:
        """The title bar of a sheet."""
        self.across(0, 0, last, text, "title")
        self.heights[0] = 26

    def merge(self, row: int, first: int, last: int) -> None:
        """Join the cells of a row from the first to the last column."""
        if first < last:
            self.merges.append((row, first, last))


@dataclass(frozen=True)
class Series:
    name: str
    categories: tuple[str, int, int, int, int]
    values: tuple[str, int, int, int, int]


@dataclass(frozen=True)
class Chart:
    """A native chart over weeks. Ranges are (sheet, first row, first column, last row, last column); size in pixels.

    from_zero: whether the axis begins at 0, so that columns are as high as their numbers; near_lowest: whether it
    begins near the lowest number, so that lines of numbers that stay are seen to move; else the program decides.
    """

    kind: str
    title: str
    description: str
    y_title: str
    series: tuple[Series, ...]
    row: int
    column: int
    width: int
    height: int
    from_zero: bool = False
    near_lowest: bool = False


@dataclass
class Book:
    """A whole workbook. `inputs` finds an input's cell by its name."""

    sheets: dict[str, Sheet] = field(default_factory=dict)
    inputs: dict[str, Cell] = field(default_factory=dict)
    about: str = ""
    """Whose it is and what: at the foot of every printed page, before the sheet's name; else the file's name."""

    def add(self, name: str, tab: str | None = None) -> Sheet:
        sheet = Sheet(name, tab or say(name))
        self.sheets[name] = sheet
        return sheet

    @property
    def tabs(self) -> dict[str, str]:
        """Sheet name -> what its tab says."""
        return {name: sheet.tab or name for name, sheet in self.sheets.items()}

    def put_input(self, sheet: Sheet, row: int, column: int, name: str, style: str) -> Cell:
        cell = sheet.put(row, column, Input(name), style)
        self.inputs[name] = cell
        return cell

    def formulas(self) -> Iterator[tuple[Cell, Formula]]:
        for sheet in self.sheets.values():
            for (row, column), content in sheet.contents.items():
                if isinstance(content, Formula):
                    yield Cell(sheet.name, row, column), content


_AS_NAMED: Mapping[str, str] = {}


def formula_text(formula: Formula, sheet: str, tabs: Mapping[str, str] = _AS_NAMED) -> str:
    """The formula as written in a cell of the given sheet, with its "=". tabs: as `Book.tabs`."""
    texts = [reference_text(reference, sheet, tabs) for reference in formula.references]
    return "=" + formula.definition.formula(dict(zip(formula.definition.names, texts, strict=True)))


def reference_text(reference: Reference, sheet: str, tabs: Mapping[str, str] = _AS_NAMED) -> str:
    match reference:
        case Cell():
            return _prefix(reference.sheet, sheet, tabs) + reference.address
        case Run(name, first, last, column):
            letters = column_letters(column)
            from_row = "$" if isinstance(reference, (FixedRun, RunDownHere)) else ""
            to_row = "$" if isinstance(reference, FixedRun) else ""
            return f"{_prefix(name, sheet, tabs)}{letters}{from_row}{first + 1}:{letters}{to_row}{last + 1}"
        case Table(name, first, last, left, right):
            corners = f"{column_letters(left)}{first + 1}:{column_letters(right)}{last + 1}"
            return f"{_prefix(name, sheet, tabs)}{corners}"
        case tuple():
            return ",".join(reference_text(cell, sheet, tabs) for cell in reference)
        case str():
            return '"' + reference.replace('"', '""') + '"'
        case _:
            return f"{reference:.15g}" if reference >= 0 else f"({reference:.15g})"


def _prefix(name: str, here: str, tabs: Mapping[str, str]) -> str:
    return "" if name == here else f"'{tabs.get(name, name)}'!"


@cache
def column_letters(column: int) -> str:
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters
