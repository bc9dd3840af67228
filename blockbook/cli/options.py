"""Arguments and options that several commands share, said once."""

from __future__ import annotations

from pathlib import Path

import click

EXISTING = click.Path(path_type=Path)
OUT = click.Path(path_type=Path)
DATE = click.DateTime(["%Y-%m-%d"])

FORCE = click.option("--force", is_flag=True, help="Replace files that are there already.")
SPEC = click.option(
    "--spec", type=EXISTING, help="Specification of the block, for a file whose hidden manifest is lost."
)
SEASON = click.option("--season", type=EXISTING, help="Season to follow: dates, length, deload week and meet.")
PREFER = click.option(
    "--prefer", type=EXISTING, metavar="FILE", help="The one of several copies that is right where they differ."
)
