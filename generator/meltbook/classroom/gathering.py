"""Which files came back, whose they are, and which of them are marked.

A file belongs to the student whose tag is inside it, whatever it is called. Nothing is left out without a word:
what can't be marked is told with the file's name, and the others are marked all the same.
"""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

from meltbook.classroom.data_sheets import SHEETS_NAME
from meltbook.classroom.handout import make_handout
from meltbook.classroom.marking import Marked, mark_file
from meltbook.classroom.returned import Look, look_at, read_returned
from meltbook.errors import MeltbookError, StudioError, UsageError

if TYPE_CHECKING:
    from meltbook.classroom.handout import Handout
    from meltbook.classroom.key import Key
    from meltbook.classroom.roster import Student

Progress = Callable[[int, int], None]
"""Called with how many files are read, of how many."""

_OURS = ("Marks", "Steps", "Files", "Feedback")
"""The sheets of results: an earlier run may have left them among the files."""
_PASSED = (".ds_store", "thumbs.db", "desktop.ini")
_MARKS_OF_MACS = "__MACOSX"
MOST_FILES = 20_000


class Kind(StrEnum):
    """What there is to say about a file, or about a student without one."""

    MISSING = "Missing"
    TWICE = "Twice"
    ANOTHERS = "Another student's numbers"
    OTHER_EXERCISE = "Another exercise"
    UNKNOWN = "Not of this class"
    UNREADABLE = "Can't be read"
    CHANGED = "Given numbers changed"
    GONE = "Answer cells gone"
    UNWORKED = "Formula not worked out"


@dataclass(frozen=True, slots=True)
class Told:
    """Something that the teacher has to know: about which file (as it stands in the folder) and which student."""

    kind: Kind
    file: str
    student: str
    says: str


@dataclass(slots=True)
class StudentMarks:
    """A student on the roster, with what was marked; ``told`` are the kinds of what is said about this student."""

    student: Student
    marked: Marked | None = None
    file: str = ""
    told: list[Kind] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class ClassMarks:
    """The marks of a class, in the order of the roster. ``some`` is any handout: exercise and units."""

    some: Handout
    students: tuple[StudentMarks, ...]
    told: tuple[Told, ...]
    files: int

    @property
    def marked(self) -> list[StudentMarks]:
        """The students of whom something was marked."""
        return [one for one in self.students if one.marked is not None]


def gather(folder: Path, key: Key, passed: Sequence[Path] = (), progress: Progress | None = None) -> ClassMarks:
    """Read and mark every file in a folder and its subfolders; ``passed`` are files that are no student's.

    Raises:
        UsageError: there is no such folder.
    """
    if not folder.is_dir():
        raise UsageError(f"There is no folder {folder}.", hint="Name the folder with the files that came back.")
    if not key.students:
        raise UsageError("There is nobody in the key.", hint="Use the key as it was written.")
    files = sorted(_files(folder, passed), key=lambda path: path.relative_to(folder).as_posix().casefold())
    if len(files) > MOST_FILES:
        raise UsageError(f"{folder} holds more than {MOST_FILES:,} files.", hint="Name the folder of one class.")
    work = _Gathering(folder, key)
    _check_key(work)
    for number, path in enumerate(files, 1):
        work.take(path)
        if progress:
            progress(number, len(files))
    return work.done(len(files))


def _check_key(work: _Gathering) -> None:
    """Raise if the numbers of the class can't be made again from the key."""
    first = work.key.students[0]
    if work.handout(first).tag != work.key.tags.get(first.number):
        raise StudioError(
            "The numbers of this class can't be made again from the key: the key was changed, or made by another "
            "version of meltbook.",
            hint="Use the key as it was written, and the version that wrote it.",
        )


def _files(folder: Path, passed: Sequence[Path]) -> Iterator[Path]:
    """Every file that may be a student's. Marks that programs leave behind are none; a link is not followed."""
    avoid = {path.resolve() for path in passed}
    for place, folders, found in os.walk(folder):
        folders[:] = [name for name in folders if not name.startswith(".") and name != _MARKS_OF_MACS]
        for name in found:
            path = Path(place) / name
            if name.startswith((".", "~$")) or name.casefold() in _PASSED or path.resolve() in avoid:
                continue
            yield path


class _Gathering:
    def __init__(self, folder: Path, key: Key) -> None:
        self.folder = folder
        self.key = key
        self.students = {student.number: StudentMarks(student) for student in key.students}
        self.numbers = {tag: number for number, tag in key.tags.items()}
        self.told: list[Told] = []

    # ---------------------------------------------------------------------------------------------- one file

    def take(self, path: Path) -> None:
        """Mark a file, or say why not."""
        name = path.relative_to(self.folder).as_posix()
        if path.is_symlink():
            self._tell(Kind.UNREADABLE, name, "", "It is a link to another place, which is not followed.")
            return
        before = len(self.told)
        try:
            self._look(look_at(path, self.numbers.keys()), name)
        except (MeltbookError, RecursionError, OSError) as error:
            says = " ".join(filter(None, (str(error), getattr(error, "hint", ""))))
        except Exception as error:  # a fault of ours with one file is no reason to mark none
            says = f"meltbook failed on it where it should not: {type(error).__name__}: {str(error)[:100]}"
        else:
            return
        del self.told[before:]
        self._tell(Kind.UNREADABLE, name, self._named_like(name), says)

    def _look(self, look: Look, name: str) -> None:
        if not look.tag and look.file.path.name == SHEETS_NAME:
            return
        if set(_OURS) <= set(look.file.sheet_names):
            return
        number = self._whose(look, name)
        if number is not None:
            self._mark(look, name, self.students[number])

    def _whose(self, look: Look, name: str) -> int | None:
        """The student whose numbers a file has; None if it is not marked, and why is told."""
        number = self.numbers.get(look.tag)
        if number is None:
            named = self._named_like(name)
            if not look.tag and not look.exercise:
                self._tell(Kind.UNKNOWN, name, named, "It is a workbook, but not one that was handed out.")
            elif look.exercise and look.exercise != self.key.exercise.name:
                says = f"It is of the exercise {look.exercise[:60]!r}, not of {self.key.exercise.name!r}."
                self._tell(Kind.OTHER_EXERCISE, name, named, says)
            else:
                says = "Its tag is not in the key: it was made for another class, with another seed or in other units."
                self._tell(Kind.UNKNOWN, name, named, says)
            return None
        owner = self.students[number].student
        if look.exercise and look.exercise != self.key.exercise.name:
            says = f"It says that it is of the exercise {look.exercise[:60]!r}."
            self._tell(Kind.OTHER_EXERCISE, name, owner.name, says)
            return None
        other = self._other(name, owner)
        if other is not None:
            says = f"It has the numbers of {owner.name}, under the name of {other.name}. It is not marked."
            self._tell(Kind.ANOTHERS, name, other.name, says, other)
            return None
        return number

    def _mark(self, look: Look, name: str, one: StudentMarks) -> None:
        if one.marked is not None:
            says = f"{one.file} has the same tag. That one is marked: it comes first by name."
            self._tell(Kind.TWICE, name, one.student.name, says, one.student)
            return
        handout = self.handout(one.student)
        returned = read_returned(look, handout)
        one.marked, one.file = mark_file(handout, returned), name
        if returned.givens:
            says = f"Marked with the numbers of the key. Changed: {_some(returned.givens)}."
            self._tell(Kind.CHANGED, name, one.student.name, says, one.student)
        if gone := [mark.cell for mark in one.marked.marks if mark.state == "Blank" and mark.had.note]:
            says = f"Taken as blank, as their cells are gone: {_some(gone)}."
            self._tell(Kind.GONE, name, one.student.name, says, one.student)
        if odd := [mark.cell for mark in one.marked.marks if mark.had.note.startswith("It can't be worked out")]:
            why = next(mark.had.note for mark in one.marked.marks if mark.cell == odd[0])
            says = f"{_some(odd)}: look at them yourself. {why}"
            self._tell(Kind.UNWORKED, name, one.student.name, says, one.student)

    def handout(self, student: Student) -> Handout:
        """A student's numbers, made again."""
        key = self.key
        return make_handout(key.exercise, student, seed=key.seed, weight_unit=key.weight_unit, currency=key.currency)

    # --------------------------------------------------------------------------------------------- the class

    def done(self, files: int) -> ClassMarks:
        """All students, with those named of whom nothing came back."""
        for one in self.students.values():
            if one.marked is None and not any(kind is Kind.ANOTHERS for kind in one.told):
                named = [told for told in self.told if told.student == one.student.name]
                says = f"See {_some([told.file for told in named])}." if named else "Nothing came back."
                self._tell(Kind.MISSING, "", one.student.name, says, one.student)
        return ClassMarks(self.handout(self.key.students[0]), tuple(self.students.values()), tuple(self.told), files)

    def _tell(self, kind: Kind, file: str, student: str, says: str, whose: Student | None = None) -> None:
        self.told.append(Told(kind, file, student, says))
        if whose is not None:
            self.students[whose.number].told.append(kind)

    # ------------------------------------------------------------------------------------------------- names

    def _other(self, name: str, owner: Student) -> Student | None:
        """The student whose name a file has, where that is plainly not its owner."""
        stems = [_plain(Path(part).stem) for part in name.split("/")]
        mine = {_plain(owner.stem), _plain(owner.name)}
        if mine & set(stems) or any(_holds(stem, owner) for stem in stems):
            return None
        for stem in reversed(stems):
            others = [
                one.student
                for one in self.students.values()
                if one.student.number != owner.number
                and (stem in (_plain(one.student.stem), _plain(one.student.name)) or _holds(stem, one.student))
            ]
            if others:
                # Two that are called the same can't be told apart by a name.
                return others[0] if len(others) == 1 and _plain(others[0].name) != _plain(owner.name) else None
        return None

    def _named_like(self, name: str) -> str:
        """The one student that a file is named after, if there is one."""
        stems = [_plain(Path(part).stem) for part in name.split("/")]
        found = {
            one.student.name
            for one in self.students.values()
            for stem in stems
            if stem == _plain(one.student.stem) or _holds(stem, one.student)
        }
        return found.pop() if len(found) == 1 else ""


def _plain(text: str) -> str:
    """A name without accents, capitals and signs, to be compared."""
    folded = unicodedata.normalize("NFKD", text).casefold()
    plain = "".join(letter if letter.isalnum() else " " for letter in folded if not unicodedata.combining(letter))
    return " ".join(plain.split())


def _holds(stem: str, student: Student) -> bool:
    """Whether a file's name has a student's whole name in it, as schools' systems put it there."""
    name = _plain(student.name)
    return len(name.split()) > 1 and f" {name} " in f" {stem} "


def _some(words: Sequence[str]) -> str:
    """Some of many words."""
    shown = ", ".join(words[:4])
    return f"{shown} and {len(words) - 4} more" if len(words) > 4 else shown
