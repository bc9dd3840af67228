"""A quick share of `python -m tests.fuzz`: damaged and hostile files are read or refused, never a traceback."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.fuzz.hostile import HOSTILE
from tests.fuzz.mutations import mutation
from tests.fuzz.running import case, outcome

_QUICK = (
    "cell at", "cell in", "text shared by every cell and", "text of", "text that", "entities", "document", "relations",
    "numbers", "dates", "parts", "the same",
)  # fmt: skip
QUICK = [name for name in HOSTILE if name.startswith(_QUICK)]


@pytest.mark.parametrize("seed", range(60))
def test_a_damaged_file_is_read_or_refused(tmp_path: Path, seed: int) -> None:
    found = outcome(*case(seed), tmp_path)
    assert found.result in ("read", "refused"), found.said


@pytest.mark.parametrize("name", QUICK)
def test_a_hostile_file_is_refused(tmp_path: Path, name: str) -> None:
    found = outcome(*case(-1 - list(HOSTILE).index(name)), tmp_path)
    assert found.result == "refused", found.said


def test_the_same_seed_damages_the_same_way() -> None:
    assert mutation(5) == mutation(5)
