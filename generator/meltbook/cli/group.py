"""The group of all commands: it turns every way of failing into a sentence and an exit code.

No command prints an error or ends the process by itself; it raises, and what was raised is told here. With
``--json`` the error is a JSON document on stdout, as a result would be.
"""

from __future__ import annotations

import gc
import os
import sys
import traceback
from collections.abc import Sequence
from typing import Any

import click

from meltbook.cli.output import error_document, print_json, tell_error
from meltbook.errors import EXIT_MISSING, EXIT_USAGE, MeltbookError, StudioError

SHOW_TRACEBACK = "MELTBOOK_TRACEBACK"
"""Set to 1 to see where in the code something unforeseen happened."""

STOPPED = 130


class Commands(click.Group):
    """A group whose commands raise, and which tells what was raised."""

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        windows_expand_args: bool = True,
        **extra: Any,
    ) -> Any:
        """Run a command and end the process with its exit code."""
        words = list(sys.argv[1:] if args is None else args)
        if standalone_mode and args is None and words[:1] != ["class"]:
            # The process does this and nothing else. Such a command holds what it reads until it ends, and looking
            # for garbage in it takes a fifth of the time. A class is many books, one after the other: theirs adds up.
            gc.disable()
        try:
            result: object = super().main(
                words,
                prog_name or "meltbook",
                complete_var,
                standalone_mode=False,
                windows_expand_args=windows_expand_args,
                **extra,
            )
            code = result if isinstance(result, int) else 0
        except BaseException as error:
            if not standalone_mode:
                raise
            code = _tell(error, words)
        if standalone_mode:
            sys.exit(code)
        return code


def _tell(error: BaseException, words: Sequence[str]) -> int:
    as_json = "--json" in words
    if isinstance(error, SystemExit):
        return error.code if isinstance(error.code, int) else 0
    if isinstance(error, click.exceptions.NoArgsIsHelpError):
        click.echo(error.format_message(), err=True)
        return EXIT_USAGE
    if isinstance(error, click.exceptions.Exit):
        return error.exit_code
    if isinstance(error, KeyboardInterrupt | click.Abort):
        click.echo("Stopped; nothing was written.", err=True)
        return STOPPED
    if isinstance(error, BrokenPipeError):
        # Whoever read the output has closed it; writing more would only fail again at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    known = _known(error)
    if known.exit_code == EXIT_MISSING and os.environ.get(SHOW_TRACEBACK) == "1":
        click.echo("".join(traceback.format_exception(error)), err=True)
    problems = known.problems if isinstance(known, StudioError) else ()
    if as_json:
        print_json(error_document(known, problems))
    tell_error(known, problems)
    return known.exit_code


def _known(error: BaseException) -> MeltbookError:
    """The error itself, or one of ours that says the same."""
    if isinstance(error, MeltbookError):
        return error
    if isinstance(error, click.UsageError):
        path = error.ctx.command_path if error.ctx is not None else "meltbook"
        return _with_code(error.format_message(), f"See `{path} --help`.", EXIT_USAGE)
    if isinstance(error, click.ClickException):
        return _with_code(error.format_message(), "", EXIT_USAGE)
    if isinstance(error, OSError):
        reason = (error.strerror or str(error)).lower()
        where = f"{error.filename}: " if error.filename else ""
        return _with_code(f"{where}{reason}.", "Check the folder, the right to write in it, and the room.", EXIT_USAGE)
    if isinstance(error, MemoryError):
        return _with_code("There is not enough memory for this.", "Close other programs.", EXIT_MISSING)
    if isinstance(error, ImportError):
        return _with_code(f"A part of meltbook is missing: {error}.", "Install meltbook again.", EXIT_MISSING)
    return _with_code(
        f"meltbook failed where it should not: {type(error).__name__}: {error}",
        f"The fault is not yours. {SHOW_TRACEBACK}=1 in the environment shows where it happened.",
        EXIT_MISSING,
    )


def _with_code(message: str, hint: str, code: int) -> MeltbookError:
    error = MeltbookError(message, hint=hint)
    error.exit_code = code
    return error
