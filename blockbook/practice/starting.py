"""A practice made, and lifters taken into it."""

from __future__ import annotations

import json
from contextlib import suppress
from datetime import date
from importlib.resources import files
from pathlib import Path
from string import Template

from blockbook import api
from blockbook.errors import BlockbookError
from blockbook.files import refuse_existing, write_text
from blockbook.languages import LANGUAGE_NAMES, nearest_tag
from blockbook.practice.folder import DRAFTS, LIFTERS, SETTINGS, UNSORTED, LifterFolder, Practice, lifter_folder
from blockbook.spec import schemas
from blockbook.spec.documents import dump_yaml
from blockbook.spec.loading import load_contact, parse_settings, parse_spec
from blockbook.spec.models import Unit
from blockbook.spec.templates import in_words_of, named

README, IGNORED = "README.txt", ".gitignore"


def init(
    folder: str | Path, coach: str = "", mail: str | None = None, unit: Unit = "kg", force: bool = False
) -> Practice:
    """Make the folder of a practice: settings, a letter, and room for lifters.

    coach, mail: your name and address; both can be written into settings.yaml later. force: write settings and
    letter anew; lifters are never touched. Raises BlockbookError for settings that are there already.
    """
    folder = Path(folder)
    who = {
        "coach": json.dumps(coach, ensure_ascii=False).ljust(18),
        "mail": (json.dumps(mail) if mail else "").ljust(18),
    }
    made = {
        folder / SETTINGS: Template(_shipped("settings.yaml")).substitute(**who, unit=unit),
        folder / schemas.SETTINGS: schemas.schema_text(schemas.SETTINGS),
        **{folder / "letters" / f"{language}.txt": _shipped(f"{language}.txt") for language in LANGUAGE_NAMES},
        folder / README: _shipped("README.txt"),
    }
    parse_settings(made[folder / SETTINGS], str(folder / SETTINGS))  # what was given is checked as if it were typed
    refuse_existing(made, force)
    for path, text in made.items():
        write_text(path, text, force)
    if not (folder / IGNORED).exists():
        write_text(folder / IGNORED, _shipped("gitignore.txt"), force)
    try:
        for name in (LIFTERS, UNSORTED, DRAFTS):
            (folder / name).mkdir(exist_ok=True)
    except OSError as error:
        raise BlockbookError(f"{folder}: cannot be written ({error.strerror}).") from None
    return Practice(folder)


def _shipped(name: str) -> str:
    return (Path(str(files("blockbook"))) / "practice" / "starting_files" / name).read_text("utf-8")


def add_lifter(
    practice: Practice,
    name: str,
    template: str | None,
    start: date | None = None,
    unit: Unit | None = None,
    mail: str | None = None,
    season: Path | None = None,
    language: str | None = None,
    as_workbook: bool = False,
) -> LifterFolder:
    """Take a lifter into the practice: a folder with a starter specification and a contact.

    unit: the settings' if left out; season: a copy lies beside the block, for `next` to follow; as_workbook: the
    specification is a plan workbook, block.xlsx. Raises BlockbookError if the lifter is there already, and as `new`
    does.
    """
    lifter = LifterFolder(practice.root / LIFTERS / _free(practice, name))
    refuse_existing([lifter.block, lifter.contact_file], force=False)
    contact = dump_yaml({"mail": mail}) if mail else "# mail: robin@example.org\n"
    contact += "# language: en      # of the letters, if it is not the settings'\n"
    try:
        write_text(lifter.contact_file, contact, force=False)
        load_contact(lifter.contact_file)
        text = named(api.starter_text(template, start, unit or practice.settings.unit, season, language), name)
        if language is None and (spoken := nearest_tag(practice.settings.language)):
            text = in_words_of(text, spoken.language)
        spec = parse_spec(text, str(lifter.block))
        block = lifter.path / ("block.xlsx" if as_workbook else "block.yaml")
        api.write_spec(block, spec, text, False, [api.INVENTED])
        if season is not None and lifter.season is None:
            write_text(lifter.season_file, season.read_text("utf-8"), force=False)
    except BlockbookError:
        for made in (lifter.block, lifter.contact_file, lifter.path / schemas.SPECIFICATION):
            made.unlink(missing_ok=True)
        with suppress(OSError):  # other files of the coach's stay
            lifter.path.rmdir()
        raise
    return lifter


def _free(practice: Practice, name: str) -> str:
    """A folder's name that nobody has; two who are written alike there get a number."""
    if not any(map(str.isalnum, name)):
        raise BlockbookError(f'"{name}" is no name that a folder can have: write it with a letter or a digit in it.')
    wanted = lifter_folder(name)
    taken = {lifter.name.casefold(): lifter for lifter in practice.lifters}  # some systems see no difference of case
    number = 1
    while (called := wanted if number == 1 else f"{wanted}-{number}") in taken:
        if not taken[called].block.exists():
            return called
        if taken[called].is_of(name):
            raise BlockbookError(
                f"{taken[called].path}: {name} is there already. Edit {taken[called].block.name} in it (another unit "
                "means other bests and equipment, too), or delete that folder to begin anew."
            )
        number += 1
    return called
