"""Yes and no, as a coach types them into any workbook of theirs."""

from __future__ import annotations

from typing import Any

YES, NO = ("yes", "y"), ("no", "n")
"""Words for each, in small letters; the first is the one that is offered."""

OFFERED = (YES[0], NO[0])


class NeitherYesNorNo(ValueError):
    """What was typed is no answer; its text begins with a quotation of it."""


def yes_or_no(typed: Any, true_is_yes: bool = True) -> bool | None:
    """The answer in a cell, None for an empty one. Raises NeitherYesNorNo for anything else.

    true_is_yes: whether a program's TRUE and FALSE are answers too; not where formulas look for the words.
    """
    said = "" if typed is None else str(typed).strip().casefold()
    if not said:
        return None
    if said in YES or (true_is_yes and said == "true"):
        return True
    if said in NO or (true_is_yes and said == "false"):
        return False
    raise NeitherYesNorNo(f'"{said}" is neither yes nor no.')
