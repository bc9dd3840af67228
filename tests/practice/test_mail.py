"""Mail out by example: drafts, and what a real server on this computer takes, refuses or drops."""

from __future__ import annotations

import json
import shutil
import socket
from collections.abc import Callable, Iterator
from datetime import date
from email import message_from_bytes, policy
from email.message import EmailMessage
from hashlib import sha256
from pathlib import Path
from typing import Any

import keyring
import pytest
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, Envelope, Session
from keyring.backend import KeyringBackend

import blockbook
from blockbook import many
from blockbook.errors import BlockbookError
from blockbook.practice import sending
from blockbook.practice.folder import Practice, open_practice
from blockbook.practice.letters import letter
from blockbook.practice.sent_log import Entry, SentLog
from blockbook.spec.settings import Smtp
from blockbook.workbook.manifest import digest_of
from tests.practice.small_practice import add, build_noted, returned, run, small_practice, spec_of, succeeded
from tests.said import unwrapped

NAMES = ("Alex Example", "Jo Beispiel", "Kim Muster")


@pytest.fixture(name="built", scope="module")
def _built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A practice whose workbooks are built: most tests here only mail them."""
    practice = small_practice(tmp_path_factory.mktemp("built") / "practice", NAMES)
    for lifter in practice.lifters:
        build_noted(practice, lifter)
    return practice.root


@pytest.fixture(name="practice")
def _practice(tmp_path: Path, built: Path, monkeypatch: pytest.MonkeyPatch) -> Practice:
    practice = Practice(shutil.copytree(built, tmp_path / "practice"))
    monkeypatch.chdir(practice.root)
    return practice


def opened(path: Path) -> EmailMessage:
    return message_from_bytes(path.read_bytes(), policy=policy.default)


def log(practice: Practice, *what: str) -> list[dict[str, Any]]:
    lines = (practice.root / "sent-log.jsonl").read_text("utf-8").splitlines()
    return [entry for entry in map(json.loads, lines) if entry["what"] in what]


# Drafts


def test_a_letter_names_the_first_session_and_not_the_day_weeks_begin_on(practice: Practice) -> None:
    """Weeks of a block before a Saturday's meet begin on Saturdays; nobody trains then."""
    spec = spec_of("Alex Example")
    early = spec.model_copy(update={"block": spec.block.model_copy(update={"start": date(2027, 1, 2)})})
    assert letter(practice, "en", early, "block.xlsx")[0] == "Small block, from Monday 4 January 2027"


def test_a_draft_is_ready_to_open_and_send(practice: Practice) -> None:
    shown = succeeded("mail", "alex-example")
    (path,) = practice.root.glob("drafts/*.eml")
    assert shown == f"{path.relative_to(practice.root)}\n"
    mail = opened(path)
    assert (mail["X-Unsent"], mail["To"], mail["Subject"]) == (
        "1", "Alex Example <alex@example.org>", "Small block, from Monday 4 January 2027",
    )  # fmt: skip
    assert mail["From"] == "Coach Invented <coach@example.org>"
    text = mail.get_body().get_content()  # type: ignore[union-attr]
    assert "Hello Alex Example," in text
    assert "your training block is attached: Small block, 2 weeks" in text
    assert "Monday 4 January 2027 to Sunday 17 January 2027" in text
    assert "pain: stop" in text
    (attached,) = mail.iter_attachments()
    workbook = practice.root / "attached.xlsx"
    workbook.write_bytes(attached.get_payload(decode=True))  # type: ignore[arg-type]
    assert attached.get_filename() == "alex-example-small-block-2027-01-04.xlsx"
    assert blockbook.read(workbook).digest == digest_of(spec_of("Alex Example"))


def test_only_what_is_due_is_drafted(practice: Practice) -> None:
    assert len(succeeded("mail").splitlines()) == 3
    assert succeeded("mail") == "3 drafted or sent before: nothing new for them.\n"
    block = practice.root / "lifters" / "jo-beispiel" / "block.yaml"
    block.write_text(block.read_text("utf-8") + "\n# a comment changes nothing\n", "utf-8")
    assert succeeded("mail", "--quiet") == ""
    block.write_text(block.read_text("utf-8").replace("rpe: [7.5, 8]", "rpe: [7, 8]"), "utf-8")
    assert succeeded("mail", "--quiet").startswith("drafts/jo-beispiel-small-block-2027-01-04-")
    assert succeeded("mail", "kim-muster", "--again").startswith("drafts/kim-muster-")


def test_many_are_built_and_drafted_at_once_as_one_by_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    names = [f"Lifter {letter}" for letter in "ABCDEFG"]
    assert len(names) >= many.FEW

    def mailed(folder: Path, workers: int) -> tuple[list[str], list[tuple[str, str]], dict[str, str]]:
        practice = small_practice(folder, names)
        (practice.root / "lifters" / "lifter-c" / "block.yaml").write_text("block: {", "utf-8")
        monkeypatch.chdir(practice.root)
        monkeypatch.setattr(many, "cores", lambda: workers)
        wrong = run("mail")
        assert (wrong.exit_code, "lifter-c" in wrong.stderr) == (2, True)
        workbooks = {
            path.name: sha256(path.read_bytes()).hexdigest() for path in practice.root.glob("lifters/*/sent/*")
        }
        noted = [(entry["what"], entry["lifter"]) for entry in log(practice, "built", "drafted")]
        return wrong.stdout.split(), noted, workbooks

    alone, together = mailed(tmp_path / "alone", 1), mailed(tmp_path / "together", 2)
    assert alone == together
    assert len(together[2]) == len(names) - 1


def test_a_plan_that_looks_odd_is_drafted_and_said(practice: Practice) -> None:
    """Of many lifters in short, with the command that says all."""
    for number in range(4):
        press = "      - exercise: leg press\n"
        odd = (("bar: 20", "bar: 45"), (f"{press}        sets: 2\n", press))
        add(practice.root, f"Odd {number}", *odd)
    one = run("mail", "odd-1").stderr
    assert "  Look: A bar of 45 kg: are the loads in lb?" in one
    assert "  Look: Lower: leg press says nothing of sets, so it is one." in one
    assert run("build", "odd-1").stderr == one
    many = run("mail").stderr
    assert many.count("Then write the unit, too. And 1 more: `blockbook build odd-") == 3
    assert "leg press" not in many


def test_a_meet_in_the_next_block_is_said_by_next_and_by_mail(practice: Practice) -> None:
    meet = ("  weeks: 2\n", "  weeks: 2\n  meet: 2027-01-22\n")
    lifter = add(practice.root, "Odd One", meet)
    (lifter / "returned").mkdir()
    (lifter / "returned" / "log.xlsx").write_bytes(returned("Odd One", None, meet))
    look = "Look: The meet on Fri 22 January falls in week 1 of 2: nothing tapers towards it."
    assert f"odd-one: {look}" in unwrapped(succeeded("next", "odd-one"))
    assert look in unwrapped(run("mail", "odd-one").stderr)


def test_the_letter_follows_the_lifters_language(practice: Practice) -> None:
    (practice.root / "letters" / "de.txt").write_text("Subject: Plan $title\n\nHallo $lifter, $$ 5\n", "utf-8")
    contact = practice.root / "lifters" / "jo-beispiel" / "contact.yaml"
    contact.write_text("mail: jo@example.org\nlanguage: de\n", "utf-8")
    (draft,) = blockbook.mail(["jo-beispiel"], practice.root)
    mail = opened(draft.path)
    assert mail["Subject"] == "Plan Small block"
    assert mail.get_body().get_content().strip() == "Hallo Jo Beispiel, $ 5"  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Subject: x\n\nHello $name", "en.txt: line 3: $name is no field of a letter. There are $lifter,"),
        ("Subject: x\n5 $", "en.txt: line 2: a dollar sign alone"),
        ("Hello", "the first line should be the subject"),
        (None, "the letter cannot be opened"),
    ],
)
def test_a_mistake_in_the_letter_is_told_with_its_line(practice: Practice, text: str | None, said: str) -> None:
    letter = practice.root / "letters" / "en.txt"
    letter.unlink() if text is None else letter.write_text(text, "utf-8")
    result = run("mail", "alex-example")
    assert (result.exit_code, said in result.stderr) == (2, True)
    assert list(practice.root.glob("drafts/*")) == []


def test_no_name_begins_a_header_of_its_own(practice: Practice) -> None:
    add(practice.root, "Eve\nBcc: all@example.org", ("title: Small block", 'title: "a\\r\\nCc: all@example.org"'))
    lifter = next(each for each in open_practice(practice.root).lifters if each.name.startswith("eve"))
    lifter.contact_file.write_text("mail: eve@example.org\n", "utf-8")
    (draft,) = blockbook.mail([lifter.name], practice.root)
    mail = opened(draft.path)
    assert (mail["Bcc"], mail["Cc"]) == (None, None)
    assert [address.addr_spec for address in mail["To"].addresses] == ["eve@example.org"]


def test_dates_stay_figures_in_a_language_whose_names_are_not_known(practice: Practice) -> None:
    (practice.root / "letters" / "fr.txt").write_text("Subject: Plan\n\nDès le $start", "utf-8")
    (practice.root / "lifters" / "jo-beispiel" / "contact.yaml").write_text("language: fr\n", "utf-8")
    (draft,) = blockbook.mail(["jo-beispiel"], practice.root)
    assert opened(draft.path).get_body().get_content().strip() == "Dès le 2027-01-04"  # type: ignore[union-attr]


def test_a_starter_that_nobody_edited_is_left_out_unless_it_is_named(practice: Practice) -> None:
    succeeded("new", "strength", "--lifter", "Sam Muster")
    shown = succeeded("mail", "--quiet")
    assert "sam-muster: left out: all bests are still the example's." in " ".join(shown.split())
    assert list(practice.root.glob("drafts/sam*")) == []
    block = practice.root / "lifters" / "sam-muster" / "block.yaml"
    starter = block.read_text("utf-8")
    block.write_text(starter.replace("body_weight: 82.5", "body_weight: 64"), "utf-8")
    assert "sam-muster: left out: all bests are still the example's." in unwrapped(succeeded("mail", "--quiet"))
    block.write_text(starter.replace("back squat: 150", "back squat: 140"), "utf-8")
    edited = run("mail", "--quiet")
    assert edited.stdout.startswith("drafts/sam-muster-strength-block-")
    assert "Look: Still as in the example: bench press 110 kg, deadlift 180 kg, overhead" in edited.stderr
    block.write_text(starter, "utf-8")
    named = run("mail", "sam-muster", "--quiet")
    assert named.stdout.startswith("drafts/sam-muster-strength-block-")
    assert "Look: All bests are still the example's: every load is for an invented lifter." in unwrapped(named.stderr)


def test_a_block_with_an_alarm_that_is_still_open_is_left_out_unless_it_is_named(practice: Practice) -> None:
    succeeded("mail")
    block = practice.root / "lifters" / "alex-example" / "block.yaml"
    block.write_text(block.read_text("utf-8").replace("block:\n", "block:\n  alarm_open: true\n"), "utf-8")
    shown = unwrapped(succeeded("mail", "--quiet"))
    assert "alex-example: left out: chest pain, fainting or the like in the last block is still open." in shown
    assert [path.parent.name for path in practice.root.glob("drafts/**/alex*")] == ["outdated"]
    drafted = succeeded("mail", "alex-example", "--quiet").splitlines()[0]
    assert drafted.startswith("drafts/alex-example-small-block-")
    body = message_from_bytes(Path(drafted).read_bytes(), policy=policy.default).get_body()
    assert body is not None
    assert body.get_content().startswith("Chest pain, dizziness, fainting, numbness or the like was noted: no training")


def test_many_starters_that_nobody_edited_are_left_out_in_one_go(practice: Practice) -> None:
    for number in range(4):
        succeeded("new", "strength", "--lifter", f"Sam {number}")
    assert unwrapped(succeeded("mail", "--quiet")).splitlines()[-1] == (
        "left out: sam-0, sam-1, sam-2, sam-3: all bests are still the example's. Edit each block, or mail "
        "it as it is: `blockbook mail NAME`."
    )


def test_what_came_back_is_not_due(practice: Practice) -> None:
    succeeded("mail")
    filed = practice.root / "lifters" / "jo-beispiel" / "returned" / "small-block-2027-01-04"
    filed.mkdir(parents=True)
    (filed / "log.xlsx").write_bytes(returned("Jo Beispiel"))
    assert succeeded("mail") == "2 drafted or sent before, 1 came back already: nothing new for them.\n"
    block = practice.root / "lifters" / "jo-beispiel" / "block.yaml"
    block.write_text(block.read_text("utf-8").replace("rpe: [7.5, 8]", "rpe: [7, 8]"), "utf-8")
    assert succeeded("mail", "--quiet").startswith("drafts/jo-beispiel-small-block-2027-01-04-")


# What a changed block leaves behind


def correct(practice: Practice, old: str = "rpe: [7.5, 8]", new: str = "rpe: [7, 8]") -> None:
    block = practice.root / "lifters" / "jo-beispiel" / "block.yaml"
    assert old in block.read_text("utf-8")
    block.write_text(block.read_text("utf-8").replace(old, new), "utf-8")


def in_sent(practice: Practice) -> dict[str, str]:
    """Workbook -> the version of the block that it holds."""
    sent = (practice.root / "lifters" / "jo-beispiel" / "sent").iterdir()
    return {path.name: blockbook.read(path).digest for path in sent}


WORKBOOK = "jo-beispiel-small-block-2027-01-04"
WRONG, RIGHT = digest_of(spec_of("Jo Beispiel")), digest_of(spec_of("Jo Beispiel", ("rpe: [7.5, 8]", "rpe: [7, 8]")))


def test_a_workbook_that_was_never_mailed_makes_room_for_the_corrected_one(practice: Practice) -> None:
    correct(practice)
    shown = unwrapped(succeeded("build", "jo-beispiel"))
    assert f"  Takes the place of {WORKBOOK}.xlsx, which was never mailed." in shown
    assert in_sent(practice) == {f"{WORKBOOK}.xlsx": RIGHT}
    assert "Takes the place" not in succeeded("build", "jo-beispiel", "--force"), "it is the same version"
    correct(practice, "rpe: [7, 8]", "rpe: [7.5, 8]")
    assert "(as before)" not in succeeded("build", "jo-beispiel"), "the file of that name holds another version"
    assert in_sent(practice) == {f"{WORKBOOK}.xlsx": WRONG}
    correct(practice, "start: 2027-01-04", "start: 2027-01-11")
    succeeded("build", "jo-beispiel")
    assert list(in_sent(practice)) == ["jo-beispiel-small-block-2027-01-11.xlsx"]


def test_a_workbook_that_was_never_mailed_and_begins_far_off_stays_and_is_said(practice: Practice) -> None:
    succeeded("mail", "jo-beispiel")
    correct(practice, "start: 2027-01-04", "start: 2027-01-25")
    shown = unwrapped(succeeded("mail", "jo-beispiel"))
    said = "stays beside it: never mailed either, but far off. Delete it if it is no block of its own."
    assert f"{WORKBOOK}.xlsx {said}" in shown
    assert sorted(in_sent(practice)) == [f"{WORKBOOK}.xlsx", "jo-beispiel-small-block-2027-01-25.xlsx"]
    (practice.root / "lifters" / "jo-beispiel" / "sent" / f"{WORKBOOK}.xlsx").unlink()
    correct(practice, "start: 2027-01-25", "start: 2027-02-01")
    assert said not in unwrapped(succeeded("build", "jo-beispiel"))


def by_the_server(practice: Practice) -> None:
    entry = Entry("sent", "jo-beispiel", WRONG, "drafts/gone.eml")
    SentLog(practice.root / "sent-log.jsonl").add(entry)


def by_hand(practice: Practice) -> None:
    succeeded("mail", "jo-beispiel")
    next(practice.root.glob("drafts/jo-*")).unlink()


def without_us(practice: Practice) -> None:
    """As the lifter's answer shows."""
    filed = practice.root / "lifters" / "jo-beispiel" / "returned" / "small-block-2027-01-04"
    filed.mkdir(parents=True)
    (filed / "log.xlsx").write_bytes(returned("Jo Beispiel"))


@pytest.mark.parametrize("mailed", [by_the_server, by_hand, without_us])
def test_a_workbook_that_was_mailed_stays_beside_the_changed_one(
    practice: Practice, mailed: Callable[[Practice], None]
) -> None:
    mailed(practice)
    correct(practice)
    assert "Takes the place" not in succeeded("build", "jo-beispiel")
    assert in_sent(practice) == {f"{WORKBOOK}.xlsx": WRONG, f"{WORKBOOK}-2.xlsx": RIGHT}


def test_a_draft_of_what_is_not_current_any_more_is_put_aside_as_it_is(practice: Practice) -> None:
    succeeded("mail", "jo-beispiel")
    (wrong,) = practice.root.glob("drafts/*.eml")
    edited = wrong.read_bytes().replace(b"Hello Jo", b"Dear Jo")
    wrong.write_bytes(edited)
    correct(practice)
    shown = unwrapped(succeeded("mail", "jo-beispiel"))
    assert f"drafts/{wrong.name}: is not of the current block any more, and was put into drafts/outdated/." in shown
    (right,) = practice.root.glob("drafts/*.eml")
    assert opened(right)["X-Blockbook-Digest"] == RIGHT
    assert (practice.root / "drafts" / "outdated" / wrong.name).read_bytes() == edited
    correct(practice, "rpe: [7, 8]", "rpe: [7.5, 8]")
    succeeded("mail", "jo-beispiel")
    assert [path.name for path in practice.root.glob("drafts/*.eml")] == [wrong.name], (
        "drafted anew, as it was withdrawn"
    )
    assert {path.name for path in practice.root.glob("drafts/outdated/*")} == {wrong.name, right.name}


def test_several_drafts_that_are_put_aside_are_said_in_one_sentence(practice: Practice) -> None:
    succeeded("mail")
    for block in practice.root.glob("lifters/*/block.yaml"):
        block.write_text(block.read_text("utf-8").replace("rpe: [7.5, 8]", "rpe: [7, 8]"), "utf-8")
    assert unwrapped(succeeded("mail")).splitlines()[-1] == (
        "3 drafts are not of a current block any more, and were put into drafts/outdated/."
    )


def test_the_draft_of_a_block_that_is_over_is_put_aside_when_the_next_is_built(practice: Practice) -> None:
    succeeded("mail", "jo-beispiel")
    (over,) = practice.root.glob("drafts/*.eml")
    lifter = practice.root / "lifters" / "jo-beispiel"
    text = (lifter / "block.yaml").read_text("utf-8").replace("2027-01-04", "2027-01-18")
    (lifter / "next.yaml").write_text(text.replace("Small block", "Small block 2"), "utf-8")
    assert f"drafts/{over.name}: is not of the current block" in unwrapped(succeeded("build", "jo-beispiel"))
    assert [path.name for path in practice.root.glob("drafts/*")] == ["outdated"]
    assert len(in_sent(practice)) == 2, "the block before stays"


def test_a_faulty_letter_is_told_before_anything_moves(practice: Practice) -> None:
    succeeded("mail", "jo-beispiel")
    correct(practice)
    (practice.root / "letters" / "en.txt").write_text("Hello", "utf-8")
    assert "the first line should be the subject" in run("mail", "jo-beispiel").stderr
    assert in_sent(practice) == {f"{WORKBOOK}.xlsx": WRONG}
    assert len(list(practice.root.glob("drafts/*.eml"))) == 1


# Sending


class Server:
    """A mail server on loopback. refuse: receivers it does not know; drop: what it hangs up at, and at which mail."""

    def __init__(self) -> None:
        self.taken: list[EmailMessage] = []
        self.handed_to: list[list[str]] = []
        self.refuse: set[str] = set()
        self.drop: tuple[str, int] | None = None
        self.port = 0

    async def handle_RCPT(
        self, server: SMTP, _session: Session, envelope: Envelope, address: str, _options: list[str]
    ) -> str:
        if address in self.refuse:
            return "550 5.1.1 no such mailbox here"
        self._drop(server, "RCPT")
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server: SMTP, _session: Session, envelope: Envelope) -> str:
        self._drop(server, "DATA")
        assert isinstance(envelope.content, bytes)
        self.handed_to.append(envelope.rcpt_tos)
        self.taken.append(message_from_bytes(envelope.content, policy=policy.default))
        return "250 OK"

    def _drop(self, server: SMTP, at: str) -> None:
        if self.drop == (at, len(self.taken)):
            transport: Any = server.transport
            transport.abort()

    def receivers(self) -> list[str]:
        return [mail["To"].addresses[0].addr_spec for mail in self.taken]


@pytest.fixture(name="server")
def _server(practice: Practice) -> Iterator[Server]:
    server = Server()
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        server.port = free.getsockname()[1]
    controller = Controller(server, hostname="127.0.0.1", port=server.port)
    controller.start()
    with (practice.root / "settings.yaml").open("a", encoding="utf-8") as settings:
        settings.write(f"smtp: {{host: 127.0.0.1, port: {server.port}}}\n")
    yield server
    controller.stop()


def test_sending_shows_a_list_and_asks(practice: Practice, server: Server) -> None:
    no = run("mail", "--send", stdin="n\n")
    assert "To send:\n  alex@example.org: Small block\n" in no.stdout
    assert "Send 3 mails?" in no.output
    assert server.taken == []
    yes = run("mail", "--send", stdin="y\n")
    assert "sent: alex-example\nsent: jo-beispiel\nsent: kim-muster\n" in yes.stdout
    assert server.receivers() == ["alex@example.org", "jo@example.org", "kim@example.org"]
    first = server.taken[0]
    assert (first["X-Unsent"], first["X-Blockbook-Digest"]) == (None, None)
    assert first["Message-ID"].endswith("alex-example@example.org>")
    assert first["Date"]
    assert list(practice.root.glob("drafts/*")) == []
    assert [entry["to"] for entry in log(practice, "sent")] == server.receivers()


def test_nothing_is_sent_twice_without_again(practice: Practice, server: Server) -> None:
    succeeded("mail", "--send", "--yes")
    assert succeeded("mail", "--send", "--yes", "--quiet") == "Nothing to send.\n"
    assert "not sent to jo-beispiel: sent before" in succeeded("mail", "jo-beispiel", "--send", "--yes")
    assert len(server.taken) == 3
    succeeded("mail", "jo-beispiel", "--send", "--yes", "--again")
    assert server.receivers()[3:] == ["jo@example.org"]
    assert len({mail["Message-ID"] for mail in server.taken}) == 4


def test_a_draft_that_the_coach_took_away_counts_as_sent(practice: Practice, server: Server) -> None:
    succeeded("mail")
    next(practice.root.glob("drafts/jo*")).unlink()
    succeeded("mail", "--send", "--yes")
    assert "not sent to jo-beispiel: its draft was taken away" in succeeded("mail", "jo-beispiel", "--send", "--yes")
    assert server.receivers() == ["alex@example.org", "kim@example.org"]


def test_a_draft_that_was_sent_by_hand_and_answered_is_not_sent_again(practice: Practice, server: Server) -> None:
    succeeded("mail")
    (practice.root / "lifters" / "jo-beispiel" / "returned").mkdir()
    (practice.root / "lifters" / "jo-beispiel" / "returned" / "log.xlsx").write_bytes(returned("Jo Beispiel"))
    succeeded("mail", "--send", "--yes")
    assert server.receivers() == ["alex@example.org", "kim@example.org"]
    shown = " ".join(succeeded("mail", "jo-beispiel", "--send", "--yes").split())
    assert "not sent to jo-beispiel: the block came back already" in shown


def test_a_draft_is_sent_as_the_coach_edited_it(practice: Practice, server: Server) -> None:
    succeeded("mail", "jo-beispiel")
    (path,) = practice.root.glob("drafts/*")
    path.write_bytes(path.read_bytes().replace(b"Hello Jo", b"Dear Jo").replace(b"<jo@", b"<new@"))
    succeeded("mail", "jo-beispiel", "--send", "--yes")
    assert server.receivers() == ["new@example.org"]
    assert "Dear Jo" in server.taken[0].get_body().get_content()  # type: ignore[union-attr]


@pytest.mark.parametrize("receiver", ["Jo <jö@example.org>", "undisclosed-recipients:;", "jo.@example.org"])
def test_a_receiver_that_no_server_takes_stops_nobody_else(practice: Practice, server: Server, receiver: str) -> None:
    succeeded("mail")
    (path,) = practice.root.glob("drafts/jo-*")
    path.write_bytes(path.read_bytes().replace(b"Jo Beispiel <jo@example.org>", receiver.encode()))
    shown = succeeded("mail", "--send", "--yes")
    assert "not sent to jo-beispiel: drafts/jo-" in shown
    assert server.receivers() == ["alex@example.org", "kim@example.org"]


def test_who_gets_a_blind_copy_gets_it_and_nobody_sees(practice: Practice, server: Server) -> None:
    succeeded("mail", "jo-beispiel")
    (path,) = practice.root.glob("drafts/*")
    path.write_bytes(b"Bcc: archive@example.org\r\n" + path.read_bytes())
    succeeded("mail", "jo-beispiel", "--send", "--yes")
    assert server.handed_to == [["jo@example.org", "archive@example.org"]]
    assert server.taken[0]["Bcc"] is None


def test_a_refused_receiver_stops_nobody_else(practice: Practice, server: Server) -> None:
    server.refuse = {"jo@example.org"}
    result = run("mail", "--send", "--yes")
    assert result.exit_code == 2
    assert "jo-beispiel: the mail server refused it: 550 5.1.1 no such mailbox here" in result.stderr
    assert server.receivers() == ["alex@example.org", "kim@example.org"]
    server.refuse = set()
    succeeded("mail", "--send", "--yes")
    assert server.receivers() == ["alex@example.org", "kim@example.org", "jo@example.org"]


def test_a_connection_that_drops_before_a_mail_is_taken_up_again(practice: Practice, server: Server) -> None:
    server.drop = ("RCPT", 1)
    result = run("mail", "--send", "--yes")
    assert (result.exit_code, "sent: alex-example\n" in result.stdout) == (2, True)
    assert "1 of 3 handed over" in result.stderr
    server.drop = None
    succeeded("mail", "--send", "--yes")
    assert server.receivers() == ["alex@example.org", "jo@example.org", "kim@example.org"]


def test_a_connection_that_drops_within_a_mail_leaves_a_question_and_no_second_copy(
    practice: Practice, server: Server
) -> None:
    server.drop = ("DATA", 1)
    result = run("mail", "--send", "--yes")
    assert "Whether jo-beispiel got it is not known: ask, then --again" in result.stderr
    server.drop = None
    shown = " ".join(succeeded("mail", "--send", "--yes").split())
    assert "not sent to jo-beispiel: may or may not have arrived" in shown
    assert server.receivers() == ["alex@example.org", "jo@example.org", "kim@example.org"]  # it had arrived
    succeeded("mail", "jo-beispiel", "--send", "--yes", "--again")
    assert server.receivers()[3:] == ["jo@example.org"]


def test_without_address_nothing_goes_out_and_it_is_said(practice: Practice, server: Server) -> None:
    contact = practice.root / "lifters" / "jo-beispiel" / "contact.yaml"
    contact.write_text("# nobody knows\n", "utf-8")
    shown = succeeded("mail", "--send", "--yes")
    assert "no address: write it into lifters/jo-beispiel/contact.yaml" in shown
    assert "not sent to jo-beispiel: no address in" in shown
    assert server.receivers() == ["alex@example.org", "kim@example.org"]


def test_a_sign_that_ends_a_line_in_a_text_ends_none_in_the_log(practice: Practice) -> None:
    succeeded("mail")
    sent_log = SentLog(practice.root / "sent-log.jsonl")
    sent_log.add(Entry("refused", "jo-beispiel", "0" * 16, said="550 no\u2028such\x85user"))
    assert sent_log.entries("jo-beispiel", "0" * 16)[0].said == "550 no\u2028such\x85user"


def test_a_torn_log_stops_sending_before_anything_goes_out(practice: Practice, server: Server) -> None:
    succeeded("mail")
    path = practice.root / "sent-log.jsonl"
    path.write_text(path.read_text("utf-8") + '{"what": "se', "utf-8")
    result = run("mail", "--send", "--yes")
    assert "sent-log.jsonl: line 7: is no line of this log" in result.stderr
    assert server.taken == []


def test_another_computer_has_to_encrypt(practice: Practice, server: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sending, "_is_loopback", lambda _host: False)
    result = run("mail", "--send", "--yes")
    assert result.exit_code == 2
    assert "no safe connection" in result.stderr
    assert server.taken == []
    assert log(practice, "sending") == []


@pytest.mark.parametrize(
    ("host", "here"),
    [("localhost", True), ("127.0.0.1", True), ("127.9.9.9", True), ("::1", True), ("smtp.example.org", False),
     ("localhost.example.org", False), ("10.0.0.1", False)],
)  # fmt: skip
def test_only_this_computer_is_loopback(host: str, here: bool) -> None:
    assert sending._is_loopback(host) is here


def test_without_a_server_in_the_settings_sending_says_what_is_needed(practice: Practice) -> None:
    result = run("mail", "--send", "--yes")
    assert "settings.yaml: to send, it needs mail: and smtp:" in result.stderr
    assert len(list(practice.root.glob("drafts/*"))) == 3


# The password


class InMemory(KeyringBackend):
    priority = 1

    def get_password(self, service: str, username: str) -> str | None:
        return {("blockbook", "coach@example.org"): "from the keyring"}.get((service, username))

    def set_password(self, service: str, username: str, password: str) -> None:
        raise NotImplementedError


def test_the_password_comes_from_the_environment_or_the_keyring(monkeypatch: pytest.MonkeyPatch) -> None:
    smtp = Smtp(host="smtp.example.org", user="coach@example.org")
    before = keyring.get_keyring()
    keyring.set_keyring(InMemory())  # type: ignore[no-untyped-call]
    try:
        monkeypatch.delenv(sending.PASSWORD, raising=False)
        assert sending.password(smtp) == "from the keyring"
        monkeypatch.setenv(sending.PASSWORD, "from the environment")
        assert sending.password(smtp) == "from the environment"
        monkeypatch.delenv(sending.PASSWORD)
        with pytest.raises(BlockbookError, match=r"password of other@example\.org is not known"):
            sending.password(Smtp(host="smtp.example.org", user="other@example.org"))
    finally:
        keyring.set_keyring(before)
