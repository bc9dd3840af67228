"""Every text of a workbook is in every catalogue, whole and with its places."""

from __future__ import annotations

import re
from collections import Counter
from importlib.resources import files
from itertools import accumulate

import pytest
from babel.dates import get_day_names, get_month_names

from blockbook.languages import LANGUAGE_NAMES
from blockbook.languages.catalogues import catalogue
from blockbook.sheet.book import formula_text
from blockbook.spec.models import Specification
from blockbook.workbook.assemble import assemble
from blockbook.workbook.layout import EARLIER, WORKINGS
from blockbook.workbook.meet_cells import MEET_TABLES
from tests.languages.texts import NOWHERE, every_kind, said_everywhere, specifications
from tests.samples import template_spec

TEXTS, BOOKS = said_everywhere(str(NOWHERE))
ASKED = {text for text in TEXTS if text and not text.startswith("⟦")} - {"blockbook"}
"""Without texts that were translated already when they were put into another, and the hidden sheet's name."""

OTHERS = sorted(set(LANGUAGE_NAMES) - {"en"})


@pytest.mark.parametrize("language", OTHERS)
def test_every_text_is_translated_and_none_is_left_over(language: str) -> None:
    assert {text for text, said in catalogue(language).items() if said} == ASKED


@pytest.mark.parametrize("language", OTHERS)
def test_no_text_stands_twice_in_a_catalogue(language: str) -> None:
    source = (files("blockbook.languages") / f"{language}.po").read_text("utf-8")
    entries = re.findall(r"^msgid .*?(?=^msgstr )", source, re.MULTILINE | re.DOTALL)
    assert [entry for entry, times in Counter(entries).items() if times > 1] == []


@pytest.mark.parametrize("language", OTHERS)
def test_a_translation_has_the_places_of_its_text(language: str) -> None:
    for text, said in catalogue(language).items():
        assert sorted(re.findall(r"\{\w+\}", said)) == sorted(re.findall(r"\{\w+\}", text)), text


@pytest.mark.parametrize("language", OTHERS)
def test_a_translation_begins_and_ends_as_its_text(language: str) -> None:
    """Blanks at the ends hold pieces of a sentence apart."""
    for text, said in catalogue(language).items():
        assert (text[0] == " ", text[-1] == " ") == (said[0] == " ", said[-1] == " "), text
        assert len(said) < 255, text  # the most that a text within a formula may have


def test_no_text_was_forgotten() -> None:
    """Laid out with a catalogue that marks what it is asked for: what is not marked is the coach's, or a day."""
    days = (get_day_names, get_month_names)
    words = {word.rstrip(".") for names in days for width in ("wide", "abbreviated") for word in
             names(width, locale="de").values()}  # fmt: skip
    for spec, book in zip(specifications(), BOOKS, strict=False):
        own = {spec.block.title, spec.block.note, spec.lifter.name, *(session.name for session in spec.sessions)}
        for name, sheet in book.sheets.items():
            if sheet.hidden or sheet.very_hidden or name in (WORKINGS, MEET_TABLES, EARLIER):
                continue
            for (_, column), content in sheet.contents.items():
                if column and isinstance(content, str) and "⟦" not in content and content not in own:
                    left = re.sub(r"[^\W\d_]+", lambda found: "" if found[0] in words else found[0], content)
                    for mine in own:
                        left = left.replace(mine, "")
                    assert not re.search(r"[^\W\d_]{3}", left), (name, content)


def long_sessions(language: str) -> Specification:
    """As many exercises a session as there may be."""
    spec = template_spec("volume")
    sessions = tuple(s.model_copy(update={"slots": (s.slots * 5)[:20]}) for s in spec.sessions)
    lifter = spec.lifter.model_copy(update={"language": language})
    return spec.model_copy(update={"sessions": sessions, "lifter": lifter})


@pytest.mark.parametrize("language", sorted(LANGUAGE_NAMES))
def test_formulas_stay_short_enough(language: str) -> None:
    of_a_kind = every_kind(("language: de", f"language: {language}"))
    for spec in (of_a_kind, long_sessions(language)):
        book, looked_at = assemble(spec).book, set()
        for cell, formula in book.formulas():
            text = formula_text(formula, cell.sheet, book.tabs)
            assert len(text) < 8192
            if formula.definition in looked_at:  # others differ in the cells they point to alone
                continue
            looked_at.add(formula.definition)
            assert all(len(piece) < 255 for piece in re.findall(r'"([^"]*)"', text))
            assert deepest(text) <= MOST_NESTED, cell


MOST_NESTED = 64
"""Functions within one another; a program that allows no more refuses the file."""


def deepest(formula: str) -> int:
    """How many brackets are open at once: at least as many as functions."""
    without_texts = re.sub(r'"[^"]*"', "", formula)
    return max(accumulate({"(": 1, ")": -1}.get(sign, 0) for sign in without_texts))
