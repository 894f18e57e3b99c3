"""A workbook that came back: whose it is, and what stands in its answer cells.

Cells are found by their names, so that other file names, other sheet names, inserted rows and moved columns do
no harm. What a cell comes to is worked out here from what was typed, on the numbers that the student was given:
a given number that was changed does not count, and is told.
"""

from __future__ import annotations

import math
import zipfile
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from meltbook.classroom import names
from meltbook.classroom.vocabulary import in_units
from meltbook.classroom.written import read_number
from meltbook.errors import BookFileError
from meltbook.workbook.cells import Cell, CellError, CellValue
from meltbook.workbook.read import BookFile, read_file
from meltbook.workbook.recalculate import Recalculation, Spot

if TYPE_CHECKING:
    from meltbook.classroom.exercise import Step
    from meltbook.classroom.handout import Handout

_SAME = 1e-9
_TALLEST = 1_000
"""Rows of a column of given numbers, with those that were inserted; an exercise has a hundred at most."""
LARGEST, LARGEST_UNPACKED = 20_000_000, 60_000_000
"""Bytes of a file, and of all its parts."""
GONE = "The cell of this step is gone from the workbook."


@dataclass(frozen=True, slots=True)
class AnswerCell:
    """What stands in the cell of a blank step.

    ``value`` is what it comes to, a text that says a number read as that number; ``text`` is the text then, and
    whatever else was typed that is no number. ``refers`` tells whether there is a formula that points at another
    cell. ``note`` says why there is no value where something was typed.
    """

    value: float | str | None = None
    formula: str | None = None
    refers: bool = False
    text: str = ""
    note: str = ""

    @property
    def is_blank(self) -> bool:
        """Whether nothing is there."""
        return self.value is None and self.formula is None and not self.text

    @property
    def number(self) -> float | None:
        """The value, where it is a number."""
        return self.value if isinstance(self.value, float) else None


@dataclass(frozen=True, slots=True)
class Look:
    """The first look at a file: what it says that it is."""

    file: BookFile
    tag: str
    exercise: str


@dataclass(slots=True)
class Returned:
    """What a file holds, by the names of its cells. ``givens`` are the cells of given numbers that were changed."""

    path: Path
    tag: str
    exercise: str
    cells: dict[str, AnswerCell]
    givens: tuple[str, ...] = ()
    _work: Recalculation | None = None
    _spots: Mapping[str, Spot] = field(default_factory=dict)
    _instead: Mapping[Spot, CellValue] = field(default_factory=dict)

    def with_figures(self, cell: str, figures: Mapping[str, float]) -> float | None:
        """What the formula in a cell would come to if these cells held these figures."""
        if self._work is None or cell not in self._spots:
            return None
        instead = dict(self._instead)
        instead |= {self._spots[name]: value for name, value in figures.items() if name in self._spots and name != cell}
        value = self._work.values([self._spots[cell]], instead)[self._spots[cell]].value
        return value if isinstance(value, float) and not isinstance(value, bool) else None


def look_at(path: Path, tags: Collection[str] = ()) -> Look:
    """Open a file and see which workbook it was made as. ``tags`` are looked for where the tag's name is lost.

    Raises:
        MeltbookError: it can't be read: damaged, protected, no workbook, too large.
    """
    _check_size(path)
    file = read_file(path)
    tag = _text_at(file, "file_tag")
    if not tag:
        tag = next(
            (str(cell.value) for cell in _all_cells(file) if isinstance(cell.value, str) and cell.value in tags), ""
        )
    return Look(file, tag, _text_at(file, "exercise_name"))


def _check_size(path: Path) -> None:
    """Raise for a file that is far larger than a student's workbook can become; what else is wrong is told later."""
    size = path.stat().st_size
    if size <= LARGEST:
        try:
            with zipfile.ZipFile(path) as package:
                size = sum(entry.file_size for entry in package.infolist())
        except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError, EOFError):
            return
        if size <= LARGEST_UNPACKED:
            return
    raise BookFileError(
        f"{path.name} is {size // 1_000_000:,} MB large once it is unpacked; a student's workbook has less than one.",
        hint="Ask for another copy, without what was added to it.",
    )


def read_returned(look: Look, handout: Handout) -> Returned:
    """Read the answers, worked out on the numbers of this handout."""
    file, work = look.file, Recalculation(look.file)
    instead, changed = _given(file, handout)
    steps = {
        names.cell_name(stage, step.name): step
        for stage in names.ASKING
        for step in names.blank_steps(handout.exercise, stage)
    }
    spots = {cell: spot for cell in steps if (spot := _spot(file, cell)) is not None}
    for cell, spot in spots.items():
        _read_as_number(file.cell(*spot), spot, steps[cell], handout, instead)
    worked = work.values(spots.values(), instead)
    cells: dict[str, AnswerCell] = {}
    for cell, step in steps.items():
        if cell not in spots:
            cells[cell] = AnswerCell(note=GONE if _had_names(file) else "")
            continue
        spot, held = spots[cell], file.cell(*spots[cell])
        cells[cell] = _answer(held, worked[spot].value, worked[spot].reason, work.refers(spot), step, handout)
    return Returned(file.path, look.tag, look.exercise, cells, changed, work, spots, instead)


def _answer(held: Cell, value: CellValue, reason: str, refers: bool, step: Step, handout: Handout) -> AnswerCell:
    """An answer cell as it counts."""
    typed = held.value if isinstance(held.value, str) and held.formula is None else ""
    if held.is_empty or (typed and not typed.strip()):
        return AnswerCell()
    if reason:
        return AnswerCell(None, held.formula, refers, note=f"It can't be worked out here: {reason}.")
    if isinstance(value, CellError):
        return AnswerCell(None, held.formula, refers, str(value), f"It comes to the error {value}.")
    if isinstance(value, bool):
        return AnswerCell(None, held.formula, refers, str(value).upper(), "That is no number.")
    if step.by == "choice":
        return AnswerCell(_worded(value), held.formula, refers, typed)
    if isinstance(value, str):
        written = read_number(value, in_units(handout, step.unit), handout.currency)
        return AnswerCell(written.value, held.formula, refers, value, written.note)
    if value is None:  # a formula that points at an empty cell and shows nothing
        return AnswerCell(0.0, held.formula, refers)
    return AnswerCell(float(value), held.formula, refers, typed)


def _worded(value: CellValue) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value or "").strip()


def _read_as_number(held: Cell, spot: Spot, step: Step, handout: Handout, instead: dict[Spot, CellValue]) -> None:
    """Let formulas see the number that a typed text says, where it can be read in one way."""
    if isinstance(held.value, str) and held.formula is None and names.has_formula(step):
        written = read_number(held.value, in_units(handout, step.unit), handout.currency)
        if written.value is not None:
            instead[spot] = written.value


# ------------------------------------------------------------------------------------------------- given numbers


def _given(file: BookFile, handout: Handout) -> tuple[dict[Spot, CellValue], tuple[str, ...]]:
    """The numbers that the student was given, by their cells, and the names of those that were changed."""
    instead: dict[Spot, CellValue] = {}
    changed: list[str] = []
    for stage in names.ASKING:
        numbers = handout.stages[stage]
        wanted: dict[str, list[CellValue]] = {
            names.cell_name(stage, name): [float(value)] for name, value in numbers.values.items()
        }
        for table in handout.exercise.tables:
            for column in table.columns:
                values = numbers.columns[f"{table.name}_{column.name}"]
                wanted[names.column_name(stage, table.name, column.name)] = [
                    float(value) if isinstance(value, int | float) else value for value in values
                ]
        for name, given in wanted.items():
            if not _fits(file, name, given, instead):
                changed.append(name)
    return instead, tuple(changed)


def _fits(file: BookFile, name: str, values: Sequence[CellValue], instead: dict[Spot, CellValue]) -> bool:
    """Put the given values in the place of what stands there now; whether that was the same."""
    area = file.names.areas.get(name)
    if area is None or area.left != area.right or area.bottom - area.top > _TALLEST:
        return False
    spots: list[Spot] = [(area.sheet, row, area.left) for row in range(area.top, area.bottom + 1)]
    if len(spots) != len(values):
        # Rows were inserted or deleted within a table: which of them is which can't be told.
        return _row_by_row(file, spots, values, instead)
    same = True
    for spot, value in zip(spots, values, strict=True):
        same = same and _equal(file.cell(*spot), value)
        instead[spot] = value
    return same


def _row_by_row(file: BookFile, spots: list[Spot], values: Sequence[CellValue], instead: dict[Spot, CellValue]) -> bool:
    """A table in which empty rows were inserted is as it was; any other is left as it is, and told."""
    filled = [spot for spot in spots if not file.cell(*spot).is_empty]
    wanted = [value for value in values if value not in (None, "")]
    if len(filled) != len(wanted):
        return False
    return all(_equal(file.cell(*spot), value) for spot, value in zip(filled, wanted, strict=True))


def _equal(held: Cell, value: CellValue) -> bool:
    if held.formula is not None:
        return False
    if isinstance(value, float):
        return isinstance(held.value, float) and math.isclose(held.value, value, rel_tol=_SAME, abs_tol=1e-12)
    return (held.value or "") == (value or "")


# ----------------------------------------------------------------------------------------------- finding cells


def _spot(file: BookFile, name: str) -> Spot | None:
    area = file.names.areas.get(name)
    return None if area is None else (area.sheet, area.top, area.left)


def _text_at(file: BookFile, name: str) -> str:
    spot = _spot(file, name)
    value = None if spot is None else file.cell(*spot).value
    return value.strip() if isinstance(value, str) else f"{value:g}" if isinstance(value, float) else ""


def _all_cells(file: BookFile) -> list[Cell]:
    return [cell for sheet in file.sheet_names for cell in file.sheet(sheet).cells.values()]


def _had_names(file: BookFile) -> bool:
    return bool(file.names.areas or file.names.broken)
