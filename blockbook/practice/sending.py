"""Drafts sent by SMTP: encrypted unless the server is this computer, each logged before and after, none twice."""

from __future__ import annotations

import ipaddress
import os
import smtplib
import ssl
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from email.message import EmailMessage
from email.utils import formatdate
from importlib import import_module
from typing import Any, Literal

from blockbook.errors import BlockbookError
from blockbook.practice.drafting import DIGEST, WHY_LEFT_OUT, Draft, read_draft, receivers
from blockbook.practice.folder import SETTINGS, Practice
from blockbook.practice.rounds import sent_log
from blockbook.practice.sent_log import Entry
from blockbook.spec.settings import Smtp

PASSWORD = "BLOCKBOOK_SMTP_PASSWORD"
"""Where the environment may hold the password."""

KEYRING = "blockbook"
"""What the system's keyring calls us: keyring set blockbook USER."""

TIMEOUT = 30
_ENCRYPTED_FROM_THE_START = 465


@dataclass(frozen=True)
class Waiting:
    """A draft that would be sent. held: why it is not, "" if it is; settled: as there is nothing left to do."""

    draft: Draft
    message: EmailMessage | None
    to: tuple[str, ...]
    held: str = ""
    settled: bool = False


@dataclass(frozen=True)
class Outcome:
    """What became of one draft. said: by the server, where it refused."""

    waiting: Waiting
    how: Literal["sent", "refused"]
    said: str = ""


def waiting(practice: Practice, drafts: Sequence[Draft], again: bool = False) -> list[Waiting]:
    """Which of the drafts would be sent, in order. again: those too that were sent before."""
    return [_waiting(practice, draft, again) for draft in drafts]


def _waiting(practice: Practice, draft: Draft, again: bool) -> Waiting:
    ends = [entry.what for entry in sent_log(practice).entries(draft.lifter.name, draft.digest)]
    last = next((what for what in reversed(ends) if what in ("sending", "sent", "refused")), "")
    if last == "sent" and not again:
        return Waiting(draft, None, (), "sent before", settled=True)
    if last == "sending" and not again:
        why = "may or may not have arrived when an earlier run broke off: ask, then send it with --again"
        return Waiting(draft, None, (), why)
    if draft.returned:
        why = "the block came back already, so it was sent by hand; take its draft out of drafts/"
        return Waiting(draft, None, (), why, settled=True)
    if draft.left_out:
        return Waiting(draft, None, (), WHY_LEFT_OUT[draft.left_out], settled=True)
    if not draft.path.exists():
        why = "its draft was taken away: it counts as sent by hand; --again drafts it anew"
        return Waiting(draft, None, (), why, settled=True)
    try:
        message = read_draft(draft.path)
        to = tuple(receivers(message))
    except BlockbookError as error:
        why = str(error) if draft.to else f"no address in {draft.lifter.contact_file}"
        return Waiting(draft, None, (), why)
    return Waiting(draft, message, to)


def send(practice: Practice, ready: Sequence[Waiting]) -> Iterator[Outcome]:
    """Send what is not held, one after the other, and say of each what became of it.

    A refused receiver does not stop the others. Raises BlockbookError without a server, sender or password in the
    settings, for a server that cannot be reached safely, and when the connection drops: run it again to go on.
    """
    log, (smtp, sender) = sent_log(practice), server_of(practice)
    ready = [each for each in ready if not each.held]
    if not ready:
        return
    with _session(smtp) as server:
        for number, each in enumerate(ready):
            assert each.message is not None
            digest, lifter = each.draft.digest, each.draft.lifter.name
            count = sum(entry.what == "sending" for entry in log.entries(lifter, digest)) + 1
            identity = f"<{digest}.{count}.{lifter}@{sender.rpartition('@')[2]}>"
            message = _as_sent(each.message, identity)
            entry = Entry("sending", lifter, digest, each.draft.path.name, ", ".join(each.to), identity)
            log.add(entry)
            try:
                refusal = _hand_over(server, sender, each.to, message)
            except _NotHandedOver as error:
                log.add(_ended(entry, "refused", str(error)))
                raise _stopped(number, len(ready), str(error), "") from None
            except (OSError, smtplib.SMTPException) as error:
                doubt = f" Whether {lifter} got it is not known: ask, then --again."
                raise _stopped(number, len(ready), _said(error), doubt) from None
            if refusal:
                log.add(_ended(entry, "refused", refusal))
                yield Outcome(each, "refused", refusal)
                continue
            log.add(_ended(entry, "sent", ""))
            with suppress(OSError):  # it is sent and logged; a draft that stays does no harm
                each.draft.path.unlink()
            yield Outcome(each, "sent")


def server_of(practice: Practice) -> tuple[Smtp, str]:
    """The mail server and the sender's address. Raises BlockbookError where the settings lack one."""
    settings = practice.settings
    if settings.smtp is None or settings.mail is None:
        raise BlockbookError(f"{practice.root / SETTINGS}: to send, it needs mail: and smtp: {{host: ..., port: ...}}.")
    return settings.smtp, settings.mail


class _NotHandedOver(Exception):
    """The connection failed before the message was: it did certainly not arrive."""


def _hand_over(server: smtplib.SMTP, sender: str, to: Sequence[str], message: bytes) -> str:
    """What the server said in refusing, "" if it took the message."""
    try:
        code, said = server.mail(sender)
        for address in to if code == 250 else ():
            code, said = server.rcpt(address)
            if code not in (250, 251):
                break
    except (OSError, smtplib.SMTPException) as error:
        raise _NotHandedOver(_said(error)) from None
    if code in (250, 251):
        try:
            code, said = server.data(message)
        except smtplib.SMTPDataError as error:  # refused before any of it was handed over
            code, said = error.smtp_code, error.smtp_error if isinstance(error.smtp_error, bytes) else b""
    if code in (250, 251):
        return ""
    with suppress(smtplib.SMTPException, OSError):
        server.rset()
    return f"{code} {said.decode('utf-8', 'replace')[:200]}"


def _ended(entry: Entry, what: Literal["sent", "refused"], said: str) -> Entry:
    return Entry(what, entry.lifter, entry.digest, entry.file, entry.to, entry.message_id, said)


def _stopped(number: int, total: int, why: str, doubt: str) -> BlockbookError:
    return BlockbookError(
        f"the connection to the mail server dropped ({why}): {number} of {total} handed over.{doubt} The rest was not "
        "sent; run it again to go on."
    )


def _as_sent(message: EmailMessage, identity: str) -> bytes:
    for name in ("X-Unsent", DIGEST, "Date", "Message-ID", "Bcc"):
        del message[name]
    message["Date"] = formatdate(localtime=True)
    message["Message-ID"] = identity
    return message.as_bytes()


@contextmanager
def _session(smtp: Smtp) -> Iterator[smtplib.SMTP]:
    server = _connected(smtp)
    try:
        yield server
    finally:
        with suppress(OSError, smtplib.SMTPException):
            server.quit()


def _connected(smtp: Smtp) -> smtplib.SMTP:
    """Raises BlockbookError rather than speak in the clear to another computer, or log in without a password."""
    secret = password(smtp) if smtp.user else None
    try:
        server = _secured(smtp)
        if smtp.user and secret is not None:
            server.login(smtp.user, secret)
        return server
    except smtplib.SMTPAuthenticationError as error:
        raise BlockbookError(f"{smtp.host}: did not take user and password ({error.smtp_code}). Check both.") from None
    except (OSError, smtplib.SMTPException) as error:
        raise BlockbookError(
            f"{smtp.host}, port {smtp.port}: no safe connection ({_said(error)}). Nothing was sent. Check smtp: in "
            "settings.yaml; the server has to offer encryption."
        ) from None


def _secured(smtp: Smtp) -> smtplib.SMTP:
    context = ssl.create_default_context()
    if smtp.port == _ENCRYPTED_FROM_THE_START:
        return smtplib.SMTP_SSL(smtp.host, smtp.port, timeout=TIMEOUT, context=context)
    server = smtplib.SMTP(smtp.host, smtp.port, timeout=TIMEOUT)
    try:
        server.ehlo()
        if server.has_extn("starttls") or not _is_loopback(smtp.host):
            server.starttls(context=context)
            server.ehlo()
    except BaseException:
        server.close()
        raise
    return server


def _is_loopback(host: str) -> bool:
    try:
        return host == "localhost" or ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def password(smtp: Smtp) -> str:
    """From the environment, else the system's keyring. Raises BlockbookError if neither has it."""
    if found := os.environ.get(PASSWORD):
        return found
    try:
        keyring: Any = import_module("keyring")
        stored = keyring.get_password(KEYRING, smtp.user)
    except ImportError:
        stored = None
    except Exception as error:  # a system without a keyring, or one that is locked
        raise BlockbookError(
            f"the system's keyring gave no password ({type(error).__name__}). Set {PASSWORD}."
        ) from None
    if not stored:
        raise BlockbookError(
            f"the password of {smtp.user} is not known. Set {PASSWORD}, or store it in the system's keyring: "
            f"pip install keyring, then: keyring set {KEYRING} {smtp.user}"
        )
    return str(stored)


def _said(error: Exception) -> str:
    if isinstance(error, smtplib.SMTPResponseException):
        said = error.smtp_error
        return f"{error.smtp_code} {said.decode('utf-8', 'replace') if isinstance(said, bytes) else said}"
    return str(error) or type(error).__name__
