"""``meltbook starts``: the studios that come with meltbook."""

from __future__ import annotations

import click


@click.command()
@click.option("--long", "with_about", is_flag=True, help="Say in a line what each one is.")
def starts(with_about: bool) -> None:
    """List the studios that a new workbook can start from, one a line.

    The studios are invented. Each is a plain text file; write one of your own to start from that.

    \b
    Examples:
      meltbook starts
      meltbook starts --long
      meltbook new studio.xlsx --from "$(meltbook starts | tail -1)"
    """
    from meltbook.studio.starts import load_start, start_names

    names = start_names()
    width = max(map(len, names), default=0)
    for name in names:
        click.echo(f"{name:<{width}}  {load_start(name).about}".rstrip() if with_about else name)
