"""Training blocks as spreadsheet workbooks, for strength coaches and their lifters.

The public functions, one a command: `templates`, `new`, `schema`, `build` (`rebuild` for its `--carry`),
`convert`, `rehearse`, `read`, `review`, `next_block` (also `next`), `season`, `meet`, `demo`; for a whole practice
`init`, `collect`, `overview`, `mail`; for programs
`targets`, `attempts`, `next_attempt`, `points`, `load_spec` and `load_season`. They are loaded when first used,
so that `import blockbook` costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

_HOME = {
    "BlockbookError": "blockbook.errors",
    "Specification": "blockbook.spec.models",
    "attempts": "blockbook.training.attempt_tables",
    "build": "blockbook.api",
    "collect": "blockbook.practice.collecting",
    "convert": "blockbook.api",
    "demo": "blockbook.api",
    "init": "blockbook.practice.starting",
    "load_season": "blockbook.spec.loading",
    "load_spec": "blockbook.plan.files",
    "mail": "blockbook.practice.drafting",
    "meet": "blockbook.api",
    "new": "blockbook.api",
    "next_attempt": "blockbook.training.attempt_tables",
    "next_block": "blockbook.api",
    "overview": "blockbook.practice.standing",
    "points": "blockbook.training.points",
    "read": "blockbook.api",
    "rebuild": "blockbook.api",
    "rehearse": "blockbook.api",
    "review": "blockbook.api",
    "schema": "blockbook.spec.schemas",
    "season": "blockbook.api",
    "targets": "blockbook.api",
    "templates": "blockbook.spec.templates",
}

__all__ = [*_HOME, "next"]  # noqa: PLE0604


def __getattr__(name: str) -> Any:
    if name == "next":
        name = "next_block"
    if name not in _HOME:
        raise AttributeError(f"blockbook has no {name}")
    return getattr(import_module(_HOME[name]), name)
