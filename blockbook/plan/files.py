"""A specification's file, YAML or plan workbook: the suffix says which."""

from __future__ import annotations

from pathlib import Path

from blockbook.errors import BlockbookError
from blockbook.intake.kinds import SPREADSHEET_SUFFIXES
from blockbook.intake.opening import open_grids
from blockbook.intake.other_workbooks import is_plan
from blockbook.plan.reading import open_plan, read_plan
from blockbook.spec import loading
from blockbook.spec.models import Specification
from blockbook.training.doubts import doubts

YAML_SUFFIXES = (".yaml", ".yml")


def is_workbook(path: str | Path) -> bool:
    """Whether a file's name says that it is a workbook and not YAML."""
    return Path(path).suffix.lower() in SPREADSHEET_SUFFIXES


def load_spec(path: str | Path) -> Specification:
    """Read a block specification from a YAML file or a plan workbook.

    Raises BlockbookError with one line a mistake: file, line and field or sheet and cell, what is wrong
    and what would be right.
    """
    path = Path(path)
    if is_workbook(path):
        return read_plan(path)
    try:
        return loading.load_spec(path)
    except BlockbookError as error:
        if path.suffix.lower() in YAML_SUFFIXES or not path.is_file():
            raise
        raise BlockbookError(
            f"{error}\n{path}: is it a specification? One is YAML text, such as block.yaml, or a plan workbook, such "
            "as plan.xlsx."
        ) from None


def remarks_on(path: str | Path) -> tuple[str, ...]:
    """What had to be understood in a plan workbook that can be read: sentences, each with its cell; none of YAML."""
    path = Path(path)
    return open_plan(path).remarks if is_workbook(path) else ()


def looked_at(path: str | Path, spec: Specification) -> tuple[str, ...]:
    """The same, then what in the specification itself looks like a slip; of a plan workbook each with its cell."""
    if not is_workbook(path):
        return tuple(doubt.said for doubt in doubts(spec))
    plan = open_plan(path)
    return (*plan.remarks, *(plan.told(*doubt) for doubt in doubts(spec)))


def is_specification(path: str | Path) -> bool:
    """Whether a file is a specification and not a workbook that came back."""
    path = Path(path)
    return path.suffix.lower() in YAML_SUFFIXES or (is_workbook(path) and is_plan(open_grids(path)))


def refuse_other_workbooks(out: Path) -> None:
    """Raise BlockbookError for a kind of workbook that is read but not written."""
    if is_workbook(out) and out.suffix.lower() != ".xlsx":
        raise BlockbookError(f"{out}: a plan workbook is written as .xlsx. Change the name's end.")
