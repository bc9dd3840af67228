"""A practice of a few invented lifters, all of them training the small block, and mails with what they send back."""

from __future__ import annotations

import json
import mailbox
from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from email.message import EmailMessage
from functools import cache
from pathlib import Path
from typing import Any

from click.testing import CliRunner, Result

from blockbook.cli import main
from blockbook.practice.folder import LIFTERS, LifterFolder, Practice
from blockbook.practice.rounds import Built, build_current, note
from blockbook.practice.starting import init
from blockbook.spec.models import Specification
from tests.intake.small_block import SMALL_BLOCK, clean_inputs, plain_bytes, spec_from
from tests.said import told

NAMES = ("Robin Sample", "Jo Beispiel", "Kim Muster", "Alex Example")
START = date(2027, 1, 4)
AFTER = START + timedelta(weeks=2)
"""The day after the small block's last."""


def run(*arguments: str | Path, stdin: str | None = None) -> Result:
    """A command as it ends; an exception that would show a traceback is let through."""
    result = CliRunner().invoke(main, [str(argument) for argument in arguments], input=stdin)
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return told(result)


def succeeded(*arguments: str | Path, stdin: str | None = None) -> str:
    result = run(*arguments, stdin=stdin)
    assert (result.exit_code, result.stderr) == (0, ""), (result.stdout, result.stderr)
    return result.stdout


def small_practice(folder: Path, names: Sequence[str] = NAMES) -> Practice:
    """A practice in which every lifter has the small block and an address."""
    init(folder, "Coach Invented", "coach@example.org")
    for name in names:
        add(folder, name)
    return Practice(folder)


def add(folder: Path, name: str, *changes: tuple[str, str]) -> Path:
    lifter = folder / LIFTERS / name.lower().replace(" ", "-")
    lifter.mkdir(parents=True)
    text = SMALL_BLOCK.replace("name: Robin Sample", f"name: {json.dumps(name)}")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    (lifter / "block.yaml").write_text(text, "utf-8")
    (lifter / "contact.yaml").write_text(f"mail: {address(name)}\n", "utf-8")
    return lifter


def build_noted(practice: Practice, lifter: LifterFolder) -> Built:
    """Build a lifter's current block, and note it in the sent log."""
    made = build_current(practice, lifter)
    note(practice, made)
    return made


def address(name: str) -> str:
    return f"{name.split(maxsplit=1)[0].lower()}@example.org"


def spec_of(name: str, *changes: tuple[str, str]) -> Specification:
    return spec_from(("name: Robin Sample", f"name: {json.dumps(name)}"), *changes)


def returned(name: str, typed: Mapping[str, Any] | None = None, *changes: tuple[str, str]) -> bytes:
    """The small block's workbook as a lifter sends it back: all of it done as asked, and what else was typed."""
    return _returned(name, tuple((typed or {}).items()), changes)


@cache
def _returned(name: str, typed: tuple[tuple[str, Any], ...], changes: tuple[tuple[str, str], ...]) -> bytes:
    return plain_bytes(spec_of(name, *changes), {**clean_inputs(), **dict(typed)})


def message(
    name: str, *attached: tuple[str, bytes], sender: str | None = None, subject: str = "my log"
) -> EmailMessage:
    made = EmailMessage()
    made["From"] = sender or address(name)
    made["To"] = "coach@example.org"
    made["Date"] = "Sun, 17 Jan 2027 18:00:00 +0000"
    made["Subject"] = subject
    made.set_content("Here it is.")
    for called, content in attached:
        made.add_attachment(content, maintype="application", subtype="octet-stream", filename=called)
    return made


def mbox_of(path: Path, messages: Sequence[EmailMessage]) -> Path:
    box = mailbox.mbox(path)
    for each in messages:
        box.add(each)
    box.flush()
    box.close()
    return path


def filed_in(folder: Path) -> list[str]:
    """What lies below a folder, as lifter/block."""
    return sorted(path.parent.relative_to(folder).as_posix() for path in folder.rglob("returned/*/*.xlsx"))
