"""Which notes speak of pain, which ask for a physician, and which take it back."""

from __future__ import annotations

import re

import pytest

from blockbook.formula.functions import Scalar
from blockbook.languages import LANGUAGE_NAMES, say, speaking
from blockbook.training.pain import NO_PAIN, nothing_hurts, pain_answer
from blockbook.training.pain_vocabulary import ALARM, PAIN, WHERE_IT_HURTS
from blockbook.training.pain_words import (
    NOTHING,
    OF_PAIN,
    STEPS,
    alarm_heard,
    alarm_words,
    alarming,
    heard,
    heart_heard,
    notes_together,
    typed_together,
    word_heard,
)
from tests.slips.logs import HARMLESS_NOTES

OF_ALARM = "a physician"
OF_WORDS = (typed_together, heard, alarm_words, heart_heard, alarm_heard, alarming, pain_answer)


def through_the_steps(plain: Scalar) -> Scalar:
    words = plain
    for step in STEPS:
        words = step.value(words)
    return words


def asks_for_a_physician(all_words: Scalar, typed_words: Scalar) -> Scalar:
    words = alarm_words.value(all_words, typed_words)
    return alarm_heard.value(words, heart_heard.value(words))


def spoken_of(*notes: Scalar) -> Scalar:
    """What the sheet hears in the notes of an exercise."""
    words = through_the_steps(notes_together(len(notes)).value(notes))
    return OF_ALARM if asks_for_a_physician(words, "") else heard.value(words)


def spoken_typed(pain: Scalar, where: Scalar) -> Scalar:
    """Whether the answers to what hurts, and where, ask for a physician."""
    words = through_the_steps(typed_together.value(pain, where))
    return 1 if alarming.value(words) or asks_for_a_physician("", words) else 0


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


def test_a_no_of_one_set_says_nothing_of_the_next() -> None:
    assert spoken_of("no pain", "numbness or tingling in the hand") == OF_ALARM


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
    "note",
    ["no pain or numbness", "no chest pain or dizziness", "no dizziness or chest pain", "no knee or hip pain",
     "no numbness/tingling", "no pain, dizziness or numbness", "no aches or pains", "no aches and pains",
     "kein Schmerz oder Schwindel", "weder Schmerzen noch Schwindel", "sin dolor ni mareo", "no longer dizzy",
     "numbness gone", "dizziness gone", "Schwindel weg", "pain: none", "pain 0/10", "Schmerzen: keine", "dolor: no",
     "don't have pain", "doesnt hurt", "no tengo dolor", "Schmerz ist weg", "keinerlei Schmerzen", "injury free",
     "verletzungsfrei"],
)  # fmt: skip
def test_a_no_reaches_over_an_or_and_stands_behind_what_it_denies(note: str) -> None:
    assert spoken_of(note) == NOTHING
    assert not word_heard(note, (*ALARM, *PAIN))


@pytest.mark.parametrize(
    "note",
    ["no pain, dizzy on the last one", "no pain and numb fingers", "no pain / dizzy", "no chest pain but dizzy",
     "no energy, dizzy or faint", "no belt or dizzy", "dizziness not gone", "numbness gone until set 3",
     "pain 0/10, dizzy", "chest pain gone after 5 min", "chest pain went away after resting"],
)  # fmt: skip
def test_a_no_reaches_no_further(note: str) -> None:
    assert spoken_of(note) == OF_ALARM
    assert word_heard(note, ALARM)


@pytest.mark.parametrize(
    "note",
    ["not pain free", "still not pain free", "no longer pain free", "noch nicht schmerzfrei",
     "never without knee pain", "pain free until rep 4", "pain gone until set 3", "no knee pain until the last set",
     "knee pain gone, came back on set 3", "pain went away then came back", "schmerzfrei bis Satz 3",
     "sin dolor hasta la serie 3"],
)  # fmt: skip
def test_a_pain_that_came_back_is_there(note: str) -> None:
    assert spoken_of(note) == OF_PAIN
    assert word_heard(note, PAIN)


@pytest.mark.parametrize(
    "note",
    ["couldn't feel my fingers", "no feeling in my fingers", "cant breathe", "couldnt catch my breath",
     "trouble breathing", "chest discomfort", "chest aching", "stabbing in chest", "crushing chest",
     "pain in the middle of my chest", "pain radiating to left arm", "left arm ache", "heart pain",
     "irregular heartbeat", "about to pass out", "lost consciousness", "woozy", "greyed out", "black spots in vision",
     "double vision", "collapsed on the floor", "die Brust tat weh", "Stiche in der Brust",
     "Druckgefühl in der Brust", "Herzstechen", "Herzschmerzen", "Herz hat gerast", "mir wurde schwarz",
     "kriege keine Luft", "bekam kaum Luft", "kein Gefühl in der Hand", "Arm eingeschlafen", "linker Arm tut weh",
     "plötzlich Kopfschmerzen", "me dolía el pecho", "me dolió el pecho", "punzada en el pecho",
     "me faltaba el aire", "me costaba respirar", "visión borrosa", "perdí el conocimiento", "mano dormida",
     "no siento la mano", "me duele el brazo izquierdo", "corazón acelerado"],
)  # fmt: skip
def test_what_asks_for_a_physician_as_a_log_is_written(note: str) -> None:
    assert spoken_of(note) == OF_ALARM
    assert word_heard(note, ALARM)


@pytest.mark.parametrize(
    "note",
    ["chest tight and up", "tight back, tight chest", "Brust eng halten", "pecho apretado y arriba",
     "cold, fingers numb", "numb hands from cold", "short of breath after 12 reps", "heart racing after the last set",
     "Herz rast nach 12 Wdh", "can't feel lats working", "cannot feel my glutes", "quad pump, can't feel my legs"],
)  # fmt: skip
def test_cues_cold_and_breath_after_a_hard_set_ask_for_no_physician(note: str) -> None:
    assert spoken_of(note) == NOTHING
    assert not word_heard(note, ALARM)


@pytest.mark.parametrize(
    "note",
    ["short of breath after 1 rep", "heart racing after 10 min rest", "can't feel my legs", "numb fingers",
     "cold sweat, dizzy", "short of breath after 12 reps, chest pain"],
)  # fmt: skip
def test_what_is_not_ordinary_after_a_hard_set_does(note: str) -> None:
    assert spoken_of(note) == OF_ALARM


@pytest.mark.parametrize(
    "note",
    ["knee locked", "knee buckled", "rolled my ankle", "twisted my knee", "sprained ankle", "felt a tear",
     "heard a snap", "pec ripped", "put my back out", "slipped disc", "trapped nerve", "pulled lat", "pulled a hammy",
     "calf cramped", "elbow tendonitis", "etwas gerissen", "Muskelfaserriss", "Knie verdreht", "verknackst",
     "Bandscheibe", "Ischias", "Leiste zieht", "Knie zwickte", "entzündet", "contractura", "rotura", "ciática",
     "me torcí el tobillo", "me ha dolido", "tendinitis"],
)  # fmt: skip
def test_what_gave_way_or_tore_is_pain(note: str) -> None:
    assert spoken_of(note) == OF_PAIN
    assert word_heard(note, PAIN)


@pytest.mark.parametrize(
    "note",
    ["felt sharp", "looked sharp off the floor", "it clicked today", "more pop out of the hole",
     "popped off the floor", "tore a callus", "strained a bit on last rep", "belt pinched", "pinch shoulder blades",
     "painful to watch", "primer tirón bien", "Hantel knackt beim Ablegen", "Rücken zieht nicht mit",
     "knees locked too early"],
)  # fmt: skip
def test_praise_cues_and_mishaps_are_no_pain(note: str) -> None:
    assert spoken_of(note) == NOTHING
    assert not word_heard(note, (*ALARM, *PAIN))


@pytest.mark.parametrize("where", ["Brustwirbelsäule", "chest muscle", "Brustmuskel"])
def test_a_muscle_or_a_part_of_the_back_is_no_chest_that_hurts(where: str) -> None:
    assert spoken_typed("A", where) == 0
    assert not word_heard(where, WHERE_IT_HURTS)


def test_whom_a_physician_has_cleared_may_say_so() -> None:
    answer = "none, chest fine, cleared by doctor"
    assert spoken_typed(answer, None) == 0
    assert pain_answer.value(answer, None) == 0
    assert nothing_hurts.value(answer)
    assert pain_answer.value("knee, cleared by doctor", None) == 1


@pytest.mark.parametrize(
    "text",
    [notes_together(20).formula({"notes": "$L$26:$L$46"}),
     *(step.formula(dict.fromkeys(step.names, "$BX$1112")) for step in (*STEPS, *OF_WORDS))],
)  # fmt: skip
def test_every_program_takes_the_formulas(text: str) -> None:
    """They take 8192 characters and 64 functions in each other, and refuse the whole file else."""
    assert len(text) < 8192
    depth = 0
    for sign in re.sub('"[^"]*"', "", text):
        depth += {"(": 1, ")": -1}.get(sign, 0)
        assert depth <= 60
