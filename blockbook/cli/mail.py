"""Commands on the mail: collect, mail."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import click

from blockbook.cli.options import MANY, PATH, PRACTICE, QUIET, each_lifter, goes_with, say_doubts, say_withdrawn
from blockbook.console import say
from blockbook.errors import BlockbookError

if TYPE_CHECKING:
    from pathlib import Path

    from blockbook.practice.drafting import Draft
    from blockbook.practice.folder import LifterFolder, Practice


def _messages(count: int) -> str:
    return "1 message" if count == 1 else f"{count} messages"


@click.command()
@click.argument("mails", nargs=-1, required=True, type=PATH, metavar="MAIL...")
@PRACTICE
@QUIET
@click.option("--verbose", "-v", is_flag=True, help="Also name what was known already or passed over.")
def collect(mails: tuple[Path, ...], practice: Path | None, quiet: bool, verbose: bool) -> None:
    """Take returned workbooks out of the mail, and file them.

    A MAIL is a message (.eml), a mailbox (mbox, Maildir), a folder of attachments or a .zip.
    Lifter and block are told by what is hidden in each workbook, never by sender or name. Each
    is filed once, as it came; what cannot be goes to unsorted/ with the reason beside it.

    Only workbooks are looked for: what lifters write in their mails is yours to read.

    \b
    Example:
      blockbook collect inbox.mbox
    """
    import blockbook
    from blockbook.intake.findings import CALL_TODAY
    from blockbook.many import cores

    if quiet and verbose:
        raise click.UsageError("--quiet says less and --verbose says more. Leave one of them out.")
    done = blockbook.collect(mails, practice or ".", cores())
    for filed in done.filed:
        if filed.remark:
            say(f"{filed.lifter.name}: {filed.title} ({filed.name}): {filed.remark}")
        elif not quiet:
            say(f"{filed.lifter.name}: {filed.title} ({filed.name})")
    for left in done.unsorted:
        say(f"unsorted/{left.path.name}: {left.reason}{left.perhaps and f' Perhaps of {left.perhaps}.'}")
    for line in done.words:
        say(line)
    for lifter in done.alarms:
        say(f"{lifter.name}: chest pain, fainting or the like is noted and not answered. {CALL_TODAY}")
    for name in done.known if verbose else ():
        say(f"known already: {name}")
    for name in done.passed_over if verbose else ():
        say(f"passed over: {name}")
    if not quiet:
        counts = f"{len(done.filed)} filed, {len(done.known)} known already, {len(done.unsorted)} new in unsorted/"
        left = f"{counts}, {len(done.passed_over)} pictures and the like left alone" if done.passed_over else counts
        say(f"{left}; {_messages(done.counted.messages)}.")
        if done.filed and not done.wrong:
            say("Next: `blockbook overview` says who needs you.")
    if done.wrong:
        raise BlockbookError("\n".join(done.wrong))


@click.command()
@click.argument("lifters", nargs=-1, metavar="[LIFTER]...")
@click.option("--send", is_flag=True, help="Send the drafts by the mail server in settings.yaml, after asking.")
@click.option("--again", is_flag=True, help="Also what was drafted or sent before.")
@click.option("--yes", is_flag=True, help="With --send: do not ask.")
@PRACTICE
@QUIET
def mail(lifters: tuple[str, ...], send: bool, again: bool, yes: bool, practice: Path | None, quiet: bool) -> None:
    """Build what is due, and write a mail a lifter.

    Due is a block whose current version was not mailed yet and did not come back. Each mail is a
    draft in drafts/, the workbook attached, the letter from letters/: open it with any mail
    program, look, send. Nothing is sent by itself.

    With --send the drafts go out by the mail server in settings.yaml: a list is shown, you are
    asked, and what went to whom is logged in sent-log.jsonl. Nothing is sent twice without
    --again. Delete a draft that you sent by hand. The password is taken from the environment
    (BLOCKBOOK_SMTP_PASSWORD) or the system's keyring.
    """
    from blockbook.many import cores
    from blockbook.practice.folder import open_practice
    from blockbook.practice.rounds import note

    goes_with("--send", send, yes=yes)
    opened = open_practice(practice or ".")
    meant = opened.named(lifters)
    work = partial(_draft_one, opened, again, bool(lifters))
    done, wrong = each_lifter(opened, meant, "Drafting", work, cores(), partial(note, opened))
    new = sum(made.new for _, made in done)
    for lifter, made in done:
        if made.new:
            click.echo(made.path)
            for line in made.remarks:
                say(f"  {line}")
            say_doubts(made.spec, lifter.block, f"blockbook build {lifter.name}" if new >= MANY else "")
            if not made.to:
                say(f"  no address: write it into {made.lifter.contact_file}, or into the draft")
    say_withdrawn(made for _, made in done)
    _say_alarms([lifter for lifter, made in done if made.left_out == "alarm"])
    _say_examples([lifter for lifter, made in done if made.left_out == "example"])
    returned = sum(made.returned for _, made in done)
    before = sum(not made.new and not made.returned and not made.left_out for _, made in done)
    counts = [f"{before} drafted or sent before"] * bool(before) + [f"{returned} came back already"] * bool(returned)
    if counts and not quiet:
        say(f"{', '.join(counts)}: nothing new for them.")
    if send:
        _send(opened, [made for _, made in done], again, yes, named=bool(lifters))
    if wrong:
        raise BlockbookError("\n".join(wrong))


def _say_alarms(lifters: list[LifterFolder]) -> None:
    """Those whose next block waits for a physician's word."""
    from blockbook.practice.drafting import WHY_LEFT_OUT

    for lifter in lifters:
        then = f"`blockbook mail {lifter.name}`; the loads stay struck out until the lifter types none under Pain"
        say(f"{lifter.name}: left out: {WHY_LEFT_OUT['alarm']}. A physician decides first. After that: {then}.")


def _say_examples(lifters: list[LifterFolder]) -> None:
    """Those whose starter nobody edited: among many of them not one by one."""
    from blockbook.practice.drafting import WHY_LEFT_OUT

    why = WHY_LEFT_OUT["example"]
    if len(lifters) >= MANY:
        names = ", ".join(lifter.name for lifter in lifters)
        say(f"left out: {names}: {why}. Edit each block, or mail it as it is: `blockbook mail NAME`.")
        return
    for lifter in lifters:
        as_it_is = f"`blockbook mail {lifter.name}`"
        say(f"{lifter.name}: left out: {why}. Edit {lifter.block}, or mail it as it is: {as_it_is}.")


def _draft_one(practice: Practice, again: bool, named: bool, lifter: LifterFolder) -> Draft:
    from blockbook.practice.drafting import draft

    return draft(practice, again, named, lifter)


def _send(practice: Practice, drafts: list[Draft], again: bool, yes: bool, named: bool) -> None:
    from blockbook.practice import sending

    with practice.locked():
        every = sending.waiting(practice, drafts, again)
        ready = [each for each in every if not each.held]
        for each in every:
            if each.held and (named or not each.settled):
                say(f"not sent to {each.draft.lifter.name}: {each.held}")
        if not ready:
            if named and any(not each.settled for each in every):
                raise BlockbookError("nothing was sent.")
            click.echo("Nothing to send.")
            return
        sending.server_of(practice)
        click.echo("To send:")
        for each in ready:
            say(f"  {', '.join(each.to)}: {each.draft.title}")
        if not yes and not click.confirm(f"Send {len(ready)} mail{'s' if len(ready) > 1 else ''}?", err=True):
            click.echo("Nothing was sent. The drafts stay in drafts/.")
            return
        refused = []
        for outcome in sending.send(practice, ready):
            name = outcome.waiting.draft.lifter.name
            if outcome.how == "sent":
                click.echo(f"sent: {name}")
            else:
                refused.append(f"{name}: the mail server refused it: {outcome.said}")
        if refused:
            raise BlockbookError("\n".join(refused))
