"""`python -m blockbook`: the same as the `blockbook` command."""

from blockbook.cli import main

main()
