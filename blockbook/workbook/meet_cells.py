"""What the Meet sheet and the tables behind it are made of: headings, typed cells, columns of numbers and formulas."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from blockbook.formula.definition import Definition
from blockbook.languages import say
from blockbook.sheet.book import Book, Cell, Reference, Run, Table, Validation
from blockbook.training.attempts import AttemptTable
from blockbook.training.loading import Loadable, looked_up

MEET, MEET_TABLES = "Meet", "Meet tables"
LEFT_END, RIGHT_HALF, RIGHT_END = 5, 7, 11
"""The last column of the left half, and the columns of the right one."""


class MeetCells:
    """The two sheets of a meet, and the next free column of the tables."""

    def __init__(self, book: Book) -> None:
        self.book, self.sheet, self.tables = book, book.add(MEET), book.add(MEET_TABLES)
        self._next_column = 0
        self.tables.title(say("Meet tables: nothing to fill in"), 8)
        self.tables.frozen = (2, 0)
        self.tables.hidden = True

    def heads(self, row: int, column: int, texts: tuple[str, ...]) -> None:
        for offset, text in enumerate(texts):
            self.sheet.put(row, column + offset, say(text), "heading small" if offset else "heading left")

    def typed(self, row: int, column: int, name: str, style: str) -> Cell:
        return self.book.put_input(self.sheet, row, column, name, style)

    def offer(self, cells: tuple[Cell, ...], options: tuple[str, ...]) -> None:
        self.sheet.validations.append(Validation(cells, {"validate": "list", "source": list(options)}))

    def column(self, heading: str, values: Sequence[float | str]) -> Run:
        """A column of constants on the tables sheet."""
        column = self.head(heading)
        for row, value in enumerate(values, start=2):
            self.tables.put(row, column, value, "working text" if isinstance(value, str) else "working")
        return Run(MEET_TABLES, 2, 1 + len(values), column)

    def worked(self, heading: str, formulas: Sequence[tuple[Definition, Mapping[str, Reference]]]) -> Run:
        """A column of formulas on the tables sheet."""
        column = self.head(heading)
        for row, (made, names) in enumerate(formulas, start=2):
            self.tables.formula(row, column, made, names, "working")
        return Run(MEET_TABLES, 2, 1 + len(formulas), column)

    def head(self, heading: str) -> int:
        column = self._next_column
        self._next_column += 1
        self.tables.put(1, column, heading, "heading")
        self.tables.widths[column] = 11
        return column

    def table(self, heading: str, table: AttemptTable) -> dict[str, Run]:
        named = {"weights": table.weights, "chances": table.chances, "after_good": table.after_good,
                 "above": table.above}  # fmt: skip
        says = ("kg", "strong enough", "2nd after good", "3rd above best")
        return {name: self.column(f"{heading}: {said}", values)
                for (name, values), said in zip(named.items(), says, strict=True)}  # fmt: skip

    def loads(self, rungs: Sequence[Loadable]) -> Table:
        """A ladder of loads to look up."""
        at_least, made, above, sides = looked_up(rungs)
        first = self.column("From", at_least)
        self.column("Loads", made)
        self.column("Next above", above)
        last = self.column("On each side", sides)
        return Table(MEET_TABLES, first.first_row, last.last_row, first.column, last.column)
