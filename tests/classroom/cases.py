"""Students worked out by hand: the TOML files of ``by_hand/``, one student each.

exercise = "ladder"
title = "..."
[given]               # the student's numbers
[columns]             # the columns of the tables, "" for an empty cell
[[expected]]
step = "hot_cost"
value = 0.549         # or: word = "cheaper"
how = "36600 x 0.15 / 10000"
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from meltbook.classroom.draw import Numbers

FOLDER = Path(__file__).parent / "by_hand"


@dataclass(frozen=True, slots=True)
class Expected:
    """The answer of one step, and the arithmetic behind it."""

    step: str
    answer: float | str
    how: str


@dataclass(frozen=True, slots=True)
class ByHand:
    """One student of one exercise."""

    name: str
    exercise: str
    title: str
    numbers: Numbers
    expected: tuple[Expected, ...]


def by_hand() -> tuple[ByHand, ...]:
    """All students, by the files' names."""
    return tuple(_read(path) for path in sorted(FOLDER.glob("*.toml")))


def _read(path: Path) -> ByHand:
    data: dict[str, Any] = tomllib.loads(path.read_text(encoding="utf-8"))
    columns = {
        name: [None if cell == "" else cell if isinstance(cell, str) else float(cell) for cell in cells]
        for name, cells in data["columns"].items()
    }
    numbers = Numbers({name: float(value) for name, value in data["given"].items()}, columns)
    expected = tuple(_expected(path, entry) for entry in data["expected"])
    return ByHand(path.stem, data["exercise"], data["title"], numbers, expected)


def _expected(path: Path, entry: dict[str, Any]) -> Expected:
    if entry.keys() not in ({"step", "value", "how"}, {"step", "word", "how"}):
        raise ValueError(f"{path.name}: {entry} must have a step, a value or a word, and how")
    answer = entry["word"] if "word" in entry else float(entry["value"])
    return Expected(entry["step"], answer, entry["how"])
