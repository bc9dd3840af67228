"""Install what the tests need, where it is missing, then run every check.

Works from a fresh clone on a fresh machine: outside a virtual environment it makes one in
`.venv`; as root on Debian or Ubuntu it installs the spreadsheet programs. Arguments are
handed to pytest.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PROGRAMS = {"soffice": "libreoffice-calc", "ssconvert": "gnumeric", "node": "nodejs", "npm": "npm"}
UNO = "python3-uno"


def main() -> int:
    if sys.prefix == sys.base_prefix:
        return in_own_environment()
    subprocess.run([sys.executable, "-m", "pip", "install", "--quiet", "--editable", f"{ROOT}[test]"], check=True)
    install_programs()
    checks = [
        ["ruff", "check", "."],
        ["ruff", "format", "--check", "."],
        ["mypy"],
        ["pytest", "--numprocesses", "2", "--dist", "loadgroup", *sys.argv[1:]],
    ]
    failed = [check[0] for check in checks if run([sys.executable, "-m", *check])]
    if failed:
        print(f"failed: {', '.join(failed)}", file=sys.stderr)
    return int(bool(failed))


def in_own_environment() -> int:
    """Run again inside the project's own virtual environment."""
    home = ROOT / ".venv"
    if not (home / "bin" / "python").exists():
        venv.create(home, with_pip=True)
    return run([str(home / "bin" / "python"), "-m", "tests", *sys.argv[1:]])


def run(command: list[str]) -> int:
    return subprocess.run(command, cwd=ROOT, check=False).returncode


def install_programs() -> None:
    """The spreadsheet programs that our formulas are compared with and whose files are read."""
    from tests.programs.jobs import node_packages, python_with_uno  # noqa: PLC0415 - not before pip has run

    missing = [package for program, package in PROGRAMS.items() if not shutil.which(program)]
    if not python_with_uno():
        missing.append(UNO)
    if missing:
        install_packages(missing)
        python_with_uno.cache_clear()
    if not node_packages(fetch=True):
        print("NOT INSTALLED: ExcelJS, SheetJS. Files from them will not be read.", file=sys.stderr)


def install_packages(missing: list[str]) -> None:
    if not shutil.which("apt-get") or os.geteuid() != 0:
        print(
            f"NOT INSTALLED: {', '.join(missing)}. Formulas and files will not be checked with them.", file=sys.stderr
        )
        return
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (["update", "-qq"], ["install", "-y", "-qq", "--no-install-recommends", *missing]):
        subprocess.run(["apt-get", *command], env=environment, stdout=subprocess.DEVNULL, check=False)


if __name__ == "__main__":
    raise SystemExit(main())
