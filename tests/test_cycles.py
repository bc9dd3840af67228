"""Python's search for cyclic garbage rests while a book is made, and no longer."""

from __future__ import annotations

import gc
from pathlib import Path

import pytest

from blockbook.cycles import no_search_for_cycles
from blockbook.intake.reading import read_workbook
from blockbook.workbook.write import block_bytes
from tests.intake.small_block import clean_file, spec_from


def test_the_search_rests_meanwhile_and_goes_on_afterwards() -> None:
    @no_search_for_cycles()
    def fails() -> None:
        with no_search_for_cycles():
            pass
        assert not gc.isenabled()
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fails()
    assert gc.isenabled()


def test_a_host_without_the_search_is_left_without_it() -> None:
    gc.disable()
    try:
        with no_search_for_cycles():
            pass
        assert not gc.isenabled()
    finally:
        gc.enable()


def test_what_a_host_keeps_from_the_search_stays_kept() -> None:
    gc.freeze()
    try:
        kept = gc.get_freeze_count()
        with no_search_for_cycles():
            pass
        assert gc.get_freeze_count() > 0.9 * kept > 0  # what nobody refers to any more goes all the same
    finally:
        gc.unfreeze()


@pytest.mark.parametrize("work", ["build", "read"])
def test_nothing_large_is_left_for_it(tmp_path: Path, work: str) -> None:
    """What holds itself in a circle stays: a book has some 20,000 things, and a process that builds many would grow."""
    path, spec = clean_file(tmp_path), spec_from()

    def done() -> None:
        if work == "build":
            block_bytes(spec)
        else:
            read_workbook(path)

    done()  # what is made once and kept is none of it
    gc.collect()
    gc.freeze()  # what other tests keep is not gone through again
    gc.disable()
    try:
        done()
        assert gc.collect() < 500
    finally:
        gc.enable()
        gc.unfreeze()
