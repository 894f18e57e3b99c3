"""Before and after a new tariff on one page, to print or to work on: as .csv or as .xlsx.

Nothing on it is a formula: it is what was true on the day, to lay into the folder beside the letter.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import xlsxwriter

from meltbook.errors import UsageError
from meltbook.fields.kernel import Shape
from meltbook.units import money_digits
from meltbook.workbook.new_letter import SHOWN_FIGURES, Preview
from meltbook.workbook.style import Formats

SUFFIXES = (".csv", ".xlsx")

TITLE = "New tariff: before and after"
EFFECT = ("", "Now", "Then", "More in a month", "More in a year")
PIECES = (
    "Piece",
    "Size",
    "Tag now",
    "Cost now",
    "Margin now",
    "Cost then",
    "Margin then",
    "New tag",
    "Change",
    "What to do",
)
"""Headings of the two tables. A piece's figures stand in the order of ``new_letter.SHOWN_FIGURES``."""

Cell = float | int | str | dt.date | None

_WIDTHS = (26, 12, 10, 10, 10, 11, 10, 12, 10, 13)
"""The least widths of the columns; an amount with many digits makes its own wider."""
_ABREAST = 22
"""So many pieces fit on a page that lies; with more it stands, so that the print stays large."""
_MARGINS = (4, 6)
_TEXTS = (0, 1, 9)
_RATES = 2
"""So many lines of the effect are prices; the lines below them have no more than amounts of money."""
_PLACES = {Shape.RATE: 4, Shape.SHARE: 3}
"""To so many places a .csv is rounded, as the sheet shows them; amounts of money to the currency's own."""
_CALCULATED = "=+-@"
"""A text in a .csv that begins like this would be taken for a formula by the program that opens it."""


@dataclass(frozen=True, slots=True)
class _Page:
    """What the report says, whatever it is written as."""

    head: Sequence[tuple[str, Cell]]
    effect: list[tuple[Cell, ...]]
    notes: list[str]
    pieces: list[tuple[Cell, ...]]


def check_report(path: Path) -> None:
    """Refuse a name that says nothing of the form."""
    if path.suffix.lower() not in SUFFIXES:
        raise UsageError(
            f"{path.name} ends in neither .csv nor .xlsx.", hint=f"Call it {path.with_suffix('.xlsx').name}."
        )


def report_data(found: Preview, path: Path) -> bytes:
    """The page, as the file of this name has to hold it. Nothing is written."""
    check_report(path)
    page, digits = _page(found), money_digits(found.studio.shop.currency)
    return _csv(page, digits) if path.suffix.lower() == ".csv" else _xlsx(page, digits)


def _page(found: Preview) -> _Page:
    figures, currency, unit = found.figures, found.studio.shop.currency, found.billing.energy_unit
    energy = ("price_before", "price_after", "effect_energy_month", "effect_energy")
    standing = ("standing_day_before", "standing_day_after", "effect_standing_month", "effect_standing")
    sentence = figures["retag_sentence"]
    return _Page(
        head=[
            ("Studio", str(found.results.scalars["retag_studio"])),
            ("New prices from", found.row.start),
            *([("Letter", found.row.letter)] if found.row.letter else []),
            ("Amounts in", currency),
        ],
        effect=[
            (f"Energy, {currency}/{unit}, all in", *(figures[name] for name in energy)),
            (f"Service and demand, {currency}/day", *(figures[name] for name in standing)),
            ("Both", None, None, figures["effect_month"], figures["effect_year"]),
            *(
                [("Equipment", None, None, figures["effect_equipment_month"], figures["effect_equipment"])]
                if found.moves_equipment
                else []
            ),
        ],
        notes=[*([sentence] if isinstance(sentence, str) else []), *found.effect_notes, *found.warnings],
        pieces=[
            (piece.name, piece.size or None, *(piece.figures[name] for name in SHOWN_FIGURES)) for piece in found.pieces
        ],
    )


# --------------------------------------------------------------------------------------------------- as .csv


def _csv(page: _Page, digits: int) -> bytes:
    text = io.StringIO()
    writer = csv.writer(text)
    notes = [(note,) for note in page.notes]
    effect = [
        [_rounded(value, _effect_shape(line, col), digits) for col, value in enumerate(values)]
        for line, values in enumerate(page.effect)
    ]
    pieces = [[_rounded(value, _piece_shape(col), digits) for col, value in enumerate(row)] for row in page.pieces]
    for row in ((TITLE,), *page.head, (), EFFECT, *effect, (), *notes, (), PIECES, *pieces):
        writer.writerow([_harmless(value) for value in row])
    return text.getvalue().encode("utf-8-sig")  # the mark tells spreadsheet programs how letters are written


def _rounded(value: Cell, shape: Shape, digits: int) -> Cell:
    """A number as it would be read off the sheet."""
    return round(value, _PLACES.get(shape, digits)) + 0.0 if isinstance(value, float) else value


def _harmless(value: Cell) -> Cell:
    return f"'{value}" if isinstance(value, str) and value.lstrip()[:1] in tuple(_CALCULATED) else value


def _effect_shape(line: int, col: int) -> Shape:
    if col == 0:
        return Shape.TEXT
    return Shape.RATE if line < _RATES and col < 3 else Shape.MONEY


def _piece_shape(col: int) -> Shape:
    return Shape.TEXT if col in _TEXTS else Shape.SHARE if col in _MARGINS else Shape.MONEY


# -------------------------------------------------------------------------------------------------- as .xlsx


def _xlsx(page: _Page, digits: int) -> bytes:
    data = io.BytesIO()
    with xlsxwriter.Workbook(data, {"in_memory": True}) as book:
        book.set_properties({"title": TITLE})
        _Sheet(book, Formats(book.add_format, digits)).write(page, digits)
    return data.getvalue()


def _widths(page: _Page, digits: int) -> list[int]:
    effect = [("", *line) for line in page.effect]  # its label has two columns
    widths = list(_WIDTHS)
    for row in (*effect, *page.pieces):
        for col, value in enumerate(row):
            if col not in _TEXTS and value is not None:
                shown = f"{value:,.{digits}f}" if isinstance(value, float | int) else str(value)
                widths[col] = max(widths[col], len(shown) + 3)
    return widths


class _Sheet:
    """The one sheet, written from the top down."""

    def __init__(self, book: Any, formats: Formats) -> None:
        self.formats = formats
        self.sheet = book.add_worksheet("Before and after")
        self.sheet.hide_gridlines(2)
        self.sheet.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.6)
        self.sheet.fit_to_pages(1, 1)
        self.sheet.set_footer("&C&8Made by meltbook from the workbook; nothing on this page is calculated.")

    def write(self, page: _Page, digits: int) -> None:
        """Everything on it."""
        if len(page.pieces) <= _ABREAST:
            self.sheet.set_landscape()
        for col, width in enumerate(_widths(page, digits)):
            self.sheet.set_column(col, col, width)
        self.sheet.set_row(0, 24)
        self.sheet.write_string(0, 0, TITLE, self.formats.manner("title"))
        row = 1
        for label, value in page.head:
            self._text(row, 0, label, "label")
            self._put(row, 1, value, Shape.TEXT, align="left", indent=0)
            row += 1
        row = self._headings(row + 1, EFFECT)
        for line, values in enumerate(page.effect):
            for col, value in enumerate(values):
                at = 0 if col == 0 else col + 1  # the label has two columns
                self._put(row, at, value, _effect_shape(line, col), ruled=True)
            self._put(row, 1, None, Shape.TEXT, ruled=True)
            row += 1
        row += 1
        for note in page.notes:
            self._text(row, 0, note, "sentence")
            row += 1
        row = self._headings(row + 1, PIECES)
        for values in page.pieces:
            for col, value in enumerate(values):
                self._put(row, col, value, _piece_shape(col), ruled=True, shrink=col in _TEXTS)
            row += 1
        self.sheet.print_area(0, 0, row - 1, len(_WIDTHS) - 1)

    def _headings(self, row: int, headings: Sequence[str]) -> int:
        self.sheet.set_row(row, 30)
        names = list(headings) if headings[0] else ["", *headings]
        for col, name in enumerate(names):
            aside = {} if headings is PIECES and col in _TEXTS else {"align": "right"}
            self.sheet.write_string(row, col, name, self.formats.manner("head", **aside))
        return row + 1

    def _text(self, row: int, col: int, text: str, manner: str) -> None:
        self.sheet.write_string(row, col, text, self.formats.manner(manner))

    def _put(self, row: int, col: int, value: Cell, shape: Shape, *, ruled: bool = False, **more: Any) -> None:
        """A cell of the kind that its value is: texts are texts, whatever they begin with."""
        if isinstance(value, dt.date):
            self.sheet.write_datetime(row, col, value, self.formats.manner("plain", num_format="yyyy-mm-dd", **more))
        elif value is None:
            self.sheet.write_blank(row, col, None, self.formats.cell(shape, "plain", ruled=ruled, **more))
        elif isinstance(value, str):
            if shape is not Shape.TEXT:  # a word in a column of numbers stands where they do
                more |= {"align": "right", "indent": 1}
            self.sheet.write_string(row, col, value, self.formats.cell(Shape.TEXT, "plain", ruled=ruled, **more))
        else:
            self.sheet.write_number(row, col, value, self.formats.cell(shape, "plain", ruled=ruled, **more))
