"""Sentences on mistakes that call other fields as their reader knows them: by name in YAML, by heading on a sheet."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Self


class FieldName(str):
    """The name of a field in YAML, where it is one of a message's words."""

    __slots__ = ()


class Message(str):
    """A sentence in which fields are called as in YAML, with what it takes to say it otherwise.

    template: {names} of fields, and of words; words: what stands for those, such as what the coach has written. Braces
    within a word are the coach's own and stay.
    """

    template: str
    words: dict[str, str]

    def __new__(cls, template: str, **words: str) -> Self:
        made = super().__new__(cls, _filled(template, words, str))
        made.template, made.words = template, words
        return made

    def said(self, name_of: Callable[[str], str], otherwise: str = "") -> str:
        """The same with fields called by other names, perhaps in another template for the same words."""
        return _filled(otherwise or self.template, self.words, name_of)


class NoSuchWeek(str):
    """A sentence on a value for a week that the block does not have: one that was made shorter has many."""

    __slots__ = ()


def _filled(template: str, words: dict[str, str], name_of: Callable[[str], str]) -> str:
    def word(name: str) -> str:
        meant = words.get(name, FieldName(name))
        return name_of(meant) if isinstance(meant, FieldName) else meant

    return re.sub(r"\{(\w+)\}", lambda found: word(found[1]), template)


IS_MISSING = "is missing"
SHOULD_BE_TEXT = "should be text"
NOTHING_WRITTEN = "nothing is written here"

MISSING_EFFORT = "{rpe} is missing: the target effort, for example {rpe}: 8 or {rpe}: [7, 7.5, 8, 9]."
NO_SUCH_EXERCISE = 'no exercise is called "{name}".{guess}'
UNKNOWN_EXERCISE = f"{NO_SUCH_EXERCISE} `blockbook templates --exercises` lists all; add your own under `exercises`."
NO_EQUIPMENT = "{exercise} needs equipment: {implement}. Write its loads there, or choose another exercise."
UNEVEN_WEEKS = "has {count} values; write one for every week alike, or {weeks}, one a week."
