"""Returned files -> logs and findings.

`opening` is the one door for files from outside: `limits` says how much is read, `kinds` what a
file is, `package`, `excel_workbook`, `sheet_xml`, `binary_cells`, `open_document` and `csv_files`
read it, `returned` is what they give. `sent`, `columns`, `rows` and `recovery` find the rows of
the block again, `copies` merges several files, `cells` and `understanding` say what was typed;
`log` is the result, `findings` what can be said about it, `checks` and `believable` say it;
`reading` goes from paths to logs. `carrying`, `mixed_up`, `earlier` and `carry_report` take a log
into a block that was changed half-way.
"""
