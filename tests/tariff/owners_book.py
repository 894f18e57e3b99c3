"""A studio's workbook with everything in it that an owner may add, as four programs save it."""

from __future__ import annotations

import subprocess
import warnings
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest
import xlsxwriter
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.formatting.rule import CellIsRule
from openpyxl.styles import PatternFill
from openpyxl.worksheet.datavalidation import DataValidation

from tests.engines.runners import LibreOffice
from tests.tariff.books import Cell, demo_book
from tests.unit.workbook.edit_book import image

PROGRAMS = ("xlsxwriter", "openpyxl", "libreoffice", "gnumeric")

OWN = "My sums"
"""The owner's sheet that looks into the book. `My diary` looks only at itself."""

OWN_FORMULAS = {
    "B2": "=SUM(piece_tag)",
    "B3": "=MAX(cost_after)",
    "B4": "=tariff_newest-30",
    "B5": '=IF(tariff_newest>DATE(2026,12,31),"new prices & <more>","old prices")',
    "B6": "=INDEX(tariff_price,letter_line)*1.2",
    "B7": '=SUMIF(piece_tag,">100")/COUNT(piece_tag)',
    "B8": "=Tariffs!C18",
    "B9": "=tariff_newest>46000",
    "B10": "=1/0",
    "B11": '=ROUND(SUM(cost_good)*1.07,2)&" with tax"',
}
"""The owner's formulas, which refer to the book by its names and by its cells."""


def written(path: Path) -> Path:
    """The workbook of harbour-kg, with the owner's things in it before XlsxWriter closes it."""
    close: Callable[[Any], None] = xlsxwriter.Workbook.close

    def close_with_more(book: Any) -> None:
        _add_everything(book)
        close(book)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(xlsxwriter.Workbook, "close", close_with_more)
        return demo_book("harbour-kg", path)


def _add_everything(book: Any) -> None:
    fill, red = (
        book.add_format({"bg_color": "#EEDDFF", "num_format": "0.000"}),
        book.add_format({"font_color": "#882255"}),
    )
    tabs = {tab.name: tab for tab in book.worksheets()}
    pieces, tariffs, log = tabs["Pieces"], tabs["Tariffs"], tabs["Furnace log"]
    # beside and below the book's own tables
    pieces.write_comment("C16", "ask at the fair", {"author": "the owner"})
    pieces.write_row("BA12", ["Shelf", "Double"], fill)
    for row in range(13, 20):
        pieces.write_string(row, 52, f"shelf {row}")
        pieces.write_formula(row, 53, f"=SUM(D{row + 1})*2", fill)
    pieces.conditional_format("BB14:BB20", {"type": "data_bar", "data_bar_2010": True, "bar_color": "#999933"})
    tariffs.insert_image("AF3", "dot.png", {"image_data": image(), "description": "a dot"})
    tariffs.write_comment("B16", "came late", {"author": "the owner"})
    log.insert_textbox("CD3", "mind the pot")
    log.add_sparkline("CD2", {"range": "'Furnace log'!$AA$10:$AA$40"})
    # sheets of the owner's own
    mine = book.add_worksheet(OWN)
    mine.write_rich_string("A1", "my ", red, "own", " sums")
    for cell, formula in OWN_FORMULAS.items():
        mine.write_formula(cell, formula, fill, 123456)
    mine.write_array_formula("D2:D4", "{=Tariffs!C15:C17*2}", None, 0)
    mine.write_url("A20", "https://example.org/", string="a link")
    mine.write_url("A21", "internal:'Pieces'!A1", string="to the pieces")
    mine.data_validation("F2:F9", {"validate": "list", "source": ["yes", "no"]})
    mine.conditional_format("B2:B9", {"type": "cell", "criteria": ">", "value": 4, "format": red})
    mine.add_sparkline("G2", {"range": f"'{OWN}'!B2:B8"})
    chart = book.add_chart({"type": "column"})
    chart.add_series({"values": f"='{OWN}'!$B$2:$B$8", "name": "mine"})
    mine.insert_chart("H2", chart, {"description": "mine"})
    mine.set_footer("&Cpage &P")
    book.define_name("my_rate", f"='{OWN}'!$B$6")
    diary = book.add_worksheet("My diary")
    diary.write_column("A1", ["sunny", "<rain> & wind", 3, 4.5])
    diary.write_formula("B1", "=A3/7+A4", None, 3 / 7 + 4.5)
    diary.write_formula("B2", '=A1&"!"', None, "sunny!")
    diary.add_table("D2:E4", {"columns": [{"header": "Thing"}, {"header": "Count"}], "data": [["rod", 4], ["bar", 5]]})
    diary.protect("", {"select_locked_cells": True})


def saved_by(program: str, path: Path, folder: Path) -> Path:
    """The workbook as this program saves it when it is opened there and saved again."""
    target = folder / f"{program}.xlsx"
    if program == "xlsxwriter":
        target.write_bytes(path.read_bytes())
    elif program == "openpyxl":
        _saved_by_openpyxl(path, target)
    elif program == "libreoffice":
        made = LibreOffice().convert([path], folder, "xlsx:Calc MS Excel 2007 XML", "xlsx")
        made[path].rename(target)
    else:
        subprocess.run(["ssconvert", "--recalc", str(path), str(target)], check=True, capture_output=True, timeout=300)
    return target


def _saved_by_openpyxl(path: Path, target: Path) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it says what it will lose: sparklines and data bars
        book = openpyxl.load_workbook(path)
    mine = book[OWN]
    mine["B2"].comment = Comment("what all tags make", "the owner")
    mine.conditional_formatting.add("B2:B8", CellIsRule(operator="lessThan", formula=["0"], fill=PatternFill("solid")))
    yes = DataValidation(type="list", formula1='"yes,no"')
    mine.add_data_validation(yes)
    yes.add("F12")
    chart = BarChart()
    chart.add_data(Reference(mine, min_col=2, min_row=2, max_row=8))
    mine.add_chart(chart, "H20")
    book.save(target)


def own_cells() -> list[Cell]:
    """Where the owner's formulas stand that look into the book."""
    return [(OWN, cell) for cell in (*OWN_FORMULAS, "D2")] + [("Pieces", f"BB{row}") for row in range(14, 21)]
