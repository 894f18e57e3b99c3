"""A class that hands in: handouts, what each student typed, and the files, written once for a whole test run."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from meltbook.classroom.book import handout_bytes
from meltbook.classroom.exercise import load_exercise
from meltbook.classroom.handout import Handout, make_handout
from meltbook.classroom.marking import Marked, mark_file
from meltbook.classroom.returned import look_at, read_returned
from meltbook.classroom.roster import Student
from tests.classroom import students
from tests.classroom.marking import files

UNITS = (("lb", "USD"), ("kg", "EUR"))


@cache
def handout(exercise: str, number: int) -> Handout:
    """The handout of a numbered student; every other class weighs in kg."""
    weight, currency = UNITS[number % 2]
    student = Student(number, f"Student {number}", f"Student {number}")
    return make_handout(load_exercise(exercise), student, seed=7, weight_unit=weight, currency=currency)


@cache
def blank(exercise: str, number: int) -> bytes:
    return handout_bytes(handout(exercise, number))


@dataclass(frozen=True, slots=True)
class HandedIn:
    """A file, and the state and points that each of its cells ought to get."""

    path: Path
    one: Handout
    works: list[students.AtWork]
    wanted: dict[str, tuple[str, float]]

    def mark(self) -> Marked:
        return mark_file(self.one, read_returned(look_at(self.path), self.one))

    def differences(self) -> list[str]:
        """Where the mark is another than it ought to be."""
        got = {mark.cell: mark for mark in self.mark().marks}
        assert got.keys() == self.wanted.keys()
        kinds = {f"{work.stage}_{deed.step.name}": deed for work in self.works for deed in work.deeds}
        return [
            f"{self.path.name} {cell}: {kinds[cell].kind} {kinds[cell].content!r}: wanted {state} {points}, "
            f"got {got[cell].state} {got[cell].points} ({got[cell].had})"
            for cell, (state, points) in self.wanted.items()
            if got[cell].state != state or abs(got[cell].points - points) > 1e-9
        ]


def hand_in(folder: Path, exercise: str, number: int, plan: dict[str, str] | str, *, pointed: bool = True) -> HandedIn:
    """Write the file of a numbered student who works by a plan."""
    one = handout(exercise, number)
    works = list(students.at_work(one, plan, number))
    given = folder / "given.xlsx"
    given.write_bytes(blank(exercise, number))
    path = files.fill(given, folder / f"{exercise}-{number}.xlsx", students.contents(works), pointed=pointed)
    return HandedIn(path, one, works, students.expected(works))
