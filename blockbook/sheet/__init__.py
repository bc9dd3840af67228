"""Cells: a workbook as a graph of values, inputs and formulas, and its calculation.

`book` holds sheets and cells, `calculation` computes every formula cell from the inputs.
No file is touched here and no cell is painted.
"""
