"""What the commands say, and where: results on stdout, everything else on stderr.

With ``--json`` stdout holds exactly one JSON document, of an error as of a result.
"""

from __future__ import annotations

import json
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from typing import Any

import click

from meltbook.errors import MeltbookError, Problem

PATIENCE = 1.0
"""Seconds that work may take before something says that it goes on."""

Document = dict[str, Any]


def print_json(document: Document) -> None:
    """The one document of a command that was called with --json."""
    click.echo(json.dumps(document, ensure_ascii=False, indent=2))


def error_document(error: MeltbookError, problems: Sequence[Problem]) -> Document:
    """An error as a document."""
    return {
        "ok": False,
        "exit_code": error.exit_code,
        "error": {"message": error.message, "hint": error.hint},
        "problems": [asdict(problem) for problem in problems],
    }


def tell(text: str) -> None:
    """A line on stderr, beside the result."""
    click.echo(text, err=True)


def tell_error(error: MeltbookError, problems: Sequence[Problem]) -> None:
    """An error on stderr: what, every place, and what to do."""
    tell(f"Error: {error.message}")
    for problem in problems:
        tell(f"  {problem}")
    if error.hint:
        tell(f"  {error.hint}")


def plural(count: int, one: str, many: str = "") -> str:
    """A count with its word."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"


@contextmanager
def working(what: str, *, quiet: bool = False) -> Iterator[None]:
    """Say on a terminal that work goes on, if it takes longer than a moment."""
    if quiet or not sys.stderr.isatty():
        yield
        return
    from rich.console import Console

    status = Console(stderr=True).status(what)
    timer = threading.Timer(PATIENCE, status.start)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
        timer.join()
        status.stop()


@contextmanager
def progress_bar(what: str, *, quiet: bool) -> Iterator[Callable[[int, int], None]]:
    """A bar on a terminal, for work that is done one student after another."""
    if quiet or not sys.stderr.isatty():
        yield lambda done, total: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bars:
        bar = bars.add_task(what, total=None)
        yield lambda done, total: bars.update(bar, completed=done, total=total)
