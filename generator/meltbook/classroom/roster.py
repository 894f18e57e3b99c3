"""Reads a roster: a CSV file with a student a line, as any spreadsheet program saves one.

Names are kept as they are typed. A *stem*, for the student's file, is made of each: safe on every system, at most
60 characters, and different for each student.
"""

from __future__ import annotations

import csv
import re
import unicodedata
from dataclasses import dataclass
from pathlib import Path

from meltbook.errors import Problem, StudioError, UsageError

LARGEST_FILE = 2_000_000
MOST_STUDENTS = 2_000
LONGEST_NAME = 300
LONGEST_STEM = 60
HEADS = ("name", "student", "names", "students", "student name")
_SEPARATORS = (",", ";", "\t")
_NO_SEPARATOR = "\x1f"
_RESERVED = {"con", "prn", "aux", "nul"} | {f"{port}{number}" for port in ("com", "lpt") for number in "0123456789¹²³"}
"""Names of devices, which Windows takes for a file of that name with any ending."""


@dataclass(frozen=True, slots=True)
class Student:
    """A student on the roster. ``number`` counts from 1; ``stem`` is the name of the file without its ending."""

    number: int
    name: str
    stem: str


@dataclass(frozen=True, slots=True)
class Roster:
    """A roster as read. ``guess`` is a sentence if the file's letters had to be guessed, else empty."""

    students: tuple[Student, ...]
    guess: str = ""


def read_roster(path: Path) -> list[Student]:
    """The students on a roster, in its order.

    Raises:
        UsageError: there is no such file, or it can't be read as a list.
        StudioError: nobody is on it, or names can't be used; its problems say which.
    """
    return list(read_roster_file(path).students)


def read_roster_file(path: Path) -> Roster:
    """A roster with what had to be guessed to read it."""
    text, guess = _decoded(path, _bytes(path))
    rows = _rows(path, text)
    names = _names(rows)
    if not names:
        raise StudioError(f"Nobody is on the roster {path}.", hint="Write one name a line.")
    if len(names) > MOST_STUDENTS:
        raise UsageError(f"{path} has {len(names):,} lines.", hint=f"A class has at most {MOST_STUDENTS:,} students.")
    problems = [
        Problem(str(path), line, "", f"a name of {len(name):,} characters", f"at most {LONGEST_NAME}", "Shorten it.")
        for line, name in names
        if len(name) > LONGEST_NAME
    ]
    if problems:
        raise StudioError(f"{path} has names that are too long.", problems)
    students: list[Student] = []
    taken: set[str] = set()
    for number, (_, name) in enumerate(names, 1):
        students.append(Student(number, name, unique_stem(name, taken)))
    return Roster(tuple(students), guess)


# ------------------------------------------------------------------------------------------------------- the file


def _bytes(path: Path) -> bytes:
    try:
        if path.is_dir():
            raise UsageError(f"{path} is a folder, not a roster.", hint="Name a CSV file.")
        with path.open("rb") as file:
            raw = file.read(LARGEST_FILE + 1)
    except FileNotFoundError as error:
        raise UsageError(f"There is no roster {path}.", hint="Name a CSV file with one student a line.") from error
    except (OSError, ValueError) as error:
        why = (getattr(error, "strerror", None) or "it is not a plain file").lower()
        raise UsageError(
            f"{path} can't be read: {why}.", hint="Check who may read it, and whether another program holds it open."
        ) from error
    if len(raw) > LARGEST_FILE:
        raise UsageError(f"{path} is too large for a roster.", hint="Is it another kind of file?")
    if raw[:4] in (b"PK\x03\x04", b"\xd0\xcf\x11\xe0"):
        raise UsageError(f"{path} is a workbook, not a CSV file.", hint="Save the list as CSV in your program.")
    return raw


def _decoded(path: Path, raw: bytes) -> tuple[str, str]:
    """The text, and a sentence if its letters had to be guessed."""
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        try:
            return raw.decode("utf-16"), ""
        except UnicodeDecodeError as error:
            raise UsageError(f"{path} can't be read as text.", hint="Save it as CSV, UTF-8.") from error
    if b"\0" in raw:
        raise UsageError(f"{path} is not a text file.", hint="Save the list as CSV, UTF-8.")
    try:
        return raw.decode("utf-8-sig"), ""
    except UnicodeDecodeError:
        # What Windows programs in western countries save when nobody says UTF-8. A few bytes mean nothing there.
        text = raw.decode("cp1252", errors="replace")
        return text, (
            f"{path.name} is not UTF-8: its letters were read as those of western Europe (Windows-1252). "
            "If names look wrong, save it as CSV, UTF-8."
        )


def _rows(path: Path, text: str) -> list[tuple[int, list[str]]]:
    """The lines that hold something, as cells, each with its number in the file."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    pieces = [f"{line}\n" for line in lines.split("\n")]
    reader = csv.reader(pieces, delimiter=_separator(lines), skipinitialspace=True)
    rows: list[tuple[int, list[str]]] = []
    try:
        for row in reader:
            if _runs_on(row, lines):
                raise StudioError(f"{path} has a quote that is not closed.", [_unclosed(path, reader.line_num, row)])
            cells = [_trimmed(cell) for cell in row]
            if any(cells):
                rows.append((reader.line_num, cells))
    except csv.Error as error:
        raise UsageError(f"{path} can't be read as CSV: {error}.", hint="Save the list as CSV once more.") from error
    return rows


def _runs_on(row: list[str], text: str) -> bool:
    """Whether a cell goes on over lines that were not meant: a quote was opened and not closed."""
    breaks = max((cell.strip().count("\n") for cell in row), default=0)
    return breaks > 1 or (breaks == 1 and text.count('"') % 2 == 1)


def _unclosed(path: Path, last: int, row: list[str]) -> Problem:
    cell = max(row, key=lambda found: found.count("\n"))
    first = max(1, last - cell.count("\n"))
    found = f"a name that goes on for {cell.count(chr(10)) + 1} lines"
    return Problem(str(path), first, "", found, "a name a line", 'Close the quote ", or write it twice inside a name.')


def _separator(text: str) -> str:
    """What stands between the columns: what the first line has most of outside quotes, else a comma.

    Under a heading that stands alone there is one column, and a comma belongs to the name.
    """
    first = next((line for line in text.split("\n") if line.strip()), "")
    bare = re.sub(r'"[^"]*"', "", first)
    if first.strip().strip('"').casefold() in HEADS:
        return _NO_SEPARATOR
    return max(_SEPARATORS, key=lambda sign: (bare.count(sign), -_SEPARATORS.index(sign)))


def _names(rows: list[tuple[int, list[str]]]) -> list[tuple[int, str]]:
    """The names and their lines: of the column with a known heading, else the first column that has any."""
    if not rows:
        return []
    heads = [cell.casefold() for cell in rows[0][1]]
    column = next((heads.index(head) for head in HEADS if head in heads), None)
    if column is not None:
        rows = rows[1:]
    found = ((line, cells[column or 0] if len(cells) > (column or 0) else "") for line, cells in rows)
    return [(line, name) for line, name in found if name]


def _trimmed(cell: str) -> str:
    """A cell in one line, without characters that no name has and no workbook can hold."""
    kept = "".join(" " if character in "\n\t\v\f\u2028\u2029" else character for character in cell)
    kept = "".join(character for character in kept if unicodedata.category(character) not in ("Cc", "Cs"))
    return re.sub("[\ufeff\ufffe\uffff]", "", kept).strip()


# ---------------------------------------------------------------------------------------------------- file names


def unique_stem(name: str, taken: set[str]) -> str:
    """A stem that no other student has; ``taken`` holds the small letters of those given out, and gets this one."""
    stem = safe_stem(name)
    found, number = stem, 1
    while _folded(found) in taken:
        number += 1
        found = f"{stem[: LONGEST_STEM - len(str(number)) - 1].rstrip(' .-')}-{number}"
    taken.add(_folded(found))
    return found


def _folded(stem: str) -> str:
    """Two stems of which this is the same are one file on some system."""
    return unicodedata.normalize("NFKD", stem).casefold()


def safe_stem(name: str) -> str:
    """A file's stem: letters and digits of any script, and blanks, hyphens, dots and underscores between them.

    Never a path, a hidden file, an option, a device, or nothing; never a character that turns the direction of
    writing or that isn't seen.
    """
    composed = unicodedata.normalize("NFC", name)
    kept = "".join(_safe(character) for character in composed)
    # Each run of dots becomes one, so that no part of a name means the folder above.
    kept = re.sub(r"\.{2,}", ".", re.sub(r"\s+", " ", kept))
    stem = _shortened(kept.strip(" .-_"))
    if stem.split(".")[0].strip().casefold() in _RESERVED:
        stem = f"student {stem}"
    return stem or "student"


def _safe(character: str) -> str:
    category = unicodedata.category(character)
    if category[0] in "LMN" or character in "-_.":
        return character
    if category[0] == "Z" or character in "/\\:|":
        return " "
    return ""


def _shortened(stem: str) -> str:
    """At most 60 characters, and no more bytes than every file system takes with an ending and a folder."""
    stem = stem[:LONGEST_STEM]
    while len(stem.encode()) > 4 * LONGEST_STEM:
        stem = stem[:-1]
    return stem.rstrip(" .-_")
