"""Spreadsheet formulas as Python expressions: written once, read two ways.

`expression` builds the tree, `functions` says what each spreadsheet function returns,
`definition` turns one expression into formula text and into a Python function.
Nothing here knows what a cell is: an expression speaks of named quantities only.
"""

from blockbook.formula.definition import Definition, definition

__all__ = ["Definition", "definition"]
