"""A handout becomes a workbook: its fields, its sheets, the reference's values, and the bytes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from meltbook.classroom.handout import handout_results
from meltbook.classroom.pages import handout_sheets
from meltbook.classroom.vocabulary import handout_vocabulary, in_units
from meltbook.fields.kernel import Vocabulary
from meltbook.method.results import Results
from meltbook.sheets.kernel import Sheet
from meltbook.units import money_digits
from meltbook.workbook.place import Layout, lay_out
from meltbook.workbook.placement import Placement
from meltbook.workbook.typed import TypedValues
from meltbook.workbook.write import BookOptions, book_bytes

if TYPE_CHECKING:
    from meltbook.classroom.handout import Handout
    from meltbook.workbook.paper import Paper

Answers = Mapping[str, float | str]
"""What is typed, by the names of the input cells."""


@dataclass(frozen=True, slots=True)
class HandoutParts:
    """Everything that a student's workbook is made of, before a byte is written."""

    vocabulary: Vocabulary
    sheets: tuple[Sheet, ...]
    layout: Layout
    results: Results

    @property
    def placement(self) -> Placement:
        """Where each field stands."""
        return self.layout.placement


def handout_parts(handout: Handout, typed: Answers | None = None) -> HandoutParts:
    """Declare, place and work out a student's workbook without writing it."""
    vocabulary, sheets = handout_vocabulary(handout), handout_sheets(handout)
    return HandoutParts(vocabulary, sheets, lay_out(sheets, vocabulary), handout_results(handout, typed or {}))


def handout_bytes(handout: Handout, *, paper: Paper = "Letter", typed: Answers | None = None) -> bytes:
    """The bytes of a student's workbook, blank or with something typed, every formula with its value beside it."""
    parts = handout_parts(handout, typed)
    options = BookOptions(
        paper=paper,
        money_digits=money_digits(handout.currency),
        title=in_units(handout, handout.exercise.title),
    )
    return book_bytes(parts.layout, parts.vocabulary, TypedValues(dict(typed or {}), {}), parts.results, options)
