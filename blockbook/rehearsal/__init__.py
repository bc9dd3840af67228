"""A block tried out on simulated lifters before it is mailed.

`playing` lets lifters fill in a workbook, all at once; `crowd` puts the populations side by
side; `report` says what is likely, `rehearsal_workbook` writes it.
"""
