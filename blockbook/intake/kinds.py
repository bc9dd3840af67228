"""What a file is, by its content first and its name second; what cannot be read says what to do instead."""

from __future__ import annotations

import re
from typing import Literal

from blockbook.errors import BlockbookError
from blockbook.intake.csv_files import decoded, looks_like_a_table
from blockbook.intake.package import Package
from blockbook.intake.returned import NoSpreadsheet, damaged, shown

Kind = Literal["xlsx", "xlsb", "ods", "xls", "csv", "zip"]

CSV_SUFFIXES = (".csv", ".tsv", ".tab")
SPREADSHEET_SUFFIXES = (".xlsx", ".xlsm", ".xltx", ".xltm", ".ods", ".ots", ".xls", ".xlsb")

_ASK = "Ask for the spreadsheet itself"
_OTHER_PROGRAMS = {
    ".numbers": "Numbers", ".gnumeric": "Gnumeric", ".fods": "LibreOffice, one flat file", ".sxc": "StarOffice",
    ".wk1": "1-2-3", ".wk3": "1-2-3", ".wk4": "1-2-3", ".123": "1-2-3", ".wb2": "Quattro Pro", ".wb3": "Quattro Pro",
    ".qpw": "Quattro Pro", ".wks": "Works", ".xlr": "Works", ".et": "another office program", ".pmd": "PlanMaker",
    ".pmdx": "PlanMaker", ".slk": "an old exchange format", ".dif": "an old exchange format",
}  # fmt: skip
_SHORTCUTS = (".gsheet", ".url", ".webloc", ".desktop", ".lnk", ".gdoc")

_BEGINNINGS: tuple[tuple[bytes, str], ...] = (
    (b"%PDF", f"is a PDF, a picture of a sheet. {_ASK}."),
    (b"\x89PNG", f"is a picture. {_ASK}, or type what it shows into the workbook."),
    (b"\xff\xd8\xff", f"is a picture. {_ASK}, or type what it shows into the workbook."),
    (b"GIF8", f"is a picture. {_ASK}, or type what it shows into the workbook."),
    (b"II*\x00", f"is a picture. {_ASK}, or type what it shows into the workbook."),
    (b"MM\x00*", f"is a picture. {_ASK}, or type what it shows into the workbook."),
    (b"BM", f"is a picture. {_ASK}, or type what it shows into the workbook."),
    (b"{\\rtf", f"is a text document. {_ASK}."),
    (b"Rar!", "is an archive of another kind. Unpack it and name the workbook in it."),
    (b"7z\xbc\xaf", "is an archive of another kind. Unpack it and name the workbook in it."),
    (b"BZh", "is an archive of another kind. Unpack it and name the workbook in it."),
    (b"\xfd7zXZ", "is an archive of another kind. Unpack it and name the workbook in it."),
)
_PICTURE_BRANDS = (b"heic", b"heix", b"heif", b"mif1", b"avif", b"hevc")
_MAIL = re.compile(
    r"\A(?:(?:received|return-path|delivered-to|from|to|cc|subject|date|message-id|mime-version|x-[\w-]+"
    r"|content-type|reply-to|dkim-signature|authentication-results|arc-[\w-]+):[^\n]*\n(?:[ \t][^\n]*\n)*){3}",
    re.IGNORECASE,
)
_OF_OURS = (
    (r"^meets:", "is a season: give it as --season to `blockbook new`, `next` or `review`."),
    (r"^block:[\s\S]*^(?:lifter|sessions):", "is a block's specification: `blockbook build` takes it. Name the "
     "workbook that came back."),
    (r"^coach:", "holds a practice's settings: every command inside the practice reads it."),
)  # fmt: skip
"""Text files of ours that are no log, by how their lines begin."""

_LINK = re.compile(r"\A\s*(?:\[InternetShortcut\]|\[Desktop Entry\]|\{[^{}]{0,4000}\"(?:url|doc_id)\")", re.IGNORECASE)
_HTML = re.compile(r"\A\s*(?:<!--.*?-->\s*|<\?xml[^>]*\?>\s*)*<(?:!doctype\s+html|html|head|body|table|meta)\b",
                   re.IGNORECASE | re.DOTALL)  # fmt: skip


def kind_of(content: bytes, suffix: str) -> Kind:
    """How to read a file that is not empty. suffix: of its name, in small letters, with the point.

    Raises NoSpreadsheet for what is something else, BlockbookError for what may well be the log
    but cannot be read.
    """
    if suffix in _SHORTCUTS or content.startswith(b"L\x00\x00\x00\x01\x14\x02\x00"):
        raise _shortcut()
    if suffix in _OTHER_PROGRAMS and not content.startswith(b"\xd0\xcf\x11\xe0"):
        raise _of_another_program(_OTHER_PROGRAMS[suffix])
    if content.startswith(b"PK"):
        return "zip"  # looked into by kind_of_package
    if content.startswith(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"):
        return "xls"
    if content.startswith(b"\x1f\x8b"):
        raise BlockbookError("is compressed. Unpack it, or open it in its own program and save it as .xlsx.")
    for beginning, sentence in _BEGINNINGS:
        if content.startswith(beginning):
            raise NoSpreadsheet(sentence)
    if content[4:8] == b"ftyp" or (content[:4] == b"RIFF" and content[8:12] == b"WEBP"):
        moving = content[4:8] == b"ftyp" and content[8:12].lower() not in _PICTURE_BRANDS
        what = "a film or sound" if moving else "a picture"
        raise NoSpreadsheet(f"is {what}. {_ASK}, or type what it shows into the workbook.")
    return _kind_of_text(content, suffix)


def kind_of_package(package: Package, suffix: str) -> Kind:
    """The same for what begins as a package: a workbook, or an archive of files."""
    names = {name.casefold() for name in package.names}
    tops = {name.partition("/")[0] for name in names}
    if "xl/workbook.xml" in names:
        return "xlsx"
    if "xl/workbook.bin" in names:
        return "xlsb"
    if "mimetype" in names or "content.xml" in names:
        return _kind_of_document(package, suffix)
    if "word" in tops and "[content_types].xml" in names:
        raise NoSpreadsheet(f"is a text document. {_ASK}.")
    if "ppt" in tops and "[content_types].xml" in names:
        raise NoSpreadsheet(f"is a presentation. {_ASK}.")
    if any(name.endswith((".iwa", "index.zip")) for name in names) or "index/document.iwa" in names:
        raise _of_another_program("Numbers")
    if suffix in SPREADSHEET_SUFFIXES or "[content_types].xml" in names:
        raise damaged("its list of sheets is missing")
    return "zip"


def _kind_of_document(package: Package, suffix: str) -> Kind:
    """An OpenDocument says what it is in its first part; some programs leave that out."""
    said = package.read("mimetype", 1_000).strip() if "mimetype" in package.entries else b""
    if said.startswith(b"application/vnd.oasis.opendocument.spreadsheet") or (not said and suffix in (".ods", ".ots")):
        return "ods"
    if said.startswith((b"application/vnd.oasis.opendocument", b"application/vnd.sun", b"application/epub")):
        raise NoSpreadsheet(f"is a document of another kind ({shown(said.decode('latin-1'))}). {_ASK}.")
    if suffix in SPREADSHEET_SUFFIXES:
        raise damaged("what kind of document it is is not said")
    return "zip"


def _kind_of_text(content: bytes, suffix: str) -> Kind:
    text = decoded(content)
    start = text[:20_000]
    if not start.strip():
        raise BlockbookError("is empty but for blanks. Ask the lifter to send it again.")
    if _LINK.search(start) or "plist" in start[:200]:
        raise _shortcut()
    if _HTML.search(start):
        if len(text) < 20_000 and re.search(r"https?://[^\s\"'<>]*(?:docs|drive|sheets|spreadsheet|office)", start):
            raise _shortcut()
        raise BlockbookError("is a web page, whatever its name. Open it in a spreadsheet program and save it as .xlsx.")
    if start.lstrip().startswith("<"):
        raise _of_another_program("plain XML")
    if _is_mail(start) or suffix in (".eml", ".mht", ".mhtml"):
        raise NoSpreadsheet("is a mail message. Save the workbook attached to it, and name that file.")
    if suffix in CSV_SUFFIXES or looks_like_a_table(start):
        return "csv"
    if suffix in SPREADSHEET_SUFFIXES:
        raise damaged("it is plain text")
    for begins, sentence in _OF_OURS:
        if suffix in (".yaml", ".yml") and re.search(begins, start, re.MULTILINE):
            raise NoSpreadsheet(sentence)
    raise NoSpreadsheet("is plain text and no table. Save it as .xlsx, or as .csv if it is a table.")


def is_mail(content: bytes) -> bool:
    """Whether a file, or its beginning, is a mail message."""
    return _is_mail(content[:20_000].decode("latin-1"))


def _is_mail(start: str) -> bool:
    return bool(_MAIL.match(start.replace("\r\n", "\n")))


def _shortcut() -> BlockbookError:
    return BlockbookError(
        "is only a link to a document that is kept online. Open that document and download it as .xlsx."
    )


def _of_another_program(program: str) -> BlockbookError:
    return BlockbookError(f"is in a format of its own ({program}). Open it in its program and save it as .xlsx.")
