"""A log -> what it means: trends, suggestions, the review workbook, the next block."""
