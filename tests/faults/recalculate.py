"""Put a fault into the sound book and recalculate it: in LibreOffice as its owner would, and in formualizer."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from tests.faults.book import CHECK_IDS, Cell, SoundBook, Typed

Acts = Sequence[Mapping[str, Any]]
"""What is done to rows and ranges, as ``office.py`` takes it."""


@dataclass(frozen=True, slots=True)
class Run:
    """Cells to set, things to do, cells to set then; ``save`` is where the workbook is kept afterwards."""

    cells: Mapping[Cell, Typed]
    acts: Acts = ()
    then: Mapping[Cell, Typed] = field(default_factory=dict)
    save: Path | None = None


States = dict[str, str]
"""What each check says, by its id."""


class Live:
    """The book in formualizer: cells are set, everything that hangs on them is worked out, and set back."""

    def __init__(self, book: SoundBook) -> None:
        import formualizer

        self.book = book
        self.engine = formualizer.load_workbook(str(book.path), strategy="eager_all")
        self.engine.evaluate_all()

    def value(self, cell: Cell) -> object:
        """What a cell shows now."""
        return self.engine.get_value(cell.sheet, cell.row, cell.column)

    def states(self) -> States:
        """How each check stands now."""
        return {name: str(self.value(cell)) for name, cell in zip(CHECK_IDS, self.book.states(), strict=True)}

    def with_cells(self, cells: Mapping[Cell, Typed], watched: Sequence[Cell] = ()) -> tuple[States, list[object]]:
        """The states, and what some cells show, while some cells hold something else."""
        before: dict[Cell, Any] = {cell: self.value(cell) for cell in cells}
        for cell, value in cells.items():
            self.engine.set_value(cell.sheet, cell.row, cell.column, value)
        self.engine.evaluate_all()
        found = self.states(), [self.value(cell) for cell in watched]
        for cell, was in before.items():
            formula = self.book.formulas.get(cell)
            if formula is None:
                self.engine.set_value(cell.sheet, cell.row, cell.column, was)
            else:
                self.engine.set_formula(cell.sheet, cell.row, cell.column, f"={formula.text}")
        self.engine.evaluate_all()
        return found


def states_of_file(path: Path, book: SoundBook) -> States:
    """How the checks of a file stand that another program has saved, worked out by formualizer."""
    import formualizer

    engine = formualizer.load_workbook(str(path), strategy="eager_all")
    engine.evaluate_all()
    return {
        name: str(engine.get_value(cell.sheet, cell.row, cell.column))
        for name, cell in zip(CHECK_IDS, book.states(), strict=True)
    }


@cache
def office_python() -> str | None:
    """A Python that can script LibreOffice, or nothing. Debian's package for it is python3-uno."""
    soffice = shutil.which("soffice") or shutil.which("libreoffice")
    if soffice is None:
        return None
    beside = Path(soffice).resolve().parent / "python"
    for candidate in (str(beside), "/usr/bin/python3", "python3"):
        if shutil.which(candidate) and _imports_uno(candidate):
            return candidate
    return None


def _imports_uno(python: str) -> bool:
    return subprocess.run([python, "-c", "import uno"], capture_output=True, check=False).returncode == 0


def _places(cells: Mapping[Cell, Typed]) -> list[tuple[tuple[str, int, int], Typed]]:
    return [((cell.sheet, cell.row, cell.column), value) for cell, value in cells.items()]


def in_office(book: SoundBook, runs: Sequence[Run]) -> list[States]:
    """How each check stands after each run, in LibreOffice."""
    orders = {
        "soffice": shutil.which("soffice") or shutil.which("libreoffice"),
        "book": str(book.path.resolve()),
        "read": [(cell.sheet, cell.row, cell.column) for cell in book.states()],
        "runs": [
            {
                "set": _places(run.cells),
                "acts": list(run.acts),
                "then": _places(run.then),
                "save": None if run.save is None else str(run.save.resolve()),
            }
            for run in runs
        ],
    }
    python = office_python()
    assert python is not None
    script = str(Path(__file__).with_name("office.py"))
    done = subprocess.run(
        [python, script], input=json.dumps(orders), capture_output=True, text=True, timeout=900, check=False
    )
    assert done.returncode == 0, done.stderr
    return [dict(zip(CHECK_IDS, states, strict=True)) for states in json.loads(done.stdout)]
