"""What can go wrong, and how it is said.

Two kinds of trouble are kept apart. A :class:`MeltbookError` stops the work and carries the exit code
that the command line ends with. A :class:`Problem` is something wrong in the owner's data or workbook:
problems are collected, never raised one at a time, so that one reading shows all of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

EXIT_FINE = 0
EXIT_PROBLEMS = 1
EXIT_USAGE = 2
EXIT_MISSING = 3


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong at one place.

    ``sheet``, ``row`` and ``column`` say where (``row`` is the row number that the spreadsheet shows,
    ``column`` the heading of the column or the label of the cell); ``found`` and ``expected`` say what;
    ``do`` says what to do about it. A place that is not in a sheet leaves ``sheet`` empty.
    """

    sheet: str
    row: int | None
    column: str
    found: str
    expected: str
    do: str

    def __str__(self) -> str:
        where = ", ".join(
            part
            for part in (
                self.sheet,
                f"row {self.row}" if self.row is not None else "",
                self.column,
            )
            if part
        )
        return f"{where}: found {self.found}; expected {self.expected}. {self.do}"


class MeltbookError(Exception):
    """Base of every error that meltbook raises on purpose."""

    exit_code = EXIT_USAGE

    def __init__(self, message: str, *, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


class UsageError(MeltbookError):
    """The command was called with something that it can't use."""

    exit_code = EXIT_USAGE


class StudioError(MeltbookError):
    """A studio file or workbook holds data that can't be used; ``problems`` lists all of it."""

    exit_code = EXIT_PROBLEMS

    def __init__(self, message: str, problems: Sequence[Problem] = (), *, hint: str = "") -> None:
        super().__init__(message, hint=hint)
        self.problems = tuple(problems)


class BookFileError(MeltbookError):
    """A file is not a workbook that can be read: damaged, protected, too large, or something else."""

    exit_code = EXIT_PROBLEMS


class MissingError(MeltbookError):
    """Something that the work needs is not on this machine."""

    exit_code = EXIT_MISSING


class DeclarationError(MeltbookError):
    """A field or sheet is declared wrongly: a fault of the project, found when the book is built."""

    exit_code = EXIT_MISSING
