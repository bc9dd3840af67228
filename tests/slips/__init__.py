"""How many slips are found, and how often a clean log is doubted: python -m tests.slips."""
