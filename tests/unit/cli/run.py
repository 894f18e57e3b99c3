"""Running the commands in this process, with stdout and stderr apart."""

from __future__ import annotations

from typing import Any

from click.testing import CliRunner, Result

from meltbook.cli import main


def run(*words: Any) -> Result:
    """Run a command line. What it lets through as an exception fails the test."""
    result = CliRunner().invoke(main, [str(word) for word in words], prog_name="meltbook")
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result
