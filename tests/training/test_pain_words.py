"""Which notes speak of pain, which ask for a physician, and which take it back."""

from __future__ import annotations

import pytest

from blockbook.formula.functions import Scalar
from blockbook.languages import LANGUAGE_NAMES, say, speaking
from blockbook.training.pain import NO_PAIN, pain_answer
from blockbook.training.pain_words import (
    ALARM,
    NOTHING,
    OF_ALARM,
    OF_PAIN,
    PAIN,
    alarming,
    heard,
    notes_together,
    taken_back,
    typed_together,
    word_heard,
)


def spoken_of(*notes: Scalar) -> Scalar:
    """What the sheet hears in the notes of an exercise."""
    return heard.value(taken_back.value(notes_together(len(notes)).value(notes)))


@pytest.mark.parametrize(
    "note",
    ["twinge in the hip", "felt something pop", "my shoulder clicked", "tweaked back", "ouch", "knee hurts a bit",
     "no pain in the knee, but the hip hurts", "no warm-up, knee hurt", "Stich im Knie", "Rücken gezerrt",
     "Knieschmerzen", "es sticht", "pinchazo en la rodilla", "me molesta el hombro", "un tirón", "un tiron",
     "not heavy but it hurt", "discomfort\nin the elbow"],
)  # fmt: skip
def test_words_of_pain(note: str) -> None:
    assert spoken_of(None, note, None) == OF_PAIN
    assert word_heard(note, PAIN)


@pytest.mark.parametrize(
    "note",
    ["", "moved well", "no pain", "pain-free", "no more knee pain", "pain is gone", "didn't hurt", "didn’t hurt",
     "no sharp pain", "painted the bar", "good numbers", "stable", "chest up", "headache gone", "keine Knieschmerzen",
     "schmerzfrei", "zwickt nicht", "tut nicht weh", "explosiv ziehen", "sin dolor", "no me duele", "no hay dolor",
     "felt sharp today", "good pop off the chest", "technique clicked"],
)  # fmt: skip
def test_a_note_without_pain(note: str) -> None:
    assert spoken_of(note) == NOTHING
    assert word_heard(note, (*PAIN, *ALARM)) == ""


@pytest.mark.parametrize(
    "note",
    ["chest felt tight", "tightness in my chest", "dizzy", "blackout nearly", "light-headed", "numb hand",
     "Schwindel", "Druck auf der Brust", "Brustschmerzen", "Finger taub", "mareo", "presión en el pecho",
     "casi me desmayé", "mano entumecida"],
)  # fmt: skip
def test_words_of_alarm(note: str) -> None:
    assert spoken_of("easy", note) == OF_ALARM
    assert word_heard(note, ALARM)


def test_a_slip_that_a_program_took_for_a_formula_is_no_note() -> None:
    assert spoken_of(5, None) == NOTHING


def test_a_chest_is_alarming_where_it_is_said_to_hurt() -> None:
    assert alarming.value(typed_together.value("yes", "chest, left side")) == 1
    assert alarming.value(typed_together.value("A", "left knee")) == 0
    assert alarming.value(typed_together.value(None, None)) == 0


@pytest.mark.parametrize(
    "answer",
    [
        "no pain",
        "Nothing",
        "n",
        "not really",
        "All good!",
        "none.",
        "keine Schmerzen",
        "nichts",
        "sin dolor",
        "nada",
        0,
    ],
)
def test_answers_that_nothing_hurts(answer: Scalar) -> None:
    assert pain_answer.value(answer, None) == 0


@pytest.mark.parametrize(
    ("pain", "where", "answer"),
    [
        ("A", None, 1),
        ("none but tired", None, 1),
        (None, "knee", 1),
        ("none", "knee", 1),
        (None, None, ""),
        (None, "-", ""),
    ],
)
def test_other_answers(pain: str | None, where: str | None, answer: object) -> None:
    assert pain_answer.value(pain, where) == answer


@pytest.mark.parametrize("language", sorted(LANGUAGE_NAMES))
def test_what_the_list_offers_means_none(language: str) -> None:
    with speaking(language):
        assert say("none") in NO_PAIN


@pytest.mark.parametrize(
    "text",
    ["chest feels tight", "pain across chest", "hurts in my chest", "heart racing", "me duele el pecho",
     "Brust tut weh", "Engegefühl in der Brust", "pins and needles in my arm"],
)  # fmt: skip
def test_what_people_write_of_a_chest_that_hurts_asks_for_a_physician(text: str) -> None:
    assert word_heard(text, ALARM)


@pytest.mark.parametrize(
    "text",
    ["keep chest tight", "tight chest, big breath", "no chest pain", "kein Schwindel", "ninguna molestia",
     "sin ningún dolor", "everything clicked", "popped up fast"],
)  # fmt: skip
def test_cues_and_what_is_denied_ask_for_nothing(text: str) -> None:
    assert not word_heard(text, (*ALARM, *PAIN))
