"""The command line: a thin layer that parses, calls one public function, and prints."""

from __future__ import annotations

import click

from blockbook.cli.blocks import build, convert, new, rehearse, schema, templates
from blockbook.cli.demo import demo
from blockbook.cli.help import help_command
from blockbook.cli.mail import collect, mail
from blockbook.cli.practice import init, overview
from blockbook.cli.returned import next_command, read, review
from blockbook.cli.season import meet, season
from blockbook.console import Commands, help_width

GUIDE = """\
blockbook turns a block you write into a workbook your lifter fills in, reads it
back, and writes the next block with you. Begin in an empty folder:

  blockbook new strength --out block.yaml    a block to edit, in any text editor
      (or --out plan.xlsx: the same to fill in with a spreadsheet program)
  blockbook build block.yaml --out sent      the workbook: look at it, mail it

and when the lifter has sent it back, filled in:

  blockbook read returned.xlsx               what was lifted, and what is odd
  blockbook review returned.xlsx --out review.xlsx       your word on what next
  blockbook next returned.xlsx --review review.xlsx --out next.yaml

A whole season played on an invented lifter:  blockbook demo --out demo
Many lifters in one folder, mail and all:     blockbook init practice
Every command and option:                     blockbook --help, blockbook help
"""


@click.group(
    cls=Commands,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "terminal_width": help_width()},
)
@click.version_option(package_name="blockbook", message="blockbook %(version)s")
@click.pass_context
def main(context: click.Context) -> None:
    """Training blocks as workbooks: write, mail, read back, decide, write the next.

    \b
    The loop:
      blockbook new strength --out block.yaml    a block specification to edit
      blockbook build block.yaml --out sent      the workbook to mail
      blockbook read returned.xlsx               what was lifted, what is odd
      blockbook review returned.xlsx --out review.xlsx
      blockbook next returned.xlsx --review review.xlsx --out next.yaml
      blockbook build next.yaml --out sent       and round again

    \b
    Many lifters: blockbook init DIR makes a folder where no files need naming:
      blockbook collect inbox.mbox, review, overview, next, mail

    Errors go to stderr. Exit codes: 0 fine, 1 a log holds findings of severity error,
    2 something could not be read or done. Heavy lifting can injure: the loads are
    suggestions, a coach decides.
    """
    if context.invoked_subcommand is None:
        click.echo(GUIDE, nl=False)


COMMANDS = (
    templates, new, convert, schema, build, rehearse, read, review, next_command, season, meet, init, collect, overview,
    mail, help_command, demo,
)  # fmt: skip
for command in COMMANDS:
    main.add_command(command)
