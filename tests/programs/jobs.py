"""What is to be done to the workbook that was sent, and the programs that do it: one process for all jobs of one."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

import pytest

from tests.programs import openpyxl_steps

LIBREOFFICE, GNUMERIC, EXCELJS, SHEETJS, OPENPYXL = "LibreOffice", "Gnumeric", "ExcelJS", "SheetJS", "openpyxl"
NODE_PACKAGES = ("exceljs@4.4.0", "xlsx@0.18.5")
"""From npm, in fixed versions; `xlsx` is SheetJS."""

Step = tuple[Any, ...]
"""What is done and with what, plain enough for JSON: ("rename", "Week 1", "Monday"). Rows and columns from 0."""

_Found = TypeVar("_Found")
_HERE = Path(__file__).resolve().parent
_GNUMERIC_TYPES = {
    "xlsx": "Gnumeric_Excel:xlsx2",
    "ods": "Gnumeric_OpenCalc:odf",
    "xls": "Gnumeric_Excel:excel_biff8",
    "csv": "Gnumeric_stf:stf_csv",
}


@dataclass(frozen=True)
class Job:
    """One file: `source` opened, `steps` done, saved as `kind` in `result`, which for csv is a folder."""

    source: str
    steps: tuple[Step, ...]
    kind: str
    result: str


def carry_out(program: str, jobs: Sequence[Job]) -> None:
    """Let the program do all the jobs. Where it is missing, the test is skipped loudly; in CI it fails."""
    match program:
        case "LibreOffice":
            _need("soffice", shutil.which("soffice"))
            _run([_need("python3-uno", python_with_uno()), str(_HERE / "libreoffice.py")], jobs)
        case "ExcelJS" | "SheetJS":
            node = _need("node", shutil.which("node"))
            _need(f"{program} (from npm)", node_packages())
            _run([node, str(_HERE / f"{program.lower()}.mjs")], jobs)
        case "Gnumeric":
            ssconvert = _need("ssconvert", shutil.which("ssconvert"))
            for job in jobs:
                _convert(ssconvert, job)
        case "openpyxl":
            for job in jobs:
                openpyxl_steps.carry_out(job.source, job.steps, job.result)


def _need(program: str, found: _Found | None) -> _Found:
    if found:
        return found
    message = f"{program} is missing: files from it were NOT read (run `python -m tests` to install it)"
    if os.environ.get("CI"):
        pytest.fail(message)
    pytest.skip(message)


def _run(command: list[str], jobs: Sequence[Job]) -> None:
    path = Path(jobs[0].result).parent / "jobs.json"
    path.write_text(json.dumps([asdict(job) for job in jobs]), "utf-8")
    done = subprocess.run([*command, str(path)], check=False, capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr


def _convert(ssconvert: str, job: Job) -> None:
    command = [ssconvert, "-T", _GNUMERIC_TYPES[job.kind], job.source]
    if job.kind == "csv":
        Path(job.result).mkdir()
        command = [*command, "-S", f"{job.result}/%s.csv"]
    else:
        command.append(job.result)
    subprocess.run(command, check=True, capture_output=True, timeout=120)


@cache
def python_with_uno() -> str | None:
    """A Python that can talk to LibreOffice: ours, the system's or LibreOffice's own."""
    beside = Path(shutil.which("soffice") or "soffice").resolve().with_name("python")
    for python in (sys.executable, "/usr/bin/python3", str(beside)):
        if shutil.which(python) and _imports_uno(python):
            return python
    return None


def _imports_uno(python: str) -> bool:
    return subprocess.run([python, "-c", "import uno"], check=False, capture_output=True).returncode == 0


def node_packages(fetch: bool = False) -> bool:
    """Whether ExcelJS and SheetJS are there in the versions named; `fetch`: get them with npm if not."""
    if all(_installed(*package.split("@")) for package in NODE_PACKAGES):
        return True
    if not fetch or not (npm := shutil.which("npm")):
        return False
    command = [npm, "install", "--no-save", "--no-package-lock", "--no-audit", "--no-fund", "--silent"]
    return subprocess.run([*command, "--prefix", str(_HERE), *NODE_PACKAGES], check=False).returncode == 0


def _installed(name: str, version: str) -> bool:
    description = _HERE / "node_modules" / name / "package.json"
    return description.exists() and json.loads(description.read_text("utf-8"))["version"] == version
