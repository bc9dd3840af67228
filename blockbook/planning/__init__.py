"""A season outside the workbook: printed, as YAML, as a calendar file, and followed by new blocks."""
