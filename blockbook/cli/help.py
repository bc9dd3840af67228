"""The reference of all commands, as they explain themselves."""

from __future__ import annotations

import click

from blockbook.console import unknown_command


@click.command("help")
@click.argument("name", required=False, metavar="[COMMAND]")
@click.pass_context
def help_command(context: click.Context, name: str | None) -> None:
    """Show the reference of all commands, or of one.

    \b
    Examples:
      blockbook help | less
      blockbook help collect
    """
    group = context.parent
    assert group is not None
    assert isinstance(group.command, click.Group)
    names = group.command.list_commands(group) if name is None else [name]
    pages = [] if name else [group.get_help()]
    for each in names:
        command = group.command.get_command(group, each)
        if command is None:
            raise click.UsageError(unknown_command(each, list(group.command.commands)))
        pages.append(command.get_help(click.Context(command, group, each)))
    click.echo(f"\n\n{'-' * 79}\n\n".join(pages))
