"""Python's search for cyclic garbage rests while a book is made, and no longer."""

from __future__ import annotations

import gc

import pytest

from blockbook.cycles import no_search_for_cycles


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
        assert gc.get_freeze_count() == kept > 0
    finally:
        gc.unfreeze()
