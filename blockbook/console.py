"""What every command shares: one message and an exit code for whatever goes wrong, and lines that fit."""

from __future__ import annotations

import os
import re
import sys
import textwrap
from collections.abc import Sequence
from typing import Any

import click

from blockbook.errors import DEBUG, BlockbookError, unexpected

FINDINGS_FOUND = 1
CANNOT = 2
STOPPED = 130
CLEAR_LINE = "\r\x1b[K"
"""Takes a progress bar off the screen, so that a line can be printed where it stood; it is drawn again below."""

_WIDTH = 79
_HELD = "\ue000"
"""A blank at which a line does not end: within a command to copy."""


class Commands(click.Group):
    """Every error a user can meet becomes one message on stderr and exit code 2."""

    def resolve_command(
        self, context: click.Context, arguments: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if arguments and self.get_command(context, arguments[0]) is None and not arguments[0].startswith("-"):
            raise click.UsageError(unknown_command(arguments[0], list(self.commands)), context)
        return super().resolve_command(context, arguments)

    def invoke(self, context: click.Context) -> Any:
        try:
            return super().invoke(context)
        except BlockbookError as error:
            raise _stop(str(error)) from None
        except (KeyboardInterrupt, click.Abort):
            click.echo("blockbook: stopped.", err=True)
            raise click.exceptions.Exit(STOPPED) from None
        except click.UsageError as error:
            said = _fitting(error.format_message(), first=len("Error: "))
            example = _example(error.ctx.command.help or "") if error.ctx else ""
            raise click.UsageError(f"{said}\n{example}".rstrip(), error.ctx) from None
        except (click.exceptions.Exit, click.ClickException):
            raise
        except BrokenPipeError:
            sys.stderr.close()
            raise SystemExit(0) from None
        except Exception as error:
            if os.environ.get(DEBUG):
                raise
            raise _stop(unexpected(error)) from None


def help_width() -> int:
    """Columns for help, as click takes them. It would load shutil to ask, which costs as much as our commands do."""
    try:
        columns = int(os.environ.get("COLUMNS") or os.get_terminal_size(1).columns)
    except (ValueError, OSError):
        columns = 80
    return max(min(columns or 80, 80) - 2, 50)


def _stop(message: str) -> click.exceptions.Exit:
    for line in message.splitlines():
        say(f"blockbook: {line}", err=True)
    return click.exceptions.Exit(CANNOT)


def _example(explained: str) -> str:
    """ "Such as: blockbook demo --out demo", from how a command explains itself; "" where it shows none."""
    found = re.search(r"^ *Examples?:\n *(blockbook .*)$", explained, re.MULTILINE)
    return f"Such as: {found[1]}" if found else ""


def unknown_command(name: str, known: Sequence[str]) -> str:
    """A sentence on a command that is not there, with the one that was perhaps meant."""
    from difflib import get_close_matches

    close = get_close_matches(name.casefold(), known, n=1, cutoff=0.5)
    meant = f"Did you mean {close[0]}?" if close else f"There are: {', '.join(known)}."
    return f'no command is called "{name}". {meant}'


def say(text: str, err: bool = False) -> None:
    """One paragraph, in lines that fit a narrow terminal."""
    click.echo(_fitting(text), err=err)


def then(text: str, command: str, err: bool = False) -> None:
    """What to do next. The command is never torn, so that it can be copied."""
    line = f"{text}, then: {command}"
    if len(line) <= _WIDTH:
        click.echo(line, err=err)
    else:
        say(f"{text}, then:", err=err)
        click.echo(f"    {command}", err=err)


def then_if_watched(text: str, command: str) -> None:
    """The same on a terminal alone, beside the output: that is a path, which a script may take."""
    if is_watched():
        then(text, command, err=True)


def is_watched() -> bool:
    return sys.stderr.isatty()


def _fitting(text: str, first: int = 0) -> str:
    """The text in lines that fit, no path, option or quoted command torn. first: columns taken on the first line."""
    lead = re.match(r" *(?:blockbook: )?", text)[0]  # type: ignore[index]  # kept with what follows, however long
    indent = " " * (len(lead) - len(lead.lstrip()))
    whole = re.sub(r"`[^`]+`", lambda quoted: quoted[0].replace(" ", _HELD), text.removeprefix(lead))
    filled = textwrap.fill(
        whole, _WIDTH, initial_indent=lead + " " * first, subsequent_indent=indent + "    ",
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
    return filled[first:].replace(_HELD, " ")
