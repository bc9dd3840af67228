"""The JSON Schemas of what a coach writes in YAML, for editors. They are files, since making them loads every model.

`python -m tests.schemas` makes them anew from the models; a test holds them to be current.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

SPECIFICATION = "blockbook.schema.json"
SEASON = "blockbook-season.schema.json"
SETTINGS = "blockbook-settings.schema.json"

SCHEMA_LINE = f"# yaml-language-server: $schema={SPECIFICATION}"
SEASON_SCHEMA_LINE = f"# yaml-language-server: $schema={SEASON}"
"""First lines by which an editor finds the schema beside the file."""


def schema_text(name: str = SPECIFICATION) -> str:
    return (Path(__file__).parent / name).read_text("utf-8")


def schema() -> dict[str, Any]:
    """The specification's JSON Schema (draft 2020-12)."""
    import json  # noqa: PLC0415  # the first lines are needed to list the templates, which loads as little as can be

    made: dict[str, Any] = json.loads(schema_text())
    return made
