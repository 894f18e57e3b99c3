"""Draws a student's numbers: always the same for the same seed, exercise, student and stage.

The chance is a stream of our own, made of SHA-256 of where a number is used and a counter. Python's ``random``
isn't promised to give the same numbers in the next version; a class that is made again next year must.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from meltbook.classroom.exercise import Column, Exercise, GivenTable, Raster
    from meltbook.classroom.roster import Student

_WORD = 2**64


@dataclass(frozen=True, slots=True)
class Numbers:
    """What a student is given on one stage: ``values`` by name, and ``columns`` by ``table_column``."""

    values: dict[str, float]
    columns: dict[str, list[float | str | None]]

    def drawn(self) -> Iterator[float]:
        """Every number of the stage."""
        yield from self.values.values()
        for cells in self.columns.values():
            yield from (cell for cell in cells if isinstance(cell, int | float))


class Stream:
    """A stream of whole numbers that depends on nothing but the texts that it is made of."""

    def __init__(self, seed: int, exercise: str, student: str, stage: str, attempt: int) -> None:
        self._source = f"{seed}|{exercise}|{student}|{stage}|{attempt}"
        self._counter = 0

    def below(self, count: int) -> int:
        """A whole number from 0 to below ``count``, each as likely as the others."""
        fair = _WORD - _WORD % count
        while True:
            digest = hashlib.sha256(f"{self._source}|{self._counter}".encode()).digest()
            self._counter += 1
            found = int.from_bytes(digest[:8], "big")
            if found < fair:
                return found % count


def stream(exercise: Exercise, *, seed: int, student: Student, stage: str, attempt: int) -> Stream:
    """The stream of one use. A student is known by the stem of the file: unlike a place on the roster, it stays."""
    return Stream(seed, exercise.name, student.stem, stage, attempt)


def draw(exercise: Exercise, *, seed: int, student: Student, stage: str, attempt: int, weight_unit: str) -> Numbers:
    """Draw everything that is given on one stage: the givens in their order, then the tables, column by column."""
    chance = stream(exercise, seed=seed, student=student, stage=stage, attempt=attempt)
    values: dict[str, float] = {}
    for given in exercise.given:
        raster = given.raster(weight_unit)
        values[given.name] = _from(chance, raster) if raster else float(given.value or 0)
    columns: dict[str, list[float | str | None]] = {}
    for table in exercise.tables:
        for column in table.columns:
            columns[f"{table.name}_{column.name}"] = _column(chance, table, column, weight_unit)
    return Numbers(values, columns)


def _from(chance: Stream, raster: Raster) -> float:
    return raster.at(chance.below(raster.places))


def _column(chance: Stream, table: GivenTable, column: Column, weight_unit: str) -> list[float | str | None]:
    raster = column.raster(weight_unit)
    if raster is None:
        return list(column.words)
    filled = [not column.only or kind in column.only for kind in table.kinds or ("",) * table.rows]
    level = _from(chance, column.rising_from) if column.rising_from else 0.0
    cells: list[float | str | None] = []
    for is_filled in filled:
        if not is_filled:
            cells.append(None)
            continue
        number = _from(chance, raster)
        if column.rising_from:
            number = level = float(f"{level + number:.12g}")
        cells.append(number)
    return cells
