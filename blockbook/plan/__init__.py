"""The plan workbook: a block's specification as a workbook, for coaches who write in a spreadsheet.

`columns` is the layout, stated once; `cells` how one value stands in a cell; `plan_workbook` writes,
`live` adds what is counted while the coach types, `last_block` what the returned block showed, and
`reading` takes it back into the same model. `files` chooses between YAML and workbook by suffix.
"""
