"""Real spreadsheet programs that say what our formulas should give."""
