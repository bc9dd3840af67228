"""Damaged and hostile files through the public reading functions: `python -m tests.fuzz`."""
