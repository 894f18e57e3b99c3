"""The command line: thin commands over the library. Each module holds one command."""

from __future__ import annotations

import click

from meltbook.cli.check import check
from meltbook.cli.class_ import class_
from meltbook.cli.figures import figures
from meltbook.cli.group import Commands
from meltbook.cli.new import new
from meltbook.cli.starts import starts
from meltbook.cli.tariff import tariff

__all__ = ["main"]


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="meltbook", message="meltbook %(version)s")
def main() -> None:
    """Write a self-calculating costing workbook for a small glassblowing studio, and look after it.

    The workbook turns a furnace log into the cost of glass and that into prices. It is an ordinary .xlsx
    file: meltbook is needed to make one and to check one, not to use one.

    \b
    Examples:
      meltbook new studio.xlsx                    a blank workbook to fill in
      meltbook starts --long                      the studios to start from
      meltbook check studio.xlsx                  what is wrong in a workbook
      meltbook figures studio.xlsx                its key figures, worked out apart
      meltbook tariff studio.xlsx --from 2027-01-01 --price 0.151
                                                  which tags a new tariff changes
      meltbook class make roster.csv --exercise meter-and-bill --out monday
                                                  a workbook for every student of a class

    \b
    Exit codes:
      0  fine
      1  problems in the data or the file
      2  wrong use
      3  something is missing on this machine

    \b
    To complete commands and options with the Tab key, add one line to your shell's start file:
      bash  (~/.bashrc)   eval "$(_MELTBOOK_COMPLETE=bash_source meltbook)"
      zsh   (~/.zshrc)    eval "$(_MELTBOOK_COMPLETE=zsh_source meltbook)"
      fish  (~/.config/fish/completions/meltbook.fish)
                          _MELTBOOK_COMPLETE=fish_source meltbook | source
    """


for _command in (new, starts, figures, check, tariff, class_):
    main.add_command(_command)
