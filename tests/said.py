"""What a command says, for tests that look for a sentence in it."""

from __future__ import annotations

import re

from click.testing import Result


def unwrapped(text: str) -> str:
    """Every message on one line, as it was before it was made to fit 80 columns."""
    return re.sub(r"\n {4,}(?=\S)", " ", text)


def told(result: Result) -> Result:
    """The same, with every message on stderr on one line."""
    if result.stderr_bytes is not None:
        result.stderr_bytes = unwrapped(result.stderr).encode()
    return result
