"""Simulated meets: attempts of ours against the usual shares of the believed maximum."""
