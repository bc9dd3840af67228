"""Many things at once: in order, each with its own error, and the same bytes as one by one."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from blockbook.api import build_each
from blockbook.errors import BlockbookError
from blockbook.many import each
from tests.intake.small_block import SMALL_BLOCK


def halved(number: int) -> int:
    if number % 2:
        raise BlockbookError(f"{number}: is odd. Take an even one.")
    return number // 2


def ended(number: int) -> None:
    os._exit(number)


@pytest.mark.parametrize("workers", [1, 2])
def test_results_come_in_order_with_each_error_in_its_place(workers: int) -> None:
    came = list(each(halved, range(20), workers))
    assert [number for number, _ in came] == list(range(20))
    assert [str(result) for _, result in came[:4]] == [
        "0",
        "1: is odd. Take an even one.",
        "1",
        "3: is odd. Take an even one.",
    ]
    assert [result for number, result in came if number % 2 == 0] == list(range(10))


def test_a_few_things_are_done_here_one_by_one_as_they_are_asked_for() -> None:
    coming = each(lambda number: number // 2, [4, 1], workers=8)
    assert next(coming) == (4, 2)


def test_a_process_that_the_system_ends_is_one_clear_error() -> None:
    with pytest.raises(BlockbookError, match="run it again for the rest"):
        list(each(ended, range(1, 7), 2))


def test_two_processes_build_the_same_bytes_and_the_same_errors(tmp_path: Path) -> None:
    specs = []
    for number in range(6):
        spec = tmp_path / f"{number}.yaml"
        spec.write_text(SMALL_BLOCK.replace("title: ", f"title: Lifter {min(number, 4)} "), "utf-8")
        specs.append(spec)
    specs[2].write_text(SMALL_BLOCK.replace("bar: 20", "bar: twenty"), "utf-8")
    alone, together = (list(build_each(specs, tmp_path / name, workers=n)) for name, n in (("alone", 1), ("both", 2)))
    assert [isinstance(made, Path) for made in together] == [True, True, False, True, True, False]
    assert "line 13: equipment.bar" in str(together[2])
    assert "another specification of this run" in str(together[5])
    for one, other in zip(alone, together, strict=True):
        if isinstance(one, Path) and isinstance(other, Path):
            assert (one.name, one.read_bytes()) == (other.name, other.read_bytes())
        else:
            assert str(one) == str(other)
