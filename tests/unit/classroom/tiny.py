"""The tiny exercise, and students to give it to."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from meltbook.classroom.exercise import Exercise, load_exercise, parse_exercise
from meltbook.classroom.handout import Handout, make_handout
from meltbook.classroom.roster import Student
from meltbook.errors import Problem, StudioError

PATH = Path(__file__).with_name("tiny.toml")
TEXT = PATH.read_text(encoding="utf-8")


@cache
def tiny() -> Exercise:
    """The tiny exercise."""
    return load_exercise(PATH)


def student(number: int = 1) -> Student:
    """One of a class."""
    return Student(number, f"Pupil {chr(64 + number % 26)}", f"pupil-{number}")


@cache
def handout(number: int = 1, weight: str = "lb", seed: int = 1) -> Handout:
    """A student's handout of the tiny exercise."""
    return make_handout(tiny(), student(number), seed=seed, weight_unit=weight, currency="USD")


def changed(old: str, new: str) -> str:
    """The text of the tiny exercise with one thing changed."""
    assert TEXT.count(old) >= 1, old
    return TEXT.replace(old, new, 1)


def problems(text: str) -> list[Problem]:
    """What is wrong with an exercise's text."""
    try:
        parse_exercise(text, name="mine", place="mine.toml")
    except StudioError as error:
        return list(error.problems)
    return []
