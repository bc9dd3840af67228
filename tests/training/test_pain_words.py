"""Which notes speak of pain, which ask for a physician, and which take it back."""

from __future__ import annotations

import re

import pytest

from blockbook.formula.functions import Scalar
from blockbook.languages import LANGUAGE_NAMES, say, speaking
from blockbook.training.pain import NO_PAIN, pain_answer
from blockbook.training.pain_words import (
    ALARM,
    NOTHING,
    OF_PAIN,
    PAIN,
    alarm_heard,
    alarming,
    bare,
    heard,
    notes_together,
    taken_back,
    typed_together,
    word_heard,
)
from tests.slips.logs import HARMLESS_NOTES

OF_ALARM = "a physician"


def spoken_of(*notes: Scalar) -> Scalar:
    """What the sheet hears in the notes of an exercise."""
    words = taken_back.value(bare.value(notes_together(len(notes)).value(notes)))
    return OF_ALARM if alarm_heard.value(words, "") else heard.value(words)


def spoken_typed(pain: Scalar, where: Scalar) -> Scalar:
    """Whether the answers to what hurts, and where, ask for a physician."""
    words = taken_back.value(bare.value(typed_together.value(pain, where)))
    return 1 if alarming.value(words) or alarm_heard.value("", words) else 0


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
    assert spoken_typed("yes", "chest, left side") == 1
    assert spoken_typed("A", "left knee") == 0
    assert spoken_typed(None, None) == 0


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


@pytest.mark.parametrize(
    "note",
    ["left knee a bit sore", "sore left elbow", "lower back still sore", "elbow flared up", "cramp in calf",
     "felt something go in my hamstring", "back went on the last rep", "shoulder unstable", "knee gave way",
     "no wrist pain, but elbow sore", "Knie zieht", "Ziehen im Knie", "Knie schmerzte", "Hexenschuss",
     "linkes Knie etwas gereizt", "umgeknickt", "rodilla resentida", "calambre en la pierna"],
)  # fmt: skip
def test_a_joint_that_is_sore_or_gave_way_is_pain(note: str) -> None:
    assert spoken_of(note) == OF_PAIN
    assert word_heard(note, PAIN)
    assert not word_heard(note, ALARM)


@pytest.mark.parametrize(
    "note",
    ["couldn't breathe", "short of breath", "vision went black", "collapsed", "I collapsed after the set",
     "heart skipped a beat", "heart pounding", "chest felt heavy", "chest burning", "room was spinning",
     "sudden headache", "left arm pain", "tingling in left arm", "can't feel my fingers", "Brust zieht",
     "Ziehen in der Brust", "Herzstolpern", "mir wurde schwarz vor den Augen", "umgekippt", "keine Luft bekommen",
     "Luftnot", "Schmerzen im linken Arm", "falta de aire", "no podía respirar", "vértigo"],
)  # fmt: skip
def test_heart_breath_and_senses_ask_for_a_physician(note: str) -> None:
    assert spoken_of(note, "easy") == OF_ALARM
    assert word_heard(note, ALARM)


@pytest.mark.parametrize(
    "note",
    ["no wrist pain", "no left knee pain", "no hamstring pain", "no sign of pain", "knee free of pain",
     "can't feel any pain", "didn't get dizzy", "didn’t feel dizzy", "not short of breath", "elbow no longer sore",
     "kein Ziehen im Knie", "Knie zieht nicht", "Knie schmerzt nicht", "es sticht nicht", "Brust zieht nicht",
     "Brust schmerzfrei", "sin dolor de rodilla"],
)  # fmt: skip
def test_a_no_reaches_over_the_joint_to_its_pain(note: str) -> None:
    assert spoken_of(note) == NOTHING
    assert not word_heard(note, (*ALARM, *PAIN))


@pytest.mark.parametrize(
    "note",
    ["quads sore", "a bit sore from Monday", "upper back sore", "session went on too long", "back to normal",
     "knees went in on last rep", "hips went up first", "chest collapsed", "knees collapsed in", "chest heavy day",
     "shoulder blades pulled back", "out of breath", "cramped rack", "bar felt unstable", "Stange umgekippt",
     "beim Ziehen Rücken gerade", "keine Luft mehr", "Muskelkater", *HARMLESS_NOTES],
)  # fmt: skip
def test_sore_muscles_slips_of_technique_and_effort_are_no_pain(note: str) -> None:
    assert spoken_of(note) == NOTHING
    assert not word_heard(note, (*ALARM, *PAIN))


@pytest.mark.parametrize(
    "text",
    [notes_together(20).formula({"notes": "$L$26:$L$46"}), bare.formula({"plain": "$BX$112"}),
     taken_back.formula({"bare": "$BX$112"}), heard.formula({"words": "$BX$112"}),
     alarm_heard.formula({"all_words": "$BX$112", "typed_words": "$BY$112"})],
)  # fmt: skip
def test_every_program_takes_the_formulas(text: str) -> None:
    """They take 8192 characters and 64 functions in each other, and refuse the whole file else."""
    assert len(text) < 8192
    depth = 0
    for sign in re.sub('"[^"]*"', "", text):
        depth += {"(": 1, ")": -1}.get(sign, 0)
        assert depth <= 60
