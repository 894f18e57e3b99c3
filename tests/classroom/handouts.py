"""Handouts to try things on: of the shipped exercises, and of a small one that has everything."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from meltbook.classroom.book import handout_bytes, handout_parts
from meltbook.classroom.exercise import load_exercise, shipped
from meltbook.classroom.handout import Handout, make_handout
from meltbook.classroom.roster import Student
from tests.engines.books import PoisonedBook, expected_cells
from tests.engines.poison import poison
from tests.engines.values import read_values

EVERYTHING = str(Path(__file__).with_name("everything.toml"))
EXERCISES = (EVERYTHING, *shipped())
ADA = Student(1, "Ada Lindqvist", "Ada Lindqvist")
UNITS = {"lb": "USD", "kg": "EUR"}


@cache
def handout(exercise: str, weight: str = "lb", seed: int = 1) -> Handout:
    """Ada's handout of an exercise."""
    return make_handout(load_exercise(exercise), ADA, seed=seed, weight_unit=weight, currency=UNITS[weight])


def poisoned(title: str, one: Handout, typed: Mapping[str, float | str], path: Path) -> PoisonedBook:
    """Write a workbook with something typed into it and spoil every stored value in it."""
    clean = path.with_suffix(".clean.xlsx")
    clean.write_bytes(handout_bytes(one, typed=typed))
    parts, stored = handout_parts(one, typed), read_values(clean)
    expected = expected_cells(parts)
    assert poison(clean, path) == len(expected), "a formula cell has no reference value, or the other way round"
    clean.unlink()
    return PoisonedBook(title, path, parts, expected, stored)


def poisoned_all(wanted: Mapping[str, tuple[Handout, Mapping[str, float | str]]], folder: Path) -> list[PoisonedBook]:
    """Several workbooks, each with a title for the messages."""
    folder.mkdir(parents=True, exist_ok=True)
    return [
        poisoned(title, one, typed, folder / f"{at:03d}.xlsx")
        for at, (title, (one, typed)) in enumerate(wanted.items())
    ]
