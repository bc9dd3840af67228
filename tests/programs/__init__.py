"""Real programs do to our workbooks what people do with them; what was typed must come back whole."""
