"""Store values that are known column by column, without a look at any other cell than those that change.

This is the way for a workbook in which each formula is the book's own, so that the reference engine knows its value.
Where a formula is the owner's, its value isn't known here: it is taken out, and left to the program that opens the
file next. Workbooks in an odd spelling, and values beside which no formula stands, are for
:mod:`meltbook.workbook.caches`, cell by cell.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from meltbook.workbook.book_formulas import BookFormulas
from meltbook.workbook.cache_cells import formula_cells
from meltbook.workbook.cells import CellValue
from meltbook.workbook.known import Runs
from meltbook.workbook.plain_formulas import NOTHING, PlainFormulas, Stored
from meltbook.workbook.proof import check_splices
from meltbook.workbook.sheet_xml import Patch, SheetXmlError, patched
from meltbook.workbook.stored_xml import value_xml


@dataclass(slots=True)
class ColumnFill:
    """What has to change for every formula to have the value that is known, or none.

    ``wanted`` are new values by sheet and formula cell, ``dropped`` cells whose value is not known; ``known`` counts
    the cells whose value is.
    """

    book: BookFormulas
    wanted: dict[str, dict[int, CellValue]] = field(default_factory=dict)
    dropped: dict[str, set[int]] = field(default_factory=dict)
    known: int = 0

    @property
    def is_complete(self) -> bool:
        """Whether the value of every formula is known."""
        return self.known == self.book.formulas

    def contents(self) -> dict[str, bytes]:
        """The sheets that change, by part; each is checked to have changed in these cells and nowhere else."""
        found: dict[str, bytes] = {}
        for name, sheet in self.book.sheets.items():
            wanted, dropped = self.wanted.get(name, {}), self.dropped.get(name, set())
            if not isinstance(sheet, PlainFormulas):
                new = sheet.with_values({})
                if formula_cells(new).stored(self.book.strings):
                    raise self.book.package.damaged(f"can't be freed of its old values ({name})")
            elif wanted or dropped:
                patches = self._patches(sheet, wanted, dropped)
                by_name = {sheet.raw_names[spot].decode(): value for spot, value in wanted.items()}
                new = patched(sheet.data, patches)
                check_splices(self.book.package, name, sheet.data, new, patches, by_name)
            else:
                continue
            if new != sheet.data:
                found[self.book.parts[name]] = new
        return found

    def _patches(self, sheet: PlainFormulas, wanted: dict[int, CellValue], dropped: set[int]) -> list[Patch]:
        changes = {spot: Stored(*value_xml(value)) for spot, value in wanted.items()}
        try:
            return sheet.patches(changes | dict.fromkeys(dropped, NOTHING))
        except SheetXmlError as error:
            raise self.book.package.damaged(str(error)) from error


def column_fill(book: BookFormulas, runs: Runs) -> ColumnFill | None:
    """How to store these values; nothing where one of them belongs to no formula, or to a sheet in odd spelling."""
    fill = ColumnFill(book)
    is_known = {name: bytearray(len(sheet)) for name, sheet in book.sheets.items() if isinstance(sheet, PlainFormulas)}
    for run in runs:
        sheet = book.sheets.get(run.sheet)
        if not isinstance(sheet, PlainFormulas):
            return None
        spots = sheet.column(run.letters.encode(), run.row + 1, len(run.values))
        if spots is None:
            return None
        fill.wanted.setdefault(run.sheet, {}).update(sheet.unlike(spots, run.values))
        if isinstance(spots, range):
            is_known[run.sheet][spots.start : spots.stop : spots.step] = b"\1" * len(spots)
        else:
            for spot in spots:
                is_known[run.sheet][spot] = 1
    for name, marks in is_known.items():
        fill.known += sum(marks)
        sheet = book.sheets[name]
        if isinstance(sheet, PlainFormulas) and 0 in marks:
            fill.dropped[name] = {*sheet.with_something(spot for spot, mark in enumerate(marks) if not mark)}
    return fill
