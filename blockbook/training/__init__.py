"""The trade's arithmetic: numbers in, numbers out; no files, no cells.

What a workbook calculates is written as definitions (see `blockbook.formula`), so that the
same line is the formula in the sheet, its cached value and the reader's number.
"""
