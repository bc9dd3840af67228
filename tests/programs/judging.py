"""Whether a log holds all that was typed, at the right set, and says what it changed or guessed."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import date
from typing import Any

from blockbook.intake.findings import Finding
from blockbook.intake.log import BlockLog, LoggedSession, LoggedSet
from blockbook.workbook.layout import SESSION_INPUTS, TYPED, input_name, session_input_key

_TEXTS = ("note", "pain", "where")
_NUMBER = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?")


def lost(log: BlockLog, typed: Mapping[str, Any], unknowable: Collection[str] = ()) -> list[str]:
    """What was typed (input name -> value) and is not in the log as it was typed; empty if all is.

    unknowable: inputs of which nobody can say any more which set they belong to. It is enough if their
    texts are among the rows that could not be attached.
    """
    unplaced = Counter(text for row in unplaced_rows(log) for text in row)
    missing = []
    for name, value in typed.items():
        understood, raw = logged(log, name)
        if holds(value, understood, raw):
            continue
        if name in unknowable and not raw and understood in (None, "") and unplaced[shown(value)]:
            unplaced[shown(value)] -= 1
            continue
        elsewhere = "; it is among the unplaced rows" if unplaced[shown(value)] else ""
        missing.append(f"{name}: {value!r} was typed, the log has {understood!r}, raw {raw!r}{elsewhere}")
    return missing


def silent(log: BlockLog, typed: Mapping[str, Any], usual: Collection[Finding] = ()) -> list[str]:
    """Inputs that no finding names though the log has another value than was typed, or one that was not.

    usual: findings that the untouched file brings as well; those say nothing about a change.
    """
    said = [found for found in log.findings if found not in usual]
    unsaid = []
    for name in every_input(log):
        understood, raw = logged(log, name)
        value = typed.get(name)
        if unchanged(name, value, understood) and not (value is None and raw):
            continue
        if not any(names_cell(found, log, name, shown(value)) for found in said):
            unsaid.append(f"{name}: {value!r} was typed, the log has {understood!r}, and no finding says so")
    return unsaid


def untold(log: BlockLog, inputs: Iterable[str], usual: Collection[Finding] = ()) -> list[str]:
    """Of inputs that were guessed or are gone: those about whose row or sheet no finding says a word."""
    said = [found for found in log.findings if found not in usual]
    return [name for name in inputs if not any(names_row(found, log, name) for found in said)]


def unheard(log: BlockLog, texts: Iterable[str]) -> list[str]:
    """Of texts typed where nothing is asked: those that are neither in the log nor in any finding."""
    heard = [text for row in unplaced_rows(log) for text in row]
    heard += [f"{found.value} {found.message}" for found in log.findings]
    heard += [f"{logged.note} {' '.join(logged.raw.values())}" for logged in log.sets]
    heard += [f"{session.where} {' '.join(session.raw.values())}" for session in log.sessions]
    return [text for text in texts if not any(_stands_in(text, one) for one in heard)]


# What the log has


def logged(log: BlockLog, name: str) -> tuple[Any, str]:
    """What an input was understood as, and its raw text."""
    holder, column = _holder(log, name)
    return getattr(holder, column), holder.raw.get(column, "")


def every_input(log: BlockLog) -> Iterator[str]:
    for one in log.sets:
        yield from (input_name(one.key, column) for column in TYPED)
    for session in log.sessions:
        yield from (session_input_key(session.key, asked.name) for asked in SESSION_INPUTS)


def unplaced_rows(log: BlockLog) -> list[list[str]]:
    """The texts of each row that could not be attached."""
    rows = []
    for row in getattr(log, "unplaced", ()):
        texts = row.texts.values() if isinstance(row.texts, Mapping) else row.texts
        rows.append([text.strip() for text in texts])
    return rows


def _holder(log: BlockLog, name: str) -> tuple[LoggedSet | LoggedSession, str]:
    key, _, column = name.partition("/")
    if column:
        return next(one for one in log.sets if one.key == key), column
    key, _, column = name.rpartition(".")
    return next(session for session in log.sessions if session.key == key), column


# Whether it is what was typed


def holds(value: Any, understood: Any, raw: str) -> bool:
    """Whether what the log has is what was typed: the same number or day, or the text itself."""
    if isinstance(value, str):
        text = value.strip()
        if not text:
            return understood in (None, "") and not raw.strip()
        return text in raw or unchanged_text(text, understood) or _same_number(text, understood)
    if isinstance(value, date):
        return understood == value or value.day in map(int, re.findall("[0-9]+", raw))
    return _same_number(shown(value), understood) or _same_number(shown(value), raw)


def unchanged(name: str, value: Any, understood: Any) -> bool:
    """Whether an input means in the log just what was typed, with nothing to explain."""
    if value is None or (isinstance(value, str) and not value.strip()):
        return understood in (None, "")
    if isinstance(value, str) and name.rpartition("/")[2].rpartition(".")[2] in _TEXTS:
        return unchanged_text(value.strip(), understood)
    return bool(understood == value) or _same_number(shown(value), understood)


def unchanged_text(text: str, understood: Any) -> bool:
    """Whether a text came back word for word; comments on the cells of its row may stand behind it."""
    return bool(understood == text) or str(understood).startswith(f"{text}; ")


def shown(value: Any) -> str:
    """A typed value as text: 102.5, 5, 2027-01-04."""
    return f"{value:.15g}" if isinstance(value, (int, float)) else "" if value is None else str(value).strip()


def _same_number(text: str, other: Any) -> bool:
    other = shown(other)
    numbers = _NUMBER.fullmatch(text) and _NUMBER.fullmatch(other)
    return bool(numbers) and math.isclose(float(text), float(other), rel_tol=1e-9)


# Whether a finding says so


def names_cell(found: Finding, log: BlockLog, name: str, text: str) -> bool:
    """Whether a finding is about this input: by its cell, its name, or its row together with what was typed."""
    holder, column = _holder(log, name)
    address = holder.cells.get(column)
    if found.cell and found.sheet == holder.sheet and (found.cell == address or f"({address})" in found.message):
        return True
    key = name if "/" not in name else holder.key
    about_row = _stands_in(key, f"{found.value} {found.message}")
    return name in found.message or (about_row and (key == name or not text or text in found.message))


def names_row(found: Finding, log: BlockLog, name: str) -> bool:
    """Whether a finding is about the row of an input, or about its whole sheet."""
    holder, _ = _holder(log, name)
    key = name if "/" not in name else holder.key
    if _stands_in(key, f"{found.value} {found.message}"):
        return True
    if found.sheet != holder.sheet:
        return False
    return found.cell in holder.cells.values() if found.cell else not _names_another(found, log, key)


def _names_another(found: Finding, log: BlockLog, key: str) -> bool:
    keys = {name.partition("/")[0] for name in every_input(log)}
    return found.value in keys - {key}


def _stands_in(word: str, text: str) -> bool:
    """Whether a text holds the word, not as part of a longer one: 1 does not stand in 10 or in 1.5."""
    return re.search(rf"(?<![\w.-]){re.escape(word)}(?![\w-]|\.\w)", text) is not None
