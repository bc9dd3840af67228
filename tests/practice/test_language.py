"""The practice's language: one choice for letters and workbooks, one for a lifter."""

from __future__ import annotations

from datetime import date
from email import message_from_bytes, policy
from pathlib import Path

import pytest
from openpyxl import load_workbook

from blockbook.practice.drafting import mail
from blockbook.practice.folder import Practice
from blockbook.practice.starting import add_lifter
from blockbook.spec.loading import load_spec
from tests.practice.small_practice import add, small_practice

ROBIN = "robin-sample"


def spoken(folder: Path, setting: str, contact: str = "", own: str = "") -> tuple[str, str]:
    """Tab of the first week and first words of the letter, as the lifter gets them."""
    practice = small_practice(folder, ())
    change = [("body_weight: 70", f"language: {own}\n  body_weight: 70")] if own else []
    lifter = add(folder, "Robin Sample", *change)
    settings = (folder / "settings.yaml").read_text("utf-8")
    (folder / "settings.yaml").write_text(settings.replace("language: en", f"language: {setting}"), "utf-8")
    if contact:
        (lifter / "contact.yaml").write_text(f"mail: robin@example.org\nlanguage: {contact}\n", "utf-8")
    (draft,) = mail(practice=folder)
    (sent,) = (lifter / "sent").glob("*.xlsx")
    assert practice.root == folder
    body = message_from_bytes(draft.path.read_bytes(), policy=policy.default).get_body()
    assert body
    text = body.get_content()
    return load_workbook(sent).sheetnames[1], next(word for word in ("Hallo", "Hello", "Hola", "Salut") if word in text)


@pytest.mark.parametrize(
    ("setting", "contact", "own", "said"),
    [
        ("en", "", "", ("Week 1", "Hello")),
        ("de", "", "", ("Woche 1", "Hallo")),
        ("de-AT", "", "", ("Woche 1", "Hallo")),
        ("de", "es", "", ("Semana 1", "Hola")),
        ("en", "", "es-MX", ("Semana 1", "Hola")),
        ("de", "es", "en", ("Week 1", "Hola")),
        ("es-latam", "", "", ("Semana 1", "Hola")),
    ],
)
def test_the_nearest_choice_wins(tmp_path: Path, setting: str, contact: str, own: str, said: tuple[str, str]) -> None:
    assert spoken(tmp_path, setting, contact, own) == said


@pytest.mark.parametrize(
    ("language", "day"), [("de", "Montag, 4. Januar 2027"), ("es-MX", "lunes, 4 de enero de 2027")]
)
def test_a_day_in_a_letter_is_written_out(tmp_path: Path, language: str, day: str) -> None:
    spoken(tmp_path, language)
    (draft,) = (tmp_path / "drafts").glob("*.eml")
    body = message_from_bytes(draft.read_bytes(), policy=policy.default).get_body()
    assert body
    assert day in body.get_content()


def test_letters_may_be_in_a_language_that_has_no_workbooks(tmp_path: Path) -> None:
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "fr.txt").write_text("Subject: $title\nSalut $lifter\n", "utf-8")
    assert spoken(tmp_path, "fr") == ("Week 1", "Salut")


def test_a_starter_is_written_in_the_language_of_the_practice_or_of_its_lifter(tmp_path: Path) -> None:
    practice = small_practice(tmp_path, ())
    settings = (tmp_path / "settings.yaml").read_text("utf-8")
    (tmp_path / "settings.yaml").write_text(settings.replace("language: en", "language: de-AT"), "utf-8")
    starters = [
        load_spec(add_lifter(practice, name, "peak", date(2027, 1, 4), language=own).block)
        for name, own in (("Robin Sample", None), ("Jo Beispiel", "es"))
    ]
    assert [(spec.sessions[0].name, spec.lifter.language) for spec in starters] == [
        ("Kniebeuge", None),
        ("Sentadilla", "es"),
    ]


def test_the_choice_of_the_practice_is_not_written_into_a_specification(tmp_path: Path) -> None:
    spoken(tmp_path, "de")
    practice = Practice(tmp_path)
    (lifter,) = practice.lifters
    spec = practice.spec_of(lifter.block)
    assert spec.lifter.language == "de"
    assert load_spec(lifter.block).lifter.language is None
    assert practice.settings.taken_from(spec).lifter.language is None
