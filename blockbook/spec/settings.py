"""What a coach settles once for the whole practice, and how a lifter is reached, as frozen pydantic models."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, WithJsonSchema

from blockbook.languages import ENGLISH, nearest_tag
from blockbook.spec.models import Specification, Unit
from blockbook.spec.policy import Policy

_WORD = r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+"
_ADDRESS = re.compile(rf"(?=[^@]{{1,64}}@){_WORD}(\.{_WORD})*@(localhost|[A-Za-z0-9-]+(\.[A-Za-z0-9-]+)+)")


def plain_address(text: str) -> str:
    """The address, if it is one that every mail server takes. Raises ValueError."""
    if not _ADDRESS.fullmatch(text) or len(text) > 254:
        raise ValueError("should be one plain mail address such as robin@example.org")
    return text


MailAddress = Annotated[str, AfterValidator(plain_address), WithJsonSchema({"type": "string", "format": "email"})]
"""One address without a name: no comma, blank or line break that could smuggle in a second receiver."""

LetterLanguage = Annotated[str, Field(pattern=r"^[a-z]{2,3}(-[A-Za-z0-9]{2,8})?$")]
"""A tag of any language: letters are the coach's own."""


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


class Smtp(_Part):
    """The mail server for `mail --send`. The password stands in no file."""

    host: str = Field(min_length=1, max_length=253, description="Name of the server, such as smtp.example.org")
    port: int = Field(587, ge=1, le=65535, description="465: encrypted from the start; others begin with STARTTLS")
    user: str | None = Field(None, min_length=1, max_length=254, description="Who logs in there, if it asks")


class Settings(_Part):
    """settings.yaml of a practice."""

    coach: str = Field("", max_length=60, description="Your name, under every letter")
    mail: MailAddress | None = Field(None, description="Your address, the sender of every letter")
    unit: Unit = Field("kg", description="Unit of the specifications that `new` writes here")
    language: LetterLanguage = Field(
        "en", description="Language of letters, and of workbooks if there is one: de, es-MX. A lifter's own wins"
    )
    letter: str = Field(
        "letters/$language.txt",
        min_length=1,
        max_length=200,
        description="Template of the covering letter, from this folder; $language is the lifter's",
    )
    overdue_days: int = Field(3, ge=0, le=90, description="Days after a block's end until its log is overdue")
    meet_near_days: int = Field(28, ge=0, le=200, description="Days before a meet from which it is shown")
    low_adherence: float = Field(0.75, ge=0, le=1, description="Share of sets done below which it is shown")
    policy: Policy = Field(
        default_factory=Policy,
        description="Numbers of the load decision for all; a specification's own, where not the usual ones, win",
    )
    smtp: Smtp | None = Field(None, description="The mail server, for `mail --send` only")

    def applied_to(self, spec: Specification, language: str | None = None) -> Specification:
        """The specification with the practice's policy, where its numbers are the usual ones, and language.

        language: of the lifter's letters, if it is not the settings'.
        """
        own = spec.policy.model_dump(exclude_defaults=True)
        policy = Policy.model_validate({**self.policy.model_dump(exclude_defaults=True), **own})
        spoken = spec.lifter.language or _of_workbooks(language or self.language)
        lifter = spec.lifter.model_copy(update={"language": spoken})
        return spec.model_copy(update={"policy": policy, "lifter": lifter})

    def taken_from(self, spec: Specification, language: str | None = None) -> Specification:
        """The specification without what it only has from the practice, so that later settings count in it."""
        house = self.policy.model_dump(exclude_defaults=True)
        own = spec.policy.model_dump(exclude_defaults=True)
        policy = {name: value for name, value in own.items() if house.get(name) != value}
        given = _of_workbooks(language or self.language)
        own_language = None if spec.lifter.language == given else spec.lifter.language
        lifter = spec.lifter.model_copy(update={"language": own_language})
        return spec.model_copy(update={"policy": Policy.model_validate(policy), "lifter": lifter})


def _of_workbooks(language: str) -> str | None:
    """The language of letters where workbooks have it too; None for English and all others."""
    tag = nearest_tag(language)
    return None if tag in (None, ENGLISH) else str(tag)


class Contact(_Part):
    """contact.yaml of a lifter: stays with the coach, never in a workbook."""

    mail: MailAddress | None = Field(None, description="Where workbooks go")
    language: LetterLanguage | None = Field(None, description="Of letters and workbooks; the practice's if left out")
