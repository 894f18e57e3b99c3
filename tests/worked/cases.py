"""Studios that were worked out by hand, and what each figure must be.

A case is a TOML file in this folder. ``[studio]`` is what the owner types. Each ``[[expected]]`` names a
figure, the row it stands in if it is a column (the first is 1), its value (or ``blank = true``), and under
``how`` the arithmetic. The values come from that arithmetic and a pocket calculator, never from the program:
so the same files can judge the reference engine and every spreadsheet program.
"""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio

FOLDER = Path(__file__).parent

CAPACITY = Capacity(log=40, tariffs=6, part_kinds=4, ledger=8, glasses=3, overheads=5, pieces=4, campaigns=4)
"""Few rows, so that slow engines get through. The log keeps room enough not to be called full."""

NEARNESS = 1e-9
"""How near, as a share of the value: the values are written with ten digits or more."""


@dataclass(frozen=True, slots=True)
class Expected:
    """One figure of a case. ``value`` is ``None`` for a cell that must stay blank."""

    figure: str
    row: int | None
    value: float | int | str | None
    how: str

    def __str__(self) -> str:
        where = "" if self.row is None else f", row {self.row}"
        return f"{self.figure}{where} = {self.value!r}, because {self.how}"

    def met_by(self, found: object) -> bool:
        """Whether a value that some engine gave is the expected one. An empty text is a blank."""
        if self.value is None:
            return found is None or found == ""
        if isinstance(self.value, str):
            return found == self.value
        if isinstance(found, bool) or not isinstance(found, int | float):
            return False
        return math.isclose(found, self.value, rel_tol=NEARNESS, abs_tol=NEARNESS)


@dataclass(frozen=True, slots=True)
class Case:
    """A studio with all that is known about it."""

    name: str
    title: str
    studio: Studio
    expected: tuple[Expected, ...]
    capacity: Capacity = CAPACITY


def load_cases() -> tuple[Case, ...]:
    """All cases of this folder, by name."""
    return tuple(_read(path) for path in sorted(FOLDER.glob("*.toml")))


def _read(path: Path) -> Case:
    with path.open("rb") as file:
        data: dict[str, Any] = tomllib.load(file)
    expected = tuple(_expected(path, entry) for entry in data["expected"])
    return Case(path.stem, data["title"], Studio.model_validate(data["studio"]), expected)


def _expected(path: Path, entry: dict[str, Any]) -> Expected:
    unknown = entry.keys() - {"figure", "row", "value", "blank", "how"}
    if unknown or ("value" in entry) == ("blank" in entry):
        raise ValueError(f"{path.name}: {entry} must have a figure, a value or blank = true, and how")
    return Expected(entry["figure"], entry.get("row"), entry.get("value"), entry["how"])
