"""Writes docs/commands.md from the commands themselves: ``python tests/tools/make_docs.py docs/commands.md``."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import click
from click.testing import CliRunner

from meltbook.cli import main as group

INTRO = """# Commands

Made from the commands' own help by `tests/tools/make_docs.py`; a test fails when the two differ. Exit codes: 0 fine, 1
problems in the data or the file, 2 wrong use, 3 something is missing on this machine.
"""


def command_docs() -> str:
    """The page: one section a command, with its help as the terminal shows it."""
    parts = [INTRO]
    for words in _commands(group):
        shown = CliRunner().invoke(group, [*words, "--help"], prog_name="meltbook", terminal_width=100)
        help_text = "\n".join(line.rstrip() for line in shown.output.splitlines())
        parts.append(f"## {' '.join(('meltbook', *words))}\n\n```text\n{help_text}\n```\n")
    return "\n".join(parts)


def _commands(within: click.Group, before: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """A group, then what is in it by name, groups within it too."""
    yield before
    for name in sorted(within.commands):
        command = within.commands[name]
        if isinstance(command, click.Group):
            yield from _commands(command, (*before, name))
        else:
            yield (*before, name)


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(command_docs(), encoding="utf-8")
