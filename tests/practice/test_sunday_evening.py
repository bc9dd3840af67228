"""The README's Sunday evening, command by command, with a mailbox of what invented lifters sent back."""

from __future__ import annotations

import re
import shlex
from email import message_from_bytes, policy
from pathlib import Path

import pytest
from click.testing import CliRunner

import blockbook
from blockbook.cli import main
from tests.intake.small_block import SMALL_BLOCK
from tests.practice.small_practice import NAMES, add, mbox_of, message, returned, succeeded
from tests.practice.test_overview import PAIN, marked

README = (Path(__file__).resolve().parents[2] / "README.md").read_text("utf-8")


def commands_of_the_readme() -> tuple[list[list[str]], list[list[str]]]:
    """The commands that begin a practice, and those of every Sunday."""
    section = README.split("## Sunday evening")[1].split("\n## ")[0]
    blocks = re.findall(r"^```\n(.*?)^```$", section, re.MULTILINE | re.DOTALL)
    first, sunday = ([shlex.split(line, comments=True) for line in block.splitlines()] for block in blocks)
    return first, sunday


@pytest.mark.filterwarnings("ignore:Sparkline Group extension")
def test_from_a_mailbox_to_the_next_blocks_in_five_commands(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    first, sunday = commands_of_the_readme()
    for program, *arguments in first:
        if program == "cd":
            monkeypatch.chdir(arguments[0])
        else:
            assert program == "blockbook"
            succeeded(*arguments)
    Path("lifters/robin-sample/block.yaml").write_text(SMALL_BLOCK, "utf-8")
    for name in NAMES[1:]:
        add(Path(), name)
    succeeded("mail")
    for draft in Path("drafts").glob("*"):  # sent by hand
        draft.unlink()
    mails = [message(name, ("log.xlsx", returned(name, PAIN if name == "Kim Muster" else None))) for name in NAMES]
    mbox_of(Path("inbox.mbox"), mails)

    assert len(sunday) == 5
    for program, *arguments in sunday:
        assert program == "blockbook"
        shown = succeeded(*arguments)
        if arguments[0] == "overview":
            assert shown.index("Kim Muster") < shown.index("Fine (3)")
            marked(Path("overview.xlsx"), {"Accept all routine ones?": "yes", "Kim Muster": "yes"})
    drafts = sorted(Path("drafts").glob("*.eml"))
    assert [draft.name[:-11] for draft in drafts] == [
        f"{name.lower().replace(' ', '-')}-small-block-2-2027-01-18" for name in sorted(NAMES)
    ]
    for draft in drafts:
        (workbook,) = message_from_bytes(draft.read_bytes(), policy=policy.default).iter_attachments()
        Path("next.xlsx").write_bytes(workbook.get_payload(decode=True))  # type: ignore[arg-type]
        assert blockbook.read("next.xlsx").spec.block.title == "Small block 2"


def test_help_is_the_reference_of_every_command_and_option() -> None:
    shown = CliRunner().invoke(main, ["help"]).output
    for name, command in main.commands.items():
        assert f"Usage: main {name} " in shown
        assert all(option.opts[0] in shown for option in command.params if option.opts[0].startswith("-"))
    assert CliRunner().invoke(main, ["help", "collect"]).output in shown
    unknown = CliRunner().invoke(main, ["help", "nothing"])
    assert (unknown.exit_code, 'no command is called "nothing". There are: templates' in unknown.output) == (2, True)


@pytest.mark.parametrize(("typed", "meant"), [("nxt", "next"), ("reed", "read"), ("Build", "build")])
def test_a_slip_in_a_commands_name_is_answered_with_the_one_meant(typed: str, meant: str) -> None:
    for arguments in ([typed], ["help", typed]):
        result = CliRunner().invoke(main, arguments)
        assert result.exit_code == 2
        assert f'no command is called "{typed}". Did you mean {meant}?' in result.output


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_completion_of_the_readme_is_there(shell: str) -> None:
    assert f"{shell}_source" in README
    result = CliRunner().invoke(main, [], prog_name="blockbook", env={"_BLOCKBOOK_COMPLETE": f"{shell}_source"})
    assert "_BLOCKBOOK_COMPLETE" in result.output
