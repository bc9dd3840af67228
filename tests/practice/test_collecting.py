"""Mail in by example: what is taken out of mails, where it is filed, and what is set aside with a reason."""

from __future__ import annotations

import io
import mailbox
import shutil
import zipfile
from collections.abc import Callable
from email.message import EmailMessage
from functools import cache
from pathlib import Path
from random import Random

import pytest
from openpyxl import load_workbook

import blockbook
from blockbook.practice import messages
from blockbook.practice.collecting import Collected
from blockbook.practice.folder import Practice
from blockbook.workbook.layout import MANIFEST
from tests.practice.small_practice import add, filed_in, mbox_of, message, returned, run, small_practice, succeeded
from tests.said import unwrapped

NAMES = ("Robin Sample", "Jo Beispiel")
ROBIN = "robin-sample/returned/small-block-2027-01-04"
JO = "jo-beispiel/returned/small-block-2027-01-04"


@pytest.fixture(name="practice")
def _practice(tmp_path: Path) -> Practice:
    return small_practice(tmp_path / "practice", NAMES)


def collected(practice: Practice, *mails: Path) -> Collected:
    return blockbook.collect(mails, practice.root)  # type: ignore[no-any-return]


def filed(practice: Practice) -> list[str]:
    return filed_in(practice.root / "lifters")


def reasons(practice: Practice) -> list[str]:
    return [path.read_text("utf-8") for path in sorted((practice.root / "unsorted").glob("*.txt"))]


def zipped(**files: bytes) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name.replace("__", "/"), content)
    return buffer.getvalue()


def eml(path: Path, made: EmailMessage) -> Path:
    path.write_bytes(made.as_bytes())
    return path


# Ways in


@cache
def log_from(name: str) -> tuple[str, bytes]:
    """An attachment."""
    return "log.xlsx", returned(name)


def robins() -> tuple[str, bytes]:
    return log_from("Robin Sample")


def jos() -> tuple[str, bytes]:
    return log_from("Jo Beispiel")


def as_eml(folder: Path) -> Path:
    (folder / "in").mkdir()
    eml(folder / "in" / "1.eml", message("Robin Sample", robins()))
    eml(folder / "in" / "2.eml", message("Jo Beispiel", jos()))
    return folder / "in"


def as_mbox(folder: Path) -> Path:
    return mbox_of(folder / "inbox", [message("Robin Sample", robins()), message("Jo Beispiel"), message("Jo", jos())])


def as_maildir(folder: Path) -> Path:
    box = mailbox.Maildir(folder / "maildir")
    for made in (message("Robin Sample", robins()), message("Jo Beispiel", jos())):
        box.add(made)
    return folder / "maildir"


def as_folder(folder: Path) -> Path:
    (folder / "in" / "deeper").mkdir(parents=True)
    (folder / "in" / "a.xlsx").write_bytes(robins()[1])
    (folder / "in" / "deeper" / "b.xlsx").write_bytes(jos()[1])
    return folder / "in"


def as_zip(folder: Path) -> Path:
    (folder / "all.zip").write_bytes(zipped(a__one=robins()[1], b__two=zipped(inner=jos()[1])))
    return folder / "all.zip"


def as_forwarded(folder: Path) -> Path:
    made = message("Jo Beispiel", ("log.zip", zipped(log=robins()[1])))
    inner = message("Jo Beispiel", jos())
    made.add_attachment(inner)
    return eml(folder / "forwarded.eml", made)


@pytest.mark.parametrize("make", [as_eml, as_mbox, as_maildir, as_folder, as_zip, as_forwarded])
def test_every_way_in_ends_under_the_right_lifter_once(
    tmp_path: Path, practice: Practice, make: Callable[[Path], Path]
) -> None:
    mails = make(tmp_path)
    done = collected(practice, mails)
    assert filed(practice) == [JO, ROBIN]
    assert (len(done.filed), done.known, done.unsorted, done.wrong) == (2, [], [], [])
    again = collected(practice, mails)
    assert (again.filed, len(again.known)) == ([], 2)
    assert filed(practice) == [JO, ROBIN]


def test_a_file_is_kept_as_it_came(tmp_path: Path, practice: Practice) -> None:
    collected(practice, as_mbox(tmp_path))
    (path,) = (practice.root / "lifters" / "robin-sample" / "returned").rglob("*.xlsx")
    assert path.read_bytes() == robins()[1]


def test_a_file_that_the_coach_corrected_is_not_put_back_by_the_same_mail(tmp_path: Path, practice: Practice) -> None:
    mail = eml(tmp_path / "1.eml", message("Robin Sample", robins()))
    (first,) = collected(practice, mail).filed
    corrected = first.path.read_bytes() + b" "  # another content, as after a cell was corrected
    first.path.write_bytes(corrected)
    again = collected(practice, mail)
    assert (again.filed, len(again.known)) == ([], 1)
    assert first.path.read_bytes() == corrected


def test_csv_files_of_one_mail_are_one_workbook(tmp_path: Path, practice: Practice) -> None:
    book = load_workbook(io.BytesIO(robins()[1]), data_only=True)
    tables = []
    for sheet in book:
        rows = ((str(value).replace('"', '""') if value is not None else "" for value in row) for row in sheet.values)
        tables.append(
            (f"{sheet.title}.csv", "\n".join(",".join(f'"{value}"' for value in row) for row in rows).encode())
        )
    done = collected(practice, eml(tmp_path / "1.eml", message("Robin Sample", *tables)))
    assert [filed.lifter.name for filed in done.filed] == ["robin-sample"]
    assert done.filed[0].path.suffix == ".zip"
    assert blockbook.read(done.filed[0].path).spec.lifter.name == "Robin Sample"


def test_neither_sender_nor_name_decides(tmp_path: Path, practice: Practice) -> None:
    mail = message("Jo Beispiel", ("jo-beispiel-small-block-2027-01-04.xlsx", robins()[1]))
    collected(practice, eml(tmp_path / "1.eml", mail))
    assert filed(practice) == [ROBIN]


# Set aside


def manifest_cut(content: bytes) -> bytes:
    book = load_workbook(io.BytesIO(content))
    del book[MANIFEST]
    buffer = io.BytesIO()
    book.save(buffer)
    return buffer.getvalue()


@pytest.mark.parametrize(
    ("name", "make", "said"),
    [
        ("log.xlsx", lambda: returned("Someone Else"), "a workbook for Someone Else, who has no folder"),
        ("log.xlsx", lambda: manifest_cut(robins()[1]), "its hidden manifest is missing"),
        ("log.xlsx", lambda: robins()[1][:4000], "cannot be read as a spreadsheet"),
        ("log.pdf", lambda: b"%PDF-1.7 invented", "is a PDF"),
        ("empty.xlsx", lambda: b"", "the file is empty"),
        ("deep.zip", lambda: zipped(a=zipped(b=zipped(c=zipped(d=zipped(e=robins()[1]))))), "too deep"),
        ("many.zip", lambda: zipped(**{f"file{n}": b"a,b" for n in range(201)}), "over 200 files"),
    ],
)
def test_what_cannot_be_filed_is_kept_with_the_reason(
    tmp_path: Path, practice: Practice, name: str, make: Callable[[], bytes], said: str
) -> None:
    content = make()
    mail = eml(tmp_path / "1.eml", message("Robin Sample", (name, content), subject="from my phone"))
    done = collected(practice, mail)
    assert (filed(practice), len(done.unsorted)) == ([], 1)
    (reason,) = reasons(practice)
    assert said in reason.splitlines()[0]
    assert "From: robin@example.org" in reason
    assert "Subject: from my phone" in reason
    assert "Perhaps of: robin-sample" in reason
    if content and not name.endswith("zip"):
        assert done.unsorted[0].path.read_bytes() == content
    assert collected(practice, mail).unsorted == []


def test_it_is_said_whose_a_file_perhaps_is_that_could_not_be_filed(
    tmp_path: Path, practice: Practice, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(practice.root)
    known = message("Robin Sample", ("log.pdf", b"%PDF-1.7 invented"))
    unknown = message("Nobody", ("plan.pdf", b"%PDF-1.6 invented"), sender="Sam <sam@example.org>")
    shown = unwrapped(succeeded("collect", mbox_of(tmp_path / "inbox", [known, unknown]))).splitlines()
    assert shown[0].endswith(" Perhaps of robin-sample.")
    assert shown[1].endswith(" Perhaps of Sam <sam@example.org>.")


def test_a_mail_of_a_lifter_without_a_workbook_is_told(tmp_path: Path, practice: Practice) -> None:
    """ "My back hurts, I did not train" is news, and is filed nowhere."""
    box = mbox_of(tmp_path / "inbox.mbox", [message("Robin Sample", subject="My back"), message("Nobody Known")])
    assert collected(practice, box).words == [
        'robin-sample: a mail without a workbook (inbox.mbox, message 1, "My back"). Read it.'
    ]


def test_pictures_within_a_text_are_passed_over_and_attached_ones_kept(tmp_path: Path, practice: Practice) -> None:
    mail = message("Robin Sample", ("photo.png", b"\x89PNG photo of the sheet"))
    logo = EmailMessage()
    logo.set_content(b"\x89PNG logo", "image", "png", cid="<logo@example.org>", disposition="inline")
    mail.attach(logo)
    done = collected(practice, eml(tmp_path / "1.eml", mail))
    assert done.passed_over == ["a part (1.eml)"]
    assert [each.name for each in done.unsorted] == ["photo.png (1.eml)"]


def test_a_name_that_two_folders_share_decides_nothing(tmp_path: Path, practice: Practice) -> None:
    shutil.copytree(practice.root / "lifters" / "robin-sample", practice.root / "lifters" / "another-robin")
    collected(practice, eml(tmp_path / "1.eml", message("Robin Sample", robins())))
    assert filed(practice) == []
    assert "another-robin and robin-sample are both called so" in reasons(practice)[0]


def test_what_was_set_aside_is_filed_once_its_lifter_is_there(tmp_path: Path, practice: Practice) -> None:
    mail = eml(tmp_path / "1.eml", message("Someone Else", ("log.xlsx", returned("Someone Else"))))
    assert len(collected(practice, mail).unsorted) == 1
    assert collected(practice, practice.root / "unsorted").unsorted == []
    add(practice.root, "Someone Else")
    assert len(collected(Practice(practice.root), practice.root / "unsorted").filed) == 1
    assert list((practice.root / "unsorted").iterdir()) == []


HEADERS = (
    b"From: a@example.org\nTo: coach@example.org\nSubject: =?utf-8?q?x=0D=0ABcc:_all@example.org?=\n"
    b"Date: never\nMIME-Version: 1.0\nContent-Type: multipart/mixed; boundary=b\n\n"
)


def part(name: bytes, content: bytes = b"%PDF", kind: bytes = b"application/octet-stream") -> bytes:
    head = b"--b\nContent-Type: " + kind + b'\nContent-Disposition: attachment; filename="' + name + b'"\n\n'
    return head + content + b"\n"


@pytest.mark.parametrize(
    "name",
    [b"../../../evil.sh", b"..\\..\\evil.bat", b"/etc/passwd", b"C:\\evil.exe", b"con.xlsx", b"a\x00b.xlsx",
     b"\xff.xlsx", b"=?utf-8?q?=0D=0AX:_y.xlsx?=", b"x" * 3000 + b".xlsx", b"~/.profile"],
)  # fmt: skip
def test_no_name_of_an_attachment_leads_anywhere(tmp_path: Path, practice: Practice, name: bytes) -> None:
    (tmp_path / "1.eml").write_bytes(HEADERS + part(name) + b"--b--\n")
    before = everything(tmp_path)
    done = collected(practice, tmp_path / "1.eml")
    new = everything(tmp_path) - before - {practice.root / ".blockbook.lock"}
    assert {path.parent for path in new} == {practice.root / "unsorted"}
    assert all(len(path.name) < 100 and path.suffix in (".txt", ".xlsx", ".bin") for path in new)
    (reason,) = reasons(practice)
    assert not [line for line in reason.splitlines() if line.startswith(("Bcc", "X:"))]
    assert len(done.unsorted) == 1


def everything(folder: Path) -> set[Path]:
    return {path for path in folder.rglob("*") if path.is_file()}


def nested_parts(depth: int) -> bytes:
    head = b"From: a@example.org\nTo: c@example.org\nDate: x\nMIME-Version: 1.0\n"
    for number in range(depth):
        head += b'Content-Type: multipart/mixed; boundary="b%d"\n\n--b%d\n' % (number, number)
    return head + b"Content-Type: text/plain\n\nhello\n"


@pytest.mark.parametrize(
    ("content", "said"),
    [(nested_parts(1100), "nested too deep"), (HEADERS + part(b"x.pdf") * 250 + b"--b--\n", "over 200 parts")],
    ids=["parts in parts", "many parts"],
)
def test_messages_made_to_break_a_program_end_in_a_sentence(
    tmp_path: Path, practice: Practice, content: bytes, said: str
) -> None:
    (tmp_path / "1.eml").write_bytes(content)
    done = collected(practice, tmp_path / "1.eml")
    assert (filed(practice), done.wrong) == ([], [])
    assert any(said in reason for reason in reasons(practice))


PIECES = (
    b"\n", b"--", b'Content-Type: multipart/mixed; boundary="b"\n', b"Content-Transfer-Encoding: base64\n", b"\x00",
    b"=?utf-8?b?//8=?=", b"\xff\xfe", b"filename*=utf-8''%00%ff", b'"', b"Content-Type: message/rfc822\n", b"From x\n",
    b"; charset=nosuch", b"Content-Disposition: attachment; filename*0*=x\n",
)  # fmt: skip


def test_damaged_mails_are_filed_or_set_aside_and_nothing_else_happens(tmp_path: Path, practice: Practice) -> None:
    mail = message("Robin Sample", ("log.pdf", b"%PDF-1.7 invented"), ("b.zip", zipped(a=b"1,2")))
    mail.add_attachment(message("Jo Beispiel", ("c.csv", b"a;b\n1;2\n")))
    whole, random = mail.as_bytes(), Random(7)
    for number in range(60):
        content = bytearray(whole)
        for _ in range(random.randint(1, 8)):
            at = random.randrange(len(content))
            content[at : at + random.randrange(40)] = random.choice(PIECES)
        (tmp_path / f"{number}.eml").write_bytes(content)
    before = everything(tmp_path)
    done = collected(practice, tmp_path)
    assert (done.wrong, done.filed) == ([], [])
    assert done.counted.messages >= 60
    new = everything(tmp_path) - before - {practice.root / ".blockbook.lock"}
    assert {path.parent for path in new} == {practice.root / "unsorted"}


def test_a_message_over_the_limit_is_told_and_the_next_one_read(
    tmp_path: Path, practice: Practice, monkeypatch: pytest.MonkeyPatch
) -> None:
    big = message("Jo Beispiel", ("big.bin", b"0" * 400_000), subject="holiday film")
    box = mbox_of(tmp_path / "inbox", [big, message("Robin Sample", robins())])
    monkeypatch.setattr(messages, "MESSAGE_LIMIT", 300_000)
    collected(practice, box)
    assert filed(practice) == [ROBIN]
    (reason,) = reasons(practice)
    assert "was not read" in reason
    assert "Subject: holiday film" in reason


def test_what_is_no_mail_and_what_is_not_there_end_with_2(
    tmp_path: Path, practice: Practice, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(practice.root)
    result = run("collect", tmp_path / "nobody.mbox", as_mbox(tmp_path))
    assert result.exit_code == 2
    assert "nobody.mbox: there is no such file or folder" in result.stderr
    assert "robin-sample: Small block (log.xlsx)" in result.stdout
    assert filed(practice) == [JO, ROBIN]


def test_an_alarm_in_what_came_back_is_told_at_once_until_it_is_answered(practice: Practice, tmp_path: Path) -> None:
    noted = {"w1.lower.squat.1/note": "chest pain", "w1.lower.pain": None, "w1.upper.pain": None, "w2.lower.pain": None}
    for answer, told in ((None, True), ("none", False)):
        content = returned("Robin Sample", {**noted, "w2.upper.pain": answer})
        mail = eml(tmp_path / f"{answer}.eml", message("Robin Sample", (f"{answer}.xlsx", content)))
        shown = unwrapped(succeeded("collect", mail, "--practice", practice.root, "--quiet"))
        assert ("robin-sample: chest pain, fainting or the like is noted and not answered. Call" in shown) == told


def test_quiet_says_only_what_needs_the_coach(
    tmp_path: Path, practice: Practice, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(practice.root)
    said = 'jo-beispiel: a mail without a workbook (inbox, message 2, "my log"). Read it.\n'
    assert succeeded("collect", as_mbox(tmp_path), "--quiet") == said
    assert "known already: log.xlsx (inbox, message 1)\n" in succeeded("collect", tmp_path / "inbox", "--verbose")
    shown = succeeded("collect", eml(tmp_path / "x.eml", message("Jo", ("x.pdf", b"%PDF"))), "--quiet")
    assert shown.startswith("unsorted/")
    assert max(map(len, shown.splitlines())) <= 80


@pytest.mark.parametrize(("count", "said"), [(0, "0 messages"), (1, "1 message"), (2, "2 messages")])
def test_one_message_is_one(practice: Practice, tmp_path: Path, count: int, said: str) -> None:
    for number in range(count):
        (tmp_path / f"{number}.eml").write_text(f"Subject: No workbook {number}\n\nHello.\n", "utf-8")
    inbox = tmp_path if count else practice.root / "letters"
    shown = succeeded("collect", *sorted(inbox.glob("*.eml")) or [inbox], "--practice", practice.root)
    assert unwrapped(shown).rstrip().endswith(f"{said}.")
