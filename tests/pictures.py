"""The README's pictures, made anew from the demonstration: `python -m tests.pictures`.

Needs LibreOffice and Poppler (pdftotext, pdftoppm). Commit what it writes into .pictures/ after a look at it.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

from tests.oracles.programs import libreoffice

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / ".pictures"
PICTURES = {"week": "Week 1 ", "summary": "Summary "}
"""Name of a picture -> how the page that it shows begins."""

_SHOWN = ROOT / "out_demo" / "04-returned.xlsx"
_DOTS_PER_INCH, _HEIGHT = 83, 752
"""So many dots that the width of a page is that of a README, and so many of its rows."""


def make(folder: Path) -> list[Path]:
    """Write the pictures into a folder; their paths. Raises LookupError where no page begins as expected."""
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as work:
        (pdf,) = libreoffice([_SHOWN], Path(work), "pdf")
        text = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], check=True, capture_output=True, text=True)
        pages = [page.lstrip() for page in text.stdout.split("\f")]
        return [_picture(pdf, pages, begins, folder / name) for name, begins in PICTURES.items()]


def _picture(pdf: Path, pages: list[str], begins: str, out: Path) -> Path:
    number = next((number for number, page in enumerate(pages, start=1) if page.startswith(begins)), None)
    if number is None:
        raise LookupError(f"no page of {_SHOWN.name} begins with {begins!r}")
    page = ["-f", str(number), "-l", str(number), "-singlefile"]
    size = ["-r", str(_DOTS_PER_INCH), "-x", "0", "-y", "0", "-W", "687", "-H", str(_HEIGHT)]
    subprocess.run(["pdftoppm", "-png", *page, *size, str(pdf), str(out)], check=True)
    return out.with_suffix(".png")


if __name__ == "__main__":
    for written in make(FOLDER):
        sys.stdout.write(f"{written.relative_to(ROOT)}\n")
