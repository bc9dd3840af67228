"""Tests. `python3 -m tests` installs what they need and runs them all."""

import os

os.environ["BLOCKBOOK_TODAY"] = "2027-12-31"
# Behind every day that is typed in the tests, and the same whenever and in whatever process they run.
