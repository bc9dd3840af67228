"""LibreOffice and Gnumeric, run headless, recalculating every formula of a workbook."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from python_calamine import CalamineWorkbook

_SETTINGS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse">
<value>0</value></prop></item>
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="ODFRecalcMode" oor:op="fuse">
<value>0</value></prop></item>
<item oor:path="/org.openoffice.Setup/L10N"><prop oor:name="ooSetupSystemLocale" oor:op="fuse">
<value>{region}</value></prop></item>
</oor:items>
"""


def need(program: str) -> str:
    """Path of a program; where it is missing the test is skipped loudly, in CI it fails."""
    found = shutil.which(program)
    if found:
        return found
    message = f"{program} is not installed: formulas were NOT compared with it (run `python -m tests` to install it)"
    if os.environ.get("CI"):
        pytest.fail(message)
    pytest.skip(message)


def libreoffice(files: Sequence[Path], out: Path, kind: str = "xlsx", region: str = "en-US") -> list[Path]:
    """Let LibreOffice load, hard-recalculate and save the files, as in a region that writes numbers its own way."""
    soffice = need("soffice")
    out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as home:
        user = Path(home) / "user"
        user.mkdir()
        (user / "registrymodifications.xcu").write_text(_SETTINGS.format(region=region))
        command = [soffice, f"-env:UserInstallation=file://{home}", "--headless", "--convert-to", kind, "--outdir"]
        subprocess.run([*command, str(out), *map(str, files)], check=True, capture_output=True, timeout=300)
    return [out / f"{path.stem}.{kind.split(':', maxsplit=1)[0]}" for path in files]


def gnumeric(files: Sequence[Path], out: Path) -> list[Path]:
    """Let Gnumeric load, recalculate and save the files."""
    ssconvert = need("ssconvert")
    out.mkdir(parents=True, exist_ok=True)
    for path in files:
        command = [ssconvert, "--recalc", str(path), str(out / path.name)]
        subprocess.run(command, check=True, capture_output=True, timeout=120)
    return [out / path.name for path in files]


def cell_values(path: Path) -> dict[str, Any]:
    """Sheet name -> rows of cell values as stored in a file."""
    workbook = CalamineWorkbook.from_path(str(path))
    return {name: workbook.get_sheet_by_name(name).to_python(skip_empty_area=False) for name in workbook.sheet_names}
