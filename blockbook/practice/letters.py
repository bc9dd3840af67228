"""The covering letter: a plain text with $fields, one file a language."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from string import Template

from blockbook.errors import BlockbookError
from blockbook.languages import full_day_text, nearest_tag, say, speaking
from blockbook.practice.folder import Practice
from blockbook.spec.models import Specification
from blockbook.training.alarm import OPEN
from blockbook.training.prescription import first_session_day

FIELDS = ("lifter", "title", "start", "end", "weeks", "meet", "unit", "file", "coach")
_LONGEST = 50_000


def letter(practice: Practice, language: str, spec: Specification, file: str) -> tuple[str, str]:
    """Subject and text of the letter to a lifter; file: what the workbook is called. A block starts with its first
    session, whatever day its weeks begin on. Above it stands what asks for a physician, where that is still open.

    Raises BlockbookError, naming file and line, for a template that is missing or names an unknown field.
    """
    path = _template_of(practice, language)
    block = spec.block
    values = {
        "lifter": spec.lifter.name,
        "title": spec.short_title,
        "start": _written(first_session_day(spec), language),
        "end": _written(block.last, language),
        "weeks": str(block.weeks),
        "meet": _written(block.meet, language) if block.meet else "–",
        "unit": block.unit,
        "file": file,
        "coach": practice.settings.coach,
    }
    lines = []
    for number, line in enumerate(_lines(path), start=1):
        if not line.startswith("#"):
            lines.append(_filled(line, values, f"{path}: line {number}"))
    head, *body = lines or [""]
    if not head.startswith("Subject:"):
        raise BlockbookError(f"{path}: the first line should be the subject, such as: Subject: $title")
    subject = one_line(head.removeprefix("Subject:"))
    text = "\n".join(body).strip() + "\n"
    if block.alarm_open:
        with speaking(nearest_tag(language) or "en"):
            text = f"{say(OPEN)}\n\n{text}"
    return subject, text


def _written(day: date, language: str) -> str:
    """ "Monday 4 January 2027", as the letter's language has it; 2027-01-04 where that is not known here."""
    tag = nearest_tag(language)
    if tag is None:
        return day.isoformat()
    with speaking(tag):
        return full_day_text(day)


def _template_of(practice: Practice, language: str) -> Path:
    """The letter in a language such as de-AT, else in that language of any region."""
    paths = [
        practice.root / Template(practice.settings.letter).safe_substitute(language=each)
        for each in (language, language.partition("-")[0])
    ]
    return next((path for path in paths if path.exists()), paths[-1])


def one_line(text: str) -> str:
    """Text as a header may hold it: a line break in a name must not begin another header."""
    return re.sub(r"[\s\x00-\x1f\x7f\x85\u2028\u2029]+", " ", text).strip()[:200]


def _lines(path: Path) -> list[str]:
    try:
        text = path.read_text("utf-8-sig")
    except OSError as error:
        raise BlockbookError(
            f"{path}: the letter cannot be opened ({error.strerror}). Write it, beginning from letters/en.txt."
        ) from None
    except UnicodeDecodeError:
        raise BlockbookError(f"{path}: not a text file in UTF-8. Save it anew as UTF-8.") from None
    if len(text) > _LONGEST:
        raise BlockbookError(f"{path}: is far too long for a letter.")
    return text.splitlines()


def _filled(line: str, values: dict[str, str], place: str) -> str:
    try:
        return Template(line).substitute(values)
    except KeyError as error:
        known = ", ".join(f"${name}" for name in FIELDS)
        raise BlockbookError(f"{place}: ${error.args[0]} is no field of a letter. There are {known}.") from None
    except ValueError:
        raise BlockbookError(f"{place}: a dollar sign alone; write $$ for the sign itself.") from None
