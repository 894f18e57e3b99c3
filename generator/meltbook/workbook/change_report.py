"""Before and after a new tariff on one page, to print or to work on: as .csv or as .xlsx."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path

import xlsxwriter

from meltbook.errors import UsageError
from meltbook.units import money_digits
from meltbook.workbook.new_letter import Preview
from meltbook.workbook.save import save

SUFFIXES = (".csv", ".xlsx")

HEADINGS = (
    "Piece",
    "Size",
    "Tag now",
    "Cost now",
    "Margin now",
    "Cost then",
    "Margin then",
    "Suggested tag",
    "Change",
    "What to do",
)

_WIDTHS = (28, 14, 9, 9, 11, 9, 11, 13, 9, 14)
_CALCULATED = ("=", "+", "-", "@", "\t", "\r")
"""A text in a .csv that begins like this would be taken for a formula by the program that opens it."""

Cell = float | int | str | None


def check_report(path: Path) -> None:
    """Refuse a name that says nothing of the form."""
    if path.suffix.lower() not in SUFFIXES:
        raise UsageError(
            f"{path.name} ends in neither .csv nor .xlsx.", hint=f"Call it {path.with_suffix('.xlsx').name}."
        )


def write_report(found: Preview, path: Path, *, overwrite: bool = False) -> None:
    """Write the page."""
    check_report(path)
    rows = [[piece.name, piece.size or None, *piece.figures.values()] for piece in found.pieces]
    head = _head(found)
    data = _csv(head, rows) if path.suffix.lower() == ".csv" else _xlsx(found, head, rows)
    save(path, data, overwrite=overwrite)


def _head(found: Preview) -> list[tuple[str, Cell, Cell]]:
    """What stands above the pieces: a label, the figure before or in a month, the figure after or in a year."""
    figures = found.figures
    currency = found.studio.shop.currency
    return [
        ("New tariff from", str(found.row.start), found.row.letter),
        (f"All-in price, {currency}/kWh: now, then", figures["price_before"], figures["price_after"]),
        (
            f"Service and demand, {currency}/day: now, then",
            figures["standing_day_before"],
            figures["standing_day_after"],
        ),
        (f"More energy, {currency}: in a month, in a year", figures["effect_energy_month"], figures["effect_energy"]),
        (
            f"More service and demand, {currency}: in a month, in a year",
            figures["effect_standing_month"],
            figures["effect_standing"],
        ),
        ("Tags to change, already short", figures["retag_count"], figures["short_count"]),
    ]


def _csv(head: Sequence[tuple[Cell, ...]], rows: Sequence[Sequence[Cell]]) -> bytes:
    text = io.StringIO()
    writer = csv.writer(text)
    for row in (*head, (), HEADINGS, *rows):
        writer.writerow([_harmless(value) for value in row])
    return text.getvalue().encode("utf-8-sig")  # the mark tells spreadsheet programs how letters are written


def _harmless(value: Cell) -> Cell:
    return f"'{value}" if isinstance(value, str) and value.startswith(_CALCULATED) else value


def _xlsx(found: Preview, head: Sequence[tuple[Cell, ...]], rows: Sequence[Sequence[Cell]]) -> bytes:
    data = io.BytesIO()
    digits = money_digits(found.studio.shop.currency)
    behind = f".{'0' * digits}" if digits else ""
    with xlsxwriter.Workbook(data, {"in_memory": True, "strings_to_formulas": False}) as book:
        bold = book.add_format({"bold": True, "text_wrap": True, "bottom": 1})
        rate = book.add_format({"num_format": "0.00000"})
        money = book.add_format({"num_format": f"#,##0{behind}"})
        share = book.add_format({"num_format": "0.0 %"})
        sheet = book.add_worksheet("Before and after")
        sheet.set_landscape()
        sheet.fit_to_pages(1, 1)
        for col, width in enumerate(_WIDTHS):
            sheet.set_column(col, col, width)
        for row, (label, before, after) in enumerate(head):
            sheet.write_string(row, 0, str(label))
            for col, value in ((5, before), (6, after)):
                _put(sheet, row, col, value, rate if row in (1, 2) else money if row in (3, 4) else None)
        top = len(head) + 1
        sheet.write_row(top, 0, HEADINGS, bold)
        for row, values in enumerate(rows, start=top + 1):
            for col, value in enumerate(values):
                _put(sheet, row, col, value, share if col in (4, 6) else money)
    return data.getvalue()


def _put(sheet: xlsxwriter.worksheet.Worksheet, row: int, col: int, value: Cell, form: object) -> None:
    if isinstance(value, str):
        sheet.write_string(row, col, value)
    elif value is not None:
        sheet.write_number(row, col, value, form)
