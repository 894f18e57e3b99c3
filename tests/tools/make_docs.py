"""Writes docs/commands.md from the commands themselves: ``python tests/tools/make_docs.py docs/commands.md``."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import click

from meltbook.cli import main as group

INTRO = """# Commands

Made from the commands' own help by `tests/tools/make_docs.py`; a test fails when the two differ. Exit codes: 0 fine, 1 problems
in the data or the file, 2 wrong use, 3 something is missing on this machine.
"""


def command_docs() -> str:
    """The page: one section a command, with its help as the terminal shows it."""
    parts = [INTRO]
    for name, command in _commands(group, "meltbook"):
        with click.Context(command, info_name=name, max_content_width=100, terminal_width=100) as context:
            help_text = "\n".join(line.rstrip() for line in command.get_help(context).splitlines())
        parts.append(f"## {name}\n\n```text\n{help_text}\n```\n")
    return "\n".join(parts)


def _commands(command: click.Command, name: str) -> Iterator[tuple[str, click.Command]]:
    yield name, command
    if isinstance(command, click.Group):
        for child in sorted(command.commands):
            yield from _commands(command.commands[child], f"{name} {child}")


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(command_docs(), encoding="utf-8")
