"""A specification as a workbook: one module a sheet, one for looks, one that writes.

`layout` states in one place which column holds what and how keys are formed;
`assemble` puts the sheets together; `write` makes the file.
"""
