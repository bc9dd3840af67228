"""The project as a whole: imports point one way, the demo is reproducible, the wheel is complete."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
import venv
from pathlib import Path

import pytest

import blockbook

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "blockbook"

# fmt: off
LAYERS = ("errors", "clock", "cycles", "many", "languages", "formula", "spec", "files", "training", "sheet", "workbook",
          "intake", "assessment", "plan", "rehearsal", "planning", "demonstration", "api", "practice", "console", "cli")
# fmt: on
"""From the bottom to the top: a part imports only what stands before it.

api and demonstration may know each other: the demonstration plays the public functions.
"""


def imported_parts(path: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("blockbook."):
            found.add((node.module or "").split(".")[1])
        if isinstance(node, ast.ImportFrom) and node.module == "blockbook":
            found |= {alias.name for alias in node.names}
    return found


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.py")), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_imports_point_one_way(path: Path) -> None:
    part = path.relative_to(PACKAGE).parts[0].removesuffix(".py")
    if part in ("__init__", "__main__", "api", "demonstration"):
        return
    below = LAYERS[: LAYERS.index(part) + 1]
    assert imported_parts(path) <= set(below)


def test_training_knows_no_cells() -> None:
    for path in (PACKAGE / "training").glob("*.py"):
        assert not imported_parts(path) & {"sheet", "workbook", "intake"}


def test_out_demo_is_what_the_demo_writes(tmp_path: Path) -> None:
    blockbook.demo(tmp_path)
    written = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    committed = {path.name: path.read_bytes() for path in (ROOT / "out_demo").iterdir()}
    assert written.keys() == committed.keys()
    different = [name for name, content in written.items() if content != committed[name]]
    assert not different, "run `blockbook demo --out out_demo --force` and commit the result"


def test_a_wheel_in_a_clean_environment_finds_its_templates(tmp_path: Path) -> None:
    build = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--wheel-dir", str(tmp_path), str(ROOT)]
    subprocess.run(build, check=True, cwd=tmp_path)
    venv.create(tmp_path / "clean")
    python = tmp_path / "clean" / "bin" / "python"
    (wheel,) = tmp_path.glob("*.whl")
    pip = [sys.executable, "-m", "pip", "--python", str(python)]
    subprocess.run([*pip, "install", "--quiet", wheel], check=True, cwd=tmp_path)
    listed = subprocess.run(
        [python, "-m", "blockbook", "templates"], check=True, cwd=tmp_path, capture_output=True, text=True
    )
    assert len(listed.stdout.splitlines()) == 4
    subprocess.run([python, "-m", "blockbook", "demo", "--out", "demo"], check=True, cwd=tmp_path, capture_output=True)
    assert len(list((tmp_path / "demo").glob("*.xlsx"))) == 7


def test_ci_runs_the_test_command_of_the_readme() -> None:
    command = (ROOT / ".ci" / "run").read_text("utf-8").strip().splitlines()[-1]
    assert f"\n{command}\n" in (ROOT / "README.md").read_text("utf-8")


def test_the_top_level_is_as_agreed() -> None:
    folders = {"blockbook", "templates_yaml", "tests", "out_demo"}
    agreed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE"} | folders
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True)
    assert {name.split("/")[0] for name in listed.stdout.splitlines() if not name.startswith(".")} <= agreed


@pytest.mark.xdist_group("kept together")
def test_what_shares_a_slow_fixture_is_kept_on_one_worker(request: pytest.FixtureRequest) -> None:
    """Else spreadsheet programs are started once more for every worker."""
    if "PYTEST_XDIST_WORKER" not in os.environ:
        pytest.skip("one process only: there is nothing to keep together")
    assert request.node.nodeid.endswith("@kept together")
