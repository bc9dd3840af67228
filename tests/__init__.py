"""Tests. `python3 -m tests` installs what they need and runs them all."""
