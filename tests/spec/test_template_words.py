"""What a lifter reads of the templates, in the lifter's language."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from blockbook.languages import LANGUAGE_NAMES
from blockbook.spec.loading import parse_spec
from blockbook.spec.models import Specification
from blockbook.spec.templates import TITLES, in_language, in_words_of, starter, words_of
from tests.samples import START, TEMPLATES, template_spec

OTHERS = sorted(set(LANGUAGE_NAMES) - {"en"})


def read_by_the_lifter(spec: Specification) -> Iterator[str]:
    yield from (spec.block.title, spec.block.note)
    for session in spec.sessions:
        yield session.name
        yield from (slot.cue for slot in session.slots if slot.cue)


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("template", TEMPLATES)
def test_a_starter_in_a_language_says_all_of_it_in_that_language(template: str, language: str) -> None:
    spec = parse_spec(in_language(starter(template, START), f"{language}-AT"))
    assert spec.lifter.language == f"{language}-AT"
    assert not set(read_by_the_lifter(spec)) & set(read_by_the_lifter(template_spec(template)))
    assert [slot.exercise for each in spec.sessions for slot in each.slots] == [
        slot.exercise for each in template_spec(template).sessions for slot in each.slots
    ]


@pytest.mark.parametrize("language", OTHERS)
def test_there_are_words_for_what_the_templates_say_and_for_nothing_else(language: str) -> None:
    words = words_of(language)
    assert words
    specs = [template_spec(template) for template in TEMPLATES]
    assert {each.block.title for each in specs} == words.blocks.keys() == set(TITLES.values())
    assert {session.name for each in specs for session in each.sessions} == words.sessions.keys()
    cues = {slot.cue for each in specs for session in each.sessions for slot in session.slots}
    assert cues - {None} == words.cues.keys()


def test_in_english_it_stays_as_it_is() -> None:
    text = starter("peak", START)
    assert in_words_of(text, "en") == text


def test_each_template_has_the_title_by_which_a_season_knows_it() -> None:
    assert {template: template_spec(template).block.title for template in TEMPLATES} == TITLES
