"""A returned file -> the log and what is odd about it.

`opening` is the one door for files from outside: `limits` says how much is read, `kinds` what a
file is, `package`, `excel_workbook`, `sheet_xml`, `binary_cells`, `open_document` and `csv_files`
read it, `returned` is what they give. `cells` understands single cells, `rows`
finds them, `log` is the result, `findings` what can be said about it, `checks` says it.
"""
