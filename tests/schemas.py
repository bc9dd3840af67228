"""Make the JSON Schemas that ship anew: `python -m tests.schemas`, after a change of a model."""

from __future__ import annotations

import json
from pathlib import Path

from pydantic import BaseModel

from blockbook.spec import schemas
from blockbook.spec.models import Specification
from blockbook.spec.season import Season
from blockbook.spec.settings import Settings

MODELS: dict[str, type[BaseModel]] = {
    schemas.SPECIFICATION: Specification,
    schemas.SEASON: Season,
    schemas.SETTINGS: Settings,
}


def made(model: type[BaseModel]) -> str:
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    return json.dumps({**head, **model.model_json_schema()}, indent=1) + "\n"


if __name__ == "__main__":
    for name, model in MODELS.items():
        (Path(schemas.__file__).parent / name).write_text(made(model), "utf-8", newline="\n")
