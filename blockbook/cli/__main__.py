"""`python -m blockbook.cli`: the same as the `blockbook` command."""

from blockbook.cli import main

main(prog_name="blockbook")
