"""The plan workbook: a block's specification as a workbook, for coaches who write in a spreadsheet.

`columns` is the layout, stated once; `cells` how one value stands in a cell; `plan_workbook` writes,
`live` adds what is counted while the coach types, `last_block` what the returned block showed. On the way back
`keys` says what a hidden key stands for, `sheet_reading` turns a sheet into plain data, `source` holds them all with
their places and tells mistakes by those, and `reading` makes the model. `files` chooses between YAML and workbook by
suffix.
"""
